//! What each reading should read by all the others, how much hangs on it, and what a text typed for it would mean.

use crate::adjust::Adjusted;
use crate::slip::{DidYouMean, Writing};
use crate::snoop::Snooped;
use crate::sparse::Room;
use crate::{LEAST_REDUNDANCY, SAME_POINT_MM, SLIP_W};

/// Up to so many readings are weighed against each other; beyond, the page is not read row by row.
const MOST_WEIGHED: usize = 500;

/// A value with its standard deviation, mm or radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// The value.
    pub value: f64,
    /// Its standard deviation, by the readings that it comes from.
    pub sd: f64,
}

/// A reading as the others foretell it.
#[derive(Debug, Clone, PartialEq)]
pub struct Foretold {
    /// Its number in [`Adjusted::readings`].
    pub reading: usize,
    /// The caller's number for it.
    pub about: usize,
    /// Is it an angle, so that the values here are radians and not mm?
    pub is_angle: bool,
    /// What was read.
    pub read: f64,
    /// Standard deviation of its instrument.
    pub sd: f64,
    /// What it should read without itself and without what looks slipped; `None` when nothing else says it.
    pub expected: Option<Expected>,
    /// The share of the doubt of all points that comes from this reading, 0 to 1; all of them add up to 1. `None` when there are
    /// too many to weigh.
    pub decides: Option<f64>,
    /// Is it among those that look slipped?
    pub suspect: bool,
}

/// What a value typed for a reading looks like against the others.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// Typed less expected, mm or radians.
    pub off: f64,
    /// That in standard deviations of reading and expectation together.
    pub off_sd: f64,
    /// Slips that would explain it, likeliest first; none where it is not outside.
    pub did_you_mean: Vec<DidYouMean>,
}

impl Tried {
    /// Is it farther off than one good reading in a thousand?
    #[must_use]
    pub fn is_outside(&self) -> bool {
        self.off_sd.abs() > SLIP_W
    }
}

impl Expected {
    /// A band that holds nearly every good reading with this standard deviation: [`SLIP_W`] of both together either way.
    #[must_use]
    pub fn band(&self, sd: f64) -> [f64; 2] {
        let reach = SLIP_W * self.sd.hypot(sd);
        [self.value - reach, self.value + reach]
    }

    /// Holds a value with this standard deviation against it. `writing` says what was typed for the number `about`.
    #[must_use]
    pub fn tried(&self, (about, read, is_angle): (usize, f64, bool), sd: f64, writing: Writing<'_>) -> Tried {
        let both = self.sd.hypot(sd);
        let off = read - self.value;
        let off_sd = off / both;
        let did_you_mean = if off_sd.abs() > SLIP_W {
            writing.did_you_mean((about, read, is_angle), self.value, both, SLIP_W)
        } else {
            Vec::new()
        };
        Tried {
            off,
            off_sd,
            did_you_mean,
        }
    }
}

impl Snooped {
    /// Every reading as the others foretell it, in the order of [`Adjusted::readings`]; exact and predicted values left out.
    ///
    /// Left out of its own adjustment, a reading with residual v and redundancy r is expected at `read + v / r`, with
    /// standard deviation `sd sqrt((1 - r) / r)` (as in `snoop`). Where all slips are located, they are left out too.
    #[must_use]
    pub fn foretold(&self) -> Vec<Foretold> {
        let rest = self.without.as_ref().unwrap_or(&self.all);
        let shares = shares(&self.all);
        let rows = self.all.readings.iter().zip(&rest.readings).enumerate();
        rows.filter(|(_, (judged, _))| judged.sd > 0.0 && judged.sd.is_finite())
            .map(|(index, (judged, by_rest))| {
                let suspected = self
                    .suspects
                    .iter()
                    .flat_map(|suspect| &suspect.readings)
                    .find(|suspected| suspected.reading == index);
                let r = by_rest.redundancy;
                let expected = match suspected {
                    Some(suspected) => Some(Expected {
                        value: suspected.expected,
                        sd: suspected.expected_sd,
                    }),
                    None if r > LEAST_REDUNDANCY => Some(Expected {
                        value: by_rest.read + by_rest.residual / r,
                        sd: by_rest.sd * ((1.0 - r) / r).sqrt(),
                    }),
                    None => None,
                };
                Foretold {
                    reading: index,
                    about: judged.about,
                    is_angle: judged.is_angle,
                    read: judged.read,
                    sd: judged.sd,
                    expected,
                    decides: shares.as_ref().and_then(|shares| shares.get(index).copied()),
                    suspect: suspected.is_some(),
                }
            })
            .collect()
    }
}

impl Adjusted {
    /// The distance of two points by all readings; `None` for names that no point has, and for two points in one place.
    #[must_use]
    pub fn distance(&self, between: [&str; 2]) -> Option<Expected> {
        let number = |name: &str| self.names.iter().position(|own| own == name);
        let (a, b) = (number(between[0])?, number(between[1])?);
        let apart = self.points[b] - self.points[a];
        let value = apart.norm();
        if value < SAME_POINT_MM {
            return None;
        }
        let unit = apart / value;
        let both = self.covariance(a, b)?;
        let spread = self.covariance(a, a)? + self.covariance(b, b)? - both - both.transpose();
        Some(Expected {
            value,
            sd: unit.dot(&(spread * unit)).max(0.0).sqrt(),
        })
    }
}

/// The share of each reading in the variances of all coordinates: with slopes a and weight p it moves the unknowns by
/// Q a^T p for each unit, so its own variance 1/p gives |Q a^T|^2 p; over all readings these add up to the trace of Q.
fn shares(adjusted: &Adjusted) -> Option<Vec<f64>> {
    let rows = &adjusted.fitted.rows;
    if rows.len() > MOST_WEIGHED {
        return None;
    }
    let mut room = Room::default();
    let weighed: Vec<f64> = rows
        .iter()
        .map(|row| {
            if !(row.weight > 0.0 && row.weight.is_finite()) {
                return 0.0;
            }
            let moved = adjusted.fitted.covariance_of(&row.slopes, &mut room);
            let of_points: f64 = adjusted
                .slopes
                .iter()
                .flatten()
                .map(|coordinate| {
                    let by: f64 = coordinate.slopes.iter().map(|&(i, slope)| slope * moved[i]).sum();
                    by * by
                })
                .sum();
            of_points * row.weight
        })
        .collect();
    let all: f64 = weighed.iter().sum();
    (all > 0.0).then(|| weighed.into_iter().map(|one| one / all).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{AdjustOptions, Mark, MarkOut, Of, Reading, Side, Value, adjust, find_slips};

    fn corner(diagonal_mm: f64) -> (MarkOut, Vec<Reading>) {
        let tape = |mm: f64, about: usize| Value::read(mm, 0.5, about);
        let held = |mm: f64| Value::exact(mm, 0);
        let mark_out = MarkOut::new(vec![
            (
                "A".into(),
                Mark::At {
                    x: held(0.0),
                    y: held(0.0),
                },
            ),
            (
                "B".into(),
                Mark::At {
                    x: tape(300.0, 1),
                    y: held(0.0),
                },
            ),
            (
                "C".into(),
                Mark::Swing {
                    a: "A".into(),
                    ra: tape(180.0, 2),
                    b: "B".into(),
                    rb: tape(240.0, 3),
                    side: Side::Left,
                },
            ),
            ("M".into(), Mark::Middle(["A".into(), "B".into()])),
        ])
        .expect("a mark-out");
        let reading = Reading::new(Of::Distance(["M".into(), "C".into()]), tape(diagonal_mm, 4));
        (mark_out, vec![reading])
    }

    #[test]
    fn a_reading_left_out_is_foretold_as_by_an_adjustment_without_it() {
        let (mark_out, readings) = corner(150.6);
        let snooped = find_slips(
            &mark_out,
            &readings,
            AdjustOptions::default(),
            Writing::unknown(),
            0.5,
        )
        .expect("an adjustment");
        assert!(snooped.suspects.is_empty());
        let foretold = snooped.foretold();
        let last = foretold.iter().find(|one| one.about == 4).expect("the diagonal");
        let alone = adjust(
            &mark_out,
            &[Reading::new(
                Of::Distance(["M".into(), "C".into()]),
                Value::start(150.6, 4),
            )],
            AdjustOptions::default(),
        )
        .expect("an adjustment");
        let judged = alone
            .readings
            .iter()
            .find(|one| one.about == 4)
            .expect("predicted");
        let expected = last.expected.expect("the others say it");
        // The corner is the apex over the middle of 3-4-5: half of the long side.
        assert!((expected.value - judged.adjusted).abs() < 2e-3 && (expected.value - 150.0).abs() < 2e-3);
        assert!((expected.sd - judged.adjusted_sd).abs() < 2e-3);
        let shares: f64 = foretold.iter().filter_map(|one| one.decides).sum();
        assert!((shares - 1.0).abs() < 1e-9, "{shares}");
    }

    #[test]
    fn of_too_many_readings_none_is_said_to_decide_nothing() {
        let (mark_out, reading) = corner(150.0);
        let foretold = |count: usize| {
            let again = |about: usize| {
                let mut again = reading[0].clone();
                again.value = Value::read(150.0, 0.5, 4 + about);
                again
            };
            let readings: Vec<Reading> = (0..count).map(again).collect();
            let options = AdjustOptions::default();
            find_slips(&mark_out, &readings, options, Writing::unknown(), 0.5)
                .expect("an adjustment")
                .foretold()
        };
        assert!(foretold(3).iter().all(|one| one.decides.is_some()));
        assert!(foretold(MOST_WEIGHED).iter().all(|one| one.decides.is_none()));
    }

    #[test]
    fn a_text_is_held_against_the_band_as_it_is_typed() {
        let expected = Expected {
            value: 154.0,
            sd: 0.3,
        };
        let typed = |_: usize| Some("145".to_owned());
        let meaning = |_: usize, text: &str| text.parse::<f64>().ok();
        let writing = Writing {
            typed: &typed,
            meaning: &meaning,
            hook_mm: None,
            thickness_mm: None,
        };
        let [low, high] = expected.band(0.4);
        assert!(low < 154.0 - 1.6 && high > 154.0 + 1.6 && high < 154.0 + 1.7);
        let tried = expected.tried((0, 145.0, false), 0.4, writing);
        assert!(tried.is_outside());
        assert_eq!(tried.did_you_mean[0].value, 154.0);
        let good = expected.tried((0, 154.6, false), 0.4, writing);
        assert!(!good.is_outside() && good.did_you_mean.is_empty());
    }
}
