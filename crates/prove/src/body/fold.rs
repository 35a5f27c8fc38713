//! Nodes of the blank carried to their places in the folded part.

use std::collections::BTreeMap;

use nalgebra::{Point3, UnitQuaternion, Vector3};
use plane::Point;
use sheet::{Bend, Part};
use shell::Mesh;
use shell::plan::{Beside, Filled};

use super::lines::{Drawing, Round};
use super::{Body, BodyError, BodyOptions, Patch, look, section};

/// No node.
const NONE: u32 = u32::MAX;

pub(super) fn folded(
    part: &Part,
    options: &BodyOptions,
    drawing: Drawing,
    mut filled: Filled,
) -> Result<Body, BodyError> {
    onto_circles(&drawing, &mut filled);
    let within_arcs = within_arcs(&drawing, &filled);
    let used = drop_unused(&mut filled);
    let within_arcs = used.iter().map(|&node| within_arcs[node as usize]).collect();
    let patches: Vec<Patch> = (0..part.panels.len())
        .map(Patch::Panel)
        .chain((0..part.bends.len()).map(Patch::Bend))
        .collect();
    let patch_of = patch_of(&filled, patches.len());
    for (index, panel) in part.panels.iter().enumerate() {
        if !filled.regions.contains(&(index as u32)) {
            return Err(BodyError::NothingLeft {
                panel: panel.name.clone(),
            });
        }
    }
    check_whole(part, &filled)?;
    let places: Vec<Place> = patches.iter().map(|&patch| Place::of(part, patch)).collect();
    let nodes = filled
        .nodes
        .iter()
        .zip(&patch_of)
        .map(|(&at, &patch)| places[patch as usize].folded(at))
        .collect();
    let mesh = Mesh {
        nodes,
        section_of: vec![0; filled.triangles.len()],
        triangles: filled.triangles,
        patches: filled.regions,
        sections: vec![section(part, options)],
    };
    let edges = look::edges(&mesh);
    let seams = look::seams(part, &filled.nodes, &patch_of, &edges);
    let rims = look::rims(part, &drawing, &filled.chains);
    Ok(Body {
        mesh,
        blank_at: filled.nodes,
        patches,
        patch_of,
        within_arcs,
        rims,
        edges,
        seams,
        slivers: filled.slivers,
        rings_left_out: drawing.rings_left_out,
    })
}

/// A triangle is no flatter than this once a node of it was moved: twice its area over the square of its longest edge, which
/// is 0.87 where all edges are as long. An angle of some 3 degrees; common practice, no source.
const FLATTEST: f64 = 0.05;

/// Moves nodes that were put on the chords of arcs out to the arcs: less than the arc stands over half a chord. Where what
/// lies beside the arc is nearer than that, and a triangle between them would be turned over or next to nothing, the node
/// stays on its chord.
fn onto_circles(drawing: &Drawing, filled: &mut Filled) {
    let points = drawing.plan.points.len();
    let mut moving: BTreeMap<u32, (Round, Vec<[u32; 3]>)> = BTreeMap::new();
    for (chain, round) in filled.chains.iter().zip(&drawing.round) {
        let Some(round) = round else { continue };
        let added = chain.left.iter().chain(&chain.right);
        for &node in added.filter(|&&node| node as usize >= points) {
            moving.insert(node, (*round, Vec::new()));
        }
    }
    for triangle in &filled.triangles {
        for node in triangle {
            if let Some((_, about)) = moving.get_mut(node) {
                about.push(*triangle);
            }
        }
    }
    for (node, (round, about)) in moving {
        let on_chord = filled.nodes[node as usize];
        let out = on_chord - round.centre;
        if out.norm() == 0.0 {
            continue;
        }
        filled.nodes[node as usize] = round.centre + out * (round.radius_mm / out.norm());
        let on_circle = filled.nodes[node as usize];
        let with = |place: Point, triangle: &[u32; 3]| {
            flatness(triangle.map(|other| {
                if other == node {
                    place
                } else {
                    filled.nodes[other as usize]
                }
            }))
        };
        let worse = |triangle: &[u32; 3]| with(on_circle, triangle) < FLATTEST.min(with(on_chord, triangle));
        if about.iter().any(worse) {
            filled.nodes[node as usize] = on_chord;
        }
    }
}

/// Twice the area of a triangle over the square of its longest edge; below 0 where it runs clockwise.
fn flatness([a, b, c]: [Point; 3]) -> f64 {
    let edges = [b - a, c - b, a - c];
    let longest = edges
        .iter()
        .map(|edge| edge.norm_squared())
        .fold(f64::MIN_POSITIVE, f64::max);
    (b - a).perp(&(c - a)) / longest
}

/// For each node, whether it lies within an arc of the rim: between its ends, be it on one of its chords or where two meet.
fn within_arcs(drawing: &Drawing, filled: &Filled) -> Vec<bool> {
    let mut within = vec![false; filled.nodes.len()];
    let mut ends: BTreeMap<u32, Vec<Option<Round>>> = BTreeMap::new();
    for ((line, chain), round) in drawing.plan.lines.iter().zip(&filled.chains).zip(&drawing.round) {
        let is_rim = line.left == Beside::Nothing || line.right == Beside::Nothing || line.is_cut;
        if !is_rim {
            continue;
        }
        for end in [line.from, line.to] {
            ends.entry(end).or_default().push(*round);
        }
        let points = drawing.plan.points.len();
        let added = chain.left.iter().chain(&chain.right);
        for &node in added.filter(|&&node| node as usize >= points && round.is_some()) {
            within[node as usize] = true;
        }
    }
    for (node, rounds) in ends {
        within[node as usize] = matches!(rounds[..], [Some(one), Some(other)] if one == other);
    }
    within
}

/// Leaves out nodes that no triangle touches; gives the others by the numbers they had.
fn drop_unused(filled: &mut Filled) -> Vec<u32> {
    let mut number = vec![NONE; filled.nodes.len()];
    for &node in filled.triangles.iter().flatten() {
        number[node as usize] = 0;
    }
    let mut used = Vec::with_capacity(filled.nodes.len());
    for (node, number) in (0u32..).zip(&mut number).filter(|(_, number)| **number == 0) {
        *number = used.len() as u32;
        used.push(node);
    }
    filled.nodes = used.iter().map(|&node| filled.nodes[node as usize]).collect();
    for triangle in &mut filled.triangles {
        *triangle = triangle.map(|node| number[node as usize]);
    }
    for chain in &mut filled.chains {
        for node in chain.left.iter_mut().chain(&mut chain.right) {
            *node = number[*node as usize];
        }
    }
    used
}

/// The lowest patch at each node: panels come before bends.
fn patch_of(filled: &Filled, none: usize) -> Vec<u32> {
    let mut patch_of = vec![none as u32; filled.nodes.len()];
    for (triangle, &region) in filled.triangles.iter().zip(&filled.regions) {
        for &node in triangle {
            let patch = &mut patch_of[node as usize];
            *patch = region.min(*patch);
        }
    }
    patch_of
}

/// All triangles must hang together.
fn check_whole(part: &Part, filled: &Filled) -> Result<(), BodyError> {
    let mut root: Vec<u32> = (0..filled.nodes.len() as u32).collect();
    fn find(root: &mut [u32], mut node: u32) -> u32 {
        while root[node as usize] != node {
            root[node as usize] = root[root[node as usize] as usize];
            node = root[node as usize];
        }
        node
    }
    for &[a, b, c] in &filled.triangles {
        let first = find(&mut root, a);
        for other in [b, c] {
            let other = find(&mut root, other);
            let first = find(&mut root, first);
            root[other.max(first) as usize] = other.min(first);
        }
    }
    let mut pieces: Vec<(u32, Vec<String>)> = Vec::new();
    for (triangle, &region) in filled.triangles.iter().zip(&filled.regions) {
        let piece = find(&mut root, triangle[0]);
        let Some(panel) = part.panels.get(region as usize) else {
            continue;
        };
        let names = match pieces.iter().position(|(root, _)| *root == piece) {
            Some(found) => &mut pieces[found].1,
            None => {
                pieces.push((piece, Vec::new()));
                let last = pieces.len() - 1;
                &mut pieces[last].1
            }
        };
        if !names.contains(&panel.name) {
            names.push(panel.name.clone());
        }
    }
    if pieces.len() == 1 {
        return Ok(());
    }
    Err(BodyError::InPieces {
        pieces: pieces.into_iter().map(|(_, names)| names).collect(),
    })
}

/// How a patch of the blank stands in the folded part.
enum Place<'a> {
    Flat {
        panel: &'a sheet::Panel,
        middle_mm: f64,
    },
    Rolled {
        bend: &'a Bend,
        /// On the blank, what the axis stands over.
        over: Point,
        /// Square to the axis, out to the fixed tangent line.
        start: Vector3<f64>,
        middle_radius_mm: f64,
    },
}

impl<'a> Place<'a> {
    fn of(part: &'a Part, patch: Patch) -> Place<'a> {
        match patch {
            Patch::Panel(panel) => {
                let [far_mm, near_mm] = part.z_range();
                Place::Flat {
                    panel: &part.panels[panel],
                    middle_mm: (far_mm + near_mm) / 2.0,
                }
            }
            Patch::Bend(bend) => {
                let bend = &part.bends[bend];
                let out = Vector3::z() * -bend.way.sign();
                Place::Rolled {
                    bend,
                    over: bend
                        .strips
                        .first()
                        .map_or(Point::origin(), |strip| strip.fixed[0]),
                    start: part.panels[bend.fixed].to_folded.rotation * out,
                    middle_radius_mm: bend.radius_mm + part.thickness_mm / 2.0,
                }
            }
        }
    }

    fn folded(&self, at: Point) -> Point3<f64> {
        match *self {
            Place::Flat { panel, middle_mm } => {
                let at = at - panel.to_blank;
                panel.to_folded * Point3::new(at.x, at.y, middle_mm)
            }
            Place::Rolled {
                bend,
                over,
                start,
                middle_radius_mm,
            } => {
                let out = at - over;
                let turn_rad = bend.way.sign() * bend.bent_rad * bend.along.perp(&out) / bend.allowance_mm;
                let spoke = UnitQuaternion::from_axis_angle(&bend.axis, turn_rad) * start;
                bend.axis_at + bend.axis.into_inner() * bend.along.dot(&out) + spoke * middle_radius_mm
            }
        }
    }
}
