// SPDX-License-Identifier: MIT
#include "solver/unknowns.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "mesh/outline_loops.h"

namespace stillbox {
namespace {

// Marks the displacement components that an edge support holds. World components: the board must lie along the axes
// unless it is clamped.
void hold_edge(const Structure &s, const Discretisation &d, const EdgeSupport &support,
               const std::vector<char> &on_board, std::vector<std::array<bool, 3>> &held) {
  const Board &board = s.boards[support.board];
  const auto [low, high] = outline_bounds(board);
  const double tolerance = 1e-6 * (high - low).norm();
  const bool rectangle =
      board.outline.size() == 4 && std::abs(outline_area(board) - (high - low).prod()) < 1e-9 * (high - low).prod();
  bool any = false;
  for (int node = 0; node < d.points.rows(); ++node) {
    if (!on_board[node]) continue;
    const Eigen::Vector3d r = d.points.row(node).transpose() - board.origin;
    const Eigen::Vector2d p(r.dot(board.u), r.dot(board.v));
    std::array<bool, 4> on{};
    if (board.disc_radius > 0) {
      on[u_low] = std::abs(p.norm() - board.disc_radius) < tolerance;
    } else {
      const double distance[4] = {p.x() - low.x(), high.x() - p.x(), p.y() - low.y(), high.y() - p.y()};
      for (int side = 0; side < 4; ++side) on[side] = std::abs(distance[side]) < tolerance;
      if (!rectangle && support.side < 0) {
        // A polygon: on any of its edges. A rhombus has four corners, too.
        on.fill(false);
        for (std::size_t i = 0; i < board.outline.size(); ++i) {
          const Eigen::Vector2d &a = board.outline[i], &b = board.outline[(i + 1) % board.outline.size()];
          if (segment_distance(p, a, b) < tolerance) on[u_low] = true;
        }
      }
    }
    for (int side = 0; side < 4; ++side) {
      if (!on[side] || (support.side >= 0 && support.side != side)) continue;
      any = true;
      if (support.kind == EdgeKind::clamped) {
        held[node] = {true, true, true};
        continue;
      }
      held[node][axis_of(board.normal())] = true;
      if (support.kind == EdgeKind::simple_hard) held[node][axis_of(side < 2 ? board.v : board.u)] = true;
    }
  }
  if (!any) throw SolveError("the edge support of board \"" + board.name + "\" finds no wood to hold");
}

}  // namespace

Unknowns number_unknowns(const Structure &s, const Discretisation &d, const NodeRoles &roles) {
  const int nodes = int(d.points.rows());
  Unknowns u;
  u.node_body.assign(nodes, -1);
  u.node_block.assign(nodes, -1);
  u.node_follower.assign(nodes, -1);
  u.component.assign(nodes, {-1, -1, -1});
  for (const RimMass &m : s.rim_masses) {
    if (!m.rigid_basket) continue;
    const auto rim = std::find_if(d.rims.begin(), d.rims.end(), [&](const Discretisation::RimNodes &r) {
      return r.board == m.board && r.cut_out == m.cut_out;
    });
    if (rim == d.rims.end()) throw SolveError("the rim of driver \"" + m.name + "\" was not meshed");
    const Board &board = s.boards[m.board];
    const CutOut &hole = board.cut_outs[m.cut_out];
    for (int node : rim->nodes) {
      if (u.node_body[node] >= 0) throw SolveError("two rigid baskets share a rim at driver \"" + m.name + "\"");
      u.node_body[node] = int(u.body_centre.size());
    }
    u.body_centre.push_back(board.at(hole.centre.x(), hole.centre.y(), board.thickness() - m.depth_of_gravity));
  }
  std::vector<std::array<bool, 3>> held(nodes, {false, false, false});
  for (const EdgeSupport &support : s.edge_supports) {
    // Nodes near the board's plane; supports are for plates, where all nodes on the edge belong to the board.
    const Board &board = s.boards[support.board];
    std::vector<char> on_board(nodes, 0);
    for (int i = 0; i < nodes; ++i) {
      const double n = (d.points.row(i).transpose() - board.origin).dot(board.normal());
      on_board[i] = n > -1e-7 && n < board.thickness() + 1e-7;
    }
    hold_edge(s, d, support, on_board, held);
  }
  const auto is_free = [&](int i) { return u.node_body[i] < 0 && !held[i][0] && !held[i][1] && !held[i][2]; };
  for (const Follower &f : roles.followers) {
    if (!is_free(f.node) ||
        !std::all_of(f.leaders.begin(), f.leaders.end(), [&](const auto &leader) { return is_free(leader.first); }))
      continue;
    u.node_follower[f.node] = int(u.followers.size());
    u.followers.push_back(f);
  }
  const auto number = [&](int i) {
    const int start = u.count;
    for (int k = 0; k < 3; ++k)
      if (!held[i][k]) u.component[i][k] = u.count++;
    if (u.count == start) return;
    u.node_block[i] = int(u.block_start.size());
    u.block_start.push_back(start);
  };
  std::map<int, std::vector<int>> inner_nodes;
  for (int i = 0; i < nodes; ++i) {
    if (u.node_follower[i] >= 0) continue;
    if (u.node_body[i] >= 0) {
      if (held[i][0] || held[i][1] || held[i][2])
        throw SolveError("a rigid basket sits on a supported edge; move the cut-out or the support");
      continue;
    }
    if (!roles.inner_cell.empty() && roles.inner_cell[i] >= 0)
      inner_nodes[roles.inner_cell[i]].push_back(i);
    else
      number(i);
  }
  for (std::size_t b = 0; b < u.body_centre.size(); ++b) {
    u.body_block.push_back(int(u.block_start.size()));
    u.block_start.push_back(u.count);
    u.count += 6;
  }
  for (const auto &[cell, list] : inner_nodes) {
    u.inner_start.push_back(u.count);
    if (u.inner_start.front() == 0) u.inner_start = {u.count};  // cells that share nothing: nothing would be left
    for (int i : list) number(i);
    if (u.count == u.inner_start.back()) u.inner_start.pop_back();
  }
  u.inner_start.push_back(u.count);
  if (u.inner_start.front() == 0) u.inner_start = {u.count};  // cells that share nothing: nothing would be left
  for (int i = 0; i < nodes; ++i)
    if (u.node_body[i] >= 0) u.node_block[i] = u.body_block[u.node_body[i]];
  u.block_start.push_back(u.count);
  if (u.count == 0) throw SolveError("every point is held: nothing can move");
  return u;
}

Eigen::Matrix<double, Eigen::Dynamic, 3> expand(const Unknowns &u, const Discretisation &d, const Eigen::VectorXd &x) {
  Eigen::Matrix<double, Eigen::Dynamic, 3> full(d.points.rows(), 3);
  for (int i = 0; i < full.rows(); ++i) {
    if (u.node_body[i] >= 0) {
      const int start = u.block_start[u.node_block[i]];
      const Eigen::Vector3d t = x.segment<3>(start), r = x.segment<3>(start + 3);
      full.row(i) = t + r.cross(d.points.row(i).transpose() - u.body_centre[u.node_body[i]]);
      continue;
    }
    for (int k = 0; k < 3; ++k) full(i, k) = u.component[i][k] < 0 ? 0 : x[u.component[i][k]];
  }
  for (const Follower &f : u.followers)
    for (const auto &[leader, weight] : f.leaders) full.row(f.node) += weight * full.row(leader);
  return full;
}

Eigen::VectorXd restrict_rigid(const Unknowns &u, const Discretisation &d, const Eigen::Vector3d &shift,
                               const Eigen::Vector3d &rotation, const Eigen::Vector3d &about) {
  Eigen::VectorXd x = Eigen::VectorXd::Zero(u.count);
  for (int i = 0; i < d.points.rows(); ++i) {
    const Eigen::Vector3d v = shift + rotation.cross(d.points.row(i).transpose() - about);
    for (int k = 0; k < 3; ++k)
      if (u.component[i][k] >= 0) x[u.component[i][k]] = v[k];
  }
  for (std::size_t b = 0; b < u.body_centre.size(); ++b) {
    const int start = u.block_start[u.body_block[b]];
    x.segment<3>(start) = shift + rotation.cross(u.body_centre[b] - about);
    x.segment<3>(start + 3) = rotation;
  }
  return x;
}

Eigen::MatrixXd whole_motions(const Unknowns &u, const Discretisation &d) {
  const Eigen::Vector3d centre = d.points.colwise().mean().transpose();
  const double size = (d.points.colwise().maxCoeff() - d.points.colwise().minCoeff()).norm();
  Eigen::MatrixXd Z(u.count, 6);
  for (int k = 0; k < 3; ++k) {
    Z.col(k) = restrict_rigid(u, d, Eigen::Vector3d::Unit(k), Eigen::Vector3d::Zero(), centre);
    Z.col(3 + k) = restrict_rigid(u, d, Eigen::Vector3d::Zero(), Eigen::Vector3d::Unit(k) / size, centre);
  }
  return Z;
}

CellUnknowns cell_unknowns(const Unknowns &u, const Discretisation &d, int cell) {
  const std::vector<int> &nodes = d.cells[cell];
  CellUnknowns c;
  const auto add_block = [&](int node) {
    if (u.node_block[node] >= 0) c.blocks.push_back(u.node_block[node]);
  };
  for (int node : nodes) {
    add_block(node);
    if (u.node_follower[node] >= 0)
      for (const auto &leader : u.followers[u.node_follower[node]].leaders) add_block(leader.first);
  }
  std::sort(c.blocks.begin(), c.blocks.end());
  c.blocks.erase(std::unique(c.blocks.begin(), c.blocks.end()), c.blocks.end());
  std::vector<int> start_of_block;
  for (int b : c.blocks) {
    start_of_block.push_back(int(c.list.size()));
    for (int i = u.block_start[b]; i < u.block_start[b + 1]; ++i) c.list.push_back(i);
  }
  const auto place = [&](int unknown, int block) {
    const auto at = std::lower_bound(c.blocks.begin(), c.blocks.end(), block) - c.blocks.begin();
    return start_of_block[at] + unknown - u.block_start[block];
  };
  c.plain = std::all_of(nodes.begin(), nodes.end(), [&](int node) {
    return u.node_body[node] < 0 && u.component[node][0] >= 0 && u.component[node][1] >= 0 && u.component[node][2] >= 0;
  });
  c.position.assign(3 * nodes.size(), -1);
  for (std::size_t i = 0; i < nodes.size(); ++i)
    for (int k = 0; k < 3; ++k)
      if (u.component[nodes[i]][k] >= 0)
        c.position[3 * i + k] = place(u.component[nodes[i]][k], u.node_block[nodes[i]]);
  if (c.plain) return c;
  std::vector<Eigen::Triplet<double>> entries;
  const auto follow_node = [&](int row, int node, double weight) {
    for (int k = 0; k < 3; ++k)
      if (u.component[node][k] >= 0)
        entries.emplace_back(row + k, place(u.component[node][k], u.node_block[node]), weight);
  };
  for (std::size_t i = 0; i < nodes.size(); ++i) {
    const int node = nodes[i], row = 3 * int(i);
    if (u.node_follower[node] >= 0) {
      for (const auto &[leader, weight] : u.followers[u.node_follower[node]].leaders) follow_node(row, leader, weight);
      continue;
    }
    if (u.node_body[node] < 0) {
      follow_node(row, node, 1);
      continue;
    }
    const int at = place(u.block_start[u.node_block[node]], u.node_block[node]);
    const Eigen::Vector3d r = d.points.row(node).transpose() - u.body_centre[u.node_body[node]];
    for (int k = 0; k < 3; ++k) entries.emplace_back(row + k, at + k, 1);
    // w x r, column by column of w
    entries.emplace_back(row + 1, at + 3, -r.z());
    entries.emplace_back(row + 2, at + 3, r.y());
    entries.emplace_back(row + 0, at + 4, r.z());
    entries.emplace_back(row + 2, at + 4, -r.x());
    entries.emplace_back(row + 0, at + 5, -r.y());
    entries.emplace_back(row + 1, at + 5, r.x());
  }
  c.T.resize(3 * Eigen::Index(nodes.size()), Eigen::Index(c.list.size()));
  c.T.setFromTriplets(entries.begin(), entries.end());
  return c;
}

}  // namespace stillbox
