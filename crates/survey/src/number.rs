//! Numbers that carry their slopes, so that every formula is written once and differentiated exactly.

use std::ops::{Add, Div, Mul, Neg, Sub};

/// What the formulas of this crate need of a number: plain, or with its slopes against the unknowns.
pub(crate) trait Number:
    Clone + Add<Output = Self> + Sub<Output = Self> + Mul<Output = Self> + Div<Output = Self> + Neg<Output = Self>
{
    /// A number that no unknown moves.
    fn constant(value: f64) -> Self;
    /// The plain value.
    fn real(&self) -> f64;
    /// Scaled by a plain number.
    fn times(self, by: f64) -> Self;
    /// Square root; at or below zero it is zero and has no slope, since the true slope there is without bound.
    fn root(self) -> Self;
    /// Sine and cosine of radians.
    fn sin_cos(self) -> (Self, Self);
    /// The angle, radians, of the vector (`x`, self), in (-pi, pi].
    fn atan2(self, x: Self) -> Self;
}

impl Number for f64 {
    fn constant(value: f64) -> Self {
        value
    }
    fn real(&self) -> f64 {
        *self
    }
    fn times(self, by: f64) -> Self {
        self * by
    }
    fn root(self) -> Self {
        self.max(0.0).sqrt()
    }
    fn sin_cos(self) -> (Self, Self) {
        f64::sin_cos(self)
    }
    fn atan2(self, x: Self) -> Self {
        f64::atan2(self, x)
    }
}

/// A value with its slopes against the few unknowns that move it (forward-mode differentiation: Griewank and Walther,
/// Evaluating Derivatives, chapter 3). Slopes are sorted by unknown; a slope that happens to be zero is kept, so that
/// the pattern of the normal equations stays the same from step to step.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Sloped {
    /// The value.
    pub value: f64,
    /// (unknown, slope), sorted by unknown.
    pub slopes: Vec<(usize, f64)>,
}

impl Sloped {
    /// The unknown itself.
    pub fn unknown(index: usize, value: f64) -> Self {
        Self {
            value,
            slopes: vec![(index, 1.0)],
        }
    }

    /// `value`, with slopes `by_first` times those of `first` plus `by_second` times those of `second`.
    fn joined(value: f64, first: Self, by_first: f64, second: Self, by_second: f64) -> Self {
        if second.slopes.is_empty() {
            return Self::scaled(value, first, by_first);
        }
        if first.slopes.is_empty() {
            return Self::scaled(value, second, by_second);
        }
        let mut slopes = Vec::with_capacity(first.slopes.len() + second.slopes.len());
        let (mut i, mut j) = (0, 0);
        let (a, b) = (&first.slopes, &second.slopes);
        while i < a.len() || j < b.len() {
            let next_a = a.get(i).map_or(usize::MAX, |s| s.0);
            let next_b = b.get(j).map_or(usize::MAX, |s| s.0);
            let index = next_a.min(next_b);
            let mut slope = 0.0;
            if next_a == index {
                slope += by_first * a[i].1;
                i += 1;
            }
            if next_b == index {
                slope += by_second * b[j].1;
                j += 1;
            }
            slopes.push((index, slope));
        }
        Self { value, slopes }
    }

    fn scaled(value: f64, mut of: Self, by: f64) -> Self {
        for slope in &mut of.slopes {
            slope.1 *= by;
        }
        of.value = value;
        of
    }
}

impl Add for Sloped {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        let value = self.value + other.value;
        Self::joined(value, self, 1.0, other, 1.0)
    }
}

impl Sub for Sloped {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        let value = self.value - other.value;
        Self::joined(value, self, 1.0, other, -1.0)
    }
}

impl Mul for Sloped {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        let (a, b) = (self.value, other.value);
        Self::joined(a * b, self, b, other, a)
    }
}

impl Div for Sloped {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let (a, b) = (self.value, other.value);
        Self::joined(a / b, self, 1.0 / b, other, -a / (b * b))
    }
}

impl Neg for Sloped {
    type Output = Self;
    fn neg(self) -> Self {
        let value = -self.value;
        Self::scaled(value, self, -1.0)
    }
}

impl Number for Sloped {
    fn constant(value: f64) -> Self {
        Self {
            value,
            slopes: Vec::new(),
        }
    }
    fn real(&self) -> f64 {
        self.value
    }
    fn times(self, by: f64) -> Self {
        let value = self.value * by;
        Self::scaled(value, self, by)
    }
    fn root(self) -> Self {
        let value = Number::root(self.value);
        let slope = if value > 0.0 { 0.5 / value } else { 0.0 };
        Self::scaled(value, self, slope)
    }
    fn sin_cos(self) -> (Self, Self) {
        let (sin, cos) = self.value.sin_cos();
        (
            Self::scaled(sin, self.clone(), cos),
            Self::scaled(cos, self, -sin),
        )
    }
    fn atan2(self, x: Self) -> Self {
        let (dy, dx) = (self.value, x.value);
        let square = dx * dx + dy * dy;
        let (by_y, by_x) = if square > 0.0 {
            (dx / square, -dy / square)
        } else {
            (0.0, 0.0)
        };
        Self::joined(dy.atan2(dx), self, by_y, x, by_x)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn formula<T: Number>(x: T, y: T) -> T {
        let (sin, cos) = x.clone().sin_cos();
        (x.clone() * y.clone() - sin / y.clone()).atan2((x * cos + y).root())
    }

    #[test]
    fn slopes_agree_with_small_differences() {
        let (x, y) = (0.7, 2.3);
        let sloped = formula(Sloped::unknown(3, x), Sloped::unknown(8, y));
        let step = 1e-6;
        let by_x = (formula(x + step, y) - formula(x - step, y)) / (2.0 * step);
        let by_y = (formula(x, y + step) - formula(x, y - step)) / (2.0 * step);
        assert_eq!(sloped.value, formula(x, y));
        assert_eq!((sloped.slopes[0].0, sloped.slopes[1].0), (3, 8));
        assert!((sloped.slopes[0].1 - by_x).abs() < 1e-8);
        assert!((sloped.slopes[1].1 - by_y).abs() < 1e-8);
    }
}
