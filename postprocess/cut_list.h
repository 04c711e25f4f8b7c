// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "mesh/structure.h"
#include "postprocess/solid_cut.h"

namespace stillbox {

/// Wood that has to go where another board comes, in the board's own coordinates less the low corner of its outline, m.
struct JointCut {
  enum class Kind {
    rebate,      ///< a step along an edge, part of the thickness
    notch,       ///< through the whole thickness
    interrupted  ///< through the whole board: it is in pieces
  } kind = Kind::rebate;
  std::string with;                       ///< the board that comes there
  Eigen::Vector2d low{0, 0}, high{0, 0};  ///< in (u, v)
  double depth = 0;                       ///< along the normal; the whole thickness for a notch
  bool on_low_face = true;                ///< a rebate: which face it is cut from
};

/// An edge cut at an angle. The finished size reaches to its long point.
struct MitreCut {
  std::string with;
  Side side = u_low;
  double width = 0;  ///< m in the plane of the board, from the long point to the short one
  double angle = 0;  ///< rad from square: atan(width / thickness)
};

/// Where another board is glued on a face of this one, in (u, v) less the low corner, m.
struct MarkedPlace {
  std::string with;
  Eigen::Vector2d low{0, 0}, high{0, 0};
  bool on_low_face = true;
};

/// What is cut of one sheet of stock: a board, or one layer of a laminated one.
struct CutPart {
  std::string board, use, material;
  int index = 0;                                ///< of the board in the structure
  int layer = 0, layers = 1;                    ///< from the low face, from 0
  double length = 0, width = 0, thickness = 0;  ///< finished, m; the length lies along the grain, else the longer side
  bool has_grain = false;
  double grain_angle = 0;  ///< rad between grain and length, 0 .. pi/4 in size; above 0 only for slanting grain
  bool length_is_u = true;
  double area = 0;  ///< length x width, m2: what it takes of the stock
  double mass = 0;  ///< kg, of what is left after cut-outs and joints; layers share by density and thickness
};

/// A board's joints and places, common to its layers. A damping sheet that gives way to its neighbours over a whole
/// edge is cut that much smaller: what goes from its outline at the low and at the high end, m.
struct CutWork {
  Eigen::Vector2d trim_low{0, 0}, trim_high{0, 0};
  std::vector<JointCut> cuts;
  std::vector<MitreCut> mitres;
  std::vector<MarkedPlace> marks;
  std::optional<SolidCut> solid;  ///< of a [shape] or a STEP file
};

struct CutStock {
  std::string material;
  double thickness = 0;  ///< m
  int parts = 0;
  double area = 0;                 ///< m2
  double longest = 0, widest = 0;  ///< m, of the parts
  double mass = 0;                 ///< kg
};

struct CutList {
  std::string variant;
  std::vector<CutPart> parts;   ///< in the order of the boards, layers from the low face
  std::vector<CutWork> work;    ///< by board
  std::vector<CutStock> stock;  ///< in the order in which it is needed first
  double mass = 0;              ///< kg of all parts
  double fittings = 0;          ///< kg of drivers and other masses
};

/// The parts of a structure as they are cut. Sizes are those of the outline: a wall that gives way in a butt joint is
/// shorter, one that reaches into a rebate longer by the rebate's depth, one in a mitre reaches to the outer corner.
/// Of solids the size is the extent of the wood, to the long points of bevels; of a bent board, laid flat, the longer
/// of its faces. Errors: as solid_cuts (`path` for its message).
CutList cut_list(const Structure &structure, const std::string &path = "");

/// In words: "rebate 18 x 9 mm along the edge with left", "mitre 45 deg with top".
std::string cut_words(const JointCut &cut);
std::string mitre_words(const MitreCut &mitre);

}  // namespace stillbox
