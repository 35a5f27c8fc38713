//! The unit tests of the page, run on a copy of its sources so that nothing is installed among them.

#[path = "../../crates/bench/build/web.rs"]
pub(crate) mod web;

use crate::steps::Steps;

const WHAT: &str = "unit tests of the page";

/// Installs what the page is tested with under `target/xtask/page`, and runs its tests. Without Node, or without the network when
/// something is to be installed, they are told as not run.
pub fn run(steps: &mut Steps) {
    if let Err(why) = web::node() {
        steps.skip(WHAT, &format!("{why}; the page is not built in either"));
        return;
    }
    let sources = steps.root().join("crates").join("bench").join("web");
    let work = steps.root().join("target").join("xtask").join("page");
    if let Err(error) = web::copied(&sources, &work, &["node_modules"]) {
        steps.fail(WHAT, &format!("its sources cannot be copied: {error}"));
        return;
    }
    // Steps run in the repository's own folder, so npm is told where the page is.
    let mut install = web::npm();
    install
        .args(["ci", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix"])
        .arg(&work);
    if !install
        .current_dir(steps.root())
        .status()
        .is_ok_and(|status| status.success())
    {
        steps.skip(
            WHAT,
            "what the page is tested with could not be installed; npm and the network are needed once",
        );
        return;
    }
    steps.run(WHAT, web::npm().args(["test", "--silent", "--prefix"]).arg(&work));
}
