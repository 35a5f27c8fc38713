//! The part before and after a step, as outlines seen from where the person stands, with what is hidden left out.

use std::collections::BTreeMap;

use nalgebra::{Point3, Vector3};
use plane::Point;

use super::{LookFace, PartLook};
use crate::canvas::{Canvas, run};
use crate::folded::hidden::{Eye, Scene};
use crate::folded::shape::{Edge, EdgeKind, FlatFace};
use crate::folded::tidy::tidied;
use crate::folded::views::ISOMETRIC;
use crate::frame::{Frame, around};
use crate::ink::Ink;
use crate::label::Label;
use crate::lettering::Lettering;
use crate::place::Placer;

/// Corners this near each other are one corner, mm.
const SAME_MM: f64 = 1e-3;
/// Sine of the angle under which two faces still lie in one plane.
const IN_PLANE: f64 = 1e-6;
/// Room round the part for names, mm on paper: across, down.
const ROOM_MM: [f64; 2] = [24.0, 20.0];

/// Draws both pictures at one scale, each with its words over it.
pub(super) fn draw(page: &mut Canvas, frames: [Frame; 2], pair: [(&str, &PartLook); 2]) {
    let eye = ISOMETRIC;
    let bounds = pair.map(|(_, part)| around(places(part).map(|at| eye.see(&at))));
    let factor = bounds
        .iter()
        .flatten()
        .zip(&frames)
        .map(|(bounds, frame)| {
            ((frame.width - ROOM_MM[0]) / bounds.width.max(1.0))
                .min((frame.height - ROOM_MM[1]) / bounds.height.max(1.0))
        })
        .fold(2.0, f64::min);
    for ((words, part), (frame, bounds)) in pair.into_iter().zip(frames.into_iter().zip(bounds)) {
        page.rectangle(frame, Ink::Thin, None);
        let set = Lettering::SMALL_BOLD;
        page.words(Point::new(frame.left + 2.0, frame.top + 4.6), words, set);
        if let Some(bounds) = bounds {
            one(page, frame, part, &eye, (bounds, factor));
        }
    }
}

/// Every corner that is a number.
fn places(part: &PartLook) -> impl Iterator<Item = Point3<f64>> + '_ {
    part.faces
        .iter()
        .flat_map(|face| face.rings.iter().flatten())
        .copied()
        .filter(|at| at.coords.iter().all(|part| part.is_finite()))
}

fn one(page: &mut Canvas, frame: Frame, part: &PartLook, eye: &Eye, (bounds, factor): (Frame, f64)) {
    let room = Frame::new(frame.left, frame.top + 6.0, frame.width, frame.height - 6.0);
    let origin = Point::new(
        room.centre().x - bounds.centre().x * factor,
        room.centre().y + bounds.centre().y * factor,
    );
    let on_paper = |at: Point| Point::new(origin.x + at.x * factor, origin.y - at.y * factor);
    let faces: Vec<FlatFace> = sound(part)
        .map(|face| FlatFace {
            rings: face.rings.clone(),
        })
        .collect();
    let scene = Scene::new(&faces, *eye);
    let mut seen = scene.look(&edges(part, eye));
    seen.retain(|seen| seen.in_sight);
    let mut placer = Placer::new(room);
    page.open("part");
    for seen in tidied(seen) {
        let ink = match seen.kind {
            EdgeKind::Sharp => Ink::Seen,
            EdgeKind::Tangent => Ink::Tangent,
        };
        let points: Vec<Point> = seen.run.iter().map(|at| on_paper(*at)).collect();
        for pair in points.windows(2) {
            placer.avoid(pair[0], pair[1], 0.8);
        }
        page.path(&run(&points, false), ink, None);
    }
    page.close();
    page.open("names");
    for (name, at) in &part.names {
        let place = on_paper(eye.see(at));
        let label = Label::new().line(name, Lettering::SMALL);
        label.place(page, &mut placer, place, 0.4, place - room.centre());
    }
    page.close();
}

/// Faces that are faces: at least three corners, all of them numbers.
fn sound(part: &PartLook) -> impl Iterator<Item = &LookFace> {
    part.faces.iter().filter(|face| {
        let fine = |ring: &Vec<Point3<f64>>| {
            ring.len() >= 3
                && ring
                    .iter()
                    .flat_map(|at| at.coords.iter())
                    .all(|part| part.is_finite())
        };
        !face.rings.is_empty() && face.rings.iter().all(fine)
    })
}

type Corner = [i64; 3];

fn corner(at: &Point3<f64>) -> Corner {
    [at.x, at.y, at.z].map(|part| (part / SAME_MM).round() as i64)
}

/// What two faces, or one, have in common along an edge.
struct Meets {
    ends: [Point3<f64>; 2],
    faces: Vec<(bool, Vector3<f64>)>,
}

/// The edges to draw: free edges and corners sharp, the sides of bends thin, the lines within a bend only where it turns away.
fn edges(part: &PartLook, eye: &Eye) -> Vec<Edge> {
    let mut all: BTreeMap<[Corner; 2], Meets> = BTreeMap::new();
    for face in sound(part) {
        let normal = normal(&face.rings[0]);
        for ring in &face.rings {
            for (index, from) in ring.iter().enumerate() {
                let to = &ring[(index + 1) % ring.len()];
                let (one, two) = (corner(from), corner(to));
                if one == two {
                    continue;
                }
                let key = if one < two { [one, two] } else { [two, one] };
                let meets = all.entry(key).or_insert_with(|| Meets {
                    ends: [*from, *to],
                    faces: Vec::new(),
                });
                meets.faces.push((face.of_bend, normal));
            }
        }
    }
    all.into_values()
        .filter_map(|meets| {
            let kind = match meets.faces[..] {
                [(one, first), (two, second)] if one || two => {
                    let turns_away = one && two && first.dot(&eye.toward) * second.dot(&eye.toward) < 0.0;
                    if turns_away {
                        EdgeKind::Sharp
                    } else if one && two {
                        return None;
                    } else {
                        EdgeKind::Tangent
                    }
                }
                // Two faces in one plane: a line on the plate, not a corner.
                [(_, first), (_, second)] if first.cross(&second).norm() < IN_PLANE => EdgeKind::Tangent,
                _ => EdgeKind::Sharp,
            };
            Some(Edge {
                kind,
                run: meets.ends.to_vec(),
            })
        })
        .collect()
}

/// Square to a ring, of unit length; zero for a ring without area.
fn normal(ring: &[Point3<f64>]) -> Vector3<f64> {
    let mut sum = Vector3::zeros();
    for (index, at) in ring.iter().enumerate() {
        let next = &ring[(index + 1) % ring.len()];
        sum += (at - ring[0]).cross(&(next - ring[0]));
    }
    sum.try_normalize(1e-12).unwrap_or_else(Vector3::zeros)
}
