//! Bends over the strength of a hand: a saw kerf on the inside of the bend leaves plate that a hand draws over, and what it
//! costs.
//!
//! A slot of parallel walls, as deep as d and as wide as w, leaves a web of t' = t - d. The web bends over the width of the
//! slot, and the walls turn with its ends toward the middle of its circle. They meet when that middle is d over the web:
//! the web has then come to the inside radius d, and its neutral line is w = A (d + K t') long, A in radians. From the
//! geometry alone; that plate is sawn so to be bent by hand is common practice, no source.

use handbook::{Handbook, HeatRows, Sourced, Welded, din_6935_k};

use crate::needs::{Practice, Stop, ToBend, stops};
use crate::order::{Plan, PlanError, Step, Stroke, Weights, plan_kerfed, strokes};
use crate::sweep::Station;
use crate::tooling::{Capacity, Means, Tooling};
use crate::work::{Line, Stock, Work};

/// Less than this share of the thickness is not left under a kerf: the web would tear, or bend where it is thinnest.
/// Common practice, no source.
pub const LEAST_LEFT_SHARE: f64 = 1.0 / 3.0;
/// A saw keeps its depth to this, mm; what is left is cut to so much less than a hand takes. Common practice, no source.
const SAWN_TO_MM: f64 = 0.2;

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

/// How the plate of a step stands against its folder or vice, over all the length that is bent in one stroke; none for a
/// step that is not by hand or that the work has no stroke for, or where the metal is not known.
pub fn hand_strength(work: &Work, tooling: &Tooling, step: &Step) -> Option<HandStrength> {
    let strokes = strokes(work);
    let stroke = stroke_of(&strokes, step)?;
    Some(HandStrength {
        thickness_mm: work.thickness_mm,
        most_mm: hand_takes_mm(work, tooling, step.means, stroke.length_mm())?,
    })
}

fn stroke_of<'s>(strokes: &'s [Stroke], step: &Step) -> Option<&'s Stroke> {
    strokes
        .iter()
        .find(|stroke| stroke.bits == step.after & !step.before)
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
    /// The order. Against the part itself each step was followed with its kerfs closing, no further than until their walls meet.
    /// Against the tools it was followed as drawn: how far out of the jaws a kerf is clamped is the hand's to choose, and a leg
    /// stands elsewhere by up to [`Kerf::legs_shorter_mm`] for each kerf between, which is for a person to look at where a step has
    /// less clearance. What a step tells as its clearance is as drawn too.
    pub plan: Plan,
    /// The bends that are kerfed, as indices into the work's lines, each with its kerf, ascending.
    pub kerfs: Vec<(usize, Kerf)>,
}

/// An order in which bends that are too thick for the shop's folders and vices are kerfed first, as few as will do. None
/// where there are no such tools, where none was found even so, where nothing would be kerfed, or where a kerf would
/// leave too little. The bends that are kerfed are those of the best order as drawn: that it is none does not prove that other
/// kerfs would not do.
///
/// # Errors
/// [`PlanError`], as of the plan without kerfs.
pub fn with_kerfs(
    work: &Work,
    tooling: &Tooling,
    practice: &Practice,
    weights: &Weights,
) -> Result<Option<Kerfed>, PlanError> {
    if work.stock.is_none() || tooling.folders.is_empty() && tooling.vices.is_empty() {
        return Ok(None);
    }
    let shop = Shop {
        work,
        tooling,
        practice,
    };
    let eased = eased(tooling);
    let mut sawn: Vec<(usize, Kerf)> = Vec::new();
    for _ in 0..MOST_SAWN {
        let kerfs_in = |stroke: &Stroke, station: &Station, last_rad: f64| {
            let kerfs = shop.kerfs(stroke, station.means, station.tool_mm, last_rad)?;
            let asked = |line: &usize| sawn.iter().any(|(known, _)| known == line);
            let same = |line: &usize| asked(line) != kerfs.is_empty();
            // Once it is followed round its kerfs, just these are sawn; what is pressed shut is not sawn for that.
            let fits = sawn.is_empty() || stroke.closing || stroke.lines.iter().all(same);
            fits.then_some(kerfs.len() as u32)
        };
        let widths: Vec<(usize, f64)> = sawn.iter().map(|(line, kerf)| (*line, kerf.wide_mm)).collect();
        let Some(found) = plan_kerfed(work, &eased, practice, weights, &widths, kerfs_in)? else {
            return Ok(None);
        };
        let kerfs = shop.kerfs_of(&found);
        match kerfs {
            Some(kerfs) if kerfs.is_empty() => return Ok(None),
            Some(kerfs) if kerfs == sawn => return Ok(Some(Kerfed { plan: found, kerfs })),
            Some(kerfs) => sawn = kerfs,
            None => return Ok(None),
        }
    }
    Ok(None)
}

/// So often at most is an order looked for with the kerfs of the last one: other tools leave other kerfs.
const MOST_SAWN: usize = 4;

/// The tools as if each took all that a kerf may leave it a third of.
fn eased(tooling: &Tooling) -> Tooling {
    let mut eased = tooling.clone();
    let folders = eased.folders.iter_mut().map(|folder| &mut folder.capacity);
    let vices = eased.vices.iter_mut().map(|vice| &mut vice.capacity);
    for row in folders.chain(vices).flatten() {
        row.thickest_mm /= LEAST_LEFT_SHARE;
    }
    eased
}

/// The part and the tools as they are.
struct Shop<'a> {
    work: &'a Work,
    tooling: &'a Tooling,
    practice: &'a Practice,
}

impl Shop<'_> {
    /// The kerfs of a plan, by line, ascending; none where a step is none of the work's or goes with no kerf.
    fn kerfs_of(&self, plan: &Plan) -> Option<Vec<(usize, Kerf)>> {
        let strokes = strokes(self.work);
        let mut kerfs: Vec<(usize, Kerf)> = Vec::new();
        for step in &plan.steps {
            let stroke = stroke_of(&strokes, step)?;
            for (line, kerf) in self.kerfs(stroke, step.means, step.tool_mm, step.loaded_rad)? {
                match kerfs.iter_mut().find(|(known, _)| *known == line) {
                    // Bent in two steps: what the weaker of the tools takes.
                    Some((_, known)) if known.left_mm <= kerf.left_mm => {}
                    Some((_, known)) => *known = kerf,
                    None => kerfs.push((line, kerf)),
                }
            }
        }
        kerfs.sort_by_key(|(line, _)| *line);
        Some(kerfs)
    }

    /// The kerfs without which a stroke is not made by hand with this tool; none where no kerf will do.
    fn kerfs(
        &self,
        stroke: &Stroke,
        means: Means,
        tool_mm: f64,
        last_rad: f64,
    ) -> Option<Vec<(usize, Kerf)>> {
        let (work, t_mm) = (self.work, self.work.thickness_mm);
        let takes_mm = hand_takes_mm(work, self.tooling, means, stroke.length_mm());
        let Some(most_mm) = takes_mm.filter(|most_mm| *most_mm < t_mm && !stroke.closing) else {
            return Some(Vec::new());
        };
        let strength = HandStrength {
            thickness_mm: t_mm,
            most_mm,
        };
        let left_mm = left_under_mm(work.stock.as_ref()?, strength);
        let of_line = |&line: &usize| {
            let kerf = Kerf::leaving(left_mm, t_mm, &work.lines[line])?;
            let web = ToBend {
                line: &work.lines[line],
                length_mm: stroke.length_mm(),
                last_rad,
                thickness_mm: kerf.left_mm,
                stock: work.stock.as_ref(),
            };
            // What else stands against the bend is looked at by the plan; the web must go there too.
            let too_thick = stops(self.practice, self.tooling, means, tool_mm, &web)
                .iter()
                .any(|stop| matches!(stop, Stop::Thick { .. }));
            (!too_thick).then_some((line, kerf))
        };
        stroke.lines.iter().map(of_line).collect()
    }
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
            over_rad: 0.0,
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
            // The web bent little by little: its neutral line as a chain of short pieces, each turned by as much. Square to
            // either end of it stands a wall; the top of one must come to the top of the other.
            let share = din_6935_k(kerf.deep_mm / kerf.left_mm).value.neutral_share;
            let (pieces, bent_rad) = (20_000, bent_deg.to_radians());
            let (mut x, mut z, mut turned) = (0.0, 0.0, 0.0f64);
            for _ in 0..pieces {
                turned += bent_rad / f64::from(pieces) / 2.0;
                x += kerf.wide_mm / f64::from(pieces) * turned.cos();
                z += kerf.wide_mm / f64::from(pieces) * turned.sin();
                turned += bent_rad / f64::from(pieces) / 2.0;
            }
            let wall_mm = kerf.deep_mm + share * kerf.left_mm;
            let (first, last) = (
                (0.0, wall_mm),
                (x - wall_mm * turned.sin(), z + wall_mm * turned.cos()),
            );
            let apart_mm = f64::hypot(first.0 - last.0, first.1 - last.1);
            assert!(apart_mm < 1e-6, "at {bent_deg}: {apart_mm} mm, {kerf:?}");
        }
        // 5 mm sawn to 2 mm: r / s = 1.5, K = (0.65 + log 1.5 / 2) / 2 = 0.369; w = pi / 2 (3 + 0.738) = 5.872 mm.
        let kerf = Kerf::leaving(2.0, 5.0, &line(90.0, 5.0, 5.0)).expect("a kerf");
        assert!((kerf.wide_mm - 5.872).abs() < 1e-3, "{kerf:?}");
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
