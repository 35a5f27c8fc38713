//! Where on the panels there is room: clear of holes, heads and washers, and of other metal.

use nalgebra::Point3;
use plane::{Place, Point, SAME_POINT_MM, Segment};
use sheet::Part;

use super::change::{CannotChange, ExtraPlate};
use super::rib::lies_in;
use crate::bracket::Bracket;
use crate::load::At;

/// From a weld to the edge of an opening or of the washer on it, thicknesses; common practice, no source.
const WELD_CLEAR: f64 = 1.0;
/// Ends of new metal that touch what they are welded to are looked at this far in, mm.
const TOUCH_MM: f64 = 0.5;

/// What lies about each opening.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Room {
    /// Openings that hold the part, or what it carries, in order.
    pub in_use: Vec<usize>,
    /// For each opening, how far what presses round it reaches past its edge, mm.
    reach_mm: Vec<f64>,
}

impl Room {
    pub fn of(bracket: &Bracket<'_>) -> Self {
        let mut in_use = Vec::new();
        let mut reach_mm = vec![0.0; bracket.part.openings.len()];
        let mut keep = |opening: usize, outside_mm: f64| {
            in_use.push(opening);
            let across_mm = bracket
                .part
                .openings
                .get(opening)
                .and_then(|opening| opening.shape.outline().ok());
            if let (Some(edge), Some(reach_mm)) = (across_mm, reach_mm.get_mut(opening)) {
                let (low, high) = edge.bounds();
                let least_mm = (high - low).min();
                *reach_mm = ((outside_mm - least_mm) / 2.0).max(*reach_mm);
            }
        };
        for mount in &bracket.mounts {
            keep(mount.opening, mount.shape.face_mm.max(mount.seat_mm));
        }
        if let Some(support) = &bracket.support {
            for &opening in &support.openings {
                keep(opening, support.washer_mm);
            }
        }
        for load in &bracket.loads {
            if let At::Openings(openings) = &load.at {
                for &opening in openings {
                    keep(opening, 0.0);
                }
            }
        }
        in_use.sort_unstable();
        in_use.dedup();
        Self { in_use, reach_mm }
    }

    /// The same for a part whose openings have changed places.
    pub fn now(&self, openings_now: &[Option<usize>]) -> Self {
        let count = openings_now
            .iter()
            .flatten()
            .map(|now| now + 1)
            .max()
            .unwrap_or(0);
        let mut reach_mm = vec![0.0; count];
        for (before, now) in openings_now.iter().enumerate() {
            if let (Some(now), Some(reach)) = (now, self.reach_mm.get(before)) {
                reach_mm[*now] = *reach;
            }
        }
        let in_use = self
            .in_use
            .iter()
            .filter_map(|&opening| openings_now.get(opening).copied().flatten());
        Self {
            in_use: in_use.collect(),
            reach_mm,
        }
    }

    /// Whether a plate can be welded on along a line of a panel: within its flat, clear of openings and of what presses
    /// round them.
    pub fn has_weld(&self, part: &Part, panel: usize, line: [Point; 2]) -> bool {
        if (line[1] - line[0]).norm() <= SAME_POINT_MM || !lies_in(part, panel, line) {
            return false;
        }
        let line = Segment::line(line[0], line[1]);
        let clear_mm = WELD_CLEAR * part.thickness_mm;
        part.panels[panel].openings.iter().all(|&opening| {
            let reach_mm = self.reach_mm.get(opening).copied().unwrap_or(0.0);
            let Ok(edge) = part.openings[opening].shape.outline() else {
                return false;
            };
            let apart_mm = edge
                .segments()
                .map(|side| side.distance_between(&line).0)
                .fold(f64::INFINITY, f64::min);
            apart_mm >= reach_mm + clear_mm && !edge.contains(line.from())
        })
    }
}

/// Refuses new panels that run through other panels, and extra plates that run through any.
pub(super) fn check_clear(part: &Part, new: &[usize], extra: &[ExtraPlate]) -> Result<(), CannotChange> {
    let beside = |a: usize, b: usize| {
        part.bends
            .iter()
            .any(|bend| [bend.fixed, bend.moving] == [a, b] || [bend.moving, bend.fixed] == [a, b])
    };
    let rims: Vec<Vec<Point3<f64>>> = (0..part.panels.len()).map(|panel| rim(part, panel)).collect();
    for &new in new {
        let others = (0..part.panels.len()).filter(|&other| other != new && !beside(new, other));
        for other in others {
            if pierces(&rims[new], part, other) || pierces(&rims[other], part, new) {
                return Err(clash(part, other));
            }
        }
    }
    for plate in extra {
        let drawn_in = drawn_in(&plate.corners);
        if let Some(panel) = (0..part.panels.len()).find(|&panel| pierces(&drawn_in, part, panel)) {
            return Err(clash(part, panel));
        }
    }
    Ok(())
}

fn clash(part: &Part, panel: usize) -> CannotChange {
    CannotChange::Clash {
        panel: part.panels[panel].name.clone(),
    }
}

/// The corners of a panel's flat on its middle surface.
fn rim(part: &Part, panel: usize) -> Vec<Point3<f64>> {
    /// A round edge counts as straight to this, mm.
    const ROUND_MM: f64 = 0.5;
    let [far_mm, marked_mm] = part.z_range();
    let points = part.panels[panel].flat.outer.flattened(ROUND_MM);
    points
        .into_iter()
        .map(|at| part.folded_point(panel, at, (far_mm + marked_mm) / 2.0))
        .collect()
}

/// Corners drawn toward their middle, so that welded edges do not count as meeting.
fn drawn_in(corners: &[Point3<f64>]) -> Vec<Point3<f64>> {
    let middle = corners.iter().map(|at| at.coords).sum::<nalgebra::Vector3<f64>>() / corners.len() as f64;
    corners
        .iter()
        .map(|at| {
            let toward = middle - at.coords;
            at + toward * (TOUCH_MM / toward.norm()).min(0.5)
        })
        .collect()
}

/// Whether a closed line passes through a panel.
fn pierces(line: &[Point3<f64>], part: &Part, panel: usize) -> bool {
    let held = &part.panels[panel];
    let back = held.to_folded.inverse();
    let [far_mm, marked_mm] = part.z_range();
    let middle_mm = (far_mm + marked_mm) / 2.0;
    let seen: Vec<Point3<f64>> = line.iter().map(|at| back * at).collect();
    (0..seen.len()).any(|index| {
        let (from, to) = (seen[index], seen[(index + 1) % seen.len()]);
        let (below, above) = (from.z - middle_mm, to.z - middle_mm);
        if below * above >= 0.0 {
            return false;
        }
        let at = from + (to - from) * (below / (below - above));
        held.flat.place_of(at.xy()) != Place::Outside
    })
}
