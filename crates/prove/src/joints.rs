//! The bolts of a bracket judged by hand, with the forces that the shell found.

use nalgebra::Vector3;
use plane::Vector;
use sheet::OpeningShape;

use crate::answer::BoltForces;
use crate::bracket::{Bracket, Mount};
use crate::joint::{BoltDemand, BoltJoint, BoltJudged, Clamped, HolePlace, PlateAtHole, check_bolt};

/// A bolt under one case, judged.
pub(crate) fn judge(bracket: &Bracket<'_>, forces: &BoltForces) -> BoltJudged {
    let mount = &bracket.mounts[forces.mount];
    let joint = BoltJoint {
        shape: mount.shape,
        steel: mount.steel,
        plate: plate(bracket, mount),
        // The bolt pushes the plate against the force that it puts up: the plate tears the other way.
        place: place(bracket, mount, -forces.shear_n),
        held: mount.held,
        gap_mm: mount.gap_mm,
        clamped: mount.preload.map(|preload| Clamped {
            preload_n: preload.low_n,
            friction: mount.friction,
        }),
        least: bracket.least,
    };
    let demand = BoltDemand {
        shear_n: forces.shear_n.norm(),
        tension_n: pulled_n(mount, forces),
        bending_n_mm: forces.bending_n_mm,
    };
    check_bolt(&joint, &demand, &bracket.factors)
}

/// What the load pulls on a bolt, N. A tightened bolt is strained beforehand, and the load takes from the clamping before
/// it adds to the bolt: what counts is what pulls the plate off its seat, or what the bolt carries beyond its preload.
fn pulled_n(mount: &Mount, forces: &BoltForces) -> f64 {
    match mount.preload {
        None => forces.tension_n,
        Some(preload) => {
            let off_seat_n = forces.tension_n - forces.foot_n;
            let added_n = forces.tension_n - preload.usual_n;
            off_seat_n.max(added_n).max(0.0)
        }
    }
}

fn plate(bracket: &Bracket<'_>, mount: &Mount) -> Option<PlateAtHole> {
    let across_mm = match &bracket.part.openings[mount.opening].shape {
        OpeningShape::Round { dia_mm, .. } => *dia_mm,
        OpeningShape::Slot { width_mm, .. } => *width_mm,
        OpeningShape::Window(_) => return None,
    };
    Some(PlateAtHole {
        t_mm: bracket.part.thickness_mm,
        hole_mm: across_mm,
        yield_mpa: bracket.metal.yield_mpa?,
        ultimate_mpa: bracket.metal.ultimate_mpa?,
    })
}

/// Distances of a hole in its panel, as seen along a force on the bolt.
fn place(bracket: &Bracket<'_>, mount: &Mount, force_n: Vector3<f64>) -> Option<HolePlace> {
    let part = bracket.part;
    let index = part.panel_of_opening(mount.opening)?;
    let panel = &part.panels[index];
    let centre = part.openings[mount.opening].shape.middle();
    let flat = panel.to_folded.rotation.inverse() * (bracket.pose.rotation.inverse() * force_n);
    let along = Vector::new(flat.x, flat.y).try_normalize(f64::EPSILON)?;
    let across = Vector::new(-along.y, along.x);
    // A bend is no edge: what lies beyond it holds the plate too, so the whole blank is asked.
    let on_blank = centre + panel.to_blank;
    let region = &part.blank.region;
    let to_edge = |direction: Vector| {
        let outer = region.outer.chords_along(on_blank, direction);
        let reach = |(from, to): &(plane::Point, plane::Point)| {
            let (a, b) = ((from - on_blank).dot(&direction), (to - on_blank).dot(&direction));
            (a.min(b) <= 0.0 && a.max(b) >= 0.0).then(|| a.max(b))
        };
        outer.iter().find_map(reach)
    };
    let end_mm = to_edge(along);
    let side_mm = match (to_edge(across), to_edge(-across)) {
        (Some(left), Some(right)) => Some(left.min(right)),
        (one, other) => one.or(other),
    };
    // The nearest other hole of the panel along the force, and across it: those within 45 degrees either way.
    let (mut pitch_mm, mut gauge_mm) = (None::<f64>, None::<f64>);
    for &other in panel.openings.iter().filter(|&&other| other != mount.opening) {
        let shape = &part.openings[other].shape;
        if matches!(shape, OpeningShape::Window(_)) {
            continue;
        }
        let off = shape.middle() - centre;
        let (lengthwise, sideways) = (off.dot(&along), off.dot(&across));
        let nearest = if lengthwise.abs() >= sideways.abs() {
            &mut pitch_mm
        } else {
            &mut gauge_mm
        };
        let mm = off.norm();
        *nearest = Some(nearest.map_or(mm, |least: f64| least.min(mm)));
    }
    Some(HolePlace {
        end_mm,
        side_mm,
        pitch_mm,
        gauge_mm,
    })
}
