//! Bolts: moved along their slots, and further ones where the equipment takes them.

use plane::{Outline, Place, Point, Vector};
use sheet::{Mockup, Opening, OpeningShape, Panel, Part};

use super::change::{CannotChange, Change};
use super::shelf::{FreeMount, Shelf};
use crate::bracket::{Bracket, Mount};

/// Steps by which a bolt is moved along its slot, mm.
const STEPS_MM: [f64; 2] = [-8.0, 8.0];
/// From a new hole's middle to the plate's edge, hole diameters; EN 1993-1-8 table 3.3 asks for 1.2.
const EDGE_PER_HOLE: f64 = 1.2;

/// Where on the card a further mount comes, and the opening it needs.
pub(super) fn add(
    mockup: &mut Mockup,
    bracket: &Bracket<'_>,
    free: &FreeMount,
) -> Result<Mount, CannotChange> {
    let part = bracket.part;
    let mount = &free.mount.name;
    let back = bracket.pose.inverse();
    let (at, axis) = (back * free.at, back.rotation * free.mount.axis.into_inner());
    let [far_mm, marked_mm] = part.z_range();
    let least_mm = EDGE_PER_HOLE * free.hole_mm;
    // Every panel that lies flat on the seat's plane, with how far within its edge the bolt is.
    let flat = part.panels.iter().enumerate().filter_map(|(index, panel)| {
        let seen = panel.to_folded.inverse() * at;
        let out = panel.to_folded.rotation.inverse() * axis;
        // The seat is under the far face when the bolt's head is on the marked side.
        let face_mm = if out.z > 0.0 { far_mm } else { marked_mm };
        let on_seat = out.z.abs() >= free.tilt_rad.cos() && (seen.z - face_mm).abs() <= free.gap_mm;
        let at = seen.xy();
        on_seat.then(|| (index, at, within_mm(panel, at)))
    });
    let nearest = flat.max_by(|a, b| a.2.total_cmp(&b.2));
    let (panel, at, edge_mm) = nearest.ok_or_else(|| CannotChange::OffSeat { mount: mount.clone() })?;
    if edge_mm < least_mm {
        let mount = mount.clone();
        return Err(match opening_near(part, panel, at) {
            Some(opening) => CannotChange::OpeningNear {
                mount,
                opening,
                edge_mm,
                least_mm,
            },
            None => CannotChange::NoPlate {
                mount,
                panel: part.panels[panel].name.clone(),
                edge_mm,
                least_mm,
            },
        });
    }
    mockup.openings.push(Opening {
        name: own_name(mockup, mount),
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

/// How far a point is from the nearest edge of a panel, an opening's too, mm; below 0 outside the metal.
fn within_mm(panel: &Panel, at: Point) -> f64 {
    let edge_mm = panel
        .flat
        .outlines()
        .map(|outline| outline.distance_to(at).0)
        .fold(f64::INFINITY, f64::min);
    if panel.flat.place_of(at) == Place::Inside {
        edge_mm
    } else {
        -edge_mm
    }
}

/// The opening that is nearest to a point, when it is nearer than the panel's own edge.
fn opening_near(part: &Part, panel: usize, at: Point) -> Option<String> {
    let off_mm = |outline: &Outline| outline.distance_to(at).0;
    let openings = part.openings.iter().enumerate();
    let held = openings.filter(|(index, _)| part.panel_of_opening(*index) == Some(panel));
    let (name, opening_mm) = held
        .filter_map(|(_, opening)| Some((&opening.name, off_mm(&opening.shape.outline().ok()?))))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    (opening_mm < off_mm(&part.panels[panel].flat.outer)).then(|| name.clone())
}

/// The mount's name, or with a number behind it when an opening of the card has that already.
fn own_name(mockup: &Mockup, mount: &str) -> String {
    let taken = |name: &String| mockup.openings.iter().any(|opening| opening.name == *name);
    let numbered = (2_usize..).map(|number| format!("{mount}_{number}"));
    std::iter::once(mount.to_owned())
        .chain(numbered)
        .find(|name| !taken(name))
        .unwrap_or_else(|| mount.to_owned())
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
