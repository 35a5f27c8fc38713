//! What building the page and testing it have in common: a copy of its sources, and a Node that the tools of the page run on. It is
//! part of two programs, this room's build and the repository's own tasks.

use std::fs;
use std::io;
use std::path::Path;
use std::process::Command;

/// The Node that the page is built with, in words.
pub const NODE_WANTED: &str = "Node 20.19 (of 20), or 22.12 or later, with npm";

/// Asks for the version of Node.
///
/// # Errors
/// Why the page cannot be built with it.
pub fn node() -> Result<(), String> {
    let output = Command::new("node").arg("--version").output().ok();
    let said = output
        .filter(|output| output.status.success())
        .map(|output| String::from_utf8_lossy(&output.stdout).trim().to_owned())
        .ok_or_else(|| format!("there is no Node; install {NODE_WANTED}"))?;
    if is_enough(&said) {
        Ok(())
    } else {
        Err(format!("Node is {said}; install {NODE_WANTED}"))
    }
}

/// Whether the bundler runs on this Node: it takes 20 from 20.19, and everything from 22.12.
fn is_enough(said: &str) -> bool {
    let mut numbers = said.trim_start_matches('v').split('.').map(str::parse::<u32>);
    let (Some(Ok(major)), Some(Ok(minor))) = (numbers.next(), numbers.next()) else {
        return false;
    };
    match major {
        20 => minor >= 19,
        22 => minor >= 12,
        other => other > 22,
    }
}

/// npm, which is a script with an ending of its own on Windows.
pub fn npm() -> Command {
    Command::new(if cfg!(windows) { "npm.cmd" } else { "npm" })
}

/// A fresh copy of a folder, but for these names in it. What was installed beside an older copy stays.
///
/// # Errors
/// The system's reason.
pub fn copied(from: &Path, to: &Path, left_out: &[&str]) -> io::Result<()> {
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        let (name, target) = (entry.file_name(), to.join(entry.file_name()));
        if left_out.iter().any(|left_out| name == *left_out) {
            continue;
        }
        if entry.file_type()?.is_dir() {
            // What is no longer among the sources goes.
            if target.is_dir() {
                fs::remove_dir_all(&target)?;
            }
            copied(&entry.path(), &target, left_out)?;
        } else {
            fs::copy(entry.path(), target)?;
        }
    }
    Ok(())
}
