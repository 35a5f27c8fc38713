//! The inside radius that will really come with the tools of the plan, and the blank developed again for it.
//!
//! The faces of the legs stay where the card has them, whatever the radius: what changes is how long the blank is between them.

use brake::needs::{RadiusFrom, Redeveloped, TrueBend, comes, redevelop};

use crate::run::Worked;
use crate::stop::Stop;

use super::bending::{self, Bending, Found, NotAsked};
use super::setting::{Neutral, laid_across, neutral, nominal_mm};
use super::strips::{self, Like, Strip, StripGrain};
use super::tool_names::ToolNames;

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
    /// K.
    pub neutral: Neutral,
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

/// How the bends lie to the way the sheet is rolled, where that is known.
pub(crate) fn laid(worked: &Worked) -> Option<StripGrain> {
    let nominal = nominal_mm(&worked.book, &worked.files.design.plate.stock).ok()?;
    laid_across(
        &worked.book,
        worked.files.shop.as_ref(),
        &worked.setting.metal,
        nominal,
    )
}

/// What a strip is to stand near to for a bend of this radius with this tool.
pub(crate) fn like<'a>(worked: &Worked, radius_mm: f64, tool: Option<&'a ToolNames>) -> Like<'a> {
    Like {
        thickness_mm: worked.setting.thickness_mm,
        radius_mm,
        tool,
        grain: laid(worked),
    }
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
    let tool = bending.tool_names(means);
    let own: Vec<Strip> = strips
        .iter()
        .filter(|strip| strip.is_of(&tool))
        .cloned()
        .collect();
    // Near to the radius that the tool should leave, not to the one that was drawn.
    let near = Like {
        radius_mm: by.radius_mm,
        tool: Some(&tool),
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
                let tool = bending.tool_names(step.means);
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
                if comes_mm != drawn_mm || neutral.share != drawn_k {
                    coming.push(ComingBend {
                        bend,
                        drawn_mm,
                        comes_mm,
                        from,
                        tool: tool.words().to_owned(),
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
            neutral_share: coming.neutral.share,
        })
        .collect()
}

/// The job as it is drawn, with its plan.
struct AsDrawn {
    card: sheet::Mockup,
    part: sheet::Part,
    setting: super::setting::Setting,
    bent: Option<Result<Box<Bending>, NotAsked>>,
}

impl AsDrawn {
    fn put_back(self, worked: &mut Worked) {
        (worked.mockup, worked.part, worked.setting) = (self.card, self.part, self.setting);
        if let Some(bent) = self.bent {
            worked.bent = bent;
        }
    }
}

/// Plans the bends, and develops the blank again until the radii that the plan's tools leave are those it is developed with.
/// Only where the shop has said its tools. Leaves card, part, setting and plan as they then are.
///
/// What hangs on the plate alone is worked out `beside` each plan but the first, and given where it is of the plate that came.
pub(crate) fn settle<T: Send>(
    worked: &mut Worked,
    stop: &Stop,
    beside: &(dyn Fn(&Worked) -> T + Sync),
) -> Option<T> {
    let mut as_drawn = AsDrawn {
        card: worked.mockup.clone(),
        part: worked.part.clone(),
        setting: worked.setting.clone(),
        bent: None,
    };
    let drawn: Vec<(f64, f64)> = as_drawn
        .part
        .bends
        .iter()
        .map(|bend| (bend.radius_mm, bend.neutral_share))
        .collect();
    let mut now: Vec<TrueBend> = Vec::new();
    let mut known: Option<Coming> = None;
    for _ in 0..MOST_ROUNDS {
        // What has come so far is of no use to anybody then.
        if stop.is_stopped() {
            return None;
        }
        let plate: &Worked = worked;
        let (bent, also) = match &known {
            Some(_) => {
                let (bent, also) = rayon::join(|| bending::bending(plate), || beside(plate));
                (bent, Some(also))
            }
            None => (bending::bending(plate), None),
        };
        worked.bent = bent.map(Box::new);
        let ordered = worked
            .bent
            .as_ref()
            .ok()
            .filter(|bending| bending.said() && matches!(bending.found, Found::Order(_)));
        let Some(bending) = ordered else {
            // With the radii that come there may be no order: then the answer is of the part as it comes.
            worked.coming = known;
            return also;
        };
        let bends = coming_bends(worked, bending, &drawn);
        let next = targets(&bends);
        if next == now {
            worked.coming = known;
            if let Ok(bending) = &mut worked.bent {
                bending.settled = true;
            }
            return also;
        }
        now = next;
        match redevelop(&as_drawn.card, &as_drawn.part, &now) {
            Ok(again) => {
                let bent = std::mem::replace(&mut worked.bent, Err(NotAsked::NoBends));
                as_drawn.bent.get_or_insert(bent);
                worked.part = again.part.clone();
                worked.mockup = as_drawn.card.clone();
                worked.setting = as_drawn.setting.clone();
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
                as_drawn.put_back(worked);
                return None;
            }
        }
    }
    worked.coming = known.map(|known| Coming {
        came: Came::Unsettled,
        ..known
    });
    as_drawn.put_back(worked);
    None
}

/// Puts a bend as it comes into the card and into what is said of it.
fn put(worked: &mut Worked, coming: &ComingBend) {
    if let Some(crease) = worked.mockup.creases.get_mut(coming.bend) {
        crease.radius_mm = coming.comes_mm;
        crease.neutral_share = coming.neutral.share;
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
        of.neutral = coming.neutral.clone();
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
