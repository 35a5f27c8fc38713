//! The plate while it is folded: looked at from one side, and as pieces that move.

mod pieces;
#[cfg(test)]
mod tests;

use nalgebra::{Isometry3, Point3, Vector3};
use plane::Point;
use sheet::Part;

pub use pieces::{FoldingFrame, FoldingPiece, FoldingPieces, PieceOf};

use crate::canvas::{Canvas, Setting};
use crate::figures;
use crate::folded::fold::Fold;
use crate::folded::hidden::{Eye, Scene};
use crate::folded::notes::{Marks, face_word, scale_bar};
use crate::folded::shape::Shape;
use crate::folded::views::{FRONT, ISOMETRIC, ISOMETRIC_SHARE, Picture, RIGHT, TOP, seen_bounds};
use crate::frame::{Frame, around};
use crate::ink::Ink;
use crate::lettering::Lettering;
use crate::place::Placer;

/// The side that a part is looked at from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    /// Along y: x to the right, z up.
    Front,
    /// Against y: x to the left, z up.
    Back,
    /// Along x: y to the left, z up.
    Left,
    /// Against x: y to the right, z up.
    Right,
    /// Against z: x to the right, y up.
    Above,
    /// Along z: x to the right, y down.
    Below,
    /// From the front, right and above.
    Corner,
}

impl View {
    /// All of them.
    pub const ALL: [View; 7] = [
        View::Corner,
        View::Front,
        View::Back,
        View::Left,
        View::Right,
        View::Above,
        View::Below,
    ];

    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            View::Front => "front",
            View::Back => "back",
            View::Left => "left",
            View::Right => "right",
            View::Above => "above",
            View::Below => "below",
            View::Corner => "corner",
        }
    }

    /// The view of this word.
    pub fn of_word(word: &str) -> Option<View> {
        View::ALL.into_iter().find(|view| view.word() == word)
    }

    /// Where the eye is, and what is right and up in the picture.
    pub fn says(self) -> &'static str {
        match self {
            View::Front => "From the front: x right, z up",
            View::Back => "From behind: x left, z up",
            View::Left => "From the left: y left, z up",
            View::Right => "From the right: y right, z up",
            View::Above => "From above: x right, y up",
            View::Below => "From below: x right, y down",
            View::Corner => "From the front, right and above",
        }
    }

    fn eye(self) -> Eye {
        let turned = |eye: Eye| Eye {
            right: -eye.right,
            up: eye.up,
            toward: -eye.toward,
        };
        match self {
            View::Front => FRONT,
            View::Back => turned(FRONT),
            View::Right => RIGHT,
            View::Left => turned(RIGHT),
            View::Above => TOP,
            View::Below => Eye {
                right: TOP.right,
                up: -TOP.up,
                toward: -TOP.toward,
            },
            View::Corner => ISOMETRIC,
        }
    }

    /// Unit directions to the right and up in the picture, and from the part toward the eye.
    pub fn directions(self) -> [Vector3<f64>; 3] {
        let eye = self.eye();
        [eye.right, eye.up, eye.toward]
    }
}

/// Something that stands beside the part, as lines: a keep-out.
#[derive(Debug, Clone, PartialEq)]
pub struct Beside {
    /// What it is called.
    pub name: String,
    /// Runs of straight lines in the axes of the drawing, mm.
    pub lines: Vec<Vec<Point3<f64>>>,
}

/// What the view is told besides the part.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FoldingNotes {
    /// Which part this is.
    pub title: String,
    /// How far it is folded, in words.
    pub stands: String,
    /// From the part's axes to those of the drawing.
    pub pose: Option<Isometry3<f64>>,
    /// Mounts to mark, by name and place in the axes of the drawing, mm.
    pub mounts: Vec<(String, Point3<f64>)>,
    /// What else is marked with a cross and its name, in the axes of the drawing, mm: where the support must sit.
    pub spots: Vec<(String, Point3<f64>)>,
    /// What it must stay clear of.
    pub beside: Vec<Beside>,
}

/// Narrow paper, so that its words are still read on a narrow screen, mm.
const WIDTH_MM: f64 = 170.0;
const HEIGHT_MM: f64 = 140.0;
/// Room round the part for names: beside it, above it, below it.
const ROOM_MM: [f64; 3] = [20.0, 20.0, 22.0];

/// Draws a plate from one side as an SVG file, hidden edges dashed in the views square to an axis; its openings, the mounts
/// and what stands beside it are named. Same input, same bytes.
///
/// The part is drawn as it stands: [`Part::part_way`] gives one that is folded in part.
pub fn folding_svg(part: &Part, view: View, notes: &FoldingNotes) -> String {
    let pose = notes.pose.unwrap_or_else(Isometry3::identity);
    let shape = Shape::of(Fold { part, pose });
    let eye = view.eye();
    let places = crate::folded::places(part, &pose);
    let mut page = Canvas::new(WIDTH_MM, HEIGHT_MM, Setting::AnyViewer);
    let area = Frame::new(3.0, 3.0, WIDTH_MM - 6.0, HEIGHT_MM - 6.0);
    page.words(
        Point::new(area.left, area.top + 4.0),
        view.says(),
        Lettering::SMALL_BOLD,
    );
    let wide = Lettering::SMALL.width_mm(&notes.stands);
    page.words(
        Point::new(area.right() - wide, area.top + 4.0),
        &notes.stands,
        Lettering::SMALL,
    );
    let bounds = seen_bounds(&shape, &eye);
    let factor = ((area.width - 2.0 * ROOM_MM[0]) / bounds.width.max(1e-6))
        .min((area.height - ROOM_MM[1] - ROOM_MM[2]) / bounds.height.max(1e-6))
        .min(2.0);
    // Two decimals are enough for a scale nobody measures by.
    let factor = ((factor * 100.0).floor() / 100.0).max(0.01);
    let corner = Point::new(
        area.left + (area.width - bounds.width * factor) / 2.0,
        area.top
            + ROOM_MM[1]
            + (area.height - ROOM_MM[1] - ROOM_MM[2] - bounds.height * factor).max(0.0) / 2.0,
    );
    let (picture, frame) = Picture::at(&shape, eye, factor, corner);
    let mut placer = Placer::new(area);
    placer.take(Frame::new(area.left, area.top, area.width, 6.0));
    let share = if view == View::Corner {
        ISOMETRIC_SHARE
    } else {
        1.0
    };
    let bar = Point::new(area.left + 2.0, area.bottom() - 6.0);
    let along = if view == View::Corner {
        "along any axis"
    } else {
        "in this view"
    };
    scale_bar(&mut page, &mut placer, bar, factor * share, along);
    page.open_clipped(&format!("beside-{}", view.word()), area);
    for beside in &notes.beside {
        for run in &beside.lines {
            let points: Vec<Point> = run.iter().map(|at| picture.on_paper(at)).collect();
            page.path(&crate::canvas::run(&points, false), Ink::Clamp, None);
        }
    }
    page.close();
    page.open("view");
    let scene = Scene::new(&shape.faces, eye);
    picture.draw(&mut page, &mut placer, &shape, &scene, view != View::Corner);
    page.close();
    let marks = Marks {
        places: &places,
        mounts: &notes.mounts,
        centre: None,
    };
    marks.on_isometric(&mut page, &mut placer, &picture, frame, &scene);
    spots(&mut page, &mut placer, &picture, frame, notes);
    beside_names(&mut page, &mut placer, &picture, area, notes);
    face_word(&mut page, &mut placer, &picture, frame, &shape.fold, &scene);
    let title = format!(
        "{}, {}: {}",
        crate::blank::named(&notes.title),
        notes.stands,
        view.says()
    );
    page.finish("gusset-folding", &title, &in_words(&shape, &places, notes))
}

fn spots(page: &mut Canvas, placer: &mut Placer, picture: &Picture, frame: Frame, notes: &FoldingNotes) {
    for (name, at) in &notes.spots {
        let at = picture.on_paper(at);
        page.circle(at, 1.6, Ink::Rule, None);
        crate::label::Label::new().line(name, Lettering::SMALL).place(
            page,
            placer,
            at,
            1.6,
            crate::folded::notes::lean(at, frame.centre()),
        );
    }
}

fn beside_names(
    page: &mut Canvas,
    placer: &mut Placer,
    picture: &Picture,
    area: Frame,
    notes: &FoldingNotes,
) {
    for beside in &notes.beside {
        let corners = beside.lines.iter().flatten().map(|at| picture.on_paper(at));
        let within =
            |at: &Point| area.left < at.x && at.x < area.right() && area.top < at.y && at.y < area.bottom();
        let Some(seen) = around(corners.filter(within)) else {
            continue;
        };
        crate::label::Label::new()
            .line(&format!("keep out: {}", beside.name), Lettering::SMALL)
            .place(
                page,
                placer,
                seen.centre(),
                0.0,
                crate::folded::notes::lean(seen.centre(), area.centre()),
            );
    }
}

/// The view in words.
fn in_words(shape: &Shape<'_>, places: &[crate::folded::Place], notes: &FoldingNotes) -> String {
    let sizes = crate::folded::overall(shape);
    let mut says = vec![format!(
        "{}. It measures {} along x, {} along y, {} along z.",
        notes.stands,
        figures::both(sizes[0]),
        figures::both(sizes[1]),
        figures::both(sizes[2])
    )];
    for place in places {
        says.push(format!("{} at {}.", place.name, figures::spot(&place.at)));
    }
    for (name, at) in &notes.mounts {
        says.push(format!("Mount {name} at {}.", figures::spot(at)));
    }
    for (name, at) in &notes.spots {
        says.push(format!("{name} at {}.", figures::spot(at)));
    }
    for beside in &notes.beside {
        says.push(format!("Keep-out {} is drawn in thin lines.", beside.name));
    }
    says.join(" ")
}
