//! Bends over the strength of a hand: a saw kerf on the inside of the bend leaves plate that a hand draws over, and what it
//! costs.
//!
//! A slot of parallel walls, as deep as d and as wide as w, leaves a web of t' = t - d. The web bends over the width of the
//! slot, and the walls turn with its ends toward the middle of its circle. They meet when that middle is d over the web:
//! the web has then come to the inside radius d, and its neutral line is w = A (d + K t') long, A in radians. From the
//! geometry alone; that plate is sawn so to be bent by hand is common practice, no source.

use handbook::{Handbook, HeatRows, Sourced, Welded, din_6935_k};

use crate::needs::{Practice, Stop, ToBend, stops};
use crate::order::{Outcome, Plan, PlanError, Step, Weights, plan};
use crate::tooling::{Capacity, Means, Tooling};
use crate::work::{Line, Stock, Work};

/// Less than this share of the thickness is not left under a kerf: the web would tear, or bend where it is thinnest.
/// Common practice, no source.
pub const LEAST_LEFT_SHARE: f64 = 1.0 / 3.0;
/// A saw keeps its depth to this, mm; what is left is cut to so much less than a hand takes. Common practice, no source.
const SAWN_TO_MM: f64 = 0.2;
/// A hand tool that takes this, mm, takes any plate that a kerf could be meant for.
const ANY_PLATE_MM: f64 = 1000.0;

/// A saw kerf along the inside of a bend, over its whole length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kerf {
    /// Thickness of the plate, mm.
    pub thickness_mm: f64,
    /// How deep, mm; also the inside radius that the web comes to when the kerf is closed.
    pub deep_mm: f64,
    /// How wide for its walls to meet at the bend's angle, mm.
    pub wide_mm: f64,
    /// What is left under it, mm.
    pub left_mm: f64,
    /// By how much the two legs together, to the outside of each other, come shorter than drawn on the same blank, mm.
    pub legs_shorter_mm: f64,
}

impl Kerf {
    /// The kerf that leaves so much of a plate of `t_mm` at a bend of this angle, inside radius and neutral radius as
    /// drawn. None where that is no kerf, or leaves too little.
    pub fn leaving(left_mm: f64, t_mm: f64, line: &Line) -> Option<Kerf> {
        let deep_mm = t_mm - left_mm;
        if !(deep_mm > 0.0 && left_mm >= LEAST_LEFT_SHARE * t_mm) || line.bent_rad >= std::f64::consts::PI {
            return None;
        }
        let neutral_share = din_6935_k(deep_mm / left_mm).value.neutral_share;
        let wide_mm = line.bent_rad * (deep_mm + neutral_share * left_mm);
        // What legs to the outside gain over the flat: twice the setback, less the arc.
        let tangent = (line.bent_rad / 2.0).tan();
        let drawn_mm = 2.0 * (line.radius_mm + t_mm) * tangent - line.strip_mm();
        let comes_mm = 2.0 * t_mm * tangent - wide_mm;
        Some(Kerf {
            thickness_mm: t_mm,
            deep_mm,
            wide_mm,
            left_mm,
            legs_shorter_mm: drawn_mm - comes_mm,
        })
    }

    /// What is left of the strength in bending across the kerf, as a share of the plate's: the section modulus of a
    /// rectangle goes with its height squared.
    pub fn bending_share(&self) -> f64 {
        (self.left_mm / self.thickness_mm).powi(2)
    }

    /// What is left of the stiffness there, as a share of the plate's: the second moment of a rectangle goes with its
    /// height cubed.
    pub fn stiffness_share(&self) -> f64 {
        (self.left_mm / self.thickness_mm).powi(3)
    }

    /// What is left in plain tension, as a share of the plate's.
    pub fn tension_share(&self) -> f64 {
        self.left_mm / self.thickness_mm
    }

    /// How far the outside of the web is stretched, as a share of its length: t' / (2 d + t').
    pub fn stretched_share(&self) -> f64 {
        self.left_mm / (2.0 * self.deep_mm + self.left_mm)
    }
}

/// The plate beside a weld along a closed kerf, against the plate away from it.
#[derive(Debug, Clone, PartialEq)]
pub enum WeldedUp {
    /// As strong.
    AsParent,
    /// So much of the yield strength is left.
    Share(Sourced<f64>),
    /// This metal is not to be welded.
    NotWeldable,
    /// The handbook does not say.
    NotKnown,
}

/// What a weld along a closed kerf leaves of the plate's yield strength beside it, by the handbook's heat-affected rows.
pub fn welded_up(book: &Handbook, metal: &str, t_mm: f64, filler: Option<&str>) -> WeldedUp {
    let own = book.metal(metal).ok().and_then(|own| {
        let least = own.yield_least_mpa.clone();
        least.or_else(|| own.yield_typical_mpa.clone())
    });
    match book.welded(metal, t_mm, filler, HeatRows::Least) {
        Ok(Welded::AsParent(_)) => WeldedUp::AsParent,
        Ok(Welded::NotWeldable(_)) => WeldedUp::NotWeldable,
        Ok(Welded::Lowered {
            yield_mpa: Some(beside),
            parent_yield_mpa,
            ..
        }) => match parent_yield_mpa.or(own).filter(|parent| parent.value > 0.0) {
            Some(parent) => WeldedUp::Share(beside.and(parent, |beside, parent| (beside / parent).min(1.0))),
            None => WeldedUp::NotKnown,
        },
        Ok(Welded::Lowered { .. }) | Err(_) => WeldedUp::NotKnown,
    }
}

/// How the plate stands against what a hand takes, at a step by hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HandStrength {
    /// The plate, mm.
    pub thickness_mm: f64,
    /// The thickest that goes over the length of this bend, mm.
    pub most_mm: f64,
}

/// How the plate of a step stands against its folder or vice; none for a step that is not by hand, or where the metal is
/// not known.
pub fn hand_strength(work: &Work, tooling: &Tooling, step: &Step) -> Option<HandStrength> {
    let length_mm = step
        .lines
        .iter()
        .filter_map(|line| work.lines.get(*line))
        .map(|line| line.length_mm)
        .sum();
    Some(HandStrength {
        thickness_mm: work.thickness_mm,
        most_mm: hand_takes_mm(work, tooling, step.means, length_mm)?,
    })
}

/// The thickest plate of the work's metal that a folder or vice takes over this length, mm.
fn hand_takes_mm(work: &Work, tooling: &Tooling, means: Means, length_mm: f64) -> Option<f64> {
    let stock = work.stock.as_ref()?;
    let (capacity, rated_for_mm) = match means {
        Means::Folder(folder) => {
            let folder = tooling.folders.get(folder)?;
            (&folder.capacity, folder.length_mm)
        }
        Means::Vice(vice) => {
            let vice = tooling.vices.get(vice)?;
            (&vice.capacity, vice.drawn_mm)
        }
        Means::Press { .. } | Means::Away => return None,
    };
    Some(Capacity::takes_mm(
        capacity,
        stock.family,
        length_mm / rated_for_mm,
    ))
}

/// An order that works once some bends are kerfed.
#[derive(Debug, Clone)]
pub struct Kerfed {
    /// The order, each step swept as for any other.
    pub plan: Plan,
    /// The bends that are kerfed, as indices into the work's lines, each with its kerf, ascending.
    pub kerfs: Vec<(usize, Kerf)>,
}

/// An order in which bends that are too thick for the shop's folders and vices are kerfed first. None where there are no
/// such tools, where there is no order even so, where nothing would be kerfed, or where a kerf would leave too little.
///
/// # Errors
/// [`PlanError`], as of the plan without kerfs.
pub fn with_kerfs(
    work: &Work,
    tooling: &Tooling,
    practice: &Practice,
    weights: &Weights,
) -> Result<Option<Kerfed>, PlanError> {
    let Some(stock) = &work.stock else { return Ok(None) };
    if tooling.folders.is_empty() && tooling.vices.is_empty() {
        return Ok(None);
    }
    let mut eased = tooling.clone();
    let any = vec![Capacity {
        family: stock.family,
        thickest_mm: ANY_PLATE_MM,
    }];
    for folder in &mut eased.folders {
        folder.capacity.clone_from(&any);
    }
    for vice in &mut eased.vices {
        vice.capacity.clone_from(&any);
    }
    let Outcome::Plan(found) = plan(work, &eased, practice, weights)? else {
        return Ok(None);
    };
    let mut kerfs = Vec::new();
    for step in &found.steps {
        let Some(strength) = hand_strength(work, tooling, step) else {
            continue;
        };
        if strength.thickness_mm <= strength.most_mm || step.closing {
            continue;
        }
        for &index in &step.lines {
            if kerfs.iter().any(|(known, _)| *known == index) {
                continue;
            }
            let left_mm = left_under_mm(stock, strength);
            let Some(kerf) = Kerf::leaving(left_mm, work.thickness_mm, &work.lines[index]) else {
                return Ok(None);
            };
            // What else stands against the bend on these tools was looked at by the plan; the web must go there too.
            if stands_against(work, tooling, practice, step, index, kerf.left_mm) {
                return Ok(None);
            }
            kerfs.push((index, kerf));
        }
    }
    kerfs.sort_by_key(|(line, _)| *line);
    Ok((!kerfs.is_empty()).then_some(Kerfed { plan: found, kerfs }))
}

/// What to leave under a kerf, mm: no more than a hand takes; and, where a third of the plate is enough for that, no more
/// than bends round the depth of the kerf without cracking. The least radius goes with the thickness, so of a plate that
/// takes a radius of c t, t / (1 + c) is left.
fn left_under_mm(stock: &Stock, strength: HandStrength) -> f64 {
    let t_mm = strength.thickness_mm;
    let hand_mm = strength.most_mm - SAWN_TO_MM;
    let least_mm = stock.least_radius_mm.as_ref().map_or(0.0, |least| least.value);
    let whole_mm = t_mm / (1.0 + least_mm / t_mm);
    if whole_mm >= LEAST_LEFT_SHARE * t_mm {
        hand_mm.min(whole_mm)
    } else {
        hand_mm
    }
}

/// Whether the web is still too thick for the tool.
fn stands_against(
    work: &Work,
    tooling: &Tooling,
    practice: &Practice,
    step: &Step,
    line: usize,
    left_mm: f64,
) -> bool {
    let bend = ToBend {
        line: &work.lines[line],
        length_mm: step.lines.iter().map(|line| work.lines[*line].length_mm).sum(),
        last_rad: step.loaded_rad,
        thickness_mm: left_mm,
        stock: work.stock.as_ref(),
    };
    stops(practice, tooling, step.means, step.tool_mm, &bend)
        .iter()
        .any(|stop| matches!(stop, Stop::Thick { .. }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Isometry3;
    use plane::{Point, Vector};
    use sheet::Way;

    fn line(bent_deg: f64, radius_mm: f64, t_mm: f64) -> Line {
        Line {
            bends: vec![0],
            name: "b1".into(),
            fixed: 0,
            moving: 1,
            way: Way::Up,
            bent_rad: bent_deg.to_radians(),
            radius_mm,
            neutral_mm: radius_mm + 0.4 * t_mm,
            length_mm: 80.0,
            spans_mm: vec![[-40.0, 40.0]],
            frame: Isometry3::identity(),
            across: Vector::x(),
            middle: Point::origin(),
        }
    }

    #[test]
    fn the_walls_of_a_kerf_meet_just_as_the_bend_is_made() {
        for bent_deg in [30.0, 60.0, 90.0, 120.0] {
            let kerf = Kerf::leaving(2.0, 5.0, &line(bent_deg, 5.0, 5.0)).expect("a kerf");
            // The web as an arc about 0, 0: its inside at the radius that its neutral length gives, the walls square to it
            // at its ends; their tops must be one point.
            let share = din_6935_k(kerf.deep_mm / kerf.left_mm).value.neutral_share;
            let inside_mm = kerf.wide_mm / bent_deg.to_radians() - share * kerf.left_mm;
            let half = bent_deg.to_radians() / 2.0;
            let top = |side: f64| (inside_mm - kerf.deep_mm) * (side * half).sin();
            assert!((top(1.0) - top(-1.0)).abs() < 1e-9, "at {bent_deg}: {kerf:?}");
        }
    }

    #[test]
    fn half_the_plate_is_a_quarter_as_strong_and_an_eighth_as_stiff() {
        let kerf = Kerf::leaving(2.5, 5.0, &line(90.0, 5.0, 5.0)).expect("a kerf");
        assert!((kerf.bending_share() - 0.25).abs() < 1e-12);
        assert!((kerf.stiffness_share() - 0.125).abs() < 1e-12);
        assert!((kerf.tension_share() - 0.5).abs() < 1e-12);
        assert!((kerf.stretched_share() - 1.0 / 3.0).abs() < 1e-12);
    }

    #[test]
    fn a_kerf_is_sharper_than_the_drawn_bend_and_its_legs_come_shorter() {
        let kerf = Kerf::leaving(2.5, 5.0, &line(90.0, 5.0, 5.0)).expect("a kerf");
        assert!(kerf.legs_shorter_mm > 0.0, "{kerf:?}");
        // By the outside dimensions worked out by hand: 2 x 10 - 1.5708 x 7 as drawn, 2 x 5 - w as kerfed.
        let drawn_mm = 20.0 - std::f64::consts::FRAC_PI_2 * 7.0;
        assert!((kerf.legs_shorter_mm - (drawn_mm - (10.0 - kerf.wide_mm))).abs() < 1e-9);
    }

    #[test]
    fn less_than_a_third_is_not_left() {
        let bend = line(90.0, 5.0, 6.0);
        assert!(Kerf::leaving(1.9, 6.0, &bend).is_none());
        assert!(Kerf::leaving(2.1, 6.0, &bend).is_some());
        assert!(Kerf::leaving(6.0, 6.0, &bend).is_none(), "nothing is sawn");
        assert!(Kerf::leaving(f64::NAN, 6.0, &bend).is_none());
    }

    #[test]
    fn what_is_welded_up_is_as_strong_as_the_plate_beside_a_weld() {
        let book = Handbook::builtin();
        let WeldedUp::Share(share) = welded_up(&book, "6061-T6", 4.76, Some("5356")) else {
            panic!("6061-T6 is weaker beside a weld");
        };
        // 15 ksi beside a weld, of 35 to 40 away from it.
        assert!((15.0 / 40.5..15.0 / 34.5).contains(&share.value), "{share:?}");
        assert_eq!(welded_up(&book, "no such metal", 3.0, None), WeldedUp::NotKnown);
    }
}
