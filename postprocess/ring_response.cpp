// SPDX-License-Identifier: MIT
#include "postprocess/ring_response.h"

#include <cassert>
#include <cmath>

namespace stillbox {
namespace {

using Complex = std::complex<double>;
constexpr double pi = 3.14159265358979323846;

}  // namespace

RingModes ring_modes(const KnockModel &model) {
  assert(model.shapes.cols() == model.poles.size());
  const Eigen::Index m = model.poles.size(), points = model.shapes.rows();
  RingModes out;
  out.poles.resize(2 * m);
  out.poles << model.poles, model.poles.conjugate();
  out.shapes.resize(points, 2 * m);
  out.shapes << model.shapes, model.shapes.conjugate();
  if (model.volume.rows() > 0) {
    assert(model.volume.cols() == m);
    const Eigen::VectorXcd net = model.volume.colwise().sum().transpose();
    out.outwards.resize(2 * m);
    out.outwards << net, net.conjugate();
  }
  return out;
}

double pulse_envelope(const KnockPulse &pulse, double frequency) {
  const double turns = frequency * pulse.contact;
  if (turns <= 1)  // |y(contact)| of an undamped mode, which is sound where the fraction is 0 / 0
    return std::abs(pulse_on_pole(pulse, Complex(0, 2 * pi * frequency), pulse.contact));
  const double drive = pi / pulse.contact, w = 2 * pi * frequency;
  return 2 * pulse.peak * drive / (w * w - drive * drive);
}

Eigen::VectorXcd after_contact(const RingModes &modes, const KnockPulse &pulse) {
  Eigen::VectorXcd out(modes.poles.size());
  for (Eigen::Index k = 0; k < out.size(); ++k)
    out[k] = -pulse_on_pole(pulse, modes.poles[k], pulse.contact) / (2.0 * modes.poles[k]);
  return out;
}

}  // namespace stillbox
