//! Numbers that look random and are the same for the same seed on every machine.

/// A generator by Weyl's sequence and two rounds of mixing (the constants are from memory; any that mix well would do).
#[derive(Debug, Clone)]
pub(crate) struct Seeded {
    state: u64,
}

impl Seeded {
    pub fn new(seed: u64) -> Seeded {
        Seeded { state: seed }
    }

    pub fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From 0 to below `count`, which is above 0 and under 2^32.
    pub fn below(&mut self, count: usize) -> usize {
        (((self.next() >> 32) * count as u64) >> 32) as usize
    }

    /// From 0 to below 1.
    pub fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }
}
