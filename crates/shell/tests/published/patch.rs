//! Patch tests: a state of constant strain or curvature, imposed at the corners, must be met inside to rounding, however
//! the triangles lie.

use nalgebra::{Matrix3, Rotation3, Vector6};
use shell::{Face, InPlane, Mesh, PanelForces, Point, Section, Vector};

use crate::trial::{BUILT_IN, Trial};

/// Rounding, as a share of the greatest movement or stress.
const ROUNDING: f64 = 1e-9;

/// MacNeal and Harder's plate: 0.24 x 0.12, five four-sided cells round four inner nodes, each cell cut in two.
fn plate(other_way: bool) -> Mesh {
    let places = [
        (0.0, 0.0),
        (0.24, 0.0),
        (0.24, 0.12),
        (0.0, 0.12),
        (0.04, 0.02),
        (0.18, 0.03),
        (0.16, 0.08),
        (0.08, 0.08),
    ];
    let cells = [
        [0, 1, 5, 4],
        [1, 2, 6, 5],
        [2, 3, 7, 6],
        [3, 0, 4, 7],
        [4, 5, 6, 7],
    ];
    let triangles: Vec<[u32; 3]> = cells
        .iter()
        .flat_map(|[a, b, c, d]| {
            if other_way {
                [[*a, *b, *d], [*b, *c, *d]]
            } else {
                [[*a, *b, *c], [*a, *c, *d]]
            }
        })
        .collect();
    Mesh {
        nodes: places.iter().map(|(x, y)| Point::new(*x, *y, 0.0)).collect(),
        patches: vec![0; triangles.len()],
        section_of: vec![0; triangles.len()],
        triangles,
        sections: vec![Section {
            thickness_mm: 0.001,
            elastic_mpa: 1e6,
            poisson: 0.25,
            density_t_mm3: 0.0,
        }],
    }
}

/// u = 1e-3 (x + y/2), v = 1e-3 (y + x/2): no turn.
fn stretched(p: &Point) -> Vector6<f64> {
    Vector6::new(
        1e-3 * (p.x + 0.5 * p.y),
        1e-3 * (p.y + 0.5 * p.x),
        0.0,
        0.0,
        0.0,
        0.0,
    )
}

/// w = 1e-3 (x2 + xy + y2)/2, with the turns w,y about x and -w,x about y.
fn bent(p: &Point) -> Vector6<f64> {
    Vector6::new(
        0.0,
        0.0,
        0.5e-3 * (p.x * p.x + p.x * p.y + p.y * p.y),
        0.5e-3 * (p.x + 2.0 * p.y),
        -0.5e-3 * (2.0 * p.x + p.y),
        0.0,
    )
}

/// The plate, laid in space by `turn`, with this movement imposed at its four corners.
fn imposed(
    mesh: Mesh,
    turn: &Rotation3<f64>,
    movement: impl Fn(&Point) -> Vector6<f64>,
) -> (Trial, Vec<Vector6<f64>>) {
    let expected: Vec<Vector6<f64>> = mesh
        .nodes
        .iter()
        .map(|p| {
            let flat = movement(p);
            let (moved, turned): (Vector, Vector) = (
                turn * flat.fixed_rows::<3>(0).into_owned(),
                turn * flat.fixed_rows::<3>(3).into_owned(),
            );
            Vector6::new(moved.x, moved.y, moved.z, turned.x, turned.y, turned.z)
        })
        .collect();
    let mut trial = Trial::new(mesh);
    for node in &mut trial.model.mesh.nodes {
        *node = turn * *node;
    }
    for corner in 0..4 {
        for (axis, by) in BUILT_IN.into_iter().zip(expected[corner as usize].iter()) {
            trial.impose(corner, axis, *by);
        }
    }
    (trial, expected)
}

fn tilted() -> Rotation3<f64> {
    Rotation3::from_euler_angles(0.4, 1.2, -0.8)
}

#[test]
fn constant_strain_is_met_exactly() {
    for other_way in [false, true] {
        for turn in [Rotation3::identity(), tilted()] {
            let (trial, expected) = imposed(plate(other_way), &turn, stretched);
            let solution = trial.solve();
            for (moves, wanted) in solution.moves.iter().zip(&expected) {
                // Turns are compared on the scale of movement over the plate's length.
                assert!((moves - wanted).amax() <= ROUNDING * 1e-3, "{moves} {wanted}");
            }
            for panel in shell::forces(&trial.model.mesh, &solution.moves) {
                for membrane in panel.membrane_n_mm {
                    let stress = in_plate_axes(&panel, membrane, &turn) / panel.thickness_mm;
                    near(&stress, [4000.0 / 3.0, 4000.0 / 3.0, 400.0]);
                }
            }
        }
    }
}

#[test]
fn constant_curvature_is_met_exactly() {
    for other_way in [false, true] {
        for turn in [Rotation3::identity(), tilted()] {
            let (trial, expected) = imposed(plate(other_way), &turn, bent);
            let solution = trial.solve();
            for (moves, wanted) in solution.moves.iter().zip(&expected) {
                assert!((moves - wanted).amax() <= ROUNDING * 1e-3, "{moves} {wanted}");
            }
            for panel in shell::forces(&trial.model.mesh, &solution.moves) {
                for moment in panel.moment_n {
                    let moment = in_plate_axes(&panel, moment, &turn);
                    // A movement up that grows with x2 shortens the upper face.
                    near(&moment, [-1e-6 / 9.0, -1e-6 / 9.0, -1e-7 / 3.0]);
                }
                for (face, sign) in [(Face::Upper, -1.0), (Face::Lower, 1.0)] {
                    for stress in panel.stress_mpa(face) {
                        let stress = in_plate_axes(&panel, stress, &turn);
                        near(&stress, [sign * 2.0 / 3.0, sign * 2.0 / 3.0, sign * 0.2]);
                    }
                }
            }
        }
    }
}

/// Components in the axes of the plate as it lay before it was turned.
fn in_plate_axes(panel: &PanelForces, of: InPlane, turn: &Rotation3<f64>) -> Matrix3<f64> {
    let back = turn.inverse();
    let (x, y) = (back * panel.frame.x, back * panel.frame.y);
    x * x.transpose() * of.xx + y * y.transpose() * of.yy + (x * y.transpose() + y * x.transpose()) * of.xy
}

fn near(tensor: &Matrix3<f64>, [xx, yy, xy]: [f64; 3]) {
    let wanted = Matrix3::new(xx, xy, 0.0, xy, yy, 0.0, 0.0, 0.0, 0.0);
    let off = (tensor - wanted).amax();
    assert!(off <= ROUNDING * xx.abs(), "{tensor} {wanted} off {off:e}");
}
