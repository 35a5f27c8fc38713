//! The small view on the card: the part, where it is held, where it is pulled and where the movement is read.

use nalgebra::{Isometry3, Point3, Vector3};
use plane::{Point, Vector};
use sheet::Part;

use super::ProofView;
use crate::canvas::{Canvas, run};
use crate::folded::fold::Fold;
use crate::folded::hidden::{Eye, Scene};
use crate::folded::notes::lean;
use crate::folded::shape::Shape;
use crate::folded::views::{BEHIND, ISOMETRIC, Picture, seen_bounds};
use crate::frame::Frame;
use crate::ink::{INK, Ink, WHITE};
use crate::label::Label;
use crate::lettering::Lettering;
use crate::place::Placer;

/// Room for words and arrows round the part, mm.
const ROOM_MM: [f64; 2] = [26.0, 44.0];
/// The pull's arrow and the reading's, mm on paper.
const PULL_MM: f64 = 24.0;
const READ_MM: f64 = 12.0;
/// A direction shorter than this in the picture is drawn at this length, so that it still shows.
const LEAST_SHARE: f64 = 0.35;
/// A direction shorter than this points straight at the eye or away from it, and has no arrow.
const END_ON: f64 = 1e-3;
const WORDS: Lettering = Lettering::SMALL.sized(3.8);

/// Draws the view in `area`.
pub(super) fn draw(page: &mut Canvas, area: Frame, part: &Part, told: &ProofView) {
    let pose = told.pose.unwrap_or_else(Isometry3::identity);
    let shape = Shape::of(Fold { part, pose });
    let eye = eye(&shape, told);
    let bounds = seen_bounds(&shape, &eye);
    let fits = ((area.width - ROOM_MM[0]) / bounds.width.max(1e-6))
        .min((area.height - ROOM_MM[1]) / bounds.height.max(1e-6))
        .min(1.5);
    let factor = ((fits * 100.0).floor() / 100.0).max(0.01);
    let corner = Point::new(
        area.left + (area.width - bounds.width * factor) / 2.0,
        area.top + (area.height - bounds.height * factor) / 2.0,
    );
    let (picture, frame) = Picture::at(&shape, eye, factor, corner);
    page.rectangle(area, Ink::Thin, None);
    let mut placer = Placer::new(area.grown(-0.5));
    let words = if eye == ISOMETRIC {
        "seen from the front, right and above"
    } else {
        "seen from behind, left and below"
    };
    let small = Lettering::SMALL;
    let at = Point::new(area.left + 2.0, area.top + 4.6);
    page.words(at, words, small);
    placer.take(Frame::new(at.x, area.top, small.width_mm(words), 6.0));

    page.open("view");
    let scene = Scene::new(&shape.faces, eye);
    picture.draw(page, &mut placer, &shape, &scene, false);
    page.close();

    let about = frame.centre();
    page.open("marks");
    let pull = arrow(
        page,
        &mut placer,
        &picture,
        &told.pull_at_mm,
        &told.pull_toward,
        PULL_MM,
    );
    let read = gauge(page, &mut placer, &picture, told);
    let held: Vec<Point> = told
        .held_at_mm
        .iter()
        .map(|(_, at)| picture.on_paper(at))
        .collect();
    for at in &held {
        page.circle(*at, 1.6, Ink::Edge, Some(WHITE));
        // Inside the ring, so that the ring's own leader begins clear of it.
        placer.take(Frame::new(at.x - 1.0, at.y - 1.0, 2.0, 2.0));
    }
    page.close();
    page.open("words");
    let bold = WORDS.bold();
    let label = |words: &str, set: Lettering| Label::new().boxed(WHITE).line(words, set);
    let (tip, aim) = pull;
    label("PULL", bold).place(page, &mut placer, tip, 0.5, aim);
    label("READ HERE", bold).place(page, &mut placer, read, 2.0, lean(read, about));
    for ((name, _), at) in told.held_at_mm.iter().zip(&held) {
        let words = format!("held: {name}");
        label(&words, WORDS).place(page, &mut placer, *at, 1.6, lean(*at, about));
    }
    page.close();
}

/// The side from which the pull and the reading are in sight; the usual one when both are, or neither.
fn eye(shape: &Shape<'_>, told: &ProofView) -> Eye {
    let sees = |eye: Eye| {
        let scene = Scene::new(&shape.faces, eye);
        // A hair nearer than the plate it lies on.
        let near = |at: &Point3<f64>| at + eye.toward * shape.fold.part.thickness_mm;
        [told.pull_at_mm, told.read_at_mm]
            .iter()
            .filter(|at| scene.in_sight(&near(at)))
            .count()
    };
    if sees(BEHIND) > sees(ISOMETRIC) {
        BEHIND
    } else {
        ISOMETRIC
    }
}

fn on_paper(picture: &Picture, toward: &Vector3<f64>) -> Vector {
    let toward = toward.try_normalize(0.0).unwrap_or_else(Vector3::zeros);
    let seen = Vector::new(picture.eye.right.dot(&toward), -picture.eye.up.dot(&toward));
    let share = seen.norm();
    if share < END_ON {
        return Vector::zeros();
    }
    seen * (share.max(LEAST_SHARE) / share)
}

/// A heavy arrow that starts where the pull takes hold; gives its tip and its way.
fn arrow(
    page: &mut Canvas,
    placer: &mut Placer,
    picture: &Picture,
    at: &Point3<f64>,
    toward: &Vector3<f64>,
    long_mm: f64,
) -> (Point, Vector) {
    let from = picture.on_paper(at);
    let reach = on_paper(picture, toward) * long_mm;
    page.circle(from, 1.2, Ink::Edge, Some(INK));
    placer.take(Frame::new(from.x - 1.2, from.y - 1.2, 2.4, 2.4));
    let Some(aim) = reach.try_normalize(0.0) else {
        return (from, Vector::new(1.0, -1.0));
    };
    let across = Vector::new(-aim.y, aim.x);
    let tip = from + reach;
    let neck = tip - aim * 5.0;
    let head = run(&[tip, neck + across * 1.9, neck - across * 1.9], true);
    let shaft = run(&[from, neck], false);
    page.cased(&shaft, 1.8);
    page.cased(&head, 0.9);
    page.path(&shaft, Ink::Load, None);
    page.filled(&head, INK);
    page.circle(from, 1.2, Ink::Edge, Some(INK));
    placer.avoid(from, tip, 3.0);
    (tip, aim)
}

/// A double-headed arrow across the place where the movement is read.
fn gauge(page: &mut Canvas, placer: &mut Placer, picture: &Picture, told: &ProofView) -> Point {
    let at = picture.on_paper(&told.read_at_mm);
    let half = on_paper(picture, &told.read_toward) * (READ_MM / 2.0);
    // Beside the place, so that it is not lost under the pull's arrow.
    if let Some(aim) = half.try_normalize(0.0) {
        let middle = at + Vector::new(-aim.y, aim.x) * 3.4;
        let line = run(&[middle - half, middle + half], false);
        page.cased(&line, 1.2);
        page.arrow(middle, middle + half, Ink::Seen);
        page.arrow(middle, middle - half, Ink::Seen);
        placer.avoid(middle - half, middle + half, 3.0);
    }
    page.circle(at, 1.0, Ink::Seen, Some(WHITE));
    placer.take(Frame::new(at.x - 1.0, at.y - 1.0, 2.0, 2.0));
    at
}
