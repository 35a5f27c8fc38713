//! How long a tool can be made up.

/// Pieces that differ by less are the same length made up.
const SAME_LENGTH_MM: f64 = 0.01;
/// Of a set of sections, no more than this many are put side by side in all ways; the rest only all together.
const MOST_SECTIONS: usize = 12;

/// The lengths a tool comes in.
#[derive(Debug, Clone, PartialEq)]
pub enum Lengths {
    /// One piece, mm.
    Whole(f64),
    /// Sections that are put side by side, each once, mm.
    Sections(Vec<f64>),
}

impl Lengths {
    /// All in use, mm.
    pub fn longest_mm(&self) -> f64 {
        match self {
            Lengths::Whole(length_mm) => *length_mm,
            Lengths::Sections(sections) => sections.iter().sum(),
        }
    }

    /// Every length that can be made up, ascending, each once.
    pub fn made_up_mm(&self) -> Vec<f64> {
        let mut sums = match self {
            Lengths::Whole(length_mm) => vec![*length_mm],
            Lengths::Sections(sections) => {
                let mut sums = vec![0.0];
                for section in sections.iter().take(MOST_SECTIONS) {
                    let with: Vec<f64> = sums.iter().map(|sum| sum + section).collect();
                    sums.extend(with);
                    // Sections are mostly whole steps of one another: far fewer sums than ways.
                    sums.sort_by(f64::total_cmp);
                    sums.dedup();
                }
                sums.push(self.longest_mm());
                sums.retain(|sum| *sum > 0.0);
                sums
            }
        };
        sums.sort_by(f64::total_cmp);
        sums.dedup_by(|a, b| (*a - *b).abs() < SAME_LENGTH_MM);
        sums
    }

    /// The shortest that covers this length, mm.
    pub fn shortest_over_mm(&self, length_mm: f64) -> Option<f64> {
        self.made_up_mm()
            .into_iter()
            .find(|made| *made >= length_mm - SAME_LENGTH_MM)
    }

    /// The longest that is no longer than this, mm.
    pub fn longest_within_mm(&self, length_mm: f64) -> Option<f64> {
        self.made_up_mm()
            .into_iter()
            .rfind(|made| *made <= length_mm + SAME_LENGTH_MM)
    }
}
