// SPDX-License-Identifier: MIT
// report.html in a browser: it loads without complaint, its mode picker works, it does without scripts, and it prints.
// The rules it is held to: HTML's unique ids; WCAG 2.1, 1.1.1 (alternatives), 1.3.1 (captions, scopes), 1.4.3 (contrast
// 4.5 : 1, formula of relative luminance), 2.2.2 (motion can be stopped); from memory.
#include <vtkBase64Utilities.h>

#include "postprocess/page_files.h"
#include "postprocess/report_command.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/browser.h"

namespace stillbox {
namespace {

// Names that would break out of markup, attributes, scripts, SVG and gnuplot where anything forgot to escape them.
const std::string hostile_name = R"(<script>window.broken=1</script>"'&`echo`)";
const std::string hostile_variant = R"(</script><img src=x onerror="window.broken=2">)";
const std::string hostile_board = R"(x" onload="window.broken=3"><b>)";
const std::string hostile = "name = '''" + hostile_name + "'''\nnote = '''" + hostile_variant +
                            "'''\nup_to_hz = 900\n" +
                            R"(base_name = "bare"
[cabinet]
outer_size = { width = 180, depth = 200, height = 300 }
board = { material = "mdf", thickness = 12 }
[[cut_out]]
name = '''<i>'''
on = "baffle"
shape = "round"
centre = [90, 100]
diameter = 90
[[variant]]
name = '''</script><img src=x onerror="window.broken=2">'''
[[variant.add.brace]]
name = '''x" onload="window.broken=3"><b>'''
kind = "shelf"
normal = "height"
at = 150
)";

// The same names on a cabinet that is no box: tetrahedra, in a view and drawings of their own.
const std::string hostile_shape = "name = '''" + hostile_name + "'''\nnote = '''" + hostile_variant +
                                  "'''\nup_to_hz = 1500\n" +
                                  R"(base_name = "bare"
[shape]
footprint = [[0, 0], [140, 0], [110, 120], [30, 120]]
walls = ["front", '''x" onload="window.broken=3"><b>''', "back", "left"]
height = 180
board = { material = "acrylic", thickness = 8 }
[[cut_out]]
name = '''<i>'''
on = "front"
shape = "round"
centre = [70, 90]
diameter = 60
[[variant]]
name = '''</script><img src=x onerror="window.broken=2">'''
replace = { shape = { board = { thickness = 9 } } }
)";

struct Page {
  CaseText text;
  std::string path;
  explicit Page(const std::string &words, double up_to = 900) : text(words) {
    RunOptions options;
    options.up_to = up_to;
    options.fineness = 0.5;
    options.degree = 2;
    options.damping = Damping::energy;
    options.picture_modes = 2;
    options.out = (text.folder / "out").string();
    ReportOptions report;
    report.knock.points = 40;
    report.materials_path = built_in_materials;
    run_report(text.read(), options, report);
    path = options.out + "/report.html";
  }
};

// How many colours a PNG has and how much of it is the commonest: the page itself decodes it.
Browser::Json colours_of(Browser &browser, const std::string &png) {
  return browser.wait_for(
      "const done = arguments[0], image = new Image(); image.onload = () => {"
      "const c = document.createElement('canvas'); c.width = image.width; c.height = image.height;"
      "const g = c.getContext('2d'); g.drawImage(image, 0, 0);"
      "const d = new Uint32Array(g.getImageData(0, 0, c.width, c.height).data.buffer);"
      "const n = new Map(); for (const x of d) n.set(x, (n.get(x) || 0) + 1);"
      "done({colours: n.size, most: Math.max(...n.values()) / d.length}); };"
      "image.src = 'data:image/png;base64," +
      png + "';");
}

std::string picture(Browser &browser) {
  return browser.wait_for(
      "const done = arguments[0]; requestAnimationFrame(() => requestAnimationFrame(() => "
      "done(document.getElementById('view-canvas').toDataURL())));");
}

std::string pick_mode(Browser &browser, int mode) {
  browser.run("const m = document.getElementById('view-mode'); m.value = '" + std::to_string(mode) +
              "'; m.dispatchEvent(new Event('change'));");
  return browser.run(
      "const d = [...document.querySelectorAll('#view-facts dt')].find(x => x.textContent === 'Frequency');"
      "return d.nextSibling.textContent;");
}

int pages_of(const std::string &pdf64) {
  std::string pdf(pdf64.size(), '\0');
  pdf.resize(vtkBase64Utilities::DecodeSafely(reinterpret_cast<const unsigned char *>(pdf64.data()), pdf64.size(),
                                              reinterpret_cast<unsigned char *>(pdf.data()), pdf.size()));
  EXPECT_EQ(pdf.rfind("%PDF-", 0), 0u);
  int pages = 0;
  for (std::size_t at = 0; (at = pdf.find("/Type /Page", at)) != std::string::npos; at += 11)
    pages += pdf[at + 11] != 's';
  return pages;
}

void check_markup(Browser &browser) {
  EXPECT_EQ(browser.run("return window.broken === undefined"), true);
  EXPECT_EQ(browser.run("return document.querySelector('h1').textContent"), hostile_name);
  EXPECT_EQ(browser.run("return document.querySelector('.card h3').textContent"), hostile_variant);
  EXPECT_EQ(browser.run("return [...document.querySelectorAll('th[scope=row]')].some(x => x.textContent === " +
                        nlohmann::json(hostile_board).dump() + ")"),
            true);
  EXPECT_EQ(
      browser.run("return document.querySelectorAll('img[src=x], main script:not([type]):not(#view script), i, b')"
                  ".length"),
      0);
  EXPECT_EQ(browser.run("const ids = [...document.querySelectorAll('[id]')].map(x => x.id);"
                        "return ids.filter((x, i) => ids.indexOf(x) !== i)"),
            Browser::Json::array());
  EXPECT_EQ(
      browser.run("return [...document.querySelectorAll('[aria-labelledby], [aria-describedby]')].filter(x => "
                  "!document.getElementById(x.getAttribute('aria-labelledby') || x.getAttribute('aria-describedby')))"
                  ".length"),
      0);
  EXPECT_EQ(browser.run("return [...document.images].filter(x => !x.alt || !x.complete || !x.naturalWidth)"
                        ".map(x => x.alt)"),
            Browser::Json::array());
  EXPECT_GE(browser.run("return document.images.length"), 8);
  EXPECT_EQ(
      browser.run("return [...document.querySelectorAll('table')].filter(t => !t.caption || !t.caption.textContent "
                  "|| t.querySelector('th:not([scope])')).length"),
      0);
  EXPECT_EQ(browser.run("return [...document.querySelectorAll('select, input, button')].filter(x => !x.labels || "
                        "(!x.labels.length && !x.textContent)).length"),
            0);
  EXPECT_EQ(
      browser.run("return performance.getEntriesByType('resource').filter(x => !x.name.startsWith('data:')).length"),
      0);
  // Contrast of every text with what lies behind it.
  EXPECT_EQ(
      browser.run(
          "const rgb = c => c.match(/[\\d.]+/g).map(Number);"
          "const light = c => c.slice(0, 3).map(x => x / 255).map(x => x <= .03928 ? x / 12.92 : ((x + .055) / 1.055) "
          "** "
          "2.4).reduce((s, x, i) => s + x * [.2126, .7152, .0722][i], 0);"
          "const behind = e => { for (; e; e = e.parentElement) { const c = rgb(getComputedStyle(e).backgroundColor);"
          "if (c.length < 4 || c[3] > .99) return c; } return [255, 255, 255]; };"
          "const out = []; for (const e of document.querySelectorAll('body *')) {"
          "if (e.closest('script, svg') || ![...e.childNodes].some(n => n.nodeType === 3 && n.data.trim())) continue;"
          "const a = light(rgb(getComputedStyle(e).color)), b = light(behind(e));"
          "if ((Math.max(a, b) + .05) / (Math.min(a, b) + .05) < 4.5) out.push(e.outerHTML.slice(0, 80)); } return "
          "out;"),
      Browser::Json::array());
}

void check_view(Browser &browser) {
  EXPECT_EQ(browser.run("return document.getElementById('viewer').hidden"), false);
  EXPECT_EQ(browser.run("return document.getElementById('view-message').hidden"), true);
  ASSERT_EQ(browser.run("return document.getElementById('view-play').textContent"), "Pause");
  browser.run("document.getElementById('view').scrollIntoView({behavior: 'instant'})");
  browser.click("#view-play");
  EXPECT_EQ(browser.run("return document.getElementById('view-play').textContent"), "Play");
  const std::string still = picture(browser);
  EXPECT_EQ(picture(browser), still);  // it stands
  EXPECT_GT(colours_of(browser, still.substr(still.find(',') + 1))["colours"], 50);
  EXPECT_LT(colours_of(browser, still.substr(still.find(',') + 1))["most"], 0.95);

  const std::string first = pick_mode(browser, 0), second = pick_mode(browser, 1);
  EXPECT_NE(first, second);
  EXPECT_EQ(browser.run("return JSON.parse(document.getElementById('view-data').textContent).variants[0].modes[1]"
                        ".frequency"),
            second);
  const std::string other = picture(browser);
  EXPECT_NE(other, still);
  browser.type("#view-canvas", "\uE012");  // arrow to the left: turned
  const std::string turned = picture(browser);
  EXPECT_NE(turned, other);
  browser.run("const b = document.querySelector('#view-boards input'); b.click();");
  EXPECT_NE(picture(browser), turned);
  browser.run("document.querySelector('#view-boards input').click()");
  browser.run(
      "const v = document.getElementById('view-variant'); v.value = '1'; v.dispatchEvent(new Event('change'));");
  EXPECT_EQ(browser.run("return document.querySelector('#view-facts dd').textContent"), hostile_variant);
  EXPECT_NE(picture(browser), turned);
  browser.click("#view-play");
  const std::string moving = picture(browser);
  EXPECT_NE(picture(browser), moving);
}

TEST(ReportBrowser, LoadsTurnsPrintsAndDegrades) {
  const Page page(hostile);
  Browser browser;
  browser.open(page.path);
  check_markup(browser);
  EXPECT_LT(colours_of(browser, browser.screenshot())["most"], 0.97);
  EXPECT_GT(colours_of(browser, browser.screenshot())["colours"], 100);
  const bool has_view = !view_library.empty();
  if (has_view) check_view(browser);
  EXPECT_EQ(browser.console(), Browser::Json::array());

  const int a4 = pages_of(browser.print(21.0, 29.7)), letter = pages_of(browser.print(21.59, 27.94));
  EXPECT_GE(a4, 3);
  EXPECT_LE(a4, 8);
  EXPECT_GE(letter, 3);
  EXPECT_LE(letter, 9);
  // Nothing is wider than the paper.
  browser.devtools("Emulation.setEmulatedMedia", {{"media", "print"}});
  browser.devtools("Emulation.setDeviceMetricsOverride",
                   {{"width", 695}, {"height", 1000}, {"deviceScaleFactor", 1}, {"mobile", false}});
  EXPECT_LE(browser.run("return document.documentElement.scrollWidth"), 695);
  browser.devtools("Emulation.clearDeviceMetricsOverride", Browser::Json::object());

  // Whoever asks for little motion gets a view that stands until it is told to play.
  browser.devtools("Emulation.setEmulatedMedia",
                   {{"media", ""}, {"features", {{{"name", "prefers-reduced-motion"}, {"value", "reduce"}}}}});
  browser.open(page.path);
  if (has_view) {
    EXPECT_EQ(browser.run("return document.getElementById('view-play').textContent"), "Play");
  }

  browser.devtools("Emulation.setScriptExecutionDisabled", {{"value", true}});
  browser.open(page.path);
  const std::string without = browser.screenshot();
  const auto seen = browser.devtools("Runtime.evaluate",
                                     {{"expression",
                                       "[document.images.length, document.getElementById('viewer')?.offsetHeight ?? 0, "
                                       "document.querySelector('#view .notice').offsetHeight > 0].join()"},
                                      {"returnByValue", true}});
  browser.devtools("Emulation.setScriptExecutionDisabled", {{"value", false}});
  EXPECT_LT(colours_of(browser, without)["most"], 0.97);
  const std::string words = seen["result"].value("value", "");
  EXPECT_NE(words.find(",0,true"), std::string::npos) << seen.dump();  // no view, but a word on what it needs

  const Page shape(hostile_shape, 1500);
  browser.devtools("Emulation.setEmulatedMedia", {{"media", ""}, {"features", Browser::Json::array()}});
  browser.open(shape.path);
  check_markup(browser);
  EXPECT_EQ(browser.run("return document.querySelector('#cabinet-heading').textContent"), "The cabinet");
  EXPECT_EQ(browser.run("return document.querySelectorAll('#cabinet img').length"), 2);
  const std::string trust = browser.run("return document.body.textContent");
  EXPECT_NE(trust.find("no net of a box"), std::string::npos);
  if (has_view) check_view(browser);
  EXPECT_EQ(browser.console(), Browser::Json::array());
}

}  // namespace
}  // namespace stillbox
