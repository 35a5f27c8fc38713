//! The least that is still to come, from any place with any number of contours left.
//!
//! Walks of so many contours are taken in place of orders: a walk may come to a contour more than once, but not at once
//! again after one other. Each contour then gets a price, paid at every coming and given back once for each contour that is
//! left, so that the prices change no order's cost; they are raised where the best walk comes too often and lowered where
//! it does not come (subgradients, after Held and Karp, 1971; from memory). Whatever the prices, no order costs less than
//! the best walk less the prices of what is left.

use super::exact::{LANES, NEVER};

/// Times from place to place of a problem in slots, [`LANES`] to a contour; see [`super::exact`].
pub(super) struct Steps<'a> {
    pub contours: usize,
    /// The least from slot to slot, own time included; at least [`NEVER`] where there is none.
    pub least: &'a [u32],
    pub from_home: &'a [u32],
    pub to_park: &'a [u32],
}

/// The best walks at some prices.
pub(super) struct Bound {
    /// By how many contours are left and the slot: the best walk, prices paid.
    walk: Vec<Vec<i32>>,
    price: Vec<i32>,
}

/// How often the prices are changed.
const CHANGES: usize = 40;
/// No price is farther from 0, a quarter of a minute: so that sums of them stay numbers.
const MOST_PRICE_US: f64 = (1u32 << 24) as f64;
/// No walk; with a step of never on top still a number.
const NO_WALK: i32 = NEVER as i32;

/// The best walks with so many contours left, by slot.
#[derive(Clone)]
struct Level {
    best: Vec<i32>,
    /// The contour that the best goes to next, and the best that goes to another.
    next: Vec<usize>,
    other: Vec<i32>,
}

impl Level {
    /// The best from each slot that does not go to a contour next.
    fn not_to(&self, contour: usize) -> Vec<i32> {
        let each = self.best.iter().zip(&self.next).zip(&self.other);
        each.map(|((best, next), other)| if *next == contour { *other } else { *best })
            .collect()
    }
}

/// The best of a whole: what it costs, and the slot it begins in.
#[derive(Clone, Copy)]
struct Whole {
    cost: i32,
    slot: usize,
}

impl Bound {
    /// Prices that lift the bound of the whole as near as they can to the time of an order that is known.
    pub fn of(steps: &Steps, known: u32) -> Bound {
        let mut price = vec![0i32; steps.contours];
        let mut best: Option<(i64, Vec<i32>)> = None;
        let mut share = 1.0;
        let mut since = 0;
        for _ in 0..CHANGES {
            let (levels, whole) = walks(steps, &price);
            let paid: i64 = price.iter().map(|price| i64::from(*price)).sum();
            let bound = i64::from(whole.cost) - paid;
            if best.as_ref().is_none_or(|(most, _)| bound > *most) {
                best = Some((bound, price.clone()));
                since = 0;
            } else {
                since += 1;
                // No better for a while: smaller changes.
                if since == 4 {
                    (share, since) = (share / 2.0, 0);
                }
            }
            let comes = comes(steps, &levels, whole, &price);
            let off: i64 = comes.iter().map(|times| (times - 1) * (times - 1)).sum();
            if off == 0 || bound >= i64::from(known) {
                break;
            }
            let change = share * (1.02 * f64::from(known) - bound as f64) / off as f64;
            for (price, times) in price.iter_mut().zip(&comes) {
                let changed = f64::from(*price) + change * (times - 1) as f64;
                *price = changed.clamp(-MOST_PRICE_US, MOST_PRICE_US) as i32;
            }
        }
        if let Some((_, best)) = best {
            price = best;
        }
        let (levels, _) = walks(steps, &price);
        Bound {
            walk: levels.into_iter().map(|level| level.best).collect(),
            price,
        }
    }

    /// What is given back for the contours that are left, by the set of those that are cut.
    pub fn prices_left(&self) -> Vec<i64> {
        let sets = 1usize << self.price.len();
        let mut left = vec![0i64; sets];
        for set in (0..sets - 1).rev() {
            let next = (!set).trailing_zeros() as usize;
            left[set] = left[set | 1 << next] + i64::from(self.price[next]);
        }
        left
    }

    /// The best walks with so many contours left, by slot.
    pub fn walks(&self, left: usize) -> &[i32] {
        &self.walk[left]
    }
}

/// The best walks by how many contours are left and from where, and the whole from home.
fn walks(steps: &Steps, price: &[i32]) -> (Vec<Level>, Whole) {
    let slots = steps.contours * LANES;
    let mut all = vec![Level {
        best: steps.to_park.iter().map(|time_us| *time_us as i32).collect(),
        next: vec![usize::MAX; slots],
        other: vec![NO_WALK; slots],
    }];
    for left in 1..steps.contours {
        let after = &all[left - 1];
        let mut level = Level {
            best: vec![NO_WALK; slots],
            next: vec![usize::MAX; slots],
            other: vec![NO_WALK; slots],
        };
        for own in 0..steps.contours {
            let after = after.not_to(own);
            for slot in own * LANES..(own + 1) * LANES {
                if steps.from_home[slot] >= NEVER {
                    continue;
                }
                let (mut best, mut next, mut other) = (NO_WALK, usize::MAX, NO_WALK);
                for (to, cost) in by_contour(steps, slot, &after).enumerate() {
                    if cost >= NO_WALK {
                        continue;
                    }
                    let cost = cost + price[to];
                    if cost < best {
                        (other, best, next) = (best, cost, to);
                    } else if cost < other {
                        other = cost;
                    }
                }
                (level.best[slot], level.next[slot], level.other[slot]) = (best, next, other);
            }
        }
        all.push(level);
    }
    let last = &all[steps.contours - 1];
    let whole = (0..slots).filter(|slot| steps.from_home[*slot] < NEVER && last.best[*slot] < NO_WALK);
    let whole = whole.map(|slot| Whole {
        cost: steps.from_home[slot] as i32 + price[slot / LANES] + last.best[slot],
        slot,
    });
    let none = Whole {
        cost: NO_WALK,
        slot: usize::MAX,
    };
    let whole = whole.min_by_key(|whole| (whole.cost, whole.slot)).unwrap_or(none);
    (all, whole)
}

/// From a slot to the best of each contour and on from there, before that contour's price.
fn by_contour<'a>(steps: &'a Steps, slot: usize, after: &'a [i32]) -> impl Iterator<Item = i32> + 'a {
    let slots = steps.contours * LANES;
    let row = &steps.least[slot * slots..(slot + 1) * slots];
    let (row, _) = row.as_chunks::<LANES>();
    let (after, _) = after.as_chunks::<LANES>();
    row.iter().zip(after).map(|(steps, walks)| {
        let mut costs = [0; LANES];
        for ((cost, step), walk) in costs.iter_mut().zip(steps).zip(walks) {
            *cost = *step as i32 + walk;
        }
        costs.into_iter().fold(i32::MAX, i32::min)
    })
}

/// How often the best walk comes to each contour.
fn comes(steps: &Steps, levels: &[Level], whole: Whole, price: &[i32]) -> Vec<i64> {
    let mut comes = vec![0i64; steps.contours];
    let slots = steps.contours * LANES;
    let (mut slot, mut before) = (whole.slot, usize::MAX);
    for left in (0..steps.contours).rev() {
        if slot >= slots {
            break;
        }
        let own = slot / LANES;
        comes[own] += 1;
        if left > 0 {
            let after = levels[left - 1].not_to(own);
            let row = &steps.least[slot * slots..(slot + 1) * slots];
            let costs = row.iter().zip(&after).map(|(step, walk)| *step as i32 + walk);
            let costs = costs
                .enumerate()
                .filter(|(to, cost)| *cost < NO_WALK && to / LANES != before);
            let next = costs.min_by_key(|(to, cost)| (cost + price[to / LANES], *to));
            slot = next.map_or(slots, |(to, _)| to);
        }
        before = own;
    }
    comes
}
