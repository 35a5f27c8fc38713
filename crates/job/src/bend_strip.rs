//! The bend test strip of a job: for which tool, how large, and what should come of it.

use brake::needs::{ToBend, needs, spring, stops};
use brake::strip::{StripFor, TestStrip};
use brake::tooling::Means;
use brake::work::Work;
use plane::{Outline, Point};
use sheet::{Crease, Face, Mockup, Part, Relief, Way, deduction_mm, develop};
use units::deg;

use crate::judge::bend_words::stop_words;
use crate::run::{Outcome, Worked};
use crate::stages::bending::{Bending, Found, NotAsked};
use crate::stages::coming::{From, like, radius_of};
use crate::stages::setting::neutral;
use crate::stages::strips::StripGrain;
use crate::typed::{NotAReading, bent_rad, length_mm};

/// What is asked of a bend test strip; nothing said is what the plan has for its first bend.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct StripAsked {
    /// The bend that it is for.
    pub bend: Option<String>,
    /// The tool, by its name.
    pub tool: Option<String>,
    /// The angle bent through, as typed.
    pub angle: Option<String>,
    /// The inside radius that the tool should leave, as typed.
    pub radius: Option<String>,
    /// How its bend lies to the way of rolling; across when not said.
    pub grain: Option<StripGrain>,
}

/// Why there is no strip.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoBendStrip {
    /// The job has no bends.
    #[error("this job has no bends, and so no tool to try: add a bend to the design first")]
    NoBends,
    /// There is no shop.toml.
    #[error(
        "there is no shop.toml to say how plate is bent here; write [bender] with process = \"brake\" or another"
    )]
    NoShop,
    /// No tools are known.
    #[error("the bending tools are not known: {0}")]
    NoTools(String),
    /// No such bend.
    #[error("there is no bend \"{asked}\"; there are: {}", .known.join(", "))]
    NoSuchBend {
        /// As asked.
        asked: String,
        /// Those of the design.
        known: Vec<String>,
    },
    /// No such tool.
    #[error("there is no tool \"{asked}\"; there are: {}", .known.join(", "))]
    NoSuchTool {
        /// As asked.
        asked: String,
        /// Those of the shop.
        known: Vec<String>,
    },
    /// The tools are not for this plate.
    #[error("{tool} does not bend a strip of this plate: {why}")]
    NotForIt {
        /// The tool.
        tool: String,
        /// Why.
        why: String,
    },
    /// What comes is not known.
    #[error(
        "the handbook has no share of the V for {metal}; say the radius that should come, as --radius \"4 mm\""
    )]
    NoRadius {
        /// The metal.
        metal: String,
    },
    /// Not an angle at which legs can be measured.
    #[error(
        "{} bent through is no angle for a strip: legs are measured to a corner only from {} to {}",
        deg(*.bent_rad),
        deg(*.least_rad),
        deg(*.most_rad)
    )]
    Angle {
        /// As asked, rad.
        bent_rad: f64,
        /// The least, rad.
        least_rad: f64,
        /// The most, rad.
        most_rad: f64,
    },
    /// A number that is none.
    #[error(transparent)]
    Typed(#[from] NotAReading),
    /// It has no shape.
    #[error("the strip has no shape: {0}")]
    NoShape(String),
}

/// A strip with what should come of it.
#[derive(Debug, Clone)]
pub(crate) struct BendStrip {
    pub strip: TestStrip,
    /// Developed for what should come.
    pub part: Part,
    /// The tool in words.
    pub tool: String,
    /// Inside radius that should come, mm, and where that is from.
    pub radius_mm: f64,
    pub radius_from: String,
    pub bent_rad: f64,
    pub loaded_rad: f64,
    pub grain: StripGrain,
    /// Each leg, outside to the sharp corner, if all comes as expected, mm.
    pub leg_mm: f64,
}

/// Flatter, the legs tell nothing of the bend; sharper, their corner is in the air.
const LEAST_DEG: f64 = 30.0;
const MOST_DEG: f64 = 120.0;
/// The angle at which squares and protractors read best.
const USUAL_DEG: f64 = 90.0;

/// The strip that is asked for.
pub(crate) fn bend_strip(outcome: &Outcome, asked: &StripAsked) -> Result<BendStrip, NoBendStrip> {
    let worked = &outcome.worked;
    let bending = match &worked.bent {
        Ok(bending) => bending.as_ref(),
        Err(NotAsked::NoBends) => return Err(NoBendStrip::NoBends),
        Err(NotAsked::NoShop) => return Err(NoBendStrip::NoShop),
        Err(NotAsked::Work(error)) => return Err(NoBendStrip::NoTools(error.to_string())),
        Err(NotAsked::Plan(error)) => return Err(NoBendStrip::NoTools(error.to_string())),
    };
    let wanted_rad = match &asked.angle {
        Some(text) => bent_rad(text)?,
        None => USUAL_DEG.to_radians(),
    };
    let (least_rad, most_rad) = (LEAST_DEG.to_radians(), MOST_DEG.to_radians());
    if !(least_rad..=most_rad).contains(&wanted_rad) {
        return Err(NoBendStrip::Angle {
            bent_rad: wanted_rad,
            least_rad,
            most_rad,
        });
    }
    let said_mm = asked.radius.as_deref().map(length_mm).transpose()?;
    let Candidates { planned, others } = candidates(bending, asked)?;
    let of = |means| with_tool(worked, bending, means, wanted_rad, said_mm, asked.grain);
    // A strip of another tool than the one that bends the part would tell of what is not used.
    if let Some(means) = planned.first() {
        return of(*means);
    }
    let mut first_fault = None;
    for means in others {
        match of(means) {
            Ok(strip) => return Ok(strip),
            Err(fault) => first_fault = first_fault.or(Some(fault)),
        }
    }
    Err(first_fault.unwrap_or_else(|| NoBendStrip::NoTools("there are none".into())))
}

/// The tools that a strip may be bent with.
struct Candidates {
    /// Those of the plan, in its order.
    planned: Vec<Means>,
    /// The rest.
    others: Vec<Means>,
}

fn candidates(bending: &Bending, asked: &StripAsked) -> Result<Candidates, NoBendStrip> {
    let work = &bending.work;
    let line = match &asked.bend {
        Some(name) => {
            let found = work.lines.iter().position(|line| line.name == *name);
            Some(found.ok_or_else(|| NoBendStrip::NoSuchBend {
                asked: name.clone(),
                known: work.lines.iter().map(|line| line.name.clone()).collect(),
            })?)
        }
        None => None,
    };
    let planned: Vec<Means> = match &bending.found {
        Found::Order(plan) => plan
            .steps
            .iter()
            .filter(|step| line.is_none_or(|line| step.lines.contains(&line)))
            .map(|step| step.means)
            .collect(),
        Found::None { .. } => Vec::new(),
    };
    let all = bending.tooling.means();
    let mut seen = vec![Means::Away];
    let mut fresh = |means: &Means| {
        let fresh = !seen.contains(means);
        seen.push(*means);
        fresh
    };
    let mut planned: Vec<Means> = planned.into_iter().filter(&mut fresh).collect();
    let mut others: Vec<Means> = all.into_iter().filter(&mut fresh).collect();
    if let Some(tool) = &asked.tool {
        let mut known: Vec<String> = Vec::new();
        for means in planned.iter().chain(&others) {
            let name = bending.tool_names(*means).short().to_owned();
            if !known.contains(&name) {
                known.push(name);
            }
        }
        let named = |means: &Means| bending.tool_names(*means).are(tool);
        planned.retain(named);
        others.retain(named);
        if planned.is_empty() && others.is_empty() {
            return Err(NoBendStrip::NoSuchTool {
                asked: tool.clone(),
                known,
            });
        }
    }
    Ok(Candidates { planned, others })
}

fn with_tool(
    worked: &Worked,
    bending: &Bending,
    means: Means,
    bent_rad: f64,
    said_mm: Option<f64>,
    grain: Option<StripGrain>,
) -> Result<BendStrip, NoBendStrip> {
    let t_mm = worked.setting.thickness_mm;
    let tool = bending.tool_names(means).words().to_owned();
    let (radius_mm, radius_from) = match said_mm {
        Some(mm) => (mm, "as said".to_owned()),
        // What a strip said before is what is tried anew, and is not asked.
        None => match radius_of(bending, means, &[], like(worked, t_mm, None)) {
            Some((mm, From::Nose)) => (mm, "the nose".to_owned()),
            Some((mm, _)) => (mm, "a share of the V".to_owned()),
            None => {
                return Err(NoBendStrip::NoRadius {
                    metal: worked.setting.metal.clone(),
                });
            }
        },
    };
    let k = neutral(
        &worked.book,
        worked.files.shop.as_ref(),
        &worked.scope,
        &worked.setting.metal,
        &[],
        like(worked, radius_mm, None),
    )
    .map_err(|wrong| NoBendStrip::NoShape(wrong.says.clone()))?
    .share;
    let bent = Bent {
        bent_rad,
        radius_mm,
        neutral_share: k,
        t_mm,
    };
    // The first is only asked what the tool needs; the second is as large as it needs.
    let mut asked = StripFor {
        thickness_mm: t_mm,
        radius_mm,
        least_leg_mm: 0.0,
        loaded_rad: bent_rad,
    };
    let first = bent.strip(&asked)?;
    let work = bent.work(bending, &first)?;
    let needs = needs(&work, &bending.tooling, &bending.practice, 0, means, None);
    asked.least_leg_mm = needs.least_leg_mm.unwrap_or(0.0);
    // It springs as this radius does, whoever said it.
    asked.loaded_rad = bending
        .stock_for(means, radius_mm)
        .and_then(|stock| spring(&stock, bent_rad, radius_mm, t_mm))
        .map_or(bent_rad + bending.practice.over_rad.value, |spring| {
            spring.loaded_rad
        });
    let strip = bent.strip(&asked)?;
    let work = bent.work(bending, &strip)?;
    let line = &work.lines[0];
    let stop = stops(
        &bending.practice,
        &bending.tooling,
        means,
        line.length_mm,
        &ToBend {
            line,
            length_mm: line.length_mm,
            last_rad: asked.loaded_rad,
            thickness_mm: t_mm,
            stock: work.stock.as_ref(),
        },
    );
    if let Some(stop) = stop.first() {
        return Err(NoBendStrip::NotForIt {
            tool,
            why: stop_words(bending, stop),
        });
    }
    Ok(BendStrip {
        part: bent.part(&strip)?,
        leg_mm: bent.leg_mm(&strip),
        loaded_rad: asked.loaded_rad,
        grain: grain.unwrap_or(StripGrain::Across),
        strip,
        tool,
        radius_mm,
        radius_from,
        bent_rad,
    })
}

/// A strip's bend as it should come.
struct Bent {
    bent_rad: f64,
    radius_mm: f64,
    neutral_share: f64,
    t_mm: f64,
}

impl Bent {
    fn strip(&self, asked: &StripFor) -> Result<TestStrip, NoBendStrip> {
        TestStrip::of(asked)
            .ok_or_else(|| NoBendStrip::NoShape("one of its sizes is no number above 0".into()))
    }

    /// Each leg, outside to the sharp corner.
    fn leg_mm(&self, strip: &TestStrip) -> f64 {
        let shorter_mm = deduction_mm(self.bent_rad, self.radius_mm, self.neutral_share, self.t_mm);
        (strip.flat_mm + shorter_mm) / 2.0
    }

    /// Drawn on the outside of the bend, so that its legs are outside legs and its blank is as long as the strip.
    fn part(&self, strip: &TestStrip) -> Result<Part, NoBendStrip> {
        let no_shape = |error: &dyn std::fmt::Display| NoBendStrip::NoShape(error.to_string());
        let leg_mm = self.leg_mm(strip);
        let crease = Crease {
            name: "bend".to_owned(),
            from: Point::new(0.0, leg_mm),
            to: Point::new(strip.wide_mm, leg_mm),
            bent_rad: self.bent_rad,
            way: Way::Up,
            radius_mm: self.radius_mm,
            neutral_share: self.neutral_share,
            relief: Relief::None,
        };
        let card = Mockup {
            outline: Outline::rectangle(Point::origin(), Point::new(strip.wide_mm, 2.0 * leg_mm))
                .map_err(|error| no_shape(&error))?,
            openings: Vec::new(),
            creases: vec![crease],
            seams: Vec::new(),
            marks: Vec::new(),
            panel_names: Vec::new(),
            root: Some(Point::new(strip.wide_mm / 2.0, leg_mm / 4.0)),
            lines_on: Face::Far,
            card_mm: 0.0,
        };
        develop(&card, self.t_mm).map_err(|error| no_shape(&error))
    }

    fn work(&self, bending: &Bending, strip: &TestStrip) -> Result<Work, NoBendStrip> {
        Work::of(
            &self.part(strip)?,
            bending.work.stock.clone(),
            bending.practice.closed_past_rad.value,
        )
        .map_err(|error| NoBendStrip::NoShape(error.to_string()))
    }
}
