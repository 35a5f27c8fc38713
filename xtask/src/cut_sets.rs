//! Sets for the cutting table beside those that `gusset make` writes: several of a part on one sheet, programs for a
//! controller that is spoken to otherwise, for a machine that marks, and the comb of the kerf test.

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::steps::Steps;

/// Keys of a cutter whose table, zero and words are none of the usual ones, as they stand under `[cutter]`.
const OTHER_CONTROLLER: &str = include_str!("other_controller.toml");
/// Keys of a cutter that marks.
const MARKS: &str = "marks = { feed = \"5000 mm/min\", tick = \"6 mm\", words = [\"M64 P2\", \"M65 P2\"] }\n";
/// The job that is cut on it too: arcs and lines, holes that are cut and drilled, three bends. Its set is also the one that is
/// spoilt to show that the checks can fail.
const MARKED: &str = "push-hoe";
/// The jobs that are cut on the other controller too: their holes are cut to size, and the slats are so far apart that the parts get tabs.
const CUT_OTHERWISE: [&str; 2] = ["camera-cradle", "flat-plate"];

/// What was written.
#[derive(Default)]
pub struct Written {
    /// Folders that hold a set with its summary.
    pub sets: Vec<PathBuf>,
    /// The one of them that also marks.
    pub marked: Option<PathBuf>,
    /// Folders that each hold the comb of a job's kerf test, with what is told of it.
    pub combs: Vec<PathBuf>,
}

/// Runs `gusset cut` and `gusset strip kerf` for every job.
pub fn written(steps: &mut Steps, jobs: &[PathBuf], work: &Path) -> Written {
    let mut written = Written::default();
    for job in jobs {
        let name = file_name(job);
        let set = cut(steps, job, 3, &work.join(format!("{name}-cut-3")));
        written.sets.extend(set);
        let copy = work.join("jobs").join(format!("{name}-otherwise"));
        if CUT_OTHERWISE.contains(&name.as_str()) && copied(steps, job, &copy, OTHER_CONTROLLER) {
            let set = cut(steps, &copy, 2, &work.join(format!("{name}-cut-otherwise")));
            written.sets.extend(set);
        }
        let copy = work.join("jobs").join(format!("{name}-marked"));
        if name == MARKED && copied(steps, job, &copy, MARKS) {
            written.marked = cut(steps, &copy, 1, &work.join(format!("{name}-cut-marked")));
            written.sets.extend(written.marked.clone());
        }
        let comb = asked(
            steps,
            &["strip", "kerf"],
            job,
            &[],
            &work.join(format!("{name}-comb")),
            "kerf-test.json",
        );
        written.combs.extend(comb);
    }
    written
}

/// The set of a job, with what is printed for programs as its summary.
fn cut(steps: &mut Steps, job: &Path, copies: usize, out: &Path) -> Option<PathBuf> {
    let copies = copies.to_string();
    asked(steps, &["cut"], job, &["--copies", &copies], out, "summary.json")
}

/// Runs a verb for a job into an emptied folder, with what is printed for programs in a file beside what it writes.
fn asked(
    steps: &mut Steps,
    verb: &[&str],
    job: &Path,
    more: &[&str],
    out: &Path,
    told: &str,
) -> Option<PathBuf> {
    let what = format!("gusset {} {} {}", verb.join(" "), file_name(job), more.join(" "));
    let told = match emptied(out).and_then(|()| File::create(out.join(told))) {
        Ok(told) => told,
        Err(error) => {
            steps.fail(&what, &error.to_string());
            return None;
        }
    };
    let gusset = steps.root().join("target").join("debug").join("gusset");
    let mut command = Command::new(gusset);
    command
        .args(verb)
        .arg(job)
        .args(more)
        .args(["--json", "-o"])
        .arg(out);
    steps
        .gusset(what.trim_end(), &mut command, told.into())
        .then(|| out.to_owned())
}

/// A folder without what an earlier run left there.
fn emptied(folder: &Path) -> io::Result<()> {
    if folder.exists() {
        fs::remove_dir_all(folder)?;
    }
    fs::create_dir_all(folder)
}

/// Makes a copy of a job with these keys added to its cutter; whether it could.
fn copied(steps: &mut Steps, job: &Path, copy: &Path, keys: &str) -> bool {
    let done = copy_of(job, copy, keys);
    if let Err(error) = &done {
        steps.fail(
            &format!("a copy of {} for its cutter", file_name(job)),
            &error.to_string(),
        );
    }
    done.is_ok()
}

fn copy_of(job: &Path, copy: &Path, keys: &str) -> io::Result<()> {
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
    let shop = shop.replacen(cutter, &format!("{cutter}{keys}"), 1);
    fs::write(copy.join("shop.toml"), shop)
}

fn file_name(path: &Path) -> String {
    path.file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default()
}
