//! Bolts and screws as they are made and tightened, in numbers.

use handbook::{BoltGrade, GradeError, Handbook};
use units::{Dim, Thread};

use crate::files::Wrong;
use crate::files::model::{FasteningDef, MountDef, Name, Sum, SupportDef, Told};

use super::scope::Scope;
use super::stated::above_zero;

/// No bolt of a bracket is tightened harder: an M39 of grade 10.9, from memory. Beyond it a unit is wrong.
const HARDEST_TORQUE_N_MM: f64 = 1e7;

/// The bolt of a mount, or the screws of the support.
#[derive(Debug, Clone)]
pub(crate) struct Fastening {
    /// Its thread, when it is said.
    pub thread: Option<Thread>,
    /// The grade on its head, when it is said.
    pub grade: Option<BoltGrade>,
    /// What it is tightened to, N mm; without it no clamping is counted on.
    pub torque_n_mm: Option<f64>,
    /// Outside diameter of the washer, mm; none when neither fit nor handbook says it.
    pub washer_mm: Option<f64>,
    /// How wide the flat is that the plate rests on, mm; as the washer when it is not said.
    pub seat_mm: Option<f64>,
    /// The metal that the thread is in, and how deep the bolt goes into it, mm.
    pub into: Option<ThreadInto>,
}

/// A tapped hole.
#[derive(Debug, Clone)]
pub(crate) struct ThreadInto {
    /// The metal, as the handbook calls it.
    pub metal: Option<String>,
    /// Depth of thread, mm.
    pub depth_mm: Option<f64>,
}

/// How the support holds on: its screws, how it gives, what it weighs.
#[derive(Debug, Clone)]
pub(crate) struct Holding {
    /// Its screws.
    pub screws: Fastening,
    /// N/mm; rigid when absent.
    pub along_n_mm: Option<f64>,
    /// N mm/rad; rigid when absent.
    pub about_n_mm_rad: Option<f64>,
    /// What it weighs with all that rides on it, kg.
    pub mass_kg: Option<f64>,
}

/// The bolt of a mount.
pub(super) fn of_mount(book: &Handbook, def: &MountDef, scope: &Scope) -> Result<Fastening, Wrong> {
    let mut bolt = fastening(book, Some(&def.bolt), &def.fastening, scope)?;
    let nominal_mm = def.bolt.value.nominal_mm();
    if let Some(seat) = &def.seat {
        bolt.seat_mm = Some(over_bolt_mm(seat, "the seat", nominal_mm, scope)?);
    }
    let metal = def.metal.as_ref().map(|name| metal(book, name)).transpose()?;
    let depth_mm = def
        .depth
        .as_ref()
        .map(|sum| scope.size_mm(sum, "the depth of thread"))
        .transpose()?;
    if metal.is_some() || depth_mm.is_some() {
        bolt.into = Some(ThreadInto { metal, depth_mm });
    }
    Ok(bolt)
}

/// How the support holds on.
pub(super) fn holding(book: &Handbook, def: &SupportDef, scope: &Scope) -> Result<Holding, Wrong> {
    let stiff = |sum: &Option<Sum>, kind: Dim, what: &str, expected: &str| {
        let Some(sum) = sum else { return Ok(None) };
        let value = scope.of_kind(sum, kind, expected);
        above_zero(sum, what, value.clone())?;
        value.map(Some)
    };
    let mass_kg = match &def.mass {
        Some(sum) => {
            let kg = scope.mass_kg(sum);
            above_zero(sum, "what the support weighs", kg.clone())?;
            Some(kg?)
        }
        None => None,
    };
    Ok(Holding {
        screws: fastening(book, def.bolt.as_ref(), &def.fastening, scope)?,
        along_n_mm: stiff(
            &def.stiff_along,
            Dim::STIFFNESS,
            "the stiffness along",
            "a force per length, as 400 N/mm",
        )?,
        about_n_mm_rad: stiff(
            &def.stiff_about,
            Dim::TURN_STIFFNESS,
            "the stiffness about",
            "a moment per angle, as 25 N m/deg",
        )?,
        mass_kg,
    })
}

fn fastening(
    book: &Handbook,
    bolt: Option<&Told<Thread>>,
    def: &FasteningDef,
    scope: &Scope,
) -> Result<Fastening, Wrong> {
    let torque_n_mm = match &def.torque {
        Some(sum) => {
            let torque = scope.of_kind(sum, Dim::MOMENT, "a moment, as 20 N m or 15 lbf ft");
            above_zero(sum, "the torque", torque.clone())?;
            let torque = torque?;
            if torque > HARDEST_TORQUE_N_MM {
                let says = format!("the torque comes out as {}", units::moment(torque));
                return Err(Wrong::new(sum.at.clone(), says)
                    .expected(format!("at most {}", units::moment(HARDEST_TORQUE_N_MM))));
            }
            Some(torque)
        }
        None => None,
    };
    let washer_mm = match (&def.washer, bolt) {
        (Some(sum), bolt) => {
            let bolt_mm = bolt.map_or(0.0, |bolt| bolt.value.nominal_mm());
            Some(over_bolt_mm(sum, "the washer", bolt_mm, scope)?)
        }
        (None, Some(bolt)) => book
            .washer(bolt.value.designation())
            .ok()
            .map(|washer| washer.value.outside_mm),
        (None, None) => None,
    };
    let grade = def
        .grade
        .as_ref()
        .map(|name| grade(book, name, bolt))
        .transpose()?;
    Ok(Fastening {
        thread: bolt.map(|bolt| bolt.value),
        grade,
        torque_n_mm,
        washer_mm,
        seat_mm: None,
        into: None,
    })
}

/// A width that reaches beyond the bolt, mm.
fn over_bolt_mm(sum: &Sum, what: &str, bolt_mm: f64, scope: &Scope) -> Result<f64, Wrong> {
    let mm = scope.size_mm(sum, what)?;
    if mm > bolt_mm {
        return Ok(mm);
    }
    let says = format!(
        "{what} is {} wide and its bolt {}",
        units::both(mm),
        units::both(bolt_mm)
    );
    Err(Wrong::new(sum.at.clone(), says).expected("wider than the bolt"))
}

fn grade(book: &Handbook, name: &Name, bolt: Option<&Told<Thread>>) -> Result<BoltGrade, Wrong> {
    let Some(bolt) = bolt else {
        let says = "the support's screws have a grade and no size";
        return Err(Wrong::new(name.at.clone(), says)
            .expected("the screw of its holes beside it")
            .fix("for = \"M6\""));
    };
    book.bolt_grade(&name.value, bolt.value.nominal_mm())
        .cloned()
        .map_err(|error| {
            let mut wrong = Wrong::new(name.at.clone(), error.to_string());
            match error {
                GradeError::Unknown { nearest, .. } => {
                    let mut known: Vec<&str> = book
                        .bolt_grades()
                        .iter()
                        .map(|grade| grade.name.as_str())
                        .collect();
                    known.dedup();
                    wrong.expected = Some(format!("one of: {}", known.join(", ")));
                    wrong.fix = nearest.map(|near| format!("\"{near}\""));
                }
                GradeError::Size { .. } => wrong.expected = Some("a grade that is made in this size".into()),
            }
            wrong
        })
}

fn metal(book: &Handbook, name: &Name) -> Result<String, Wrong> {
    book.metal(&name.value)
        .map(|metal| metal.name.clone())
        .map_err(|error| {
            let mut wrong =
                Wrong::new(name.at.clone(), error.to_string()).expected("a metal of the handbook");
            wrong.fix = error.nearest.map(|near| format!("\"{near}\""));
            wrong
        })
}
