// SPDX-License-Identifier: MIT
// The Debian package: what is in it, and that it works where it is unpacked, without the source.
#include "postprocess/page_files.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/ran.h"

namespace stillbox {
namespace {

TEST(Package, WorksWhereItIsUnpacked) {
  const CaseText text(box);
  const std::string folder = text.folder.string();
  const Ran packed = ran("cd " STILLBOX_BUILD_FOLDER " && cpack -G DEB -B " + folder + "/pack 2>&1");
  ASSERT_EQ(packed.code, 0) << packed.out;
  const std::string deb = folder + "/pack/*.deb";
  const std::string content = ran("dpkg-deb -c " + deb).out;
  for (const char *file :
       {"./usr/bin/stillbox", "./usr/share/stillbox/materials.toml", "./usr/share/stillbox/case.schema.json",
        "./usr/share/man/man1/stillbox.1.gz", "./usr/share/bash-completion/completions/stillbox",
        "./usr/share/doc/stillbox/cases/stand-mount.toml", "./usr/share/doc/stillbox/copyright"})
    EXPECT_NE(content.find(std::string(" ") + file + "\n"), std::string::npos) << file << "\n" << content;
  if (!view_library.empty()) {  // it is in the program, so its licence comes along
    EXPECT_NE(content.find(" ./usr/share/doc/stillbox/twgl.js-LICENSE.md\n"), std::string::npos) << content;
  }
  const std::string control = ran("dpkg-deb -f " + deb + " Depends Maintainer Version").out;
  for (const char *part : {"libc6", "libmumps", "libgmsh", "Maintainer: "})
    EXPECT_NE(control.find(part), std::string::npos) << control;

  ASSERT_EQ(ran("dpkg-deb -x " + deb + " " + folder + "/root").code, 0);
  const std::string program = folder + "/root/usr/bin/stillbox";
  const std::string quietly = "cd / && env -u STILLBOX_MATERIALS ";
  EXPECT_EQ(ran(quietly + program + " --version").out.rfind("stillbox 0.", 0), 0u);
  const Ran checked = ran(quietly + program + " check " + text.path + " 2>&1");
  EXPECT_EQ(checked.code, 0) << checked.out;
  EXPECT_NE(checked.out.find("baffle"), std::string::npos);
  EXPECT_EQ(
      ran(quietly + program + " check " + folder + "/root/usr/share/doc/stillbox/cases/thin-ply-box.toml 2>&1").code,
      0);
  EXPECT_NE(ran("zcat " + folder + "/root/usr/share/man/man1/stillbox.1.gz").out.find(".TH STILLBOX"),
            std::string::npos);
  // Nothing of the folder it was built from is in the program.
  EXPECT_NE(ran("grep -q " STILLBOX_SOURCE_DIR "/cases " + program).code, 0);

  // Without its materials it says so, and takes those it is told of.
  std::filesystem::remove(folder + "/root/usr/share/stillbox/materials.toml");
  const Ran without = ran(quietly + program + " check " + text.path + " 2>&1");
  if (!std::filesystem::exists("/usr/local/share/stillbox/materials.toml")) {
    EXPECT_EQ(without.code, 2) << without.out;
    EXPECT_NE(without.out.find("set STILLBOX_MATERIALS"), std::string::npos) << without.out;
  }
  EXPECT_EQ(ran("STILLBOX_MATERIALS=" + built_in_materials + " " + program + " check " + text.path).code, 0);
  const Ran wrong = ran("STILLBOX_MATERIALS=/no/such " + program + " check " + text.path + " 2>&1");
  EXPECT_EQ(wrong.code, 2);
  EXPECT_NE(wrong.out.find("STILLBOX_MATERIALS: value \"/no/such\""), std::string::npos) << wrong.out;
}

}  // namespace
}  // namespace stillbox
