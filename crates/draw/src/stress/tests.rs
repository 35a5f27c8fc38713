use nalgebra::{Point3, Vector3};

use super::{
    Allowed, Arrow, LevelUnit, Levels, MovedShape, Spot, StressPicture, StressPictureError, stress_svg,
};
use crate::fixture;
use crate::look::{show, texts_stand_clear, words_of};

/// An L bracket by hand: a foot along x, a round bend, a leg up, two holes in each; stress as in a strip that is bent,
/// with more round the holes of the foot.
struct Bracket {
    points_mm: Vec<Point3<f64>>,
    triangles: Vec<[u32; 3]>,
    creases: Vec<[u32; 2]>,
    levels: Vec<f64>,
    moves_mm: Vec<Vector3<f64>>,
}

const FOOT_MM: f64 = 90.0;
const LEG_MM: f64 = 120.0;
const WIDE_MM: f64 = 60.0;
const RADIUS_MM: f64 = 8.0;
const HOLES: [[f64; 2]; 4] = [[20.0, 15.0], [20.0, 45.0], [200.0, 18.0], [200.0, 42.0]];

/// A place on the blank, folded.
fn folded(along: f64, across: f64) -> Point3<f64> {
    let arc = RADIUS_MM * std::f64::consts::FRAC_PI_2;
    if along <= FOOT_MM {
        Point3::new(along, across, 0.0)
    } else if along <= FOOT_MM + arc {
        let angle = (along - FOOT_MM) / RADIUS_MM;
        Point3::new(
            FOOT_MM + RADIUS_MM * angle.sin(),
            across,
            RADIUS_MM * (1.0 - angle.cos()),
        )
    } else {
        Point3::new(FOOT_MM + RADIUS_MM, across, RADIUS_MM + along - FOOT_MM - arc)
    }
}

fn bracket(step_mm: f64) -> Bracket {
    let arc = RADIUS_MM * std::f64::consts::FRAC_PI_2;
    let stretches = [FOOT_MM, arc, LEG_MM];
    let mut stations = vec![0.0];
    let mut creases_at = Vec::new();
    let mut reached = 0.0;
    for (index, length) in stretches.into_iter().enumerate() {
        let count = (length / step_mm).ceil().max(if index == 1 { 6.0 } else { 1.0 }) as usize;
        stations.extend((1..=count).map(|part| reached + length * part as f64 / count as f64));
        reached += length;
        if index < 2 {
            creases_at.push(stations.len() - 1);
        }
    }
    let rows = (WIDE_MM / step_mm).ceil() as usize;
    let mut made = Bracket {
        points_mm: Vec::new(),
        triangles: Vec::new(),
        creases: Vec::new(),
        levels: Vec::new(),
        moves_mm: Vec::new(),
    };
    for &along in &stations {
        for row in 0..=rows {
            let across = WIDE_MM * row as f64 / rows as f64;
            made.points_mm.push(folded(along, across));
            let root = (1.0 - ((along - FOOT_MM) / 130.0).abs()).max(0.0);
            let rings: f64 = HOLES
                .iter()
                .take(2)
                .map(|hole| 70.0 * (-((along - hole[0]).hypot(across - hole[1]) / 9.0).powi(2)).exp())
                .sum();
            made.levels
                .push(78.0 * root + 0.25 * (across - 30.0) * root + rings);
            let out = ((along - 30.0) / 180.0).max(0.0);
            made.moves_mm
                .push(Vector3::new(-1.4 * out * out, 0.3 * out, -0.35 * out));
        }
    }
    let node = |station: usize, row: usize| (station * (rows + 1) + row) as u32;
    for station in 0..stations.len() - 1 {
        for row in 0..rows {
            let middle = [
                (stations[station] + stations[station + 1]) / 2.0,
                WIDE_MM * (row as f64 + 0.5) / rows as f64,
            ];
            if HOLES
                .iter()
                .any(|hole| (middle[0] - hole[0]).hypot(middle[1] - hole[1]) < 5.0)
            {
                continue;
            }
            let (a, b) = (node(station, row), node(station + 1, row));
            let (c, d) = (node(station + 1, row + 1), node(station, row + 1));
            made.triangles.extend([[a, b, c], [a, c, d]]);
        }
    }
    for station in creases_at {
        made.creases
            .extend((0..rows).map(|row| [node(station, row), node(station, row + 1)]));
    }
    made
}

fn picture(mesh: &Bracket) -> StressPicture<'_> {
    let bolt = |name: &str, at: [f64; 2]| Spot {
        at_mm: folded(at[0], at[1]),
        label: name.to_owned(),
        says: "shear 410 N (92.2 lbf), tension 620 N (139 lbf)".to_owned(),
    };
    StressPicture {
        block: fixture::words(),
        load: "Push, 150 N at the pad".to_owned(),
        thickness_mm: 4.7625,
        points_mm: &mesh.points_mm,
        triangles: &mesh.triangles,
        levels: Levels::AtPoints(&mesh.levels),
        level_is: "Larger equivalent stress of the two faces".to_owned(),
        unit: LevelUnit::Megapascal,
        limits: Vec::new(),
        allowed: Some(Allowed {
            level: 64.3,
            says: "yield 193 MPa over a margin of 3".to_owned(),
        }),
        moved: Some(MovedShape {
            moves_mm: &mesh.moves_mm,
            times: 10.0,
        }),
        creases: &mesh.creases,
        worst: Some(Spot {
            at_mm: folded(27.0, 45.0),
            label: "worst: 131 MPa (19 ksi) at the rim of m2".to_owned(),
            says: "margin on yield 1.47, 3 is asked for".to_owned(),
        }),
        loads: vec![
            Arrow {
                at_mm: folded(200.0, 30.0),
                toward: Vector3::new(-1.0, 0.0, 0.0),
                label: "push 150 N (33.7 lbf)".to_owned(),
            },
            Arrow {
                at_mm: folded(222.0, 30.0),
                toward: Vector3::new(0.0, 0.0, -1.0),
                label: "arm 22 N (4.95 lbf)".to_owned(),
            },
        ],
        bolts: vec![
            bolt("m1", HOLES[0]),
            bolt("m2", HOLES[1]),
            bolt("p1", HOLES[2]),
            bolt("p2", HOLES[3]),
        ],
        panels: vec![
            ("panel foot".to_owned(), 131.0),
            ("bend b1".to_owned(), 84.0),
            ("panel leg".to_owned(), 72.0),
        ],
        axes: [
            "along the handle".to_owned(),
            "to the left".to_owned(),
            "up".to_owned(),
        ],
    }
}

#[test]
fn words_of_the_picture_stand_clear_and_say_every_mark() {
    let mesh = bracket(3.0);
    let drawing = stress_svg(&picture(&mesh)).expect("a sound picture");
    show("stress-bracket.svg", drawing.as_bytes());
    texts_stand_clear(&drawing);
    for words in [
        "worst: 131 MPa",
        "push 150 N",
        "arm 22 N",
        "10 times larger",
        "15 MPa (2.18 ksi)",
        "allowed",
    ] {
        assert!(drawing.contains(words), "{words} is missing");
    }
    let (_, texts) = words_of(&drawing);
    for name in ["m1", "m2", "p1", "p2"] {
        assert!(
            texts.iter().any(|(words, _)| words == name),
            "{name} is not named"
        );
    }
    for limit in ["15", "30", "45", "60", "75", "64.3"] {
        assert!(
            texts.iter().any(|(words, _)| words == limit),
            "no line says {limit}"
        );
    }
    assert_eq!(drawing, stress_svg(&picture(&mesh)).expect("again"));
}

#[test]
fn five_thousand_triangles_stay_under_400_kb() {
    let mesh = bracket(2.3);
    assert!(mesh.triangles.len() >= 5000, "{}", mesh.triangles.len());
    let drawing = stress_svg(&picture(&mesh)).expect("a sound picture");
    assert!(drawing.len() < 400_000, "{} bytes", drawing.len());
}

#[test]
fn what_is_missing_is_named() {
    let mesh = bracket(12.0);
    let mut told = picture(&mesh);
    told.levels = Levels::AtPoints(&mesh.levels[1..]);
    let needed = mesh.points_mm.len();
    assert_eq!(
        stress_svg(&told),
        Err(StressPictureError::LevelsMissing {
            given: needed - 1,
            needed
        })
    );
    let mut told = picture(&mesh);
    told.triangles = &[[0, 1, 60_000]];
    told.levels = Levels::AtCorners(&[[0.0; 3]]);
    assert_eq!(
        stress_svg(&told),
        Err(StressPictureError::NoSuchPoint {
            point: 60_000,
            points: needed
        })
    );
}

#[test]
fn a_load_without_a_direction_and_a_level_that_is_no_number_are_refused() {
    let mesh = bracket(12.0);
    let mut told = picture(&mesh);
    told.loads[0].toward = Vector3::zeros();
    assert!(matches!(stress_svg(&told), Err(StressPictureError::NoWay { .. })));
    let mut levels = mesh.levels.clone();
    levels[3] = f64::NAN;
    let mut told = picture(&mesh);
    told.levels = Levels::AtPoints(&levels);
    assert_eq!(
        stress_svg(&told),
        Err(StressPictureError::NotFinite { what: "levels" })
    );
}

/// Its normal stands square to the line of sight: every triangle is a line in both pictures.
#[test]
fn a_plate_seen_end_on_is_drawn_by_its_edges() {
    let points = [
        [0.0, 0.0, 0.0],
        [60.0, -60.0, 0.0],
        [0.0, 0.0, 40.0],
        [60.0, -60.0, 40.0],
    ]
    .map(|at| Point3::new(at[0], at[1], at[2]));
    let mesh = bracket(12.0);
    let told = StressPicture {
        points_mm: &points,
        triangles: &[[0, 1, 3], [0, 3, 2]],
        levels: Levels::AtCorners(&[[0.0; 3]; 2]),
        moved: None,
        creases: &[],
        ..picture(&mesh)
    };
    let drawing = stress_svg(&told).expect("a sound picture");
    texts_stand_clear(&drawing);
    assert!(drawing.contains("class=\"seen\""));
}

/// The oracle: what is painted last at a place is the facet nearest to the eye there.
#[test]
fn the_nearest_facet_is_on_the_front_layer() {
    let mesh = bracket(6.0);
    let eye = crate::folded::views::ISOMETRIC;
    let picture = crate::folded::views::Picture {
        eye,
        factor: 1.0,
        origin: plane::Point::new(0.0, 0.0),
    };
    let layers = super::layers::Layers::of(&picture, &mesh.points_mm, &mesh.triangles);
    assert!(layers.count() >= 2, "the leg stands before the foot");
    let mut tried = 0;
    for facet in &layers.facets {
        let corners = facet.corners.map(|(point, _)| mesh.points_mm[point]);
        let middle = Point3::from((corners[0].coords + corners[1].coords + corners[2].coords) / 3.0);
        let at = picture.on_paper(&middle);
        let near = super::layers::near_mm(&picture, &middle);
        let seen = layers.in_sight(at, near, 0.05);
        assert_eq!(
            seen,
            layers.front_at(at, facet.layer),
            "triangle {}",
            facet.triangle
        );
        tried += 1;
    }
    assert!(tried > 500);
}
