//! Boxes by columns, so that only those near a place are looked at: parts with thousands of edges are read back too.

use super::runs::{Bounds, near};

/// Boxes sorted into columns of equal width.
pub(super) struct Columns {
    low_mm: f64,
    width_mm: f64,
    boxes: Vec<Bounds>,
    columns: Vec<Vec<usize>>,
}

impl Columns {
    pub(super) fn new(boxes: Vec<Bounds>) -> Columns {
        /// Boxes for which a column is worth its while.
        const BOXES_EACH: usize = 4;
        /// A box stands in so many columns on average at most.
        const MOST_COPIES: f64 = 4.0;
        let low_mm = boxes.iter().map(|(low, _)| low.x).fold(f64::INFINITY, f64::min);
        let high_mm = boxes
            .iter()
            .map(|(_, high)| high.x)
            .fold(f64::NEG_INFINITY, f64::max);
        let all_mm = (high_mm - low_mm).max(f64::MIN_POSITIVE);
        let widths_mm: f64 = boxes.iter().map(|(low, high)| high.x - low.x).sum();
        let few_copies = MOST_COPIES * boxes.len() as f64 * all_mm / widths_mm.max(all_mm);
        let count = (boxes.len() / BOXES_EACH).min(few_copies as usize).max(1);
        let mut sorted = Columns {
            low_mm,
            width_mm: all_mm / count as f64,
            columns: vec![Vec::new(); count],
            boxes,
        };
        for i in 0..sorted.boxes.len() {
            let (low, high) = sorted.boxes[i];
            for column in sorted.column(low.x)..=sorted.column(high.x) {
                sorted.columns[column].push(i);
            }
        }
        sorted
    }

    fn column(&self, x: f64) -> usize {
        // Left of the first it is the first.
        (((x - self.low_mm) / self.width_mm) as usize).min(self.columns.len() - 1)
    }

    /// Every box within a distance of this one, each once, in no order that matters.
    pub(super) fn near<'a>(&'a self, bounds: &'a Bounds, by_mm: f64) -> impl Iterator<Item = usize> + 'a {
        let first = self.column(bounds.0.x - by_mm);
        let last = self.column(bounds.1.x + by_mm);
        (first..=last).flat_map(move |column| {
            self.columns[column].iter().copied().filter(move |&i| {
                // In the first column that both stand in, so that none comes twice.
                column == first.max(self.column(self.boxes[i].0.x)) && near(&self.boxes[i], bounds, by_mm)
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use plane::Point;

    use super::*;

    #[test]
    fn every_near_box_is_found_once() {
        let boxes: Vec<Bounds> = (0..200)
            .map(|i| {
                let x = f64::from(i * 37 % 101);
                let wide = f64::from(i % 7) * f64::from(i % 5);
                (
                    Point::new(x, f64::from(i % 13)),
                    Point::new(x + wide, f64::from(i % 13) + 2.0),
                )
            })
            .collect();
        let columns = Columns::new(boxes.clone());
        for (query, by_mm) in boxes.iter().zip([0.0, 0.5, 3.0, 400.0].into_iter().cycle()) {
            let mut found: Vec<usize> = columns.near(query, by_mm).collect();
            found.sort_unstable();
            let wanted: Vec<usize> = (0..boxes.len())
                .filter(|&i| near(&boxes[i], query, by_mm))
                .collect();
            assert_eq!(found, wanted);
        }
        assert_eq!(Columns::new(Vec::new()).near(&boxes[0], 1.0).count(), 0);
    }
}
