//! Card to plate and blank.

use nalgebra::{Isometry3, Unit};
use plane::{Outline, OutlineError, Region, Vector};

use crate::allowance::{allowance_mm, deduction_mm};
use crate::blank::{self, Tangents};
use crate::check::check_figures;
use crate::divide::{CardPanel, EdgeKind, PanelEdge, divide};
use crate::error::SheetError;
use crate::openings::{CardOpening, openings_on_card, outline_of};
use crate::part::{Bend, Blank, Crease, Mockup, Panel, Part, ReliefCut};
use crate::relief::Freed;
use crate::thickness::{bend_cuts, place_panels};
use crate::tree::{Tree, grow};
use crate::trim::{BendCut, TrimFault, Trimmed, trim};
use crate::{contents, fold, seam};

/// Folds the card, gives it thickness and radii, and lays the plate out flat.
///
/// Each panel is cut back from its creases to the tangent lines, (r + d) tan(A/2) on either side, where d is how far the
/// face that the lines are on lies from the inside of the bend; less what the card's own thickness took. On the blank
/// the panels slide together along the crease normals until only the bend's strip A (r + K t) lies between.
///
/// ```
/// use plane::{Outline, Point};
/// use sheet::{Crease, Face, Mockup, Relief, Way, deduction_mm, develop};
///
/// let crease = Crease {
///     name: "b1".to_owned(),
///     from: Point::new(0.0, 50.0),
///     to: Point::new(60.0, 50.0),
///     bent_rad: 90_f64.to_radians(),
///     way: Way::Up,
///     radius_mm: 3.0,
///     neutral_share: 0.4,
///     relief: Relief::Auto { least_width_mm: 1.0 },
/// };
/// let card = Mockup {
///     outline: Outline::rectangle(Point::new(0.0, 0.0), Point::new(60.0, 90.0))?,
///     openings: vec![],
///     creases: vec![crease],
///     seams: vec![],
///     marks: vec![],
///     panel_names: vec![],
///     root: None,
///     lines_on: Face::Far,
///     card_mm: 0.0,
/// };
/// let part = develop(&card, 3.0)?;
/// // Bent up with the lines on the far face, the legs of 50 and 40 mm are outside legs.
/// let (low, high) = part.blank.region.bounds();
/// let length_mm = 50.0 + 40.0 - deduction_mm(90_f64.to_radians(), 3.0, 0.4, 3.0);
/// assert!((high.y - low.y - length_mm).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn develop(mockup: &Mockup, thickness_mm: f64) -> Result<Part, SheetError> {
    check_figures(mockup, thickness_mm)?;
    let card_openings = openings_on_card(mockup)?;
    let division = divide(mockup, &card_openings)?;
    let tree = grow(mockup, &division)?;
    let card: Vec<&CardPanel> = tree.order.iter().map(|&panel| &division.panels[panel]).collect();

    let cuts = bend_cuts(mockup, thickness_mm)?;
    let trimmed = trim_all(mockup, &tree, &card, &card_openings, &cuts)?;
    let reliefs = reliefs(&trimmed);
    let runs: Vec<Vec<Vec<PanelEdge>>> = trimmed.into_iter().map(|panel| panel.runs).collect();
    let flats = flats(mockup, &tree, &runs)?;

    let (slides, places) = place_panels(mockup, &tree, &cuts, thickness_mm);
    let tangents = Tangents::of(&runs, &tree.joins);
    let region = blank::region(&runs, &slides, &tree, &tangents)?;
    let held = contents::openings_by_panel(mockup, &card_openings, &card, &flats, &runs)?;
    let marks = contents::marks_by_panel(mockup, &card)?;

    let laid = Laid {
        mockup,
        thickness_mm,
        tree: &tree,
        cuts: &cuts,
        slides: &slides,
        places: &places,
    };
    let bends = laid.bends(&tangents);
    let panels = laid.panels(&card, flats, &card_openings, &held, &marks);
    let seams = seam::close(mockup, &card, &panels, mockup.lines_on.z_range(thickness_mm))?;
    let blank = Blank {
        region: with_openings(region, &panels, &card_openings),
        openings: contents::openings_on_blank(mockup, &panels),
        marks: contents::marks_on_blank(mockup, &panels),
    };
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
    /// The panels as marked do not depend on it.
    const ANY_THICKNESS_MM: f64 = 1.0;
    check_figures(mockup, ANY_THICKNESS_MM)?;
    let division = divide(mockup, &openings_on_card(mockup)?)?;
    let tree = grow(mockup, &division)?;
    let outlines = tree
        .order
        .iter()
        .map(|&panel| division.panels[panel].outline.clone());
    Ok(tree.names.into_iter().zip(outlines).collect())
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

/// The outlines of every panel's runs after trimming.
fn flats(
    mockup: &Mockup,
    tree: &Tree,
    runs: &[Vec<Vec<PanelEdge>>],
) -> Result<Vec<Vec<Outline>>, SheetError> {
    let outline = |panel: usize, run: &Vec<PanelEdge>| {
        let outline = outline_of(run.iter().map(|edge| edge.seg));
        outline.map_err(|fault| flat_fault(fault, run, mockup, &tree.names[panel]))
    };
    let panel =
        |(panel, runs): (usize, &Vec<Vec<PanelEdge>>)| runs.iter().map(|run| outline(panel, run)).collect();
    runs.iter().enumerate().map(panel).collect()
}

/// A trimmed panel runs over itself where a relief meets another edge, or the panel's own edge comes into a bend.
fn flat_fault(fault: OutlineError, run: &[PanelEdge], mockup: &Mockup, panel: &str) -> SheetError {
    let OutlineError::Crosses { edge, other, at } = fault else {
        return SheetError::PanelOutline { fault };
    };
    let kinds = [edge, other].map(|edge| run.get(edge).map(|edge| edge.kind));
    let relief = kinds.iter().flatten().find_map(|kind| match kind {
        EdgeKind::Relief { crease } => Some(*crease),
        _ => None,
    });
    let bend = kinds.iter().flatten().find_map(|kind| match kind {
        EdgeKind::Crease { crease, .. } => Some(*crease),
        _ => None,
    });
    let named = |crease: usize| mockup.creases[crease].name.clone();
    let panel = panel.to_owned();
    match (relief, bend) {
        (Some(crease), _) => SheetError::ReliefMeetsEdge {
            bend: named(crease),
            panel,
            at,
        },
        (None, Some(crease)) => SheetError::EdgeInBend {
            bend: named(crease),
            panel,
            at,
        },
        (None, None) => SheetError::PanelOutline { fault },
    }
}

fn with_openings(mut region: Region, panels: &[Panel], openings: &[CardOpening]) -> Region {
    for panel in panels {
        let held = panel.openings.iter().map(|&index| &openings[index].outline);
        region
            .holes
            .extend(held.map(|outline| outline.translated(panel.to_blank)));
    }
    region
}

/// Everything known of where the panels go, by bend or in tree order.
struct Laid<'a> {
    mockup: &'a Mockup,
    thickness_mm: f64,
    tree: &'a Tree,
    cuts: &'a [BendCut],
    slides: &'a [Vector],
    places: &'a [Isometry3<f64>],
}

impl Laid<'_> {
    fn bends(&self, tangents: &Tangents) -> Vec<Bend> {
        let bend = |(index, crease)| self.bend(index, crease, tangents);
        self.mockup.creases.iter().enumerate().map(bend).collect()
    }

    fn bend(&self, index: usize, crease: &Crease, tangents: &Tangents) -> Bend {
        let join = &self.tree.joins[index];
        let (bent_rad, radius_mm, neutral_share) = (crease.bent_rad, crease.radius_mm, crease.neutral_share);
        let (fixed, moving) = (self.slides[join.fixed], self.slides[join.moving]);
        let strips = tangents.strips(index, fixed, moving);
        let set_back_mm = self.cuts[index].set_back_mm;
        let tangent = strips
            .first()
            .map_or(join.ray.beside(-set_back_mm).at, |strip| strip.fixed[0] - fixed);
        let face_mm = self.mockup.lines_on.off_inside_mm(crease.way, self.thickness_mm);
        let place = &self.places[join.fixed];
        Bend {
            name: crease.name.clone(),
            fixed: join.fixed,
            moving: join.moving,
            bent_rad,
            way: crease.way,
            radius_mm,
            neutral_share,
            set_back_mm,
            allowance_mm: allowance_mm(bent_rad, radius_mm, neutral_share, self.thickness_mm),
            deduction_mm: deduction_mm(bent_rad, radius_mm, neutral_share, self.thickness_mm),
            strips,
            along: join.ray.along,
            axis_at: place * fold::bend_axis_over(tangent, crease.way, radius_mm + face_mm),
            axis: Unit::new_normalize(place * join.ray.along.push(0.0)),
        }
    }

    fn panels(
        &self,
        card: &[&CardPanel],
        flats: Vec<Vec<Outline>>,
        openings: &[CardOpening],
        held: &[Vec<usize>],
        marks: &[Vec<usize>],
    ) -> Vec<Panel> {
        let panel = |(index, mut runs): (usize, Vec<Outline>)| {
            let mut holes = runs.split_off(1);
            holes.extend(
                held[index]
                    .iter()
                    .map(|&opening| openings[opening].outline.clone()),
            );
            Panel {
                name: self.tree.names[index].clone(),
                hangs_on: self.tree.hangs_on[index],
                flat: Region {
                    outer: runs.swap_remove(0),
                    holes,
                },
                as_marked: card[index].outline.clone(),
                to_blank: self.slides[index],
                to_folded: self.places[index],
                openings: held[index].clone(),
                marks: marks[index].clone(),
            }
        };
        flats.into_iter().enumerate().map(panel).collect()
    }
}
