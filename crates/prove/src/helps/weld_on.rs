//! Extra plates in the shell's model: further patches, tied to the panels along their welded edges.

use nalgebra::{Isometry3, Point2, Point3, Vector3};
use shell::plan::{Beside, Line, Plan, PlanError};
use shell::{CouplingError, Mesh, Model, Section, Tie};
use thiserror::Error;

use super::change::ExtraPlate;

/// Why a plate cannot be welded on in the model.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum WeldOnError {
    /// The plate's corners are no outline.
    #[error("plate {plate} cannot be cut into triangles: {fault}")]
    Plan {
        /// Which.
        plate: usize,
        /// What is wrong.
        fault: PlanError,
    },
    /// The plate has fewer than three corners, or they lie on one line.
    #[error("plate {plate} has no area")]
    NoArea {
        /// Which.
        plate: usize,
    },
    /// The panel that it is welded to has no triangles.
    #[error("plate {plate} is welded to panel {panel}, which is not there")]
    NoPanel {
        /// Which.
        plate: usize,
        /// The panel.
        panel: usize,
    },
    /// The tie could not be made.
    #[error(transparent)]
    Tie(#[from] CouplingError),
}

/// Puts extra plates into a model whose first patches are the panels of the part, in their order.
///
/// `pose` carries the part's axes to the model's. The plates are cut into triangles about `size_mm` across, each plate a
/// patch of its own after those that are there; the nodes of a welded edge follow the middle surface of the panel below
/// them as if on a stiff arm of half a thickness, turns included: a weld along both sides.
///
/// # Errors
/// [`WeldOnError`]; the model is then left half changed.
pub fn weld_on(
    model: &mut Model,
    plates: &[ExtraPlate],
    pose: &Isometry3<f64>,
    size_mm: f64,
) -> Result<(), WeldOnError> {
    let host = model.mesh.triangles.len();
    for (index, plate) in plates.iter().enumerate() {
        let edges = add_plate(&mut model.mesh, index, plate, pose, size_mm)?;
        let mut tied: Vec<u32> = Vec::new();
        for weld in &plate.welds {
            for &node in &edges[weld.edge] {
                if tied.contains(&node) {
                    continue;
                }
                tied.push(node);
                let ties = tie_to_panel(&model.mesh, host, node, weld.to_panel)?;
                model.ties.extend(ties.ok_or(WeldOnError::NoPanel {
                    plate: index,
                    panel: weld.to_panel,
                })?);
            }
        }
    }
    Ok(())
}

/// About how large the triangles of a mesh are: the edge of an even triangle of the mean area, mm.
pub fn mean_edge_mm(mesh: &Mesh) -> f64 {
    let area = |triangle: usize| {
        let [a, b, c] = mesh.corners(triangle);
        (b - a).cross(&(c - a)).norm() / 2.0
    };
    let count = mesh.triangles.len().max(1) as f64;
    let mean_mm2 = (0..mesh.triangles.len()).map(area).sum::<f64>() / count;
    (mean_mm2 * 4.0 / 3.0_f64.sqrt()).sqrt()
}

/// Adds a plate's triangles. Gives the nodes along each of its edges.
fn add_plate(
    mesh: &mut Mesh,
    index: usize,
    plate: &ExtraPlate,
    pose: &Isometry3<f64>,
    size_mm: f64,
) -> Result<Vec<Vec<u32>>, WeldOnError> {
    let corners: Vec<Point3<f64>> = plate.corners.iter().map(|corner| pose * corner).collect();
    let (origin, axes) = axes(&corners).ok_or(WeldOnError::NoArea { plate: index })?;
    let seen = |at: &Point3<f64>| {
        let off = at - origin;
        Point2::new(off.dot(&axes[0]), off.dot(&axes[1]))
    };
    let count = corners.len() as u32;
    let lines = (0..count).map(|from| Line {
        from,
        to: (from + 1) % count,
        left: Beside::Region(0),
        right: Beside::Nothing,
        is_cut: false,
    });
    let plan = Plan {
        points: corners.iter().map(seen).collect(),
        lines: lines.collect(),
    };
    /// A stiffener needs far fewer; more than this means that it was asked for in vain.
    const MOST_NODES: usize = 20_000;
    let filled = plan
        .fill(&|_| size_mm, MOST_NODES)
        .map_err(|fault| WeldOnError::Plan { plate: index, fault })?;
    let first = mesh.nodes.len() as u32;
    mesh.nodes.extend(
        filled
            .nodes
            .iter()
            .map(|at| origin + axes[0] * at.x + axes[1] * at.y),
    );
    let section = section(mesh, plate.thickness_mm);
    let patch = mesh.patches.iter().max().map_or(0, |last| last + 1);
    for triangle in &filled.triangles {
        mesh.triangles.push(triangle.map(|node| node + first));
        mesh.patches.push(patch);
        mesh.section_of.push(section);
    }
    let edge = |chain: &shell::plan::Chain| chain.left.iter().map(|node| node + first).collect();
    Ok(filled.chains.iter().map(edge).collect())
}

/// Two unit directions in the plane of the corners, the corners counter-clockwise about the first times the second.
fn axes(corners: &[Point3<f64>]) -> Option<(Point3<f64>, [Vector3<f64>; 2])> {
    let origin = *corners.first()?;
    let square: Vector3<f64> = corners[1..]
        .windows(2)
        .map(|pair| (pair[0] - origin).cross(&(pair[1] - origin)))
        .sum();
    let square = square.try_normalize(plane::SAME_POINT_MM)?;
    let along = (corners.get(1)? - origin).try_normalize(plane::SAME_POINT_MM)?;
    Some((origin, [along, square.cross(&along)]))
}

/// The section of the part's metal at this thickness.
fn section(mesh: &mut Mesh, thickness_mm: f64) -> u32 {
    let wanted = Section {
        thickness_mm,
        ..mesh.sections.first().copied().unwrap_or(Section {
            thickness_mm,
            elastic_mpa: 1.0,
            poisson: 0.0,
            density_t_mm3: 0.0,
        })
    };
    let place = mesh.sections.iter().position(|section| *section == wanted);
    let place = place.unwrap_or_else(|| {
        mesh.sections.push(wanted);
        mesh.sections.len() - 1
    });
    place as u32
}

/// Ties a node to the triangle of a panel that it lies over; none when the panel has none.
fn tie_to_panel(
    mesh: &Mesh,
    host: usize,
    node: u32,
    panel: usize,
) -> Result<Option<[Tie; 6]>, CouplingError> {
    let at = mesh.nodes[node as usize];
    let mut nearest: Option<(f64, usize, [f64; 3])> = None;
    for triangle in (0..host).filter(|&triangle| mesh.patches[triangle] as usize == panel) {
        let (off_mm, share) = over(&mesh.corners(triangle), &at);
        if nearest.is_none_or(|(least_mm, ..)| off_mm < least_mm) {
            nearest = Some((off_mm, triangle, share));
        }
        if off_mm == 0.0 {
            break;
        }
    }
    nearest
        .map(|(_, triangle, share)| shell::ties_to_surface(mesh, node, triangle as u32, share))
        .transpose()
}

/// How far a point lies beside a triangle, seen square to it, and the area coordinates of the nearest point of it.
fn over(corners: &[Point3<f64>; 3], at: &Point3<f64>) -> (f64, [f64; 3]) {
    let [a, b, c] = corners;
    let square = (b - a).cross(&(c - a));
    let twice = square.norm_squared();
    let share = |from: &Point3<f64>, to: &Point3<f64>| (to - from).cross(&(at - from)).dot(&square) / twice;
    let exact = [share(b, c), share(c, a), share(a, b)];
    if exact.iter().all(|share| *share >= 0.0) {
        return (0.0, exact);
    }
    let flat = at - square * ((at - a).dot(&square) / twice);
    let on_edge = |from: usize| {
        let to = (from + 1) % 3;
        let along = corners[to] - corners[from];
        let share = ((flat - corners[from]).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
        let mut shares = [0.0; 3];
        (shares[from], shares[to]) = (1.0 - share, share);
        ((corners[from] + along * share - flat).norm(), shares)
    };
    let edges = [0, 1, 2].map(on_edge);
    edges.into_iter().fold(
        (f64::INFINITY, exact),
        |best, edge| if edge.0 < best.0 { edge } else { best },
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::helps::change::WeldedEdge;
    use nalgebra::Vector6;
    use shell::LoadCase;

    const LONG_MM: f64 = 240.0;
    const WIDE_MM: f64 = 40.0;
    const T_MM: f64 = 4.0;
    const ELASTIC_MPA: f64 = 70_000.0;

    /// A strip built in at x = 0, in triangles.
    fn strip(size_mm: f64) -> Model {
        let points = [(0.0, 0.0), (LONG_MM, 0.0), (LONG_MM, WIDE_MM), (0.0, WIDE_MM)];
        let lines = (0..4).map(|from| Line {
            from,
            to: (from + 1) % 4,
            left: Beside::Region(0),
            right: Beside::Nothing,
            is_cut: false,
        });
        let plan = Plan {
            points: points.map(|(x, y)| Point2::new(x, y)).to_vec(),
            lines: lines.collect(),
        };
        let filled = plan.fill(&|_| size_mm, 20_000).expect("a strip is a plan");
        let count = filled.triangles.len();
        let mesh = Mesh {
            nodes: filled
                .nodes
                .iter()
                .map(|at| Point3::new(at.x, at.y, 0.0))
                .collect(),
            triangles: filled.triangles,
            patches: vec![0; count],
            section_of: vec![0; count],
            sections: vec![Section {
                thickness_mm: T_MM,
                elastic_mpa: ELASTIC_MPA,
                poisson: 0.0,
                density_t_mm3: 0.0,
            }],
        };
        Model {
            mesh,
            ..Model::default()
        }
    }

    /// Builds in all that lies at x = 0 and is not tied already, and loads the strip's end, N across the plate.
    fn end_moves_mm(mut model: Model, force_n: f64) -> f64 {
        for node in 0..model.mesh.nodes.len() as u32 {
            let tied = model.ties.iter().any(|tie| tie.dof.node == node);
            if model.mesh.nodes[node as usize].x < 1e-9 && !tied {
                model.ties.extend(shell::ties_fixing(node));
            }
        }
        let at_end = |node: &usize| {
            let at = model.mesh.nodes[*node];
            (at.x - LONG_MM).abs() < 1e-9 && at.z == 0.0
        };
        let end: Vec<usize> = (0..model.mesh.nodes.len()).filter(at_end).collect();
        let each = Vector6::new(0.0, 0.0, force_n / end.len() as f64, 0.0, 0.0, 0.0);
        let case = LoadCase {
            at_nodes: end.iter().map(|&node| (node as u32, each)).collect(),
            ..LoadCase::default()
        };
        let prepared = shell::prepare(&model).expect("a strip that is built in");
        let solution = prepared.solve(&case).expect("it carries the load");
        end.iter().map(|&node| solution.moves[node].z).sum::<f64>() / end.len() as f64
    }

    #[test]
    fn a_bar_on_edge_makes_a_strip_as_stiff_as_a_tee() {
        let high_mm = 20.0;
        let foot = T_MM / 2.0;
        let corner = |x, z| Point3::new(x, WIDE_MM / 2.0, z);
        let bar = ExtraPlate {
            corners: vec![
                corner(0.0, foot),
                corner(LONG_MM, foot),
                corner(LONG_MM, foot + high_mm),
                corner(0.0, foot + high_mm),
            ],
            thickness_mm: T_MM,
            welds: vec![WeldedEdge { edge: 0, to_panel: 0 }],
        };
        let flat_mm = end_moves_mm(strip(6.0), 10.0);
        let mut model = strip(6.0);
        weld_on(&mut model, &[bar], &Isometry3::identity(), 6.0).expect("a bar on a strip");
        // At the built-in end the bar's foot follows nodes that are fixed.
        let with_mm = end_moves_mm(model, 10.0);
        let (plate_mm2, bar_mm2) = (WIDE_MM * T_MM, high_mm * T_MM);
        let bar_at_mm = foot + high_mm / 2.0;
        let centre_mm = bar_mm2 * bar_at_mm / (plate_mm2 + bar_mm2);
        let second_mm4 = WIDE_MM * T_MM.powi(3) / 12.0
            + plate_mm2 * centre_mm.powi(2)
            + T_MM * high_mm.powi(3) / 12.0
            + bar_mm2 * (bar_at_mm - centre_mm).powi(2);
        let beam_mm = 10.0 * LONG_MM.powi(3) / (3.0 * ELASTIC_MPA * second_mm4);
        // Shear adds 3 E I / (G A L^2), some 2 in 100 of it here.
        assert!((with_mm / beam_mm - 1.0).abs() < 0.06, "{with_mm} {beam_mm}");
        assert!(flat_mm > 20.0 * with_mm);
    }

    #[test]
    fn a_plate_welded_to_nothing_is_refused() {
        let corner = |x, y| Point3::new(x, y, 2.0);
        let plate = ExtraPlate {
            corners: vec![corner(10.0, 10.0), corner(30.0, 10.0), corner(30.0, 30.0)],
            thickness_mm: T_MM,
            welds: vec![WeldedEdge { edge: 0, to_panel: 7 }],
        };
        let error = weld_on(&mut strip(10.0), &[plate], &Isometry3::identity(), 10.0);
        assert_eq!(error, Err(WeldOnError::NoPanel { plate: 0, panel: 7 }));
    }
}
