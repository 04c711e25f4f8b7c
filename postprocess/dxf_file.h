// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <string>
#include <vector>

namespace stillbox {

/// A drawing in the DXF of release 12 (AC1009): LINE, CIRCLE, ARC, TEXT on named layers, one drawing unit is 1 mm.
/// $INSUNITS came after release 12, so the unit stands in a comment (group 999) and in a text of the drawing.
/// Source: the group codes of the public DXF reference (from memory); the tests read the files with an independent
/// library.
struct DxfDrawing {
  struct Layer {
    std::string name;  ///< A-Z, 0-9, _
    int colour = 7;    ///< 1 red, 2 yellow, 3 green, 4 cyan, 5 blue, 6 magenta, 7 black or white
    bool dashed = false;
  };
  std::vector<Layer> layers;
  std::string entities;                   ///< what has been drawn so far
  Eigen::Vector2d low{0, 0}, high{0, 0};  ///< extent of what has been drawn, m
  bool is_empty = true;
};

// All lengths in m, angles in rad counter-clockwise from x.
void dxf_line(DxfDrawing &drawing, const std::string &layer, const Eigen::Vector2d &from, const Eigen::Vector2d &to);
void dxf_rectangle(DxfDrawing &drawing, const std::string &layer, const Eigen::Vector2d &low,
                   const Eigen::Vector2d &high);
void dxf_circle(DxfDrawing &drawing, const std::string &layer, const Eigen::Vector2d &centre, double radius);
void dxf_arc(DxfDrawing &drawing, const std::string &layer, const Eigen::Vector2d &centre, double radius, double from,
             double to);
/// Characters beyond ASCII become "?".
void dxf_text(DxfDrawing &drawing, const std::string &layer, const Eigen::Vector2d &at, double height,
              const std::string &text);

/// The whole file, lines ending in CRLF.
std::string dxf_file(const DxfDrawing &drawing);

}  // namespace stillbox
