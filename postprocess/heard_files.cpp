// SPDX-License-Identifier: MIT
#include "postprocess/heard_files.h"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "postprocess/modes_json.h"
#include "postprocess/text.h"
#include "solver/modal_result.h"

namespace stillbox {
namespace {

std::string number(double value) { return std::isfinite(value) ? fmt::format("{}", value) : ""; }

nlohmann::ordered_json figure(double value) {
  return std::isfinite(value) ? nlohmann::ordered_json(value) : nlohmann::ordered_json(nullptr);
}

}  // namespace

std::string uncertainty_text(const Heard &heard) {
  if (heard.used == 1) return "one knock: Cramer-Rao bound for the noise found";
  return fmt::format("{} knocks: the larger of the Cramer-Rao bound and the standard error of their spread",
                     heard.used);
}

std::string heard_caution(const Recording &recording) {
  return std::string(
             recording.acceleration
                 ? "An accelerometer adds its own mass and hears one place. "
                 : "A microphone hears pressure: the loudest tone is not the wall that moves most, and the room "
                   "and the air in the box ring too. ") +
         "The loss factor holds all that takes energy: wood, joints, air, what the box stands on; a hand-held box is "
         "damped by the hand. A figure with its standard deviation tells how well this recording was read, not how "
         "well "
         "the next one will agree.";
}

std::string heard_csv(const Heard &heard) {
  std::string out = csv_line({"mode", "frequency_hz", "frequency_sd_hz", "loss_factor", "loss_factor_sd", "level_db",
                              "knocks", "q", "decay_time_s"});
  int mode_number = 0;
  for (const HeardMode &mode : heard.modes)
    out += csv_line({std::to_string(++mode_number), number(mode.frequency), number(mode.frequency_sd),
                     number(mode.loss_factor), number(mode.loss_factor_sd), number(mode.level_db),
                     std::to_string(mode.knocks), number(1 / mode.loss_factor),
                     number(decay_time_of(mode.frequency, mode.loss_factor))});
  return out;
}

std::string heard_json(const Recording &recording, const Heard &heard) {
  nlohmann::ordered_json root;
  root["schema"] = "stillbox heard 1";
  root["nature"] = heard_caution(recording);
  root["recording"] = {{"file", clean_text(recording.path)},
                       {"rate_hz", recording.rate},
                       {"channel", recording.channel},
                       {"seconds", double(recording.samples.size()) / recording.rate},
                       {"quantity", recording.acceleration ? "acceleration" : "sound pressure, no calibration"}};
  root["band_hz"] = {heard.from, heard.to};
  root["signal_to_noise_db"] = figure(heard.snr_db);
  root["uncertainty"] = uncertainty_text(heard);
  root["modes"] = nlohmann::ordered_json::array();
  for (std::size_t m = 0; m < heard.modes.size(); ++m) {
    const HeardMode &mode = heard.modes[m];
    root["modes"].push_back({{"mode", m + 1},
                             {"frequency_hz", mode.frequency},
                             {"frequency_sd_hz", figure(mode.frequency_sd)},
                             {"loss_factor", figure(mode.loss_factor)},
                             {"loss_factor_sd", figure(mode.loss_factor_sd)},
                             {"level_db", figure(mode.level_db)},
                             {"knocks", mode.knocks},
                             {"q", figure(1 / mode.loss_factor)},
                             {"decay_time_s", figure(decay_time_of(mode.frequency, mode.loss_factor))}});
  }
  root["knocks"] = nlohmann::ordered_json::array();
  for (const HeardKnock &knock : heard.knocks)
    root["knocks"].push_back(
        {{"time_s", knock.time},
         {"peak", knock.peak},
         {"signal_to_noise_db", figure(knock.snr_db)},
         {"fault", knock.fault.empty() ? nlohmann::ordered_json(nullptr) : nlohmann::ordered_json(knock.fault)}});
  root["steady_tones"] = nlohmann::ordered_json::array();
  for (const SteadyTone &tone : heard.tones)
    root["steady_tones"].push_back(
        {{"frequency_hz", tone.frequency}, {"level_db", figure(tone.level_db)}, {"mains", tone.mains}});
  root["poles_left_out"] = heard.left_out;
  return root.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace stillbox
