//! What is in sight: every edge is cut where another edge crosses it in the picture, and the middle of each piece is
//! tested against every face.
//!
//! Between two crossings nothing begins or ends to cover an edge, so one test decides a piece. The test is made a hair
//! to either side of the edge: an edge is in sight when at least one of its sides is, which holds for outer edges, inner
//! corners and edges seen end on alike.

use nalgebra::{Point3, Vector3};
use plane::{Point, Vector};

use super::shape::{Edge, EdgeKind, FlatFace};

/// How far to either side of an edge sight is tested, mm of the part: far under a chord's error.
const ASIDE_MM: f64 = 1e-4;
/// A face this much nearer the eye than the edge hides it: over the chord errors of round faces, under any plate.
const BEHIND_MM: f64 = 0.04;
/// A face whose normal leans from the line of sight so near to square is seen as a line and hides nothing by itself.
const END_ON: f64 = 2e-3;
/// Pieces shorter than this in the picture are joined to what comes before them.
const SHORT_MM: f64 = 1e-5;

/// An eye infinitely far away.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Eye {
    /// To the right in the picture.
    pub right: Vector3<f64>,
    /// Upward in the picture.
    pub up: Vector3<f64>,
    /// From the part toward the eye.
    pub toward: Vector3<f64>,
}

impl Eye {
    /// Place in the picture (y upward), mm.
    pub fn see(&self, at: &Point3<f64>) -> Point {
        Point::new(self.right.dot(&at.coords), self.up.dot(&at.coords))
    }

    /// Nearness to the eye, mm.
    pub fn near(&self, at: &Point3<f64>) -> f64 {
        self.toward.dot(&at.coords)
    }
}

/// A run of lines in the picture, all in sight or all hidden.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Seen {
    pub kind: EdgeKind,
    pub in_sight: bool,
    /// In the picture, y upward, mm of the part.
    pub run: Vec<Point>,
}

/// A face in the picture.
struct Cover {
    rings: Vec<Vec<Point>>,
    low: Point,
    high: Point,
    nearest: f64,
    /// Nearness over the picture: slope . (x, y) + level.
    slope: Vector,
    level: f64,
}

impl Cover {
    fn of(face: &FlatFace, eye: &Eye) -> Option<Self> {
        let outer = face.rings.first()?;
        let normal = newell(outer)?;
        let facing = normal.dot(&eye.toward);
        if facing.abs() < END_ON {
            return None;
        }
        let slope = Vector::new(-normal.dot(&eye.right) / facing, -normal.dot(&eye.up) / facing);
        let anchor = outer.first()?;
        let level = eye.near(anchor) - slope.dot(&eye.see(anchor).coords);
        let rings: Vec<Vec<Point>> = face
            .rings
            .iter()
            .map(|ring| ring.iter().map(|at| eye.see(at)).collect())
            .collect();
        let mut low = rings[0][0];
        let mut high = low;
        for at in &rings[0] {
            low = Point::new(low.x.min(at.x), low.y.min(at.y));
            high = Point::new(high.x.max(at.x), high.y.max(at.y));
        }
        let nearest = outer
            .iter()
            .map(|at| eye.near(at))
            .fold(f64::NEG_INFINITY, f64::max);
        Some(Self {
            rings,
            low,
            high,
            nearest,
            slope,
            level,
        })
    }

    fn hides(&self, at: Point, near: f64) -> bool {
        near + BEHIND_MM < self.nearest
            && self.low.x <= at.x
            && at.x <= self.high.x
            && self.low.y <= at.y
            && at.y <= self.high.y
            && near + BEHIND_MM < self.slope.dot(&at.coords) + self.level
            && self.covers(at)
    }

    /// Even and odd crossings of a ray to the right.
    fn covers(&self, at: Point) -> bool {
        let mut inside = false;
        for ring in &self.rings {
            let mut before = ring[ring.len() - 1];
            for &corner in ring {
                if (corner.y > at.y) != (before.y > at.y) {
                    let x = before.x + (corner.x - before.x) * (at.y - before.y) / (corner.y - before.y);
                    if x > at.x {
                        inside = !inside;
                    }
                }
                before = corner;
            }
        }
        inside
    }
}

/// Unit normal of a ring that need not be convex (Newell's sum); none for a ring without area.
fn newell(ring: &[Point3<f64>]) -> Option<Vector3<f64>> {
    let mut sum = Vector3::zeros();
    for (index, at) in ring.iter().enumerate() {
        let next = &ring[(index + 1) % ring.len()];
        sum += (at - ring[0]).cross(&(next - ring[0]));
    }
    sum.try_normalize(1e-12)
}

/// One straight edge in the picture.
#[derive(Clone, Copy)]
struct Line {
    from: Point,
    to: Point,
}

/// Everything an eye can see of a shape. The picture is divided into cells that know which faces reach into them, so
/// that sight is tested against the few faces near a place.
pub(crate) struct Scene {
    eye: Eye,
    covers: Vec<Cover>,
    low: Point,
    cell_mm: Vector,
    cells: Vec<Vec<u32>>,
}

/// Cells of the picture each way.
const CELLS: usize = 48;

impl Scene {
    pub fn new(faces: &[FlatFace], eye: Eye) -> Self {
        let covers: Vec<Cover> = faces.iter().filter_map(|face| Cover::of(face, &eye)).collect();
        let infinite = Point::new(f64::INFINITY, f64::INFINITY);
        let low = covers.iter().fold(infinite, |low, cover| low.inf(&cover.low));
        let high = covers.iter().fold(-infinite, |high, cover| high.sup(&cover.high));
        let cell_mm = ((high - low) / CELLS as f64).map(|side| if side > 1e-9 { side } else { 1e-9 });
        let mut scene = Self {
            eye,
            covers,
            low,
            cell_mm,
            cells: vec![Vec::new(); CELLS * CELLS],
        };
        for index in 0..scene.covers.len() {
            let (first, last) = (
                scene.cell(scene.covers[index].low),
                scene.cell(scene.covers[index].high),
            );
            for row in first[1]..=last[1] {
                for column in first[0]..=last[0] {
                    scene.cells[row * CELLS + column].push(index as u32);
                }
            }
        }
        scene
    }

    fn cell(&self, at: Point) -> [usize; 2] {
        let step =
            |way: usize| (((at[way] - self.low[way]) / self.cell_mm[way]).max(0.0) as usize).min(CELLS - 1);
        [step(0), step(1)]
    }

    /// Whether nothing stands between the eye and a point (a face through the point does not count).
    pub fn in_sight(&self, at: &Point3<f64>) -> bool {
        self.clear(self.eye.see(at), self.eye.near(at))
    }

    fn clear(&self, at: Point, near: f64) -> bool {
        let [column, row] = self.cell(at);
        !self.cells[row * CELLS + column]
            .iter()
            .any(|&index| self.covers[index as usize].hides(at, near))
    }

    /// The edges cut into runs in sight and hidden, in the order given.
    pub fn look(&self, edges: &[Edge]) -> Vec<Seen> {
        let lines: Vec<Line> = edges
            .iter()
            .flat_map(|edge| edge.run.windows(2))
            .map(|ends| Line {
                from: self.eye.see(&ends[0]),
                to: self.eye.see(&ends[1]),
            })
            .collect();
        let grid = Grid::new(&lines);
        let mut seen = Vec::new();
        let mut index = 0;
        for edge in edges {
            let mut open: Option<Seen> = None;
            for ends in edge.run.windows(2) {
                let line = lines[index];
                index += 1;
                if (line.to - line.from).norm() < SHORT_MM {
                    continue;
                }
                let cuts = grid.cuts(&lines, line);
                for piece in cuts.windows(2) {
                    let in_sight = self.piece_in_sight(&ends[0], &ends[1], line, (piece[0] + piece[1]) / 2.0);
                    let end = line.from + (line.to - line.from) * piece[1];
                    match &mut open {
                        Some(run) if run.in_sight == in_sight => run.run.push(end),
                        _ => {
                            let start = line.from + (line.to - line.from) * piece[0];
                            seen.extend(open.replace(Seen {
                                kind: edge.kind,
                                in_sight,
                                run: vec![start, end],
                            }));
                        }
                    }
                }
            }
            seen.extend(open);
        }
        seen
    }

    /// How many pieces are in sight at one place and hidden at another, their very ends left out.
    #[cfg(test)]
    pub fn pieces_that_change(&self, edges: &[Edge]) -> usize {
        let ends: Vec<&[Point3<f64>]> = edges.iter().flat_map(|edge| edge.run.windows(2)).collect();
        let lines: Vec<Line> = ends
            .iter()
            .map(|ends| Line {
                from: self.eye.see(&ends[0]),
                to: self.eye.see(&ends[1]),
            })
            .collect();
        let grid = Grid::new(&lines);
        let mut changing = 0;
        for (ends, line) in ends.iter().zip(&lines) {
            let length = (line.to - line.from).norm();
            for piece in grid.cuts(&lines, *line).windows(2) {
                // A hair at either end lies within the offset and the chord errors of what crosses there.
                if (piece[1] - piece[0]) * length < 0.1 {
                    continue;
                }
                let at = |step: i32| piece[0] + (piece[1] - piece[0]) * (0.1 + 0.1 * f64::from(step));
                let first = self.piece_in_sight(&ends[0], &ends[1], *line, at(0));
                if (1..=8).any(|step| self.piece_in_sight(&ends[0], &ends[1], *line, at(step)) != first) {
                    changing += 1;
                }
            }
        }
        changing
    }

    fn piece_in_sight(&self, from: &Point3<f64>, to: &Point3<f64>, line: Line, share: f64) -> bool {
        let at = line.from + (line.to - line.from) * share;
        let near = self.eye.near(from) + (self.eye.near(to) - self.eye.near(from)) * share;
        let run = (line.to - line.from).normalize();
        let aside = Vector::new(-run.y, run.x) * ASIDE_MM;
        self.clear(at + aside, near) || self.clear(at - aside, near)
    }
}

/// Lines sorted into columns of the picture, so that only neighbours are tried for crossings.
struct Grid {
    left: f64,
    column_mm: f64,
    columns: Vec<Vec<usize>>,
}

impl Grid {
    const COLUMNS: usize = 64;

    fn new(lines: &[Line]) -> Self {
        let xs = || lines.iter().flat_map(|line| [line.from.x, line.to.x]);
        let left = xs().fold(f64::INFINITY, f64::min);
        let right = xs().fold(f64::NEG_INFINITY, f64::max);
        let column_mm = ((right - left) / Self::COLUMNS as f64).max(1e-9);
        let mut grid = Self {
            left,
            column_mm,
            columns: vec![Vec::new(); Self::COLUMNS],
        };
        for (index, line) in lines.iter().enumerate() {
            for column in grid.span(line) {
                grid.columns[column].push(index);
            }
        }
        grid
    }

    fn span(&self, line: &Line) -> std::ops::RangeInclusive<usize> {
        let column = |x: f64| (((x - self.left) / self.column_mm).max(0.0) as usize).min(Self::COLUMNS - 1);
        column(line.from.x.min(line.to.x))..=column(line.from.x.max(line.to.x))
    }

    /// Shares along a line, 0 and 1 with them, where other lines cross or touch it.
    fn cuts(&self, lines: &[Line], line: Line) -> Vec<f64> {
        let run = line.to - line.from;
        let length = run.norm();
        let mut cuts = vec![0.0, 1.0];
        for column in self.span(&line) {
            for &index in &self.columns[column] {
                let other = lines[index];
                let other_run = other.to - other.from;
                let turn = run.perp(&other_run);
                let gap = other.from - line.from;
                if turn.abs() <= 1e-9 * length * other_run.norm() {
                    // Alongside: the ends of one that lies on the other may be where something begins.
                    if gap.perp(&run).abs() <= 1e-6 * length {
                        cuts.push(gap.dot(&run) / (length * length));
                        cuts.push((other.to - line.from).dot(&run) / (length * length));
                    }
                    continue;
                }
                let here = gap.perp(&other_run) / turn;
                let there = gap.perp(&run) / turn;
                if (-1e-9..=1.0 + 1e-9).contains(&there) {
                    cuts.push(here);
                }
            }
        }
        cuts.retain(|cut| (0.0..=1.0).contains(cut));
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|one, other| (*one - *other).abs() * length < SHORT_MM);
        if cuts.len() == 1 {
            cuts = vec![0.0, 1.0];
        }
        cuts
    }
}
