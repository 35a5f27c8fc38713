//! Refined until the numbers are near enough.

use std::convert::Infallible;

use nalgebra::Vector6;
use prove::body::{Body, BodyOptions, Judged, Stopped, Targets, adapted};
use shell::{LoadCase, Model, Singular, Why};

use crate::parts::one_bend;

/// The lower hole's rim held fast, the upper one's pushed across its leg.
fn judged(body: &Body) -> Result<Judged<f64>, Infallible> {
    let [held, pushed] = [0, 1].map(|rim| body.rims[rim].nodes.clone());
    let model = Model {
        mesh: body.mesh.clone(),
        ties: held.iter().flat_map(|&node| shell::ties_fixing(node)).collect(),
        ..Model::default()
    };
    let share = 1.0 / pushed.len() as f64;
    let case = LoadCase {
        at_nodes: pushed
            .iter()
            .map(|&node| (node, Vector6::new(20.0, 100.0, 0.0, 0.0, 0.0, 0.0) * share))
            .collect(),
        ..LoadCase::default()
    };
    let prepared = shell::prepare(&model).expect("the part is held");
    let solution = prepared.solve(&case).expect("the load can be carried");
    let forces = shell::forces(&body.mesh, &solution.moves);
    let recovered = shell::recover(&body.mesh, &forces);
    let moved = pushed
        .iter()
        .map(|&node| solution.moves[node as usize].fixed_rows::<3>(0).norm())
        .sum::<f64>()
        * share;
    let rims = [held, pushed].map(|nodes| Singular {
        nodes,
        why: Why::Coupled,
    });
    let error = shell::estimate(&body.mesh, &forces, &recovered);
    Ok(Judged {
        answer: moved,
        added: vec![error.share()],
        errors: vec![error],
        moves_mm: vec![moved],
        singular: rims.to_vec(),
    })
}

#[test]
fn a_coarse_mesh_is_refined_until_the_targets_are_met() {
    let part = one_bend();
    let options = BodyOptions {
        target_unknowns: 3_000,
        most_unknowns: 60_000,
        ..BodyOptions::default()
    };
    let targets = Targets {
        stress: 0.025,
        ..Targets::usual(part.thickness_mm)
    };
    let found = adapted(&part, &options, targets, judged).expect("a mesh and a solution");
    for turn in &found.turns {
        println!("{turn:?}");
    }
    println!("{:?}, moved {:.4} mm", found.stopped, found.answer);
    assert_eq!(found.stopped, Stopped::Met);
    let last = found.turns[found.turns.len() - 1];
    assert!(found.turns.len() > 1, "the first mesh is too coarse");
    assert!(last.stress <= 0.025 && last.moves <= 0.03);
    // Beside a mesh of the same kind that is much finer.
    let fine = Targets {
        stress: 0.015,
        moves: 0.001,
        ..targets
    };
    let fine = adapted(&part, &options, fine, judged).expect("a mesh and a solution");
    println!(
        "{:?}: {:?}, moved {:.4} mm",
        fine.stopped,
        fine.turns.last(),
        fine.answer
    );
    assert!((found.answer / fine.answer - 1.0).abs() < 0.03);
}

#[test]
fn what_was_reached_is_said_when_the_budget_is_used_up() {
    let part = one_bend();
    let options = BodyOptions {
        target_unknowns: 3_000,
        most_unknowns: 9_000,
        ..BodyOptions::default()
    };
    let targets = Targets {
        stress: 0.001,
        ..Targets::usual(part.thickness_mm)
    };
    let found = adapted(&part, &options, targets, judged).expect("a mesh and a solution");
    assert_ne!(found.stopped, Stopped::Met);
    assert!(
        found.turns.iter().all(|turn| turn.unknowns <= 9_000),
        "{:?}",
        found.turns
    );
    assert!(found.turns[found.turns.len() - 1].stress > 0.001);
}
