//! What a change does to the strains of the plate near it, told by the section of the strip it stands on.

use plane::{Outline, Point, Vector};
use sheet::{Bend, Part};

use super::change::{Change, Gussets, Lip, WindowTo};
use super::edge::{along, right_of};
use super::lip::reach_mm;
use super::section::{Piece, Ratios, closed_j_mm4, ratios};
use super::shelf::{Shelf, Stock};
use super::strains::Patch;

/// How far across the plate an upright on an edge takes load over, as a share of its length: the effective breadth of a
/// flange is about a quarter of the length between the points where the moment is nothing (EN 1994-1-1, 5.4.1.2, gives
/// an eighth to either side).
const BREADTH: f64 = 0.25;
/// A gusset takes load over from this far to either side, in its shorter leg; measured against full solutions.
const GUSSET_BREADTH: f64 = 0.5;
/// Height of a gusset that counts over its length, of its throat: it is a wedge.
const GUSSET_HEIGHT: f64 = 0.6;
/// Extra energy that a window brings, in energies of the metal taken out at the density found round its rim. In a wide
/// plate it is 3 for a round hole under one pull (from Kirsch's solution, density far off); a window that takes half the
/// width of its strip has raised the density round it already, and was measured at 1.3 on the forearm plate of the tests.
const HOLE_ENERGY: f64 = 1.3;
/// Stress at a window's rim over that of the plate without it, for wide windows with round corners; from memory.
const RIM_STRESS: f64 = 2.0;

/// Where on the blank something acts: a rectangle along a line.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Strip {
    /// Pieces of the part it is limited to.
    pub patches: Vec<Patch>,
    pub origin: Point,
    /// Unit, along the stiffener.
    pub s: Vector,
    pub s_mm: [f64; 2],
    /// To the left of s.
    pub n_mm: [f64; 2],
}

impl Strip {
    pub fn holds(&self, at: Point, patch: Patch) -> bool {
        let off = at - self.origin;
        let (s, n) = (off.dot(&self.s), self.s.perp(&off));
        (self.s_mm[0]..=self.s_mm[1]).contains(&s)
            && (self.n_mm[0]..=self.n_mm[1]).contains(&n)
            && self.patches.contains(&patch)
    }
}

/// What a change does.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Effect {
    /// The whole plate is of another thickness.
    Thickness { from_mm: f64, to_mm: f64 },
    /// A strip is stiffer.
    Strip { strip: Strip, ratios: Ratios },
    /// A window's edge moves: the metal added (below 0 when taken out), mm2.
    Window {
        rim: Outline,
        /// How far from the rim the plate feels the window, mm.
        near_mm: f64,
        added_mm2: f64,
        energies: f64,
        stress: f64,
    },
    /// What holds the part changes: nothing can be foretold of it.
    Unknown,
}

/// The effects of a change on a part.
pub(super) fn effects(change: &Change, part: &Part, shelf: &Shelf) -> Vec<Effect> {
    let own = shelf
        .of_thickness(part.thickness_mm)
        .and_then(|own| shelf.plates.get(own));
    let with_own = |make: &dyn Fn(&Stock) -> Option<Effect>| own.and_then(make).into_iter().collect();
    match change {
        Change::Stock(plate) => shelf
            .plates
            .get(*plate)
            .map(|stock| Effect::Thickness {
                from_mm: part.thickness_mm,
                to_mm: stock.thickness_mm,
            })
            .into_iter()
            .collect(),
        Change::Lip(lip) => with_own(&|stock| one_lip(part, lip, stock)),
        Change::Channel(lips) => with_own(&|stock| pair(part, lips, stock, false)),
        Change::Closed(lips) => with_own(&|stock| pair(part, lips, stock, true)),
        Change::Wider { edge, by_mm } => wider(part, *edge, *by_mm).into_iter().collect(),
        Change::Window { opening, to } => window(part, *opening, *to).into_iter().collect(),
        Change::Bar(bar) => {
            let half_mm = part.thickness_mm / 2.0;
            let piece = Piece {
                width_mm: part.thickness_mm,
                from_mm: half_mm,
                to_mm: half_mm + bar.height_mm,
            };
            upright(part, bar.line, piece, bar.height_mm)
                .into_iter()
                .collect()
        }
        Change::Gussets(gussets) => gusset_effects(part, gussets),
        Change::Bolt { .. } | Change::Mount(_) => vec![Effect::Unknown],
        Change::Together(all) => all
            .iter()
            .flat_map(|single| effects(single, part, shelf))
            .collect(),
    }
}

fn leg(lip: &Lip, t_mm: f64) -> Piece {
    Piece {
        width_mm: t_mm,
        from_mm: t_mm / 2.0,
        to_mm: lip.leg_mm - t_mm / 2.0,
    }
}

fn one_lip(part: &Part, lip: &Lip, stock: &Stock) -> Option<Effect> {
    let wider_mm = reach_mm(lip, stock, part.lines_on)[1];
    let mut effect = upright(part, lip.edge, leg(lip, stock.thickness_mm), lip.leg_mm)?;
    if let Effect::Strip { ratios, .. } = &mut effect {
        // The edge itself moves out by the bend.
        ratios.twist *= 1.0 / (1.0 + wider_mm.max(0.0) / strip_width_mm(part, lip.edge, f64::INFINITY)?.1);
    }
    Some(effect)
}

/// One upright along a line.
fn upright(part: &Part, line: [Point; 2], piece: Piece, height_mm: f64) -> Option<Effect> {
    let length_mm = (line[1] - line[0]).norm();
    let (panel, width_mm) = strip_width_mm(part, line, BREADTH * length_mm)?;
    Some(Effect::Strip {
        strip: along_edge(part, panel, line, height_mm, BREADTH * length_mm),
        ratios: ratios(width_mm, part.thickness_mm, &[piece], part.thickness_mm, None),
    })
}

/// Two uprights across from one another, open or closed.
fn pair(part: &Part, lips: &[Lip; 2], stock: &Stock, closed: bool) -> Option<Effect> {
    let t_mm = stock.thickness_mm;
    let [first, second] = lips;
    let (panel, width_mm) = strip_width_mm(part, first.edge, f64::INFINITY)?;
    let wide_mm = width_mm + 2.0 * reach_mm(first, stock, part.lines_on)[1].max(0.0);
    let height_mm = (first.leg_mm - 2.0 * t_mm).max(t_mm);
    let mut pieces = vec![leg(first, t_mm), leg(second, t_mm)];
    if closed {
        pieces.push(Piece {
            width_mm: wide_mm,
            from_mm: height_mm - t_mm / 2.0,
            to_mm: height_mm + t_mm / 2.0,
        });
    }
    let closed_mm4 = closed.then(|| closed_j_mm4(wide_mm, height_mm, t_mm));
    // Reckoned over the flat as it was, so that what the wider flat does counts too.
    let mut ratios = ratios(width_mm, t_mm, &pieces, t_mm, closed_mm4);
    ratios.pull *= width_mm / wide_mm;
    Some(Effect::Strip {
        strip: along_edge(part, panel, first.edge, first.leg_mm, f64::INFINITY),
        ratios,
    })
}

/// The strip of a panel beside an edge, less what the ends of a stiffener need to take load over.
fn along_edge(part: &Part, panel: usize, edge: [Point; 2], height_mm: f64, breadth_mm: f64) -> Strip {
    let length_mm = (edge[1] - edge[0]).norm();
    let end_mm = height_mm.min(0.4 * length_mm);
    Strip {
        patches: vec![Patch::Panel(panel)],
        origin: edge[0] + part.panels[panel].to_blank,
        s: along(edge),
        s_mm: [end_mm, length_mm - end_mm],
        n_mm: [-part.thickness_mm, breadth_mm],
    }
}

/// The panel beside a line, and how much plate there is from its middle inward, up to a breadth.
fn strip_width_mm(part: &Part, line: [Point; 2], breadth_mm: f64) -> Option<(usize, f64)> {
    /// Inside the edge, far over rounding.
    const IN_MM: f64 = 0.1;
    let inward = -right_of(along(line));
    let from = nalgebra::center(&line[0], &line[1]) + inward * IN_MM;
    let panel = part.panel_at(from)?;
    let flat = &part.panels[panel].flat;
    let off = |at: Point| (at - from).dot(&inward);
    let spans = |outline: &Outline| -> Vec<[f64; 2]> {
        let chords = outline.chords_along(from, inward).into_iter();
        chords
            .map(|(a, b)| [off(a).min(off(b)), off(a).max(off(b))])
            .collect()
    };
    let whole = spans(&flat.outer).into_iter().find(|[_, high]| *high > IN_MM)?;
    let end_mm = whole[1].min(breadth_mm);
    let holes = flat.holes.iter().flat_map(spans);
    let gone_mm: f64 = holes
        .map(|[low, high]| (high.min(end_mm) - low.max(0.0)).max(0.0))
        .sum();
    (end_mm > gone_mm).then_some((panel, end_mm - gone_mm))
}

fn wider(part: &Part, edge: [Point; 2], by_mm: f64) -> Option<Effect> {
    let (panel, width_mm) = strip_width_mm(part, edge, f64::INFINITY)?;
    let ratio = width_mm / (width_mm + by_mm);
    let mut strip = along_edge(part, panel, edge, by_mm, width_mm);
    let at_panel = |bend: &Bend| bend.fixed == panel || bend.moving == panel;
    let bends = part.bends.iter().enumerate().filter(|(_, bend)| at_panel(bend));
    strip.patches.extend(bends.map(|(index, _)| Patch::Bend(index)));
    Some(Effect::Strip {
        strip,
        ratios: Ratios {
            bend: ratio,
            pull: ratio,
            twist: ratio,
            surface: ratio,
        },
    })
}

fn window(part: &Part, opening: usize, to: WindowTo) -> Option<Effect> {
    let panel = part.panel_of_opening(opening)?;
    let rim = part.openings[opening].shape.outline().ok()?;
    let (area_mm2, round_mm) = (rim.area_mm2(), rim.length_mm());
    let added_mm2 = match to {
        WindowTo::Gone => area_mm2,
        WindowTo::Smaller(by_mm) => (round_mm * by_mm - std::f64::consts::PI * by_mm * by_mm).min(area_mm2),
        WindowTo::Larger(by_mm) => -(round_mm * by_mm + std::f64::consts::PI * by_mm * by_mm),
    };
    let share = added_mm2 / area_mm2;
    Some(Effect::Window {
        near_mm: (area_mm2 / std::f64::consts::PI).sqrt(),
        rim: rim.translated(part.panels[panel].to_blank),
        added_mm2,
        energies: HOLE_ENERGY,
        // From the rim's stress toward that of whole plate as the window closes, and beyond as it opens.
        stress: (1.0 - share * (1.0 - 1.0 / RIM_STRESS)).max(1.0 / RIM_STRESS),
    })
}

fn gusset_effects(part: &Part, gussets: &Gussets) -> Vec<Effect> {
    let Some(bend) = part.bends.get(gussets.bend) else {
        return Vec::new();
    };
    let t_mm = part.thickness_mm;
    let [fixed_mm, moving_mm] = gussets.legs_mm;
    let throat_mm = fixed_mm.min(moving_mm) * (bend.bent_rad / 2.0).cos();
    let breadth_mm = GUSSET_BREADTH * fixed_mm.min(moving_mm);
    let piece = Piece {
        width_mm: t_mm,
        from_mm: t_mm / 2.0,
        to_mm: t_mm / 2.0 + GUSSET_HEIGHT * throat_mm,
    };
    let Some(strip) = bend.strips.first() else {
        return Vec::new();
    };
    let length_mm = (strip.fixed[1] - strip.fixed[0]).norm();
    let across = -right_of(bend.along);
    let effect = |&share: &f64| {
        let place_mm = share * length_mm;
        let (low, high) = (
            (place_mm - breadth_mm).max(0.0),
            (place_mm + breadth_mm).min(length_mm),
        );
        let [a, b] = [0, 1].map(|side| strip.fixed[0] + bend.along * if side == 0 { low } else { high });
        Effect::Strip {
            strip: Strip {
                patches: vec![
                    Patch::Bend(gussets.bend),
                    Patch::Panel(bend.fixed),
                    Patch::Panel(bend.moving),
                ],
                origin: nalgebra::center(&a, &b),
                s: across,
                s_mm: [-fixed_mm, moving_mm + bend.allowance_mm],
                n_mm: [-(high - low) / 2.0, (high - low) / 2.0],
            },
            ratios: ratios(high - low, t_mm, &[piece], t_mm, None),
        }
    };
    gussets.at.iter().map(effect).collect()
}
