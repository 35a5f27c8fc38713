//! What the shop has to change a part with.

use nalgebra::Point3;

use crate::bracket::{BesideWeld, Mount};
use crate::weld::FilletStrength;

/// A plate's thickness matches one on the list within this: under the thickness tolerance of any rolled plate.
const SAME_THICKNESS_MM: f64 = 0.05;

/// How plates of one thickness are welded on each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Welding {
    /// Leg of the fillets, mm, above 0.
    pub leg_mm: f64,
    /// What they stand.
    pub strength: FilletStrength,
    /// What is left of the plate beside them; none where it loses nothing.
    pub beside: Option<BesideWeld>,
}

/// One thickness on the shop's list, and how it bends.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// What the shop calls it.
    pub name: String,
    /// Thickness, mm, above 0.
    pub thickness_mm: f64,
    /// Inside radius that its bends are given, mm, at least 0.
    pub radius_mm: f64,
    /// K: where the neutral line of its bends lies, 0 to 1.
    pub neutral_share: f64,
    /// The shortest leg that can be bent square, mm, to the outside of the other leg.
    pub least_leg_mm: f64,
    /// How it is welded; none when the metal is not to be welded, or too little is known of its welds.
    pub welding: Option<Welding>,
}

/// A place of the equipment that takes a bolt and that the part does not use.
#[derive(Debug, Clone, PartialEq)]
pub struct FreeMount {
    /// How it would hold; its `opening` is not read.
    pub mount: Mount,
    /// Middle of the bolt in the plane of its seat, in equipment axes.
    pub at: Point3<f64>,
    /// Diameter of the hole that the plate would get, mm.
    pub hole_mm: f64,
    /// The largest gap between plate and seat that the bolt may pull down, mm.
    pub gap_mm: f64,
    /// The largest tilt of the plate against the seat, rad.
    pub tilt_rad: f64,
}

/// What the shop and the equipment have to change a part with.
#[derive(Debug, Clone, PartialEq)]
pub struct Shelf {
    /// Plates of the part's metal, in any order.
    pub plates: Vec<Stock>,
    /// Least radius in the corners of a window, mm.
    pub window_corner_mm: f64,
    /// Places of the equipment that the part does not use yet.
    pub free_mounts: Vec<FreeMount>,
}

impl Shelf {
    /// The plate of this thickness, as an index into [`Shelf::plates`].
    pub fn of_thickness(&self, thickness_mm: f64) -> Option<usize> {
        let off = |stock: &Stock| (stock.thickness_mm - thickness_mm).abs();
        let nearest =
            (0..self.plates.len()).min_by(|&a, &b| off(&self.plates[a]).total_cmp(&off(&self.plates[b])))?;
        (off(&self.plates[nearest]) <= SAME_THICKNESS_MM).then_some(nearest)
    }
}
