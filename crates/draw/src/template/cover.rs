//! The first page: how to print, check, join and use the template.

use plane::Point;
use sheet::Part;

use super::tiles::{MARGIN_MM, Tiling};
use super::{CHECK_SQUARE_MM, PaperSize, Printer};
use crate::canvas::{Canvas, Setting};
use crate::figures;
use crate::frame::Frame;
use crate::ink::Ink;
use crate::lettering::{Anchor, Lettering};
use crate::sheet_of_paper::heading;
use crate::table::paragraph;
use crate::title::TitleBlock;
use crate::trace::{self, View};

/// Draws the covering page.
pub(super) fn draw(
    part: &Part,
    block: &TitleBlock,
    paper: PaperSize,
    printer: Printer,
    tiling: &Tiling,
) -> String {
    let [width, height] = paper.size_mm();
    let mut page = Canvas::new(width, height, Setting::Bundled);
    let inner = width - 2.0 * MARGIN_MM;
    let mut y = MARGIN_MM;
    let large = Lettering::SMALL_BOLD.sized(6.0);
    y = paragraph(&mut page, Point::new(MARGIN_MM, y), inner, &block.title, large);
    let sheets = if tiling.count() == 1 {
        "one sheet".to_owned()
    } else {
        format!("{} sheets", tiling.count())
    };
    let facts = [
        format!("Full-size template on {sheets} of {}.", paper.word()),
        if block.stock.is_empty() {
            String::new()
        } else {
            format!("{}.", block.stock)
        },
        block
            .mass_kg
            .map_or(String::new(), |mass| format!("Mass {}.", figures::mass(mass))),
        if block.revision.is_empty() {
            String::new()
        } else {
            format!("Revision {}.", block.revision)
        },
        if block.made_from.is_empty() {
            String::new()
        } else {
            format!("Made from {}.", block.made_from)
        },
    ];
    let facts: Vec<&str> = facts
        .iter()
        .map(String::as_str)
        .filter(|words| !words.is_empty())
        .collect();
    y = paragraph(
        &mut page,
        Point::new(MARGIN_MM, y),
        inner,
        &facts.join(" "),
        Lettering::SMALL,
    ) + 2.0;
    for answer in &block.answers {
        y = paragraph(
            &mut page,
            Point::new(MARGIN_MM, y),
            inner,
            answer,
            Lettering::SMALL,
        );
    }
    y += 2.0;

    y = heading(&mut page, Point::new(MARGIN_MM, y), "What to do");
    for (index, step) in steps(printer, tiling).iter().enumerate() {
        page.words(
            Point::new(MARGIN_MM, y + 2.7),
            &format!("{}.", index + 1),
            Lettering::SMALL_BOLD,
        );
        y = paragraph(
            &mut page,
            Point::new(MARGIN_MM + 6.0, y),
            inner - 6.0,
            step,
            Lettering::SMALL,
        ) + 1.0;
    }
    y += 2.0;
    if !block.care.is_empty() {
        y = heading(&mut page, Point::new(MARGIN_MM, y), "Take care");
        for line in &block.care {
            y = paragraph(&mut page, Point::new(MARGIN_MM, y), inner, line, Lettering::SMALL) + 0.6;
        }
        y += 2.0;
    }
    y = heading(&mut page, Point::new(MARGIN_MM, y), "How the sheets lie");
    let room = Frame::new(MARGIN_MM, y, inner, (height - MARGIN_MM - y).max(40.0));
    map(&mut page, room, part, tiling);
    page.finish(
        "gusset-cover",
        &format!(
            "Template of {}: how to print and join it",
            crate::blank::named(&block.title)
        ),
        "Steps for printing, checking and joining the sheets, cautions, and a map of the sheets.",
    )
}

fn steps(printer: Printer, tiling: &Tiling) -> Vec<String> {
    let mut steps = Vec::new();
    if printer != Printer::TRUE {
        let [across, up] = printer.scale().map(|scale| figures::mm(scale * CHECK_SQUARE_MM));
        steps.push(format!(
            "This template is corrected for a printer that prints 100 mm as {across} mm across and {up} mm up. Use no other."
        ));
    }
    steps.push("Print at 100 % (\"actual size\"), not \"fit to page\".".to_owned());
    steps.push(
        "Measure the check square on every sheet, both ways, with a steel rule: 100.0 mm, or 4 in on the outer square. If it \
         is not, run gusset make --measured \"ACROSS mm x UP mm\" with what you read, and print again."
            .to_owned(),
    );
    if tiling.count() > 1 {
        steps.push(format!(
            "Join the sheets by the map below. Neighbours overlap by {}: trim one along the dashed line, lay it on the other \
             so that each diamond meets the diamond of the same letter, and tape it flat.",
            figures::both(tiling.overlap_mm)
        ));
    }
    steps.push(
        "Lay the template on the plate with the print toward you: that side is the marked face. Punch the hole centres \
         through the crosses, scribe the edge, and carry the ticks at the ends of each bend onto the plate."
            .to_owned(),
    );
    steps.push(
        "A bend marked UP comes toward you as you look at the print; DOWN goes away. The angle bent through is not the angle \
         left between the legs: both are printed."
            .to_owned(),
    );
    steps
}

/// The sheets with their numbers over a small picture of the blank, and the diamonds' letters on their seams.
fn map(page: &mut Canvas, room: Frame, part: &Part, tiling: &Tiling) {
    let first = tiling.corner_of(0);
    let last = tiling.corner_of(tiling.count() - 1);
    let [wide, high] = tiling.window_plate_mm;
    let size = [last.x + wide - first.x, first.y - (last.y - high)];
    let factor = (room.width / size[0]).min(room.height / size[1]).min(0.5);
    let left = room.left + (room.width - size[0] * factor) / 2.0;
    let view = View {
        scale: [factor, factor],
        origin: Point::new(left - first.x * factor, room.top + first.y * factor),
    };
    page.path(
        &trace::region_commands(&part.blank.region, &view),
        Ink::Thin,
        Some(crate::ink::KRAFT),
    );
    let set = Lettering::SMALL_BOLD.anchored(Anchor::Middle);
    for tile in 0..tiling.count() {
        let corner = view.at(tiling.corner_of(tile));
        let frame = Frame::new(corner.x, corner.y, wide * factor, high * factor);
        page.rectangle(frame, Ink::Rule, None);
        let middle = frame.centre();
        page.words(
            Point::new(middle.x, middle.y + 2.0),
            &(tile + 1).to_string(),
            set.sized(6.0),
        );
    }
    // Letters only where they can be told apart.
    if tiling.window_plate_mm[0].min(tiling.window_plate_mm[1]) * factor > 24.0 {
        for diamond in &tiling.diamonds {
            let at = view.at(diamond.at);
            page.words(Point::new(at.x, at.y + 1.1), &diamond.letter, set);
        }
    }
}
