//! A single change to part or tools.

use std::f64::consts::TAU;

use handbook::Handbook;
use sheet::Mockup;

use crate::order::Plan;
use crate::tooling::Tooling;
use crate::work::{Notch, Stock};

/// A leg altered by no more than this is altered a little, mm.
pub(super) const LITTLE_MM: f64 = 5.0;
/// A panel that loses no more than this share is altered a little.
const LITTLE_SHARE: f64 = 0.1;
/// Another plate differs from the last one by this share at least: what is nearer changes little.
const OTHER_PLATE_SHARE: f64 = 0.2;
/// So many other plates are offered either way.
const PLATES_EITHER_WAY: usize = 2;
/// A radius nearer to the drawn one than this is the same tool's, mm.
const SAME_RADIUS_MM: f64 = 0.05;

/// One change. Lines and panels are indices into the work's; lengths mm, angles rad.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Bend this line to a first angle, and finish it later.
    TwoSteps {
        /// The line.
        line: usize,
        /// The first angle, rad.
        first_to_rad: f64,
    },
    /// Use a punch that is not in the shop.
    Punch {
        /// Its name.
        name: String,
    },
    /// Use a die that is not in the shop.
    Die {
        /// Its name.
        name: String,
    },
    /// Both sides of a leg lean in.
    Taper {
        /// The line it hangs on.
        line: usize,
        /// The leg.
        panel: usize,
        /// By how much, rad.
        lean_rad: f64,
    },
    /// A rectangle cut out of a panel from its edge, round what it met.
    Notch {
        /// Where.
        notch: Notch,
        /// What is cut away, mm2.
        takes_mm2: f64,
        /// As a share of the panel.
        takes_share: f64,
    },
    /// A leg longer (above 0) or shorter.
    Leg {
        /// The line it is measured from.
        line: usize,
        /// The leg.
        panel: usize,
        /// By how much, mm.
        by_mm: f64,
    },
    /// Fold in a vice that the shop does not list.
    Vice {
        /// Its name.
        name: String,
    },
    /// Fold in a folder that the shop does not list.
    Folder {
        /// Its name.
        name: String,
    },
    /// Another inside radius at one line.
    Radius {
        /// The line.
        line: usize,
        /// The radius, mm.
        radius_mm: f64,
    },
    /// Another plate.
    Thickness {
        /// Its thickness, mm.
        thickness_mm: f64,
    },
    /// Two parts, welded where this line was.
    Seam {
        /// The line.
        line: usize,
    },
    /// Two parts, welded across a panel.
    SeamAcross {
        /// A line at the panel, which the seam runs along.
        line: usize,
        /// The panel.
        panel: usize,
        /// From the middle of the line on the blank, mm.
        at_mm: f64,
    },
    /// Send the part out once, when its turn in the plan comes, to have these lines bent elsewhere: as few as will do. What
    /// the tools there meet is not known here: the shop that takes it in sees to them, within the limits it gives.
    SendOut {
        /// The lines, in the order they are bent.
        lines: Vec<usize>,
    },
}

impl Change {
    /// The least change first: what costs nothing, what is borrowed or bought, what alters the part a little, then much.
    pub(super) fn rank(&self) -> (u8, f64) {
        match self {
            Change::TwoSteps { .. } => (0, 0.0),
            Change::Die { .. } => (1, 0.0),
            Change::Punch { .. } => (1, 1.0),
            Change::Leg { by_mm, .. } if by_mm.abs() <= LITTLE_MM => (2, by_mm.abs()),
            Change::Taper { lean_rad, .. } => (3, *lean_rad),
            // After any taper, which is in radians and never comes to so much.
            Change::Notch { takes_share, .. } if *takes_share <= LITTLE_SHARE => (3, TAU + takes_share),
            // A hundredth of a panel counts like a millimetre of a leg.
            Change::Notch { takes_share, .. } => (5, 100.0 * takes_share),
            Change::Vice { .. } => (4, 0.0),
            Change::Folder { .. } => (4, 1.0),
            Change::Leg { by_mm, .. } => (5, by_mm.abs()),
            Change::Radius { radius_mm, .. } => (6, *radius_mm),
            Change::Thickness { thickness_mm } => (7, *thickness_mm),
            Change::Seam { .. } => (8, 0.0),
            Change::SeamAcross { .. } => (8, 1.0),
            Change::SendOut { lines } => (9, lines.len() as f64),
        }
    }
}

/// A change that was planned again and works.
#[derive(Debug, Clone, PartialEq)]
pub struct Repair {
    /// What is changed.
    pub change: Change,
    /// The plan with it: one for each part.
    pub plans: Vec<Plan>,
}

/// What was found in trying changes.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tried {
    /// The changes that work, the least first.
    pub repairs: Vec<Repair>,
    /// Changes that were not tried, or not to their least, as a part with many bends is not tried with everything: with any, that
    /// there is no repair, or none that is less, is not shown.
    pub left_out: usize,
}

/// What may be asked for beside what the shop has.
#[derive(Debug, Clone, Default)]
pub struct Offered<'a> {
    /// Tools that can be borrowed or bought.
    pub tooling: Tooling,
    /// The card, for changes that are developed again; none leaves those out.
    pub mockup: Option<&'a Mockup>,
    /// Other plates that can be had: thickness in mm, and the metal at it.
    pub plates: Vec<(f64, Option<Stock>)>,
    /// Inside radii that can be drawn instead, mm.
    pub radii_mm: Vec<f64>,
    /// After this many repairs no more are looked for; 0 for all.
    pub enough: usize,
}

impl<'a> Offered<'a> {
    /// The starter set with the relieved punch, narrower dies and fold bars, and a shop that takes work in.
    pub fn starter() -> Self {
        let mut tooling = Tooling::starter();
        tooling.punches.push(Tooling::relieved_punch());
        tooling.dies.extend(Tooling::narrow_dies());
        tooling.vices.push(Tooling::fold_bars());
        tooling.away = Some(Tooling::starter_away());
        Offered {
            tooling,
            enough: 3,
            ..Offered::default()
        }
    }

    /// The starter set for a card in a plate of this metal and thickness; beside it the next plates of the same metal that are
    /// commonly had, two thinner and two thicker, each a fifth off the last one at least; and beside each radius that is
    /// drawn the next of the handbook's standard radii either way, a smaller one only if the metal takes it without
    /// cracking. Where the metal is not known, no other plate.
    pub fn for_stock(book: &Handbook, stock: Option<&Stock>, t_mm: f64, mockup: &'a Mockup) -> Offered<'a> {
        let had_mm = stock.and_then(|stock| book.thicknesses_mm(&stock.metal).ok());
        let had_mm = had_mm.unwrap_or_default();
        let thinner = apart(t_mm, had_mm.iter().rev(), |of, to| {
            to <= of * (1.0 - OTHER_PLATE_SHARE)
        });
        let thicker = apart(t_mm, had_mm.iter(), |of, to| to >= of * (1.0 + OTHER_PLATE_SHARE));
        let of_plate = |t_mm: f64| {
            let metal = stock.map(|stock| stock.metal.as_str());
            (t_mm, metal.and_then(|metal| Stock::of(book, metal, t_mm).ok()))
        };
        Offered {
            mockup: Some(mockup),
            plates: thinner.into_iter().chain(thicker).map(of_plate).collect(),
            radii_mm: radii_beside(&book.standard_radii_mm(), stock, mockup),
            ..Offered::starter()
        }
    }
}

/// Of these thicknesses, the first few that are each so far off the one before.
fn apart<'t>(t_mm: f64, had_mm: impl Iterator<Item = &'t f64>, far: impl Fn(f64, f64) -> bool) -> Vec<f64> {
    let mut last_mm = t_mm;
    let next = had_mm.copied().filter(|to_mm| {
        let is_far = far(last_mm, *to_mm);
        if is_far {
            last_mm = *to_mm;
        }
        is_far
    });
    next.take(PLATES_EITHER_WAY).collect()
}

/// The next standard radius either way of each that is drawn, ascending, mm.
fn radii_beside(standard_mm: &[f64], stock: Option<&Stock>, mockup: &Mockup) -> Vec<f64> {
    let least_mm = stock
        .and_then(|stock| stock.least_radius_mm.as_ref())
        .map_or(0.0, |least| least.value);
    let beside = mockup.creases.iter().flat_map(|crease| {
        let drawn_mm = crease.radius_mm;
        let under = standard_mm.iter().rfind(|to| **to < drawn_mm - SAME_RADIUS_MM);
        let over = standard_mm.iter().find(|to| **to > drawn_mm + SAME_RADIUS_MM);
        [under.filter(|to| **to >= least_mm), over]
    });
    let mut radii_mm: Vec<f64> = beside.flatten().copied().collect();
    radii_mm.sort_by(f64::total_cmp);
    radii_mm.dedup();
    radii_mm
}

#[cfg(test)]
mod tests {
    use super::*;
    use plane::{Outline, Point};
    use sheet::{Crease, Face, Relief, Way};

    fn card(radius_mm: f64) -> Mockup {
        let corners = [(0.0, 0.0), (80.0, 0.0), (80.0, 50.0), (0.0, 50.0)].map(|(x, y)| Point::new(x, y));
        Mockup {
            outline: Outline::polygon(&corners).expect("a rectangle"),
            openings: Vec::new(),
            creases: vec![Crease {
                name: "b1".into(),
                from: Point::new(40.0, -1.0),
                to: Point::new(40.0, 51.0),
                bent_rad: 1.5,
                way: Way::Up,
                radius_mm,
                neutral_share: 0.4,
                relief: Relief::Auto { least_width_mm: 1.0 },
            }],
            seams: Vec::new(),
            marks: Vec::new(),
            panel_names: Vec::new(),
            root: None,
            lines_on: Face::Far,
            card_mm: 0.0,
        }
    }

    #[test]
    fn the_next_plates_and_radii_either_way_are_offered_and_no_radius_that_cracks() {
        let (book, t_mm) = (Handbook::builtin(), 2.0);
        let stock = Stock::of(&book, "5052-H32", t_mm).expect("a metal");
        let card = card(4.0);
        let offered = Offered::for_stock(&book, Some(&stock), t_mm, &card);
        let plates: Vec<f64> = offered.plates.iter().map(|(t_mm, _)| *t_mm).collect();
        // By hand from the gauges of aluminium and plate by the eighth: a fifth off at least, each of the last.
        assert_eq!(plates, [25.4 / 16.0, 1.151, 2.588, 25.4 / 8.0]);
        assert!(
            offered
                .plates
                .iter()
                .all(
                    |(t_mm, plate)| plate.as_ref().is_some_and(|plate| plate.metal == "5052-H32"
                        && plate
                            .least_radius_mm
                            .as_ref()
                            .is_some_and(|least| least.value <= 1.5 * t_mm))
                )
        );
        // 3/16 in is over 4 mm, 1/8 in under it; 2 mm of it takes 1.5 t = 3 mm.
        let radii: Vec<i32> = offered
            .radii_mm
            .iter()
            .map(|radius| (radius * 1e3).round() as i32)
            .collect();
        assert_eq!(radii, [3175, 4775]);
        let sharp = self::card(3.1);
        assert_eq!(
            Offered::for_stock(&book, Some(&stock), t_mm, &sharp)
                .radii_mm
                .len(),
            1
        );
        let unknown = Offered::for_stock(&book, None, t_mm, &sharp);
        assert!(unknown.plates.is_empty() && unknown.radii_mm.len() == 2);
    }
}
