// SPDX-License-Identifier: MIT
#include "postprocess/listen_command.h"

#include <fmt/format.h>

#include <cmath>
#include <filesystem>

#include "mesh/length.h"
#include "postprocess/heard_files.h"
#include "postprocess/progress.h"
#include "postprocess/safe_file.h"
#include "postprocess/sheet_command.h"
#include "postprocess/text.h"
#include "postprocess/text_table.h"

namespace stillbox {
namespace {

constexpr std::size_t page = 100;

std::string knocks_text(const Heard &heard) {
  std::string out;
  for (const HeardKnock &knock : heard.knocks)
    if (!knock.fault.empty()) out += fmt::format("  knock at {:.3f} s left out: {}\n", knock.time, knock.fault);
  return out;
}

std::string tones_text(const Heard &heard) {
  std::string list;
  for (const SteadyTone &tone : heard.tones)
    list += fmt::format("{}{:.1f} Hz{}", list.empty() ? "" : ", ", tone.frequency, tone.mains ? " (mains hum)" : "");
  return list.empty() ? "" : paragraph("  ", "left out as steady tones, there before the knock: " + list, page);
}

std::string modes_text(const Heard &heard) {
  std::vector<std::vector<std::string>> rows;
  for (std::size_t m = 0; m < heard.modes.size(); ++m) {
    const HeardMode &mode = heard.modes[m];
    const double t60 = decay_time_of(mode.frequency, mode.loss_factor);
    rows.push_back({std::to_string(m + 1), fmt::format("{:.2f}", mode.frequency),
                    fmt::format("{:.2f}", mode.frequency_sd), fmt::format("{:.4f}", mode.loss_factor),
                    fmt::format("{:.5f}", mode.loss_factor_sd), fmt::format("{:.1f}", 1 / mode.loss_factor),
                    fmt::format("{:.3f}", t60), fmt::format("{:.1f}", mode.level_db), std::to_string(mode.knocks)});
  }
  return text_table({{"no"}, {"Hz"}, {"sd Hz"}, {"loss\nfactor"}, {"sd"}, {"Q"}, {"T60\ns"}, {"level\ndB"}, {"knocks"}},
                    rows, page);
}

}  // namespace

std::string run_listen(const ListenOptions &options) {
  if (!options.out.empty()) check_writable_later(options.out);
  Recording recording;
  Heard heard;
  {
    const ProgressLine line;
    show_progress(line, "reading " + options.recording);
    recording = read_recording(options.recording, options.channel);
    show_progress(line, "listening to " + options.recording);
    heard = hear(recording, options.hear);
  }
  std::string out = clean_text(options.recording) + "\n";
  out += fmt::format(
      "  {:.2f} s at {} Hz{}; {} of {} knocks used, {:.0f} dB above the noise; {} .. {} Hz\n",
      double(recording.samples.size()) / recording.rate, number_text(recording.rate),
      recording.channels > 1 ? fmt::format(", channel {} of {}", recording.channel, recording.channels) : "",
      heard.used, heard.knocks.size(), heard.snr_db, number_text(heard.from), number_text(heard.to));
  out += knocks_text(heard) + tones_text(heard);
  if (heard.left_out > 0) out += fmt::format("  {} more too uncertain to be called a mode\n", heard.left_out);
  out += "\n" + modes_text(heard) + "\n";
  out += paragraph("  ", "sd: standard deviation, " + uncertainty_text(heard) + ".", page);
  out += paragraph("  ", heard_caution(recording), page);
  if (!options.out.empty()) {
    check_writable(options.out, FolderUse::after_work);
    const std::filesystem::path folder = options.out;
    write_file((folder / "heard.csv").string(), heard_csv(heard));
    write_file((folder / "heard.json").string(), heard_json(recording, heard));
    write_file((folder / "heard.svg").string(), heard_picture(recording, heard));
    out += fmt::format("\nwritten: heard.csv, heard.json, heard.svg in {}\n", clean_text(options.out));
  }
  return options.json ? heard_json(recording, heard) : out;
}

}  // namespace stillbox
