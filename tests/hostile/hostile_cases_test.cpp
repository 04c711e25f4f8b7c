// SPDX-License-Identifier: MIT
// Case files made to do harm: refused, or read, within a second of processor time and 200 MiB, never with a crash.
#include <sys/stat.h>

#include <algorithm>
#include <functional>

#include "mesh/case_file.h"
#include "tests/fuzz/guarded.h"
#include "tests/fuzz/readers.h"
#include "tests/hostile/limited.h"
#include "tests/mesh/case_text.h"

namespace stillbox {
namespace {

struct Hostile {
  const char *name;
  std::function<std::string()> text;  ///< made in the child, so that it costs the tests no memory
  const char *word;                   ///< that the message has to hold
};

std::string many(std::size_t count, const std::function<std::string(std::size_t)> &one) {
  std::string text;
  for (std::size_t i = 0; i < count; ++i) text += one(i);
  return text;
}

std::string repeated_text(std::size_t count, const std::string &text) {
  return many(count, [&](std::size_t) { return text; });
}

std::string brace_at(std::size_t i) {
  return "[[brace]]\nname = \"b" + std::to_string(i) +
         "\"\nkind = \"shelf\"\nnormal = \"height\"\nat = " + std::to_string(20 + i % 360) + "\nthickness = 1\n";
}

std::string without_boards() { return "name = \"t\"\nup_to_hz = 1000\n"; }

std::string without_box() {
  return without_boards() + "[[board]]\nname = \"plate\"\nmaterial = \"mdf\"\nthickness = 18\n";
}

const std::vector<Hostile> &hostile_cases() {
  static const std::vector<Hostile> list = {
      {"a megabyte of one letter", [] { return std::string(1 << 20, 'a'); }, "not valid TOML"},
      {"more than a megabyte", [] { return std::string((1 << 20) + 1, '#'); }, "1 MiB"},
      {"a hundred thousand unknown keys",
       [] { return box + many(80000, [](std::size_t i) { return "k" + std::to_string(i) + "=1\n"; }); },
       "more than 10000 values"},
      {"nine thousand unknown keys",
       [] { return many(9000, [](std::size_t i) { return "k" + std::to_string(i) + "=1\n"; }) + box; }, "unknown key"},
      {"a long list", [] { return "x = [" + repeated_text(400000, "1,") + "]\n" + box; }, "more than 10000 values"},
      {"many tables", [] { return box + repeated_text(60000, "[[brace]]\n"); }, "more than 10000 values"},
      {"nested lists", [] { return "x = " + std::string(100000, '[') + std::string(100000, ']') + "\n" + box; },
       "not valid TOML"},
      {"nested inline tables", [] { return "x = " + repeated_text(100000, "{a=") + "1\n" + box; }, "not valid TOML"},
      {"a key of many parts", [] { return "a" + repeated_text(100000, ".a") + " = 1\n" + box; }, "32 parts"},
      {"a heading of many parts", [] { return box + "[a" + repeated_text(100000, ".a") + "]\n"; }, "32 parts"},
      {"a long name", [] { return "name = \"" + std::string(900000, 'n') + "\"\nup_to_hz = 1000\n"; }, "name"},
      {"a hundred variants with a long note each",
       [] {
         return box + many(100, [](std::size_t i) {
                  return "[[variant]]\nname = \"v" + std::to_string(i) + "\"\nnote = \"" + std::string(9000, 'x') +
                         "\"\n";
                });
       },
       "note"},
      {"a long note carried through a hundred variants",
       [] {
         return "note = \"" + std::string(900000, 'x') + "\"\n" + box +
                many(100, [](std::size_t i) { return "[[variant]]\nname = \"v" + std::to_string(i) + "\"\n"; });
       },
       "note"},
      {"nine thousand values carried through a hundred variants",
       [] {
         return "x = [" + repeated_text(9000, "1,") + "]\n" + box +
                many(100, [](std::size_t i) { return "[[variant]]\nname = \"v" + std::to_string(i) + "\"\n"; });
       },
       "unknown key"},
      {"a thousand variants",
       [] {
         return box + many(1000, [](std::size_t i) { return "[[variant]]\nname = \"v" + std::to_string(i) + "\"\n"; });
       },
       "up to 100"},
      {"a thousand braces", [] { return box + many(1000, brace_at); }, "up to"},
      {"a hundred and forty braces side by side", [] { return box + many(140, brace_at); }, ""},
      {"braces without end in a variant of a variant",
       [] {
         return box + many(60, [](std::size_t i) {
                  return "[[variant]]\nname = \"v" + std::to_string(i) + "\"\n" +
                         (i > 0 ? "based_on = \"v" + std::to_string(i - 1) + "\"\n" : "") +
                         "add = { brace = [{ name = \"n" + std::to_string(i) +
                         "\", kind = \"shelf\", normal = \"height\", at = " + std::to_string(25 + 5 * i) +
                         ", thickness = 3 }] }\n";
                });
       },
       ""},
      {"a thousand cut-outs",
       [] {
         return box + many(1000, [](std::size_t i) {
                  return "[[cut_out]]\nname = \"c" + std::to_string(i) +
                         "\"\non = \"baffle\"\nshape = \"round\"\ncentre = [50, 50]\ndiameter = 10\n";
                });
       },
       "up to"},
      {"an outline of many corners",
       [] {
         return without_box() + "outline = [" +
                many(
                    3000,
                    [](std::size_t i) { return "[" + std::to_string(i) + ", " + std::to_string(i * i % 997) + "],"; }) +
                "]\n";
       },
       "outline"},
      {"a range of place without end",
       [] {
         return box + brace_at(100) +
                "[place]\n[[place.vary]]\nname = \"b100\"\nkey = \"at\"\nfrom = 0\nto = 5000\nstep = 0.01\n";
       },
       "values"},
      {"an explosion of candidates",
       [] {
         return box + brace_at(100) + "[place]\n" +
                repeated_text(40, "[[place.vary]]\nname = \"b100\"\nkey = \"at\"\nvalues = [1,2,3,4,5,6,7,8]\n");
       },
       "place"},
      {"NUL bytes", [] { return box + std::string("x = \"a\0b\"\n", 10); }, "not valid TOML"},
      {"invalid UTF-8", [] { return box + "note = \"\xc3\x28 \xff\"\n"; }, "not valid TOML"},
      {"UTF-16", [] { return std::string("\xff\xfen\0a\0m\0e\0", 10); }, "not valid TOML"},
      {"control characters in a name", [] { return box + "\"\\u001b[31m\\u009b\\u202e\" = 1\n"; }, "unknown key"},
      {"a name with a NUL", [] { return box + "[[variant]]\nname = \"x\\u0000y\"\n"; }, "visible characters"},
      {"numbers of gigabytes",
       [] {
         return std::string("name = \"t\"\nup_to_hz = 1e308\n[cabinet]\nouter_size = { width = 1e9, depth = 1e300, ") +
                "height = -0.0 }\nboard = { material = \"mdf\", thickness = nan }\n";
       },
       "1e+308"},
      {"numbers that are none",
       [] {
         return std::string("name = \"t\"\nup_to_hz = nan\n[cabinet]\nouter_size = { width = inf, depth = -inf, ") +
                "height = 300 }\nboard = { material = \"mdf\", thickness = -nan }\n";
       },
       "up_to_hz"},
      {"a whole number beyond all", [] { return box + "[mesh]\ndegree = 9223372036854775807\n"; }, "degree"},
      {"a file outside of the folder",
       [] { return without_boards() + "[solids]\nfile = \"../../../../../../etc/passwd\"\n"; }, "STEP"},
      {"a device as STEP file", [] { return without_boards() + "[solids]\nfile = \"/dev/zero\"\n"; },
       "not an ordinary file"},
      {"a folder as STEP file", [] { return without_boards() + "[solids]\nfile = \"/etc\"\n"; },
       "not an ordinary file"},
      {"the same chamfer forty times",
       [] {
         return bytes_in(STILLBOX_SOURCE_DIR "/cases/tapered-monitor.toml") +
                repeated_text(30, "[[shape.chamfer]]\nedge = [\"baffle\", \"left\"]\nsize = 5\n");
       },
       "each edge once"},
  };
  return list;
}

struct HostileCases : OwnFolder {};

TEST_F(HostileCases, AreRefusedWithinASecondAnd200MiB) {
  const std::vector<Hostile> &list = hostile_cases();
  const auto work = [&](std::size_t i) -> std::string {
    const fs::path path = put("hostile.toml", list[i].text());
    try {
      read_case(path.string(), built_in_materials);
    } catch (const CaseError &error) {
      const std::string message = error.what();
      if (message.find(list[i].word) == std::string::npos) return "says: " + message.substr(0, 400);
      if (message.find("root:") != std::string::npos) return "shows what the file holds";
      return message_complaint(message);
    }
    return *list[i].word ? "is accepted" : "";
  };
  for (const GuardFinding &f : run_guarded(list.size(), work, {}, 100))
    ADD_FAILURE() << list[f.number].name << ": " << f.what;
}

// The program itself, from the start of its process: what is no file, and what a file claims to be.
TEST_F(HostileCases, TheProgramRefusesWhatIsNoCaseFile) {
  ASSERT_EQ(::mkfifo((folder / "pipe").c_str(), 0600), 0);
  fs::create_directory(folder / "folder.toml");
  put("empty.toml", "");
  put("good.toml", box);
  put("huge.toml", "");
  fs::resize_file(folder / "huge.toml", std::uintmax_t(20) << 30);  // no blocks are taken
  fs::create_symlink("loop.toml", folder / "loop.toml");
  put("huge.csv", "");
  fs::resize_file(folder / "huge.csv", std::uintmax_t(20) << 30);
  const std::vector<std::pair<std::vector<std::string>, std::string>> runs = {
      {{"check", "/dev/zero"}, "not an ordinary file"}, {{"check", "pipe"}, "not an ordinary file"},
      {{"check", "folder.toml"}, "is a folder"},        {{"check", "huge.toml"}, "allowed: up to 1 MiB"},
      {{"check", "empty.toml"}, "the file is empty"},   {{"check", "loop.toml"}, "cannot be"},
      {{"check", std::string(5000, 'n')}, "cannot be"}, {{"listen", "pipe"}, "not an ordinary file"},
      {{"listen", "huge.csv"}, "allowed: up to"},       {{"merge", "pipe", "--out", "merged"}, "no such file"}};
  for (const auto &[words, part] : runs) {
    const LimitedRun run = run_limited(folder, words, {10});
    SCOPED_TRACE(words[0] + " " + words[1].substr(0, 40) + ": " + run.err.substr(0, 300));
    EXPECT_EQ(run.code, 2);
    EXPECT_NE(run.err.find(part), std::string::npos);
    EXPECT_EQ(message_complaint(run.err), "");
    EXPECT_LT(run.seconds, has_sanitizer() ? 10 : 1);
    EXPECT_LT(run.bytes, (has_sanitizer() ? 800u : 200u) << 20);
    EXPECT_EQ(run.out, "");
  }
  EXPECT_FALSE(fs::exists(folder / "merged"));
}

// Names of variants and boards become names of files: those stay in the folder.
TEST_F(HostileCases, NamesDoNotLeadOutOfTheFolder) {
  std::string text = box;
  int number = 0;
  for (const char *name : {"../../outside", "/etc/outside", "..", ".", "a/b", "CON", "-rf", "$(reboot)",
                           "\\u202egnp.exe", "\xc3\xa4\xc3\xb6", "trial", "TRIAL"})
    text += "[[variant]]\nname = \"" + std::string(name) +
            "\"\nreplace = { cabinet = { board = { thickness = " + std::to_string(10 + 0.25 * number++) + " } } }\n";
  text += "[[variant]]\nname = \"" + std::string(300, 'n') + "\"\n";
  put("names.toml", text);
  const auto before = names_in(folder);
  const LimitedRun run = run_limited(folder, {"cut", "names.toml", "--out", "here"}, {20});
  if (run.code == 2) {  // a name that is too long is refused before anything is written
    EXPECT_NE(run.err.find("name"), std::string::npos) << run.err;
    text.resize(text.rfind("[[variant]]"));
    put("names.toml", text);
    const LimitedRun again = run_limited(folder, {"cut", "names.toml", "--out", "here"}, {20});
    ASSERT_EQ(again.code, 0) << again.err;
  } else {
    ASSERT_EQ(run.code, 0) << run.err;
  }
  std::vector<std::string> expected = before;
  expected.insert(std::upper_bound(expected.begin(), expected.end(), "here"), "here");
  EXPECT_EQ(names_in(folder), expected);
  for (const std::string &name : names_in(folder / "here")) {
    EXPECT_TRUE(fs::is_regular_file(folder / "here" / name)) << name;
    EXPECT_NE(name[0], '-');
    EXPECT_LE(name.size(), 255u);
    EXPECT_EQ(name.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-."), std::string::npos) << name;
  }
  EXPECT_FALSE(fs::exists(folder.parent_path() / "outside"));
}

}  // namespace
}  // namespace stillbox
