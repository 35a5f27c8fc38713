//! Grades of bolts: what they stand, by size; and how wide their heads are.

use crate::Handbook;
use crate::book::or_nearest;
use crate::nearest::nearest;
use crate::sourced::Sourced;
use crate::table::{BadCell, Table, Wanted};
use crate::thread::{UnknownThread, size_of};

const MPA_PER_KSI: f64 = 6.894_757_293_168_361;
const MM_PER_IN: f64 = 25.4;

/// What a bolt of a grade stands, in the sizes it is good for.
#[derive(Debug, Clone, PartialEq)]
pub struct BoltGrade {
    /// "8.8", "A2-70", "SAE grade 5", "18-8".
    pub name: String,
    /// Diameters over this, mm.
    pub over_mm: f64,
    /// Diameters up to this, mm.
    pub to_mm: f64,
    /// Yield strength (stainless: stress at 0.2 % permanent set), MPa.
    pub yield_mpa: Sourced<f64>,
    /// Least ultimate strength, MPa.
    pub ultimate_mpa: Sourced<f64>,
    /// Proof stress, MPa, where the grade states one.
    pub proof_mpa: Option<Sourced<f64>>,
    /// Shear strength through the thread as a share of the ultimate: alpha_v of EN 1993-1-8 Table 3.4.
    pub shear_share: Sourced<f64>,
}

impl BoltGrade {
    /// The stress a bolt may be tightened toward: the proof stress, or the yield where none is stated, MPa.
    pub fn tightening_mpa(&self) -> &Sourced<f64> {
        self.proof_mpa.as_ref().unwrap_or(&self.yield_mpa)
    }
}

/// How wide a bolt's head is.
#[derive(Debug, Clone, PartialEq)]
pub struct BoltHead {
    /// Hexagon head, across the flats, mm.
    pub hex_mm: f64,
    /// Socket cap head, diameter, mm.
    pub socket_mm: f64,
}

impl BoltHead {
    /// Diameter that a hexagon head without a washer presses over when it is pulled through a plate, mm: the mean of across
    /// flats and across corners, d_m of EN 1993-1-8.
    pub fn hex_mean_mm(&self) -> f64 {
        self.hex_mm * (1.0 + 2.0 / 3f64.sqrt()) / 2.0
    }
}

/// No such grade, or not in that size.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum GradeError {
    /// No grade of this name.
    #[error("the handbook has no bolt grade {asked:?}{}", or_nearest(.nearest))]
    Unknown {
        /// As asked.
        asked: String,
        /// The most alike.
        nearest: Option<String>,
    },
    /// The grade is there, but not in this diameter.
    #[error("bolt grade {grade} is not known in {diameter_mm:.1} mm; it is up to {to_mm:.1} mm")]
    Size {
        /// The grade.
        grade: String,
        /// The diameter asked, mm.
        diameter_mm: f64,
        /// The largest it is known in, mm.
        to_mm: f64,
    },
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct HeadRow {
    size: String,
    head: Sourced<BoltHead>,
}

/// "SAE grade 5", "grade 5", "Gr. 5" and "class 8.8", "8.8", "a2 70" as one spelling.
fn plain(name: &str) -> String {
    name.to_lowercase()
        .replace("sae", "")
        .replace("grade", "gr")
        .replace("gr.", "gr")
        .replace("class", "")
        .replace([' ', '-', '_'], "")
}

impl Handbook {
    /// The grade of this name in this diameter.
    ///
    /// ```
    /// let handbook = handbook::Handbook::builtin();
    /// assert_eq!(handbook.bolt_grade("8.8", 8.0).unwrap().ultimate_mpa.value, 800.0);
    /// assert!(handbook.bolt_grade("grade 5", 9.525).is_ok());
    /// ```
    pub fn bolt_grade(&self, name: &str, diameter_mm: f64) -> Result<&BoltGrade, GradeError> {
        let wanted = plain(name);
        let mut of_name = self
            .grades
            .iter()
            .filter(|grade| plain(&grade.name) == wanted)
            .peekable();
        let Some(first) = of_name.peek().copied() else {
            return Err(GradeError::Unknown {
                asked: name.to_owned(),
                nearest: nearest(name, self.grades.iter().map(|grade| grade.name.as_str())),
            });
        };
        let mut to_mm = first.to_mm;
        for grade in of_name {
            if grade.over_mm < diameter_mm && diameter_mm <= grade.to_mm {
                return Ok(grade);
            }
            to_mm = to_mm.max(grade.to_mm);
        }
        Err(GradeError::Size {
            grade: first.name.clone(),
            diameter_mm,
            to_mm,
        })
    }

    /// Every grade in every band of sizes, in the order of the table.
    pub fn bolt_grades(&self) -> &[BoltGrade] {
        &self.grades
    }

    /// How wide the head of a bolt is, by its designation ("M6", "1/4-20").
    pub fn bolt_head(&self, designation: &str) -> Result<Sourced<BoltHead>, UnknownThread> {
        let size = size_of(designation);
        let found = self.heads.iter().find(|row| row.size == size);
        found
            .map(|row| row.head.clone())
            .ok_or_else(|| self.unknown_thread(designation, "bolt_heads_metric", "bolt_heads_inch"))
    }
}

pub(crate) fn read(grades: &Table, shear_shares: &Table) -> Result<Vec<BoltGrade>, BadCell> {
    let shares = shear_shares.read(|row| Ok((row.key().to_owned(), row.sourced_positive("shear_share")?)))?;
    grades.read(|row| {
        let per_unit = row.word("unit", &["MPa", "ksi"], |unit| match unit {
            "MPa" => Some(1.0),
            "ksi" => Some(MPA_PER_KSI),
            _ => None,
        })?;
        let mpa = |column: &str| -> Result<Sourced<f64>, BadCell> {
            Ok(row.sourced_positive(column)?.map(|value| value * per_unit))
        };
        let name = row.text("grade")?;
        let shear_share = shares
            .iter()
            .find(|(grade, _)| grade == name)
            .map(|(_, share)| share.clone());
        Ok(BoltGrade {
            name: name.to_owned(),
            over_mm: row.number("over_mm")?,
            to_mm: row.positive("to_mm")?,
            yield_mpa: mpa("yield")?,
            ultimate_mpa: mpa("ultimate")?,
            proof_mpa: row.if_said("proof", |_, column| mpa(column))?,
            shear_share: shear_share.ok_or_else(|| row.bad("grade", Wanted::RowOf("bolt_shear_shares")))?,
        })
    })
}

pub(crate) fn read_heads<'a>(
    table: &impl Fn(&'static str) -> Result<&'a Table, BadCell>,
) -> Result<Vec<HeadRow>, BadCell> {
    let mut heads = Vec::new();
    for (name, columns, mm) in [
        ("bolt_heads_metric", ["hex_mm", "socket_mm"], 1.0),
        ("bolt_heads_inch", ["hex_in", "socket_in"], MM_PER_IN),
    ] {
        heads.extend(table(name)?.read(|row| {
            let head = BoltHead {
                hex_mm: row.positive(columns[0])? * mm,
                socket_mm: row.positive(columns[1])? * mm,
            };
            Ok(HeadRow {
                size: row.key().to_owned(),
                head: row.sourced(&columns, head)?,
            })
        })?);
    }
    Ok(heads)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_grade_is_named_as_the_shop_names_it_and_follows_the_size() {
        let book = Handbook::builtin();
        for name in ["SAE grade 5", "grade 5", "Gr. 5", "sae Grade 5"] {
            assert!(book.bolt_grade(name, 9.5).is_ok(), "{name}");
        }
        let strength = |d| book.bolt_grade("grade 2", d).expect("a grade").ultimate_mpa.value;
        assert!(strength(22.2) < strength(9.5));
        assert!(matches!(
            book.bolt_grade("A4-80", 30.0),
            Err(GradeError::Size { .. })
        ));
        assert!(matches!(
            book.bolt_grade("9.9", 8.0),
            Err(GradeError::Unknown { .. })
        ));
    }

    #[test]
    fn strengths_of_a_grade_stand_in_order() {
        for grade in Handbook::builtin().bolt_grades() {
            assert!(grade.yield_mpa.value < grade.ultimate_mpa.value, "{}", grade.name);
            assert!(
                grade.tightening_mpa().value <= grade.yield_mpa.value,
                "{}",
                grade.name
            );
            assert!(grade.over_mm < grade.to_mm, "{}", grade.name);
        }
    }

    #[test]
    fn every_head_is_wider_than_its_loose_hole_or_nearly() {
        let book = Handbook::builtin();
        for row in &book.heads {
            let bolt = book.bolt(&row.size).expect("a bolt of that size");
            assert!(row.head.value.hex_mm > 1.3 * bolt.diameter_mm, "{}", row.size);
            assert!(row.head.value.socket_mm > 1.3 * bolt.diameter_mm, "{}", row.size);
        }
    }
}
