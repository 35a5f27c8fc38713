//! The torch where it may be, on only while it cuts, and off at the end.

use plane::{Place as In, Point, Region, Segment};

use super::asked::{Asked, AskedHeights};
use super::edges::EDGE_TOLERANCE_MM;
use super::runs::{Run, near};
use super::steps::{Move, Program, Step};
use super::wrong::Wrong;

/// Places and heights are written with four decimals; this is far over their rounding.
pub(super) const ROUNDING_MM: f64 = 0.002;
/// Feeds and delays are written with three decimals.
const ROUNDING: f64 = 0.001;

/// Everything about the order of torch and travel.
pub(super) fn torch_and_travel(program: &Program, asked: &Asked) -> Vec<Wrong> {
    let mut wrong = Vec::new();
    let mut run: Option<usize> = None;
    let mut lit_n = 0;
    let mut waits: Option<(usize, f64)> = None;
    let moves_on = |waits: &mut Option<(usize, f64)>, wrong: &mut Vec<Wrong>| {
        if let (Some((line, found_s)), Some(wanted_s)) = (waits.take(), asked.pierce_delay_s)
            && found_s + ROUNDING < wanted_s
        {
            wrong.push(Wrong::ShortDelay {
                line,
                found_s,
                wanted_s,
            });
        }
    };
    for step in &program.steps {
        match step {
            Step::Arrive { line, at, torch } => {
                if *torch {
                    wrong.push(Wrong::TravelTorchOn { line: *line });
                }
                wrong.extend(place_is_clear(*line, *at, asked.table, asked.clamps));
            }
            Step::TorchOn { line, place } => {
                if run.is_some() {
                    wrong.push(Wrong::LitTwice { line: *line });
                }
                run = Some(lit_n);
                lit_n += 1;
                waits = Some((*line, 0.0));
                if let Some(heights) = asked.heights
                    && !is_at(place.z_mm, heights.pierce_mm)
                {
                    wrong.push(Wrong::Height {
                        line: *line,
                        found_mm: place.z_mm,
                        wanted_mm: heights.pierce_mm,
                    });
                }
            }
            Step::TorchOff { .. } => run = None,
            Step::MarkerOn { line, place } => wrong.push(Wrong::MarkNotAsked {
                line: *line,
                at: place.at,
            }),
            Step::MarkerOff { .. } => {}
            Step::Dwell { s, .. } => {
                if let Some((_, waited_s)) = &mut waits {
                    *waited_s += s;
                }
            }
            Step::Rise { torch, .. } => {
                if *torch {
                    moves_on(&mut waits, &mut wrong);
                }
            }
            Step::Move(made) => {
                if made.torch {
                    moves_on(&mut waits, &mut wrong);
                    wrong.extend(cuts_well(made, run.and_then(|run| asked.cuts.get(run)).copied()));
                }
                let half_mm = match run.and_then(|run| asked.cuts.get(run)) {
                    Some(cut) if made.torch => cut.kerf_mm / 2.0,
                    _ => 0.0,
                };
                wrong.extend(move_is_clear(made, asked.table, asked.clamps, half_mm));
                wrong.extend(asked.heights.and_then(|heights| height_is_right(made, heights)));
            }
            Step::End { line, torch } => {
                if *torch {
                    wrong.push(Wrong::TorchLeftOn { line: *line });
                }
            }
        }
    }
    wrong
}

pub(super) fn is_at(z_mm: Option<f64>, wanted_mm: f64) -> bool {
    z_mm.is_some_and(|z| (z - wanted_mm).abs() <= ROUNDING_MM)
}

fn cuts_well(made: &Move, cut: Option<super::asked::AskedCut>) -> Option<Wrong> {
    let line = made.line;
    let Some(found_mm_min) = made.feed_mm_min else {
        return Some(Wrong::TravelTorchOn { line });
    };
    let wanted_mm_min = cut?.feed_mm_min;
    (!is_feed(found_mm_min, wanted_mm_min)).then_some(Wrong::Feed {
        line,
        found_mm_min,
        wanted_mm_min,
    })
}

pub(super) fn is_feed(found_mm_min: f64, wanted_mm_min: f64) -> bool {
    // A feed in inches is rounded in inches.
    let allowed = ROUNDING * wanted_mm_min + 25.4 * ROUNDING;
    (found_mm_min - wanted_mm_min).abs() <= allowed
}

fn height_is_right(made: &Move, heights: AskedHeights) -> Option<Wrong> {
    let (wanted_mm, right): (f64, fn(f64, f64) -> bool) = if made.torch {
        (heights.cut_mm, |z, wanted| (z - wanted).abs() <= ROUNDING_MM)
    } else {
        (heights.travel_mm, |z, wanted| z >= wanted - ROUNDING_MM)
    };
    let off = made
        .z_mm
        .into_iter()
        .find(|z| !z.is_some_and(|z| right(z, wanted_mm)))?;
    Some(Wrong::Height {
        line: made.line,
        found_mm: off,
        wanted_mm,
    })
}

pub(super) fn place_is_clear(line: usize, at: Point, table: [Point; 2], clamps: &[Region]) -> Vec<Wrong> {
    let off = off_table(line, (at, at), table);
    let clamp = clamps
        .iter()
        .position(|clamp| clamp.place_of(at) != In::Outside)
        .map(|clamp| Wrong::IntoClamp { line, clamp, at });
    off.into_iter().chain(clamp).collect()
}

fn off_table(line: usize, (low, high): (Point, Point), table: [Point; 2]) -> Option<Wrong> {
    let on = |p: Point| {
        p.x >= table[0].x - ROUNDING_MM
            && p.y >= table[0].y - ROUNDING_MM
            && p.x <= table[1].x + ROUNDING_MM
            && p.y <= table[1].y + ROUNDING_MM
    };
    [low, high]
        .into_iter()
        .find(|corner| !on(*corner))
        .map(|at| Wrong::OffTable { line, at })
}

pub(super) fn move_is_clear(made: &Move, table: [Point; 2], clamps: &[Region], half_mm: f64) -> Vec<Wrong> {
    let bounds = made.path.bounds();
    let mut wrong: Vec<Wrong> = off_table(made.line, bounds, table).into_iter().collect();
    for (clamp, shape) in clamps.iter().enumerate() {
        if near(&bounds, &shape.bounds(), half_mm)
            && let Some(at) = runs_into(&made.path, shape, half_mm)
        {
            wrong.push(Wrong::IntoClamp {
                line: made.line,
                clamp,
                at,
            });
        }
    }
    wrong
}

fn runs_into(path: &Segment, shape: &Region, half_mm: f64) -> Option<Point> {
    if shape.place_of(path.from()) != In::Outside {
        return Some(path.from());
    }
    shape
        .outlines()
        .flat_map(plane::Outline::segments)
        .map(|edge| edge.distance_between(path))
        .find_map(|(off_mm, at, _)| (off_mm <= half_mm).then_some(at))
}

/// No pierce within a part, nor so near that the kerf touches it.
pub(super) fn pierces(runs: &[Run], asked: &Asked) -> Vec<Wrong> {
    let mut wrong = Vec::new();
    for (run, cut) in runs.iter().zip(asked.cuts) {
        let Some(at) = run.at else { continue };
        let clear_mm = cut.kerf_mm / 2.0 - EDGE_TOLERANCE_MM;
        for (part, region) in asked.parts.iter().enumerate() {
            if near(&(at, at), &region.bounds(), clear_mm)
                && (region.place_of(at) != In::Outside || region.distance_to(at).0 < clear_mm)
            {
                wrong.push(Wrong::PierceInPart {
                    line: run.line,
                    part,
                    at,
                });
            }
        }
    }
    wrong
}

/// The torch never lit, and every move on the table, clear of the clamps and at travel height.
pub(super) fn dry(
    program: &Program,
    table: [Point; 2],
    clamps: &[Region],
    travel_height_mm: Option<f64>,
) -> Vec<Wrong> {
    let mut wrong = Vec::new();
    for step in &program.steps {
        match step {
            Step::Arrive { line, at, .. } => wrong.extend(place_is_clear(*line, *at, table, clamps)),
            Step::TorchOn { line, .. } => wrong.push(Wrong::LitInDryRun { line: *line }),
            Step::Move(made) => {
                wrong.extend(move_is_clear(made, table, clamps, 0.0));
                if let Some(travel_mm) = travel_height_mm {
                    let heights = AskedHeights {
                        pierce_mm: travel_mm,
                        cut_mm: travel_mm,
                        travel_mm,
                    };
                    wrong.extend(height_is_right(made, heights));
                }
            }
            Step::MarkerOn { line, place } => wrong.push(Wrong::MarkNotAsked {
                line: *line,
                at: place.at,
            }),
            Step::Rise { .. }
            | Step::TorchOff { .. }
            | Step::MarkerOff { .. }
            | Step::Dwell { .. }
            | Step::End { .. } => {}
        }
    }
    wrong
}
