//! What a shop bends with: machines and tools as plain values, checked before they are used.
//!
//! Shapes are outlines in the plane across the bend: x across it, from the person (minus) to the back (plus), y up. A punch
//! has its nose at 0, 0 and stands upward; a die has the middle of its V's top at 0, 0 and goes downward; a ram hangs
//! upward from where the punch seats, a bed downward from where the die stands. Fingers, bed and apron of a folder, and
//! the jaws of a vice, share one frame: the nose about which the plate is folded is at 0, 0, the clamped leg lies toward
//! plus x with its inside face at y = 0.

mod away;
mod check;
mod folder;
mod lengths;
mod press;
mod shapes;
mod starter;
mod vice;

pub use away::Away;
pub use check::{ToolFault, ToolMeasure};
pub use folder::Folder;
pub use lengths::Lengths;
pub use press::{Die, Press, Punch};
pub use shapes::{LeaningFinger, Nose, RelievedPunch, ShapeFault, StraightPunch, plain_die};
pub use vice::{JawsOpen, Vice, ViceBody};

use handbook::Family;

/// All that a shop can bend with.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tooling {
    /// Press brakes.
    pub presses: Vec<Press>,
    /// Punches that go in any of them.
    pub punches: Vec<Punch>,
    /// Dies that go on any of them.
    pub dies: Vec<Die>,
    /// Folders, with box fingers or one straight edge.
    pub folders: Vec<Folder>,
    /// Vices with jaws to bend over.
    pub vices: Vec<Vice>,
    /// A shop that takes work in, if one is asked.
    pub away: Option<Away>,
}

/// The thickest plate of a family that a hand tool takes over its whole length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capacity {
    /// The metal.
    pub family: Family,
    /// Thickness, mm.
    pub thickest_mm: f64,
}

impl Capacity {
    /// The thickest plate of a family that is taken over a bend of `length_share` times the length these rows are for, mm;
    /// 0 for a metal that none of them is for. The work of a fold goes as length times thickness squared: over a part of
    /// the length a thicker plate goes, though never over half as thick again.
    pub fn takes_mm(rows: &[Capacity], family: Family, length_share: f64) -> f64 {
        const MOST_THICKER: f64 = 1.5;
        let rated_mm = rows
            .iter()
            .find(|row| row.family == family)
            .map_or(0.0, |row| row.thickest_mm);
        rated_mm * (1.0 / length_share.max(1e-6)).sqrt().min(MOST_THICKER)
    }
}

/// One way to make a bend with what is there, as indices into [`Tooling`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Means {
    /// A press brake with a punch and a die.
    Press {
        /// Index into [`Tooling::presses`].
        press: usize,
        /// Index into [`Tooling::punches`].
        punch: usize,
        /// Index into [`Tooling::dies`].
        die: usize,
    },
    /// A folder.
    Folder(usize),
    /// A vice.
    Vice(usize),
    /// Sent out.
    Away,
}

impl Tooling {
    /// Every way to bend with these, presses first, in the order they are listed.
    pub fn means(&self) -> Vec<Means> {
        let mut means = Vec::new();
        for press in 0..self.presses.len() {
            for punch in 0..self.punches.len() {
                means.extend((0..self.dies.len()).map(|die| Means::Press { press, punch, die }));
            }
        }
        means.extend((0..self.folders.len()).map(Means::Folder));
        means.extend((0..self.vices.len()).map(Means::Vice));
        means.extend(self.away.as_ref().map(|_| Means::Away));
        means
    }

    /// The longest tool that these means can put on a bend, mm; of what is sent out, the longest bend that is taken in. None
    /// where they are not listed.
    pub fn longest_mm(&self, means: Means) -> Option<f64> {
        match means {
            Means::Press { punch, .. } => Some(self.punches.get(punch)?.lengths.longest_mm()),
            Means::Folder(folder) => Some(self.folders.get(folder)?.fingers.longest_mm()),
            Means::Vice(vice) => Some(self.vices.get(vice)?.jaws.longest_mm()),
            Means::Away => Some(self.away.as_ref()?.length_mm),
        }
    }

    /// Every fault of these values: what is not a positive number, what does not fit together. None means that the
    /// planner can use them.
    pub fn check(&self) -> Vec<ToolFault> {
        check::faults(self)
    }

    /// A small brake, a folder and a vice of common shapes: our own round figures, common practice, no source. See
    /// [`starter`](Tooling::starter_brake) for the parts.
    pub fn starter() -> Tooling {
        let mut tooling = Tooling::starter_brake();
        tooling.folders = Tooling::starter_folder().folders;
        tooling.vices = Tooling::starter_vice().vices;
        tooling
    }
}
