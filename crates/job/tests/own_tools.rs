//! The order of the bends on tools that a shop writes itself.

#[expect(dead_code, reason = "the wrong files have their own tests")]
mod common;

use std::path::Path;

use common::{Texts, folder, text};
use job::{Drawing, DrawingFault, Folder, Stopped, run, wrongs_text};
use serde_json::Value;

/// A demo whose shop bends with this.
fn demo(name: &str, bender: &str) -> Folder {
    let root = Path::new("../../examples").join(name);
    let shop = text(&root.join("shop.toml"));
    let from = shop.find("[bender]").expect("the demo says its bender");
    folder(&Texts {
        design: text(&root.join("design.toml")),
        fit: Some(text(&root.join("fits/own.toml"))),
        shop: Some(format!("{}[bender]\n{bender}\n", &shop[..from])),
    })
}

fn summary(folder: &Folder) -> Value {
    match run(folder) {
        Ok(outcome) => serde_json::to_value(&outcome.summary).expect("a summary is JSON"),
        Err(Stopped::Wrong(wrongs)) => panic!("{}", wrongs_text(folder, &wrongs)),
        Err(Stopped::Refused(_)) => panic!("refused"),
    }
}

fn wrongs(folder: &Folder) -> String {
    match run(folder) {
        Err(Stopped::Wrong(wrongs)) => wrongs_text(folder, &wrongs),
        _ => String::new(),
    }
}

fn tools(summary: &Value) -> Vec<String> {
    let order = summary["bend"]["order"].as_array().expect("an order");
    order
        .iter()
        .filter_map(|step| Some(step["tool"].as_str()?.to_owned()))
        .collect()
}

/// A brake, two punches and two dies of a shop's own.
const BRAKE: &str = r#"process = "brake"

[[bender.brakes]]
name             = "the old brake"
length           = "1 m"
between_uprights = "850 mm"
throat           = "180 mm"
force            = "250 kN"
daylight         = "300 mm"
stroke           = "90 mm"
ram              = { from = ["-25 mm", "0 mm"], to = ["50 mm", "500 mm"] }
bed              = [["-14 mm", "0 mm"], ["-14 mm", "-70 mm"], ["-50 mm", "-70 mm"], ["-50 mm", "-600 mm"], ["50 mm", "-600 mm"], ["50 mm", "-70 mm"], ["14 mm", "-70 mm"], ["14 mm", "0 mm"]]
gauge            = ["6 mm", "400 mm"]

[[bender.punches]]
name     = "long straight"
angle    = "85 deg"
nose     = "1 mm"
height   = "100 mm"
straight = { blade = "11 mm", up_to = "60 mm", seat = "26 mm" }
lengths  = ["10 mm", "15 mm", "20 mm", "40 mm", "50 mm", "100 mm", "200 mm", "300 mm"]
stands   = "1000 N/mm"

[[bender.punches]]
name     = "hollow"
angle    = "80 deg"
nose     = "0.8 mm"
height   = "100 mm"
relieved = { set_back = "12 mm", neck = "26 mm", hollow = ["44 mm", "62 mm"], seat = "26 mm", seat_high = "14 mm" }
lengths  = ["50 mm", "100 mm", "200 mm", "300 mm"]
stands   = "400 N/mm"

[[bender.dies]]
name     = "V 24"
opening  = "24 mm"
angle    = "85 deg"
shoulder = "1.5 mm"
height   = "60 mm"
width    = "36 mm"
length   = "835 mm"
stands   = "1000 N/mm"

[[bender.dies]]
name     = "V 40"
opening  = "40 mm"
angle    = "85 deg"
shoulder = "2 mm"
profile  = [["0 mm", "0 mm"], ["-30 mm", "0 mm"], ["-30 mm", "-70 mm"], ["30 mm", "-70 mm"], { at = ["30 mm", "0 mm"], corner = "chamfer 2 mm" }]
length   = "835 mm"
stands   = "1000 N/mm"
"#;

#[test]
fn the_hoes_plate_is_bent_on_the_shops_own_brake() {
    let summary = summary(&demo("push-hoe", BRAKE));
    assert_eq!(summary["bend"]["tools"], "own");
    assert_eq!(summary["bend"]["tools_said"], true);
    let tools = tools(&summary);
    assert_eq!(tools.len(), 3, "{}", summary["bend"]);
    assert!(
        tools.iter().all(|tool| tool.starts_with("the old brake: ")),
        "{tools:?}"
    );
    assert_ne!(summary["verdicts"]["bend"]["answer"], "not checked");
}

#[test]
fn a_shop_may_have_the_starters_tools_beside_its_own() {
    let both = BRAKE.replacen("process", "tools = \"starter\"\nprocess", 1);
    assert_eq!(
        summary(&demo("push-hoe", &both))["bend"]["tools"],
        "own and starter"
    );
    // A machine of one's own that takes the starter's tools.
    let brake = "process = \"brake\"\ntools = \"starter\"\n[[bender.brakes]]\nname = \"mine\"\nlike = \"starter\"\nforce = \"400 kN\"";
    assert_eq!(
        summary(&demo("push-hoe", brake))["bend"]["tools"],
        "own and starter"
    );
}

#[test]
fn own_tools_are_all_that_there_is() {
    // One punch for thin sheet, which the force breaks: nothing of the starter set comes to its help.
    let weak = BRAKE
        .replace("1000 N/mm", "20 N/mm")
        .replace("400 N/mm", "20 N/mm");
    let summary = summary(&demo("push-hoe", &weak));
    assert_eq!(
        summary["verdicts"]["bend"]["answer"], "no",
        "{}",
        summary["verdicts"]["bend"]
    );
    let says = summary["bend"]["blocked"][0]["says"].as_str().unwrap_or("");
    assert!(says.contains("the tool stands 20"), "{says}");
}

/// A folder with its fingers and what it takes.
const FOLDER: &str = r#"process = "folder"

[[bender.folders]]
name          = "pan folder"
length        = "610 mm"
fingers       = ["25 mm", "30 mm", "40 mm", "50 mm", "75 mm", "100 mm", "125 mm", "165 mm"]
finger_depth  = "100 mm"
finger        = { foot = "90 mm", lean = "34 deg" }
beam          = { from = ["60 mm", "100 mm"], to = ["150 mm", "200 mm"] }
bed           = [["0 mm", "0 mm"], ["0 mm", "-30 mm"], ["20 mm", "-200 mm"], ["300 mm", "-200 mm"], ["300 mm", "0 mm"]]
apron         = { from = ["-0.5 mm", "0 mm"], to = ["-110 mm", "-12 mm"] }
lift          = "45 mm"
nose          = "1 mm"
swing         = "135 deg"
capacity      = { steel = "4 mm", aluminium = "6 mm", stainless = "3 mm" }
least_clamped = "12 mm"
least_swung   = "8 mm"
"#;

/// A vice with two angle jaws.
const VICE: &str = r#"process = "vice"

[[bender.vices]]
name          = "the big vice"
jaws          = ["60 mm", "100 mm", "150 mm"]
deep          = "100 mm"
inner         = { from = ["0 mm", "0 mm"], to = ["40 mm", "40 mm"] }
outer         = { from = ["1 mm", "0 mm"], to = ["40 mm", "-40 mm"] }
nose          = "2 mm"
swing         = "100 deg"
capacity      = { steel = "5 mm", aluminium = "8 mm" }
drawn         = "100 mm"
least_clamped = "15 mm"
least_drawn   = "15 mm"
"#;

#[test]
fn one_bend_goes_in_the_shops_own_folder_and_vice() {
    for (bender, name) in [(FOLDER, "pan folder"), (VICE, "the big vice")] {
        let summary = summary(&demo("one-bend", bender));
        assert_eq!(tools(&summary), [name], "{}", summary["bend"]);
        assert_eq!(summary["bend"]["tools"], "own");
    }
}

#[test]
fn a_folder_too_weak_for_the_plate_says_by_how_much() {
    let weak = FOLDER.replace("aluminium = \"6 mm\"", "aluminium = \"1 mm\"");
    let weak = weak.replace("steel = \"4 mm\"", "steel = \"1 mm\"");
    let summary = summary(&demo("one-bend", &weak));
    let says = summary["bend"]["blocked"][0]["says"].as_str().unwrap_or("");
    assert!(says.contains("the tool takes"), "{}", summary["bend"]);
    assert!(says.contains("pan folder"), "{says}");
}

/// What is said of bends by hand, each with its bend's name in front.
fn by_hand(folder: &Folder) -> Vec<String> {
    let wanted = job::Wanted {
        would_bend: true,
        ..job::Wanted::default()
    };
    let outcome = job::run_with(folder, &wanted).expect("a sound job");
    let bend = outcome.summary.bend.expect("bends");
    bend.by_hand
        .iter()
        .flat_map(|hand| hand.says.iter().map(|says| format!("{}: {says}", hand.bend)))
        .chain(bend.would_do.iter().map(|change| format!("would do: {change}")))
        .collect()
}

#[test]
fn plate_too_thick_for_the_vice_may_be_sawn_into_and_what_that_costs_is_told() {
    let weak = VICE.replace("steel = \"5 mm\"", "steel = \"1.4 mm\"");
    let said = by_hand(&demo("one-bend", &weak));
    let has = |words: &str| said.iter().any(|says| says.contains(words));
    // Over 45 of 100 mm a hand takes 1.4 mm x sqrt(100/45) = 2.09 mm. The steel takes a radius of its thickness, so of 3 mm
    // half is left, which bends round the other half: a quarter of the strength, an eighth of the stiffness.
    assert!(has("b1: saw or file a slot"), "{said:#?}");
    assert!(has("1.5 mm (1/16 in - 0.003 in) are left"), "{said:#?}");
    assert!(has("25 % of the plate's strength in bending"), "{said:#?}");
    assert!(
        has("12 % of its stiffness") || has("13 % of its stiffness"),
        "{said:#?}"
    );
    assert!(!has("likely cracks"), "{said:#?}");
    assert!(has("would do: saw a kerf"), "{said:#?}");
    // Plate so thick that less than a third would be left is not for a saw.
    let weaker = VICE.replace("steel = \"5 mm\"", "steel = \"0.6 mm\"");
    let said = by_hand(&demo("one-bend", &weaker));
    assert!(!said.iter().any(|says| says.contains("saw")), "{said:#?}");
}

#[test]
fn a_line_on_the_outside_of_a_bend_by_hand_is_not_to_be_scribed() {
    let up = demo("one-bend", VICE);
    let told = |folder: &Folder| {
        by_hand(folder)
            .iter()
            .any(|says| says.contains("scribed or chiselled"))
    };
    assert!(!told(&up));
    let mut down = up;
    down.design.text = down.design.text.replace("way  = \"up\"", "way  = \"down\"");
    assert!(told(&down));
}

/// Lines of a closed shape as a drawing, with what stands for the unit in its header.
fn dxf(unit: Option<u32>, corners: &[(f64, f64)]) -> Vec<u8> {
    let mut out = String::new();
    if let Some(code) = unit {
        out.push_str(&format!(
            "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n{code}\n0\nENDSEC\n"
        ));
    }
    out.push_str("0\nSECTION\n2\nENTITIES\n");
    for (index, (x, y)) in corners.iter().enumerate() {
        let (to_x, to_y) = corners[(index + 1) % corners.len()];
        out.push_str(&format!(
            "0\nLINE\n8\n0\n10\n{x}\n20\n{y}\n11\n{to_x}\n21\n{to_y}\n"
        ));
    }
    out.push_str("0\nENDSEC\n0\nEOF\n");
    out.into_bytes()
}

/// The long straight punch as somebody drew it, 40 mm off to the right and 5 mm up.
const PUNCH: [(f64, f64); 9] = [
    (40.0, 5.0),
    (45.5, 11.0),
    (45.5, 65.0),
    (53.0, 80.0),
    (53.0, 105.0),
    (27.0, 105.0),
    (27.0, 80.0),
    (34.5, 65.0),
    (34.5, 11.0),
];

/// A die as somebody drew it: with its V.
const DIE: [(f64, f64); 7] = [
    (-18.0, 0.0),
    (-12.0, 0.0),
    (0.0, -13.0),
    (12.0, 0.0),
    (18.0, 0.0),
    (18.0, -60.0),
    (-18.0, -60.0),
];

fn with_drawings(profile: &str, punch: Vec<u8>, die: Vec<u8>) -> Folder {
    let bender = BRAKE
        .replace(
            "straight = { blade = \"11 mm\", up_to = \"60 mm\", seat = \"26 mm\" }",
            profile,
        )
        .replace("width    = \"36 mm\"", "profile = \"die.dxf\"");
    let mut folder = demo("push-hoe", &bender);
    folder.drawings = [("punch.dxf", punch), ("die.dxf", die)]
        .map(|(name, bytes)| Drawing {
            name: name.into(),
            bytes: Ok(bytes),
        })
        .into();
    folder
}

const MM: Option<u32> = Some(4);
const AT: &str = "profile = { dxf = \"punch.dxf\", zero = [\"40 mm\", \"5 mm\"] }";

#[test]
fn tools_come_out_of_drawings() {
    let drawn = summary(&with_drawings(AT, dxf(MM, &PUNCH), dxf(MM, &DIE)));
    let typed = summary(&demo("push-hoe", BRAKE));
    // The same tools: the same order, whichever way they were said.
    assert_eq!(tools(&drawn), tools(&typed));
    assert_eq!(
        drawn["verdicts"]["bend"]["answer"],
        typed["verdicts"]["bend"]["answer"]
    );
}

#[test]
fn a_drawing_in_inches_is_the_same_tool() {
    let inches = PUNCH.map(|(x, y)| (x / 25.4, y / 25.4));
    let drawn = summary(&with_drawings(AT, dxf(Some(1), &inches), dxf(MM, &DIE)));
    assert_eq!(tools(&drawn).len(), 3);
}

#[test]
fn a_drawing_that_is_not_at_its_zero_is_told_where_its_nose_is() {
    let said = wrongs(&with_drawings(
        "profile = \"punch.dxf\"",
        dxf(MM, &PUNCH),
        dxf(MM, &DIE),
    ));
    assert!(said.contains("shop.toml:"), "{said}");
    assert!(said.contains("zero = [\"40.00 mm\", \"5.00 mm\"]"), "{said}");
    // A zero that is not the nose is told in the drawing's own axes too.
    let off = AT.replace("\"5 mm\"", "\"3 mm\"");
    let said = wrongs(&with_drawings(&off, dxf(MM, &PUNCH), dxf(MM, &DIE)));
    assert!(said.contains("zero = [\"40.00 mm\", \"5.00 mm\"]"), "{said}");
}

#[test]
fn a_drawing_without_a_unit_is_asked_about() {
    let said = wrongs(&with_drawings(AT, dxf(None, &PUNCH), dxf(MM, &DIE)));
    assert!(said.contains("punch.dxf does not say its unit"), "{said}");
    assert!(said.contains("units = \"mm\""), "{said}");
    let mm = AT.replace("punch.dxf\"", "punch.dxf\", units = \"mm\"");
    let answered = summary(&with_drawings(&mm, dxf(None, &PUNCH), dxf(MM, &DIE)));
    assert_eq!(tools(&answered).len(), 3);
}

#[test]
fn a_broken_drawing_is_told_with_its_line() {
    let whole = String::from_utf8(dxf(MM, &PUNCH)).expect("text");
    let broken = whole.replacen("\n45.5\n", "\nfar\n", 1).into_bytes();
    let said = wrongs(&with_drawings(AT, broken, dxf(MM, &DIE)));
    assert!(said.contains("punch.dxf: line "), "{said}");
    assert!(said.contains("shop.toml:"), "{said}");
    // What is no drawing, and what does not close.
    for bytes in [
        b"\x00\x01\x02".to_vec(),
        Vec::new(),
        vec![b'0'; 1 << 20],
        dxf(MM, &PUNCH)[..300].to_vec(),
    ] {
        let said = wrongs(&with_drawings(AT, bytes, dxf(MM, &DIE)));
        assert!(said.contains("punch.dxf: "), "{said}");
    }
}

#[test]
fn a_v_that_is_drawn_opens_as_it_is_said_to() {
    let wider = DIE.map(|(x, y)| {
        if x.abs() == 12.0 {
            (x / 12.0 * 13.0, y)
        } else {
            (x, y)
        }
    });
    let said = wrongs(&with_drawings(AT, dxf(MM, &PUNCH), dxf(MM, &wider)));
    assert!(
        // Taken just under the round of its shoulders, and led up to the top at the stated angle: a little under 26 mm.
        said.contains("is drawn to open 25.9") && said.contains("said to be 24.0 mm"),
        "{said}"
    );
}

#[test]
fn of_two_shapes_in_a_drawing_one_is_asked_for() {
    let both: String = [
        String::from_utf8(dxf(MM, &PUNCH)).expect("text"),
        String::from_utf8(dxf(None, &DIE.map(|(x, y)| (x + 200.0, y)))).expect("text"),
    ]
    .concat()
    .replacen("0\nENDSEC\n0\nEOF\n0\nSECTION\n2\nENTITIES\n", "", 1);
    let said = wrongs(&with_drawings(AT, both.clone().into_bytes(), dxf(MM, &DIE)));
    assert!(said.contains("punch.dxf has 2 closed shapes"), "{said}");
    let which = AT.replace("punch.dxf\"", "punch.dxf\", piece = 2");
    assert_eq!(
        tools(&summary(&with_drawings(
            &which,
            both.clone().into_bytes(),
            dxf(MM, &DIE)
        )))
        .len(),
        3
    );
    // What is offered to paste keeps what was told already.
    assert!(
        said.contains("{ dxf = \"punch.dxf\", piece = 1, zero = [\"40 mm\", \"5 mm\"] }"),
        "{said}"
    );
    let none = AT.replace("punch.dxf\"", "punch.dxf\", piece = 3");
    let said = wrongs(&with_drawings(&none, both.into_bytes(), dxf(MM, &DIE)));
    assert!(said.contains("no number 3"), "{said}");
}

#[test]
fn drawings_are_read_beside_the_shops_file_and_nowhere_else() {
    let root = std::env::temp_dir().join(format!("gusset-own-tools-{}", std::process::id()));
    let made = std::fs::create_dir_all(root.join("fits"));
    made.expect("a folder to write in");
    let job = demo(
        "push-hoe",
        &BRAKE.replace("width    = \"36 mm\"", "profile = \"die.dxf\""),
    );
    let write = |name: &str, text: &str| std::fs::write(root.join(name), text).expect("written");
    write("design.toml", &job.design.text);
    write("fits/own.toml", &job.fit.as_ref().expect("a fit").text);
    let shop = job.shop.as_ref().expect("a shop").text.clone();
    write("shop.toml", &shop);
    let fault = |name: &str| {
        write("shop.toml", &shop.replace("die.dxf", name));
        let folder = Folder::open(&root, None).expect("a job");
        folder.drawings.first().map(|drawing| drawing.bytes.clone())
    };
    assert_eq!(fault("die.dxf"), Some(Err(DrawingFault::NotThere)));
    std::fs::write(root.join("die.dxf"), dxf(MM, &DIE)).expect("written");
    assert_eq!(fault("die.dxf"), Some(Ok(dxf(MM, &DIE))));
    for elsewhere in ["../die.dxf", "/etc/hosts", "fits/own.toml", ".."] {
        assert_eq!(
            fault(elsewhere),
            Some(Err(DrawingFault::NotBeside)),
            "{elsewhere}"
        );
    }
    assert_eq!(fault("fits"), Some(Err(DrawingFault::NotThere)));
    std::fs::write(root.join("die.dxf"), vec![b'0'; (4 << 20) + 1]).expect("written");
    assert!(matches!(
        fault("die.dxf"),
        Some(Err(DrawingFault::TooLong { .. }))
    ));
    std::fs::remove_dir_all(&root).expect("removed");
}
