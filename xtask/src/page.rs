//! The unit tests of the page, run on a copy of its sources so that nothing is installed among them.

use std::fs;
use std::io;
use std::path::Path;
use std::process::Command;

use crate::steps::Steps;

const WHAT: &str = "unit tests of the page";
/// The least Node, as for building the page.
const LEAST_NODE: u32 = 20;

/// Installs what the page is tested with under `target/xtask/page`, and runs its tests. Without Node, or without the network when
/// something is to be installed, they are told as not run.
pub fn run(steps: &mut Steps) {
    if !node_is_there() {
        steps.skip(
            WHAT,
            &format!("there is no Node {LEAST_NODE} or later; the page is not built in either"),
        );
        return;
    }
    let web = steps.root().join("crates").join("bench").join("web");
    let work = steps.root().join("target").join("xtask").join("page");
    if let Err(error) = copied(&web, &work) {
        steps.fail(WHAT, &format!("its sources cannot be copied: {error}"));
        return;
    }
    // Steps run in the repository's own folder, so npm is told where the page is.
    let mut install = Command::new("npm");
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
    steps.run(
        WHAT,
        Command::new("npm")
            .args(["test", "--silent", "--prefix"])
            .arg(&work),
    );
}

/// Whether the Node is there that the page is built with.
pub(crate) fn node_is_there() -> bool {
    let said = Command::new("node").arg("--version").output().ok();
    let said = said.map(|output| String::from_utf8_lossy(&output.stdout).into_owned());
    let major = said.as_deref().and_then(|said| {
        said.trim()
            .strip_prefix('v')?
            .split('.')
            .next()?
            .parse::<u32>()
            .ok()
    });
    major.is_some_and(|major| major >= LEAST_NODE)
}

/// A fresh copy, with what was installed in an older one kept.
pub(crate) fn copied(from: &Path, to: &Path) -> io::Result<()> {
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        let (name, target) = (entry.file_name(), to.join(entry.file_name()));
        if name == "node_modules" {
            continue;
        }
        if entry.file_type()?.is_dir() {
            if target.is_dir() {
                fs::remove_dir_all(&target)?;
            }
            copied(&entry.path(), &target)?;
        } else {
            fs::copy(entry.path(), target)?;
        }
    }
    Ok(())
}
