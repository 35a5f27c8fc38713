//! One bolt judged: every way it, its hole or its thread can give, with the ratio of each and which decides.

use handbook::{Handbook, Margin};

use crate::joint::bearing::{HolePlace, LeastDistances, PlateAtHole, TooNear};
use crate::joint::bolt::{BoltShape, BoltSteel};
use crate::joint::slip::slip_n;
use crate::joint::thread::{SHEAR_SHARE, ThreadForm};

/// What holds the end of the bolt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Held {
    /// A nut of the bolt's own class, which strips after the bolt breaks (ISO 898-2).
    Nut,
    /// A tapped hole.
    Tapped {
        /// The thread.
        thread: ThreadForm,
        /// Length of thread that is engaged, mm.
        engaged_mm: f64,
        /// Least ultimate strength of the metal it is tapped in, MPa, when it is known.
        ultimate_mpa: Option<f64>,
    },
}

/// Clamping that is counted on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clamped {
    /// Preload at its least, N.
    pub preload_n: f64,
    /// Friction of the faces.
    pub friction: f64,
}

/// A bolt in its hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoltJoint {
    /// Size and shape.
    pub shape: BoltShape,
    /// Strength of the bolt, when its grade is known.
    pub steel: Option<BoltSteel>,
    /// The plate it goes through; its strengths, when the metal is known.
    pub plate: Option<PlateAtHole>,
    /// Where the hole lies along the force; none when it could not be measured.
    pub place: Option<HolePlace>,
    /// What holds the end of the bolt; none when nobody said.
    pub held: Option<Held>,
    /// Loose packing or spacers between plate and seat, mm.
    pub gap_mm: f64,
    /// Clamping to count on.
    pub clamped: Option<Clamped>,
    /// Least distances.
    pub least: LeastDistances,
}

/// What comes on a bolt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoltDemand {
    /// Across it, N.
    pub shear_n: f64,
    /// Along it, N; pressing (below 0) does it nothing.
    pub tension_n: f64,
    /// Bending of the bolt beside what its gap makes of the shear, N mm.
    pub bending_n_mm: f64,
}

/// Partial factors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factors {
    /// gamma M2.
    pub joint: f64,
    /// gamma M3.
    pub slip: f64,
}

impl Factors {
    /// As the handbook has them in force.
    pub fn of(handbook: &Handbook) -> Self {
        Factors {
            joint: handbook.margin(Margin::Joint).value,
            slip: handbook.margin(Margin::Slip).value,
        }
    }
}

/// A way to give.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mode {
    /// The bolt is sheared off.
    Shear,
    /// The bolt is pulled apart.
    Tension,
    /// Both at once: V/V_R + T/(1.4 T_R), EN 1993-1-8 Table 3.4.
    ShearAndTension,
    /// The bolt bends where it stands free.
    Bending,
    /// The rim of the hole is crushed.
    Bearing,
    /// The plate is sheared out to the edge.
    TearOut,
    /// The head is pulled through the plate.
    Punching,
    /// The thread strips in its tapped hole.
    NutStrips,
    /// The thread strips off the bolt.
    BoltStrips,
    /// The faces slip; the bolt then bears in its hole, and the part moves.
    Slip,
}

/// How one way to give stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ratio {
    /// Which way.
    pub mode: Mode,
    /// Load over design resistance, with the partial factor: above 1 is too much.
    pub utilisation: f64,
    /// Load times this breaks it: resistance without partial factor over load. Infinite without load.
    pub on_ultimate: f64,
    /// Load times this leaves it bent or stretched. None where only breaking is reckoned.
    pub on_yield: Option<f64>,
}

/// What was missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lacks {
    /// The bolt's grade.
    Grade,
    /// The plate's metal.
    PlateMetal,
    /// Where the hole lies.
    Place,
    /// What holds the end of the bolt.
    EndHeld,
    /// The metal that the hole is tapped in.
    TappedMetal,
    /// Preload and friction.
    Clamping,
}

/// A way to give that was not checked, and why.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotChecked {
    /// Which way.
    pub mode: Mode,
    /// What was missing.
    pub lacks: Lacks,
}

/// A bolt, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct BoltJudged {
    /// Every way that was checked.
    pub ratios: Vec<Ratio>,
    /// Every way that was not.
    pub not_checked: Vec<NotChecked>,
    /// Distances of the hole that fall short.
    pub too_near: Vec<TooNear>,
}

impl BoltJudged {
    /// The way with the highest utilisation, slip left out: slip moves the part, and does not break it.
    pub fn decides(&self) -> Option<&Ratio> {
        self.breaking()
            .max_by(|a, b| a.utilisation.total_cmp(&b.utilisation))
    }

    /// The least safety on breaking, slip left out.
    pub fn least_on_ultimate(&self) -> Option<&Ratio> {
        self.breaking()
            .min_by(|a, b| a.on_ultimate.total_cmp(&b.on_ultimate))
    }

    /// The least safety on yield.
    pub fn least_on_yield(&self) -> Option<&Ratio> {
        let on_yield = |ratio: &&Ratio| ratio.on_yield.unwrap_or(f64::INFINITY);
        self.breaking()
            .filter(|ratio| ratio.on_yield.is_some())
            .min_by(|a, b| on_yield(a).total_cmp(&on_yield(b)))
    }

    /// How this way stands.
    pub fn of(&self, mode: Mode) -> Option<&Ratio> {
        self.ratios.iter().find(|ratio| ratio.mode == mode)
    }

    fn breaking(&self) -> impl Iterator<Item = &Ratio> {
        self.ratios.iter().filter(|ratio| ratio.mode != Mode::Slip)
    }
}

/// Resistance over load; infinite without load. A load that is no number stays none.
fn over(resistance: f64, load: f64) -> f64 {
    if load == 0.0 {
        f64::INFINITY
    } else {
        resistance / load
    }
}

fn ratio(mode: Mode, load: f64, ultimate: f64, at_yield: Option<f64>, factor: f64) -> Ratio {
    let on_ultimate = over(ultimate, load);
    Ratio {
        mode,
        utilisation: factor / on_ultimate,
        on_ultimate,
        on_yield: at_yield.map(|at_yield| over(at_yield, load)),
    }
}

/// A bolt under a load, by hand. What is not known is not checked and said so; nothing is assumed in its place. Sizes and
/// strengths are above 0. A load that is not a number gives ratios that are none, and never a pass.
pub fn check_bolt(joint: &BoltJoint, demand: &BoltDemand, factors: &Factors) -> BoltJudged {
    let load = BoltDemand {
        shear_n: demand.shear_n.abs(),
        tension_n: if demand.tension_n < 0.0 {
            0.0
        } else {
            demand.tension_n
        },
        bending_n_mm: demand.bending_n_mm.abs() + bent_by_gap_n_mm(joint, demand.shear_n.abs()),
    };
    let mut judged = BoltJudged {
        ratios: Vec::new(),
        not_checked: Vec::new(),
        too_near: Vec::new(),
    };
    of_bolt(joint, &load, factors, &mut judged);
    of_plate(joint, &load, factors, &mut judged);
    of_thread(joint, &load, factors, &mut judged);
    match joint.clamped {
        Some(clamped) => {
            let holds_n = slip_n(clamped.friction, clamped.preload_n, load.tension_n);
            let slip = ratio(Mode::Slip, load.shear_n, holds_n, None, factors.slip);
            judged.ratios.push(slip);
        }
        None => judged.lacking(&[Mode::Slip], Lacks::Clamping),
    }
    judged
}

/// Bending of a bolt that stands free over a gap, N mm: V (g/2), the bolt built in at both ends (a beam). The head's end
/// must not tilt for that to hold, which a thin plate does not see to; the reader is to take it as the least.
fn bent_by_gap_n_mm(joint: &BoltJoint, shear_n: f64) -> f64 {
    shear_n * joint.gap_mm.max(0.0) / 2.0
}

impl BoltJudged {
    fn lacking(&mut self, modes: &[Mode], lacks: Lacks) {
        let missing = modes.iter().map(|&mode| NotChecked { mode, lacks });
        self.not_checked.extend(missing);
    }
}

fn of_bolt(joint: &BoltJoint, load: &BoltDemand, factors: &Factors, judged: &mut BoltJudged) {
    let Some(steel) = joint.steel else {
        let modes = [Mode::Shear, Mode::Tension, Mode::ShearAndTension, Mode::Bending];
        judged.lacking(&modes, Lacks::Grade);
        return;
    };
    let shape = &joint.shape;
    let shear_n = shape.shear_n(&steel) * shape.packing_factor(joint.gap_mm);
    let tension_n = shape.tension_n(&steel);
    let yields_in_shear_n = steel.yield_mpa / 3f64.sqrt() * shape.sheared_area_mm2();
    let yields_in_tension_n = steel.yield_mpa * shape.stress_area_mm2;
    let yields_bent_n_mm = steel.yield_mpa * shape.section_modulus_mm3();
    let breaks_bent_n_mm = steel.ultimate_mpa * shape.section_modulus_mm3();
    judged.ratios.extend([
        ratio(
            Mode::Shear,
            load.shear_n,
            shear_n,
            Some(yields_in_shear_n),
            factors.joint,
        ),
        ratio(
            Mode::Tension,
            load.tension_n,
            tension_n,
            Some(yields_in_tension_n),
            factors.joint,
        ),
        ratio(
            Mode::Bending,
            load.bending_n_mm,
            breaks_bent_n_mm,
            Some(yields_bent_n_mm),
            factors.joint,
        ),
    ]);
    // Bending pulls one side of the bolt: in the interaction it counts with the tension, stress on stress.
    let pulled = load.tension_n / tension_n + load.bending_n_mm / breaks_bent_n_mm;
    let share = (load.shear_n / shear_n + pulled / 1.4).max(pulled);
    let stress = load.tension_n / yields_in_tension_n + load.bending_n_mm / yields_bent_n_mm;
    let mises = stress.hypot(load.shear_n / yields_in_shear_n);
    judged.ratios.push(ratio(
        Mode::ShearAndTension,
        share,
        1.0,
        Some(over(1.0, mises) * share),
        factors.joint,
    ));
}

fn of_plate(joint: &BoltJoint, load: &BoltDemand, factors: &Factors, judged: &mut BoltJudged) {
    let Some(plate) = joint.plate else {
        judged.lacking(&[Mode::Bearing, Mode::TearOut, Mode::Punching], Lacks::PlateMetal);
        return;
    };
    let punched_n = joint.shape.punching_n(plate.t_mm, plate.ultimate_mpa);
    judged.ratios.push(ratio(
        Mode::Punching,
        load.tension_n,
        punched_n,
        None,
        factors.joint,
    ));
    let Some(place) = joint.place else {
        judged.lacking(&[Mode::Bearing, Mode::TearOut], Lacks::Place);
        return;
    };
    judged.too_near = place.too_near(plate.hole_mm, &joint.least);
    // Without the bolt's grade its strength is not the lesser of the two: a plate of mild steel or aluminium is softer.
    let bolt_ultimate_mpa = joint.steel.map_or(plate.ultimate_mpa, |steel| steel.ultimate_mpa);
    let bolt_mm = joint.shape.diameter_mm;
    let one_row_n = place.single_lap_n(&plate, bolt_mm).unwrap_or(f64::INFINITY);
    let bears_n = place.bearing_n(&plate, bolt_mm, bolt_ultimate_mpa).min(one_row_n);
    // At yield the rim may carry the yield strength on d t (Shigley 8-12).
    let rim_yields_n = plate.yield_mpa * bolt_mm * plate.t_mm;
    judged.ratios.push(ratio(
        Mode::Bearing,
        load.shear_n,
        bears_n,
        Some(rim_yields_n),
        factors.joint,
    ));
    if let (Some(breaks_n), Some(yields_n)) = (
        place.tear_out_n(&plate, SHEAR_SHARE * plate.ultimate_mpa),
        place.tear_out_n(&plate, plate.yield_mpa / 3f64.sqrt()),
    ) {
        judged.ratios.push(ratio(
            Mode::TearOut,
            load.shear_n,
            breaks_n,
            Some(yields_n),
            factors.joint,
        ));
    }
}

fn of_thread(joint: &BoltJoint, load: &BoltDemand, factors: &Factors, judged: &mut BoltJudged) {
    let (thread, engaged_mm, ultimate_mpa) = match joint.held {
        Some(Held::Nut) => return,
        None => {
            judged.lacking(&[Mode::NutStrips, Mode::BoltStrips], Lacks::EndHeld);
            return;
        }
        Some(Held::Tapped {
            thread,
            engaged_mm,
            ultimate_mpa,
        }) => (thread, engaged_mm, ultimate_mpa),
    };
    match ultimate_mpa {
        Some(ultimate_mpa) => {
            let strips_n = thread.nut_strips_n(engaged_mm, SHEAR_SHARE * ultimate_mpa);
            judged.ratios.push(ratio(
                Mode::NutStrips,
                load.tension_n,
                strips_n,
                None,
                factors.joint,
            ));
        }
        None => judged.lacking(&[Mode::NutStrips], Lacks::TappedMetal),
    }
    match joint.steel {
        Some(steel) => {
            let strips_n = thread.bolt_strips_n(engaged_mm, SHEAR_SHARE * steel.ultimate_mpa);
            judged.ratios.push(ratio(
                Mode::BoltStrips,
                load.tension_n,
                strips_n,
                None,
                factors.joint,
            ));
        }
        None => judged.lacking(&[Mode::BoltStrips], Lacks::Grade),
    }
}
