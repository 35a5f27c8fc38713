//! What can be wrong with a mock-up, each with the names and figures to act on.

use plane::{OutlineError, Point};
use thiserror::Error;

/// Why a mock-up cannot become a part. Lengths mm; places are on the card unless said otherwise.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum SheetError {
    /// The thickness is zero, negative or not a number.
    #[error("a plate {thickness_mm} mm thick cannot be bent: its thickness must be more than 0")]
    Thickness {
        /// As given.
        thickness_mm: f64,
    },
    /// The card's thickness is negative or not a number.
    #[error("a card {card_mm} mm thick cannot be: its thickness must be 0 or more")]
    Card {
        /// As given.
        card_mm: f64,
    },
    /// A bend's figure is out of its range.
    #[error("bend {bend}: {fault}")]
    BadBend {
        /// The bend.
        bend: String,
        /// Which figure, and what it was.
        fault: BendFault,
    },
    /// No part of the crease lies in the material.
    #[error("crease {crease} does not lie on the card")]
    CreaseOutside {
        /// The crease.
        crease: String,
    },
    /// The crease stops inside the plate.
    #[error(
        "crease {crease} stops {short_by_mm:.2} mm short of the edge: draw it on to the edge, or give it a window to stop at"
    )]
    CreaseStops {
        /// The crease.
        crease: String,
        /// The end that stops.
        at: Point,
        /// From there along the crease to the next edge or window.
        short_by_mm: f64,
    },
    /// Both sides of the crease are one panel, joined round its end.
    #[error(
        "crease {crease} does not divide the plate: both its sides are one panel. Draw it on to the edge, or cut a slit from its end to the edge"
    )]
    CreaseDoesNotDivide {
        /// The crease.
        crease: String,
    },
    /// One crease turns several legs.
    #[error("crease {crease} folds {legs} separate legs: draw one crease for each")]
    CreaseFoldsSeveral {
        /// The crease.
        crease: String,
        /// How many.
        legs: usize,
    },
    /// Two creases cross in the material.
    #[error("creases {} and {} cross inside the plate at ({:.2}, {:.2})", creases[0], creases[1], at.x, at.y)]
    CreasesCross {
        /// The two.
        creases: [String; 2],
        /// Where.
        at: Point,
    },
    /// Two creases lie on each other.
    #[error("creases {} and {} lie on each other from ({:.2}, {:.2})", creases[0], creases[1], at.x, at.y)]
    CreasesOverlap {
        /// The two.
        creases: [String; 2],
        /// Where it starts.
        at: Point,
    },
    /// Creases that lead round to where they started.
    #[error(
        "creases {} lead round in a ring, which cannot be folded flat: cut one of them open and close it with a seam",
        creases.join(", ")
    )]
    CreaseRing {
        /// Those of the ring, in order.
        creases: Vec<String>,
    },
    /// An opening's own shape is impossible.
    #[error("opening {opening} has no shape: {fault}")]
    OpeningShape {
        /// The opening.
        opening: String,
        /// What is wrong.
        fault: OutlineError,
    },
    /// An opening lies off the card.
    #[error("opening {opening} lies outside the plate, at ({:.2}, {:.2})", at.x, at.y)]
    OpeningOutside {
        /// The opening.
        opening: String,
        /// A point of it.
        at: Point,
    },
    /// An opening runs over the edge.
    #[error("opening {opening} runs over the edge of the plate at ({:.2}, {:.2})", at.x, at.y)]
    OpeningOverEdge {
        /// The opening.
        opening: String,
        /// Where.
        at: Point,
    },
    /// Two openings overlap.
    #[error("openings {} and {} overlap at ({:.2}, {:.2})", openings[0], openings[1], at.x, at.y)]
    OpeningsOverlap {
        /// The two.
        openings: [String; 2],
        /// Where.
        at: Point,
    },
    /// An opening that does not cross the crease reaches into the metal that is bent.
    #[error(
        "opening {opening} reaches {by_mm:.2} mm into bend {bend}: move it out, or let the window cross the whole bend"
    )]
    OpeningInBend {
        /// The opening.
        opening: String,
        /// The bend.
        bend: String,
        /// How far past the tangent line.
        by_mm: f64,
    },
    /// An opening on the crease does not reach past the metal that is bent.
    #[error(
        "opening {opening} lies within bend {bend}, where it would be drawn out of shape: let it reach {set_back_mm:.2} mm past the crease on both sides, or move it out"
    )]
    OpeningWithinBend {
        /// The opening.
        opening: String,
        /// The bend.
        bend: String,
        /// From the crease to either tangent line.
        set_back_mm: f64,
    },
    /// An opening comes up to a crease and does not cross it.
    #[error("opening {opening} touches crease {crease} at ({:.2}, {:.2}): let it cross the bend, or keep clear of it", at.x, at.y)]
    OpeningTouchesCrease {
        /// The opening.
        opening: String,
        /// The crease.
        crease: String,
        /// Where.
        at: Point,
    },
    /// An opening meets a relief.
    #[error("opening {opening} meets the relief of bend {bend} at ({:.2}, {:.2})", at.x, at.y)]
    OpeningMeetsRelief {
        /// The opening.
        opening: String,
        /// The bend.
        bend: String,
        /// Where.
        at: Point,
    },
    /// An opening lies where a relief is cut.
    #[error("opening {opening} at ({:.2}, {:.2}) lies in a relief", at.x, at.y)]
    OpeningInRelief {
        /// The opening.
        opening: String,
        /// A point of it.
        at: Point,
    },
    /// A notch of the panel's edge comes into the metal that is bent.
    #[error("the edge of panel {panel} comes into bend {bend} at ({:.2}, {:.2})", at.x, at.y)]
    EdgeInBend {
        /// The bend.
        bend: String,
        /// The panel.
        panel: String,
        /// Where it crosses the tangent line.
        at: Point,
    },
    /// The point that marks the panel that stays still is in no panel.
    #[error("the panel that stays still is marked at ({:.2}, {:.2}), where there is no plate", at.x, at.y)]
    RootOutside {
        /// The point.
        at: Point,
    },
    /// A panel's name is put where there is no panel.
    #[error("panel {name} is marked at ({:.2}, {:.2}), where there is no plate", at.x, at.y)]
    NameOutside {
        /// The name.
        name: String,
        /// The point.
        at: Point,
    },
    /// Two names in one panel.
    #[error("panel {} and panel {} are one panel: no crease parts their points", names[0], names[1])]
    NamedTwice {
        /// The two.
        names: [String; 2],
    },
    /// The card was thicker than the plate allows for.
    #[error(
        "bend {bend}: the card of {card_mm} mm took up more at the crease than the plate does, by {over_mm:.2} mm. Measure from thinner card, or enter its thickness"
    )]
    CardTooThick {
        /// The bend.
        bend: String,
        /// Card.
        card_mm: f64,
        /// By how much the set-back comes out below 0.
        over_mm: f64,
    },
    /// Nothing flat is left of a panel.
    #[error(
        "panel {panel} is {leg_mm:.2} mm deep at bend {bend}; the bends on it take {needs_mm:.2} mm. Lengthen it, or take a smaller radius"
    )]
    LegVanishes {
        /// The bend.
        bend: String,
        /// The panel.
        panel: String,
        /// How deep it is on the card.
        leg_mm: f64,
        /// What the set-backs take.
        needs_mm: f64,
    },
    /// The panel's sides close in so fast that nothing is left of the bend.
    #[error("bend {bend} has no length left on panel {panel} once it is set back by {set_back_mm:.2} mm")]
    BendVanishes {
        /// The bend.
        bend: String,
        /// The panel.
        panel: String,
        /// Set-back.
        set_back_mm: f64,
    },
    /// There is no room for the relief at a bend's end.
    #[error("there is no room for the relief of bend {bend} at ({:.2}, {:.2})", at.x, at.y)]
    NoRoomForRelief {
        /// The bend.
        bend: String,
        /// The bend's end.
        at: Point,
    },
    /// A relief runs into another edge of its panel.
    #[error("the relief of bend {bend} runs into another edge of panel {panel} at ({:.2}, {:.2})", at.x, at.y)]
    ReliefMeetsEdge {
        /// The bend.
        bend: String,
        /// The panel.
        panel: String,
        /// Where.
        at: Point,
    },
    /// Two legs would be cut from the same metal.
    #[error("on the blank, panels {} and {} overlap at ({:.2}, {:.2})", panels[0], panels[1], at.x, at.y)]
    BlankOverlaps {
        /// The two (one twice, if it runs over itself).
        panels: [String; 2],
        /// Where on the blank.
        at: Point,
    },
    /// A panel's edge touches itself, as where two openings meet in a point.
    #[error("a panel is pinched off: {fault}")]
    PanelOutline {
        /// What is wrong.
        fault: OutlineError,
    },
    /// The blank is no outline for another reason.
    #[error("the blank is not an outline: {fault}")]
    Blank {
        /// What is wrong.
        fault: OutlineError,
    },
    /// A seam's edge is not an edge of one panel.
    #[error("seam {seam}: ({:.2}, {:.2}) to ({:.2}, {:.2}) is not an edge of one panel", edge[0].x, edge[0].y, edge[1].x, edge[1].y)]
    SeamEdge {
        /// The seam.
        seam: String,
        /// The edge as given.
        edge: [Point; 2],
    },
    /// A mark lies in no panel, or over a crease.
    #[error("mark {mark} at ({:.2}, {:.2}) does not lie in one panel", at.x, at.y)]
    MarkOutside {
        /// The mark.
        mark: String,
        /// Where it starts.
        at: Point,
    },
}

/// The figure of a bend that is out of its range.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum BendFault {
    /// Not between 0 and 180 degrees.
    #[error("it is bent through {:.1} degrees; that must be more than 0 and less than 180", bent_rad.to_degrees())]
    Angle {
        /// As given.
        bent_rad: f64,
    },
    /// Below 0.
    #[error("its inside radius is {radius_mm} mm; that must be 0 or more")]
    Radius {
        /// As given.
        radius_mm: f64,
    },
    /// Not within 0 to 1.
    #[error("its K is {neutral_share}; that must lie from 0 to 1")]
    NeutralShare {
        /// As given.
        neutral_share: f64,
    },
    /// Both ends are one point.
    #[error("its line has no length")]
    NoLength,
    /// A relief of no size.
    #[error("its relief is {width_mm} mm wide and goes {past_mm} mm past the bend; neither may be below 0")]
    Relief {
        /// As given.
        width_mm: f64,
        /// As given.
        past_mm: f64,
    },
}
