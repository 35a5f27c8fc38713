//! The least that is still to come, from any place with any number of contours left.
//!
//! Walks of so many contours are taken in place of orders: a walk may come to a contour more than once, but not at once
//! again after one other. Each contour then gets a price, paid at every coming and given back once for each contour that is
//! left, so that the prices change no order's cost; they are raised where the best walk comes too often and lowered where
//! it does not come (subgradients, after Held and Karp, 1971; from memory). Whatever the prices, no order costs less than
//! the best walk less the prices of what is left.

/// Times from place to place of a problem in slots, several to a contour; see [`super::exact`].
pub(super) struct Steps<'a> {
    pub contours: usize,
    pub lanes: usize,
    /// The least from slot to slot, own time included; at least [`Steps::never`] where there is none.
    pub least: &'a [u32],
    pub from_home: &'a [u32],
    pub to_park: &'a [u32],
    pub never: u32,
}

/// The best walks at some prices.
pub(super) struct Bound {
    /// By how many contours are left and the slot: the best walk, prices paid.
    walk: Vec<Vec<i64>>,
    price: Vec<i64>,
}

/// How often the prices are changed.
const CHANGES: usize = 40;

/// A best walk, the contour it goes to next, and the best that goes to another.
#[derive(Clone, Copy)]
struct Best {
    cost: i64,
    next: usize,
    slot: usize,
    other: i64,
    other_slot: usize,
}

const NO_WALK: i64 = i64::MAX / 4;
const NOWHERE: usize = usize::MAX;

impl Best {
    const NONE: Best = Best {
        cost: NO_WALK,
        next: NOWHERE,
        slot: NOWHERE,
        other: NO_WALK,
        other_slot: NOWHERE,
    };

    fn add(&mut self, cost: i64, contour: usize, slot: usize) {
        if contour == self.next {
            if cost < self.cost {
                (self.cost, self.slot) = (cost, slot);
            }
        } else if cost < self.cost {
            (self.other, self.other_slot) = (self.cost, self.slot);
            (self.cost, self.next, self.slot) = (cost, contour, slot);
        } else if cost < self.other {
            (self.other, self.other_slot) = (cost, slot);
        }
    }

    /// The best that does not go to a contour next.
    fn not_to(&self, contour: usize) -> i64 {
        if self.next == contour {
            self.other
        } else {
            self.cost
        }
    }

    fn slot_not_to(&self, contour: usize) -> usize {
        if self.next == contour {
            self.other_slot
        } else {
            self.slot
        }
    }
}

impl Bound {
    /// Prices that lift the bound of the whole as near as they can to the time of an order that is known.
    pub fn of(steps: &Steps, known: u32) -> Bound {
        let mut price = vec![0i64; steps.contours];
        let mut best: Option<(i64, Vec<i64>)> = None;
        let mut share = 1.0;
        let mut since = 0;
        for _ in 0..CHANGES {
            let (walks, whole) = walks(steps, &price);
            let bound = whole.cost - price.iter().sum::<i64>();
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
            let comes = comes(steps, &walks, &whole);
            let off: i64 = comes.iter().map(|times| (times - 1) * (times - 1)).sum();
            if off == 0 || bound >= i64::from(known) {
                break;
            }
            let change = share * (1.02 * f64::from(known) - bound as f64) / off as f64;
            for (price, times) in price.iter_mut().zip(&comes) {
                *price += (change * (times - 1) as f64) as i64;
            }
        }
        if let Some((_, best)) = best {
            price = best;
        }
        let (walks, _) = walks(steps, &price);
        Bound {
            walk: walks
                .iter()
                .map(|row| row.iter().map(|best| best.cost).collect())
                .collect(),
            price,
        }
    }

    /// What is given back for the contours that are left, by the set of those that are cut.
    pub fn prices_left(&self) -> Vec<i64> {
        let sets = 1usize << self.price.len();
        let mut left = vec![0i64; sets];
        for set in (0..sets - 1).rev() {
            let next = (!set).trailing_zeros() as usize;
            left[set] = left[set | 1 << next] + self.price[next];
        }
        left
    }

    /// The best walks with so many contours left, by slot.
    pub fn walks(&self, left: usize) -> &[i64] {
        &self.walk[left]
    }
}

/// The best walks by how many contours are left and from where, and the whole from home.
fn walks(steps: &Steps, price: &[i64]) -> (Vec<Vec<Best>>, Best) {
    let slots = steps.contours * steps.lanes;
    let end = |slot: usize| Best {
        cost: i64::from(steps.to_park[slot]),
        ..Best::NONE
    };
    let mut all: Vec<Vec<Best>> = vec![(0..slots).map(end).collect()];
    for left in 1..steps.contours {
        let after = &all[left - 1];
        let from = |slot: usize| {
            if steps.from_home[slot] >= steps.never {
                return Best::NONE;
            }
            let own = slot / steps.lanes;
            let mut best = Best::NONE;
            for (next, priced) in price.iter().enumerate().filter(|(next, _)| *next != own) {
                let lanes = next * steps.lanes..(next + 1) * steps.lanes;
                let row = &steps.least[slot * slots..(slot + 1) * slots];
                // Of one contour only the best counts; a step of never is far over any that is one.
                let costs = row[lanes.clone()].iter().zip(&after[lanes.clone()]);
                let costs = costs.map(|(step, walk)| i64::from(*step) + walk.not_to(own));
                if let Some((cost, to)) = costs.zip(lanes).min()
                    && cost < i64::from(steps.never)
                {
                    best.add(cost + priced, next, to);
                }
            }
            best
        };
        let row = (0..slots).map(from).collect();
        all.push(row);
    }
    let mut whole = Best::NONE;
    let last = &all[steps.contours - 1];
    for (slot, best) in last.iter().enumerate() {
        if steps.from_home[slot] < steps.never {
            let contour = slot / steps.lanes;
            whole.add(
                i64::from(steps.from_home[slot]) + price[contour] + best.cost,
                contour,
                slot,
            );
        }
    }
    (all, whole)
}

/// How often the best walk comes to each contour.
fn comes(steps: &Steps, walks: &[Vec<Best>], whole: &Best) -> Vec<i64> {
    let mut comes = vec![0i64; steps.contours];
    let (mut slot, mut before) = (whole.slot, NOWHERE);
    for left in (0..steps.contours).rev() {
        if slot == NOWHERE {
            break;
        }
        let contour = slot / steps.lanes;
        comes[contour] += 1;
        slot = walks[left][slot].slot_not_to(before);
        before = contour;
    }
    comes
}
