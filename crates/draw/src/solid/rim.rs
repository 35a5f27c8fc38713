//! The edge of a panel, cut so that every bend that starts there has one edge of its own.

use plane::{Outline, Point, Vertex};

/// A tangent line lies on a panel's edge when it is within this of it: ten times [`plane::SAME_POINT_MM`], because the
/// panel was trimmed and the strip was cut from the same numbers by two routes.
const ON_RIM_MM: f64 = 1e-5;

/// A closed run of edges, the panel's material on the left.
#[derive(Debug, Clone)]
pub(crate) struct Rim {
    pub(crate) edges: Vec<RimEdge>,
}

/// An edge from one corner to the next edge's corner.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RimEdge {
    /// Its first corner, in mock-up axes.
    pub(crate) from: Point,
    /// tan(sweep / 4).
    pub(crate) bulge: f64,
    /// Whether a bend starts here, and on which of its sides this edge is.
    pub(crate) joins: Option<StripSide>,
}

/// Which tangent line of a strip.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum StripSide {
    /// On the panel nearer the root.
    Fixed,
    /// On the panel that turns.
    Moving,
}

/// An edge of a rim, or the corner it starts from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct RimPlace {
    pub(crate) panel: usize,
    pub(crate) rim: usize,
    pub(crate) edge: usize,
}

impl Rim {
    pub(super) fn of(outline: &Outline) -> Rim {
        let edge = |vertex: &Vertex| RimEdge {
            from: vertex.at,
            bulge: vertex.bulge,
            joins: None,
        };
        Rim {
            edges: outline.vertices().iter().map(edge).collect(),
        }
    }

    pub(crate) fn end_of(&self, edge: usize) -> Point {
        self.edges[(edge + 1) % self.edges.len()].from
    }

    /// The corner at this place, made by cutting a straight edge if need be.
    fn corner_at(&mut self, at: Point) -> Option<usize> {
        let there = |edge: &RimEdge| (edge.from - at).norm() <= ON_RIM_MM;
        if let Some(corner) = self.edges.iter().position(there) {
            return Some(corner);
        }
        let on = (0..self.edges.len()).find(|&i| self.edges[i].bulge == 0.0 && self.passes(i, at))?;
        self.edges.insert(
            on + 1,
            RimEdge {
                from: at,
                bulge: 0.0,
                joins: None,
            },
        );
        Some(on + 1)
    }

    /// Whether a straight edge passes within reach of a place between its ends.
    fn passes(&self, edge: usize, at: Point) -> bool {
        let (from, to) = (self.edges[edge].from, self.end_of(edge));
        let along = to - from;
        let share = (at - from).dot(&along) / along.norm_squared();
        (0.0..=1.0).contains(&share) && (from + along * share - at).norm() <= ON_RIM_MM
    }
}

/// Marks the run of a rim from one place to another as the one edge of a strip; corners between them, which lie on the
/// same line, go. The place that is not on any rim, when one is not.
pub(super) fn join(rims: &mut [Rim], [start, end]: [Point; 2], side: StripSide) -> Result<(), Point> {
    for rim in rims.iter_mut() {
        let Some(_) = rim.corner_at(start) else { continue };
        let last = rim.corner_at(end).ok_or(end)?;
        // The second cut may have moved the first corner.
        let first = rim.corner_at(start).ok_or(start)?;
        let count = rim.edges.len();
        let steps = (last + count - first) % count;
        let along = end - start;
        let straight = (0..steps).all(|step| {
            let edge = &rim.edges[(first + step) % count];
            let off_mm = (along.perp(&(edge.from - start)) / along.norm()).abs();
            edge.bulge == 0.0 && edge.joins.is_none() && off_mm <= ON_RIM_MM
        });
        if steps == 0 || !straight {
            return Err(start);
        }
        rim.edges[first].joins = Some(side);
        let between = |i: usize| {
            let step = (i + count - first) % count;
            step > 0 && step < steps
        };
        let mut i = 0;
        rim.edges.retain(|_| {
            let keep = !between(i);
            i += 1;
            keep
        });
        return Ok(());
    }
    Err(start)
}

/// The edge that joins a strip and starts at this place.
pub(super) fn joint_at(rims: &[Rim], at: Point, side: StripSide) -> Option<(usize, usize)> {
    rims.iter().enumerate().find_map(|(rim, Rim { edges })| {
        edges
            .iter()
            .position(|edge| edge.joins == Some(side) && (edge.from - at).norm() <= ON_RIM_MM)
            .map(|edge| (rim, edge))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square() -> Rim {
        let corners = [(0.0, 0.0), (4.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
        Rim {
            edges: corners
                .iter()
                .map(|&(x, y)| RimEdge {
                    from: Point::new(x, y),
                    bulge: 0.0,
                    joins: None,
                })
                .collect(),
        }
    }

    #[test]
    fn a_bend_that_starts_within_an_edge_gets_an_edge_of_its_own() {
        let mut rims = [square()];
        let run = [Point::new(2.0, 0.0), Point::new(9.0, 0.0)];
        join(&mut rims, run, StripSide::Moving).expect("the run is on the edge");
        let rim = &rims[0];
        let joined = rim
            .edges
            .iter()
            .position(|edge| edge.joins.is_some())
            .expect("an edge is joined");
        assert_eq!((rim.edges[joined].from, rim.end_of(joined)), (run[0], run[1]));
        assert_eq!(
            rim.edges.len(),
            6,
            "the corner at x = 4 has gone: {:?}",
            rim.edges
        );
    }

    #[test]
    fn a_bend_over_a_whole_edge_keeps_its_corners() {
        let mut rims = [square()];
        join(
            &mut rims,
            [Point::new(0.0, 10.0), Point::new(0.0, 0.0)],
            StripSide::Fixed,
        )
        .expect("it is an edge");
        assert_eq!(rims[0].edges[4].joins, Some(StripSide::Fixed));
        assert_eq!(rims[0].edges.len(), 5);
    }

    #[test]
    fn a_bend_off_the_edge_is_told_by_its_end() {
        let off = Point::new(2.0, 0.1);
        assert_eq!(
            join(&mut [square()], [off, Point::new(9.0, 0.0)], StripSide::Fixed),
            Err(off)
        );
    }
}
