// SPDX-License-Identifier: MIT
#include "postprocess/job_errors.h"

#include <new>
#include <stdexcept>
#include <vector>

#include "mesh/case_file.h"
#include "mesh/mesh_error.h"
#include "postprocess/safe_file.h"
#include "solver/discretisation.h"

namespace stillbox {
namespace {

// The kind, then up to three texts, each ended by a zero.
std::string joined(const std::vector<std::string> &texts) {
  std::string words;
  for (const std::string &text : texts) words += text + '\0';
  return words;
}

}  // namespace

std::string error_in_words(const std::exception_ptr &error) {
  try {
    std::rethrow_exception(error);
  } catch (const CaseError &e) {
    return joined({"case", e.what()});
  } catch (const MeshError &e) {
    return joined({"mesh", e.what()});
  } catch (const SolveError &e) {
    return joined({"solve", e.what()});
  } catch (const OutputError &e) {
    return joined({"output", e.path, e.reason, std::to_string(e.code.value())});
  } catch (const std::bad_alloc &) {
    return joined({"memory"});
  } catch (const std::exception &e) {
    return joined({"other", e.what()});
  } catch (...) {
    return joined({"other", "an unknown error"});
  }
}

void throw_error_in_words(const std::string &words) {
  std::vector<std::string> texts;
  for (std::size_t at = 0; at < words.size();) {
    const std::size_t end = words.find('\0', at);
    texts.push_back(words.substr(at, end - at));
    at = end == std::string::npos ? words.size() : end + 1;
  }
  texts.resize(4);
  const std::string &kind = texts[0];
  if (kind == "case") throw CaseError(texts[1]);
  if (kind == "mesh") throw MeshError(texts[1]);
  if (kind == "solve") throw SolveError(texts[1]);
  if (kind == "output") {
    const int number = std::atoi(texts[3].c_str());
    throw OutputError(texts[1], texts[2],
                      number == 0 ? std::error_code() : std::error_code(number, std::generic_category()));
  }
  if (kind == "memory") throw std::bad_alloc();
  throw std::runtime_error(texts[1]);
}

}  // namespace stillbox
