//! The order of the bends on the shop's tools.

use brake::by_hand::{Kerfed, with_kerfs};
use brake::needs::{BendNeeds, Force, Practice, needs, spring};
use brake::order::{Outcome, Plan, PlanError, Step, Weights, plan};
use brake::tooling::{Means, Tooling};
use brake::why_not::{Explanation, Offered, Repair, explain, repairs};
use brake::work::{Line, Stock, Work, WorkError};
use handbook::Handbook;
use plane::Vector;
use sheet::Mockup;

use crate::run::Worked;

use super::bender::{GaugeTo, Tools, Whose};
use super::coming::{laid, like, radius_of, strips_at_hand};
use super::strips::{self, Like, Strip, StripGrain};
use super::tool_names::ToolNames;

/// What came of it.
#[derive(Debug, Clone)]
pub(crate) struct Bending {
    pub work: Work,
    pub tooling: Tooling,
    pub practice: Practice,
    pub whose: Whose,
    /// As [`Tools::gauge_to`].
    pub gauge_to: Option<GaugeTo>,
    pub springs: Springs,
    /// The part is developed for the radii that the tools of this plan leave.
    pub settled: bool,
    pub found: Found,
}

/// What tells how far this plate springs.
#[derive(Debug, Clone, Default)]
pub(crate) struct Springs {
    /// The plate by the handbook; none where it does not know the metal.
    pub stock: Option<Stock>,
    /// The strips of it.
    pub strips: Vec<Strip>,
    /// How its bends lie to the way of rolling, where that is known.
    pub grain: Option<StripGrain>,
}

/// The order, or why there is none.
#[derive(Debug, Clone)]
pub(crate) enum Found {
    Order(Plan),
    None {
        why: Explanation,
        /// Every length that tools can be made up to was asked about, and no bend swept further than its own tool needs: that there
        /// is none is proven.
        proven: bool,
        /// Single changes, each planned again; empty too where they were not asked for.
        repairs: Vec<Repair>,
        /// Plans of changes that were not asked for, as there are many bends.
        left_out: usize,
        /// An order once some bends are sawn into, for tools of the hand; none too where changes were not asked for.
        kerfed: Option<Box<Kerfed>>,
    },
}

/// A step that was swept less far than a strip says it is bent under load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SweptShort {
    /// Index into the steps of the plan.
    pub step: usize,
    /// As far as it was swept, rad.
    pub swept_rad: f64,
    /// As far as it is bent, rad.
    pub aim_rad: f64,
}

/// Why no order was looked for.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum NotAsked {
    /// There is nothing to bend.
    NoBends,
    /// There is no shop.toml.
    NoShop,
    /// The part cannot be taken as work.
    Work(WorkError),
    /// The tools cannot be searched.
    Plan(PlanError),
}

/// A step that is swept to within this of where it is bent to is swept that far, rad: a twentieth of a degree, nearer than it is read
/// under load.
const SAME_ANGLE_RAD: f64 = 8.7e-4;
/// So often is the order looked for again, to sweep further what a strip says springs further. Each time other tools may come out,
/// which spring otherwise.
const MOST_SWEPT: usize = 4;

/// Looks for the order.
pub(crate) fn bending(worked: &Worked) -> Result<Bending, NotAsked> {
    if worked.part.bends.is_empty() {
        return Err(NotAsked::NoBends);
    }
    if worked.files.shop.is_none() {
        return Err(NotAsked::NoShop);
    }
    let Tools {
        tooling,
        whose,
        gauge_to,
    } = worked.tools.clone();
    let practice = Practice::of(&worked.book);
    let springs = Springs {
        stock: Stock::of(&worked.book, &worked.setting.metal, worked.setting.thickness_mm).ok(),
        strips: strips_at_hand(worked),
        grain: laid(worked),
    };
    // Before the tools are known, as the strip nearest to the first bend springs.
    let like = like(worked, worked.part.bends[0].radius_mm, None);
    let sprung = springs
        .stock
        .clone()
        .map(|stock| strips::with_spring(stock, &springs.strips, &like));
    let work = Work::of(&worked.part, sprung, practice.closed_past_rad.value).map_err(NotAsked::Work)?;
    let found = look(&work, &tooling, &practice)?;
    let mut bending = Bending {
        work,
        tooling,
        practice,
        whose,
        gauge_to,
        springs,
        settled: false,
        found,
    };
    for _ in 0..MOST_SWEPT {
        let short = bending.swept_short();
        if short.is_empty() {
            break;
        }
        bending.sweep_further(&short);
        bending.found = look(&bending.work, &bending.tooling, &bending.practice)?;
        if let Found::None { proven, .. } = &mut bending.found {
            // What was swept further was so for any tool, though the strip is of one.
            *proven = false;
        }
    }
    Ok(bending)
}

fn look(work: &Work, tooling: &Tooling, practice: &Practice) -> Result<Found, NotAsked> {
    Ok(
        match plan(work, tooling, practice, &Weights::default()).map_err(NotAsked::Plan)? {
            Outcome::Plan(plan) => Found::Order(plan),
            Outcome::None(none) => Found::None {
                why: explain(work, tooling, practice, &none),
                proven: none.proof.left_out == 0,
                repairs: Vec::new(),
                left_out: 0,
                kerfed: None,
            },
        },
    )
}

/// The way the sheet was rolled, on the blank as it is laid on it; none where it is not known.
pub(crate) fn grain_on_blank(worked: &Worked) -> Option<Vector> {
    let sheet = worked.cut.as_ref().ok()?;
    let placed = sheet.plan.placed.first()?;
    Some(placed.placed.rotation.inverse() * sheet.sheet.grain?)
}

impl Bending {
    /// Whether the shop has said that these are its tools.
    pub fn said(&self) -> bool {
        self.whose.said()
    }

    /// What the distance of the stop is given to with these tools: as the shop says; else to the middle where the stop is counted from
    /// the punch, and to the tangent line where the plate is clamped up to it.
    pub fn gauge_to(&self, means: Means) -> GaugeTo {
        self.gauge_to.unwrap_or(match means {
            Means::Press { .. } | Means::Away => GaugeTo::Middle,
            Means::Folder(_) | Means::Vice(_) => GaugeTo::Tangent,
        })
    }

    /// Looks for changes that give an order, where there is none.
    pub fn look_for_changes(&mut self, book: &Handbook, card: &Mockup) -> Result<(), PlanError> {
        let Found::None {
            why,
            repairs: found,
            left_out,
            kerfed,
            ..
        } = &mut self.found
        else {
            return Ok(());
        };
        let weights = Weights::default();
        let offered = Offered::for_stock(book, self.work.stock.as_ref(), self.work.thickness_mm, card);
        let tried = repairs(&self.work, &self.tooling, &self.practice, &weights, why, &offered);
        *found = tried.repairs;
        *left_out = tried.left_out;
        *kerfed = with_kerfs(&self.work, &self.tooling, &self.practice, &weights)?.map(Box::new);
        Ok(())
    }

    /// What the tools are called.
    pub fn tool_names(&self, means: Means) -> ToolNames {
        ToolNames::of(&self.tooling, means)
    }

    /// The plate as it springs with these tools at this inside radius: by the strip nearest to that, else by the handbook.
    pub fn stock_for(&self, means: Means, radius_mm: f64) -> Option<Stock> {
        let tool = self.tool_names(means);
        let like = Like {
            thickness_mm: self.work.thickness_mm,
            radius_mm,
            tool: Some(&tool),
            grain: self.springs.grain,
        };
        let stock = self.springs.stock.clone()?;
        Some(strips::with_spring(stock, &self.springs.strips, &like))
    }

    /// The inside radius of a line with these tools, mm: what they leave, by a strip of theirs where there is one, which is what it is
    /// developed for once that is settled.
    fn radius_mm(&self, means: Means, line: &Line) -> f64 {
        if self.settled {
            return line.radius_mm;
        }
        let like = Like {
            thickness_mm: self.work.thickness_mm,
            radius_mm: line.radius_mm,
            tool: None,
            grain: self.springs.grain,
        };
        radius_of(self, means, &self.springs.strips, like).map_or(line.radius_mm, |(radius_mm, _)| radius_mm)
    }

    /// What a line asks for with the tools of its step.
    pub fn asks(&self, step: &Step, line: usize, grain: Option<Vector>) -> BendNeeds {
        let mut asks = needs(&self.work, &self.tooling, &self.practice, line, step.means, grain);
        let made = &self.work.lines[line];
        let radius_mm = self.radius_mm(step.means, made);
        if let (true, Some(comes)) = (self.settled, &mut asks.comes) {
            // A strip may have told it closer than V and metal do.
            comes.radius_mm = radius_mm;
            asks.crack.radius_mm = radius_mm;
        }
        asks.spring = self
            .stock_for(step.means, radius_mm)
            .and_then(|stock| spring(&stock, made.bent_rad, radius_mm, self.work.thickness_mm));
        asks
    }

    /// The angle to bend a step to under load, rad; none where the metal's springback is not known, or where it is pressed shut.
    pub fn aim_rad(&self, step: &Step) -> Option<f64> {
        if step.closing {
            return None;
        }
        let line = self.work.lines.get(*step.lines.first()?)?;
        let radius_mm = self.radius_mm(step.means, line);
        let stock = self.stock_for(step.means, radius_mm)?;
        spring(&stock, step.to_rad, radius_mm, self.work.thickness_mm).map(|spring| spring.loaded_rad)
    }

    /// The steps that were swept less far than their strips say they are bent under load.
    pub fn swept_short(&self) -> Vec<SweptShort> {
        let Found::Order(plan) = &self.found else {
            return Vec::new();
        };
        if self.springs.strips.is_empty() {
            return Vec::new();
        }
        let short = |(step, made): (usize, &Step)| {
            let aim_rad = self.aim_rad(made)?;
            (aim_rad > made.loaded_rad + SAME_ANGLE_RAD).then_some(SweptShort {
                step,
                swept_rad: made.loaded_rad,
                aim_rad,
            })
        };
        plan.steps.iter().enumerate().filter_map(short).collect()
    }

    /// Has the bends of these steps swept as far as they are bent, whichever tool bends them.
    fn sweep_further(&mut self, short: &[SweptShort]) {
        let Found::Order(plan) = &self.found else { return };
        for short in short {
            let step = &plan.steps[short.step];
            for &line in &step.lines {
                let line = &mut self.work.lines[line];
                line.over_rad = line.over_rad.max(short.aim_rad - step.to_rad);
            }
        }
    }

    /// There is no order.
    pub fn is_stuck(&self) -> bool {
        matches!(self.found, Found::None { .. })
    }

    /// The force of a step by the rule that asks for most, N; none where the metal's strength is not known, or nobody presses.
    pub fn force_n(&self, step: &Step) -> Option<f64> {
        let Means::Press { die, .. } = step.means else {
            return None;
        };
        let length_mm: f64 = step
            .lines
            .iter()
            .map(|line| self.work.lines[*line].length_mm)
            .sum();
        let opening_mm = self.tooling.dies.get(die)?.opening_mm;
        let force = Force::of(
            &self.practice,
            self.work.stock.as_ref()?,
            self.work.thickness_mm,
            opening_mm,
            length_mm,
        )?;
        Some(force.total_n)
    }
}
