//! A test strip for the kerf: a comb whose teeth are measured with a caliper.
//!
//! Parallel slots, each cut in one pass, are cut from the edge of a small plate. The middles of two neighbouring slots
//! are the pitch apart, whatever the kerf; so a tooth between them is as wide as the pitch less the kerf. The teeth stay
//! on their spine, so that nothing falls between the slats, and a caliper closes on them as on any bar.

use plane::{Point, Vertex};
use thiserror::Error;

use crate::profile::{Kerf, KerfFrom};
use crate::track::{Cut, Of, Track};

/// Teeth of the comb, and so readings.
pub const TEETH: usize = 3;

/// What the strip is cut with, and how large it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Comb {
    /// From slot to slot, mm.
    pub pitch_mm: f64,
    /// How far the slots go into the strip, mm.
    pub depth_mm: f64,
    /// What stays behind the slots and beside the outer ones, mm.
    pub spine_mm: f64,
    /// From where the torch is lit to the edge of the strip, mm: the pierce lies outside the strip.
    pub lead_mm: f64,
    /// Kerf to set the outline over by: a guess does, the readings do not rest on it.
    pub guess_mm: f64,
    /// The feed whose kerf is wanted, mm/min.
    pub feed_mm_min: f64,
}

/// Why no comb can be cut so.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum NoComb {
    /// A length or the feed is not a number above 0.
    #[error("a length of the test strip, or its feed, is not a number above 0")]
    NotPositive,
    /// The teeth would hardly be wider than the kerf.
    #[error(
        "teeth {pitch_mm} mm apart are too near each other for a kerf of about {guess_mm} mm; {least_mm} mm will do"
    )]
    TeethTooThin {
        /// As asked, mm.
        pitch_mm: f64,
        /// The kerf guessed, mm.
        guess_mm: f64,
        /// Least pitch, mm.
        least_mm: f64,
    },
}

/// Least pitch in kerfs: the tooth stays stiff, and the heat of one slot does not reach the next. Common practice, no
/// source.
const LEAST_PITCH_KERFS: f64 = 4.0;

impl Comb {
    /// A comb for a kerf of about this width: teeth 10 mm apart or six kerfs, slots 25 mm deep.
    #[must_use]
    pub fn for_kerf(guess_mm: f64, lead_mm: f64, feed_mm_min: f64) -> Comb {
        Comb {
            pitch_mm: (6.0 * guess_mm).ceil().max(10.0),
            depth_mm: 25.0,
            spine_mm: 10.0,
            lead_mm,
            guess_mm,
            feed_mm_min,
        }
    }

    /// Width and height of the strip, mm.
    #[must_use]
    pub fn size_mm(&self) -> [f64; 2] {
        [
            TEETH as f64 * self.pitch_mm + 2.0 * self.spine_mm,
            self.depth_mm + self.spine_mm,
        ]
    }

    /// The cuts in their order: the slots from left to right, then the outline. The strip's lower left corner is at
    /// `at`; the slots come in from below.
    pub fn cuts(&self, at: Point) -> Result<Vec<Cut>, NoComb> {
        let numbers = [
            self.pitch_mm,
            self.depth_mm,
            self.spine_mm,
            self.lead_mm,
            self.guess_mm,
            self.feed_mm_min,
        ];
        let finite = at.x.is_finite() && at.y.is_finite();
        if !finite || numbers.iter().any(|number| !number.is_finite() || *number <= 0.0) {
            return Err(NoComb::NotPositive);
        }
        let least_mm = LEAST_PITCH_KERFS * self.guess_mm;
        if self.pitch_mm < least_mm {
            return Err(NoComb::TeethTooThin {
                pitch_mm: self.pitch_mm,
                guess_mm: self.guess_mm,
                least_mm,
            });
        }
        let place = |x: f64, y: f64| Vertex::line(Point::new(at.x + x, at.y + y));
        let cut = |name: String, of: Of, vertices: Vec<Vertex>, around: [usize; 2]| Cut {
            name,
            of,
            track: Track { vertices },
            around,
            kerf_mm: self.guess_mm,
            feed_mm_min: self.feed_mm_min,
        };
        let below = -self.lead_mm;
        let mut cuts: Vec<Cut> = (0..=TEETH)
            .map(|slot| {
                let x = self.spine_mm + slot as f64 * self.pitch_mm;
                let vertices = vec![place(x, below), place(x, 0.0), place(x, self.depth_mm)];
                let of = Of::Opening {
                    part: 0,
                    opening: slot,
                };
                cut(format!("slot {}", slot + 1), of, vertices, [1, 2])
            })
            .collect();
        // Clockwise from the lower left corner, the edge half a kerf inside the path.
        let half_mm = self.guess_mm / 2.0;
        let [width_mm, height_mm] = self.size_mm();
        let outline = vec![
            place(-half_mm, below - half_mm),
            place(-half_mm, -half_mm),
            place(-half_mm, height_mm + half_mm),
            place(width_mm + half_mm, height_mm + half_mm),
            place(width_mm + half_mm, -half_mm),
            place(-half_mm, -half_mm),
        ];
        cuts.push(cut("outline".into(), Of::Outline { part: 0 }, outline, [1, 5]));
        Ok(cuts)
    }
}

/// A caliper and the edges it closes on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Standard uncertainty that all readings share: the caliper's own error, mm.
    pub caliper_sd_mm: f64,
    /// Standard uncertainty of one reading against the next, from dross, taper and feel, mm. The readings themselves
    /// may show more.
    pub feel_sd_mm: f64,
    /// Readings that lie farther apart than this are not believed, mm.
    pub may_differ_mm: f64,
}

impl Default for Reading {
    /// A good caliper (0.02 mm) on an edge with its dross knocked off (0.05 mm); readings within 0.25 mm of each other.
    /// Common practice, no source.
    fn default() -> Self {
        Reading {
            caliper_sd_mm: 0.02,
            feel_sd_mm: 0.05,
            may_differ_mm: 0.25,
        }
    }
}

/// Why the readings give no kerf.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum NoKerf {
    /// A reading is not a number above 0.
    #[error("tooth {tooth} reads {read_mm} mm, which is no width")]
    NoWidth {
        /// Which tooth, from 1.
        tooth: usize,
        /// As read, mm.
        read_mm: f64,
    },
    /// The tooth is not narrower than the pitch.
    #[error(
        "the teeth read {read_mm:.2} mm on average and the slots are {pitch_mm:.2} mm apart, which leaves no kerf; was the tooth measured, and not from slot to slot?"
    )]
    NothingCut {
        /// Mean of the readings, mm.
        read_mm: f64,
        /// From slot to slot, mm.
        pitch_mm: f64,
    },
    /// The readings lie too far apart.
    #[error(
        "the readings differ by {apart_mm:.2} mm, and more than {allowed_mm:.2} mm is not believed; tooth {odd} stands out: knock the dross off and measure again"
    )]
    Disagree {
        /// Largest less smallest, mm.
        apart_mm: f64,
        /// What is believed, mm.
        allowed_mm: f64,
        /// The tooth farthest from the middle reading, from 1.
        odd: usize,
    },
}

/// The kerf from the widths of the teeth.
///
/// kerf = pitch - mean(w). Its standard uncertainty is u, with
/// u^2 = max(s, feel)^2 / n + caliper^2 and s^2 = sum (w - mean)^2 / (n - 1):
/// the mean of n readings by their own scatter, but by no less than what such an edge is known to scatter (three
/// readings may agree by luck), and the caliper's own error, which no number of readings takes away. After JCGM 100
/// (GUM), 4.2 and 5.1, from memory.
pub fn kerf_from(
    pitch_mm: f64,
    widths_mm: [f64; TEETH],
    reading: &Reading,
    measured_on: &str,
) -> Result<Kerf, NoKerf> {
    let wrong = widths_mm
        .iter()
        .position(|width| !width.is_finite() || *width <= 0.0);
    if let Some(tooth) = wrong {
        return Err(NoKerf::NoWidth {
            tooth: tooth + 1,
            read_mm: widths_mm[tooth],
        });
    }
    let n = TEETH as f64;
    let mean_mm = widths_mm.iter().sum::<f64>() / n;
    let mut sorted = widths_mm;
    sorted.sort_by(f64::total_cmp);
    let apart_mm = sorted[TEETH - 1] - sorted[0];
    if apart_mm > reading.may_differ_mm {
        let off = |tooth: &usize| (widths_mm[*tooth] - sorted[TEETH / 2]).abs();
        let odd = (0..TEETH).max_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(0);
        return Err(NoKerf::Disagree {
            apart_mm,
            allowed_mm: reading.may_differ_mm,
            odd: odd + 1,
        });
    }
    let width_mm = pitch_mm - mean_mm;
    if !width_mm.is_finite() || width_mm <= 0.0 {
        return Err(NoKerf::NothingCut {
            read_mm: mean_mm,
            pitch_mm,
        });
    }
    let square_mm2 = widths_mm
        .iter()
        .map(|width| (width - mean_mm).powi(2))
        .sum::<f64>()
        / (n - 1.0);
    let scatter_mm = square_mm2.sqrt().max(reading.feel_sd_mm);
    Ok(Kerf {
        width_mm,
        sd_mm: (scatter_mm * scatter_mm / n + reading.caliper_sd_mm * reading.caliper_sd_mm).sqrt(),
        from: KerfFrom::Measured {
            on: measured_on.to_owned(),
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn comb() -> Comb {
        Comb::for_kerf(1.5, 6.0, 3000.0)
    }

    #[test]
    fn the_teeth_are_the_pitch_apart_and_the_torch_is_lit_outside_the_strip() {
        let at = Point::new(100.0, 50.0);
        let cuts = comb().cuts(at).expect("a comb");
        assert_eq!(cuts.len(), TEETH + 2);
        let slots = &cuts[..=TEETH];
        for pair in slots.windows(2) {
            let (one, next) = (pair[0].track.end(), pair[1].track.end());
            assert!((next.expect("an end").x - one.expect("an end").x - 10.0).abs() < 1e-12);
        }
        for cut in &cuts {
            let pierce = cut.track.start().expect("a start");
            assert!(at.y - pierce.y >= 6.0 - 1e-12, "{}", cut.name);
        }
        let [width_mm, height_mm] = comb().size_mm();
        assert_eq!([width_mm, height_mm], [50.0, 35.0]);
    }

    #[test]
    fn three_readings_give_the_kerf_and_how_sure_it_is() {
        let kerf = kerf_from(10.0, [8.48, 8.52, 8.50], &Reading::default(), "2026-05-04").expect("a kerf");
        assert!((kerf.width_mm - 1.5).abs() < 1e-12);
        // The readings agree within 0.02 mm, better than such an edge is known to: 0.05 / sqrt 3 and 0.02 in square.
        assert!((kerf.sd_mm - (0.05f64.powi(2) / 3.0 + 0.02f64.powi(2)).sqrt()).abs() < 1e-12);
        assert!(kerf.is_measured());
        let rough = kerf_from(10.0, [8.40, 8.60, 8.50], &Reading::default(), "").expect("a kerf");
        assert!((rough.sd_mm - (0.1f64.powi(2) / 3.0 + 0.02f64.powi(2)).sqrt()).abs() < 1e-12);
    }

    #[test]
    fn a_tooth_measured_over_its_dross_is_named() {
        let error = kerf_from(10.0, [8.5, 8.9, 8.48], &Reading::default(), "").expect_err("0.42 mm apart");
        assert!(matches!(error, NoKerf::Disagree { odd: 2, .. }), "{error}");
        let error = kerf_from(10.0, [10.0, 10.05, 10.1], &Reading::default(), "").expect_err("no kerf");
        assert!(matches!(error, NoKerf::NothingCut { .. }), "{error}");
        let error = kerf_from(10.0, [8.5, f64::NAN, 8.5], &Reading::default(), "").expect_err("no number");
        assert!(matches!(error, NoKerf::NoWidth { tooth: 2, .. }), "{error}");
    }

    #[test]
    fn teeth_thinner_than_a_few_kerfs_are_not_cut() {
        let thin = Comb {
            pitch_mm: 5.0,
            ..comb()
        };
        assert!(
            matches!(thin.cuts(Point::origin()), Err(NoComb::TeethTooThin { least_mm, .. }) if least_mm == 6.0)
        );
        let none = Comb {
            feed_mm_min: 0.0,
            ..comb()
        };
        assert_eq!(none.cuts(Point::origin()), Err(NoComb::NotPositive));
    }
}
