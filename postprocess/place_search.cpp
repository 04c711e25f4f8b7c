// SPDX-License-Identifier: MIT
#include "postprocess/place_search.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "mesh/alike_meshes.h"
#include "mesh/case_file.h"
#include "mesh/length.h"
#include "postprocess/child_process.h"

namespace stillbox {
namespace {

constexpr int nodes_of_a_model = 9;
constexpr double widest_stretch = 8;  // greatest over least length of an interval within a piece

std::string short_reason(const Problems &problems) {
  const Problem &p = problems.list.front();
  return p.advice.empty() ? p.allowed : p.value.empty() ? p.advice : p.value + " " + p.advice;
}

// FNV-1a, 64 bits (from memory): tells apart what was asked.
std::string hash_of(const std::string &text) {
  std::uint64_t hash = 14695981039346656037ull;
  for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ull;
  return fmt::format("{:016x}", hash);
}

Structure try_candidate(const PlaceSearch &search, int line, double at, Problems &problems) {
  return changed_structure(search.trees, search.request.variant, place_changes(search.request, search.lines[line], at),
                           problems);
}

// Along which axis a row moves a board of which nothing else changes, and where its middle is (m) at two places.
struct Movement {
  int axis = 0;
  double offset = 0;  // middle = offset + along
};
std::optional<Movement> movement_of(const Structure &a, double along_a, const Structure &b, double along_b) {
  if (!a.cabinet || a.boards.size() != b.boards.size()) return std::nullopt;
  for (std::size_t i = 0; i < a.boards.size(); ++i) {
    if (a.boards[i].role != BoardRole::brace) continue;
    const auto [low_a, high_a] = world_bounds(a.boards[i]);
    const auto [low_b, high_b] = world_bounds(b.boards[i]);
    const Eigen::Vector3d moved = (low_b + high_b - low_a - high_a) / 2;
    for (int axis = 0; axis < 3; ++axis)
      if (std::abs(moved[axis] - (along_b - along_a)) < 1e-7 && std::abs(moved.norm() - std::abs(moved[axis])) < 1e-7)
        return Movement{axis, (low_a[axis] + high_a[axis]) / 2 - along_a};
  }
  return std::nullopt;
}

void add_rules(const PlaceSearch &search, int number, std::vector<PlaceCandidate> &list) {
  const PlaceLine &line = search.lines[number];
  if (line.row < 0 || search.request.vary[line.row].key != "at" || line.along.size() < 2) return;
  Problems problems;
  const double low = line.along.front(), high = line.along.back();
  std::optional<Structure> first, second;
  double at_first = 0, at_second = 0;
  for (double p : line.along) {  // any two that can be built
    Problems own;
    Structure s = try_candidate(search, number, p, own);
    if (!own.list.empty()) continue;
    (first ? second : first) = std::move(s);
    (second ? at_second : at_first) = p;
    if (second) break;
  }
  if (!second) return;
  const auto movement = movement_of(*first, 1e-3 * at_first, *second, 1e-3 * at_second);
  if (!movement) return;
  const double from = first->cabinet->inner_low[movement->axis], to = first->cabinet->inner_high[movement->axis];
  const double golden = (std::sqrt(5.0) - 1) / 2;
  const std::pair<const char *, double> rules[] = {{"middle", 0.5},
                                                   {"third", 1. / 3},
                                                   {"two thirds", 2. / 3},
                                                   {"golden section, low", 1 - golden},
                                                   {"golden section, high", golden}};
  for (const auto &[name, share] : rules) {
    const double at = std::round(1e4 * (from + share * (to - from) - movement->offset)) / 10;  // to 0.1 mm
    if (at < low - 1e-9 || at > high + 1e-9) continue;
    const auto same = std::find_if(list.begin(), list.end(), [&](const PlaceCandidate &c) {
      return c.line == number && std::abs(c.at - at) < 0.05;
    });
    if (same != list.end())
      same->rule = name;
    else
      list.push_back({number, at, name, "", 0, 0});
  }
}

// Greatest over least length of any interval between faces within a piece; nothing when faces change places.
bool can_share(const Structure &first, const Structure &last) {
  const auto maps = axis_maps(first, last);
  if (!maps) return false;
  for (const AxisMap &map : *maps)
    for (std::size_t i = 0; i + 1 < map.from.size(); ++i) {
      const double stretch = (map.to[i + 1] - map.to[i]) / (map.from[i + 1] - map.from[i]);
      if (stretch > widest_stretch || stretch < 1 / widest_stretch) return false;
    }
  return true;
}

void cut_into_pieces(PlaceSearch &search) {
  std::optional<Structure> first;
  for (std::size_t i = 0; i < search.candidates.size(); ++i) {
    const PlaceCandidate &c = search.candidates[i];
    if (!c.refused.empty()) {
      first.reset();
      continue;
    }
    Problems problems;
    Structure s = try_candidate(search, c.line, c.at, problems);
    const bool joins =
        first && search.candidates[search.pieces.back().candidates.back()].line == c.line && can_share(*first, s);
    if (!joins) {
      search.pieces.emplace_back();
      first = std::move(s);
    }
    search.pieces.back().candidates.push_back(i);
  }
  std::vector<PlacePiece> pieces;
  for (PlacePiece &piece : search.pieces) {
    piece.is_reduced = piece.candidates.size() >= least_of_a_piece;
    if (piece.is_reduced)
      pieces.push_back(piece);
    else
      for (std::size_t i : piece.candidates) pieces.push_back({{i}, false});
  }
  search.pieces.swap(pieces);
}

PlaceRow row_of(const PlaceSearch &search, std::size_t candidate, const char *how) {
  const PlaceCandidate &c = search.candidates[candidate];
  PlaceRow row;
  row.search = search.fingerprint;
  row.line = c.line;
  row.line_of = search.lines[c.line].label;
  row.at = c.at;
  row.rule = c.rule;
  row.how = how;
  row.reason = c.refused;
  row.mass = c.mass;
  row.volume = c.volume;
  return row;
}

}  // namespace

bool has_place_table(const std::string &case_path) { return load_tree(case_path).find("place") != nullptr; }

std::string place_fingerprint(const std::string &case_path, const std::string &materials_path,
                              const SolveOptions &options) {
  return hash_of(fmt::format("1 {} {} {} ", options.up_to, options.fineness, options.degree) +
                 bytes_of_file(case_path) + bytes_of_file(materials_path));
}

PlaceSearch prepare_search(const std::string &case_path, const std::string &materials_path,
                           const SolveOptions &options) {
  const CaseFile file = read_case(case_path, materials_path);
  PlaceSearch search;
  const Node tree = load_tree(case_path);
  if (!tree.find("place"))
    throw CaseError(
        fmt::format("{}: there is no [place] table; it says what is varied, such as the place `at` of a brace (see "
                    "`stillbox keys`)",
                    case_path));
  search.trees = load_case_trees(case_path, materials_path);
  std::vector<std::string> names;
  const Structure *start = &file.variants.front();
  for (const Structure &s : file.variants) names.push_back(s.variant_name);
  Problems problems;
  search.request = read_place_request({&problems, &tree, "", {"case"}}, names);
  for (const Structure &s : file.variants)
    if (s.variant_name == search.request.variant) start = &s;
  search.lines = place_lines(search.request);
  search.fingerprint = place_fingerprint(case_path, materials_path, options);
  const std::vector<double> depths = driver_depths(search.trees, search.request.variant, *start);
  for (std::size_t m = 0; m < depths.size(); ++m)
    if (depths[m] <= 0)
      search.notes.push_back(
          fmt::format("how far driver \"{}\" reaches in is not known (depth_behind_face): braces "
                      "were not kept clear of it",
                      start->rim_masses[m].name));
  for (std::size_t l = 0; l < search.lines.size(); ++l) {
    for (double at : search.lines[l].along) search.candidates.push_back({int(l), at, "", "", 0, 0});
    add_rules(search, int(l), search.candidates);
  }
  std::stable_sort(search.candidates.begin(), search.candidates.end(),
                   [](const PlaceCandidate &a, const PlaceCandidate &b) {
                     return a.line != b.line ? a.line < b.line : a.at < b.at;
                   });
  std::string first_reason;
  for (PlaceCandidate &c : search.candidates) {
    Problems own;
    const Structure s = try_candidate(search, c.line, c.at, own);
    if (!own.list.empty()) {
      c.refused = short_reason(own);
      if (first_reason.empty()) first_reason = own.message();
      continue;
    }
    const Volumes volumes = volumes_of(s);
    c.mass = volumes.mass;
    c.volume = volumes.inner;
    c.refused = place_objection(search.request, s, depths);
    if (first_reason.empty() && !c.refused.empty()) first_reason = case_path + ": key place: " + c.refused;
  }
  if (std::all_of(search.candidates.begin(), search.candidates.end(),
                  [](const PlaceCandidate &c) { return !c.refused.empty(); }))
    throw CaseError(fmt::format("{}: key place.vary: none of the {} candidates can be built; the first says: {}",
                                case_path, search.candidates.size(), first_reason));
  cut_into_pieces(search);
  return search;
}

Structure candidate_structure(const PlaceSearch &search, int line, double at) {
  Problems problems;
  Structure s = try_candidate(search, line, at, problems);
  if (!problems.list.empty()) throw CaseError(problems.message());
  return s;
}

std::vector<PlaceRow> solve_piece(const PlaceSearch &search, const PlacePiece &piece, const SolveOptions &options,
                                  PlaceWork &work) {
  const int line = search.candidates[piece.candidates.front()].line;
  std::vector<PlaceRow> rows;
  if (!piece.is_reduced) {
    for (std::size_t i : piece.candidates) {
      const Structure s = candidate_structure(search, line, search.candidates[i].at);
      PlaceRow row = row_of(search, i, "full");
      row.modes = place_modes_in_full(s, options);
      ++work.solutions;
      rows.push_back(rounded(row));
    }
    return rows;
  }
  try {
    const std::vector<double> nodes = place_nodes(search.candidates[piece.candidates.front()].at,
                                                  search.candidates[piece.candidates.back()].at, nodes_of_a_model);
    std::vector<Structure> structures;
    for (double p : nodes) structures.push_back(candidate_structure(search, line, p));
    const PlaceModel model = make_place_model(structures, nodes, options);
    work.solutions += model.solutions;
    work.factorisations += model.factorisations;
    work.doubt = std::max(work.doubt, model.doubt);
    for (std::size_t i : piece.candidates) {
      PlaceRow row = row_of(search, i, "reduced");
      row.modes = place_modes(model, search.candidates[i].at);
      rows.push_back(rounded(row));
    }
    return rows;
  } catch (const MeshError &) {
  } catch (const CaseError &) {  // something is in the way between two candidates
  }
  // Two halves, or one by one.
  const std::size_t half = piece.candidates.size() / 2;
  PlacePiece low{{piece.candidates.begin(), piece.candidates.begin() + long(half)}, half >= least_of_a_piece};
  PlacePiece high{{piece.candidates.begin() + long(half), piece.candidates.end()},
                  piece.candidates.size() - half >= least_of_a_piece};
  rows = solve_piece(search, low, options, work);
  const std::vector<PlaceRow> more = solve_piece(search, high, options, work);
  rows.insert(rows.end(), more.begin(), more.end());
  return rows;
}

std::vector<PlaceRow> refused_rows(const PlaceSearch &search) {
  std::vector<PlaceRow> rows;
  for (std::size_t i = 0; i < search.candidates.size(); ++i)
    if (!search.candidates[i].refused.empty()) rows.push_back(rounded(row_of(search, i, "refused")));
  return rows;
}

}  // namespace stillbox
