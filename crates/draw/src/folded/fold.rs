//! From a place on the blank to the same place in the folded plate.

use nalgebra::{Isometry3, Point3, Rotation3, Vector3};
use plane::{Place, Point, Vector};
use sheet::{Bend, Face, Panel, Part, Strip, Way};

/// A place on an edge of the blank this near a strip's side or a panel's edge lies on it: far over rounding, far under
/// anything drawn.
const ON_EDGE_MM: f64 = 1e-3;

/// Whose material a place on the blank is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Owner {
    Panel(usize),
    /// Bend and strip within it.
    Strip(usize, usize),
}

/// The part with the pose it is drawn in.
pub(crate) struct Fold<'a> {
    pub part: &'a Part,
    pub pose: Isometry3<f64>,
}

impl Fold<'_> {
    /// z of the far face and of the marked face in every panel's axes.
    pub fn faces_z(&self) -> [f64; 2] {
        let t = self.part.thickness_mm;
        match self.part.lines_on {
            Face::Marked => [-t, 0.0],
            Face::Middle => [-t / 2.0, t / 2.0],
            Face::Far => [0.0, t],
        }
    }

    /// Where a place of the blank, `z` off the lines' face, comes to lie.
    pub fn place(&self, owner: Owner, at: Point, z: f64) -> Point3<f64> {
        match owner {
            Owner::Panel(index) => self.pose * on_panel(&self.part.panels[index], at, z),
            Owner::Strip(bend, strip) => {
                let bend = &self.part.bends[bend];
                let strip = &bend.strips[strip];
                let across = left_of(bend.along);
                let into = (at - strip.fixed[0]).dot(&across);
                let foot = on_panel(&self.part.panels[bend.fixed], at - across * into, z);
                let turn = self.turn(bend, into / bend.allowance_mm * bend.bent_rad);
                self.pose * (bend.axis_at + turn * (foot - bend.axis_at))
            }
        }
    }

    /// The way a face of the strip looks (from its axis outward or inward along the panel's z) once turned by `angle`.
    pub fn strip_normal(&self, bend: &Bend, angle_rad: f64) -> Vector3<f64> {
        let flat = self.part.panels[bend.fixed].to_folded * Vector3::z();
        self.pose * (self.turn(bend, angle_rad) * flat)
    }

    fn turn(&self, bend: &Bend, angle_rad: f64) -> Rotation3<f64> {
        let signed = match bend.way {
            Way::Up => angle_rad,
            Way::Down => -angle_rad,
        };
        Rotation3::from_axis_angle(&bend.axis, signed)
    }

    /// Whose edge a place on the blank's edge is: a strip's side, or else the panel it lies on or is nearest to.
    pub fn owner_of_edge(&self, at: Point) -> Owner {
        for (bend_index, bend) in self.part.bends.iter().enumerate() {
            for (strip_index, strip) in bend.strips.iter().enumerate() {
                let side = |end: usize| distance_to(at, strip.fixed[end], strip.moving[end]);
                if side(0) < ON_EDGE_MM || side(1) < ON_EDGE_MM {
                    return Owner::Strip(bend_index, strip_index);
                }
            }
        }
        let off = |panel: &Panel| {
            let at = at - panel.to_blank;
            match panel.flat.outer.place_within(at, ON_EDGE_MM) {
                Place::Outside => panel
                    .flat
                    .outer
                    .segments()
                    .map(|segment| (segment.point_at(segment.share_nearest(at)) - at).norm())
                    .fold(f64::INFINITY, f64::min),
                _ => 0.0,
            }
        };
        let nearest = self
            .part
            .panels
            .iter()
            .enumerate()
            .map(|(index, panel)| (index, off(panel)))
            .min_by(|one, other| one.1.total_cmp(&other.1));
        Owner::Panel(nearest.map_or(0, |(index, _)| index))
    }

    /// All strips with the bends they belong to.
    pub fn strips(&self) -> impl Iterator<Item = (Owner, &Bend, &Strip)> {
        self.part.bends.iter().enumerate().flat_map(|(bend_index, bend)| {
            bend.strips
                .iter()
                .enumerate()
                .map(move |(index, strip)| (Owner::Strip(bend_index, index), bend, strip))
        })
    }
}

fn on_panel(panel: &Panel, at: Point, z: f64) -> Point3<f64> {
    let marked = at - panel.to_blank;
    panel.to_folded * Point3::new(marked.x, marked.y, z)
}

pub(crate) fn left_of(along: Vector) -> Vector {
    Vector::new(-along.y, along.x)
}

fn distance_to(at: Point, from: Point, to: Point) -> f64 {
    let run = to - from;
    let share = ((at - from).dot(&run) / run.norm_squared()).clamp(0.0, 1.0);
    (at - (from + run * share)).norm()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture;

    #[test]
    fn a_strip_joins_its_two_panels_without_a_gap() {
        let part = fixture::bracket();
        let fold = Fold {
            part: &part,
            pose: Isometry3::identity(),
        };
        for (owner, bend, strip) in fold.strips() {
            for z in fold.faces_z() {
                for end in [0, 1] {
                    let fixed = fold.place(owner, strip.fixed[end], z);
                    let moving = fold.place(owner, strip.moving[end], z);
                    let on_fixed = fold.place(Owner::Panel(bend.fixed), strip.fixed[end], z);
                    let on_moving = fold.place(Owner::Panel(bend.moving), strip.moving[end], z);
                    assert!((fixed - on_fixed).norm() < 1e-9);
                    assert!((moving - on_moving).norm() < 1e-9, "{}", bend.name);
                }
            }
        }
    }
}
