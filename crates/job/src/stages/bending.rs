//! The order of the bends on the shop's tools.

use brake::by_hand::{Kerfed, with_kerfs};
use brake::needs::{BendNeeds, Force, Practice, comes, needs, spring};
use brake::order::{Outcome, Plan, PlanError, Step, Weights, plan};
use brake::tooling::{Means, Tooling};
use brake::why_not::{Explanation, Offered, Repair, explain, repairs};
use brake::work::{Stock, Work, WorkError};

use plane::Vector;

use crate::run::Worked;

use super::bender::{Tools, Whose};
use super::coming;

/// What came of it.
#[derive(Debug, Clone)]
pub(crate) struct Bending {
    pub work: Work,
    pub tooling: Tooling,
    pub practice: Practice,
    pub whose: Whose,
    /// The part is developed for the radii that the tools of this plan leave.
    pub settled: bool,
    pub found: Found,
}

/// The order, or why there is none.
#[derive(Debug, Clone)]
pub(crate) enum Found {
    Order(Plan),
    None {
        why: Explanation,
        /// Every length that tools can be made up to was asked about: that there is none is proven.
        proven: bool,
        /// Single changes, each planned again; empty too where they were not asked for.
        repairs: Vec<Repair>,
        /// An order once some bends are sawn into, for tools of the hand; none too where changes were not asked for.
        kerfed: Option<Box<Kerfed>>,
    },
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

/// Looks for the order; and, where there is none and it is asked, for changes that give one.
pub(crate) fn bending(worked: &Worked, would_bend: bool) -> Result<Bending, NotAsked> {
    if worked.part.bends.is_empty() {
        return Err(NotAsked::NoBends);
    }
    if worked.files.shop.is_none() {
        return Err(NotAsked::NoShop);
    }
    let Tools { tooling, whose } = worked.tools.clone();
    let practice = Practice::of(&worked.book);
    let stock = Stock::of(&worked.book, &worked.setting.metal, worked.setting.thickness_mm)
        .ok()
        .map(|stock| coming::as_strips_spring(worked, stock));
    let work = Work::of(&worked.part, stock, practice.closed_past_rad.value).map_err(NotAsked::Work)?;
    let weights = Weights::default();
    let found = match plan(&work, &tooling, &practice, &weights).map_err(NotAsked::Plan)? {
        Outcome::Plan(plan) => Found::Order(plan),
        Outcome::None(none) => {
            let why = explain(&work, &tooling, &practice, &none);
            let offered = Offered {
                mockup: Some(&worked.mockup),
                ..Offered::starter()
            };
            let repairs = if would_bend {
                repairs(&work, &tooling, &practice, &weights, &why, &offered)
            } else {
                Vec::new()
            };
            let kerfed = if would_bend {
                with_kerfs(&work, &tooling, &practice, &weights).map_err(NotAsked::Plan)?
            } else {
                None
            };
            Found::None {
                kerfed: kerfed.map(Box::new),
                why,
                proven: none.proof.left_out == 0,
                repairs,
            }
        }
    };
    Ok(Bending {
        work,
        tooling,
        practice,
        whose,
        settled: false,
        found,
    })
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

    /// What a line asks for with the tools of its step.
    pub fn asks(&self, step: &Step, line: usize, grain: Option<Vector>) -> BendNeeds {
        let mut asks = needs(&self.work, &self.tooling, &self.practice, line, step.means, grain);
        if let (true, Some(comes)) = (self.settled, &mut asks.comes) {
            // A strip may have told it closer than V and metal do.
            let made = &self.work.lines[line];
            comes.radius_mm = made.radius_mm;
            asks.crack.radius_mm = made.radius_mm;
            asks.spring = self
                .work
                .stock
                .as_ref()
                .and_then(|stock| spring(stock, made.bent_rad, made.radius_mm, self.work.thickness_mm));
        }
        asks
    }

    /// The angle to bend a step to under load, rad; none where the metal's springback is not known, or where it is pressed shut.
    pub fn aim_rad(&self, step: &Step) -> Option<f64> {
        let line = self.work.lines.get(*step.lines.first()?)?;
        let stock = self.work.stock.as_ref().filter(|_| !step.closing)?;
        let comes = comes(&self.tooling, step.means, Some(stock), line.radius_mm);
        let comes = comes.filter(|_| !self.settled);
        let radius_mm = comes.map_or(line.radius_mm, |comes| comes.radius_mm);
        spring(stock, step.to_rad, radius_mm, self.work.thickness_mm).map(|spring| spring.loaded_rad)
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
