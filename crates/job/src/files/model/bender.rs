//! What shop.toml says under `[bender]`.

use super::*;

/// `[bender]`
#[derive(Debug, Clone, PartialEq)]
pub struct BenderDef {
    /// "brake", "folder", "vice".
    pub process: Name,
    /// "starter": tools like those of the starter set, alone or beside what follows.
    pub tools: Option<Name>,
    /// V opening of the die, if one is always used.
    pub die: Option<Sum>,
    /// "middle", "tangent": what stop distances are given to.
    pub gauge_to: Option<Name>,
    /// Press brakes.
    pub brakes: Vec<BrakeDef>,
    /// Punches.
    pub punches: Vec<PunchDef>,
    /// Dies.
    pub dies: Vec<DieDef>,
    /// Folders.
    pub folders: Vec<FolderDef>,
    /// Vices.
    pub vices: Vec<ViceDef>,
    /// A shop that takes bends in.
    pub away: Option<AwayDef>,
}

/// `[[bender.brakes]]`
#[derive(Debug, Clone, PartialEq)]
pub struct BrakeDef {
    /// What it is called.
    pub name: Name,
    /// "starter": so is what is not said.
    pub like: Option<Name>,
    /// Longest bend.
    pub length: Option<Sum>,
    /// Between the uprights.
    pub between_uprights: Option<Sum>,
    /// From the bend line to the uprights.
    pub throat: Option<Sum>,
    /// What it presses with.
    pub force: Option<Sum>,
    /// From bed to ram.
    pub daylight: Option<Sum>,
    /// Of the ram.
    pub stroke: Option<Sum>,
    /// Section of the ram.
    pub ram: Option<SectionDef>,
    /// Section of the bed.
    pub bed: Option<SectionDef>,
    /// Nearest and farthest place of the back gauge.
    pub gauge: Option<[Sum; 2]>,
}

/// `[[bender.punches]]`
#[derive(Debug, Clone, PartialEq)]
pub struct PunchDef {
    /// What it is called.
    pub name: Name,
    /// Between the flanks of the nose.
    pub angle: Sum,
    /// Radius of the nose.
    pub nose: Sum,
    /// From nose to seat.
    pub height: Option<Sum>,
    /// Section as drawn.
    pub profile: Option<SectionDef>,
    /// Section by numbers.
    pub straight: Option<StraightDef>,
    /// Section by numbers.
    pub relieved: Option<RelievedDef>,
    /// Put up the other way round.
    pub turned: bool,
    /// One piece.
    pub length: Option<Sum>,
    /// Pieces.
    pub lengths: Vec<Sum>,
    /// The most force for each length.
    pub stands: Sum,
}

/// `straight = { blade, up_to, seat }`
#[derive(Debug, Clone, PartialEq)]
pub struct StraightDef {
    /// Thickness of the blade.
    pub blade: Sum,
    /// Up to this height.
    pub up_to: Sum,
    /// Thickness at the seat.
    pub seat: Sum,
}

/// `relieved = { set_back, neck, hollow, seat, seat_high }`
#[derive(Debug, Clone, PartialEq)]
pub struct RelievedDef {
    /// Front of the neck behind the nose.
    pub set_back: Sum,
    /// Thickness of the neck.
    pub neck: Sum,
    /// The heights between which it is set back.
    pub hollow: [Sum; 2],
    /// Thickness at the seat.
    pub seat: Sum,
    /// Height of the seat.
    pub seat_high: Sum,
}

/// `[[bender.dies]]`
#[derive(Debug, Clone, PartialEq)]
pub struct DieDef {
    /// What it is called.
    pub name: Name,
    /// The V's opening.
    pub opening: Sum,
    /// Between the faces of the V.
    pub angle: Sum,
    /// Radius of the shoulders.
    pub shoulder: Sum,
    /// From top to foot.
    pub height: Option<Sum>,
    /// Of a plain bar.
    pub width: Option<Sum>,
    /// Section as drawn.
    pub profile: Option<SectionDef>,
    /// One piece.
    pub length: Option<Sum>,
    /// Pieces.
    pub lengths: Vec<Sum>,
    /// The most force for each length.
    pub stands: Sum,
}

/// `[[bender.folders]]`
#[derive(Debug, Clone, PartialEq)]
pub struct FolderDef {
    /// What it is called.
    pub name: Name,
    /// "starter": so is what is not said.
    pub like: Option<Name>,
    /// Longest bend.
    pub length: Option<Sum>,
    /// Widths of the fingers.
    pub fingers: Vec<Sum>,
    /// From plate to beam.
    pub finger_depth: Option<Sum>,
    /// Section of a finger.
    pub finger: Option<SectionDef>,
    /// Section of the clamping beam.
    pub beam: Option<SectionDef>,
    /// Section of the bed.
    pub bed: Option<SectionDef>,
    /// Section of the apron.
    pub apron: Option<SectionDef>,
    /// Of the clamp.
    pub lift: Option<Sum>,
    /// Radius of the nose.
    pub nose: Option<Sum>,
    /// Of the apron.
    pub swing: Option<Sum>,
    /// What it folds.
    pub capacity: Option<CapacityDef>,
    /// Under the fingers.
    pub least_clamped: Option<Sum>,
    /// On the apron.
    pub least_swung: Option<Sum>,
}

/// `[[bender.vices]]`
#[derive(Debug, Clone, PartialEq)]
pub struct ViceDef {
    /// What it is called.
    pub name: Name,
    /// "starter": so is what is not said.
    pub like: Option<Name>,
    /// Lengths of jaws and blocks.
    pub jaws: Vec<Sum>,
    /// How much goes between the jaws.
    pub deep: Option<Sum>,
    /// Width of the body.
    pub body: Option<Sum>,
    /// How far its halves stand out.
    pub body_out: Option<Sum>,
    /// How far under the bend line they begin.
    pub body_under: Option<Sum>,
    /// Width of the screw.
    pub screw: Option<Sum>,
    /// Section of the inner jaw.
    pub inner: Option<SectionDef>,
    /// Section of the outer jaw.
    pub outer: Option<SectionDef>,
    /// Radius of the edge.
    pub nose: Option<Sum>,
    /// How far a leg is drawn over.
    pub swing: Option<Sum>,
    /// What a hand draws over.
    pub capacity: Option<CapacityDef>,
    /// The bend length that the capacity is for.
    pub drawn: Option<Sum>,
    /// Between the jaws.
    pub least_clamped: Option<Sum>,
    /// Over the jaw.
    pub least_drawn: Option<Sum>,
}

/// `[bender.away]`
#[derive(Debug, Clone, PartialEq)]
pub struct AwayDef {
    /// Where the table is said.
    pub at: Place,
    /// "starter": so is what is not said.
    pub like: Option<Name>,
    /// Longest bend.
    pub length: Option<Sum>,
    /// What it bends.
    pub capacity: Option<CapacityDef>,
    /// In thicknesses.
    pub least_leg: Option<Told<f64>>,
    /// Bent through.
    pub largest_bend: Option<Sum>,
}

/// The thickest of each metal.
#[derive(Debug, Clone, PartialEq)]
pub struct CapacityDef {
    /// Where the table is said.
    pub at: Place,
    /// Of steel.
    pub steel: Option<Sum>,
    /// Of stainless.
    pub stainless: Option<Sum>,
    /// Of aluminium.
    pub aluminium: Option<Sum>,
}

/// A section of a machine or tool.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionDef {
    /// Where it is said.
    pub at: Place,
    /// What it is.
    pub shape: SectionShape,
}

/// What a section is drawn from.
#[derive(Debug, Clone, PartialEq)]
pub enum SectionShape {
    /// Corners in their order, each with what is done to it.
    Corners(Vec<SectionCorner>),
    /// A plain bar by two corners across from each other.
    Block {
        /// One.
        from: [Sum; 2],
        /// The other.
        to: [Sum; 2],
    },
    /// A drawing beside shop.toml.
    Drawing {
        /// Name of the file.
        file: Name,
        /// "mm" or "in", where the drawing does not say it.
        unit: Option<Name>,
        /// Which of its shapes, from 1.
        piece: Option<Told<f64>>,
        /// What is 0, 0 of the section.
        zero: Option<[Sum; 2]>,
    },
    /// A finger that leans back.
    Leaning {
        /// On the plate.
        foot: Sum,
        /// From upright.
        lean: Sum,
    },
}

/// One corner of a section.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionCorner {
    /// Across and up.
    pub at: [Sum; 2],
    /// What is done to it.
    pub corner: Option<CornerDef>,
}

impl BenderDef {
    /// Whether any machine or tool of the shop's own is said.
    pub fn says_own(&self) -> bool {
        !(self.brakes.is_empty()
            && self.punches.is_empty()
            && self.dies.is_empty()
            && self.folders.is_empty()
            && self.vices.is_empty())
            || self.away.is_some()
    }

    /// Every section that is said.
    pub fn sections(&self) -> impl Iterator<Item = &SectionDef> {
        let brakes = self.brakes.iter().flat_map(|brake| [&brake.ram, &brake.bed]);
        let punches = self.punches.iter().map(|punch| &punch.profile);
        let dies = self.dies.iter().map(|die| &die.profile);
        let folders = self
            .folders
            .iter()
            .flat_map(|folder| [&folder.finger, &folder.beam, &folder.bed, &folder.apron]);
        let vices = self.vices.iter().flat_map(|vice| [&vice.inner, &vice.outer]);
        brakes
            .chain(punches)
            .chain(dies)
            .chain(folders)
            .chain(vices)
            .flatten()
    }

    /// The names of the drawings that it asks for, each once, in their order.
    pub fn drawings(&self) -> Vec<&Name> {
        let mut names: Vec<&Name> = Vec::new();
        for section in self.sections() {
            if let SectionShape::Drawing { file, .. } = &section.shape
                && names.iter().all(|known| known.value != file.value)
            {
                names.push(file);
            }
        }
        names
    }
}
