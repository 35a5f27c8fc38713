//! The L bracket that all solvers are compared on.
//!
//! `l_bracket write CELLS corner|edge PATH` writes it as a text file for other programs. `l_bracket solve CELLS corner|edge`
//! solves it and prints seconds, memory and the movement of its tip as lines of `key=value`. CELLS is their size in mm, or
//! how many there are along each flat, round the bend and across, as in `20x4x9`.

#[path = "../tests/shapes/mod.rs"]
mod shapes;

use std::fmt::Write as _;
use std::process::ExitCode;
use std::time::Instant;

use shapes::l_bracket::{LBracket, Spread};
use shell::Model;

const HELP: &str = "l_bracket write CELLS corner|edge PATH\nl_bracket solve CELLS corner|edge";

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let done = match words[..] {
        ["write", cell, spread, path] => part(cell, spread).and_then(|(bracket, spread)| {
            std::fs::write(path, written(&bracket, spread)).map_err(|error| format!("{path}: {error}"))
        }),
        ["solve", cells, spread] => part(cells, spread).and_then(|(bracket, spread)| solve(&bracket, spread)),
        _ => Err(HELP.into()),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}");
            ExitCode::from(2)
        }
    }
}

fn part(cells: &str, spread: &str) -> Result<(LBracket, Spread), String> {
    let spread = match spread {
        "corner" => Spread::Corner,
        "edge" => Spread::Edge,
        _ => return Err(HELP.into()),
    };
    if let Ok(cell_mm) = cells.parse() {
        return Ok((LBracket::new(cell_mm), spread));
    }
    let counts: Option<Vec<usize>> = cells.split('x').map(|count| count.parse().ok()).collect();
    match counts.as_deref() {
        Some([flat, bend, across]) => Ok((LBracket::with_cells(*flat, *bend, *across), spread)),
        _ => Err(HELP.into()),
    }
}

/// Mesh in memory to movements, and further to the stresses of every triangle.
fn solve(bracket: &LBracket, spread: Spread) -> Result<(), String> {
    let worked = worked_s();
    let started = Instant::now();
    let model = Model {
        mesh: bracket.mesh.clone(),
        ties: bracket.built_in(),
        ..Model::default()
    };
    let prepared = shell::prepare(&model).map_err(|error| error.to_string())?;
    let solution = prepared
        .solve(&bracket.load(spread))
        .map_err(|error| error.to_string())?;
    let moved = started.elapsed();
    let forces = shell::forces(&model.mesh, &solution.moves);
    let done = started.elapsed();
    let worked = worked_s() - worked;
    let moments = forces.iter().flat_map(|panel| panel.moment_n);
    let largest = moments.map(|moment| moment.xx.abs()).fold(0.0, f64::max);
    let tip = solution.moves[bracket.tip() as usize];
    println!("unknowns={}", shell::PER_NODE * model.mesh.nodes.len());
    println!("seconds_moves={:.5}", moved.as_secs_f64());
    println!("seconds={:.5}", done.as_secs_f64());
    println!("processor_seconds={worked:.5}");
    println!("peak_mb={:.1}", peak_mb());
    for (axis, moves) in ["x", "y", "z"].iter().zip(&tip) {
        println!("tip_{axis}_mm={moves:.8}");
    }
    println!("corner_y_mm={:.8}", solution.moves[bracket.corner() as usize].y);
    println!("largest_moment_n={largest:.6}");
    Ok(())
}

/// How long this process has had a processor, over all its threads, s: on a busy machine it tells more than the clock.
fn worked_s() -> f64 {
    let tasks = std::fs::read_dir("/proc/self/task")
        .into_iter()
        .flatten()
        .flatten();
    let nanoseconds = tasks.filter_map(|task| {
        let said = std::fs::read_to_string(task.path().join("schedstat")).ok()?;
        said.split_whitespace().next()?.parse::<f64>().ok()
    });
    nanoseconds.sum::<f64>() * 1e-9
}

/// The most memory that this process held, MB, as the kernel counts it; nothing where it does not.
fn peak_mb() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    status
        .lines()
        .find_map(|line| {
            line.strip_prefix("VmHWM:")?
                .split_whitespace()
                .next()?
                .parse::<f64>()
                .ok()
        })
        .map_or(f64::NAN, |kib| kib * 1024.0 / 1e6)
}

/// The part in the form that `python/shell_peers/part.py` reads.
fn written(bracket: &LBracket, spread: Spread) -> String {
    let mesh = &bracket.mesh;
    let section = mesh.sections[0];
    let mut out = format!(
        "{} {} {}\nnodes {}\n",
        section.elastic_mpa,
        section.poisson,
        section.thickness_mm,
        mesh.nodes.len()
    );
    // Writing to a string does not fail.
    for p in &mesh.nodes {
        let _ = writeln!(out, "{} {} {}", p.x, p.y, p.z);
    }
    let _ = writeln!(out, "triangles {}", mesh.triangles.len());
    for [a, b, c] in &mesh.triangles {
        let _ = writeln!(out, "{a} {b} {c}");
    }
    let _ = writeln!(out, "fixed {}", bracket.root.len());
    for node in &bracket.root {
        let _ = writeln!(out, "{node}");
    }
    let loads = bracket.load(spread).at_nodes;
    let _ = writeln!(out, "loads {}", loads.len());
    for (node, force) in &loads {
        let _ = writeln!(out, "{node} {} {} {}", force[0], force[1], force[2]);
    }
    let _ = writeln!(out, "watch {}", bracket.tip());
    out
}
