// SPDX-License-Identifier: MIT
// stillbox_random_cabinets: random cabinets through reader, mesher and solver, each answer checked.
//   stillbox_random_cabinets [--count N] [--first N] [--seed N] [--small] [--keep FOLDER] [--most N] [--show N]
// Prints what became of them, and why some were refused; those that went wrong go to FOLDER. Exit code 1 then.

#include <fmt/format.h>
#include <sys/mman.h>

#include <map>

#include "tests/fuzz/guarded.h"
#include "tests/fuzz/search_line.h"
#include "tests/property/random_cabinets.h"

namespace {

/// What became of one, where the parent can read it.
struct Fate {
  int outcome, unknowns, modes;
  char reason[300];
};

// Reasons alike but for names and numbers are counted together.
std::string kind_of(const std::string &reason) {
  std::string kind;
  bool quoted = false;
  for (const char c : reason.substr(0, reason.find('\n'))) {
    if (c == '"') quoted = !quoted;
    if (quoted) continue;
    const bool is_digit = (c >= '0' && c <= '9') || (c == '.' && !kind.empty() && kind.back() == '#');
    if (is_digit && !kind.empty() && kind.back() == '#') continue;
    kind += is_digit ? '#' : c;
  }
  return kind.substr(0, 160);
}

}  // namespace

int main(int argc, char **argv) {
  std::size_t count = 300, first = 0;
  bool small = false;
  stillbox::Search search;
  search.most = 30;
  CLI::App app{"Random cabinets through reader, mesher and solver."};
  app.add_option("--count", count, "how many")->capture_default_str();
  app.add_option("--first", first, "number of the first")->capture_default_str();
  app.add_flag("--small", small, "small ones, as in the tests");
  stillbox::add_search_options(app, search);
  CLI11_PARSE(app, argc, argv);
  if (search.show >= 0) {
    fmt::print("{}", stillbox::random_cabinet(search.seed, std::uint64_t(search.show), small));
    return 0;
  }
  void *const place = ::mmap(nullptr, count * sizeof(Fate), PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
  if (place == MAP_FAILED) return 1;
  Fate *const fates = static_cast<Fate *>(place);
  for (std::size_t i = 0; i < count; ++i) fates[i].outcome = -1;
  const auto work = [&](std::size_t i) {
    const stillbox::CabinetRun run = stillbox::try_cabinet(stillbox::random_cabinet(search.seed, first + i, small));
    fates[i].unknowns = run.unknowns;
    fates[i].modes = run.modes;
    std::snprintf(fates[i].reason, sizeof fates[i].reason, "%s", run.reason.c_str());
    fates[i].outcome = int(run.outcome);
    return run.complaint;
  };
  const auto findings = stillbox::run_guarded(count, work, {60, std::size_t(2) << 30}, search.most);
  std::map<int, int> outcomes;
  std::map<std::string, std::pair<int, std::size_t>> reasons;
  double unknowns = 0, modes = 0;
  for (std::size_t i = 0; i < count; ++i) {
    ++outcomes[fates[i].outcome];
    unknowns += fates[i].unknowns;
    modes += fates[i].modes;
    if (fates[i].outcome > 0) {
      auto &[times, example] = reasons[kind_of(fates[i].reason)];
      if (++times == 1) example = first + i;
    }
  }
  const int solved = std::max(1, outcomes[0]);
  fmt::print(
      "{} cabinets, seed {}: {} solved ({:.0f} unknowns and {:.1f} modes each), refused by the reader {}, by the "
      "mesher {}, by the solver {}; {} wrong\n",
      count, search.seed, outcomes[0], unknowns / solved, modes / solved, outcomes[1], outcomes[2], outcomes[3],
      findings.size());
  for (const auto &[reason, times] : reasons)
    fmt::print("  {:4} times, number {}: {}\n", times.first, times.second, reason);
  for (const stillbox::GuardFinding &f : findings) {
    const std::string file = fmt::format("cabinet-{}-{}.toml", search.seed, first + f.number);
    fmt::print("  {}/{}: {}\n", search.keep, file, f.what);
    std::fflush(stdout);  // should making it again bring this program down
    stillbox::keep_finding(search, file, stillbox::random_cabinet(search.seed, first + f.number, small));
  }
  return findings.empty() ? 0 : 1;
}
