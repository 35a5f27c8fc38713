//! What is built with npm: installed on a copy of its sources, so that nothing is put among them; and the unit tests of the page.

#[path = "../../crates/bench/build/web.rs"]
pub(crate) mod web;

use std::path::PathBuf;

use crate::steps::Steps;

const WHAT: &str = "unit tests of the page";

/// Runs the unit tests of the page. Without Node, or without the network when something is to be installed, they are told as not
/// run.
pub fn run(steps: &mut Steps) {
    if let Some(work) = installed(steps, WHAT, "web", "page") {
        steps.run(WHAT, web::npm().args(["test", "--silent", "--prefix"]).arg(work));
    }
}

/// Copies a folder of the page's room to one under `target/xtask`, and installs there what its package asks for. Where that cannot
/// be done `what` is told as not run, and there is none.
pub(crate) fn installed(steps: &mut Steps, what: &str, of_room: &str, under: &str) -> Option<PathBuf> {
    if let Err(why) = web::node() {
        steps.skip(what, &format!("{why}; the page is not built in either"));
        return None;
    }
    let sources = steps.root().join("crates").join("bench").join(of_room);
    let work = steps.root().join("target").join("xtask").join(under);
    if let Err(error) = web::copied(&sources, &work, &["node_modules"]) {
        steps.fail(what, &format!("its sources cannot be copied: {error}"));
        return None;
    }
    // Steps run in the repository's own folder, so npm is told where its package is.
    let mut install = web::npm();
    install
        .args(["ci", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix"])
        .arg(&work)
        .current_dir(steps.root());
    if install.status().is_ok_and(|status| status.success()) {
        return Some(work);
    }
    steps.skip(
        what,
        "what it needs could not be installed; npm and the network are needed once",
    );
    None
}
