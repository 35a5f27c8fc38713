//! The tests of the page in a browser: installed beside the build, run against the program that was built.

use std::fs;
use std::path::Path;

use crate::page::web;
use crate::python::installed_by_apt;
use crate::steps::Steps;

const WHAT: &str = "the page in a browser";
/// Debian's own.
const CHROMIUM: &str = "/usr/bin/chromium";

/// Runs them; screenshots are kept under `target/xtask/browser/shots` for whoever changed what they show.
pub fn run(steps: &mut Steps) {
    if let Err(why) = web::node() {
        steps.skip(WHAT, &why);
        return;
    }
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
    let tests = steps.root().join("crates").join("bench").join("browser");
    let work = steps.root().join("target").join("xtask").join("browser");
    let program = steps
        .root()
        .join("target")
        .join("debug")
        .join(format!("gusset{}", std::env::consts::EXE_SUFFIX));
    let shots = work.join("shots");
    let _ = fs::remove_dir_all(&shots);
    if let Err(error) = web::copied(&tests, &work, &["node_modules"]) {
        steps.fail(WHAT, &format!("its tests cannot be copied: {error}"));
        return;
    }
    let examples = steps.root().join("examples");
    let mut install = web::npm();
    install
        .args(["ci", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix"])
        .arg(&work);
    if steps.run("what the browser tests need, installed", &mut install) {
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
}
