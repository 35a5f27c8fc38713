//! Chances of the normal and chi-square distributions, for the tests of an adjustment.

use std::f64::consts::PI;

/// Series and fraction stop when a term no longer changes the sum.
const ENOUGH: f64 = 1e-15;
/// Terms allowed; the series needs about the root of its argument more than it has degrees of freedom.
const TERMS: usize = 10_000;

/// The chance that chi-square with `freedom` degrees exceeds `value`: the upper incomplete gamma function
/// Q(freedom / 2, value / 2), by series below its peak and by continued fraction above (Abramowitz and Stegun 6.5.29,
/// 6.5.31 and 26.4.19). 1 for a value of zero or below.
#[must_use]
pub fn chance_above(value: f64, freedom: usize) -> f64 {
    if freedom == 0 || value.is_nan() || value <= 0.0 {
        return 1.0;
    }
    let (a, x) = (freedom as f64 / 2.0, value / 2.0);
    let front = (a * x.ln() - x - ln_gamma_of_half(freedom)).exp();
    if x < a + 1.0 {
        let mut term = 1.0 / a;
        let mut sum = term;
        for n in 1..TERMS {
            term *= x / (a + n as f64);
            sum += term;
            if term < ENOUGH * sum {
                break;
            }
        }
        (1.0 - front * sum).clamp(0.0, 1.0)
    } else {
        // Lentz's evaluation of the fraction 1/(x+1-a- 1(1-a)/(x+3-a- 2(2-a)/(x+5-a- ...))).
        let tiny = f64::MIN_POSITIVE / f64::EPSILON;
        let mut b = x + 1.0 - a;
        let mut c = 1.0 / tiny;
        let mut d = 1.0 / b;
        let mut fraction = d;
        for n in 1..TERMS {
            let n = n as f64;
            let an = -n * (n - a);
            b += 2.0;
            let nonzero = |v: f64| if v.abs() < tiny { tiny } else { v };
            d = 1.0 / nonzero(an * d + b);
            c = nonzero(b + an / c);
            fraction *= d * c;
            if (d * c - 1.0).abs() < ENOUGH {
                break;
            }
        }
        (front * fraction).clamp(0.0, 1.0)
    }
}

/// ln Gamma(n / 2), exact steps up from Gamma(1) = 1 and Gamma(1/2) = sqrt(pi).
fn ln_gamma_of_half(n: usize) -> f64 {
    let (mut sum, mut at) = if n.is_multiple_of(2) {
        (0.0, 1.0)
    } else {
        (0.5 * PI.ln(), 0.5)
    };
    while at + 0.5 < n as f64 / 2.0 {
        sum += f64::ln(at);
        at += 1.0;
    }
    sum
}

/// How many standard deviations, either way, a reading passes with no more than this chance: 1.96 for 0.05, 3.29 for
/// 0.001. For chances from 1e-12 to 1.
#[must_use]
pub fn critical_w(chance: f64) -> f64 {
    let (mut low, mut high) = (0.0_f64, 8.0_f64);
    // Halving 8 this often leaves less than the last bit.
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if chance_above(middle * middle, 1) > chance {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Upper percentage points of chi-square: Abramowitz and Stegun, table 26.8.
    #[test]
    fn chances_agree_with_the_printed_table() {
        for (freedom, at_5_percent, at_half_percent) in [
            (1, 3.84146, 7.87944),
            (5, 11.0705, 16.7496),
            (10, 18.3070, 25.1882),
            (100, 124.342, 140.169),
        ] {
            assert!((chance_above(at_5_percent, freedom) - 0.05).abs() < 2e-6);
            assert!((chance_above(at_half_percent, freedom) - 0.005).abs() < 5e-7);
        }
    }

    #[test]
    fn few_in_a_thousand_pass_3_29() {
        assert!((critical_w(0.001) - 3.2905).abs() < 5e-5);
        assert!((critical_w(0.05) - 1.95996).abs() < 5e-6);
    }
}
