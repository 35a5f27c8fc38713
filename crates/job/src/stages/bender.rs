//! What the shop bends with: its own machines and tools as it says them, those of the starter set where it says so.

mod by_hand_tools;
mod press;
mod section;

use brake::tooling::{Away, Capacity, Lengths, ToolFault, Tooling};
use handbook::Family;
use units::Dim;

use crate::files::Wrong;
use crate::files::keys::{Key, bender as keys};
use crate::files::model::{AwayDef, BenderDef, CapacityDef, Name, Place, Shop, Sum};
use crate::folder::Drawing;

use super::scope::Scope;

/// The tools that bends are planned on.
#[derive(Debug, Clone)]
pub(crate) struct Tools {
    pub tooling: Tooling,
    pub whose: Whose,
    /// What the shop wants stop distances given to; none where it has not said.
    pub gauge_to: Option<GaugeTo>,
}

/// What the distance of a stop is given to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum GaugeTo {
    /// The middle of the bend: on a brake the stop is counted from the punch.
    Middle,
    /// Its tangent line nearer to the stop: where the plate is clamped up to it.
    Tangent,
}

impl GaugeTo {
    /// As shop.toml and the summary have it.
    pub fn word(self) -> &'static str {
        match self {
            GaugeTo::Middle => "middle",
            GaugeTo::Tangent => "tangent",
        }
    }

    fn of(word: &str) -> Option<GaugeTo> {
        [GaugeTo::Middle, GaugeTo::Tangent]
            .into_iter()
            .find(|to| to.word() == word)
    }
}

/// Whose tools they are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Whose {
    /// Those of common shapes, for want of a word from the shop.
    Unsaid,
    /// Those of common shapes, as the shop says that its own are like them.
    Starter,
    /// The shop's own.
    Own,
    /// Both.
    OwnAndStarter,
}

impl Whose {
    /// As the summary has it.
    pub fn word(self) -> &'static str {
        match self {
            Whose::Unsaid | Whose::Starter => "starter",
            Whose::Own => "own",
            Whose::OwnAndStarter => "own and starter",
        }
    }

    /// Whether the shop has said that these are its tools.
    pub fn said(self) -> bool {
        self != Whose::Unsaid
    }
}

/// More sets of brake, punch and die than these are not looked through.
const MOST_SETS: usize = 1000;

/// The tools that the shop says, or those of the starter set by its word for how it bends.
pub(crate) fn tools(shop: Option<&Shop>, scope: &Scope, drawings: &[Drawing]) -> Result<Tools, Vec<Wrong>> {
    let bender = shop.and_then(|shop| shop.bender.as_ref());
    let Some(def) = bender else {
        return Ok(Tools {
            tooling: Tooling::starter_brake(),
            whose: Whose::Unsaid,
            gauge_to: None,
        });
    };
    let gauge_to = def.gauge_to.as_ref().and_then(|word| GaugeTo::of(&word.value));
    let whose = match (def.says_own(), def.tools.is_some()) {
        (false, false) => Whose::Unsaid,
        (false, true) => Whose::Starter,
        (true, false) => Whose::Own,
        (true, true) => Whose::OwnAndStarter,
    };
    let mut tooling = match (whose, def.process.value.as_str()) {
        (Whose::Own, _) => Tooling::default(),
        (_, "folder") => Tooling::starter_folder(),
        (_, "vice") => Tooling::starter_vice(),
        _ => Tooling::starter_brake(),
    };
    let mut said = Said {
        scope,
        drawings,
        wrongs: Vec::new(),
    };
    tooling
        .presses
        .extend(def.brakes.iter().filter_map(|brake| said.press(brake)));
    tooling
        .punches
        .extend(def.punches.iter().filter_map(|punch| said.punch(punch)));
    tooling
        .dies
        .extend(def.dies.iter().filter_map(|die| said.die(die)));
    tooling
        .folders
        .extend(def.folders.iter().filter_map(|folder| said.folder(folder)));
    tooling
        .vices
        .extend(def.vices.iter().filter_map(|vice| said.vice(vice)));
    if let Some(away) = &def.away {
        tooling.away = said.away(away);
    }
    let mut wrongs = said.wrongs;
    if wrongs.is_empty() {
        wrongs.extend(together(def, &tooling));
    }
    if wrongs.is_empty() {
        wrongs.extend(tooling.check().iter().map(|fault| fault_wrong(def, fault)));
    }
    if wrongs.is_empty() {
        Ok(Tools {
            tooling,
            whose,
            gauge_to,
        })
    } else {
        Err(wrongs)
    }
}

/// What does not go together, though each tool is sound.
fn together(def: &BenderDef, tooling: &Tooling) -> Vec<Wrong> {
    let mut wrongs = Vec::new();
    let alone = |name: &Name, says: String, ask: &str| {
        Wrong::new(name.at.clone(), says).expected(format!(
            "{ask}; or tools = \"starter\" under [bender], which adds those of common shapes"
        ))
    };
    let (brakes, punches, dies) = (tooling.presses.len(), tooling.punches.len(), tooling.dies.len());
    if let Some(brake) = def.brakes.first() {
        for (none, what, ask) in [
            (punches == 0, "punch", "[[bender.punches]]"),
            (dies == 0, "die", "[[bender.dies]]"),
        ] {
            if none {
                wrongs.push(alone(
                    &brake.name,
                    format!("\"{}\" has no {what} to bend with", brake.name.value),
                    ask,
                ));
            }
        }
    }
    let tool = def.punches.first().map(|punch| &punch.name);
    if let Some(name) = tool.or(def.dies.first().map(|die| &die.name))
        && brakes == 0
    {
        wrongs.push(alone(
            name,
            format!("there is no brake to put \"{}\" in", name.value),
            "[[bender.brakes]]",
        ));
    }
    let sets = brakes * punches * dies;
    if let Some(name) = tool
        && sets > MOST_SETS
    {
        wrongs.push(
            Wrong::new(
                name.at.clone(),
                format!("brakes, punches and dies make {sets} sets"),
            )
            .expected(format!(
                "at most {MOST_SETS}: leave out tools that this job is not for"
            )),
        );
    }
    wrongs
}

/// Faults that no single number had: the place is the tool's name.
fn fault_wrong(def: &BenderDef, fault: &ToolFault) -> Wrong {
    let tool = match fault {
        ToolFault::NotPositive { tool, .. }
        | ToolFault::Angle { tool, .. }
        | ToolFault::NoLength { tool }
        | ToolFault::OffOrigin { tool, .. }
        | ToolFault::WrongHeight { tool, .. }
        | ToolFault::WrongSide { tool, .. }
        | ToolFault::GaugeRange { tool, .. }
        | ToolFault::TwiceNamed { tool } => tool,
    };
    let mut names = (def.brakes.iter().map(|brake| &brake.name))
        .chain(def.punches.iter().map(|punch| &punch.name))
        .chain(def.dies.iter().map(|die| &die.name))
        .chain(def.folders.iter().map(|folder| &folder.name))
        .chain(def.vices.iter().map(|vice| &vice.name));
    // Of two of one name, the second is told.
    let name = names.rfind(|name| name.value == *tool);
    let at = name.map_or_else(|| def.process.at.clone(), |name| name.at.clone());
    let expected = match fault {
        ToolFault::TwiceNamed { .. } => {
            "a name of its own for each, also beside those of the starter set, so that a plan can say which"
        }
        _ => "values that a tool can have",
    };
    Wrong::new(at, fault.to_string()).expected(expected)
}

/// Reads what is said, and collects what cannot be.
struct Said<'a> {
    scope: &'a Scope,
    drawings: &'a [Drawing],
    wrongs: Vec<Wrong>,
}

/// The machine or tool that is being read: how it is called, where its name stands, and its keys.
struct Of {
    called: String,
    at: Place,
    keys: &'static [Key],
    /// Whether what is not said is taken from the starter set.
    like_starter: bool,
}

impl Of {
    fn new(what: &str, name: &Name, keys: &'static [Key], like: Option<&Name>) -> Of {
        Of {
            called: format!("{what} \"{}\"", name.value),
            at: name.at.clone(),
            keys,
            like_starter: like.is_some(),
        }
    }

    fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|key| key.name == name)
    }

    /// A key that is not there.
    fn lacks(&self, name: &str) -> Wrong {
        let mut wrong = Wrong::new(
            self.at.clone(),
            format!("{} does not say \"{name}\"", self.called),
        );
        let may_be_like = self.keys.iter().any(|key| key.name == "like");
        if let Some(key) = self.key(name) {
            wrong.expected = Some(if may_be_like {
                format!(
                    "{}; or like = \"starter\", which takes what is not said from the starter set",
                    key.says
                )
            } else {
                key.says.to_owned()
            });
            wrong.fix = Some(format!("{} = {}", key.name, key.example));
        }
        wrong
    }
}

impl Said<'_> {
    fn keep<T>(&mut self, value: Result<T, Wrong>) -> Option<T> {
        value.map_err(|wrong| self.wrongs.push(wrong)).ok()
    }

    /// What is said; else what the starter set has, where the file says so; else it is lacking.
    fn or_usual<T>(&mut self, of: &Of, key: &str, said: Option<Option<T>>, usual: T) -> Option<T> {
        match said {
            Some(value) => value,
            None if of.like_starter => Some(usual),
            None => {
                self.wrongs.push(of.lacks(key));
                None
            }
        }
    }

    fn size(&mut self, of: &Of, key: &str, sum: Option<&Sum>, usual_mm: f64) -> Option<f64> {
        let what = format!("\"{key}\" of {}", of.called);
        let said = sum.map(|sum| {
            let mm = self.scope.size_mm(sum, &what);
            self.keep(mm)
        });
        self.or_usual(of, key, said, usual_mm)
    }

    /// A length of 0 or more.
    fn reach(&mut self, of: &Of, key: &str, sum: Option<&Sum>, usual_mm: f64) -> Option<f64> {
        let what = format!("\"{key}\" of {}", of.called);
        let said = sum.map(|sum| {
            let mm = self.scope.reach_mm(sum, &what);
            self.keep(mm)
        });
        self.or_usual(of, key, said, usual_mm)
    }

    /// An angle that a tool has: over 0, and under half a turn or at it.
    fn angle(&mut self, of: &Of, key: &str, sum: Option<&Sum>, usual_rad: f64) -> Option<f64> {
        let said = sum.map(|sum| {
            let rad = self.scope.angle_rad(sum).and_then(|rad| {
                if rad > 0.0 && rad <= std::f64::consts::PI {
                    return Ok(rad);
                }
                let says = format!("\"{key}\" of {} comes out as {}", of.called, units::deg(rad));
                Err(Wrong::new(sum.at.clone(), says).expected("more than 0 and at most 180 deg"))
            });
            self.keep(rad)
        });
        self.or_usual(of, key, said, usual_rad)
    }

    /// A force, or a force for each length, above 0, in N or N/mm.
    fn strength(&mut self, of: &Of, key: &str, sum: Option<&Sum>, kind: Dim, usual: f64) -> Option<f64> {
        let said = sum.map(|sum| {
            let value = self
                .scope
                .of_kind(
                    sum,
                    kind,
                    "a force as 300 kN, or a force for each length as 1000 N/mm",
                )
                .and_then(|value| {
                    if value > 0.0 && value.is_finite() {
                        return Ok(value);
                    }
                    let says = format!("\"{key}\" of {} comes out as {value}", of.called);
                    Err(Wrong::new(sum.at.clone(), says).expected("more than 0"))
                });
            self.keep(value)
        });
        self.or_usual(of, key, said, usual)
    }

    /// Pieces; none where none are said.
    fn pieces(&mut self, of: &Of, key: &str, sums: &[Sum]) -> Option<Option<Lengths>> {
        if sums.is_empty() {
            return None;
        }
        let what = format!("a piece of {}, under \"{key}\",", of.called);
        let mut pieces = Vec::new();
        for sum in sums {
            let mm = self.scope.size_mm(sum, &what);
            pieces.extend(self.keep(mm));
        }
        Some((pieces.len() == sums.len()).then_some(match pieces.as_slice() {
            [one] => Lengths::Whole(*one),
            _ => Lengths::Sections(pieces),
        }))
    }

    /// One piece or several, as said under `length` or `lengths`.
    fn made_up(&mut self, of: &Of, length: Option<&Sum>, lengths: &[Sum]) -> Option<Lengths> {
        match (length, lengths) {
            (None, []) => {
                self.wrongs.push(of.lacks("lengths"));
                None
            }
            (Some(_), [first, ..]) => {
                self.wrongs.push(
                    Wrong::new(
                        first.at.clone(),
                        format!("{} says both \"length\" and \"lengths\"", of.called),
                    )
                    .expected("length for one piece, lengths for pieces; take the other out"),
                );
                None
            }
            (Some(length), []) => self.size(of, "length", Some(length), 0.0).map(Lengths::Whole),
            (None, lengths) => self.pieces(of, "lengths", lengths).flatten(),
        }
    }

    fn capacity(
        &mut self,
        of: &Of,
        def: Option<&CapacityDef>,
        usual: Vec<Capacity>,
    ) -> Option<Vec<Capacity>> {
        let said = def.map(|def| {
            let metals = [
                (Family::Steel, &def.steel, "steel"),
                (Family::Stainless, &def.stainless, "stainless"),
                (Family::Aluminium, &def.aluminium, "aluminium"),
            ];
            let mut rows = Vec::new();
            for (family, sum, word) in metals {
                let Some(sum) = sum else { continue };
                let what = format!("the thickest {word} of {}", of.called);
                let thickest_mm = self.scope.size_mm(sum, &what);
                let thickest_mm = self.keep(thickest_mm)?;
                rows.push(Capacity { family, thickest_mm });
            }
            if rows.is_empty() {
                self.wrongs.push(
                    Wrong::new(
                        def.at.clone(),
                        format!("the capacity of {} names no metal", of.called),
                    )
                    .expected("one or more of: steel, stainless, aluminium")
                    .fix("capacity = { steel = \"1.5 mm\", aluminium = \"2 mm\" }"),
                );
                return None;
            }
            Some(rows)
        });
        self.or_usual(of, "capacity", said, usual)
    }

    fn away(&mut self, def: &AwayDef) -> Option<Away> {
        let usual = Tooling::starter_away();
        let of = Of {
            called: "the shop under [bender.away]".into(),
            at: def.at.clone(),
            keys: keys::AWAY,
            like_starter: def.like.is_some(),
        };
        let length_mm = self.size(&of, "length", def.length.as_ref(), usual.length_mm);
        let capacity = self.capacity(&of, def.capacity.as_ref(), usual.capacity);
        let least_leg = def.least_leg.as_ref().map(|told| {
            if told.value >= 0.0 {
                return Some(told.value);
            }
            let says = format!("\"least_leg\" of {} is {}", of.called, told.value);
            self.wrongs
                .push(Wrong::new(told.at.clone(), says).expected("0 or more, in thicknesses"));
            None
        });
        let least_leg_x_t = self.or_usual(&of, "least_leg", least_leg, usual.least_leg_x_t);
        let largest_bend_rad = self.angle(
            &of,
            "largest_bend",
            def.largest_bend.as_ref(),
            usual.largest_bend_rad,
        );
        Some(Away {
            length_mm: length_mm?,
            capacity: capacity?,
            least_leg_x_t: least_leg_x_t?,
            largest_bend_rad: largest_bend_rad?,
        })
    }
}
