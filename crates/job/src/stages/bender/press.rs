//! Press brakes, their punches and dies.

use brake::tooling::{Die, Nose, Press, Punch, RelievedPunch, StraightPunch, Tooling, plain_die};
use plane::{Outline, Point, Vector};
use units::Dim;

use crate::files::Wrong;
use crate::files::keys::bender as keys;
use crate::files::model::{BrakeDef, DieDef, Place, PunchDef, RelievedDef, SectionDef, StraightDef, Sum};

use super::section::{Seat, drawn_opening_mm, without_vee};
use super::{Of, Said};

/// A height said beside a drawn section agrees with it within this, mm.
const SAME_HEIGHT_MM: f64 = 0.01;
/// An opening said beside a drawn V agrees with it within this, mm: dies go by whole millimetres, and what is drawn by hand of a
/// round shoulder is no better.
const SAME_OPENING_MM: f64 = 0.25;

impl Said<'_> {
    pub(super) fn press(&mut self, def: &BrakeDef) -> Option<Press> {
        let usual = Tooling::starter_brake().presses.remove(0);
        let of = Of::new("the brake", &def.name, keys::BRAKE, def.like.as_ref());
        let length = self.size(&of, "length", def.length.as_ref(), usual.length_mm);
        let uprights = self.size(
            &of,
            "between_uprights",
            def.between_uprights.as_ref(),
            usual.between_uprights_mm,
        );
        let throat = self.size(&of, "throat", def.throat.as_ref(), usual.throat_mm);
        let force = self.strength(&of, "force", def.force.as_ref(), Dim::FORCE, usual.force_n);
        let daylight = self.size(&of, "daylight", def.daylight.as_ref(), usual.daylight_mm);
        let stroke = self.size(&of, "stroke", def.stroke.as_ref(), usual.stroke_mm);
        let ram = self.section_or(&of, "ram", def.ram.as_ref(), Seat::Over, usual.ram);
        let bed = self.section_or(&of, "bed", def.bed.as_ref(), Seat::Under, usual.bed);
        let gauge = self.gauge(&of, def.gauge.as_ref(), usual.gauge_mm);
        Some(Press {
            name: def.name.value.clone(),
            length_mm: length?,
            between_uprights_mm: uprights?,
            throat_mm: throat?,
            force_n: force?,
            daylight_mm: daylight?,
            stroke_mm: stroke?,
            ram: ram?,
            bed: bed?,
            gauge_mm: gauge?,
        })
    }

    fn gauge(&mut self, of: &Of, said: Option<&[Sum; 2]>, usual_mm: [f64; 2]) -> Option<[f64; 2]> {
        let said = said.map(|[near, far]| {
            let near_mm = self.reach(of, "gauge", Some(near), 0.0);
            let far_mm = self.size(of, "gauge", Some(far), 0.0);
            let (near_mm, far_mm) = (near_mm?, far_mm?);
            if near_mm < far_mm {
                return Some([near_mm, far_mm]);
            }
            let says = format!(
                "the gauge of {} cannot go from {} to {}",
                of.called,
                units::both(near_mm),
                units::both(far_mm)
            );
            self.wrongs.push(
                Wrong::new(far.at.clone(), says).expected("the nearest place first, then the farthest"),
            );
            None
        });
        self.or_usual(of, "gauge", said, usual_mm)
    }

    /// A section held to its seat; else the starter's where the file says so.
    pub(super) fn section_or(
        &mut self,
        of: &Of,
        key: &str,
        said: Option<&SectionDef>,
        seat: Seat,
        usual: Outline,
    ) -> Option<Outline> {
        let said = said.map(|def| {
            let outline = self.outline(def, None)?;
            self.seated(of, key, def, outline, seat)
        });
        self.or_usual(of, key, said, usual)
    }

    pub(super) fn punch(&mut self, def: &PunchDef) -> Option<Punch> {
        let of = Of::new("the punch", &def.name, keys::PUNCH, None);
        let angle = self.angle(&of, "angle", Some(&def.angle), 0.0);
        let nose = self.reach(&of, "nose", Some(&def.nose), 0.0);
        let stands = self.strength(&of, "stands", Some(&def.stands), Dim::STIFFNESS, 0.0);
        let lengths = self.made_up(&of, def.length.as_ref(), &def.lengths);
        let nose_shape = match (angle, nose) {
            (Some(angle_rad), Some(radius_mm)) => Some(Nose { angle_rad, radius_mm }),
            _ => None,
        };
        let profile = match (&def.profile, &def.straight, &def.relieved) {
            (Some(section), None, None) => {
                let outline = self.outline(section, None);
                let outline =
                    outline.and_then(|outline| self.seated(&of, "profile", section, outline, Seat::Over));
                outline.and_then(|outline| {
                    let found_mm = outline.bounds().1.y;
                    self.said_height(&of, def.height.as_ref(), found_mm)?;
                    Some(if def.turned { turned(&outline) } else { outline })
                })
            }
            (None, Some(straight), None) => self.straight(&of, straight, def.height.as_ref(), nose_shape),
            (None, None, Some(relieved)) => self
                .relieved(&of, relieved, def.height.as_ref(), nose_shape)
                .map(|outline| if def.turned { turned(&outline) } else { outline }),
            (None, None, None) => {
                let says = format!("{} does not say what its section is", of.called);
                self.wrongs.push(
                    Wrong::new(of.at.clone(), says)
                        .expected("profile, or straight or relieved for a section by numbers")
                        .fix("straight = { blade = \"11 mm\", up_to = \"60 mm\", seat = \"26 mm\" }"),
                );
                None
            }
            _ => {
                let says = format!("{} says its section in two ways", of.called);
                self.wrongs
                    .push(Wrong::new(of.at.clone(), says).expected("one of profile, straight and relieved"));
                None
            }
        };
        let profile = profile?;
        Some(Punch {
            name: def.name.value.clone(),
            height_mm: profile.bounds().1.y,
            profile,
            angle_rad: angle?,
            nose_mm: nose?,
            lengths: lengths?,
            most_n_per_mm: stands?,
        })
    }

    /// A height that is said must be the one drawn.
    fn said_height(&mut self, of: &Of, said: Option<&Sum>, found_mm: f64) -> Option<()> {
        let Some(sum) = said else { return Some(()) };
        let said_mm = self.size(of, "height", Some(sum), 0.0)?;
        if (said_mm - found_mm).abs() <= SAME_HEIGHT_MM {
            return Some(());
        }
        let says = format!(
            "the section of {} is {} high, and its height is said to be {}",
            of.called,
            units::both(found_mm),
            units::both(said_mm)
        );
        self.wrongs.push(
            Wrong::new(sum.at.clone(), says)
                .expected("the height of the section; it may be left out, as the section says it"),
        );
        None
    }

    fn straight(
        &mut self,
        of: &Of,
        def: &StraightDef,
        height: Option<&Sum>,
        nose: Option<Nose>,
    ) -> Option<Outline> {
        let height_mm = self.size(of, "height", height, 0.0);
        let blade_mm = self.size(of, "blade", Some(&def.blade), 0.0);
        let up_to_mm = self.reach(of, "up_to", Some(&def.up_to), 0.0);
        let seat_mm = self.size(of, "seat", Some(&def.seat), 0.0);
        let punch = StraightPunch {
            nose: nose?,
            height_mm: height_mm?,
            blade_mm: blade_mm?,
            blade_up_to_mm: up_to_mm?,
            seat_mm: seat_mm?,
        };
        self.shape(&def.blade.at, punch.section())
    }

    fn relieved(
        &mut self,
        of: &Of,
        def: &RelievedDef,
        height: Option<&Sum>,
        nose: Option<Nose>,
    ) -> Option<Outline> {
        let height_mm = self.size(of, "height", height, 0.0);
        let set_back_mm = self.reach(of, "set_back", Some(&def.set_back), 0.0);
        let neck_mm = self.size(of, "neck", Some(&def.neck), 0.0);
        let [low, high] = &def.hollow;
        let low_mm = self.size(of, "hollow", Some(low), 0.0);
        let high_mm = self.size(of, "hollow", Some(high), 0.0);
        let seat_mm = self.size(of, "seat", Some(&def.seat), 0.0);
        let seat_high_mm = self.size(of, "seat_high", Some(&def.seat_high), 0.0);
        let punch = RelievedPunch {
            nose: nose?,
            height_mm: height_mm?,
            seat_mm: seat_mm?,
            set_back_mm: set_back_mm?,
            neck_mm: neck_mm?,
            hollow_mm: [low_mm?, high_mm?],
            seat_high_mm: seat_high_mm?,
        };
        self.shape(&def.set_back.at, punch.section())
    }

    pub(super) fn die(&mut self, def: &DieDef) -> Option<Die> {
        let of = Of::new("the die", &def.name, keys::DIE, None);
        let opening = self.size(&of, "opening", Some(&def.opening), 0.0);
        let angle = self.angle(&of, "angle", Some(&def.angle), 0.0);
        let shoulder = self.reach(&of, "shoulder", Some(&def.shoulder), 0.0);
        let stands = self.strength(&of, "stands", Some(&def.stands), Dim::STIFFNESS, 0.0);
        let lengths = self.made_up(&of, def.length.as_ref(), &def.lengths);
        let (opening_mm, shoulder_mm) = (opening?, shoulder?);
        let (profile, at): (Option<Outline>, &Place) = match (&def.profile, &def.width) {
            (Some(section), None) => {
                let outline = self.outline(section, None)?;
                self.same_opening(
                    &of,
                    &def.opening,
                    opening_mm,
                    drawn_opening_mm(&outline, angle?, shoulder_mm),
                )?;
                let outline = without_vee(&outline, opening_mm, shoulder_mm);
                let outline = self.seated(&of, "profile", section, outline, Seat::Under)?;
                let found_mm = -outline.bounds().0.y;
                self.said_height(&of, def.height.as_ref(), found_mm)?;
                (Some(outline), &section.at)
            }
            (None, Some(width)) => {
                let width_mm = self.size(&of, "width", Some(width), 0.0);
                let height_mm = self.size(&of, "height", def.height.as_ref(), 0.0);
                let bar = plain_die(width_mm?, height_mm?);
                (self.shape(&width.at, bar), &width.at)
            }
            (None, None) => {
                let says = format!("{} does not say what its section is", of.called);
                self.wrongs.push(
                    Wrong::new(of.at.clone(), says)
                        .expected("profile, or width and height for a plain bar")
                        .fix("width = \"26 mm\""),
                );
                return None;
            }
            (Some(section), Some(_)) => {
                let says = format!("{} says both a profile and a width", of.called);
                self.wrongs
                    .push(Wrong::new(section.at.clone(), says).expected("one of them; take the other out"));
                return None;
            }
        };
        let profile = profile?;
        self.holds_vee(&of, at, &profile, opening_mm)?;
        Some(Die {
            name: def.name.value.clone(),
            height_mm: -profile.bounds().0.y,
            profile,
            opening_mm,
            angle_rad: angle?,
            shoulder_mm,
            lengths: lengths?,
            most_n_per_mm: stands?,
        })
    }

    /// An opening that is said must be the one drawn, where the V is drawn.
    fn same_opening(&mut self, of: &Of, said: &Sum, said_mm: f64, drawn_mm: Option<f64>) -> Option<()> {
        let Some(drawn_mm) = drawn_mm else { return Some(()) };
        if (said_mm - drawn_mm).abs() <= SAME_OPENING_MM {
            return Some(());
        }
        let says = format!(
            "the V of {} is drawn to open {}, and its opening is said to be {}",
            of.called,
            units::both(drawn_mm),
            units::both(said_mm)
        );
        self.wrongs.push(
            Wrong::new(said.at.clone(), says)
                .expected("the opening between the flanks at the top, as it is drawn")
                .fix(format!("opening = \"{drawn_mm:.1} mm\"")),
        );
        None
    }

    /// The top of the die must be wider than its V.
    fn holds_vee(&mut self, of: &Of, at: &Place, profile: &Outline, opening_mm: f64) -> Option<()> {
        /// Just under the top, so that a top that is an edge of the section counts.
        const UNDER_MM: f64 = 0.05;
        let wide_mm: f64 = profile
            .chords_along(Point::new(0.0, -UNDER_MM), Vector::x())
            .iter()
            .map(|(a, b)| (b - a).norm())
            .fold(0.0, f64::max);
        if wide_mm > opening_mm {
            return Some(());
        }
        let says = format!(
            "{} is {} wide on top, and its V opens {}",
            of.called,
            units::both(wide_mm),
            units::both(opening_mm)
        );
        self.wrongs
            .push(Wrong::new(at.clone(), says).expected("a die that is wider than its V"));
        None
    }
}

/// Put up the other way round.
fn turned(outline: &Outline) -> Outline {
    outline.mirrored(Point::origin(), Vector::y())
}
