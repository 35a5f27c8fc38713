//! Numbers of fit and shop that only a judgement uses later. All are worked out here first: one that cannot be is a
//! fault of its file, never a check that is quietly left out.

use cut::motion::Between;
use units::Dim;

use crate::files::Wrong;
use crate::files::model::{Design, Fit, Shop, Sum, WeldSize};

use super::cutting;
use super::scope::Scope;
use super::strips;

/// What is wrong with them.
pub(crate) fn wrongs(design: &Design, fit: Option<&Fit>, shop: Option<&Shop>, scope: &Scope) -> Vec<Wrong> {
    let mut wrongs = Vec::new();
    let mut keep = |result: Result<(), Wrong>| wrongs.extend(result.err());
    let size = |sum: &Sum, what: &str| scope.size_mm(sum, what).map(|_| ());
    for gap in design.seams.iter().filter_map(|seam| seam.gap.as_ref()) {
        keep(scope.reach_mm(gap, "the largest gap").map(|_| ()));
    }
    for weld in design.seams.iter().filter_map(|seam| seam.weld.as_ref()) {
        match weld {
            WeldSize::Throat(sum) => keep(size(sum, "the throat")),
            WeldSize::Leg(sum) => keep(size(sum, "the leg")),
        }
    }
    if let Some(limit) = fit.and_then(|fit| fit.limits.mass.as_ref()) {
        keep(above_zero(limit, "the largest mass", scope.mass_kg(limit)));
    }
    let Some(shop) = shop else { return wrongs };
    for sheet in &shop.stock {
        sheet.size.iter().for_each(|side| keep(size(side, "the sheet")));
        sheet
            .measured
            .iter()
            .for_each(|sum| keep(size(sum, "the measured thickness")));
    }
    for (index, sheet) in shop.stock.iter().enumerate() {
        if sheet
            .size
            .iter()
            .all(|side| scope.size_mm(side, "the sheet").is_ok())
        {
            keep(cutting::at_hand(scope, index, sheet).map(|_| ()));
        }
    }
    if let Some(cutter) = &shop.cutter {
        if let Some(def) = &cutter.rates {
            keep(cutting::rates(def, Between { low: 0.0, high: 0.0 }).map(|_| ()));
        }
        cutter.kerf.iter().for_each(|sum| keep(size(sum, "the kerf")));
        if let Some(least) = cutter.least_hole.as_ref().filter(|least| least.value <= 0.0) {
            let says = format!("the least hole is {} thicknesses", least.value);
            keep(Err(Wrong::new(least.at.clone(), says)
                .expected("more than 0")
                .fix("least_hole = 1.5")));
        }
    }
    if let Some(die) = shop.bender.as_ref().and_then(|bender| bender.die.as_ref()) {
        keep(size(die, "the die"));
    }
    for row in &shop.neutral {
        keep(size(&row.thickness, "the thickness"));
        keep(scope.reach_mm(&row.radius, "the radius").map(|_| ()));
    }
    for strip in &shop.strips {
        keep(strips::sizes(scope, strip));
    }
    for own in &shop.instruments {
        let sd = scope.quantity(&own.sd).and_then(|sd| {
            let sd = sd.settled();
            if sd.dim == Dim::LENGTH || sd.dim == Dim::ANGLE {
                return Ok(sd.value);
            }
            let says = format!("the standard deviation of \"{}\" is {}", own.name.value, sd.dim);
            Err(Wrong::new(own.sd.at.clone(), says).expected("a length or an angle"))
        });
        keep(above_zero(&own.sd, "the standard deviation", sd));
        if let Some(share) = own.per_length.as_ref().filter(|share| share.value < 0.0) {
            keep(Err(
                Wrong::new(share.at.clone(), "per_length is below 0").expected("0 or more")
            ));
        }
    }
    wrongs
}

/// The value, when it is more than nothing.
pub(super) fn above_zero(sum: &Sum, what: &str, value: Result<f64, Wrong>) -> Result<(), Wrong> {
    if value? > 0.0 {
        return Ok(());
    }
    let says = format!("{what} comes out as {}", sum.value.text());
    Err(Wrong::new(sum.at.clone(), says).expected("more than 0"))
}
