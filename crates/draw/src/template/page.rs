//! One tile of the template.

use nalgebra::center;
use plane::{Point, Vector};
use sheet::{OpeningShape, Part, Way};

use super::tiles::{HEAD_MM, MARGIN_MM, Tiling};
use super::{CHECK_SQUARE_MM, Printer};
use crate::blank::picture::{plate, size_words};
use crate::canvas::{Canvas, Setting, run};
use crate::figures;
use crate::frame::Frame;
use crate::ink::{BLUE, Ink, KRAFT};
use crate::label::Label;
use crate::lettering::{Anchor, Lettering};
use crate::place::Placer;
use crate::title::TitleBlock;
use crate::trace::{self, View};

/// Side of the inch check square.
const CHECK_INCHES_MM: f64 = 4.0 * 25.4;
/// A stretch of a bend shorter than this on a tile is named on the next one.
const NAMED_STRETCH_MM: f64 = 12.0;

/// Draws one tile.
pub(super) fn draw(
    part: &Part,
    block: &TitleBlock,
    printer: Printer,
    tiling: &Tiling,
    tile: usize,
) -> String {
    let [width, height] = tiling.sheet_mm;
    let mut page = Canvas::new(width, height, Setting::Bundled);
    let view = tiling.view(tile);
    let window = tiling.window;
    head(&mut page, block, tiling, tile);
    foot(&mut page, printer, tiling);

    let mut placer = Placer::new(window);
    page.open_clipped("tile", window);
    let squares = check_squares(&mut page, part, &view, window, tiling, &mut placer);
    plate(&mut page, part, &view, None, &mut placer);
    bend_ticks(&mut page, part, &view, &mut placer);
    for (from, to) in tiling.trims(tile) {
        page.line(from, to, Ink::Trim);
        placer.avoid(from, to, 0.5);
    }
    diamonds(&mut page, tiling, tile, &view, &mut placer);
    page.close();
    page.rectangle(window, Ink::Thin, None);

    square_words(&mut page, squares);
    bend_words(&mut page, part, &view, window, &mut placer);
    opening_words(&mut page, part, block, &view, window, &mut placer);
    panel_words(&mut page, part, &view, window, &mut placer);

    let title = format!("{} of the template", tile_name(tiling, tile));
    page.finish(
        "gusset-tile",
        &title,
        "One tile of the full-size template, seen from the marked face.",
    )
}

/// "tile 3 of 6 (row 1, column 3)".
pub(super) fn tile_name(tiling: &Tiling, tile: usize) -> String {
    let (row, column) = tiling.row_and_column(tile);
    format!(
        "tile {} of {} (row {}, column {})",
        tile + 1,
        tiling.count(),
        row + 1,
        column + 1
    )
}

fn head(page: &mut Canvas, block: &TitleBlock, tiling: &Tiling, tile: usize) {
    let map = Frame::new(
        tiling.sheet_mm[0] - MARGIN_MM - 26.0,
        MARGIN_MM,
        26.0,
        HEAD_MM - 2.0,
    );
    small_map(page, map, tiling, Some(tile));
    let room = map.left - MARGIN_MM - 4.0;
    let bold = Lettering::SMALL_BOLD.sized(4.2);
    let title = bold
        .wrapped(&block.title, room)
        .into_iter()
        .next()
        .unwrap_or_default();
    page.words(Point::new(MARGIN_MM, MARGIN_MM + 3.6), &title, bold);
    page.words(
        Point::new(MARGIN_MM, MARGIN_MM + 8.2),
        &format!(
            "Template, full size. This side is the marked face. {}",
            tile_name(tiling, tile)
        ),
        Lettering::SMALL,
    );
    let stock = if block.revision.is_empty() {
        block.stock.clone()
    } else {
        format!("Revision {}. {}", block.revision, block.stock)
    };
    let stock = Lettering::SMALL
        .wrapped(&stock, room)
        .into_iter()
        .next()
        .unwrap_or_default();
    page.words(Point::new(MARGIN_MM, MARGIN_MM + 12.2), &stock, Lettering::SMALL);
}

fn foot(page: &mut Canvas, printer: Printer, tiling: &Tiling) {
    let made_for = if printer == Printer::TRUE {
        String::new()
    } else {
        let [across, up] = printer.scale().map(|scale| figures::mm(scale * CHECK_SQUARE_MM));
        format!(" Made for a printer that prints 100 mm as {across} mm across and {up} mm up.")
    };
    let words = format!(
        "Print at 100 %. Measure the check square both ways; if it is not 100.0 mm, run gusset make --measured.{made_for}"
    );
    let inner_mm = tiling.sheet_mm[0] - 2.0 * MARGIN_MM;
    let mut y = tiling.window.bottom() + 4.0;
    for line in Lettering::SMALL.wrapped(&words, inner_mm).into_iter().take(2) {
        page.words(Point::new(MARGIN_MM, y), &line, Lettering::SMALL);
        y += Lettering::SMALL.line_mm();
    }
}

/// The grid of tiles; the one in hand is filled.
pub(super) fn small_map(page: &mut Canvas, frame: Frame, tiling: &Tiling, here: Option<usize>) {
    let cell = (frame.width / tiling.columns as f64)
        .min(frame.height / tiling.rows as f64)
        .min(9.0);
    let left = frame.right() - cell * tiling.columns as f64;
    for tile in 0..tiling.count() {
        let (row, column) = tiling.row_and_column(tile);
        let at = Frame::new(
            left + cell * column as f64,
            frame.top + cell * row as f64,
            cell,
            cell,
        );
        let fill = if here == Some(tile) {
            Some(crate::ink::INK)
        } else {
            None
        };
        page.rectangle(at, Ink::Rule, fill.or(Some(KRAFT)));
        let set = Lettering::SMALL_BOLD.anchored(Anchor::Middle);
        if cell > set.width_mm("88") {
            let colour = if here == Some(tile) {
                crate::ink::WHITE
            } else {
                crate::ink::INK
            };
            let middle = at.centre();
            page.words(
                Point::new(middle.x, middle.y + 1.1),
                &(tile + 1).to_string(),
                set.coloured(colour),
            );
        }
    }
}

/// Draws the two squares, 100 mm inside 4 in with the lower left corner in common, where they hide least of the drawing;
/// gives the room their words take.
fn check_squares(
    page: &mut Canvas,
    part: &Part,
    view: &View,
    window: Frame,
    tiling: &Tiling,
    placer: &mut Placer,
) -> Frame {
    const STEP_MM: f64 = 6.0;
    let (correction, overlap_mm) = (tiling.correction, tiling.overlap_mm);
    let mut lines: Vec<(Point, Point)> = Vec::new();
    for outline in part.blank.region.outlines() {
        let run: Vec<Point> = outline.flattened(0.3).into_iter().map(|at| view.at(at)).collect();
        for (index, at) in run.iter().enumerate() {
            lines.push((*at, run[(index + 1) % run.len()]));
        }
    }
    for strip in part.bends.iter().flat_map(|bend| &bend.strips) {
        lines.push((view.at(strip.fixed[0]), view.at(strip.fixed[1])));
        lines.push((view.at(strip.moving[0]), view.at(strip.moving[1])));
    }
    let size = [CHECK_INCHES_MM * correction[0], CHECK_INCHES_MM * correction[1]];
    // Off the overlaps when there is room, so that no square is taped over.
    let clear = window.grown(-(overlap_mm * correction[0].max(correction[1]) + 1.0));
    let room = if clear.width >= size[0] && clear.height >= size[1] {
        clear
    } else {
        window.grown(-4.0)
    };
    let steps = |free: f64| (free.max(0.0) / STEP_MM).floor() as usize;
    let mut best: Option<(f64, Frame)> = None;
    for column in 0..=steps(room.width - size[0]) {
        for row in 0..=steps(room.height - size[1]) {
            let left = room.left + STEP_MM * column as f64;
            let top = room.bottom() - size[1] - STEP_MM * row as f64;
            let frame = Frame::new(left, top, size[0], size[1]);
            let hidden: f64 = lines
                .iter()
                .filter_map(|&(from, to)| frame.grown(4.0).clip(from, to))
                .map(|(from, to)| (to - from).norm())
                .sum();
            if best.as_ref().is_none_or(|(least, _)| hidden < *least - 1e-6) {
                best = Some((hidden, frame));
            }
        }
    }
    let inches = best.map_or(
        Frame::new(room.left, room.bottom() - size[1], size[0], size[1]),
        |(_, frame)| frame,
    );
    let (wide, high) = (CHECK_SQUARE_MM * correction[0], CHECK_SQUARE_MM * correction[1]);
    let metric = Frame::new(inches.left, inches.bottom() - high, wide, high);
    page.open("check-squares");
    for frame in [inches, metric] {
        page.rectangle(frame, Ink::Check, None);
        for (from, to) in sides(frame) {
            placer.avoid(from, to, 0.4);
        }
    }
    page.close();
    let words = square_words_frame(metric);
    placer.take(words);
    words
}

fn sides(frame: Frame) -> [(Point, Point); 4] {
    let corners = [
        Point::new(frame.left, frame.top),
        Point::new(frame.right(), frame.top),
        Point::new(frame.right(), frame.bottom()),
        Point::new(frame.left, frame.bottom()),
    ];
    [0, 1, 2, 3].map(|index| (corners[index], corners[(index + 1) % 4]))
}

/// What is written in the squares.
const SQUARE_WORDS: [&str; 2] = [
    "check squares, across and up:",
    "inner 100.0 mm, outer 4 in (101.6 mm)",
];

/// The room the squares' words take, low in the inner one.
fn square_words_frame(metric: Frame) -> Frame {
    let set = Lettering::SMALL;
    let wide = SQUARE_WORDS
        .iter()
        .map(|words| set.width_mm(words))
        .fold(0.0, f64::max);
    let high = set.line_mm() * SQUARE_WORDS.len() as f64;
    Frame::new(metric.left + 3.0, metric.bottom() - high - 2.0, wide, high)
}

fn square_words(page: &mut Canvas, frame: Frame) {
    let set = Lettering::SMALL;
    for (index, words) in SQUARE_WORDS.iter().enumerate() {
        page.words(
            Point::new(frame.left, frame.top + 3.0 + set.line_mm() * index as f64),
            words,
            set,
        );
    }
}

/// Ticks past the ends of a bend: long ones for its middle, short ones where it begins and ends.
fn bend_ticks(page: &mut Canvas, part: &Part, view: &View, placer: &mut Placer) {
    const MIDDLE_MM: f64 = 8.0;
    const TANGENT_MM: f64 = 4.0;
    page.open("bend-ticks");
    for bend in &part.bends {
        for strip in &bend.strips {
            for (end, out) in [(0, -bend.along), (1, bend.along)] {
                let middle = center(&strip.fixed[end], &strip.moving[end]);
                for (from, reach_mm) in [
                    (strip.fixed[end], TANGENT_MM),
                    (strip.moving[end], TANGENT_MM),
                    (middle, MIDDLE_MM),
                ] {
                    let (from, to) = (view.at(from), view.at(from + out * reach_mm));
                    page.line(from, to, Ink::Rule);
                    placer.avoid(from, to, 1.0);
                }
            }
        }
    }
    page.close();
}

fn diamonds(page: &mut Canvas, tiling: &Tiling, tile: usize, view: &View, placer: &mut Placer) {
    let half_mm = (tiling.overlap_mm * 0.4).min(4.5);
    page.open("match-marks");
    for diamond in tiling
        .diamonds
        .iter()
        .filter(|diamond| diamond.joins.contains(&tile))
    {
        let at = view.at(diamond.at);
        let (across, up) = (
            Vector::new(half_mm * view.scale[0], 0.0),
            Vector::new(0.0, half_mm * view.scale[1]),
        );
        page.path(
            &run(&[at - across, at - up, at + across, at + up], true),
            Ink::Rule,
            None,
        );
        let set = Lettering::SMALL_BOLD.anchored(Anchor::Middle);
        page.words(Point::new(at.x, at.y + 1.1), &diamond.letter, set);
        placer.take(Frame::new(
            at.x - half_mm,
            at.y - half_mm,
            2.0 * half_mm,
            2.0 * half_mm,
        ));
    }
    page.close();
}

fn bend_words(page: &mut Canvas, part: &Part, view: &View, window: Frame, placer: &mut Placer) {
    page.open("bend-words");
    for bend in &part.bends {
        let longest = bend
            .strips
            .iter()
            .filter_map(|strip| {
                window.clip(
                    view.at(center(&strip.fixed[0], &strip.moving[0])),
                    view.at(center(&strip.fixed[1], &strip.moving[1])),
                )
            })
            .max_by(|one, other| (one.1 - one.0).norm().total_cmp(&(other.1 - other.0).norm()));
        let Some((from, to)) = longest.filter(|(from, to)| (to - from).norm() >= NAMED_STRETCH_MM) else {
            continue;
        };
        let [through, between] = figures::bend_angles(bend.bent_rad);
        let way = match bend.way {
            Way::Up => "UP toward you",
            Way::Down => "DOWN away from you",
        };
        let set = Lettering::SMALL.coloured(BLUE);
        Label::new()
            .line(&format!("bend {} {way}", bend.name), set.bold())
            .line(&through, set)
            .line(&between, set)
            .line("this is the marked face", set)
            .place(page, placer, center(&from, &to), 0.0, Vector::new(1.0, 0.0));
    }
    page.close();
}

fn opening_words(
    page: &mut Canvas,
    part: &Part,
    block: &TitleBlock,
    view: &View,
    window: Frame,
    placer: &mut Placer,
) {
    page.open("opening-words");
    for (opening, on_blank) in part.openings.iter().zip(&part.blank.openings) {
        let Some(shape) = on_blank else { continue };
        let (at, clear_mm) = match shape {
            OpeningShape::Round { at, dia_mm } => (view.at(*at), dia_mm / 2.0 * view.scale[0]),
            OpeningShape::Slot { to, width_mm, .. } => (view.at(*to), width_mm / 2.0 * view.scale[0]),
            OpeningShape::Window(outline) => {
                let label = Label::new().line(&format!("{} window", opening.name), Lettering::SMALL);
                if let Some(within) = view.frame(trace::bounds(outline)).shared(&window) {
                    label.place_within(page, placer, within);
                }
                continue;
            }
        };
        if !window.holds_point(at) {
            continue;
        }
        let mut label = Label::new().line(&opening.name, Lettering::SMALL_BOLD);
        let says = block
            .callouts
            .get(&opening.name)
            .cloned()
            .unwrap_or_else(|| size_words(shape));
        for line in Lettering::SMALL.wrapped(&says, 30.0) {
            label = label.line(&line, Lettering::SMALL);
        }
        let name = Label::new().line(&opening.name, Lettering::SMALL_BOLD);
        let toward = Vector::new(1.0, -1.0);
        let _named =
            label.place(page, placer, at, clear_mm, toward) || name.place(page, placer, at, clear_mm, toward);
    }
    page.close();
}

fn panel_words(page: &mut Canvas, part: &Part, view: &View, window: Frame, placer: &mut Placer) {
    page.open("panel-words");
    for panel in &part.panels {
        let all = view.frame(trace::bounds(&panel.flat.outer).moved(panel.to_blank));
        let Some(within) = all.shared(&window) else {
            continue;
        };
        Label::new()
            .line(&format!("panel {}, marked face", panel.name), Lettering::SMALL)
            .place_within(page, placer, within);
    }
    page.close();
}
