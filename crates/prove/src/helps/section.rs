//! A strip of plate with what stands on it, cut across: how much stiffer it is than the flat strip.

/// A rectangle of the cut: how wide it is along the plate, and from what height to what height above the plate's middle
/// it reaches, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Piece {
    pub width_mm: f64,
    pub from_mm: f64,
    pub to_mm: f64,
}

/// Each figure is that of the flat strip over that of the strip with the pieces: 1 where they do nothing, near 0 where
/// they do all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Ratios {
    /// Second moments: how much it still bends.
    pub bend: f64,
    /// Areas: how much it still stretches.
    pub pull: f64,
    /// Twisting stiffnesses.
    pub twist: f64,
    /// Bending stress at the farthest fibre, which may be the tip of a lip.
    pub surface: f64,
}

impl Ratios {
    /// Nothing is changed.
    pub const NONE: Self = Self {
        bend: 1.0,
        pull: 1.0,
        twist: 1.0,
        surface: 1.0,
    };
}

/// A flat strip with upright pieces. Twist is that of an open section, J = sum b t^3 / 3 over the strip and the pieces as
/// bars `upright_t_mm` thick, unless `closed_mm4` says what a closed one has.
pub(super) fn ratios(
    width_mm: f64,
    thickness_mm: f64,
    pieces: &[Piece],
    upright_t_mm: f64,
    closed_mm4: Option<f64>,
) -> Ratios {
    if width_mm <= 0.0 {
        return Ratios::NONE;
    }
    let half_mm = thickness_mm / 2.0;
    let strip = Piece {
        width_mm,
        from_mm: -half_mm,
        to_mm: half_mm,
    };
    let all = || std::iter::once(&strip).chain(pieces);
    let area = |piece: &Piece| piece.width_mm * (piece.to_mm - piece.from_mm);
    let middle = |piece: &Piece| (piece.from_mm + piece.to_mm) / 2.0;
    let area_mm2: f64 = all().map(area).sum();
    let centre_mm = all().map(|piece| area(piece) * middle(piece)).sum::<f64>() / area_mm2;
    let second_mm4: f64 = all()
        .map(|piece| {
            let off_mm = middle(piece) - centre_mm;
            piece.width_mm * (piece.to_mm - piece.from_mm).powi(3) / 12.0 + area(piece) * off_mm * off_mm
        })
        .sum();
    let far_mm = all()
        .flat_map(|piece| [piece.from_mm, piece.to_mm])
        .map(|at_mm| (at_mm - centre_mm).abs())
        .fold(0.0, f64::max);
    let flat_mm4 = width_mm * thickness_mm.powi(3) / 12.0;
    let flat_j_mm4 = 4.0 * flat_mm4;
    let open_mm4: f64 = flat_j_mm4
        + pieces
            .iter()
            .map(|piece| (piece.to_mm - piece.from_mm).max(piece.width_mm) * upright_t_mm.powi(3) / 3.0)
            .sum::<f64>();
    Ratios {
        bend: flat_mm4 / second_mm4,
        pull: width_mm * thickness_mm / area_mm2,
        twist: flat_j_mm4 / closed_mm4.unwrap_or(open_mm4).max(open_mm4),
        surface: (far_mm / second_mm4) / (half_mm / flat_mm4),
    }
}

/// Twisting stiffness of a closed thin section, mm4, by Bredt: J = 4 A^2 t / (length of its middle line).
pub(super) fn closed_j_mm4(width_mm: f64, height_mm: f64, thickness_mm: f64) -> f64 {
    let inside_mm2 = width_mm * height_mm;
    4.0 * inside_mm2 * inside_mm2 * thickness_mm / (2.0 * (width_mm + height_mm))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_strip_with_nothing_on_it_is_as_stiff_as_it_was() {
        assert_eq!(ratios(60.0, 4.0, &[], 4.0, None), Ratios::NONE);
    }

    #[test]
    fn lips_make_a_strip_stiff_in_bending_and_hardly_in_twist() {
        let lip = Piece {
            width_mm: 4.0,
            from_mm: 2.0,
            to_mm: 18.0,
        };
        let with = ratios(60.0, 4.0, &[lip, lip], 4.0, None);
        assert!(with.bend < 0.05, "{with:?}");
        assert!(with.twist > 0.6, "{with:?}");
    }

    #[test]
    fn a_closed_section_is_stiff_in_twist() {
        let lip = Piece {
            width_mm: 4.0,
            from_mm: 2.0,
            to_mm: 18.0,
        };
        let strip = Piece {
            width_mm: 52.0,
            from_mm: 12.0,
            to_mm: 16.0,
        };
        let with = ratios(
            60.0,
            4.0,
            &[lip, lip, strip],
            4.0,
            Some(closed_j_mm4(60.0, 14.0, 4.0)),
        );
        assert!(with.twist < 0.03, "{with:?}");
    }
}
