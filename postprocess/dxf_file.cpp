// SPDX-License-Identifier: MIT
#include "postprocess/dxf_file.h"

#include <fmt/format.h>

#include <cmath>

#include "postprocess/text.h"

namespace stillbox {
namespace {

std::string group(int code, const std::string &value) { return fmt::format("{:>3}\r\n{}\r\n", code, value); }
std::string group(int code, int value) { return group(code, std::to_string(value)); }

/// Millimetres to 0.1 micrometre, without a negative zero.
std::string real(double value) {
  const double rounded = std::round(1e4 * value) / 1e4;
  return fmt::format("{:.4f}", rounded == 0 ? 0.0 : rounded);
}

std::string point(int code, const Eigen::Vector2d &p) {
  return group(code, real(1e3 * p.x())) + group(code + 10, real(1e3 * p.y())) + group(code + 20, real(0));
}

std::string header_point(const char *name, const Eigen::Vector2d &p) {
  return group(9, std::string(name)) + point(10, p);
}

void grow(DxfDrawing &d, const Eigen::Vector2d &p) {
  d.low = d.is_empty ? p : d.low.cwiseMin(p).eval();
  d.high = d.is_empty ? p : d.high.cwiseMax(p).eval();
  d.is_empty = false;
}

void grow_by_circle(DxfDrawing &d, const Eigen::Vector2d &centre, double radius) {
  grow(d, centre - Eigen::Vector2d(radius, radius));
  grow(d, centre + Eigen::Vector2d(radius, radius));
}

std::string entity(const char *kind, const std::string &layer) { return group(0, std::string(kind)) + group(8, layer); }

std::string ascii(const std::string &text) {
  std::string out;
  for (const unsigned char c : clean_text(text)) {
    if ((c & 0xC0) == 0x80) continue;  // the rest of a character beyond ASCII
    out += c < 128 ? char(c) : '?';
  }
  return out;
}

std::string line_types() {
  std::string text = group(0, std::string("TABLE")) + group(2, std::string("LTYPE")) + group(70, 2);
  text += group(0, std::string("LTYPE")) + group(2, std::string("CONTINUOUS")) + group(70, 0) +
          group(3, std::string("Solid line")) + group(72, 65) + group(73, 0) + group(40, real(0));
  text += group(0, std::string("LTYPE")) + group(2, std::string("DASHED")) + group(70, 0) +
          group(3, std::string("Dashed line")) + group(72, 65) + group(73, 2) + group(40, real(9)) +
          group(49, real(6)) + group(49, real(-3));
  return text + group(0, std::string("ENDTAB"));
}

std::string layer_table(const std::vector<DxfDrawing::Layer> &layers) {
  std::string text =
      group(0, std::string("TABLE")) + group(2, std::string("LAYER")) + group(70, int(layers.size()) + 1);
  text += group(0, std::string("LAYER")) + group(2, std::string("0")) + group(70, 0) + group(62, 7) +
          group(6, std::string("CONTINUOUS"));
  for (const auto &layer : layers)
    text += group(0, std::string("LAYER")) + group(2, layer.name) + group(70, 0) + group(62, layer.colour) +
            group(6, std::string(layer.dashed ? "DASHED" : "CONTINUOUS"));
  return text + group(0, std::string("ENDTAB"));
}

std::string section(const char *name, const std::string &content) {
  return group(0, std::string("SECTION")) + group(2, std::string(name)) + content + group(0, std::string("ENDSEC"));
}

}  // namespace

void dxf_line(DxfDrawing &d, const std::string &layer, const Eigen::Vector2d &from, const Eigen::Vector2d &to) {
  d.entities += entity("LINE", layer) + point(10, from) + point(11, to);
  grow(d, from);
  grow(d, to);
}

void dxf_rectangle(DxfDrawing &d, const std::string &layer, const Eigen::Vector2d &low, const Eigen::Vector2d &high) {
  const Eigen::Vector2d right(high.x(), low.y()), left(low.x(), high.y());
  dxf_line(d, layer, low, right);
  dxf_line(d, layer, right, high);
  dxf_line(d, layer, high, left);
  dxf_line(d, layer, left, low);
}

void dxf_circle(DxfDrawing &d, const std::string &layer, const Eigen::Vector2d &centre, double radius) {
  d.entities += entity("CIRCLE", layer) + point(10, centre) + group(40, real(1e3 * radius));
  grow_by_circle(d, centre, radius);
}

void dxf_arc(DxfDrawing &d, const std::string &layer, const Eigen::Vector2d &centre, double radius, double from,
             double to) {
  d.entities += entity("ARC", layer) + point(10, centre) + group(40, real(1e3 * radius)) +
                group(50, real(from * 180 / M_PI)) + group(51, real(to * 180 / M_PI));
  grow_by_circle(d, centre, radius);
}

void dxf_text(DxfDrawing &d, const std::string &layer, const Eigen::Vector2d &at, double height,
              const std::string &text) {
  d.entities += entity("TEXT", layer) + point(10, at) + group(40, real(1e3 * height)) + group(1, ascii(text));
  grow(d, at);
}

std::string dxf_file(const DxfDrawing &d) {
  const std::string header = group(9, std::string("$ACADVER")) + group(1, std::string("AC1009")) +
                             header_point("$EXTMIN", d.low) + header_point("$EXTMAX", d.high) +
                             group(9, std::string("$LUNITS")) + group(70, 2);
  return group(999, std::string("stillbox: one drawing unit is 1 mm")) + section("HEADER", header) +
         section("TABLES", line_types() + layer_table(d.layers)) + section("ENTITIES", d.entities) +
         group(0, std::string("EOF"));
}

}  // namespace stillbox
