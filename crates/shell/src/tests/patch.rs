//! The patch tests of MacNeal and Harder, "A proposed standard set of problems to test finite element accuracy", Finite
//! Elements in Analysis and Design 1 (1985) 3-20; values from memory.

use nalgebra::Vector6;

use crate::*;

fn patch() -> Mesh {
    let nodes = [
        (0.0, 0.0),
        (0.24, 0.0),
        (0.24, 0.12),
        (0.0, 0.12),
        (0.04, 0.02),
        (0.18, 0.03),
        (0.16, 0.08),
        (0.08, 0.08),
    ];
    let quads: [[u32; 4]; 5] = [
        [0, 1, 5, 4],
        [1, 2, 6, 5],
        [2, 3, 7, 6],
        [3, 0, 4, 7],
        [4, 5, 6, 7],
    ];
    let triangles: Vec<[u32; 3]> = quads
        .iter()
        .flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]])
        .collect();
    Mesh {
        nodes: nodes.iter().map(|&(x, y)| Point::new(x, y, 0.0)).collect(),
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

/// Moves the four outer nodes, and gives the moves of all.
fn solved(mesh: Mesh, moved: impl Fn(&Point) -> [f64; 6]) -> (Mesh, Vec<Vector6<f64>>) {
    let ties = (0..4)
        .flat_map(|node| {
            let six = moved(&mesh.nodes[node as usize]);
            Axis::ALL.map(|axis| Tie::prescribed(Dof { node, axis }, six[axis.index()]))
        })
        .collect();
    let model = Model {
        mesh,
        ties,
        ..Model::default()
    };
    let solution = prepare(&model)
        .expect("held")
        .solve(&LoadCase::default())
        .expect("solves");
    for (place, six) in model.mesh.nodes.iter().zip(&solution.moves) {
        let exact = Vector6::from(moved(place));
        assert!(
            (six - exact).amax() < 1e-9 * exact.amax().max(1e-6),
            "{six} is not {exact}"
        );
    }
    (model.mesh, solution.moves)
}

fn near(told: f64, exact: f64) {
    assert!((told / exact - 1.0).abs() < 1e-6, "{told} is not {exact}");
}

#[test]
fn a_constant_stretch_is_exact() {
    let (mesh, moves) = solved(patch(), |p| {
        [
            1e-3 * (p.x + 0.5 * p.y),
            1e-3 * (p.y + 0.5 * p.x),
            0.0,
            0.0,
            0.0,
            0.0,
        ]
    });
    for panel in forces(&mesh, &moves) {
        for stress in panel.stress_mpa(Face::Upper) {
            near(stress.xx, 4000.0 / 3.0);
            near(stress.yy, 4000.0 / 3.0);
            near(stress.xy, 400.0);
        }
    }
}

#[test]
fn a_constant_curvature_is_exact() {
    let (mesh, moves) = solved(patch(), |p| {
        let w = 0.5e-3 * (p.x * p.x + p.x * p.y + p.y * p.y);
        [
            0.0,
            0.0,
            w,
            1e-3 * (p.y + 0.5 * p.x),
            -1e-3 * (p.x + 0.5 * p.y),
            0.0,
        ]
    });
    for panel in forces(&mesh, &moves) {
        for (moment, stress) in panel.moment_n.iter().zip(panel.stress_mpa(Face::Lower)) {
            // Bent up at the ends, the upper face is pressed.
            near(moment.xx, -1e-7 / 0.9);
            near(moment.yy, -1e-7 / 0.9);
            near(moment.xy, -1e-7 / 3.0);
            near(stress.xx, 2.0 / 3.0);
            near(stress.yy, 2.0 / 3.0);
            near(stress.xy, 0.2);
        }
    }
}

#[test]
fn principal_stresses_point_where_the_pull_is() {
    let frame = Frame::along_edge(&patch().corners(0));
    let pull = InPlane {
        xx: 50.0,
        yy: 50.0,
        xy: 50.0,
    };
    let principal = pull.principal(&frame);
    near(principal.first_mpa, 100.0);
    assert!(principal.second_mpa.abs() < 1e-9);
    near(
        principal.direction.dot(&(frame.x + frame.y)).abs(),
        2.0_f64.sqrt(),
    );
    near(pull.von_mises(), 100.0);
}
