//! Corners, zones, peaks and toes.

use std::f64::consts::{FRAC_PI_2, PI};

use nalgebra::Vector6;
use shell::{Axis, Face, InPlane, Mesh, Point, Singular, Vector, Why};

use crate::exact::{ACROSS, filled, kirsch, model, pulls, quarter_with_hole, solved};

/// An L of 20 by 20 with legs of 8.
fn ell(corner: &[(f64, f64)]) -> Mesh {
    let mut corners = vec![(0.0, 0.0), (20.0, 0.0), (20.0, 8.0)];
    corners.extend_from_slice(corner);
    corners.extend([(8.0, 20.0), (0.0, 20.0)]);
    filled(&corners, &|_| 1.5)
}

#[test]
fn a_sharp_inner_corner_is_singular_and_a_rounded_one_is_not() {
    let sharp = shell::re_entrant_corners(&ell(&[(8.0, 8.0)]));
    assert_eq!(sharp.len(), 1, "{sharp:?}");
    let Why::ReEntrant { angle_rad } = sharp[0].why else {
        panic!("{sharp:?}")
    };
    assert!((angle_rad - 1.5 * PI).abs() < 1e-9);
    let round: Vec<(f64, f64)> = (0..=4)
        .map(|i| {
            let angle = -FRAC_PI_2 - FRAC_PI_2 * f64::from(i) / 4.0;
            (12.0 + 4.0 * angle.cos(), 12.0 + 4.0 * angle.sin())
        })
        .collect();
    assert!(shell::re_entrant_corners(&ell(&round)).is_empty());
    assert!(shell::re_entrant_corners(&quarter_with_hole(&|_| 0.3, 4)).is_empty());
}

/// The quarter with a hole, pulled: mesh and recovered stresses.
fn pulled() -> (Mesh, shell::Recovered) {
    let mesh = quarter_with_hole(&|at| 0.05 + 0.15 * (at.coords.norm() - 1.0).max(0.0), 24);
    let case = pulls(&mesh, kirsch, |at| at.x > 4.0 - 1e-9 || at.y > 4.0 - 1e-9);
    let model = model(mesh, |_, at| {
        let mut held = ACROSS.to_vec();
        if at.x < 1e-9 {
            held.extend([Axis::X, Axis::AboutZ]);
        } else if at.y < 1e-9 {
            held.extend([Axis::Y, Axis::AboutZ]);
        }
        held
    });
    let solution = solved(&model, &case);
    let forces = shell::forces(&model.mesh, &solution.moves);
    let recovered = shell::recover(&model.mesh, &forces);
    (model.mesh, recovered)
}

#[test]
fn the_peak_at_a_hole_is_three_times_the_pull_and_runs_along_it() {
    let (mesh, recovered) = pulled();
    let zones = shell::Zones::new(&mesh, &recovered, &[], 0.5);
    let peak = zones.highest(&mesh, &recovered).expect("nothing is left out");
    println!("peak {:.3} at {}", peak.von_mises_mpa, peak.at);
    assert!((peak.von_mises_mpa - 3.0).abs() < 0.06, "{}", peak.von_mises_mpa);
    assert!((peak.at - Point::new(0.0, 1.0, 0.0)).norm() < 0.1);
    assert!(peak.principal.direction.x.abs() > 0.99);
}

#[test]
fn what_is_near_a_coupled_rim_is_left_out_and_its_nominal_told() {
    let (mesh, recovered) = pulled();
    let rim = Singular {
        nodes: (0..mesh.nodes.len() as u32)
            .filter(|&node| mesh.nodes[node as usize].coords.norm() < 1.0 + 1e-6)
            .collect(),
        why: Why::Coupled,
    };
    let radius_mm = 0.5;
    let zones = shell::Zones::new(&mesh, &recovered, &[rim], radius_mm);
    let peak = zones
        .highest(&mesh, &recovered)
        .expect("the plate is larger than the zone");
    assert!(peak.at.coords.norm() > 1.0 + radius_mm - 0.01);
    let nominal = zones
        .nominal(0, &mesh, &recovered)
        .expect("there is plate beside it");
    assert!(nominal.von_mises_mpa <= peak.von_mises_mpa + 1e-12);
    let far = nominal.at.coords.norm() - 1.0;
    assert!(
        (radius_mm - 0.01..=2.0 * radius_mm + 0.01).contains(&far),
        "{far}"
    );
    let all = Singular {
        nodes: (0..mesh.nodes.len() as u32).collect(),
        why: Why::WeldToe,
    };
    let zones = shell::Zones::new(&mesh, &recovered, &[all], radius_mm);
    assert!(zones.highest(&mesh, &recovered).is_none());
}

#[test]
fn a_toe_reads_a_bending_stress_by_extrapolation() {
    // A strip 30 by 10 bent by a moment at its end: 6 M / t^2 everywhere; t = 1.
    let mesh = filled(&[(0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (0.0, 10.0)], &|_| 1.0);
    let end: Vec<u32> = (0..mesh.nodes.len() as u32)
        .filter(|&node| mesh.nodes[node as usize].x > 30.0 - 1e-9)
        .collect();
    let mut model = model(mesh, |_, at| {
        if at.x < 1e-9 {
            Axis::ALL.to_vec()
        } else {
            Vec::new()
        }
    });
    model.mesh.sections[0].poisson = 0.0;
    let mut case = shell::LoadCase::default();
    let mut ordered = end;
    ordered.sort_by(|&a, &b| {
        model.mesh.nodes[a as usize]
            .y
            .total_cmp(&model.mesh.nodes[b as usize].y)
    });
    for pair in ordered.windows(2) {
        let piece = (model.mesh.nodes[pair[1] as usize] - model.mesh.nodes[pair[0] as usize]).norm();
        for &node in pair {
            // About -y the upper face is stretched along x.
            case.at_nodes
                .push((node, Vector6::new(0.0, 0.0, 0.0, 0.0, -20.0 * piece / 2.0, 0.0)));
        }
    }
    let solution = solved(&model, &case);
    let forces = shell::forces(&model.mesh, &solution.moves);
    let recovered = shell::recover(&model.mesh, &forces);
    let toe = Point::new(12.3, 4.2, 0.0);
    let found = shell::Toe::new(&model.mesh, 0, toe, Vector::x() * 3.0).expect("the plate goes on");
    let (upper, read) = found.stress_mpa(&recovered, Face::Upper);
    assert!((upper.xx.abs() - 120.0).abs() < 1e-3, "{upper:?} {read:?}");
    assert!(upper.yy.abs() < 1e-3 && upper.xy.abs() < 1e-3, "{upper:?}");
    let (lower, _) = found.stress_mpa(&recovered, Face::Lower);
    assert!((lower.xx + upper.xx).abs() < 1e-3);
    // Seen along the weld the same stress lies along the toe.
    let beside = shell::Toe::new(&model.mesh, 0, toe, Vector::y()).expect("the plate goes on");
    let (turned, _) = beside.stress_mpa(&recovered, Face::Upper);
    assert!(
        (turned.yy - upper.xx).abs() < 1e-3 && turned.xx.abs() < 1e-3,
        "{turned:?}"
    );
    let past = Point::new(29.5, 4.2, 0.0);
    assert!(shell::Toe::new(&model.mesh, 0, past, Vector::x()).is_none());
}

#[test]
fn nothing_is_averaged_across_a_border_of_patches() {
    let mut mesh = filled(&[(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (0.0, 4.0)], &|_| 1.0);
    for t in 0..mesh.triangles.len() {
        let [a, b, c] = mesh.corners(t);
        mesh.patches[t] = u32::from(a.x + b.x + c.x > 15.0);
    }
    let forces: Vec<shell::PanelForces> = mesh
        .frames()
        .into_iter()
        .zip(&mesh.patches)
        .map(|(frame, &patch)| shell::PanelForces {
            frame,
            thickness_mm: 1.0,
            membrane_n_mm: [InPlane {
                xx: f64::from(patch),
                yy: 0.0,
                xy: 0.0,
            }; 3],
            moment_n: [InPlane::default(); 3],
        })
        .collect();
    let recovered = shell::recover(&mesh, &forces);
    for node in &recovered.nodes {
        assert!((node.membrane_n_mm.xx - f64::from(node.patch)).abs() < 1e-12);
    }
    assert!(
        recovered.nodes.len() > mesh.nodes.len(),
        "nodes of the border are there twice"
    );
    assert!(shell::estimate(&mesh, &forces, &recovered).share() < 1e-12);
}
