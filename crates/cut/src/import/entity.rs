//! Sections, blocks and entities: who owns which pairs.

use std::collections::BTreeMap;

use plane::Point;

use super::error::ImportError;
use super::unit::DrawingUnit;
use crate::grain::{GrainError, Pair};

/// One entity: its kind, and the pairs that describe it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Entity<'a> {
    pub(super) start: Pair<'a>,
    pub(super) body: &'a [Pair<'a>],
}

/// A block: entities about a base point.
#[derive(Debug, Clone)]
pub(super) struct Block<'a> {
    pub(super) base: Point,
    pub(super) entities: Vec<Entity<'a>>,
}

/// A drawing as it lies in the file.
#[derive(Debug, Default)]
pub(super) struct Drawing<'a> {
    /// What the header says; none when it is silent.
    pub(super) unit: Option<DrawingUnit>,
    pub(super) blocks: BTreeMap<&'a str, Block<'a>>,
    pub(super) entities: Vec<Entity<'a>>,
}

impl<'a> Entity<'a> {
    pub(super) fn kind(&self) -> &'a str {
        self.start.value
    }

    pub(super) fn line(&self) -> usize {
        self.start.line
    }

    fn find(&self, code: i32) -> Option<&'a Pair<'a>> {
        self.body.iter().find(|pair| pair.code == code)
    }

    pub(super) fn layer(&self) -> &'a str {
        self.find(8).map_or("0", |pair| pair.value)
    }

    pub(super) fn name(&self) -> Result<&'a str, ImportError> {
        Ok(self.find(2).ok_or_else(|| self.missing(2))?.value)
    }

    pub(super) fn number(&self, code: i32) -> Result<Option<f64>, GrainError> {
        self.find(code).map(Pair::number).transpose()
    }

    pub(super) fn number_or(&self, code: i32, other: f64) -> Result<f64, ImportError> {
        Ok(self.number(code)?.unwrap_or(other))
    }

    pub(super) fn need(&self, code: i32) -> Result<f64, ImportError> {
        self.number(code)?.ok_or_else(|| self.missing(code))
    }

    pub(super) fn place(&self, code: i32) -> Result<Point, ImportError> {
        Ok(Point::new(self.need(code)?, self.need(code + 10)?))
    }

    pub(super) fn whole_or(&self, code: i32, other: i64) -> Result<i64, ImportError> {
        Ok(self.find(code).map(Pair::whole).transpose()?.unwrap_or(other))
    }

    fn missing(&self, code: i32) -> ImportError {
        ImportError::Missing {
            line: self.line(),
            kind: self.kind().to_owned(),
            code,
        }
    }

    pub(super) fn cannot_be(&self, why: &'static str) -> ImportError {
        ImportError::CannotBe {
            line: self.line(),
            kind: self.kind().to_owned(),
            why,
        }
    }
}

/// Cuts a run of pairs into entities at its groups of code 0.
fn entities_of<'a>(body: &'a [Pair<'a>]) -> Vec<Entity<'a>> {
    let starts: Vec<usize> = (0..body.len()).filter(|&i| body[i].code == 0).collect();
    starts
        .iter()
        .enumerate()
        .map(|(i, &start)| Entity {
            start: body[start],
            body: &body[start + 1..starts.get(i + 1).copied().unwrap_or(body.len())],
        })
        .collect()
}

/// The parts of a file that matter here.
pub(super) fn read<'a>(pairs: &'a [Pair<'a>]) -> Result<Drawing<'a>, ImportError> {
    let mut drawing = Drawing::default();
    let mut rest = pairs;
    let mut drawn = false;
    while let Some((start, after)) = rest.split_first() {
        if !start.starts("SECTION") {
            return Err(start.out_of_place().into());
        }
        let length = after
            .iter()
            .position(|pair| pair.starts("ENDSEC"))
            .ok_or_else(|| GrainError::EndsEarly {
                line: pairs.last().map_or(0, |last| last.line),
            })?;
        let section = &after[..length];
        let Some((name, body)) = section.split_first().filter(|(name, _)| name.code == 2) else {
            return Err(start.out_of_place().into());
        };
        match name.value {
            "HEADER" => drawing.unit = unit_of(body)?,
            "BLOCKS" => drawing.blocks = blocks_of(body)?,
            "ENTITIES" => {
                drawn = true;
                drawing.entities = entities_of(body);
            }
            _ => {}
        }
        rest = &after[length + 1..];
    }
    if drawn {
        Ok(drawing)
    } else {
        Err(ImportError::NoEntities)
    }
}

fn unit_of(header: &[Pair]) -> Result<Option<DrawingUnit>, ImportError> {
    let named = header
        .iter()
        .position(|pair| pair.code == 9 && pair.value == "$INSUNITS");
    match named.and_then(|at| header.get(at + 1)) {
        Some(value) => Ok(DrawingUnit::of_code(value.whole()?)),
        None => Ok(None),
    }
}

fn blocks_of<'a>(body: &'a [Pair<'a>]) -> Result<BTreeMap<&'a str, Block<'a>>, ImportError> {
    let mut blocks = BTreeMap::new();
    let mut open: Option<(&'a str, Block<'a>)> = None;
    for entity in entities_of(body) {
        match entity.kind() {
            "BLOCK" => {
                if open.is_some() {
                    return Err(entity.start.out_of_place().into());
                }
                let base = Point::new(entity.number_or(10, 0.0)?, entity.number_or(20, 0.0)?);
                let block = Block {
                    base,
                    entities: Vec::new(),
                };
                open = Some((entity.name()?, block));
            }
            "ENDBLK" => {
                let (name, block) = open.take().ok_or_else(|| entity.start.out_of_place())?;
                blocks.insert(name, block);
            }
            _ => match &mut open {
                Some((_, block)) => block.entities.push(entity),
                None => return Err(entity.start.out_of_place().into()),
            },
        }
    }
    match open {
        Some(_) => Err(GrainError::EndsEarly {
            line: body.last().map_or(0, |last| last.line),
        }
        .into()),
        None => Ok(blocks),
    }
}
