// SPDX-License-Identifier: MIT
#include <algorithm>
#include <map>
#include <optional>

#include "mesh/case_build.h"
#include "mesh/contact.h"

namespace stillbox {
namespace {

// Loss factors of a kind where the file gives none: typical, from memory, to be overridden.
constexpr double loss_of_screwed = 0.03, loss_of_gasketed = 0.2;

/// The springs of one [[bond]]: stiffnesses per metre of edge.
struct Springs {
  double normal = 0, shear = 0, loss_factor = 0;
  bool is_glued = false;
};

/// Keys that belong to other kinds are refused: they would be ignored in silence.
void refuse_keys_of_others(const Reader &r, const std::string &kind) {
  const bool is_screwed = kind == "screwed", is_given = kind == "gasketed" || kind == "soft";
  const auto check = [&](const char *key, bool belongs, const char *kinds) {
    if (!r.has(key) || belongs) return;
    const bool is_rigid = kind == "glued";
    r.refuse(key, std::string("only with kind = ") + kinds,
             is_rigid ? "a glued edge is rigid: remove it, or make the edge another kind"
                      : "it means nothing with kind = \"" + kind + "\": remove it, or change the kind");
  };
  for (const char *key : {"spacing", "slip_modulus_n_mm", "withdrawal_stiffness_n_mm"})
    check(key, is_screwed, "\"screwed\"");
  for (const char *key : {"normal_stiffness_mn_m2", "shear_stiffness_mn_m2"})
    check(key, is_given, "\"gasketed\" or \"soft\"");
  check("loss_factor", is_screwed || is_given, "\"screwed\", \"gasketed\" or \"soft\"");
}

/// A number that this kind needs and the declaration alone does not demand.
double needed(const Reader &r, const std::string &key, const std::string &why) {
  if (r.has(key)) return r.number(key);
  r.refuse(key, allowed_text(*find_key(r.groups, key)), why);
  return 1;
}

Springs read_springs(const Reader &r) {
  const std::string kind = r.text("kind");
  refuse_keys_of_others(r, kind);
  Springs s;
  s.is_glued = kind == "glued";
  if (kind == "screwed") {
    double spacing = 1;
    if (r.has("spacing"))
      spacing = r.length("spacing");
    else
      r.refuse("spacing", allowed_text(*find_key(r.groups, "spacing")),
               "a screwed edge needs the distance from screw to screw: add this key");
    s.shear = r.number("slip_modulus_n_mm") * 1e3 / spacing;
    s.normal = r.number("withdrawal_stiffness_n_mm") * 1e3 / spacing;
    s.loss_factor = r.has("loss_factor") ? r.number("loss_factor") : loss_of_screwed;
  } else if (kind == "gasketed" || kind == "soft") {
    const std::string why = "a " + kind + " edge needs its stiffness in both directions: add this key";
    s.normal = needed(r, "normal_stiffness_mn_m2", why) * 1e6;
    s.shear = needed(r, "shear_stiffness_mn_m2", why) * 1e6;
    if (r.has("loss_factor") || kind == "soft")
      s.loss_factor = needed(r, "loss_factor", "a soft edge needs its loss factor: add this key");
    else
      s.loss_factor = loss_of_gasketed;
  }
  return s;
}

std::string pair_text(const Structure &s, int a, int b) {
  return "\"" + s.boards[a].name + "\" and \"" + s.boards[b].name + "\"";
}

/// False after reporting that these two cannot be bonded.
bool can_be_bonded(const Build &b, const Reader &r, const std::string &key, int first, int second, const Contact &c) {
  const std::string pair = pair_text(b.structure, first, second);
  const bool is_covered = !c.touches && contact_between(b.structure, first, second).touches;
  if (c.is_mitred)
    r.refuse_value(key, pair, "butt and rebate joints",
                   "a mitred edge can only be glued; make the joint butt or rebate");
  else if (c.is_lapped)
    r.refuse_value(key, pair, "boards that butt",
                   "half-lapped boards can only be glued; add a [[crossing]] of kind \"butt\" for them");
  else if (is_covered)
    r.refuse_value(key, pair, "boards that touch",
                   "other boards take the place where these two would meet; name two that meet");
  else if (!c.touches)
    r.refuse_value(key, pair, "boards that touch", "these two share no face; name two that do");
  else if (c.is_loose)
    r.refuse_value(key, pair, "sides that `glued` does not leave out",
                   "the key glued of one of them already leaves this side loose; remove it there or remove this bond");
  else
    return true;
  return false;
}

int board_named(const Build &b, const Reader &r, const std::string &key, const std::string &name) {
  return find_board_named(b, r, key, name, "\"" + name + "\"");
}

/// The pairs a bond is for; empty after a problem.
std::vector<std::pair<int, int>> pairs_of(const Build &b, const Reader &r, const Contacts &contacts) {
  const Structure &s = b.structure;
  std::vector<std::pair<int, int>> pairs;
  if (r.has("between")) {
    const auto names = r.texts("between");
    const int first = board_named(b, r, "between", names[0]);
    const int second = first < 0 ? -1 : board_named(b, r, "between", names[1]);
    if (second >= 0 && can_be_bonded(b, r, "between", first, second, contacts.between(first, second)))
      pairs.emplace_back(first, second);
    return pairs;
  }
  const int first = board_named(b, r, "of", r.text("of"));
  if (first < 0) return pairs;
  for (int other = 0; other < int(s.boards.size()); ++other) {
    if (other == first || s.boards[other].role == BoardRole::sheet) continue;
    const Contact contact = contacts.between(first, other);
    // Sides that are not glued are none of its edges.
    if (!contact.touches && !contact.is_mitred && !contact.is_lapped) continue;
    if (contact.is_loose && !contact.is_mitred && !contact.is_lapped) continue;
    if (!can_be_bonded(b, r, "of", first, other, contact)) return {};
    pairs.emplace_back(first, other);
  }
  if (pairs.empty()) r.refuse("of", "a board that touches another one", "it is joined to nothing; remove this bond");
  return pairs;
}

void check_values(Build &b, const Reader &r, Springs &springs) {
  r.refuse_unknown_keys();
  register_name(b, r, "name", r.text("name"));
  springs = read_springs(r);
  if (r.has("between") == r.has("of")) {
    r.refuse(r.has("between") ? "of" : "between", "either between or of",
             r.has("between") ? "remove one of the two"
                              : "name two boards, between = [\"left\", \"top\"], or one, of = \"shelf\"");
  } else if (r.has("between")) {
    const std::size_t before = b.problems().found;
    if (r.texts("between").size() != 2 && b.problems().found == before)
      r.refuse("between", "two names", "name the two boards that meet there");
  } else {
    r.text("of");
  }
}

}  // namespace

void read_bonds(Build &b) {
  std::map<std::pair<int, int>, Place> seen;
  std::optional<Contacts> contacts;
  for (const Reader &r : b.root.tables("bond", {"bond"}, 200)) {
    Springs springs;
    if (!read_cleanly(b, [&] { check_values(b, r, springs); }) || !b.values_ok) continue;
    if (!contacts) contacts = contacts_of(b.structure);
    for (const auto &[first, second] : pairs_of(b, r, *contacts)) {
      const auto [old, is_new] = seen.emplace(std::minmax(first, second), r.place());
      if (!is_new) {
        r.refuse_value(r.has("of") ? "of" : "between", pair_text(b.structure, first, second), "each edge once",
                       "the bond in line " + std::to_string(old->second.line) + " is for this edge too; remove one");
        break;
      }
      if (!springs.is_glued)
        b.structure.bonds.push_back(
            {r.text("name"), first, second, springs.normal, springs.shear, springs.loss_factor});
    }
  }
}

}  // namespace stillbox
