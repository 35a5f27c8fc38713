//! Named places on the equipment, the rough ones found from distances by the same survey as the mock-up's points.

use std::collections::BTreeMap;

use handbook::Handbook;
use nalgebra::Point3;
use survey::{Mark, MarkOut, Of, Reading, Value};

use crate::files::model::{Fit, Place, Shop};
use crate::files::{Wrong, nearest};

use super::instrument::{self, Doubt, Read};
use super::scope::Scope;

/// The instrument of a distance that names none.
pub(crate) const USUAL_INSTRUMENT: &str = "tape";

/// Every named place.
pub(crate) fn places(
    book: &Handbook,
    shop: Option<&Shop>,
    fit: &Fit,
    scope: &Scope,
) -> Result<BTreeMap<String, Point3<f64>>, Vec<Wrong>> {
    if fit.places.is_empty() && fit.place_readings.is_empty() {
        return Ok(BTreeMap::new());
    }
    let (mark_out, readings) = network(book, shop, fit, scope)?;
    let adjusted = survey::adjust(&mark_out, &readings, survey::AdjustOptions::default()).map_err(|error| {
        vec![Wrong::new(first_place(fit), error.to_string())
            .expected("at least three distances to every rough place, from places that are known and not in one line")]
    })?;
    Ok(mark_out
        .names()
        .iter()
        .cloned()
        .zip(adjusted.points.iter().copied())
        .collect())
}

fn first_place(fit: &Fit) -> Place {
    let first = fit.places.first();
    first.map_or_else(|| fit.title.at.clone(), |place| place.name.at.clone())
}

/// The places with the distances between them, ready to be adjusted. The survey's `about` of a distance is its number.
pub(crate) fn network(
    book: &Handbook,
    shop: Option<&Shop>,
    fit: &Fit,
    scope: &Scope,
) -> Result<(MarkOut, Vec<Reading>), Vec<Wrong>> {
    let mut wrongs = Vec::new();
    let mut marks = Vec::new();
    for place in &fit.places {
        let made = (|| {
            let [x, y, z] = &place.at;
            let value = |sum| -> Result<Value, Wrong> {
                let mm = scope.length_mm(sum)?;
                Ok(if place.rough {
                    Value::start(mm, 0)
                } else {
                    Value::exact(mm, 0)
                })
            };
            Ok(Mark::InSpace {
                x: value(x)?,
                y: value(y)?,
                z: value(z)?,
            })
        })();
        match made {
            Ok(mark) => marks.push((place.name.value.clone(), mark)),
            Err(wrong) => wrongs.push(wrong),
        }
    }
    let mut readings = Vec::new();
    for (index, reading) in fit.place_readings.iter().enumerate() {
        for name in &reading.between {
            if !fit.places.iter().any(|place| place.name.value == name.value) {
                let known = fit.places.iter().map(|place| place.name.value.as_str());
                let mut wrong = Wrong::new(
                    name.at.clone(),
                    format!("there is no place \"{}\" under [places]", name.value),
                );
                wrong.fix = nearest(&name.value, known).map(|near| format!("\"{near}\""));
                wrongs.push(wrong);
            }
        }
        let made = (|| {
            let mm = scope.size_mm(&reading.read, "the distance")?;
            let read = Read {
                value: mm,
                angle: false,
                hook: false,
            };
            let doubt = match &reading.with {
                Some(with) => instrument::doubt(book, shop, scope, with, read)?,
                None => {
                    let tape = book.instrument(USUAL_INSTRUMENT);
                    instrument::usual(
                        &tape.map_err(|error| Wrong::new(reading.at.clone(), error.to_string()))?,
                        read,
                    )
                }
            };
            let value = match (doubt, &reading.with) {
                (Doubt::Sd(sd), _) => Value::read(mm, sd, index),
                (Doubt::Exact, _) => Value::exact(mm, index),
                (Doubt::NotThisKind, with) => {
                    let at = with.as_ref().map_or(&reading.at, |with| &with.at);
                    return Err(Wrong::new(at.clone(), "this instrument reads no lengths")
                        .expected("a tape, rule or caliper"));
                }
            };
            let [a, b] = &reading.between;
            Ok(Reading::new(
                Of::Distance([a.value.clone(), b.value.clone()]),
                value,
            ))
        })();
        match made {
            Ok(reading) => readings.push(reading),
            Err(wrong) => wrongs.push(wrong),
        }
    }
    if !wrongs.is_empty() {
        return Err(wrongs);
    }
    let mark_out =
        MarkOut::new(marks).map_err(|error| vec![Wrong::new(first_place(fit), error.to_string())])?;
    Ok((mark_out, readings))
}
