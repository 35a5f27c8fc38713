//! Extra plates in the shell's model: further patches, tied to the panels along their welded edges.

use std::ops::Range;

use nalgebra::{Isometry3, Point2, Point3, Vector3};
use shell::plan::{Beside, Line, Plan, PlanError};
use shell::{CouplingError, Mesh, Model, Section, Tie};
use thiserror::Error;

use super::change::{ExtraPlate, Sides};

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

/// A welded edge in a model.
#[derive(Debug, Clone, PartialEq)]
pub struct WeldedOn {
    /// Index of the plate.
    pub plate: usize,
    /// Index into the plate's welds.
    pub weld: usize,
    /// Along the edge, unit, in the model's axes.
    pub along: Vector3<f64>,
    /// Square to the edge and into the plate, in its plane, unit.
    pub into_plate: Vector3<f64>,
    /// Its nodes in order, each with its ties in the model: three movements, then two turns or three.
    pub nodes: Vec<(u32, Range<usize>)>,
}

/// Puts extra plates into a model whose first patches are the panels of the part, in their order, and says where their
/// welded edges are.
///
/// `pose` carries the part's axes to the model's. The plates are cut into triangles about `size_mm` across, each plate a
/// patch of its own after those that are there; the nodes of a welded edge follow the middle surface of the panel below
/// them as if on a stiff arm of half a thickness: welded along both sides in their turns too, on one side as a hinge along
/// the edge.
///
/// # Errors
/// [`WeldOnError`]; the model is then left half changed.
pub fn weld_on(
    model: &mut Model,
    plates: &[ExtraPlate],
    pose: &Isometry3<f64>,
    size_mm: f64,
) -> Result<Vec<WeldedOn>, WeldOnError> {
    let host = model.mesh.triangles.len();
    let mut welded = Vec::new();
    for (index, plate) in plates.iter().enumerate() {
        let edges = add_plate(&mut model.mesh, index, plate, pose, size_mm)?;
        let mut tied: Vec<u32> = Vec::new();
        for (at, weld) in plate.welds.iter().enumerate() {
            let (along, into_plate) =
                edge_ways(plate, weld.edge, pose).ok_or(WeldOnError::NoArea { plate: index })?;
            let mut nodes = Vec::new();
            for &node in &edges[weld.edge] {
                if tied.contains(&node) {
                    continue;
                }
                tied.push(node);
                let ties = tie_to_panel(&model.mesh, host, node, weld.to_panel)?;
                let ties = ties.ok_or(WeldOnError::NoPanel {
                    plate: index,
                    panel: weld.to_panel,
                })?;
                let first = model.ties.len();
                match weld.sides {
                    Sides::Both => model.ties.extend(ties),
                    Sides::One => model.ties.extend(hinged(ties, along)),
                }
                nodes.push((node, first..model.ties.len()));
            }
            welded.push(WeldedOn {
                plate: index,
                weld: at,
                along,
                into_plate,
                nodes,
            });
        }
    }
    Ok(welded)
}

/// Along an edge of a plate, and square to it into the plate, in the model's axes; none when the edge has no length.
fn edge_ways(plate: &ExtraPlate, edge: usize, pose: &Isometry3<f64>) -> Option<(Vector3<f64>, Vector3<f64>)> {
    let [from, to] = plate.edge(edge);
    let along = (to - from).try_normalize(plane::SAME_POINT_MM)?;
    let count = plate.corners.len() as f64;
    let middle = plate
        .corners
        .iter()
        .map(|corner| corner.coords)
        .sum::<Vector3<f64>>()
        / count;
    let inward = middle - from.coords;
    let into_plate = (inward - along * inward.dot(&along)).try_normalize(plane::SAME_POINT_MM)?;
    Some((pose * along, pose * into_plate))
}

/// Ties of a node that leave it free to turn about a direction, unit, against what it follows.
///
/// The node turns as what it follows and by an angle of its own more. Of the three turns the one most along the direction
/// is left free, and tells that angle; the others follow it in step.
fn hinged(ties: [Tie; 6], about: Vector3<f64>) -> Vec<Tie> {
    let free = about.iamax();
    let [x, y, z, turns @ ..] = ties;
    let own = turns[free].clone();
    let mut kept = vec![x, y, z];
    for (axis, mut tie) in turns.into_iter().enumerate() {
        if axis == free {
            continue;
        }
        let share = about[axis] / about[free];
        tie.follows.push((own.dof, share));
        tie.follows
            .extend(own.follows.iter().map(|(dof, part)| (*dof, -share * part)));
        kept.push(tie);
    }
    kept
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
    use crate::helps::shelf::Welding;
    use crate::helps::{HeldWeld, welds};
    use crate::weld::FilletStrength;
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
            welds: vec![WeldedEdge {
                edge: 0,
                to_panel: 0,
                sides: Sides::Both,
            }],
            welding: None,
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

    /// An upright plate on a built-in base, 3 N/mm on its top edge, along x, y and z in turn, and what its weld carries.
    fn upright(sides: Sides) -> [HeldWeld; 3] {
        let (long_mm, high_mm, size_mm) = (60.0, 10.0, 5.0);
        let foot = T_MM / 2.0;
        let corner = |x, z| Point3::new(x, WIDE_MM / 2.0, z);
        let plate = ExtraPlate {
            corners: vec![
                corner(20.0, foot),
                corner(20.0 + long_mm, foot),
                corner(20.0 + long_mm, foot + high_mm),
                corner(20.0, foot + high_mm),
            ],
            thickness_mm: T_MM,
            welds: vec![WeldedEdge {
                edge: 0,
                to_panel: 0,
                sides,
            }],
            welding: Some(Welding {
                leg_mm: 4.0,
                strength: FilletStrength {
                    mises_mpa: 170.0,
                    square_mpa: None,
                },
                beside: None,
            }),
        };
        let mut model = strip(6.0);
        let own = model.mesh.nodes.len() as u32;
        model.ties.extend((0..own).flat_map(shell::ties_fixing));
        let plates = [plate];
        let welded = weld_on(&mut model, &plates, &Isometry3::identity(), size_mm).expect("it stands");
        // One side does not hold it upright: something else does.
        let top: Vec<u32> = (own..model.mesh.nodes.len() as u32)
            .filter(|&node| (model.mesh.nodes[node as usize].z - foot - high_mm).abs() < 1e-9)
            .collect();
        [Vector3::x(), Vector3::y(), Vector3::z()].map(|way| {
            let mut model = model.clone();
            if sides == Sides::One {
                model.ties.extend(top.iter().map(|&node| {
                    shell::Tie::fixed(shell::Dof {
                        node,
                        axis: shell::Axis::Y,
                    })
                }));
            }
            let each = |node: u32| {
                let x = model.mesh.nodes[node as usize].x;
                let at_end = (x - 20.0).abs() < 1e-9 || (x - 20.0 - long_mm).abs() < 1e-9;
                let share = if at_end { 0.5 } else { 1.0 };
                let force = way * (3.0 * long_mm / (top.len() - 1) as f64 * share);
                (node, Vector6::new(force.x, force.y, force.z, 0.0, 0.0, 0.0))
            };
            let case = LoadCase {
                at_nodes: top.iter().map(|&node| each(node)).collect(),
                ..LoadCase::default()
            };
            let solution = shell::prepare(&model)
                .expect("it is held")
                .solve(&case)
                .expect("it carries the load");
            welds::tightest(&plates, &welded, &model.mesh, &solution, 5.0).expect("its weld is known")
        })
    }

    #[test]
    fn a_weld_holds_what_is_pushed_on_its_plate() {
        let [along, across, up] = upright(Sides::Both);
        println!("{along:?}\n{across:?}\n{up:?}");
        let throat_mm = 4.0 * std::f64::consts::FRAC_1_SQRT_2;
        // Along the weld: 3 N/mm on two throats, and the tipping moment of 10 mm, which pulls at one end.
        assert!(along.throat.along_mpa.abs() > 0.8 * 3.0 / (2.0 * throat_mm));
        // Across it: the moment of 10 mm makes a couple over the plate's thickness; the pull of it is far more than the push.
        let couple = 3.0 * 10.0 / T_MM;
        let (square, sheared) = (
            (couple + 1.5) / (std::f64::consts::SQRT_2 * throat_mm),
            (couple - 1.5) / (std::f64::consts::SQRT_2 * throat_mm),
        );
        let by_hand = square.hypot(3f64.sqrt() * sheared);
        assert!(
            (across.throat.mises_mpa() / by_hand - 1.0).abs() < 0.06,
            "{by_hand}"
        );
        // Pulled off: 1.5 N/mm on each throat, square to it and in it alike.
        let each = 1.5 / (std::f64::consts::SQRT_2 * throat_mm);
        assert!(
            (up.throat.mises_mpa() / (2.0 * each) - 1.0).abs() < 0.06,
            "{each}"
        );
        assert!((up.breaks_at * up.used - 5.0).abs() < 1e-9);
    }

    #[test]
    fn a_weld_on_one_side_is_not_bent_over() {
        let [_, across, up] = upright(Sides::One);
        println!("{across:?}\n{up:?}");
        let throat_mm = 4.0 * std::f64::consts::FRAC_1_SQRT_2;
        // All of the pull on one throat. Pushed at its top, where it is held, nothing comes to the weld.
        let each = 3.0 / (std::f64::consts::SQRT_2 * throat_mm);
        assert!(
            (up.throat.mises_mpa() / (2.0 * each) - 1.0).abs() < 0.06,
            "{each}"
        );
        assert!(across.throat.mises_mpa() < 0.01 * up.throat.mises_mpa());
    }

    #[test]
    fn a_plate_welded_to_nothing_is_refused() {
        let corner = |x, y| Point3::new(x, y, 2.0);
        let plate = ExtraPlate {
            corners: vec![corner(10.0, 10.0), corner(30.0, 10.0), corner(30.0, 30.0)],
            thickness_mm: T_MM,
            welds: vec![WeldedEdge {
                edge: 0,
                to_panel: 7,
                sides: Sides::Both,
            }],
            welding: None,
        };
        let error = weld_on(&mut strip(10.0), &[plate], &Isometry3::identity(), 10.0);
        assert_eq!(error, Err(WeldOnError::NoPanel { plate: 0, panel: 7 }));
    }
}
