//! The drawing of the folded part: an isometric view and three views square to the axes.

pub(crate) mod fold;
pub(crate) mod hidden;
pub(crate) mod notes;
pub(crate) mod shape;
#[cfg(test)]
mod tests;
pub(crate) mod tidy;
pub(crate) mod views;

use nalgebra::{Isometry3, Point3, Vector3};
use plane::{Outline, Point};
use sheet::{OpeningShape, Part};

use crate::canvas::{Canvas, Setting};
use crate::figures;
use crate::frame::Frame;
use crate::ink::Ink;
use crate::lettering::Lettering;
use crate::place::Placer;
use crate::sheet_of_paper as paper;
use crate::title::{Scale, TitleBlock};
use fold::Fold;
use hidden::{Eye, Scene};
use shape::Shape;
use views::{FRONT, ISOMETRIC, ISOMETRIC_SHARE, Picture, RIGHT, TOP, seen_bounds};

/// What the folded drawing is told besides the part.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FoldedNotes {
    /// The words and figures round it.
    pub block: TitleBlock,
    /// Where the part sits on the equipment: from the folded part's axes to the equipment's. Without it the drawing is
    /// in the part's own axes.
    pub pose: Option<Isometry3<f64>>,
    /// What x, y and z mean on the equipment, in a few words each ("along the handle"); may be empty.
    pub axes: [String; 3],
    /// Mounts to mark, by name and place in the axes of the drawing, mm.
    pub mounts: Vec<(String, Point3<f64>)>,
    /// Centre of mass in the folded part's own axes, mm.
    pub centre_of_mass: Option<Point3<f64>>,
}

/// The strip of paper for the views, mm.
const VIEWS_MM: f64 = 196.0;
/// Width of the three views' share of it.
const THREE_MM: f64 = 236.0;
/// Room for dimensions and names round the three views: left, between, right; above, between, below.
const ROOM_ACROSS_MM: [f64; 3] = [30.0, 34.0, 10.0];
const ROOM_DOWN_MM: [f64; 3] = [10.0, 28.0, 26.0];

/// A hole, slot or window as it comes to lie in the drawing's axes.
pub(crate) struct Place {
    pub name: String,
    pub opening: usize,
    /// Its middle on the face that the lines are on, mm.
    pub at: Point3<f64>,
    /// Square to the plate, from the far face to the marked face.
    pub axis: Vector3<f64>,
    /// Points round its edge on both faces.
    pub rim: Vec<Point3<f64>>,
    /// Half its least width, mm.
    pub reach_mm: f64,
}

/// Draws the folded part as an SVG file: isometric without hidden lines, front, top and right views with them dashed,
/// each at a stated scale, with hole names, mounts, centre of mass, overall sizes and a table of places. Same input, same
/// bytes.
pub fn folded_svg(part: &Part, notes: &FoldedNotes) -> String {
    let block = &notes.block;
    let pose = notes.pose.unwrap_or_else(Isometry3::identity);
    let shape = Shape::of(Fold { part, pose });
    let places = places(part, &pose);
    let centre = notes.centre_of_mass.map(|at| pose * at);

    let mut page = Canvas::new(paper::WIDTH_MM, paper::LEAST_HEIGHT_MM, Setting::AnyViewer);
    let top = paper::head(&mut page, block, "Folded part");
    let left = paper::MARGIN_MM;
    let three = Frame::new(left, top, THREE_MM, VIEWS_MM);
    let alone = Frame::new(
        three.right() + paper::GUTTER_MM,
        top,
        paper::WIDTH_MM - paper::MARGIN_MM - three.right() - paper::GUTTER_MM,
        VIEWS_MM,
    );
    let marks = notes::Marks {
        places: &places,
        mounts: &notes.mounts,
        centre,
    };
    let scale = three_views(&mut page, three, &shape, &marks);
    isometric(&mut page, alone, &shape, &marks, notes);

    let key_top = top + VIEWS_MM + 1.0;
    let key = paper::key(
        &mut page,
        Point::new(left, key_top),
        paper::WIDTH_MM - 2.0 * paper::MARGIN_MM,
        &[
            (Ink::Seen, "edge in sight"),
            (Ink::Hidden, "hidden edge (three views)"),
            (Ink::Tangent, "bend begins or ends"),
        ],
    );
    let mut y = key.bottom() + 3.0;
    y = notes::tables(
        &mut page,
        Point::new(left, y),
        part,
        block,
        &marks,
        notes.pose.is_some(),
    );
    y = paper::findings_and_notes(&mut page, Point::new(left, y), block, &[]);
    let strip_mm = paper::strip_height(block);
    let strip_top = y.max(paper::LEAST_HEIGHT_MM - paper::MARGIN_MM - strip_mm);

    let sizes = overall(&shape);
    let mut facts = paper::common_facts(block, part.thickness_mm);
    facts.push(("Overall x, y, z", sizes.map(figures::both).join(", ")));
    facts.push(("Three views", format!("{scale} on A3")));
    paper::strip(&mut page, strip_top, block, &facts);
    page.size.height = strip_top + strip_mm + paper::MARGIN_MM;

    let title = format!("Folded part: {}", crate::blank::named(&block.title));
    page.finish(
        "gusset-folded",
        &title,
        &notes::in_words(part, block, &marks, sizes, notes.pose.is_some()),
    )
}

/// Overall sizes along x, y and z, mm.
pub(crate) fn overall(shape: &Shape<'_>) -> [f64; 3] {
    let (front, side) = (seen_bounds(shape, &FRONT), seen_bounds(shape, &RIGHT));
    [front.width, side.width, front.height]
}

pub(crate) fn places(part: &Part, pose: &Isometry3<f64>) -> Vec<Place> {
    /// Chords of a rim are no further than this from it.
    const RIM_MM: f64 = 0.1;
    let faces = Fold { part, pose: *pose }.faces_z();
    let mut places = Vec::new();
    for panel in &part.panels {
        let to_view = pose * panel.to_folded;
        for &opening in &panel.openings {
            let Some(named) = part.openings.get(opening) else {
                continue;
            };
            let (at, reach_mm, outline) = match &named.shape {
                OpeningShape::Round { at, dia_mm } => (*at, dia_mm / 2.0, Outline::circle(*at, *dia_mm).ok()),
                OpeningShape::Slot { from, to, width_mm } => (
                    nalgebra::center(from, to),
                    width_mm / 2.0,
                    Outline::slot(*from, *to, *width_mm).ok(),
                ),
                OpeningShape::Window(outline) => {
                    let bounds = crate::trace::bounds(outline);
                    (
                        bounds.centre(),
                        bounds.width.min(bounds.height) / 2.0,
                        Some(outline.clone()),
                    )
                }
            };
            let ring = outline.map_or(vec![at], |outline| outline.flattened(RIM_MM));
            let rim = faces
                .iter()
                .flat_map(|z| ring.iter().map(move |at| Point3::new(at.x, at.y, *z)))
                .map(|at| to_view * at)
                .collect();
            places.push(Place {
                name: named.name.clone(),
                opening,
                at: to_view * Point3::new(at.x, at.y, 0.0),
                axis: to_view * Vector3::z(),
                rim,
                reach_mm,
            });
        }
    }
    places.sort_by_key(|place| place.opening);
    places.dedup_by_key(|place| place.opening);
    places
}

/// Front view lower left, top view above it, right view beside it, all at one scale; gives the scale.
fn three_views(page: &mut Canvas, area: Frame, shape: &Shape<'_>, marks: &notes::Marks<'_>) -> Scale {
    let [x, y, z] = overall(shape);
    let room = [
        area.width - ROOM_ACROSS_MM.iter().sum::<f64>(),
        area.height - ROOM_DOWN_MM.iter().sum::<f64>(),
    ];
    let scale = Scale::to_fit([x + y, y + z], room);
    let factor = scale.factor();
    let slack = [
        (room[0] - (x + y) * factor).max(0.0),
        (room[1] - (y + z) * factor).max(0.0),
    ];
    // Spare paper is shared between the views, so that labels find room there too.
    let left = area.left + ROOM_ACROSS_MM[0] + slack[0] * 0.3;
    let top = area.top + ROOM_DOWN_MM[0] + slack[1] * 0.3;
    let front_top = top + y * factor + ROOM_DOWN_MM[1] + slack[1] * 0.35;
    let side_left = left + x * factor + ROOM_ACROSS_MM[1] + slack[0] * 0.35;

    let mut placer = Placer::new(area);
    let views: [(Eye, Point, &str); 3] = [
        (TOP, Point::new(left, top), "From above: x right, y up"),
        (
            FRONT,
            Point::new(left, front_top),
            "From the front: x right, z up",
        ),
        (
            RIGHT,
            Point::new(side_left, front_top),
            "From the right: y right, z up",
        ),
    ];
    let mut pictures = Vec::new();
    for (eye, corner, words) in views {
        let (picture, frame) = Picture::at(shape, eye, factor, corner);
        page.open("view");
        let scene = Scene::new(&shape.faces, eye);
        picture.draw(page, &mut placer, shape, &scene, true);
        page.close();
        notes::view_title(page, &mut placer, frame, words);
        pictures.push((picture, frame));
    }
    notes::size_across(page, &mut placer, pictures[1].1, x);
    notes::size_up(page, &mut placer, pictures[1].1, z);
    notes::size_across(page, &mut placer, pictures[2].1, y);
    let bar = Point::new(area.left + 2.0, area.bottom() - 6.0);
    notes::scale_bar(page, &mut placer, bar, factor, &format!("scale {scale}"));
    marks.on_views(page, &mut placer, &pictures);
    scale
}

fn isometric(
    page: &mut Canvas,
    area: Frame,
    shape: &Shape<'_>,
    marks: &notes::Marks<'_>,
    told: &FoldedNotes,
) {
    const ROOM_MM: [f64; 2] = [42.0, 70.0];
    let bounds = seen_bounds(shape, &ISOMETRIC);
    let fits = ((area.width - ROOM_MM[0]) / bounds.width.max(1e-6))
        .min((area.height - ROOM_MM[1]) / bounds.height.max(1e-6))
        .min(2.0);
    // Two decimals are enough for a scale nobody measures by.
    let factor = ((fits * 100.0).floor() / 100.0).max(0.01);
    let corner = Point::new(
        area.left + (area.width - bounds.width * factor) / 2.0,
        area.top + 16.0 + (area.height - ROOM_MM[1] - bounds.height * factor).max(0.0) / 2.0,
    );
    let (picture, frame) = Picture::at(shape, ISOMETRIC, factor, corner);
    let mut placer = Placer::new(area);
    page.open("view");
    let scene = Scene::new(&shape.faces, ISOMETRIC);
    picture.draw(page, &mut placer, shape, &scene, false);
    page.close();
    let words = "Isometric, from the front, right and above";
    page.words(
        Point::new(area.left, area.top + 3.4),
        words,
        Lettering::SMALL_BOLD,
    );
    placer.take(Frame::new(
        area.left,
        area.top,
        Lettering::SMALL_BOLD.width_mm(words),
        5.0,
    ));
    notes::axes(
        page,
        &mut placer,
        Point::new(area.left + 16.0, area.bottom() - 14.0),
        &told.axes,
        told.pose.is_some(),
    );
    let bar = Point::new(area.right() - 62.0, area.bottom() - 6.0);
    notes::scale_bar(page, &mut placer, bar, factor * ISOMETRIC_SHARE, "along any axis");
    marks.on_isometric(page, &mut placer, &picture, frame, &scene);
    notes::face_word(page, &mut placer, &picture, frame, &shape.fold, &scene);
}
