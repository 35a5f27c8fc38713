//! From points to the mock-up: the outside edge with its corners, creases, openings, marks.

use handbook::Handbook;
use plane::Outline;
use sheet::{Crease, Face, Mark, MarkKind, Mockup, Opening, OpeningShape, Relief, Seam, Way};

use crate::files::model::{
    BendAngle, BendDef, Clearance, CornerDef, Design, Hand, HoleDef, HoleSize, MarkDefKind, ReliefDef, Sum,
    WindowDef, WindowShape,
};
use crate::files::{Wrong, nearest};

use super::outline::{corner_index, outline, outline_wrong};
use super::points::Places;
use super::scope::Scope;
use super::setting::Setting;

/// Letters that no height is said for: readable at arm's length, and a scriber can follow them.
const LETTER_MM: f64 = 6.0;
/// A bend of less than this is no bend: a protractor does not show it.
const LEAST_BEND_RAD: f64 = 1e-4;

/// What a hole is cut to, and what for.
#[derive(Debug, Clone)]
pub(crate) struct HoleCut {
    /// Diameter.
    pub dia_mm: f64,
    /// "5/16-18, normal clearance", or empty.
    pub takes: String,
    /// How far the diameter can be trusted; none when the design says it.
    pub from: Option<handbook::Sourced<f64>>,
}

/// The diameter of a hole: as said, or for its hardware. Hardware is never scaled.
pub(crate) fn hole_cut(book: &Handbook, scope: &Scope, hole: &HoleDef) -> Result<HoleCut, Wrong> {
    match &hole.size {
        HoleSize::Dia(sum) => Ok(HoleCut {
            dia_mm: scope.size_mm(sum, "the diameter")?,
            takes: String::new(),
            from: None,
        }),
        HoleSize::For { thread, clearance } => {
            let (kind, words) = match clearance {
                Clearance::Close => (handbook::Clearance::Close, "close clearance"),
                Clearance::Normal => (handbook::Clearance::Normal, "normal clearance"),
                Clearance::Loose => (handbook::Clearance::Loose, "loose clearance"),
                Clearance::Tapped => (handbook::Clearance::Tapped, "tap drill"),
            };
            let screw = &thread.value;
            let dia = book
                .clearance_dia_mm(screw.designation(), screw.nominal_mm(), kind)
                .map_err(|error| {
                    Wrong::new(thread.at.clone(), error.to_string())
                        .expected("hardware the handbook lists, or dia = a length instead of for")
                })?;
            Ok(HoleCut {
                dia_mm: dia.value,
                takes: format!("for {}, {words}", screw.designation()),
                from: Some(dia),
            })
        }
    }
}

/// The pattern as the design draws it, on the hand it is drawn for.
pub(crate) fn mockup(
    book: &Handbook,
    design: &Design,
    scope: &Scope,
    places: &Places,
    setting: &Setting,
    least_slot_mm: f64,
) -> Result<Mockup, Vec<Wrong>> {
    let (outline, mut wrongs) = match outline(design, scope, places) {
        Ok(outline) => (Some(outline), Vec::new()),
        Err(wrongs) => (None, wrongs),
    };
    let mut keep = |wrong: Wrong| wrongs.push(wrong);
    let mut creases = Vec::new();
    for (bend, of) in design.bends.iter().zip(&setting.bends) {
        match crease(bend, scope, places, of.radius_mm, of.neutral.share, least_slot_mm) {
            Ok(crease) => creases.push(crease),
            Err(wrong) => keep(wrong),
        }
    }
    let mut openings = Vec::new();
    for hole in &design.holes {
        let made = hole_cut(book, scope, hole).and_then(|cut| {
            Ok(OpeningShape::Round {
                at: places.at(&hole.at)?,
                dia_mm: cut.dia_mm,
            })
        });
        match made {
            Ok(shape) => openings.push(Opening {
                name: hole.name.value.clone(),
                shape,
            }),
            Err(wrong) => keep(wrong),
        }
    }
    for slot in &design.slots {
        let made = (|| {
            Ok(OpeningShape::Slot {
                from: places.at(&slot.from)?,
                to: places.at(&slot.to)?,
                width_mm: scope.size_mm(&slot.width, "the width")?,
            })
        })();
        match made {
            Ok(shape) => openings.push(Opening {
                name: slot.name.value.clone(),
                shape,
            }),
            Err(wrong) => keep(wrong),
        }
    }
    let mut seams = Vec::new();
    for seam in &design.seams {
        match (places.line(&seam.edges[0]), places.line(&seam.edges[1])) {
            (Ok(first), Ok(second)) => seams.push(Seam {
                name: seam.name.value.clone(),
                first,
                second,
            }),
            (first, second) => [first.err(), second.err()]
                .into_iter()
                .flatten()
                .for_each(&mut keep),
        }
    }
    let mut marks = Vec::new();
    for mark in &design.marks {
        let made = (|| {
            Ok(match &mark.kind {
                MarkDefKind::Text { at, text, height } => MarkKind::Text {
                    at: places.at(at)?,
                    text: text.clone(),
                    height_mm: match height {
                        Some(height) => scope.size_mm(height, "the height")?,
                        None => LETTER_MM,
                    },
                },
                MarkDefKind::Line([from, to]) => MarkKind::Line {
                    from: places.at(from)?,
                    to: places.at(to)?,
                },
            })
        })();
        match made {
            Ok(kind) => marks.push(Mark {
                name: mark.name.value.clone(),
                kind,
            }),
            Err(wrong) => keep(wrong),
        }
    }
    let mut panel_names = Vec::new();
    for (name, at) in &design.panels {
        match places.at(at) {
            Ok(at) => panel_names.push((name.value.clone(), at)),
            Err(wrong) => keep(wrong),
        }
    }
    let root = match &design.still {
        Some(still) => match panel_names.iter().find(|(name, _)| *name == still.value) {
            Some((_, at)) => Some(*at),
            None => {
                let mut wrong =
                    Wrong::new(still.at.clone(), format!("there is no panel \"{}\"", still.value))
                        .expected("a name under [panels]");
                wrong.fix = nearest(&still.value, panel_names.iter().map(|(name, _)| name.as_str()))
                    .map(|near| format!("\"{near}\""));
                keep(wrong);
                None
            }
        },
        None => None,
    };
    let card_mm = match design
        .card
        .as_ref()
        .map(|card| scope.reach_mm(card, "the card"))
        .transpose()
    {
        Ok(card) => card.unwrap_or(0.0),
        Err(wrong) => {
            keep(wrong);
            0.0
        }
    };
    let Some(outline) = outline.filter(|_| wrongs.is_empty()) else {
        return Err(wrongs);
    };
    let lines_on = design.plate.lines_on;
    let mut mockup = Mockup {
        outline,
        openings,
        creases,
        seams,
        marks,
        panel_names,
        root,
        lines_on,
        card_mm,
    };
    windows(design, scope, places, &mut mockup)?;
    Ok(mockup)
}

/// What is wrong with the pattern before any point has a place: angles of bends, corners, sizes. Asked for beside the
/// mark-out, so that these faults are told together with those of the points.
pub(crate) fn size_wrongs(design: &Design, scope: &Scope) -> Vec<Wrong> {
    let bends = design.bends.iter().filter_map(|bend| bent_rad(bend, scope).err());
    let corners = design.outline.corners.iter().filter_map(|(name, corner)| {
        let (CornerDef::Round(sum) | CornerDef::Chamfer(sum) | CornerDef::Notch(sum)) = corner;
        corner_index(&design.outline.through, name)
            .and_then(|_| scope.reach_mm(sum, "the corner"))
            .err()
    });
    let holes = design.holes.iter().filter_map(|hole| match &hole.size {
        HoleSize::Dia(sum) => scope.size_mm(sum, "the diameter").err(),
        HoleSize::For { .. } => None,
    });
    let slots = design.slots.iter();
    let slots = slots.filter_map(|slot| scope.size_mm(&slot.width, "the width").err());
    let windows = design.windows.iter().flat_map(|window| {
        let inset = window.inset.iter().map(|sum| scope.reach_mm(sum, "the inset"));
        let corners = window.corners.iter();
        inset.chain(corners.map(|sum| scope.reach_mm(sum, "the corner radius")))
    });
    let windows = windows.filter_map(Result::err);
    bends
        .chain(corners)
        .chain(holes)
        .chain(slots)
        .chain(windows)
        .collect()
}

/// The part for the other hand, when the fit is for it.
pub(crate) fn for_hand(mockup: Mockup, drawn: Hand, wanted: Hand) -> Mockup {
    if drawn == wanted {
        mockup
    } else {
        mockup.mirrored()
    }
}

fn crease(
    bend: &BendDef,
    scope: &Scope,
    places: &Places,
    radius_mm: f64,
    neutral_share: f64,
    least_slot_mm: f64,
) -> Result<Crease, Wrong> {
    let bent_rad = bent_rad(bend, scope)?;
    Ok(Crease {
        name: bend.name.value.clone(),
        from: places.at(&bend.line[0])?,
        to: places.at(&bend.line[1])?,
        bent_rad,
        way: bend.way.value,
        radius_mm,
        neutral_share,
        relief: match &bend.relief {
            ReliefDef::Auto => Relief::Auto {
                least_width_mm: least_slot_mm,
            },
            ReliefDef::None => Relief::None,
            ReliefDef::Slot { width, past } => Relief::Slot {
                width_mm: scope.size_mm(width, "the relief's width")?,
                past_mm: scope.reach_mm(past, "the relief's depth")?,
            },
        },
    })
}

/// The angle that a bend is bent through, radians.
pub(crate) fn bent_rad(bend: &BendDef, scope: &Scope) -> Result<f64, Wrong> {
    let (sum, bent_rad) = match &bend.angle {
        BendAngle::Bent(sum) => (sum, scope.angle_rad(sum)?),
        BendAngle::BetweenLegs(sum) => (sum, std::f64::consts::PI - scope.angle_rad(sum)?),
    };
    if !(LEAST_BEND_RAD..std::f64::consts::PI - LEAST_BEND_RAD).contains(&bent_rad) {
        let says = format!(
            "the bend \"{}\" is bent through {}",
            bend.name.value,
            units::deg(bent_rad)
        );
        return Err(Wrong::new(sum.at.clone(), says)
            .expected("more than 0 and less than 180 deg; for the other way, turn up into down"));
    }
    Ok(bent_rad)
}

fn windows(design: &Design, scope: &Scope, places: &Places, mockup: &mut Mockup) -> Result<(), Vec<Wrong>> {
    let mut wrongs = Vec::new();
    let mut made = Vec::new();
    for window in &design.windows {
        match self::window(window, scope, places, Some(&*mockup)) {
            Ok(outlines) => {
                for (index, outline) in outlines.into_iter().enumerate() {
                    let name = &window.name.value;
                    let name = if index == 0 {
                        name.clone()
                    } else {
                        format!("{name}.{}", index + 1)
                    };
                    made.push(Opening {
                        name,
                        shape: OpeningShape::Window(outline),
                    });
                }
            }
            Err(wrong) => wrongs.push(wrong),
        }
    }
    if !wrongs.is_empty() {
        return Err(wrongs);
    }
    mockup.openings.extend(made);
    Ok(())
}

/// The openings of a window; a window of a panel needs the mock-up that the panels are of.
pub(crate) fn window(
    window: &WindowDef,
    scope: &Scope,
    places: &Places,
    mockup: Option<&Mockup>,
) -> Result<Vec<Outline>, Wrong> {
    let name = &window.name;
    let shape = match &window.shape {
        WindowShape::Points(points) => {
            let corners: Vec<plane::Point> = points
                .iter()
                .map(|point| places.at(point))
                .collect::<Result<_, _>>()?;
            Outline::polygon(&corners).map_err(|error| outline_wrong(&error, points))?
        }
        WindowShape::Panel(panel) => {
            let unclear =
                |why: String| Wrong::new(panel.at.clone(), format!("the panels are not clear: {why}"));
            let mockup = mockup.ok_or_else(|| unclear("the mock-up is not sound yet".into()))?;
            let panels = sheet::panels_of(mockup).map_err(|error| unclear(error.to_string()))?;
            let known: Vec<&str> = panels.iter().map(|(name, _)| name.as_str()).collect();
            match panels.iter().find(|(name, _)| *name == panel.value) {
                Some((_, outline)) => outline.clone(),
                None => {
                    let mut wrong =
                        Wrong::new(panel.at.clone(), format!("there is no panel \"{}\"", panel.value))
                            .expected(format!("one of: {}", known.join(", ")));
                    wrong.fix = nearest(&panel.value, known).map(|near| format!("\"{near}\""));
                    return Err(wrong);
                }
            }
        }
    };
    let mm = |sum: &Option<Sum>, what: &str| sum.as_ref().map_or(Ok(0.0), |sum| scope.reach_mm(sum, what));
    let (inset_mm, corner_mm) = (
        mm(&window.inset, "the inset")?,
        mm(&window.corners, "the corner radius")?,
    );
    plane::inset_window(&shape, inset_mm, corner_mm).map_err(|error| {
        let at = window
            .inset
            .as_ref()
            .or(window.corners.as_ref())
            .map_or(&name.at, |sum| &sum.at);
        Wrong::new(at.clone(), format!("the window \"{}\": {error}", name.value))
    })
}

/// Words for a way.
pub(crate) fn way_word(way: Way) -> &'static str {
    match way {
        Way::Up => "up",
        Way::Down => "down",
    }
}

/// Words for a face.
pub(crate) fn face_word(face: Face) -> &'static str {
    match face {
        Face::Marked => "marked face",
        Face::Middle => "middle",
        Face::Far => "far face",
    }
}
