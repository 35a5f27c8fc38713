//! The values one by one, and the further readings.

use survey::{DidYouMean, Foretold, SLIP_W};

use super::network::{Measured, Together};
use super::{Meant, MeasureFile, MeasureItem, MeasureKind, Measuring, NextToMeasure};
use crate::files::Ways;
use crate::files::model::{FileKind, Measure, Sum};
use crate::folder::Folder;
use crate::judge::{measuring as words, slip_reason};
use crate::revise::Step;
use crate::understood::in_both_systems;

/// So many further readings are offered.
const MOST_NEXT: usize = 3;
/// So many slips are offered for one reading.
pub(super) const MOST_MEANT: usize = 3;

pub(super) fn measuring(folder: &Folder, measured: &Measured) -> Measuring {
    let ways = |kind: FileKind| {
        folder
            .source(kind)
            .map_or_else(Ways::default, |file| Ways::of(&file.text))
    };
    let (design, fit) = (ways(FileKind::Design), ways(FileKind::Fit));
    let mut items = Vec::new();
    items.extend(measures([&design, &fit], measured));
    items.extend(of_points(&design, measured));
    items.extend(of_readings(&design, measured));
    items.extend(of_places(&fit, measured));
    items.sort_by(|one, other| {
        let decides = |item: &MeasureItem| item.decides.unwrap_or(0.0);
        rank(one)
            .cmp(&rank(other))
            .then(decides(other).total_cmp(&decides(one)))
    });
    Measuring {
        items,
        next: next(measured),
        told: measured.why_not.clone(),
    }
}

/// What helps first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Rank {
    NotSaid,
    Suspect,
    LeftToAFit,
    Reading,
    OfTheDesign,
    Found,
}

fn rank(item: &MeasureItem) -> Rank {
    match (item.kind, item.file) {
        _ if item.found => Rank::Found,
        // A usual value stands in until the fit says its own.
        _ if item.typed.is_none() && item.expected.is_none() => Rank::NotSaid,
        _ if item.suspect => Rank::Suspect,
        (MeasureKind::Measure, MeasureFile::Fit) => Rank::LeftToAFit,
        (MeasureKind::Measure, MeasureFile::Design) => Rank::OfTheDesign,
        _ => Rank::Reading,
    }
}

/// A value of which nothing is known yet but where it is typed.
fn bare(kind: MeasureKind, file: MeasureFile, way: Vec<Step>, label: String, about: String) -> MeasureItem {
    MeasureItem {
        index: None,
        file,
        way,
        label,
        about,
        typed: None,
        with: None,
        kind,
        understood: None,
        expected: None,
        band: None,
        low_mm: None,
        high_mm: None,
        off: None,
        suspect: false,
        did_you_mean: Vec::new(),
        ask: None,
        points: Vec::new(),
        decides: None,
        unchecked: false,
        found: false,
    }
}

fn measures([design, fit]: [&Ways; 2], measured: &Measured) -> Vec<MeasureItem> {
    let files = &measured.files;
    let own = |measure: &Measure| {
        let fit = files.fit.as_ref()?;
        fit.measures
            .iter()
            .find(|(name, _)| name.value == measure.name.value)
            .map(|(_, sum)| sum)
    };
    files
        .design
        .measures
        .iter()
        .map(|measure| {
            let name = &measure.name.value;
            let of_fit = measure.fit || own(measure).is_some();
            let file = if of_fit {
                MeasureFile::Fit
            } else {
                MeasureFile::Design
            };
            let sum = if of_fit {
                own(measure)
            } else {
                measure.value.as_ref()
            };
            let way = sum
                .and_then(|sum| if of_fit { fit } else { design }.to(&sum.at))
                .map_or_else(
                    || vec![Step::Key("measures".into()), Step::Key(name.clone())],
                    <[Step]>::to_vec,
                );
            let about = measure
                .ask
                .as_ref()
                .map_or_else(|| format!("the measure {name}"), |ask| ask.value.clone());
            let mut item = bare(MeasureKind::Measure, file, way, name.clone(), about);
            item.found = measure.solve.is_some();
            item.typed = sum.map(|sum| sum.value.text().to_owned());
            item.understood = files.scope.get(name).and_then(in_both_systems);
            item.ask = measure.ask.as_ref().map(|ask| ask.value.clone());
            if of_fit {
                let usual = measure.value.as_ref();
                item.expected = usual
                    .and_then(|sum| files.scope.quantity(sum).ok())
                    .and_then(in_both_systems);
            }
            item
        })
        .collect()
}

fn of_points(ways: &Ways, measured: &Measured) -> Vec<MeasureItem> {
    let points = measured.files.design.points.iter();
    points
        .flat_map(|point| {
            let sums = point.how.sums().into_iter().enumerate();
            sums.filter_map(|(number, sum)| {
                let mut item = of_mock_up(
                    ways,
                    measured,
                    sum,
                    MeasureKind::Point,
                    words::number_of_point(point, number),
                )?;
                item.points = words::points_of_point(point, number);
                Some(item)
            })
            .collect::<Vec<_>>()
        })
        .collect()
}

fn of_readings(ways: &Ways, measured: &Measured) -> Vec<MeasureItem> {
    let design = &measured.files.design;
    let rows = design.readings.iter().enumerate();
    rows.filter_map(|(index, reading)| {
        let mut item = of_mock_up(
            ways,
            measured,
            &reading.read,
            MeasureKind::Reading,
            words::reading(reading),
        )?;
        item.index = measured.files.reading_rows.get(index).copied();
        let at = |name: String| {
            let hole = design.holes.iter().find(|hole| hole.name.value == name);
            let edges = matches!(reading.of, crate::files::model::ReadingOf::Edges { .. });
            hole.filter(|_| edges).map_or(name, |hole| hole.at.value.clone())
        };
        item.points = words::points_of_reading(reading).into_iter().map(at).collect();
        Some(item)
    })
    .collect()
}

/// A number of the mock-up that is read and not meant; none of those that are.
fn of_mock_up(
    ways: &Ways,
    measured: &Measured,
    sum: &Sum,
    kind: MeasureKind,
    about: String,
) -> Option<MeasureItem> {
    let told_at = measured.told_at(&sum.at)?;
    let told = &measured.marked.told[told_at];
    let foretold = measured.mock_up.as_ref().and_then(|all| all.about(told_at));
    // Without an adjustment every number is shown that may be one.
    if measured.mock_up.is_some() && foretold.is_none() {
        return None;
    }
    let way = ways.to(&sum.at)?.to_vec();
    let mut item = bare(kind, MeasureFile::Design, way, told.label.clone(), about);
    item.typed = Some(told.typed.clone());
    item.with = Some(told.with.clone());
    item.understood = measured.files.scope.quantity(sum).ok().and_then(in_both_systems);
    if let (Some(all), Some(foretold)) = (&measured.mock_up, foretold) {
        fill(&mut item, all, foretold, told.added_mm, sum);
    }
    Some(item)
}

fn of_places(ways: &Ways, measured: &Measured) -> Vec<MeasureItem> {
    let Some(fit) = &measured.files.fit else {
        return Vec::new();
    };
    let rows = fit.place_readings.iter().enumerate();
    rows.filter_map(|(index, row)| {
        let [a, b] = &row.between;
        let way = ways.to(&row.read.at)?.to_vec();
        let in_file = way.iter().find_map(Step::row);
        let mut item = bare(
            MeasureKind::Place,
            MeasureFile::Fit,
            way,
            format!("{}-{}", a.value, b.value),
            format!("the distance from {} to {} on the equipment", a.value, b.value),
        );
        item.index = in_file;
        item.typed = Some(row.read.value.text().to_owned());
        item.with = Some(row.with.as_ref().map_or_else(
            || crate::stages::survey_places::USUAL_INSTRUMENT.to_owned(),
            |with| with.value.clone(),
        ));
        item.understood = measured
            .files
            .scope
            .quantity(&row.read)
            .ok()
            .and_then(in_both_systems);
        item.points = vec![a.value.clone(), b.value.clone()];
        if let Some((all, foretold)) = measured
            .places
            .as_ref()
            .and_then(|all| Some((all, all.about(index)?)))
        {
            fill(&mut item, all, foretold, 0.0, &row.read);
        }
        Some(item)
    })
    .collect()
}

/// What the others say of a value. `added_mm` comes off again: it is shown as the instrument reads it.
fn fill(item: &mut MeasureItem, all: &Together, foretold: &Foretold, added_mm: f64, sum: &Sum) {
    item.decides = foretold.decides;
    item.suspect = foretold.suspect;
    let Some(expected) = foretold.expected else {
        item.unchecked = true;
        return;
    };
    let angle = foretold.is_angle;
    let band = expected.band(foretold.sd).map(|end| end - added_mm);
    item.expected = Some(words::shown(expected.value - added_mm, angle));
    item.band = Some(words::band(band, angle));
    if !angle {
        (item.low_mm, item.high_mm) = (Some(band[0]), Some(band[1]));
    }
    item.off = Some(words::off(foretold.read - expected.value, angle));
    let suspected = all
        .snooped
        .suspects
        .iter()
        .flat_map(|suspect| &suspect.readings)
        .find(|suspected| suspected.reading == foretold.reading);
    if let Some(suspected) = suspected {
        item.did_you_mean = offered(&suspected.did_you_mean, angle, added_mm, sum.value.is_in_inches());
    }
}

/// Slips as texts that can be typed.
pub(super) fn offered(slips: &[DidYouMean], is_angle: bool, added_mm: f64, inch: bool) -> Vec<Meant> {
    slips
        .iter()
        .take(MOST_MEANT)
        .map(|mean| Meant {
            text: match &mean.slip {
                survey::Slip::SwappedDigits { text } => text.clone(),
                _ => words::typable(mean.value - added_mm, is_angle, inch),
            },
            why: slip_reason(&mean.slip),
        })
        .collect()
}

/// Readings that would help: first those that tell suspects apart.
fn next(measured: &Measured) -> Vec<NextToMeasure> {
    let Some(all) = &measured.mock_up else {
        return Vec::new();
    };
    let label = |about: usize| measured.marked.told.get(about).map(|told| told.label.as_str());
    let mut rows: Vec<NextToMeasure> = all
        .snooped
        .suspects
        .iter()
        .filter_map(|suspect| {
            let deciding = suspect.deciding.as_ref()?;
            let names: Vec<&str> = suspect
                .readings
                .iter()
                .filter_map(|reading| label(reading.about))
                .collect();
            let expected: Vec<String> = names
                .iter()
                .zip(&deciding.expected_mm)
                .map(|(name, mm)| format!("{} if {name} slipped", units::both(*mm)))
                .collect();
            Some(NextToMeasure {
                between: deciding.between.clone(),
                why: format!("tells which of {} has slipped", names.join(", ")),
                expected: expected.join(", "),
                band: None,
                low_mm: None,
                high_mm: None,
            })
        })
        .collect();
    let known = all.snooped.without.as_ref().unwrap_or(&all.snooped.all);
    for next in known.next_readings(&[], measured.next_sd_mm, MOST_NEXT) {
        let reach = SLIP_W * next.predicted_sd_mm;
        let band = [next.predicted_mm - reach, next.predicted_mm + reach];
        rows.push(NextToMeasure {
            why: words::helps(&next.surer),
            expected: units::both(next.predicted_mm),
            band: Some(words::band(band, false)),
            low_mm: Some(band[0]),
            high_mm: Some(band[1]),
            between: next.between,
        });
    }
    rows.truncate(MOST_NEXT);
    rows
}

/// The file of a way.
pub(super) fn kind_of(file: MeasureFile) -> FileKind {
    match file {
        MeasureFile::Design => FileKind::Design,
        MeasureFile::Fit => FileKind::Fit,
    }
}
