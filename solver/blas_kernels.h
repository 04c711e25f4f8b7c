// SPDX-License-Identifier: MIT
#pragma once

namespace stillbox {

/// OpenBLAS chooses its kernels by the processor's name when it is loaded; one that is newer than the library gets
/// those for vectors of 256 bits though it has vectors of 512, which multiply 1.3 to 1.6 times as fast (a quarter of a
/// whole run, DEVELOPERS.md). Only the environment (OPENBLAS_CORETYPE) changes that, so: where it is so and the user
/// has not chosen, this process starts its own program again with the wider kernels named and the same arguments. Does
/// nothing else, in particular not twice, and not under mpirun.
void restart_with_wider_blas_kernels(char **arguments);

}  // namespace stillbox
