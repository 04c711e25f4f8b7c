// SPDX-License-Identifier: MIT
#include "tests/fuzz/readers.h"

#include <fmt/format.h>
#include <sndfile.h>

#include <sstream>
#include <stdexcept>

#include "mesh/length.h"
#include "mesh/mesh_error.h"
#include "postprocess/commands.h"
#include "postprocess/cut_command.h"
#include "postprocess/heard_list.h"
#include "postprocess/match_words.h"
#include "postprocess/place_results.h"
#include "postprocess/place_rows.h"
#include "postprocess/recording.h"
#include "postprocess/report_sections.h"
#include "postprocess/start_answers.h"
#include "postprocess/text.h"
#include "solver/knock_points.h"
#include "tests/fuzz/grammars.h"
#include "tests/fuzz/seeds.h"

namespace stillbox {
namespace {

// For cases that are accepted the tables and JSON that need no mesh of hexahedra.
void look_at(const CaseFile &file) {
  RunOptions options;
  for (const bool json : {false, true}) {
    options.json = json;
    run_check(file, options);
  }
  try {
    CutOptions cut;
    cut.json = true;
    run_cut(file, cut);
  } catch (const MeshError &) {  // boards that overlap without a rule
  }
}

// One word of an option a line: what reads it, a colon, the word.
std::string read_words(const std::string &bytes) {
  static const CaseFile file = read_case(seed_cases + "stand-mount.toml", seed_materials);
  static StartAnswers fresh;
  std::istringstream lines(bytes);
  std::string complaint;
  int count = 0;
  for (std::string line; complaint.empty() && ++count <= 100 && std::getline(lines, line);) {
    const std::size_t colon = line.find(':');
    const std::string kind = line.substr(0, colon), word = colon < line.size() ? line.substr(colon + 1) : "";
    complaint = refused_cleanly<CaseError>([&] {
      if (kind == "length") parse_length(word);
      if (kind == "within") parse_within(word);
      if (kind == "spot") knock_point(file.variants[0], read_knock_spot(word));
      if (kind == "unknown") {
        MatchProblem problem;
        problem.start = &file.variants[0];
        HeardMode heard;
        heard.frequency = 400;
        read_match_words({{word}, ""}, file, seed_materials, problem);
      }
      if (kind == "sheet") {
        CutOptions cut;
        cut.stock_size = word;
        run_cut(file, cut);
      }
    });
    const bool is_option = kind == "--width" || kind == "--weighed" || kind == "--cut-out" || kind == "--driver" ||
                           kind == "--brace";  // CLI11 lets no other through
    if (is_option)
      complaint = refused_cleanly<std::invalid_argument>([&] {
        StartAnswers answers = fresh;
        set_answer(answers, kind, word);
        const std::string wrong = trial_reading(answers, seed_materials);
        if (!message_complaint(wrong + ".").empty()) throw std::logic_error("unclean words of trial_reading");
      });
  }
  return complaint;
}

}  // namespace

std::vector<FuzzedReader> fuzzed_readers() {
  std::vector<FuzzedReader> readers = fuzzed_case_readers(look_at);
  FuzzGrammar audio;
  audio.is_text = false;
  readers.push_back(
      {"audio",
       {audio_bytes(SF_FORMAT_WAV | SF_FORMAT_PCM_16, 1, 8000), audio_bytes(SF_FORMAT_WAV | SF_FORMAT_FLOAT, 2, 8000),
        audio_bytes(SF_FORMAT_WAV | SF_FORMAT_PCM_24, 1, 16000),
        audio_bytes(SF_FORMAT_WAV | SF_FORMAT_MS_ADPCM, 1, 8000),
        audio_bytes(SF_FORMAT_AIFF | SF_FORMAT_PCM_16, 1, 8000),
        audio_bytes(SF_FORMAT_FLAC | SF_FORMAT_PCM_16, 1, 8000), audio_bytes(SF_FORMAT_OGG | SF_FORMAT_VORBIS, 1, 8000),
        audio_bytes(SF_FORMAT_AU | SF_FORMAT_PCM_16, 1, 8000), audio_bytes(SF_FORMAT_W64 | SF_FORMAT_PCM_16, 1, 8000),
        audio_bytes(SF_FORMAT_CAF | SF_FORMAT_PCM_16, 1, 8000)},
       audio,
       500,
       [](const std::string &bytes, const std::string &folder) {
         const std::string path = put(folder, "knocks.wav", bytes);
         return refused_cleanly<CaseError>([&] { read_recording(path, 0); });
       },
       1});
  readers.push_back({"acceleration",
                     {acceleration_table(","), acceleration_table(";"), acceleration_table("\t")},
                     table_grammar({"time_s", "1e-3", "0.0005"}),
                     200,
                     [](const std::string &bytes, const std::string &folder) {
                       const std::string path = put(folder, "knocks.csv", bytes);
                       return refused_cleanly<CaseError>([&] { read_recording(path, 0); });
                     },
                     1});
  readers.push_back({"heard",
                     {seed_in(seed_cases + "demonstration-box-heard.csv"),
                      "frequency_hz,frequency_sd_hz,loss_factor,loss_factor_sd,level_db,knocks,mode,wall\n"
                      "391.2,0.4,0.02,0.001,-12,3,1,\"left, \"\"upper\"\"\"\n458,,,,,,2,right\n"},
                     table_grammar({"frequency_hz", "frequency_sd_hz", "loss_factor", "loss_factor_sd", "level_db",
                                    "knocks", "mode", "wall", "\"left\""}),
                     300,
                     [](const std::string &bytes, const std::string &folder) {
                       const std::string path = put(folder, "heard.csv", bytes);
                       return refused_cleanly<CaseError>([&] {
                         if (is_heard_list(path)) read_heard_list(path);
                         read_heard_list(path);
                       });
                     },
                     1});
  readers.push_back({"candidates",
                     {candidates_text()},
                     table_grammar({"refused", "reduced", "full", "1", "2"}),
                     300,
                     [](const std::string &bytes, const std::string &) {
                       return refused_cleanly<std::runtime_error>([&] {
                         std::vector<PlaceRow> rows = read_place_rows(bytes);
                         sort_place_rows(rows);
                         const std::string again = place_rows_text(rows);
                         if (place_rows_text(read_place_rows(again)) != again)
                           throw std::logic_error("rows are not read back as they were written");
                       });
                     },
                     1});
  FuzzGrammar results = table_grammar({"rank", "at_mm", "null", "true", "[]", "{}", "[1]", "\"x\"", "-1", "1e308"});
  readers.push_back({"place-results",
                     {place_json_text()},
                     results,
                     200,
                     [](const std::string &bytes, const std::string &folder) {
                       put(folder, "candidates.csv", candidates_text());
                       put(folder, "place.json", bytes);
                       ReportData data;
                       data.has_place = true;
                       read_place_results(folder, "0123456789abcdef", data);
                       return place_section(data).empty() ? "nothing is said" : "";
                     },
                     1});
  FuzzGrammar words =
      table_grammar({"modulus of", "within", "..", "mm", "in", "left", "1/2", "rigid basket", "window"});
  readers.push_back({"words",
                     {words_seed()},
                     words,
                     100,
                     [](const std::string &bytes, const std::string &) { return read_words(bytes); },
                     1});
  return readers;
}

}  // namespace stillbox
