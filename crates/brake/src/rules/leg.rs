//! Legs: what lies on the die's shoulder while the bend is made.

use handbook::Sourced;
use plane::{Point, SAME_POINT_MM, Segment, Vector};
use sheet::{Bend, Part, Strip};

use super::concern::{Breach, Concern, Fix, LegEnd, Weight};
use super::limits::Limits;

/// A leg short by less than this is long enough: a tenth of what a tape reads.
const SAME_LENGTH_MM: f64 = 0.05;
/// Where along a bend its legs are measured, besides across from every corner.
const STATIONS: usize = 32;
/// A ray that leaves the plate within this of its start starts on the plate's edge; far over rounding, far under a plate.
const ON_THE_LINE_MM: f64 = 0.01;
/// Short over no more of the bend than this, a leg is held as well as any: the sides of a leg lean and its corners are
/// rounded or cut off.
const LEANS_AT_ENDS: f64 = 0.1;
/// Short over less of the bend than this, a leg may twist but the tool still holds it.
const MOSTLY_HELD: f64 = 0.5;

/// The legs of a part, each pair of bends with a panel between told once.
pub(super) struct Legs<'a> {
    part: &'a Part,
    limits: &'a Limits,
    told: Vec<(usize, usize)>,
}

/// One leg of one bend: the panel on one side.
struct Leg {
    panel: usize,
    bend: usize,
    /// Unit direction from the tangent line into the panel, on the blank.
    outward: Vector,
}

struct Reach {
    from: Point,
    length_mm: f64,
    ends_at: Option<usize>,
}

impl<'a> Legs<'a> {
    pub(super) fn new(part: &'a Part, limits: &'a Limits) -> Self {
        Legs {
            part,
            limits,
            told: Vec::new(),
        }
    }

    /// The legs of this bend that are too short: the fixed panel's, then the moving one's.
    pub(super) fn of_bend(&mut self, index: usize) -> Vec<Concern> {
        let bend = &self.part.bends[index];
        let left = Vector::new(-bend.along.y, bend.along.x);
        let legs = [
            Leg {
                panel: bend.fixed,
                bend: index,
                outward: -left,
            },
            Leg {
                panel: bend.moving,
                bend: index,
                outward: left,
            },
        ];
        legs.iter().filter_map(|leg| self.of_leg(leg)).collect()
    }

    fn of_leg(&mut self, leg: &Leg) -> Option<Concern> {
        let bend = &self.part.bends[leg.bend];
        let (least_mm, rests_on) = least_leg_mm(bend, self.part.thickness_mm, self.limits);
        let to_outside_mm = outside_set_back_mm(bend, self.part.thickness_mm);
        let reaches = self.reaches(leg);
        let shortest = reaches
            .iter()
            .min_by(|a, b| a.length_mm.total_cmp(&b.length_mm))?;
        let found_mm = shortest.length_mm + to_outside_mm;
        if found_mm >= least_mm - SAME_LENGTH_MM {
            return None;
        }
        let short = reaches
            .iter()
            .filter(|reach| reach.length_mm + to_outside_mm < least_mm - SAME_LENGTH_MM);
        let share_of_bend = short.count() as f64 / reaches.len() as f64;
        if share_of_bend <= LEANS_AT_ENDS {
            return None;
        }
        if let Some(other) = shortest.ends_at {
            let pair = (leg.bend.min(other), leg.bend.max(other));
            if self.told.contains(&pair) {
                return None;
            }
            self.told.push(pair);
        }
        let panel = &self.part.panels[leg.panel].name;
        Some(Concern {
            what: Breach::ShortLeg {
                bend: bend.name.clone(),
                panel: panel.clone(),
                ends_at: match shortest.ends_at {
                    Some(other) => LegEnd::Bend(self.part.bends[other].name.clone()),
                    None => LegEnd::Edge,
                },
                share_of_bend,
            },
            at: shortest.from + leg.outward * shortest.length_mm,
            weight: if self.limits.die.is_some() && share_of_bend > MOSTLY_HELD {
                Weight::Stop
            } else {
                Weight::Care
            },
            found: found_mm,
            limit: least_mm,
            rests_on,
            fixes: self.ways_out(panel, found_mm, least_mm, shortest.ends_at.is_none()),
        })
    }

    fn ways_out(&self, panel: &str, found_mm: f64, least_mm: f64, at_edge: bool) -> Vec<Fix> {
        let by_mm = least_mm - found_mm;
        let mut fixes = Vec::new();
        if let Some(die) = &self.limits.die {
            let opening_mm = found_mm / die.leg_x_v.value;
            if die.narrowest_mm.is_some_and(|narrowest| opening_mm >= narrowest) {
                fixes.push(Fix::Die { opening_mm });
            }
        }
        fixes.push(Fix::LengthenLeg {
            panel: panel.to_owned(),
            by_mm,
        });
        if at_edge {
            fixes.push(Fix::TrimAfter {
                panel: panel.to_owned(),
                by_mm,
            });
        }
        if fixes.len() < 2 {
            // Without a die the rule is 3 t + r, and with one a share of an opening that goes by the thickness: either way
            // a leg of this length is enough for a plate thinner in proportion.
            fixes.push(Fix::Thinner {
                at_most_mm: self.part.thickness_mm * found_mm / least_mm,
            });
        }
        fixes
    }

    /// How far the panel reaches from the tangent line, station by station. The last thickness at either end of a strip
    /// is left out: a rounded corner there does not shorten the leg.
    fn reaches(&self, leg: &Leg) -> Vec<Reach> {
        let bend = &self.part.bends[leg.bend];
        let panel = &self.part.panels[leg.panel];
        let mut reaches = Vec::new();
        for strip in &bend.strips {
            let [from, to] = side_of(bend, strip, leg.panel);
            let length_mm = (to - from).norm();
            let Some(along) = (to - from).try_normalize(SAME_POINT_MM) else {
                continue;
            };
            let inset_mm = self.part.thickness_mm.min(length_mm / 4.0);
            let mut stations: Vec<f64> = (0..=STATIONS)
                .map(|i| inset_mm + (length_mm - 2.0 * inset_mm) * i as f64 / STATIONS as f64)
                .collect();
            let corners = panel.flat.outer.vertices().iter();
            stations.extend(
                corners
                    .map(|corner| (corner.at + panel.to_blank - from).dot(&along))
                    .filter(|s| (inset_mm..=length_mm - inset_mm).contains(s)),
            );
            reaches.extend(
                stations
                    .into_iter()
                    .filter_map(|s| self.reach(leg, from + along * s)),
            );
        }
        reaches
    }

    fn reach(&self, leg: &Leg, from: Point) -> Option<Reach> {
        let panel = &self.part.panels[leg.panel];
        let start = from - panel.to_blank;
        let chord = panel
            .flat
            .outer
            .chords_along(start, leg.outward)
            .into_iter()
            .map(|(near, far)| ((near - start).dot(&leg.outward), (far - start).dot(&leg.outward)))
            .find(|(near, far)| *near <= ON_THE_LINE_MM && *far > ON_THE_LINE_MM)?;
        let end = from + leg.outward * chord.1;
        Some(Reach {
            from,
            length_mm: chord.1,
            ends_at: self.bend_at(leg, end),
        })
    }

    /// The other bend of this panel on whose tangent line the point lies.
    fn bend_at(&self, leg: &Leg, point: Point) -> Option<usize> {
        self.part.bends.iter().enumerate().position(|(index, bend)| {
            index != leg.bend
                && (bend.fixed == leg.panel || bend.moving == leg.panel)
                && bend.strips.iter().any(|strip| {
                    let [from, to] = side_of(bend, strip, leg.panel);
                    Segment::line(from, to).nearest(point).0 <= ON_THE_LINE_MM
                })
        })
    }
}

/// The tangent line on this panel's side of the strip.
pub(super) fn side_of(bend: &Bend, strip: &Strip, panel: usize) -> [Point; 2] {
    if bend.fixed == panel {
        strip.fixed
    } else {
        strip.moving
    }
}

/// From the tangent line to the outside of the other leg, mm: (r + t) tan(A/2), and past 90 degrees r + t, where the
/// outside is the tangent square to the leg.
fn outside_set_back_mm(bend: &Bend, t_mm: f64) -> f64 {
    (bend.radius_mm + t_mm) * (bend.bent_rad / 2.0).tan().min(1.0)
}

/// The least leg, mm, to the outside of the other leg, and the row it rests on.
fn least_leg_mm(bend: &Bend, t_mm: f64, limits: &Limits) -> (f64, Sourced<f64>) {
    match &limits.die {
        Some(die) => {
            let rests_on = die.leg_x_v.clone().and(die.opening_mm.clone(), |share, _| share);
            (die.leg_x_v.value * die.opening_mm.value, rests_on)
        }
        None => (
            limits.leg_x_t.value * t_mm + bend.radius_mm,
            limits.leg_x_t.clone(),
        ),
    }
}
