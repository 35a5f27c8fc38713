//! Parts that come out small on the drawing of the sheet, drawn again, larger: with their pierces, tabs and holes to drill.

use plane::Point;

use super::CutSheet;
use super::figure;
use super::marks::Shown;
use crate::bench_pages::BenchPages;
use crate::figures;
use crate::frame::{Frame, around};
use crate::ink::Ink;
use crate::lettering::Lettering;
use crate::place::Placer;
use crate::title::Scale;
use crate::trace;

/// Parts are drawn again when the sheet as a whole is drawn smaller than this: a kerf is then a hair.
const SMALL: f64 = 0.4;
/// Pierces closer than this leave no room for a number each, mm on paper; nor do three in two and a half times the distance.
const NUMBER_MM: f64 = 4.0;
/// More parts than this are not drawn again: nobody turns so many pages at a table.
const MOST_PARTS: usize = 24;
/// Room round a part for numbers, mm on paper: left and right together, top and bottom together.
const ROOM_MM: [f64; 2] = [26.0, 26.0];
/// Between two of the drawings, mm.
const GUTTER_MM: f64 = 4.0;
/// The line of words over each, mm.
const TITLE_MM: f64 = 6.0;

/// Whether parts are drawn again where the sheet is drawn at `scale`.
pub(super) fn needed(told: &CutSheet, scale: Scale) -> bool {
    (1..=MOST_PARTS).contains(&told.parts.len())
        && !told.cuts.is_empty()
        && (scale.factor() < SMALL || !crowded(told, scale).is_empty())
}

/// The parts on which most pierces stand closer to another than a number needs.
pub(super) fn crowded(told: &CutSheet, scale: Scale) -> Vec<usize> {
    let pierces: Vec<(Option<usize>, Point)> = told
        .cuts
        .iter()
        .filter_map(|cut| Some((cut.part, cut.pierce()?)))
        .collect();
    let close = |index: usize| {
        let within = |reach_mm: f64| {
            let near = |at: Point| (at - pierces[index].1).norm() * scale.factor() < reach_mm;
            pierces.iter().filter(|(_, at)| near(*at)).count() - 1
        };
        within(NUMBER_MM) > 0 || within(2.5 * NUMBER_MM) > 2
    };
    (0..told.parts.len())
        .filter(|&part| {
            let own = || (0..pierces.len()).filter(|&index| pierces[index].0 == Some(part));
            2 * own().filter(|&index| close(index)).count() > own().count()
        })
        .collect()
}

/// Draws them on pages of their own.
pub(super) fn draw(pages: &mut BenchPages, told: &CutSheet) {
    let [columns, rows] = match told.parts.len() {
        1 => [1, 1],
        2 => [1, 2],
        3 | 4 => [2, 2],
        _ => [2, 3],
    };
    for (page_of, parts) in (0..told.parts.len())
        .collect::<Vec<_>>()
        .chunks(columns * rows)
        .enumerate()
    {
        pages.turn();
        pages.heading(if page_of == 0 {
            "Parts, larger"
        } else {
            "Parts, larger, continued"
        });
        let rest = pages.rest();
        let wide = (rest.width - GUTTER_MM * (columns - 1) as f64) / columns as f64;
        // One part alone is not stretched over a whole page.
        let high = ((rest.height - GUTTER_MM * (rows - 1) as f64) / rows as f64).min(190.0);
        for (cell, &part) in parts.iter().enumerate() {
            let frame = Frame::new(
                rest.left + (wide + GUTTER_MM) * (cell % columns) as f64,
                rest.top + (high + GUTTER_MM) * (cell / columns) as f64,
                wide,
                high,
            );
            one(pages, told, frame, [part, cell]);
        }
        pages.y = rest.bottom();
    }
}

fn one(pages: &mut BenchPages, told: &CutSheet, frame: Frame, [part, cell]: [usize; 2]) {
    let id = format!("close-{}-{cell}", pages.before());
    let page = &mut pages.page;
    let bounds = bounds(told, part);
    let mut area = Frame::new(
        frame.left,
        frame.top + TITLE_MM,
        frame.width,
        frame.height - TITLE_MM,
    );
    let scale = Scale::to_fill(
        [bounds.width, bounds.height],
        [area.width - ROOM_MM[0], area.height - ROOM_MM[1]],
    );
    // A low part is not given paper it has no use for.
    area.height = area
        .height
        .min(bounds.height * scale.factor() + 2.0 * ROOM_MM[1] + 5.0);
    let name = &told.parts[part].name;
    let own = trace::bounds(&told.parts[part].region.outer);
    let words = format!(
        "{name}: {} x {} mm, scale {scale}",
        figures::mm(own.width),
        figures::mm(own.height)
    );
    let set = Lettering::SMALL_BOLD.sized(3.8);
    let first = set
        .wrapped(&words, frame.width)
        .into_iter()
        .flat_map(|line| set.chopped(&line, frame.width))
        .next();
    page.words(
        Point::new(frame.left, frame.top + 3.8),
        &first.unwrap_or_default(),
        set,
    );

    let shown = |area: Frame| Shown {
        told,
        view: figure::view(&bounds, area, scale),
        part: Some(part),
        area,
        in_short: Vec::new(),
    };
    // A line at the foot is kept for what finds no room.
    area.height -= 5.0;
    page.open_clipped(&id, area);
    let mut placer = Placer::new(area.grown(-0.5)).with_leaders_from(figure::LEADERS_FROM_MM);
    let picture = shown(area);
    picture.draw(page, &mut placer);
    page.close();
    page.rectangle(area, Ink::Thin, None);
    let missed = picture.label(page, &mut placer, true);
    figure::unnamed(
        page,
        Point::new(area.left, area.bottom() + 1.0),
        area.width,
        &missed,
    );
}

/// The part with all that is cut for it.
fn bounds(told: &CutSheet, part: usize) -> Frame {
    let own = trace::bounds(&told.parts[part].region.outer);
    let corners = [
        Point::new(own.left, own.top),
        Point::new(own.right(), own.bottom()),
    ];
    let paths = told
        .cuts
        .iter()
        .filter(|cut| cut.part == Some(part))
        .flat_map(|cut| cut.track.iter().map(|corner| corner.at));
    around(
        corners
            .into_iter()
            .chain(paths)
            .filter(|at| at.x.is_finite() && at.y.is_finite()),
    )
    .unwrap_or(own)
}
