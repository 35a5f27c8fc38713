//! Card to plate and blank.

use nalgebra::{Isometry3, Translation3, Unit, UnitQuaternion};
use plane::{Outline, Region, Segment, Vector};

use crate::allowance::{allowance_mm, deduction_mm, set_back_mm};
use crate::blank::{self, Tangents};
use crate::check::check_figures;
use crate::divide::{CardPanel, EdgeKind, PanelEdge, divide};
use crate::error::SheetError;
use crate::openings::{CardOpening, openings_on_card, outline_of};
use crate::part::{Bend, Blank, Crease, Mockup, Panel, Part, Relief, ReliefCut};
use crate::relief::Freed;
use crate::tree::{Join, Tree, grow};
use crate::trim::{BendCut, ReliefSize, TrimFault, Trimmed, trim};
use crate::{contents, fold, seam};

/// Folds the card, gives it thickness and radii, and lays the plate out flat.
///
/// Each panel is cut back from its creases to the tangent lines, (r + d) tan(A/2) on either side, where d is how far the
/// face that the lines are on lies from the inside of the bend; less what the card's own thickness took. On the blank
/// the panels slide together along the crease normals until only the bend's strip A (r + K t) lies between.
pub fn develop(mockup: &Mockup, thickness_mm: f64) -> Result<Part, SheetError> {
    check_figures(mockup, thickness_mm)?;
    let card_openings = openings_on_card(mockup)?;
    let division = divide(mockup, &card_openings)?;
    let tree = grow(mockup, &division)?;
    let card_panels: Vec<&CardPanel> = tree.order.iter().map(|&panel| &division.panels[panel]).collect();

    let cuts = bend_cuts(mockup, thickness_mm)?;
    let trimmed = trim_all(mockup, &tree, &card_panels, &card_openings, &cuts)?;
    let reliefs = reliefs(&trimmed);
    let runs: Vec<Vec<Vec<PanelEdge>>> = trimmed.into_iter().map(|panel| panel.runs).collect();

    let (slides, places) = place_panels(mockup, &tree, &cuts, thickness_mm);
    let tangents = Tangents::of(&runs, &tree.joins);
    let bends = bends(mockup, &tree, &cuts, &tangents, &slides, &places, thickness_mm);
    let held = contents::openings_by_panel(mockup, &card_openings, &card_panels, &runs, &tree.names)?;
    let marks = contents::marks_by_panel(mockup, &card_panels)?;

    let panels = panels(
        mockup,
        &tree,
        &card_panels,
        &card_openings,
        &runs,
        &slides,
        &places,
        &held,
        &marks,
    )?;
    let mut region = blank::region(&runs, &slides, &tree, &tangents)?;
    for (panel, held) in panels.iter().zip(&held) {
        region.holes.extend(
            held.iter()
                .map(|&index| card_openings[index].outline.translated(panel.to_blank)),
        );
    }
    let blank = Blank {
        region,
        openings: contents::openings_on_blank(mockup, &panels),
        marks: contents::marks_on_blank(mockup, &panels),
    };
    let seams = seam::close(
        mockup,
        &card_panels,
        &panels,
        mockup.lines_on.z_range(thickness_mm),
    )?;
    Ok(Part {
        thickness_mm,
        lines_on: mockup.lines_on,
        panels,
        bends,
        openings: mockup.openings.clone(),
        marks: mockup.marks.clone(),
        seams,
        reliefs,
        blank,
    })
}

/// The panels of a card by name, as marked: outlines before set-backs. For laying a window out as the inset of a panel
/// before it is cut; openings already in the mock-up count where a crease ends at them.
pub fn panels_of(mockup: &Mockup) -> Result<Vec<(String, Outline)>, SheetError> {
    check_figures(mockup, 1.0)?;
    let division = divide(mockup, &openings_on_card(mockup)?)?;
    let tree = grow(mockup, &division)?;
    let outlines = tree
        .order
        .iter()
        .map(|&panel| division.panels[panel].outline.clone());
    Ok(tree.names.into_iter().zip(outlines).collect())
}

/// By how much the card's own thickness carried the sharp corner beyond its crease, on each side: d tan(A/2) - A c/4.
///
/// Card folds sharp about its inside face with the neutral line in its middle, so a leg measured to the crease is
/// shorter than the outside leg it makes.
fn card_growth_mm(crease: &Crease, mockup: &Mockup) -> f64 {
    let face_mm = mockup.lines_on.off_inside_mm(crease.way, mockup.card_mm);
    face_mm * (crease.bent_rad / 2.0).tan() - crease.bent_rad * mockup.card_mm / 4.0
}

fn bend_cuts(mockup: &Mockup, thickness_mm: f64) -> Result<Vec<BendCut>, SheetError> {
    let cut = |crease: &Crease| {
        let face_mm = mockup.lines_on.off_inside_mm(crease.way, thickness_mm);
        let back_mm =
            set_back_mm(crease.bent_rad, crease.radius_mm, face_mm) - card_growth_mm(crease, mockup);
        // A card and a plate that take up the same leave rounding on either side of 0.
        if back_mm < -plane::SAME_POINT_MM {
            return Err(SheetError::CardTooThick {
                bend: crease.name.clone(),
                card_mm: mockup.card_mm,
                over_mm: -back_mm,
            });
        }
        let relief = match crease.relief {
            Relief::Auto { least_width_mm } => Some(ReliefSize {
                width_mm: thickness_mm.max(least_width_mm),
                past_mm: crease.radius_mm,
            }),
            Relief::Slot { width_mm, past_mm } => Some(ReliefSize { width_mm, past_mm }),
            Relief::None => None,
        };
        Ok(BendCut {
            set_back_mm: back_mm.max(0.0),
            relief,
        })
    };
    mockup.creases.iter().map(cut).collect()
}

fn trim_all(
    mockup: &Mockup,
    tree: &Tree,
    panels: &[&CardPanel],
    openings: &[CardOpening],
    cuts: &[BendCut],
) -> Result<Vec<Trimmed>, SheetError> {
    let named = |crease: usize| mockup.creases[crease].name.clone();
    let trim_one = |(panel, name): (&&CardPanel, &String)| {
        trim(&panel.runs, cuts).map_err(|fault| match fault {
            TrimFault::Vanishes {
                crease,
                leg_mm,
                needs_mm,
            } => SheetError::LegVanishes {
                bend: named(crease),
                panel: name.clone(),
                leg_mm,
                needs_mm,
            },
            TrimFault::NoLength { crease } => SheetError::BendVanishes {
                bend: named(crease),
                panel: name.clone(),
                set_back_mm: cuts[crease].set_back_mm,
            },
            TrimFault::Within { crease, at } => {
                let holds = |(_, opening): &(usize, &CardOpening)| opening.outline.contains(at);
                let opening = openings.iter().enumerate().find(holds).map(|(index, _)| index);
                SheetError::OpeningWithinBend {
                    opening: opening
                        .map(|index| mockup.openings[index].name.clone())
                        .unwrap_or_default(),
                    bend: named(crease),
                    set_back_mm: cuts[crease].set_back_mm,
                }
            }
            TrimFault::NoRoom { crease, at } => SheetError::NoRoomForRelief {
                bend: named(crease),
                at,
            },
        })
    };
    panels.iter().zip(&tree.names).map(trim_one).collect()
}

fn reliefs(trimmed: &[Trimmed]) -> Vec<ReliefCut> {
    let of_panel = |(panel, trimmed): (usize, &Trimmed)| {
        let placed = trimmed.freed.iter().map(move |freed| match *freed {
            Freed::Slot {
                crease,
                at,
                size,
                depth_mm,
            } => ReliefCut::Slot {
                bend: crease,
                panel,
                at,
                width_mm: size.width_mm,
                depth_mm,
            },
            Freed::Corner {
                creases,
                at,
                radius_mm,
            } => ReliefCut::Corner {
                bends: creases,
                panel,
                at,
                radius_mm,
            },
            Freed::Torn { crease, at } => ReliefCut::Torn {
                bend: crease,
                panel,
                at,
            },
        });
        placed.collect::<Vec<_>>()
    };
    trimmed.iter().enumerate().flat_map(of_panel).collect()
}

/// Where each panel goes: its slide onto the blank, and its place in the folded part.
fn place_panels(
    mockup: &Mockup,
    tree: &Tree,
    cuts: &[BendCut],
    thickness_mm: f64,
) -> (Vec<Vector>, Vec<Isometry3<f64>>) {
    let mut slides = vec![Vector::zeros()];
    let mut places = vec![Isometry3::identity()];
    for index in tree.hangs_on.iter().flatten() {
        let (crease, join) = (&mockup.creases[*index], &tree.joins[*index]);
        let strip_mm = allowance_mm(
            crease.bent_rad,
            crease.radius_mm,
            crease.neutral_share,
            thickness_mm,
        );
        let slide = join.toward_moving() * (strip_mm - 2.0 * cuts[*index].set_back_mm);
        slides.push(slides[join.fixed] + slide);
        places.push(places[join.fixed] * turn(crease, join, card_growth_mm(crease, mockup)));
    }
    (slides, places)
}

/// From the moving panel's card axes to the fixed panel's: out by what the card took up on both sides, then about the
/// sharp corner of the lines' face.
fn turn(crease: &Crease, join: &Join, growth_mm: f64) -> Isometry3<f64> {
    let out = join.toward_moving();
    let corner = (join.ray.at + out * growth_mm).coords.push(0.0);
    let axis = Unit::new_unchecked(join.ray.along.push(0.0));
    let turned = UnitQuaternion::from_axis_angle(&axis, crease.way.sign() * crease.bent_rad);
    Translation3::from(corner) * turned * Translation3::from((out * (2.0 * growth_mm)).push(0.0) - corner)
}

fn bends(
    mockup: &Mockup,
    tree: &Tree,
    cuts: &[BendCut],
    tangents: &Tangents,
    slides: &[Vector],
    places: &[Isometry3<f64>],
    thickness_mm: f64,
) -> Vec<Bend> {
    let bend = |(index, crease): (usize, &Crease)| {
        let join = &tree.joins[index];
        let (bent_rad, radius_mm, k) = (crease.bent_rad, crease.radius_mm, crease.neutral_share);
        let set_back_mm = cuts[index].set_back_mm;
        let strips = tangents.strips(index, slides[join.fixed], slides[join.moving]);
        let tangent = strips.first().map_or(join.ray.beside(-set_back_mm).at, |strip| {
            strip.fixed[0] - slides[join.fixed]
        });
        let face_mm = mockup.lines_on.off_inside_mm(crease.way, thickness_mm);
        let axis_at = fold::bend_axis_over(tangent, crease.way, radius_mm + face_mm);
        let place = &places[join.fixed];
        Bend {
            name: crease.name.clone(),
            fixed: join.fixed,
            moving: join.moving,
            bent_rad,
            way: crease.way,
            radius_mm,
            neutral_share: k,
            set_back_mm,
            allowance_mm: allowance_mm(bent_rad, radius_mm, k, thickness_mm),
            deduction_mm: deduction_mm(bent_rad, radius_mm, k, thickness_mm),
            strips,
            along: join.ray.along,
            axis_at: place * axis_at,
            axis: Unit::new_normalize(place * join.ray.along.push(0.0)),
        }
    };
    mockup.creases.iter().enumerate().map(bend).collect()
}

#[expect(
    clippy::too_many_arguments,
    reason = "one list per thing a panel is made of, all in tree order"
)]
fn panels(
    mockup: &Mockup,
    tree: &Tree,
    card_panels: &[&CardPanel],
    card_openings: &[CardOpening],
    runs: &[Vec<Vec<PanelEdge>>],
    slides: &[Vector],
    places: &[Isometry3<f64>],
    openings: &[Vec<usize>],
    marks: &[Vec<usize>],
) -> Result<Vec<Panel>, SheetError> {
    let panel = |index: usize| {
        let edges = |run: &Vec<PanelEdge>| run.iter().map(|edge| edge.seg).collect::<Vec<Segment>>();
        let outline = |run| {
            outline_of(edges(run))
                .map_err(|fault| flat_fault(fault, &runs[index][0], mockup, &tree.names[index]))
        };
        let mut holes: Vec<Outline> = runs[index][1..].iter().map(outline).collect::<Result<_, _>>()?;
        holes.extend(
            openings[index]
                .iter()
                .map(|&opening| card_openings[opening].outline.clone()),
        );
        Ok(Panel {
            name: tree.names[index].clone(),
            hangs_on: tree.hangs_on[index],
            flat: Region {
                outer: outline(&runs[index][0])?,
                holes,
            },
            as_marked: card_panels[index].outline.clone(),
            to_blank: slides[index],
            to_folded: places[index],
            openings: openings[index].clone(),
            marks: marks[index].clone(),
        })
    };
    (0..tree.order.len()).map(panel).collect()
}

/// A trimmed panel that runs over itself does so where a relief or a tangent line met something.
fn flat_fault(fault: plane::OutlineError, run: &[PanelEdge], mockup: &Mockup, panel: &str) -> SheetError {
    let plane::OutlineError::Crosses { edge, other, at } = fault else {
        return SheetError::PanelOutline { fault };
    };
    let relief = [edge, other]
        .into_iter()
        .filter_map(|edge| run.get(edge))
        .find_map(|edge| match edge.kind {
            EdgeKind::Relief { crease } => Some(crease),
            _ => None,
        });
    match relief {
        Some(crease) => SheetError::ReliefMeetsEdge {
            bend: mockup.creases[crease].name.clone(),
            panel: panel.to_owned(),
            at,
        },
        None => SheetError::PanelOutline { fault },
    }
}
