// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>
#include <vtkNew.h>
#include <vtkXMLDataElement.h>
#include <vtkXMLDataParser.h>

#include <numeric>
#include <sstream>

#include "postprocess/cabinet_net.h"
#include "postprocess/face_bands.h"
#include "postprocess/palette.h"
#include "postprocess/svg.h"
#include "postprocess/unfolded_picture.h"
#include "tests/postprocess/sample_results.h"

namespace stillbox {
namespace {

using test::add_shape;
using test::make_cabinet;
using test::make_face;
using test::pi;

FaceBands bands_of(const FaceSamples &face, double step = 0.002) {
  return face_bands(fine_grid(face, face.normal[0], 1, step));
}

double total(const FaceBands &bands) { return std::accumulate(bands.area.begin(), bands.area.end(), 0.0); }

TEST(FaceBands, NodalLineLiesWhereTheSineIsZero) {
  FaceSamples face = make_face("plate", "free", 0.3, 0.2, 31, 21);
  add_shape(face, [](double s, double) { return std::sin(2 * pi * s); });
  const FaceBands bands = bands_of(face);
  ASSERT_EQ(bands.nodal_lines.size(), 1u);  // the zeros along the edges part nothing
  double low = 1, high = 0;
  for (const Eigen::Vector2d &point : bands.nodal_lines[0]) {
    EXPECT_NEAR(point.x(), 0.15, 2e-4);
    low = std::min(low, point.y());
    high = std::max(high, point.y());
  }
  EXPECT_NEAR(low, 0, 1e-9);
  EXPECT_NEAR(high, 0.2, 1e-9);
}

TEST(FaceBands, NodalCrossHasNoGap) {
  FaceSamples face = make_face("plate", "free", 0.3, 0.2, 31, 21);
  add_shape(face, [](double s, double t) { return std::sin(2 * pi * s + 0.01) * std::cos(pi * t); });
  double nearest = 1, length = 0;
  const FaceBands bands = bands_of(face);
  for (const Polyline &line : bands.nodal_lines) {
    for (std::size_t k = 0; k < line.size(); ++k) {
      nearest = std::min(nearest, (line[k] - Eigen::Vector2d(0.15, 0.1)).norm());
      if (k > 0) length += (line[k] - line[k - 1]).norm();
    }
  }
  EXPECT_LT(nearest, 0.003);
  EXPECT_GT(length, 0.2 + 0.25);
}

TEST(FaceBands, QuietEdgeNoiseDrawsNoLine) {
  FaceSamples face = make_face("left", "wall", 0.3, 0.4, 31, 41);
  add_shape(face, [](double s, double t) { return std::sin(pi * s) * std::sin(pi * t) - 0.004; });
  EXPECT_TRUE(bands_of(face).nodal_lines.empty());
}

TEST(FaceBands, AreasSumToTheWood) {
  FaceSamples face = make_face("baffle", "wall", 0.22, 0.38, 45, 77);
  add_shape(face, [](double s, double t) { return std::cos(3 * s + t) * std::sin(5 * t); });
  EXPECT_NEAR(total(bands_of(face)), 0.22 * 0.38, 1e-8);

  test::drill(face, 0.11, 0.13, 0.0725);
  test::drill(face, 0.11, 0.29, 0.036);
  const double holes = pi * (0.0725 * 0.0725 + 0.036 * 0.036);
  EXPECT_NEAR(total(bands_of(face)), 0.22 * 0.38 - holes, 0.02 * holes);
}

// Round a hole the values of a plane stay a plane, so the bands there are not bent towards the hole.
TEST(FaceGrid, HoleDoesNotBendAPlane) {
  FaceSamples face = make_face("baffle", "wall", 0.22, 0.38, 45, 77);
  add_shape(face, [](double s, double t) { return 0.8 * s - 0.5 * t; });
  test::drill(face, 0.11, 0.13, 0.0725);
  for (std::size_t p = 0; p < face.present.size(); ++p) {
    if (!face.present[p]) face.normal[0][static_cast<Eigen::Index>(p)] = 1e9;  // must not be used
  }
  const FaceGrid grid = fine_grid(face, face.normal[0], 1, 0.002);
  for (const double angle : {0.0, 0.7, 1.9, 3.0, 4.4}) {
    const Eigen::Vector2d uv(0.11 + 0.0735 * std::cos(angle), 0.13 + 0.0735 * std::sin(angle));
    EXPECT_NEAR(value_at(grid, uv), 0.8 * uv[0] / 0.22 - 0.5 * uv[1] / 0.38, 0.01);
  }
  EXPECT_TRUE(std::isnan(value_at(grid, {-0.001, 0.1})));
}

// |sin| < 1/9, 3/9 ... on a full wave: the share of band b follows from the arc sine.
TEST(FaceBands, EachBandHasItsShare) {
  FaceSamples face = make_face("plate", "free", 0.5, 0.1, 101, 5);
  add_shape(face, [](double s, double) { return std::sin(2 * pi * s); });
  const FaceBands bands = bands_of(face, 0.001);
  for (std::size_t b = 0; b < band_count; ++b) {
    const double share = (std::asin(band_edges[b + 1]) - std::asin(band_edges[b])) / pi;
    EXPECT_NEAR(bands.area[b] / 0.05, share, 0.003) << b;
  }
}

TEST(FaceBands, RegionsEncloseTheSumOfTheirBands) {
  FaceSamples face = make_face("plate", "free", 0.3, 0.2, 41, 31);
  add_shape(face, [](double s, double t) { return std::sin(2 * pi * s) * std::sin(pi * t); });
  test::drill(face, 0.22, 0.1, 0.02);
  const FaceBands bands = bands_of(face);
  for (int b = middle_band + 1; b < band_count; ++b) {
    double rings = 0, areas = 0;
    // No hole lies inside a band's ring except the drilled one, which cuts the outward-most of one side only.
    for (const Polyline &ring : bands.regions[static_cast<std::size_t>(b)]) {
      EXPECT_EQ(ring.front(), ring.back());
      rings += std::abs(ring_area(ring));
    }
    for (int k = b; k < band_count; ++k) areas += bands.area[static_cast<std::size_t>(k)];
    EXPECT_NEAR(rings, areas, 1e-9) << b;
  }
  double wood = 0;
  std::size_t rings = 0;
  for (const Polyline &ring : bands.regions[middle_band]) {
    const double area = std::abs(ring_area(ring));
    wood += area > 0.03 ? area : -area;
    ++rings;
  }
  EXPECT_EQ(rings, 2u);
  EXPECT_NEAR(wood, total(bands), 1e-9);
}

TEST(FaceBands, NothingMovesStillDrawsTheWood) {
  FaceSamples face = make_face("plate", "free", 0.3, 0.2, 9, 9);
  add_shape(face, [](double, double) { return 0.0; });
  const FaceBands bands = bands_of(face);
  EXPECT_NEAR(bands.area[middle_band], 0.06, 1e-8);
  EXPECT_TRUE(bands.nodal_lines.empty());
}

TEST(Polyline, ChainsOpenLinesAndRings) {
  const auto chains = chain_segments({{1, 2}, {3, 2}, {7, 8}, {8, 9}, {9, 7}, {5, 5}});
  ASSERT_EQ(chains.size(), 2u);
  EXPECT_EQ(chains[0], (std::vector<int>{1, 2, 3}));
  EXPECT_EQ(chains[1].size(), 4u);
  EXPECT_EQ(chains[1].front(), chains[1].back());
}

TEST(Polyline, SimplifyKeepsWithinTolerance) {
  Polyline circle;
  for (int k = 0; k <= 720; ++k) circle.emplace_back(100 * std::cos(k * pi / 360), 100 * std::sin(k * pi / 360));
  circle.back() = circle.front();
  const Polyline fewer = simplify(circle, 0.1);
  EXPECT_LT(fewer.size(), 150u);
  EXPECT_EQ(fewer.front(), fewer.back());
  EXPECT_NEAR(ring_area(fewer), pi * 1e4, 0.1 * 2 * pi * 100);
  EXPECT_EQ(simplify({{0, 0}, {1, 0.01}, {2, 0}}, 0.1).size(), 2u);
}

TEST(Svg, PathHasRelativeTenths) {
  EXPECT_EQ(svg_path({{{1, 2}, {3, 2.5}}}), "M10 20l20 5");
  EXPECT_EQ(svg_path({{{0, 0}, {10, 0}, {10, -10}, {0, 0}}}), "M0 0l100 0 0-100z");
  EXPECT_EQ(svg_path({{{0, 0}, {0.01, 0.01}}}), "");
}

TEST(Palette, BothSignsAreEquallyStrongInGrey) {
  const auto palette = band_palette();
  for (std::size_t b = 0; b < band_count; ++b) {
    EXPECT_TRUE(palette[b].in_gamut) << b;
    EXPECT_NEAR(palette[b].lightness, palette[band_count - 1 - b].lightness, 1e-12);
    if (b > 0) {
      // Equal steps of lightness, and never less blue or more yellow than the band before.
      EXPECT_NEAR(std::abs(palette[b].lightness - palette[b - 1].lightness), 13, 1e-9);
      EXPECT_GT(palette[b].b, palette[b - 1].b);
    }
  }
  EXPECT_GT(palette.back().b - palette.front().b, 80);
}

TEST(Palette, KnownColours) {
  EXPECT_EQ(hex(colour_of(100, 0, 0)), "#ffffff");
  EXPECT_EQ(hex(colour_of(0, 0, 0)), "#000000");
  // sRGB red has L* 53.24, C* 104.55, h 40.0 degrees (independently recomputed).
  EXPECT_EQ(colour_of(53.24, 104.55, 40.0).rgb[0], 255);
  EXPECT_NEAR(colour_of(53.24, 104.55, 40.0).rgb[1], 0, 6);
}

/// Places of the corners of a wall's face on the sheet.
Eigen::Vector2d on_sheet(const Placement &placement, double u, double v) {
  return placement.corner + u * placement.along_u + v * placement.along_v;
}

TEST(CabinetNet, NeighboursTouchAlongTheirCommonEdge) {
  const double w = 0.22, d = 0.30, h = 0.38, gap = 0.03 * h;
  const std::vector<FaceSamples> walls = test::make_walls(w, d, h);
  const SheetLayout layout = lay_out(walls);
  ASSERT_TRUE(layout.unfolded);
  ASSERT_EQ(layout.placements.size(), 6u);
  std::array<const Placement *, 6> place{};
  for (const Placement &placement : layout.placements) place[placement.face] = &placement;
  const auto at = [&](std::size_t wall, const Eigen::Vector3d &p) {  // a corner in space, on this wall's picture
    const Eigen::Vector3d from = p - walls[wall].origin;
    return on_sheet(*place[wall], from.dot(walls[wall].u), from.dot(walls[wall].v));
  };
  const auto expect_near = [](const Eigen::Vector2d &a, const Eigen::Vector2d &b) {
    EXPECT_NEAR(a.x(), b.x(), 1e-12);
    EXPECT_NEAR(a.y(), b.y(), 1e-12);
  };
  enum { baffle, back, left, right, top, bottom };
  for (const double z : {0.0, h}) {
    expect_near(at(left, {0, 0, z}) + Eigen::Vector2d(gap, 0), at(baffle, {0, 0, z}));
    expect_near(at(right, {w, 0, z}) - Eigen::Vector2d(gap, 0), at(baffle, {w, 0, z}));
    expect_near(at(back, {w, d, z}) - Eigen::Vector2d(gap, 0), at(right, {w, d, z}));
  }
  for (const double x : {0.0, w}) {
    expect_near(at(top, {x, 0, h}) - Eigen::Vector2d(0, gap), at(baffle, {x, 0, h}));
    expect_near(at(bottom, {x, 0, 0}) + Eigen::Vector2d(0, gap), at(baffle, {x, 0, 0}));
  }
  // Seen from outside: no picture is mirrored.
  for (const Placement &p : layout.placements) {
    EXPECT_NEAR(p.along_u.x() * p.along_v.y() - p.along_u.y() * p.along_v.x(), 1, 1e-12);
  }
  EXPECT_NEAR(layout.high.x() - layout.low.x(), 2 * w + 2 * d + 3 * gap, 1e-12);
}

TEST(CabinetNet, FreeBoardsLieSideBySide) {
  std::vector<FaceSamples> faces{make_face("a", "free", 0.4, 0.1, 5, 5), make_face("b", "free", 0.2, 0.3, 5, 5),
                                 make_face("thin", "free", 0.2, 0.3, 5, 1), make_face("s", "sheet", 0.2, 0.3, 5, 5)};
  const SheetLayout layout = lay_out(faces);
  EXPECT_FALSE(layout.unfolded);
  ASSERT_EQ(layout.placements.size(), 2u);
  EXPECT_GT(layout.placements[1].corner.x(), 0.4);
  EXPECT_NEAR(layout.high.y(), 0.3, 1e-12);
}

/// Number of elements of this name below (and with) the given one.
int count(vtkXMLDataElement *element, const std::string &name) {
  int sum = element->GetName() == name ? 1 : 0;
  for (int k = 0; k < element->GetNumberOfNestedElements(); ++k) sum += count(element->GetNestedElement(k), name);
  return sum;
}

TEST(UnfoldedPicture, IsValidSmallAndTitled) {
  ModalResult result = make_cabinet("<bare> & \"plain\"", {300, 400, 500, 600, 700, 800, 900});
  test::drill(result.faces[0], 0.11, 0.13, 0.07);
  result.modes[0].label = "a > b & c";
  const std::string svg = unfolded_picture(result);
  EXPECT_LT(svg.size(), 400000u);
  vtkNew<vtkXMLDataParser> parser;
  std::istringstream stream(svg);
  parser->SetStream(&stream);
  ASSERT_EQ(parser->Parse(), 1);
  vtkXMLDataElement *root = parser->GetRootElement();
  EXPECT_STREQ(root->GetName(), "svg");
  EXPECT_STREQ(root->GetAttribute("role"), "img");
  EXPECT_EQ(count(root, "title"), 1 + 6 + 2);  // sheet, six modes, legend and key
  EXPECT_NE(svg.find("Mode 6, 800.0 Hz"), std::string::npos);
  EXPECT_EQ(svg.find("Mode 7"), std::string::npos);
  EXPECT_NE(svg.find("&lt;bare&gt; &amp;"), std::string::npos);
  EXPECT_NE(svg.find("loss factor 0.020"), std::string::npos);
  EXPECT_EQ(svg.find("nan"), std::string::npos);
  EXPECT_EQ(svg, unfolded_picture(result));
}

TEST(UnfoldedPicture, SignOfTheModeDoesNotMatter) {
  ModalResult result = make_cabinet("bare", {300, 400});
  const std::string svg = unfolded_picture(result);
  for (FaceSamples &face : result.faces) {
    for (Eigen::VectorXd &shape : face.normal) shape *= -3;
  }
  EXPECT_EQ(unfolded_picture(result), svg);
}

TEST(UnfoldedPicture, ServesWithoutModesOrFaces) {
  ModalResult result = make_cabinet("bare", {});
  vtkNew<vtkXMLDataParser> parser;
  std::istringstream stream(unfolded_picture(result));
  parser->SetStream(&stream);
  EXPECT_EQ(parser->Parse(), 1);
  result = make_cabinet("bare", {300});
  result.faces.clear();
  EXPECT_NE(unfolded_picture(result).find("No modes to show"), std::string::npos);
}

}  // namespace
}  // namespace stillbox
