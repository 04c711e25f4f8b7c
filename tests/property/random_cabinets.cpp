// SPDX-License-Identifier: MIT
#include "tests/property/random_cabinets.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <set>
#include <utility>
#include <vector>

#include "mesh/case_file.h"
#include "tests/fuzz/readers.h"

namespace stillbox {
namespace {

const std::array<std::string, 6> walls = {"baffle", "back", "left", "right", "top", "bottom"};
const std::array<std::string, 3> directions = {"width", "depth", "height"};

struct Draw {
  std::mt19937_64 random;
  double unit() { return double(random() >> 11) * 0x1p-53; }
  double between(double low, double high) { return low + (high - low) * unit(); }
  /// In steps of a tenth of a millimetre, as people measure; at times in whole ones, so that planes coincide.
  double length(double low, double high) {
    const double v = between(low, high);
    return chance(0.5) ? std::round(v) : std::round(10 * v) / 10;
  }
  bool chance(double part) { return unit() < part; }
  int whole(int low, int high) { return low + int(random() % std::uint64_t(high - low + 1)); }
  template <typename List>
  const auto &any_of(const List &list) {
    return list[std::size_t(random() % list.size())];
  }
};

int axis_of(int wall) { return wall < 2 ? 1 : wall < 4 ? 0 : 2; }

// The reader accepts it. What else it may throw is for the check of the whole to find.
bool is_accepted(const std::string &text) {
  try {
    read_case_text(text, "random.toml", STILLBOX_SOURCE_DIR "/cases/materials.toml");
  } catch (const CaseError &) {
    return false;
  } catch (...) {
  }
  return true;
}

struct Maker {
  Draw d;
  std::string text;
  std::string title;
  double up_to = 1000;           // Hz
  bool as_it_comes = false;      // nothing is drawn anew
  std::array<double, 3> size{};  // outer, mm
  double t = 0;
  bool small = false;
  std::vector<std::string> braces;

  std::string head() const {
    return fmt::format(
        "name = \"{}\"\nup_to_hz = {}\n[mesh]\nfineness = 0.5\ndegree = 2\n[material.own]\nkind = "
        "\"orthotropic\"\ndensity_kg_m3 = 520\nloss_factor = 0.012\nyoungs_modulus_along_gpa = 9\n"
        "youngs_modulus_across_gpa = 1.1\nyoungs_modulus_through_gpa = 0.5\nshear_modulus_along_across_gpa = 0.7\n"
        "shear_modulus_along_through_gpa = 0.6\nshear_modulus_across_through_gpa = 0.06\npoissons_ratio_along_across = "
        "0.35\npoissons_ratio_along_through = 0.4\npoissons_ratio_across_through = 0.4\n[material.\"spruce-like\"]\n"
        "based_on = \"own\"\ndensity_kg_m3 = 430\n",
        title, up_to);
  }
  void add(const std::string &line) { text += line + "\n"; }

  /// A part that the reader refuses in what is there so far is drawn anew, or left out after some tries.
  template <typename Part>
  void try_part(Part part) {
    const std::string text_before = text;
    const std::vector<std::string> braces_before = braces;
    constexpr int tries = 8;
    for (int i = 0; i < tries; ++i) {
      part();
      if (as_it_comes || is_accepted(head() + text)) return;
      text = text_before;
      braces = braces_before;
    }
  }

  std::string material() {
    static const std::vector<std::string> list = {"mdf",     "mdf",       "particleboard", "birch-plywood-18mm",
                                                  "acrylic", "aluminium", "spruce-like",   "own"};
    return d.any_of(list);
  }

  std::string stock(double thickness) {
    if (d.chance(0.8)) return fmt::format("material = \"{}\", thickness = {}", material(), thickness);
    const double first = std::round(thickness * d.between(2, 8)) / 10;
    return fmt::format(
        "layers = [{{ material = \"{}\", thickness = {} }}, {{ material = \"{}\", thickness = {:.1f} }}]", material(),
        first, material(), thickness - first);
  }

  // Extent of a wall's outer face, across and up.
  std::array<double, 2> face(int wall) const {
    const int a = axis_of(wall);
    return a == 1 ? std::array{size[0], size[2]} : a == 0 ? std::array{size[1], size[2]} : std::array{size[0], size[1]};
  }

  void cabinet() {
    for (double &s : size) s = d.length(110, small ? 150 : 330);
    t = d.length(6, 22);
    const double shortest = *std::min_element(size.begin(), size.end());
    if (3 * t > shortest) t = std::floor(shortest / 4);
    add(
        fmt::format("[cabinet]\n{} = {{ width = {}, depth = {}, height = {} }}\nboard = {{ {}, thickness_tolerance = "
                    "0.2 }}",
                    d.chance(0.9) ? "outer_size" : "inner_size", size[0], size[1], size[2], stock(t)));
    if (d.chance(0.5)) {
      std::vector<std::string> order(walls.begin(), walls.end());
      for (std::size_t i = order.size(); i > 1; --i) std::swap(order[i - 1], order[std::size_t(d.random() % i)]);
      std::string list;
      for (const std::string &w : order) list += (list.empty() ? "" : ", ") + ("\"" + w + "\"");
      add("run_through = [" + list + "]");
    }
    for (int w = 0; w < 6; ++w)
      if (d.chance(0.15))
        add(fmt::format("[cabinet.wall.{}]\nmaterial = \"{}\"\nthickness = {}", walls[std::size_t(w)], material(),
                        d.length(5, std::max(6.0, shortest / 5))));
    std::set<std::pair<int, int>> joined;
    for (int i = d.chance(0.4) ? d.whole(1, 4) : 0; i > 0; --i) {
      const int a = d.whole(0, 5), b = d.whole(0, 5);
      if (axis_of(a) == axis_of(b) || !joined.insert({std::min(a, b), std::max(a, b)}).second) continue;
      const std::string edge = fmt::format("edge = [\"{}\", \"{}\"]", walls[std::size_t(a)], walls[std::size_t(b)]);
      const double kind = d.unit();
      add("[[cabinet.joint]]\n" + edge);
      if (kind < 0.4)
        add("kind = \"mitre\"");
      else if (kind < 0.8)
        add(fmt::format("kind = \"rebate\"\nthrough = \"{}\"\nrebate_depth = {}", walls[std::size_t(a)],
                        d.length(1, std::max(2.0, t - 1))));
      else
        add(fmt::format("kind = \"butt\"\nthrough = \"{}\"", walls[std::size_t(b)]));
    }
  }

  void brace(int number) {
    const std::string name = fmt::format("brace {}", number);
    const int n = d.whole(0, 2);
    const double clear = size[std::size_t(n)] - 2 * t, thickness = d.length(4, 20);
    const double at = d.length(thickness / 2 + 4, std::max(thickness / 2 + 5, clear - thickness / 2 - 4));
    add("[[brace]]\nname = \"" + name + "\"");
    const int kind = d.whole(0, 5);
    switch (kind) {
      case 0:
        add(fmt::format("kind = \"shelf\"\nnormal = \"{}\"\nat = {}\nthickness = {}", directions[std::size_t(n)], at,
                        thickness));
        break;
      case 1:
      case 2:
        add(fmt::format("kind = \"window\"\nnormal = \"{}\"\nat = {}\nthickness = {}", directions[std::size_t(n)], at,
                        thickness));
        add(fmt::format("openings = {{ rim = {}, web = {}, columns = {}, rows = {} }}", d.length(8, 40),
                        d.length(8, 30), d.whole(1, 2), d.whole(1, 2)));
        break;
      case 3: {
        const int wall = d.whole(0, 5), along = (axis_of(wall) + d.whole(1, 2)) % 3, third = 3 - axis_of(wall) - along;
        const double room = size[std::size_t(third)] - 2 * t, length = size[std::size_t(along)] - 2 * t;
        add(fmt::format("kind = \"rib\"\non = \"{}\"\nalong = \"{}\"\nat = {}\nstand_off = {}\nthickness = {}",
                        walls[std::size_t(wall)], directions[std::size_t(along)],
                        d.length(15, std::max(16.0, room - 15)), d.length(8, 35), d.length(4, 18)));
        if (d.chance(0.4))
          add(fmt::format("from = {}\nto = {}", d.length(0, length / 3), d.length(length / 2, length)));
        break;
      }
      case 4: {
        const int pair = d.whole(0, 2);
        static const std::array<std::array<const char *, 2>, 3> pairs = {
            {{"left", "right"}, {"baffle", "back"}, {"top", "bottom"}}};
        std::array<double, 2> room{};
        int k = 0;
        for (int a = 0; a < 3; ++a)
          if (a != pair) room[std::size_t(k++)] = size[std::size_t(a)] - 2 * t;
        add(fmt::format("kind = \"bar\"\nbetween = [\"{}\", \"{}\"]\nat = [{}, {}]\nsection = [{}, {}]",
                        pairs[std::size_t(pair)][0], pairs[std::size_t(pair)][1],
                        d.length(16, std::max(17.0, room[0] - 16)), d.length(16, std::max(17.0, room[1] - 16)),
                        d.length(8, 28), d.length(8, 28)));
        break;
      }
      default: {
        const int a = d.whole(0, 5);
        int b = a;
        while (axis_of(b) == axis_of(a)) b = d.whole(0, 5);
        add(fmt::format("kind = \"corner block\"\nedge = [\"{}\", \"{}\"]\nsection = [{}, {}]", walls[std::size_t(a)],
                        walls[std::size_t(b)], d.length(8, 35), d.length(8, 35)));
      }
    }
    add("material = \"" + material() + "\"");
    if (kind < 3 && d.chance(0.2)) {
      static const std::array<std::array<const char *, 2>, 3> sides = {
          {{"top", "back"}, {"left", "bottom"}, {"baffle", "right"}}};
      add(fmt::format("glued = [\"{}\", \"{}\"]", sides[std::size_t(n)][0], sides[std::size_t(n)][1]));
    }
    braces.push_back(name);
  }

  void cut_out(int number) {
    const std::string name = fmt::format("hole {}", number);
    const int wall = d.chance(0.6) ? 0 : d.whole(0, 5);
    const auto [across, up] = face(wall);
    const double least = t + 6.5;
    const double most = std::min({across, up, 200.0}) - 2 * least;
    if (most < 12) return;
    const double width = d.length(10, std::max(11.0, most * 0.8));
    const double kind = d.unit();
    const double height = kind < 0.8 && d.chance(0.5) ? width : std::round(10 * width * d.between(0.4, 0.9)) / 10;
    // At times as near to the edge as the web allows.
    const auto place = [&](double extent, double own) {
      const double low = least + own / 2, high = extent - low;
      return d.chance(0.25) ? std::ceil(10 * low) / 10 : d.length(low, std::max(low, high));
    };
    add(fmt::format("[[cut_out]]\nname = \"{}\"\non = \"{}\"", name, walls[std::size_t(wall)]));
    if (kind < 0.6)
      add(fmt::format("shape = \"round\"\ndiameter = {}\ncentre = [{}, {}]", width, place(across, width),
                      place(up, width)));
    else
      add(fmt::format("shape = \"{}\"\nsize = [{}, {}]\ncentre = [{}, {}]", kind < 0.8 ? "rectangle" : "slot", width,
                      height, place(across, width), place(up, height)));
    if (d.chance(0.7)) {
      add(fmt::format("[[driver]]\ncut_out = \"{}\"\nmass_kg = {:.2f}", name, d.between(0.1, 2.5)));
      if (d.chance(0.6))
        add(fmt::format("mounting = \"rigid basket\"\ncentre_of_gravity_behind_face = {}", d.length(5, 50)));
    }
  }

  void sheet(int number) {
    const std::string on = !braces.empty() && d.chance(0.3) ? d.any_of(braces) : d.any_of(walls);
    add(fmt::format("[[sheet]]\nname = \"sheet {}\"\non = [\"{}\"]", number, on));
    if (d.chance(0.3)) add(fmt::format("covers_percent = {}", d.whole(20, 90)));
    if (d.chance(0.7))
      add(fmt::format("material = \"bitumen-sheet\"\nthickness = {}", d.length(1, 4)));
    else
      add(
          fmt::format("core = {{ material = \"butyl-core\", thickness = {:.1f} }}\nconstraining = {{ material = "
                      "\"aluminium\", thickness = {:.1f} }}",
                      d.between(0.5, 2), d.between(0.2, 1.5)));
  }

  void bond(int number) {
    std::string who;
    if (!braces.empty() && d.chance(0.6)) {
      who = fmt::format("of = \"{}\"", d.any_of(braces));
    } else {
      const int a = d.whole(0, 5);
      int b = a;
      while (axis_of(b) == axis_of(a)) b = d.whole(0, 5);
      who = fmt::format("between = [\"{}\", \"{}\"]", walls[std::size_t(a)], walls[std::size_t(b)]);
    }
    add(fmt::format("[[bond]]\nname = \"bond {}\"\n{}", number, who));
    const double kind = d.unit();
    if (kind < 0.35)
      add(fmt::format("kind = \"screwed\"\nspacing = {}", d.length(40, 200)));
    else if (kind < 0.8)
      add(
          fmt::format("kind = \"{}\"\nnormal_stiffness_mn_m2 = {:.3g}\nshear_stiffness_mn_m2 = {:.3g}\nloss_factor = "
                      "0.1",
                      kind < 0.6 ? "gasketed" : "soft", std::pow(10, d.between(0, 4)), std::pow(10, d.between(0, 4))));
    else
      add("kind = \"loose\"");
  }

  void fittings() {
    for (int i = d.chance(0.2) ? d.whole(1, 2) : 0; i > 0; --i) {
      const int wall = d.whole(0, 5);
      const auto [across, up] = face(wall);
      add(fmt::format("[[mass]]\nname = \"mass {}\"\non = \"{}\"\nmass_kg = {:.2f}", i, walls[std::size_t(wall)],
                      d.between(0.05, 2)));
      const double u = d.length(t + 1, across / 2), v = d.length(t + 1, up / 2);
      if (d.chance(0.5))
        add(fmt::format("at = [{}, {}]", u, v));
      else
        add(fmt::format("area = {{ centre = [{}, {}], size = [12, 9] }}", u + 6, v + 4.5));
    }
    if (d.chance(0.25)) {
      const auto [across, up] = face(5);
      for (const double u : {0.15, 0.85})
        for (const double v : {0.15, 0.85})
          add(fmt::format("[[foot]]\non = \"bottom\"\nat = [{:.1f}, {:.1f}]\nstiffness_n_m = {:.3g}", u * across,
                          v * up, std::pow(10, d.between(4, 7))));
    }
  }

  void shape() {
    const double w = d.length(140, 260), depth = d.length(120, 260), h = d.length(140, 300);
    t = d.length(8, 20);
    if (d.chance(0.3)) {
      add(
          fmt::format("[shape]\ntube = {{ diameter = {}, length = {}, along = \"{}\", ends = \"{}\" }}\nboard = {{ "
                      "material = \"mdf\", thickness = {} }}",
                      w, h, d.any_of(directions), d.chance(0.5) ? "inset" : "covering", t));
      return;
    }
    const double taper = d.length(0, 0.3 * w);
    add(
        fmt::format("[shape]\nfootprint = [[0, 0], [{0}, 0], [{1:.1f}, {2}], [{3:.1f}, {2}]]\nwalls = [\"baffle\", "
                    "\"right\", \"back\", \"left\"]\nheight = {4}\nboard = {{ material = \"{5}\", thickness = {6} }}",
                    w, w - taper, depth, taper * d.unit(), h, d.chance(0.5) ? "mdf" : "birch-plywood-15mm", t));
    if (d.chance(0.3)) add("corners = \"mitre\"");
    if (d.chance(0.4)) add(fmt::format("[shape.wall.baffle]\nslope_deg = {:.1f}", d.between(-8, 12)));
    if (d.chance(0.2)) add(fmt::format("[shape.wall.left]\nradius = {}", d.length(350, 900)));
    if (d.chance(0.25))
      add(fmt::format("[[shape.chamfer]]\nedge = [\"baffle\", \"right\"]\nsize = {}", d.length(2, 0.7 * t)));
    if (d.chance(0.5))
      add(fmt::format("[[brace]]\nname = \"brace 1\"\nkind = \"{}\"\nnormal = \"height\"\nat = {}\nthickness = {}",
                      d.chance(0.5) ? "shelf" : "window", d.length(30, h - 2 * t - 30), d.length(6, 18)));
    if (d.chance(0.7)) {
      add(fmt::format(
          "[[cut_out]]\nname = \"hole\"\non = \"baffle\"\nshape = \"round\"\ncentre = [{}, {}]\ndiameter = {}", w / 2,
          d.length(0.4 * h, 0.6 * h), d.length(30, w - 2 * t - 30)));
      if (d.chance(0.5)) add("[[driver]]\ncut_out = \"hole\"\nmass_kg = 0.9\nmounting = \"rigid basket\"");
    }
  }

  // About twice the first mode of the largest wall, simply supported: pi / 2 sqrt(D / m) (1 / a^2 + 1 / b^2) with a
  // wave speed typical of boards; from memory, it only has to give a few modes.
  double top_frequency() {
    std::array<double, 3> s = size;
    std::sort(s.begin(), s.end());
    const double a = 1e-3 * s[1], b = 1e-3 * s[2];
    const double f = M_PI / 2 * 650 * 1e-3 * t * (1 / (a * a) + 1 / (b * b));
    return std::clamp(std::round(f * d.between(0.8, small ? 1.1 : 2)), 100.0, 4000.0);
  }
};

}  // namespace

std::string random_cabinet(std::uint64_t seed, std::uint64_t number, bool small) {
  Maker m;
  m.title = fmt::format("random {}-{}", seed, number);
  m.d.random = random_of(seed, "cabinet", number);
  m.small = small;
  const bool is_shape = m.d.chance(0.1);
  const std::string start = "# invented at random\n";
  m.text = start;
  if (is_shape) {
    m.size = {200, 200, 250};
    m.shape();
  } else {
    m.as_it_comes = m.d.chance(0.15);
    constexpr int tries = 20;
    for (int i = 0; i < tries; ++i) {
      m.text = start;
      m.cabinet();
      if (m.as_it_comes || is_accepted(m.head() + m.text)) break;
    }
    for (int i = m.d.chance(0.75) ? m.d.whole(1, small ? 1 : 4) : 0; i > 0; --i) m.try_part([&] { m.brace(i); });
    for (int i = m.d.chance(0.8) ? m.d.whole(1, small ? 1 : 3) : 0; i > 0; --i) m.try_part([&] { m.cut_out(i); });
    for (int i = m.d.chance(0.25) ? m.d.whole(1, 2) : 0; i > 0; --i) m.try_part([&] { m.sheet(i); });
    for (int i = m.d.chance(0.25) ? m.d.whole(1, 2) : 0; i > 0; --i) m.try_part([&] { m.bond(i); });
    m.try_part([&] { m.fittings(); });
  }
  m.up_to = m.top_frequency();
  return m.head() + m.text;
}

}  // namespace stillbox
