//! Lips: an extra bend along a free edge, alone, in pairs, and closed to a box.
//!
//! The bend starts just outside the old edge, not inside it: set back into the plate it would take its ends' reliefs, as
//! deep as the set-back and the radius, out of the very strip that it is to stiffen. The panel grows wider by the
//! set-back instead.

use std::f64::consts::FRAC_PI_2;

use nalgebra::Point3;
use plane::Point;
use sheet::{Crease, Face, Mockup, Part, Relief, set_back_mm};

use super::card::with_flap;
use super::change::{CannotChange, Change, ExtraPlate, Lip, Sides, WeldedEdge};
use super::edge::{FreeEdge, along, right_of};
use super::shelf::Stock;

/// From the old edge to where the bend begins, thicknesses: the relief at the lip's ends, room for a fillet.
const CLEAR: f64 = 1.0;
/// The fillet, as a share of that, so that the bend surely ends at the lip's own straight sides.
const FILLET: f64 = 0.9;
/// Beside an edge: far over rounding, far under a strip.
const BESIDE_MM: f64 = 1.0;
/// Round of a lip's outer corners, mm, where it has room; common practice, no source.
const CORNER_MM: f64 = 5.0;
/// A crease is drawn past the lip's sides by this.
const DRAWN_PAST_MM: f64 = 1.0;
/// Legs tried, in least legs.
const LEGS: [f64; 3] = [1.0, 1.5, 2.2];
/// Lips of a pair face each other within this: 30 degrees.
const FACING: f64 = -0.866;
/// From the lips' edges down to the strip that closes them there is room for the leg of a fillet, and at least this many
/// thicknesses.
const LEAST_BELOW_TIP: f64 = 0.5;

/// What the plate says of a lip.
struct Plan {
    set_back_mm: f64,
    /// From the old edge to the crease.
    crease_mm: f64,
    /// From the old edge to the inside face of the bent lip.
    inside_mm: f64,
    /// From the old edge to the lip's edge, on the card.
    out_mm: f64,
}

impl Plan {
    fn of(lip: &Lip, stock: &Stock, lines_on: Face) -> Self {
        let t_mm = stock.thickness_mm;
        let face_mm = lines_on.off_inside_mm(lip.way, t_mm);
        let set_back_mm = set_back_mm(FRAC_PI_2, stock.radius_mm, face_mm);
        let crease_mm = set_back_mm + CLEAR * t_mm;
        Self {
            set_back_mm,
            crease_mm,
            inside_mm: crease_mm - face_mm,
            out_mm: crease_mm + lip.leg_mm - (t_mm - face_mm),
        }
    }
}

/// By how much a lip moves the edge of its panel's flat out, and how far its inside face lies from the old edge, mm.
pub(super) fn reach_mm(lip: &Lip, stock: &Stock, lines_on: Face) -> [f64; 2] {
    let plan = Plan::of(lip, stock, lines_on);
    [plan.crease_mm - plan.set_back_mm, plan.inside_mm]
}

/// Bends a lip out of a card.
pub(super) fn add(mockup: &mut Mockup, lip: &Lip, stock: &Stock) -> Result<(), CannotChange> {
    // Hands measure no finer than this; a lip of exactly the least leg is one.
    const SAME_LENGTH_MM: f64 = 1e-6;
    if lip.leg_mm < stock.least_leg_mm - SAME_LENGTH_MM {
        return Err(CannotChange::LipTooShort {
            leg_mm: lip.leg_mm,
            least_mm: stock.least_leg_mm,
        });
    }
    let plan = Plan::of(lip, stock, mockup.lines_on);
    mockup.outline = with_flap(
        &mockup.outline,
        lip.edge,
        plan.out_mm,
        CORNER_MM,
        FILLET * CLEAR * stock.thickness_mm,
    )?;
    let way = along(lip.edge);
    let off = right_of(way) * plan.crease_mm;
    let name = (1..).map(|count| format!("lip {count}"));
    let free = |name: &String| mockup.creases.iter().all(|crease| crease.name != *name);
    // Lips are few, so a free name is near.
    let Some(name) = name.take(mockup.creases.len() + 1).find(free) else {
        return Err(CannotChange::NotThere);
    };
    mockup.creases.push(Crease {
        name,
        from: lip.edge[0] + off - way * DRAWN_PAST_MM,
        to: lip.edge[1] + off + way * DRAWN_PAST_MM,
        bent_rad: FRAC_PI_2,
        way: lip.way,
        radius_mm: stock.radius_mm,
        neutral_share: stock.neutral_share,
        relief: Relief::Auto {
            least_width_mm: stock.thickness_mm,
        },
    });
    Ok(())
}

/// The strip that closes two lips, in between them and flush with their edges.
pub(super) fn closing_strip(part: &Part, lips: &[Lip; 2], stock: &Stock) -> Result<ExtraPlate, CannotChange> {
    let panel = part
        .panel_at(inside(lips[0].edge))
        .ok_or(CannotChange::NotThere)?;
    let to_panels = [0, 1].map(|index| {
        let lip: &Lip = &lips[index];
        let plan = Plan::of(lip, stock, part.lines_on);
        let on_lip = nalgebra::center(&lip.edge[0], &lip.edge[1])
            + right_of(along(lip.edge)) * ((plan.crease_mm + plan.out_mm) / 2.0);
        part.panel_at(on_lip)
    });
    let [Some(first), Some(second)] = to_panels else {
        return Err(CannotChange::NotThere);
    };
    let t_mm = stock.thickness_mm;
    let sign = lips[0].way.sign();
    let face_mm = face_mm(part, lips[0].way);
    let leg_mm = stock.welding.map_or(0.0, |welding| welding.leg_mm);
    let below_tip_mm = leg_mm.max(LEAST_BELOW_TIP * t_mm) + t_mm / 2.0;
    let height_mm = face_mm + sign * (lips[0].leg_mm - t_mm - below_tip_mm);
    let corners = lips.iter().flat_map(|lip| {
        let plan = Plan::of(lip, stock, part.lines_on);
        let off = right_of(along(lip.edge)) * plan.inside_mm;
        let round = along(lip.edge) * CORNER_MM;
        [lip.edge[0] + off + round, lip.edge[1] + off - round]
    });
    let corners: Vec<Point3<f64>> = corners
        .map(|at| part.folded_point(panel, at, height_mm))
        .collect();
    Ok(ExtraPlate {
        corners,
        thickness_mm: t_mm,
        welds: vec![
            WeldedEdge {
                edge: 0,
                to_panel: first,
                sides: Sides::One,
            },
            WeldedEdge {
                edge: 2,
                to_panel: second,
                sides: Sides::One,
            },
        ],
        welding: stock.welding,
    })
}

/// Height of the face on the inside of a bend of this way, above the face that the lines are on.
pub(super) fn face_mm(part: &Part, way: sheet::Way) -> f64 {
    let [far_mm, marked_mm] = part.z_range();
    match way {
        sheet::Way::Up => marked_mm,
        sheet::Way::Down => far_mm,
    }
}

/// A point of the panel beside the middle of its edge.
fn inside(edge: [Point; 2]) -> Point {
    nalgebra::center(&edge[0], &edge[1]) - right_of(along(edge)) * BESIDE_MM
}

/// Lips on each edge, and pairs of lips on edges that face each other, open and closed.
pub(super) fn candidates(edges: &[FreeEdge], stock: &Stock) -> Vec<Change> {
    let mut found = Vec::new();
    let lip = |edge: &FreeEdge, way, legs: f64| Lip {
        edge: edge.ends,
        way,
        leg_mm: stock.least_leg_mm * legs,
    };
    for edge in edges {
        for way in [sheet::Way::Up, sheet::Way::Down] {
            found.extend(LEGS.map(|legs| Change::Lip(lip(edge, way, legs))));
        }
    }
    for (index, first) in edges.iter().enumerate() {
        for second in &edges[index + 1..] {
            if !face_each_other(first, second) {
                continue;
            }
            for way in [sheet::Way::Up, sheet::Way::Down] {
                for legs in [LEGS[0], LEGS[1]] {
                    let lips = [lip(first, way, legs), lip(second, way, legs)];
                    found.extend([Change::Channel(lips), Change::Closed(lips)]);
                }
            }
        }
    }
    found
}

/// Both along one panel, running against each other, with at least half of the shorter one across from the other.
fn face_each_other(first: &FreeEdge, second: &FreeEdge) -> bool {
    if first.panel != second.panel || first.along().dot(&second.along()) > FACING {
        return false;
    }
    let way = first.along();
    let off = |at: Point| way.dot(&(at - first.ends[0]));
    let (low, high) = (off(second.ends[1]), off(second.ends[0]));
    let across_mm = high.min(first.length_mm()) - low.max(0.0);
    across_mm > 0.5 * first.length_mm().min(second.length_mm())
        && (second.middle() - first.middle()).dot(&first.out()) < 0.0
}
