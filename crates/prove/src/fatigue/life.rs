//! How long it lasts: a band, in days of use.

use crate::fatigue::category::Curve;
use crate::fatigue::miner::{Block, damage};

/// How unsure a life is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Categories up and down that the detail may really have; 1 for shop work that is looked at.
    pub classes: f64,
    /// The load may be this share more or less than said.
    pub load_share: f64,
}

impl Default for Spread {
    /// One category, and a load known to a fifth: common practice, no source.
    fn default() -> Self {
        Spread {
            classes: 1.0,
            load_share: 0.2,
        }
    }
}

/// How long, for one category and load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Life {
    /// Share of the life used up by a day.
    pub damage_per_day: f64,
    /// Days of use to a crack; infinite where no cycle does harm.
    pub days: f64,
}

impl Life {
    /// Years with this many days of use.
    pub fn years(&self, days_of_use_in_a_year: f64) -> f64 {
        self.days / days_of_use_in_a_year
    }
}

/// A life as a band. It is an estimate, whatever its width.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LifeBand {
    /// Category down, load up.
    pub short: Life,
    /// As said.
    pub middle: Life,
    /// Category up, load down.
    pub long: Life,
}

/// Life of a detail under what comes on it each day. The knee is not taken as a limit: hits and jams among the loads start a
/// crack that the small ones then grow, so the flatter slope holds below it (EN 1993-1-9 7.1(3)).
pub fn life_band(curve: Curve, a_day: &[Block], spread: &Spread) -> LifeBand {
    let life = |curve: Curve, load: f64| {
        let scaled: Vec<Block> = a_day
            .iter()
            .map(|block| Block {
                range_mpa: block.range_mpa * load,
                cycles: block.cycles,
            })
            .collect();
        // An empty sum is -0; life without harm has no end in the right direction.
        let damage_per_day = damage(&curve, &scaled).abs();
        Life {
            damage_per_day,
            days: 1.0 / damage_per_day,
        }
    };
    LifeBand {
        short: life(curve.classes_up(-spread.classes), 1.0 + spread.load_share),
        middle: life(curve, 1.0),
        long: life(curve.classes_up(spread.classes), 1.0 - spread.load_share),
    }
}
