//! Where the gauge stands for the real part: at a bend that lies elsewhere, or against one that came otherwise.

use std::f64::consts::FRAC_PI_2;

use brake::measured::{Corrected, MeasuredBend};
use brake::order::{Edge, Round, Step};
use brake::work::{Line, Work};

/// Lines whose ways differ by less than this sine are parallel: over a leg of 300 mm they part by less than a felt pen's line.
const PARALLEL: f64 = 1e-3;

/// Each line as it was made, as it is now to be made, or as drawn.
pub(super) struct Real(Vec<Corrected>);

impl Real {
    pub fn of(work: &Work, made: &[MeasuredBend], found: &[Corrected]) -> Real {
        let drawn = work.lines.iter().enumerate().map(|(line, own)| Corrected {
            line,
            bent_rad: own.bent_rad,
            place_mm: 0.0,
        });
        let mut real: Vec<Corrected> = drawn.collect();
        for bend in made {
            let own = &mut real[bend.line];
            own.bent_rad = bend.bent_rad.unwrap_or(own.bent_rad);
            // Longer on the moving side, it lies nearer to the fixed one.
            own.place_mm = -bend.leg_over_mm;
        }
        for bend in found {
            real[bend.line] = *bend;
        }
        Real(real)
    }
}

/// The panel that is at the back.
pub(super) fn back_panel(line: &Line, step: &Step) -> usize {
    match step.round {
        Round::MovingBack => line.moving,
        Round::FixedBack => line.fixed,
    }
}

/// 1 where the moving side is at the back, -1 where the fixed one is.
fn sense(step: &Step) -> f64 {
    match step.round {
        Round::MovingBack => 1.0,
        Round::FixedBack => -1.0,
    }
}

/// From the middle of a bend's line to the outermost of its outside, away from the panel it ends, mm.
fn outermost_mm(line: &Line, bent_rad: f64, t_mm: f64) -> f64 {
    (line.radius_mm + t_mm) * bent_rad.min(FRAC_PI_2).sin() - bent_rad * line.neutral_mm / 2.0
}

/// The bend that stands against the gauge: of those made before on its side, parallel to the step's, that flat plate leads to, the
/// farthest out. With 1 where its moving side is the outer one, else -1.
fn bears(work: &Work, step: &Step) -> Option<(usize, f64)> {
    if step.gauge.edge != Edge::Bent {
        return None;
    }
    let lead = &work.lines[step.lines[0]];
    let out = lead.across * sense(step);
    let mut panels = vec![back_panel(lead, step)];
    let mut seen = step.lines.clone();
    let mut farthest: Option<(f64, usize, f64)> = None;
    while let Some(panel) = panels.pop() {
        for line in work.lines_at(panel) {
            if seen.contains(&line) {
                continue;
            }
            seen.push(line);
            let other = &work.lines[line];
            let bent_rad = work.bent_rad(line, step.before);
            if bent_rad == 0.0 {
                panels.push(if other.fixed == panel {
                    other.moving
                } else {
                    other.fixed
                });
                continue;
            }
            let away = -work.out_of(line, panel);
            if away.perp(&out).abs() > PARALLEL || away.dot(&out) < 0.0 {
                continue;
            }
            let at_mm =
                (other.middle - lead.middle).dot(&out) + outermost_mm(other, bent_rad, work.thickness_mm);
            if at_mm > 0.0 && farthest.is_none_or(|(most_mm, ..)| at_mm > most_mm) {
                farthest = Some((at_mm, line, other.across.dot(&out).signum()));
            }
        }
    }
    farthest.map(|(_, line, sense)| (line, sense))
}

/// By how much farther out than planned the edge at the gauge stands, mm: that of a bend made before, which lies elsewhere or came
/// to another angle.
pub(super) fn edge_by_mm(work: &Work, step: &Step, real: &Real) -> f64 {
    let Some((line, sense)) = bears(work, step) else {
        return 0.0;
    };
    let (other, is) = (&work.lines[line], &real.0[line]);
    let planned_rad = work.bent_rad(line, step.before);
    // One that is only begun by then is not measured yet.
    let is_rad = if planned_rad < other.bent_rad {
        planned_rad
    } else {
        is.bent_rad
    };
    let outermost_mm = |rad| outermost_mm(other, rad, work.thickness_mm);
    sense * is.place_mm + outermost_mm(is_rad) - outermost_mm(planned_rad)
}

/// By how much farther from the middle of its bend than planned a step's gauge stands, mm.
pub(super) fn gauge_by_mm(work: &Work, step: &Step, real: &Real) -> f64 {
    edge_by_mm(work, step, real) - sense(step) * real.0[step.lines[0]].place_mm
}

/// The leg that stood at the gauge as [`brake::standing::GaugedLeg`] has it, for the angle that came: outside, from its edge to where
/// the outsides meet; past a right angle to the outermost of the bend, since the corner is then in the air. mm.
pub(super) fn leg_mm(line: &Line, step: &Step, bent_rad: f64, t_mm: f64) -> f64 {
    let to_tangent_mm = step.gauge.to_middle_mm - bent_rad * line.neutral_mm / 2.0;
    to_tangent_mm + (line.radius_mm + t_mm) * (bent_rad / 2.0).tan().min(1.0)
}

/// By how much the leg of each line's moving side is longer, where that at the gauge is longer by so much, mm: the flat is as long as
/// it was cut.
pub(super) fn moving_over_mm(work: &Work, step: &Step, line: usize, gauged_over_mm: f64) -> f64 {
    let lead = &work.lines[step.lines[0]];
    let same = lead.across.dot(&work.lines[line].across) >= 0.0;
    sense(step) * if same { gauged_over_mm } else { -gauged_over_mm }
}
