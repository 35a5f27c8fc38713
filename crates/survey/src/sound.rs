//! What of a mark-out is sound: a point that cannot be found is left out with all that is found from it, and the rest
//! stands.

use std::collections::BTreeSet;

use crate::mark::Mark;
use crate::mark_error::MarkError;
use crate::mark_out::MarkOut;

/// A point that is left out.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftOut {
    /// The point.
    pub point: String,
    /// Why it cannot be found.
    pub why: MarkError,
    /// It is found from a point that is left out itself, and is told there.
    pub follows: bool,
}

/// A mark-out without what cannot be found in it.
#[derive(Debug, Clone, PartialEq)]
pub struct SoundMarkOut {
    /// What is left, which can be drawn.
    pub mark_out: MarkOut,
    /// What is not, in the order in which it was found out.
    pub left_out: Vec<LeftOut>,
}

/// Takes what can be drawn of some points. `missing` are names that the caller has left out already: points that are found
/// from them follow.
pub fn sound_mark_out(mut points: Vec<(String, Mark)>, missing: &[String]) -> SoundMarkOut {
    let mut gone: BTreeSet<String> = missing.iter().cloned().collect();
    let mut left_out = Vec::new();
    loop {
        let found = MarkOut::new(points.clone()).and_then(|mark_out| mark_out.place().map(|_| mark_out));
        let why = match found {
            Ok(mark_out) => return SoundMarkOut { mark_out, left_out },
            Err(why) => why,
        };
        let named: Vec<String> = match &why {
            MarkError::Circle { points } => points.clone(),
            MarkError::Twice { point }
            | MarkError::Unknown { point, .. }
            | MarkError::NotAReading { point, .. }
            | MarkError::BelowZero { point, .. }
            | MarkError::ArcsDoNotReach { point, .. }
            | MarkError::ArcInsideArc { point, .. }
            | MarkError::LinesParallel { point, .. }
            | MarkError::SamePoint { point, .. }
            | MarkError::TangentInside { point, .. } => vec![point.clone()],
        };
        let follows = matches!(&why, MarkError::Unknown { unknown, .. } if gone.contains(unknown));
        let before = points.len();
        if matches!(why, MarkError::Twice { .. }) {
            // The first of the two stands.
            if let Some(second) = points.iter().rposition(|(name, _)| named.contains(name)) {
                points.remove(second);
            }
        } else {
            points.retain(|(name, _)| !named.contains(name));
            gone.extend(named.iter().cloned());
        }
        // Every error names a point that is there; were it otherwise, nothing would be left to draw.
        if points.len() == before {
            points.clear();
        }
        left_out.extend(named.into_iter().map(|point| LeftOut {
            point,
            why: why.clone(),
            follows,
        }));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mark::{Side, Value};

    fn at(x: f64, y: f64) -> Mark {
        Mark::At {
            x: Value::exact(x, 0),
            y: Value::exact(y, 0),
        }
    }

    #[test]
    fn arcs_that_do_not_reach_take_their_point_and_what_hangs_on_it_and_nothing_else() {
        let points = vec![
            ("A".to_owned(), at(0.0, 0.0)),
            ("B".to_owned(), at(100.0, 0.0)),
            (
                "C".to_owned(),
                Mark::Swing {
                    a: "A".into(),
                    ra: Value::exact(20.0, 1),
                    b: "B".into(),
                    rb: Value::exact(30.0, 2),
                    side: Side::Left,
                },
            ),
            ("M".to_owned(), Mark::Middle(["A".into(), "C".into()])),
            ("N".to_owned(), Mark::Middle(["A".into(), "B".into()])),
        ];
        let sound = sound_mark_out(points, &[]);
        assert_eq!(sound.mark_out.names(), ["A", "B", "N"]);
        let told: Vec<(&str, bool)> = sound
            .left_out
            .iter()
            .map(|left| (left.point.as_str(), left.follows))
            .collect();
        assert_eq!(told, [("C", false), ("M", true)]);
        assert!(matches!(sound.left_out[0].why, MarkError::ArcsDoNotReach { .. }));
    }

    #[test]
    fn a_circle_of_points_goes_and_a_name_given_twice_stands_once() {
        let middle = |a: &str, b: &str| Mark::Middle([a.to_owned(), b.to_owned()]);
        let points = vec![
            ("A".to_owned(), at(0.0, 0.0)),
            ("P".to_owned(), middle("A", "Q")),
            ("Q".to_owned(), middle("A", "P")),
            ("A".to_owned(), at(1.0, 1.0)),
        ];
        let sound = sound_mark_out(points, &[]);
        assert_eq!(sound.mark_out.names(), ["A"]);
        assert_eq!(sound.left_out.len(), 3);
        assert_eq!(sound.mark_out.place().expect("one point")[0].x, 0.0);
    }
}
