//! The demo jobs are made, and what they wrote is read by independent libraries in a Python environment of our own.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::steps::Steps;

const WHAT: &str = "outputs read by independent libraries";

/// Makes every example (and every fit of it) into `target/xtask/` and checks the files there.
pub fn run(steps: &mut Steps) {
    let root = steps.root().to_owned();
    let work = root.join("target").join("xtask");
    let mut folders = Vec::new();
    for (job, fit) in jobs(&root) {
        let name = job
            .file_name()
            .map(|name| name.to_string_lossy().into_owned())
            .unwrap_or_default();
        let out = work.join(format!("{name}-{}", fit.as_deref().unwrap_or("no-fit")));
        let mut command = Command::new(root.join("target").join("debug").join("gusset"));
        command
            .arg("make")
            .arg(&job)
            .arg("-o")
            .arg(&out)
            .stdout(Stdio::null());
        if let Some(fit) = &fit {
            command.arg("--fit").arg(fit);
        }
        if steps.run(
            &format!(
                "gusset make {name}{}",
                fit.map_or(String::new(), |f| format!(" --fit {f}"))
            ),
            &mut command,
        ) {
            folders.push(out);
        }
    }
    let Some(python) = environment(steps, &work) else {
        return;
    };
    steps.run(
        WHAT,
        Command::new(&python)
            .arg(root.join("python").join("check_outputs.py"))
            .args(folders),
    );
    steps.run(
        "numbers worked out again by a model of the plate in Python",
        Command::new(&python)
            .arg(root.join("python").join("oracle").join("run.py"))
            .arg(root.join("target").join("debug").join("gusset")),
    );
}

fn jobs(root: &Path) -> Vec<(PathBuf, Option<String>)> {
    let mut jobs = Vec::new();
    for job in sorted(&root.join("examples")) {
        let fits: Vec<String> = sorted(&job.join("fits"))
            .iter()
            .filter_map(|fit| Some(fit.file_stem()?.to_string_lossy().into_owned()))
            .collect();
        if fits.is_empty() {
            jobs.push((job, None));
        } else {
            jobs.extend(fits.into_iter().map(|fit| (job.clone(), Some(fit))));
        }
    }
    jobs
}

fn sorted(folder: &Path) -> Vec<PathBuf> {
    let mut paths: Vec<PathBuf> = fs::read_dir(folder)
        .into_iter()
        .flatten()
        .filter_map(|entry| Some(entry.ok()?.path()))
        .collect();
    paths.sort();
    paths
}

/// A virtual environment under `target/`, made once and kept while the requirements stay the same.
fn environment(steps: &mut Steps, work: &Path) -> Option<PathBuf> {
    let wanted_path = steps.root().join("python").join("requirements.txt");
    let wanted = fs::read_to_string(&wanted_path).unwrap_or_default();
    let venv = work.join("venv");
    let python = venv.join("bin").join("python");
    let stamp = venv.join("requirements.txt");
    if fs::read_to_string(&stamp).is_ok_and(|had| had == wanted) && python.is_file() {
        return Some(python);
    }
    let make = || {
        Command::new("python3")
            .args(["-m", "venv", "--clear"])
            .arg(&venv)
            .status()
            .is_ok_and(|status| status.success())
    };
    let made = make() || (installed_by_apt(&["python3", "python3-venv"]) && make());
    if !made {
        steps.skip(
            WHAT,
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
            WHAT,
            "the libraries in python/requirements.txt could not be installed",
        );
        return None;
    }
    if fs::write(&stamp, wanted).is_err() {
        eprintln!("the environment's stamp could not be written; it will be made again next time");
    }
    system_libraries();
    Some(python)
}

/// The CAD kernel's wheel needs a few system libraries. Where we may install them we do; where not, the check that
/// needs them says so itself.
fn system_libraries() {
    installed_by_apt(&[
        "libglu1-mesa",
        "libgl1",
        "libxrender1",
        "libxcursor1",
        "libxft2",
        "libxinerama1",
        "libgomp1",
    ]);
}

/// Installs system packages, on a machine that is there to run the tests and nowhere else.
fn installed_by_apt(packages: &[&str]) -> bool {
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
