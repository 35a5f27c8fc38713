//! Arc formulas against published values.

use plane::{
    Point, Segment, Side, bulge_of_radius, bulge_of_sweep, chord_error_mm, radius_of_bulge_mm, sweep_of_bulge,
};

#[test]
fn bulge_of_a_sweep_and_back() {
    for row in published::rows("bulge = tan(angle/4)") {
        let sweep_rad = row.number("sweep_deg").to_radians();
        row.check(bulge_of_sweep(sweep_rad));
        let back = sweep_of_bulge(bulge_of_sweep(sweep_rad));
        assert!((back - sweep_rad).abs() < 1e-12, "{row}: {back}");
    }
}

#[test]
fn bulge_of_a_radius_over_a_chord() {
    for row in published::rows("bulge from radius and chord") {
        let (from, to) = (Point::origin(), Point::new(row.number("chord"), 0.0));
        row.check(
            bulge_of_radius(from, to, row.number("r"), Side::Right).expect("the radius spans the chord"),
        );
    }
}

#[test]
fn radius_of_a_bulge_over_a_chord() {
    for row in published::rows("radius from bulge chord(1+b^2)/(4b)") {
        row.check(radius_of_bulge_mm(row.number("chord"), row.number("b")));
    }
}

#[test]
fn positive_bulge_turns_counter_clockwise() {
    for row in published::rows("positive bulge direction") {
        let edge = Segment::new(Point::origin(), Point::new(10.0, 0.0), 0.5);
        let turn = edge.tangent_at(0.0).perp(&edge.tangent_at(1.0));
        row.check_text(if turn > 0.0 { "CCW" } else { "CW" });
    }
}

#[test]
fn chord_error_of_a_facet() {
    for row in published::rows("chord error of arc facet r(1-cos(step/2))") {
        row.check(chord_error_mm(
            row.number("r"),
            row.number("step_deg").to_radians(),
        ));
    }
}
