//! The blank with the names and purposes of its openings.

use nalgebra::center;
use plane::{Point, Region};
use sheet::Part;

use crate::holes::{Hole, Purpose};
use crate::kerf::Edge;
use crate::lead::{Avoid, Why};
use crate::rules::{CutEdge, opening_names};

/// An opening of a blank.
#[derive(Debug, Clone, PartialEq)]
pub struct BlankOpening {
    /// Its name in the design.
    pub name: String,
    /// What it is as a round hole; none for a slot or window, which is cut as it is.
    pub hole: Option<Hole>,
}

/// The line on the blank about which it is bent: the middle of the strip that the bend takes.
#[derive(Debug, Clone, PartialEq)]
pub struct BendLine {
    /// The bend's name.
    pub name: String,
    /// One end.
    pub from: Point,
    /// The other.
    pub to: Point,
    /// Width of the strip that the bend takes, mm.
    pub width_mm: f64,
}

/// A flat plate to be cut, in its own coordinates, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Blank {
    /// What people call the part.
    pub name: String,
    /// All material.
    pub region: Region,
    /// One for each hole of the region, in its order.
    pub openings: Vec<BlankOpening>,
    /// Bends, run by run.
    pub bends: Vec<BendLine>,
}

impl Blank {
    /// The blank of a part. `holes` says what is known of round holes beside their size, by their names in the design; a
    /// round hole that is not among them is one that something goes through, and nobody minds how closely.
    pub fn of_part(part: &Part, name: &str, holes: &[Hole]) -> Blank {
        let named = opening_names(part).into_iter().zip(&part.blank.region.holes);
        let openings = named.enumerate().map(|(index, (edge, outline))| {
            let name = match edge {
                CutEdge::Opening(name) => name,
                CutEdge::Hole(_) | CutEdge::Outside => format!("opening {}", index + 1),
            };
            let hole = outline.as_circle().map(|(_, dia_mm)| {
                let known = holes.iter().find(|hole| hole.name == name);
                known.cloned().unwrap_or_else(|| Hole {
                    name: name.clone(),
                    dia_mm,
                    purpose: Purpose::Clearance,
                    tolerance_mm: None,
                })
            });
            BlankOpening { name, hole }
        });
        let bends = part.bends.iter().flat_map(|bend| {
            bend.strips.iter().map(|strip| BendLine {
                name: bend.name.clone(),
                from: center(&strip.fixed[0], &strip.moving[0]),
                to: center(&strip.fixed[1], &strip.moving[1]),
                width_mm: bend.allowance_mm,
            })
        });
        Blank {
            name: name.to_owned(),
            region: part.blank.region.clone(),
            openings: openings.collect(),
            bends: bends.collect(),
        }
    }

    /// The edge where bends run out, and so far beside it, as stretches to leave alone: a scar there is where a bend
    /// begins to tear.
    #[must_use]
    pub fn bend_ends(&self, beside_mm: f64, weight: f64) -> Vec<Avoid> {
        let ends = self
            .bends
            .iter()
            .flat_map(|bend| [(bend.from, bend.width_mm), (bend.to, bend.width_mm)]);
        ends.map(|(at, width_mm)| Avoid {
            from: at,
            to: at,
            within_mm: width_mm / 2.0 + beside_mm,
            why: Why::BendEnd,
            weight,
        })
        .collect()
    }

    /// What people call an edge: the part itself for its outside.
    #[must_use]
    pub fn name_of(&self, edge: Edge) -> &str {
        match edge {
            Edge::Outline => &self.name,
            Edge::Opening(opening) => self
                .openings
                .get(opening)
                .map_or("opening", |opening| opening.name.as_str()),
        }
    }
}
