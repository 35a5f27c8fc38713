//! The plate as pieces that move when it is folded: panels that keep their shape, and bends that are curved.

use nalgebra::{Isometry3, Point3, Vector3};
use sheet::Part;

use crate::folded::fold::{Fold, Owner};
use crate::mesh::{Mesh, Skin, mesh};
use crate::solid::SolidError;

/// A facet of a bend turns through no more than this: finer than a screen shows.
const FACET_RAD: f64 = 0.15;
/// Two cut edges that meet at more than this meet in a corner that is drawn.
const CORNER_RAD: f64 = 0.4;

/// What a piece is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PieceOf {
    /// A panel, by its index in the part.
    Panel(usize),
    /// A bend, by its index in the part.
    Bend(usize),
}

/// Triangles of a piece, and the edges that are drawn of it, by its points.
#[derive(Debug, Clone, PartialEq)]
pub struct FoldingPiece {
    /// What it is.
    pub of: PieceOf,
    /// Of a panel in the panel's own axes, mm; of a bend none: every frame has them.
    pub points: Vec<Point3<f64>>,
    /// Counter-clockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
    /// Edges that are drawn.
    pub edges: Vec<[u32; 2]>,
}

/// Where the pieces are while the plate is folded so far.
#[derive(Debug, Clone, PartialEq)]
pub struct FoldingFrame {
    /// For each panel, from its own axes to those of the frame.
    pub panels: Vec<Isometry3<f64>>,
    /// For each bend, the points of its piece.
    pub bends: Vec<Vec<Point3<f64>>>,
}

/// All pieces of a part: its panels, then its bends.
#[derive(Debug, Clone, PartialEq)]
pub struct FoldingPieces {
    /// In that order.
    pub pieces: Vec<FoldingPiece>,
}

impl FoldingPieces {
    /// The pieces of a part; flats of the panels stand off true arcs by no more than `chord_error_mm`.
    ///
    /// # Errors
    /// [`SolidError`] when the part's panels and bends do not fit together.
    pub fn of(part: &Part, chord_error_mm: f64) -> Result<FoldingPieces, SolidError> {
        let mesh = mesh(part, chord_error_mm)?;
        let edges = drawn_edges(&mesh);
        let panels = (0..part.panels.len()).map(|panel| panel_piece(part, &mesh, &edges, panel));
        let bends = (0..part.bends.len()).map(|bend| bend_piece(part, bend));
        Ok(FoldingPieces {
            pieces: panels.chain(bends).collect(),
        })
    }

    /// Where they are with each bend made to a share of its angle, as [`Part::part_way`] has it, in the axes that `pose` leads to.
    pub fn frame(part: &Part, shares: &[f64], pose: Isometry3<f64>) -> FoldingFrame {
        let stands = part.part_way(shares);
        let fold = Fold { part: &stands, pose };
        let bends = part.bends.iter().enumerate().map(|(index, bend)| {
            let steps = steps(bend.bent_rad);
            let mut points = Vec::new();
            for (number, strip) in bend.strips.iter().enumerate() {
                for step in 0..=steps {
                    let share = step as f64 / steps as f64;
                    for end in [0, 1] {
                        let at = strip.fixed[end] + (strip.moving[end] - strip.fixed[end]) * share;
                        for z in fold.faces_z() {
                            points.push(fold.place(Owner::Strip(index, number), at, z));
                        }
                    }
                }
            }
            points
        });
        FoldingFrame {
            bends: bends.collect(),
            panels: stands.panels.iter().map(|panel| pose * panel.to_folded).collect(),
        }
    }
}

fn steps(bent_rad: f64) -> usize {
    ((bent_rad / FACET_RAD).ceil() as usize).max(1)
}

/// A bend's strips, each a row of rungs: at a rung's start on the far face and the marked face, then at its end.
fn bend_piece(part: &Part, bend: usize) -> FoldingPiece {
    let steps = steps(part.bends[bend].bent_rad);
    let mut piece = FoldingPiece {
        of: PieceOf::Bend(bend),
        points: Vec::new(),
        triangles: Vec::new(),
        edges: Vec::new(),
    };
    for strip in 0..part.bends[bend].strips.len() {
        for step in 0..steps {
            let first = ((strip * (steps + 1) + step) * 4) as u32;
            let at = |corner: u32| first + corner;
            // 0 and 1: the start's far and marked point, 2 and 3: the end's, and the same of the next rung four on.
            for [a, b, c, d] in [[1, 3, 7, 5], [2, 0, 4, 6], [0, 1, 5, 4], [3, 2, 6, 7]] {
                piece.triangles.push([at(a), at(b), at(c)]);
                piece.triangles.push([at(a), at(c), at(d)]);
            }
            for corner in 0..4 {
                piece.edges.push([at(corner), at(corner + 4)]);
            }
        }
    }
    piece
}

/// An edge of the mesh with the two triangles beside it.
struct Drawn {
    ends: [u32; 2],
    skins: [Skin; 2],
}

fn drawn_edges(mesh: &Mesh) -> Vec<Drawn> {
    let mut sides: Vec<([u32; 2], usize)> = Vec::new();
    for (index, &[a, b, c]) in mesh.triangles.iter().enumerate() {
        for [from, to] in [[a, b], [b, c], [c, a]] {
            sides.push(([from.min(to), from.max(to)], index));
        }
    }
    sides.sort_unstable();
    let pairs = sides.chunk_by(|one, other| one.0 == other.0);
    pairs
        .filter_map(|pair| {
            let [(ends, one), (_, other)] = pair else {
                return None;
            };
            let skins = [mesh.skins[*one], mesh.skins[*other]];
            let normal = |triangle: usize| -> Vector3<f64> { mesh.normal(mesh.triangles[triangle]) };
            let corner = || normal(*one).angle(&normal(*other)) > CORNER_RAD;
            let is_edge = |skin: Skin| matches!(skin, Skin::PanelEdge(_));
            let drawn = if is_edge(skins[0]) && is_edge(skins[1]) {
                corner()
            } else {
                skins[0] != skins[1]
            };
            drawn.then_some(Drawn { ends: *ends, skins })
        })
        .collect()
}

fn panel_of(skin: Skin) -> Option<usize> {
    match skin {
        Skin::PanelMarked(panel) | Skin::PanelFar(panel) | Skin::PanelEdge(panel) => Some(panel),
        Skin::BendInside(_) | Skin::BendOutside(_) | Skin::BendEdge(_) => None,
    }
}

fn panel_piece(part: &Part, mesh: &Mesh, edges: &[Drawn], panel: usize) -> FoldingPiece {
    let back = part.panels[panel].to_folded.inverse();
    let mut numbers: Vec<Option<u32>> = vec![None; mesh.points.len()];
    let mut points = Vec::new();
    let mut own = |point: u32| {
        *numbers[point as usize].get_or_insert_with(|| {
            points.push(back * mesh.points[point as usize]);
            (points.len() - 1) as u32
        })
    };
    let triangles = mesh.triangles.iter().zip(&mesh.skins);
    let triangles: Vec<[u32; 3]> = triangles
        .filter(|&(_, skin)| panel_of(*skin) == Some(panel))
        .map(|(corners, _)| corners.map(&mut own))
        .collect();
    let edges: Vec<[u32; 2]> = edges
        .iter()
        .filter(|edge| edge.skins.iter().any(|skin| panel_of(*skin) == Some(panel)))
        .map(|edge| edge.ends.map(&mut own))
        .collect();
    FoldingPiece {
        of: PieceOf::Panel(panel),
        points,
        triangles,
        edges,
    }
}
