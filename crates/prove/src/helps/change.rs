//! What can be changed, what comes of it, and why it cannot be.

use nalgebra::Point3;
use plane::{OffsetError, OutlineError, Point, Vector, WindowError};
use sheet::{Mockup, Part, SheetError, Way};
use thiserror::Error;

use super::shelf::Welding;
use crate::bracket::{Bracket, Mount};
use crate::load::At;
use crate::weld::Fillet;

/// A lip along a straight free edge: an extra bend, square.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lip {
    /// Where the lip starts and ends on the card's outside edge, counter-clockwise round the card.
    pub edge: [Point; 2],
    /// Which way it is bent.
    pub way: Way,
    /// Its leg, mm, to the outside of the panel.
    pub leg_mm: f64,
}

/// A flat bar welded on edge along a line of a panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// The line on the card, on the bar's middle.
    pub line: [Point; 2],
    /// The face it stands on: the marked face for [`Way::Up`].
    pub way: Way,
    /// How far it stands out from that face, mm.
    pub height_mm: f64,
}

/// Gusset plates across a bend, welded into its inside.
#[derive(Debug, Clone, PartialEq)]
pub struct Gussets {
    /// Index into [`Part::bends`].
    pub bend: usize,
    /// Where along the bend each one stands: shares from its start to its end.
    pub at: Vec<f64>,
    /// Legs along the fixed panel and along the moving one, mm from the tangent lines.
    pub legs_mm: [f64; 2],
}

/// What becomes of a window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WindowTo {
    /// It is not cut.
    Gone,
    /// Its edge moves in all round by this, mm, above 0.
    Smaller(f64),
    /// Its edge moves out all round by this, mm, above 0.
    Larger(f64),
}

/// One change to a part. Indices are those of the part before any change.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Another plate from the shop's list, every bend with that plate's radius: an index into
    /// [`super::Shelf::plates`].
    Stock(usize),
    /// A lip along an edge.
    Lip(Lip),
    /// Lips along two edges of one panel that face each other, both bent one way.
    Channel([Lip; 2]),
    /// Such a pair of lips with a flat strip welded in between their edges, which closes the section.
    Closed([Lip; 2]),
    /// A straight edge moved out.
    Wider {
        /// Where on the card's outside edge, counter-clockwise.
        edge: [Point; 2],
        /// By how much, mm, above 0.
        by_mm: f64,
    },
    /// A window larger, smaller or gone.
    Window {
        /// Index into [`Part::openings`].
        opening: usize,
        /// What becomes of it.
        to: WindowTo,
    },
    /// A flat bar on edge.
    Bar(Bar),
    /// Gusset plates across a bend.
    Gussets(Gussets),
    /// A bolt moved along its slot.
    Bolt {
        /// Index into [`Part::openings`].
        opening: usize,
        /// On the card.
        by: Vector,
    },
    /// A further mount of the equipment: an index into [`super::Shelf::free_mounts`].
    Mount(usize),
    /// Several changes in one part.
    Together(Vec<Change>),
}

/// The kinds of change, to tell alternatives from repeats.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Another plate.
    Stock,
    /// One lip.
    Lip,
    /// Two lips.
    Channel,
    /// Two lips and a strip.
    Closed,
    /// An edge moved out.
    Wider,
    /// A window.
    Window,
    /// A bar on edge.
    Bar,
    /// Gusset plates.
    Gussets,
    /// A bolt moved.
    Bolt,
    /// A further mount.
    Mount,
    /// Several.
    Together,
}

impl Change {
    /// Its kind.
    pub fn kind(&self) -> Kind {
        match self {
            Self::Stock(_) => Kind::Stock,
            Self::Lip(_) => Kind::Lip,
            Self::Channel(_) => Kind::Channel,
            Self::Closed(_) => Kind::Closed,
            Self::Wider { .. } => Kind::Wider,
            Self::Window { .. } => Kind::Window,
            Self::Bar(_) => Kind::Bar,
            Self::Gussets(_) => Kind::Gussets,
            Self::Bolt { .. } => Kind::Bolt,
            Self::Mount(_) => Kind::Mount,
            Self::Together(_) => Kind::Together,
        }
    }

    /// The single changes it is made of, in order.
    pub fn single(&self) -> Vec<&Change> {
        match self {
            Self::Together(all) => all.iter().flat_map(Change::single).collect(),
            one => vec![one],
        }
    }
}

/// On which sides of a plate's edge a fillet is laid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    /// On one, where the other cannot be reached. Such a weld is not counted on against being bent over (EN 1993-1-8 4.12):
    /// it holds the edge as a hinge does.
    One,
    /// On both: the edge is held in every way.
    Both,
}

/// An edge of an extra plate that is welded to a panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeldedEdge {
    /// From this corner to the next.
    pub edge: usize,
    /// Index into [`Part::panels`] of the changed part.
    pub to_panel: usize,
    /// Where its fillets are.
    pub sides: Sides,
}

/// A separate flat plate of the part's metal that is welded on.
#[derive(Debug, Clone, PartialEq)]
pub struct ExtraPlate {
    /// Its corners on its middle surface, in the part's axes, in order and in one plane. A welded edge lies on the face
    /// of the panel, half a thickness from that panel's middle surface.
    pub corners: Vec<Point3<f64>>,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// What is welded.
    pub welds: Vec<WeldedEdge>,
    /// How it is welded; none when that is not known, and then its welds are not checked.
    pub welding: Option<Welding>,
}

impl ExtraPlate {
    /// The fillet of a welded edge.
    pub fn fillet(&self, weld: &WeldedEdge) -> Option<Fillet> {
        let leg_mm = self.welding?.leg_mm;
        Some(match weld.sides {
            Sides::One => Fillet::one_side(leg_mm),
            Sides::Both => Fillet::both_sides(leg_mm, self.thickness_mm),
        })
    }

    /// The two ends of an edge.
    pub fn edge(&self, edge: usize) -> [Point3<f64>; 2] {
        [self.corners[edge], self.corners[(edge + 1) % self.corners.len()]]
    }

    /// Length of all edges, mm.
    pub fn rim_mm(&self) -> f64 {
        (0..self.corners.len()).map(|edge| self.edge_mm(edge)).sum()
    }

    /// Length that is welded, mm.
    pub fn weld_mm(&self) -> f64 {
        self.welds.iter().map(|weld| self.edge_mm(weld.edge)).sum()
    }

    /// Area of one face, mm2.
    pub fn area_mm2(&self) -> f64 {
        let from = self.corners[0];
        let crosses = self.corners[1..]
            .windows(2)
            .map(|pair| (pair[0] - from).cross(&(pair[1] - from)));
        crosses.sum::<nalgebra::Vector3<f64>>().norm() / 2.0
    }

    fn edge_mm(&self, edge: usize) -> f64 {
        let [from, to] = self.edge(edge);
        (to - from).norm()
    }
}

/// What a change costs.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Costs {
    /// Mass added, g; below 0 when it is saved.
    pub grams: f64,
    /// Cut length added, mm.
    pub cut_mm: f64,
    /// Bends added.
    pub bends: usize,
    /// Weld added, mm.
    pub weld_mm: f64,
    /// Separate plates added.
    pub plates: usize,
}

/// A changed part.
#[derive(Debug, Clone, PartialEq)]
pub struct Changed {
    /// The card as changed.
    pub mockup: Mockup,
    /// Developed from it.
    pub part: Part,
    /// Plates welded on.
    pub extra: Vec<ExtraPlate>,
    /// Where each opening of the part before is now; none when it is no longer cut.
    pub openings_now: Vec<Option<usize>>,
    /// Mounts it has beside those before.
    pub mounts: Vec<Mount>,
    /// What it costs.
    pub costs: Costs,
}

impl Changed {
    /// The changed part on the mounts and under the loads of the one before.
    pub fn bracket<'a>(&'a self, before: &Bracket<'a>) -> Bracket<'a> {
        let now = |opening: usize| self.openings_now.get(opening).copied().flatten();
        let all = |openings: &[usize]| openings.iter().filter_map(|&opening| now(opening)).collect();
        let kept = before.mounts.iter().filter_map(|mount| {
            let opening = now(mount.opening)?;
            Some(Mount {
                opening,
                ..mount.clone()
            })
        });
        let mut loads = before.loads.clone();
        for load in &mut loads {
            if let At::Openings(openings) = &mut load.at {
                *openings = all(openings);
            }
        }
        let mut support = before.support.clone();
        if let Some(support) = &mut support {
            support.openings = all(&support.openings);
        }
        Bracket {
            part: &self.part,
            mounts: kept.chain(self.mounts.iter().cloned()).collect(),
            support,
            loads,
            ..before.clone()
        }
    }
}

/// "panel side ends 4.0 mm short of the bolt and must reach 10.4 mm beyond it".
fn no_plate(panel: &str, edge_mm: f64, least_mm: f64) -> String {
    if edge_mm < 0.0 {
        format!(
            "panel {panel} ends {:.1} mm short of the bolt, and must reach {least_mm:.1} mm beyond it",
            -edge_mm
        )
    } else {
        format!("panel {panel} reaches {edge_mm:.1} mm beyond the bolt, and must reach {least_mm:.1} mm")
    }
}

/// "opening h2 is 4.0 mm from the middle of the bolt, and must be 7.9 mm from it, at".
fn opening_near(opening: &str, edge_mm: f64, least_mm: f64) -> String {
    if edge_mm < 0.0 {
        format!("opening {opening} is cut where the bolt would come, at")
    } else {
        format!(
            "opening {opening} is {edge_mm:.1} mm from the middle of the bolt, and must be {least_mm:.1} mm from it, at"
        )
    }
}

/// Why a change cannot be made.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum CannotChange {
    /// The plate of the part is not on the shop's list, so that nothing is known of how it bends.
    #[error("no plate of {thickness_mm} mm is on the shop's list")]
    NotOnShelf {
        /// The part's.
        thickness_mm: f64,
    },
    /// The edge is no longer where it was.
    #[error("there is no straight edge from ({:.1}, {:.1}) to ({:.1}, {:.1})", edge[0].x, edge[0].y, edge[1].x, edge[1].y)]
    NoSuchEdge {
        /// On the card.
        edge: [Point; 2],
    },
    /// The lip is shorter than can be bent.
    #[error("a lip of {leg_mm:.1} mm is too short: the least is {least_mm:.1} mm")]
    LipTooShort {
        /// As asked.
        leg_mm: f64,
        /// That can be bent.
        least_mm: f64,
    },
    /// The changed card is no outline.
    #[error("the card with the change is no outline: {0}")]
    Outline(#[from] OutlineError),
    /// The changed window is none.
    #[error("{0}")]
    Window(#[from] WindowError),
    /// The window cannot be made larger.
    #[error("{0}")]
    Offset(#[from] OffsetError),
    /// The changed card does not develop.
    #[error("{0}")]
    Sheet(#[from] SheetError),
    /// The changed card has other panels than meant.
    #[error("the change makes {panels} panels of the card, not {meant}")]
    OtherPanels {
        /// Found.
        panels: usize,
        /// Meant.
        meant: usize,
    },
    /// Something that was asked for is not there.
    #[error("the part has no such opening, bend, plate or mount")]
    NotThere,
    /// The opening holds the part or what it carries.
    #[error("opening {opening} is in use")]
    InUse {
        /// Its name.
        opening: String,
    },
    /// A welded edge has no room on its panel.
    #[error("there is no room for a weld on panel {panel}")]
    NoRoom {
        /// Its name.
        panel: String,
    },
    /// The bend is too flat or too sharp for a gusset.
    #[error("bend {bend} leaves no inside for a gusset")]
    NoInside {
        /// Its name.
        bend: String,
    },
    /// New metal runs through other metal.
    #[error("the new metal runs into panel {panel}")]
    Clash {
        /// Its name.
        panel: String,
    },
    /// No panel lies on the mount's seat, nor in its plane.
    #[error("no panel lies flat on the seat of mount {mount}")]
    OffSeat {
        /// Its name.
        mount: String,
    },
    /// A panel lies in the plane of the mount's seat, and has too little plate there for a hole.
    #[error("{} for the hole of mount {mount}", no_plate(panel, *edge_mm, *least_mm))]
    NoPlate {
        /// Its name.
        mount: String,
        /// The nearest panel in that plane.
        panel: String,
        /// From the middle of the bolt to the panel's edge, mm; below 0 beyond it.
        edge_mm: f64,
        /// That it must be at least, mm.
        least_mm: f64,
    },
    /// An opening is where the mount's hole would come, or too near it.
    #[error("{} mount {mount}", opening_near(opening, *edge_mm, *least_mm))]
    OpeningNear {
        /// Its name.
        mount: String,
        /// The opening's.
        opening: String,
        /// From the middle of the bolt to the opening's edge, mm; below 0 within it.
        edge_mm: f64,
        /// That it must be at least, mm.
        least_mm: f64,
    },
}
