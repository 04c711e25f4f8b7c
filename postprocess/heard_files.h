// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "postprocess/heard.h"

namespace stillbox {

/// The modes as CSV (RFC 4180, CRLF): mode (from 1), frequency_hz, frequency_sd_hz, loss_factor, loss_factor_sd,
/// level_db, knocks, q (1 / loss factor), decay_time_s (T60). read_heard_csv reads it back.
std::string heard_csv(const Heard &heard);

/// All of it as JSON (RFC 8259): schema "stillbox heard 1", nature (a reminder of what a recording holds), recording
/// {file, rate_hz, channel, seconds, quantity}, band_hz [from, to], signal_to_noise_db, uncertainty (how the standard
/// deviations were found), modes[] (keys as the columns of heard.csv), knocks[] {time_s, peak, signal_to_noise_db,
/// fault (null: used)}, steady_tones[] {frequency_hz, level_db, mains}, poles_left_out. The same input gives the same
/// bytes.
std::string heard_json(const Recording &recording, const Heard &heard);

/// The mean spectrum of the knocks used (power, 0.5 s from each onset, dB re its largest value within the band), that
/// of as long a stretch of quiet before the first one where there is one, and the modes found, as SVG.
std::string heard_picture(const Recording &recording, const Heard &heard);

/// "one knock: Cramer-Rao bound ..." or "3 knocks: the larger of ...".
std::string uncertainty_text(const Heard &heard);

/// What a recording of knocks is not: two sentences for the printout and the files.
std::string heard_caution(const Recording &recording);

}  // namespace stillbox
