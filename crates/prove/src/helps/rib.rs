//! Plates welded on: gussets across a bend, bars on edge along a panel.

use nalgebra::{Point3, Vector3};
use plane::{Place, Point, Segment, Vector};
use sheet::{Part, Way};

use super::change::{Bar, CannotChange, Change, ExtraPlate, Gussets, Sides, WeldedEdge};
use super::edge::{FreeEdge, along, right_of};
use super::lip::face_mm;
use super::room::Room;
use super::shelf::Welding;

/// A gusset's corner is cut off so that it stands clear of the bend, mm past the tangent lines; common practice, no
/// source.
const SNIPE_MM: f64 = 2.0;
/// A gusset shorter than this along either panel does nothing, mm.
const LEAST_LEG_MM: f64 = 10.0;
/// The longest leg tried, mm.
const LONGEST_LEG_MM: f64 = 90.0;
/// Shares of the room along the panels that are tried.
const LEGS: [f64; 3] = [0.4, 0.65, 0.95];
/// Bends through less than this leave no corner to stiffen, through more none to reach into: 20 and 140 degrees.
const BENT_RAD: [f64; 2] = [0.35, 2.44];
/// Heights of bars that are tried, thicknesses, as common flat bar comes; common practice, no source.
const BAR_HEIGHTS: [f64; 2] = [3.0, 5.0];

/// The plates of a set of gussets, in the part's axes.
pub(super) fn gusset_plates(
    part: &Part,
    room: &Room,
    gussets: &Gussets,
    welding: Option<Welding>,
) -> Result<Vec<ExtraPlate>, CannotChange> {
    let bend = part.bends.get(gussets.bend).ok_or(CannotChange::NotThere)?;
    if !(BENT_RAD[0]..=BENT_RAD[1]).contains(&bend.bent_rad) {
        return Err(CannotChange::NoInside {
            bend: bend.name.clone(),
        });
    }
    let plate = |&share: &f64| {
        let corner = Corner::of(part, gussets.bend, share).ok_or(CannotChange::NotThere)?;
        let mut corners = Vec::new();
        for (side, leg_mm) in corner.sides.iter().zip(gussets.legs_mm) {
            if leg_mm < LEAST_LEG_MM {
                return Err(CannotChange::NoRoom {
                    panel: part.panels[side.panel].name.clone(),
                });
            }
            let line = [
                side.card_at + side.card_way * SNIPE_MM,
                side.card_at + side.card_way * leg_mm,
            ];
            if !room.has_weld(part, side.panel, line) {
                return Err(CannotChange::NoRoom {
                    panel: part.panels[side.panel].name.clone(),
                });
            }
            corners.extend([side.at + side.way * SNIPE_MM, side.at + side.way * leg_mm]);
        }
        // Along one leg outward, over to the other's tip, and back along it.
        corners.swap(2, 3);
        let [fixed, moving] = [0, 1].map(|side| corner.sides[side].panel);
        Ok(ExtraPlate {
            corners,
            thickness_mm: part.thickness_mm,
            welds: vec![
                WeldedEdge {
                    edge: 0,
                    to_panel: fixed,
                    sides: Sides::Both,
                },
                WeldedEdge {
                    edge: 2,
                    to_panel: moving,
                    sides: Sides::Both,
                },
            ],
            welding,
        })
    };
    gussets.at.iter().map(plate).collect()
}

/// The inside corner of a bend at one place along it.
struct Corner {
    /// The fixed panel's side, then the moving one's.
    sides: [Side; 2],
}

struct Side {
    panel: usize,
    /// On the card: the tangent line, and away from the bend.
    card_at: Point,
    card_way: Vector,
    /// In the folded part, on the inside face.
    at: Point3<f64>,
    way: Vector3<f64>,
}

impl Corner {
    fn of(part: &Part, bend: usize, share: f64) -> Option<Self> {
        let held = &part.bends[bend];
        // A window may part the bend: the gusset stands in the longest run.
        let long = |index: &usize| {
            let strip = &held.strips[*index];
            (strip.fixed[1] - strip.fixed[0]).norm()
        };
        let strip = (0..held.strips.len()).max_by(|a, b| long(a).total_cmp(&long(b)))?;
        let ends = &held.strips[strip];
        // Both sides square across from one place of the bend, where the strip's sides lean.
        let along_mm = |at: Point| held.along.dot(&at.coords);
        let reach = |pick: fn(f64, f64) -> f64, end: usize| {
            pick(along_mm(ends.fixed[end]), along_mm(ends.moving[end]))
        };
        let (low, high) = (reach(f64::max, 0), reach(f64::min, 1));
        let place_mm = low + (high - low) * share;
        let left = -right_of(held.along);
        let height_mm = face_mm(part, held.way);
        let side = |line: [Point; 2], panel: usize, way: Vector| {
            let on_blank = line[0] + held.along * (place_mm - along_mm(line[0]));
            let card_at = on_blank - part.panels[panel].to_blank;
            Side {
                panel,
                card_at,
                card_way: way,
                at: part.folded_point(panel, card_at, height_mm),
                way: part.panels[panel].to_folded.rotation * way.push(0.0),
            }
        };
        (high > low).then(|| Self {
            sides: [
                side(ends.fixed, held.fixed, -left),
                side(ends.moving, held.moving, left),
            ],
        })
    }
}

/// A bar on edge, in the part's axes.
pub(super) fn bar_plate(
    part: &Part,
    room: &Room,
    bar: &Bar,
    welding: Option<Welding>,
) -> Result<ExtraPlate, CannotChange> {
    let middle = nalgebra::center(&bar.line[0], &bar.line[1]);
    let panel = part.panel_at(middle).ok_or(CannotChange::NotThere)?;
    if !room.has_weld(part, panel, bar.line) {
        return Err(CannotChange::NoRoom {
            panel: part.panels[panel].name.clone(),
        });
    }
    let foot_mm = face_mm(part, bar.way);
    let tip_mm = foot_mm + bar.way.sign() * bar.height_mm;
    let [from, to] = bar.line;
    let corners = [(from, foot_mm), (to, foot_mm), (to, tip_mm), (from, tip_mm)];
    Ok(ExtraPlate {
        corners: corners
            .map(|(at, height_mm)| part.folded_point(panel, at, height_mm))
            .to_vec(),
        thickness_mm: part.thickness_mm,
        welds: vec![WeldedEdge {
            edge: 0,
            to_panel: panel,
            sides: Sides::Both,
        }],
        welding,
    })
}

/// Gussets in every bend that has an inside: at its middle, near either end, and near both.
pub(super) fn gusset_candidates(part: &Part, room: &Room) -> Vec<Change> {
    let mut found = Vec::new();
    for (bend, held) in part.bends.iter().enumerate() {
        let length_mm = held
            .strips
            .iter()
            .map(|strip| (strip.fixed[1] - strip.fixed[0]).norm())
            .fold(0.0, f64::max);
        // A weld's room from the bend's end, and the plate's own half.
        let end = ((1.5 * part.thickness_mm + 3.0) / length_mm).min(0.5);
        let mut places = vec![vec![0.5]];
        if end < 0.35 {
            places.extend([vec![end], vec![1.0 - end], vec![end, 1.0 - end]]);
        }
        for at in places {
            let most = room_for_legs(part, room, bend, &at);
            let mut told = [0.0; 2];
            for share in LEGS {
                let legs_mm = most.map(|most_mm| (most_mm * share).min(LONGEST_LEG_MM));
                if legs_mm.iter().any(|leg_mm| *leg_mm < LEAST_LEG_MM) || legs_mm == told {
                    continue;
                }
                told = legs_mm;
                found.push(Change::Gussets(Gussets {
                    bend,
                    at: at.clone(),
                    legs_mm,
                }));
            }
        }
    }
    found
}

/// How long the legs of gussets at all these places can be.
fn room_for_legs(part: &Part, room: &Room, bend: usize, at: &[f64]) -> [f64; 2] {
    /// Steps in which the room is felt out, mm.
    const STEP_MM: f64 = 2.5;
    let mut most = [LONGEST_LEG_MM / LEGS[2]; 2];
    for &share in at {
        let Some(corner) = Corner::of(part, bend, share) else {
            return [0.0; 2];
        };
        for (most_mm, side) in most.iter_mut().zip(&corner.sides) {
            let steps = (*most_mm / STEP_MM) as usize;
            let holds = |step: &usize| {
                let leg_mm = *step as f64 * STEP_MM;
                leg_mm <= SNIPE_MM
                    || room.has_weld(
                        part,
                        side.panel,
                        [
                            side.card_at + side.card_way * SNIPE_MM,
                            side.card_at + side.card_way * leg_mm,
                        ],
                    )
            };
            *most_mm = (1..=steps).take_while(holds).count() as f64 * STEP_MM;
        }
    }
    most
}

/// Bars along the free edges, on either face.
pub(super) fn bar_candidates(part: &Part, edges: &[FreeEdge]) -> Vec<Change> {
    let t_mm = part.thickness_mm;
    let mut found = Vec::new();
    for edge in edges {
        // Room for a fillet on the outer side too.
        let in_mm = t_mm;
        let off = edge.out() * -in_mm;
        let line = edge.ends.map(|end| end + off);
        for way in [Way::Up, Way::Down] {
            for height in BAR_HEIGHTS {
                found.push(Change::Bar(Bar {
                    line,
                    way,
                    height_mm: height * t_mm,
                }));
            }
        }
    }
    found
}

/// Whether a line of a panel lies in its flat.
pub(super) fn lies_in(part: &Part, panel: usize, line: [Point; 2]) -> bool {
    let flat = &part.panels[panel].flat.outer;
    if line.iter().any(|&end| flat.place_of(end) != Place::Inside) || along(line).norm() == 0.0 {
        return false;
    }
    let line = Segment::line(line[0], line[1]);
    flat.segments().all(|edge| edge.meetings(&line).is_empty())
}
