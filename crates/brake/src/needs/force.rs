//! The force of an air bend.

use handbook::Sourced;

use super::practice::Practice;
use crate::work::Stock;

/// What an air bend takes, with the spread of the published rules.
#[derive(Debug, Clone, PartialEq)]
pub struct Force {
    /// By the rule that asks for least, by the one in the middle, by the one that asks for most: N per mm of bend.
    pub n_per_mm: [f64; 3],
    /// For the length of the bend, by the rule that asks for most, N.
    pub total_n: f64,
    /// What the strength rests on.
    pub ultimate_mpa: Sourced<f64>,
}

/// Force of an air bend per length: C Rm t^2 / V, N/mm. C is 1.36 by a tonnage chart, 1.60 by the rule of 575 T^2 / V
/// (both at 60 ksi), and 1.42 from memory.
pub fn air_force_n_per_mm(factor: f64, ultimate_mpa: f64, t_mm: f64, opening_mm: f64) -> f64 {
    factor * ultimate_mpa * t_mm * t_mm / opening_mm
}

impl Force {
    /// Over a V of this opening; `None` when the strength is not known.
    pub fn of(
        practice: &Practice,
        stock: &Stock,
        t_mm: f64,
        opening_mm: f64,
        length_mm: f64,
    ) -> Option<Force> {
        let ultimate_mpa = stock.ultimate_mpa.clone()?;
        let n_per_mm = practice
            .force_factors
            .each_ref()
            .map(|factor| air_force_n_per_mm(factor.value, ultimate_mpa.value, t_mm, opening_mm));
        Some(Force {
            n_per_mm,
            total_n: n_per_mm[2] * length_mm,
            ultimate_mpa,
        })
    }
}

#[cfg(test)]
mod tests {
    use handbook::Handbook;
    use published::{row, rows};

    use super::*;

    const MM_PER_IN: f64 = 25.4;
    const N_PER_SHORT_TON: f64 = 8_896.443_230_521;
    const MM_PER_FT: f64 = 304.8;
    /// The charts are for mild steel of 60 ksi.
    const CHART_MPA: f64 = 413.685;

    fn tons_per_ft(factor: f64, t_in: f64, v_in: f64) -> f64 {
        air_force_n_per_mm(factor, CHART_MPA, t_in * MM_PER_IN, v_in * MM_PER_IN) * MM_PER_FT
            / N_PER_SHORT_TON
    }

    fn factors() -> [f64; 3] {
        Practice::of(&Handbook::builtin())
            .force_factors
            .map(|factor| factor.value)
    }

    #[test]
    fn the_rule_of_575_is_the_one_that_asks_for_most() {
        let [.., most] = factors();
        let one = row("A093");
        one.check(tons_per_ft(most, one.number("T_in"), one.number("V_in")));
        let four = row("A094");
        four.check(tons_per_ft(most, four.number("T_in"), four.number("V_in")) * four.number("L_ft"));
        row("A102").check(most);
    }

    #[test]
    fn the_chart_is_the_one_that_asks_for_least() {
        let [least, ..] = factors();
        let first = row("A095");
        first.check(tons_per_ft(least, first.number("T_in"), first.number("V_in")));
        let total = row("A097");
        total.check(tons_per_ft(least, first.number("T_in"), first.number("V_in")) * total.number("L_ft"));
        row("A103").check(least);
        let ratio = row("A099");
        let [least, _, most] = factors();
        ratio.check(most / least);
    }

    #[test]
    fn every_chart_row_lies_within_the_spread_or_under_it_where_the_v_is_wide() {
        for row in rows("air-bend tonnage chart row, mild steel") {
            let (t_in, v_in) = (row.number("T_in"), row.number("V_in"));
            let chart: f64 = row.expected.parse().expect("a number");
            let [least, _, most] = factors().map(|factor| tons_per_ft(factor, t_in, v_in));
            // At V = 10 t the chart falls under C Rm t^2 / V by a twentieth.
            assert!(chart >= 0.93 * least && chart <= most, "{row}: {least} to {most}");
        }
    }

    #[test]
    fn the_middle_rule_per_metre_and_the_strengths_of_other_metals() {
        let row_ = row("A104");
        row_.check(air_force_n_per_mm(
            row_.number("C"),
            row_.number("Rm"),
            row_.number("t"),
            row_.number("V"),
        ));
        let stainless = row("A098");
        stainless.check(
            stainless.number("base") * air_force_n_per_mm(1.0, 90.0, 1.0, 1.0)
                / air_force_n_per_mm(1.0, 60.0, 1.0, 1.0),
        );
    }

    #[test]
    fn the_charts_factors_for_other_metals_are_their_strengths_over_420_mpa_to_a_tenth() {
        for (id, mpa) in [("A100", 300.0), ("A101", 700.0)] {
            let printed: f64 = row(id).expected.parse().expect("a number");
            let reckoned = air_force_n_per_mm(1.0, mpa, 1.0, 1.0) / air_force_n_per_mm(1.0, 420.0, 1.0, 1.0);
            assert!(
                (reckoned / printed - 1.0).abs() < 0.11,
                "{id}: {reckoned} for {printed}"
            );
        }
    }
}
