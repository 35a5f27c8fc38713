//! Entities and blocks laid out flat: runs of lines and arcs, in mm.

use std::collections::{BTreeMap, BTreeSet};

use plane::{FARTHEST_MM, Point, Segment, Vector};

use super::ImportOptions;
use super::curve::{self, CLOSED_POLYLINE, Drawn, Fineness, SplineDrawn};
use super::entity::{Drawing, Entity};
use super::error::ImportError;
use super::note::Note;
use super::placing::Placing;
use super::unit::DrawingUnit;

/// The most lines and arcs of a drawing, blocks laid out and curves flattened.
pub const MOST_EDGES: usize = 200_000;
/// The most entities, counted again for each insert of their block.
pub const MOST_ENTITIES: usize = 1_000_000;
/// The most pairs that are looked through, counted again for each insert.
const MOST_PAIRS_READ: usize = 20_000_000;
/// How deep blocks may lie within each other.
pub const DEEPEST_BLOCKS: usize = 16;

/// A run of edges that one entity draws, in mm.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Run {
    /// Line of the file, from 1.
    pub(super) line: usize,
    pub(super) edges: Vec<Segment>,
    pub(super) closed: bool,
}

/// Everything drawn.
#[derive(Debug, Default)]
pub(super) struct Flat {
    pub(super) runs: Vec<Run>,
    pub(super) notes: Vec<Note>,
    pub(super) layers: Vec<String>,
}

pub(super) fn expand(
    drawing: &Drawing,
    options: &ImportOptions,
    unit: DrawingUnit,
) -> Result<Flat, ImportError> {
    if !(0.001..=1.0).contains(&options.flatten_mm) {
        return Err(ImportError::NoTolerance {
            flatten_mm: options.flatten_mm,
        });
    }
    let mut layout = Layout {
        drawing,
        options,
        runs: Vec::new(),
        layers: BTreeSet::new(),
        edges_n: 0,
        entities_n: 0,
        pairs_n: 0,
        ignored: BTreeMap::new(),
        not_read: BTreeMap::new(),
        hidden_n: 0,
        sizeless_n: 0,
        flattened_n: 0,
        slanting_n: 0,
    };
    layout.walk(&drawing.entities, &Placing::scale(unit.in_mm()), 0)?;
    Ok(layout.finish())
}

struct Layout<'a> {
    drawing: &'a Drawing<'a>,
    options: &'a ImportOptions,
    runs: Vec<Run>,
    layers: BTreeSet<&'a str>,
    edges_n: usize,
    entities_n: usize,
    pairs_n: usize,
    ignored: BTreeMap<&'a str, usize>,
    not_read: BTreeMap<String, usize>,
    hidden_n: usize,
    sizeless_n: usize,
    flattened_n: usize,
    slanting_n: usize,
}

/// Kinds that are never part of a shape.
const BESIDE_THE_SHAPE: [&str; 16] = [
    "TEXT",
    "MTEXT",
    "ATTRIB",
    "ATTDEF",
    "DIMENSION",
    "ARC_DIMENSION",
    "LARGE_RADIAL_DIMENSION",
    "LEADER",
    "MULTILEADER",
    "MLEADER",
    "TOLERANCE",
    "POINT",
    "HATCH",
    "VIEWPORT",
    "XLINE",
    "RAY",
];

impl<'a> Layout<'a> {
    fn walk(&mut self, entities: &[Entity<'a>], placing: &Placing, depth: usize) -> Result<(), ImportError> {
        let mut i = 0;
        while let Some(entity) = entities.get(i) {
            i += 1;
            self.entities_n += 1;
            if self.entities_n > MOST_ENTITIES {
                return Err(too_many(entity, "entities", MOST_ENTITIES));
            }
            let mut corners: &[Entity<'a>] = &[];
            if entity.kind() == "POLYLINE" {
                let length = entities[i..]
                    .iter()
                    .position(|next| next.kind() != "VERTEX")
                    .unwrap_or(entities.len() - i);
                corners = &entities[i..i + length];
                i += length;
            }
            self.pairs_n += corners
                .iter()
                .chain([entity])
                .map(|each| each.body.len())
                .sum::<usize>();
            if self.pairs_n > MOST_PAIRS_READ {
                return Err(too_many(entity, "pairs, blocks laid out", MOST_PAIRS_READ));
            }
            self.entity(entity, corners, placing, depth)?;
        }
        Ok(())
    }

    fn entity(
        &mut self,
        entity: &Entity<'a>,
        corners: &[Entity<'a>],
        placing: &Placing,
        depth: usize,
    ) -> Result<(), ImportError> {
        let kind = entity.kind();
        if kind == "SEQEND" {
            return Ok(());
        }
        if BESIDE_THE_SHAPE.contains(&kind) {
            *self.ignored.entry(kind).or_default() += 1;
            return Ok(());
        }
        let layer = entity.layer();
        let hidden = entity.whole_or(60, 0)? == 1
            || entity.whole_or(67, 0)? == 1
            || self.options.without_layers.iter().any(|other| other == layer);
        if hidden {
            self.hidden_n += 1;
            return Ok(());
        }
        // Which way the entity's own z axis points; a slanting one cannot be seen from above.
        let up = [
            entity.number_or(210, 0.0)?,
            entity.number_or(220, 0.0)?,
            entity.number_or(230, 1.0)?,
        ];
        /// Axes are written with fewer digits than places.
        const UPRIGHT: f64 = 1e-6;
        if up[0].abs() > UPRIGHT || up[1].abs() > UPRIGHT || up[2] == 0.0 {
            return self.left_unread(format!("{kind} that does not lie flat"));
        }
        let from_below = up[2] < 0.0;
        let own = if from_below {
            placing.after(&Placing::from_below())
        } else {
            *placing
        };
        let fine = Fineness {
            tolerance: self.options.flatten_mm / placing.growth().max(f64::MIN_POSITIVE),
            most: MOST_EDGES,
        };
        let too_fine = || too_many(entity, "lines and arcs", MOST_EDGES);
        // Lines, ellipses and splines are told in the drawing's coordinates, the others in their own.
        let (drawn, placing) = match kind {
            "LINE" => {
                self.slanting_n += usize::from(curve::slants(entity)?);
                (curve::line(entity)?, placing)
            }
            "ELLIPSE" => (
                curve::ellipse(entity, from_below, fine)?.ok_or_else(too_fine)?,
                placing,
            ),
            "SPLINE" => match curve::spline(entity, fine)?.ok_or_else(too_fine)? {
                SplineDrawn::Curve(drawn) => (drawn, placing),
                SplineDrawn::FitPointsAlone => {
                    return self.left_unread("SPLINE without control points".to_owned());
                }
            },
            "CIRCLE" => (curve::circle(entity)?, &own),
            "ARC" => (curve::arc(entity)?, &own),
            "LWPOLYLINE" => (curve::light_polyline(entity)?, &own),
            "POLYLINE" => match old_polyline(entity, corners)? {
                Some(drawn) => (drawn, &own),
                None => return self.left_unread("POLYLINE that is a mesh".to_owned()),
            },
            "INSERT" => return self.insert(entity, &own, depth),
            "VERTEX" | "BLOCK" | "ENDBLK" => return Err(entity.start.out_of_place().into()),
            other => return self.left_unread(other.to_owned()),
        };
        self.layers.insert(layer);
        self.take(entity, &drawn, placing)
    }

    fn left_unread(&mut self, what: String) -> Result<(), ImportError> {
        *self.not_read.entry(what).or_default() += 1;
        Ok(())
    }

    fn take(&mut self, entity: &Entity, drawn: &Drawn, placing: &Placing) -> Result<(), ImportError> {
        self.flattened_n += usize::from(drawn.flattened && !drawn.edges.is_empty());
        let mut edges: Vec<Segment> = Vec::with_capacity(drawn.edges.len());
        for edge in &drawn.edges {
            placing.edges(edge, self.options.flatten_mm, &mut edges);
            if self.edges_n + edges.len() > MOST_EDGES {
                return Err(too_many(entity, "lines and arcs", MOST_EDGES));
            }
        }
        for edge in &edges {
            let far = |p: Point| !(p.x.abs() <= FARTHEST_MM && p.y.abs() <= FARTHEST_MM);
            let huge = edge.curvature().abs().recip() > FARTHEST_MM && edge.turn_rad() != 0.0;
            if far(edge.from()) || far(edge.to()) || huge {
                return Err(entity.cannot_be("it reaches out of all measure"));
            }
        }
        let before = edges.len();
        edges.retain(|edge| edge.length_mm() >= plane::SAME_POINT_MM);
        let sizeless = before - edges.len() + usize::from(before == 0);
        self.sizeless_n += sizeless;
        if edges.is_empty() {
            return Ok(());
        }
        self.edges_n += edges.len();
        self.runs.push(Run {
            line: entity.line(),
            edges,
            closed: drawn.closed,
        });
        Ok(())
    }

    fn insert(&mut self, entity: &Entity<'a>, placing: &Placing, depth: usize) -> Result<(), ImportError> {
        if depth >= DEEPEST_BLOCKS {
            return Err(ImportError::TooDeep {
                line: entity.line(),
                most: DEEPEST_BLOCKS,
            });
        }
        let name = entity.name()?;
        let block = self
            .drawing
            .blocks
            .get(name)
            .ok_or_else(|| ImportError::NoBlock {
                line: entity.line(),
                name: name.chars().take(80).collect(),
            })?;
        let (sin, cos) = entity.number_or(50, 0.0)?.to_radians().sin_cos();
        let along_x = Vector::new(cos, sin) * entity.number_or(41, 1.0)?;
        let along_y = Vector::new(-sin, cos) * entity.number_or(42, 1.0)?;
        if along_x.norm() == 0.0 || along_y.norm() == 0.0 {
            return Err(entity.cannot_be("its scale is nothing"));
        }
        let at = entity.place(10)?;
        let (columns, rows) = (entity.whole_or(70, 1)?.max(1), entity.whole_or(71, 1)?.max(1));
        let (right, up) = (entity.number_or(44, 0.0)?, entity.number_or(45, 0.0)?);
        if columns.saturating_mul(rows) > MOST_ENTITIES as i64 {
            return Err(too_many(entity, "entities", MOST_ENTITIES));
        }
        for row in 0..rows {
            for column in 0..columns {
                // Each copy counts, even of an empty block.
                self.entities_n += 1;
                if self.entities_n > MOST_ENTITIES {
                    return Err(too_many(entity, "entities", MOST_ENTITIES));
                }
                let off = Vector::new(cos, sin) * (right * column as f64)
                    + Vector::new(-sin, cos) * (up * row as f64);
                let base = block.base.coords;
                let one = Placing {
                    origin: at + off - along_x * base.x - along_y * base.y,
                    along_x,
                    along_y,
                };
                self.walk(&block.entities, &placing.after(&one), depth + 1)?;
            }
        }
        Ok(())
    }

    fn finish(self) -> Flat {
        let mut notes: Vec<Note> = Vec::new();
        if self.flattened_n > 0 {
            notes.push(Note::Flattened {
                count: self.flattened_n,
                within_mm: self.options.flatten_mm,
            });
        }
        if self.slanting_n > 0 {
            notes.push(Note::SeenFromAbove {
                count: self.slanting_n,
            });
        }
        if self.hidden_n > 0 {
            notes.push(Note::Hidden { count: self.hidden_n });
        }
        if self.sizeless_n > 0 {
            notes.push(Note::WithoutSize {
                count: self.sizeless_n,
            });
        }
        notes.extend(
            self.not_read
                .into_iter()
                .map(|(kind, count)| Note::NotRead { kind, count }),
        );
        notes.extend(self.ignored.into_iter().map(|(kind, count)| Note::Ignored {
            kind: kind.to_owned(),
            count,
        }));
        Flat {
            runs: self.runs,
            notes,
            layers: self.layers.into_iter().map(str::to_owned).collect(),
        }
    }
}

fn too_many(entity: &Entity, what: &'static str, most: usize) -> ImportError {
    ImportError::TooMany {
        line: entity.line(),
        what,
        most,
    }
}

/// A polyline with its corners as entities of their own; none for a mesh.
fn old_polyline(entity: &Entity, corners: &[Entity]) -> Result<Option<Drawn>, ImportError> {
    /// Flags of the polyline: a mesh of faces, of either kind.
    const MESH: i64 = 16 | 64;
    /// Flag of a vertex: it guides a smooth curve and does not lie on it.
    const GUIDE: i64 = 16;
    let flags = entity.whole_or(70, 0)?;
    if flags & MESH != 0 {
        return Ok(None);
    }
    let mut places = Vec::with_capacity(corners.len());
    for corner in corners {
        if corner.whole_or(70, 0)? & GUIDE == 0 {
            places.push((corner.place(10)?, corner.number_or(42, 0.0)?));
        }
    }
    Ok(Some(curve::polyline(&places, flags & CLOSED_POLYLINE != 0)))
}
