//! Where things of the card come in the folded part.

use nalgebra::{Point3, Unit, UnitQuaternion, Vector3};
use plane::Point;

use crate::part::{Bend, Part, Strip};
use crate::tree::panel_holding;

/// An opening of a panel in the folded part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlacedOpening {
    /// The panel it lies in, an index into [`Part::panels`].
    pub panel: usize,
    /// Its middle, on the face that the card's lines are on.
    pub at: Point3<f64>,
    /// Square to the plate, out of its marked face.
    pub axis: Unit<Vector3<f64>>,
    /// Its middle on the marked face.
    pub near: Point3<f64>,
    /// Its middle on the far face.
    pub far: Point3<f64>,
}

impl Part {
    /// A point of a panel in the folded part, from mock-up axes and a height above the face that the lines are on
    /// (positive toward the marked side).
    ///
    /// # Panics
    /// When there is no such panel, as indexing does.
    pub fn folded_point(&self, panel: usize, at: Point, height_mm: f64) -> Point3<f64> {
        self.panels[panel].to_folded * Point3::new(at.x, at.y, height_mm)
    }

    /// The panel that a point of the card lies in, by the outline as marked; the smaller where one panel is cut from
    /// within another.
    pub fn panel_at(&self, at: Point) -> Option<usize> {
        panel_holding(self.panels.iter().map(|panel| &panel.as_marked), at)
    }

    /// The panel that holds an opening; none for one that a bend meets.
    pub fn panel_of_opening(&self, opening: usize) -> Option<usize> {
        self.panels
            .iter()
            .position(|panel| panel.openings.contains(&opening))
    }

    /// An opening in the folded part; none for one that a bend meets.
    pub fn opening_in_space(&self, opening: usize) -> Option<PlacedOpening> {
        let panel = self.panel_of_opening(opening)?;
        let middle = self.openings[opening].shape.middle();
        let [far_mm, near_mm] = self.z_range();
        let at = |height_mm| self.folded_point(panel, middle, height_mm);
        let axis = Unit::new_unchecked(self.panels[panel].to_folded.rotation * Vector3::z());
        Some(PlacedOpening {
            panel,
            at: at(0.0),
            axis,
            near: at(near_mm),
            far: at(far_mm),
        })
    }

    /// The plate's extent along z in every panel's own axes: the far face, then the marked face.
    pub fn z_range(&self) -> [f64; 2] {
        self.lines_on.z_range(self.thickness_mm)
    }

    /// A point of a bend in the folded part: `along` from 0 to 1 between the strip's sides, `across` from 0 at the fixed
    /// tangent line to 1 at the moving one, and a height above the face that the lines are on, as in
    /// [`Part::folded_point`].
    ///
    /// # Panics
    /// When there is no such bend or strip, as indexing does.
    pub fn bend_surface_point(
        &self,
        bend: usize,
        strip: usize,
        along: f64,
        across: f64,
        height_mm: f64,
    ) -> Point3<f64> {
        let bend = &self.bends[bend];
        let [from_mm, to_mm] = strip_reach_mm(bend, &bend.strips[strip], across);
        let radius_mm = self.radius_at_height_mm(bend, height_mm);
        bend.axis_at
            + bend.axis.into_inner() * (from_mm + (to_mm - from_mm) * along)
            + self.out_of_bend(bend, across) * radius_mm
    }

    /// From the bend's axis to the surface at a height above the face that the lines are on.
    fn radius_at_height_mm(&self, bend: &Bend, height_mm: f64) -> f64 {
        let axis_mm = bend.radius_mm + self.lines_on.off_inside_mm(bend.way, self.thickness_mm);
        axis_mm - bend.way.sign() * height_mm
    }

    /// Unit direction from the bend's axis out to the metal, at a share of the way round from the fixed panel.
    pub(crate) fn out_of_bend(&self, bend: &Bend, across: f64) -> Vector3<f64> {
        let sign = bend.way.sign();
        let start = self.panels[bend.fixed].to_folded.rotation * (Vector3::z() * -sign);
        UnitQuaternion::from_axis_angle(&bend.axis, sign * bend.bent_rad * across) * start
    }
}

/// Where a strip starts and ends along the bend, from the axis point, at a share of the way across.
pub(crate) fn strip_reach_mm(bend: &Bend, strip: &Strip, across: f64) -> [f64; 2] {
    [0, 1].map(|end| {
        let at = strip.fixed[end] + (strip.moving[end] - strip.fixed[end]) * across;
        bend.along.dot(&(at - strip_start(bend)))
    })
}

/// The point of the blank that [`Bend::axis_at`] stands over: the start of the first strip on the fixed side.
fn strip_start(bend: &Bend) -> Point {
    bend.strips
        .first()
        .map_or(Point::origin(), |strip| strip.fixed[0])
}
