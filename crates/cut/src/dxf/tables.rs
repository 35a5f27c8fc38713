//! The tables of the file: line kinds, layers, lettering and what a strict reader wants beside them.

use super::drawing::Layer;
use super::frame::{Extent, Fixed, spaces};
use super::tags::{Handle, Tags};
use super::write::DxfVersion;

/// Writes tables and their records in either form of the format.
struct TableWriter<'a> {
    tags: &'a mut Tags,
    version: DxfVersion,
    table: Handle,
}

impl TableWriter<'_> {
    fn table(&mut self, name: &str, count: usize, rows: impl FnOnce(&mut Self)) {
        self.tags.text(0, "TABLE").text(2, name);
        if self.version == DxfVersion::R2000 {
            self.table = self.tags.new_handle();
            let table = self.table;
            self.tags
                .handle(5, table)
                .handle(330, Handle::NONE)
                .text(100, "AcDbSymbolTable");
        }
        self.tags.whole(70, count as i64);
        if self.version == DxfVersion::R2000 && name == "DIMSTYLE" {
            self.tags.text(100, "AcDbDimStyleTable");
        }
        rows(self);
        self.tags.text(0, "ENDTAB");
    }

    fn row(&mut self, kind: &str, class: &str, name: &str) -> &mut Tags {
        let handle_code = if kind == "DIMSTYLE" { 105 } else { 5 };
        let handle = self.tags.new_handle();
        self.row_with(handle, handle_code, kind, class, name)
    }

    fn row_with(&mut self, handle: Handle, code: u16, kind: &str, class: &str, name: &str) -> &mut Tags {
        self.tags.text(0, kind);
        if self.version == DxfVersion::R2000 {
            let table = self.table;
            self.tags
                .handle(code, handle)
                .handle(330, table)
                .text(100, "AcDbSymbolTableRecord")
                .text(100, class);
        }
        self.tags.text(2, name)
    }
}

/// A layer as it stands in the table.
pub(super) struct LayerRow {
    pub(super) name: String,
    pub(super) colour: i64,
    pub(super) line_kind: &'static str,
}

/// The layers of a blank.
pub(super) fn plate_layers() -> Vec<LayerRow> {
    Layer::ALL
        .into_iter()
        .map(|each| LayerRow {
            name: each.name().to_owned(),
            colour: colour(each),
            line_kind: line_kind(each),
        })
        .collect()
}

pub(super) fn write(
    tags: &mut Tags,
    fixed: &Fixed,
    version: DxfVersion,
    extent: Extent,
    layers: &[LayerRow],
) {
    tags.section("TABLES", |tags| {
        let mut writer = TableWriter {
            tags,
            version,
            table: Handle::NONE,
        };
        let modern = version == DxfVersion::R2000;
        writer.table("VPORT", 1, |t| {
            view(t.row("VPORT", "AcDbViewportTableRecord", "*ACTIVE"), extent)
        });
        let line_kinds: &[LineKind] = if modern { &LINE_KINDS } else { &LINE_KINDS[2..] };
        writer.table("LTYPE", line_kinds.len(), |t| {
            for kind in line_kinds {
                kind.write(t.row("LTYPE", "AcDbLinetypeTableRecord", kind.name), version);
            }
        });
        writer.table("LAYER", layers.len() + 1, |t| {
            layer(t, "0", PAPER_BLACK, CONTINUOUS);
            for each in layers {
                layer(t, &each.name, each.colour, each.line_kind);
            }
        });
        writer.table("STYLE", 1, |t| {
            lettering(t.row("STYLE", "AcDbTextStyleTableRecord", "STANDARD"))
        });
        writer.table("VIEW", 0, |_| ());
        writer.table("UCS", 0, |_| ());
        writer.table("APPID", 1, |t| {
            t.row("APPID", "AcDbRegAppTableRecord", "ACAD").whole(70, 0);
        });
        writer.table("DIMSTYLE", 1, |t| {
            t.row("DIMSTYLE", "AcDbDimStyleTableRecord", "STANDARD")
                .whole(70, 0);
        });
        if modern {
            writer.table("BLOCK_RECORD", 2, |t| {
                let [model, paper] = spaces(version);
                for (record, name, layout) in [
                    (fixed.model_record, model, fixed.model_layout),
                    (fixed.paper_record, paper, fixed.paper_layout),
                ] {
                    t.row_with(record, 5, "BLOCK_RECORD", "AcDbBlockTableRecord", name)
                        .handle(340, layout);
                }
            });
        }
    });
}

/// The view that a reader opens with: the whole drawing from above, with a margin.
fn view(tags: &mut Tags, [low, high]: Extent) {
    const WIDTH_OVER_HEIGHT: f64 = 1.5;
    const WITH_MARGIN: f64 = 1.1;
    const LEAST_HEIGHT: f64 = 1e-3;
    let (middle, size) = (nalgebra::center(&low, &high), high - low);
    let height = WITH_MARGIN * size.y.max(size.x / WIDTH_OVER_HEIGHT).max(LEAST_HEIGHT);
    tags.whole(70, 0)
        .place(10, 0.0, 0.0, None)
        .place(11, 1.0, 1.0, None)
        .place(12, middle.x, middle.y, None);
    tags.place(13, 0.0, 0.0, None)
        .place(14, 10.0, 10.0, None)
        .place(15, 10.0, 10.0, None);
    tags.place(16, 0.0, 0.0, Some(1.0)).place(17, 0.0, 0.0, Some(0.0));
    tags.number(40, height)
        .number(41, WIDTH_OVER_HEIGHT)
        .number(42, 50.0)
        .number(43, 0.0)
        .number(44, 0.0);
    tags.number(50, 0.0)
        .number(51, 0.0)
        .whole(71, 0)
        .whole(72, 1000)
        .whole(73, 1)
        .whole(74, 3);
    tags.whole(75, 0).whole(76, 0).whole(77, 0).whole(78, 0);
}

/// Colour numbers of the format: each kind of line has one that stands apart on white and on black.
pub(super) const PAPER_BLACK: i64 = 7;

fn colour(layer: Layer) -> i64 {
    match layer {
        Layer::Outline => PAPER_BLACK,
        Layer::Openings => 30,
        Layer::BendUp => 5,
        Layer::BendDown => 6,
        Layer::Marks => 8,
        Layer::DrillCentres => 3,
    }
}

/// The solid line under the name the format gives it.
pub(super) const CONTINUOUS: &str = "CONTINUOUS";
const LONG_DASH: &str = "FOLD_LONG_DASH";
const DASH_DOT_DOT: &str = "FOLD_DASH_TWO_DOTS";

fn line_kind(layer: Layer) -> &'static str {
    match layer {
        Layer::BendUp => LONG_DASH,
        Layer::BendDown => DASH_DOT_DOT,
        Layer::Outline | Layer::Openings | Layer::Marks | Layer::DrillCentres => CONTINUOUS,
    }
}

fn layer(table: &mut TableWriter, name: &str, colour: i64, line_kind: &str) {
    table
        .row("LAYER", "AcDbLayerTableRecord", name)
        .whole(70, 0)
        .whole(62, colour)
        .text(6, line_kind);
}

/// A kind of line: drawn lengths positive, gaps negative, dots zero.
struct LineKind {
    name: &'static str,
    says: &'static str,
    run: &'static [f64],
}

const LINE_KINDS: [LineKind; 5] = [
    LineKind {
        name: "BYBLOCK",
        says: "",
        run: &[],
    },
    LineKind {
        name: "BYLAYER",
        says: "",
        run: &[],
    },
    LineKind {
        name: CONTINUOUS,
        says: "Solid line",
        run: &[],
    },
    LineKind {
        name: LONG_DASH,
        says: "Bend toward you __ __ __",
        run: &[6.0, -2.0],
    },
    LineKind {
        name: DASH_DOT_DOT,
        says: "Bend away __ . . __",
        run: &[6.0, -1.5, 0.0, -1.5, 0.0, -1.5],
    },
];

impl LineKind {
    fn write(&self, tags: &mut Tags, version: DxfVersion) {
        let length: f64 = self.run.iter().map(|piece| piece.abs()).sum();
        tags.whole(70, 0)
            .text(3, self.says)
            .whole(72, 65)
            .whole(73, self.run.len() as i64)
            .number(40, length);
        for &piece in self.run {
            tags.number(49, piece);
            if version == DxfVersion::R2000 {
                tags.whole(74, 0);
            }
        }
    }
}

fn lettering(tags: &mut Tags) {
    tags.whole(70, 0)
        .number(40, 0.0)
        .number(41, 1.0)
        .number(50, 0.0)
        .whole(71, 0)
        .number(42, 2.5);
    tags.text(3, "txt").text(4, "");
}
