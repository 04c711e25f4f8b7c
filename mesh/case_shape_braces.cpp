// SPDX-License-Identifier: MIT
#include <cmath>

#include "mesh/case_solids.h"
#include "mesh/length.h"
#include "mesh/shape_boards.h"

namespace stillbox {

void read_shape_braces(Build &b, const Reader &shape, ShapedCabinet &cabinet, const RoomInside &room_inside) {
  Eigen::Vector3d low = cabinet.room_points.front(), high = low;
  for (const Eigen::Vector3d &x : cabinet.room_points) {
    low = low.cwiseMin(x);
    high = high.cwiseMax(x);
  }
  for (const Reader &top : b.root.tables("brace", {"brace", "brace shelf", "brace window"}, 40)) {
    read_cleanly(b, [&] {
      const std::string kind = top.text("kind");
      if (kind != "shelf" && kind != "window")
        return top.refuse("kind", "shelf, window", "in a [shape] braces go right across the inside");
      const Reader r{top.problems, top.node, top.path, {"brace", "brace " + kind}};
      r.refuse_unknown_keys();
      for (const char *key : {"glued", "layers"})
        if (r.has(key))
          r.refuse(key, "not in a [shape]", "braces there are one board, glued all round; remove the key");
      Board board;
      board.name = r.text("name");
      register_name(b, r, "name", board.name);
      board.role = BoardRole::brace;
      const int axis = direction_axis(r.text("normal"));
      const Node node = shape_wall_node(shape, "");
      const Reader common{shape.problems, &node, shape.path + ".board", {"shape wall"}};
      const std::string material = r.has("material")        ? r.text("material")
                                   : common.has("material") ? common.text("material")
                                                            : "";
      const double thickness = r.has("thickness")        ? r.length("thickness")
                               : common.has("thickness") ? common.length("thickness")
                                                         : 0;
      const double at = r.length("at");
      const std::string grain = r.text("grain");
      board.thickness_tolerance = r.length("thickness_tolerance");
      if (material.empty() || thickness <= 0)
        return r.refuse(material.empty() ? "material" : "thickness", "a value here or in [shape.board]",
                        "say what the brace is cut from");
      const double room = high[axis] - low[axis];
      if (at - thickness / 2 < -1e-7 || at + thickness / 2 > room + 1e-7)
        return r.refuse("at", length_text(thickness / 2) + " .. " + length_text(room - thickness / 2),
                        "the brace lies outside the cabinet; move it inside");
      // u, v so that u x v points along the axis; the user counts in the order width, depth, height.
      const int first = axis == 0 ? 1 : axis == 1 ? 2 : 0, second = 3 - axis - first;
      board.u = Eigen::Vector3d::Unit(first);
      board.v = Eigen::Vector3d::Unit(second);
      const double from = low[axis] + at - thickness / 2;
      board.origin = low;
      board.origin[axis] = from;
      const double wide = high[first] - low[first], up = high[second] - low[second];
      board.outline = {{0, 0}, {wide, 0}, {wide, up}, {0, up}};
      bool along_u = (wide >= up) == (grain != "across");
      if (grain == "width" || grain == "depth" || grain == "height") {
        const int wanted = direction_axis(grain);
        if (wanted == axis)
          return r.refuse("grain", "a direction in the plane of the brace", "it cannot run through the thickness");
        along_u = wanted == first;
      }
      board.layers = {{material_index(b, r, material), thickness, along_u ? 0.0 : M_PI / 2}};
      BoardInfo info;
      info.place = r.place("at");
      info.kind = kind;
      info.swapped = axis == 1;
      info.user_size = info.swapped ? Eigen::Vector2d(up, wide) : Eigen::Vector2d(wide, up);
      const int index = add_board(b, board, info);
      SolidBody body = slab(cabinet, axis, from, from + thickness);
      body.within = 0;
      body.board = index;
      cabinet.solids.bodies.push_back(body);
      if (kind != "window") return;
      double rim = 45e-3;
      if (const auto openings = r.table("openings", {"openings"})) {
        openings->refuse_unknown_keys();
        rim = openings->length("rim");
        for (const char *key : {"web", "columns", "rows"})
          if (openings->has(key)) openings->refuse(key, "only rim", "in a [shape] a window has one opening");
      } else if (r.has("openings")) {
        return;
      }
      Eigen::Vector3d extent = high - low;
      extent[axis] = 1e300;
      if (extent.minCoeff() - 2 * rim < 10e-3)
        return r.refuse(r.has("openings") ? "openings" : "kind",
                        "a rim of less than " + length_text(extent.minCoeff() / 2 - 5e-3),
                        "nothing is left to cut out; make the rim narrower");
      // The rim runs along the walls that the brace is glued to; those above and below it do not count.
      const std::vector<double> rims = rims_at(cabinet, axis, from, from + thickness, rim);
      const auto inside = room_inside(rims, axis, from, from + thickness);
      if (!inside)
        return r.refuse(r.has("openings") ? "openings" : "kind", "a rim that leaves the opening an edge at every wall",
                        "one of " + length_text(rim) + " does not; make the rim narrower");
      SolidBody opening = slab(cabinet, axis, from - 1e-3, from + thickness + 1e-3);
      opening.board = index;
      opening.within = int(cabinet.solids.rooms.size());
      cabinet.solids.rooms.push_back(*inside);
      cabinet.solids.openings.push_back(opening);
      cabinet.windows.push_back({index, rim, rims});
      if (cabinet.solids.box_form) cabinet.solids.box_form->windows.push_back(cabinet.windows.back());
    });
  }
}

}  // namespace stillbox
