//! `--json` on every verb, and the keys that other programs rely on.

use crate::bench_of_work::{DEMOS, command, edit, gusset, job_from, place, text};

#[test]
fn every_verb_speaks_json() {
    let job = job_from("one-bend", "speaks_json");
    let other = place("speaks_json_new");
    let job = text(&job);
    let cases = [
        vec!["check", job, "--json"],
        vec!["hold", job, "--json"],
        vec!["make", job, "--json"],
        vec!["schema", "shop", "--json"],
        vec!["completions", "fish", "--json"],
        vec!["new", text(&other), "--from", "flat-plate", "--json"],
    ];
    for arguments in cases {
        let run = gusset(&arguments);
        assert_eq!(run.code, 0, "{arguments:?}: {}", run.err);
        assert!(!run.json().is_null(), "{arguments:?}");
    }
    for what in [
        "points", "readings", "blank", "holes", "bends", "measures", "fit", "loads", "bolts", "findings",
    ] {
        let run = gusset(&["show", job, what, "--json"]);
        assert_eq!(run.code, 0, "show {what}: {}", run.err);
        assert!(run.json().is_array() || run.json().is_object(), "show {what}");
        let table = gusset(&["show", job, what]);
        assert!(table.out.lines().count() >= 2, "show {what}:\n{}", table.out);
    }
}

#[test]
fn the_contract_has_its_keys() {
    let job = job_from("push-hoe", "contract");
    let told = gusset(&["check", text(&job), "--json"]).json();
    for pointer in [
        "/gusset",
        "/job/title",
        "/job/revision",
        "/job/design",
        "/job/fit",
        "/job/shop",
        "/verdicts/fit/answer",
        "/verdicts/cut/decides",
        "/verdicts/bend/says",
        "/verdicts/hold/answer",
        "/findings/0/code",
        "/findings/0/level",
        "/findings/0/about",
        "/findings/0/file",
        "/findings/0/line",
        "/findings/0/column",
        "/findings/0/says",
        "/findings/0/fix",
        "/survey/points/0/name",
        "/survey/points/0/x_mm",
        "/survey/points/0/sd_y_mm",
        "/survey/readings/0/about",
        "/survey/readings/0/residual_mm",
        "/survey/readings/0/redundancy",
        "/survey/readings/0/w",
        "/survey/readings/0/suspect",
        "/survey/sigma0",
        "/blank/parts/0/name",
        "/blank/parts/0/area_mm2",
        "/blank/parts/0/mass_kg",
        "/blank/parts/0/bounds_mm/1",
        "/blank/parts/0/outline_length_mm",
        "/blank/parts/0/holes/0/name",
        "/blank/parts/0/holes/0/x_mm",
        "/blank/parts/0/holes/0/dia_mm",
        "/blank/parts/0/bends/0/bent_deg",
        "/blank/parts/0/bends/0/between_legs_deg",
        "/blank/parts/0/bends/0/radius_mm",
        "/blank/parts/0/bends/0/allowance_mm",
        "/blank/parts/0/bends/0/deduction_mm",
        "/blank/parts/0/bends/0/way",
        "/blank/parts/0/bends/0/from_mm/1",
        "/blank/parts/0/bends/0/to_mm/1",
        "/folded/holes/0/at_mm/2",
        "/folded/holes/0/axis/2",
        "/folded/panels/0/origin_mm/2",
        "/folded/panels/0/x_axis/2",
        "/folded/mass_kg",
        "/folded/centre_of_mass_mm/2",
        "/fit/mounts/0/offset_mm",
        "/fit/mounts/0/allowed_mm",
        "/fit/mounts/0/gap_mm",
        "/fit/mounts/0/tilt_deg",
        "/fit/support/offset_mm",
        "/fit/support/turn_deg",
        "/fit/keep_outs/0/clearance_mm",
        "/prove/loads/0/name",
        "/prove/loads/0/peak_mpa",
        "/prove/loads/0/yield_mpa",
        "/prove/loads/0/safety",
        "/prove/loads/0/where",
        "/prove/loads/0/support_moves_mm",
        "/prove/loads/0/support_turns_deg",
        "/prove/loads/0/by_hand/says",
        "/prove/bolts/0/tension_n",
        "/prove/welds",
        "/prove/fatigue/0/days/2",
        "/prove/checks/0/used",
        "/prove/missing",
        "/prove/proof/steps/0/force_n",
        "/prove/error_pct",
        "/prove/dof",
        "/bend/order/0/bend",
        "/bend/order/0/tool",
        "/bend/order/0/gauge_to_tangent_mm",
        "/bend/order/0/needs",
        "/bend/least_clearance_mm",
        "/bend/blocked",
        "/cut/process",
        "/cut/sheet/name",
        "/cut/placed/0/at_mm/1",
        "/cut/kerf_mm",
        "/cut/kerf_from",
        "/cut/zero",
        "/cut/pierces",
        "/cut/cut_length_mm",
        "/cut/time_s/1",
        "/cut/order/0/pierce_mm/0",
        "/cut/holes/0/way",
        "/cut/holes/0/may_be_off_mm",
        "/cut/program",
    ] {
        assert!(told.pointer(pointer).is_some(), "the contract has no {pointer}");
    }
    assert_eq!(told["verdicts"]["hold"]["answer"], "no");
}

#[test]
fn faults_and_refusals_are_json_too() {
    let job = job_from("flat-plate", "json_faults");
    let missing = gusset(&["check", "no/such/folder", "--json"]);
    assert_eq!(missing.code, 2);
    assert!(missing.json()["error"].is_string());
    edit(&job.join("fits/own.toml"), "weight  = false", "weight  = true");
    let refused = gusset(&["check", text(&job), "--json"]);
    assert_eq!(refused.code, 4);
    assert!(refused.json().is_object());
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    for demo in DEMOS {
        let job = job_from(demo, &format!("same_bytes_{demo}"));
        let once = gusset(&["check", text(&job), "--json"]);
        let again = gusset(&["check", text(&job), "--json"]);
        assert_eq!(once.out, again.out, "{demo}");
    }
}

#[test]
fn the_number_of_threads_changes_no_byte() {
    let job = job_from("push-hoe", "any_threads");
    let with = |threads: &str, verb: &str| {
        let output = command(&[verb, text(&job), "--json"])
            .env("RAYON_NUM_THREADS", threads)
            .output()
            .expect("the command runs");
        output.stdout
    };
    for verb in ["check", "hold"] {
        let alone = with("1", verb);
        assert!(alone.len() > 1_000, "{verb} says little");
        for threads in ["2", "5"] {
            assert!(alone == with(threads, verb), "{verb} on {threads} threads");
        }
    }
}
