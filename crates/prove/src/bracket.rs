//! What is asked: a folded part, what holds it, what it carries, and how much is to spare.

use nalgebra::{Isometry3, Point3, Unit, Vector3};
use sheet::Part;

use crate::fatigue::Curve;
use crate::joint::{BoltShape, BoltSteel, Factors, Held, LeastDistances, Preload};
use crate::load::{Load, Together};
use crate::weld::{Fillet, FilletStrength};

/// The plate's metal, with the strengths that may be counted on (least, never typical).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlateMetal {
    /// Modulus of elasticity, MPa.
    pub elastic_mpa: f64,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Least yield strength, MPa.
    pub yield_mpa: Option<f64>,
    /// Least ultimate strength, MPa.
    pub ultimate_mpa: Option<f64>,
    /// What is left of it beside a weld.
    pub beside_weld: Option<BesideWeld>,
}

/// Strength in the heat-affected zone of a weld.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BesideWeld {
    /// Least yield strength there, MPa.
    pub yield_mpa: f64,
    /// Least ultimate strength there, MPa.
    pub ultimate_mpa: f64,
    /// How far from the weld it reaches, mm.
    pub width_mm: f64,
}

/// A place where the part is bolted to the equipment, in equipment axes.
#[derive(Debug, Clone, PartialEq)]
pub struct Mount {
    /// Its name in the fit.
    pub name: String,
    /// The opening of the part that comes here, as an index into [`Part::openings`].
    pub opening: usize,
    /// Unit direction of the bolt, out of the seat and toward the plate.
    pub axis: Unit<Vector3<f64>>,
    /// The bolt; its `face_mm` is what presses on the plate under the head.
    pub shape: BoltShape,
    /// Its strength; none when nobody said its grade.
    pub steel: Option<BoltSteel>,
    /// What holds its end; none when nobody said.
    pub held: Option<Held>,
    /// Diameter of the flat about the bolt that the plate rests on, mm.
    pub seat_mm: f64,
    /// Direction in which the bolt is free to slide along the seat (a slot), when it is not torqued.
    pub slides: Option<Unit<Vector3<f64>>>,
    /// How the bolt gives.
    pub gives: BoltStiffness,
    /// What it is tightened to; none is counted on when absent.
    pub preload: Option<Preload>,
    /// Friction of plate on seat.
    pub friction: f64,
    /// Gap between plate and seat before tightening that packing fills, mm.
    pub gap_mm: f64,
}

/// How a bolted place gives, in the bolt's own axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoltStiffness {
    /// Along the bolt, N/mm.
    pub axial_n_mm: f64,
    /// Across it, N/mm.
    pub shear_n_mm: f64,
    /// Tilting, N mm/rad.
    pub tilt_n_mm_rad: f64,
}

/// What carries the body.
#[derive(Debug, Clone, PartialEq)]
pub struct Support {
    /// Its holes in the part, as indices into [`Part::openings`].
    pub openings: Vec<usize>,
    /// Outside diameter of what presses on the plate at each hole, mm.
    pub washer_mm: f64,
    /// How it gives: N/mm along and N mm/rad about any axis; rigid when absent.
    pub gives: Option<[f64; 2]>,
    /// What hangs on it, kg.
    pub mass_kg: f64,
}

/// What is to spare.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margins {
    /// Yield strength over stress.
    pub on_yield: f64,
    /// Ultimate strength over stress.
    pub on_ultimate: f64,
    /// Yield strength over stress for what comes suddenly and seldom.
    pub sudden: f64,
}

/// Limits that the user sets beside strength.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Allowed {
    /// The support may move this far, mm.
    pub moves_mm: Option<f64>,
    /// And turn this much, rad.
    pub turns_rad: Option<f64>,
    /// It must last, in days of use.
    pub days: Option<f64>,
    /// Lowest frequency, Hz.
    pub least_hz: Option<f64>,
}

/// Detail categories of the plate, as it is cut here; none where the table has no such row.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Fatigue {
    /// Its edges.
    pub edge: Option<Curve>,
    /// The rims of its holes.
    pub hole: Option<Curve>,
    /// Its faces.
    pub face: Option<Curve>,
    /// The toes of its welds.
    pub toe: Option<Curve>,
}

/// A welded seam of the part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weld {
    /// The seam, as an index into [`Part::seams`].
    pub seam: usize,
    /// Its size; none when nobody said.
    pub fillet: Option<Fillet>,
    /// What it stands; none when the table has no such weld.
    pub strength: Option<FilletStrength>,
}

/// A part, what holds it and what it carries.
#[derive(Debug, Clone, PartialEq)]
pub struct Bracket<'a> {
    /// The folded part.
    pub part: &'a Part,
    /// From the part's axes to the equipment's.
    pub pose: Isometry3<f64>,
    /// Its metal.
    pub metal: PlateMetal,
    /// Where it is bolted.
    pub mounts: Vec<Mount>,
    /// What carries the body.
    pub support: Option<Support>,
    /// Its welds.
    pub welds: Vec<Weld>,
    /// What it carries.
    pub loads: Vec<Load>,
    /// What acts at once.
    pub together: Vec<Together>,
    /// Which way is down, in equipment axes.
    pub down: Unit<Vector3<f64>>,
    /// What is to spare.
    pub margins: Margins,
    /// Limits beside strength.
    pub allowed: Allowed,
    /// How it lasts.
    pub fatigue: Fatigue,
    /// Partial factors of the joints.
    pub factors: Factors,
    /// Least distances of holes.
    pub least: LeastDistances,
}

impl Bracket<'_> {
    /// Middle of the support's holes on the plate's middle surface, in equipment axes.
    pub fn support_at(&self) -> Option<Point3<f64>> {
        self.support
            .as_ref()
            .and_then(|support| self.middle_of(&support.openings))
    }

    /// Middle of some openings on the plate's middle surface, in equipment axes.
    pub fn middle_of(&self, openings: &[usize]) -> Option<Point3<f64>> {
        let places: Option<Vec<Vector3<f64>>> = openings
            .iter()
            .map(|&opening| self.opening_at(opening).map(|at| at.coords))
            .collect();
        let places = places.filter(|places| !places.is_empty())?;
        let count = places.len() as f64;
        Some(Point3::from(places.iter().sum::<Vector3<f64>>() / count))
    }

    /// Middle of an opening on the plate's middle surface, in equipment axes.
    pub fn opening_at(&self, opening: usize) -> Option<Point3<f64>> {
        let placed = self.part.opening_in_space(opening)?;
        Some(self.pose * nalgebra::center(&placed.near, &placed.far))
    }
}
