//! Bolts: moved along their slots, and further ones where the equipment takes them.

use plane::{Place, Point, Vector};
use sheet::{Mockup, Opening, OpeningShape, Part};

use super::change::{CannotChange, Change};
use super::shelf::{FreeMount, Shelf};
use crate::bracket::{Bracket, Mount};

/// Steps by which a bolt is moved along its slot, mm.
const STEPS_MM: [f64; 2] = [-8.0, 8.0];
/// A panel lies flat on a seat within this angle: 1 degree.
const FLAT: f64 = 0.999_848;
/// And within this distance, mm: what a bolt draws down.
const SEATED_MM: f64 = 0.5;
/// From a new hole's middle to the plate's edge, hole diameters; EN 1993-1-8 table 3.3 asks for 1.2.
const EDGE_PER_HOLE: f64 = 1.2;

/// Where on the card a further mount comes, and the opening it needs.
pub(super) fn add(
    mockup: &mut Mockup,
    bracket: &Bracket<'_>,
    free: &FreeMount,
) -> Result<Mount, CannotChange> {
    let part = bracket.part;
    let off_seat = || CannotChange::OffSeat {
        mount: free.mount.name.clone(),
    };
    let back = bracket.pose.inverse();
    let (at, axis) = (back * free.at, back.rotation * free.mount.axis.into_inner());
    let [far_mm, marked_mm] = part.z_range();
    let place = part.panels.iter().find_map(|panel| {
        let seen = panel.to_folded.inverse() * at;
        let out = panel.to_folded.rotation.inverse() * axis;
        // The seat is under the far face when the bolt's head is on the marked side.
        let face_mm = if out.z > 0.0 { far_mm } else { marked_mm };
        let flat = out.z.abs() >= FLAT && (seen.z - face_mm).abs() <= SEATED_MM;
        let room_mm = EDGE_PER_HOLE * free.hole_mm;
        (flat && panel.flat.place_of(seen.xy()) == Place::Inside && edge_mm(panel, seen.xy()) >= room_mm)
            .then_some(seen.xy())
    });
    let at = place.ok_or_else(off_seat)?;
    mockup.openings.push(Opening {
        name: free.mount.name.clone(),
        shape: OpeningShape::Round {
            at,
            dia_mm: free.hole_mm,
        },
    });
    Ok(Mount {
        opening: mockup.openings.len() - 1,
        ..free.mount.clone()
    })
}

fn edge_mm(panel: &sheet::Panel, at: Point) -> f64 {
    panel
        .flat
        .outlines()
        .map(|outline| outline.distance_to(at).0)
        .fold(f64::INFINITY, f64::min)
}

/// Moves an opening.
pub(super) fn shift(mockup: &mut Mockup, opening: usize, by: Vector) -> Result<(), CannotChange> {
    let opening = mockup.openings.get_mut(opening).ok_or(CannotChange::NotThere)?;
    opening.shape = opening.shape.slid(by);
    Ok(())
}

/// Bolts in slots either way, and every mount that is not used.
pub(super) fn candidates(bracket: &Bracket<'_>, shelf: &Shelf) -> Vec<Change> {
    let mut found = Vec::new();
    for mount in &bracket.mounts {
        let Some((slides, way)) = mount
            .slides
            .and_then(|way| Some((way, card_way(bracket, mount, &way)?)))
        else {
            continue;
        };
        debug_assert!(slides.norm() > 0.0, "a direction has length");
        found.extend(STEPS_MM.map(|by_mm| Change::Bolt {
            opening: mount.opening,
            by: way * by_mm,
        }));
    }
    found.extend((0..shelf.free_mounts.len()).map(Change::Mount));
    found
}

/// A direction of the equipment along the card of the mount's panel.
fn card_way(bracket: &Bracket<'_>, mount: &Mount, way: &nalgebra::Vector3<f64>) -> Option<Vector> {
    let part: &Part = bracket.part;
    let panel = &part.panels[part.panel_of_opening(mount.opening)?];
    let seen = panel.to_folded.rotation.inverse() * (bracket.pose.rotation.inverse() * way);
    seen.xy().try_normalize(plane::SAME_POINT_MM)
}
