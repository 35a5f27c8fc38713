//! The bend cards: one step a page, for the person at the brake, the folder or the vice.

use std::path::Path;

use brake::hand::{HandStep, for_one_hand};
use brake::order::{Edge, Plan, Round, Step};
use brake::standing::{GaugedLeg, Moment, Standing, Stands, bears_over_mm};
use brake::tooling::Means;
use draw::{
    BendCards, BendReading, BendStep, FlatPiece, FlatPlate, GaugeLine, GaugeSide, GaugeStop, LookFace,
    PartLook, ReadBand, TitleBlock,
};
use handbook::Limit;
use nalgebra::{Isometry2, Isometry3, Point3, UnitComplex, Vector3};
use plane::{Outline, Point, Region, Vector};

use super::{Made, MakeError, MakeOptions, paper};
use crate::judge::bend_words::{done_first, hand_words, needs_words, step_bends, tool_lines};
use crate::run::Outcome;
use crate::stages::bender::GaugeTo;
use crate::stages::bending::{Bending, Found};

/// The cards.
pub(super) const CARDS: &str = "bend-cards.pdf";
/// A curved edge is drawn within this of itself.
const DRAWN_MM: f64 = 0.2;
/// More panels than this are not all named in a picture.
const MOST_NAMES: usize = 5;

/// Writes the cards, or takes older ones away when there is no order to show: they would bend another part.
///
/// # Errors
/// [`MakeError`]
pub(super) fn write(
    outcome: &Outcome,
    block: &TitleBlock,
    out: &Path,
    options: &MakeOptions,
    made: &mut Made,
) -> Result<(), MakeError> {
    let cards = told(outcome, block)
        .map(|told| draw::bend_card_pdf(&told, paper(options)))
        .transpose()?;
    made.put(out.join(CARDS), cards.as_deref())?;
    Ok(())
}

/// What `gusset bend` writes: the cards.
///
/// # Errors
/// [`MakeError`]
pub fn make_bend(outcome: &Outcome, out: &Path, options: &MakeOptions) -> Result<Made, MakeError> {
    let mut made = Made::default();
    write(outcome, &super::title_block(outcome), out, options, &mut made)?;
    Ok(made)
}

/// What the cards are told; none without an order.
pub(super) fn told(outcome: &Outcome, block: &TitleBlock) -> Option<BendCards> {
    let bending = outcome.worked.bent.as_ref().ok()?;
    let Found::Order(plan) = &bending.found else {
        return None;
    };
    let hands = for_one_hand(&bending.work, plan, &bending.practice);
    let card = Card {
        outcome,
        bending,
        regions: regions(outcome),
    };
    let steps: Option<Vec<BendStep>> = plan
        .steps
        .iter()
        .zip(&hands)
        .map(|(step, hand)| card.step(step, hand))
        .collect();
    let mut cautions = Vec::new();
    if !bending.said() {
        cautions.push(
            "Planned on tools of common shapes, as shop.toml names none: hold every step against your own tools first."
                .to_owned(),
        );
    }
    cautions.extend(
        [
            "Two-hand controls and guards stay as they are; where one hand cannot work them, another person bends, or a shop does.",
            "Eyes and hands protected; edges broken before the plate is handled. Your machine's book comes before this card.",
        ]
        .map(str::to_owned),
    );
    Some(BendCards {
        title: block.title.clone(),
        made_from: if block.revision.is_empty() {
            block.made_from.clone()
        } else {
            format!("revision {}; {}", block.revision, block.made_from)
        },
        stock: block.stock.clone(),
        ready: ready(bending, plan),
        cautions,
        steps: steps?,
        notes: vec![
            "Stop at any step when a crack shows on the outside, or the tool meets anything but the plate.".into(),
            "Short of its band, a bend is bent on. Past it, it is not bent back, which cracks it. Type it in, and the bends that are left \
             are worked out again:"
                .into(),
            format!("gusset bend JOB --measured {}", example(bending, plan)),
        ],
    })
}

/// How a reading is typed, with the first bend's own figures.
fn example(bending: &Bending, plan: &Plan) -> String {
    let Some(step) = plan.steps.first() else {
        return String::new();
    };
    let name = &bending.work.lines[step.lines[0]].name;
    let leg = GaugedLeg::of(&bending.work, step)
        .map_or_else(String::new, |leg| format!(",leg={:.1}mm", leg.outside_mm));
    format!("{name}={:.1}deg{leg}", step.to_rad.to_degrees())
}

/// The panels on the blank.
fn regions(outcome: &Outcome) -> Vec<Region> {
    let panels = outcome.worked.part.panels.iter();
    panels
        .map(|panel| panel.flat.translated(panel.to_blank))
        .collect()
}

fn ready(bending: &Bending, plan: &Plan) -> Vec<String> {
    let mut ready: Vec<String> = Vec::new();
    for step in &plan.steps {
        for line in tool_lines(bending, step) {
            if !ready.contains(&line) {
                ready.push(line);
            }
        }
    }
    ready.push("caliper, protractor, felt pen; the card gauges, cut out".into());
    if plan.steps.iter().any(|step| step.gauge.edge == Edge::Mark) {
        ready.push(
            "square and marker: some bends are made to a line, marked on the inside of the bend".into(),
        );
    }
    ready
}

/// The cards' axes: x along the bend to the right, y away from the person, z up. The tools have x away and y to the left.
fn seen(at: Point3<f64>) -> Point3<f64> {
    Point3::new(-at.y, at.x, at.z)
}

fn from_above(at: &Point) -> Point {
    Point::new(-at.y, at.x)
}

struct Card<'a> {
    outcome: &'a Outcome,
    bending: &'a Bending,
    regions: Vec<Region>,
}

impl Card<'_> {
    fn step(&self, step: &Step, hand: &HandStep) -> Option<BendStep> {
        let bending = self.bending;
        let work = &bending.work;
        let line = &work.lines[step.lines[0]];
        let of = |moment| Standing::of(work, &bending.tooling, step, moment);
        let (before, after) = (of(Moment::Before)?, of(Moment::After)?);
        let aim_rad = bending.aim_rad(step);
        let (back, front) = match step.round {
            Round::MovingBack => (line.moving, line.fixed),
            Round::FixedBack => (line.fixed, line.moving),
        };
        let stop = self.stop(step, &before);
        Some(BendStep {
            bend: step_bends(bending, step),
            first: done_first(step),
            tool: tool_lines(bending, step),
            stop_says: stop_says(step, stop.as_ref()),
            stop,
            face_up: if step.marked_up {
                "marked face up".into()
            } else {
                "far face up, marked face down".into()
            },
            round: format!(
                "\"{}\" toward you, \"{}\" to the back",
                work.panels[front], work.panels[back]
            ),
            loaded_rad: aim_rad.unwrap_or(step.to_rad),
            released_rad: step.to_rad,
            radius_mm: line.radius_mm,
            flat: self.flat(step, &before),
            before: self.look(&before, [back, front]),
            after: self.look(&after, [back, front]),
            gauge_side: GaugeSide::Inside,
            measure: self.measure(step, [back, front]),
            stop_when: stop_when(step, aim_rad, stop.is_some()),
            free_hand: std::iter::once(hand_words(bending, step, hand))
                .chain(
                    needs_words(step, hand)
                        .into_iter()
                        .map(|needs| format!("needs {needs}")),
                )
                .collect(),
            cautions: cautions(step, &work.panels[front], &work.panels[back]),
        })
    }

    fn stop(&self, step: &Step, before: &Standing) -> Option<GaugeStop> {
        let [from, to] = bears_over_mm(&self.bending.work, before, step)?;
        let (distance_mm, to_line) = match self.bending.gauge_to(step.means) {
            GaugeTo::Middle => (step.gauge.to_middle_mm, GaugeLine::Middle),
            GaugeTo::Tangent => (step.gauge.to_tangent_mm, GaugeLine::Tangent),
        };
        Some(GaugeStop {
            distance_mm,
            to: to_line,
            bears_at: Point::new(-(from + to) / 2.0, step.gauge.to_middle_mm),
        })
    }

    fn flat(&self, step: &Step, before: &Standing) -> FlatPlate {
        let work = &self.bending.work;
        let stands = |stands| match stands {
            Stands::Flat => draw::Stands::Flat,
            Stands::Up => draw::Stands::Up,
            Stands::Down => draw::Stands::Down,
        };
        let convex = |corners: Vec<Point>| {
            let corners: Vec<Point> = corners.iter().map(from_above).collect();
            Outline::polygon(&corners).ok().map(Region::solid)
        };
        let panels = self.regions.iter().enumerate().filter_map(|(panel, region)| {
            let stand = *before.stand.get(panel)?;
            let region = match stand {
                Stands::Flat => laid(region, before.panels.get(panel)?),
                Stands::Up | Stands::Down => convex(before.shadow(work, panel)?)?,
            };
            Some(FlatPiece {
                name: work.panels[panel].clone(),
                region,
                stands: stands(stand),
            })
        });
        let mut pieces: Vec<FlatPiece> = panels.collect();
        let flat_strips = before.facets.iter().filter(|facet| facet.stands == Stands::Flat);
        pieces.extend(flat_strips.filter_map(|facet| {
            let corners: Vec<Point> = facet.corners.iter().map(|at| Point::new(at.x, at.y)).collect();
            Some(FlatPiece {
                name: String::new(),
                region: convex(corners)?,
                stands: draw::Stands::Flat,
            })
        }));
        pieces.extend((0..work.lines.len()).filter_map(|line| {
            let stand = before
                .facets
                .iter()
                .find(|facet| facet.line == line && facet.stands != Stands::Flat)?
                .stands;
            Some(FlatPiece {
                name: String::new(),
                region: convex(before.shadow_of_curve(line)?)?,
                stands: stands(stand),
            })
        }));
        let half_mm = step.tool_mm / 2.0;
        let stretches = before.stretches_mm.iter().rev();
        FlatPlate {
            pieces,
            stretches_mm: stretches.map(|[from, to]| [-to, -from]).collect(),
            strip_mm: before.strip_mm,
            tool_mm: (step.means != Means::Away && half_mm > 0.0).then_some([-half_mm, half_mm]),
        }
    }

    /// The part as it stands, half way through the plate; the panels at the bend named, or all of few.
    fn look(&self, standing: &Standing, beside: [usize; 2]) -> PartLook {
        let work = &self.bending.work;
        let through_mm = (work.faces_mm[0] + work.faces_mm[1]) / 2.0;
        let mut look = PartLook::default();
        for (panel, region) in self.regions.iter().enumerate() {
            let Some(place) = standing.panels.get(panel) else {
                continue;
            };
            let at = |at: Point| seen(place * Point3::new(at.x, at.y, through_mm));
            look.faces.push(LookFace {
                rings: region
                    .outlines()
                    .map(|outline| outline.flattened(DRAWN_MM).into_iter().map(at).collect())
                    .collect(),
                of_bend: false,
            });
            if self.regions.len() <= MOST_NAMES || beside.contains(&panel) {
                look.names
                    .push((work.panels[panel].clone(), at(region.centroid())));
            }
        }
        look.faces.extend(standing.facets.iter().map(|facet| LookFace {
            rings: vec![facet.corners.iter().map(|at| seen(*at)).collect()],
            of_bend: true,
        }));
        look
    }

    fn measure(&self, step: &Step, [back, front]: [usize; 2]) -> Vec<BendReading> {
        let work = &self.bending.work;
        let book = &self.outcome.worked.book;
        let (off_rad, off_mm) = (
            book.limit(Limit::BendAngle).value,
            book.limit(Limit::BendToEdge).value,
        );
        let leg = GaugedLeg::of(work, step).map(|leg| {
            let to = if leg.over_the_bend {
                "the outermost of the bend".to_owned()
            } else {
                format!("outside of \"{}\"", work.panels[front])
            };
            BendReading {
                place: format!("\"{}\": gauged edge to {to}", work.panels[back]),
                band: ReadBand::LengthMm([leg.outside_mm - off_mm, leg.outside_mm, leg.outside_mm + off_mm]),
            }
        });
        let angle = (!step.closing).then(|| BendReading {
            place: "angle, load off: both ends and the middle".into(),
            band: ReadBand::BentRad([
                step.to_rad - off_rad,
                step.to_rad,
                (step.to_rad + off_rad).min(std::f64::consts::PI),
            ]),
        });
        leg.into_iter().chain(angle).collect()
    }
}

/// A panel that lies flat, seen from above.
fn laid(region: &Region, place: &Isometry3<f64>) -> Region {
    let marked_up = (place * Vector3::z()).z > 0.0;
    let origin = place * Point3::origin();
    let along = place * Vector3::x();
    // Turned over, the plate is first mirrored and then turned.
    let region = if marked_up {
        region.clone()
    } else {
        region.mirrored(Point::origin(), Vector::x())
    };
    let (at, way) = (
        from_above(&Point::new(origin.x, origin.y)),
        Vector::new(-along.y, along.x),
    );
    let turned = UnitComplex::new(way.y.atan2(way.x));
    region.transformed(&Isometry2::from_parts(at.coords.into(), turned))
}

fn stop_says(step: &Step, stop: Option<&GaugeStop>) -> String {
    let other = |stop: &GaugeStop| match stop.to {
        GaugeLine::Middle => format!("{:.1} mm to where the bend begins", step.gauge.to_tangent_mm),
        GaugeLine::Tangent => format!("{:.1} mm to the middle of the bend", step.gauge.to_middle_mm),
    };
    if let (Means::Vice(_), false, Some(stop)) = (step.means, step.closing, stop) {
        return format!(
            "a vice has no stop: mark the line on the inside of the bend with a felt pen, not a scriber, and set where the bend begins \
             level with the jaw's edge; or a block under the plate's edge; {}",
            other(stop)
        );
    }
    match (step.gauge.edge, stop) {
        (Edge::Square, Some(stop)) => format!("a straight edge bears; {}", other(stop)),
        (Edge::Bent, Some(stop)) => format!("the outside of a bend made before bears; {}", other(stop)),
        (Edge::Point, Some(stop)) => format!("only a point bears, so square it with a block; {}", other(stop)),
        _ => "none reaches: bend to the middle line, marked on the inside of the bend with a felt pen, not a scriber"
            .into(),
    }
}

/// What ends this step; what ends any step stands on the first page.
fn stop_when(step: &Step, aim_rad: Option<f64>, gauged: bool) -> Vec<String> {
    let mut rules = Vec::new();
    if step.closing {
        rules.push("it lies shut: more only thins the fold".to_owned());
    } else if aim_rad.is_some() {
        rules.push("the card gauge fits under load; let go, read, and add a little until in the band".into());
    } else {
        rules.push(
            "the angle is there, let go and read; how far it springs is not known, so add a little at a time"
                .into(),
        );
    }
    if matches!(step.means, Means::Vice(_)) {
        rules.push("the plate slips in the jaws: set it again first".into());
    } else if gauged {
        rules.push("the plate leaves the gauge: set it again first".into());
    }
    rules
}

fn cautions(step: &Step, front: &str, back: &str) -> Vec<String> {
    match step.means {
        Means::Press { .. } if !step.closing => vec![format!(
            "\"{front}\" and \"{back}\" rise as the tool closes: face and hand out of their way."
        )],
        Means::Folder(_) if !step.closing => {
            vec![format!(
                "\"{front}\" swings up with the apron: stand clear of its path."
            )]
        }
        Means::Vice(_) => vec![
            "Eye and ear protection; strike with a block or a soft face, and keep the hand behind the blow."
                .into(),
        ],
        _ => Vec::new(),
    }
}
