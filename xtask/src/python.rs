//! Python environments of our own, and system packages where we may install them.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::steps::Steps;

/// A virtual environment with what the `requirements.txt` in `folder` asks, made once and kept while that file stays the
/// same. Where it cannot be made, the step `what` is told as not run.
pub fn environment(steps: &mut Steps, what: &str, folder: &Path, venv: &Path) -> Option<PathBuf> {
    let wanted_path = folder.join("requirements.txt");
    let wanted = fs::read_to_string(&wanted_path).unwrap_or_default();
    let python = venv.join("bin").join("python");
    let stamp = venv.join("requirements.txt");
    if fs::read_to_string(&stamp).is_ok_and(|had| had == wanted) && python.is_file() {
        return Some(python);
    }
    let make = || {
        Command::new("python3")
            .args(["-m", "venv", "--clear"])
            .arg(venv)
            .status()
            .is_ok_and(|status| status.success())
    };
    let made = make() || (installed_by_apt(&["python3", "python3-venv"]) && make());
    if !made {
        steps.skip(
            what,
            "python3 with its venv module is needed (Debian: apt-get install python3-venv)",
        );
        return None;
    }
    let installed = Command::new(&python)
        .args([
            "-m",
            "pip",
            "install",
            "--quiet",
            "--disable-pip-version-check",
            "-r",
        ])
        .arg(&wanted_path)
        .status();
    if !installed.is_ok_and(|status| status.success()) {
        steps.skip(
            what,
            &format!(
                "the libraries in {} could not be installed",
                wanted_path.display()
            ),
        );
        return None;
    }
    if fs::write(&stamp, wanted).is_err() {
        eprintln!("the environment's stamp could not be written; it will be made again next time");
    }
    Some(python)
}

/// Installs system packages, on a machine that is there to run the tests and nowhere else.
pub fn installed_by_apt(packages: &[&str]) -> bool {
    let apt = |arguments: &[&str]| {
        Command::new("apt-get")
            .args(arguments)
            .env("DEBIAN_FRONTEND", "noninteractive")
            .stdout(Stdio::null())
            .status()
            .is_ok_and(|status| status.success())
    };
    if !std::env::var("CI").is_ok_and(|ci| ci == "true") {
        return false;
    }
    // A stale list is still worth trying.
    apt(&["update", "-qq"]);
    let mut install = vec!["install", "-y", "-qq", "--no-install-recommends"];
    install.extend(packages);
    apt(&install)
}
