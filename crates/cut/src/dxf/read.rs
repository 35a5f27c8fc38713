//! A reader of the flat drawings that are written here (and of plain ones from elsewhere): loops, circles, lines, words
//! and points with their layers. It shares nothing with the writer and never panics.

use std::collections::BTreeSet;

use plane::Point;

use super::bulge::{radius_of_bulge, sweep_of_bulge};
use super::parse::{DxfReadError, pairs};
use super::write::{DxfUnit, DxfVersion};
use crate::grain::{GrainError, Pair};

/// A drawing as read. Lengths are in the file's own unit.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadBack {
    /// Form of the format.
    pub version: DxfVersion,
    /// The unit that the file states; none when it states none (R12 cannot).
    pub unit: Option<DxfUnit>,
    /// Lower left and upper right as the header states them.
    pub extent: Option<[Point; 2]>,
    /// Names of the layers in the layer table.
    pub layers: BTreeSet<String>,
    /// Polylines of either kind.
    pub loops: Vec<ReadLoop>,
    /// Circles.
    pub circles: Vec<ReadCircle>,
    /// Lines.
    pub lines: Vec<ReadLine>,
    /// Words.
    pub words: Vec<ReadWords>,
    /// Points, with their layers.
    pub points: Vec<(String, Point)>,
    /// Kinds of entity that are there and were not read, in order of name.
    pub not_read: BTreeSet<String>,
}

/// A polyline as read.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadLoop {
    /// Its layer.
    pub layer: String,
    /// Whether the last corner joins the first.
    pub closed: bool,
    /// Corners with their bulges.
    pub corners: Vec<(Point, f64)>,
}

/// A circle as read.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadCircle {
    /// Its layer.
    pub layer: String,
    /// Its centre.
    pub centre: Point,
    /// Its radius.
    pub radius: f64,
}

/// A line as read.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadLine {
    /// Its layer.
    pub layer: String,
    /// Start.
    pub from: Point,
    /// End.
    pub to: Point,
}

/// Words as read.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadWords {
    /// Their layer.
    pub layer: String,
    /// Where they start.
    pub at: Point,
    /// Height of a capital.
    pub height: f64,
    /// The words, codes turned back into characters.
    pub text: String,
}

impl ReadLoop {
    /// The area inside, in square units of the file, positive counter-clockwise. The last corner is joined to the first.
    ///
    /// Half the sum of cross products of the corners, and r^2 (A - sin A) / 2 between each arc and its chord.
    pub fn area(&self) -> f64 {
        let Some(&(origin, _)) = self.corners.first() else {
            return 0.0;
        };
        let mut twice = 0.0;
        for (i, &(from, bulge)) in self.corners.iter().enumerate() {
            let (to, _) = self.corners[(i + 1) % self.corners.len()];
            // From the first corner, so that a small loop far from the origin keeps its digits.
            twice += (from - origin).perp(&(to - origin));
            if bulge != 0.0 {
                let radius = radius_of_bulge(bulge, (to - from).norm());
                let sweep = sweep_of_bulge(bulge);
                twice += radius * radius * (sweep - sweep.sin());
            }
        }
        twice / 2.0
    }
}

/// Reads a flat drawing in R2000 or R12.
///
/// # Errors
/// [`DxfReadError`] with the line, when the text is no such drawing.
pub fn read_dxf(text: &str) -> Result<ReadBack, DxfReadError> {
    let pairs = pairs(text)?;
    let mut reading = Reading::default();
    let mut rest = pairs.as_slice();
    while let Some((start, after)) = rest.split_first() {
        if (start.code, start.value) != (0, "SECTION") {
            return Err(start.out_of_place().into());
        }
        let length = after
            .iter()
            .position(|pair| (pair.code, pair.value) == (0, "ENDSEC"))
            .ok_or_else(|| start.out_of_place())?;
        let name = after
            .first()
            .filter(|pair| pair.code == 2)
            .ok_or_else(|| start.out_of_place())?;
        let body = after.get(1..length).unwrap_or(&[]);
        match name.value {
            "HEADER" => reading.header(body)?,
            "TABLES" => reading.layers(body),
            "ENTITIES" => reading.entities(body)?,
            _ => {}
        }
        rest = &after[length + 1..];
    }
    reading.finish()
}

#[derive(Default)]
struct Reading {
    version: Option<String>,
    unit: Option<DxfUnit>,
    low: Option<Point>,
    high: Option<Point>,
    layers: BTreeSet<String>,
    loops: Vec<ReadLoop>,
    circles: Vec<ReadCircle>,
    lines: Vec<ReadLine>,
    words: Vec<ReadWords>,
    points: Vec<(String, Point)>,
    not_read: BTreeSet<String>,
    /// The polyline whose corners are being read.
    open: Option<ReadLoop>,
}

/// One entity: its first pair and the pairs that describe it.
struct Entity<'a> {
    start: Pair<'a>,
    body: &'a [Pair<'a>],
}

impl<'a> Entity<'a> {
    fn find(&self, code: i32) -> Option<&'a Pair<'a>> {
        self.body.iter().find(|pair| pair.code == code)
    }

    fn need(&self, code: i32) -> Result<&'a Pair<'a>, DxfReadError> {
        self.find(code).ok_or_else(|| DxfReadError::Missing {
            line: self.start.line,
            entity: self.start.value.to_owned(),
            code,
        })
    }

    fn layer(&self) -> Result<String, DxfReadError> {
        Ok(self.need(8)?.value.to_owned())
    }

    fn place(&self, code: i32) -> Result<Point, DxfReadError> {
        Ok(Point::new(
            self.need(code)?.number()?,
            self.need(code + 10)?.number()?,
        ))
    }

    fn flags(&self) -> Result<i64, GrainError> {
        self.find(70).map_or(Ok(0), Pair::whole)
    }
}

/// Cuts a section into entities at its groups of code 0.
fn entities_of<'a>(body: &'a [Pair<'a>]) -> impl Iterator<Item = Entity<'a>> {
    let starts: Vec<usize> = (0..body.len()).filter(|&i| body[i].code == 0).collect();
    let ends: Vec<usize> = starts.iter().skip(1).copied().chain([body.len()]).collect();
    starts.into_iter().zip(ends).map(|(start, end)| Entity {
        start: body[start],
        body: &body[start + 1..end],
    })
}

impl Reading {
    fn header(&mut self, body: &[Pair]) -> Result<(), DxfReadError> {
        for (i, name) in body.iter().enumerate().filter(|(_, pair)| pair.code == 9) {
            let values = body.get(i + 1..).unwrap_or(&[]);
            let Some(first) = values.first() else { continue };
            match name.value {
                "$ACADVER" => self.version = Some(first.value.to_owned()),
                "$INSUNITS" => {
                    let code = first.whole()?;
                    self.unit = [DxfUnit::Millimetre, DxfUnit::Inch]
                        .into_iter()
                        .find(|unit| unit.code() == code);
                }
                "$EXTMIN" => self.low = corner(values)?,
                "$EXTMAX" => self.high = corner(values)?,
                _ => {}
            }
        }
        Ok(())
    }

    fn layers(&mut self, body: &[Pair]) {
        self.layers.extend(
            entities_of(body)
                .filter(|row| row.start.value == "LAYER")
                .filter_map(|row| row.find(2))
                .map(|name| name.value.to_owned()),
        );
    }

    fn entities(&mut self, body: &[Pair]) -> Result<(), DxfReadError> {
        for entity in entities_of(body) {
            self.entity(&entity)?;
        }
        match body.last() {
            Some(last) if self.open.is_some() => Err(GrainError::EndsEarly { line: last.line }.into()),
            _ => Ok(()),
        }
    }

    fn entity(&mut self, entity: &Entity) -> Result<(), DxfReadError> {
        let within_polyline = matches!(entity.start.value, "VERTEX" | "SEQEND");
        if within_polyline != self.open.is_some() {
            return Err(entity.start.out_of_place().into());
        }
        match entity.start.value {
            "LWPOLYLINE" => self.loops.push(light_polyline(entity)?),
            "POLYLINE" => {
                self.open = Some(ReadLoop {
                    layer: entity.layer()?,
                    closed: entity.flags()? & 1 == 1,
                    corners: Vec::new(),
                });
            }
            "VERTEX" => {
                let corner = (entity.place(10)?, entity.find(42).map_or(Ok(0.0), Pair::number)?);
                if let Some(open) = &mut self.open {
                    open.corners.push(corner);
                }
            }
            "SEQEND" => self.loops.extend(self.open.take()),
            "CIRCLE" => self.circles.push(ReadCircle {
                layer: entity.layer()?,
                centre: entity.place(10)?,
                radius: entity.need(40)?.number()?,
            }),
            "LINE" => self.lines.push(ReadLine {
                layer: entity.layer()?,
                from: entity.place(10)?,
                to: entity.place(11)?,
            }),
            "TEXT" => self.words.push(ReadWords {
                layer: entity.layer()?,
                at: entity.place(10)?,
                height: entity.need(40)?.number()?,
                text: unescaped(entity.need(1)?.value),
            }),
            "POINT" => self.points.push((entity.layer()?, entity.place(10)?)),
            other => {
                self.not_read.insert(other.to_owned());
            }
        }
        Ok(())
    }

    fn finish(self) -> Result<ReadBack, DxfReadError> {
        let version = match self.version.as_deref() {
            Some("AC1015") => DxfVersion::R2000,
            Some("AC1009") => DxfVersion::R12,
            other => {
                return Err(DxfReadError::Version {
                    found: other.unwrap_or_default().to_owned(),
                });
            }
        };
        Ok(ReadBack {
            version,
            unit: self.unit,
            extent: self.low.zip(self.high).map(|(low, high)| [low, high]),
            layers: self.layers,
            loops: self.loops,
            circles: self.circles,
            lines: self.lines,
            words: self.words,
            points: self.points,
            not_read: self.not_read,
        })
    }
}

fn corner(values: &[Pair]) -> Result<Option<Point>, DxfReadError> {
    match values {
        [x, y, ..] if (x.code, y.code) == (10, 20) => Ok(Some(Point::new(x.number()?, y.number()?))),
        _ => Ok(None),
    }
}

fn light_polyline(entity: &Entity) -> Result<ReadLoop, DxfReadError> {
    let mut corners: Vec<(Point, f64)> = Vec::new();
    for pair in entity.body {
        match (pair.code, corners.last_mut()) {
            (10, _) => corners.push((Point::new(pair.number()?, f64::NAN), 0.0)),
            (20, Some((at, _))) => at.y = pair.number()?,
            (42, Some((_, bulge))) => *bulge = pair.number()?,
            _ => {}
        }
    }
    if corners.is_empty() || corners.iter().any(|(at, _)| at.y.is_nan()) {
        let code = if corners.is_empty() { 10 } else { 20 };
        return Err(DxfReadError::Missing {
            line: entity.start.line,
            entity: entity.start.value.to_owned(),
            code,
        });
    }
    Ok(ReadLoop {
        layer: entity.layer()?,
        closed: entity.flags()? & 1 == 1,
        corners,
    })
}

/// Turns `\U+XXXX` and `%%%` back into characters; anything else stays as it is.
fn unescaped(text: &str) -> String {
    let mut units: Vec<u16> = Vec::with_capacity(text.len());
    let mut rest = text;
    while let Some(ch) = rest.chars().next() {
        let coded = rest
            .strip_prefix("\\U+")
            .and_then(|tail| tail.get(..4))
            .and_then(|digits| u16::from_str_radix(digits, 16).ok());
        rest = if let Some(unit) = coded {
            units.push(unit);
            &rest["\\U+0000".len()..]
        } else if let Some(after) = rest.strip_prefix("%%%") {
            units.push(u16::from(b'%'));
            after
        } else {
            units.extend_from_slice(ch.encode_utf16(&mut [0; 2]));
            &rest[ch.len_utf8()..]
        };
    }
    String::from_utf16_lossy(&units)
}
