// SPDX-License-Identifier: MIT
#include "postprocess/match_command.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "mesh/keys.h"
#include "mesh/length.h"
#include "postprocess/heard_list.h"
#include "postprocess/match_report.h"
#include "postprocess/match_variant.h"
#include "postprocess/progress.h"
#include "postprocess/safe_file.h"
#include "postprocess/sheet_command.h"
#include "postprocess/solids_rules.h"
#include "postprocess/table.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

constexpr double above_highest = 1.3;  // modes are found up to this times the highest heard frequency

const Structure &variant_of(const CaseFile &file, const std::vector<std::string> &wanted) {
  std::vector<std::string> names;
  for (const Structure &s : file.variants) names.push_back(s.variant_name);
  if (wanted.empty()) return file.variants.front();
  if (wanted.size() > 1)
    throw CaseError(
        fmt::format("{}: --variant: {} were named; allowed: one, as what was heard is one box; name one of {}",
                    file.path, wanted.size(), joined(names)));
  for (const Structure &s : file.variants)
    if (s.variant_name == wanted[0]) return s;
  const std::string near = suggestion(wanted[0], names);
  throw CaseError(fmt::format("{}: --variant \"{}\": there is no such variant; allowed: {}{}", file.path,
                              clean_text(wanted[0]), joined(names), near.empty() ? "" : "; " + near));
}

std::vector<HeardLine> heard_of(const MatchRequest &request) {
  if (!request.hear || is_heard_list(request.heard_path)) return read_heard_list(request.heard_path);
  std::vector<HeardLine> list;
  for (const HeardMode &mode : request.hear(request.heard_path)) list.push_back({mode, 0, "", 0});
  return list;
}

std::vector<HeardFrequency> heard_frequencies(const std::vector<HeardLine> &lines, const Structure &s,
                                              const std::string &path) {
  std::vector<HeardFrequency> list;
  std::string problems;
  for (const HeardLine &line : lines) {
    HeardFrequency h;
    h.frequency = line.heard.frequency;
    h.sd = line.heard.frequency_sd / line.heard.frequency;
    h.loss = std::isfinite(line.heard.loss_factor) ? line.heard.loss_factor : -1;
    h.loss_sd = std::isfinite(line.heard.loss_factor_sd) ? line.heard.loss_factor_sd : 0;
    h.mode = line.mode - 1;
    if (!line.wall.empty()) {
      std::vector<std::string> names;
      for (std::size_t b = 0; b < s.boards.size(); ++b) {
        names.push_back(s.boards[b].name);
        if (s.boards[b].name == line.wall) h.board = int(b);
      }
      const std::string near = suggestion(line.wall, names);
      if (h.board < 0)
        problems += fmt::format("{}{}:{}: column wall: value \"{}\"; allowed {}; \"{}\" has no such board{}",
                                problems.empty() ? "" : "\n", path, line.line, clean_text(line.wall), joined(names),
                                s.variant_name, near.empty() ? "" : ": " + near);
    }
    list.push_back(h);
  }
  if (!problems.empty()) throw CaseError(problems);
  return list;
}

double top_frequency(const MatchRequest &request, const std::vector<HeardFrequency> &heard) {
  double highest = 0;
  for (const HeardFrequency &h : heard) highest = std::max(highest, h.frequency);
  if (request.up_to > 0) {
    if (request.up_to > highest) return request.up_to;
    throw CaseError(
        fmt::format("--up-to {}: must lie above the highest heard frequency, {} Hz; raise it, or leave it out "
                    "for {} times that",
                    number_text(request.up_to), number_text(highest), above_highest));
  }
  if (above_highest * highest > 20000)
    throw CaseError(
        fmt::format("{}: column frequency_hz: value {}; allowed up to {:.0f} Hz, as modes are found up to {} "
                    "times the highest one and 20000 Hz; remove what lies above, or give --up-to",
                    request.heard_path, number_text(highest), 20000 / above_highest, above_highest));
  return std::max(20.0, above_highest * highest);
}

}  // namespace

std::string run_match(const CaseFile &file, const RunOptions &options, const MatchRequest &request) {
  check_degree(file, options.degree);
  MatchReport report;
  const Structure &start = variant_of(file, options.variants);
  report.heard = heard_of(request);
  report.case_path = file.path;
  report.heard_path = request.heard_path;
  report.case_name = file.name;
  report.variant_name = start.variant_name;
  report.problem.start = &start;
  report.problem.heard = heard_frequencies(report.heard, start, request.heard_path);
  read_match_words(request.words, file, request.materials_path, report.problem);
  if (!(request.gate >= 1 && request.gate <= 50))
    throw CaseError(fmt::format("--gate {}: allowed 1 .. 50 per cent; 15 is usual", number_text(request.gate)));
  if (!(request.floor >= 0 && request.floor <= 20))
    throw CaseError(fmt::format("--floor {}: allowed 0 .. 20 per cent; 1 is usual", number_text(request.floor)));
  MatchOptions &o = report.options;
  o.gate = request.gate / 100;
  o.floor = request.floor / 100;
  o.solve.up_to = top_frequency(request, report.problem.heard);
  o.solve.fineness = options.fineness;
  o.solve.degree = options.degree;
  if (!options.out.empty()) check_writable_later(options.out);

  ProgressLine line;
  o.solve.progress = [&](const std::string &step) { show_progress(line, start.variant_name + ": " + step); };
  try {
    report.result = match_frequencies(report.problem, o);
  } catch (const std::domain_error &error) {
    throw CaseError(fmt::format("{}: \"{}\": a material's table does not cover what was heard: {}", file.path,
                                start.variant_name, error.what()));
  }
  const MatchedVariant variant = matched_variant(file, request.materials_path, report.problem, report.result);
  const std::string wrong = check_matched_variant(variant, request.materials_path, report.problem, report.result);
  wipe_progress(line);
  std::string text = match_table(report);
  if (wrong.empty())
    text += "\nFor the case file, at its end:\n\n" + variant.block;
  else
    text +=
        "\n" + paragraph("",
                         "The values cannot be put at the end of this case file as a variant: " + clean_text(wrong) +
                             ". Put them in by hand.",
                         table_width);
  if (options.json) text = match_json(report);
  if (options.out.empty()) return text;
  check_writable(options.out, FolderUse::after_work);
  write_file(options.out + "/match.json", match_json(report));
  write_file(options.out + "/match.csv", match_csv(report));
  if (wrong.empty()) {
    write_file(options.out + "/matched-variant.toml", variant.block);
    write_file(options.out + "/matched.toml", variant.text);
  }
  return options.json ? text : text + fmt::format("\nFiles are in {}\n", options.out);
}

}  // namespace stillbox
