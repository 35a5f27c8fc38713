//! All that is known before the search: the strokes, the tools in every length that may serve, and what forbids which.

use super::clear::{MOST_VARIANTS, Variant};
use super::moves::{Round, Stroke, strokes};
use crate::needs::{Practice, Stop, cover_mm, spring, stops};
use crate::tooling::{Lengths, Means, Tooling};
use crate::work::Work;

/// However sure the springback is, a bend is swept past its angle by this at least: what a bend's angle may be out.
const LEAST_OVER_RAD: f64 = 0.0175;

/// What the search goes by.
pub(crate) struct Setup {
    pub strokes: Vec<Stroke>,
    pub variants: Vec<Variant>,
    /// For each stroke, the angle under load, rad.
    pub last_rad: Vec<f64>,
    /// For each stroke and variant, what forbids it wherever the part stands.
    pub stops: Vec<Vec<Vec<Stop>>>,
    /// For each stroke, whether it is bent away from here if it may be.
    pub away: Vec<Option<Vec<Stop>>>,
    /// For each stroke, the variants that nothing forbids, as bits.
    pub wanted: Vec<u64>,
    /// For each stroke and way round, how the part lies, as an index into a list of such.
    pub poses: Vec<[usize; 2]>,
    /// Each way the part lies: which face is up, and the direction on the blank that goes to the back, in whole
    /// thousandths of a turn.
    pub lies: Vec<(bool, i32)>,
}

impl Setup {
    pub fn of(work: &Work, tooling: &Tooling, practice: &Practice) -> Setup {
        let strokes = strokes(work);
        let last_rad: Vec<f64> = strokes.iter().map(|stroke| last_rad(work, practice, stroke)).collect();
        let variants = variants(work, tooling, practice, &strokes);
        let stops: Vec<Vec<Vec<Stop>>> = strokes
            .iter()
            .zip(&last_rad)
            .map(|(stroke, last_rad)| {
                let of = |variant: &Variant| {
                    let (means, tool_mm) = (variant.station.means, variant.station.tool_mm);
                    stops_of(work, tooling, practice, means, tool_mm, stroke, *last_rad)
                };
                variants.iter().map(of).collect()
            })
            .collect();
        let wanted = stops
            .iter()
            .map(|of_stroke| {
                let free = of_stroke.iter().enumerate().filter(|(_, stops)| stops.is_empty());
                free.fold(0, |bits, (variant, _)| bits | 1 << variant)
            })
            .collect();
        let away = strokes
            .iter()
            .zip(&last_rad)
            .map(|(stroke, last_rad)| {
                tooling.away.as_ref()?;
                Some(stops_of(work, tooling, practice, Means::Away, f64::INFINITY, stroke, *last_rad))
            })
            .collect();
        let (poses, lies) = poses(work, &strokes);
        Setup { strokes, variants, last_rad, stops, away, wanted, poses, lies }
    }
}

fn stops_of(
    work: &Work,
    tooling: &Tooling,
    practice: &Practice,
    means: Means,
    tool_mm: f64,
    stroke: &Stroke,
    last_rad: f64,
) -> Vec<Stop> {
    let line = &work.lines[stroke.lines[0]];
    if stroke.closing {
        // Pressed shut between flat faces: length and room are all that is asked, of a brake or a vice.
        return match means {
            Means::Folder(_) => vec![Stop::Angle { needs_rad: last_rad, has_rad: 0.0 }],
            _ => Vec::new(),
        };
    }
    stops(practice, tooling, means, tool_mm, work.stock.as_ref(), work.thickness_mm, line, stroke.length_mm(), last_rad)
}

/// The angle under load: springback on top, as far as it is known. What is closed flat goes no further.
fn last_rad(work: &Work, practice: &Practice, stroke: &Stroke) -> f64 {
    if stroke.closing {
        return stroke.to_rad;
    }
    let line = &work.lines[stroke.lines[0]];
    let sprung = work
        .stock
        .as_ref()
        .and_then(|stock| spring(stock, stroke.to_rad, line.radius_mm, work.thickness_mm));
    let over_rad = sprung.map_or(practice.over_rad.value, |spring| spring.opens_rad.max(LEAST_OVER_RAD));
    (stroke.to_rad + over_rad).min(std::f64::consts::PI)
}

/// Every means in every length that may serve some stroke: just over it, just within it, and all of it. Ascending in
/// length within each means.
fn variants(work: &Work, tooling: &Tooling, practice: &Practice, strokes: &[Stroke]) -> Vec<Variant> {
    let mut variants = Vec::new();
    for means in tooling.means() {
        let lengths: Vec<&Lengths> = match means {
            Means::Press { punch, die, .. } => vec![&tooling.punches[punch].lengths, &tooling.dies[die].lengths],
            Means::Folder(folder) => vec![&tooling.folders[folder].fingers],
            Means::Vice(_) => Vec::new(),
            Means::Away => continue,
        };
        let mut wanted: Vec<f64> = match means {
            Means::Vice(vice) => vec![tooling.vices[vice].jaw_mm],
            _ => Vec::new(),
        };
        // Punch and die are made up alike; the shorter of the two is what there is.
        if let Some(lengths) = lengths
            .into_iter()
            .min_by(|a, b| a.longest_mm().total_cmp(&b.longest_mm()))
        {
            let machine_mm = match means {
                Means::Press { press, .. } => tooling.presses[press].length_mm,
                Means::Folder(folder) => tooling.folders[folder].length_mm,
                _ => f64::INFINITY,
            };
            for stroke in strokes {
                let length_mm = stroke.length_mm();
                let within = lengths
                    .longest_within_mm(length_mm)
                    .filter(|made| *made >= cover_mm(practice, length_mm, work.thickness_mm));
                wanted.extend(within);
                wanted.extend(lengths.shortest_over_mm(length_mm).or(Some(lengths.longest_mm())));
            }
            wanted.retain(|made| *made <= machine_mm);
            wanted.extend(lengths.longest_within_mm(machine_mm));
        }
        wanted.sort_by(f64::total_cmp);
        wanted.dedup_by(|a, b| (*a - *b).abs() < 0.01);
        variants.extend(wanted.into_iter().filter_map(|tool_mm| Variant::of(tooling, means, tool_mm, work.thickness_mm)));
    }
    serves_most(work, tooling, practice, strokes, variants)
}

/// What serves no stroke is left out, and if there are still too many, what comes last: which can hide an order, so that
/// [`super::Proof::variants_left_out`] tells it.
fn serves_most(work: &Work, tooling: &Tooling, practice: &Practice, strokes: &[Stroke], mut variants: Vec<Variant>) -> Vec<Variant> {
    if variants.len() > MOST_VARIANTS {
        let serves = |variant: &Variant| {
            strokes.iter().any(|stroke| {
                let last_rad = last_rad(work, practice, stroke);
                let (means, tool_mm) = (variant.station.means, variant.station.tool_mm);
                stops_of(work, tooling, practice, means, tool_mm, stroke, last_rad).is_empty()
            })
        };
        variants.retain(serves);
    }
    variants
}

fn poses(work: &Work, strokes: &[Stroke]) -> (Vec<[usize; 2]>, Vec<(bool, i32)>) {
    let mut lies: Vec<(bool, i32)> = Vec::new();
    let poses = strokes
        .iter()
        .map(|stroke| {
            let line = &work.lines[stroke.lines[0]];
            Round::BOTH.map(|round| {
                let back = match round {
                    Round::MovingBack => line.across,
                    Round::FixedBack => -line.across,
                };
                let turned = (back.y.atan2(back.x) / std::f64::consts::TAU * 1000.0).round() as i32;
                let lie = (line.way == sheet::Way::Up, turned.rem_euclid(1000));
                lies.iter().position(|known| *known == lie).unwrap_or_else(|| {
                    lies.push(lie);
                    lies.len() - 1
                })
            })
        })
        .collect();
    (poses, lies)
}
