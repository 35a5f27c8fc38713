//! Where two bends of one panel meet.

use std::f64::consts::PI;

use plane::{SAME_POINT_MM, Segment, crossing_of_lines};

use crate::divide::{EdgeKind, PanelEdge};
use crate::relief::Freed;
use crate::trim::{BendCut, ReliefSize, TrimFault};

/// Bends within this of being in line are joined as if they were: their tangent lines would meet too far off.
const IN_LINE_RAD: f64 = 15.0 * PI / 180.0;

/// Joins the tangent lines of bends that start at one end, and rounds out every corner between two tangent lines.
pub(crate) fn finish_corners(
    mut run: Vec<PanelEdge>,
    cuts: &[BendCut],
    freed: &mut Vec<Freed>,
) -> Result<Vec<PanelEdge>, TrimFault> {
    join_tangents(&mut run, freed);
    round_corners(run, cuts, freed)
}

/// Two bends that start at one end, the panel outside both, were each stepped back to it. In place of the two steps:
/// at an inside corner the tangent lines carried on until they meet, in line nothing or the step between them.
fn join_tangents(run: &mut Vec<PanelEdge>, freed: &mut Vec<Freed>) {
    if run.len() < 5 {
        return;
    }
    let mut index = 0;
    while index < run.len() {
        let at = [0, 1, 2, 3].map(|step| (index + step) % run.len());
        index += 1;
        let [first, step_in, step_out, second] = at.map(|at| run[at]);
        let (EdgeKind::Crease { crease: a, .. }, EdgeKind::Crease { crease: b, .. }) =
            (first.kind, second.kind)
        else {
            continue;
        };
        let stepped = [step_in.kind, step_out.kind] == [a, b].map(|crease| EdgeKind::Relief { crease });
        if !stepped || a == b {
            continue;
        }
        let (from, to) = (first.seg.to(), second.seg.from());
        let (along, onward) = (first.seg.tangent_at(1.0), second.seg.tangent_at(0.0));
        if along.perp(&onward).abs() < IN_LINE_RAD.sin() {
            run[at[1]].seg = Segment::line(from, to);
            let gone = if (to - from).norm() > SAME_POINT_MM {
                vec![at[2]]
            } else {
                vec![at[1], at[2]]
            };
            let mut place = 0;
            run.retain(|_| {
                place += 1;
                !gone.contains(&(place - 1))
            });
            if gone.len() == 1 {
                freed.push(Freed::Torn { crease: a, at: from });
            }
        } else if let Some(meet) = crossing_of_lines(from, along, to, onward) {
            run[at[1]].seg = Segment::line(from, meet);
            run[at[2]].seg = Segment::line(meet, to);
            freed.push(Freed::Corner {
                creases: [a, b],
                at: meet,
                radius_mm: 0.0,
            });
        }
    }
}

/// Rounds the panel out about the meeting point of two tangent lines.
fn round_corners(
    mut run: Vec<PanelEdge>,
    cuts: &[BendCut],
    freed: &mut Vec<Freed>,
) -> Result<Vec<PanelEdge>, TrimFault> {
    let mut index = 0;
    while index < run.len() {
        let next = (index + 1) % run.len();
        let (EdgeKind::Crease { crease: a, .. }, EdgeKind::Crease { crease: b, .. }) =
            (run[index].kind, run[next].kind)
        else {
            index += 1;
            continue;
        };
        let (first, second) = (run[index].seg, run[next].seg);
        let at = first.to();
        let sizes = [a, b].map(|crease| cuts[crease].relief);
        let radius_mm = sizes.iter().flatten().map(corner_radius_mm).fold(0.0, f64::max);
        if radius_mm <= SAME_POINT_MM {
            freed.push(Freed::Torn { crease: a, at });
            index += 1;
            continue;
        }
        for (seg, crease) in [(first, a), (second, b)] {
            if seg.length_mm() <= radius_mm + SAME_POINT_MM {
                return Err(TrimFault::NoLength { crease });
            }
        }
        let start = at - first.tangent_at(1.0) * radius_mm;
        let end = at + second.tangent_at(0.0) * radius_mm;
        // Clockwise about the corner, through the panel.
        let inside_rad = (start - at).angle(&(end - at));
        let arc = Segment::new(start, end, -(inside_rad / 4.0).tan());
        run[index].seg = Segment::line(first.from(), start);
        run[next].seg = Segment::line(end, second.to());
        run.insert(
            index + 1,
            PanelEdge {
                seg: arc,
                kind: EdgeKind::Relief { crease: a },
            },
        );
        freed.push(Freed::Corner {
            creases: [a, b],
            at,
            radius_mm,
        });
        index += 2;
    }
    Ok(run)
}

/// The round relief reaches as far past the tangent lines as a slot would, and is as wide.
fn corner_radius_mm(size: &ReliefSize) -> f64 {
    (size.width_mm / 2.0).max(size.past_mm)
}
