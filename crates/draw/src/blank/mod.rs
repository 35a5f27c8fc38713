//! The drawing of the blank: what is cut, seen from the marked face.

pub(crate) mod picture;
pub(crate) mod tables;
#[cfg(test)]
mod tests;

use plane::Point;
use sheet::Part;

use crate::canvas::{Canvas, Setting};
use crate::figures;
use crate::frame::Frame;
use crate::ink::Ink;
use crate::sheet_of_paper as paper;
use crate::title::{Scale, TitleBlock};
use crate::trace;

/// Room round the blank for dimensions and labels, mm on paper: left and right together, top and bottom together.
const ROOM_MM: [f64; 2] = [72.0, 62.0];

/// Where dimensions are taken from: the left-most and the lowest edge of the blank.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Datum {
    /// The corner where they cross, in blank axes.
    pub corner: Point,
    /// Width and height of the blank from there, mm.
    pub size_mm: [f64; 2],
}

impl Datum {
    pub fn of(part: &Part) -> Self {
        let bounds = trace::bounds(&part.blank.region.outer);
        Self {
            corner: Point::new(bounds.left, bounds.top),
            size_mm: [bounds.width, bounds.height],
        }
    }

    /// The place as measured from the datum edges.
    pub fn from(&self, at: Point) -> [f64; 2] {
        [at.x - self.corner.x, at.y - self.corner.y]
    }
}

/// Draws the blank as an SVG file: outline, openings, bends, dimensions from a datum corner in mm and inch, tables of
/// holes and bends, findings, cautions. An A3 page across, taller when the tables are long. Same input, same bytes.
pub fn blank_svg(part: &Part, block: &TitleBlock) -> String {
    let datum = Datum::of(part);
    let mut page = Canvas::new(paper::WIDTH_MM, paper::LEAST_HEIGHT_MM, Setting::AnyViewer);
    let top = paper::head(&mut page, block, "Blank, drawn from the marked face");
    let strip_mm = paper::strip_height(block);

    let column = Point::new(paper::COLUMN_LEFT_MM, top);
    let after_tables = tables::draw(&mut page, column, part, block, &datum);
    let notes = [format!(
        "x and y are measured from the datum: the left-most and the lowest edge of the blank, which cross at x {}, y {} mm \
         of the design.",
        figures::mm(datum.corner.x),
        figures::mm(datum.corner.y)
    )];
    let column_end =
        paper::findings_and_notes(&mut page, Point::new(column.x, after_tables + 3.0), block, &notes);

    let bottom = column_end.max(paper::LEAST_HEIGHT_MM - paper::MARGIN_MM - strip_mm - 3.0);
    let left = paper::MARGIN_MM;
    let across = paper::COLUMN_LEFT_MM - paper::GUTTER_MM - left;
    let key_mm = 10.0;
    let area = Frame::new(left, top, across, bottom - top - key_mm);
    let scale = block
        .scale
        .unwrap_or_else(|| Scale::to_fit(datum.size_mm, [area.width - ROOM_MM[0], area.height - ROOM_MM[1]]));
    picture::draw(&mut page, area, part, block, &datum, scale);
    paper::key(
        &mut page,
        Point::new(left, bottom - key_mm + 1.0),
        across,
        &[
            (Ink::Edge, "cut"),
            (Ink::BendCentre, "middle of a bend"),
            (Ink::Tangent, "bend begins or ends"),
            (Ink::Scribed, "scribed mark"),
            (Ink::Datum, "datum edge"),
        ],
    );

    let mut facts = paper::common_facts(block, part.thickness_mm);
    facts.push((
        "Blank",
        format!(
            "{} x {}",
            figures::both(datum.size_mm[0]),
            figures::both(datum.size_mm[1])
        ),
    ));
    facts.push(("Area", figures::area(part.blank.region.area_mm2())));
    facts.push(("Scale", format!("{scale} on A3; go by the figures")));
    paper::strip(&mut page, bottom + 1.0, block, &facts);
    page.size.height = (bottom + 1.0 + strip_mm + paper::MARGIN_MM).max(paper::LEAST_HEIGHT_MM);

    let title = format!("Blank of {}", named(&block.title));
    page.finish("gusset-blank", &title, &tables::in_words(part, block, &datum))
}

/// The title, or a plain word when there is none.
pub(crate) fn named(title: &str) -> &str {
    if title.trim().is_empty() {
        "the part"
    } else {
        title
    }
}
