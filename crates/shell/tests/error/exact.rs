//! Flat plates whose stresses are known at every point.

use nalgebra::{Matrix3, Point2, Vector6};
use shell::plan::{Beside, Line, Plan};
use shell::{
    Axis, Dof, ErrorEstimate, InPlane, LoadCase, Mesh, Model, PanelForces, Point, Section, Solution, Tie,
    Vector,
};

pub const SECTION: Section = Section {
    thickness_mm: 1.0,
    elastic_mpa: 70e3,
    poisson: 0.3,
    density_t_mm3: 0.0,
};

/// Components in the plane of the plate, x and y.
pub type Stress = fn(Point) -> InPlane;

/// What is known: forces and moments per length.
#[derive(Clone, Copy)]
pub struct Known {
    pub membrane_n_mm: Stress,
    pub moment_n: Stress,
}

pub fn none(_: Point) -> InPlane {
    InPlane::default()
}

/// A closed run of corners filled.
pub fn filled(corners: &[(f64, f64)], size_mm: &dyn Fn(Point2<f64>) -> f64) -> Mesh {
    let count = corners.len() as u32;
    let plan = Plan {
        points: corners.iter().map(|&(x, y)| Point2::new(x, y)).collect(),
        lines: (0..count)
            .map(|i| Line {
                from: i,
                to: (i + 1) % count,
                left: Beside::Region(0),
                right: Beside::Nothing,
                is_cut: false,
            })
            .collect(),
    };
    let filled = plan.fill(size_mm, 200_000).expect("the plate fills");
    Mesh {
        nodes: filled
            .nodes
            .iter()
            .map(|at| Point::new(at.x, at.y, 0.0))
            .collect(),
        patches: filled.regions,
        section_of: vec![0; filled.triangles.len()],
        triangles: filled.triangles,
        sections: vec![SECTION],
    }
}

/// Pulls on the free edges as the known stress does, where `on` says.
pub fn pulls(mesh: &Mesh, known: Stress, on: impl Fn(Point) -> bool) -> LoadCase {
    /// Gauss's two points on 0 to 1.
    const GAUSS: [f64; 2] = [0.211_324_865_405_187_13, 0.788_675_134_594_812_9];
    let mut runs: Vec<(u32, u32)> = mesh
        .triangles
        .iter()
        .flat_map(|&[a, b, c]| [(a, b), (b, c), (c, a)])
        .collect();
    runs.sort_unstable();
    let mut case = LoadCase::default();
    for &(a, b) in runs
        .iter()
        .filter(|&&(a, b)| runs.binary_search(&(b, a)).is_err())
    {
        let [from, to] = [a, b].map(|node| mesh.nodes[node as usize]);
        let along = to - from;
        if !on(nalgebra::center(&from, &to)) {
            continue;
        }
        for share in GAUSS {
            let force = known(from + along * share);
            // The material lies on the left, so out is to the right; times the length.
            let (nx, ny) = (along.y, -along.x);
            let pull = Vector::new(force.xx * nx + force.xy * ny, force.xy * nx + force.yy * ny, 0.0) / 2.0;
            for (node, part) in [(a, 1.0 - share), (b, share)] {
                let pull = pull * part;
                case.at_nodes
                    .push((node, Vector6::new(pull.x, pull.y, pull.z, 0.0, 0.0, 0.0)));
            }
        }
    }
    case
}

/// A mesh whose nodes are held where `held` says so.
pub fn model(mesh: Mesh, held: impl Fn(u32, Point) -> Vec<Axis>) -> Model {
    let ties = (0..mesh.nodes.len() as u32)
        .flat_map(|node| {
            let axes = held(node, mesh.nodes[node as usize]);
            axes.into_iter().map(move |axis| Tie::fixed(Dof { node, axis }))
        })
        .collect();
    Model {
        mesh,
        ties,
        ..Model::default()
    }
}

pub fn solved(model: &Model, case: &LoadCase) -> Solution {
    let prepared = shell::prepare(model).expect("the plate is held");
    prepared.solve(case).expect("the load can be carried")
}

/// The energy norm of the true error.
pub fn true_error(mesh: &Mesh, forces: &[PanelForces], known: Known) -> f64 {
    let mut sum = 0.0;
    for (t, panel) in forces.iter().enumerate() {
        let corners = mesh.corners(t);
        let section = mesh.section(t);
        let area = (corners[1] - corners[0]).cross(&(corners[2] - corners[0])).norm() / 2.0;
        let (e, nu, h) = (section.elastic_mpa, section.poisson, section.thickness_mm);
        for i in 0..3 {
            let j = (i + 1) % 3;
            let at = nalgebra::center(&corners[i], &corners[j]);
            let kinds = [
                (panel.membrane_n_mm, known.membrane_n_mm, 1.0 / (e * h)),
                (panel.moment_n, known.moment_n, 12.0 / (e * h.powi(3))),
            ];
            for (raw, known, softness) in kinds {
                let told = in_plate(panel, (raw[i] + raw[j]) * 0.5);
                let InPlane { xx, yy, xy } = known(at) - told;
                let density = xx * xx + yy * yy - 2.0 * nu * xx * yy + 2.0 * (1.0 + nu) * xy * xy;
                sum += softness * density * area / 3.0;
            }
        }
    }
    sum.sqrt()
}

fn in_plate(panel: &PanelForces, of: InPlane) -> InPlane {
    let (x, y) = (panel.frame.x, panel.frame.y);
    let whole: Matrix3<f64> = x * x.transpose() * of.xx
        + y * y.transpose() * of.yy
        + (x * y.transpose() + y * x.transpose()) * of.xy;
    InPlane {
        xx: whole[(0, 0)],
        yy: whole[(1, 1)],
        xy: whole[(0, 1)],
    }
}

/// The estimate of a solution.
pub fn estimated(mesh: &Mesh, solution: &Solution) -> (ErrorEstimate, Vec<PanelForces>) {
    let forces = shell::forces(mesh, &solution.moves);
    let recovered = shell::recover(mesh, &forces);
    (shell::estimate(mesh, &forces, &recovered), forces)
}

/// A quarter of a wide plate with a hole of radius 1, pulled along x by 1 MPa (Kirsch 1898; Timoshenko and Goodier,
/// Theory of Elasticity, article 35; from memory).
pub fn kirsch(at: Point) -> InPlane {
    let (r2, angle) = (at.x * at.x + at.y * at.y, at.y.atan2(at.x));
    let (k, k2) = (1.0 / r2, 1.0 / (r2 * r2));
    let (c2, s2) = ((2.0 * angle).cos(), (2.0 * angle).sin());
    let rr = 0.5 * (1.0 - k) + 0.5 * (1.0 - 4.0 * k + 3.0 * k2) * c2;
    let tt = 0.5 * (1.0 + k) - 0.5 * (1.0 + 3.0 * k2) * c2;
    let rt = -0.5 * (1.0 + 2.0 * k - 3.0 * k2) * s2;
    let (c, s) = (angle.cos(), angle.sin());
    InPlane {
        xx: rr * c * c + tt * s * s - 2.0 * rt * c * s,
        yy: rr * s * s + tt * c * c + 2.0 * rt * c * s,
        xy: (rr - tt) * c * s + rt * (c * c - s * s),
    }
}

pub fn quarter_with_hole(size_mm: &dyn Fn(Point2<f64>) -> f64, chords: usize) -> Mesh {
    let mut corners = vec![(1.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0), (0.0, 1.0)];
    let step = std::f64::consts::FRAC_PI_2 / chords as f64;
    corners.extend((1..chords).map(|i| {
        let angle = std::f64::consts::FRAC_PI_2 - step * i as f64;
        (angle.cos(), angle.sin())
    }));
    filled(&corners, size_mm)
}

/// A flat plate carries only forces in its plane: what is across is held everywhere.
pub const ACROSS: [Axis; 3] = [Axis::Z, Axis::AboutX, Axis::AboutY];
/// And the other way.
pub const IN_PLANE: [Axis; 3] = [Axis::X, Axis::Y, Axis::AboutZ];
