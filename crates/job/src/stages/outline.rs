//! The outside edge: corners through points, edges that are arcs, corners treated, and what can be wrong with them.

use plane::{Corner, CornerError, Material, Outline, OutlineError, Segment, Vertex};

use crate::files::model::{ArcDef, CornerDef, Design, Name, Place, Side};
use crate::files::{Wrong, nearest};

use super::points::Places;
use super::scope::Scope;

/// The outside edge: corners through points, edges that are arcs, corners that are rounded, chamfered or notched.
pub(crate) fn outline(design: &Design, scope: &Scope, places: &Places) -> Result<Outline, Vec<Wrong>> {
    let def = &design.outline;
    let mut wrongs = Vec::new();
    let mut vertices = Vec::new();
    for name in &def.through {
        match places.at(name) {
            Ok(at) => vertices.push(Vertex { at, bulge: 0.0 }),
            Err(wrong) => wrongs.push(wrong),
        }
    }
    if !wrongs.is_empty() {
        return Err(wrongs);
    }
    let count = vertices.len();
    for (line, arc) in &def.arcs {
        match edge_of(&def.through, &line.value).ok_or_else(|| {
            Wrong::new(
                line.at.clone(),
                format!("\"{}\" is no edge of the outline", line.value.join("-")),
            )
            .expected("two points that follow each other in through")
        }) {
            Ok((edge, along)) => {
                let (from, to) = (vertices[edge].at, vertices[(edge + 1) % count].at);
                match bulge(arc, scope, places, from, to, along) {
                    Ok(bulge) => vertices[edge].bulge = bulge,
                    Err(wrong) => wrongs.push(wrong),
                }
            }
            Err(wrong) => wrongs.push(wrong),
        }
    }
    let mut corners: Vec<(usize, Corner)> = Vec::new();
    for (name, corner) in &def.corners {
        let index = match corner_index(&def.through, name) {
            Ok(index) => index,
            Err(wrong) => {
                wrongs.push(wrong);
                continue;
            }
        };
        match corner_of(scope, corner) {
            Ok(corner) => corners.extend(corner.map(|corner| (index, corner))),
            Err(wrong) => wrongs.push(wrong),
        }
    }
    if !wrongs.is_empty() {
        return Err(wrongs);
    }
    // The bare corners first, so that a crossing is told by the names of the points.
    let bare = Outline::new(vertices).map_err(|error| vec![outline_wrong(&error, &def.through)])?;
    bare.with_corners(&corners, Material::Inside)
        .map_err(|error| vec![corner_wrong(&error, &def.through, &def.corners)])
}

/// The edges between the points that have places, as far as they go; no corner is treated, and nothing is asked of them.
pub(crate) fn edges(design: &Design, scope: &Scope, places: &Places) -> Vec<Segment> {
    let def = &design.outline;
    let count = def.through.len();
    let ends = (0..count).map(|edge| (edge, (edge + 1) % count));
    let edges = ends.filter(|(_, next)| count > 2 || *next != 0);
    edges
        .filter_map(|(edge, next)| {
            let (from, to) = (
                places.get(&def.through[edge].value)?,
                places.get(&def.through[next].value)?,
            );
            let arc = def.arcs.iter().find_map(|(line, arc)| {
                let (own, along) = edge_of(&def.through, &line.value)?;
                (own == edge).then(|| bulge(arc, scope, places, from, to, along).ok())?
            });
            (from != to).then(|| Segment::new(from, to, arc.unwrap_or(0.0)))
        })
        .collect()
}

/// What is done to a corner, in numbers; none where its size is 0.
pub(super) fn corner_of(scope: &Scope, corner: &CornerDef) -> Result<Option<Corner>, Wrong> {
    let (CornerDef::Round(sum) | CornerDef::Chamfer(sum) | CornerDef::Notch(sum)) = corner;
    let mm = scope.reach_mm(sum, "the corner")?;
    let treated = match corner {
        CornerDef::Round(_) => Corner::Round(mm),
        CornerDef::Chamfer(_) => Corner::Chamfer(mm),
        CornerDef::Notch(_) => Corner::Notch(mm),
    };
    Ok((mm > 0.0).then_some(treated))
}

/// The edge between two named corners, and whether it runs in that sense.
fn edge_of(through: &[Name], line: &[String; 2]) -> Option<(usize, bool)> {
    let count = through.len();
    (0..count).find_map(|edge| {
        let (a, b) = (&through[edge].value, &through[(edge + 1) % count].value);
        if *a == line[0] && *b == line[1] {
            Some((edge, true))
        } else if *a == line[1] && *b == line[0] {
            Some((edge, false))
        } else {
            None
        }
    })
}

fn bulge(
    arc: &ArcDef,
    scope: &Scope,
    places: &Places,
    from: plane::Point,
    to: plane::Point,
    along: bool,
) -> Result<f64, Wrong> {
    match arc {
        ArcDef::Via(via) => plane::bulge_through(from, places.at(via)?, to)
            .map_err(|error| Wrong::new(via.at.clone(), error.to_string())),
        ArcDef::Radius { radius, bows } => {
            let left = (*bows == Side::Left) == along;
            let side = if left {
                plane::Side::Left
            } else {
                plane::Side::Right
            };
            plane::bulge_of_radius(from, to, scope.size_mm(radius, "the radius")?, side)
                .map_err(|error| Wrong::new(radius.at.clone(), error.to_string()))
        }
    }
}

fn name_of(through: &[Name], corner: usize) -> &str {
    through
        .get(corner % through.len().max(1))
        .map_or("?", |name| name.value.as_str())
}

fn edge_name(through: &[Name], edge: usize) -> String {
    format!("{}-{}", name_of(through, edge), name_of(through, edge + 1))
}

pub(super) fn outline_wrong(error: &OutlineError, through: &[Name]) -> Wrong {
    let at = |corner: usize| -> Place {
        through.get(corner % through.len().max(1)).map_or(
            Place {
                file: crate::files::model::FileKind::Design,
                span: 0..0,
            },
            |name| name.at.clone(),
        )
    };
    match error {
        OutlineError::ZeroLength { corner, next, .. } => Wrong::new(
            at(*next),
            format!(
                "{} and {} are one point, so the edge between them has no length",
                name_of(through, *corner),
                name_of(through, *next)
            ),
        )
        .expected("two points that are apart, or one of them left out"),
        OutlineError::Crosses {
            edge,
            other,
            at: place,
        } => Wrong::new(
            at(*other),
            format!(
                "the edges {} and {} cross or touch at {:.1}, {:.1} mm",
                edge_name(through, *edge),
                edge_name(through, *other),
                place.x,
                place.y
            ),
        )
        .expected("the corners in the order in which the edge goes round"),
        OutlineError::NotFinite { corner }
        | OutlineError::OutOfReach { corner, .. }
        | OutlineError::NearlyFullTurn { corner, .. } => {
            Wrong::new(at(*corner), format!("{}: {error}", name_of(through, *corner)))
        }
        OutlineError::TooFew { .. } | OutlineError::EnclosesNothing => Wrong::new(at(0), error.to_string()),
    }
}

pub(super) fn corner_wrong(error: &CornerError, through: &[Name], corners: &[(Name, CornerDef)]) -> Wrong {
    let (corner, expected) = match error {
        CornerError::CornerTooLarge { corner, room_mm, .. } => {
            (Some(*corner), Some(format!("at most {}", units::both(*room_mm))))
        }
        CornerError::Cusp { corner }
        | CornerError::NoSuchCorner { corner, .. }
        | CornerError::Twice { corner }
        | CornerError::NoSize { corner, .. }
        | CornerError::RunsInto { corner, .. } => (Some(*corner), None),
        CornerError::LeavesNoOutline(_) => (None, None),
    };
    let name = corner.map_or("the outline", |corner| name_of(through, corner));
    let treated = corners.iter().find(|(corner, _)| corner.value == name);
    let at = treated
        .map(|(corner, _)| corner.at.clone())
        .or_else(|| through.first().map(|name| name.at.clone()))
        .unwrap_or(Place {
            file: crate::files::model::FileKind::Design,
            span: 0..0,
        });
    let says = match error {
        CornerError::CornerTooLarge {
            wanted_mm, room_mm, ..
        } => format!(
            "the edges at {name} have room for a corner of {}, and {} is asked",
            units::both(*room_mm),
            units::both(*wanted_mm)
        ),
        _ => format!("{name}: {error}"),
    };
    let mut wrong = Wrong::new(at, says);
    wrong.expected = expected;
    // Rounded down, so that what is pasted has room.
    if let CornerError::CornerTooLarge { room_mm, .. } = error
        && *room_mm >= 0.1
    {
        let word = match treated {
            Some((_, CornerDef::Chamfer(_))) => "chamfer",
            Some((_, CornerDef::Notch(_))) => "notch",
            _ => "round",
        };
        wrong.fix = Some(format!(
            "{name} = \"{word} {:.1} mm\"",
            (room_mm * 10.0).floor() / 10.0
        ));
    }
    wrong
}

/// Which corner of the outline a name is.
pub(super) fn corner_index(through: &[Name], name: &Name) -> Result<usize, Wrong> {
    let found = through.iter().position(|through| through.value == name.value);
    found.ok_or_else(|| {
        let known: Vec<&str> = through.iter().map(|name| name.value.as_str()).collect();
        let says = format!("the outline does not go through \"{}\"", name.value);
        let mut wrong = Wrong::new(name.at.clone(), says).expected(format!("one of: {}", known.join(", ")));
        wrong.fix = nearest(&name.value, known).map(str::to_owned);
        wrong
    })
}
