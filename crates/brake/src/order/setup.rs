//! All that is known before the search: the strokes, the tools in every length that may serve, and what forbids which.

use super::moves::{Round, Stroke, strokes};
use super::variants::{MOST_VARIANTS, Pieces, Variant};
use crate::needs::{Practice, Stop, ToBend, comes, cover_mm, spring, stops};
use crate::sweep::Sections;
use crate::tooling::{Away, Lengths, Means, Tooling};
use crate::work::{Line, Work};

/// However sure the springback is, a bend is swept past its angle by this at least: what a bend's angle may be out.
const LEAST_OVER_RAD: f64 = 0.0175;
/// A leg ends in a bend when that runs along its own, as the sine between them.
const ALONG: f64 = 1e-3;
/// Tools made up to lengths that differ by less are the same.
const SAME_LENGTH_MM: f64 = 0.01;

/// What the search goes by.
pub(crate) struct Setup {
    pub strokes: Vec<Stroke>,
    pub variants: Vec<Variant>,
    /// The solids of all of them, each once.
    pub pieces: [Pieces; 4],
    /// For each stroke, the angle under load, rad.
    pub last_rad: Vec<f64>,
    /// For each stroke and variant, what forbids it wherever the part stands.
    pub stops: Vec<Vec<Vec<Stop>>>,
    /// For each stroke, the variants that nothing forbids, as bits.
    pub wanted: Vec<u128>,
    /// For each stroke and variant, by how many tenths the inside radius comes out off the drawn one.
    pub off_radius: Vec<Vec<u32>>,
    /// For each stroke and variant, how many bends are sawn into first: none but where that is asked for.
    pub kerfs: Vec<Vec<u32>>,
    /// Lengths of tools that are not asked about.
    pub left_out: usize,
    /// For each stroke and way round, how the part lies, as an index into a list of such.
    pub poses: Vec<[usize; 2]>,
    /// Each way the part lies: which face is up, and the direction on the blank that goes to the back, in whole
    /// thousandths of a turn.
    pub lies: Vec<(bool, i32)>,
}

impl Setup {
    pub fn of(work: &Work, tooling: &Tooling, practice: &Practice) -> Setup {
        let strokes = strokes(work);
        let last_rad: Vec<f64> = strokes
            .iter()
            .map(|stroke| last_rad(work, practice, stroke))
            .collect();
        let (variants, left_out) = variants(work, tooling, practice, &strokes);
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
        let off_radius = strokes
            .iter()
            .map(|stroke| {
                let drawn_mm = work.lines[stroke.lines[0]].radius_mm;
                let off = |variant: &Variant| tenths_off(tooling, variant.station.means, work, drawn_mm);
                variants.iter().map(off).collect()
            })
            .collect();
        let (poses, lies) = poses(work, &strokes);
        Setup {
            strokes,
            pieces: Pieces::all(&variants),
            kerfs: vec![vec![0; variants.len()]; stops.len()],
            variants,
            last_rad,
            stops,
            wanted,
            off_radius,
            left_out,
            poses,
            lies,
        }
    }
}

pub(super) fn stops_of(
    work: &Work,
    tooling: &Tooling,
    practice: &Practice,
    means: Means,
    tool_mm: f64,
    stroke: &Stroke,
    last_rad: f64,
) -> Vec<Stop> {
    let line = &work.lines[stroke.lines[0]];
    if stroke.closing && means != Means::Away {
        return not_pressed_shut(work, tooling, practice, means, tool_mm, stroke, last_rad);
    }
    let bend = ToBend {
        line,
        length_mm: stroke.length_mm(),
        last_rad,
        thickness_mm: work.thickness_mm,
        stock: work.stock.as_ref(),
    };
    let mut stops = stops(practice, tooling, means, tool_mm, &bend);
    if let (Means::Away, Some(away)) = (means, &tooling.away) {
        let legs = stroke.lines.iter().flat_map(|&line| {
            let sides = [work.lines[line].fixed, work.lines[line].moving];
            sides.map(|panel| (line, panel))
        });
        stops.extend(legs.filter_map(|(line, panel)| short_away(work, away, line, panel)));
    }
    stops
}

/// What forbids that a bend is pressed shut between flat faces: only its length, in a brake or a vice; no folder does it.
fn not_pressed_shut(
    work: &Work,
    tooling: &Tooling,
    practice: &Practice,
    means: Means,
    tool_mm: f64,
    stroke: &Stroke,
    last_rad: f64,
) -> Vec<Stop> {
    let length_mm = stroke.length_mm();
    let cover_mm = cover_mm(practice, length_mm, work.thickness_mm);
    let too_short = |has_mm: f64, needs_mm: f64| {
        (has_mm < needs_mm).then_some(Stop::Length {
            needs_mm: length_mm,
            has_mm,
        })
    };
    match means {
        Means::Press { press, die, .. } => {
            let machine = too_short(tooling.presses[press].length_mm, length_mm);
            let tool = too_short(tool_mm.min(tooling.dies[die].lengths.longest_mm()), cover_mm);
            machine.into_iter().chain(tool).collect()
        }
        Means::Vice(vice) => {
            let opens = tooling.vices[vice].opens;
            too_short(opens.usable_mm(tool_mm), cover_mm)
                .into_iter()
                .collect()
        }
        Means::Folder(_) => vec![Stop::Angle {
            needs_rad: last_rad,
            has_rad: 0.0,
        }],
        Means::Away => Vec::new(),
    }
}

/// A leg shorter than the shop that takes work in asks for, by its drawn length from outside to outside.
fn short_away(work: &Work, away: &Away, line: usize, panel: usize) -> Option<Stop> {
    // Past a right angle the arc stands out no farther than at one.
    let set_back_mm = |line: &Line| {
        let half_rad = line.bent_rad.min(std::f64::consts::FRAC_PI_2) / 2.0;
        (line.radius_mm + work.thickness_mm) * half_rad.tan()
    };
    let made = &work.lines[line];
    let out = work.out_of(line, panel);
    let ends_in = work.lines_at(panel).into_iter().map(|other| &work.lines[other]);
    let beyond_mm = ends_in
        .filter(|other| (other.middle - made.middle).dot(&out) > 0.0 && other.across.perp(&out).abs() < ALONG)
        .map(set_back_mm)
        .fold(0.0, f64::max);
    let from_middle_mm = work.leg_mm(line, panel);
    let leg_mm = from_middle_mm - made.strip_mm() / 2.0 + set_back_mm(made) + beyond_mm;
    let lacks_mm = away.least_leg_x_t * work.thickness_mm + made.radius_mm - leg_mm;
    (lacks_mm > 0.0).then_some(Stop::Leg {
        panel,
        found_mm: from_middle_mm,
        needs_mm: from_middle_mm + lacks_mm,
    })
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
    let over_rad = sprung.map_or(practice.over_rad.value, |spring| {
        spring.opens_rad.max(LEAST_OVER_RAD)
    });
    let told_rad = stroke.lines.iter().map(|line| work.lines[*line].over_rad);
    let over_rad = told_rad.fold(over_rad, f64::max);
    (stroke.to_rad + over_rad).min(std::f64::consts::PI)
}

/// By how many tenths of the drawn radius the one that comes is off it; past all of it, no more is counted.
fn tenths_off(tooling: &Tooling, means: Means, work: &Work, drawn_mm: f64) -> u32 {
    const MOST_TENTHS: f64 = 10.0;
    let Some(comes) = comes(tooling, means, work.stock.as_ref(), drawn_mm) else {
        return 0;
    };
    let off = (comes.radius_mm - drawn_mm).abs() / drawn_mm.max(work.thickness_mm / 2.0);
    (off * 10.0).min(MOST_TENTHS) as u32
}

/// Every means that serves some stroke, in every length that may serve one: just over what must be covered, just within
/// the bend, just over it, and all of it; ascending within each means. And how many lengths were left out.
fn variants(
    work: &Work,
    tooling: &Tooling,
    practice: &Practice,
    strokes: &[Stroke],
) -> (Vec<Variant>, usize) {
    let serves = |means: Means, tool_mm: f64| {
        strokes.iter().any(|stroke| {
            let last_rad = last_rad(work, practice, stroke);
            stops_of(work, tooling, practice, means, tool_mm, stroke, last_rad).is_empty()
        })
    };
    let mut made_up: Vec<(Means, Vec<f64>)> = Vec::new();
    for means in tooling.means() {
        let (lengths, machine_mm): (&Lengths, f64) = match means {
            // The punch must fit between what is up; the die lies under the plate, and is made up to at least as much.
            Means::Press { press, punch, .. } => {
                (&tooling.punches[punch].lengths, tooling.presses[press].length_mm)
            }
            Means::Folder(folder) => (
                &tooling.folders[folder].fingers,
                tooling.folders[folder].length_mm,
            ),
            Means::Vice(vice) => (&tooling.vices[vice].jaws, f64::INFINITY),
            Means::Away => {
                let length_mm = tooling.away.as_ref().map(|away| away.length_mm);
                let wanted = length_mm
                    .into_iter()
                    .filter(|length_mm| serves(means, *length_mm));
                made_up.push((means, wanted.collect()));
                continue;
            }
        };
        let sums = lengths.made_up_mm();
        let mut wanted: Vec<f64> = sums
            .iter()
            .copied()
            .rfind(|made| *made <= machine_mm)
            .into_iter()
            .collect();
        for stroke in strokes.iter().filter(|stroke| !stroke.closing) {
            let length_mm = stroke.length_mm();
            let cover_mm = cover_mm(practice, length_mm, work.thickness_mm);
            wanted.extend(sums.iter().copied().find(|made| *made >= cover_mm));
            wanted.extend(
                sums.iter()
                    .copied()
                    .rfind(|made| *made <= length_mm && *made >= cover_mm),
            );
            wanted.extend(sums.iter().copied().find(|made| *made >= length_mm));
        }
        wanted.retain(|made| *made <= machine_mm && serves(means, *made));
        wanted.sort_by(f64::total_cmp);
        wanted.dedup_by(|a, b| (*a - *b).abs() < SAME_LENGTH_MM);
        made_up.push((means, wanted));
    }
    let mut left_out = 0;
    // Too many: of the means with most lengths, the second longest goes, as the longest serves what it does or meets more.
    while made_up.iter().map(|(_, lengths)| lengths.len()).sum::<usize>() > MOST_VARIANTS {
        let most = made_up.iter_mut().max_by_key(|(_, lengths)| lengths.len());
        if let Some((_, lengths)) = most {
            let at = lengths.len().saturating_sub(2);
            lengths.remove(at);
            left_out += 1;
        }
    }
    let variants = made_up
        .into_iter()
        .filter(|(_, lengths)| !lengths.is_empty())
        .flat_map(|(means, lengths)| {
            let sections = Sections::of(tooling, means);
            let made_up = move |tool_mm| sections.made_up(tooling, tool_mm);
            lengths.into_iter().map(made_up)
        })
        .map(|station| Variant::of(tooling, station, work.thickness_mm))
        .collect();
    (variants, left_out)
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
