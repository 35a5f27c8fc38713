//! What is remembered of the legs by a corner: how long each takes, and what it passes over.

/// Contours, a bit each.
#[derive(Debug, Clone, Copy)]
pub(super) struct Words(usize);

impl Words {
    /// As many as so many contours need.
    pub fn of(contours: usize) -> Words {
        Words(contours.div_ceil(64))
    }

    pub fn count(self) -> usize {
        self.0
    }
}

/// The numbers whose bits are set.
pub(super) fn numbers(set: &[u64]) -> Vec<u16> {
    let mut found = Vec::with_capacity(set.iter().map(|word| word.count_ones() as usize).sum());
    for (k, word) in set.iter().enumerate() {
        let mut left = *word;
        while left != 0 {
            found.push((k as u32 * 64 + left.trailing_zeros()) as u16);
            left &= left - 1;
        }
    }
    found
}

pub(super) fn put(set: &mut [u64], number: usize) {
    set[number / 64] |= 1 << (number % 64);
}

pub(super) fn leave_out(set: &mut [u64], number: usize) {
    set[number / 64] &= !(1 << (number % 64));
}

pub(super) fn is_empty(set: &[u64]) -> bool {
    set.iter().all(|word| *word == 0)
}

pub(super) fn add_all(set: &mut [u64], more: &[u64]) {
    for (word, more) in set.iter_mut().zip(more) {
        *word |= more;
    }
}

/// Whether all of the first are in the second.
pub(super) fn within(set: &[u64], of: &[u64]) -> bool {
    set.iter().zip(of).all(|(word, of)| word & !of == 0)
}

/// As many words are remembered. They take 16 MB, and the times beside them 12 MB at most, when each leg has one word of its own.
/// Legs are remembered to corners and from them, and by each of two searches side by side: four times that.
const MOST_WORDS: usize = 2_000_000;

/// Legs by number; nothing when there would be too many.
#[derive(Debug, Clone)]
pub(super) struct Legs {
    words: Words,
    us: Vec<u32>,
    us_known: Vec<bool>,
    sets: Vec<u64>,
    sets_known: Vec<bool>,
}

impl Legs {
    pub fn new(legs: usize, words: Words) -> Legs {
        let legs = if legs.saturating_mul(words.count()) <= MOST_WORDS {
            legs
        } else {
            0
        };
        Legs {
            words,
            us: vec![0; legs],
            us_known: vec![false; legs],
            sets: vec![0; legs * words.count()],
            sets_known: vec![false; legs],
        }
    }

    /// How long a leg takes.
    pub fn us(&mut self, leg: usize, takes: impl FnOnce() -> u32) -> u32 {
        let Some(known) = self.us_known.get_mut(leg) else {
            return takes();
        };
        if !std::mem::replace(known, true) {
            self.us[leg] = takes();
        }
        self.us[leg]
    }

    /// Adds what a leg passes over.
    pub fn add(&mut self, leg: usize, set: &mut [u64], over: impl FnOnce(&mut [u64])) {
        let Some(known) = self.sets_known.get_mut(leg) else {
            over(set);
            return;
        };
        let own = &mut self.sets[leg * self.words.count()..][..self.words.count()];
        if !std::mem::replace(known, true) {
            over(own);
        }
        add_all(set, own);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_leg_is_asked_about_once_and_sets_are_sets() {
        let words = Words::of(130);
        let mut legs = Legs::new(4, words);
        assert_eq!((legs.us(2, || 7), legs.us(2, || unreachable!())), (7, 7));
        let mut set = vec![0; words.count()];
        legs.add(1, &mut set, |set| put(set, 129));
        legs.add(1, &mut set, |_| unreachable!("it is known"));
        put(&mut set, 3);
        assert_eq!(numbers(&set), [3, 129]);
        let mut other = vec![0; words.count()];
        assert!(is_empty(&other) && within(&other, &set) && !within(&set, &other));
        add_all(&mut other, &set);
        leave_out(&mut other, 3);
        assert_eq!(numbers(&other), [129]);
        // Too many to remember: asked each time.
        let mut none = Legs::new(usize::MAX / 4, Words::of(1));
        assert_eq!((none.us(2, || 7), none.us(2, || 8)), (7, 8));
    }
}
