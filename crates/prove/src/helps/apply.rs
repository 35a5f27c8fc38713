//! A change made to a part: a card that develops, with what is welded on and what it costs.

use plane::{Outline, Point, Vector};
use sheet::{Mockup, Part, develop};

use super::card::{carry_creases, with_bulge};
use super::change::{CannotChange, Change, Changed, Costs, ExtraPlate, WindowTo};
use super::room::{Room, check_clear};
use super::shelf::{Shelf, Stock};
use super::{bolt, lip, rib, thickness, window};
use crate::bracket::{Bracket, Mount};

/// g in a kg.
const G_PER_KG: f64 = 1e3;
/// mm3 in a m3.
const MM3_PER_M3: f64 = 1e9;

/// Makes a change to a part: the changed card, developed, with the plates that are welded on, and what it costs.
///
/// `bracket.part` is the part that `mockup` develops to. Openings in use stay as they are, the panels that were there keep
/// their places, and the new metal runs through none of the old; a change for which that cannot be is refused with the
/// reason.
pub fn apply(
    change: &Change,
    mockup: &Mockup,
    bracket: &Bracket<'_>,
    shelf: &Shelf,
) -> Result<Changed, CannotChange> {
    let before = bracket.part;
    let room = Room::of(bracket);
    let singles = change.single();
    let stock = stock(&singles, before.thickness_mm, shelf)?;
    let mut edit = Edit {
        mockup: mockup.clone(),
        bracket,
        shelf,
        stock: &stock,
        in_use: &room.in_use,
        mounts: Vec::new(),
        gone: Vec::new(),
        lips: 0,
    };
    edit.keep_root();
    if singles.iter().any(|single| matches!(single, Change::Stock(_))) {
        thickness::apply(&mut edit.mockup, &stock);
    }
    for single in &singles {
        edit.change(single)?;
    }
    let openings_now = edit.take_out();
    let Edit {
        mockup, mounts, lips, ..
    } = edit;
    let part = develop(&mockup, stock.thickness_mm)?;
    let meant = before.panels.len() + lips;
    if part.panels.len() != meant {
        return Err(CannotChange::OtherPanels {
            panels: part.panels.len(),
            meant,
        });
    }
    let room = room.now(&openings_now);
    let mut extra = Vec::new();
    for single in &singles {
        match single {
            Change::Closed(lips) => extra.push(lip::closing_strip(&part, lips, &stock)?),
            Change::Bar(bar) => extra.push(rib::bar_plate(&part, &room, bar, stock.welding)?),
            Change::Gussets(gussets) => {
                extra.extend(rib::gusset_plates(&part, &room, gussets, stock.welding)?)
            }
            _ => {}
        }
    }
    check_clear(&part, &new_panels(&part, before.bends.len()), &extra)?;
    let costs = costs(before, &part, &extra, bracket.metal.density_kg_m3);
    Ok(Changed {
        mockup,
        part,
        extra,
        openings_now,
        mounts,
        costs,
    })
}

/// The plate that the changed part is of.
fn stock(singles: &[&Change], thickness_mm: f64, shelf: &Shelf) -> Result<Stock, CannotChange> {
    let asked = singles.iter().find_map(|single| match single {
        Change::Stock(plate) => Some(*plate),
        _ => None,
    });
    let own = || {
        shelf
            .of_thickness(thickness_mm)
            .ok_or(CannotChange::NotOnShelf { thickness_mm })
    };
    let plate = asked.map_or_else(own, Ok)?;
    shelf.plates.get(plate).cloned().ok_or(CannotChange::NotThere)
}

/// A card while it is changed.
struct Edit<'a> {
    mockup: Mockup,
    bracket: &'a Bracket<'a>,
    shelf: &'a Shelf,
    stock: &'a Stock,
    in_use: &'a [usize],
    mounts: Vec<Mount>,
    gone: Vec<usize>,
    lips: usize,
}

impl Edit<'_> {
    /// The panel that stays still is named before another could become the largest.
    fn keep_root(&mut self) {
        if self.mockup.root.is_none() {
            let panels = &self.bracket.part.panels;
            self.mockup.root = panels.first().and_then(|root| point_within(&root.as_marked));
        }
    }

    fn change(&mut self, change: &Change) -> Result<(), CannotChange> {
        match change {
            Change::Stock(_) | Change::Bar(_) | Change::Gussets(_) => Ok(()),
            Change::Lip(lip) => self.lip(lip),
            Change::Channel(lips) | Change::Closed(lips) => lips.iter().try_for_each(|lip| self.lip(lip)),
            Change::Wider { edge, by_mm } => {
                self.mockup.outline = with_bulge(&self.mockup.outline, *edge, *by_mm)?;
                carry_creases(&mut self.mockup, *edge, *by_mm);
                Ok(())
            }
            Change::Window { opening, to } => {
                self.check_free(*opening)?;
                if *to == WindowTo::Gone {
                    self.gone.push(*opening);
                }
                window::apply(&mut self.mockup, *opening, *to, self.shelf.window_corner_mm)
            }
            Change::Bolt { opening, by } => bolt::shift(&mut self.mockup, *opening, *by),
            Change::Mount(free) => {
                let free = self.shelf.free_mounts.get(*free).ok_or(CannotChange::NotThere)?;
                let mount = bolt::add(&mut self.mockup, self.bracket, free)?;
                self.mounts.push(mount);
                Ok(())
            }
            Change::Together(all) => all.iter().try_for_each(|single| self.change(single)),
        }
    }

    fn lip(&mut self, lip: &super::Lip) -> Result<(), CannotChange> {
        self.lips += 1;
        lip::add(&mut self.mockup, lip, self.stock)
    }

    fn check_free(&self, opening: usize) -> Result<(), CannotChange> {
        match self.mockup.openings.get(opening) {
            None => Err(CannotChange::NotThere),
            Some(held) if self.in_use.contains(&opening) => Err(CannotChange::InUse {
                opening: held.name.clone(),
            }),
            Some(_) => Ok(()),
        }
    }

    /// Takes out the openings that are gone, and says where the others are now.
    fn take_out(&mut self) -> Vec<Option<usize>> {
        let before = self.bracket.part.openings.len();
        self.gone.sort_unstable();
        self.gone.dedup();
        let gone = &self.gone;
        let now = |opening: usize| opening - gone.iter().filter(|gone| **gone < opening).count();
        let places = (0..before)
            .map(|opening| (!gone.contains(&opening)).then(|| now(opening)))
            .collect();
        for mount in &mut self.mounts {
            mount.opening = now(mount.opening);
        }
        let mut index = 0;
        self.mockup.openings.retain(|_| {
            index += 1;
            !gone.contains(&(index - 1))
        });
        places
    }
}

/// A point well within an outline: half way along the longest chord through its middle.
fn point_within(outline: &Outline) -> Option<Point> {
    let chords = outline.chords_along(outline.centroid(), Vector::x());
    let long = |chord: &(Point, Point)| (chord.1 - chord.0).norm();
    let longest = chords.into_iter().max_by(|a, b| long(a).total_cmp(&long(b)))?;
    Some(nalgebra::center(&longest.0, &longest.1))
}

/// Panels that hang on bends after the first so many: new lips.
fn new_panels(part: &Part, bends_before: usize) -> Vec<usize> {
    part.bends[bends_before..]
        .iter()
        .map(|bend| bend.moving)
        .collect()
}

fn costs(before: &Part, part: &Part, extra: &[ExtraPlate], density_kg_m3: f64) -> Costs {
    // From +0: an empty sum is -0, which would be told as such.
    let of_plates = |figure: fn(&ExtraPlate) -> f64| extra.iter().map(figure).fold(0.0, |sum, one| sum + one);
    let plates_mm3 = of_plates(|plate| plate.area_mm2() * plate.thickness_mm);
    let added_mm3 = part.volume_mm3() + plates_mm3 - before.volume_mm3();
    let rims_mm = of_plates(ExtraPlate::rim_mm);
    Costs {
        grams: added_mm3 / MM3_PER_M3 * density_kg_m3 * G_PER_KG,
        cut_mm: part.blank.region.length_mm() + rims_mm - before.blank.region.length_mm(),
        bends: part.bends.len() - before.bends.len(),
        weld_mm: of_plates(ExtraPlate::weld_mm),
        plates: extra.len(),
    }
}
