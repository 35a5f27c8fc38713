//! A job from a drawing: a customer's DXF, or an older one of the shop's own.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use cut::import::{Answer, DrawingUnit, ImportError, ImportOptions, Note, WhyAsk, import_dxf};
use plane::{Outline, Point, Region, Segment};

use super::{StartError, quoted, shop_text, write_all};

/// A drawing to be made into a job.
#[derive(Debug, Clone, PartialEq)]
pub struct AskedDrawing {
    /// What the part is called.
    pub title: String,
    /// The unit of its numbers: `Some(true)` for inches; the file's own when none.
    pub inch: Option<bool>,
    /// Which of its pieces, the largest being 1.
    pub piece: usize,
    /// The plate.
    pub stock: String,
}

/// Why a drawing became no job.
#[derive(Debug, thiserror::Error)]
pub enum DrawingError {
    /// It cannot be read as outlines.
    #[error(transparent)]
    Import(#[from] ImportError),
    /// The unit must be said first.
    #[error("{0}")]
    AskUnits(String),
    /// It has fewer pieces.
    #[error("the drawing has {pieces} piece{}, and no piece {asked}", if *.pieces == 1 { "" } else { "s" })]
    NoSuchPiece {
        /// Which was asked for.
        asked: usize,
        /// How many there are.
        pieces: usize,
    },
    /// More corners than a design holds.
    #[error(
        "this piece has {corners} corners, and a design holds {most}; draw its curves as arcs rather than short lines"
    )]
    TooManyCorners {
        /// How many.
        corners: usize,
        /// The most.
        most: usize,
    },
    /// The job could not be written.
    #[error(transparent)]
    Start(#[from] StartError),
}

/// A job from a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct FromDrawing {
    /// Written.
    pub written: Vec<PathBuf>,
    /// What was mended, left out or taken, one sentence each.
    pub says: Vec<String>,
}

/// A design holds so many points.
const MOST_POINTS: usize = crate::files::MOST_POINTS;
/// Curves of windows become straight edges within this, mm: half of what a caliper shows on a cut edge.
const WINDOW_FLAT_MM: f64 = 0.02;
/// Two edges are of one width, and an arc is half a turn, within this, mm.
const SAME_MM: f64 = 1e-3;
/// A line whose ends are this near the outside edge may be a crease, mm.
const NEAR_EDGE_MM: f64 = 1.0;

/// Writes a new job from the bytes of a DXF into a new folder: its outside edge, holes, slots and windows. Straight lines from
/// edge to edge are offered as creases.
///
/// # Errors
/// [`DrawingError`]; then nothing was written.
pub fn start_from_drawing(
    folder: &Path,
    bytes: &[u8],
    asked: &AskedDrawing,
) -> Result<FromDrawing, DrawingError> {
    let unit = asked.inch.map(|inch| {
        if inch {
            DrawingUnit::Inch
        } else {
            DrawingUnit::Millimetre
        }
    });
    let options = ImportOptions {
        unit,
        ..ImportOptions::default()
    };
    let imported = match import_dxf(bytes, &options)? {
        Answer::Outlines(imported) => imported,
        Answer::AskUnits {
            why,
            if_mm,
            if_inch_mm,
        } => return Err(DrawingError::AskUnits(ask_words(&why, if_mm, if_inch_mm))),
    };
    let pieces = imported.regions.len();
    let region = asked
        .piece
        .checked_sub(1)
        .and_then(|piece| imported.regions.get(piece))
        .ok_or(DrawingError::NoSuchPiece {
            asked: asked.piece,
            pieces,
        })?;
    let creases = creases(&imported.notes, region);
    let mut says: Vec<String> = imported
        .notes
        .iter()
        .filter(|note| !is_crease(note, &creases))
        .map(ToString::to_string)
        .collect();
    if pieces > 1 {
        says.push(format!(
            "the drawing has {pieces} pieces; this is number {}, the largest being 1",
            asked.piece
        ));
    }
    let inch = imported.unit == DrawingUnit::Inch;
    let design = Design::of(region, &creases, inch, &mut says)?.text(asked, inch);
    if !creases.is_empty() {
        says.push(format!(
            "{} from edge to edge: if it is a crease, take the # away before its bend in design.toml and say the angle",
            if creases.len() == 1 {
                "a line runs".to_owned()
            } else {
                format!("{} lines run", creases.len())
            }
        ));
    }
    let shop = shop_text(inch, &asked.stock);
    let written = write_all(folder, &[("design.toml", design), ("shop.toml", shop)])?;
    Ok(FromDrawing { written, says })
}

fn ask_words(why: &WhyAsk, if_mm: [f64; 2], if_inch_mm: [f64; 2]) -> String {
    let why = match why {
        WhyAsk::Silent => "the drawing does not say its unit".to_owned(),
        WhyAsk::Implausible { unit } => format!(
            "the drawing says its unit is the {}, which makes a part of no likely size",
            match unit {
                DrawingUnit::Inch => "inch",
                DrawingUnit::Millimetre => "millimetre",
                _ => "one that it names",
            }
        ),
    };
    let size = |[w, h]: [f64; 2]| format!("{} by {}", units::both(w), units::both(h));
    format!(
        "{why}. Say --drawing-units mm for {}, or --drawing-units in for {}",
        size(if_mm),
        size(if_inch_mm)
    )
}

/// Straight lines left open whose ends lie at the outside edge.
fn creases(notes: &[Note], region: &Region) -> Vec<[Point; 2]> {
    let near = |at: &Point| region.outer.distance_to(*at).0 <= NEAR_EDGE_MM;
    notes
        .iter()
        .filter_map(|note| match note {
            Note::LeftOpen {
                from, to, length_mm, ..
            } if ((to - from).norm() - length_mm).abs() <= SAME_MM && near(from) && near(to) => {
                Some([*from, *to])
            }
            _ => None,
        })
        .collect()
}

fn is_crease(note: &Note, creases: &[[Point; 2]]) -> bool {
    matches!(note, Note::LeftOpen { from, to, .. } if creases.contains(&[*from, *to]))
}

/// The tables of a design as they grow.
#[derive(Default)]
struct Design {
    points: String,
    count: usize,
    inch: bool,
    outline: String,
    openings: String,
    bends: String,
}

impl Design {
    fn of(
        region: &Region,
        creases: &[[Point; 2]],
        inch: bool,
        says: &mut Vec<String>,
    ) -> Result<Design, DrawingError> {
        let mut design = Design {
            inch,
            ..Design::default()
        };
        let (low, _) = region.bounds();
        let moved = nalgebra::Isometry2::new(-low.coords, 0.0);
        let region = region.transformed(&moved);
        design.outline(&region.outer);
        let mut flattened = 0;
        for (index, hole) in region.holes.iter().enumerate() {
            flattened += usize::from(design.opening(index + 1, hole));
        }
        if flattened > 0 {
            says.push(format!(
                "{flattened} window{} with curved edges became straight edges within {WINDOW_FLAT_MM} mm",
                if flattened == 1 { "" } else { "s" }
            ));
        }
        for (index, [from, to]) in creases.iter().enumerate() {
            let [from, to] = [design.point("L", moved * from), design.point("M", moved * to)];
            let _ = writeln!(
                design.bends,
                "\n# [bends.b{}]\n# line = [\"{from}\", \"{to}\"]\n# bent = \"90 deg\"\n# way  = \"up\"",
                index + 1
            );
        }
        if design.count > MOST_POINTS {
            return Err(DrawingError::TooManyCorners {
                corners: design.count,
                most: MOST_POINTS,
            });
        }
        Ok(design)
    }

    fn length(&self, mm: f64) -> String {
        // To a nanometre: far under any drawing, and no arc is broken by it.
        let value = if self.inch { mm / units::MM_PER_INCH } else { mm };
        let text = format!("{value:.6}");
        let tidy = text.trim_end_matches('0').trim_end_matches('.');
        if tidy == "-0" { "0".into() } else { tidy.to_owned() }
    }

    fn point(&mut self, letter: &str, at: Point) -> String {
        self.count += 1;
        let name = format!("{letter}{}", self.count);
        let (x, y) = (self.length(at.x), self.length(at.y));
        let _ = writeln!(self.points, "{name} = [\"{x}\", \"{y}\"]");
        name
    }

    fn outline(&mut self, outline: &Outline) {
        let edges: Vec<Segment> = outline.segments().collect();
        let names: Vec<String> = edges.iter().map(|edge| self.point("P", edge.from())).collect();
        let list: Vec<String> = names.iter().map(|name| format!("\"{name}\"")).collect();
        let _ = writeln!(self.outline, "through = [{}]", list.join(", "));
        let mut arcs = String::new();
        for (index, edge) in edges.iter().enumerate() {
            if matches!(edge, Segment::Arc { .. }) {
                let via = self.point("V", edge.point_at(0.5));
                let _ = writeln!(
                    arcs,
                    "\"{}-{}\" = {{ via = \"{via}\" }}",
                    names[index],
                    names[(index + 1) % names.len()]
                );
            }
        }
        if !arcs.is_empty() {
            let _ = write!(self.outline, "\n[outline.arcs]\n{arcs}");
        }
    }

    /// One opening; says whether its curves became straight.
    fn opening(&mut self, number: usize, hole: &Outline) -> bool {
        if let Some((centre, dia_mm)) = hole.as_circle() {
            let at = self.point("H", centre);
            let dia = self.length(dia_mm);
            let _ = writeln!(
                self.openings,
                "\n[holes.h{number}]\nat  = \"{at}\"\ndia = \"{dia}\""
            );
            return false;
        }
        if let Some((from, to, width_mm)) = slot(hole) {
            let (from, to) = (self.point("S", from), self.point("S", to));
            let width = self.length(width_mm);
            let _ = writeln!(
                self.openings,
                "\n[slots.s{number}]\nfrom  = \"{from}\"\nto    = \"{to}\"\nwidth = \"{width}\""
            );
            return false;
        }
        let curved = hole.segments().any(|edge| matches!(edge, Segment::Arc { .. }));
        let corners = if curved {
            hole.flattened(WINDOW_FLAT_MM)
        } else {
            hole.segments().map(|edge| edge.from()).collect()
        };
        let names: Vec<String> = corners
            .into_iter()
            .map(|at| format!("\"{}\"", self.point("W", at)))
            .collect();
        let _ = writeln!(
            self.openings,
            "\n[windows.w{number}]\ninside = [{}]",
            names.join(", ")
        );
        curved
    }

    fn text(&self, asked: &AskedDrawing, inch: bool) -> String {
        format!(
            "# From a drawing. Every key is explained in docs/files.md; `gusset check` says what is wrong and what to write.\n\n\
             gusset = 1\ntitle  = {}\nunits  = \"{}\"          # of a number without a unit\n\n[plate]\nstock = {}\n\n\
             [survey]\nwith = \"exact\"          # a drawing is meant, not measured\n\n[points]               # across, up\n{}\n[outline]\n{}{}{}",
            quoted(&asked.title),
            if inch { "in" } else { "mm" },
            quoted(&asked.stock),
            self.points,
            self.outline,
            self.openings,
            self.bends
        )
    }
}

/// The centres of the ends and the width, when this is a slot with round ends.
fn slot(hole: &Outline) -> Option<(Point, Point, f64)> {
    let edges: Vec<Segment> = hole.segments().collect();
    let ends: Vec<(Point, f64)> = edges
        .iter()
        .filter_map(|edge| match edge {
            Segment::Arc {
                centre,
                radius_mm,
                sweep_rad,
                ..
            } if (sweep_rad.abs() - std::f64::consts::PI).abs() * radius_mm <= SAME_MM => {
                Some((*centre, *radius_mm))
            }
            _ => None,
        })
        .collect();
    let [(from, one_mm), (to, other_mm)] = ends[..] else {
        return None;
    };
    (edges.len() == 4 && (one_mm - other_mm).abs() <= SAME_MM).then_some((from, to, one_mm + other_mm))
}
