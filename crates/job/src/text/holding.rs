//! What the loads do to the part, in words: a block for each load, the bolts, the welds, the life, the test on the bench.

use super::{line, wrapped};
use crate::stages::carrying::DAYS_IN_YEAR;
use crate::summary::{Num, Prove, ProvedLife, ProvedLoad, Summary};

/// Said with every answer.
const CAUTION: &str = "All of this is for the loads listed; a fall, a jam or another person can be more. Stresses and lives are \
                       worked out, not measured: prove the part with a test on the bench before a body depends on it.";
/// A crack later than this is not worth a figure, days: a hundred years of use.
const NO_END_DAYS: f64 = 36_500.0;

/// All of it; nothing when it could not be worked out.
pub(super) fn held(out: &mut String, summary: &Summary) {
    let Some(prove) = &summary.prove else { return };
    line(out, "Under its loads");
    for load in &prove.loads {
        block(out, load);
    }
    out.push('\n');
    bolts(out, prove);
    welds(out, prove);
    whole(out, prove);
    life(out, &prove.fatigue);
    bench(out, prove);
    wrapped(out, "", "", CAUTION);
    out.push('\n');
}

/// The tightest checks, as a table of what is had and what is asked.
pub(super) fn checks(out: &mut String, prove: &Prove) {
    /// Those beyond the first few have room to spare.
    const TOLD: usize = 8;
    if prove.checks.is_empty() {
        return;
    }
    line(out, "Tightest first: share of the limit that is used");
    for check in prove.checks.iter().take(TOLD) {
        let used = format!("  {:>5.0} %  ", 100.0 * check.used.0);
        wrapped(out, &used, "           ", &check.says);
    }
    if let Some(more) = prove.checks.len().checked_sub(TOLD).filter(|more| *more > 0) {
        line(out, &format!("           and {more} more with less used"));
    }
    out.push('\n');
}

fn block(out: &mut String, load: &ProvedLoad) {
    let say = |out: &mut String, text: &str| wrapped(out, "    ", "      ", text);
    let size_n = load
        .force_n
        .map(|part| part.0)
        .iter()
        .map(|part| part * part)
        .sum::<f64>()
        .sqrt();
    let sudden = if load.sudden { ", sudden" } else { "" };
    line(out, &format!("  {}: {}{sudden}", load.name, units::force(size_n)));
    match (load.peak_mpa, &load.where_, load.face, load.blank_mm) {
        (Some(peak), Some(where_), Some(face), Some(blank)) => {
            let beside = if load.beside_weld { ", beside a weld" } else { "" };
            let rule = load.rule.as_ref().map_or("", String::as_str);
            say(
                out,
                &format!(
                    "stress {} in {where_}, {face}, at {:.0}, {:.0} mm on the blank{beside} ({rule})",
                    units::stress(peak.0),
                    blank[0].0,
                    blank[1].0
                ),
            );
        }
        _ => say(out, "there is no plate outside the washers to read a stress in"),
    }
    let safety = [
        ("yields", load.safety, load.safety_asked),
        ("breaks", load.safety_ultimate, load.safety_ultimate_asked),
    ];
    let safety: Vec<String> = safety
        .iter()
        .filter_map(|(word, has, asked)| {
            Some(format!(
                "{word} at {:.1} times the load ({:.1} asked for)",
                (*has)?.0,
                asked.0
            ))
        })
        .collect();
    if !safety.is_empty() {
        say(out, &format!("the plate {}", safety.join(", ")));
    }
    if let (Some(moves), Some(turns)) = (load.support_moves_mm, load.support_turns_deg) {
        let twist = load.twist_deg.map_or(0.0, |deg| deg.0.abs());
        let bend = load.bend_deg.map_or(0.0, |deg| deg.0.abs());
        say(
            out,
            &format!(
                "the support moves {} and turns {:.2} deg: {twist:.2} deg of twist about the arm, {bend:.2} deg of bending",
                units::both(moves.0),
                turns.0
            ),
        );
    }
    if let Some(large) = &load.large {
        say(out, &large.says);
    }
    match load.set {
        Some("none") | None => {}
        Some(set) => say(out, &format!("it is bent for good {set}")),
    }
    if let Some(factor) = load.buckles_at {
        say(
            out,
            &format!("the plate buckles at {:.1} times the load", factor.0),
        );
    }
    if let Some(hand) = &load.by_hand {
        say(
            out,
            &format!(
                "by hand: {}; it moves {} along the force",
                hand.says,
                units::both(hand.moves_mm.0)
            ),
        );
    }
}

fn bolts(out: &mut String, prove: &Prove) {
    let worst: Vec<_> = prove.bolts.iter().filter(|bolt| bolt.worst).collect();
    if worst.is_empty() {
        return;
    }
    line(out, "Bolts, each under the load that uses most of it");
    for bolt in worst {
        let mut says = format!(
            "under {}: pull {}, across {}, bending {}; the foot presses {}",
            bolt.load,
            units::force(bolt.tension_n.0),
            units::force(bolt.shear_n.0),
            units::moment(bolt.bending_n_mm.0),
            units::force(bolt.foot_n.0),
        );
        if bolt.lifted.0 > 0.0 {
            says.push_str(&format!(" ({:.0} % of it lifted off)", 100.0 * bolt.lifted.0));
        }
        if let (Some(decides), Some(used)) = (bolt.decides, bolt.utilisation) {
            says.push_str(&format!(
                "; first to give: {decides}, {:.0} % used",
                100.0 * used.0
            ));
        }
        let times = |word: &str, at: Option<Num>| at.map(|at| format!("{word} at {:.1}", at.0));
        let times: Vec<String> = [
            times("yields", bolt.on_yield),
            times("breaks", bolt.on_ultimate),
            times("slips", bolt.slips_at),
        ]
        .into_iter()
        .flatten()
        .collect();
        if !times.is_empty() {
            says.push_str(&format!("; {} times the load", times.join(", ")));
        }
        for near in &bolt.too_near {
            says.push_str(&format!("; the hole is {near}"));
        }
        wrapped(out, &format!("  {:<8}", bolt.mount), "          ", &says);
    }
    out.push('\n');
}

fn welds(out: &mut String, prove: &Prove) {
    if prove.welds.is_empty() {
        return;
    }
    line(out, "Welds, where each carries most");
    for weld in &prove.welds {
        let mut says = format!("under {}: {:.0} N/mm", weld.load, weld.line_n_mm.0);
        if let Some(throat) = weld.throat_mpa {
            says.push_str(&format!(", {} in the throat", units::stress(throat.0)));
        }
        if let Some(at) = weld.on_ultimate {
            says.push_str(&format!("; breaks at {:.1} times the load", at.0));
        }
        wrapped(out, &format!("  {:<8}", weld.seam), "          ", &says);
    }
    out.push('\n');
}

fn whole(out: &mut String, prove: &Prove) {
    if let Some(buckling) = &prove.buckling {
        line(
            out,
            &format!(
                "The plate buckles first at {:.1} times \"{}\".",
                buckling.factor.0, buckling.load
            ),
        );
    }
    if let Some(hz) = prove.first_hz {
        line(
            out,
            &format!(
                "Struck, it rings at {:.1} Hz with what hangs on the support.",
                hz.0
            ),
        );
    }
    for missing in &prove.missing {
        wrapped(out, "Not checked: ", "  ", missing);
    }
    let fine = if prove.fine_enough {
        ""
    } else {
        ", which is not as fine as asked for"
    };
    wrapped(
        out,
        "",
        "",
        &format!(
            "As numbers: movement {}, stress {}{fine} ({} unknowns, {} {}).",
            crate::judge::within(prove.error_pct.movement.0 / 100.0),
            crate::judge::within(prove.error_pct.stress.0 / 100.0),
            prove.dof,
            prove.meshes,
            if prove.meshes == 1 { "mesh" } else { "meshes" }
        ),
    );
    out.push('\n');
}

fn life(out: &mut String, fatigue: &[ProvedLife]) {
    if fatigue.is_empty() {
        return;
    }
    line(
        out,
        "How long until a crack may start, an estimate: short end, middle, long end",
    );
    for life in fatigue {
        let [short, middle, long] = life.days.map(|days| lasts(days.0));
        wrapped(
            out,
            "  ",
            "    ",
            &format!(
                "{}: {short}; {middle}; {long} of use; stress ranges over {} under {} at {:.0}, {:.0}, {:.0} mm",
                life.detail,
                units::stress(life.range_mpa.0),
                life.load,
                life.at_mm[0].0,
                life.at_mm[1].0,
                life.at_mm[2].0
            ),
        );
    }
    out.push('\n');
}

/// "40 days", "3.2 years", "no end".
fn lasts(days: f64) -> String {
    if !days.is_finite() || days > NO_END_DAYS {
        "more than 100 years".into()
    } else if days < DAYS_IN_YEAR {
        format!(
            "{} days",
            if days < 10.0 {
                format!("{days:.1}")
            } else {
                format!("{days:.0}")
            }
        )
    } else {
        format!("{:.1} years", days / DAYS_IN_YEAR)
    }
}

fn bench(out: &mut String, prove: &Prove) {
    if let Some(proof) = &prove.proof {
        let [x, y, z] = proof.toward.map(|share| share.0);
        wrapped(
            out,
            "",
            "  ",
            &format!(
                "Test on the bench for \"{}\": pull at the place where it comes in, toward ({x:.2}, {y:.2}, {z:.2}), with a bucket \
                 or a luggage scale, slowly; read the movement along the pull",
                proof.load
            ),
        );
        line(
            out,
            &format!(
                "  {:>8} {:>8} {:>8}   {:<32}{}",
                "N", "kgf", "lbf", "should move", "as it should be, between"
            ),
        );
        for step in &proof.steps {
            line(
                out,
                &format!(
                    "  {:>8.0} {:>8.1} {:>8.1}   {:<32}{:.2} and {:.2} mm",
                    step.force_n.0,
                    step.kgf.0,
                    step.lbf.0,
                    units::both(step.moves_mm.0),
                    step.low_mm.0,
                    step.high_mm.0
                ),
            );
        }
        wrapped(
            out,
            "  stop when ",
            "    ",
            &format!("{}.", proof.stop.join("; or ")),
        );
        out.push('\n');
    }
    if let Some(corrected) = &prove.corrected {
        let of = if corrected.readings == 1 {
            "reading"
        } else {
            "readings"
        };
        wrapped(
            out,
            "",
            "  ",
            &format!("By {} {of} of that test: {}.", corrected.readings, corrected.says),
        );
        out.push('\n');
    }
}
