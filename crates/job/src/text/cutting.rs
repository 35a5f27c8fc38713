//! How it is cut, in words.

use cut::profile::Process;
use handbook::Family;

use super::{line, wrapped};
use crate::make::MARKS;
use crate::summary::{Cut, CutMarks, Num, Summary};

/// What stands at the head of the program and on the sheet for the table. Common practice, no source; the machine's book
/// and local codes go before.
pub(crate) fn cut_cautions(process: Process, family: Family) -> Vec<String> {
    let mut says = vec![
        "Cut as the machine's book and local codes say; someone who knows the machine stays beside it."
            .to_owned(),
    ];
    match process {
        Process::Plasma => {
            says.push(
                "The arc blinds and burns: shade for eyes and skin, for everyone who can see it.".into(),
            );
        }
        Process::Laser => says.push("Never without the machine's own enclosure and interlocks.".into()),
        Process::Oxy => {
            says.push("Hoses, flashback arrestors and valves looked over before lighting.".into())
        }
        Process::Waterjet => {
            says.push("The jet cuts flesh through a glove: hands out of the tank while it runs.".into());
        }
        Process::Router => says.push("Clamp the blank on all sides; a part that is cut free flies.".into()),
    }
    if process.is_hot() {
        says.push(
            "Fume from zinc, paint, oil and plating is poison: clean plate, and draw the fume away.".into(),
        );
        says.push(
            "Sparks travel: nothing that burns nearby, something to put it out, and a watch after.".into(),
        );
        if family == Family::Aluminium {
            says.push(
                "Aluminium over a water table makes hydrogen: let the water move and the space under the sheet air out."
                    .into(),
            );
        }
        if family == Family::Stainless {
            says.push("Fume of stainless steel holds chromium: breathe none of it.".into());
        }
    }
    says.push("Edges are sharp and hot when the part comes off: gloves and tongs.".into());
    says
}

/// How it is cut, in full.
pub(super) fn cut(out: &mut String, summary: &Summary) {
    let Some(cut) = &summary.cut else { return };
    line(out, "How it is cut");
    wrapped(out, "  from    ", "          ", &from(cut));
    wrapped(out, "  zero    ", "          ", &cut.zero);
    for part in &cut.placed {
        let tabs = match part.tabs_mm.len() {
            0 => String::new(),
            1 => ", one tab".into(),
            tabs => format!(", {tabs} tabs"),
        };
        let turned = part.turn_deg.0 + 0.0;
        wrapped(
            out,
            "  lies    ",
            "          ",
            &format!("{}: turned {turned:.0} deg{tabs}", part.name),
        );
    }
    wrapped(
        out,
        "  kerf    ",
        "          ",
        &format!(
            "{:.2} mm, give or take {:.2} ({}); feed {:.0} mm/min ({})",
            cut.kerf_mm.0,
            2.0 * cut.kerf_sd_mm.0,
            cut.kerf_from,
            cut.feed_mm_min.0,
            cut.feed_from
        ),
    );
    wrapped(out, "  takes   ", "          ", &takes(cut));
    if let Some(bill) = &cut.bill {
        wrapped(
            out,
            "  costs   ",
            "          ",
            &format!(
                "{} {}: consumables {}, gas and power {}, time {}, plate {}",
                money(&bill.total),
                bill.money,
                money(&bill.wear),
                money(&bill.burning),
                money(&bill.time),
                money(&bill.plate)
            ),
        );
    }
    let found = if cut.proven {
        "no order travels less"
    } else {
        "the best order that was found"
    };
    line(out, &format!("  order   {found}; places are from zero"));
    for row in &cut.order {
        let mut says = format!(
            "{}, pierce at x {:.1}, y {:.1} mm, {:.0} mm long",
            if row.of == "outside" && cut.parts == 1 {
                "outside"
            } else {
                &row.name
            },
            row.pierce_mm[0].0,
            row.pierce_mm[1].0,
            row.length_mm.0
        );
        if row.waits_s.0 > 0.0 {
            says.push_str(&format!(", wait {:.0} s first", row.waits_s.0));
        }
        if row.lifted {
            says.push_str(", the torch lifted high on the way");
        }
        wrapped(out, &format!("    {:>3}   ", row.number), "          ", &says);
    }
    if let Some(marks) = cut.marks.as_ref().filter(|_| cut.program) {
        wrapped(out, "  marks   ", "          ", &marked(marks));
    }
    for hole in &cut.holes {
        if hole.way != "cut" {
            wrapped(
                out,
                "  after   ",
                "          ",
                &format!("{}: {}", hole.name, hole.says),
            );
        }
    }
    out.push('\n');
}

fn from(cut: &Cut) -> String {
    let parts = match cut.parts {
        1 => "one part".to_owned(),
        parts => format!("{parts} parts"),
    };
    format!(
        "sheet {} of shop.toml ({}): {parts}, {:.0} % of it used",
        cut.sheet.number,
        cut.sheet.name,
        100.0 * cut.of_sheet.0
    )
}

fn marked(marks: &CutMarks) -> String {
    if let Some(wrong) = &marks.wrong {
        return format!("by hand: the program that marks is not given out, because in it {wrong}");
    }
    let count = |count: usize, one: &str, more: &str| match count {
        0 => None,
        1 => Some(format!("one {one}")),
        count => Some(format!("{count} {more}")),
    };
    let what: Vec<String> = [
        count(marks.bend_ends, "end of a bend", "ends of bends"),
        count(marks.centres, "centre to be drilled", "centres to be drilled"),
    ]
    .into_iter()
    .flatten()
    .collect();
    let takes = marks.time_s.as_ref().map_or_else(String::new, |time_s| {
        format!(" in {} of the time at the table", span(time_s))
    });
    format!(
        "{MARKS} marks {}{takes}; run it before cutting, while the sheet is whole",
        what.join(" and ")
    )
}

fn takes(cut: &Cut) -> String {
    let pierces = match cut.pierces {
        1 => "1 pierce".to_owned(),
        pierces => format!("{pierces} pierces"),
    };
    format!(
        "{pierces}, {:.0} mm of cutting; {} at the table, the torch burning {} of it",
        cut.cut_length_mm.0,
        span(&cut.time_s),
        span(&cut.burning_s)
    )
}

pub(crate) fn money(range: &[Num; 2]) -> String {
    if (range[1].0 - range[0].0).abs() < 0.005 {
        format!("{:.2}", range[0].0)
    } else {
        format!("{:.2} to {:.2}", range[0].0, range[1].0)
    }
}

/// "40 to 55 s", "2.5 to 11 min".
pub(crate) fn span(range: &[Num; 2]) -> String {
    let [low, high] = [range[0].0, range[1].0];
    if high < 90.0 {
        let (low, high) = (low.floor(), high.ceil());
        format!("{low:.0} to {high:.0} s")
    } else {
        let one = |s: f64| {
            if s < 600.0 {
                format!("{:.1}", s / 60.0)
            } else {
                format!("{:.0}", s / 60.0)
            }
        };
        format!("{} to {} min", one(low), one(high))
    }
}
