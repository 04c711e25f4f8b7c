// SPDX-License-Identifier: MIT
#include "postprocess/match_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>
#include <stdexcept>

#include "mesh/case_node.h"
#include "mesh/grid.h"
#include "mesh/keys.h"
#include "mesh/length.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

using Kind = MatchUnknown::Kind;

struct Phrase {
  const char *words;
  std::optional<Kind> kind;  // nothing: a loss factor
  bool of_bond;
  const char *material_kinds;  // where it means something; "" everywhere
};
const Phrase phrases[] = {
    {"modulus of ", Kind::modulus, false, ""},
    {"density of ", Kind::density, false, ""},
    {"in-plane modulus of ", Kind::in_plane_modulus, false, "transversely isotropic"},
    {"along modulus of ", Kind::along_modulus, false, "orthotropic"},
    {"across modulus of ", Kind::across_modulus, false, "orthotropic"},
    {"in-plane shear modulus of ", Kind::in_plane_shear, false, "orthotropic"},
    {"through shear modulus of ", Kind::through_shear, false, "transversely isotropic, orthotropic"},
    {"stiffness of bond ", Kind::bond_stiffness, true, ""},
    {"loss factor of bond ", std::nullopt, true, ""},  // before the next one, which begins alike
    {"loss factor of ", std::nullopt, false, ""}};

struct Words {
  const CaseFile &file;
  const std::string &materials_path;
  const MatchWords &given;
  MatchProblem &problem;
  std::vector<std::string> names;  // in the order given

  const Structure &start() const { return *problem.start; }

  [[noreturn]] void refuse(const std::string &word, const std::string &why) const {
    throw CaseError(fmt::format("{}: --unknown \"{}\": {}", file.path, clean_text(word), why));
  }

  std::vector<int> used_materials() const {
    std::vector<int> used;
    for (const Board &board : start().boards)
      for (const Layer &layer : board.layers)
        if (std::find(used.begin(), used.end(), layer.material) == used.end()) used.push_back(layer.material);
    return used;
  }

  int material(const std::string &word, const std::string &name) const {
    std::vector<std::string> known;
    for (int m : used_materials()) {
      if (start().materials[m].name == name) return m;
      known.push_back(start().materials[m].name);
    }
    const std::string near = suggestion(name, known);
    refuse(word, fmt::format("no board of \"{}\" is made of \"{}\"; allowed: {}{}", start().variant_name,
                             clean_text(name), joined(known), near.empty() ? "" : "; " + near));
  }

  void check_bond(const std::string &word, const std::string &name) const {
    std::vector<std::string> known;
    for (const Bond &bond : start().bonds) {
      if (bond.name == name) {
        if (bond.is_loose()) refuse(word, "this bond is loose: it has no springs; make it another kind first");
        return;
      }
      if (std::find(known.begin(), known.end(), bond.name) == known.end()) known.push_back(bond.name);
    }
    const std::string near = suggestion(name, known);
    refuse(word,
           fmt::format("\"{}\" has no bond \"{}\"; allowed: {}{}", start().variant_name, clean_text(name),
                       known.empty() ? "none, as all edges are glued (see [[bond]] in `stillbox keys`)" : joined(known),
                       near.empty() ? "" : "; " + near));
  }

  void check_material(const std::string &word, const Phrase &phrase, int m) const {
    const Material &material = start().materials[m];
    if (material.viscoelastic && phrase.kind != Kind::density)
      refuse(word, "this material is tabled over frequency; give it a constant modulus and loss factor to fit them");
    const std::string allowed = phrase.material_kinds;
    if (allowed.empty()) return;
    const std::string kind = kind_of_material(file.path, materials_path, material.name);
    // "isotropic" is the end of "transversely isotropic".
    if (!kind.empty() && kind != "isotropic" && allowed.find(kind) != std::string::npos) return;
    refuse(word, fmt::format("\"{}\" is {}; this modulus belongs to materials that are {}; take \"modulus of {}\"",
                             material.name, kind.empty() ? "of another kind" : kind, allowed, material.name));
  }

  void read(const std::string &word) {
    std::string text = word, within = "";
    if (const std::size_t at = word.rfind(" within "); at != std::string::npos) {
      within = word.substr(at + 8);
      text = word.substr(0, at);
    }
    while (!text.empty() && text.back() == ' ') text.pop_back();
    const auto phrase = std::find_if(std::begin(phrases), std::end(phrases),
                                     [&](const Phrase &p) { return text.rfind(p.words, 0) == 0; });
    if (phrase == std::end(phrases)) {
      std::string known;
      for (const Phrase &p : phrases) known += fmt::format("{}\"{}NAME\"", known.empty() ? "" : ", ", p.words);
      refuse(word, "cannot be read; allowed: " + known + ", each also with \" within 0.5..2\" behind it");
    }
    const std::string name = text.substr(std::string(phrase->words).size());
    if (std::find(names.begin(), names.end(), text) != names.end()) refuse(word, "is named twice; remove one");
    names.push_back(text);
    int m = -1;
    if (phrase->of_bond) {
      check_bond(word, name);
    } else {
      m = material(word, name);
      check_material(word, *phrase, m);
    }
    const std::string &bounds_text = within.empty() && phrase->kind ? given.within : within;
    std::optional<std::pair<double, double>> bounds;
    if (!bounds_text.empty()) {
      bounds = parse_within(bounds_text);
      if (!bounds)
        refuse(word, fmt::format("within \"{}\": allowed LOW..HIGH, factors on the start such as 0.5..2, with LOW from "
                                 "0.001 to 1 and HIGH from 1 to 1000",
                                 clean_text(bounds_text)));
    }
    if (!phrase->kind) {
      LossUnknown loss;
      loss.material = m;
      loss.bond = phrase->of_bond ? name : "";
      loss.name = text;
      loss.start = phrase->of_bond ? std::find_if(start().bonds.begin(), start().bonds.end(),
                                                  [&](const Bond &b) { return b.name == name; })
                                         ->loss_factor
                                   : start().materials[m].loss_factor;
      if (bounds) {
        if (!(loss.start > 0))
          refuse(word, "its loss factor is 0 at the start, so a factor on it means nothing; remove within");
        loss.low = bounds->first * loss.start;
        loss.high = std::min(bounds->second * loss.start, phrase->of_bond ? 3.0 : 2.0);
      }
      problem.losses.push_back(loss);
      return;
    }
    MatchUnknown u;
    u.kind = *phrase->kind;
    u.material = m;
    u.bond = phrase->of_bond ? name : "";
    u.name = text;
    if (bounds)
      std::tie(u.low, u.high) = *bounds;
    else if (u.kind == Kind::density)
      std::tie(u.low, u.high) = std::pair{0.7, 1.4};
    else if (u.kind == Kind::bond_stiffness)
      std::tie(u.low, u.high) = std::pair{0.01, 100.0};
    problem.unknowns.push_back(u);
  }

  // The material with the largest volume in the walls, or in all boards when there are no walls.
  int main_material() const {
    std::map<int, double> volume;
    const Volumes volumes = volumes_of(start());
    const auto &boards = start().boards;
    const bool has_walls =
        std::any_of(boards.begin(), boards.end(), [](const Board &b) { return b.role == BoardRole::wall; });
    for (std::size_t b = 0; b < start().boards.size(); ++b) {
      const Board &board = start().boards[b];
      if (has_walls && board.role != BoardRole::wall) continue;
      for (const Layer &layer : board.layers)
        volume[layer.material] += volumes.board[b] * layer.thickness / board.thickness();
    }
    const auto most = std::max_element(volume.begin(), volume.end(),
                                       [](const auto &a, const auto &b) { return a.second < b.second; });
    return most->first;
  }

  // At every corner of the bounds each law must stay possible.
  void check_corners() const {
    const int n = int(problem.unknowns.size());
    if (n > 12)
      refuse(problem.unknowns[12].name, "more than 12 unknowns at once; allowed up to 12, fit some of them first");
    for (int corner = 0; corner < 1 << n; ++corner) {
      Eigen::VectorXd p(n);
      for (int k = 0; k < n; ++k) p[k] = std::log(corner >> k & 1 ? problem.unknowns[k].high : problem.unknowns[k].low);
      for (const MatchUnknown &u : problem.unknowns) {
        if (u.material < 0) continue;
        try {
          law_with(start(), u.material, problem.unknowns, p);
        } catch (const std::domain_error &error) {
          refuse(u.name, fmt::format("within its bounds {} to {} times the start the constants of the material do not "
                                     "fit together: {}; narrow them",
                                     number_text(u.low), number_text(u.high), error.what()));
        }
      }
    }
  }
};

}  // namespace

std::optional<std::pair<double, double>> parse_within(const std::string &text) {
  const std::size_t dots = text.find("..");
  if (dots == std::string::npos) return std::nullopt;
  const auto number = [](std::string part) -> std::optional<double> {
    part.erase(std::remove(part.begin(), part.end(), ' '), part.end());
    double value = 0;
    const auto [end, error] = std::from_chars(part.data(), part.data() + part.size(), value);
    if (part.empty() || error != std::errc() || end != part.data() + part.size()) return std::nullopt;
    return value;
  };
  const auto low = number(text.substr(0, dots)), high = number(text.substr(dots + 2));
  if (!low || !high || !(*low >= 0.001 && *low <= 1 && *high >= 1 && *high <= 1000 && *low < *high))
    return std::nullopt;
  return std::pair{*low, *high};
}

std::string kind_of_material(const std::string &case_path, const std::string &materials_path, const std::string &name) {
  const Node own = load_tree(case_path), built_in = materials_path.empty() ? Node{} : load_tree(materials_path);
  const auto table = [&](const Node &tree, const std::string &word) -> const Node * {
    const Node *list = tree.find("material");
    const Node *node = list ? list->find(word) : nullptr;
    return node && node->kind == Node::Kind::table ? node : nullptr;
  };
  std::string wanted = name;
  const Node *node = table(own, name);
  if (!node) node = table(built_in, name);
  for (int depth = 0; node && depth < 10; ++depth) {
    if (const Node *kind = node->find("kind")) return kind->text;
    const Node *base = node->find("based_on");
    if (!base) return "";
    const Node *next = base->text == wanted ? nullptr : table(own, base->text);
    node = next ? next : table(built_in, base->text);
    wanted = base->text;
  }
  return "";
}

void read_match_words(const MatchWords &words, const CaseFile &file, const std::string &materials_path,
                      MatchProblem &problem) {
  if (!words.within.empty() && !parse_within(words.within))
    throw CaseError(
        fmt::format("{}: --within \"{}\": allowed LOW..HIGH, factors on the start such as 0.5..2, with LOW "
                    "from 0.001 to 1 and HIGH from 1 to 1000",
                    file.path, clean_text(words.within)));
  const long with_loss =
      std::count_if(problem.heard.begin(), problem.heard.end(), [](const HeardFrequency &h) { return h.loss >= 0; });
  Words reading{file, materials_path, words, problem, {}};
  if (words.unknowns.empty()) {
    const std::string name = problem.start->materials[reading.main_material()].name;
    reading.read("modulus of " + name);
    if (with_loss > 0) reading.read("loss factor of " + name);
  }
  for (const std::string &word : words.unknowns) reading.read(word);
  if (!problem.losses.empty() && with_loss < long(problem.losses.size()))
    reading.refuse(problem.losses.back().name,
                   fmt::format("{} loss factors are unknown but {} were heard; fill the column loss_factor, or leave "
                               "this unknown out",
                               problem.losses.size(), with_loss));
  if (problem.unknowns.size() > problem.heard.size())
    reading.refuse(problem.unknowns.back().name,
                   fmt::format("{} unknowns but only {} heard frequencies; allowed: at most as many unknowns as "
                               "frequencies, better half as many",
                               problem.unknowns.size(), problem.heard.size()));
  reading.check_corners();
}

}  // namespace stillbox
