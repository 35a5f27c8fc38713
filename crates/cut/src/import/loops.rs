//! Closed runs as sound outlines, each taken once.

use plane::{Outline, OutlineError, Point, SAME_POINT_MM, Vertex};

use super::error::ImportError;
use super::join::Loop;
use super::note::Note;
use super::sweep::{Bounds, EXACT_LOOKS, Looks, each_near_pair};

/// An outline and where it came from.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    pub(super) line: usize,
    pub(super) outline: Outline,
    pub(super) bounds: Bounds,
    pub(super) area_mm2: f64,
}

/// Outlines that agree to this all along lie over each other.
const DOUBLED_MM: f64 = 0.01;
/// An outline with less area than this per length is a line drawn there and back.
const LEAST_WIDTH_MM: f64 = 1e-3;

pub(super) fn sound(loops: Vec<Loop>, notes: &mut Vec<Note>) -> Result<Vec<Found>, ImportError> {
    let mut looks = Looks::default();
    let mut found: Vec<Found> = Vec::with_capacity(loops.len());
    let mut without_size = 0;
    for closed in loops {
        match outline_of(&closed, &mut looks)? {
            Some(outline) => found.push(Found {
                line: closed.line,
                bounds: outline.bounds(),
                area_mm2: outline.area_mm2(),
                outline,
            }),
            None => without_size += 1,
        }
    }
    if without_size > 0 {
        notes.push(Note::WithoutSize { count: without_size });
    }
    let before = found.len();
    let found = taken_once(found, &mut looks)?;
    if found.len() < before {
        notes.push(Note::DoubledOutlines {
            count: before - found.len(),
        });
    }
    Ok(found)
}

/// The outline; none for one that encloses nothing.
fn outline_of(closed: &Loop, looks: &mut Looks) -> Result<Option<Outline>, ImportError> {
    let count = closed.edges.len();
    let mut vertices: Vec<Vertex> = Vec::with_capacity(count + 1);
    for (i, edge) in closed.edges.iter().enumerate() {
        let before = &closed.edges[(i + count - 1) % count];
        // Ends that were joined meet half way.
        let at = if before.to() == edge.from() {
            edge.from()
        } else {
            nalgebra::center(&before.to(), &edge.from())
        };
        vertices.push(Vertex {
            at,
            bulge: edge.bulge(),
        });
    }
    // An arc that nearly closes in itself has one end only: half way round it needs another corner.
    if let ([edge], [only]) = (&closed.edges[..], &mut vertices[..]) {
        let half = (edge.turn_rad() / 8.0).tan();
        only.bulge = half;
        vertices.push(Vertex {
            at: edge.point_at(0.5),
            bulge: half,
        });
    }
    drop_short_edges(&mut vertices);
    if vertices.len() < 2 {
        return Ok(None);
    }
    // The check for crossings looks at pairs; what is too tangled for it is told before.
    let boxes: Vec<Bounds> = (0..vertices.len())
        .map(|i| {
            let (a, b) = (vertices[i], vertices[(i + 1) % vertices.len()]);
            plane::Segment::new(a.at, b.at, a.bulge).bounds()
        })
        .collect();
    let mut exact = Looks::default();
    each_near_pair(&boxes, 0.0, looks, |_, _| exact.add(EXACT_LOOKS))?;
    let line = closed.line;
    match Outline::new(vertices) {
        Ok(outline) if outline.area_mm2() > LEAST_WIDTH_MM * outline.length_mm() => Ok(Some(outline)),
        Ok(_) | Err(OutlineError::EnclosesNothing | OutlineError::TooFew { .. }) => Ok(None),
        Err(OutlineError::Crosses { at, .. }) => Err(ImportError::CrossesItself { line, at }),
        Err(why) => Err(ImportError::Unsound { line, why }),
    }
}

fn drop_short_edges(vertices: &mut Vec<Vertex>) {
    let mut kept: Vec<Vertex> = Vec::with_capacity(vertices.len());
    for vertex in vertices.drain(..) {
        match kept.last_mut() {
            Some(last) if (last.at - vertex.at).norm() < SAME_POINT_MM => last.bulge = vertex.bulge,
            _ => kept.push(vertex),
        }
    }
    while kept.len() > 1 && (kept[kept.len() - 1].at - kept[0].at).norm() < SAME_POINT_MM {
        kept.pop();
    }
    *vertices = kept;
}

/// Outlines that lie over an earlier one are dropped.
fn taken_once(mut found: Vec<Found>, looks: &mut Looks) -> Result<Vec<Found>, ImportError> {
    let mut order: Vec<usize> = (0..found.len()).collect();
    order.sort_by(|&a, &b| {
        let (low_a, low_b) = (found[a].bounds.0, found[b].bounds.0);
        low_a.x.total_cmp(&low_b.x).then(a.cmp(&b))
    });
    let mut drop = vec![false; found.len()];
    for (place, &i) in order.iter().enumerate() {
        for &j in &order[place + 1..] {
            if found[j].bounds.0.x - found[i].bounds.0.x > DOUBLED_MM {
                break;
            }
            looks.add(1)?;
            if drop[i] || drop[j] || !same_box(&found[i].bounds, &found[j].bounds) {
                continue;
            }
            looks.add(2 * EXACT_LOOKS * found[i].outline.len() * found[j].outline.len())?;
            if lies_on(&found[i].outline, &found[j].outline) && lies_on(&found[j].outline, &found[i].outline)
            {
                drop[i.max(j)] = true;
            }
        }
    }
    let mut keep = drop.iter().map(|drop| !drop);
    found.retain(|_| keep.next().unwrap_or(true));
    Ok(found)
}

fn same_box(a: &Bounds, b: &Bounds) -> bool {
    let near = |p: Point, q: Point| (p.x - q.x).abs() <= DOUBLED_MM && (p.y - q.y).abs() <= DOUBLED_MM;
    near(a.0, b.0) && near(a.1, b.1)
}

/// Whether every corner and every middle of an edge lies on the other outline.
fn lies_on(one: &Outline, other: &Outline) -> bool {
    one.segments()
        .flat_map(|edge| [edge.from(), edge.point_at(0.5)])
        .all(|at| other.distance_to(at).0 <= DOUBLED_MM)
}
