//! What forbids a bend on certain tools, before anything is moved.

use super::force::Force;
use super::practice::Practice;
use crate::tooling::{Capacity, JawsOpen, Means, Tooling};
use crate::work::{Line, Stock};

/// An angle short by less than this is reached: a hundredth of a degree.
const SAME_ANGLE_RAD: f64 = 1.7e-4;
/// Over the plate the ram must stand open by this much, mm: common practice, no source.
const ROOM_MM: f64 = 10.0;

/// Why a bend is not made with certain tools, wherever the part stands.
#[derive(Debug, Clone, PartialEq)]
pub enum Stop {
    /// The machine presses with less.
    MachineForce {
        /// Asked for, N.
        needs_n: f64,
        /// What it has, N.
        has_n: f64,
    },
    /// A punch or die stands less.
    ToolForce {
        /// Asked for, N/mm.
        needs_n_per_mm: f64,
        /// What it stands, N/mm.
        has_n_per_mm: f64,
    },
    /// The bend is longer than machine or tool.
    Length {
        /// The bend's, mm.
        needs_mm: f64,
        /// The tool's, mm.
        has_mm: f64,
    },
    /// The tool does not close so far.
    Angle {
        /// Under load, rad.
        needs_rad: f64,
        /// What the tool closes to, rad bent through.
        has_rad: f64,
    },
    /// Too thick for a hand tool.
    Thick {
        /// The plate, mm.
        t_mm: f64,
        /// The most over this length, mm; 0 for a metal it is not said for.
        most_mm: f64,
    },
    /// No room between ram and bed for these tools.
    Daylight {
        /// Asked for, mm.
        needs_mm: f64,
        /// What there is, mm.
        has_mm: f64,
    },
    /// The V is narrower than the bend's radius and thickness fit.
    Opening {
        /// At least, mm.
        needs_mm: f64,
        /// The die's, mm.
        has_mm: f64,
    },
    /// The V is wider than is usual for the plate: the bend would wander and its radius swell.
    Wide {
        /// At most, mm.
        most_mm: f64,
        /// The die's, mm.
        has_mm: f64,
    },
    /// The nose is rounder than the inside of the bend.
    Nose {
        /// The bend's radius, mm.
        radius_mm: f64,
        /// The nose's, mm.
        nose_mm: f64,
    },
    /// The leg is too short to be held.
    Leg {
        /// The panel that is the leg.
        panel: usize,
        /// What lies flat from the middle of the bend, mm.
        found_mm: f64,
        /// What must, mm.
        needs_mm: f64,
    },
}

/// A bend to be made in one stroke.
#[derive(Debug, Clone, Copy)]
pub struct ToBend<'a> {
    /// The line; the first where there are more.
    pub line: &'a Line,
    /// From the first end to the last, mm.
    pub length_mm: f64,
    /// The angle under load, rad.
    pub last_rad: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// The metal, where it is known.
    pub stock: Option<&'a Stock>,
}

/// What forbids a bend with so much of a tool, wherever the part stands.
pub fn stops(
    practice: &Practice,
    tooling: &Tooling,
    means: Means,
    tool_mm: f64,
    bend: &ToBend<'_>,
) -> Vec<Stop> {
    let ToBend {
        line,
        length_mm,
        last_rad,
        thickness_mm: t_mm,
        stock,
    } = *bend;
    let mut stops = Vec::new();
    let cover_mm = cover_mm(practice, length_mm, t_mm);
    let mut long_enough = |has_mm: f64, needs_mm: f64| {
        if has_mm < needs_mm {
            stops.push(Stop::Length {
                needs_mm: length_mm,
                has_mm,
            });
        }
    };
    match means {
        Means::Press { press, punch, die } => {
            let (press, punch, die) = (
                &tooling.presses[press],
                &tooling.punches[punch],
                &tooling.dies[die],
            );
            long_enough(press.length_mm, length_mm);
            long_enough(tool_mm.min(die.lengths.longest_mm()), cover_mm);
            let closes_rad = std::f64::consts::PI - punch.angle_rad.max(die.angle_rad);
            if last_rad > closes_rad + SAME_ANGLE_RAD {
                stops.push(Stop::Angle {
                    needs_rad: last_rad,
                    has_rad: closes_rad,
                });
            }
            // The plate's outside goes between the shoulders: their middles lie outside of it.
            let half = last_rad / 2.0;
            let needs_mm = 2.0 * (line.radius_mm + t_mm + die.shoulder_mm) * half.sin();
            if die.opening_mm < needs_mm {
                stops.push(Stop::Opening {
                    needs_mm,
                    has_mm: die.opening_mm,
                });
            }
            let most_mm = practice.widest_x_t.value * t_mm;
            if die.opening_mm > most_mm {
                stops.push(Stop::Wide {
                    most_mm,
                    has_mm: die.opening_mm,
                });
            }
            if punch.nose_mm > line.radius_mm.max(t_mm / 2.0) + 0.05 {
                stops.push(Stop::Nose {
                    radius_mm: line.radius_mm,
                    nose_mm: punch.nose_mm,
                });
            }
            let needs_mm = punch.height_mm + die.height_mm + t_mm + ROOM_MM;
            if press.daylight_mm < needs_mm {
                stops.push(Stop::Daylight {
                    needs_mm,
                    has_mm: press.daylight_mm,
                });
            }
            let metal_mm: f64 = line
                .spans_mm
                .iter()
                .map(|[from, to]| to - from)
                .sum::<f64>()
                .max(length_mm);
            if let Some(force) =
                stock.and_then(|stock| Force::of(practice, stock, t_mm, die.opening_mm, metal_mm))
            {
                let stands = punch.most_n_per_mm.min(die.most_n_per_mm);
                if force.total_n > press.force_n {
                    stops.push(Stop::MachineForce {
                        needs_n: force.total_n,
                        has_n: press.force_n,
                    });
                }
                if force.n_per_mm[2] > stands {
                    stops.push(Stop::ToolForce {
                        needs_n_per_mm: force.n_per_mm[2],
                        has_n_per_mm: stands,
                    });
                }
            }
        }
        Means::Folder(folder) => {
            let folder = &tooling.folders[folder];
            long_enough(folder.length_mm, length_mm);
            long_enough(tool_mm, cover_mm);
            if last_rad > folder.swing_rad + SAME_ANGLE_RAD {
                stops.push(Stop::Angle {
                    needs_rad: last_rad,
                    has_rad: folder.swing_rad,
                });
            }
            stops.extend(too_thick(
                &folder.capacity,
                stock,
                t_mm,
                length_mm / folder.length_mm,
            ));
        }
        Means::Vice(vice) => {
            let vice = &tooling.vices[vice];
            match vice.opens {
                JawsOpen::Sideways => long_enough(tool_mm, cover_mm),
                // Past the bolts nothing hangs over.
                JawsOpen::Unbolted { .. } => long_enough(vice.opens.usable_mm(tool_mm), length_mm),
            }
            if last_rad > vice.swing_rad + SAME_ANGLE_RAD {
                stops.push(Stop::Angle {
                    needs_rad: last_rad,
                    has_rad: vice.swing_rad,
                });
            }
            stops.extend(too_thick(&vice.capacity, stock, t_mm, length_mm / vice.drawn_mm));
        }
        Means::Away => {
            let Some(away) = &tooling.away else { return stops };
            long_enough(away.length_mm, length_mm);
            if last_rad > away.largest_bend_rad + SAME_ANGLE_RAD {
                stops.push(Stop::Angle {
                    needs_rad: last_rad,
                    has_rad: away.largest_bend_rad,
                });
            }
            stops.extend(too_thick(&away.capacity, stock, t_mm, 1.0));
        }
    }
    stops
}

/// What of a bend the tool must cover, mm.
pub(crate) fn cover_mm(practice: &Practice, length_mm: f64, t_mm: f64) -> f64 {
    /// However thick the plate, more than this of a bend lies on the tool.
    const LEAST_SHARE: f64 = 0.6;
    (length_mm - 2.0 * practice.hangs_over_x_t.value * t_mm).max(LEAST_SHARE * length_mm)
}

fn too_thick(capacity: &[Capacity], stock: Option<&Stock>, t_mm: f64, length_share: f64) -> Option<Stop> {
    let most_mm = Capacity::takes_mm(capacity, stock?.family, length_share);
    (t_mm > most_mm).then_some(Stop::Thick { t_mm, most_mm })
}
