//! How long it takes from card to blank: trays of a spine with tabs, by number of bends.

use std::f64::consts::FRAC_PI_2;

use plane::{Outline, Point};
use sheet::{Crease, Face, Mockup, Opening, OpeningShape, Relief, Way, develop};

fn main() {
    divan::main();
}

/// A spine of square panels in a row, bent up and down in turn, a hole in each.
fn spine(bends: usize) -> Mockup {
    const SIDE_MM: f64 = 40.0;
    let at = |panels: usize, y: f64| Point::new(panels as f64 * SIDE_MM, y);
    let crease = |bend: usize| Crease {
        name: format!("b{bend}"),
        from: at(bend, 0.0),
        to: at(bend, SIDE_MM),
        bent_rad: FRAC_PI_2,
        way: if bend.is_multiple_of(2) {
            Way::Up
        } else {
            Way::Down
        },
        radius_mm: 3.0,
        neutral_share: 0.4,
        relief: Relief::Auto { least_width_mm: 1.0 },
    };
    let hole = |panel: usize| Opening {
        name: format!("h{panel}"),
        shape: OpeningShape::Round {
            at: at(panel, 0.0) + plane::Vector::new(20.0, 20.0),
            dia_mm: 8.0,
        },
    };
    Mockup {
        outline: Outline::rectangle(at(0, 0.0), at(bends + 1, SIDE_MM)).expect("a strip is an outline"),
        openings: (0..=bends).map(hole).collect(),
        creases: (1..=bends).map(crease).collect(),
        seams: Vec::new(),
        marks: Vec::new(),
        panel_names: Vec::new(),
        root: None,
        lines_on: Face::Marked,
        card_mm: 0.0,
    }
}

#[divan::bench(args = [1, 8])]
fn from_card_to_blank(bencher: divan::Bencher, bends: usize) {
    let card = spine(bends);
    bencher.bench(|| develop(divan::black_box(&card), 3.0));
}
