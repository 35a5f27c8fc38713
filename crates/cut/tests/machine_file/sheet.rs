//! Sheets to cut, with tracks made here in the plainest way.

use cut::gcode::{Dialect, Program, Surroundings, TorchSetting, Work};
use cut::{Cut, Of, Track};
use plane::{Outline, Point, Region, Segment, Vector, Vertex};

pub const TORCH: TorchSetting = TorchSetting {
    pierce_delay_s: 0.6,
    pierce_height_mm: 3.8,
    cut_height_mm: 1.5,
    travel_height_mm: 20.0,
    dry_feed_mm_min: 6000.0,
};

/// How a track comes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lead {
    Line,
    Arc,
}

/// Parts and their cuts.
#[derive(Debug, Clone)]
pub struct Sheet {
    pub parts: Vec<Region>,
    pub cuts: Vec<Cut>,
    pub corners: [Point; 2],
    pub zero: Point,
}

impl Sheet {
    pub fn new(parts: Vec<Region>, kerf_mm: f64, lead: Lead) -> Sheet {
        let mut cuts = Vec::new();
        for (part, region) in parts.iter().enumerate() {
            for (opening, hole) in region.holes.iter().enumerate() {
                let name = format!("P{part} H{opening}");
                let (low, high) = hole.bounds();
                let size = high - low;
                let room_mm = (size.x.min(size.y) - kerf_mm) / 2.0;
                let lead_mm = (0.6 * room_mm).min(6.0);
                cuts.push(cut_round(
                    hole,
                    name,
                    Of::Opening { part, opening },
                    kerf_mm,
                    lead,
                    lead_mm,
                ));
            }
            cuts.push(cut_round(
                &region.outer,
                format!("P{part}"),
                Of::Outline { part },
                kerf_mm,
                lead,
                5.0,
            ));
        }
        Sheet {
            parts,
            cuts,
            corners: [Point::new(0.0, 0.0), Point::new(1250.0, 1250.0)],
            zero: Point::new(0.0, 0.0),
        }
    }

    pub fn work(&self) -> Work<'_> {
        Work {
            title: "Test sheet",
            stock: "S235 3 mm",
            sheet: self.corners,
            zero: self.zero,
            cuts: &self.cuts,
            travels: &[],
            park: None,
            torch: TORCH,
            cautions: &[],
        }
    }

    pub fn on(&self) -> Surroundings<'_> {
        Surroundings {
            parts: &self.parts,
            table: self.corners,
            clamps: &[],
            tabs: &[],
        }
    }

    pub fn program(&self, dialect: &Dialect) -> Program {
        cut::gcode::checked_program(&self.work(), dialect, &self.on()).unwrap_or_else(|wrong| {
            let written =
                cut::gcode::write_program(&self.work(), dialect).expect("the program can be written");
            panic!("{wrong:#?}\n{}", written.text)
        })
    }

    pub fn text(&self, dialect: &Dialect) -> String {
        self.program(dialect).text
    }
}

/// From scrap by a line or a quarter arc to the middle of the longest edge, once around, and a little over.
fn cut_round(outline: &Outline, name: String, of: Of, kerf_mm: f64, lead: Lead, lead_mm: f64) -> Cut {
    const OVER_MM: f64 = 0.8;
    let middle = outline
        .offset_to_one(kerf_mm / 2.0)
        .expect("half a kerf beside the edge is a path")
        .reversed();
    let edges: Vec<Segment> = middle.segments().collect();
    let longest = (0..edges.len())
        .max_by(|&a, &b| edges[a].length_mm().total_cmp(&edges[b].length_mm()))
        .expect("an outline has edges");
    let (first_half, second_half) = edges[longest].split_at(0.5);
    let start = second_half.from();
    let along = second_half.tangent_at(0.0);
    let into_scrap = Vector::new(-along.y, along.x);
    let lead_in = match lead {
        Lead::Line => Vertex::line(start + into_scrap * lead_mm - along * (0.5 * lead_mm)),
        Lead::Arc => Vertex::arc(
            start + (into_scrap - along) * (lead_mm * 0.5),
            (std::f64::consts::PI / 8.0).tan(),
        ),
    };
    let count = edges.len();
    let round: Vec<Segment> = std::iter::once(second_half)
        .chain((1..count).map(|i| edges[(longest + i) % count]))
        .chain([first_half])
        .collect();
    let over = second_half.between(0.0, (OVER_MM / second_half.length_mm()).min(1.0));
    let mut vertices = vec![lead_in];
    vertices.extend(round.iter().chain([&over]).map(|edge| Vertex {
        at: edge.from(),
        bulge: edge.bulge(),
    }));
    vertices.push(Vertex::line(over.to()));
    Cut {
        name,
        of,
        around: [1, 1 + round.len()],
        track: Track { vertices },
        kerf_mm,
        feed_mm_min: 2400.0,
    }
}

pub fn rounded_rectangle(low: Point, high: Point, radius_mm: f64) -> Outline {
    let corners: Vec<(usize, plane::Corner)> = (0..4).map(|i| (i, plane::Corner::Round(radius_mm))).collect();
    let sharp = Outline::rectangle(low, high).expect("a rectangle");
    sharp
        .with_corners(&corners, plane::Material::Inside)
        .expect("the corners have room")
}

/// A plate with a bolt hole, a slot and a window with sharp corners.
pub fn plate(at: Vector) -> Region {
    let p = |x: f64, y: f64| Point::new(x, y) + at;
    let outer = rounded_rectangle(p(0.0, 0.0), p(120.0, 80.0), 8.0);
    let bolt = Outline::circle(p(20.0, 60.0), 8.5).expect("a circle");
    let slot = Outline::slot(p(50.0, 60.0), p(90.0, 62.0), 10.0).expect("a slot");
    let window = Outline::rectangle(p(30.0, 12.0), p(90.0, 42.0)).expect("a window");
    Region::new(outer, vec![bolt, slot, window]).expect("a plate")
}

/// An angle with an inside corner that the kerf cannot reach into.
pub fn angle(at: Vector) -> Region {
    let points: Vec<Point> = [
        (0.0, 0.0),
        (90.0, 0.0),
        (90.0, 30.0),
        (30.0, 30.0),
        (30.0, 90.0),
        (0.0, 90.0),
    ]
    .into_iter()
    .map(|(x, y)| Point::new(x, y) + at)
    .collect();
    let outer = Outline::polygon(&points).expect("an angle");
    let hole = Outline::circle(Point::new(15.0, 15.0) + at, 11.0).expect("a circle");
    Region::new(outer, vec![hole]).expect("an angle")
}

pub fn two_parts() -> Sheet {
    Sheet::new(
        vec![plate(Vector::new(30.0, 40.0)), angle(Vector::new(200.0, 40.0))],
        1.5,
        Lead::Line,
    )
}
