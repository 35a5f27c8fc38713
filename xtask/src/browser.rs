//! The tests of the page in a browser: installed beside the build, run against the program that was built.

use std::fs;
use std::path::Path;

use crate::page::{installed, web};
use crate::python::installed_by_apt;
use crate::steps::Steps;

const WHAT: &str = "the page in a browser";
/// Debian's own.
const CHROMIUM: &str = "/usr/bin/chromium";

/// Runs them; screenshots are kept under `target/xtask/browser/shots` for whoever changed what they show.
pub fn run(steps: &mut Steps) {
    let Some(work) = installed(steps, WHAT, "browser", "browser") else {
        return;
    };
    let chromium = || Path::new(CHROMIUM).is_file();
    if !chromium() {
        installed_by_apt(&["chromium"]);
    }
    if !chromium() {
        steps.skip(
            WHAT,
            "there is no /usr/bin/chromium (Debian: apt-get install chromium)",
        );
        return;
    }
    let program = steps
        .root()
        .join("target")
        .join("debug")
        .join(format!("gusset{}", std::env::consts::EXE_SUFFIX));
    let shots = work.join("shots");
    let _ = fs::remove_dir_all(&shots);
    let examples = steps.root().join("examples");
    steps.run(
        WHAT,
        web::npm()
            .args(["test", "--silent", "--prefix"])
            .arg(&work)
            .env("GUSSET_PROGRAM", program)
            .env("GUSSET_EXAMPLES", examples)
            .env("GUSSET_CHROMIUM", CHROMIUM)
            .env("GUSSET_SHOTS", shots),
    );
}
