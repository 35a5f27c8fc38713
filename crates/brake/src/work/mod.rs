//! A developed part as work to be bent: its bend lines, its solids, and how they hang together.

mod altered;
mod bodies;
mod line;
mod notched;
mod parted;
mod sawn;
mod stock;
mod tree;

pub use bodies::{Body, Solid};
pub use line::{Line, Stage};
pub use notched::{NoNotch, Notch, NotchRoom, Notched};
pub use stock::Stock;

pub(crate) use bodies::{balance, farthest_of_strip};
pub(crate) use notched::Axes;
pub(crate) use tree::Tree;

use nalgebra::Isometry3;
use sheet::Part;

use crate::solid::{Prism, gap};
use crate::sweep::TOUCH_MM;

/// More steps than this are not put in order: the subsets of finished steps would no longer fit in mind or memory.
pub const MOST_STEPS: usize = 16;

/// Why a part cannot be taken as work.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum WorkError {
    /// More steps than are searched.
    #[error("{steps} bends are more than are put in order here; {most} are the most")]
    TooManySteps {
        /// What the part asks for.
        steps: usize,
        /// The most.
        most: usize,
    },
    /// A bend has no length on the blank, or its panels do not hang together.
    #[error("bend {bend} has no line on the blank")]
    NoLine {
        /// The bend.
        bend: String,
    },
    /// A number of the part is not one.
    #[error("the part's {what} is {found}")]
    NotANumber {
        /// Which.
        what: &'static str,
        /// What stands there.
        found: f64,
    },
}

/// A part as work.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// Plate thickness, mm.
    pub thickness_mm: f64,
    /// z of the far and of the marked face, blank axes.
    pub faces_mm: [f64; 2],
    /// The metal, where it is known.
    pub stock: Option<Stock>,
    /// Names of the panels.
    pub panels: Vec<String>,
    /// Bend lines, in the part's order; creases that a window parts, between the same two panels, are one.
    pub lines: Vec<Line>,
    /// The steps of all lines, in order: most lines have one.
    pub stages: Vec<Stage>,
    /// What can meet something: panels and the strips of the bends.
    pub bodies: Vec<Body>,
    pub(crate) tree: Tree,
}

impl Work {
    /// The part as work. Bends over `closed_past_rad` are made in two steps: nearly to that angle, then closed.
    pub fn of(part: &Part, stock: Option<Stock>, closed_past_rad: f64) -> Result<Work, WorkError> {
        let t_mm = part.thickness_mm;
        if !(t_mm > 0.0 && t_mm.is_finite()) {
            return Err(WorkError::NotANumber {
                what: "thickness",
                found: t_mm,
            });
        }
        let faces_mm = part.lines_on.z_range(t_mm);
        let lines = line::of_part(part)?;
        let stages = line::stages(&lines, closed_past_rad);
        let bodies = bodies::of_part(part, &lines, &stages, faces_mm);
        let panels: Vec<String> = part.panels.iter().map(|panel| panel.name.clone()).collect();
        let tree = Tree::of(panels.len(), &lines);
        let work = Work {
            thickness_mm: t_mm,
            faces_mm,
            stock,
            panels,
            lines,
            stages,
            bodies,
            tree,
        };
        work.within_bounds()
    }

    fn within_bounds(self) -> Result<Work, WorkError> {
        if self.stages.len() > MOST_STEPS {
            return Err(WorkError::TooManySteps {
                steps: self.stages.len(),
                most: MOST_STEPS,
            });
        }
        Ok(self)
    }

    /// The same work with one line made in two steps, the first to this angle.
    pub fn in_two_steps(&self, line: usize, first_to_rad: f64) -> Result<Work, WorkError> {
        let mut work = self.clone();
        work.stages = Vec::new();
        for (index, made) in work.lines.iter().enumerate() {
            let own = self.stages.iter().filter(|stage| stage.line == index);
            if index != line {
                work.stages.extend(own.cloned());
                continue;
            }
            work.stages.push(Stage {
                line,
                from_rad: 0.0,
                to_rad: first_to_rad,
                closing: false,
            });
            let closing = own.clone().any(|stage| stage.closing);
            work.stages.push(Stage {
                line,
                from_rad: first_to_rad,
                to_rad: made.bent_rad,
                closing,
            });
        }
        for body in &mut work.bodies {
            if body.solid == Solid::Strip(line) {
                body.bent = bodies::bent_strip(&work.lines[line], line, &work.stages, work.thickness_mm);
            }
        }
        work.within_bounds()
    }

    /// How far a line is bent when these steps are done (a bit for each of [`Work::stages`]), rad.
    pub fn bent_rad(&self, line: usize, done: u32) -> f64 {
        self.stages
            .iter()
            .enumerate()
            .filter(|(index, stage)| stage.line == line && done >> index & 1 == 1)
            .map(|(_, stage)| stage.to_rad)
            .fold(0.0, f64::max)
    }

    /// All steps done.
    pub fn all_done(&self) -> u32 {
        ((1u64 << self.stages.len()) - 1) as u32
    }

    /// Two solids of the finished part that stand in each other, if any do: such a part cannot be, however it is bent.
    pub fn stands_in_itself(&self) -> Option<[Solid; 2]> {
        let done = self.all_done();
        let ways = self.tree.ways(&[0], &[]);
        let placed: Vec<(Solid, Vec<Prism>)> = self
            .bodies
            .iter()
            .filter_map(|body| {
                let (_, over) = ways[body.panel].as_ref()?;
                let place = over
                    .iter()
                    .fold(Isometry3::identity(), |place, (line, to_moving)| {
                        let turn = self.lines[*line].turn(self.bent_rad(*line, done));
                        place * if *to_moving { turn } else { turn.inverse() }
                    });
                // That no tool bends it is said of what is plate for certain.
                let pieces = match body.solid {
                    Solid::Panel(_) => body.flat.clone(),
                    Solid::Strip(line) => {
                        let bent_rad = self.bent_rad(line, done);
                        bodies::within_strip(&self.lines[line], body, bent_rad, self.thickness_mm)
                    }
                };
                Some((
                    body.solid,
                    pieces.iter().map(|piece| piece.moved(&place)).collect(),
                ))
            })
            .collect();
        let joined = |a: Solid, b: Solid| match (a, b) {
            (Solid::Panel(panel), Solid::Strip(line)) | (Solid::Strip(line), Solid::Panel(panel)) => {
                self.lines[line].fixed == panel || self.lines[line].moving == panel
            }
            _ => false,
        };
        for (index, (a, first)) in placed.iter().enumerate() {
            for (b, second) in &placed[index + 1..] {
                let mut pairs = first
                    .iter()
                    .flat_map(|a| second.iter().map(move |b| gap(a, b).mm));
                if !joined(*a, *b) && pairs.any(|mm| mm < -TOUCH_MM) {
                    return Some([*a, *b]);
                }
            }
        }
        None
    }

    /// The bits of a line's steps.
    pub(crate) fn bits_of_line(&self, line: usize) -> u32 {
        let own = self
            .stages
            .iter()
            .enumerate()
            .filter(|(_, stage)| stage.line == line);
        own.fold(0, |bits, (index, _)| bits | 1 << index)
    }

    /// The mass of the plate, kg; none when the metal is not known.
    pub fn mass_kg(&self) -> Option<f64> {
        let volume_mm3: f64 = self.bodies.iter().map(Body::volume_mm3).sum();
        Some(self.stock.as_ref()?.density_kg_m3.value * volume_mm3 / 1e9)
    }
}
