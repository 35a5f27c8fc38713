//! A strip of 5052-H32, 200 x 40 x 5 mm, on two M8 bolts at its left end, with the support's holes at its right.

use handbook::Handbook;
use nalgebra::{Isometry3, Point3, Unit, Vector3};
use plane::{Outline, Point};
use prove::joint::{BoltShape, BoltSteel, Factors, HeadForm, Held, LeastDistances, Preload, ShearPlane};
use prove::{
    Act, Allowed, At, BoltStiffness, Bracket, Fatigue, Load, Margins, Mount, Options, PlateMetal, Support,
};
use sheet::{Face, Mockup, Opening, OpeningShape, Part, develop};

pub const WIDTH_MM: f64 = 40.0;
pub const T_MM: f64 = 5.0;
/// The bolts' places along the strip, and the middle of the support's holes.
pub const BOLTS_AT_MM: [f64; 2] = [12.0, 40.0];
pub const SUPPORT_AT_MM: f64 = 180.0;

pub fn strip(more: Vec<Opening>) -> Part {
    let hole = |name: &str, x: f64, y: f64, dia_mm: f64| Opening {
        name: name.to_owned(),
        shape: OpeningShape::Round {
            at: Point::new(x, y),
            dia_mm,
        },
    };
    let mut openings = vec![
        hole("m1", BOLTS_AT_MM[0], 20.0, 9.0),
        hole("m2", BOLTS_AT_MM[1], 20.0, 9.0),
        hole("p1", SUPPORT_AT_MM, 10.0, 6.6),
        hole("p2", SUPPORT_AT_MM, 30.0, 6.6),
    ];
    openings.extend(more);
    let card = Mockup {
        outline: Outline::rectangle(Point::new(0.0, 0.0), Point::new(200.0, WIDTH_MM)).expect("a rectangle"),
        openings,
        creases: Vec::new(),
        seams: Vec::new(),
        marks: Vec::new(),
        panel_names: vec![("strip".into(), Point::new(100.0, 20.0))],
        root: None,
        lines_on: Face::Middle,
        card_mm: 0.0,
    };
    develop(&card, T_MM).expect("the strip develops")
}

pub fn push(name: &str, force_n: [f64; 3]) -> Load {
    Load {
        name: name.to_owned(),
        at: At::Support,
        act: Act::Push {
            force_n: Vector3::from(force_n),
            moment_n_mm: Vector3::zeros(),
        },
        factor: 1.0,
        sudden: false,
        both_ways: false,
        per_day: None,
    }
}

pub fn mount(name: &str, opening: usize, preload_n: Option<f64>) -> Mount {
    Mount {
        name: name.to_owned(),
        opening,
        axis: Vector3::z_axis(),
        shape: BoltShape {
            diameter_mm: 8.0,
            stress_area_mm2: 36.6,
            plane: ShearPlane::Thread,
            head: HeadForm::Raised,
            face_mm: 16.0,
        },
        steel: Some(BoltSteel {
            yield_mpa: 640.0,
            ultimate_mpa: 800.0,
            shear_share: 0.6,
        }),
        held: Some(Held::Nut),
        seat_mm: 20.0,
        slides: None,
        gives: BoltStiffness {
            axial_n_mm: 4e5,
            shear_n_mm: 5e4,
            tilt_n_mm_rad: 1e6,
        },
        preload: preload_n.map(|usual_n| Preload {
            usual_n,
            low_n: 0.8 * usual_n,
            high_n: 1.3 * usual_n,
        }),
        friction: 0.15,
        gap_mm: 0.0,
    }
}

pub fn bracket(part: &Part, loads: Vec<Load>, preload_n: Option<f64>) -> Bracket<'_> {
    let book = Handbook::builtin();
    Bracket {
        part,
        pose: Isometry3::identity(),
        metal: PlateMetal {
            elastic_mpa: 70_300.0,
            poisson: 0.33,
            density_kg_m3: 2680.0,
            yield_mpa: Some(158.0),
            ultimate_mpa: Some(213.0),
            beside_weld: None,
        },
        mounts: vec![mount("m1", 0, preload_n), mount("m2", 1, preload_n)],
        support: Some(Support {
            openings: vec![2, 3],
            washer_mm: 12.0,
            gives: None,
            mass_kg: 0.0,
        }),
        welds: Vec::new(),
        loads,
        together: Vec::new(),
        down: Unit::new_normalize(-Vector3::z()),
        margins: Margins {
            on_yield: 3.0,
            on_ultimate: 5.0,
            sudden: 2.0,
        },
        allowed: Allowed::default(),
        fatigue: Fatigue::default(),
        factors: Factors::of(&book),
        least: LeastDistances::of(&book),
    }
}

/// One mesh of a few thousand unknowns: what is asked here hangs on no more.
pub fn once() -> Options {
    Options {
        first_unknowns: 4_000,
        meshes: 1,
        ..Options::default()
    }
}

pub fn support_at() -> Point3<f64> {
    Point3::new(SUPPORT_AT_MM, 20.0, 0.0)
}
