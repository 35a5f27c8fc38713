//! The card cut along its creases: where each crease lies in the material, and the panels between.

use plane::{Outline, Segment};

use crate::error::SheetError;
use crate::net::Net;
use crate::openings::CardOpening;
use crate::part::Mockup;
use crate::ray::Ray;
use crate::trace;

/// A crease drawn to within this of an edge is meant to reach it, and one that runs past it by no more is not meant to
/// go on: the width of a scribed line on card (common practice, no source).
pub(crate) const END_REACHES_MM: f64 = 0.5;

/// What an edge of a panel is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum EdgeKind {
    /// An edge of the card: outline or opening.
    Rim,
    /// Cut to free the end of this crease's bend.
    Relief { crease: usize },
    /// One unbroken piece of a crease; once trimmed, its tangent line.
    Crease { crease: usize, piece: usize },
}

/// An edge of a panel, the panel on its left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PanelEdge {
    pub seg: Segment,
    pub kind: EdgeKind,
}

/// A panel on the card.
#[derive(Debug, Clone)]
pub(crate) struct CardPanel {
    /// The outside run.
    pub outline: Outline,
    /// All runs, the outside one first; the others go round openings that a crease ends at within the panel.
    pub runs: Vec<Vec<PanelEdge>>,
}

/// A crease and the panels it joins.
#[derive(Debug, Clone, Copy)]
pub(crate) struct CardCrease {
    /// From the crease's first end toward its second.
    pub ray: Ray,
    /// How many unbroken pieces it has, numbered along the ray.
    pub pieces: usize,
    /// The panel left of the ray.
    pub left: usize,
    /// The panel right of it.
    pub right: usize,
}

/// The card cut along its creases.
#[derive(Debug, Clone)]
pub(crate) struct Division {
    pub panels: Vec<CardPanel>,
    pub creases: Vec<CardCrease>,
}

/// Cuts the card along its creases. `openings` are the mock-up's, in order.
pub(crate) fn divide(mockup: &Mockup, openings: &[CardOpening]) -> Result<Division, SheetError> {
    let mut net = Net::of(mockup, openings);
    for (index, crease) in mockup.creases.iter().enumerate() {
        net.draw(index, crease.name.as_str(), crease.from, crease.to, openings)?;
    }
    net.check_creases_apart(mockup)?;
    trace::panels(&net, mockup)
}
