//! The sheet for the person at the cutting table.

use cut::Of;
use cut::holes::HoleWay;
use cut::tracks::MarkFor;
use draw::{CutPart, CutSheet, DrillPlace, SheetCut, SheetToLoad, SlatWay, TabPlace, TitleBlock};
use plane::Outline;

use super::cutting::MARKS;
use crate::judge::hole_words;
use crate::run::Outcome;
use crate::summary::Num;
use crate::text::{cut_money, cut_span};

/// A sheet this much thicker or thinner than planned stops the job: feed, heights and kerf are not for it. Common practice, no
/// source.
const THICKNESS_SHARE: f64 = 0.05;

/// What the drawing is told; none without a plan.
pub(super) fn told(outcome: &Outcome, block: &TitleBlock) -> Option<CutSheet> {
    let sheet = outcome.worked.cut.as_ref().ok()?;
    let cut = outcome.summary.cut.as_ref()?;
    let (plan, profile) = (&sheet.plan, &sheet.cutter.profile);
    let t_mm = sheet.cutter.stock.thickness_mm;
    let clamps = profile.table.clamps.iter().filter_map(|clamp| {
        let ground = Outline::rectangle(clamp.low, clamp.high).ok()?;
        Some((clamp.name.clone(), ground))
    });
    let parts = plan.placed.iter().map(|part| CutPart {
        name: part.name.clone(),
        region: part.as_cut.clone(),
        tabs: part
            .tabs
            .iter()
            .map(|tab| TabPlace {
                at: tab.at,
                width_mm: tab.width_mm,
            })
            .collect(),
    });
    let cuts = plan.cuts.iter().map(|planned| {
        let part = match planned.cut.of {
            Of::Outline { part } | Of::Opening { part, .. } => part,
        };
        let of = plan.placed.get(part).map_or("", |placed| placed.name.as_str());
        let name = match planned.cut.of {
            Of::Outline { .. } => "outside".to_owned(),
            Of::Opening { .. } => {
                let name = planned.cut.name.strip_prefix(of).unwrap_or(&planned.cut.name);
                name.trim().to_owned()
            }
        };
        let mut notes = Vec::new();
        if (planned.cut.feed_mm_min - sheet.line.feed_mm_min).abs() > 1.0 {
            notes.push(format!("feed {:.0} mm/min", planned.cut.feed_mm_min));
        }
        if planned.travel.lifted {
            notes.push("lift the torch high on the way".into());
        }
        SheetCut {
            name,
            part: (part < plan.placed.len()).then_some(part),
            track: planned.cut.track.vertices.clone(),
            waits_s: planned.waits_s,
            notes,
        }
    });
    let several = plan.placed.len() > 1;
    let drills = plan.placed.iter().flat_map(|part| {
        let drilled = part
            .holes
            .iter()
            .filter(|hole| matches!(hole.way, HoleWay::Drill { .. }));
        drilled.filter_map(move |hole| {
            let marked = part.marks.iter().find_map(|mark| match &mark.what {
                MarkFor::Centre { hole: name } if *name == hole.name => Some(mark.from),
                _ => None,
            });
            let at = marked.or_else(|| {
                let opening = outcome
                    .worked
                    .part
                    .openings
                    .iter()
                    .position(|of| of.name == hole.name)?;
                match outcome.worked.part.blank.openings.get(opening)? {
                    Some(sheet::OpeningShape::Round { at, .. }) => Some(part.placed * at),
                    _ => None,
                }
            })?;
            Some(DrillPlace {
                name: if several {
                    format!("{}: {}", part.name, hole.name)
                } else {
                    hole.name.clone()
                },
                at,
                dia_mm: hole.dia_mm,
                drill: hole_words(hole),
            })
        })
    });
    let range = |range: &[Num; 2]| cut_span(range);
    let mut takes = vec![
        ("At the table".to_owned(), range(&cut.time_s)),
        ("Torch burning".to_owned(), range(&cut.burning_s)),
        (
            "Path".to_owned(),
            format!("{:.2} m, {} pierces", cut.cut_length_mm.0 / 1000.0, cut.pierces),
        ),
    ];
    if let Some(time_s) = cut.marks.as_ref().and_then(|marks| marks.time_s.as_ref()) {
        takes.insert(1, ("Marking of it".to_owned(), range(time_s)));
    }
    if let Some(bill) = &cut.bill {
        takes.push((
            "Cost".to_owned(),
            format!("{} {}", cut_money(&bill.total), bill.money),
        ));
    }
    let mut notes = vec![
        format!(
            "Kerf {:.2} mm ({}); feed {:.0} mm/min ({}). The machine's own chart goes before.",
            cut.kerf_mm.0, cut.kerf_from, cut.feed_mm_min.0, cut.feed_from
        ),
        format!("Sizes come out as ISO 9013 class {} says.", cut.size_class),
    ];
    if plan.placed.iter().any(|part| !part.tabs.is_empty()) {
        notes.push("Tabs hold the part until it is cut or broken off them; grind the stubs.".into());
    }
    Some(CutSheet {
        title: block.title.clone(),
        made_from: if block.revision.is_empty() {
            block.made_from.clone()
        } else {
            format!("revision {}; {}", block.revision, block.made_from)
        },
        load: SheetToLoad {
            stock: block.stock.clone(),
            what: format!(
                "sheet {} of shop.toml: {}",
                sheet.sheet.index + 1,
                sheet.sheet.name
            ),
            region: sheet.on_table.clone(),
            thickness_mm: t_mm,
            goes_on_mm: [(1.0 - THICKNESS_SHARE) * t_mm, (1.0 + THICKNESS_SHARE) * t_mm],
            clamps: clamps.collect(),
            slats: sheet.running.slats.map(|slats| SlatWay {
                along: slats.along,
                pitch_mm: slats.pitch_mm,
            }),
            rolled: sheet.sheet.grain,
        },
        zero: plan.zero,
        zero_says: plan.zero_says.clone(),
        dry_run: if outcome.may_cut() {
            let mut says = "Run cut-dry-run.nc first: the torch goes round every cut at the height of travel and is never lit. \
                            Watch that it stays on the sheet and off the clamps."
                .to_owned();
            if let Some(Ok(_)) = plan.marks_program {
                says.push_str(&format!(
                    " Then {MARKS}, while the sheet is whole: it marks bends and centres and cuts nothing."
                ));
            }
            says
        } else {
            "There is no program: the answer to \"Can it be cut?\" is no.".into()
        },
        parts: parts.collect(),
        cuts: cuts.collect(),
        drills: drills.collect(),
        cautions: sheet.cautions.clone(),
        takes,
        notes,
    })
}
