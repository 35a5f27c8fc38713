//! From what was worked out to findings and the four answers.

mod bending;
pub(crate) mod by_hand;
mod caring;
mod coming;
mod cut_holes;
mod cutting;
pub(crate) mod folding;
mod holding;
pub(crate) mod measuring;
mod planned;
mod reading;
mod seating;
pub(crate) mod strip_words;
mod trust;

use handbook::Handbook;

use crate::files::model::Shop;
use crate::finding::{Finding, Level, Question};
use crate::run::Worked;
use crate::stages::scope::Scope;
use crate::summary::Verdicts;

/// The way of cutting when the shop names none.
const USUAL_PROCESS: &str = "plasma";

/// Every finding, the weightiest first, those of one weight in the order of the questions.
pub(crate) fn findings(worked: &Worked) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(caring::findings(worked));
    findings.extend(reading::findings(worked));
    findings.extend(seating::findings(worked));
    findings.extend(cut_holes::findings(worked));
    findings.extend(cutting::findings(worked));
    findings.extend(bending::findings(worked));
    findings.extend(coming::findings(worked));
    findings.extend(holding::findings(worked));
    findings.extend(trust::findings(worked));
    // A slipped reading leads: what does not meet may only follow from it.
    findings.sort_by_key(|finding| (finding.code != reading::SLIP, finding.level));
    findings
}

/// The four answers.
pub(crate) fn verdicts(worked: &Worked, findings: &[Finding]) -> Verdicts {
    Verdicts {
        fit: seating::verdict(worked, findings),
        cut: cutting::verdict(worked, findings),
        bend: bending::verdict(worked, findings),
        hold: holding::verdict(worked, findings),
    }
}

pub(crate) use bending::changes as bend_changes;
pub(crate) use bending::words as bend_words;
pub(crate) use coming::line_to_draw;
pub(crate) use holding::{
    check_code, check_words, detail_words, face_words, large_words, missing_words, mode_words, part_name,
    within,
};
pub(crate) use planned::hole_words;
pub(crate) use reading::{HOOK_MM, meant, slip_reason, snoop, suspects as suspect_readings};
pub(crate) use seating::allowed_gap_mm;

/// Where the design says something of this name: a bend, an opening, a panel.
fn design_place(worked: &Worked, name: &str) -> Option<crate::files::model::Place> {
    let design = &worked.files.design;
    let bends = design.bends.iter().map(|bend| &bend.name);
    let holes = design.holes.iter().map(|hole| &hole.name);
    let slots = design.slots.iter().map(|slot| &slot.name);
    let windows = design.windows.iter().map(|window| &window.name);
    let panels = design.panels.iter().map(|(name, _)| name);
    let mut names = bends.chain(holes).chain(slots).chain(windows).chain(panels);
    names
        .find(|known| known.value == name)
        .map(|known| known.at.clone())
}

/// Where a value comes from, in brackets after the number: its source, and how far it can be trusted when the source
/// does not say so itself.
fn source_words<T>(value: &handbook::Sourced<T>) -> String {
    let status = value.status.to_string();
    let said = status.split(',').next().unwrap_or_default();
    if matches!(value.status, handbook::Status::Confirmed | handbook::Status::Shop)
        || value.source.contains(said)
    {
        value.source.clone()
    } else {
        format!("{}; {status}", value.source)
    }
}

/// A coordinate to the mm, never "-0".
fn whole_mm(mm: f64) -> String {
    format!("{:.0}", mm.round() + 0.0)
}

/// The weightiest finding of a question.
fn worst(findings: &[Finding], question: Question) -> Option<&Finding> {
    findings
        .iter()
        .filter(|finding| finding.question == question)
        .min_by_key(|finding| finding.level)
}

/// "1 care" or "2 cares and a stop", for the end of an answer.
fn tally(findings: &[Finding], question: Question, apart_from: Option<&Finding>) -> String {
    let count = |level: Level| {
        let of = findings
            .iter()
            .filter(|finding| finding.question == question && finding.level == level);
        of.filter(|finding| Some(*finding) != apart_from).count()
    };
    let words = |count: usize, one: &str| match count {
        0 => None,
        1 => Some(format!("1 more {one}")),
        more => Some(format!("{more} more {one}s")),
    };
    let parts: Vec<String> = [
        words(count(Level::Stop), "stop"),
        words(count(Level::Care), "care"),
    ]
    .into_iter()
    .flatten()
    .collect();
    if parts.is_empty() {
        String::new()
    } else {
        format!(" ({})", parts.join(", "))
    }
}

/// The shop's way of cutting, or the usual one.
pub(crate) fn process_name(shop: Option<&Shop>) -> &str {
    let cutter = shop.and_then(|shop| shop.cutter.as_ref());
    cutter.map_or(USUAL_PROCESS, |cutter| cutter.process.value.as_str())
}

/// The narrowest slot that the shop's cutter makes, mm: its kerf, measured here or usual for its process.
pub(crate) fn least_slot_mm(book: &Handbook, shop: Option<&Shop>, scope: &Scope) -> f64 {
    let cutter = shop.and_then(|shop| shop.cutter.as_ref());
    let own = cutter
        .and_then(|cutter| cutter.kerf.as_ref())
        .and_then(|kerf| scope.length_mm(kerf).ok());
    let process = process_name(shop);
    own.or_else(|| Some(book.process(process).ok()?.kerf_mm.value))
        .unwrap_or(0.0)
}
