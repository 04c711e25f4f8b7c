// SPDX-License-Identifier: MIT
#include "postprocess/cut_list.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "mesh/grid.h"

namespace stillbox {
namespace {

constexpr double touching = 1e-6;  // m

/// A world box in a board's (u, v, n), less the low corner of its outline.
struct LocalBox {
  Eigen::Vector3d low, high;
};

LocalBox local_box(const Board &board, const Eigen::Vector3d &low, const Eigen::Vector3d &high) {
  const Eigen::Vector2d corner = outline_bounds(board).first;
  const auto place = [&](const Eigen::Vector3d &p) {
    const Eigen::Vector3d d = p - board.origin;
    return Eigen::Vector3d(d.dot(board.u) - corner.x(), d.dot(board.v) - corner.y(), d.dot(board.normal()));
  };
  const Eigen::Vector3d a = place(low), b = place(high);
  return {a.cwiseMin(b), a.cwiseMax(b)};
}

Eigen::Vector3d size_of(const Board &board) {
  const auto [low, high] = outline_bounds(board);
  return {high.x() - low.x(), high.y() - low.y(), board.thickness()};
}

JointCut joint_cut(const Board &board, const LocalBox &box, const std::string &with) {
  const Eigen::Vector3d size = size_of(board);
  JointCut cut;
  cut.with = with;
  cut.low = box.low.head<2>();
  cut.high = box.high.head<2>();
  cut.depth = box.high.z() - box.low.z();
  cut.on_low_face = box.low.z() < touching;
  if (cut.depth < size.z() - touching) return cut;
  const Eigen::Vector2d extent = cut.high - cut.low;
  const bool is_all_u = extent.x() > size.x() - touching, is_all_v = extent.y() > size.y() - touching;
  // Across the whole board and away from both ends: pieces.
  const bool within_u = cut.low.x() > touching && cut.high.x() < size.x() - touching;
  const bool within_v = cut.low.y() > touching && cut.high.y() < size.y() - touching;
  cut.kind = (is_all_u && within_v) || (is_all_v && within_u) ? JointCut::Kind::interrupted : JointCut::Kind::notch;
  return cut;
}

MitreCut mitre_cut(const Board &board, const LocalBox &box, const std::string &with) {
  const Eigen::Vector3d size = size_of(board);
  const Eigen::Vector3d extent = box.high - box.low;
  MitreCut mitre;
  mitre.with = with;
  const bool along_v = extent.y() >= extent.x();
  mitre.width = along_v ? extent.x() : extent.y();
  mitre.angle = std::atan2(mitre.width, size.z());
  if (along_v)
    mitre.side = box.low.x() < touching ? u_low : u_high;
  else
    mitre.side = box.low.y() < touching ? v_low : v_high;
  return mitre;
}

void add_overlap(const Structure &s, const Overlap &o, std::vector<CutWork> &work) {
  const Board &first = s.boards[o.first], &second = s.boards[o.second];
  const auto [a_low, a_high] = world_bounds(first);
  const auto [b_low, b_high] = world_bounds(second);
  const Eigen::Vector3d low = a_low.cwiseMax(b_low), high = a_high.cwiseMin(b_high);
  if ((high - low).minCoeff() < touching) return;
  if (o.sharing == Sharing::mitre) {
    work[o.first].mitres.push_back(mitre_cut(first, local_box(first, low, high), second.name));
    work[o.second].mitres.push_back(mitre_cut(second, local_box(second, low, high), first.name));
  } else if (o.sharing == Sharing::first_owns) {
    work[o.second].cuts.push_back(joint_cut(second, local_box(second, low, high), first.name));
  } else {
    int longest = 0;
    (high - low).maxCoeff(&longest);
    const double middle = (low[longest] + high[longest]) / 2;
    Eigen::Vector3d from = low, to = high;
    from[longest] = middle;  // the first board keeps the half below
    to[longest] = middle;
    work[o.first].cuts.push_back(joint_cut(first, local_box(first, from, high), second.name));
    work[o.second].cuts.push_back(joint_cut(second, local_box(second, low, to), first.name));
  }
}

/// Notches over a whole edge make the board smaller; true when this was one.
bool trims(const JointCut &cut, const Eigen::Vector2d &size, CutWork &work) {
  if (cut.kind != JointCut::Kind::notch) return false;
  for (int a = 0; a < 2; ++a) {
    const int other = 1 - a;
    if (cut.low[other] > touching || cut.high[other] < size[other] - touching) continue;
    if (cut.low[a] < touching) work.trim_low[a] = std::max(work.trim_low[a], cut.high[a]);
    if (cut.high[a] > size[a] - touching) work.trim_high[a] = std::max(work.trim_high[a], size[a] - cut.low[a]);
    return true;
  }
  return false;
}

/// Where boards stand on the faces of another one.
void add_marks(const Structure &s, std::size_t b, CutWork &work) {
  const Board &board = s.boards[b];
  if (!is_axis_aligned_box(board) || board.role == BoardRole::sheet) return;
  const Eigen::Vector3d size = size_of(board);
  for (std::size_t i = 0; i < s.boards.size(); ++i) {
    const Board &other = s.boards[i];
    if (i == b || other.role == BoardRole::wall || !is_axis_aligned_box(other)) continue;
    const auto [low, high] = world_bounds(other);
    const LocalBox box = local_box(board, low, high);
    MarkedPlace mark;
    mark.with = other.name;
    mark.low = box.low.head<2>().cwiseMax(Eigen::Vector2d::Zero());
    mark.high = box.high.head<2>().cwiseMin(size.head<2>());
    mark.on_low_face = std::abs(box.high.z()) < touching;
    if ((mark.high - mark.low).minCoeff() < touching) continue;
    if (mark.on_low_face || std::abs(box.low.z() - size.z()) < touching) work.marks.push_back(mark);
  }
}

bool has_grain(const Material &m) { return std::abs(m.law(0, 0) - m.law(1, 1)) >= 1e-6 * m.law(0, 0); }

CutPart cut_part(const Structure &s, std::size_t b, std::size_t l, const CutWork &work, double board_mass) {
  static const char *const uses[] = {"wall", "brace", "sheet", "board"};
  const Board &board = s.boards[b];
  const Layer &layer = board.layers[l];
  const Material &material = s.materials[layer.material];
  Eigen::Vector3d size = size_of(board);
  size.head<2>() -= work.trim_low + work.trim_high;
  if (work.solid) size.head<2>() = work.solid->high - work.solid->low;
  CutPart part;
  part.board = board.name;
  part.use = uses[int(board.role)];
  part.material = material.name;
  part.index = int(b);
  part.layer = int(l);
  part.layers = int(board.layers.size());
  part.thickness = layer.thickness;
  part.has_grain = has_grain(material);
  part.length_is_u = size.x() >= size.y();
  if (part.has_grain) {
    const double quarter_turns = std::round(layer.grain_angle / (M_PI / 2));
    part.length_is_u = std::lround(quarter_turns) % 2 == 0;
    part.grain_angle = layer.grain_angle - quarter_turns * M_PI / 2;
    if (std::abs(part.grain_angle) < 1e-6) part.grain_angle = 0;
  }
  part.length = part.length_is_u ? size.x() : size.y();
  part.width = part.length_is_u ? size.y() : size.x();
  part.area = part.length * part.width;
  double weight = 0;
  for (const Layer &each : board.layers) weight += s.materials[each.material].density * each.thickness;
  part.mass = board_mass * material.density * layer.thickness / weight;
  return part;
}

void add_to_stock(const CutPart &part, std::vector<CutStock> &stock) {
  const auto same = std::find_if(stock.begin(), stock.end(), [&](const CutStock &k) {
    return k.material == part.material && std::abs(k.thickness - part.thickness) < touching;
  });
  CutStock &kind = same == stock.end() ? stock.emplace_back() : *same;
  kind.material = part.material;
  kind.thickness = part.thickness;
  ++kind.parts;
  kind.area += part.area;
  kind.mass += part.mass;
  kind.longest = std::max(kind.longest, part.length);
  kind.widest = std::max(kind.widest, part.width);
}

double mm(double metres) { return std::round(1e4 * metres) / 10; }

}  // namespace

CutList cut_list(const Structure &s, const std::string &path) {
  CutList list;
  list.variant = s.variant_name;
  list.work.resize(s.boards.size());
  const Volumes volumes = volumes_of(s);
  for (const Overlap &o : s.overlaps) add_overlap(s, o, list.work);
  if (s.solids) {
    const std::vector<SolidCut> cuts = solid_cuts(s, path);
    for (std::size_t b = 0; b < cuts.size(); ++b) list.work[b].solid = cuts[b];
  }
  for (std::size_t b = 0; b < s.boards.size(); ++b) {
    auto &cuts = list.work[b].cuts;
    const Eigen::Vector2d size = size_of(s.boards[b]).head<2>();
    cuts.erase(
        std::remove_if(cuts.begin(), cuts.end(), [&](const JointCut &cut) { return trims(cut, size, list.work[b]); }),
        cuts.end());
    if (!s.solids) add_marks(s, b, list.work[b]);
    for (std::size_t l = 0; l < s.boards[b].layers.size(); ++l) {
      list.parts.push_back(cut_part(s, b, l, list.work[b], volumes.board_mass[b]));
      add_to_stock(list.parts.back(), list.stock);
    }
    list.mass += volumes.board_mass[b];
  }
  list.fittings = volumes.mass - list.mass;
  return list;
}

std::string cut_words(const JointCut &cut) {
  const Eigen::Vector2d extent = cut.high - cut.low;
  const double across = mm(extent.minCoeff());
  switch (cut.kind) {
    case JointCut::Kind::rebate:
      return fmt::format("rebate {} wide, {} deep for {}", across, mm(cut.depth), cut.with);
    case JointCut::Kind::notch:
      return fmt::format("notch {} x {} for {}", mm(extent.x()), mm(extent.y()), cut.with);
    case JointCut::Kind::interrupted:
      return fmt::format("in two, {} apart, at {}", across, cut.with);
  }
  return "";
}

std::string mitre_words(const MitreCut &mitre) {
  return fmt::format("mitre {:.4g} deg with {}", mitre.angle * 180 / M_PI, mitre.with);
}

}  // namespace stillbox
