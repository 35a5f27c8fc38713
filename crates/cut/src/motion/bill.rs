//! What the work costs by the shop's own rates.

use super::work::{Between, Work};

/// What things cost in this shop, in its own money. Every rate is a range; 0 leaves a share out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rates {
    /// Shop time, per hour.
    pub shop_per_h: Between,
    /// Gas and power while the torch burns, per minute.
    pub burning_per_min: Between,
    /// One set of consumables (electrode and nozzle, tip, or nozzle and orifice).
    pub set: Between,
    /// How many pierces wear out a set with no cutting between them.
    pub set_pierces: Between,
    /// How many minutes of cutting wear out a set with hardly a pierce.
    pub set_burning_min: Between,
    /// The plate that is used up.
    pub plate: Between,
}

/// What it comes to, in the shop's money.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bill {
    /// How much of a set of consumables is worn: 1 is a whole set.
    pub sets_worn: Between,
    /// The consumables.
    pub wear: Between,
    /// Gas and power.
    pub burning: Between,
    /// Shop time.
    pub time: Between,
    /// The plate.
    pub plate: Between,
    /// All of it.
    pub total: Between,
}

/// The cost of the work. Wear by pierces and wear by minutes add up, each as its share of a set's life (common practice,
/// no source). A life of 0 wears nothing: the rate is not known and its share is left out.
#[must_use]
pub fn bill(work: &Work, rates: &Rates) -> Bill {
    let share = |done: Between, life: Between| Between {
        low: if life.high > 0.0 {
            done.low / life.high
        } else {
            0.0
        },
        high: if life.low > 0.0 { done.high / life.low } else { 0.0 },
    };
    let pierces = Between {
        low: work.pierces as f64,
        high: work.pierces as f64,
    };
    let burning_min = work.cut_s.scaled(1.0 / 60.0);
    let sets_worn = share(pierces, rates.set_pierces).plus(share(burning_min, rates.set_burning_min));
    let wear = sets_worn.times(rates.set);
    let burning = burning_min.times(rates.burning_per_min);
    let time = work.total_s.scaled(1.0 / 3600.0).times(rates.shop_per_h);
    Bill {
        sets_worn,
        wear,
        burning,
        time,
        plate: rates.plate,
        total: wear.plus(burning).plus(time).plus(rates.plate),
    }
}
