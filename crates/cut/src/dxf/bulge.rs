//! The bulge of an arc as the reader understands it, worked out apart from `plane` so that one mistake cannot hide in
//! both: tan(sweep / 4), positive counter-clockwise.

/// The angle that an arc of this bulge turns through, counter-clockwise positive.
pub(super) fn sweep_of_bulge(bulge: f64) -> f64 {
    4.0 * bulge.atan()
}

/// The radius of an arc with this bulge over this chord, in the chord's unit: chord (1 + b^2) / (4 |b|). Infinite for a
/// line.
pub(super) fn radius_of_bulge(bulge: f64, chord: f64) -> f64 {
    chord * (1.0 + bulge * bulge) / (4.0 * bulge.abs())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reader_turns_bulges_back_into_the_published_sweeps() {
        for row in published::rows("bulge = tan(angle/4)") {
            let bulge = (row.number("sweep_deg").to_radians() / 4.0).tan();
            row.check(bulge);
            let swept_deg = sweep_of_bulge(row.expected_number()).to_degrees();
            assert!(
                (swept_deg - row.number("sweep_deg")).abs() < 1e-4,
                "{row}: {swept_deg}"
            );
        }
    }

    #[test]
    fn the_reader_turns_bulges_back_into_the_published_radii() {
        let row = published::row("J020");
        let radius = radius_of_bulge(row.expected_number(), row.number("chord"));
        assert!((radius - row.number("r")).abs() < 1e-12, "{row}: {radius}");
        let row = published::row("J021");
        row.check(radius_of_bulge(row.number("b"), row.number("chord")));
    }
}
