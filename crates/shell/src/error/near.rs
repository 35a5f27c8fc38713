//! What is near a few places.

use crate::Point;

/// Places in order of x, so that only those within reach are looked at.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Near {
    places: Vec<Point>,
}

impl Near {
    /// The places to be near to.
    pub fn new(places: impl IntoIterator<Item = Point>) -> Self {
        let mut places: Vec<Point> = places.into_iter().collect();
        places.sort_by(|a, b| a.x.total_cmp(&b.x));
        Self { places }
    }

    /// How far the nearest is, when it is no farther than `reach_mm`.
    #[must_use]
    pub fn within(&self, at: Point, reach_mm: f64) -> Option<f64> {
        let first = self.places.partition_point(|place| place.x < at.x - reach_mm);
        let least = self.places[first..]
            .iter()
            .take_while(|place| place.x <= at.x + reach_mm)
            .map(|place| (place - at).norm_squared())
            .fold(f64::INFINITY, f64::min)
            .sqrt();
        (least <= reach_mm).then_some(least)
    }
}
