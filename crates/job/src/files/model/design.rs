//! What design.toml says.

use super::*;

/// design.toml
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    /// What it is called.
    pub title: Name,
    /// What it is for, in the user's words.
    pub about: Option<Name>,
    /// Revision letter or word.
    pub revision: Option<Name>,
    /// The hand it is drawn for; right when not said. A fit for the other hand gets the mirrored part.
    pub hand: Hand,
    /// Named measures.
    pub measures: Vec<Measure>,
    /// Thickness of the card of the mock-up.
    pub card: Option<Sum>,
    /// The plate.
    pub plate: PlateSpec,
    /// Instrument for readings that name none.
    pub instrument: Option<Name>,
    /// Points in the order written (a point may use later ones; cycles are errors).
    pub points: Vec<PointDef>,
    /// Extra readings.
    pub readings: Vec<ReadingDef>,
    /// The outside edge.
    pub outline: OutlineDef,
    /// Bends.
    pub bends: Vec<BendDef>,
    /// Round holes.
    pub holes: Vec<HoleDef>,
    /// Slots.
    pub slots: Vec<SlotDef>,
    /// Windows.
    pub windows: Vec<WindowDef>,
    /// Names of panels: name and a point in it.
    pub panels: Vec<(Name, Name)>,
    /// The panel that stays still, by name.
    pub still: Option<Name>,
    /// Welded edges.
    pub seams: Vec<SeamDef>,
    /// Scribed marks.
    pub marks: Vec<MarkDef>,
}

/// `[measures]`
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// Name.
    pub name: Name,
    /// Value; absent only when it is to be solved (then the middle of the range starts the search) or the fit must say it.
    pub value: Option<Sum>,
    /// May a fit give its own value?
    pub fit: bool,
    /// The question put to the person.
    pub ask: Option<Name>,
    /// Found so that mounts and support are met, between these two.
    pub solve: Option<[Sum; 2]>,
}

/// `[plate]`
#[derive(Debug, Clone, PartialEq)]
pub struct PlateSpec {
    /// "5052-H32 3/16 in": metal and thickness (or gauge) in one string, as the shop would ask for it.
    pub stock: StockSpec,
    /// Which face the lines are on.
    pub lines_on: sheet::Face,
    /// Inside radius of every bend that says none; the handbook's least radius when absent.
    pub radius: Option<Sum>,
}

/// A metal and its thickness.
#[derive(Debug, Clone, PartialEq)]
pub struct StockSpec {
    /// As typed.
    pub text: Name,
    /// "5052-H32"
    pub metal: String,
    /// Thickness or gauge.
    pub thickness: StockThickness,
}

/// A thickness as typed.
#[derive(Debug, Clone, PartialEq)]
pub enum StockThickness {
    /// A length, mm.
    Mm(f64),
    /// A gauge number, looked up by metal.
    Gauge(u8),
}

/// `[points]`
#[derive(Debug, Clone, PartialEq)]
pub struct PointDef {
    /// Name: letters, digits and underscore.
    pub name: Name,
    /// How it is found.
    pub how: PointHow,
    /// Instrument of its numbers, if other than the design's.
    pub with: Option<Name>,
    /// Not measured but meant: its numbers are not adjusted.
    pub exact: bool,
}

/// The ways of finding a point.
#[derive(Debug, Clone, PartialEq)]
pub enum PointHow {
    /// `["1 in", "2 in"]` or `{ at = [..] }`
    At([Sum; 2]),
    /// `{ from, toward, along, off }`: along the line, then off it (left positive).
    Offset {
        /// Start of the baseline.
        from: Name,
        /// A point the baseline runs toward.
        toward: Name,
        /// Along it.
        along: Sum,
        /// Off it, left positive; 0 when absent.
        off: Option<Sum>,
    },
    /// `{ from, reach, angle, of }`: a distance at an angle, from x or from a line.
    Polar {
        /// From here.
        from: Name,
        /// How far.
        reach: Sum,
        /// Counter-clockwise positive.
        angle: Sum,
        /// The line the angle is from; x when absent.
        of: Option<Line>,
    },
    /// `{ swing = [["A", "3 in"], ["B", "5 in"]], side }`
    Swing {
        /// First centre and radius.
        first: (Name, Sum),
        /// Second.
        second: (Name, Sum),
        /// Side of first-to-second.
        side: Side,
    },
    /// `{ where = ["A-C", "D-B"] }`: where two lines cross.
    Crossing([Line; 2]),
    /// `{ foot = "C", on = "A-B" }`: square from a point onto a line.
    Foot {
        /// The point.
        of: Name,
        /// The line.
        on: Line,
    },
    /// `{ middle = ["A", "B"] }`
    Middle([Name; 2]),
    /// `{ mirror = "A", over = "B-C" }`
    Mirror {
        /// The point.
        of: Name,
        /// The line.
        over: Line,
    },
    /// `{ tangent = "P", round = "C", radius = "1 in", side = "left" }`: where the tangent from P touches the circle.
    Tangent {
        /// From here.
        from: Name,
        /// Circle's centre.
        round: Name,
        /// Circle's radius.
        radius: Sum,
        /// Which of the two, looking from `from` to the centre.
        side: Side,
    },
}

impl PointHow {
    /// Every number of it.
    pub fn sums(&self) -> Vec<&Sum> {
        match self {
            PointHow::At([x, y]) => vec![x, y],
            PointHow::Offset { along, off, .. } => [along].into_iter().chain(off).collect(),
            PointHow::Polar { reach, angle, .. } => vec![reach, angle],
            PointHow::Swing { first, second, .. } => vec![&first.1, &second.1],
            PointHow::Tangent { radius, .. } => vec![radius],
            PointHow::Crossing(_) | PointHow::Foot { .. } | PointHow::Middle(_) | PointHow::Mirror { .. } => {
                vec![]
            }
        }
    }
}

/// `[[readings]]`
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingDef {
    /// What is measured.
    pub of: ReadingOf,
    /// What was read.
    pub read: Sum,
    /// The instrument.
    pub with: Option<Name>,
    /// Taken from the hook end of a tape.
    pub hook: bool,
    /// Where the whole row stands.
    pub at: Place,
}

/// What a reading is of.
#[derive(Debug, Clone, PartialEq)]
pub enum ReadingOf {
    /// `between = ["A", "B"]`: distance of two points.
    Between([Name; 2]),
    /// `corner = ["A", "B", "C"]`: the angle at B from A round to C (0 to 180 degrees).
    Corner([Name; 3]),
    /// `off = "C", line = "A-B"`: square distance, left positive.
    Off {
        /// The point.
        point: Name,
        /// The line.
        line: Line,
    },
    /// `lines = ["A-B", "C-D"]`: angle between two lines.
    Lines([Line; 2]),
    /// `edges = ["h1", "h2"], across = "near" | "far"`: nearest or farthest edges of two holes.
    Edges {
        /// Two holes of the design.
        holes: [Name; 2],
        /// Farthest edges rather than nearest.
        far: bool,
    },
}

/// `[outline]`
#[derive(Debug, Clone, PartialEq)]
pub struct OutlineDef {
    /// Corners in order.
    pub through: Vec<Name>,
    /// What is done to a corner.
    pub corners: Vec<(Name, CornerDef)>,
    /// Edges that are arcs.
    pub arcs: Vec<(Line, ArcDef)>,
}

/// "round 1/2 in", "chamfer 5 mm", "notch 5 mm"
#[derive(Debug, Clone, PartialEq)]
pub enum CornerDef {
    /// An arc tangent to both edges.
    Round(Sum),
    /// A straight cut, this far back along both edges.
    Chamfer(Sum),
    /// A round bite centred on the corner, of this radius.
    Notch(Sum),
}

/// How an edge is curved.
#[derive(Debug, Clone, PartialEq)]
pub enum ArcDef {
    /// `{ via = "P" }`: through a third point.
    Via(Name),
    /// `{ radius = "2 in", side = "left" }`: the arc bows to this side of the edge, less than half a circle.
    Radius {
        /// Radius.
        radius: Sum,
        /// Side it bows to.
        bows: Side,
    },
}

/// `[bends.b1]`
#[derive(Debug, Clone, PartialEq)]
pub struct BendDef {
    /// Name.
    pub name: Name,
    /// `line = ["D", "E"]`
    pub line: [Name; 2],
    /// The angle, as said.
    pub angle: BendAngle,
    /// Up or down.
    pub way: Told<sheet::Way>,
    /// Inside radius.
    pub radius: Option<Sum>,
    /// Relief.
    pub relief: ReliefDef,
}

/// "45" must never be the other 45.
#[derive(Debug, Clone, PartialEq)]
pub enum BendAngle {
    /// `bent`: bent through.
    Bent(Sum),
    /// `between_legs`: what a bevel set between the legs reads.
    BetweenLegs(Sum),
}

/// `relief = "auto" | "none" | { width, past }`
#[derive(Debug, Clone, PartialEq)]
pub enum ReliefDef {
    /// Made where needed.
    Auto,
    /// None.
    None,
    /// As stated.
    Slot {
        /// Along the crease.
        width: Sum,
        /// Past the tangent line.
        past: Sum,
    },
}

/// `[holes.m1]`
#[derive(Debug, Clone, PartialEq)]
pub struct HoleDef {
    /// Name.
    pub name: Name,
    /// Centre.
    pub at: Name,
    /// Diameter: said, or from the hardware.
    pub size: HoleSize,
}

/// The size of a hole.
#[derive(Debug, Clone, PartialEq)]
pub enum HoleSize {
    /// `dia = "8.5 mm"`
    Dia(Sum),
    /// `for = "5/16-18", clearance = "normal"`
    For {
        /// The thread.
        thread: Told<units::Thread>,
        /// How it takes it.
        clearance: Clearance,
    },
}

/// How a hole takes its bolt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clearance {
    /// Close (ISO 273 fine).
    Close,
    /// Normal (ISO 273 medium).
    Normal,
    /// Loose (ISO 273 coarse).
    Loose,
    /// Tapped in the plate: drilled to the tap size.
    Tapped,
}

/// `[slots.s1]`: `from`, `to` are the centres of the round ends.
#[derive(Debug, Clone, PartialEq)]
pub struct SlotDef {
    /// Name.
    pub name: Name,
    /// One end's centre.
    pub from: Name,
    /// The other's.
    pub to: Name,
    /// Across.
    pub width: Sum,
}

/// `[windows.w1]`
#[derive(Debug, Clone, PartialEq)]
pub struct WindowDef {
    /// Name.
    pub name: Name,
    /// What it is drawn from.
    pub shape: WindowShape,
    /// Moved in from that by this.
    pub inset: Option<Sum>,
    /// Radius of every corner.
    pub corners: Option<Sum>,
}

/// What a window is drawn from.
#[derive(Debug, Clone, PartialEq)]
pub enum WindowShape {
    /// `inside = ["P", "Q", "R"]`
    Points(Vec<Name>),
    /// `panel = "arm"`: the panel's own shape.
    Panel(Name),
}

/// `[seams.s1]`: `edges = ["A-B", "C-D"]`, A comes to C.
#[derive(Debug, Clone, PartialEq)]
pub struct SeamDef {
    /// Name.
    pub name: Name,
    /// The two edges.
    pub edges: [Line; 2],
    /// Largest gap; handbook default when absent.
    pub gap: Option<Sum>,
    /// How large the weld is.
    pub weld: Option<WeldSize>,
    /// Welded from both sides?
    pub both_sides: bool,
}

/// The size of a weld, as it was said.
#[derive(Debug, Clone, PartialEq)]
pub enum WeldSize {
    /// Root to face.
    Throat(Sum),
    /// The side of an even fillet.
    Leg(Sum),
}

/// `[marks.x]`: `at` and `text`, or `line`.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkDef {
    /// Name.
    pub name: Name,
    /// What.
    pub kind: MarkDefKind,
}

/// Words or a line.
#[derive(Debug, Clone, PartialEq)]
pub enum MarkDefKind {
    /// Words.
    Text {
        /// Where they start.
        at: Name,
        /// The words.
        text: String,
        /// Height of a capital.
        height: Option<Sum>,
    },
    /// A line.
    Line([Name; 2]),
}
