//! Random cards: a spine of panels with oblique creases, tabs on both edges (inset, with reliefs, or mitred, with box
//! corners), second bends on the tabs, windows across creases and a hole in every panel.

use plane::Point;
use proptest::prelude::*;
use sheet::{Crease, Face, Mockup, OpeningShape, Relief, Way};

use crate::card::{card, hole, p};

/// Half the height of the spine.
const HALF_MM: f64 = 45.0;

#[derive(Debug, Clone)]
pub struct BendSpec {
    bent_rad: f64,
    way: Way,
    radius_mm: f64,
    neutral_share: f64,
    relief: Relief,
    window: bool,
}

#[derive(Debug, Clone)]
pub struct TabSpec {
    /// How far in from the panel's corners; 0 for a mitred tab as wide as the panel.
    inset_mm: f64,
    taper: f64,
    height_mm: f64,
    bend: BendSpec,
    /// A bend across the tab, and its slope.
    second: Option<(f64, BendSpec)>,
}

#[derive(Debug, Clone)]
pub struct SpinePanel {
    width_mm: f64,
    /// Slope of the crease at its right.
    slope: f64,
    bend: BendSpec,
    below: Option<TabSpec>,
    above: Option<TabSpec>,
}

fn bend_spec() -> impl Strategy<Value = BendSpec> {
    let way = prop_oneof![Just(Way::Up), Just(Way::Down)];
    let relief = prop_oneof![
        4 => Just(Relief::Auto { least_width_mm: 2.0 }),
        1 => Just(Relief::None),
        1 => (1.0..4.0, 0.0..4.0).prop_map(|(width_mm, past_mm)| Relief::Slot { width_mm, past_mm }),
    ];
    let radius = prop_oneof![1 => Just(0.0), 6 => 0.2..4.0];
    (0.05..2.0, way, radius, 0.2..0.6, relief, any::<bool>()).prop_map(
        |(bent_rad, way, radius_mm, neutral_share, relief, window)| BendSpec {
            bent_rad,
            way,
            radius_mm,
            neutral_share,
            relief,
            window,
        },
    )
}

fn tab_spec() -> impl Strategy<Value = TabSpec> {
    let inset = prop_oneof![2 => 16.0..24.0, 1 => Just(0.0)];
    let second = prop::option::of((-0.15..0.15, bend_spec()));
    (inset, -0.1..0.4, 24.0..36.0, bend_spec(), second).prop_map(
        |(inset_mm, taper, height_mm, bend, second)| {
            let mitred = inset_mm == 0.0;
            TabSpec {
                inset_mm,
                taper: if mitred { 0.8 + taper } else { taper },
                height_mm,
                bend,
                second,
            }
        },
    )
}

fn spine_panel() -> impl Strategy<Value = SpinePanel> {
    (
        80.0..140.0,
        -0.3..0.3,
        bend_spec(),
        prop::option::of(tab_spec()),
        prop::option::of(tab_spec()),
    )
        .prop_map(|(width_mm, slope, bend, below, above)| SpinePanel {
            width_mm,
            slope,
            bend,
            below,
            above,
        })
}

/// A card of 1 to 8 bends.
pub fn random_card() -> impl Strategy<Value = Mockup> {
    let face = prop_oneof![Just(Face::Marked), Just(Face::Middle), Just(Face::Far)];
    let card_mm = prop_oneof![Just(0.0), 0.1..0.6];
    (
        prop::collection::vec(spine_panel(), 1..=4),
        1_usize..=8,
        face,
        card_mm,
    )
        .prop_filter_map("no bend", |(spine, most_bends, face, card_mm)| {
            let mockup = Drawing::of(&spine, most_bends);
            (!mockup.creases.is_empty()).then_some(Mockup {
                lines_on: face,
                card_mm,
                ..mockup
            })
        })
}

/// A plate's thickness.
pub fn thickness_mm() -> impl Strategy<Value = f64> {
    0.8..3.2
}

struct Drawing {
    mockup: Mockup,
    most_bends: usize,
}

impl Drawing {
    fn of(spine: &[SpinePanel], most_bends: usize) -> Mockup {
        let mut drawing = Self {
            mockup: card(&[(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)]),
            most_bends,
        };
        let mut right = 0.0;
        // Each boundary's middle and slope, the ends square.
        let mut edges = vec![(0.0, 0.0)];
        for (index, panel) in spine.iter().enumerate() {
            right += panel.width_mm;
            let is_last = index + 1 == spine.len();
            edges.push((right, if is_last { 0.0 } else { panel.slope }));
            drawing.hole(p(right - panel.width_mm / 2.0, 0.0));
        }
        let corner = |edge: usize, y: f64| p(edges[edge].0 + edges[edge].1 * y, y);
        for (index, panel) in spine.iter().enumerate().take(spine.len() - 1) {
            // Drawn past the edge: only what lies in the material counts.
            let beyond = HALF_MM + 2.0;
            drawing.crease(&panel.bend, corner(index + 1, -beyond), corner(index + 1, beyond));
        }
        let mut corners = Vec::new();
        for (index, panel) in spine.iter().enumerate() {
            let (from, to) = (corner(index, -HALF_MM), corner(index + 1, -HALF_MM));
            corners.push(from);
            drawing.tab(panel.below.as_ref(), from, to, &mut corners);
        }
        corners.push(corner(spine.len(), -HALF_MM));
        for (index, panel) in spine.iter().enumerate().rev() {
            let (from, to) = (corner(index + 1, HALF_MM), corner(index, HALF_MM));
            corners.push(from);
            drawing.tab(panel.above.as_ref(), from, to, &mut corners);
        }
        corners.push(corner(0, HALF_MM));
        corners.dedup_by(|a, b| (*a - *b).norm() < 1e-9);
        drawing.mockup.outline = plane::Outline::polygon(&corners).expect("a spine with tabs is an outline");
        drawing.mockup
    }

    fn hole(&mut self, at: Point) {
        let name = format!("h{}", self.mockup.openings.len());
        self.mockup.openings.push(hole(&name, (at.x, at.y), 6.0));
    }

    fn crease(&mut self, bend: &BendSpec, from: Point, to: Point) -> bool {
        if self.mockup.creases.len() >= self.most_bends {
            return false;
        }
        let name = format!("b{}", self.mockup.creases.len() + 1);
        if bend.window {
            let along = (to - from).normalize();
            let middle = from + (to - from) * 0.47;
            let name = format!("w{name}");
            let shape = OpeningShape::Slot {
                from: middle - along * 3.0,
                to: middle + along * 4.0,
                width_mm: 9.0,
            };
            self.mockup.openings.push(sheet::Opening { name, shape });
        }
        self.mockup.creases.push(Crease {
            name,
            from,
            to,
            bent_rad: bend.bent_rad,
            way: bend.way,
            radius_mm: bend.radius_mm,
            neutral_share: bend.neutral_share,
            relief: bend.relief,
        });
        true
    }

    /// A tab on the edge from `from` to `to`, the panel on its left; its corners follow those drawn so far.
    fn tab(&mut self, tab: Option<&TabSpec>, from: Point, to: Point, corners: &mut Vec<Point>) {
        let Some(tab) = tab else { return };
        let along = (to - from).normalize();
        let out = plane::Vector::new(along.y, -along.x);
        let (a, b) = (from + along * tab.inset_mm, to - along * tab.inset_mm);
        if !self.crease(&tab.bend, a, b) {
            return;
        }
        let at = |up_mm: f64, from_b: bool| {
            let end = if from_b { b } else { a };
            end + out * up_mm + along * (tab.taper * up_mm * if from_b { -1.0 } else { 1.0 })
        };
        self.hole(nalgebra::center(&at(20.0, false), &at(20.0, true)));
        // At least 15 mm wide at the end.
        let width_mm = (b - a).norm();
        let most_mm = if tab.taper > 0.0 {
            (width_mm - 15.0) / (2.0 * tab.taper)
        } else {
            f64::INFINITY
        };
        let mut height_mm = tab.height_mm.min(most_mm);
        if let Some((slope, bend)) = &tab.second
            && most_mm > 32.0 + tab.height_mm
        {
            let (low, high) = (32.0 - slope * 20.0, 32.0 + slope * 20.0);
            // Both on the sides; drawn on a little past them.
            let (start, end) = (at(low, false), at(high, true));
            let past = (end - start).normalize() * 5.0;
            if self.crease(bend, start - past, end + past) {
                height_mm += 32.0;
            }
        }
        corners.extend([a, at(height_mm, false), at(height_mm, true), b]);
    }
}
