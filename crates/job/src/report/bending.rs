//! From the plan of the bends to the summary.

use brake::hand::{HandStep, for_one_hand};
use brake::order::{Edge, Round, Step};
use brake::tooling::Means;

use crate::judge::bend_changes::{left_out_words, repair_words};
use crate::judge::bend_words::{
    blocked_words, done_names, hand_words, in_itself_words, means_words, needs_words, solid_words,
    step_bends, what_words,
};
use crate::judge::by_hand::{by_hand, kerfed_words};
use crate::run::Worked;
use crate::stages::bending::{Bending, Found};
use crate::summary::*;

pub(super) fn bend(worked: &Worked) -> Option<Bend> {
    let bending = worked.bent.as_ref().ok()?;
    let (order, least, blocked, would_do) = match &bending.found {
        Found::Order(plan) => {
            let hands = for_one_hand(&bending.work, plan, &bending.practice);
            let steps = plan.steps.iter().zip(&hands);
            let order = steps.map(|(step, hand)| bend_step(bending, step, hand)).collect();
            let least = plan.least_clearance().map(|clearance| Num(clearance.mm.max(0.0)));
            (order, least, Vec::new(), Vec::new())
        }
        Found::None {
            why, repairs, kerfed, ..
        } => {
            let blocked = why.blocked().into_iter().map(|blocked| BendBlocked {
                bend: bending.work.lines[blocked.line].name.clone(),
                after: done_names(bending, blocked),
                says: blocked_words(bending, blocked),
            });
            let would_do = repairs.iter().map(|repair| repair_words(bending, repair));
            let kerf = kerfed.as_ref().map(|kerfed| kerfed_words(bending, kerfed));
            (
                Vec::new(),
                None,
                blocked.collect(),
                would_do.chain(kerf).collect(),
            )
        }
    };
    let (in_itself, not_tried) = match &bending.found {
        Found::Order(_) => (None, None),
        Found::None { why, left_out, .. } => (in_itself_words(bending, why), left_out_words(*left_out)),
    };
    Some(Bend {
        tools: bending.whose.word(),
        tools_said: bending.said(),
        order,
        asks: super::bend_asks::asks(worked, bending),
        least_clearance_mm: least,
        in_itself,
        blocked,
        would_do,
        not_tried,
        true_radius: super::coming::true_radius(worked),
        by_hand: by_hand(worked, bending)
            .into_iter()
            .map(|bend| BendByHand {
                bend: bend.bend,
                says: bend.says,
            })
            .collect(),
    })
}

fn bend_step(bending: &Bending, step: &Step, hand: &HandStep) -> BendStep {
    let work = &bending.work;
    let line = &work.lines[step.lines[0]];
    let back = match step.round {
        Round::MovingBack => line.moving,
        Round::FixedBack => line.fixed,
    };
    BendStep {
        number: hand.step + 1,
        bend: step_bends(bending, step),
        tool: means_words(bending, step.means),
        tool_mm: Num(step.tool_mm),
        bent_deg: Num(step.to_rad.to_degrees()),
        between_legs_deg: Num(180.0 - step.to_rad.to_degrees()),
        loaded_deg: Num(bending.aim_rad(step).unwrap_or(step.to_rad).to_degrees()),
        springs_known: bending.aim_rad(step).is_some(),
        face_up: if step.marked_up { "marked face" } else { "far face" },
        back: work.panels[back].clone(),
        flip: step.flip,
        turn: step.turn,
        change: step.change,
        gauge_to_middle_mm: Num(step.gauge.to_middle_mm),
        gauge_to_tangent_mm: Num(step.gauge.to_tangent_mm),
        gauge_to: bending.gauge_to(step.means).word(),
        gauge: match step.gauge.edge {
            // A vice has no gauge: the plate is marked, or a block laid under its edge.
            Edge::Square if matches!(step.means, Means::Vice(_)) => {
                "a straight edge, with the line at the jaw's edge"
            }
            Edge::Square => "a straight edge",
            Edge::Bent => "a bend made before",
            Edge::Point => "a point",
            Edge::Mark => "none: bend to a mark",
        },
        force_n: bending.force_n(step).map(Num),
        front_heavy_n_mm: Num(step.held.front_heavy_n_mm),
        front_mm: Num(step.held.front_mm),
        back_mm: Num(step.held.back_mm),
        mass_kg: step.held.mass_kg.map(Num),
        hand: hand_words(bending, step, hand),
        clearance_mm: step.clearance.map(|clearance| Num(clearance.mm.max(0.0))),
        nearest: step.clearance.map(|clearance| {
            format!(
                "{} to {}",
                solid_words(bending, clearance.part),
                what_words(bending, clearance.to)
            )
        }),
        needs: needs_words(step, hand),
    }
}
