// SPDX-License-Identifier: MIT
#include <cmath>

#include "mesh/case_build.h"

namespace stillbox {
namespace {

struct CutOutSpec {
  CutOut cut_out;
  std::vector<double> centre, size;
};

CutOutSpec read_spec(Build &b, const Reader &r) {
  CutOutSpec spec;
  r.refuse_unknown_keys();
  spec.cut_out.name = r.text("name");
  register_name(b, r, "name", spec.cut_out.name);
  r.text("on");
  const std::size_t before = r.problems->found;
  const std::string shape = r.text("shape");
  const bool has_shape = r.problems->found == before;  // else its keys are anyone's guess
  spec.centre = r.lengths("centre", 2, 2);
  const char *wanted = shape == "round" ? "diameter" : "size", *other = shape == "round" ? "size" : "diameter";
  if (!has_shape) {
    spec.size = {0, 0};
    return spec;
  }
  if (r.has(other))
    r.refuse(other, std::string("only ") + wanted, "a " + shape + " cut-out has a " + wanted + "; remove this key");
  if (!r.has(wanted)) {
    r.refuse(wanted, allowed_text(*find_key(r.groups, wanted)), std::string("add the key ") + wanted);
    spec.size = {0, 0};
  } else if (shape == "round") {
    spec.size.assign(2, r.length("diameter"));
  } else {
    spec.size = r.lengths("size", 2, 2);
  }
  spec.cut_out.shape = shape == "round"  ? CutOutShape::round
                       : shape == "slot" ? CutOutShape::slot
                                         : CutOutShape::rectangle;
  if (shape == "slot" && r.has("size") && std::abs(spec.size[0] - spec.size[1]) < 1e-4)
    r.refuse("size", "one side longer than the other", "a slot with equal sides is round; use shape = \"round\"");
  return spec;
}

}  // namespace

void read_cut_outs(Build &b) {
  for (const Reader &r : b.root.tables("cut_out", {"cut_out"}, 200)) {
    CutOutSpec spec;
    const bool clean = read_cleanly(b, [&] { spec = read_spec(b, r); });
    if (!clean || !b.values_ok) continue;
    int board = -1;
    if (!read_cleanly(b, [&] { board = find_board(b, r, "on"); })) continue;
    const BoardInfo &info = b.info[board];
    spec.cut_out.centre = to_board(info, spec.centre);
    spec.cut_out.width = spec.size[info.swapped ? 1 : 0];
    spec.cut_out.height = spec.size[info.swapped ? 0 : 1];
    auto &cut_outs = b.structure.boards[board].cut_outs;
    b.cut_outs.push_back({spec.cut_out.name, board, int(cut_outs.size()), r.place("centre"), false});
    cut_outs.push_back(spec.cut_out);
  }
}

}  // namespace stillbox
