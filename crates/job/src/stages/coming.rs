//! The inside radius that will really come with the tools of the plan, and the blank developed again for it.
//!
//! The faces of the legs stay where the card has them, whatever the radius: what changes is how long the blank is between them.

use brake::needs::{RadiusFrom, Redeveloped, TrueBend, comes, redevelop};
use brake::work::Stock;
use handbook::Status;

use crate::judge::bend_words::means_words;
use crate::run::Worked;

use super::bending::{self, Bending, Found};
use super::setting::{laid_across, neutral, nominal_mm};
use super::strips::{self, Like, Strip};

/// A radius that comes within this of the drawn one is the drawn one, mm: no gauge tells them apart.
const SAME_RADIUS_MM: f64 = 0.05;
/// The tools hang on the radius and the radius on the tools: so often is the plan made again before it is given up.
const MOST_ROUNDS: usize = 4;

/// Where a radius comes from.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum From {
    /// A strip of this stock, bent with this tool.
    Strip(Box<Strip>),
    /// A share of the V.
    Opening,
    /// The nose.
    Nose,
}

/// A bend as it will come.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ComingBend {
    /// Index into the part's bends.
    pub bend: usize,
    pub drawn_mm: f64,
    pub comes_mm: f64,
    pub from: From,
    /// The tool in words.
    pub tool: String,
    /// K, where it comes from, and how far it can be trusted.
    pub neutral: (f64, String, Status),
}

/// What came of asking.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Came {
    /// The blank is developed for the radii that come.
    Developed(Box<Redeveloped>),
    /// Tools and radii do not settle: each plan asks for tools that leave another radius. The blank is as drawn.
    Unsettled,
    /// There is no blank with these radii. The blank is as drawn.
    NoBlank(sheet::SheetError),
}

/// The radii that come, where they are not all as drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Coming {
    /// Those that differ from what is drawn.
    pub bends: Vec<ComingBend>,
    pub came: Came,
}

/// The strips of this job's plate; what is wrong with one was told before.
pub(crate) fn strips_at_hand(worked: &Worked) -> Vec<Strip> {
    let setting = &worked.setting;
    strips::of_stock(
        &worked.book,
        worked.files.shop.as_ref(),
        &worked.scope,
        &setting.metal,
        setting.thickness_mm,
    )
    .unwrap_or_default()
}

/// What a strip is to stand near to for a bend of this radius with this tool.
pub(crate) fn like<'a>(worked: &Worked, radius_mm: f64, tool: Option<&'a str>) -> Like<'a> {
    let grain = nominal_mm(&worked.book, &worked.files.design.plate.stock)
        .ok()
        .and_then(|nominal| {
            laid_across(
                &worked.book,
                worked.files.shop.as_ref(),
                &worked.setting.metal,
                nominal,
            )
        });
    Like {
        thickness_mm: worked.setting.thickness_mm,
        radius_mm,
        tool,
        grain,
    }
}

/// The stock, springing as the nearest strip does.
pub(crate) fn as_strips_spring(worked: &Worked, stock: Stock) -> Stock {
    let radius_mm = worked.part.bends.first().map_or(0.0, |bend| bend.radius_mm);
    strips::with_spring(stock, &strips_at_hand(worked), &like(worked, radius_mm, None))
}

/// The radius that a tool leaves in this plate: by a strip bent with it, else by V and metal or by the nose. None where the
/// metal's share is not known, or another shop bends it as drawn.
pub(crate) fn radius_of(
    bending: &Bending,
    means: brake::tooling::Means,
    strips: &[Strip],
    like: Like<'_>,
) -> Option<(f64, From)> {
    let by = comes(
        &bending.tooling,
        means,
        bending.work.stock.as_ref(),
        like.radius_mm,
    )?;
    let from = match by.from {
        RadiusFrom::Drawn => return None,
        RadiusFrom::Opening => From::Opening,
        RadiusFrom::Nose => From::Nose,
    };
    let words = means_words(bending, means);
    let own: Vec<Strip> = strips
        .iter()
        .filter(|strip| strip.is_of(&words))
        .cloned()
        .collect();
    // Near to the radius that the tool should leave, not to the one that was drawn.
    let near = Like {
        radius_mm: by.radius_mm,
        tool: Some(&words),
        ..like
    };
    Some(match strips::nearest(&own, &near) {
        Some(strip) => (strip.says.radius_mm[0], From::Strip(Box::new(strip.clone()))),
        None => (by.radius_mm, from),
    })
}

/// Each bend as it comes by this plan; bends that come as drawn with their own K are left out.
fn coming_bends(worked: &Worked, bending: &Bending, drawn: &[(f64, f64)]) -> Vec<ComingBend> {
    let Found::Order(plan) = &bending.found else {
        return Vec::new();
    };
    let strips = strips_at_hand(worked);
    let mut coming = Vec::new();
    for step in plan.steps.iter().filter(|step| !step.closing) {
        for &line in &step.lines {
            for &bend in &bending.work.lines[line].bends {
                let (drawn_mm, drawn_k) = drawn[bend];
                let Some((comes_mm, from)) =
                    radius_of(bending, step.means, &strips, like(worked, drawn_mm, None))
                else {
                    continue;
                };
                let comes_mm = if (comes_mm - drawn_mm).abs() < SAME_RADIUS_MM {
                    drawn_mm
                } else {
                    comes_mm
                };
                let tool = means_words(bending, step.means);
                let Ok(neutral) = neutral(
                    &worked.book,
                    worked.files.shop.as_ref(),
                    &worked.scope,
                    &worked.setting.metal,
                    &strips,
                    like(worked, comes_mm, Some(&tool)),
                ) else {
                    continue;
                };
                if comes_mm != drawn_mm || neutral.0 != drawn_k {
                    coming.push(ComingBend {
                        bend,
                        drawn_mm,
                        comes_mm,
                        from,
                        tool,
                        neutral,
                    });
                }
            }
        }
    }
    coming.sort_by_key(|coming| coming.bend);
    // A bend that is made in two steps comes as its last.
    coming.dedup_by(|later, first| {
        let same = later.bend == first.bend;
        if same {
            std::mem::swap(later, first);
        }
        same
    });
    coming
}

/// What the blank was developed with, bend by bend.
fn targets(coming: &[ComingBend]) -> Vec<TrueBend> {
    coming
        .iter()
        .map(|coming| TrueBend {
            bend: coming.bend,
            radius_mm: coming.comes_mm,
            neutral_share: coming.neutral.0,
        })
        .collect()
}

/// Plans the bends, and develops the blank again until the radii that the plan's tools leave are those it is developed with.
/// Only where the shop has said its tools. Leaves card, part, setting and plan as they then are.
pub(crate) fn settle(worked: &mut Worked) {
    let (card, part, setting) = (worked.mockup.clone(), worked.part.clone(), worked.setting.clone());
    let drawn: Vec<(f64, f64)> = part
        .bends
        .iter()
        .map(|bend| (bend.radius_mm, bend.neutral_share))
        .collect();
    let mut now: Vec<TrueBend> = Vec::new();
    let mut known: Option<Coming> = None;
    for _ in 0..MOST_ROUNDS {
        worked.bent = bending::bending(worked, false).map(Box::new);
        let Ok(bending) = &worked.bent else { return };
        if !bending.said() || !matches!(bending.found, Found::Order(_)) {
            // With the radii that come there may be no order: then the answer is of the part as it comes.
            worked.coming = known;
            return;
        }
        let bends = coming_bends(worked, bending, &drawn);
        let next = targets(&bends);
        if next == now {
            worked.coming = known;
            if let Ok(bending) = &mut worked.bent {
                bending.settled = true;
            }
            return;
        }
        now = next;
        match redevelop(&card, &part, &now) {
            Ok(again) => {
                worked.part = again.part.clone();
                worked.mockup = card.clone();
                worked.setting = setting.clone();
                for bend in &bends {
                    put(worked, bend);
                }
                known = Some(Coming {
                    bends,
                    came: Came::Developed(Box::new(again)),
                });
            }
            Err(error) => {
                worked.coming = Some(Coming {
                    bends,
                    came: Came::NoBlank(error),
                });
                as_drawn(worked, card, part, setting);
                return;
            }
        }
    }
    worked.coming = known.map(|known| Coming {
        came: Came::Unsettled,
        ..known
    });
    as_drawn(worked, card, part, setting);
}

fn as_drawn(worked: &mut Worked, card: sheet::Mockup, part: sheet::Part, setting: super::setting::Setting) {
    (worked.mockup, worked.part, worked.setting) = (card, part, setting);
    worked.bent = bending::bending(worked, false).map(Box::new);
}

/// Puts a bend as it comes into the card and into what is said of it.
fn put(worked: &mut Worked, coming: &ComingBend) {
    if let Some(crease) = worked.mockup.creases.get_mut(coming.bend) {
        crease.radius_mm = coming.comes_mm;
        crease.neutral_share = coming.neutral.0;
    }
    if let Some(of) = worked.setting.bends.get_mut(coming.bend) {
        if coming.comes_mm != coming.drawn_mm {
            of.radius_from = format!(
                "what comes with {} ({}); drawn {}",
                coming.tool,
                from_words(&coming.from),
                units::both(coming.drawn_mm)
            );
        }
        of.radius_mm = coming.comes_mm;
        (of.neutral_share, of.neutral_from, of.neutral_status) = coming.neutral.clone();
    }
}

/// Where a radius comes from, in a few words.
pub(crate) fn from_words(from: &From) -> String {
    match from {
        From::Strip(strip) => strip.short(),
        From::Opening => "a share of the V".into(),
        From::Nose => "its nose".into(),
    }
}
