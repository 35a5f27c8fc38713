//! What the part carries, as understood.

use nalgebra::Vector3;

use crate::run::Worked;
use crate::stages::fastening::{Fastening, Holding};
use crate::stages::loads::{ActWish, AtWish, HoldLimits, LoadWish, LoadsWish};
use crate::summary::*;

use super::{along, at};

/// Absent when the fit says nothing of loads.
pub(super) fn carries(worked: &Worked) -> Option<Carries> {
    let equipment = worked.equipment.as_ref()?;
    let said = &equipment.loads;
    if said.loads.is_empty() {
        return None;
    }
    let bolts = equipment
        .mounts
        .iter()
        .map(|mount| bolt(&mount.place.name, &mount.place.fastening));
    let support = equipment
        .support
        .as_ref()
        .map(|support| holding(&support.holding));
    let proof = said.proof.iter().map(|step| ProofRow {
        force_n: along(step.force_n),
        at: spot(&step.at),
        read_mm: Num(step.read_mm),
        sd_mm: step.sd_mm.map(Num),
        along: along(step.along.into_inner()),
        read_at: spot(&step.read_at),
    });
    let reason = |reason: &Option<crate::files::model::Name>| reason.as_ref().map(|r| r.value.clone());
    Some(Carries {
        down: along(said.down.into_inner()),
        down_said: said.down_said,
        loads: said.loads.iter().map(load).collect(),
        together: together(said),
        never_drop: reason(&said.never.drop),
        never_jam: reason(&said.never.jam),
        limits: limits(&said.limits),
        bolts: bolts.collect(),
        support,
        proof: proof.collect(),
    })
}

fn load(load: &LoadWish) -> LoadRow {
    let (force_n, moment_n_mm, fall) = match load.act {
        ActWish::Steady { force_n, moment_n_mm } => (Some(force_n), Some(moment_n_mm), None),
        ActWish::Fall {
            mass_kg,
            height_mm,
            toward,
        } => (None, None, Some((mass_kg, height_mm, toward))),
    };
    LoadRow {
        name: load.name.clone(),
        kind: load.kind.word(),
        force_n: force_n.map(along),
        moment_n_mm: moment_n_mm.map(along),
        mass_kg: fall.map(|(mass_kg, ..)| Num(mass_kg)),
        height_mm: fall.map(|(_, height_mm, _)| Num(height_mm)),
        toward: fall.map(|(.., toward)| along(toward.into_inner())),
        at: spot(&load.at),
        factor: Num(load.factor),
        factor_said: load.factor_said,
        sudden: load.sudden,
        both_ways: load.both_ways,
        per_day: load.per_day.map(Num),
        says: says(load),
    }
}

/// "push: 250 N (56.2 lbf) toward +x, at the support; times 1.25 at its worst (usual); 2000 times a day".
fn says(load: &LoadWish) -> String {
    let mut what = Vec::new();
    match load.act {
        ActWish::Steady { force_n, moment_n_mm } => {
            if force_n.norm() > 0.0 {
                what.push(format!(
                    "{} toward {}",
                    units::force(force_n.norm()),
                    way(force_n)
                ));
            }
            if moment_n_mm.norm() > 0.0 {
                what.push(format!(
                    "{} about {}",
                    units::moment(moment_n_mm.norm()),
                    way(moment_n_mm)
                ));
            }
        }
        ActWish::Fall {
            mass_kg,
            height_mm,
            toward,
        } => what.push(format!(
            "{} falls {}, and the blow pushes toward {}",
            units::mass(mass_kg),
            units::both(height_mm),
            way(toward.into_inner())
        )),
    }
    let mut says = format!(
        "{}: {}, {}",
        load.kind.word(),
        what.join(" and "),
        spot_words(&load.at)
    );
    if load.factor > 1.0 {
        let whose = if load.factor_said { "" } else { " (usual)" };
        says.push_str(&format!("; times {} at its worst{whose}", load.factor));
    }
    if load.sudden {
        says.push_str("; sudden");
    }
    if load.both_ways {
        says.push_str("; both ways");
    }
    match load.per_day {
        Some(1.0) => says.push_str("; once a day"),
        Some(per_day) => says.push_str(&format!("; {per_day} times a day")),
        None => {}
    }
    says
}

/// A direction in a word, when it is along an axis: "+x"; else as three shares.
fn way(vector: Vector3<f64>) -> String {
    /// Under what a person means by "straight along".
    const ALONG: f64 = 1e-9;
    let unit = vector.normalize();
    let axes = [("x", unit.x), ("y", unit.y), ("z", unit.z)];
    match axes.iter().find(|(_, share)| share.abs() > 1.0 - ALONG) {
        Some((axis, share)) => format!("{}{axis}", if *share < 0.0 { '-' } else { '+' }),
        None => format!("({:.2}, {:.2}, {:.2})", unit.x + 0.0, unit.y + 0.0, unit.z + 0.0),
    }
}

fn spot_words(spot: &AtWish) -> String {
    let point = |at: &nalgebra::Point3<f64>| format!("{:.1}, {:.1}, {:.1} mm", at.x, at.y, at.z);
    match spot {
        AtWish::Support => "at the support".into(),
        AtWish::Point(at) => format!("at {} by the support", point(at)),
        AtWish::Plate(at) => format!("at {} on the plate", point(at)),
        AtWish::Holes(holes) => {
            let names: Vec<&str> = holes.iter().map(|hole| hole.value.as_str()).collect();
            format!("at the holes {}", names.join(", "))
        }
    }
}

fn spot(spot: &AtWish) -> SpotRow {
    let (by, at_mm, holes) = match spot {
        AtWish::Support => ("support", None, Vec::new()),
        AtWish::Point(point) => ("support", Some(at(*point)), Vec::new()),
        AtWish::Plate(point) => ("plate", Some(at(*point)), Vec::new()),
        AtWish::Holes(holes) => {
            let names = holes.iter().map(|hole| hole.value.clone());
            ("holes", None, names.collect())
        }
    };
    SpotRow { by, at_mm, holes }
}

fn together(said: &LoadsWish) -> Vec<TogetherRow> {
    let rows = said.together.iter().map(|together| TogetherRow {
        name: together.name.clone(),
        loads: together
            .loads
            .iter()
            .map(|index| said.loads[*index].name.clone())
            .collect(),
    });
    rows.collect()
}

fn limits(limits: &HoldLimits) -> LimitsRow {
    LimitsRow {
        moves_mm: limits.moves_mm.map(Num),
        turns_deg: limits.turns_rad.map(|rad| Num(rad.to_degrees())),
        times_yield: Num(limits.times_yield),
        times_ultimate: Num(limits.times_ultimate),
        times_sudden: Num(limits.times_sudden),
        years: limits.years.map(Num),
        least_hz: limits.least_hz.map(Num),
    }
}

fn bolt(name: &str, of: &Fastening) -> BoltRow {
    let into = of.into.as_ref();
    BoltRow {
        name: name.to_owned(),
        bolt: of.thread.as_ref().map(ToString::to_string),
        grade: of.grade.as_ref().map(|grade| grade.name.clone()),
        torque_n_mm: of.torque_n_mm.map(Num),
        washer_mm: of.washer_mm.map(Num),
        seat_mm: of.seat_mm.map(Num),
        metal: into.and_then(|into| into.metal.clone()),
        depth_mm: into.and_then(|into| into.depth_mm).map(Num),
    }
}

fn holding(of: &Holding) -> HoldingRow {
    HoldingRow {
        screws: bolt("support", &of.screws),
        along_n_mm: of.along_n_mm.map(Num),
        about_n_mm_deg: of.about_n_mm_rad.map(|value| Num(value * 1f64.to_radians())),
        mass_kg: of.mass_kg.map(Num),
    }
}
