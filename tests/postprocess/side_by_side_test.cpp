// SPDX-License-Identifier: MIT
// Jobs in child processes: their answers, their errors, how many at once, and what becomes of them when one is ended.
#include "postprocess/side_by_side.h"

#include <gtest/gtest.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <thread>

#include "mesh/case_file.h"
#include "mesh/mesh_error.h"
#include "postprocess/safe_file.h"
#include "solver/discretisation.h"

namespace stillbox {
namespace {

namespace fs = std::filesystem;

struct SideBySideJobs : testing::Test {
  fs::path folder;
  void SetUp() override {
    std::string pattern = (fs::temp_directory_path() / "stillbox-test-XXXXXX").string();
    folder = ::mkdtemp(pattern.data());
  }
  void TearDown() override { fs::remove_all(folder); }
  void put(const std::string &name) const { std::ofstream(folder / name) << "x"; }
  bool has(const std::string &name) const { return fs::exists(folder / name); }
  bool waits_for(const std::string &name) const {
    for (int i = 0; i < 500 && !has(name); ++i) std::this_thread::sleep_for(std::chrono::milliseconds(10));
    return has(name);
  }
};

SideBySide two() {
  SideBySide how;
  how.most = 2;
  how.memory = 3e9;
  return how;
}

bool no_children() { return ::waitpid(-1, nullptr, WNOHANG) == -1 && errno == ECHILD; }

TEST_F(SideBySideJobs, AnswerInTheirOrderWhateverTheirLength) {
  const auto answers = run_side_by_side(
      4,
      [](std::size_t number, const JobVoice &voice) {
        voice.needs(1e9);
        return std::string(number == 1 ? 5000000 : number, char('a' + number)) + std::string("\0\n", 2);
      },
      two());
  ASSERT_EQ(answers.size(), 4u);
  EXPECT_EQ(answers[0], std::string("\0\n", 2));
  EXPECT_EQ(answers[1], std::string(5000000, 'b') + std::string("\0\n", 2));
  EXPECT_EQ(answers[3], "ddd" + std::string("\0\n", 2));
  EXPECT_TRUE(no_children());
}

// Each waits for the other's file: it can only end if the other runs meanwhile.
TEST_F(SideBySideJobs, RunTwoAtOnceWhenMemoryAllows) {
  const auto answers = run_side_by_side(
      2,
      [&](std::size_t number, const JobVoice &voice) {
        voice.needs(1e9);
        put(std::to_string(number));
        return std::string(waits_for(std::to_string(1 - number)) ? "met" : "alone");
      },
      two());
  EXPECT_EQ(answers, (std::vector<std::string>{"met", "met"}));
}

TEST_F(SideBySideJobs, WaitWhenMemoryDoesNotAllowOrNobodyTold) {
  for (const double need : {1.6e9, -1.0}) {
    const auto answers = run_side_by_side(
        3,
        [&](std::size_t number, const JobVoice &voice) {
          if (need > 0) voice.needs(need);
          put("at work");
          std::this_thread::sleep_for(std::chrono::milliseconds(30));
          const bool other = has("second");
          put("second");
          std::this_thread::sleep_for(std::chrono::milliseconds(30));
          fs::remove(folder / "second");
          return std::string(other ? "two at once" : "one") + std::to_string(number);
        },
        two());
    EXPECT_EQ(answers, (std::vector<std::string>{"one0", "one1", "one2"})) << need;
  }
}

TEST_F(SideBySideJobs, StartInTheOrderAskedForAndAnswerInTheirOwn) {
  SideBySide how = two();
  how.order = {2, 0, 1};
  const auto answers = run_side_by_side(
      3,
      [&](std::size_t number, const JobVoice &) {  // tells no need: one after the other
        const bool first = !has("0") && !has("1") && !has("2");
        put(std::to_string(number));
        return std::to_string(number) + (first ? " first" : has("2") && !has("1") ? " second" : " last");
      },
      how);
  EXPECT_EQ(answers, (std::vector<std::string>{"0 second", "1 last", "2 first"}));
}

TEST_F(SideBySideJobs, ShowTheirStepsWhileTheyWork) {
  std::vector<std::vector<std::string>> seen;
  SideBySide how = two();
  how.show = [&](const std::vector<std::string> &steps) { seen.push_back(steps); };
  run_side_by_side(
      2,
      [&](std::size_t number, const JobVoice &voice) {
        voice.step("step of " + std::to_string(number));
        return std::string();
      },
      how);
  bool first = false, second = false;
  for (const auto &steps : seen) {
    first = first || steps == std::vector<std::string>{"step of 0", ""};
    second = second || steps == std::vector<std::string>{"", "step of 1"};
  }
  EXPECT_TRUE(first && second);
}

TEST_F(SideBySideJobs, PassErrorsOnAsTheyAreAndEndTheOthers) {
  const auto run = [&](const std::function<void()> &fail) {
    run_side_by_side(
        2,
        [&](std::size_t number, const JobVoice &voice) {
          voice.needs(1e6);
          if (number == 1) fail();
          std::this_thread::sleep_for(std::chrono::seconds(60));
          return std::string();
        },
        two());
  };
  const auto before = std::chrono::steady_clock::now();
  EXPECT_THROW(run([] { throw MeshError("m"); }), MeshError);
  EXPECT_THROW(run([] { throw SolveError("s"); }), SolveError);
  EXPECT_THROW(run([] { throw CaseError("c"); }), CaseError);
  EXPECT_THROW(run([] { throw std::bad_alloc(); }), std::bad_alloc);
  try {
    run([] { throw OutputError("some/where", "no room", std::make_error_code(std::errc::no_space_on_device)); });
    ADD_FAILURE();
  } catch (const OutputError &error) {
    EXPECT_EQ(error.path, "some/where");
    EXPECT_EQ(error.reason, "no room");
    EXPECT_EQ(error.code, std::make_error_code(std::errc::no_space_on_device));
    EXPECT_STREQ(error.what(), "cannot write some/where: no room");
  }
  try {
    run([] { throw std::domain_error("other"); });
    ADD_FAILURE();
  } catch (const std::runtime_error &error) {
    EXPECT_STREQ(error.what(), "other");
  }
  EXPECT_LT(std::chrono::steady_clock::now() - before, std::chrono::seconds(30));
  EXPECT_TRUE(no_children());
}

// As the system ends a process when memory runs out.
TEST_F(SideBySideJobs, StartAgainAloneWhatWasEndedBesideAnother) {
  const auto answers = run_side_by_side(
      2,
      [&](std::size_t number, const JobVoice &voice) {
        voice.needs(1e6);
        if (number == 0 && !has("ended")) {
          waits_for("1");
          put("ended");
          ::raise(SIGKILL);
        }
        put(std::to_string(number));
        if (number == 1) waits_for("ended");
        std::this_thread::sleep_for(std::chrono::milliseconds(200));
        return "answer " + std::to_string(number);
      },
      two());
  EXPECT_EQ(answers, (std::vector<std::string>{"answer 0", "answer 1"}));
}

TEST_F(SideBySideJobs, SayWhenOneIsEndedThatRanAlone) {
  try {
    run_side_by_side(
        2,
        [&](std::size_t, const JobVoice &) {
          ::raise(SIGKILL);
          return std::string();
        },
        two());
    ADD_FAILURE();
  } catch (const SolveError &error) {
    EXPECT_NE(std::string(error.what()).find("Killed"), std::string::npos) << error.what();
  }
}

TEST_F(SideBySideJobs, EndWithTheProcessThatStartedThem) {
  const pid_t parent = ::fork();
  ASSERT_GE(parent, 0);
  if (parent == 0) {
    run_side_by_side(
        2,
        [&](std::size_t number, const JobVoice &voice) {
          voice.needs(1e6);
          std::ofstream(folder / ("pid" + std::to_string(number))) << ::getpid() << std::endl;
          put("runs" + std::to_string(number));
          std::this_thread::sleep_for(std::chrono::seconds(60));
          return std::string();
        },
        two());
    ::_exit(0);
  }
  ASSERT_TRUE(waits_for("runs0"));
  ASSERT_TRUE(waits_for("runs1"));
  ::kill(parent, SIGKILL);
  ::waitpid(parent, nullptr, 0);
  for (const char *name : {"pid0", "pid1"}) {
    pid_t child = 0;
    std::ifstream(folder / name) >> child;
    ASSERT_GT(child, 1);
    bool is_gone = false;
    for (int i = 0; i < 300 && !is_gone; ++i) {
      std::string state;  // a zombie that nobody has waited for yet counts as gone
      std::ifstream stat("/proc/" + std::to_string(child) + "/stat");
      is_gone = !(stat >> state >> state >> state) || state == "Z";
      std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    EXPECT_TRUE(is_gone) << name;
  }
}

}  // namespace
}  // namespace stillbox
