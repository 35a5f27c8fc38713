//! A forearm plate in the shape of the push-hoe of the examples: a side plate on a handle, a pad bent out of its top, an
//! arm joggled in to the frame. The measures are those that the example solves to.

use handbook::Handbook;
use nalgebra::{Isometry3, Rotation3, Translation3, Unit, UnitQuaternion, Vector3};
use plane::{Corner, Material, Outline, Point, Vector};
use prove::helps::{Shelf, Stock, Welding};
use prove::joint::{BoltShape, Factors, HeadForm, LeastDistances, ShearPlane};
use prove::weld::FilletStrength;
use prove::{
    Act, Allowed, At, BesideWeld, BoltStiffness, Bracket, Fatigue, Load, Margins, Mount, PlateMetal, Support,
};
use sheet::{Crease, Face, Mockup, Opening, OpeningShape, Part, Relief, Way, develop};

const METAL: &str = "5052-H32";
const INCH_MM: f64 = 25.4;
pub const DENSITY_KG_M3: f64 = 2680.0;
/// The plates that a small shop keeps.
const PLATES: [(&str, f64); 6] = [
    ("1/8 in", 1.0 / 8.0),
    ("5/32 in", 5.0 / 32.0),
    ("3/16 in", 3.0 / 16.0),
    ("1/4 in", 1.0 / 4.0),
    ("5/16 in", 5.0 / 16.0),
    ("3/8 in", 3.0 / 8.0),
];
/// The drawn plate, as an index into the list.
pub const DRAWN: usize = 2;

/// Fillets with 5356, and what they leave of the plate beside them.
pub fn welding(leg_mm: f64) -> Welding {
    let book = Handbook::builtin();
    let weld = book
        .weld_metal(METAL, Some("5356"))
        .expect("it is a usual filler");
    let (yield_mpa, ultimate_mpa) = (65.5, 172.4);
    Welding {
        leg_mm,
        strength: FilletStrength::of(&weld, ultimate_mpa),
        beside: Some(BesideWeld {
            yield_mpa,
            ultimate_mpa,
            width_mm: 25.0,
        }),
    }
}

pub fn shelf() -> Shelf {
    let book = Handbook::builtin();
    let stock = |(name, inches): (&str, f64)| {
        let thickness_mm = inches * INCH_MM;
        let radius_mm = book
            .least_radius_mm(METAL, thickness_mm)
            .map_or(1.5 * thickness_mm, |radius| radius.value);
        let die_mm = book
            .vdie_opening_mm(thickness_mm)
            .map_or(8.0 * thickness_mm, |die| die.value);
        Stock {
            name: name.to_owned(),
            thickness_mm,
            radius_mm,
            neutral_share: 0.369,
            least_leg_mm: book.least_leg_mm(die_mm).value,
            welding: Some(welding(0.7 * thickness_mm)),
        }
    };
    Shelf {
        plates: PLATES.map(stock).to_vec(),
        window_corner_mm: 6.0,
        free_mounts: Vec::new(),
    }
}

pub fn card() -> Mockup {
    let p = Point::new;
    let sloped = |at: Point, reach_mm: f64, deg: f64| {
        let (sin, cos) = deg.to_radians().sin_cos();
        at + Vector::new(reach_mm * cos, reach_mm * sin)
    };
    let (slope, spin) = (24.485_637, 10.899_541);
    let crease_middle = p(30.0, 111.685_187);
    let k1 = sloped(crease_middle, 42.0, -slope);
    let k2 = sloped(crease_middle, 42.0, 180.0 - slope);
    let (q1, q2) = (sloped(k1, 84.0, 90.0 - slope), sloped(k2, 84.0, 90.0 - slope));
    let pad = sloped(
        sloped(crease_middle, -2.455_802, -slope),
        60.539_707,
        90.0 - slope,
    );
    let (p1, p2) = (
        sloped(pad, 20.0, -slope - spin),
        sloped(pad, 20.0, 180.0 - slope - spin),
    );
    let corners = [
        p(48.0, -24.0),
        k1,
        q1,
        q2,
        k2,
        p(-34.0, 40.0),
        p(-86.0, 16.0),
        p(-92.0, -20.0),
        p(-230.0, -20.0),
        p(-230.0, -60.0),
        p(-80.0, -60.0),
    ];
    let rounds = [
        (0, 15.0),
        (2, 15.0),
        (3, 15.0),
        (5, 20.0),
        (6, 12.0),
        (7, 5.0),
        (8, 18.0),
        (9, 18.0),
        (10, 30.0),
    ];
    let rounds = rounds.map(|(corner, radius_mm)| (corner, Corner::Round(radius_mm)));
    let outline = Outline::polygon(&corners).expect("the drawn corners are an outline");
    let outline = outline
        .with_corners(&rounds, Material::Inside)
        .expect("the rounds fit");
    let window = [p(-12.0, 32.0), p(32.0, 24.0), p(38.0, 66.0), p(2.0, 82.0)];
    let window = Outline::polygon(&window).expect("the window's corners are an outline");
    let window = window
        .with_corners(
            &[0, 1, 2, 3].map(|corner| (corner, Corner::Round(10.0))),
            Material::Outside,
        )
        .expect("the window's rounds fit");
    let hole = |name: &str, at: Point, dia_mm: f64| Opening {
        name: name.to_owned(),
        shape: OpeningShape::Round { at, dia_mm },
    };
    let stock = &shelf().plates[DRAWN];
    let crease = |name: &str, from: Point, to: Point, bent_deg: f64, way: Way| Crease {
        name: name.to_owned(),
        from,
        to,
        bent_rad: bent_deg.to_radians(),
        way,
        radius_mm: stock.radius_mm,
        neutral_share: stock.neutral_share,
        relief: Relief::Auto {
            least_width_mm: stock.thickness_mm,
        },
    };
    Mockup {
        outline,
        openings: vec![
            hole("h1", p(0.0, 0.0), 8.7376),
            hole("h2", p(-63.493_952, 0.0), 8.7376),
            hole("frame", p(-204.402_924, -40.082_363), 10.3124),
            hole("p1", p1, 6.6),
            hole("p2", p2, 6.6),
            Opening {
                name: "light".to_owned(),
                shape: OpeningShape::Window(window),
            },
        ],
        creases: vec![
            crease("b1", k1, k2, 84.959_68, Way::Up),
            crease("b2", p(-100.0, 10.0), p(-100.0, -80.0), 45.0, Way::Down),
            crease("b3", p(-149.497_475, 10.0), p(-149.497_475, -80.0), 45.0, Way::Up),
        ],
        seams: Vec::new(),
        marks: Vec::new(),
        panel_names: vec![
            ("side".to_owned(), p(0.0, 0.0)),
            ("pad".to_owned(), pad),
            ("frame".to_owned(), p(-204.0, -40.0)),
        ],
        root: Some(p(0.0, 0.0)),
        lines_on: Face::Far,
        card_mm: 0.0,
    }
}

pub fn part() -> Part {
    develop(&card(), shelf().plates[DRAWN].thickness_mm).expect("the plate develops")
}

/// From the card's axes to the hoe's: x back along the handle, y up, z out to the left.
fn pose() -> Isometry3<f64> {
    let axes = Rotation3::from_basis_unchecked(&[-Vector3::x(), Vector3::z(), Vector3::y()]);
    Isometry3::from_parts(
        Translation3::identity(),
        UnitQuaternion::from_rotation_matrix(&axes),
    )
}

/// On its three bolts, with what an arm does to the pad.
pub fn bracket(part: &Part) -> Bracket<'_> {
    let mount = |name: &str, opening: usize, bolt_mm: f64, seat_mm: f64| Mount {
        name: name.to_owned(),
        opening,
        axis: Unit::new_normalize(Vector3::y()),
        shape: BoltShape {
            diameter_mm: bolt_mm,
            stress_area_mm2: 0.6 * bolt_mm * bolt_mm,
            plane: ShearPlane::Thread,
            head: HeadForm::Raised,
            face_mm: 1.5 * bolt_mm,
        },
        steel: None,
        held: None,
        seat_mm,
        slides: None,
        gives: BoltStiffness {
            axial_n_mm: 4e5,
            shear_n_mm: 5e4,
            tilt_n_mm_rad: 4e6,
        },
        preload: None,
        friction: 0.2,
        gap_mm: 0.0,
    };
    let push = |name: &str, force_n: [f64; 3], sudden: bool| Load {
        name: name.to_owned(),
        at: At::Support,
        act: Act::Push {
            force_n: Vector3::from(force_n),
            moment_n_mm: Vector3::zeros(),
        },
        factor: 1.0,
        sudden,
        per_day: None,
        both_ways: false,
    };
    let book = Handbook::builtin();
    Bracket {
        part,
        pose: pose(),
        metal: PlateMetal {
            elastic_mpa: 70_300.0,
            poisson: 0.33,
            density_kg_m3: DENSITY_KG_M3,
            yield_mpa: Some(158.0),
            ultimate_mpa: Some(213.0),
            beside_weld: None,
        },
        mounts: vec![
            mount("rear", 0, 7.94, 20.0),
            mount("front", 1, 7.94, 20.0),
            mount("frame", 2, 9.53, 30.0),
        ],
        support: Some(Support {
            openings: vec![3, 4],
            washer_mm: 12.0,
            gives: None,
            mass_kg: 0.55,
        }),
        loads: vec![
            push("push", [250.0, 0.0, 0.0], false),
            push("lean", [0.0, 120.0, 0.0], false),
            push("stone", [600.0, 0.0, 0.0], true),
        ],
        together: Vec::new(),
        down: Unit::new_normalize(-Vector3::z()),
        margins: Margins {
            on_yield: 3.0,
            on_ultimate: 5.0,
            sudden: 2.0,
        },
        allowed: Allowed {
            moves_mm: Some(4.0),
            turns_rad: Some(3.0_f64.to_radians()),
            days: None,
            least_hz: None,
        },
        welds: Vec::new(),
        fatigue: Fatigue::default(),
        factors: Factors::of(&book),
        least: LeastDistances::of(&book),
    }
}
