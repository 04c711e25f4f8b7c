// SPDX-License-Identifier: MIT
#pragma once
#include <gtest/gtest.h>

#include <stdexcept>
#include <string>

#include "mesh/grid.h"
#include "mesh/structure.h"

namespace stillbox {

/// The board of that name; throws when there is none.
inline const Board &board_of(const Structure &s, const std::string &name) {
  for (const Board &board : s.boards)
    if (board.name == name) return board;
  throw std::runtime_error("no board " + name);
}

inline void expect_box(const Board &board, const Eigen::Vector3d &low_mm, const Eigen::Vector3d &high_mm) {
  const auto [low, high] = world_bounds(board);
  EXPECT_LT((low * 1e3 - low_mm).norm(), 1e-6) << board.name << " " << low.transpose() * 1e3;
  EXPECT_LT((high * 1e3 - high_mm).norm(), 1e-6) << board.name << " " << high.transpose() * 1e3;
}

}  // namespace stillbox
