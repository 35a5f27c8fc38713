//! The stretch of a weld that carries most.
//!
//! Where a weld ends or runs over a stiffer place, the force per mm of a thin-shell model has no bound: it grows as the mesh
//! is made finer, and means nothing. A fillet is not counted on over less than its least length, so no peak that is
//! narrower than that counts against it either: what a weld carries is the mean over the worst stretch of that length.

use super::throat::LineForce;

/// A place of a weld in a model: the length that goes with it, mm, and what passes through each mm of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Place {
    pub length_mm: f64,
    pub line: LineForce,
}

/// The worst stretch of a weld.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Worst {
    /// The mean over the stretch.
    pub line: LineForce,
    /// The middle of the stretch from the start of the weld, mm.
    pub middle_mm: f64,
    /// How bad it is, by the measure asked for.
    pub size: f64,
}

/// The stretch of a given length, mm, whose mean is largest by some measure; of a weld that is no longer than that, all of
/// it. A length of 0 asks for the worst place alone. None where there are no places.
pub(crate) fn worst(places: &[Place], stretch_mm: f64, size: &dyn Fn(&LineForce) -> f64) -> Option<Worst> {
    let mut ends_mm = vec![0.0];
    for place in places {
        ends_mm.push(ends_mm[ends_mm.len() - 1] + place.length_mm);
    }
    let whole_mm = *ends_mm.last()?;
    let mean = |from_mm: f64, to_mm: f64| {
        let each = places.iter().zip(ends_mm.windows(2)).map(|(place, ends)| {
            let within_mm = (ends[1].min(to_mm) - ends[0].max(from_mm)).max(0.0);
            place.line.times(within_mm / (to_mm - from_mm))
        });
        each.fold(LineForce::default(), LineForce::and)
    };
    let stretches: Vec<[f64; 2]> = if places.is_empty() {
        Vec::new()
    } else if stretch_mm <= 0.0 {
        ends_mm.windows(2).map(|ends| [ends[0], ends[1]]).collect()
    } else if stretch_mm >= whole_mm {
        vec![[0.0, whole_mm]]
    } else {
        // The mean goes along broken lines with where the stretch lies; a measure of its size, which is convex, is largest
        // where an end of the stretch meets one of a place.
        let from = ends_mm.iter().map(|&end| [end, end + stretch_mm]);
        let to = ends_mm.iter().map(|&end| [end - stretch_mm, end]);
        let lies = |[from, to]: &[f64; 2]| *from >= 0.0 && *to <= whole_mm;
        from.chain(to).filter(lies).collect()
    };
    let told = stretches.into_iter().map(|[from_mm, to_mm]| {
        let line = mean(from_mm, to_mm);
        Worst {
            line,
            middle_mm: (from_mm + to_mm) / 2.0,
            size: size(&line),
        }
    });
    // The first of equals.
    told.fold(None, |worst: Option<Worst>, next| match worst {
        Some(worst) if worst.size >= next.size => Some(worst),
        _ => Some(next),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pulled(length_mm: f64, pull_n_mm: f64) -> Place {
        Place {
            length_mm,
            line: LineForce {
                pull_n_mm,
                ..LineForce::default()
            },
        }
    }

    fn pull(line: &LineForce) -> f64 {
        line.pull_n_mm
    }

    /// The force on the end of a weld in a thin shell goes up with the square root of how fine the mesh is: 100/sqrt(s).
    fn toward_an_end(places: usize) -> Vec<Place> {
        let each_mm = 50.0 / places as f64;
        let up_to = |mm: f64| 200.0 * mm.sqrt();
        (0..places)
            .map(|place| {
                let [from, to] = [place, place + 1].map(|end| end as f64 * each_mm);
                pulled(each_mm, (up_to(to) - up_to(from)) / each_mm)
            })
            .collect()
    }

    #[test]
    fn the_worst_place_of_a_weld_grows_with_the_mesh_and_the_worst_stretch_does_not() {
        let of = |places: usize, stretch_mm: f64| {
            let worst = worst(&toward_an_end(places), stretch_mm, &pull);
            worst.expect("a weld").line.pull_n_mm
        };
        assert!(of(200, 0.0) > 4.0 * of(10, 0.0));
        for places in [10, 20, 200] {
            // 200 sqrt(12) / 12; on coarse places a little less, as the mean of a place is taken for all of it.
            let exact = 200.0 * 12f64.sqrt() / 12.0;
            assert!((of(places, 12.0) / exact - 1.0).abs() < 0.05, "{places}");
        }
    }

    #[test]
    fn a_weld_shorter_than_the_stretch_is_taken_whole() {
        let places = [pulled(2.0, 10.0), pulled(3.0, 0.0)];
        let worst = worst(&places, 12.0, &pull).expect("a weld");
        assert!((worst.line.pull_n_mm - 4.0).abs() < 1e-12);
        assert!((worst.middle_mm - 2.5).abs() < 1e-12);
        assert_eq!(super::worst(&[], 12.0, &pull), None);
    }

    #[test]
    fn the_worst_stretch_may_lie_across_places() {
        let places = [0.0, 30.0, 60.0, 0.0].map(|pull_n_mm| pulled(4.0, pull_n_mm));
        let worst = worst(&places, 6.0, &pull).expect("a weld");
        // All 4 mm of the third and 2 mm of the second.
        assert!((worst.line.pull_n_mm - 50.0).abs() < 1e-12);
        assert!((worst.middle_mm - 9.0).abs() < 1e-12);
    }
}
