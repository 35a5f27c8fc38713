//! Changes to the outside edge of a card.

use plane::{Corner, Material, Outline, Point, Segment, Vector, Vertex};
use sheet::Mockup;

use super::change::CannotChange;
use super::edge::{along, edge_holding, right_of};

/// Fillet where the slope of a bulge leaves its edge, in heights of the bulge: its tangents take 0.83 of a height, of the
/// 1.41 that the slope is long.
const BULGE_FILLET: f64 = 2.0;
/// A quarter turn as a bulge: tan(90 deg / 4).
const QUARTER: f64 = 0.414_213_562_373_095_03;
/// A crease is drawn on past an edge that moved by this, so that it surely ends outside the plate.
const DRAWN_PAST_MM: f64 = 2.0;
/// A crease that runs along an edge closer than this does not end at it: 20 degrees.
const RUNS_ALONG: f64 = 0.34;

/// A flap on the outside edge, square, its outer corners rounded, and the inner ones filleted where there is room.
pub(super) fn with_flap(
    outline: &Outline,
    edge: [Point; 2],
    out_mm: f64,
    corner_mm: f64,
    fillet_mm: f64,
) -> Result<Outline, CannotChange> {
    let (way, out) = frame(edge);
    let round_mm = corner_mm.min(out_mm / 2.0).min((edge[1] - edge[0]).norm() / 3.0);
    let [from, to] = edge;
    let (tip, end) = (from + out * out_mm, to + out * out_mm);
    with_run(
        outline,
        edge,
        &[
            Vertex::line(from),
            Vertex::arc(tip - out * round_mm, QUARTER),
            Vertex::line(tip + way * round_mm),
            Vertex::arc(end - way * round_mm, QUARTER),
            Vertex::line(end - out * round_mm),
            Vertex::line(to),
        ],
        fillet_mm,
    )
}

/// The outside edge moved out between two places, sloping back to it at 45 degrees in fillets.
pub(super) fn with_bulge(outline: &Outline, edge: [Point; 2], out_mm: f64) -> Result<Outline, CannotChange> {
    let (way, out) = frame(edge);
    let [from, to] = edge;
    with_run(
        outline,
        edge,
        &[
            Vertex::line(from),
            Vertex::line(from + (out + way) * out_mm),
            Vertex::line(to + (out - way) * out_mm),
            Vertex::line(to),
        ],
        BULGE_FILLET * out_mm,
    )
}

/// Draws every crease that ends at an edge on to where the edge has moved.
pub(super) fn carry_creases(mockup: &mut Mockup, edge: [Point; 2], out_mm: f64) {
    let (_, out) = frame(edge);
    let moved = Segment::line(edge[0], edge[1]);
    for crease in &mut mockup.creases {
        let way = (crease.to - crease.from).normalize();
        let slope = way.dot(&out);
        if slope.abs() < RUNS_ALONG {
            continue;
        }
        let line = Segment::line(crease.from - way * DRAWN_PAST_MM, crease.to + way * DRAWN_PAST_MM);
        if moved.meetings(&line).is_empty() {
            continue;
        }
        let longer = way * ((out_mm + DRAWN_PAST_MM) / slope.abs());
        if slope > 0.0 {
            crease.to += longer;
        } else {
            crease.from -= longer;
        }
    }
}

fn frame(edge: [Point; 2]) -> (Vector, Vector) {
    let way = along(edge);
    (way, right_of(way))
}

/// The outline with a straight run replaced. The first and last of the corners lie on it, and are filleted where there is
/// room.
fn with_run(
    outline: &Outline,
    edge: [Point; 2],
    run: &[Vertex],
    fillet_mm: f64,
) -> Result<Outline, CannotChange> {
    let outline = outline.oriented(true);
    let holding = edge_holding(&outline, edge).ok_or(CannotChange::NoSuchEdge { edge })?;
    let old = outline.vertices();
    let mut corners = old[..=holding].to_vec();
    corners.extend_from_slice(run);
    corners.extend_from_slice(&old[holding + 1..]);
    // A run that starts or ends at a corner has that corner twice.
    corners.dedup_by(|next, before| {
        let same = (next.at - before.at).norm() <= plane::SAME_POINT_MM;
        if same {
            before.bulge = next.bulge;
        }
        same
    });
    if corners.len() > 1 && (corners[0].at - corners[corners.len() - 1].at).norm() <= plane::SAME_POINT_MM {
        corners.pop();
    }
    let mut outline = Outline::new(corners)?;
    for end in edge {
        let at_end = |vertex: &Vertex| (vertex.at - end).norm() <= plane::SAME_POINT_MM;
        let Some(corner) = outline.vertices().iter().position(at_end) else {
            continue;
        };
        // A sharp inner corner is only a worse part, so one that has no room stays.
        if let Ok(filleted) = outline.with_corners(&[(corner, Corner::Round(fillet_mm))], Material::Inside) {
            outline = filleted;
        }
    }
    Ok(outline)
}
