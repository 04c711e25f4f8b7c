// SPDX-License-Identifier: MIT
#include "mesh/box_form.h"

#include <algorithm>
#include <cmath>

#include "mesh/box_bevels.h"
#include "mesh/grid.h"

namespace stillbox {
namespace {

using Vector3 = Eigen::Vector3d;
using Point = Eigen::Vector2d;

constexpr double least_gap = 1e-3;   // m between braces, and between them and walls
constexpr double least_web = 2e-3;   // m between cut-outs and braces
constexpr double same_place = 1e-6;  // m
constexpr double least_room = 2e-3;  // m
constexpr double least_turn = 0.34;  // sine of the angle between neighbouring walls: 20 degrees
constexpr double along_axis = 0.8;   // cosine between the first wall and the width

// Axes of the box along which a board's u and v run, with their signs; the third is that of its normal.
struct Frame {
  int u = 0, v = 1, normal = 2;
  double sign_u = 1;
};

Frame frame_of(const BoxedShape &b, int board) {
  switch (board) {
    case 0:
      return {0, 2, 1, 1};
    case 1:
      return {1, 2, 0, 1};
    case 2:
      return {0, 2, 1, -1};
    case 3:
      return {1, 2, 0, -1};
    case 4:
      return {0, 1, 2, 1};
    case 5:
      return {0, 1, 2, -1};
    default:
      return {(b.brace_axis + 1) % 3, (b.brace_axis + 2) % 3, b.brace_axis, 1};
  }
}

Strips sides(int axis, int at, int other_axis, int at_other) {
  Strips strips;
  strips[std::size_t(axis)].side = at;
  strips[std::size_t(other_axis)].side = at_other;
  return strips;
}

Point flat(const Vector3 &x) { return {x.x(), x.y()}; }

// Inner face of a wall, or the middle plane of a brace, ruled between the two edges (or pairs of them) across the
// braces: from the box's coordinates to the board's.
Point ruled(const BoxedShape &b, int board, const Point &in_box) {
  const Frame f = frame_of(b, board);
  const BoxEdges &e = b.edges;
  const Board &own = b.shape_board(board);
  const Vector3 x = b.box.boards[std::size_t(board)].at(in_box.x(), in_box.y(), 0);
  const auto part = [&](int axis) { return (x[axis] - e.inner_low[axis]) / (e.inner_high[axis] - e.inner_low[axis]); };
  if (board >= 6) {
    const Vector3 middle = b.box.boards[std::size_t(board)].at(0, 0, own.thickness() / 2);
    Point sum(0, 0);
    for (const int at_u : {-1, 1})
      for (const int at_v : {-1, 1}) {
        const Strips strips = sides(f.u, at_u, f.v, at_v);
        const Vector3 corner =
            place_on(e, edge_of(e, f.normal, strips), part_at(e, f.normal, strips, middle[f.normal]));
        sum += (at_u > 0 ? part(f.u) : 1 - part(f.u)) * (at_v > 0 ? part(f.v) : 1 - part(f.v)) *
               flat(own.coordinates_of(corner));
      }
    return sum;
  }
  const int along = b.brace_axis == f.u ? f.u : f.v, across = along == f.u ? f.v : f.u;
  const bool is_high = board == 1 || board == 2 || board == 4;
  Point ends[2];
  for (const int at : {0, 1}) {
    const Strips strips = sides(f.normal, is_high ? 1 : -1, across, at == 0 ? -1 : 1);
    ends[at] = flat(own.coordinates_of(place_on(e, edge_of(e, along, strips), part_at(e, along, strips, x[along]))));
  }
  return ends[0] + part(across) * (ends[1] - ends[0]);
}

// Where in the box a place of a board is. Errors: NoBox.
Point unruled(const BoxedShape &b, int board, const Point &wanted, const std::string &name) {
  const auto [low, high] = outline_bounds(b.box.boards[std::size_t(board)]);
  Point x = (low + high) / 2;
  const double step = 1e-5 * (high - low).norm();
  for (int turn = 0; turn < 60; ++turn) {
    const Point off = ruled(b, board, x) - wanted;
    if (off.norm() < 1e-10) return x;
    Eigen::Matrix2d slope;
    for (int k = 0; k < 2; ++k)
      slope.col(k) =
          (ruled(b, board, x + step * Point::Unit(k)) - ruled(b, board, x - step * Point::Unit(k))) / (2 * step);
    x -= slope.inverse() * off;
    if (!x.allFinite()) break;
  }
  throw NoBox{"no place was found for \"" + name + "\" in a box of the same boards"};
}

void set_walls(BoxedShape &b, const Structure &s) {
  b.edges.shape = &s;
  b.edges.wall = {3, 1, 0, 2, 5, 4};
  for (int i = 0; i < 4; ++i) {
    const Board &own = s.boards[std::size_t(i)], &next = s.boards[std::size_t((i + 1) % 4)];
    // At the corner between them, which is at the end of the first one.
    const auto [low, high] = outline_bounds(own);
    const Vector3 n = own.axes_at(own.at(high.x(), low.y(), own.thickness())).col(2),
                  m = next.axes_at(next.at(outline_bounds(next).first.x(), low.y(), next.thickness())).col(2);
    const double turn = n.x() * m.y() - n.y() * m.x();
    if (turn < least_turn)
      throw NoBox{"\"" + own.name + "\" and \"" + next.name + "\" meet in too blunt or too sharp a corner"};
  }
  const auto &front = s.boards[0];
  if (front.u.x() < along_axis && !front.bend) throw NoBox{"\"" + front.name + "\" does not run along the width"};
  for (std::size_t i = 0; i < 6; ++i) b.edges.thickness[i] = s.boards[std::size_t(b.edges.wall[i])].thickness();
}

// Sizes of the room of the box: those of the longest edges. Without knots yet.
void set_room(BoxedShape &b) {
  BoxEdges &e = b.edges;
  for (int axis = 0; axis < 3; ++axis) {
    double longest = 0;
    const int p = (axis + 1) % 3, q = (axis + 2) % 3;
    for (const int at_p : {-1, 1})
      for (const int at_q : {-1, 1}) {
        const double length = length_of(edge_of(e, axis, sides(p, at_p, q, at_q)));
        if (!(length > least_room)) throw NoBox{"its corners inside were not found"};
        longest = std::max(longest, length);
      }
    e.inner_low[axis] = e.thickness[std::size_t(2 * axis)];
    e.inner_high[axis] = e.inner_low[axis] + longest;
    e.knots[std::size_t(axis)] = {e.inner_low[axis], e.inner_high[axis]};
    for (auto &parts : e.parts[std::size_t(axis)]) parts = {0, 1};
  }
}

// The part of an edge that lies below a plane square to a world axis. Errors: NoBox.
double part_below(const BoxEdges &e, const BoxEdge &edge, int axis, double at, const std::string &name) {
  double low = 0, high = 1;
  const double from = place_on(e, edge, 0)[axis] - at, to = place_on(e, edge, 1)[axis] - at;
  if (std::abs(from) < same_place) return 0;
  if (std::abs(to) < same_place) return 1;
  if (from > 0 || to < 0) throw NoBox{"\"" + name + "\" does not reach from edge to edge of four walls"};
  for (int turn = 0; turn < 60; ++turn) {
    const double middle = (low + high) / 2;
    (place_on(e, edge, middle)[axis] < at ? low : high) = middle;
  }
  return (low + high) / 2;
}

// Knots at the planes of the braces. Errors: NoBox.
void set_braces(BoxedShape &b) {
  const Structure &s = *b.edges.shape;
  for (std::size_t i = 6; i < s.boards.size(); ++i) {
    const int axis = axis_of(s.boards[i].normal());
    if (b.brace_axis >= 0 && axis != b.brace_axis) throw NoBox{"its braces lie across each other"};
    b.brace_axis = axis;
    b.braces.push_back(int(i));
  }
  if (b.braces.empty()) return;
  const int axis = b.brace_axis, p = (axis + 1) % 3, q = (axis + 2) % 3;
  std::sort(b.braces.begin(), b.braces.end(), [&](int i, int j) {
    return s.boards[std::size_t(i)].origin[axis] < s.boards[std::size_t(j)].origin[axis];
  });
  BoxEdges &e = b.edges;
  std::vector<double> &knots = e.knots[std::size_t(axis)];
  auto &parts = e.parts[std::size_t(axis)];
  const double low = e.inner_low[axis], high = e.inner_high[axis];
  std::array<BoxEdge, 4> edges;
  for (int k = 0; k < 4; ++k) edges[std::size_t(k)] = edge_of(e, axis, sides(p, k % 2 ? 1 : -1, q, k / 2 ? 1 : -1));
  for (const int brace : b.braces) {
    const Board &board = s.boards[std::size_t(brace)];
    std::array<std::array<double, 2>, 4> at{};
    double mean = 0, below = 1e300, above = 1e300, most_below = 0, most_above = 0;
    for (std::size_t k = 0; k < 4; ++k) {
      const double from = board.origin[axis];
      at[k] = {part_below(e, edges[k], axis, from, board.name),
               part_below(e, edges[k], axis, from + board.thickness(), board.name)};
      mean += at[k][0] / 4;
      const double length = length_of(edges[k]);
      const double gap_below = length * (at[k][0] - parts[k][parts[k].size() - 2]), gap_above = length * (1 - at[k][1]);
      below = std::min(below, gap_below);
      above = std::min(above, gap_above);
      most_below = std::max(most_below, gap_below);
      most_above = std::max(most_above, gap_above);
    }
    const bool on_low = most_below < same_place, on_high = most_above < same_place;
    if ((!on_low && below < least_gap) || (!on_high && above < least_gap))
      throw NoBox{"\"" + board.name + "\" lies closer than 1 mm to a wall or another brace, but not all along"};
    double from = low + mean * (high - low);
    if (on_low) from = knots[knots.size() - 2];
    if (on_high) from = high - board.thickness();
    const auto insert = [&](double x, std::size_t side) {
      if (x < knots[knots.size() - 2] + same_place || x > high - same_place) return;
      knots.insert(knots.end() - 1, x);
      for (std::size_t k = 0; k < 4; ++k) parts[k].insert(parts[k].end() - 1, at[k][side]);
    };
    insert(from, 0);
    insert(from + board.thickness(), 1);
    b.box.boards[std::size_t(brace)].origin[axis] = from;
  }
}

// Boards of the box; braces get their place along their axis later.
void set_boards(BoxedShape &b, const BoxForm &form) {
  const BoxEdges &e = b.edges;
  const Structure &s = *e.shape;
  b.box.boards = s.boards;
  const Vector3 outer(e.inner_high.x() + e.thickness[1], e.inner_high.y() + e.thickness[3],
                      e.inner_high.z() + e.thickness[5]);
  for (int i = 0; i < 6; ++i) {
    Board &board = b.box.boards[std::size_t(i)];
    const Frame f = frame_of(b, i);
    const bool is_high = i == 1 || i == 2 || i == 4;
    Vector3 low(0, 0, 0), high = outer;  // where another wall runs through, this one ends at its inner face
    for (const int axis : {f.u, f.v})
      for (const int side : {-1, 1}) {
        const int other = e.wall_at(axis, side);
        const bool mitred = form.mitred && i < 4 && other < 4;
        if (mitred || form.rank[std::size_t(i)] < form.rank[std::size_t(other)]) continue;
        (side < 0 ? low : high)[axis] = (side < 0 ? e.inner_low : e.inner_high)[axis];
      }
    low[f.normal] = high[f.normal] = is_high ? e.inner_high[f.normal] : e.inner_low[f.normal];
    board.bend.reset();
    board.cut_outs.clear();
    board.disc_radius = 0;
    board.u = f.sign_u * Vector3::Unit(f.u);
    board.v = Vector3::Unit(f.v);
    board.origin = low;
    if (f.sign_u < 0) board.origin[f.u] = high[f.u];
    const double wide = high[f.u] - low[f.u], up = high[f.v] - low[f.v];
    board.outline = {{0, 0}, {wide, 0}, {wide, up}, {0, up}};
  }
  if (form.mitred)
    for (int i = 0; i < 4; ++i) b.box.overlaps.push_back({i, (i + 1) % 4, Sharing::mitre});
  for (std::size_t i = 6; i < s.boards.size(); ++i) {
    Board &board = b.box.boards[i];
    const int axis = axis_of(board.normal()), p = (axis + 1) % 3, q = (axis + 2) % 3;
    board.cut_outs.clear();
    board.u = Vector3::Unit(p);
    board.v = Vector3::Unit(q);
    board.origin = e.inner_low;
    const Vector3 room = e.inner_high - e.inner_low;
    board.outline = {{0, 0}, {room[p], 0}, {room[p], room[q]}, {0, room[q]}};
  }
}

// A cut-out of a wall must not reach the line where a brace stands on it. Errors: NoBox.
void check_braces_clear(const BoxedShape &b, int board, const CutOut &c) {
  const Board &likeness = b.box.boards[std::size_t(board)];
  if (board >= 6 || b.brace_axis < 0 || std::abs(likeness.normal()[b.brace_axis]) > 0.5) return;
  const double half = (std::abs(likeness.u[b.brace_axis]) > 0.5 ? c.width : c.height) / 2;
  const double at = likeness.at(c.centre.x(), c.centre.y(), 0)[b.brace_axis];
  for (const int brace : b.braces) {
    const Board &other = b.box.boards[std::size_t(brace)];
    const double low = other.origin[b.brace_axis], high = low + other.thickness();
    if (at - half < high + least_web && at + half > low - least_web)
      throw NoBox{"\"" + c.name + "\" comes closer than 2 mm to \"" + other.name + "\""};
  }
}

void set_cut_outs(BoxedShape &b, const BoxForm &form) {
  const Structure &s = *b.edges.shape;
  for (std::size_t i = 0; i < s.boards.size(); ++i)
    for (const CutOut &cut_out : s.boards[i].cut_outs) {
      CutOut likeness = cut_out;
      likeness.centre = unruled(b, int(i), cut_out.centre, cut_out.name);
      b.box.boards[i].cut_outs.push_back(likeness);
      check_braces_clear(b, int(i), likeness);
    }
  for (const BoxForm::Window &window : form.windows) {
    Board &brace = b.box.boards[std::size_t(window.board)];
    const Point size = outline_bounds(brace).second;
    b.windows.push_back({window.board, int(brace.cut_outs.size()), window.rim});
    brace.cut_outs.push_back({brace.name + " opening", CutOutShape::rectangle, size / 2, size.x() - 2 * window.rim,
                              size.y() - 2 * window.rim, true});
    Point corner[2][2];
    for (const int i : {0, 1})
      for (const int j : {0, 1})
        corner[i][j] = window_in_shape(
            b, b.windows.back(), {i ? size.x() - window.rim : window.rim, j ? size.y() - window.rim : window.rim}, 0.5);
    constexpr double least = 5e-3;
    for (const int i : {0, 1})
      if (corner[1][i].x() - corner[0][i].x() < least || corner[i][1].y() - corner[i][0].y() < least)
        throw NoBox{"the opening of \"" + brace.name + "\" has no four sides"};
  }
}

void set_frame(BoxedShape &b) {
  const BoxEdges &e = b.edges;
  CabinetFrame frame;
  frame.inner_low = e.inner_low;
  frame.inner_high = e.inner_high;
  for (int axis = 0; axis < 3; ++axis) frame.outer[axis] = e.inner_high[axis] + e.thickness[std::size_t(2 * axis + 1)];
  frame.walls = {0, 2, 3, 1, 4, 5};
  b.box.cabinet = frame;
  b.box.ports = b.edges.shape->ports;
  b.box.linings = b.edges.shape->linings;
  for (Lining &lining : b.box.linings) {  // all of the room
    lining.low = e.inner_low;
    lining.high = e.inner_high;
  }
}

BoxedShape make_boxed(const Structure &s, const BoxForm &form) {
  BoxedShape b;
  if (form.mitred)
    for (int i = 0; i < 4; ++i)
      for (const std::size_t lid : {4, 5})
        if ((form.rank[std::size_t(i)] < form.rank[lid]) != (form.rank[0] < form.rank[lid]))
          throw NoBox{"top or bottom run through at some of its mitred walls only"};
  set_walls(b, s);
  set_room(b);
  b.box.materials = s.materials;
  b.box.rim_masses = s.rim_masses;
  set_boards(b, form);
  set_braces(b);
  set_cut_outs(b, form);
  add_bevels(b, form);
  set_frame(b);
  return b;
}

}  // namespace

std::optional<BoxedShape> boxed_shape(const Structure &s, std::string &why) {
  if (!s.solids) return std::nullopt;
  why = s.solids->no_box;
  if (!s.solids->box_form) return std::nullopt;
  try {
    return make_boxed(s, *s.solids->box_form);
  } catch (const NoBox &no) {
    why = no.why;
    return std::nullopt;
  }
}

Point rim_in_shape(const BoxedShape &b, int board, int cut_out, const Point &in_box) {
  const std::size_t c = std::size_t(cut_out);
  return b.shape_board(board).cut_outs[c].centre + in_box - b.box.boards[std::size_t(board)].cut_outs[c].centre;
}

Point window_in_shape(const BoxedShape &b, const BoxWindow &window, const Point &in_box, double depth) {
  const BoxEdges &e = b.edges;
  const Frame f = frame_of(b, window.board);
  const Board &own = b.shape_board(window.board);
  const Point size = outline_bounds(b.box.boards[std::size_t(window.board)]).second;
  const Board level = make_rectangle("", own.origin + depth * own.thickness() * own.normal(), own.u, own.v, 1, 1, 1, 0);
  const auto corner = [&](int at_u, int at_v) {
    const Board &wall_u = e.board_at(f.u, at_u), &wall_v = e.board_at(f.v, at_v);
    const Strips strips = sides(f.u, at_u, f.v, at_v);
    const double middle = b.box.boards[std::size_t(window.board)].origin[f.normal];
    const Vector3 start = place_on(e, edge_of(e, f.normal, strips), part_at(e, f.normal, strips, middle));
    return meet_in_room(wall_u, -window.rim / wall_u.thickness(), wall_v, -window.rim / wall_v.thickness(), level,
                        start);
  };
  const Point part = (in_box.array() - window.rim) / (size.array() - 2 * window.rim);
  const bool along_u = std::min(part.y(), 1 - part.y()) < std::min(part.x(), 1 - part.x());
  const int low = -1, high = 1, at = (along_u ? part.y() : part.x()) > 0.5 ? 1 : -1;
  const Vector3 from = along_u ? corner(low, at) : corner(at, low), to = along_u ? corner(high, at) : corner(at, high);
  const double way = along_u ? part.x() : part.y();
  const Board &wall = along_u ? e.board_at(f.v, at) : e.board_at(f.u, at);
  if (!wall.bend) return flat(own.coordinates_of(from + way * (to - from)));
  const Vector3 c = wall.coordinates_of(from), d = wall.coordinates_of(to), x = c + way * (d - c);
  return flat(own.coordinates_of(wall.at(x.x(), x.y(), x.z())));
}

}  // namespace stillbox
