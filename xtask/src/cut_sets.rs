//! Sets for the cutting table beside those that `gusset make` writes: several of a part on one sheet, and programs for a
//! controller that is spoken to otherwise.

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::steps::Steps;

/// Keys of a cutter whose table, zero and words are none of the usual ones, as they stand under `[cutter]`.
const OTHER_CONTROLLER: &str = include_str!("other_controller.toml");
/// The jobs that are cut on it too: their holes are cut to size, and the slats are so far apart that the parts get tabs.
const CUT_OTHERWISE: [&str; 2] = ["camera-cradle", "flat-plate"];

/// Runs `gusset cut` for every job, and gives the folders that hold a set with its summary.
pub fn written(steps: &mut Steps, jobs: &[PathBuf], work: &Path) -> Vec<PathBuf> {
    let mut folders = Vec::new();
    for job in jobs {
        let name = file_name(job);
        folders.extend(cut(steps, job, 3, work.join(format!("{name}-cut-3"))));
        if CUT_OTHERWISE.contains(&name.as_str()) {
            let what = format!("{name} for another controller");
            let copy = work.join("jobs").join(format!("{name}-otherwise"));
            match cut_otherwise(job, &copy) {
                Ok(()) => folders.extend(cut(steps, &copy, 2, work.join(format!("{name}-cut-otherwise")))),
                Err(error) => steps.fail(&what, &error.to_string()),
            }
        }
    }
    folders
}

/// The set of a job, with what is printed for programs as its summary.
fn cut(steps: &mut Steps, job: &Path, copies: usize, out: PathBuf) -> Option<PathBuf> {
    let what = format!("gusset cut {} --copies {copies}", file_name(job));
    let summary = match emptied(&out).and_then(|()| File::create(out.join("summary.json"))) {
        Ok(summary) => summary,
        Err(error) => {
            steps.fail(&what, &error.to_string());
            return None;
        }
    };
    let gusset = steps.root().join("target").join("debug").join("gusset");
    let mut command = Command::new(gusset);
    command
        .arg("cut")
        .arg(job)
        .args(["--copies", &copies.to_string(), "--json", "-o"])
        .arg(&out)
        .stdout(summary);
    // 1 is done too: some examples do not hold as they stand.
    steps.run_closing(&what, &mut command, &[0, 1]).then_some(out)
}

/// A folder without what an earlier run left there.
fn emptied(folder: &Path) -> io::Result<()> {
    if folder.exists() {
        fs::remove_dir_all(folder)?;
    }
    fs::create_dir_all(folder)
}

/// A copy of a job whose shop has the other controller.
fn cut_otherwise(job: &Path, copy: &Path) -> io::Result<()> {
    emptied(copy)?;
    fs::create_dir(copy.join("fits"))?;
    fs::copy(job.join("design.toml"), copy.join("design.toml"))?;
    for fit in fs::read_dir(job.join("fits"))? {
        let fit = fit?;
        fs::copy(fit.path(), copy.join("fits").join(fit.file_name()))?;
    }
    let shop = fs::read_to_string(job.join("shop.toml"))?;
    let cutter = "[cutter]\n";
    if !shop.contains(cutter) {
        return Err(io::Error::other("its shop has no cutter"));
    }
    let shop = shop.replacen(cutter, &format!("{cutter}{OTHER_CONTROLLER}"), 1);
    fs::write(copy.join("shop.toml"), shop)
}

fn file_name(path: &Path) -> String {
    path.file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default()
}
