// SPDX-License-Identifier: MIT
#include "solver/blas_threads.h"

// OpenBLAS's own functions, which its header declares beside much else.
extern "C" {
void openblas_set_num_threads(int);
int openblas_get_num_threads(void);
}

namespace stillbox {

void use_blas_threads(int most) {
  if (openblas_get_num_threads() > most) openblas_set_num_threads(most);
}

OneBlasThread::OneBlasThread() : before_(openblas_get_num_threads()) {
  if (before_ > 1) openblas_set_num_threads(1);
}

OneBlasThread::~OneBlasThread() {
  if (before_ > 1) openblas_set_num_threads(before_);
}

}  // namespace stillbox
