//! The mesh of a part: points first (rims, then strips), then triangles between them.

use nalgebra::Point3;
use plane::{Point, Segment};
use sheet::Part;

use super::flat;
use super::{Mesh, Skin};
use crate::solid::{BentStrip, FoldedPlate, Level, Rim, RimPlace, SolidError};

/// Arcs are cut into steps between these, however large or small the chord error: eight steps to a turn still look
/// round, and two thousand are finer than any printer.
const WIDEST_STEP_RAD: f64 = std::f64::consts::FRAC_PI_4;
const FINEST_STEP_RAD: f64 = std::f64::consts::TAU / 2048.0;

/// How fine the mesh is to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeshOptions {
    /// Flats may stand off the true arcs by this, mm, above 0 (steps stay between 1/8 and 1/2048 of a turn).
    pub chord_error_mm: f64,
    /// Panels and bends are cut evenly into pieces about this long, mm; none leaves large triangles where the plate is
    /// flat.
    pub piece_mm: Option<f64>,
}

/// The folded plate as a closed mesh, in the axes of the folded part, with as few triangles as `chord_error_mm` allows.
///
/// # Errors
/// [`SolidError`] when the part's panels and bends do not fit together, or the chord error is not above 0.
pub fn mesh(part: &Part, chord_error_mm: f64) -> Result<Mesh, SolidError> {
    mesh_with(
        part,
        MeshOptions {
            chord_error_mm,
            piece_mm: None,
        },
    )
}

/// As [`mesh`], cut into even pieces where asked.
///
/// # Errors
/// As [`mesh`].
pub fn mesh_with(part: &Part, options: MeshOptions) -> Result<Mesh, SolidError> {
    if options.chord_error_mm.is_nan() || options.chord_error_mm <= 0.0 {
        return Err(SolidError::ChordError {
            mm: options.chord_error_mm,
        });
    }
    let plate = FoldedPlate::of(part)?;
    let mut build = Build {
        plate: &plate,
        part,
        options,
        rims: Vec::new(),
        mesh: Draft::default(),
    };
    for panel in 0..plate.panels.len() {
        build.panel(panel)?;
    }
    for strip in &plate.strips {
        build.strip(strip);
    }
    Ok(build.mesh.finish())
}

/// Points and triangles so far. Points that are one point in space may have two numbers until the end.
#[derive(Default)]
struct Draft {
    points: Vec<Point3<f64>>,
    /// For each point, the point it is the same as (itself, mostly).
    same_as: Vec<u32>,
    triangles: Vec<[u32; 3]>,
    skins: Vec<Skin>,
}

impl Draft {
    fn point(&mut self, at: Point3<f64>) -> u32 {
        let index = self.points.len() as u32;
        self.points.push(at);
        self.same_as.push(index);
        index
    }

    fn triangle(&mut self, corners: [u32; 3], skin: Skin) {
        self.triangles.push(corners);
        self.skins.push(skin);
    }

    /// Four corners, counter-clockwise seen from outside.
    fn quad(&mut self, [a, b, c, d]: [u32; 4], skin: Skin) {
        self.triangle([a, b, c], skin);
        self.triangle([a, c, d], skin);
    }

    fn root(&self, mut point: u32) -> u32 {
        while self.same_as[point as usize] != point {
            point = self.same_as[point as usize];
        }
        point
    }

    fn join(&mut self, point: u32, to: u32) {
        let (point, to) = (self.root(point), self.root(to));
        self.same_as[point as usize] = to;
    }

    /// Joins the points that are one, drops triangles that have shrunk to a line, and numbers the rest anew.
    fn finish(self) -> Mesh {
        let mut number: Vec<Option<u32>> = vec![None; self.points.len()];
        let mut mesh = Mesh {
            points: Vec::new(),
            triangles: Vec::new(),
            skins: Vec::new(),
        };
        for (triangle, &skin) in self.triangles.iter().zip(&self.skins) {
            let [a, b, c] = triangle.map(|point| self.root(point));
            if a == b || b == c || c == a {
                continue;
            }
            let corners = [a, b, c].map(|point| {
                *number[point as usize].get_or_insert_with(|| {
                    mesh.points.push(self.points[point as usize]);
                    (mesh.points.len() - 1) as u32
                })
            });
            mesh.triangles.push(corners);
            mesh.skins.push(skin);
        }
        mesh
    }
}

/// The points of one rim: numbers on the far and the marked face, and where each edge's points start.
struct RimPoints {
    numbers: Vec<[u32; 2]>,
    starts: Vec<usize>,
}

struct Build<'a> {
    plate: &'a FoldedPlate,
    part: &'a Part,
    options: MeshOptions,
    /// Points of the rims, by panel and rim.
    rims: Vec<Vec<RimPoints>>,
    mesh: Draft,
}

impl Build<'_> {
    fn pieces(&self, length_mm: f64) -> usize {
        match self.options.piece_mm {
            Some(piece_mm) if piece_mm > 0.0 => (length_mm / piece_mm).ceil().max(1.0) as usize,
            _ => 1,
        }
    }

    fn steps(&self, radius_mm: f64, sweep_rad: f64) -> usize {
        let widest = 2.0
            * (1.0 - self.options.chord_error_mm / radius_mm)
                .clamp(-1.0, 1.0)
                .acos();
        let step = widest.clamp(FINEST_STEP_RAD, WIDEST_STEP_RAD);
        let round = (sweep_rad.abs() / step).ceil().max(1.0) as usize;
        round.max(self.pieces(radius_mm * sweep_rad.abs()))
    }

    /// Into how many pieces a strip is cut along its bend.
    fn strip_pieces(&self, strip: &BentStrip) -> usize {
        let length = |[first, last]: [f64; 2]| (last - first).abs();
        self.pieces(length(strip.fixed_mm).max(length(strip.moving_mm)))
    }

    /// Points along one edge, its first corner included and its last not.
    fn edge_points(&self, place: RimPlace) -> Vec<Point> {
        let rim = &self.plate.panels[place.panel].rims[place.rim];
        let edge = rim.edges[place.edge];
        let segment = Segment::new(edge.from, rim.end_of(place.edge), edge.bulge);
        let strip = edge.joins.and_then(|_| {
            self.plate
                .strips
                .iter()
                .find(|strip| strip.fixed == place || strip.moving == place)
        });
        let count = match (strip, segment) {
            (Some(strip), _) => self.strip_pieces(strip),
            (None, Segment::Line { .. }) => self.pieces(segment.length_mm()),
            (
                None,
                Segment::Arc {
                    radius_mm, sweep_rad, ..
                },
            ) => self.steps(radius_mm, sweep_rad),
        };
        // The first corner as it is: other faces use it too.
        (0..count)
            .map(|i| {
                if i == 0 {
                    edge.from
                } else {
                    segment.point_at(i as f64 / count as f64)
                }
            })
            .collect()
    }

    fn panel(&mut self, panel: usize) -> Result<(), SolidError> {
        let plate = self.plate;
        let mut runs: Vec<Vec<Point>> = Vec::new();
        let mut starts = Vec::new();
        for (rim, Rim { edges }) in plate.panels[panel].rims.iter().enumerate() {
            let mut run = Vec::new();
            let mut firsts = Vec::new();
            for edge in 0..edges.len() {
                firsts.push(run.len());
                run.extend(self.edge_points(RimPlace { panel, rim, edge }));
            }
            runs.push(run);
            starts.push(firsts);
        }
        let inner = self.inner_points(panel, &runs);
        let triangles = flat::triangles(&runs, &inner).map_err(|at| SolidError::EdgesCross {
            panel: self.part.panels[panel].name.clone(),
            at,
        })?;
        let number = |mesh: &mut Draft, at: Point| {
            Level::BOTH.map(|level| mesh.point(plate.in_space(panel, at, level)))
        };
        let mut numbers = Vec::new();
        let mut rims = Vec::new();
        for (run, starts) in runs.iter().zip(starts) {
            let of_run: Vec<[u32; 2]> = run.iter().map(|&at| number(&mut self.mesh, at)).collect();
            numbers.extend_from_slice(&of_run);
            rims.push(RimPoints {
                numbers: of_run,
                starts,
            });
        }
        numbers.extend(inner.iter().map(|&at| number(&mut self.mesh, at)));
        for triangle in triangles {
            let [[a, high_a], [b, high_b], [c, high_c]] = triangle.map(|corner| numbers[corner]);
            self.mesh
                .triangle([high_a, high_b, high_c], Skin::PanelMarked(panel));
            self.mesh.triangle([a, c, b], Skin::PanelFar(panel));
        }
        self.rims.push(rims);
        self.panel_edges(panel);
        Ok(())
    }

    /// The cut edges of a panel: everywhere but where a bend starts.
    fn panel_edges(&mut self, panel: usize) {
        for (rim, points) in self.rims[panel].iter().enumerate() {
            let edges = &self.plate.panels[panel].rims[rim].edges;
            let count = points.numbers.len();
            for (i, _) in edges.iter().enumerate().filter(|(_, edge)| edge.joins.is_none()) {
                let end = points.starts.get(i + 1).copied().unwrap_or(count);
                for k in points.starts[i]..end {
                    let [low_from, high_from] = points.numbers[k];
                    let [low_to, high_to] = points.numbers[(k + 1) % count];
                    self.mesh
                        .quad([low_from, low_to, high_to, high_from], Skin::PanelEdge(panel));
                }
            }
        }
    }

    /// A square grid of points within a panel, kept off its edges; none unless pieces are asked for.
    fn inner_points(&self, panel: usize, runs: &[Vec<Point>]) -> Vec<Point> {
        let Some(piece_mm) = self.options.piece_mm.filter(|&piece_mm| piece_mm > 0.0) else {
            return Vec::new();
        };
        let flat = &self.part.panels[panel].flat;
        let (low, high) = flat.bounds();
        let clear_mm = piece_mm / 2.0;
        let counts = (high - low).map(|length| (length / piece_mm).floor() as usize);
        let mut inner = Vec::new();
        for row in 1..=counts.y {
            for column in 1..=counts.x {
                let at = low + plane::Vector::new(column as f64, row as f64) * piece_mm;
                let near = runs.iter().flatten().any(|edge| (edge - at).norm() < clear_mm);
                if !near && flat.contains(at) && flat.distance_to(at).0 >= clear_mm {
                    inner.push(at);
                }
            }
        }
        inner
    }

    /// The points along a joined rim edge, both corners included.
    fn along_edge(&self, place: RimPlace) -> Vec<[u32; 2]> {
        let points = &self.rims[place.panel][place.rim];
        let count = points.numbers.len();
        let start = points.starts[place.edge];
        let end = points.starts.get(place.edge + 1).copied().unwrap_or(count);
        (start..=end).map(|k| points.numbers[k % count]).collect()
    }

    fn strip(&mut self, strip: &BentStrip) {
        let columns = self.strip_pieces(strip);
        let rows = self.steps(strip.radius_mm(strip.inside.other()), strip.turn_rad);
        let fixed: Vec<[u32; 2]> = self.along_edge(strip.fixed).into_iter().rev().collect();
        let moving = self.along_edge(strip.moving);
        let mut grid = vec![fixed];
        for row in 1..rows {
            let share = row as f64 / rows as f64;
            grid.push(
                (0..=columns)
                    .map(|column| {
                        let along_mm = strip.along_mm(share, column as f64 / columns as f64);
                        Level::BOTH.map(|level| self.mesh.point(strip.at(share, along_mm, level)))
                    })
                    .collect(),
            );
        }
        grid.push(moving);
        self.join_sharp_inside(strip, &grid);
        self.strip_skin(strip, &grid);
    }

    /// A sharp bend has one line inside: all rows there are one row where the strip does not slide along it.
    fn join_sharp_inside(&mut self, strip: &BentStrip, grid: &[Vec<[u32; 2]>]) {
        if !(strip.is_sharp() && strip.is_square(0) && strip.is_square(1)) {
            return;
        }
        let level = strip.inside.index();
        for row in &grid[1..] {
            for (point, first) in row.iter().zip(&grid[0]) {
                self.mesh.join(point[level], first[level]);
            }
        }
    }

    fn strip_skin(&mut self, strip: &BentStrip, grid: &[Vec<[u32; 2]>]) {
        let skin_of = |level: Level| match level == strip.inside {
            true => Skin::BendInside(strip.bend),
            false => Skin::BendOutside(strip.bend),
        };
        let edge = Skin::BendEdge(strip.bend);
        let last = grid[0].len() - 1;
        for rows in grid.windows(2) {
            let (here, next) = (&rows[0], &rows[1]);
            for k in 0..last {
                let around = [here[k], here[k + 1], next[k + 1], next[k]];
                let [a, b, c, d] = around.map(|point| point[Level::High.index()]);
                self.mesh.quad([a, b, c, d], skin_of(Level::High));
                let [a, b, c, d] = around.map(|point| point[Level::Low.index()]);
                self.mesh.quad([d, c, b, a], skin_of(Level::Low));
            }
            for (from, to) in [(next[0], here[0]), (here[last], next[last])] {
                self.mesh.quad([from[0], to[0], to[1], from[1]], edge);
            }
        }
    }
}
