//! Values of tools that cannot be.

use plane::Outline;

use super::{Capacity, JawsOpen, Lengths, Tooling};

/// A punch or ram may stand past its seat by this, a die above its top: drawing accuracy.
const SEATED_MM: f64 = 0.01;

/// What is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ToolMeasure {
    /// A length along the bend.
    Length,
    /// A force.
    Force,
    /// Room to put tools and plate in.
    Daylight,
    /// Way of the ram.
    Stroke,
    /// Throat or width between uprights.
    Throat,
    /// Nearest and farthest place of the gauge.
    Gauge,
    /// An angle of nose, V or swing.
    Angle,
    /// A radius of nose or shoulder.
    Radius,
    /// A height.
    Height,
    /// A V opening.
    Opening,
    /// The lift of a clamp.
    Lift,
    /// A capacity by metal.
    Capacity,
    /// The least that is held.
    Hold,
}

/// Why a tool cannot be used as written.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ToolFault {
    /// A number that is not above 0, or not a number.
    #[error("{tool}: its {measure:?} cannot be {found}")]
    NotPositive {
        /// The tool.
        tool: String,
        /// What is measured.
        measure: ToolMeasure,
        /// What stands there.
        found: f64,
    },
    /// An angle of nose or V that is not between 0 and 180 degrees.
    #[error("{tool}: an angle of {:.1} degrees is none that a tool has", found_rad.to_degrees())]
    Angle {
        /// The tool.
        tool: String,
        /// The angle, rad.
        found_rad: f64,
    },
    /// No length at all.
    #[error("{tool} has no length")]
    NoLength {
        /// The tool.
        tool: String,
    },
    /// The section does not touch the place it is measured from.
    #[error("{tool}: its section should touch 0, 0 and stands {off_mm:.2} mm off")]
    OffOrigin {
        /// The tool.
        tool: String,
        /// By how much, mm.
        off_mm: f64,
    },
    /// The section reaches past its seat or above its top.
    #[error("{tool}: its section is {found_mm:.2} mm high, and its height is said to be {said_mm:.2} mm")]
    WrongHeight {
        /// The tool.
        tool: String,
        /// In the section, mm.
        found_mm: f64,
        /// As said, mm.
        said_mm: f64,
    },
    /// The section reaches to the side of its origin where there is none of it: a punch under its nose, a die over its top.
    #[error("{tool}: its section reaches {past_mm:.2} mm past 0, 0 to the wrong side")]
    WrongSide {
        /// The tool.
        tool: String,
        /// How far, mm.
        past_mm: f64,
    },
    /// The gauge's nearest place lies behind its farthest.
    #[error("{tool}: the gauge cannot go from {near_mm} to {far_mm} mm")]
    GaugeRange {
        /// The machine.
        tool: String,
        /// Nearest, mm.
        near_mm: f64,
        /// Farthest, mm.
        far_mm: f64,
    },
    /// Two tools of one kind have the same name: a plan could not say which.
    #[error("two tools are called {tool}")]
    TwiceNamed {
        /// The name.
        tool: String,
    },
}

pub(super) fn faults(tooling: &Tooling) -> Vec<ToolFault> {
    let mut look = Look { faults: Vec::new() };
    for press in &tooling.presses {
        let tool = &press.name;
        look.positive(tool, ToolMeasure::Length, press.length_mm);
        look.positive(tool, ToolMeasure::Throat, press.between_uprights_mm);
        look.positive(tool, ToolMeasure::Throat, press.throat_mm);
        look.positive(tool, ToolMeasure::Force, press.force_n);
        look.positive(tool, ToolMeasure::Daylight, press.daylight_mm);
        look.positive(tool, ToolMeasure::Stroke, press.stroke_mm);
        look.origin(tool, &press.ram);
        look.above(tool, &press.ram);
        look.origin(tool, &press.bed);
        look.below(tool, &press.bed);
        let [near_mm, far_mm] = press.gauge_mm;
        if !(near_mm >= 0.0 && far_mm > near_mm && far_mm.is_finite()) {
            let tool = tool.clone();
            look.faults.push(ToolFault::GaugeRange {
                tool,
                near_mm,
                far_mm,
            });
        }
    }
    for punch in &tooling.punches {
        let tool = &punch.name;
        look.angle(tool, punch.angle_rad);
        look.not_below_zero(tool, ToolMeasure::Radius, punch.nose_mm);
        look.positive(tool, ToolMeasure::Force, punch.most_n_per_mm);
        look.lengths(tool, &punch.lengths);
        look.origin(tool, &punch.profile);
        look.above(tool, &punch.profile);
        look.height(tool, punch.profile.bounds().1.y, punch.height_mm);
    }
    for die in &tooling.dies {
        let tool = &die.name;
        look.angle(tool, die.angle_rad);
        look.positive(tool, ToolMeasure::Opening, die.opening_mm);
        look.not_below_zero(tool, ToolMeasure::Radius, die.shoulder_mm);
        look.positive(tool, ToolMeasure::Force, die.most_n_per_mm);
        look.lengths(tool, &die.lengths);
        look.origin(tool, &die.profile);
        look.below(tool, &die.profile);
        look.height(tool, -die.profile.bounds().0.y, die.height_mm);
    }
    for folder in &tooling.folders {
        let tool = &folder.name;
        look.positive(tool, ToolMeasure::Length, folder.length_mm);
        look.lengths(tool, &folder.fingers);
        look.positive(tool, ToolMeasure::Height, folder.finger_depth_mm);
        look.positive(tool, ToolMeasure::Lift, folder.clamp_lift_mm);
        look.not_below_zero(tool, ToolMeasure::Radius, folder.nose_mm);
        look.angle(tool, folder.swing_rad);
        look.positive(tool, ToolMeasure::Hold, folder.least_clamped_mm);
        look.positive(tool, ToolMeasure::Hold, folder.least_swung_mm);
        look.capacity(tool, &folder.capacity);
        look.origin(tool, &folder.finger);
        look.above(tool, &folder.finger);
        look.below(tool, &folder.bed);
        look.below(tool, &folder.apron);
    }
    for vice in &tooling.vices {
        let tool = &vice.name;
        look.lengths(tool, &vice.jaws);
        if let JawsOpen::Unbolted { end_mm } = vice.opens {
            look.positive(tool, ToolMeasure::Length, end_mm);
            look.positive(
                tool,
                ToolMeasure::Length,
                vice.opens.usable_mm(vice.jaws.longest_mm()),
            );
        }
        look.positive(tool, ToolMeasure::Height, vice.deep_mm);
        if let Some(body) = &vice.body {
            look.positive(tool, ToolMeasure::Length, body.screw_mm);
            look.positive(tool, ToolMeasure::Length, body.wide_mm - body.screw_mm);
            look.positive(tool, ToolMeasure::Height, body.out_mm);
            look.not_below_zero(tool, ToolMeasure::Height, body.under_mm);
        }
        look.not_below_zero(tool, ToolMeasure::Radius, vice.nose_mm);
        look.angle(tool, vice.swing_rad);
        look.positive(tool, ToolMeasure::Hold, vice.least_clamped_mm);
        look.positive(tool, ToolMeasure::Hold, vice.least_drawn_mm);
        look.positive(tool, ToolMeasure::Length, vice.drawn_mm);
        look.capacity(tool, &vice.capacity);
        look.origin(tool, &vice.inner);
        look.above(tool, &vice.inner);
        look.below(tool, &vice.outer);
    }
    look.names(tooling);
    look.faults
}

struct Look {
    faults: Vec<ToolFault>,
}

impl Look {
    fn positive(&mut self, tool: &str, measure: ToolMeasure, found: f64) {
        if !(found > 0.0 && found.is_finite()) {
            let tool = tool.to_owned();
            self.faults.push(ToolFault::NotPositive { tool, measure, found });
        }
    }

    fn not_below_zero(&mut self, tool: &str, measure: ToolMeasure, found: f64) {
        if found != 0.0 {
            self.positive(tool, measure, found);
        }
    }

    fn angle(&mut self, tool: &str, found_rad: f64) {
        if !(found_rad > 0.0 && found_rad <= std::f64::consts::PI) {
            let tool = tool.to_owned();
            self.faults.push(ToolFault::Angle { tool, found_rad });
        }
    }

    fn lengths(&mut self, tool: &str, lengths: &Lengths) {
        let made_up: &[f64] = match lengths {
            Lengths::Whole(length_mm) => std::slice::from_ref(length_mm),
            Lengths::Sections(sections) => sections,
        };
        if made_up.is_empty() {
            self.faults.push(ToolFault::NoLength {
                tool: tool.to_owned(),
            });
        }
        for length_mm in made_up {
            self.positive(tool, ToolMeasure::Length, *length_mm);
        }
    }

    fn capacity(&mut self, tool: &str, capacity: &[Capacity]) {
        for row in capacity {
            self.positive(tool, ToolMeasure::Capacity, row.thickest_mm);
        }
    }

    fn origin(&mut self, tool: &str, profile: &Outline) {
        let off_mm = profile.distance_to(plane::Point::origin()).0;
        if off_mm > SEATED_MM {
            let tool = tool.to_owned();
            self.faults.push(ToolFault::OffOrigin { tool, off_mm });
        }
    }

    /// Stands over y = 0.
    fn above(&mut self, tool: &str, profile: &Outline) {
        self.side(tool, -profile.bounds().0.y);
    }

    /// Hangs under y = 0.
    fn below(&mut self, tool: &str, profile: &Outline) {
        self.side(tool, profile.bounds().1.y);
    }

    fn side(&mut self, tool: &str, past_mm: f64) {
        if past_mm > SEATED_MM {
            let tool = tool.to_owned();
            self.faults.push(ToolFault::WrongSide { tool, past_mm });
        }
    }

    fn height(&mut self, tool: &str, found_mm: f64, said_mm: f64) {
        self.positive(tool, ToolMeasure::Height, said_mm);
        if (found_mm - said_mm).abs() > SEATED_MM {
            let tool = tool.to_owned();
            self.faults.push(ToolFault::WrongHeight {
                tool,
                found_mm,
                said_mm,
            });
        }
    }

    fn names(&mut self, tooling: &Tooling) {
        let kinds: [Vec<&str>; 5] = [
            tooling.presses.iter().map(|tool| tool.name.as_str()).collect(),
            tooling.punches.iter().map(|tool| tool.name.as_str()).collect(),
            tooling.dies.iter().map(|tool| tool.name.as_str()).collect(),
            tooling.folders.iter().map(|tool| tool.name.as_str()).collect(),
            tooling.vices.iter().map(|tool| tool.name.as_str()).collect(),
        ];
        for names in kinds {
            for (i, name) in names.iter().enumerate() {
                if names[..i].contains(name) {
                    self.faults.push(ToolFault::TwiceNamed {
                        tool: (*name).to_owned(),
                    });
                }
            }
        }
    }
}
