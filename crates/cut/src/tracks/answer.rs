//! Can it be cut? With the number that decides.

use super::{TrackConcern, Tracks};
use crate::holes::{Because, HolePlan};
use crate::kerf::Left;

/// The answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Answer {
    /// Every edge is cut, and comes out as drawn but for the kerf's own rounding.
    Yes,
    /// It can be cut; look before going on.
    Care,
    /// Something that decides could not be worked out.
    NotChecked,
    /// Something does not come out.
    No,
}

/// What decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Decides {
    /// A hole's diameter over the least that is cut.
    LeastHole,
    /// The room for a lead over the least lead.
    Lead,
    /// The width of a gap over the kerf.
    Gap,
    /// An opening nowhere wider than the kerf.
    Kerf,
    /// A drill that meets a hardened edge.
    HardEdge,
    /// A thread that nobody knows.
    Thread,
    /// What the kerf leaves standing, which could not be worked out.
    NotWorkedOut,
    /// Room for every part on the sheet.
    Room,
    /// A pierce on the sheet.
    PierceOnSheet,
    /// A part that can tip when it is cut free.
    Tips,
    /// A pierce where the plate is still hot.
    Heat,
    /// A travel over what may have tipped, by a machine that keeps heights by itself.
    Lift,
    /// A program that does what was asked when it is read back.
    Program,
}

/// Can it be cut?
#[derive(Debug, Clone, PartialEq)]
pub struct CanBeCut {
    /// The answer.
    pub answer: Answer,
    /// What decides.
    pub decides: Decides,
    /// Which contour, by name.
    pub name: String,
    /// What there is, mm; none where there is nothing to measure.
    pub found_mm: Option<f64>,
    /// What there must at least be, mm.
    pub least_mm: Option<f64>,
    /// How much of the limit is left: 1 untouched, 0 at the limit, below 0 past it. None where nothing was measured.
    pub margin: Option<f64>,
}

impl CanBeCut {
    fn measured(answer: Answer, decides: Decides, name: &str, found_mm: f64, least_mm: f64) -> Self {
        CanBeCut {
            answer,
            decides,
            name: name.to_owned(),
            found_mm: Some(found_mm),
            least_mm: Some(least_mm),
            margin: Some((found_mm - least_mm) / found_mm.max(least_mm)).filter(|margin| margin.is_finite()),
        }
    }

    pub(crate) fn bare(answer: Answer, decides: Decides, name: &str) -> Self {
        CanBeCut {
            answer,
            decides,
            name: name.to_owned(),
            found_mm: None,
            least_mm: None,
            margin: None,
        }
    }
}

impl CanBeCut {
    /// The graver answer first, of one gravity the one with less margin.
    pub(crate) fn gravest_first(a: &CanBeCut, b: &CanBeCut) -> std::cmp::Ordering {
        let rank = |one: &CanBeCut| one.margin.unwrap_or(f64::NEG_INFINITY);
        b.answer
            .cmp(&a.answer)
            .then(rank(a).total_cmp(&rank(b)))
            .then(a.name.cmp(&b.name))
    }
}

impl Tracks {
    /// The answer of these tracks, and what decides it: of the gravest the one with the least margin. None when there is
    /// not a contour to be cut, nor any concern.
    ///
    /// A hole that is drilled because it is too small for the cutter or no lead gets into it, or whose edge is hard where the drill meets it, asks
    /// for care. A lead shorter than wanted but no shorter than the least does not.
    #[must_use]
    pub fn can_be_cut(&self) -> Option<CanBeCut> {
        let by_concern = self
            .concerns
            .iter()
            .filter_map(|concern| self.of_concern(concern));
        let by_hole = self.holes.iter().filter_map(of_hole);
        let by_lead = self.contours.iter().zip(&self.leads_mm);
        let by_lead = by_lead.map(|(contour, [longest_mm, least_mm])| {
            CanBeCut::measured(Answer::Yes, Decides::Lead, &contour.name, *longest_mm, *least_mm)
        });
        by_concern
            .chain(by_hole)
            .chain(by_lead)
            .min_by(CanBeCut::gravest_first)
    }

    fn of_concern(&self, concern: &TrackConcern) -> Option<CanBeCut> {
        let kerf_mm = self.kerf.width_mm;
        Some(match concern {
            TrackConcern::Left { name, left } => match *left {
                Left::Corner { .. } => return None,
                Left::Gap { width_mm, .. } => {
                    CanBeCut::measured(Answer::No, Decides::Gap, name, width_mm, kerf_mm)
                }
                // The gaps between the pieces are told one by one.
                Left::InPieces { .. } => CanBeCut::bare(Answer::No, Decides::Gap, name),
                Left::Opening { .. } => CanBeCut::bare(Answer::No, Decides::Kerf, name),
                Left::NotWorkedOut { .. } => CanBeCut::bare(Answer::NotChecked, Decides::NotWorkedOut, name),
            },
            TrackConcern::NoLead { name, why, .. } => match why.longest_mm() {
                Some(longest_mm) => {
                    CanBeCut::measured(Answer::No, Decides::Lead, name, longest_mm, why.least_mm)
                }
                None => CanBeCut::bare(Answer::No, Decides::Lead, name),
            },
            // It fits; how well is told by the leads.
            TrackConcern::ShorterLead { .. } => return None,
            TrackConcern::NoThread { name, .. } => CanBeCut::bare(Answer::NotChecked, Decides::Thread, name),
        })
    }
}

fn of_hole(plan: &HolePlan) -> Option<CanBeCut> {
    if plan.hard_edge {
        return Some(CanBeCut::bare(Answer::Care, Decides::HardEdge, &plan.name));
    }
    let (answer, least_mm) = match plan.because {
        Because::WideEnough { least_mm } => (Answer::Yes, least_mm),
        Because::TooSmall { least_mm } => (Answer::Care, least_mm),
        Because::NoLead { longest_mm, least_mm } => {
            return Some(match longest_mm {
                Some(longest_mm) => {
                    CanBeCut::measured(Answer::Care, Decides::Lead, &plan.name, longest_mm, least_mm)
                }
                None => CanBeCut::bare(Answer::Care, Decides::Lead, &plan.name),
            });
        }
        Because::HeldCloser { .. } | Because::CutNotKnown { .. } | Because::Tapped { .. } => return None,
    };
    Some(CanBeCut::measured(
        answer,
        Decides::LeastHole,
        &plan.name,
        plan.dia_mm,
        least_mm,
    ))
}
