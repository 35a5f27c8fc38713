//! Sections of machines and tools: as drawn by corners, as a plain bar, or out of a drawing beside shop.toml.

use brake::tooling::ShapeFault;
use cut::import::{Answer, DrawingUnit, ImportOptions, Imported, WhyAsk, import_dxf};
use plane::{Material, Outline, Point, Vector, Vertex};

use crate::files::Wrong;
use crate::files::keys::bender::MOST_CORNERS;
use crate::files::model::{CornerDef, Name, Place, SectionCorner, SectionDef, SectionShape, Sum, Told};
use crate::stages::outline::{corner_of, corner_wrong, outline_wrong};

use super::{Of, Said};

/// Curves of a drawing become straight within this, mm: under what two solids may touch by.
const FLAT_MM: f64 = 0.05;
/// A section may stand off its 0, 0 or past it by this: drawing accuracy, as the planner takes it.
const SEATED_MM: f64 = 0.01;

/// Where a section lies from its 0, 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Seat {
    /// Touches it and stands over it.
    Over,
    /// Touches it and hangs under it.
    Under,
    /// Hangs under its height, wherever it is.
    Below,
    /// Anywhere.
    Free,
}

impl Said<'_> {
    /// The section as outline about its 0, 0; none where a fault was noted. `high_mm` is for a finger that leans.
    pub(super) fn outline(&mut self, def: &SectionDef, high_mm: Option<f64>) -> Option<Outline> {
        match &def.shape {
            SectionShape::Corners(corners) => self.drawn(corners),
            SectionShape::Block { from, to } => {
                let (from_at, to_at) = (self.point(from)?, self.point(to)?);
                let bar = Outline::rectangle(from_at, to_at);
                let bar = bar.map_err(|_| {
                    Wrong::new(to[0].at.clone(), "this bar has no size")
                        .expected("two corners across from each other: from = [\"-30 mm\", \"0 mm\"], to = [\"30 mm\", \"400 mm\"]")
                });
                self.keep(bar)
            }
            SectionShape::Drawing {
                file,
                unit,
                piece,
                zero,
            } => {
                let drawn = Drawn {
                    file,
                    unit: unit.as_ref(),
                    piece: piece.as_ref(),
                    zero: zero.as_ref(),
                };
                let outline = self.drawing(&drawn);
                let outline = self.keep(outline)?;
                match zero {
                    Some(zero) => {
                        let zero = self.point(zero)?;
                        Some(outline.translated(Point::origin() - zero))
                    }
                    None => Some(outline),
                }
            }
            SectionShape::Leaning { foot, lean } => {
                let foot_mm = self.scope.size_mm(foot, "the foot of the finger");
                let lean_rad = self.scope.angle_rad(lean);
                let (foot_mm, lean_rad) = (self.keep(foot_mm)?, self.keep(lean_rad)?);
                let finger = brake::tooling::LeaningFinger {
                    foot_mm,
                    high_mm: high_mm?,
                    lean_rad,
                };
                self.shape(&lean.at, finger.section())
            }
        }
    }

    /// A section by numbers, or why they make none.
    pub(super) fn shape(&mut self, at: &Place, section: Result<Outline, ShapeFault>) -> Option<Outline> {
        let section = section.map_err(|fault| {
            let expected = match fault {
                ShapeFault::NoseTooRound { .. } => "a blade at least as thick as the nose is wide",
                ShapeFault::TooLow { .. } => "numbers that stand one above the other within the height",
                ShapeFault::LeansTooFar { .. } => {
                    "a front that stands over its foot: a longer foot, or less lean"
                }
                ShapeFault::NoOutline(_) => {
                    "numbers that make a closed section, or its corners under profile"
                }
            };
            Wrong::new(at.clone(), fault.to_string()).expected(expected)
        });
        self.keep(section)
    }

    fn point(&mut self, at: &[Sum; 2]) -> Option<Point> {
        let [x, y] = at.each_ref().map(|sum| self.scope.length_mm(sum));
        let (x, y) = (self.keep(x), self.keep(y));
        Some(Point::new(x?, y?))
    }

    fn drawn(&mut self, corners: &[SectionCorner]) -> Option<Outline> {
        let mut vertices = Vec::new();
        let mut names = Vec::new();
        let mut treated = Vec::new();
        let mut defs: Vec<(Name, CornerDef)> = Vec::new();
        let mut sound = true;
        for (index, corner) in corners.iter().enumerate() {
            vertices.extend(self.point(&corner.at).map(|at| Vertex { at, bulge: 0.0 }));
            let name = Told {
                value: format!("corner {}", index + 1),
                at: corner.at[0].at.clone(),
            };
            if let Some(def) = &corner.corner {
                let corner = corner_of(self.scope, def);
                match self.keep(corner) {
                    Some(corner) => treated.extend(corner.map(|corner| (index, corner))),
                    None => sound = false,
                }
                let (CornerDef::Round(sum) | CornerDef::Chamfer(sum) | CornerDef::Notch(sum)) = def;
                let at = sum.at.clone();
                defs.push((Told { at, ..name.clone() }, def.clone()));
            }
            names.push(name);
        }
        // What is wrong with one is told; what would follow from it is not.
        if vertices.len() < corners.len() || !sound {
            return None;
        }
        let outline = match Outline::new(vertices) {
            Ok(bare) => bare.with_corners(&treated, Material::Inside).map_err(|error| {
                let mut wrong = corner_wrong(&error, &names, &defs);
                // What is pasted goes after the corner's own key.
                wrong.fix = wrong
                    .fix
                    .and_then(|fix| Some(format!("corner ={}", fix.split_once('=')?.1)));
                wrong
            }),
            Err(error) => Err(outline_wrong(&error, &names)),
        };
        self.keep(outline)
    }

    fn drawing(&self, drawn: &Drawn<'_>) -> Result<Outline, Wrong> {
        let Drawn { file, unit, .. } = *drawn;
        let name = &file.value;
        let wrong = |says: String| Wrong::new(file.at.clone(), format!("{name}: {says}"));
        let bytes = match self.drawings.iter().find(|drawing| drawing.name == *name) {
            Some(drawing) => drawing.bytes.as_ref().map_err(|fault| {
                wrong(fault.to_string()).expected(
                    "the name of a DXF drawing in the same folder as shop.toml, or the section's corners",
                )
            })?,
            None => {
                return Err(wrong("there is no such file beside shop.toml".into()).expected(
                    "the name of a DXF drawing in the same folder as shop.toml, or the section's corners",
                ));
            }
        };
        let options = ImportOptions {
            unit: unit.map(|unit| {
                if unit.value == "in" {
                    DrawingUnit::Inch
                } else {
                    DrawingUnit::Millimetre
                }
            }),
            flatten_mm: FLAT_MM,
            ..ImportOptions::default()
        };
        let imported = match import_dxf(bytes, &options) {
            Ok(Answer::Outlines(imported)) => imported,
            Ok(Answer::AskUnits {
                why,
                if_mm,
                if_inch_mm,
            }) => return Err(ask_unit(drawn, why, if_mm, if_inch_mm)),
            Err(error) => {
                return Err(wrong(error.to_string()).expected(
                    "a DXF drawing with the section as a closed outline, or the section's corners",
                ));
            }
        };
        let outline = piece_of(drawn, &imported)?;
        if outline.len() > MOST_CORNERS {
            return Err(
                wrong(format!("this section has {} corners", outline.len())).expected(format!(
                    "at most {MOST_CORNERS}: draw its curves as arcs rather than short lines"
                )),
            );
        }
        Ok(outline)
    }

    /// Held to where it must lie from its 0, 0.
    pub(super) fn seated(
        &mut self,
        of: &Of,
        key: &str,
        def: &SectionDef,
        outline: Outline,
        seat: Seat,
    ) -> Option<Outline> {
        let (low, high) = outline.bounds();
        let off_mm = outline.distance_to(Point::origin()).0;
        let past_mm = match seat {
            Seat::Over => -low.y,
            Seat::Under | Seat::Below => high.y,
            Seat::Free => 0.0,
        };
        let touches = matches!(seat, Seat::Over | Seat::Under);
        let says = if touches && off_mm > SEATED_MM {
            format!(
                "\"{key}\" of {} stands {} off its 0, 0",
                of.called,
                units::both(off_mm)
            )
        } else if past_mm > SEATED_MM {
            let side = if seat == Seat::Over { "under" } else { "over" };
            format!(
                "\"{key}\" of {} reaches {} {side} its 0, 0",
                of.called,
                units::both(past_mm)
            )
        } else {
            return Some(outline);
        };
        let meant = of.key(key).map_or("", |key| key.says);
        // The end toward 0, 0 is most likely meant.
        let end_mm = if seat == Seat::Over { low.y } else { high.y };
        let end = Point::new(at_height(&outline, end_mm), end_mm);
        let upside_down = match seat {
            Seat::Over => high.y <= SEATED_MM,
            Seat::Under | Seat::Below => low.y >= -SEATED_MM,
            Seat::Free => false,
        };
        let mend = match &def.shape {
            _ if upside_down => {
                "it stands upside down: take the other sign of the second number of every corner".to_owned()
            }
            SectionShape::Drawing {
                file,
                unit,
                piece,
                zero,
            } => {
                // In the drawing's own axes.
                let before = match zero {
                    Some(zero) => self.point(zero)?,
                    None => Point::origin(),
                };
                let end = end + before.coords;
                let drawn = Drawn {
                    file,
                    unit: unit.as_ref(),
                    piece: piece.as_ref(),
                    zero: None,
                };
                let zero = format!("[\"{:.2} mm\", \"{:.2} mm\"]", end.x, end.y);
                format!(
                    "the end of it in the drawing is at {:.2}, {:.2} mm: {}",
                    end.x,
                    end.y,
                    drawn.pasted(&[("zero", zero)])
                )
            }
            _ => format!(
                "the end of it is at {:.2}, {:.2} mm: take that from every corner",
                end.x, end.y
            ),
        };
        self.wrongs
            .push(Wrong::new(def.at.clone(), says).expected(format!("{meant}; {mend}")));
        None
    }
}

/// The middle of what an outline has at a height.
fn at_height(outline: &Outline, y_mm: f64) -> f64 {
    let chords = outline
        .vertices()
        .iter()
        .filter(|vertex| (vertex.at.y - y_mm).abs() < SEATED_MM);
    let (low, high) = chords.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), vertex| {
        (low.min(vertex.at.x), high.max(vertex.at.x))
    });
    if low.is_finite() {
        f64::midpoint(low, high)
    } else {
        let (low, high) = outline.bounds();
        f64::midpoint(low.x, high.x)
    }
}

/// A section out of a drawing, as it is told.
#[derive(Debug, Clone, Copy)]
struct Drawn<'a> {
    file: &'a Name,
    unit: Option<&'a Name>,
    piece: Option<&'a Told<f64>>,
    zero: Option<&'a [Sum; 2]>,
}

impl Drawn<'_> {
    /// The same with keys more, to paste in its place: nothing that was told is lost by it.
    fn pasted(&self, more: &[(&str, String)]) -> String {
        let told = [
            ("units", self.unit.map(|unit| format!("\"{}\"", unit.value))),
            ("piece", self.piece.map(|piece| piece.value.to_string())),
            (
                "zero",
                self.zero
                    .map(|[x, y]| format!("[\"{}\", \"{}\"]", x.value.text(), y.value.text())),
            ),
        ];
        let mut out = format!("{{ dxf = \"{}\"", self.file.value);
        for (key, was) in told {
            let new = more
                .iter()
                .find(|(name, _)| *name == key)
                .map(|(_, value)| value.clone());
            if let Some(value) = new.or(was) {
                out.push_str(&format!(", {key} = {value}"));
            }
        }
        out.push_str(" }");
        out
    }
}

fn ask_unit(drawn: &Drawn<'_>, why: WhyAsk, if_mm: [f64; 2], if_inch_mm: [f64; 2]) -> Wrong {
    let file = drawn.file;
    let says = match why {
        WhyAsk::Silent => format!("{} does not say its unit", file.value),
        WhyAsk::Implausible { .. } => {
            format!(
                "the unit that {} says makes a section of no likely size",
                file.value
            )
        }
    };
    let size = |[w, h]: [f64; 2]| format!("{} by {}", units::both(w), units::both(h));
    Wrong::new(file.at.clone(), says)
        .expected(format!(
            "units = \"mm\" for a section of {}, or units = \"in\" for one of {}",
            size(if_mm),
            size(if_inch_mm)
        ))
        .fix(drawn.pasted(&[("units", "\"mm\"".into())]))
}

/// The closed shape that is asked for; the only one where none is. Holes in it are taken for full: the section is never
/// less than the tool.
fn piece_of(drawn: &Drawn<'_>, imported: &Imported) -> Result<Outline, Wrong> {
    let Drawn { file, piece, .. } = *drawn;
    let pieces = imported.regions.len();
    let index = match piece {
        Some(told) => {
            let index = told.value - 1.0;
            if !(index >= 0.0 && index < pieces as f64) {
                let says = format!(
                    "{} has {pieces} closed shape(s), and no number {}",
                    file.value, told.value
                );
                return Err(Wrong::new(told.at.clone(), says).expected(format!("1 to {pieces}")));
            }
            index as usize
        }
        None if pieces > 1 => {
            return Err(Wrong::new(
                file.at.clone(),
                format!("{} has {pieces} closed shapes", file.value),
            )
            .expected("which of them the section is, the largest being 1")
            .fix(drawn.pasted(&[("piece", "1".into())])));
        }
        None => 0,
    };
    Ok(imported.regions[index].outer.simplified())
}

/// The opening of a V that a die is drawn with: where its flanks would meet the top, were its shoulders sharp, mm; none where it is
/// drawn without one. `angle_rad` and `shoulder_mm` are of the V.
pub(super) fn drawn_opening_mm(outline: &Outline, angle_rad: f64, shoulder_mm: f64) -> Option<f64> {
    /// So far under the round of the shoulders that the flanks are straight there.
    const UNDER_MM: f64 = 0.1;
    let seated = outline.bounds().1.y.abs() <= SEATED_MM;
    if !seated || outline.contains(Point::origin()) || outline.distance_to(Point::origin()).0 <= SEATED_MM {
        return None;
    }
    let half_rad = angle_rad / 2.0;
    // A round of radius r between the top and a flank that leans by half the angle ends r (1 - sin) under the top.
    let deep_mm = shoulder_mm * (1.0 - half_rad.sin()) + UNDER_MM;
    let walls = outline.chords_along(Point::new(0.0, -deep_mm), Vector::x());
    let ends = walls.iter().flat_map(|(a, b)| [a.x, b.x]);
    let (left, right) = ends.fold((f64::NEG_INFINITY, f64::INFINITY), |(left, right), x| {
        if x <= 0.0 {
            (left.max(x), right)
        } else {
            (left, right.min(x))
        }
    });
    let wide_mm = right - left;
    wide_mm
        .is_finite()
        .then(|| wide_mm + 2.0 * deep_mm * half_rad.tan())
}

/// The die's section without its V: filled where it was drawn with it.
pub(super) fn without_vee(outline: &Outline, opening_mm: f64, shoulder_mm: f64) -> Outline {
    if outline.distance_to(Point::origin()).0 <= SEATED_MM {
        return outline.clone();
    }
    /// The wedge goes so far into the walls, so that no sliver is left between.
    const INTO_MM: f64 = 0.5;
    let (low, high) = outline.bounds();
    if high.y.abs() > SEATED_MM || outline.contains(Point::origin()) {
        return outline.clone();
    }
    let half_mm = opening_mm / 2.0 + shoulder_mm;
    // The bottom of the V: the highest material under the middle.
    let chords = outline.chords_along(Point::origin(), Vector::y());
    let floor_mm = chords
        .iter()
        .flat_map(|(a, b)| [a.y, b.y])
        .filter(|y| *y < -SEATED_MM)
        .fold(f64::NEG_INFINITY, f64::max);
    let floor_mm = if floor_mm.is_finite() { floor_mm } else { low.y };
    let wedge = [
        Point::new(-half_mm, 0.0),
        Point::new(-INTO_MM, (floor_mm - INTO_MM).max(low.y)),
        Point::new(INTO_MM, (floor_mm - INTO_MM).max(low.y)),
        Point::new(half_mm, 0.0),
    ];
    let filled = Outline::polygon(&wedge).ok().and_then(|wedge| {
        let die = plane::Region::solid(outline.oriented(true));
        let filled = die.union(&plane::Region::solid(wedge)).ok()?;
        match filled.as_slice() {
            [one] => Some(one.outer.clone()),
            _ => None,
        }
    });
    filled.unwrap_or_else(|| outline.clone())
}
