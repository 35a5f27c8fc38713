//! Bolts by the size of their thread: what they stand, the holes they want, the washers under them.

use crate::Handbook;
use crate::book::or_nearest;
use crate::sourced::{Sourced, Status};
use crate::table::{BadCell, RowView, Table};

const MM_PER_IN: f64 = 25.4;

/// How a hole takes its bolt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Clearance {
    /// Close (ISO 273 fine).
    Close,
    /// Normal (ISO 273 medium).
    Normal,
    /// Loose (ISO 273 coarse).
    Loose,
    /// Tapped in the plate: drilled to the tap size.
    Tapped,
}

/// A bolt's thread.
#[derive(Debug, Clone, PartialEq)]
pub struct Bolt {
    /// "M6x1", "1/4-20".
    pub name: String,
    /// Size without the pitch: "M6", "1/4".
    pub size: String,
    /// Outside diameter of the thread, mm.
    pub diameter_mm: f64,
    /// From thread to thread, mm.
    pub pitch_mm: f64,
    /// Tensile stress area, mm2.
    pub stress_area_mm2: Sourced<f64>,
    /// Least ultimate load in property class 8.8, N.
    pub ultimate_8_8_n: Option<Sourced<f64>>,
    /// Proof load in property class 8.8, N.
    pub proof_8_8_n: Option<Sourced<f64>>,
    /// Proof load in property class 10.9, N.
    pub proof_10_9_n: Option<Sourced<f64>>,
}

/// A plain washer.
#[derive(Debug, Clone, PartialEq)]
pub struct Washer {
    /// Outside diameter, mm.
    pub outside_mm: f64,
    /// Thickness, mm.
    pub thick_mm: f64,
}

/// No such thread in a table.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the table {table} has no row for {asked:?}{}", or_nearest(.nearest))]
pub struct UnknownThread {
    /// The table asked.
    pub table: &'static str,
    /// As asked.
    pub asked: String,
    /// The nearest in diameter of the same kind, metric or inch.
    pub nearest: Option<String>,
}

/// Tensile stress area of a metric thread, mm2, from its diameter and pitch in mm: pi/4 (d - 0.9382 P)^2, ISO 898-1.
pub fn stress_area_mm2(diameter_mm: f64, pitch_mm: f64) -> f64 {
    std::f64::consts::FRAC_PI_4 * (diameter_mm - 0.9382 * pitch_mm).powi(2)
}

#[derive(Debug, Clone, PartialEq)]
struct HoleRow {
    size: String,
    close_mm: Sourced<f64>,
    normal_mm: Sourced<f64>,
    loose_mm: Sourced<f64>,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ThreadTables {
    bolts: Vec<Bolt>,
    holes: Vec<HoleRow>,
    tap_drills: Vec<(String, Sourced<f64>)>,
    washers: Vec<(String, Sourced<Washer>)>,
}

impl Handbook {
    /// The bolt of this designation ("M6", "M6x1", "1/4-20"); a size without a pitch is its coarse thread.
    pub fn bolt(&self, designation: &str) -> Result<&Bolt, UnknownThread> {
        let (size, pitch_mm) = parts(designation);
        let of_size = || self.threads.bolts.iter().filter(|bolt| bolt.size == size);
        let found = match pitch_mm {
            Some(pitch) => of_size().find(|bolt| (bolt.pitch_mm - pitch).abs() < SAME_PITCH_MM),
            None => of_size().max_by(|a, b| a.pitch_mm.total_cmp(&b.pitch_mm)),
        };
        found.ok_or_else(|| UnknownThread {
            table: if is_metric(&size) {
                "bolts_metric"
            } else {
                "bolts_inch"
            },
            asked: designation.to_owned(),
            nearest: self.nearest_size(&size, None),
        })
    }

    /// Diameter of the hole for a bolt, mm, by its designation ("M6", "1/4-20") and outside diameter, which finds the
    /// nearest size when the table has no such row. `Tapped` gives the tap drill; without a pitch, that of the coarse
    /// thread; without a row, the diameter less the pitch, which says so.
    pub fn clearance_dia_mm(
        &self,
        designation: &str,
        diameter_mm: f64,
        clearance: Clearance,
    ) -> Result<Sourced<f64>, UnknownThread> {
        let (size, pitch_mm) = parts(designation);
        let unknown = |metric, inch| UnknownThread {
            table: if is_metric(&size) { metric } else { inch },
            asked: designation.to_owned(),
            nearest: self.nearest_size(&size, Some(diameter_mm)),
        };
        if clearance == Clearance::Tapped {
            let pitch_mm = pitch_mm.or_else(|| self.bolt(&size).ok().map(|bolt| bolt.pitch_mm));
            let pitch_mm = pitch_mm.ok_or_else(|| unknown("tap_drills_metric", "tap_drills_inch"))?;
            return Ok(self.tap_drill_mm(&size, diameter_mm, pitch_mm));
        }
        let row = self
            .threads
            .holes
            .iter()
            .find(|row| row.size == size)
            .ok_or_else(|| unknown("clearance_holes_metric", "clearance_holes_inch"))?;
        Ok(match clearance {
            Clearance::Close => row.close_mm.clone(),
            Clearance::Normal | Clearance::Tapped => row.normal_mm.clone(),
            Clearance::Loose => row.loose_mm.clone(),
        })
    }

    /// The plain washer for a bolt.
    pub fn washer(&self, designation: &str) -> Result<Sourced<Washer>, UnknownThread> {
        let (size, _) = parts(designation);
        let found = self.threads.washers.iter().find(|(known, _)| *known == size);
        found
            .map(|(_, washer)| washer.clone())
            .ok_or_else(|| UnknownThread {
                table: if is_metric(&size) {
                    "washers_metric"
                } else {
                    "washers_inch"
                },
                asked: designation.to_owned(),
                nearest: self.nearest_size(&size, None),
            })
    }

    pub(crate) fn unknown_thread(
        &self,
        designation: &str,
        metric: &'static str,
        inch: &'static str,
    ) -> UnknownThread {
        let size = size_of(designation);
        UnknownThread {
            table: if is_metric(&size) { metric } else { inch },
            asked: designation.to_owned(),
            nearest: self.nearest_size(&size, None),
        }
    }

    fn tap_drill_mm(&self, size: &str, diameter_mm: f64, pitch_mm: f64) -> Sourced<f64> {
        let tabled = self.threads.tap_drills.iter().find(|(name, _)| {
            let (drill_size, drill_pitch) = parts(name);
            drill_size == size && drill_pitch.is_some_and(|pitch| (pitch - pitch_mm).abs() < SAME_PITCH_MM)
        });
        match tabled {
            Some((_, drill)) => drill.clone(),
            None => Sourced {
                value: diameter_mm - pitch_mm,
                source: "diameter less pitch; common practice, no source".to_owned(),
                status: Status::CommonPractice,
                row: format!("tap drill of {size}"),
            },
        }
    }

    fn nearest_size(&self, size: &str, diameter_mm: Option<f64>) -> Option<String> {
        let diameter_mm = diameter_mm.or_else(|| nominal_mm(size))?;
        let off = |bolt: &&Bolt| (bolt.diameter_mm - diameter_mm).abs();
        self.threads
            .bolts
            .iter()
            .filter(|bolt| is_metric(&bolt.size) == is_metric(size))
            .min_by(|a, b| off(a).total_cmp(&off(b)))
            .map(|bolt| bolt.size.clone())
    }
}

/// Two pitches closer than this are one: the finest two in use on one diameter, 28 and 32 to the inch, lie 0.1 mm apart.
const SAME_PITCH_MM: f64 = 0.01;

fn is_metric(size: &str) -> bool {
    size.starts_with('M')
}

/// Outside diameter by the size's own name, mm.
fn nominal_mm(size: &str) -> Option<f64> {
    if let Some(number) = size.strip_prefix('M') {
        return number.parse().ok();
    }
    if let Some(number) = size.strip_prefix('#') {
        let number: f64 = number.parse().ok()?;
        return Some((0.060 + 0.013 * number) * MM_PER_IN);
    }
    let inches = match size.split_once('/') {
        Some((over, under)) => over.parse::<f64>().ok()? / under.parse::<f64>().ok()?,
        None => size.parse().ok()?,
    };
    Some(inches * MM_PER_IN)
}

/// Size of a designation, without the pitch.
pub(crate) fn size_of(designation: &str) -> String {
    parts(designation).0
}

/// Size and pitch in mm of a designation: "M6x1" is M6 and 1, "1/4-20 UNC" is 1/4 and 1.27.
fn parts(designation: &str) -> (String, Option<f64>) {
    let text = designation.trim().to_uppercase().replace('\u{d7}', "X");
    if is_metric(&text) {
        return match text.split_once('X') {
            Some((size, pitch)) => (size.trim().to_owned(), pitch.trim().parse().ok()),
            None => (text, None),
        };
    }
    let (size, rest) = text.split_once('-').unwrap_or((&text, ""));
    let digits: String = rest.trim().chars().take_while(char::is_ascii_digit).collect();
    let per_in: Option<f64> = digits.parse().ok().filter(|n| *n > 0.0);
    let size = size.trim().trim_end_matches("IN").trim_end_matches('"').trim();
    (size.to_owned(), per_in.map(|n| MM_PER_IN / n))
}

pub(crate) fn read<'a>(
    table: &impl Fn(&'static str) -> Result<&'a Table, BadCell>,
) -> Result<ThreadTables, BadCell> {
    let mut bolts = table("bolts_metric")?.read(|row| {
        let pitch_mm = row.positive("pitch_mm")?;
        Ok(Bolt {
            name: if row.key().contains('x') {
                row.key().to_owned()
            } else {
                format!("{}x{pitch_mm}", row.key())
            },
            size: parts(row.key()).0,
            diameter_mm: row.positive("diameter_mm")?,
            pitch_mm,
            stress_area_mm2: row.sourced_positive("stress_area_mm2")?,
            ultimate_8_8_n: row.if_said("ultimate_8_8_n", RowView::sourced_positive)?,
            proof_8_8_n: row.if_said("proof_8_8_n", RowView::sourced_positive)?,
            proof_10_9_n: row.if_said("proof_10_9_n", RowView::sourced_positive)?,
        })
    })?;
    bolts.extend(table("bolts_inch")?.read(|row| {
        Ok(Bolt {
            name: row.key().to_owned(),
            size: parts(row.key()).0,
            diameter_mm: row.positive("diameter_in")? * MM_PER_IN,
            pitch_mm: MM_PER_IN / row.positive("threads_per_in")?,
            stress_area_mm2: row
                .sourced_positive("stress_area_in2")?
                .map(|area_in2| area_in2 * MM_PER_IN * MM_PER_IN),
            ultimate_8_8_n: None,
            proof_8_8_n: None,
            proof_10_9_n: None,
        })
    })?);
    let mut holes = Vec::new();
    let mut tap_drills = Vec::new();
    let mut washers = Vec::new();
    for (kind, unit, mm) in [("metric", "mm", 1.0), ("inch", "in", MM_PER_IN)] {
        let named = |metric, inch| {
            if kind == "metric" {
                table(metric)
            } else {
                table(inch)
            }
        };
        let in_mm = |row: &RowView<'_>, column: &str| {
            Ok::<_, BadCell>(
                row.sourced_positive(&format!("{column}_{unit}"))?
                    .map(|value| value * mm),
            )
        };
        holes.extend(
            named("clearance_holes_metric", "clearance_holes_inch")?.read(|row| {
                Ok(HoleRow {
                    size: row.key().to_owned(),
                    close_mm: in_mm(&row, "close")?,
                    normal_mm: in_mm(&row, "normal")?,
                    loose_mm: in_mm(&row, "loose")?,
                })
            })?,
        );
        tap_drills.extend(
            named("tap_drills_metric", "tap_drills_inch")?
                .read(|row| Ok((row.key().to_owned(), in_mm(&row, "drill")?)))?,
        );
        washers.extend(named("washers_metric", "washers_inch")?.read(|row| {
            let columns = [format!("outside_{unit}"), format!("thick_{unit}")];
            let washer = Washer {
                outside_mm: row.positive(&columns[0])? * mm,
                thick_mm: row.positive(&columns[1])? * mm,
            };
            Ok((
                row.key().to_owned(),
                row.sourced(&[&columns[0], &columns[1]], washer)?,
            ))
        })?);
    }
    Ok(ThreadTables {
        bolts,
        holes,
        tap_drills,
        washers,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_designation_is_read_as_the_shop_writes_it() {
        let near = |a: Option<f64>, b: f64| a.is_some_and(|a| (a - b).abs() < 1e-9);
        for (written, size, pitch) in [
            ("M6x1", "M6", 1.0),
            ("m10 x 1.25", "M10", 1.25),
            ("M8\u{d7}1", "M8", 1.0),
            ("1/4-20 UNC", "1/4", 1.27),
            ("#10-24", "#10", 25.4 / 24.0),
        ] {
            let (got, got_pitch) = parts(written);
            assert!(
                got == size && near(got_pitch, pitch),
                "{written}: {got} {got_pitch:?}"
            );
        }
        assert_eq!(parts("5/16 in"), ("5/16".to_owned(), None));
        assert_eq!(parts("M6"), ("M6".to_owned(), None));
    }

    #[test]
    fn a_size_without_a_pitch_is_its_coarse_thread() {
        let handbook = Handbook::builtin();
        assert_eq!(handbook.bolt("1/4").map(|b| b.name.as_str()), Ok("1/4-20"));
        assert_eq!(handbook.bolt("M8").map(|b| b.name.as_str()), Ok("M8x1.25"));
        let tapped = handbook.clearance_dia_mm("M6", 6.0, Clearance::Tapped);
        assert_eq!(tapped.map(|hole| hole.value), Ok(5.0));
        let fine = handbook
            .clearance_dia_mm("1/4-28", 6.35, Clearance::Tapped)
            .expect("a tap drill");
        assert!((fine.value - 0.213 * 25.4).abs() < 1e-9);
        assert!(fine.status.wants_checking());
    }

    #[test]
    fn a_size_not_in_the_table_names_the_nearest_of_its_kind() {
        let handbook = Handbook::builtin();
        let error = handbook
            .clearance_dia_mm("M7", 7.0, Clearance::Normal)
            .expect_err("no M7 row");
        assert_eq!(error.table, "clearance_holes_metric");
        assert_eq!(error.nearest.as_deref(), Some("M6"));
        let error = handbook.washer("9/16").expect_err("no 9/16 row");
        assert_eq!(error.nearest.as_deref(), Some("1/2"));
        assert_eq!(handbook.bolt("whitworth").expect_err("no such").nearest, None);
    }

    #[test]
    fn every_hole_is_wider_than_its_bolt_and_every_tap_drill_narrower() {
        let handbook = Handbook::builtin();
        for bolt in &handbook.threads.bolts {
            let of = |clearance| {
                handbook
                    .clearance_dia_mm(&bolt.name, bolt.diameter_mm, clearance)
                    .map(|hole| hole.value)
            };
            let (close, normal, loose) = (of(Clearance::Close), of(Clearance::Normal), of(Clearance::Loose));
            let (close, normal, loose) = (
                close.expect("close"),
                normal.expect("normal"),
                loose.expect("loose"),
            );
            assert!(
                bolt.diameter_mm < close && close < normal && normal < loose,
                "{}",
                bolt.name
            );
            let drill = of(Clearance::Tapped).expect("a tap drill");
            let thread_depth = (bolt.diameter_mm - drill) / bolt.pitch_mm;
            assert!(
                (0.8..1.15).contains(&thread_depth),
                "{}: {thread_depth}",
                bolt.name
            );
            if let Ok(washer) = handbook.washer(&bolt.name) {
                assert!(washer.value.outside_mm > loose, "{}", bolt.name);
            }
        }
    }

    #[test]
    fn tabled_stress_areas_agree_with_the_formulas() {
        // The inch formula takes off 0.9743 P where the metric one takes off 0.9382 P.
        let inch_area_mm2 = |d: f64, pitch: f64| stress_area_mm2(d - (0.9743 - 0.9382) * pitch, pitch);
        for bolt in &Handbook::builtin().threads.bolts {
            let formula = if is_metric(&bolt.size) {
                stress_area_mm2
            } else {
                inch_area_mm2
            };
            let by_formula = formula(bolt.diameter_mm, bolt.pitch_mm);
            assert!(
                (bolt.stress_area_mm2.value / by_formula - 1.0).abs() < 0.006,
                "{}",
                bolt.name
            );
        }
    }
}
