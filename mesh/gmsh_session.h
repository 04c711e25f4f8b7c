// SPDX-License-Identifier: MIT
#pragma once

namespace stillbox {

/// One Gmsh session for the whole process: starting it costs more than a mesh of ours. Quiet, on one thread.
void start_gmsh();

/// A new session. After a mesh that failed the old one makes no other: it returns without a word and without cells.
void restart_gmsh();

}  // namespace stillbox
