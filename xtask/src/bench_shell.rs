//! The room `shell` and two general solvers on the same triangles of one bracket, in one go: seconds, memory, answer.

mod answer;
mod goals;
mod solvers;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use answer::Answer;
use goals::{Ran, agreement, quicker, ratio};
use solvers::{Solver, solvers};

use crate::figures;
use crate::python;
use crate::steps::Steps;

const WHAT: &str = "the shell solver beside others";
/// Sizes of cells. The first is also small enough to see what a solver costs before it starts.
const CELLS_MM: [f64; 5] = [2.0, 1.0, 0.75, 0.5, 0.3];
/// Where answers are compared with loads spread along the edge; a force on one corner is singular in a shell of solids.
const SPREAD_CELL_MM: f64 = 0.75;
/// So many runs of which the quickest counts: other work on the machine only ever adds.
const RUNS: usize = 3;
/// Slower than this, once is enough: what other work adds is small beside it.
const ONCE_FROM_S: f64 = 10.0;

/// Equal error with this share of the unknowns.
const SHARE_OF_UNKNOWNS: f64 = 1.0 / 3.0;
const EQUAL_ERROR_CELL_MM: f64 = 2.0;
/// Cells along each flat, round the bend and across.
const FEWER: [&str; 3] = ["17x3x11", "19x6x9", "17x10x9"];
/// In tests: about 50,000 unknowns, and what the two answers may differ by.
const TEST_CELL_MM: f64 = 0.8;
const TEST_SAME_ANSWER: f64 = 0.01;

/// Builds ours as released, runs all at every size down to the finest asked, prints the tables and how the goals stand.
pub fn run(steps: &mut Steps, finest_mm: Option<f64>) {
    if !steps.cargo(
        "the shell solver, as released",
        &[
            "build",
            "--release",
            "--locked",
            "-p",
            "shell",
            "--example",
            "l_bracket",
        ],
    ) {
        return;
    }
    let ours = built(steps.root(), "release");
    let work = work(steps);
    let peers = match environment(steps) {
        Some(python) => solvers(steps.root(), &python, &work),
        None => Vec::new(),
    };
    println!("machine: {}", figures::machine());
    println!("load on the machine before: {}", load());
    println!();
    println!(
        "100 N across the far edge, 30 N along it at one corner. Seconds: mesh in memory to movements, and to stresses;"
    );
    println!(
        "the quickest of {RUNS} runs (one if it takes {ONCE_FROM_S} s). Memory: the most that the process held."
    );
    heading();
    let mut thin = Vec::new();
    let mut every = Vec::new();
    for cell in CELLS_MM
        .into_iter()
        .filter(|cell| finest_mm.is_none_or(|finest| *cell >= finest))
    {
        let answers = all(steps, &ours, &peers, &work, cell, "corner");
        thin.extend(ratio(&answers, |ran| !ran.beside_the_goal));
        every.extend(ratio(&answers, |_| true));
    }
    println!();
    println!("Both forces spread along the edge:");
    heading();
    let spread = all(steps, &ours, &peers, &work, SPREAD_CELL_MM, "edge");
    println!();
    println!("load on the machine after: {}", load());
    quicker("the thin triangles and CalculiX", &thin);
    quicker("all, the shear-flexible triangle too", &every);
    agreement(&spread);
    fewer_unknowns(&ours, &work, &peers);
}

/// The part at some 50,000 unknowns, ours against the peer, by the example as it was built: a step of the tests.
pub fn cross_check(steps: &mut Steps) {
    const WHAT: &str = "the bracket's movement by an independent shell solver";
    let Some(python) = environment(steps) else { return };
    let ours = built(steps.root(), "debug");
    let work = work(steps);
    let Some(part) = written(&ours, &work, TEST_CELL_MM, "edge") else {
        return steps.fail(WHAT, "the part could not be written");
    };
    let peer = solvers(steps.root(), &python, &work).remove(0);
    let (Some(here), Some(there)) = (
        Answer::of(&mut solve(&ours, TEST_CELL_MM, "edge")),
        Answer::of(&mut peer.command(&part)),
    ) else {
        return steps.fail(WHAT, "one of the two gave no answer");
    };
    let off = here.off(&there);
    eprintln!(
        "== {} unknowns: ours {:.4} mm, {} {:.4} mm, apart by {:.3} %",
        here.unknowns,
        here.tip_mm[0],
        peer.name,
        there.tip_mm[0],
        100.0 * off
    );
    if off <= TEST_SAME_ANSWER {
        steps.pass(WHAT);
    } else {
        steps.fail(WHAT, &format!("the tips are {:.2} % apart", 100.0 * off));
    }
}

fn work(steps: &Steps) -> PathBuf {
    steps.root().join("target").join("xtask").join("shell")
}

fn environment(steps: &mut Steps) -> Option<PathBuf> {
    let folder = steps.root().join("python").join("shell_peers");
    let venv = steps.root().join("target").join("xtask").join("venv-shell");
    python::environment(steps, WHAT, &folder, &venv)
}

fn built(root: &Path, profile: &str) -> PathBuf {
    root.join("target")
        .join(profile)
        .join("examples")
        .join("l_bracket")
}

fn solve(ours: &Path, cell_mm: f64, spread: &str) -> Command {
    let mut command = Command::new(ours);
    command.args(["solve", &cell_mm.to_string(), spread]);
    command
}

/// The part as a file for the others.
fn written(ours: &Path, work: &Path, cell_mm: f64, spread: &str) -> Option<PathBuf> {
    fs::create_dir_all(work).ok()?;
    let path = work.join(format!("l-bracket-{cell_mm}-{spread}.txt"));
    let status = Command::new(ours)
        .args(["write", &cell_mm.to_string(), spread])
        .arg(&path)
        .status()
        .ok()?;
    status.success().then_some(path)
}

fn heading() {
    println!(
        "| unknowns | solver | to movements, s | with stresses, s | on a processor, s | memory, MB | tip x, y, z, mm |"
    );
    println!("|---|---|---|---|---|---|---|");
}

/// Ours and every peer on one mesh; ours first.
fn all(
    steps: &mut Steps,
    ours: &Path,
    peers: &[Solver],
    work: &Path,
    cell_mm: f64,
    spread: &str,
) -> Vec<Ran> {
    let mut answers = Vec::new();
    let mut take = |name, beside_the_goal, command: &dyn Fn() -> Command| match quickest(command) {
        Some(answer) => {
            answer.print(name);
            answers.push(Ran {
                name,
                beside_the_goal,
                answer,
            });
        }
        None => steps.skip(name, &format!("no answer with cells of {cell_mm} mm")),
    };
    take("gusset shell", false, &|| solve(ours, cell_mm, spread));
    if let Some(part) = written(ours, work, cell_mm, spread) {
        for peer in peers.iter().filter(|peer| cell_mm >= peer.least_cell_mm) {
            take(peer.name, peer.beside_the_goal, &|| peer.command(&part));
        }
    }
    answers
}

fn quickest(command: &dyn Fn() -> Command) -> Option<Answer> {
    let mut best = Answer::of(&mut command())?;
    for _ in 1..RUNS {
        if best.seconds >= ONCE_FROM_S {
            break;
        }
        best = best.better(Answer::of(&mut command())?);
    }
    Some(best)
}

fn load() -> String {
    let text = fs::read_to_string("/proc/loadavg").unwrap_or_default();
    text.split(' ').next().unwrap_or("unknown").to_owned()
}

/// The same error from fewer unknowns: ours on coarser meshes against the nearest peer on the finest mesh of the table.
fn fewer_unknowns(ours: &Path, work: &Path, peers: &[Solver]) {
    let Some(peer) = peers.first() else { return };
    let (Some(limit), Some(part)) = (limit(ours), written(ours, work, EQUAL_ERROR_CELL_MM, "edge")) else {
        return;
    };
    let Some(there) = Answer::of(&mut peer.command(&part)) else {
        return;
    };
    println!();
    println!("Error of the tip against the limit of ever finer meshes, spread loads:");
    println!("| solver | unknowns | share | error |");
    println!("|---|---|---|---|");
    let line = |name: &str, answer: &Answer| {
        let share = answer.unknowns as f64 / there.unknowns as f64;
        println!(
            "| {name} | {} | {share:.2} | {:.3} % |",
            answer.unknowns,
            100.0 * answer.off(&limit)
        );
    };
    line(peer.name, &there);
    for mesh in FEWER {
        if let Some(answer) = Answer::of(Command::new(ours).args(["solve", mesh, "edge"])) {
            line(&format!("gusset shell, {mesh} cells"), &answer);
        }
    }
    println!("goal: equal error with {SHARE_OF_UNKNOWNS:.2} of the unknowns");
}

/// What ours tends to: its error falls with the square of the cells, so a third of the last step is still to come.
fn limit(ours: &Path) -> Option<Answer> {
    let coarse = Answer::of(&mut solve(ours, 1.0, "edge"))?;
    let fine = Answer::of(&mut solve(ours, 0.5, "edge"))?;
    let tip_mm = [0, 1, 2].map(|k| fine.tip_mm[k] + (fine.tip_mm[k] - coarse.tip_mm[k]) / 3.0);
    Some(Answer { tip_mm, ..fine })
}
