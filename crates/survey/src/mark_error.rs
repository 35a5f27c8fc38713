//! Everything that can be wrong with a mark-out, by the names of its points.

/// Why a mark-out cannot be drawn.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MarkError {
    /// Two points have one name.
    #[error("{point} is marked out twice")]
    Twice {
        /// The name.
        point: String,
    },
    /// A point is found from one that is not there.
    #[error("{point} is found from {unknown}, which is not marked out")]
    Unknown {
        /// The point being found.
        point: String,
        /// The name that is not there.
        unknown: String,
    },
    /// Points that need each other.
    #[error("these points are found from each other in a circle: {}", points.join(" from "))]
    Circle {
        /// Each is found from the next, the last from the first.
        points: Vec<String>,
    },
    /// A value or standard deviation that is no measurement: not finite, or a standard deviation not above zero.
    #[error("{point}: {value} with standard deviation {sd} is not a reading")]
    NotAReading {
        /// The point it is for.
        point: String,
        /// The value.
        value: f64,
        /// Its standard deviation.
        sd: f64,
        /// The caller's number for the value.
        about: usize,
    },
    /// A radius or reach below zero.
    #[error("{point}: a distance of {value_mm} mm is below zero")]
    BelowZero {
        /// The point it is for.
        point: String,
        /// The distance.
        value_mm: f64,
        /// The caller's number for it.
        about: usize,
    },
    /// The two swung arcs end before they meet.
    #[error("the arcs from {a} and {b} for {point} do not reach each other by {short_by_mm:.2} mm")]
    ArcsDoNotReach {
        /// The point being found.
        point: String,
        /// First centre.
        a: String,
        /// Second centre.
        b: String,
        /// The gap between the arcs on the line of the centres.
        short_by_mm: f64,
    },
    /// One arc lies wholly inside the other.
    #[error("for {point}, the arc from {inner} lies inside the arc from {outer}, {gap_mm:.2} mm clear of it")]
    ArcInsideArc {
        /// The point being found.
        point: String,
        /// Centre of the smaller arc.
        inner: String,
        /// Centre of the larger.
        outer: String,
        /// The least gap between them.
        gap_mm: f64,
    },
    /// Two lines that must cross are parallel.
    #[error("{} and {} are parallel, so {point} is nowhere", first.join("-"), second.join("-"))]
    LinesParallel {
        /// The point being found.
        point: String,
        /// One line.
        first: [String; 2],
        /// The other.
        second: [String; 2],
    },
    /// Two points that give a direction are one point.
    #[error("{a} and {b} are in one place, so they give no direction for {point}")]
    SamePoint {
        /// The point being found.
        point: String,
        /// One.
        a: String,
        /// The other.
        b: String,
    },
    /// No tangent from inside a circle.
    #[error("{from} is {inside_by_mm:.2} mm inside the circle round {round}, so no tangent runs to {point}")]
    TangentInside {
        /// The point being found.
        point: String,
        /// Where the tangent would start.
        from: String,
        /// The circle's centre.
        round: String,
        /// How far inside the circle.
        inside_by_mm: f64,
    },
}
