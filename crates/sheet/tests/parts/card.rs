//! Cards for the tests, drawn in few words.

use plane::{Outline, Point};
use sheet::{Crease, Face, Mockup, Opening, OpeningShape, Relief, Way};

pub fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

/// A card with this outline, nothing on it, its lines on the marked face.
pub fn card(corners: &[(f64, f64)]) -> Mockup {
    let corners: Vec<Point> = corners.iter().map(|&(x, y)| p(x, y)).collect();
    Mockup {
        outline: Outline::polygon(&corners).expect("the test's card is an outline"),
        openings: Vec::new(),
        creases: Vec::new(),
        seams: Vec::new(),
        marks: Vec::new(),
        panel_names: Vec::new(),
        root: None,
        lines_on: Face::Marked,
        card_mm: 0.0,
    }
}

/// A right-angled bend, up, of 3 mm inside radius and K 0.4, freed where it needs to be.
pub fn crease(name: &str, from: (f64, f64), to: (f64, f64)) -> Crease {
    Crease {
        name: name.to_owned(),
        from: p(from.0, from.1),
        to: p(to.0, to.1),
        bent_rad: std::f64::consts::FRAC_PI_2,
        way: Way::Up,
        radius_mm: 3.0,
        neutral_share: 0.4,
        relief: Relief::Auto { least_width_mm: 1.0 },
    }
}

pub fn hole(name: &str, at: (f64, f64), dia_mm: f64) -> Opening {
    Opening {
        name: name.to_owned(),
        shape: OpeningShape::Round {
            at: p(at.0, at.1),
            dia_mm,
        },
    }
}

/// An angle: 60 mm across, a base of 50 mm and a leg of 40 mm to the sharp corner.
pub fn angle() -> Mockup {
    let mut mockup = card(&[(0.0, 0.0), (60.0, 0.0), (60.0, 90.0), (0.0, 90.0)]);
    mockup.creases.push(crease("b1", (0.0, 50.0), (60.0, 50.0)));
    mockup
}

pub fn window(name: &str, corners: &[(f64, f64)]) -> Opening {
    let corners: Vec<Point> = corners.iter().map(|&(x, y)| p(x, y)).collect();
    let outline = Outline::polygon(&corners).expect("the test's window is an outline");
    Opening {
        name: name.to_owned(),
        shape: OpeningShape::Window(outline),
    }
}
