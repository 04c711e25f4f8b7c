// SPDX-License-Identifier: MIT
#include "postprocess/place_command.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <random>

#include "postprocess/child_process.h"
#include "postprocess/place_report.h"
#include "postprocess/progress.h"
#include "postprocess/run_steps.h"
#include "postprocess/safe_file.h"
#include "postprocess/sheet_command.h"
#include "postprocess/solids_rules.h"

namespace stillbox {
namespace {

struct PlaceShare {
  int which = 1, of = 1;
  bool is_whole() const { return of == 1; }
};

PlaceShare read_share(const std::string &text) {
  PlaceShare share;
  if (text.empty()) return share;
  int used = 0;
  if (std::sscanf(text.c_str(), "%d/%d%n", &share.which, &share.of, &used) != 2 || used != int(text.size()) ||
      share.of < 1 || share.of > 10000 || share.which < 1 || share.which > share.of)
    throw CaseError(fmt::format("--share {}: allowed K/N with 1 <= K <= N <= 10000, such as 2/8", text));
  return share;
}

// What an earlier run left, when it was the same search; a last line that was cut off is dropped from the file.
std::vector<PlaceRow> known_rows(const std::string &path, const std::string &fingerprint) {
  if (!std::filesystem::exists(path)) return {};
  std::vector<PlaceRow> rows;
  try {
    rows = read_place_rows(bytes_of_file(path));
  } catch (const std::exception &error) {
    throw CaseError(fmt::format("{}: {}; move it away or name another folder with --out", path, error.what()));
  }
  for (const PlaceRow &row : rows)
    if (row.search != fingerprint)
      throw CaseError(fmt::format(
          "{}: holds candidates of another search (the case file, the materials, --up-to, --fineness or --degree were "
          "others); move it away or name another folder with --out",
          path));
  return rows;
}

bool is_known(const std::vector<PlaceRow> &rows, const PlaceCandidate &c) {
  return std::any_of(rows.begin(), rows.end(),
                     [&](const PlaceRow &row) { return row.line == c.line && std::abs(row.at - c.at) < 5e-4; });
}

void search_through(const PlaceSearch &search, const PlaceShare &share, const SolveOptions &options,
                    const std::string &path, const ProgressLine &line, PlaceReport &report) {
  std::vector<PlaceRow> &rows = report.rows;
  for (PlaceRow &row : refused_rows(search)) rows.push_back(std::move(row));
  sort_place_rows(rows);
  if (!path.empty()) write_file(path, place_rows_text(rows));
  std::size_t number = 0, mine = 0;
  for (const PlacePiece &piece : search.pieces) {
    if (int(number++ % std::size_t(share.of)) + 1 != share.which) continue;
    ++mine;
    if (std::all_of(piece.candidates.begin(), piece.candidates.end(),
                    [&](std::size_t i) { return is_known(rows, search.candidates[i]); })) {
      report.known_before += int(piece.candidates.size());
      continue;
    }
    SolveOptions o = options;
    o.progress = [&, number](const std::string &step) {
      show_progress(line, fmt::format("piece {} of {}: {}", number, search.pieces.size(), step));
    };
    std::string text;
    for (PlaceRow &row : solve_piece(search, piece, o, report.work)) {
      text += place_row_text(row);
      rows.push_back(std::move(row));
    }
    if (!path.empty()) append_to_file(path, text);
  }
  sort_place_rows(rows);
  if (!path.empty()) write_file(path, place_rows_text(rows));
}

void compare(const PlaceReport &report, PlaceCheck &check) {
  if (check.row < 0) return;
  const PlaceRow &row = report.rows[std::size_t(check.row)];
  const std::size_t count = std::min(check.full.modes.size(), std::size_t(row.modes.frequency.size()));
  for (std::size_t i = 0; i < count; ++i) {
    const double error = row.modes.frequency[Eigen::Index(i)] / check.full.modes[i].frequency - 1;
    if (i == 0) check.first_error = error;
    if (std::abs(error) > std::abs(check.worst_error)) check.worst_error = error;
  }
}

void check_in_full(const CaseFile &file, const PlaceOptions &place, const SolveOptions &options,
                   const ProgressLine &line, PlaceReport &report) {
  const PlaceSearch &search = *report.search;
  std::vector<std::pair<std::string, long>> wanted{{"winner", long(report.ranking[0].row)}};
  if (report.ranking.size() > 1) wanted.emplace_back("second", long(report.ranking[1].row));
  const int line_of_winner = report.rows[report.ranking[0].row].line;
  for (std::size_t r = 0; r < report.rows.size(); ++r)
    if (report.rows[r].rule == "middle" && !report.rows[r].is_refused() && report.rows[r].line == line_of_winner &&
        std::none_of(wanted.begin(), wanted.end(), [&](const auto &w) { return w.second == long(r); }))
      wanted.emplace_back("middle", long(r));
  const std::string &bare = file.variants.front().variant_name;
  if (bare != search.request.variant) wanted.emplace_back(bare, -1);
  for (const std::string &variant : search.request.compare)
    if (std::none_of(wanted.begin(), wanted.end(), [&](const auto &w) { return w.first == variant; }))
      wanted.emplace_back(variant, -1);
  std::mt19937 random(place.seed);
  std::vector<std::size_t> rest;
  for (std::size_t i = 2; i < report.ranking.size(); ++i)
    if (report.rows[report.ranking[i].row].how == "reduced") rest.push_back(report.ranking[i].row);
  for (int i = 0; i < place.sample && !rest.empty(); ++i) {
    const std::size_t pick = random() % rest.size();
    wanted.emplace_back(fmt::format("sample {}", i + 1), long(rest[pick]));
    rest.erase(rest.begin() + long(pick));
  }
  for (const auto &[name, row] : wanted) {
    SolveOptions o = options;
    const std::string who = name;
    o.progress = [&](const std::string &step) { show_progress(line, who + " in full: " + step); };
    PlaceCheck check;
    check.name = name;
    check.row = row;
    const auto named = std::find_if(file.variants.begin(), file.variants.end(),
                                    [&](const Structure &v) { return v.variant_name == who; });
    const Structure s =
        row < 0 ? *named
                : candidate_structure(search, report.rows[std::size_t(row)].line, report.rows[std::size_t(row)].at);
    check.full = solve_modes(s, o);
    Eigen::VectorXd f(Eigen::Index(check.full.modes.size())), loss = f;
    for (Eigen::Index i = 0; i < f.size(); ++i) {
      f[i] = check.full.modes[std::size_t(i)].frequency;
      loss[i] = check.full.modes[std::size_t(i)].loss_factor;
    }
    check.value = place_value(search.request, report.up_to, f, loss);
    check.full.field = {};  // shapes are large and not needed any more
    check.full.faces.clear();
    compare(report, check);
    report.checks.push_back(std::move(check));
  }
  for (std::size_t i = 1; i < report.checks.size(); ++i)
    if (report.checks[i].name.rfind("sample", 0) != 0)
      report.checks[i].wins = count_wins(search.request, report.up_to, report.checks[0].full, report.checks[i].full,
                                         place.draws, place.seed, &report.checks[i].margin);
}

}  // namespace

std::string run_place(const RunOptions &options, const PlaceOptions &place) {
  const PlaceShare share = read_share(place.share);
  if (!share.is_whole() && options.out.empty())
    throw CaseError("--share: needs --out, the folder for its candidates; give one");
  if (place.draws < 1 || place.draws > 1000000)
    throw CaseError(fmt::format("--draws {}: allowed 1 .. 1000000", place.draws));
  const CaseFile file = read_case(place.case_path, place.materials_path);
  refuse_solids(file, "place");
  SolveOptions solve = solve_options(options);
  solve.damping = Damping::energy;
  const PlaceSearch search = prepare_search(place.case_path, place.materials_path, solve);
  PlaceReport report;
  report.search = &search;
  report.up_to = solve.up_to;
  report.draws = place.draws;
  report.seed = place.seed;
  std::string path;
  if (!options.out.empty()) {
    path = options.out +
           (share.is_whole() ? "/candidates.csv" : fmt::format("/candidates-{}-of-{}.csv", share.which, share.of));
    check_writable(options.out, share.is_whole() ? FolderUse::alone : FolderUse::with_others);
    report.rows = known_rows(path, search.fingerprint);
  }
  const ProgressLine line;
  double start = processor_seconds();
  search_through(search, share, solve, path, line, report);
  report.seconds_search = processor_seconds() - start;
  if (!share.is_whole()) {
    wipe_progress(line);
    if (options.json)
      return nlohmann::ordered_json{{"share", share.which},
                                    {"of", share.of},
                                    {"candidates", report.rows.size()},
                                    {"full_solutions", report.work.solutions},
                                    {"file", path}}
                 .dump(1) +
             "\n";
    return fmt::format("share {} of {}: {} candidates, {} full solutions, {:.0f} s of processor time, in {}\n",
                       share.which, share.of, report.rows.size(), report.work.solutions, report.seconds_search, path);
  }
  report.ranking = rank_places(search.request, report.up_to, report.rows);
  report.tracks = track_modes(report.rows);
  start = processor_seconds();
  check_in_full(file, place, solve, line, report);
  report.seconds_checks = processor_seconds() - start;
  const PlacedVariant variant = placed_variant(report, place.case_path);
  const std::string wrong = check_placed_variant(variant, report, place.materials_path);
  wipe_progress(line);
  std::string text = place_table(report);
  text += wrong.empty() ? "\nFor the case file, at its end:\n\n" + variant.block
                        : "\nThe winner cannot be put at the end of this case file as a variant: " + wrong +
                              ". Put it in by hand:\n\n" + variant.block;
  if (options.json) text = place_json(report);
  if (options.out.empty()) return text;
  write_file(options.out + "/place.json", place_json(report));
  write_file(options.out + "/place.csv", place_csv(report));
  write_file(options.out + "/place.svg", place_picture(report));
  write_file(options.out + "/placed-variant.toml", variant.block);
  if (wrong.empty()) write_file(options.out + "/placed.toml", variant.text);
  return options.json ? text : text + fmt::format("\nFiles are in {}\n", options.out);
}

std::string run_merge(const std::vector<std::string> &files, const std::string &out) {
  std::vector<PlaceRow> rows;
  std::string first;
  for (const std::string &path : files) {
    std::vector<PlaceRow> own;
    if (!std::filesystem::is_regular_file(path))
      throw CaseError(fmt::format("{}: there is no such file; name the candidates files of all shares", path));
    try {
      own = read_place_rows(bytes_of_file(path));
    } catch (const std::exception &error) {
      throw CaseError(fmt::format("{}: {}; name the candidates files of all shares", path, error.what()));
    }
    for (PlaceRow &row : own) {
      if (first.empty()) first = row.search;
      if (row.search != first)
        throw CaseError(
            fmt::format("{}: belongs to another search than {}; merge shares of one search", path, files[0]));
      rows.push_back(std::move(row));
    }
  }
  if (rows.empty()) throw CaseError("no candidates in these files; name those of all shares");
  sort_place_rows(rows);
  check_writable(out);
  write_file(out + "/candidates.csv", place_rows_text(rows));
  return fmt::format(
      "{} candidates of {} files in {}/candidates.csv; run `stillbox place` with --out {} for the report\n",
      rows.size(), files.size(), out, out);
}

}  // namespace stillbox
