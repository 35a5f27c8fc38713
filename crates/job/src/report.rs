//! From what was worked out to the summary of the contract.

mod bend_asks;
mod bending;
mod carries;
mod coming;
mod cutting;
mod prove;
mod strips;

use nalgebra::{Isometry3, Point2, Point3, Vector3};
use sheet::{OpeningShape, Part};
use units::{Dim, Quantity};

use crate::care;
use crate::files::model::Hand;
use crate::finding::Finding;
use crate::folder::Folder;
use crate::judge;
use crate::run::Worked;
use crate::stages::pattern::way_word;
use crate::summary::*;
use crate::tell;

/// The version of the program.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// A quantity as a person reads it: a length in both systems, an angle in degrees.
pub(crate) fn quantity_shown(quantity: Quantity) -> String {
    if quantity.dim == Dim::LENGTH {
        units::both(quantity.value)
    } else if quantity.dim == Dim::ANGLE {
        units::deg(quantity.value)
    } else {
        quantity.to_string()
    }
}

pub(crate) fn summary(folder: &Folder, worked: &Worked, findings: &[Finding], verdicts: Verdicts) -> Summary {
    let care = worked.files.fit.as_ref().map_or_else(Vec::new, |fit| {
        care::answers(&fit.care)
            .into_iter()
            .map(|(asks, answer)| CareAnswer { asks, answer })
            .collect()
    });
    Summary {
        gusset: VERSION,
        job: job(folder, worked),
        care,
        verdicts,
        findings: findings
            .iter()
            .map(|finding| finding_row(folder, finding))
            .collect(),
        measures: measures(worked),
        survey: Some(survey(worked)),
        blank: Some(blank(worked)),
        folded: Some(folded(worked)),
        fit: fit(worked),
        carries: carries::carries(worked),
        prove: prove::proved(worked),
        cut: cutting::cut(worked),
        bend: bending::bend(worked),
    }
}

fn job(folder: &Folder, worked: &Worked) -> Job {
    let design = &worked.files.design;
    let text = |name: &Option<crate::files::model::Name>| name.as_ref().map(|name| name.value.clone());
    let measured = if worked.setting.measured {
        " by caliper"
    } else {
        ""
    };
    Job {
        title: design.title.value.clone(),
        revision: text(&design.revision),
        design: folder.design.path.clone(),
        fit: folder.fit_name.clone(),
        fit_title: worked.files.fit.as_ref().map(|fit| fit.title.value.clone()),
        shop: worked.files.shop.as_ref().and_then(|shop| text(&shop.title)),
        hand: match worked.hand {
            Hand::Right => "right",
            Hand::Left => "left",
        },
        mirrored: worked.hand != design.hand,
        stock: Some(format!(
            "{} {}{measured}",
            worked.setting.metal,
            units::both(worked.setting.thickness_mm)
        )),
    }
}

fn finding_row(folder: &Folder, finding: &Finding) -> FindingRow {
    let (file, spot) = finding
        .at
        .as_ref()
        .map_or((None, None), |at| tell::place(folder, at));
    FindingRow {
        code: finding.code,
        level: finding.level,
        question: finding.question.word(),
        about: finding.about.clone(),
        file,
        line: spot.map(|spot| spot.line),
        column: spot.map(|spot| spot.column),
        says: finding.says.clone(),
        fix: (!finding.fix.is_empty()).then(|| finding.fix.join("; or ")),
    }
}

/// A quantity as a number and its unit.
fn in_unit(quantity: Quantity) -> (f64, &'static str) {
    let units = [
        (Dim::LENGTH, "mm"),
        (Dim::FORCE, "N"),
        (Dim::MASS, "kg"),
        (Dim::STRESS, "MPa"),
    ];
    if quantity.dim == Dim::ANGLE {
        return (quantity.value.to_degrees(), "deg");
    }
    let unit = units.iter().find(|(dim, _)| *dim == quantity.dim);
    (quantity.value, unit.map_or("", |(_, unit)| unit))
}

fn measures(worked: &Worked) -> Vec<MeasureRow> {
    let rows = worked.files.design.measures.iter().filter_map(|measure| {
        let name = measure.name.value.clone();
        let value = worked.scope.get(&name)?;
        let solved = worked
            .found
            .as_ref()
            .is_some_and(|found| found.values.contains_key(&name));
        let (number, unit) = in_unit(value);
        Some(MeasureRow {
            name,
            value: Num(number),
            unit,
            shown: quantity_shown(value),
            solved,
        })
    });
    rows.collect()
}

fn survey(worked: &Worked) -> Survey {
    let adjusted = &worked.adjusted;
    let points = adjusted
        .names()
        .iter()
        .zip(&adjusted.points)
        .enumerate()
        .map(|(index, (name, at))| {
            let sd = adjusted.sd_mm(index).unwrap_or([f64::NAN; 3]);
            PointRow {
                name: name.clone(),
                x_mm: Num(at.x),
                y_mm: Num(at.y),
                sd_x_mm: Num(sd[0]),
                sd_y_mm: Num(sd[1]),
            }
        });
    let suspects = judge::suspect_readings(worked);
    let readings = adjusted.readings.iter().filter_map(|judged| {
        let told = worked.marked.told.get(judged.about)?;
        let residual = judged.residual;
        Some(ReadingRow {
            about: told.label.clone(),
            read: told.typed.clone(),
            residual_mm: (!judged.is_angle).then_some(Num(residual)),
            residual_deg: judged.is_angle.then_some(Num(residual.to_degrees())),
            redundancy: Num(judged.redundancy),
            w: judged.w.map(Num),
            suspect: suspects.contains(&judged.about),
        })
    });
    Survey {
        points: points.collect(),
        readings: readings.collect(),
        sigma0: adjusted.sigma0.map(Num),
        redundancy: adjusted.freedom,
    }
}

/// What an opening takes, in words: its hardware, or what it is.
pub(crate) fn takes(worked: &Worked, name: &str) -> String {
    let hole = worked
        .files
        .design
        .holes
        .iter()
        .position(|hole| hole.name.value == name);
    hole.and_then(|index| worked.holes.get(index))
        .map_or(String::new(), |cut| cut.takes.clone())
}

fn blank(worked: &Worked) -> Blank {
    let part = &worked.part;
    let region = &part.blank.region;
    let (low, high) = region.outer.bounds();
    let mut holes = Vec::new();
    for (opening, shape) in part.openings.iter().zip(&part.blank.openings) {
        let (at, dia_mm, takes) = match shape {
            Some(OpeningShape::Round { at, dia_mm }) => (*at, *dia_mm, takes(worked, &opening.name)),
            Some(OpeningShape::Slot { from, to, width_mm }) => {
                let over_all = (to - from).norm() + width_mm;
                (
                    nalgebra::center(from, to),
                    *width_mm,
                    format!("slot, {} over all", units::both(over_all)),
                )
            }
            Some(OpeningShape::Window(_)) | None => continue,
        };
        holes.push(BlankHole {
            name: opening.name.clone(),
            x_mm: Num(at.x),
            y_mm: Num(at.y),
            dia_mm: Num(dia_mm),
            takes,
        });
    }
    let bends = part.bends.iter().zip(&worked.setting.bends).map(|(bend, of)| {
        let middle = |index: usize| -> Option<Point2<f64>> {
            let strip = if index == 0 {
                bend.strips.first()
            } else {
                bend.strips.last()
            }?;
            Some(nalgebra::center(&strip.fixed[index], &strip.moving[index]))
        };
        let two = |at: Option<Point2<f64>>| at.map_or([Num(f64::NAN); 2], |at| [Num(at.x), Num(at.y)]);
        BlankBend {
            name: bend.name.clone(),
            bent_deg: Num(bend.bent_rad.to_degrees()),
            between_legs_deg: Num(180.0 - bend.bent_rad.to_degrees()),
            radius_mm: Num(bend.radius_mm),
            allowance_mm: Num(bend.allowance_mm),
            deduction_mm: Num(bend.deduction_mm),
            radius_from: of.radius_from.clone(),
            set_back_mm: Num(bend.set_back_mm),
            way: way_word(bend.way),
            k: Num(bend.neutral_share),
            k_from: of.neutral.from.clone(),
            from_mm: two(middle(0)),
            to_mm: two(middle(1)),
        }
    });
    let area_mm2 = region.area_mm2();
    let density = worked.setting.density_kg_m3.value;
    Blank {
        parts: vec![BlankPart {
            name: worked.files.design.title.value.clone(),
            area_mm2: Num(area_mm2),
            mass_kg: Num(area_mm2 * part.thickness_mm * density / MM3_PER_M3),
            bounds_mm: [Num(high.x - low.x), Num(high.y - low.y)],
            outline_length_mm: Num(region.outer.length_mm()),
            thickness_mm: Num(part.thickness_mm),
            holes,
            bends: bends.collect(),
        }],
    }
}

const MM3_PER_M3: f64 = 1e9;

fn at(point: Point3<f64>) -> [Num; 3] {
    [Num(point.x), Num(point.y), Num(point.z)]
}

fn along(vector: Vector3<f64>) -> [Num; 3] {
    [Num(vector.x), Num(vector.y), Num(vector.z)]
}

/// From the part's axes to those that are reported, and whose these are.
pub(crate) fn pose(worked: &Worked) -> (Isometry3<f64>, &'static str) {
    match &worked.standing {
        Some(standing) if standing.placement.is_some() => (standing.pose, "equipment's"),
        _ => (Isometry3::identity(), "design's"),
    }
}

fn folded(worked: &Worked) -> Folded {
    let part: &Part = &worked.part;
    let (pose, axes) = pose(worked);
    let holes = part.openings.iter().enumerate().filter_map(|(index, opening)| {
        if matches!(opening.shape, OpeningShape::Window(_)) {
            return None;
        }
        let placed = part.opening_in_space(index)?;
        Some(FoldedHole {
            name: opening.name.clone(),
            at_mm: at(pose * placed.at),
            axis: along(pose * placed.axis.into_inner()),
            marked_mm: at(pose * placed.near),
            far_mm: at(pose * placed.far),
        })
    });
    let panels = part.panels.iter().map(|panel| {
        let whole = pose * panel.to_folded;
        FoldedPanel {
            name: panel.name.clone(),
            origin_mm: at(whole * Point3::origin()),
            x_axis: along(whole * Vector3::x()),
            y_axis: along(whole * Vector3::y()),
        }
    });
    let seams = worked
        .files
        .design
        .seams
        .iter()
        .zip(&part.seams)
        .map(|(def, seam)| SeamRow {
            name: seam.name.clone(),
            gap_mm: seam.gap_mm.map(Num),
            twist_deg: Num(seam.twist_rad.to_degrees()),
            allowed_mm: Num(judge::allowed_gap_mm(worked, def)),
        });
    let mut low = Vector3::repeat(f64::INFINITY);
    let mut high = Vector3::repeat(f64::NEG_INFINITY);
    for point in &worked.mesh.points {
        let placed = (pose * point).coords;
        low = low.inf(&placed);
        high = high.sup(&placed);
    }
    Folded {
        axes,
        holes: holes.collect(),
        panels: panels.collect(),
        seams: seams.collect(),
        mass_kg: Num(part.mass_kg(worked.setting.density_kg_m3.value)),
        volume_mm3: Num(part.volume_mm3()),
        centre_of_mass_mm: at(pose * part.centre_of_mass()),
        bounds_mm: along(high - low),
    }
}

fn fit(worked: &Worked) -> Option<FitReport> {
    let standing = worked.standing.as_ref()?;
    let placement = standing.placement.as_ref()?;
    let mounts = placement.mounts.iter().map(|mount| MountRow {
        name: mount.mount.clone(),
        offset_mm: Num(mount.offset_mm),
        allowed_mm: Num(mount.allowed_mm),
        gap_mm: Num(mount.gap_mm),
        gap_allowed_mm: Num(mount.gap_allowed_mm),
        tilt_deg: Num(mount.tilt_deg()),
        tilt_allowed_deg: Num(mount.tilt_allowed_rad.to_degrees()),
    });
    let support = standing.support.as_ref().map(|support| SupportRow {
        offset_mm: Num(support.offset_mm),
        allowed_mm: Num(support.allowed_mm),
        turn_deg: Num(support.turn_deg()),
        allowed_deg: Num(support.allowed_turn_rad.to_degrees()),
        spacing_error_mm: support.apart.as_ref().map(|apart| Num(apart.off_mm)),
    });
    let keep_outs = standing
        .keep_outs
        .iter()
        .map(|(keep_out, clearance_mm, _)| KeepOutRow {
            name: keep_out.name.value.clone(),
            clearance_mm: Num(*clearance_mm),
            least_mm: Num(keep_out.least_mm),
        });
    Some(FitReport {
        mounts: mounts.collect(),
        support,
        keep_outs: keep_outs.collect(),
    })
}
