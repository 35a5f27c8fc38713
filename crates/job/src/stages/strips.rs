//! Test strips of this shop: what their readings say, and which of them stands nearest to a bend.

use brake::needs::yield_by_spring_mpa;
use brake::strip::{StripError, StripReadings, StripSays};
use brake::work::Stock;
use handbook::{Handbook, Sourced, Status};

use crate::files::Wrong;
use crate::files::model::{Place, Shop, StripDef};

use super::scope::Scope;
use super::setting::nominal_mm;
use super::stated::above_zero;
use super::tool_names::ToolNames;

/// A strip is of the same plate when its thickness is within this share of the sheet's: mills keep to about five in a hundred.
pub(crate) const SAME_THICKNESS_SHARE: f64 = 0.05;
/// A strip of another radius is nearer the truth than a general formula while its r/t is within this of ours.
pub(crate) const NEAR_RADIUS_PER_THICKNESS: f64 = 0.5;
/// The end of a leg is squared over to the corner by eye and feel: so much on top of the caliper, mm, one standard deviation.
/// Common practice, no source.
const LEG_FEEL_SD_MM: f64 = 0.1;
/// Radius gauges step by half a millimetre; a light gap is told to about a third of that, mm, one standard deviation. Common
/// practice, no source.
const GAUGE_SD_MM: f64 = 0.15;
/// A caliper and a bevel, where the handbook has no row for them, mm and rad.
const CALIPER_SD_MM: f64 = 0.03;
const BEVEL_SD_RAD: f64 = 0.0087;

/// A bend that came out bent through by more than this past what it was bent to under load was not read as it was asked, since a bend
/// opens: no more than a bevel's own doubt, rad.
const CLOSED_BY_ITSELF_RAD: f64 = BEVEL_SD_RAD;
/// Without a gauge, K and radius that must leave what is expected of them by more standard deviations than this are not believed:
/// a slipped digit does that, plate hardly ever.
const MOST_STRAIN: f64 = 3.0;
/// With a gauge the legs give K outright, whatever it comes to. DIN 6935 has k/2 of 0.2 at r/t 0.3 and 0.5 for wide radii, and the
/// handbook's table of K by hardness lies from 0.33 to 0.5: outside of this band a leg or the gauge was read wrong.
const GAUGED_K: [f64; 2] = [0.2, 0.5];
/// Outside the band by no more than twice what the readings leave open is within it; but what they leave open counts for no more than
/// this, or a thin plate would take any K. As far as DIN 6935 is trusted, common practice, no source.
const GAUGED_K_DOUBT: f64 = 0.05;

/// A radius gauged as 0 is taken for this, mm: the readings are of something above 0, and no plate bends sharper.
const SHARP_MM: f64 = 0.01;

/// How the line of a bend lies to the way the sheet was rolled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StripGrain {
    /// The bend line runs along it.
    Along,
    /// It crosses it.
    Across,
}

impl StripGrain {
    /// As shop.toml has it.
    pub fn word(self) -> &'static str {
        match self {
            StripGrain::Along => "along",
            StripGrain::Across => "across",
        }
    }

    /// From its word.
    pub fn of(word: &str) -> Option<StripGrain> {
        [StripGrain::Along, StripGrain::Across]
            .into_iter()
            .find(|grain| grain.word() == word.trim())
    }
}

/// The readings of a strip in numbers, mm and rad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Readings {
    pub thickness_mm: f64,
    pub flat_mm: f64,
    pub legs_mm: [f64; 2],
    pub bent_rad: f64,
    pub loaded_rad: Option<f64>,
    pub gauged_mm: Option<f64>,
    /// What the tool should leave; where only a gauge was held to it, that.
    pub expects_mm: f64,
}

/// A strip by its readings.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Strip {
    /// The metal's name in the handbook.
    pub metal: String,
    /// Its nominal thickness, mm.
    pub nominal_mm: f64,
    pub read: Readings,
    pub says: StripSays,
    pub tool: Option<String>,
    pub grain: Option<StripGrain>,
    pub date: Option<String>,
    /// Where its row begins.
    pub at: Place,
}

/// Why what a strip says is hardly so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Doubt {
    /// K and radius leave what is expected of them by so many standard deviations.
    Strained(f64),
    /// K, with the gauged radius, lies outside of what plate does: from and to.
    K([f64; 2]),
}

impl Readings {
    /// The angles bent through and under load, when it came out bent further than it was bent to.
    pub fn closed_rad(&self) -> Option<[f64; 2]> {
        let loaded_rad = self.loaded_rad?;
        (self.bent_rad > loaded_rad + CLOSED_BY_ITSELF_RAD).then_some([self.bent_rad, loaded_rad])
    }

    /// Why what they say is hardly so; none when it may well be.
    pub fn doubt(&self, says: &StripSays) -> Option<Doubt> {
        let Some([k, sd]) = says.gauged_neutral_share else {
            return (says.strain > MOST_STRAIN).then_some(Doubt::Strained(says.strain));
        };
        let open = 2.0 * sd.min(GAUGED_K_DOUBT);
        (k < GAUGED_K[0] - open || k > GAUGED_K[1] + open).then_some(Doubt::K(GAUGED_K))
    }

    /// What they say.
    pub fn say(&self, book: &Handbook) -> Result<StripSays, StripError> {
        let caliper = book.instrument("caliper").ok();
        let caliper_mm = |length_mm: f64| {
            let sd = caliper
                .as_ref()
                .and_then(|caliper| caliper.sd_at(length_mm, false));
            sd.unwrap_or(CALIPER_SD_MM)
        };
        let bevel = book.instrument("angle finder").ok();
        let bevel_rad = bevel
            .and_then(|bevel| bevel.angle_sd_rad())
            .unwrap_or(BEVEL_SD_RAD);
        let leg_mm = |length_mm: f64| caliper_mm(length_mm).hypot(LEG_FEEL_SD_MM);
        let [a, b] = self.legs_mm;
        StripReadings {
            flat_mm: [self.flat_mm, caliper_mm(self.flat_mm)],
            legs_mm: [a + b, leg_mm(a).hypot(leg_mm(b))],
            thickness_mm: [self.thickness_mm, caliper_mm(self.thickness_mm)],
            bent_rad: [self.bent_rad, bevel_rad],
            radius_mm: self.gauged_mm.map(|radius| [radius, GAUGE_SD_MM]),
        }
        .say(self.expects_mm, self.loaded_rad.unwrap_or(self.bent_rad))
    }
}

/// Whether all sizes of a row are sizes; which is not.
pub(crate) fn sizes(scope: &Scope, def: &StripDef) -> Result<(), Wrong> {
    readings(scope, def).map(|_| ())
}

fn readings(scope: &Scope, def: &StripDef) -> Result<Readings, Wrong> {
    let thickness_mm = scope.size_mm(&def.thickness, "the strip's thickness")?;
    let reach = |sum: &Option<_>| {
        sum.as_ref()
            .map(|sum| scope.reach_mm(sum, "the strip's radius"))
            .transpose()
    };
    let (gauged_mm, expects_mm) = (reach(&def.radius)?, reach(&def.expects)?);
    let gauged_mm = gauged_mm.map(|mm| mm.max(SHARP_MM));
    let expects_mm = expects_mm.or(gauged_mm).ok_or_else(|| {
        Wrong::new(
            def.stock.text.at.clone(),
            "this strip says no inside radius, neither gauged nor what the tool should leave",
        )
        .expected("radius by a gauge, or expects")
        .fix("expects = \"4 mm\"")
    })?;
    above_zero(&def.bent, "the angle", scope.angle_rad(&def.bent))?;
    let bent_rad = scope.angle_rad(&def.bent)?;
    let loaded_rad = def.loaded.as_ref().map(|sum| scope.angle_rad(sum)).transpose()?;
    let read = Readings {
        thickness_mm,
        flat_mm: scope.size_mm(&def.flat, "the flat strip")?,
        legs_mm: [
            scope.size_mm(&def.legs[0], "a leg")?,
            scope.size_mm(&def.legs[1], "a leg")?,
        ],
        bent_rad,
        loaded_rad,
        gauged_mm,
        expects_mm,
    };
    if let (Some(sum), Some([bent_rad, loaded_rad])) = (&def.loaded, read.closed_rad()) {
        return Err(Wrong::new(
            sum.at.clone(),
            format!(
                "the strip was bent through {} under load and came out bent through {}: a bend opens when it is let go",
                units::deg(loaded_rad),
                units::deg(bent_rad)
            ),
        )
        .expected("both as angles bent through, not as angles between the legs"));
    }
    Ok(read)
}

/// The strips of this metal at about this thickness.
pub(crate) fn of_stock(
    book: &Handbook,
    shop: Option<&Shop>,
    scope: &Scope,
    metal: &str,
    thickness_mm: f64,
) -> Result<Vec<Strip>, Wrong> {
    let mut strips = Vec::new();
    for def in shop.map_or(&[][..], |shop| &shop.strips) {
        let Some(strip) = strip(book, scope, def, metal)? else {
            continue;
        };
        let off = |mm: f64| (mm - thickness_mm).abs() <= SAME_THICKNESS_SHARE * thickness_mm;
        if off(strip.nominal_mm) || off(strip.read.thickness_mm) {
            strips.push(strip);
        }
    }
    Ok(strips)
}

/// The strip of a row, if it is of this metal.
pub(crate) fn strip(
    book: &Handbook,
    scope: &Scope,
    def: &StripDef,
    metal: &str,
) -> Result<Option<Strip>, Wrong> {
    let Ok(found) = book.metal(&def.stock.metal) else {
        return Ok(None);
    };
    if found.name != metal {
        return Ok(None);
    }
    let read = readings(scope, def)?;
    let says = read.say(book).map_err(|_| {
        Wrong::new(
            def.flat.at.clone(),
            "the readings of this strip give no K between 0 and 1",
        )
        .expected("outside legs to the sharp corner, whose sum is a little more than the flat strip")
    })?;
    let text = |name: &Option<crate::files::model::Name>| name.as_ref().map(|name| name.value.clone());
    Ok(Some(Strip {
        metal: found.name.clone(),
        nominal_mm: nominal_mm(book, &def.stock)?,
        read,
        says,
        tool: text(&def.tool),
        grain: def.grain.as_ref().and_then(|word| StripGrain::of(&word.value)),
        date: text(&def.date),
        at: def.stock.text.at.clone(),
    }))
}

/// What a strip is to stand near to.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Like<'a> {
    pub thickness_mm: f64,
    pub radius_mm: f64,
    /// The tools, where they are known.
    pub tool: Option<&'a ToolNames>,
    /// How the bend lies to the grain, where it is known.
    pub grain: Option<StripGrain>,
}

/// How far a strip of another tool stands off, where 1 is one as far off in r/t as is used at all.
const OTHER_TOOL: f64 = 1.0;
/// The same for one whose tool is not said.
const UNSAID_TOOL: f64 = 0.5;
const OTHER_GRAIN: f64 = 0.25;
const OTHER_THICKNESS: f64 = 0.25;

/// The strip that stands nearest: of the same tool first, then by r/t, grain and thickness, and of equals the latest. One of the same
/// tool is asked however far its radius is from what was expected: it is what that tool does.
pub(crate) fn nearest<'a>(strips: &'a [Strip], like: &Like<'_>) -> Option<&'a Strip> {
    let ours = like.radius_mm / like.thickness_mm;
    let mut best: Option<(f64, &Strip)> = None;
    for strip in strips {
        let same = like.tool.is_some_and(|tool| strip.is_of(tool));
        let away = (strip.radius_per_thickness() - ours).abs() / NEAR_RADIUS_PER_THICKNESS;
        if away > 1.0 && !same {
            continue;
        }
        let tool = match (like.tool, &strip.tool) {
            (None, _) => 0.0,
            (Some(_), _) if same => 0.0,
            (Some(_), None) => UNSAID_TOOL,
            (Some(_), Some(_)) => OTHER_TOOL,
        };
        let grain = match (like.grain, strip.grain) {
            (Some(one), Some(other)) if one != other => OTHER_GRAIN,
            _ => 0.0,
        };
        let thickness = (strip.read.thickness_mm - like.thickness_mm).abs() / like.thickness_mm;
        let off = away.min(1.0) + tool + grain + OTHER_THICKNESS * thickness / SAME_THICKNESS_SHARE;
        let nearer = best.is_none_or(|(least, known)| {
            // Dates are written year first, so that text puts them in order.
            off < least - SAME_OFF || ((off - least).abs() <= SAME_OFF && strip.date > known.date)
        });
        if nearer {
            best = Some((off, strip));
        }
    }
    best.map(|(_, strip)| strip)
}

/// Nearer by less than this is as near.
const SAME_OFF: f64 = 1e-9;

impl Strip {
    pub fn radius_per_thickness(&self) -> f64 {
        self.says.radius_mm[0] / self.read.thickness_mm
    }

    /// Whether it was bent with these tools, or with a piece of them.
    pub fn is_of(&self, tool: &ToolNames) -> bool {
        self.tool.as_ref().is_some_and(|own| tool.are(own))
    }

    /// The yield, MPa, with which plate of this stiffness springs as it did. None where it is not known what it was bent to under load,
    /// or where it opened further than any plate does.
    pub fn springs_as_mpa(&self, elastic_mpa: f64) -> Option<f64> {
        self.read.loaded_rad?;
        yield_by_spring_mpa(
            elastic_mpa,
            self.read.bent_rad,
            self.says.radius_mm[0],
            self.read.thickness_mm,
            self.says.opens_rad[0],
        )
    }

    /// "this shop's test strip of 2026-03-02, r/t 1.49, V 24 die, across the grain".
    pub fn words(&self) -> String {
        let when = self
            .date
            .as_ref()
            .map_or(String::new(), |date| format!(" of {date}"));
        let tool = self
            .tool
            .as_ref()
            .map_or(String::new(), |tool| format!(", {tool}"));
        let grain = self
            .grain
            .map_or(String::new(), |grain| format!(", {} the grain", grain.word()));
        format!(
            "this shop's test strip{when}, r/t {:.2}{tool}{grain}",
            self.radius_per_thickness()
        )
    }

    /// "the strip of 2026-03-02".
    pub fn short(&self) -> String {
        match &self.date {
            Some(date) => format!("the strip of {date}"),
            None => "the strip".into(),
        }
    }
}

/// The stock as the strip nearest to `like` springs: with the yield that gives back what it opened by. As it was where no strip tells
/// how far it springs.
pub(crate) fn with_spring(stock: Stock, strips: &[Strip], like: &Like<'_>) -> Stock {
    let elastic_mpa = stock.elastic_mpa.value;
    let sprung: Vec<Strip> = strips
        .iter()
        .filter(|strip| strip.springs_as_mpa(elastic_mpa).is_some())
        .cloned()
        .collect();
    let found = nearest(&sprung, like).and_then(|strip| Some((strip, strip.springs_as_mpa(elastic_mpa)?)));
    match found {
        Some((strip, mpa)) => Stock {
            yield_mpa: Some(Sourced {
                value: mpa,
                source: strip.words(),
                status: Status::Shop,
                row: "strips: loaded".into(),
            }),
            ..stock
        },
        None => stock,
    }
}
