//! The inside radius that will really come.

use crate::tooling::{Means, Tooling};
use crate::work::Stock;

/// What makes the radius.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RadiusFrom {
    /// An air bend takes a share of the V's opening.
    Opening,
    /// The nose is larger than that share, and the plate lies on it.
    Nose,
    /// A shop that is not this one; as drawn is asked for.
    Drawn,
}

/// The inside radius that comes, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Comes {
    /// Inside radius, mm.
    pub radius_mm: f64,
    /// From what.
    pub from: RadiusFrom,
}

/// The inside radius that comes with these tools; `None` when an air bend's share is not known for the metal.
pub fn comes(tooling: &Tooling, means: Means, stock: Option<&Stock>, drawn_mm: f64) -> Option<Comes> {
    let nose = |radius_mm| {
        Some(Comes {
            radius_mm,
            from: RadiusFrom::Nose,
        })
    };
    match means {
        Means::Press { punch, die, .. } => {
            let share = stock?.radius_per_opening.as_ref()?.value;
            let (natural_mm, nose_mm) = (
                share * tooling.dies[die].opening_mm,
                tooling.punches[punch].nose_mm,
            );
            if nose_mm > natural_mm {
                return nose(nose_mm);
            }
            Some(Comes {
                radius_mm: natural_mm,
                from: RadiusFrom::Opening,
            })
        }
        Means::Folder(folder) => nose(tooling.folders[folder].nose_mm),
        Means::Vice(vice) => nose(tooling.vices[vice].nose_mm),
        Means::Away => Some(Comes {
            radius_mm: drawn_mm,
            from: RadiusFrom::Drawn,
        }),
    }
}
