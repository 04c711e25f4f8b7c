// SPDX-License-Identifier: MIT
// The air in cabinets by [shape]: closed forms of rooms that are no boxes.
#include <cmath>

#include "mesh/solids.h"
#include "solver/inside_air.h"
#include "solver/inside_coupling.h"
#include "tests/mesh/mistakes.h"
#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

Structure read_lines(const std::string &lines) { return CaseText(without_cabinet(lines)).read().variants.at(0); }

InsideAirOptions air_to(double up_to) {
  InsideAirOptions options;
  options.up_to = up_to;
  return options;
}

std::string corner(double x, double y) { return "[" + std::to_string(1e3 * x) + ", " + std::to_string(1e3 * y) + "]"; }

// d/dk of the radial part vanishes at both arcs: J'(ka) Y'(kb) - J'(kb) Y'(ka) = 0 (separation in polar coordinates,
// any text on the Helmholtz equation; here with the library's Bessel functions).
std::vector<double> radial_roots(double order, double a, double b, double k_top) {
  const auto slope = [&](auto f, double x) { return order == 0 ? -f(1, x) : (f(order - 1, x) - f(order + 1, x)) / 2; };
  const auto j = [](double n, double x) { return std::cyl_bessel_j(n, x); };
  const auto y = [](double n, double x) { return std::cyl_neumann(n, x); };
  const auto cross = [&](double k) { return slope(j, k * a) * slope(y, k * b) - slope(j, k * b) * slope(y, k * a); };
  std::vector<double> roots;
  constexpr double step = 0.05;
  for (double k = 0.5; k < k_top; k += step) {
    double low = k, high = k + step;
    if (cross(low) * cross(high) > 0) continue;
    for (int turn = 0; turn < 60; ++turn) {
      const double middle = (low + high) / 2;
      (cross(low) * cross(middle) <= 0 ? high : low) = middle;
    }
    roots.push_back(low);
  }
  return roots;
}

// A room between two arcs about one axis and two planes through it, as high as h.
TEST(BoxAir, SectorOfARing) {
  const double a = 0.15, b = 0.40, angle = 0.9, h = 0.30, t = 0.012;
  const auto at = [&](double radius, int side, double x, double y) {
    const double turn = side * angle / 2, along = std::sqrt(radius * radius - t * t);
    return corner(x + along * std::sin(turn) + side * t * std::cos(turn),
                  y - along * std::cos(turn) + t * std::sin(std::abs(turn)));
  };
  const Structure s = read_lines("[shape]\nfootprint = [" + at(b + t, -1, 0.3, 0.5) + ", " + at(b + t, 1, 0.3, 0.5) +
                                 ", " + at(a - t, 1, 0.3, 0.5) + ", " + at(a - t, -1, 0.3, 0.5) +
                                 "]\nwalls = [\"baffle\", \"right\", \"back\", \"left\"]\nheight = 324\ncorners = "
                                 "\"mitre\"\nboard = { material = "
                                 "\"acrylic\", thickness = 12 }\nwall.baffle.radius = 412\nwall.back.radius = -138\n");
  EXPECT_NEAR(s.solids->chamber_volume.at(0) / (angle / 2 * (b * b - a * a) * h), 1, 1e-6);
  const InsideAir air = solve_inside_air(s, air_to(700));
  EXPECT_NEAR(air.volume / (angle / 2 * (b * b - a * a) * h), 1, 1e-5);
  std::vector<double> expected;
  const double k_top = 2 * M_PI * 1050 / air.air.speed;
  for (int m = 0; m < 5; ++m) {
    std::vector<double> roots = radial_roots(m * M_PI / angle, a, b, k_top);
    if (m == 0) roots.insert(roots.begin(), 0);
    for (const double k : roots)
      for (int n = 0; n < 4; ++n) {
        const double f = air.air.speed / 2 / M_PI * std::hypot(k, n * M_PI / h);
        if (f < 1050) expected.push_back(f);
      }
  }
  std::sort(expected.begin(), expected.end());
  ASSERT_EQ(air.standing, int(expected.size()));
  for (int i = 1; i < air.standing; ++i) {
    EXPECT_NEAR(air.frequencies[i] / expected[std::size_t(i)], 1, 5e-4) << i;
    if (std::getenv("STILLBOX_TELL"))
      std::printf("    %.3f Hz, expected %.3f: %s\n", air.frequencies[i], expected[std::size_t(i)],
                  air.labels[std::size_t(i)].c_str());
  }
}

const std::string wedge =
    "[shape]\nfootprint = [[0, 0], [200, 0], [150, 240], [50, 240]]\nwalls = [\"baffle\", \"right\", \"back\", "
    "\"left\"]\nheight = 300\nboard = { material = \"acrylic\", thickness = 12 }\n";

// Upright walls: waves up and down go as in any prism, c / 2 h. With a leaning baffle the volume is that measured.
TEST(BoxAir, Wedge) {
  const InsideAir upright = solve_inside_air(read_lines(wedge), air_to(700));
  double nearest = 1e300;
  for (int i = 1; i < upright.standing; ++i)
    nearest = std::min(nearest, std::abs(upright.frequencies[i] / (upright.air.speed / 2 / 0.276) - 1));
  EXPECT_LT(nearest, 1e-4);
  const Structure leaning = read_lines(wedge + "wall.baffle.slope_deg = 8\n");
  const InsideAir air = solve_inside_air(leaning, air_to(700));
  EXPECT_NEAR(air.volume / leaning.solids->chamber_volume.at(0), 1, 1e-9);
  // A shoe box by its footprint is the box by [cabinet].
  const Structure shaped = read_lines(
                      "[shape]\nfootprint = [[0, 0], [160, 0], [160, 140], [0, 140]]\nwalls = "
                      "[\"baffle\", \"right\", \"back\", \"left\"]\nheight = 220\nboard = { material = "
                      "\"acrylic\", thickness = 12 }\n"),
                  native = read_lines(
                      "[cabinet]\nouter_size = { width = 160, depth = 140, height = 220 }\nboard = { "
                      "material = \"acrylic\", thickness = 12 }\n");
  const InsideAir p = solve_inside_air(shaped, air_to(1000)), q = solve_inside_air(native, air_to(1000));
  ASSERT_EQ(p.standing, q.standing);
  for (int i = 1; i < p.standing; ++i) EXPECT_NEAR(p.frequencies[i] / q.frequencies[i], 1, 1e-9);
  EXPECT_EQ(p.labels, q.labels);
}

// A window brace: the room is what was measured, and one chamber; the shelf without parts it.
TEST(BoxAir, BracesPartTheRoom) {
  const std::string brace = "wall.baffle.slope_deg = 6\n[[brace]]\nname = \"brace\"\nnormal = \"height\"\nat = 120\n";
  for (const char *kind : {"kind = \"window\"\nopenings = { rim = 30 }\n", "kind = \"shelf\"\n"}) {
    const Structure s = read_lines(wedge + brace + kind);
    const InsideAir air = solve_inside_air(s, air_to(500));
    double measured = 0;
    for (const double volume : s.solids->chamber_volume) measured += volume;
    EXPECT_NEAR(air.volume / measured, 1, 1e-4) << kind;
    EXPECT_EQ(air.chambers, int(s.solids->chamber_volume.size()));
  }
}

// int u_n over all wood that looks inside, for a translation and for growth in place (u = x): 0 and three times the
// volume (divergence theorem).
TEST(BoxAir, WallsMeetTheAirAllOver) {
  for (const std::string &lines :
       {wedge + "wall.baffle.slope_deg = 8\n", wedge + "corners = \"mitre\"\nwall.left.radius = 400\n"}) {
    const Structure s = read_lines(lines);
    SolveReport report;
    const Model m = build_model(s, to(500, 3, 0.5), report);
    ASSERT_FALSE(report.tetrahedra) << report.why_tetrahedra;
    const InsideField field = make_inside_field(make_inside_mesh(s, {}), 3);
    NodeShapes shapes{m.discretisation.points, m.discretisation.points};
    shapes[0].setZero();
    shapes[0].col(1).setOnes();
    const Eigen::VectorXd sums = couple_faces(m, shapes, field).colwise().sum();
    EXPECT_NEAR(sums[0], 0, 1e-5);
    EXPECT_NEAR(sums[1] / (3 * field.volume), 1, 1e-4);
  }
}

}  // namespace
}  // namespace stillbox
