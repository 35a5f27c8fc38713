//! Parts made by hand for the tests of mesh and solid: a plate with a hole, and a plate with one leg.

use nalgebra::{Isometry3, Point3, Translation3, UnitQuaternion, Vector3};
use plane::{Outline, Point, Region, Vector, Vertex};
use sheet::{Bend, Blank, Face, Panel, Part, Strip, Way};

/// What the leg is like.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Leg {
    pub(crate) bent_deg: f64,
    pub(crate) radius_mm: f64,
    pub(crate) thickness_mm: f64,
    pub(crate) way: Way,
    pub(crate) lines_on: Face,
    /// How far the strip's two ends slide along the bend from the fixed to the moving panel.
    pub(crate) slides_mm: [f64; 2],
}

impl Default for Leg {
    fn default() -> Self {
        Leg {
            bent_deg: 90.0,
            radius_mm: 4.0,
            thickness_mm: 3.0,
            way: Way::Up,
            lines_on: Face::Marked,
            slides_mm: [0.0, 0.0],
        }
    }
}

const NEUTRAL_SHARE: f64 = 0.45;
/// Where the bend starts and ends along the plate's edge.
const BEND_MM: [f64; 2] = [10.0, 70.0];

fn line(x: f64, y: f64) -> Vertex {
    Vertex::line(Point::new(x, y))
}

fn outline(vertices: Vec<Vertex>) -> Outline {
    Outline::new(vertices).expect("the sample's outline is sound")
}

fn panel(name: &str, flat: Region, hangs_on: Option<usize>, to_folded: Isometry3<f64>) -> Panel {
    Panel {
        name: name.to_owned(),
        hangs_on,
        as_marked: flat.outer.clone(),
        flat,
        to_blank: Vector::zeros(),
        to_folded,
        openings: Vec::new(),
        marks: Vec::new(),
    }
}

fn part(thickness_mm: f64, lines_on: Face, panels: Vec<Panel>, bends: Vec<Bend>) -> Part {
    let region = panels[0].flat.clone();
    Part {
        thickness_mm,
        lines_on,
        panels,
        bends,
        openings: Vec::new(),
        marks: Vec::new(),
        reliefs: Vec::new(),
        seams: Vec::new(),
        blank: Blank {
            region,
            openings: Vec::new(),
            marks: Vec::new(),
        },
    }
}

/// 80 x 50 with a round hole and a round-ended slot.
fn base() -> Region {
    let outer = Outline::rectangle(Point::new(0.0, -50.0), Point::new(80.0, 0.0)).expect("a rectangle");
    let hole = Outline::circle(Point::new(20.0, -25.0), 12.0).expect("a circle");
    let slot = Outline::slot(Point::new(45.0, -30.0), Point::new(60.0, -15.0), 8.0).expect("a slot");
    Region::new(outer, vec![hole, slot]).expect("the openings lie in the plate")
}

/// A flat plate with a hole and a slot.
pub(crate) fn flat_plate(thickness_mm: f64) -> Part {
    part(
        thickness_mm,
        Face::Marked,
        vec![panel("base", base(), None, Isometry3::identity())],
        Vec::new(),
    )
}

/// The same plate with a leg on part of its far edge.
pub(crate) fn with_leg(leg: Leg) -> Part {
    let bent_rad = leg.bent_deg.to_radians();
    let [first, last] = BEND_MM;
    let [slide_first, slide_last] = leg.slides_mm;
    let (from, to) = (first + slide_first, last + slide_last);
    let quarter = std::f64::consts::FRAC_PI_8.tan();
    let leg_outline = outline(vec![
        line(from, 0.0),
        line(to, 0.0),
        Vertex::arc(Point::new(to, 30.0), quarter),
        line(to - 10.0, 40.0),
        line(from, 40.0),
    ]);
    let hole = Outline::circle(Point::new(from + 20.0, 18.0), 9.0).expect("a circle");
    let flat = Region::new(leg_outline, vec![hole]).expect("the hole lies in the leg");
    let [low, high] = match leg.lines_on {
        Face::Marked => [-leg.thickness_mm, 0.0],
        Face::Middle => [-leg.thickness_mm / 2.0, leg.thickness_mm / 2.0],
        Face::Far => [0.0, leg.thickness_mm],
    };
    let (axis_z, turn_rad) = match leg.way {
        Way::Up => (high + leg.radius_mm, bent_rad),
        Way::Down => (low - leg.radius_mm, -bent_rad),
    };
    let axis_at = Point3::new(0.0, 0.0, axis_z);
    let about = Translation3::from(axis_at);
    let to_folded = about * UnitQuaternion::from_axis_angle(&Vector3::x_axis(), turn_rad) * about.inverse();
    let allowance_mm = bent_rad * (leg.radius_mm + NEUTRAL_SHARE * leg.thickness_mm);
    let mut moving = panel("leg", flat, Some(0), to_folded);
    moving.to_blank = Vector::new(0.0, allowance_mm);
    let bend = Bend {
        name: "b1".into(),
        fixed: 0,
        moving: 1,
        bent_rad,
        way: leg.way,
        radius_mm: leg.radius_mm,
        neutral_share: NEUTRAL_SHARE,
        set_back_mm: 0.0,
        allowance_mm,
        deduction_mm: 0.0,
        strips: vec![Strip {
            fixed: [Point::new(first, 0.0), Point::new(last, 0.0)],
            moving: [Point::new(from, allowance_mm), Point::new(to, allowance_mm)],
        }],
        along: Vector::x(),
        axis_at,
        axis: Vector3::x_axis(),
    };
    part(
        leg.thickness_mm,
        leg.lines_on,
        vec![panel("base", base(), None, Isometry3::identity()), moving],
        vec![bend],
    )
}

/// The volume by bookkeeping: flat areas times thickness, and for every strip half the turn times the difference of the
/// squared radii times its mean length.
pub(crate) fn volume_mm3(part: &Part) -> f64 {
    let t = part.thickness_mm;
    let flats: f64 = part.panels.iter().map(|panel| panel.flat.area_mm2() * t).sum();
    let bends: f64 = part
        .bends
        .iter()
        .flat_map(|bend| bend.strips.iter().map(move |strip| (bend, strip)))
        .map(|(bend, strip)| {
            let length = |[from, to]: [Point; 2]| (to - from).norm();
            let mean_mm = (length(strip.fixed) + length(strip.moving)) / 2.0;
            let radius = bend.radius_mm;
            bend.bent_rad * ((radius + t).powi(2) - radius * radius) / 2.0 * mean_mm
        })
        .sum();
    flats + bends
}
