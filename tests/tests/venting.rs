//! Venting: networks in which taking away one vent turns exactly the traps red that hang on it, and what codes allow of each
//! method at its limit.
//!
//! The networks are put together from a few small rough-ins, each on its own stack, held to three codes. Which traps
//! hang on which vent is written beside each, from the codes' own rules on the method named; nothing of it is computed.

use std::collections::BTreeSet;
use truefall_check::vent::{Method, Setting, Vents};
use truefall_check::{Profile, Verdict, check};
use truefall_model::catalog::Catalog;
use truefall_model::job::file::JobFile;
use truefall_model::job::pipes::End;
use truefall_model::job::{Job, Placement};
use truefall_model::place::place;
use truefall_tests::networks::*;

fn read(text: &str) -> Job {
    JobFile::read("networks.ron", text).unwrap_or_else(|faults| panic!("{faults}\n{text}")).job
}

fn profile(code: &str) -> Profile {
    Profile::builtin(code).expect("it comes with the tool")
}

/// The profile of a job, with what the job's own place has changed.
fn profile_of(job: &Job) -> Profile {
    profile(job.code.as_str()).with_amendments(&job.local).expect("known figures")
}

/// The traps that are red for want of a vent, in either placement; nothing about arms may be told in their stead.
#[track_caller]
fn red(job: &Job) -> BTreeSet<String> {
    let catalog = Catalog::builtin();
    let rough_in = place(job, catalog).unwrap_or_else(|faults| panic!("{faults:?}"));
    let findings = check(job, &rough_in, catalog, &profile_of(job), &[Placement::Drawn, Placement::Found]);
    let of = |f: &&truefall_check::Finding| f.rule == "trap-not-vented" && f.verdict == Verdict::RedTag;
    findings.iter().filter(of).map(|f| f.labels[0].to_string()).collect()
}

fn methods(job: &Job) -> Vec<(String, Option<Method>)> {
    let catalog = Catalog::builtin();
    let rough_in = place(job, catalog).unwrap_or_else(|faults| panic!("{faults:?}"));
    let profile = profile_of(job);
    let setting = Setting { job, rough_in: &rough_in, catalog, profile: &profile, placed: &rough_in.drawn };
    let vents = Vents::of(&setting);
    let of = |t: &truefall_check::vent::Trap| {
        (job.fixtures[t.fixture].name.to_string(), t.vent.as_ref().map(|v| v.method))
    };
    vents.traps.iter().map(of).collect()
}

/// Shuts the end of one run.
#[track_caller]
fn shut(job: &Job, run: &str) -> Job {
    let mut job = job.clone();
    let stack = job.stacks.iter_mut().filter(|s| s.name.as_str() == run).map(|s| &mut s.end);
    let branch = job.branches.iter_mut().filter(|b| b.name.as_str() == run).map(|b| &mut b.end);
    let ends: Vec<&mut End> = stack.chain(branch).collect();
    assert_eq!(ends.len(), 1, "one run called {run}");
    for end in ends {
        *end = End::Capped {};
    }
    job
}

fn names(list: &[&str]) -> BTreeSet<String> {
    list.iter().map(|n| (*n).to_owned()).collect()
}

#[test]
fn each_trap_is_vented_by_the_method_its_code_names() {
    for piece in PIECES {
        for code in piece.codes {
            let job = read(&house(&[piece], code));
            let mut told = methods(&job);
            let mut said: Vec<(String, Option<Method>)> =
                piece.methods.iter().map(|(name, method)| ((*name).to_owned(), Some(*method))).collect();
            told.sort();
            said.sort();
            assert_eq!(told, said, "{} by {code}", piece.name);
        }
    }
}

#[test]
fn one_vent_taken_away_turns_exactly_its_traps_red() {
    let mut networks = 0;
    let mut wrong = Vec::new();
    for piece in PIECES {
        for code in piece.codes {
            let job = read(&house(&[piece], code));
            let whole = red(&job);
            if !whole.is_empty() {
                wrong.push(format!("{} by {code}: {whole:?} red with all vents open", piece.name));
            }
            for (vent, traps) in piece.vents {
                networks += 1;
                let told = red(&shut(&job, vent));
                if told != names(traps) {
                    wrong.push(format!("{} by {code} without {vent}: {told:?}", piece.name));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(networks >= 30, "{networks} networks");
}

// Whole houses: what hangs on one vent does not depend on what else stands in the house.
#[test]
fn in_a_whole_house_too() {
    for code in ALL_CODES {
        let pieces: Vec<&Piece> = PIECES.iter().copied().filter(|p| p.codes.contains(code)).collect();
        let job = read(&house(&pieces, code));
        assert_eq!(red(&job), names(&[]), "{code}");
        for (vent, traps) in pieces.iter().flat_map(|p| p.vents) {
            assert_eq!(red(&shut(&job, vent)), names(traps), "{code} without {vent}");
        }
    }
}

/// How one trap of a piece with texts replaced is vented.
#[track_caller]
fn vented(piece: &Piece, code: &str, trap: &str, changes: &[(&str, &str)]) -> Option<Method> {
    let text = changes.iter().fold(house(&[piece], code), |text, (from, to)| {
        assert!(text.contains(from), "the job has no {from}");
        text.replace(from, to)
    });
    let all = methods(&read(&text));
    let found = all.iter().find(|(name, _)| name == trap).unwrap_or_else(|| panic!("no trap of {trap}"));
    found.1
}

const IRON_2: &str = r#"IronHub(size: "2", at: ("60", "-2 3/4"), rim: "3' 0 below first rough"), up: ["#;
const IRON_3: &str = r#"IronHub(size: "3", at: ("60", "-2 3/4"), rim: "3' 0 below first rough"), up: ["#;
const CUT_PIPE: &str = r#"CutPipe(size: "1-1/2", material: pvc, at: ("60", "-2 3/4"), top: "3' 0 below first rough"), up: [
      Fit(name: "C0", fit: "1-1/2 coupling"),"#;

const TO_1_1_2: &[(&str, &str)] =
    &[("2x2x1-1/2 sanitary tee", "1-1/2x1-1/2x1-1/2 sanitary tee"), (IRON_2, CUT_PIPE)];

// IRC Table P3107.3 and IPC Table 911.3 (from memory): at two levels 1-1/2 in takes 1 unit of the upper fixture, 2 in 4. A
// lavatory brings 1 unit, a kitchen sink 2 (IRC Table P3004.1). The upper is no closet.
#[test]
fn a_common_vent_at_two_levels_takes_what_its_size_may() {
    let upper_sink = (r#"name: "upper", kind: lavatory"#, r#"name: "upper", kind: kitchen_sink"#);
    for code in I_CODES {
        assert_eq!(vented(&TWO_LEVELS, code, "lower", TO_1_1_2), Some(Method::Common));
        let small_sink = [TO_1_1_2, &[upper_sink]].concat();
        assert_eq!(vented(&TWO_LEVELS, code, "lower", &small_sink), None);
        assert_eq!(vented(&TWO_LEVELS, code, "lower", &[upper_sink]), Some(Method::Common));
    }
    // UPC 908.1 (an engineers' magazine, February 2011): a lavatory of 1 unit wet-vents what is below, in 2 in pipe and a
    // size over the waste; not in 1-1/2.
    assert_eq!(vented(&TWO_LEVELS, "upc-2021", "lower", &[]), Some(Method::VerticalWet));
    assert_eq!(vented(&TWO_LEVELS, "upc-2021", "lower", TO_1_1_2), None);
}

// IRC Table P3109.4 and IPC Table 913.4 (from memory): a waste stack of 1-1/2 in takes 1 unit a storey and 2 in all; its
// vent is full size; it takes no closet (IRC P3109.1).
#[test]
fn a_waste_stack_takes_what_its_size_may() {
    let small = [("3x3x1-1/2 sanitary tee", "1-1/2x1-1/2x1-1/2 sanitary tee"), (IRON_3, CUT_PIPE)];
    let lavs = [("kind: kitchen_sink", "kind: lavatory")];
    for code in I_CODES {
        assert_eq!(
            vented(&WASTE_STACK, code, "sink below", &[small.as_slice(), &lavs].concat()),
            Some(Method::WasteStack)
        );
        assert_eq!(vented(&WASTE_STACK, code, "sink below", &small), None);
    }
    let reduced = [(
        r#"height: "15 off second rough", clock: "12"),"#,
        r#"height: "15 off second rough", clock: "12"), Fit(name: "AU1", fit: "3x2 bushing"),"#,
    )];
    assert_eq!(vented(&WASTE_STACK, "irc-2021", "sink below", &reduced), None);
    assert_eq!(vented(&WASTE_STACK, "upc-2021", "sink below", &[]), None, "the UPC has no waste stack vent");
}

// Single stack vents are the IPC's alone (the text of the change that became IPC 917).
#[test]
fn a_lavatory_below_a_bath_is_vented_by_a_single_stack_in_one_code_only() {
    assert_eq!(vented(&SINGLE_STACK, "irc-2021", "lav below", &[]), None);
    assert_eq!(vented(&SINGLE_STACK, "upc-2021", "lav below", &[]), None);
    let reduced = [(
        r#"height: "17 off second rough", clock: "12"),"#,
        r#"height: "17 off second rough", clock: "12"), Fit(name: "GU1", fit: "3x2 bushing"),"#,
    )];
    assert_eq!(vented(&SINGLE_STACK, "ipc-2021", "lav below", &reduced), None, "one size from end to end");
}

// IRC Table P3108.3 (from memory) and UPC 908.2: 2 in takes 4 units: a lavatory (1), a tub (2) and no second tub.
#[test]
fn a_lying_wet_vent_takes_what_its_size_may() {
    let sink = [(r#"name: "wet lav", kind: lavatory"#, r#"name: "wet lav", kind: kitchen_sink"#)];
    for code in ALL_CODES {
        assert_eq!(vented(&WET, code, "wet closet", &[]), Some(Method::HorizontalWet));
        assert_eq!(vented(&WET, code, "wet closet", &sink), None, "a kitchen sink is of no bath");
    }
    let small = [
        ("3x2 bushing", "3x1-1/2 bushing"),
        ("2x2x2 wye", "1-1/2x1-1/2x1-1/2 wye"),
        ("2 1/4 bend", "1-1/2 1/4 bend"),
        ("2x1-1/2x1-1/2 sanitary tee", "1-1/2x1-1/2x1-1/2 sanitary tee"),
        (r#"fit: "2 p-trap""#, r#"fit: "1-1/2 p-trap""#),
    ];
    // 1-1/2 takes the lavatory's 1 unit and so vents the tub, but not the 3 units that the closet would need it to carry.
    assert_eq!(vented(&WET, "irc-2021", "wet tub", &small), Some(Method::HorizontalWet));
    assert_eq!(vented(&WET, "irc-2021", "wet closet", &small), None);
    assert_eq!(vented(&WET, "upc-2021", "wet tub", &small), None, "the UPC's least is 2 in");
}

// IPC 914.1, IRC P3110.1: the circuit's vent leaves between its two most upstream drains.
#[test]
fn a_circuit_is_vented_between_its_two_most_upstream_drains() {
    let moved = [
        (r#"("100", "-2 3/4"), clock: "3:00""#, r#"("100", "-2 3/4"), clock: "12""#),
        (r#"("116", "-2 3/4"), clock: "12""#, r#"("116", "-2 3/4"), clock: "3:00""#),
        ("\"KY3.branch\"", "\"KZ.branch\""),
        ("\"KY2.branch\"", "\"KY3.branch\""),
        ("\"KZ.branch\"", "\"KY2.branch\""),
    ];
    for code in ALL_CODES {
        assert_eq!(vented(&CIRCUIT, code, "circuit third", &[]), Some(Method::Circuit));
        assert_eq!(
            vented(&CIRCUIT, code, "circuit third", &moved),
            None,
            "{code}: two drains are above the vent"
        );
    }
}

// A floor drain and two more are three traps at one vent; one vent serves two (IRC P3107.1).
#[test]
fn where_two_join_before_their_vent_the_upc_wants_it_at_the_joint() {
    assert_eq!(vented(&TWO_DRAINS, "irc-2021", "far drain", &[]), Some(Method::Common));
    assert_eq!(vented(&TWO_DRAINS, "upc-2021", "far drain", &[]), None);
}

const COMBINATION: &str =
    include_str!("../../scenes/rules/trap-not-vented/ok_combination_in_building_drain.ron");

// IRC Table P3111.3 and IPC Table 915.3 (from memory): 2 in takes 3 units into a branch or stack and 4 into the building
// drain. Three drains of 1.25 units are 3.75.
#[test]
fn a_combination_takes_more_into_the_building_drain_than_into_a_branch() {
    let on_a_stack = COMBINATION.replace(
        r#"base: Stub(size: "2", material: pvc, at: ("60", "-2 3/4"), centre: "15 below first rough", looks: "3", reads: "1/4 in per ft"),"#,
        r#"base: Stub(size: "2", material: pvc, at: ("40", "-2 3/4"), centre: "4' 0 below first rough", looks: "3", reads: "1/4 in per ft"),"#,
    );
    let on_a_stack = on_a_stack.replace(
        r#"Fit(name: "C1", fit: "2 coupling"),"#,
        r#"Fit(name: "C1", fit: "2 coupling"), Fit(name: "B0", fit: "2 long-turn 1/4 bend", to: ("60", "-2 3/4"), clock: "12"), Fit(name: "B2", fit: "2 long-turn 1/4 bend", height: "15 below first rough"),"#,
    );
    assert_ne!(on_a_stack, COMBINATION);
    for code in I_CODES {
        let by = |text: &str| red(&read(&text.replace("irc-2021", code)));
        assert_eq!(by(COMBINATION), names(&[]), "{code}");
        assert_eq!(by(&on_a_stack), names(&["first", "second", "third"]), "{code}");
    }
}

// UPC 910.1 and 910.4 (from memory): engineered and approved, its pipe and traps two sizes over what is required. Three
// drains of 0.3 units with 1-1/4 in traps require 1-1/4 in: 2 in is two sizes over it.
#[test]
fn by_the_upc_a_combination_is_asked_for_once_it_is_large_enough() {
    let small = COMBINATION
        .replace("value: 1.25", "value: 0.3")
        .replace("kind: floor_drain,", "kind: floor_drain, trap: \"1-1/4\",");
    let upc = |text: &str| read(&text.replace("irc-2021", "upc-2021"));
    assert_eq!(red(&upc(COMBINATION)), names(&["first", "second", "third"]));
    assert_eq!(red(&upc(&small)), names(&[]));
    assert!(
        methods(&upc(&small)).iter().all(|(_, method)| method.is_none()),
        "the official says, not the check"
    );
}
