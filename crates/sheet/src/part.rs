//! What goes in (the mock-up) and what comes out (the part): plain values, no behaviour.

use nalgebra::{Isometry3, Point3};
use plane::{Outline, Point, Region, Vector};

/// Which face of the plate the card's lines lie on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// The face looked at while marking out.
    Marked,
    /// Half way through the plate.
    Middle,
    /// The face away from the eye while marking out.
    Far,
}

/// Which way a leg goes, seen from the marked face.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Toward the eye: the marked face is inside the bend.
    Up,
    /// Away from the eye: the far face is inside the bend.
    Down,
}

/// How the end of a bend inside the plate is freed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Relief {
    /// A slot one thickness wide (at least `least_width_mm`), past the bend by the inside radius.
    Auto {
        /// The narrowest slot the cutter can make.
        least_width_mm: f64,
    },
    /// A slot as stated.
    Slot {
        /// Along the crease.
        width_mm: f64,
        /// Past the tangent line, into the panel.
        past_mm: f64,
    },
    /// None: the fabricator takes the tear. Still reported.
    None,
}

/// A fold line of the mock-up and the bend it becomes.
#[derive(Debug, Clone, PartialEq)]
pub struct Crease {
    /// Its name in the design.
    pub name: String,
    /// One end on the card. The crease may be drawn past the outline; only what lies in the material counts.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// The angle bent through: 0 is flat. 0 < bent < pi.
    pub bent_rad: f64,
    /// Up or down.
    pub way: Way,
    /// Inside radius of the bend in plate, at least 0.
    pub radius_mm: f64,
    /// K: where the neutral line lies, as a share of the thickness from the inside face. 0 to 1.
    pub neutral_share: f64,
    /// What to do where its ends lie inside the plate.
    pub relief: Relief,
}

/// Something cut out of a panel.
#[derive(Debug, Clone, PartialEq)]
pub struct Opening {
    /// Its name in the design.
    pub name: String,
    /// Its shape on the card.
    pub shape: OpeningShape,
}

/// The shapes an opening can have.
#[derive(Debug, Clone, PartialEq)]
pub enum OpeningShape {
    /// A round hole.
    Round {
        /// Centre.
        at: Point,
        /// Diameter.
        dia_mm: f64,
    },
    /// A slot with round ends.
    Slot {
        /// Centre of one round end.
        from: Point,
        /// Centre of the other.
        to: Point,
        /// Across the slot.
        width_mm: f64,
    },
    /// Any other window.
    Window(Outline),
}

/// Words or a line scribed on the marked face.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Its name in the design.
    pub name: String,
    /// What is scribed.
    pub kind: MarkKind,
}

/// The kinds of mark.
#[derive(Debug, Clone, PartialEq)]
pub enum MarkKind {
    /// Words that start at a point.
    Text {
        /// Lower left of the first letter.
        at: Point,
        /// The words.
        text: String,
        /// Height of a capital.
        height_mm: f64,
    },
    /// A straight scribed line.
    Line {
        /// Start.
        from: Point,
        /// End.
        to: Point,
    },
}

/// Two edges that meet after folding and are welded.
#[derive(Debug, Clone, PartialEq)]
pub struct Seam {
    /// Its name in the design.
    pub name: String,
    /// One edge: two points of the card's outline.
    pub first: [Point; 2],
    /// The other edge, in the order that meets the first: `first[0]` comes to `second[0]`.
    pub second: [Point; 2],
}

/// The card pattern as designed: flat, no thickness.
#[derive(Debug, Clone, PartialEq)]
pub struct Mockup {
    /// The outside edge, either way round.
    pub outline: Outline,
    /// Holes, slots and windows. One that crosses a crease interrupts it.
    pub openings: Vec<Opening>,
    /// Fold lines.
    pub creases: Vec<Crease>,
    /// Welds that close the part.
    pub seams: Vec<Seam>,
    /// Scribed marks.
    pub marks: Vec<Mark>,
    /// Names of panels, each with a point in it. A panel with no name is called after its bend.
    pub panel_names: Vec<(String, Point)>,
    /// A point in the panel that folding does not move; the largest panel if none.
    pub root: Option<Point>,
    /// Which face of the plate the card's lines are.
    pub lines_on: Face,
    /// Thickness of the card the pattern was measured from, 0 when it was drawn. The card is taken to fold sharp
    /// (inside radius 0) with its neutral line in its middle.
    pub card_mm: f64,
}

/// A flat region between creases.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// From the design, or "after b1" for one with no name of its own.
    pub name: String,
    /// The bend that joins it to the panel nearer the root, as an index into [`Part::bends`]; none for the root.
    pub hangs_on: Option<usize>,
    /// The flat material in mock-up axes after the set-backs and reliefs, openings that lie within it cut out: what
    /// stays flat in the plate.
    pub flat: Region,
    /// The panel before set-backs, in mock-up axes (outline only; openings that interrupt a crease are part of it).
    pub as_marked: Outline,
    /// From mock-up axes to blank axes: a slide, never a turn.
    pub to_blank: Vector,
    /// From mock-up axes (x, y, z = 0 on the lines' face) to the folded part.
    pub to_folded: Isometry3<f64>,
    /// Openings in this panel, as indices into [`Part::openings`].
    pub openings: Vec<usize>,
    /// Marks on this panel, as indices into [`Part::marks`].
    pub marks: Vec<usize>,
}

/// One unbroken run of a bend, between windows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strip {
    /// On the blank: the tangent line on the fixed side, from start to end along the crease's direction.
    pub fixed: [Point; 2],
    /// On the blank: the tangent line on the moving side, start and end facing those of `fixed`. The sides of the strip
    /// are straight on the blank from `fixed[i]` to `moving[i]`, and need not be square to the bend.
    pub moving: [Point; 2],
}

/// A crease as a bend in plate.
#[derive(Debug, Clone, PartialEq)]
pub struct Bend {
    /// The crease's name.
    pub name: String,
    /// The panel nearer the root.
    pub fixed: usize,
    /// The panel that turns.
    pub moving: usize,
    /// The angle bent through.
    pub bent_rad: f64,
    /// Up or down.
    pub way: Way,
    /// Inside radius.
    pub radius_mm: f64,
    /// K.
    pub neutral_share: f64,
    /// From the crease to each tangent line on the card: (r + d) tan(A/2), less what the card's own thickness took.
    pub set_back_mm: f64,
    /// Width of the strip on the blank: A (r + K t).
    pub allowance_mm: f64,
    /// 2 (r + t) tan(A/2) less the allowance: by how much the blank is shorter than the outside legs.
    pub deduction_mm: f64,
    /// The strips, in order along the crease.
    pub strips: Vec<Strip>,
    /// Unit vector along the crease in blank axes; the moving panel lies to its left.
    pub along: Vector,
    /// In the folded part: the point of the axis of the bend's cylinder at the start of the first strip's fixed side, mm.
    pub axis_at: Point3<f64>,
    /// In the folded part: unit direction of that axis, along `along`.
    pub axis: nalgebra::Unit<nalgebra::Vector3<f64>>,
}

/// The flat plate that is cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Blank {
    /// All material, openings and reliefs cut out, in blank axes (the root panel's are those of the mock-up).
    pub region: Region,
    /// Openings in blank axes, in the order of [`Part::openings`]. An opening that interrupts a crease is already part
    /// of the region's outlines and is `None` here.
    pub openings: Vec<Option<OpeningShape>>,
    /// Marks in blank axes, in the order of [`Part::marks`].
    pub marks: Vec<MarkKind>,
}

/// How the end of a bend that does not run out at a panel's side was freed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReliefCut {
    /// A slot in the panel beside the bend's end.
    Slot {
        /// Index into [`Part::bends`].
        bend: usize,
        /// Index into [`Part::panels`]: the panel it is cut into.
        panel: usize,
        /// The crease's end, in mock-up axes.
        at: Point,
        /// Along the crease.
        width_mm: f64,
        /// From the crease into the panel.
        depth_mm: f64,
    },
    /// Where two bends of a panel meet, rounded out about the meeting point of their tangent lines.
    Corner {
        /// Indices into [`Part::bends`].
        bends: [usize; 2],
        /// Index into [`Part::panels`].
        panel: usize,
        /// Where the tangent lines meet, in mock-up axes.
        at: Point,
        /// Of the rounding; 0 at an inside corner, where the tangent lines are carried on until they meet.
        radius_mm: f64,
    },
    /// Nothing was cut: the metal tears there.
    Torn {
        /// Index into [`Part::bends`].
        bend: usize,
        /// Index into [`Part::panels`].
        panel: usize,
        /// The crease's end, in mock-up axes.
        at: Point,
    },
}

/// How well a seam closes.
#[derive(Debug, Clone, PartialEq)]
pub struct SeamGap {
    /// The seam's name.
    pub name: String,
    /// Distance between the two edges at either end, mm: the least between the edge's lines on the marked face, on the
    /// far face and on the face that the card's lines are on.
    pub gap_mm: [f64; 2],
    /// Angle between the two edges.
    pub twist_rad: f64,
    /// Both edges in the folded part.
    pub edges: [[Point3<f64>; 2]; 2],
}

/// The whole answer: the plate in space and its blank.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Plate thickness.
    pub thickness_mm: f64,
    /// Which face the lines are on; z = 0 of every panel.
    pub lines_on: Face,
    /// Flat regions; the first is the root, and every panel comes after the one it hangs on.
    pub panels: Vec<Panel>,
    /// Bends, in the order of the mock-up's creases.
    pub bends: Vec<Bend>,
    /// Openings as in the mock-up.
    pub openings: Vec<Opening>,
    /// Marks as in the mock-up.
    pub marks: Vec<Mark>,
    /// Seams after folding.
    pub seams: Vec<SeamGap>,
    /// Reliefs made, and those left out, panel by panel.
    pub reliefs: Vec<ReliefCut>,
    /// The flat plate.
    pub blank: Blank,
}
