//! What a strict reader wants around the entities: header, classes, blocks and the root dictionary, every object
//! with a handle and an owner.

use super::tags::{Handle, Tags};
use super::write::{DxfOptions, DxfUnit, DxfVersion};

/// Lower left and upper right, in the file's unit.
pub(super) type Extent = [plane::Point; 2];

/// Handles that several sections speak of.
pub(super) struct Fixed {
    pub(super) model_record: Handle,
    pub(super) paper_record: Handle,
    pub(super) model_layout: Handle,
    pub(super) paper_layout: Handle,
    root: Handle,
    groups: Handle,
    layouts: Handle,
}

impl Fixed {
    pub(super) fn new(tags: &mut Tags) -> Self {
        Fixed {
            model_record: tags.new_handle(),
            paper_record: tags.new_handle(),
            model_layout: tags.new_handle(),
            paper_layout: tags.new_handle(),
            root: tags.new_handle(),
            groups: tags.new_handle(),
            layouts: tags.new_handle(),
        }
    }
}

/// The format's own names for the two spaces: a model and a sheet of paper (which stays empty here).
pub(super) fn spaces(version: DxfVersion) -> [&'static str; 2] {
    match version {
        DxfVersion::R2000 => ["*Model_Space", "*Paper_Space"],
        DxfVersion::R12 => ["$MODEL_SPACE", "$PAPER_SPACE"],
    }
}

pub(super) fn header(tags: &mut Tags, extent: Extent, options: DxfOptions, seed: Handle) {
    let unit = options.unit;
    let [low, high] = extent;
    let unit_in_words = match unit {
        DxfUnit::Millimetre => "Lengths are in millimetres.",
        DxfUnit::Inch => "Lengths are in inches.",
    };
    tags.text(999, unit_in_words);
    tags.section("HEADER", |tags| {
        match options.version {
            DxfVersion::R2000 => {
                tags.text(9, "$ACADVER").text(1, "AC1015");
                tags.text(9, "$DWGCODEPAGE").text(3, "ANSI_1252");
            }
            DxfVersion::R12 => {
                tags.text(9, "$ACADVER").text(1, "AC1009");
            }
        }
        tags.text(9, "$INSBASE").place(10, 0.0, 0.0, Some(0.0));
        tags.text(9, "$EXTMIN").place(10, low.x, low.y, Some(0.0));
        tags.text(9, "$EXTMAX").place(10, high.x, high.y, Some(0.0));
        tags.text(9, "$LTSCALE").number(40, 1.0);
        tags.text(9, "$LUNITS").whole(70, 2);
        tags.text(9, "$LUPREC").whole(70, 4);
        if options.version == DxfVersion::R2000 {
            let metric = i64::from(unit == DxfUnit::Millimetre);
            tags.text(9, "$MEASUREMENT").whole(70, metric);
            tags.text(9, "$INSUNITS").whole(70, unit.code());
            tags.text(9, "$HANDSEED").handle(5, seed);
        }
    });
}

/// One class: R2000 still announces the layout object.
pub(super) fn classes(tags: &mut Tags) {
    tags.section("CLASSES", |tags| {
        tags.text(0, "CLASS")
            .text(1, "LAYOUT")
            .text(2, "AcDbLayout")
            .text(3, "ObjectDBX Classes");
        tags.whole(90, 0).whole(280, 0).whole(281, 0);
    });
}

pub(super) fn blocks(tags: &mut Tags, fixed: &Fixed, version: DxfVersion) {
    let modern = version == DxfVersion::R2000;
    let owners = [fixed.model_record, fixed.paper_record];
    tags.section("BLOCKS", |tags| {
        for (i, (name, owner)) in spaces(version).into_iter().zip(owners).enumerate() {
            let on_paper = i == 1;
            let start = |tags: &mut Tags, kind: &str, class: &str| {
                tags.text(0, kind);
                if modern {
                    let handle = tags.new_handle();
                    tags.handle(5, handle).handle(330, owner).text(100, "AcDbEntity");
                }
                if on_paper {
                    tags.whole(67, 1);
                }
                tags.text(8, "0");
                if modern {
                    tags.text(100, class);
                }
            };
            start(tags, "BLOCK", "AcDbBlockBegin");
            tags.text(2, name)
                .whole(70, 0)
                .place(10, 0.0, 0.0, Some(0.0))
                .text(3, name)
                .text(1, "");
            start(tags, "ENDBLK", "AcDbBlockEnd");
        }
    });
}

pub(super) fn objects(tags: &mut Tags, fixed: &Fixed) {
    tags.section("OBJECTS", |tags| {
        dictionary(
            tags,
            fixed.root,
            Handle::NONE,
            &[("ACAD_GROUP", fixed.groups), ("ACAD_LAYOUT", fixed.layouts)],
        );
        dictionary(tags, fixed.groups, fixed.root, &[]);
        dictionary(
            tags,
            fixed.layouts,
            fixed.root,
            &[("Layout1", fixed.paper_layout), ("Model", fixed.model_layout)],
        );
        layout(
            tags,
            fixed.paper_layout,
            fixed.layouts,
            "Layout1",
            1,
            fixed.paper_record,
        );
        layout(
            tags,
            fixed.model_layout,
            fixed.layouts,
            "Model",
            0,
            fixed.model_record,
        );
    });
}

fn dictionary(tags: &mut Tags, handle: Handle, owner: Handle, entries: &[(&str, Handle)]) {
    tags.text(0, "DICTIONARY")
        .handle(5, handle)
        .handle(330, owner)
        .text(100, "AcDbDictionary")
        .whole(281, 1);
    for &(name, entry) in entries {
        tags.text(3, name).handle(350, entry);
    }
}

/// A layout that asks for nothing: no printer, no margins, no offset, full size.
fn layout(tags: &mut Tags, handle: Handle, owner: Handle, name: &str, tab: i64, record: Handle) {
    const MODEL_TYPE: i64 = 1024;
    let kind = if tab == 0 { MODEL_TYPE } else { 0 };
    tags.text(0, "LAYOUT")
        .handle(5, handle)
        .handle(330, owner)
        .text(100, "AcDbPlotSettings");
    tags.text(1, "").text(2, "").text(4, "").text(6, "");
    for code in [40, 41, 42, 43, 44, 45, 46, 47, 48, 49, 140, 141] {
        tags.number(code, 0.0);
    }
    tags.number(142, 1.0)
        .number(143, 1.0)
        .whole(70, kind)
        .whole(72, 1)
        .whole(73, 0)
        .whole(74, 5)
        .text(7, "");
    tags.whole(75, 16)
        .number(147, 1.0)
        .number(148, 0.0)
        .number(149, 0.0);
    tags.text(100, "AcDbLayout")
        .text(1, name)
        .whole(70, 1)
        .whole(71, tab);
    tags.place(10, 0.0, 0.0, None)
        .place(11, 420.0, 297.0, None)
        .place(12, 0.0, 0.0, Some(0.0));
    tags.place(14, 0.0, 0.0, Some(0.0))
        .place(15, 0.0, 0.0, Some(0.0))
        .number(146, 0.0);
    tags.place(13, 0.0, 0.0, Some(0.0))
        .place(16, 1.0, 0.0, Some(0.0))
        .place(17, 0.0, 1.0, Some(0.0))
        .whole(76, 0);
    tags.handle(330, record);
}
