//! Nothing is said to be written before it has been read back and compared with the part.

use plane::Point;
use sheet::{OpeningShape, Part};

use super::drawing::{Drawing, Layer};
use super::parse::DxfReadError;
use super::read::{ReadBack, read_dxf};
use super::write::{DxfOptions, DxfUnit, DxfVersion, write_dxf};

/// Hole centres, diameters and ends of bend lines in the file may differ from the part's by this much: far over the
/// rounding of a metre in inches and back, far under any cutter.
const SAME_PLACE_MM: f64 = 1e-6;
/// The area in the file may differ from the part's by this share.
const SAME_AREA_SHARE: f64 = 1e-6;

/// A DXF text that has been read back and found to say what the part says.
#[derive(Debug, Clone, PartialEq)]
pub struct VerifiedDxf {
    text: String,
    area_mm2: f64,
    read_back: ReadBack,
}

impl VerifiedDxf {
    /// The text of the file.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The area of the plate as read back, mm2.
    pub fn area_mm2(&self) -> f64 {
        self.area_mm2
    }

    /// The drawing as read back, in the file's unit.
    pub fn read_back(&self) -> &ReadBack {
        &self.read_back
    }
}

/// How the text differs from the part.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DxfMismatch {
    /// It cannot be read.
    #[error("the written drawing cannot be read back: {0}")]
    Unreadable(#[from] DxfReadError),
    /// It states another form or unit than was asked for.
    #[error("the written drawing states {version:?} and the unit {unit:?}, not what was asked for")]
    OtherForm {
        /// Form read.
        version: DxfVersion,
        /// Unit read.
        unit: Option<DxfUnit>,
    },
    /// It has another number of something than the part has.
    #[error("the written drawing has {found} on layer {}, the part has {wanted}", layer.name())]
    Count {
        /// The layer.
        layer: Layer,
        /// How many entities are read there.
        found: usize,
        /// How many the part has.
        wanted: usize,
    },
    /// An outline does not close.
    #[error("an outline of the written drawing does not close, at ({}, {}) mm", at.x, at.y)]
    Open {
        /// Its first corner.
        at: Point,
    },
    /// The area differs.
    #[error("the written drawing has an area of {found_mm2} mm2, the part has {wanted_mm2} mm2")]
    Area {
        /// Area read.
        found_mm2: f64,
        /// Area of the part's blank.
        wanted_mm2: f64,
    },
    /// A round hole of the part is not there.
    #[error("hole {name} at ({}, {}) mm, {dia_mm} mm in diameter, is not in the written drawing", at.x, at.y)]
    Hole {
        /// Its name.
        name: String,
        /// Its centre on the blank.
        at: Point,
        /// Its diameter.
        dia_mm: f64,
    },
    /// A bend of the part has no line.
    #[error("bend {name} has no line from ({}, {}) to ({}, {}) mm in the written drawing", from.x, from.y, to.x, to.y)]
    BendLine {
        /// Its name.
        name: String,
        /// One end of the line that is missing.
        from: Point,
        /// The other.
        to: Point,
    },
}

/// The part's blank as a DXF text that has been read back: closed outlines, the same area, the same round holes, the
/// same bend lines.
///
/// # Errors
/// [`DxfMismatch`] when what is read back differs from the part: a fault of this program, not of the user.
pub fn written_and_read_back(part: &Part, options: DxfOptions) -> Result<VerifiedDxf, DxfMismatch> {
    let drawing = Drawing::of_part(part);
    let text = write_dxf(&drawing, options);
    let read_back = read_dxf(&text)?;
    let area_mm2 = compare(&read_back, part, options)?;
    Ok(VerifiedDxf {
        text,
        area_mm2,
        read_back,
    })
}

/// The plate's area as read, when everything else agrees too.
fn compare(read: &ReadBack, part: &Part, options: DxfOptions) -> Result<f64, DxfMismatch> {
    let unit_stated = (options.version == DxfVersion::R2000).then_some(options.unit);
    if (read.version, read.unit) != (options.version, unit_stated) {
        return Err(DxfMismatch::OtherForm {
            version: read.version,
            unit: read.unit,
        });
    }
    let mm = options.unit.in_mm();
    compare_counts(read, part)?;
    if let Some(open) = read.loops.iter().find(|outline| !outline.closed) {
        let at = open.corners.first().map_or(Point::origin(), |(at, _)| at * mm);
        return Err(DxfMismatch::Open { at });
    }
    let holes_mm2: f64 = read
        .circles
        .iter()
        .map(|circle| std::f64::consts::PI * (circle.radius * mm).powi(2))
        .chain(
            read.loops
                .iter()
                .filter(|outline| outline.layer == Layer::Openings.name())
                .map(|opening| opening.area().abs() * mm * mm),
        )
        .sum();
    let outer_mm2: f64 = read
        .loops
        .iter()
        .filter(|outline| outline.layer == Layer::Outline.name())
        .map(|outline| outline.area() * mm * mm)
        .sum();
    let (found_mm2, wanted_mm2) = (outer_mm2 - holes_mm2, part.blank.region.area_mm2());
    // Written so that an area that is no number fails too.
    if (found_mm2 - wanted_mm2).abs() <= SAME_AREA_SHARE * wanted_mm2.abs() {
        compare_holes(read, part, mm)?;
        compare_bend_lines(read, part, mm)?;
        Ok(found_mm2)
    } else {
        Err(DxfMismatch::Area {
            found_mm2,
            wanted_mm2,
        })
    }
}

fn compare_counts(read: &ReadBack, part: &Part) -> Result<(), DxfMismatch> {
    let loops_on = |layer: Layer| {
        read.loops
            .iter()
            .filter(|outline| outline.layer == layer.name())
            .count()
    };
    let openings = loops_on(Layer::Openings) + read.circles.len();
    for (layer, found, wanted) in [
        (Layer::Outline, loops_on(Layer::Outline), 1),
        (Layer::Openings, openings, part.blank.region.holes.len()),
        (Layer::DrillCentres, read.points.len(), read.circles.len()),
    ] {
        if found != wanted {
            return Err(DxfMismatch::Count { layer, found, wanted });
        }
    }
    Ok(())
}

fn compare_holes(read: &ReadBack, part: &Part, mm: f64) -> Result<(), DxfMismatch> {
    for (opening, on_blank) in part.openings.iter().zip(&part.blank.openings) {
        let Some(OpeningShape::Round { at, dia_mm }) = *on_blank else {
            continue;
        };
        let there = read.circles.iter().any(|circle| {
            (circle.centre * mm - at).norm() <= SAME_PLACE_MM
                && (2.0 * circle.radius * mm - dia_mm).abs() <= SAME_PLACE_MM
        });
        if !there {
            return Err(DxfMismatch::Hole {
                name: opening.name.clone(),
                at,
                dia_mm,
            });
        }
    }
    Ok(())
}

fn compare_bend_lines(read: &ReadBack, part: &Part, mm: f64) -> Result<(), DxfMismatch> {
    for bend in &part.bends {
        let layer = match bend.way {
            sheet::Way::Up => Layer::BendUp,
            sheet::Way::Down => Layer::BendDown,
        };
        for strip in &bend.strips {
            let [from, to] =
                [0, 1].map(|i| Point::from((strip.fixed[i].coords + strip.moving[i].coords) / 2.0));
            let there = read
                .lines
                .iter()
                .filter(|line| line.layer == layer.name())
                .any(|line| {
                    (line.from * mm - from).norm() <= SAME_PLACE_MM
                        && (line.to * mm - to).norm() <= SAME_PLACE_MM
                });
            if !there {
                return Err(DxfMismatch::BendLine {
                    name: bend.name.clone(),
                    from,
                    to,
                });
            }
        }
    }
    Ok(())
}
