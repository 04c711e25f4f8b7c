// SPDX-License-Identifier: MIT
#include "mesh/gmsh_session.h"

#include <gmsh.h>

#include <cstdlib>

namespace stillbox {
namespace {

void begin() {
  gmsh::initialize(0, nullptr, false);
  gmsh::option::setNumber("General.Terminal", 0);
  gmsh::option::setNumber("General.AbortOnError", 2);
  gmsh::option::setNumber("General.NumThreads", 1);
  // Corners on a circle are a degenerate case of its triangulation: a stir of 1e-5 of the size avoids it.
  gmsh::option::setNumber("Mesh.RandomFactor", 1e-5);
  gmsh::option::setNumber("Mesh.MeshSizeExtendFromBoundary", 1);
}

}  // namespace

void start_gmsh() {
  static const bool started = [] {
    begin();
    std::atexit([] { gmsh::finalize(); });
    return true;
  }();
  (void)started;
}

void restart_gmsh() {
  start_gmsh();
  gmsh::finalize();
  begin();
}

}  // namespace stillbox
