//! What a program is written from.

use plane::{FARTHEST_MM, Point};

use super::dialect::{Compensation, Dialect, DialectError, Heights, PierceDelay};
use crate::track::Cut;

/// How the torch pierces and travels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TorchSetting {
    /// How long it stands still after it is lit, s.
    pub pierce_delay_s: f64,
    /// Height over the sheet at which it is lit, mm.
    pub pierce_height_mm: f64,
    /// Height over the sheet while it cuts, mm.
    pub cut_height_mm: f64,
    /// Height over the sheet between cuts, mm.
    pub travel_height_mm: f64,
    /// Feed of the dry run, mm/min.
    pub dry_feed_mm_min: f64,
}

/// How the torch gets to a cut.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Travel {
    /// Corners that it goes round on the way, in table coordinates, mm; none for a straight move.
    pub via: Vec<Point>,
    /// Height over the sheet for this move, mm, where it must pass over what can have tipped; else the usual one.
    pub over_mm: Option<f64>,
    /// How long it waits at the pierce before it is lit, s, for the plate to cool; 0 not at all.
    pub waits_s: f64,
}

/// Where the torch goes when all is cut, off and at the height of travel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parking<'a> {
    /// Corners that it goes round on the way, in table coordinates, mm.
    pub via: &'a [Point],
    /// Where it comes to stand.
    pub at: Point,
    /// Height over the sheet on the way, mm, where it must pass over what can have tipped; else the usual one.
    pub over_mm: Option<f64>,
}

/// A sheet's worth of cuts in their order, and what the person at the table has to know.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Work<'a> {
    /// What it is.
    pub title: &'a str,
    /// What is to lie on the table: metal and thickness in words.
    pub stock: &'a str,
    /// Lower left and upper right of the sheet, in table coordinates, mm.
    pub sheet: [Point; 2],
    /// The machine's zero, in the same coordinates as the tracks, mm.
    pub zero: Point,
    /// Cuts in the order in which they are made.
    pub cuts: &'a [Cut],
    /// How the torch gets to each of them; straight and at once to those for which there is none.
    pub travels: &'a [Travel],
    /// Where the torch goes after the last; none where it stays there.
    pub park: Option<Parking<'a>>,
    /// Delay and heights.
    pub torch: TorchSetting,
    /// What stands as cautions at the head of the program.
    pub cautions: &'a [String],
}

/// Why a program cannot be written.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ProgramError {
    /// The dialect cannot be written.
    #[error("the machine's dialect cannot be written: {0}")]
    Dialect(#[from] DialectError),
    /// There is nothing to cut.
    #[error("there is nothing to cut")]
    NoCuts,
    /// A cut has no path, or one with numbers that are none.
    #[error("cut {name} has no path that a machine can follow")]
    NoPath {
        /// Its name.
        name: String,
    },
    /// A number is not in its range.
    #[error("{what} is {value}; it must be over {over} and at most {most}")]
    OutOfRange {
        /// What it is, with its unit.
        what: &'static str,
        /// What it is set to.
        value: f64,
        /// It must be more.
        over: f64,
        /// It must not be more.
        most: f64,
    },
    /// The machine's table has one row for cuts of two widths.
    #[error(
        "cut {name} has a kerf of {kerf_mm} mm, the first {first_mm} mm; one row of the machine's table holds one"
    )]
    KerfsDiffer {
        /// Its name.
        name: String,
        /// Its kerf, mm.
        kerf_mm: f64,
        /// Kerf of the first cut, mm.
        first_mm: f64,
    },
    /// The dialect has no words for a marker.
    #[error("the machine's dialect has no words that put its marker on and off")]
    NoMarker,
}

/// No table feeds faster: 100 m/min.
pub(super) const MOST_FEED_MM_MIN: f64 = 1e5;
/// No torch is set higher over the sheet.
const MOST_HEIGHT_MM: f64 = 500.0;
/// Nobody waits longer for a plate to cool.
const MOST_WAIT_S: f64 = 3600.0;
/// No plate takes longer to pierce.
const MOST_DELAY_S: f64 = 60.0;
/// No kerf is wider.
const MOST_KERF_MM: f64 = 50.0;

pub(super) fn within(what: &'static str, value: f64, over: f64, most: f64) -> Result<(), ProgramError> {
    // Written so that a value that is no number is out of range too.
    if value > over && value <= most {
        Ok(())
    } else {
        Err(ProgramError::OutOfRange {
            what,
            value,
            over,
            most,
        })
    }
}

impl Work<'_> {
    /// Whether a program can be written of it.
    pub(super) fn check(&self, dialect: &Dialect) -> Result<(), ProgramError> {
        dialect.check()?;
        if self.cuts.is_empty() {
            return Err(ProgramError::NoCuts);
        }
        let far = |what, value| within(what, value, -FARTHEST_MM, FARTHEST_MM);
        for corner in [self.zero, self.sheet[0], self.sheet[1]] {
            far("a place of the sheet or its zero in mm", corner.x)?;
            far("a place of the sheet or its zero in mm", corner.y)?;
        }
        within(
            "the feed of the dry run in mm/min",
            self.torch.dry_feed_mm_min,
            0.0,
            MOST_FEED_MM_MIN,
        )?;
        if dialect.pierce_delay == PierceDelay::Dwell {
            // 0 is no delay, and a delay all the same.
            within(
                "the pierce delay in s",
                self.torch.pierce_delay_s,
                -f64::MIN_POSITIVE,
                MOST_DELAY_S,
            )?;
        }
        if dialect.heights == Heights::Written {
            let torch = &self.torch;
            within(
                "the cutting height in mm",
                torch.cut_height_mm,
                0.0,
                MOST_HEIGHT_MM,
            )?;
            within(
                "the pierce height in mm",
                torch.pierce_height_mm,
                0.0,
                MOST_HEIGHT_MM,
            )?;
            within(
                "the travel height in mm",
                torch.travel_height_mm,
                torch.cut_height_mm,
                MOST_HEIGHT_MM,
            )?;
        }
        let goes = |via: &[Point], over_mm: Option<f64>| {
            for corner in via {
                far("a corner of a travel in mm", corner.x)?;
                far("a corner of a travel in mm", corner.y)?;
            }
            let travel_mm = self.torch.travel_height_mm;
            over_mm.map_or(Ok(()), |over_mm| {
                within(
                    "the height of a travel over a part in mm",
                    over_mm,
                    travel_mm,
                    MOST_HEIGHT_MM,
                )
            })
        };
        for travel in self.travels {
            goes(&travel.via, travel.over_mm)?;
            within("a wait in s", travel.waits_s, -f64::MIN_POSITIVE, MOST_WAIT_S)?;
        }
        if let Some(park) = &self.park {
            goes(park.via, park.over_mm)?;
            far("the parking place in mm", park.at.x)?;
            far("the parking place in mm", park.at.y)?;
        }
        for cut in self.cuts {
            within(
                "the feed of a cut in mm/min",
                cut.feed_mm_min,
                0.0,
                MOST_FEED_MM_MIN,
            )?;
            let shifted = dialect.compensation != Compensation::Here;
            within(
                "the kerf in mm",
                cut.kerf_mm,
                if shifted { 0.0 } else { -f64::MIN_POSITIVE },
                MOST_KERF_MM,
            )?;
            let first_mm = self.cuts[0].kerf_mm;
            if matches!(dialect.compensation, Compensation::MachineTable { .. }) && cut.kerf_mm != first_mm {
                return Err(ProgramError::KerfsDiffer {
                    name: cut.name.clone(),
                    kerf_mm: cut.kerf_mm,
                    first_mm,
                });
            }
            let sound = cut.track.vertices.iter().all(|vertex| {
                vertex.bulge.is_finite()
                    && vertex.at.x.abs() <= FARTHEST_MM
                    && vertex.at.y.abs() <= FARTHEST_MM
            });
            let [first, last] = cut.around;
            if !(sound && first < last && last < cut.track.vertices.len()) {
                return Err(ProgramError::NoPath {
                    name: cut.name.clone(),
                });
            }
        }
        Ok(())
    }
}
