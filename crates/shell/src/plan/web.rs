//! Triangles that know their neighbours: split, flip, walk. Edge `i` of a triangle runs from its corner `i` to the next.

use nalgebra::Point2;

/// No triangle, or no line.
pub(super) const NONE: u32 = u32::MAX;

/// How far over zero, against the lengths in it, a determinant must be to count: some hundred roundings, so that
/// corners on one circle are not flipped for ever.
const OVER_ROUNDING: f64 = 1e-13;

/// One triangle.
#[derive(Debug, Clone, Copy)]
pub(super) struct Triangle {
    /// Nodes, counter-clockwise.
    pub corners: [u32; 3],
    /// The triangle over each edge, or [`NONE`] where the material ends.
    pub beyond: [u32; 3],
    /// The line of the plan that each edge is part of, or [`NONE`].
    pub lines: [u32; 3],
    /// The region it is in.
    pub region: u32,
}

/// All triangles of a plan.
#[derive(Debug, Clone, Default)]
pub(super) struct Web {
    pub nodes: Vec<Point2<f64>>,
    /// For each node, the line it was put on, or [`NONE`]. Points of the plan have [`NONE`].
    pub on_line: Vec<u32>,
    pub triangles: Vec<Triangle>,
    /// For each node, a triangle at it.
    one_at: Vec<u32>,
}

/// Where a walk ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Reached {
    /// In this triangle.
    Inside(u32),
    /// At this edge of this triangle: a line or the end of the material.
    Line(u32, usize),
    /// Nowhere: rounding led it astray.
    Lost,
}

/// Twice the area of a triangle, positive when it runs counter-clockwise.
pub(super) fn twice_area(a: Point2<f64>, b: Point2<f64>, c: Point2<f64>) -> f64 {
    (b - a).perp(&(c - a))
}

/// Whether a point lies within the circle through three points that run counter-clockwise, by more than rounding.
fn in_circle(a: Point2<f64>, b: Point2<f64>, c: Point2<f64>, point: Point2<f64>) -> bool {
    let [a, b, c] = [a, b, c].map(|corner| corner - point);
    let [aa, bb, cc] = [a, b, c].map(|out| out.norm_squared());
    let parts = [aa * b.perp(&c), bb * c.perp(&a), cc * a.perp(&b)];
    let size = aa * (b.norm() * c.norm()) + bb * (c.norm() * a.norm()) + cc * (a.norm() * b.norm());
    parts.iter().sum::<f64>() > OVER_ROUNDING * size
}

/// Whether a triangle runs counter-clockwise and is more than a line.
fn is_sound(a: Point2<f64>, b: Point2<f64>, c: Point2<f64>) -> bool {
    let longest = (b - a)
        .norm_squared()
        .max((c - b).norm_squared())
        .max((a - c).norm_squared());
    twice_area(a, b, c) > OVER_ROUNDING * longest
}

impl Web {
    pub fn new(nodes: Vec<Point2<f64>>, triangles: Vec<Triangle>) -> Web {
        let mut web = Web {
            on_line: vec![NONE; nodes.len()],
            one_at: vec![NONE; nodes.len()],
            nodes,
            triangles,
        };
        for t in 0..web.triangles.len() {
            web.note(t as u32);
        }
        web
    }

    pub fn corners(&self, t: u32) -> [Point2<f64>; 3] {
        self.triangles[t as usize]
            .corners
            .map(|node| self.nodes[node as usize])
    }

    /// Both ends of an edge.
    pub fn edge(&self, t: u32, i: usize) -> [u32; 2] {
        let corners = self.triangles[t as usize].corners;
        [corners[i], corners[(i + 1) % 3]]
    }

    fn note(&mut self, t: u32) {
        for node in self.triangles[t as usize].corners {
            self.one_at[node as usize] = t;
        }
    }

    fn add_node(&mut self, at: Point2<f64>, line: u32) -> u32 {
        self.nodes.push(at);
        self.on_line.push(line);
        self.one_at.push(NONE);
        (self.nodes.len() - 1) as u32
    }

    fn set(&mut self, t: u32, triangle: Triangle) {
        self.triangles[t as usize] = triangle;
        self.note(t);
    }

    fn add(&mut self, triangle: Triangle) -> u32 {
        self.triangles.push(triangle);
        let t = (self.triangles.len() - 1) as u32;
        self.note(t);
        t
    }

    /// Tells a neighbour that what it met over its edge is now another.
    fn meet(&mut self, neighbour: u32, before: u32, now: u32) {
        if neighbour != NONE {
            for beyond in &mut self.triangles[neighbour as usize].beyond {
                if *beyond == before {
                    *beyond = now;
                    return;
                }
            }
        }
    }

    /// The edge of a triangle whose neighbour is another.
    fn edge_to(&self, t: u32, neighbour: u32) -> Option<usize> {
        self.triangles[t as usize]
            .beyond
            .iter()
            .position(|&beyond| beyond == neighbour)
    }

    /// The triangle and edge that run from one node to another; where the material lies only on the other side, the
    /// edge that runs back.
    pub fn find_edge(&self, from: u32, to: u32) -> Option<(u32, usize)> {
        for t in self.round(from) {
            let corners = self.triangles[t as usize].corners;
            let i = corners.iter().position(|&corner| corner == from)?;
            if corners[(i + 1) % 3] == to {
                return Some((t, i));
            }
        }
        for t in self.round(from) {
            let corners = self.triangles[t as usize].corners;
            let i = corners.iter().position(|&corner| corner == from)?;
            if corners[(i + 2) % 3] == to {
                return Some((t, (i + 2) % 3));
            }
        }
        // Where pieces of material touch in a point only, not all triangles there hang together.
        let runs = |t: &u32, i: usize| {
            let [a, b] = self.edge(*t, i);
            (a, b) == (from, to) || (a, b) == (to, from)
        };
        (0..self.triangles.len() as u32).find_map(|t| (0..3).find(|&i| runs(&t, i)).map(|i| (t, i)))
    }

    /// The triangles about a node that can be reached from one of them over their edges, lines or not.
    pub fn round(&self, node: u32) -> Vec<u32> {
        let first = self.one_at[node as usize];
        let mut found = Vec::with_capacity(8);
        if first == NONE {
            return found;
        }
        for turn in [0, 2] {
            let mut t = first;
            loop {
                if turn == 0 || t != first {
                    found.push(t);
                }
                let triangle = &self.triangles[t as usize];
                let Some(i) = triangle.corners.iter().position(|&corner| corner == node) else {
                    break;
                };
                t = triangle.beyond[(i + turn) % 3];
                if t == NONE {
                    break;
                }
                if t == first {
                    return found;
                }
            }
        }
        found
    }

    /// Puts a node within a triangle. None, and nothing changed, when it would make a triangle without area.
    pub fn split_triangle(&mut self, t: u32, at: Point2<f64>) -> Option<u32> {
        let Triangle {
            corners: [a, b, c],
            beyond,
            lines,
            region,
        } = self.triangles[t as usize];
        let [pa, pb, pc] = self.corners(t);
        if !(is_sound(pa, pb, at) && is_sound(pb, pc, at) && is_sound(pc, pa, at)) {
            return None;
        }
        let m = self.add_node(at, NONE);
        let second = self.triangles.len() as u32;
        let third = second + 1;
        let part = |from, to, over, line, next, last| Triangle {
            corners: [from, to, m],
            beyond: [over, next, last],
            lines: [line, NONE, NONE],
            region,
        };
        self.set(t, part(a, b, beyond[0], lines[0], second, third));
        self.add(part(b, c, beyond[1], lines[1], third, t));
        self.add(part(c, a, beyond[2], lines[2], t, second));
        self.meet(beyond[1], t, second);
        self.meet(beyond[2], t, third);
        self.legalise(vec![(t, 0), (second, 0), (third, 0)]);
        Some(m)
    }

    /// Puts a node on an edge. None, and nothing changed, when it would make a triangle without area.
    pub fn split_edge(&mut self, t: u32, i: usize, at: Point2<f64>) -> Option<u32> {
        let here = self.triangles[t as usize];
        let [a, b, c] = [0, 1, 2].map(|k| here.corners[(i + k) % 3]);
        let [ab, bc, ca] = [0, 1, 2].map(|k| here.lines[(i + k) % 3]);
        let [u, over_bc, over_ca] = [0, 1, 2].map(|k| here.beyond[(i + k) % 3]);
        let other = match u {
            NONE => None,
            u => Some((self.triangles[u as usize], self.edge_to(u, t)?)),
        };
        let place = |node: u32| self.nodes[node as usize];
        let mut sound = is_sound(place(a), at, place(c)) && is_sound(at, place(b), place(c));
        if let Some((there, j)) = other {
            let d = there.corners[(j + 2) % 3];
            sound &= is_sound(at, place(a), place(d)) && is_sound(place(b), at, place(d));
        }
        if !sound {
            return None;
        }
        let m = self.add_node(at, ab);
        let t2 = self.triangles.len() as u32;
        let u2 = if other.is_some() { t2 + 1 } else { NONE };
        let region = here.region;
        self.set(
            t,
            Triangle {
                corners: [a, m, c],
                beyond: [u, t2, over_ca],
                lines: [ab, NONE, ca],
                region,
            },
        );
        self.add(Triangle {
            corners: [m, b, c],
            beyond: [u2, over_bc, t],
            lines: [ab, bc, NONE],
            region,
        });
        self.meet(over_bc, t, t2);
        let mut doubtful = vec![(t, 2), (t2, 1)];
        if let Some((there, j)) = other {
            let d = there.corners[(j + 2) % 3];
            let [ad, db] = [1, 2].map(|k| there.lines[(j + k) % 3]);
            let [over_ad, over_db] = [1, 2].map(|k| there.beyond[(j + k) % 3]);
            let region = there.region;
            self.set(
                u,
                Triangle {
                    corners: [m, a, d],
                    beyond: [t, over_ad, u2],
                    lines: [ab, ad, NONE],
                    region,
                },
            );
            self.add(Triangle {
                corners: [b, m, d],
                beyond: [t2, u, over_db],
                lines: [ab, NONE, db],
                region,
            });
            self.meet(over_db, u, u2);
            doubtful.extend([(u, 1), (u2, 2)]);
        }
        self.legalise(doubtful);
        Some(m)
    }

    /// Flips edges opposite a new node until the triangles about it are Delaunay (Lawson).
    fn legalise(&mut self, mut doubtful: Vec<(u32, usize)>) {
        while let Some((t, i)) = doubtful.pop() {
            if self.should_flip(t, i)
                && let Some(u) = self.flip(t, i)
            {
                doubtful.push((t, 0));
                doubtful.push((u, 0));
            }
        }
    }

    /// Whether an edge is free, and the corner over it lies within the circle of this triangle.
    pub fn should_flip(&self, t: u32, i: usize) -> bool {
        let here = &self.triangles[t as usize];
        let u = here.beyond[i];
        if u == NONE || here.lines[i] != NONE {
            return false;
        }
        let Some(j) = self.edge_to(u, t) else { return false };
        let d = self.nodes[self.triangles[u as usize].corners[(j + 2) % 3] as usize];
        let [a, b, c] = [0, 1, 2].map(|k| self.nodes[here.corners[(i + k) % 3] as usize]);
        in_circle(a, b, c, d) && is_sound(a, d, c) && is_sound(d, b, c)
    }

    /// Turns the edge between two triangles into the other diagonal of their four corners; this triangle keeps its
    /// start, its neighbour (returned) its end, and the corner that was opposite the edge becomes the last of both.
    fn flip(&mut self, t: u32, i: usize) -> Option<u32> {
        let here = self.triangles[t as usize];
        let u = here.beyond[i];
        let j = self.edge_to(u, t)?;
        let there = self.triangles[u as usize];
        let [a, b, c] = [0, 1, 2].map(|k| here.corners[(i + k) % 3]);
        let [_, over_bc, over_ca] = [0, 1, 2].map(|k| here.beyond[(i + k) % 3]);
        let [_, bc, ca] = [0, 1, 2].map(|k| here.lines[(i + k) % 3]);
        let d = there.corners[(j + 2) % 3];
        let [over_ad, over_db] = [1, 2].map(|k| there.beyond[(j + k) % 3]);
        let [ad, db] = [1, 2].map(|k| there.lines[(j + k) % 3]);
        let region = here.region;
        self.set(
            t,
            Triangle {
                corners: [a, d, c],
                beyond: [over_ad, u, over_ca],
                lines: [ad, NONE, ca],
                region,
            },
        );
        self.set(
            u,
            Triangle {
                corners: [d, b, c],
                beyond: [over_db, over_bc, t],
                lines: [db, bc, NONE],
                region,
            },
        );
        self.meet(over_ad, u, t);
        self.meet(over_bc, t, u);
        Some(u)
    }

    /// Makes every free edge Delaunay again after nodes have moved. Each pass is over all edges; `passes` bounds them.
    pub fn make_delaunay(&mut self, passes: usize) {
        for _ in 0..passes {
            let mut changed = false;
            for t in 0..self.triangles.len() as u32 {
                for i in 0..3 {
                    if self.should_flip(t, i) && self.flip(t, i).is_some() {
                        changed = true;
                        break;
                    }
                }
            }
            if !changed {
                return;
            }
        }
    }

    /// Walks straight from the middle of a triangle toward a point, as far as no line is in the way.
    pub fn walk(&self, start: u32, to: Point2<f64>) -> Reached {
        let [a, b, c] = self.corners(start);
        let from = Point2::from((a.coords + b.coords + c.coords) / 3.0);
        let mut t = start;
        let mut last = NONE;
        for _ in 0..self.triangles.len() {
            let triangle = &self.triangles[t as usize];
            let places = self.corners(t);
            let mut leaves = None;
            for i in 0..3 {
                let (a, b) = (places[i], places[(i + 1) % 3]);
                if (last == NONE || triangle.beyond[i] != last) && twice_area(a, b, to) < 0.0 {
                    leaves = leaves.or(Some(i));
                    if twice_area(from, to, a) <= 0.0 && twice_area(from, to, b) >= 0.0 {
                        leaves = Some(i);
                        break;
                    }
                }
            }
            let Some(i) = leaves else {
                return Reached::Inside(t);
            };
            let next = triangle.beyond[i];
            if next == NONE || triangle.lines[i] != NONE {
                return Reached::Line(t, i);
            }
            last = t;
            t = next;
        }
        Reached::Lost
    }

    /// Edges that are lines (or ends of the material) about the triangles whose circles hold a point, from the one that
    /// it lies in.
    pub fn lines_about(&self, inside: u32, at: Point2<f64>) -> Vec<(u32, usize)> {
        let mut seen = vec![inside];
        let mut next = 0;
        let mut found = Vec::new();
        while let Some(&t) = seen.get(next) {
            next += 1;
            let triangle = &self.triangles[t as usize];
            for i in 0..3 {
                let over = triangle.beyond[i];
                if triangle.lines[i] != NONE || over == NONE {
                    found.push((t, i));
                } else if !seen.contains(&over) {
                    let [a, b, c] = self.corners(over);
                    if in_circle(a, b, c, at) {
                        seen.push(over);
                    }
                }
            }
        }
        found
    }
}
