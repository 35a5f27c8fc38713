//! How one point is marked out: by coordinates, off a baseline, by swung arcs, or constructed from other points.

/// How sure a value is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sure {
    /// Meant, not measured: it holds exactly.
    Exact,
    /// Measured, with this standard deviation: mm for lengths, radians for angles. Above zero.
    Sd(f64),
    /// Only a start for the search; the readings say what it is.
    Start,
}

/// A length in mm or an angle in radians, how sure it is, and whose it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Value {
    /// mm or radians.
    pub value: f64,
    /// How sure.
    pub sure: Sure,
    /// The caller's own number for it, given back with everything said about it.
    pub about: usize,
}

impl Value {
    /// A measured value with its standard deviation.
    #[must_use]
    pub fn read(value: f64, sd: f64, about: usize) -> Self {
        Self {
            value,
            sure: Sure::Sd(sd),
            about,
        }
    }

    /// A value that holds exactly.
    #[must_use]
    pub fn exact(value: f64, about: usize) -> Self {
        Self {
            value,
            sure: Sure::Exact,
            about,
        }
    }

    /// A start for the search.
    #[must_use]
    pub fn start(value: f64, about: usize) -> Self {
        Self {
            value,
            sure: Sure::Start,
            about,
        }
    }
}

/// Which side of a line, looking from its first point to its second.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// On the left hand.
    Left,
    /// On the right hand.
    Right,
}

/// How one point is found. `N` names other points, `V` is a value. All but `InSpace` and `Middle` lie in the plane of
/// x and y: they look at x and y alone, and their z is 0.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark<N = String, V = Value> {
    /// By coordinates in the plane.
    At {
        /// Along x.
        x: V,
        /// Along y.
        y: V,
    },
    /// By coordinates in space.
    InSpace {
        /// Along x.
        x: V,
        /// Along y.
        y: V,
        /// Along z.
        z: V,
    },
    /// Along a baseline and square off it.
    Offset {
        /// Start of the baseline.
        from: N,
        /// A point the baseline runs toward.
        toward: N,
        /// Along it.
        along: V,
        /// Off it, left positive.
        off: V,
    },
    /// A distance at an angle.
    Polar {
        /// From here.
        from: N,
        /// How far.
        reach: V,
        /// Counter-clockwise from x, or from the direction of `of`.
        angle: V,
        /// The line that the angle is measured from.
        of: Option<[N; 2]>,
    },
    /// Where two swung arcs meet.
    Swing {
        /// First centre.
        a: N,
        /// Radius about it.
        ra: V,
        /// Second centre.
        b: N,
        /// Radius about it.
        rb: V,
        /// Which of the two meetings, by the side of the line from `a` to `b`.
        side: Side,
    },
    /// Where two lines cross.
    Crossing {
        /// One line.
        first: [N; 2],
        /// The other.
        second: [N; 2],
    },
    /// Square from a point onto a line.
    Foot {
        /// The point.
        of: N,
        /// The line.
        on: [N; 2],
    },
    /// Half way between two points.
    Middle([N; 2]),
    /// The mirror image of a point in a line.
    Mirror {
        /// The point.
        of: N,
        /// The line.
        over: [N; 2],
    },
    /// Where the tangent from a point touches a circle.
    Tangent {
        /// From here.
        from: N,
        /// The circle's centre.
        round: N,
        /// Its radius.
        radius: V,
        /// Which of the two, looking from `from` to the centre.
        side: Side,
    },
}

impl<N, V> Mark<N, V> {
    /// The same mark with other names and values; the first that fails ends it. Values come in the
    /// order of the fields.
    pub(crate) fn try_map<M, W, E>(
        &self,
        mut name: impl FnMut(&N) -> Result<M, E>,
        mut value: impl FnMut(&V) -> Result<W, E>,
    ) -> Result<Mark<M, W>, E> {
        let mut pair = |[a, b]: &[N; 2]| Ok([name(a)?, name(b)?]);
        Ok(match self {
            Self::At { x, y } => Mark::At {
                x: value(x)?,
                y: value(y)?,
            },
            Self::InSpace { x, y, z } => Mark::InSpace {
                x: value(x)?,
                y: value(y)?,
                z: value(z)?,
            },
            Self::Offset {
                from,
                toward,
                along,
                off,
            } => Mark::Offset {
                from: name(from)?,
                toward: name(toward)?,
                along: value(along)?,
                off: value(off)?,
            },
            Self::Polar {
                from,
                reach,
                angle,
                of,
            } => Mark::Polar {
                of: of.as_ref().map(&mut pair).transpose()?,
                from: name(from)?,
                reach: value(reach)?,
                angle: value(angle)?,
            },
            Self::Swing { a, ra, b, rb, side } => Mark::Swing {
                a: name(a)?,
                ra: value(ra)?,
                b: name(b)?,
                rb: value(rb)?,
                side: *side,
            },
            Self::Crossing { first, second } => Mark::Crossing {
                first: pair(first)?,
                second: pair(second)?,
            },
            Self::Foot { of, on } => Mark::Foot {
                on: pair(on)?,
                of: name(of)?,
            },
            Self::Middle(ends) => Mark::Middle(pair(ends)?),
            Self::Mirror { of, over } => Mark::Mirror {
                over: pair(over)?,
                of: name(of)?,
            },
            Self::Tangent {
                from,
                round,
                radius,
                side,
            } => Mark::Tangent {
                from: name(from)?,
                round: name(round)?,
                radius: value(radius)?,
                side: *side,
            },
        })
    }

    /// The points it is found from, in the order of the fields.
    pub(crate) fn parents(&self) -> Vec<&N> {
        match self {
            Self::At { .. } | Self::InSpace { .. } => vec![],
            Self::Offset { from, toward, .. } => vec![from, toward],
            Self::Polar { from, of, .. } => {
                let mut all = vec![from];
                all.extend(of.iter().flatten());
                all
            }
            Self::Swing { a, b, .. } => vec![a, b],
            Self::Crossing { first, second } => first.iter().chain(second).collect(),
            Self::Foot { of, on: line } | Self::Mirror { of, over: line } => {
                vec![of, &line[0], &line[1]]
            }
            Self::Middle(ends) => ends.iter().collect(),
            Self::Tangent { from, round, .. } => vec![from, round],
        }
    }

    /// Its values, in the order of the fields.
    pub(crate) fn values(&self) -> Vec<&V> {
        match self {
            Self::At { x, y } => vec![x, y],
            Self::InSpace { x, y, z } => vec![x, y, z],
            Self::Offset { along, off, .. } => vec![along, off],
            Self::Polar { reach, angle, .. } => vec![reach, angle],
            Self::Swing { ra, rb, .. } => vec![ra, rb],
            Self::Tangent { radius, .. } => vec![radius],
            _ => vec![],
        }
    }
}
