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

/// A small rough-in on one stack: what it drains, its stacks and branches as text, `$X` its place along the wall.
struct Piece {
    name: &'static str,
    fixtures: &'static str,
    stacks: &'static str,
    branches: &'static str,
    /// By which method each trap is vented.
    methods: &'static [(&'static str, Method)],
    /// Runs whose end is a vent, and the traps that hang on it.
    vents: &'static [(&'static str, &'static [&'static str])],
    /// The codes that allow all of it.
    codes: &'static [&'static str],
}

const ALL_CODES: &[&str] = &["irc-2021", "ipc-2021", "upc-2021"];
const I_CODES: &[&str] = &["irc-2021", "ipc-2021"];

/// A closet under a lavatory on one 3 in stack: the lavatory's drain wet-vents the closet (IRC P3108.1, IPC 912.1, UPC
/// 908.1: fixtures of 1 and 2 units above, 2 in and a size over the waste).
const BATH: Piece = Piece {
    name: "bath",
    fixtures: r#"
    Fixture(name: "closet", kind: closet, floor: "first", wall: "wet", at: ("$X", "20")),
    Fixture(name: "lav", kind: lavatory, floor: "first", wall: "wet", at: OffWall(wall: "wet", along: "$X", out: "0")),"#,
    stacks: r#"
    Stack(name: "bath stack", base: IronHub(size: "3", at: ("$X", "-2 3/4"), rim: "3' 0 below first rough"), up: [
      Fit(name: "BT1", fit: "3 sanitary tee", height: "14 below first rough"),
      Fit(name: "BT2", fit: "3x3x1-1/2 sanitary tee", height: "17 off first rough", clock: "12"),
    ], end: Roof()),"#,
    branches: r#"
    Branch(name: "closet arm", from: "BT1", along: [Fit(name: "BB1", fit: "3 1/4 bend", to: Under(fixture: "closet")), Fit(name: "BF1", fit: "3 closet flange")], end: Fixture(name: "closet")),
    Branch(name: "lav arm", from: "BT2", end: Fixture(name: "lav")),"#,
    methods: &[("closet", Method::VerticalWet), ("lav", Method::StackVent)],
    vents: &[("bath stack", &["closet", "lav"])],
    codes: ALL_CODES,
};

/// A sink on a riser of its own that goes on as its vent (IRC P3106, IPC 910, UPC 905), a lavatory on the stack.
const SINK: Piece = Piece {
    name: "sink",
    fixtures: r#"
    Fixture(name: "sink", kind: kitchen_sink, floor: "first", wall: "wet", at: OffWall(wall: "wet", along: "$X+36", out: "0")),
    Fixture(name: "basin", kind: lavatory, floor: "first", wall: "wet", at: OffWall(wall: "wet", along: "$X", out: "0")),"#,
    stacks: r#"
    Stack(name: "sink stack", base: IronHub(size: "2", at: ("$X", "-2 3/4"), rim: "3' 0 below first rough"), up: [
      Fit(name: "ST1", fit: "2x2x2 sanitary tee", height: "14 below first rough"),
      Fit(name: "ST2", fit: "2x2x1-1/2 sanitary tee", height: "17 off first rough", clock: "12"),
    ], end: Roof()),"#,
    branches: r#"
    Branch(name: "sink drain", from: "ST1", along: [
      Fit(name: "SB1", fit: "2 1/4 bend", to: ("$X+36", "-2 3/4")),
      Fit(name: "ST3", fit: "2x1-1/2x1-1/2 sanitary tee", height: "15 off first rough", clock: "12"),
    ], end: Roof()),
    Branch(name: "sink arm", from: "ST3", end: Fixture(name: "sink")),
    Branch(name: "basin arm", from: "ST2", end: Fixture(name: "basin")),"#,
    methods: &[("sink", Method::Individual), ("basin", Method::StackVent)],
    vents: &[("sink drain", &["sink"]), ("sink stack", &["basin"])],
    codes: ALL_CODES,
};

/// A washer whose vent is tied back into the stack over a tub and a sink back to back. Without it the washer joins below two
/// traps of 2 units each: too many for a common vent, and 6 units are too many for a waste stack of 2 in. (By the UPC the two
/// would wet-vent it: 908.1.)
const LAUNDRY: Piece = Piece {
    name: "laundry",
    fixtures: r#"
    Fixture(name: "washer", kind: washer_box, floor: "first", wall: "wet", at: OffWall(wall: "wet", along: "$X+41", out: "-2 3/4", face: rough), rim: "3' 0 off first finished"),
    Fixture(name: "laundry tub", kind: laundry_tub, floor: "first", wall: "wet", at: OffWall(wall: "wet", along: "$X", out: "0")),
    Fixture(name: "scullery", kind: kitchen_sink, floor: "first", wall: "back", at: ("$X", "-6")),"#,
    stacks: r#"
    Stack(name: "laundry stack", base: IronHub(size: "2", at: ("$X", "-2 3/4"), rim: "3' 0 below first rough"), up: [
      Fit(name: "LT1", fit: "2x2x2 sanitary tee", height: "9 1/2 off first rough"),
      Fit(name: "LT2", fit: "2x2x1-1/2x1-1/2 double sanitary tee", height: "16 1/4 off first rough", clock: "12"),
      Fit(name: "LT3", fit: "2x2x1-1/2 sanitary tee", height: "4' 2 off first rough", enter: "up", leave: "down", clock: "3:00"),
    ], end: Roof()),"#,
    branches: r#"
    Branch(name: "washer arm", from: "LT1", along: [
      Fit(name: "LY1", fit: "2x2x1-1/2 wye", to: ("$X+15", "-2 3/4"), clock: "12"),
      Fit(name: "LP1", fit: "2 p-trap"),
    ], end: Fixture(name: "washer")),
    Branch(name: "washer vent", from: "LY1.branch", system: vent, along: [
      Fit(name: "LB1", fit: "1-1/2 1/8 bend", clock: "12"),
      Fit(name: "LB2", fit: "1-1/2 1/4 bend", height: "4' 1 5/8 off first rough"),
    ], end: Tie(to: "LT3.branch")),
    Branch(name: "laundry tub arm", from: "LT2.branch", end: Fixture(name: "laundry tub")),
    Branch(name: "scullery arm", from: "LT2.opposite", end: Fixture(name: "scullery")),"#,
    methods: &[("washer", Method::Individual), ("laundry tub", Method::Common), ("scullery", Method::Common)],
    vents: &[("washer vent", &["washer"]), ("laundry stack", &["washer", "laundry tub", "scullery"])],
    codes: I_CODES,
};

/// A lavatory's vent at the head of a lying drain that takes a tub and a closet: horizontal wet vent (IRC P3108.1 and Table
/// P3108.3, IPC 912; UPC 908.2: 2 in up to 4 units).
const WET: Piece = Piece {
    name: "wet",
    fixtures: r#"
    Fixture(name: "wet lav", kind: lavatory, floor: "first", wall: "wet", at: OffWall(wall: "wet", along: "$X+60", out: "0")),
    Fixture(name: "wet tub", kind: tub, floor: "first", at: ("$X+50", "12"), tolerance: "20"),
    Fixture(name: "wet closet", kind: closet, floor: "first", wall: "wet", at: ("$X+30", "12"), tolerance: "20"),"#,
    stacks: r#"
    Stack(name: "wet stack", base: IronHub(size: "3", at: ("$X", "-2 3/4"), rim: "3' 0 below first rough"), up: [
      Fit(name: "WT1", fit: "3 sanitary tee", height: "14 below first rough"),
    ], end: Capped()),"#,
    branches: r#"
    Branch(name: "wet drain", from: "WT1", along: [
      Fit(name: "WY1", fit: "3x3x3 wye", to: ("$X+18", "-2 3/4"), clock: "3:00"),
      Fit(name: "WU1", fit: "3x2 bushing"),
      Fit(name: "WY2", fit: "2x2x2 wye", to: ("$X+40", "-2 3/4"), clock: "3:00"),
      Fit(name: "WB1", fit: "2 1/4 bend", to: ("$X+60", "-2 3/4")),
      Fit(name: "WT2", fit: "2x1-1/2x1-1/2 sanitary tee", height: "17 off first rough", clock: "12"),
    ], end: Roof()),
    Branch(name: "wet lav arm", from: "WT2", end: Fixture(name: "wet lav")),
    Branch(name: "wet tub arm", from: "WY2.branch", along: [Fit(name: "WP1", fit: "2 p-trap", level: "10", swing: "3")], end: Fixture(name: "wet tub")),
    Branch(name: "wet closet arm", from: "WY1.branch", along: [Fit(name: "WB2", fit: "3 1/4 bend", level: "12", clock: "12"), Fit(name: "WF1", fit: "3 closet flange")], end: Fixture(name: "wet closet")),"#,
    methods: &[
        ("wet lav", Method::Individual),
        ("wet tub", Method::HorizontalWet),
        ("wet closet", Method::HorizontalWet),
    ],
    vents: &[("wet drain", &["wet lav", "wet tub", "wet closet"])],
    codes: ALL_CODES,
};

/// A sink under a lavatory on one 2 in vertical: common vent at two levels, the upper of 1 unit (IRC P3107.3, IPC 911.3:
/// 2 in takes 4).
const TWO_LEVELS: Piece = Piece {
    name: "two levels",
    fixtures: r#"
    Fixture(name: "lower", kind: kitchen_sink, floor: "first", wall: "wet", at: OffWall(wall: "wet", along: "$X", out: "0")),
    Fixture(name: "upper", kind: lavatory, floor: "first", wall: "wet", at: OffWall(wall: "wet", along: "$X", out: "0")),"#,
    stacks: r#"
    Stack(name: "levels stack", base: IronHub(size: "2", at: ("$X", "-2 3/4"), rim: "3' 0 below first rough"), up: [
      Fit(name: "VT1", fit: "2x2x1-1/2 sanitary tee", height: "12 off first rough", clock: "12"),
      Fit(name: "VT2", fit: "2x2x1-1/2 sanitary tee", height: "20 off first rough", clock: "12"),
    ], end: Roof()),"#,
    branches: r#"
    Branch(name: "lower arm", from: "VT1", end: Fixture(name: "lower")),
    Branch(name: "upper arm", from: "VT2", end: Fixture(name: "upper")),"#,
    methods: &[("lower", Method::Common), ("upper", Method::StackVent)],
    vents: &[("levels stack", &["lower", "upper"])],
    codes: I_CODES,
};

/// Two lavatories back to back at one double tee: common vent at one level (IRC P3107.2, IPC 911.2, UPC 905.6).
const BACK_TO_BACK: Piece = Piece {
    name: "back to back",
    fixtures: r#"
    Fixture(name: "front lav", kind: lavatory, floor: "first", wall: "wet", at: OffWall(wall: "wet", along: "$X", out: "0")),
    Fixture(name: "back lav", kind: lavatory, floor: "first", wall: "back", at: ("$X", "-6")),"#,
    stacks: r#"
    Stack(name: "double stack", base: IronHub(size: "2", at: ("$X", "-2 3/4"), rim: "3' 0 below first rough"), up: [
      Fit(name: "DT1", fit: "2x2x1-1/2x1-1/2 double sanitary tee", height: "17 off first rough", clock: "12"),
    ], end: Roof()),"#,
    branches: r#"
    Branch(name: "front arm", from: "DT1.branch", end: Fixture(name: "front lav")),
    Branch(name: "back arm", from: "DT1.opposite", end: Fixture(name: "back lav")),"#,
    methods: &[("front lav", Method::Common), ("back lav", Method::Common)],
    vents: &[("double stack", &["front lav", "back lav"])],
    codes: ALL_CODES,
};

/// Two kitchen sinks on two floors of one plumb 3 in stack without closets: waste stack vent (IRC P3109, IPC 913).
const WASTE_STACK: Piece = Piece {
    name: "waste stack",
    fixtures: r#"
    Fixture(name: "sink below", kind: kitchen_sink, floor: "first", wall: "wet", at: OffWall(wall: "wet", along: "$X", out: "0")),
    Fixture(name: "sink above", kind: kitchen_sink, floor: "second", wall: "wet above", at: OffWall(wall: "wet above", along: "$X", out: "0")),"#,
    stacks: r#"
    Stack(name: "waste stack", base: IronHub(size: "3", at: ("$X", "-2 3/4"), rim: "3' 0 below first rough"), up: [
      Fit(name: "AT1", fit: "3x3x1-1/2 sanitary tee", height: "15 off first rough", clock: "12"),
      Fit(name: "AT2", fit: "3x3x1-1/2 sanitary tee", height: "15 off second rough", clock: "12"),
    ], end: Roof()),"#,
    branches: r#"
    Branch(name: "below arm", from: "AT1", end: Fixture(name: "sink below")),
    Branch(name: "above arm", from: "AT2", end: Fixture(name: "sink above")),"#,
    methods: &[("sink below", Method::WasteStack), ("sink above", Method::StackVent)],
    vents: &[("waste stack", &["sink below", "sink above"])],
    codes: I_CODES,
};

/// A closet and a lavatory upstairs, a lavatory below on the same 3 in stack: single stack vent, which the IPC alone has (917).
const SINGLE_STACK: Piece = Piece {
    name: "single stack",
    fixtures: r#"
    Fixture(name: "lav below", kind: lavatory, floor: "first", wall: "wet", at: OffWall(wall: "wet", along: "$X", out: "0")),
    Fixture(name: "closet above", kind: closet, floor: "second", wall: "wet above", at: ("$X", "20")),
    Fixture(name: "lav above", kind: lavatory, floor: "second", wall: "wet above", at: OffWall(wall: "wet above", along: "$X", out: "0")),"#,
    stacks: r#"
    Stack(name: "single stack", base: IronHub(size: "3", at: ("$X", "-2 3/4"), rim: "3' 0 below first rough"), up: [
      Fit(name: "GT1", fit: "3x3x1-1/2 sanitary tee", height: "17 off first rough", clock: "12"),
      Fit(name: "GT2", fit: "3 sanitary tee", height: "8 below second rough"),
      Fit(name: "GT3", fit: "3x3x1-1/2 sanitary tee", height: "17 off second rough", clock: "12"),
    ], end: Roof()),"#,
    branches: r#"
    Branch(name: "lav below arm", from: "GT1", end: Fixture(name: "lav below")),
    Branch(name: "closet above arm", from: "GT2", along: [Fit(name: "GB1", fit: "3 1/4 bend", to: Under(fixture: "closet above")), Fit(name: "GF1", fit: "3 closet flange")], end: Fixture(name: "closet above")),
    Branch(name: "lav above arm", from: "GT3", end: Fixture(name: "lav above")),"#,
    methods: &[
        ("lav below", Method::SingleStack),
        ("closet above", Method::VerticalWet),
        ("lav above", Method::StackVent),
    ],
    vents: &[("single stack", &["lav below", "closet above", "lav above"])],
    codes: &["ipc-2021"],
};

/// A floor drain with its own dry vent (IRC P3106, IPC 910, UPC 905).
const FLOOR_DRAIN: Piece = Piece {
    name: "floor drain",
    fixtures: r#"
    Fixture(name: "drain", kind: floor_drain, floor: "first", at: ("$X+72", "12")),"#,
    stacks: r#"
    Stack(name: "drain run", base: Stub(size: "2", material: pvc, at: ("$X", "12"), centre: "20 below first rough", looks: "3", reads: "1/4 in per ft"), up: [
      Fit(name: "FC1", fit: "2 coupling"),
      Fit(name: "FY1", fit: "2x2x1-1/2 wye", level: "12", clock: "12"),
      Fit(name: "FP1", fit: "2 p-trap"),
    ], end: Fixture(name: "drain")),"#,
    branches: r#"
    Branch(name: "drain vent", from: "FY1.branch", system: vent, along: [Fit(name: "FB1", fit: "1-1/2 1/8 bend", clock: "12")], end: Roof()),"#,
    methods: &[("drain", Method::Individual)],
    vents: &[("drain vent", &["drain"])],
    codes: ALL_CODES,
};

/// Two floor drains that join before one vent: common vent downstream of the joint (IRC P3107.2, IPC 911.2).
const TWO_DRAINS: Piece = Piece {
    name: "two drains",
    fixtures: r#"
    Fixture(name: "near drain", kind: floor_drain, floor: "first", at: ("$X+56", "40"), tolerance: "20"),
    Fixture(name: "far drain", kind: floor_drain, floor: "first", at: ("$X+90", "12")),"#,
    stacks: r#"
    Stack(name: "drains run", base: Stub(size: "2", material: pvc, at: ("$X", "12"), centre: "20 below first rough", looks: "3", reads: "1/4 in per ft"), up: [
      Fit(name: "NC1", fit: "2 coupling"),
      Fit(name: "NY1", fit: "2x2x1-1/2 wye", level: "12", clock: "12"),
      Fit(name: "NY2", fit: "2x2x2 wye", level: "24", clock: "3:00"),
      Fit(name: "NP1", fit: "2 p-trap"),
    ], end: Fixture(name: "far drain")),"#,
    branches: r#"
    Branch(name: "near arm", from: "NY2.branch", along: [Fit(name: "NP2", fit: "2 p-trap", level: "20", swing: "3")], end: Fixture(name: "near drain")),
    Branch(name: "drains vent", from: "NY1.branch", system: vent, along: [Fit(name: "NB1", fit: "1-1/2 1/8 bend", clock: "12")], end: Roof()),"#,
    methods: &[("near drain", Method::Common), ("far drain", Method::Common)],
    vents: &[("drains vent", &["near drain", "far drain"])],
    codes: I_CODES,
};

/// A sink under an air admittance valve (IRC P3114, IPC 918; the UPC has none).
const VALVE: Piece = Piece {
    name: "valve",
    fixtures: r#"
    Fixture(name: "bar sink", kind: kitchen_sink, floor: "first", wall: "wet", at: OffWall(wall: "wet", along: "$X", out: "0")),"#,
    stacks: r#"
    Stack(name: "valve riser", base: IronHub(size: "2", at: ("$X", "-2 3/4"), rim: "3' 0 below first rough"), up: [
      Fit(name: "PT1", fit: "2x2x1-1/2 sanitary tee", height: "15 off first rough", clock: "12"),
      Fit(name: "PV1", fit: "2 coupling", height: "4' 0 off first rough"),
    ], end: Valve()),"#,
    branches: r#"
    Branch(name: "bar sink arm", from: "PT1", end: Fixture(name: "bar sink")),"#,
    methods: &[("bar sink", Method::StackVent)],
    vents: &[("valve riser", &["bar sink"])],
    codes: I_CODES,
};

const PIECES: &[&Piece] = &[
    &BATH,
    &SINK,
    &LAUNDRY,
    &WET,
    &TWO_LEVELS,
    &BACK_TO_BACK,
    &WASTE_STACK,
    &SINGLE_STACK,
    &FLOOR_DRAIN,
    &TWO_DRAINS,
    &VALVE,
];

/// Fills in where a piece stands: `$X+36` is 36 in farther along.
fn placed_at(text: &str, x: u32) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find("$X") {
        out.push_str(&rest[..at]);
        rest = &rest[at + 2..];
        let more: String = rest
            .strip_prefix('+')
            .map(|r| r.chars().take_while(char::is_ascii_digit).collect())
            .unwrap_or_default();
        if !more.is_empty() {
            rest = &rest[more.len() + 1..];
        }
        out.push_str(&(x + more.parse::<u32>().unwrap_or(0)).to_string());
    }
    out + rest
}

/// A house with the pieces in it, side by side.
fn house(pieces: &[&Piece], code: &str) -> String {
    let all = |part: fn(&Piece) -> &'static str| -> String {
        pieces.iter().enumerate().map(|(i, p)| placed_at(part(p), 60 + 140 * i as u32)).collect()
    };
    let (fixtures, stacks, branches) = (all(|p| p.fixtures), all(|p| p.stacks), all(|p| p.branches));
    format!(
        r#"Job(
  name: "networks", code: "{code}",
  house: House(
    floors: [Floor(name: "first", datum: true), Floor(name: "second", rough: "9' 0")],
    walls: [
      Wall(name: "wet", floor: "first", from: ("0", "0"), to: ("150' 0", "0"), depth: "5 1/2", bearing: false, studs: ["0"]),
      Wall(name: "back", floor: "first", from: ("150' 0", "-5 1/2"), to: ("0", "-5 1/2"), depth: "3 1/2", bearing: false, studs: ["0"]),
      Wall(name: "wet above", floor: "second", from: ("0", "0"), to: ("150' 0", "0"), depth: "5 1/2", bearing: false, studs: ["0"]),
    ],
    roof: [RoofPlane(name: "roof", eave: (("-5' 0", "-10' 0"), ("155' 0", "-10' 0")), height: "17' 0 off first rough", pitch: "2 in per ft", run: "40' 0")],
  ),
  fixtures: [{fixtures}
  ],
  stacks: [{stacks}
  ],
  branches: [{branches}
  ],
)"#
    )
}

fn read(text: &str) -> Job {
    JobFile::read("networks.ron", text).unwrap_or_else(|faults| panic!("{faults}\n{text}")).job
}

fn profile(code: &str) -> Profile {
    Profile::builtin(code).expect("it comes with the tool")
}

/// The traps that are red for want of a vent, in either placement; nothing about arms may be told in their stead.
#[track_caller]
fn red(job: &Job) -> BTreeSet<String> {
    let catalog = Catalog::builtin();
    let rough_in = place(job, catalog).unwrap_or_else(|faults| panic!("{faults:?}"));
    let findings =
        check(job, &rough_in, catalog, &profile(job.code.as_str()), &[Placement::Drawn, Placement::Found]);
    let of = |f: &&truefall_check::Finding| f.rule == "trap-not-vented" && f.verdict == Verdict::RedTag;
    findings.iter().filter(of).map(|f| f.labels[0].to_string()).collect()
}

fn methods(job: &Job) -> Vec<(String, Option<Method>)> {
    let catalog = Catalog::builtin();
    let rough_in = place(job, catalog).unwrap_or_else(|faults| panic!("{faults:?}"));
    let profile = profile(job.code.as_str());
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

// A floor drain and two more are three traps at one vent; one vent serves two (IRC P3107.1).
#[test]
fn where_two_join_before_their_vent_the_upc_wants_it_at_the_joint() {
    assert_eq!(vented(&TWO_DRAINS, "irc-2021", "far drain", &[]), Some(Method::Common));
    assert_eq!(vented(&TWO_DRAINS, "upc-2021", "far drain", &[]), None);
}
