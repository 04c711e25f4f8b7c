// SPDX-License-Identifier: MIT
#include <algorithm>

#include "mesh/case_build.h"
#include "mesh/length.h"

namespace stillbox {
namespace {

constexpr double least_opening = 5e-3;  // m

void add_opening(Build &b, const Reader &r, int board, const std::vector<double> &centre,
                 const std::vector<double> &size) {
  const BoardInfo &info = b.info[board];
  auto &cut_outs = b.structure.boards[board].cut_outs;
  CutOut c;
  c.name = "opening " + std::to_string(cut_outs.size() + 1);
  c.shape = CutOutShape::rectangle;
  c.centre = to_board(info, centre);
  c.width = info.swapped ? size[1] : size[0];
  c.height = info.swapped ? size[0] : size[1];
  c.opening = true;
  b.cut_outs.push_back({"", board, int(cut_outs.size()), r.place(), false});
  cut_outs.push_back(c);
}

void add_rows(Build &b, const Reader &window, const Reader *r, int board) {
  double rim = 45e-3, web = 30e-3;
  int count[2] = {1, 1};
  if (r) {
    const bool clean = read_cleanly(b, [&] {
      r->refuse_unknown_keys();
      rim = r->length("rim");
      web = r->length("web");
      count[0] = r->integer("columns");
      count[1] = r->integer("rows");
    });
    if (!clean) return;
  }
  const Eigen::Vector2d size = b.info[board].user_size;
  double each[2];
  for (int d = 0; d < 2; ++d) {
    each[d] = (size[d] - 2 * rim - (count[d] - 1) * web) / count[d];
    if (each[d] >= least_opening) continue;
    const double most = (size[d] - (count[d] - 1) * web - count[d] * least_opening) / 2;
    const std::string allowed = most >= 1e-3 ? "1 mm .. " + length_text(most) : "fewer openings or narrower webs";
    const std::string advice = "nothing is left to cut out of a brace of " + length_text(size.x()) + " x " +
                               length_text(size.y()) + "; make the rim narrower";
    if (r && r->has("rim"))
      r->refuse("rim", allowed, advice);
    else
      window.refuse_value("openings", "a rim of " + length_text(rim), allowed, advice);
    return;
  }
  for (int row = 0; row < count[1]; ++row)
    for (int column = 0; column < count[0]; ++column)
      add_opening(b, r ? *r : window, board,
                  {rim + each[0] / 2 + column * (each[0] + web), rim + each[1] / 2 + row * (each[1] + web)},
                  {each[0], each[1]});
}

}  // namespace

void add_openings(Build &b, const Reader &r, int board) {
  const Node *node = r.node->find("openings");
  if (node && node->kind == Node::Kind::list) {
    for (const Reader &opening : r.tables("openings", {"opening"}, 100)) {
      std::vector<double> centre, size;
      const bool clean = read_cleanly(b, [&] {
        opening.refuse_unknown_keys();
        centre = opening.lengths("centre", 2, 2);
        size = opening.lengths("size", 2, 2);
      });
      if (clean) add_opening(b, opening, board, centre, size);
    }
    return;
  }
  const auto rows = r.table("openings", {"openings"});
  if (node && !rows) {
    b.values_ok = false;
    return;
  }
  add_rows(b, r, rows ? &*rows : nullptr, board);
}

}  // namespace stillbox
