//! Words for what is measured: what each number is of, its band, and why a further reading helps.

use survey::Surer;

use crate::files::model::{PointDef, PointHow, ReadingDef, ReadingOf};

/// Inch rules are divided to 64ths.
const PARTS_PER_INCH: f64 = 64.0;

/// A length, or an angle, in both systems.
pub(crate) fn shown(value: f64, is_angle: bool) -> String {
    if is_angle {
        units::deg(value)
    } else {
        units::both(value)
    }
}

/// A band: "207.1 to 209.6 mm (8-9/64 in to 8-1/4 in)". The inches are those of a rule, widened to its next marks.
pub(crate) fn band([low, high]: [f64; 2], is_angle: bool) -> String {
    if is_angle {
        return format!(
            "{} to {}",
            units::deg(low).trim_end_matches(" deg"),
            units::deg(high)
        );
    }
    let mark = |mm: f64, round: fn(f64) -> f64| {
        let parts = round(mm / units::MM_PER_INCH * PARTS_PER_INCH);
        units::inch64(parts / PARTS_PER_INCH * units::MM_PER_INCH)
    };
    format!(
        "{} to {} ({} to {})",
        units::mm(low).trim_end_matches(" mm"),
        units::mm(high),
        mark(low, f64::floor),
        mark(high, f64::ceil)
    )
}

/// How far a reading is off what the others say.
pub(crate) fn off(off: f64, is_angle: bool) -> String {
    let way = if off < 0.0 { "less" } else { "more" };
    format!("{} {way} than the others say", shown(off.abs(), is_angle))
}

/// A value as it may be typed where the last one stood: as a rule shows it, in the system that was typed.
pub(crate) fn typable(value: f64, is_angle: bool, inch: bool) -> String {
    match (is_angle, inch) {
        (true, _) => units::deg(value),
        (false, false) => units::mm(value),
        (false, true) => {
            let parts = (value / units::MM_PER_INCH * PARTS_PER_INCH).round();
            units::inch64(parts / PARTS_PER_INCH * units::MM_PER_INCH)
        }
    }
}

/// Why a further reading helps.
pub(crate) fn helps(surer: &Surer) -> String {
    format!(
        "takes the doubt of {} from {} to {}",
        surer.point,
        units::both(surer.from_sd_mm),
        units::both(surer.to_sd_mm)
    )
}

/// What one number of a point is, counted as in [`PointHow::sums`].
pub(crate) fn number_of_point(point: &PointDef, number: usize) -> String {
    let name = &point.name.value;
    let first = number == 0;
    match &point.how {
        PointHow::At(_) if first => format!("how far {name} lies to the right of 0"),
        PointHow::At(_) => format!("how far {name} lies above 0"),
        PointHow::Offset { from, toward, .. } if first => format!(
            "how far along from {} toward {} the foot of {name} lies",
            from.value, toward.value
        ),
        PointHow::Offset { from, toward, .. } => format!(
            "how far {name} lies square off the line from {} to {}, left positive",
            from.value, toward.value
        ),
        PointHow::Polar { from, .. } if first => format!("how far {name} is from {}", from.value),
        PointHow::Polar { from, of, .. } => match of {
            Some(line) => format!(
                "the angle at {} from the line {} to {name}",
                from.value,
                line.value.join("-")
            ),
            None => format!("the angle at {} from straight right to {name}", from.value),
        },
        PointHow::Swing {
            first: one, second, ..
        } => {
            let centre = if first { &one.0 } else { &second.0 };
            format!("how far {name} is from {}", centre.value)
        }
        PointHow::Tangent { round, .. } => format!("the radius of the circle round {}", round.value),
        PointHow::Crossing(_) | PointHow::Foot { .. } | PointHow::Middle(_) | PointHow::Mirror { .. } => {
            format!("a number of {name}")
        }
    }
}

/// The points that a point's numbers run between: itself and those that it is found from.
pub(crate) fn points_of_point(point: &PointDef, number: usize) -> Vec<String> {
    let own = point.name.value.clone();
    let others: Vec<String> = match &point.how {
        PointHow::Offset { from, toward, .. } => vec![from.value.clone(), toward.value.clone()],
        PointHow::Polar { from, of, .. } => {
            let line = of.iter().flat_map(|line| line.value.iter().cloned());
            std::iter::once(from.value.clone())
                .chain(line.filter(|_| number > 0))
                .collect()
        }
        PointHow::Swing { first, second, .. } => {
            let centre = if number == 0 { &first.0 } else { &second.0 };
            vec![centre.value.clone()]
        }
        PointHow::Tangent { round, .. } => vec![round.value.clone()],
        _ => Vec::new(),
    };
    let mut points: Vec<String> = others.into_iter().filter(|other| *other != own).collect();
    points.push(own);
    points
}

/// What a reading is of.
pub(crate) fn reading(def: &ReadingDef) -> String {
    match &def.of {
        ReadingOf::Between([a, b]) => format!("the distance from {} to {}", a.value, b.value),
        ReadingOf::Corner([a, b, c]) => {
            format!("the angle at {} between {} and {}", b.value, a.value, c.value)
        }
        ReadingOf::Off { point, line } => format!(
            "how far {} lies square off the line from {} to {}, left positive",
            point.value, line.value[0], line.value[1]
        ),
        ReadingOf::Lines([first, second]) => format!(
            "the angle between the lines {} and {}",
            first.value.join("-"),
            second.value.join("-")
        ),
        ReadingOf::Edges { holes: [a, b], far } => format!(
            "the distance of the {} edges of the holes {} and {}",
            if *far { "far" } else { "near" },
            a.value,
            b.value
        ),
    }
}

/// The points that a reading runs between; for edges of holes, the points that the holes are at are for the caller to say.
pub(crate) fn points_of_reading(def: &ReadingDef) -> Vec<String> {
    match &def.of {
        ReadingOf::Between(two) => two.iter().map(|name| name.value.clone()).collect(),
        ReadingOf::Corner(three) => three.iter().map(|name| name.value.clone()).collect(),
        ReadingOf::Off { point, line } => {
            let ends = line.value.iter().cloned();
            std::iter::once(point.value.clone()).chain(ends).collect()
        }
        ReadingOf::Lines(lines) => lines.iter().flat_map(|line| line.value.iter().cloned()).collect(),
        ReadingOf::Edges { holes, .. } => holes.iter().map(|name| name.value.clone()).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_band_is_told_in_both_systems_and_never_narrower_on_a_rule() {
        assert_eq!(
            band([207.1, 209.6], false),
            "207.1 to 209.6 mm (8-9/64 in to 8-17/64 in)"
        );
        let rad = f64::to_radians;
        assert_eq!(band([rad(44.0), rad(46.0)], true), "44.0 to 46.0 deg");
    }

    #[test]
    fn what_is_offered_can_be_typed() {
        for (value, inch, text) in [(208.36, true, "8-13/64 in"), (208.36, false, "208.4 mm")] {
            let offered = typable(value, false, inch);
            assert_eq!(offered, text);
            assert!(units::Expr::parse(&offered, None).is_ok_and(|sum| sum.is_plain()));
        }
    }
}
