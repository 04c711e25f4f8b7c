// SPDX-License-Identifier: MIT
#pragma once
#include <string_view>

namespace stillbox {

// What report.html is made of, compiled in from postprocess/page/ (its library.cmake).

extern const std::string_view page_style;    ///< web/page.css
extern const std::string_view view_script;   ///< web/view.js, the turning view
extern const std::string_view view_library;  ///< twgl.js, which it needs; empty when the build could not get it
extern const std::string_view view_licence;  ///< the library's licence

}  // namespace stillbox
