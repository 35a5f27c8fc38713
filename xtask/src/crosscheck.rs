//! The demo jobs are made and cut, and what they wrote is read by independent libraries in a Python environment of our own.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::cut_sets;
use crate::python::{self, installed_by_apt};
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
        command.arg("make").arg(&job).arg("-o").arg(&out);
        if let Some(fit) = &fit {
            command.arg("--fit").arg(fit);
        }
        let with = fit.map_or(String::new(), |fit| format!(" --fit {fit}"));
        if steps.gusset(&format!("gusset make {name}{with}"), &mut command, Stdio::null()) {
            folders.push(out);
        }
    }
    let cut_sets = cut_sets::written(steps, &sorted(&root.join("examples")), &work);
    let Some(python) = python::environment(steps, WHAT, &root.join("python"), &work.join("venv")) else {
        return;
    };
    system_libraries();
    steps.run(
        WHAT,
        Command::new(&python)
            .arg(root.join("python").join("check_outputs.py"))
            .args(&folders)
            .arg("--cut")
            .args(cut_sets.sets)
            .arg("--comb")
            .args(&cut_sets.combs),
    );
    steps.run(
        "spoilt cut sets and combs refused by independent libraries",
        Command::new(&python)
            .arg(root.join("python").join("check_tampered.py"))
            .args(cut_sets.marked)
            .arg("--comb")
            .args(cut_sets.combs.first()),
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
