//! Sheets made up for tests and benches: parts with openings, each contour with several pierces.

#![allow(dead_code, reason = "each test takes of it what it needs")]

use cut::Of;
use cut::motion::{CornerRule, Drive, Mover};
use cut::order::{After, Candidate, Contour, Job, TravelRules};
use plane::{Outline, Point, Vector};

/// Numbers that look random, the same for the same seed.
pub struct Lots(pub u64);

impl Lots {
    pub fn below(&mut self, count: usize) -> usize {
        (self.share() * count as f64) as usize
    }

    pub fn share(&mut self) -> f64 {
        // A linear congruence of 64 bits (constants from memory); the high bits are good enough for making sheets.
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }
}

pub fn table() -> Mover {
    Mover::new(Drive {
        travel_mm_s: 250.0,
        accel_mm_s2: 1200.0,
        jerk_mm_s3: Some(10_000.0),
        sideways_mm_s2: 1200.0,
        corner: CornerRule::Round { off_mm: 0.05 },
    })
    .expect("a table that moves")
}

pub fn rules() -> TravelRules {
    TravelRules {
        mover: table(),
        lift_s: 1.5,
        clear_mm: 8.0,
        table: None,
    }
}

fn pierces_outside(lots: &mut Lots, shape: &Outline, count: usize) -> Vec<Candidate> {
    around(lots, shape, count, -6.0, -4.0)
}

fn pierces_inside(lots: &mut Lots, shape: &Outline, count: usize) -> Vec<Candidate> {
    around(lots, shape, count, 2.5, 1.0)
}

/// Pierces spread round a shape, so far inside (or outside, below 0) of its edge.
fn around(lots: &mut Lots, shape: &Outline, count: usize, enter_mm: f64, leave_mm: f64) -> Vec<Candidate> {
    let edges: Vec<plane::Segment> = shape.segments().collect();
    (0..count)
        .map(|_| {
            let edge = edges[lots.below(edges.len())];
            let share = lots.between(0.2, 0.8);
            let along: Vector = edge.tangent_at(share);
            let inward = Vector::new(-along.y, along.x);
            let at: Point = edge.point_at(share);
            Candidate {
                enter: at + inward * enter_mm,
                leave: at + inward * leave_mm + along * 3.0,
                cut_s: lots.between(5.0, 5.3),
            }
        })
        .collect()
}

/// Parts of 60 to 100 mm on a grid, each with up to `openings` openings; contours come to at most `most`.
pub fn sheet(seed: u64, most: usize, openings: usize, pierces: usize) -> Job {
    let mut lots = Lots(seed.wrapping_mul(77).wrapping_add(13));
    let mut contours = Vec::new();
    let across = ((most as f64 / (1.0 + openings as f64 / 2.0)).sqrt().ceil() as usize).max(1);
    let mut part = 0;
    'sheet: loop {
        let (column, row) = (part % across, part / across);
        let low = Point::new(20.0 + 120.0 * column as f64, 20.0 + 120.0 * row as f64);
        let size = Vector::new(lots.between(60.0, 100.0), lots.between(60.0, 100.0));
        let count = if openings == 0 {
            0
        } else {
            lots.below(openings + 1)
        };
        // Openings stand in quarters of the part, so that they keep clear of each other.
        for opening in 0..count.min(4) {
            if contours.len() >= most {
                break 'sheet;
            }
            let quarter = Vector::new((opening % 2) as f64, (opening / 2) as f64);
            let at = low + (quarter * 0.5 + Vector::new(0.25, 0.25)).component_mul(&size);
            let shape = Outline::circle(at, lots.between(10.0, 22.0)).expect("a hole of the sheet");
            contours.push(Contour {
                of: Of::Opening { part, opening },
                candidates: pierces_inside(&mut lots, &shape, pierces),
                shape,
                after: After::KeepOff,
            });
        }
        if contours.len() >= most {
            break;
        }
        let shape = Outline::rectangle(low, low + size).expect("a part of the sheet");
        contours.push(Contour {
            of: Of::Outline { part },
            candidates: pierces_outside(&mut lots, &shape, pierces),
            shape,
            after: if lots.below(2) == 0 {
                After::KeepOff
            } else {
                After::Lies
            },
        });
        if contours.len() >= most {
            break;
        }
        part += 1;
    }
    Job {
        contours,
        before: Vec::new(),
        home: Point::origin(),
        park: Some(Point::origin()),
        rules: rules(),
        clamps: Vec::new(),
    }
}
