//! The drawing as text: R2000 (LWPOLYLINE) or R12 (POLYLINE with VERTEX), both with bulges.

use plane::Vertex;

use super::drawing::{Drawing, Layer};
use super::frame::{self, Fixed};
use super::tables::{self, LayerRow};
use super::tags::{Handle, Tags};

/// Which form of the format.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DxfVersion {
    /// R2000, AC1015: the unit is in the file, outlines are LWPOLYLINE.
    #[default]
    R2000,
    /// R12, AC1009: for old readers. The format has no place for the unit, so the reader must be told.
    R12,
}

/// The unit of the numbers in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DxfUnit {
    /// Millimetres.
    #[default]
    Millimetre,
    /// Inches.
    Inch,
}

impl DxfUnit {
    /// Group 70 of `$INSUNITS`: 4 for mm, 1 for inch.
    pub fn code(self) -> i64 {
        match self {
            DxfUnit::Millimetre => 4,
            DxfUnit::Inch => 1,
        }
    }

    /// How many mm one unit is.
    pub fn in_mm(self) -> f64 {
        match self {
            DxfUnit::Millimetre => 1.0,
            DxfUnit::Inch => 25.4,
        }
    }
}

/// How the file is to be written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct DxfOptions {
    /// Form of the format.
    pub version: DxfVersion,
    /// Unit of the numbers.
    pub unit: DxfUnit,
}

/// The drawing as a DXF text. The same drawing gives the same text.
///
/// Loops are closed polylines with bulges; circles stay circles; drill centres are points. R2000 files carry the unit in
/// `$INSUNITS` and `$MEASUREMENT`.
pub fn write_dxf(drawing: &Drawing, options: DxfOptions) -> String {
    write_entities(
        options,
        drawing.extent_mm(),
        &tables::plate_layers(),
        |pen: &mut Pen| pen.draw(drawing),
    )
}

/// A whole file round these entities.
pub(super) fn write_entities(
    options: DxfOptions,
    extent_mm: [plane::Point; 2],
    layers: &[LayerRow],
    draw: impl FnOnce(&mut Pen),
) -> String {
    let extent = extent_mm.map(|corner| corner / options.unit.in_mm());
    let mut tags = Tags::default();
    let fixed = Fixed::new(&mut tags);
    let body = {
        tables::write(&mut tags, &fixed, options.version, extent, layers);
        frame::blocks(&mut tags, &fixed, options.version);
        tags.section("ENTITIES", |tags| {
            draw(&mut Pen {
                tags,
                version: options.version,
                owner: fixed.model_record,
                mm: 1.0 / options.unit.in_mm(),
            });
        });
        if options.version == DxfVersion::R2000 {
            frame::objects(&mut tags, &fixed);
        }
        tags.take()
    };
    let seed = tags.next_handle();
    frame::header(&mut tags, extent, options, seed);
    if options.version == DxfVersion::R2000 {
        frame::classes(&mut tags);
    }
    tags.push(&body);
    tags.finish()
}

/// Draws entities in the file's unit.
pub(super) struct Pen<'a> {
    tags: &'a mut Tags,
    version: DxfVersion,
    owner: Handle,
    /// One mm in the file's unit.
    mm: f64,
}

impl Pen<'_> {
    fn draw(&mut self, drawing: &Drawing) {
        for outline in &drawing.loops {
            self.run(outline.layer.name(), &outline.vertices, CLOSED);
        }
        for circle in &drawing.circles {
            self.start("CIRCLE", circle.layer.name(), "AcDbCircle");
            self.place(10, circle.centre, true);
            self.tags.number(40, circle.dia_mm / 2.0 * self.mm);
        }
        for line in &drawing.lines {
            self.start("LINE", line.layer.name(), "AcDbLine");
            self.place(10, line.from, true);
            self.place(11, line.to, true);
        }
        for words in &drawing.words {
            self.start("TEXT", words.layer.name(), "AcDbText");
            self.place(10, words.at, true);
            self.tags
                .number(40, words.height_mm * self.mm)
                .text(1, &escaped(&words.text));
            if self.version == DxfVersion::R2000 {
                self.tags.text(100, "AcDbText");
            }
        }
        for &centre in &drawing.centres {
            self.start("POINT", Layer::DrillCentres.name(), "AcDbPoint");
            self.place(10, centre, true);
        }
    }

    fn start(&mut self, kind: &str, layer: &str, class: &str) {
        self.tags.text(0, kind);
        if self.version == DxfVersion::R2000 {
            let handle = self.tags.new_handle();
            self.tags
                .handle(5, handle)
                .handle(330, self.owner)
                .text(100, "AcDbEntity")
                .text(8, layer)
                .text(100, class);
        } else {
            self.tags.text(8, layer);
        }
    }

    fn place(&mut self, code: u16, at: plane::Point, with_z: bool) {
        self.tags
            .place(code, at.x * self.mm, at.y * self.mm, with_z.then_some(0.0));
    }

    /// A run of lines and arcs in the form's own kind of entity: closed or open by its flag.
    pub(super) fn run(&mut self, layer: &str, vertices: &[Vertex], flag: i64) {
        match self.version {
            DxfVersion::R2000 => self.light_polyline(layer, vertices, flag),
            DxfVersion::R12 => self.polyline(layer, vertices, flag),
        }
    }

    fn light_polyline(&mut self, layer: &str, vertices: &[Vertex], flag: i64) {
        self.start("LWPOLYLINE", layer, "AcDbPolyline");
        self.tags
            .whole(90, vertices.len() as i64)
            .whole(70, flag)
            .number(43, 0.0);
        for vertex in vertices {
            self.place(10, vertex.at, false);
            if vertex.bulge != 0.0 {
                self.tags.number(42, vertex.bulge);
            }
        }
    }

    fn polyline(&mut self, layer: &str, vertices: &[Vertex], flag: i64) {
        self.start("POLYLINE", layer, "");
        self.tags
            .whole(66, 1)
            .place(10, 0.0, 0.0, Some(0.0))
            .whole(70, flag);
        for vertex in vertices {
            self.start("VERTEX", layer, "");
            self.place(10, vertex.at, true);
            if vertex.bulge != 0.0 {
                self.tags.number(42, vertex.bulge);
            }
        }
        self.tags.text(0, "SEQEND").text(8, layer);
    }
}

/// Group 70 of a polyline whose last vertex joins its first.
pub(super) const CLOSED: i64 = 1;
/// Group 70 of one that ends where it ends.
pub(super) const OPEN: i64 = 0;

/// Words as the format spells them: one line, plain ASCII, anything else as `\U+XXXX`, and a percent sign that stands
/// beside another as `%%%`, because two of them start a code.
fn escaped(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    let doubled = words.contains("%%");
    for ch in words.chars() {
        match ch {
            '%' if doubled => out.push_str("%%%"),
            ' '..='~' => out.push(ch),
            _ if ch.is_control() => out.push(' '),
            _ => {
                for unit in ch.encode_utf16(&mut [0; 2]) {
                    out.push_str(&format!("\\U+{unit:04X}"));
                }
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_spelt_in_plain_ascii() {
        assert_eq!(escaped("b1 up 90\u{b0}"), "b1 up 90\\U+00B0");
        assert_eq!(escaped("two\nlines"), "two lines");
        assert_eq!(escaped("5 % slope"), "5 % slope");
        assert_eq!(escaped("%%c"), "%%%%%%c");
    }

    #[test]
    fn the_units_carry_their_published_codes() {
        for (id, unit) in [("J023", DxfUnit::Inch), ("J024", DxfUnit::Millimetre)] {
            published::row(id).check(unit.code() as f64);
        }
        published::row("J027").check(CLOSED as f64);
    }
}
