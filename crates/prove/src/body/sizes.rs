//! How large triangles are to be at each place of the blank.

use plane::{Outline, Point, Segment, Vector};
use sheet::{Bend, Part};
use shell::plan::PlanError;

use super::{BodyOptions, draw};

/// How much longer edges may be for each mm farther from what asked for short ones: neighbours differ by a third at
/// most, which leaves room for angles near 60 degrees.
const GROWTH: f64 = 0.3;

/// Along a bend, edges are this many times as long as round it: stresses there change round the bend first, and a
/// triangle between rows staggered so has angles of 50 and 80 degrees.
const ALONG_OVER_ROUND: f64 = 1.7;

/// At a sharp re-entrant corner edges are this share of the largest.
const AT_CORNER: f64 = 0.25;

/// A corner turns back when it turns right by more than this, 10 degrees: less is a flat spot between two arcs.
const TURNS_BACK_RAD: f64 = 0.175;

/// An arc that bulges out of the plate needs half the elements of one that cuts into it: only its shape counts.
const OUTWARD_SHARE: f64 = 0.5;

/// No triangle is larger than this share of the blank's larger side.
const LARGEST_SHARE: f64 = 0.2;

/// Something that wants short edges near it.
#[derive(Debug, Clone, Copy)]
enum Feature {
    /// Within a circle.
    Disc { centre: Point, radius_mm: f64 },
    /// Within half a width of a straight line.
    Band { from: Point, to: Point, half_mm: f64 },
}

/// Edge lengths wanted on the blank.
#[derive(Debug, Clone)]
pub(super) struct Sizes {
    largest_mm: f64,
    /// Each with the edge length it wants, the shortest first.
    features: Vec<(Feature, f64)>,
}

impl Feature {
    fn distance(&self, at: Point) -> f64 {
        match *self {
            Feature::Disc { centre, radius_mm } => ((at - centre).norm() - radius_mm).max(0.0),
            Feature::Band { from, to, half_mm } => {
                let along = to - from;
                let share = ((at - from).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
                ((from + along * share - at).norm() - half_mm).max(0.0)
            }
        }
    }
}

/// Into how many rows a bend is cut.
pub(super) fn rows(bend: &Bend, options: &BodyOptions) -> usize {
    let quarters = bend.bent_rad / std::f64::consts::FRAC_PI_2;
    // A bend of 90 degrees within rounding takes the number stated.
    const ROUNDING: f64 = 1e-9;
    (options.per_quarter_bend.max(1) as f64 * quarters - ROUNDING)
        .ceil()
        .max(1.0) as usize
}

impl Sizes {
    pub fn of(part: &Part, options: &BodyOptions, largest_mm: f64) -> Sizes {
        let mut sizes = Sizes {
            largest_mm,
            features: Vec::new(),
        };
        for bend in &part.bends {
            let size_mm = ALONG_OVER_ROUND * bend.allowance_mm / rows(bend, options) as f64;
            for strip in &bend.strips {
                let [from, to] = [0, 1].map(|end| nalgebra::center(&strip.fixed[end], &strip.moving[end]));
                let half_mm = bend.allowance_mm / 2.0;
                sizes.ask(Feature::Band { from, to, half_mm }, size_mm);
            }
        }
        for panel in &part.panels {
            for outline in panel.flat.outlines() {
                sizes.ask_round(outline, panel.to_blank, options);
            }
        }
        for ring in &options.rings {
            let chord_mm = std::f64::consts::TAU * ring.radius_mm / options.per_hole.max(3) as f64;
            let disc = Feature::Disc {
                centre: ring.centre,
                radius_mm: ring.radius_mm,
            };
            sizes.ask(disc, chord_mm);
        }
        sizes.features.sort_by(|a, b| a.1.total_cmp(&b.1));
        sizes
    }

    fn ask(&mut self, feature: Feature, size_mm: f64) {
        if size_mm < self.largest_mm {
            self.features.push((feature, size_mm));
        }
    }

    fn ask_round(&mut self, outline: &Outline, to_blank: Vector, options: &BodyOptions) {
        let edges: Vec<Segment> = outline.segments().collect();
        for (i, edge) in edges.iter().enumerate() {
            if let Segment::Arc {
                centre,
                radius_mm,
                sweep_rad,
                ..
            } = *edge
            {
                let steps = steps_round(sweep_rad, options);
                let chord_mm = 2.0 * radius_mm * (sweep_rad.abs() / steps as f64 / 2.0).sin();
                let feature = Feature::Disc {
                    centre: centre + to_blank,
                    radius_mm,
                };
                self.ask(feature, chord_mm);
            }
            let before = &edges[(i + edges.len() - 1) % edges.len()];
            let (into, out) = (before.tangent_at(1.0), edge.tangent_at(0.0));
            if into.perp(&out).atan2(into.dot(&out)) < -TURNS_BACK_RAD {
                let feature = Feature::Disc {
                    centre: edge.from() + to_blank,
                    radius_mm: 0.0,
                };
                self.ask(feature, AT_CORNER * self.largest_mm);
            }
        }
    }

    /// The edge length wanted at a place of the blank.
    pub fn at(&self, at: Point) -> f64 {
        let mut size_mm = self.largest_mm;
        for (feature, near_mm) in &self.features {
            // In order of what they ask for: the rest want no less than is wanted already.
            if *near_mm >= size_mm {
                break;
            }
            size_mm = size_mm.min(near_mm + GROWTH * feature.distance(at));
        }
        size_mm
    }
}

/// Into how many steps an arc of a rim is cut. The material lies on the left, so that one which turns right cuts into it.
pub(super) fn steps_round(sweep_rad: f64, options: &BodyOptions) -> usize {
    let round = options.per_hole.max(3) as f64 * sweep_rad.abs() / std::f64::consts::TAU;
    let share = if sweep_rad < 0.0 { 1.0 } else { OUTWARD_SHARE };
    (round * share).ceil().max(1.0) as usize
}

/// The largest edge with which the mesh has about so many nodes.
pub(super) fn largest_mm(part: &Part, options: &BodyOptions, nodes: f64) -> Result<f64, PlanError> {
    /// The number of nodes falls with the square of the size at most, and less where features want short edges.
    const STEPS: usize = 4;
    let (low, high) = part.blank.region.bounds();
    let far_mm = (high - low).amax() * LARGEST_SHARE;
    let even = part.blank.region.area_mm2() * 2.0 / 3.0_f64.sqrt();
    let mut largest_mm = (even / nodes.max(1.0)).sqrt().min(far_mm);
    let first = Sizes::of(part, options, largest_mm);
    let drawing = draw::drawing(part, options, &first);
    for _ in 0..STEPS {
        let sizes = Sizes::of(part, options, largest_mm);
        let about = drawing.plan.nodes_about(&|at| sizes.at(at))?;
        largest_mm = (largest_mm * (about / nodes.max(1.0)).sqrt()).min(far_mm);
    }
    Ok(largest_mm)
}
