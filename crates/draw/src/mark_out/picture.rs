//! The page of a mock-up: everything at one scale, names beside it, and a list of what is left out.

use nalgebra::center;
use plane::{Point, Segment, Vector};
use sheet::OpeningShape;

use super::dimension::{self, Dimension};
use super::{MarkedOpening, MarkedOut, MarkedReading};
use crate::blank::named;
use crate::blank::picture::cross;
use crate::canvas::{Canvas, Setting};
use crate::figures;
use crate::frame::{Frame, around};
use crate::ink::{BLUE, Ink, KRAFT, WHITE};
use crate::label::Label;
use crate::lettering::Lettering;
use crate::place::Placer;
use crate::sheet_of_paper as paper;
use crate::table::paragraph;
use crate::trace::{self, View};

/// Width of the page: what a screen shows of the least lettering without sideways scrolling.
const WIDTH_MM: f64 = 200.0;
/// The tallest that the picture gets.
const MOST_TALL_MM: f64 = 220.0;
/// The least: a first point stands in some room.
const LEAST_TALL_MM: f64 = 90.0;
/// Free paper at the edges.
const MARGIN_MM: f64 = 4.0;
/// Room round the mock-up for names, mm on the page.
const ROOM_MM: f64 = 22.0;
/// No mock-up is drawn larger than this many times its size.
const MOST_SCALE: f64 = 4.0;
/// A first point has this much of the design round it, mm.
const LEAST_SPAN_MM: f64 = 20.0;
/// Radius of a point's mark, mm on the page.
const POINT_MM: f64 = 0.9;
/// A curve is followed within this when labels keep off it, mm of the design.
const FOLLOW_MM: f64 = 0.2;
/// How far the cross of a hole runs past its edge, mm on the page.
const CROSS_PAST_MM: f64 = 1.4;

/// Draws a mock-up as far as it is marked out, as an SVG file; same input, same bytes.
///
/// Points, holes, slots, windows, bends and readings are groups with `data-point`, `data-hole`, `data-slot`,
/// `data-window`, `data-bend` (their names) and `data-reading` (its number). The root's `data-mm` has the design's x and y
/// of the view box's upper left corner, then of its lower right one: y goes down in the box and up in the design.
pub fn mark_out_svg(marked: &MarkedOut) -> String {
    let bounds = bounds(marked);
    let factor = ((WIDTH_MM - 2.0 * (MARGIN_MM + ROOM_MM)) / bounds.width.max(LEAST_SPAN_MM))
        .min((MOST_TALL_MM - 2.0 * ROOM_MM) / bounds.height.max(LEAST_SPAN_MM))
        .min(MOST_SCALE);
    let tall_mm = (bounds.height * factor + 2.0 * ROOM_MM).max(LEAST_TALL_MM);
    let area = Frame::new(MARGIN_MM, MARGIN_MM, WIDTH_MM - 2.0 * MARGIN_MM, tall_mm);
    let middle = bounds.centre();
    let view = View {
        scale: [factor, factor],
        origin: Point::new(
            area.centre().x - middle.x * factor,
            area.centre().y + middle.y * factor,
        ),
    };
    let mut page = Canvas::new(WIDTH_MM, tall_mm, Setting::AnyViewer);
    let mut placer = Placer::new(area);
    lines(&mut page, &mut placer, marked, &view);
    let mut dimensions: Vec<Dimension> = marked
        .readings
        .iter()
        .map(|reading| Dimension::of(&view, &reading.of))
        .collect();
    dimension::stagger(&mut dimensions, view.at(middle));
    for dimension in &dimensions {
        dimension.keep_off(&mut placer);
    }
    points(&mut page, &mut placer, marked, &view, middle);
    names(&mut page, &mut placer, marked, &view);
    for (reading, dimension) in marked.readings.iter().zip(&dimensions) {
        self::reading(&mut page, &mut placer, reading, dimension);
    }
    let bottom = beneath(&mut page, marked, area.bottom());
    page.size.height = bottom + MARGIN_MM;

    let from_page = |x: f64, y: f64| [(x - view.origin.x) / factor, (view.origin.y - y) / factor];
    let [x0, y0] = from_page(0.0, 0.0);
    let [x1, y1] = from_page(page.size.width, page.size.height);
    let corners = format!(" data-mm=\"{x0:.4} {y0:.4} {x1:.4} {y1:.4}\"");
    let title = format!("Mark-out of {}", named(&marked.title));
    page.finish_with("gusset-mark-out", &title, &in_words(marked), &corners)
}

/// Around everything, in the design's axes: the frame's `top` is the least y.
fn bounds(marked: &MarkedOut) -> Frame {
    let points = marked.points.iter().map(|point| point.at);
    let edges = marked.outline.edges.iter().flat_map(|edge| {
        let (low, high) = edge.bounds();
        [low, high]
    });
    let openings = marked.openings.iter().flat_map(|opening| match &opening.shape {
        OpeningShape::Round { at, dia_mm } => round(*at, *dia_mm),
        OpeningShape::Slot { from, to, width_mm } => {
            [round(*from, *width_mm), round(*to, *width_mm)].concat()
        }
        OpeningShape::Window(outline) => {
            let (low, high) = outline.bounds();
            vec![low, high]
        }
    });
    around(points.chain(edges).chain(openings)).unwrap_or(Frame::new(0.0, 0.0, 0.0, 0.0))
}

fn round(at: Point, dia_mm: f64) -> Vec<Point> {
    let reach = Vector::new(dia_mm, dia_mm) / 2.0;
    vec![at - reach, at + reach]
}

/// Edges, openings, creases and what is scribed: lines that labels keep off.
fn lines(page: &mut Canvas, placer: &mut Placer, marked: &MarkedOut, view: &View) {
    let outline = &marked.outline;
    if !outline.edges.is_empty() {
        page.open("outline");
        let commands = trace::open_commands(outline.edges.iter().copied(), view);
        if outline.sound {
            page.path(&format!("{commands}Z"), Ink::Edge, Some(KRAFT));
        } else {
            page.path(&commands, Ink::Unsound, None);
        }
        page.close();
        for edge in &outline.edges {
            let pieces = if edge.curvature() == 0.0 { 1 } else { CURVE_PIECES };
            let at = |piece: usize| view.at(edge.point_at(piece as f64 / pieces as f64));
            for piece in 0..pieces {
                placer.avoid(at(piece), at(piece + 1), 1.0);
            }
        }
    }
    for opening in &marked.openings {
        page.open_named(kind(opening), &opening.name);
        self::opening(page, placer, opening, view);
        page.close();
    }
    for crease in &marked.creases {
        let [from, to] = [crease.from, crease.to].map(|at| view.at(at));
        page.open_named("bend", &crease.name);
        page.line(from, to, Ink::BendCentre);
        page.close();
        placer.avoid(from, to, 0.8);
    }
    for line in &marked.scribed {
        let [from, to] = line.map(|at| view.at(at));
        page.line(from, to, Ink::Scribed);
        placer.avoid(from, to, 0.6);
    }
}

/// A bowed edge is followed in so many pieces when labels keep off it.
const CURVE_PIECES: usize = 12;

fn kind(opening: &MarkedOpening) -> &'static str {
    match opening.shape {
        OpeningShape::Round { .. } => "hole",
        OpeningShape::Slot { .. } => "slot",
        OpeningShape::Window(_) => "window",
    }
}

fn opening(page: &mut Canvas, placer: &mut Placer, opening: &MarkedOpening, view: &View) {
    let half = |dia_mm: f64| dia_mm / 2.0 * view.scale[0];
    match &opening.shape {
        OpeningShape::Round { at, dia_mm } => {
            let centre = view.at(*at);
            page.circle(centre, half(*dia_mm), Ink::Edge, Some(WHITE));
            cross(page, placer, centre, half(*dia_mm) + CROSS_PAST_MM);
        }
        OpeningShape::Slot { from, to, width_mm } => {
            let run_mm = (to - from).norm();
            if run_mm > 0.0 {
                let along = (to - from) / run_mm;
                let across = Vector::new(-along.y, along.x) * (width_mm / 2.0);
                let half_turn = -std::f64::consts::PI;
                let edges = [
                    Segment::line(from + across, to + across),
                    Segment::arc_about(*to, to + across, half_turn),
                    Segment::line(to - across, from - across),
                    Segment::arc_about(*from, from - across, half_turn),
                ];
                page.path(
                    &format!("{}Z", trace::open_commands(edges, view)),
                    Ink::Edge,
                    Some(WHITE),
                );
            }
            for end in [from, to] {
                cross(page, placer, view.at(*end), half(*width_mm) + CROSS_PAST_MM);
            }
        }
        OpeningShape::Window(outline) => {
            page.path(&trace::commands(outline, view), Ink::Edge, Some(WHITE));
            let run: Vec<Point> = outline
                .flattened(FOLLOW_MM)
                .into_iter()
                .map(|at| view.at(at))
                .collect();
            for (index, at) in run.iter().enumerate() {
                placer.avoid(*at, run[(index + 1) % run.len()], 1.0);
            }
        }
    }
}

/// The points with their names, which lean away from the middle.
fn points(page: &mut Canvas, placer: &mut Placer, marked: &MarkedOut, view: &View, middle: Point) {
    let middle = view.at(middle);
    for point in &marked.points {
        let at = view.at(point.at);
        placer.take(Frame::new(at.x, at.y, 0.0, 0.0).grown(POINT_MM));
    }
    for point in &marked.points {
        let at = view.at(point.at);
        page.open_named("point", &point.name);
        page.circle(at, POINT_MM, Ink::Rule, Some(BLUE));
        let set = Lettering::SMALL_BOLD;
        let label = Label::new().line(&point.name, set).with_bare_leader();
        if !label.place(page, placer, at, POINT_MM + 0.4, at - middle) {
            // There is no free paper left: over a line is better than nameless.
            page.words(at + Vector::new(POINT_MM + 0.6, -POINT_MM), &point.name, set);
        }
        page.close();
    }
}

/// Names of openings and creases, where they are not those of their points.
fn names(page: &mut Canvas, placer: &mut Placer, marked: &MarkedOut, view: &View) {
    let is_point = |name: &str| marked.points.iter().any(|point| point.name == name);
    page.open("opening-names");
    for opening in marked.openings.iter().filter(|opening| !is_point(&opening.name)) {
        let (at, gap_mm) = match &opening.shape {
            OpeningShape::Round { at, dia_mm } => (*at, dia_mm / 2.0 * view.scale[0]),
            OpeningShape::Slot { from, to, width_mm } => (center(from, to), width_mm / 2.0 * view.scale[0]),
            OpeningShape::Window(outline) => {
                let (low, high) = outline.bounds();
                (center(&low, &high), 0.0)
            }
        };
        let words = format!("{} {}", kind(opening), opening.name);
        let label = Label::new().line(&words, Lettering::SMALL);
        let _ = label.place(page, placer, view.at(at), gap_mm + 0.6, Vector::zeros());
    }
    page.close();
    for crease in &marked.creases {
        let ends = [crease.from, crease.to].map(|at| view.at(at));
        let words = format!("bend {} {}", crease.name, crease.bent);
        let label = Label::new().line(&words, Lettering::SMALL.coloured(BLUE));
        let along = ends[1] - ends[0];
        let places: Vec<(Point, Vector)> = [0.5, 0.3, 0.7]
            .iter()
            .map(|share| (ends[0] + along * *share, Vector::new(-along.y, along.x)))
            .collect();
        let _ = label.place_at_any(page, placer, &places, 0.8);
    }
}

/// The lines of a reading with its figure, over them where there is room.
fn reading(page: &mut Canvas, placer: &mut Placer, reading: &MarkedReading, dimension: &Dimension) {
    page.open_named("reading", &reading.index.to_string());
    dimension.draw(page);
    let label = Label::new().line(&reading.read, Lettering::SMALL).boxed(WHITE);
    if !label.place_on(page, placer, &dimension.on)
        && let Some(at) = dimension.on.first()
    {
        let _ = label.place(page, placer, *at, 0.6, dimension.toward);
    }
    page.close();
}

/// What the lines mean, and what is left out; gives the y beneath.
fn beneath(page: &mut Canvas, marked: &MarkedOut, top: f64) -> f64 {
    let wide = WIDTH_MM - 2.0 * MARGIN_MM;
    let mut kinds = Vec::new();
    if !marked.outline.edges.is_empty() {
        kinds.push(if marked.outline.sound {
            (Ink::Edge, "outside edge")
        } else {
            (Ink::Unsound, "outside edge, not sound yet")
        });
    }
    if !marked.openings.is_empty() && !marked.outline.sound {
        kinds.push((Ink::Edge, "edge of an opening"));
    }
    if !marked.creases.is_empty() {
        kinds.push((Ink::BendCentre, "crease"));
    }
    if !marked.scribed.is_empty() {
        kinds.push((Ink::Scribed, "scribed mark"));
    }
    if !marked.readings.is_empty() {
        kinds.push((Ink::Thin, "reading"));
    }
    let mut y = top + 1.0;
    if !kinds.is_empty() {
        y = paper::key(page, Point::new(MARGIN_MM, y), wide, &kinds).bottom() + 1.0;
    }
    if !marked.not_drawn.is_empty() {
        y = paper::heading(page, Point::new(MARGIN_MM, y), "Not drawn yet");
        for told in &marked.not_drawn {
            y = paragraph(page, Point::new(MARGIN_MM, y), wide, told, Lettering::SMALL) + 0.6;
        }
    }
    y
}

/// What the picture shows, in words.
fn in_words(marked: &MarkedOut) -> String {
    let mut said = vec![match marked.points.len() {
        0 => "The mock-up seen flat. No point is marked out yet.".to_owned(),
        1 => "The mock-up seen flat, with one point.".to_owned(),
        count => format!("The mock-up seen flat, with {count} points."),
    }];
    for point in &marked.points {
        said.push(format!(
            "{} is {} across and {} up.",
            point.name,
            figures::both(point.at.x),
            figures::both(point.at.y)
        ));
    }
    said.push(match (marked.outline.edges.len(), marked.outline.sound) {
        (0, _) => "There is no outside edge yet.".to_owned(),
        (count, true) => format!("The outside edge closes and has {count} edges."),
        (count, false) => format!("The outside edge is not sound yet; {count} of its edges are drawn."),
    });
    for opening in &marked.openings {
        said.push(match &opening.shape {
            OpeningShape::Round { dia_mm, .. } => {
                format!("Hole {}, {} across.", opening.name, figures::both(*dia_mm))
            }
            OpeningShape::Slot { width_mm, .. } => {
                format!("Slot {}, {} wide.", opening.name, figures::both(*width_mm))
            }
            OpeningShape::Window(_) => format!("Window {}.", opening.name),
        });
    }
    for crease in &marked.creases {
        said.push(format!("Bend {}, {}.", crease.name, crease.bent));
    }
    for reading in &marked.readings {
        said.push(format!("Reading {}: {}.", reading.called, reading.read));
    }
    if !marked.not_drawn.is_empty() {
        said.push(format!("Not drawn yet: {}", marked.not_drawn.join(" ")));
    }
    said.join(" ")
}
