//! The machine's cut chart: feed, pierce and heights by metal and thickness, and between its lines.

use handbook::{Family, Status};
use thiserror::Error;

use super::{Kerf, Profile};

/// What lies on the table.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// As the shop calls it: "5052-H32 3 mm".
    pub name: String,
    /// Its metal.
    pub family: Family,
    /// Its thickness, mm.
    pub thickness_mm: f64,
}

/// One line of a cut chart, or one worked out between two.
#[derive(Debug, Clone, PartialEq)]
pub struct ChartLine {
    /// The metal.
    pub family: Family,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Feed along the path, mm/min.
    pub feed_mm_min: f64,
    /// From the start of the cut to the first movement, s; preheating counts.
    pub pierce_delay_s: f64,
    /// Height over the plate while piercing, mm.
    pub pierce_height_mm: f64,
    /// Height over the plate while cutting, mm.
    pub cut_height_mm: f64,
    /// How far it can be trusted.
    pub status: Status,
    /// Where it was read.
    pub source: String,
}

/// The chart has no line for a stock.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NoLine {
    /// The process does not cut this metal.
    #[error("{process} does not cut {family:?}")]
    NotThisMetal {
        /// The process.
        process: &'static str,
        /// The metal.
        family: Family,
    },
    /// No line of the chart is for this metal.
    #[error("the cut chart has no line for {family:?}")]
    NoMetal {
        /// The metal.
        family: Family,
    },
    /// The plate is thinner or thicker than every line.
    #[error(
        "the cut chart of {family:?} runs from {least_mm} to {most_mm} mm, and the plate is {thickness_mm:.2} mm"
    )]
    OutsideChart {
        /// The metal.
        family: Family,
        /// The plate, mm.
        thickness_mm: f64,
        /// Thinnest line, mm.
        least_mm: f64,
        /// Thickest line, mm.
        most_mm: f64,
    },
}

/// A plate may be this much thinner or thicker than the ends of the chart: what a sheet may be off its nominal
/// thickness. Common practice, no source.
const THICKNESS_SHARE: f64 = 0.1;

impl Profile {
    /// The kerf to count on in this stock: the shop's own for that very stock, else the profile's.
    #[must_use]
    pub fn kerf_in(&self, stock: &Stock) -> &Kerf {
        let own = self.kerfs.iter().rev().find(|row| row.stock == stock.name);
        own.map_or(&self.kerf, |row| &row.kerf)
    }

    /// The chart's line for this stock. Between two lines feed, delay and heights go as a power of the thickness.
    pub fn line_for(&self, stock: &Stock) -> Result<ChartLine, NoLine> {
        let (family, t_mm) = (stock.family, stock.thickness_mm);
        if !self.cuts(family) {
            return Err(NoLine::NotThisMetal {
                process: self.process.name(),
                family,
            });
        }
        let mut lines: Vec<&ChartLine> = self.chart.iter().filter(|line| line.family == family).collect();
        lines.sort_by(|a, b| a.thickness_mm.total_cmp(&b.thickness_mm));
        let (Some(first), Some(last)) = (lines.first(), lines.last()) else {
            return Err(NoLine::NoMetal { family });
        };
        let (least_mm, most_mm) = (first.thickness_mm, last.thickness_mm);
        let within = t_mm >= least_mm * (1.0 - THICKNESS_SHARE) && t_mm <= most_mm * (1.0 + THICKNESS_SHARE);
        if !within {
            return Err(NoLine::OutsideChart {
                family,
                thickness_mm: t_mm,
                least_mm,
                most_mm,
            });
        }
        let after = lines.partition_point(|line| line.thickness_mm < t_mm);
        let (Some(thin), Some(thick)) = (after.checked_sub(1).and_then(|i| lines.get(i)), lines.get(after))
        else {
            let nearest = if after == 0 { first } else { last };
            return Ok(ChartLine {
                thickness_mm: t_mm,
                ..(*nearest).clone()
            });
        };
        Ok(between(thin, thick, t_mm))
    }
}

fn between(thin: &ChartLine, thick: &ChartLine, t_mm: f64) -> ChartLine {
    let share = (t_mm / thin.thickness_mm).ln() / (thick.thickness_mm / thin.thickness_mm).ln();
    let of = |value: fn(&ChartLine) -> f64| {
        let (a, b) = (value(thin), value(thick));
        if a > 0.0 && b > 0.0 {
            a * (b / a).powf(share)
        } else {
            a + (b - a) * share
        }
    };
    let weaker = if thin.status >= thick.status { thin } else { thick };
    ChartLine {
        family: thin.family,
        thickness_mm: t_mm,
        feed_mm_min: of(|line| line.feed_mm_min),
        pierce_delay_s: of(|line| line.pierce_delay_s),
        pierce_height_mm: of(|line| line.pierce_height_mm),
        cut_height_mm: of(|line| line.cut_height_mm),
        status: weaker.status,
        source: weaker.source.clone(),
    }
}
