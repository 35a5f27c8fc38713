//! The shortest reason why no order works.

use crate::needs::{Practice, Stop};
use crate::order::{Block, Blocked, NoOrder, Search, Setup, Weights, What, why};
use crate::tooling::Tooling;
use crate::work::{Solid, Work};

/// The shortest reason.
#[derive(Debug, Clone, PartialEq)]
pub enum Explanation {
    /// The finished part stands in itself: no order and no tool bends it, until its shape is altered.
    InItself {
        /// The two of its solids that stand in each other.
        solids: [Solid; 2],
        /// From the fullest set of bends that can be made, nothing goes on: why, bend by bend.
        blocked: Vec<Blocked>,
    },
    /// One bend cannot be made even as the first.
    Alone(Blocked),
    /// Each of two bends would have to come before the other: the first of them when the second is done, and the second
    /// when the first is.
    Each(Blocked, Blocked),
    /// From the fullest set of bends that can be made, nothing goes on: why, bend by bend.
    End(Vec<Blocked>),
}

impl Explanation {
    /// All that is blocked.
    pub fn blocked(&self) -> Vec<&Blocked> {
        match self {
            Explanation::Alone(blocked) => vec![blocked],
            Explanation::Each(first, second) => vec![first, second],
            Explanation::End(blocked) | Explanation::InItself { blocked, .. } => blocked.iter().collect(),
        }
    }

    /// The two solids of a finished part that stand in each other; none where it could stand as drawn.
    pub fn in_each_other(&self) -> Option<[Solid; 2]> {
        match self {
            Explanation::InItself { solids, .. } => Some(*solids),
            Explanation::Alone(_) | Explanation::Each(..) | Explanation::End(_) => None,
        }
    }

    /// The lines that are blocked, and those whose strips block them.
    pub(super) fn lines(&self) -> Vec<usize> {
        let mut lines = Vec::new();
        for blocked in self.blocked() {
            lines.push(blocked.line);
            if let Block::Meets {
                part: Solid::Strip(line),
                ..
            } = blocked.why
            {
                lines.push(line);
            }
        }
        for solid in self.in_each_other().into_iter().flatten() {
            if let Solid::Strip(line) = solid {
                lines.push(line);
            }
        }
        lines.sort_unstable();
        lines.dedup();
        lines
    }

    /// The legs that block or are too short, as (line, panel), nearest first.
    pub(super) fn legs(&self, work: &Work) -> Vec<(usize, usize)> {
        let mut panels = Vec::new();
        let mut of_solid = |solid: Solid| match solid {
            Solid::Panel(panel) => panels.push(panel),
            Solid::Strip(line) => panels.extend([work.lines[line].fixed, work.lines[line].moving]),
        };
        self.in_each_other().into_iter().flatten().for_each(&mut of_solid);
        for blocked in self.blocked() {
            match &blocked.why {
                Block::Meets { part, with, .. } => {
                    of_solid(*part);
                    if let What::Part(other) = with {
                        of_solid(*other);
                    }
                }
                Block::Trapped { part, .. } => of_solid(*part),
                Block::Stop(Stop::Leg { panel, .. }) => of_solid(Solid::Panel(*panel)),
                Block::Stop(_) | Block::NoTools => {}
            }
            let line = &work.lines[blocked.line];
            of_solid(Solid::Panel(line.moving));
            of_solid(Solid::Panel(line.fixed));
        }
        let mut legs: Vec<(usize, usize)> = Vec::new();
        for panel in panels {
            for line in work.lines_at(panel) {
                if !legs.contains(&(line, panel)) {
                    legs.push((line, panel));
                }
            }
        }
        legs
    }
}

/// The shortest reason why these tools give no order.
pub fn explain(work: &Work, tooling: &Tooling, practice: &Practice, none: &NoOrder) -> Explanation {
    let end = || Explanation::End(none.blocked.clone());
    if let Some(solids) = work.stands_in_itself() {
        let blocked = none.blocked.clone();
        return Explanation::InItself { solids, blocked };
    }
    let (setup, weights) = (Setup::of(work, tooling, practice), Weights::default());
    let Ok(mut search) = Search::of(work, tooling, practice, &weights, &setup) else {
        return end();
    };
    let single: Vec<usize> = (0..setup.strokes.len())
        .filter(|&stroke| setup.strokes[stroke].stages.len() == 1)
        .collect();
    // A step that no end has done, and that cannot be made first, is never made.
    let never = |bits: u32| none.ends.iter().all(|end| end & bits == 0);
    for &stroke in &single {
        let made = &setup.strokes[stroke];
        if made.after == 0 && never(made.bits) && !search.can_be_made(stroke, 0) {
            return Explanation::Alone(why(&mut search, stroke, 0));
        }
    }
    for (i, &first) in single.iter().enumerate() {
        for &second in &single[i + 1..] {
            let (a, b) = (&setup.strokes[first], &setup.strokes[second]);
            if a.after | b.after != 0 {
                continue;
            }
            if !search.can_be_made(first, b.bits) && !search.can_be_made(second, a.bits) {
                return Explanation::Each(why(&mut search, first, b.bits), why(&mut search, second, a.bits));
            }
        }
    }
    end()
}
