//! Small rough-ins, each on its own stack, that are vented by every method codes name; put together they make networks.

use truefall_check::vent::Method;

/// A small rough-in on one stack: what it drains, its stacks and branches as text, `$X` its place along the wall.
pub struct Piece {
    /// What it is called.
    pub name: &'static str,
    /// Its fixtures.
    pub fixtures: &'static str,
    /// Its stacks.
    pub stacks: &'static str,
    /// Its branches.
    pub branches: &'static str,
    /// By which method each trap is vented.
    pub methods: &'static [(&'static str, Method)],
    /// Runs whose end is a vent, and the traps that hang on it.
    pub vents: &'static [(&'static str, &'static [&'static str])],
    /// The codes that allow all of it.
    pub codes: &'static [&'static str],
}

/// Codes that all allow.
pub const ALL_CODES: &[&str] = &["irc-2021", "ipc-2021", "upc-2021"];
/// The two codes that have most methods.
pub const I_CODES: &[&str] = &["irc-2021", "ipc-2021"];

/// A closet under a lavatory on one 3 in stack: the lavatory's drain wet-vents the closet (IRC P3108.1, IPC 912.1, UPC
/// 908.1: fixtures of 1 and 2 units above, 2 in and a size over the waste).
pub const BATH: Piece = Piece {
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
pub const SINK: Piece = Piece {
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
pub const LAUNDRY: Piece = Piece {
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
pub const WET: Piece = Piece {
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

/// Three floor drains on one lying 2 in branch with one dry vent between the two most upstream drains: circuit vent (IPC 914, IRC
/// P3110: up to eight; UPC 911 from memory). They are of no bath, so that no wet vent takes them.
pub const CIRCUIT: Piece = Piece {
    name: "circuit",
    fixtures: r#"
    Fixture(name: "circuit first", kind: floor_drain, floor: "first", at: ("$X+74", "0"), tolerance: "20"),
    Fixture(name: "circuit second", kind: floor_drain, floor: "first", at: ("$X+50", "12"), tolerance: "20"),
    Fixture(name: "circuit third", kind: floor_drain, floor: "first", at: ("$X+28", "12"), tolerance: "20"),"#,
    stacks: r#"
    Stack(name: "circuit stack", base: IronHub(size: "2", at: ("$X", "-2 3/4"), rim: "3' 0 below first rough"), up: [
      Fit(name: "KT1", fit: "2 sanitary tee", height: "14 below first rough"),
    ], end: Capped()),"#,
    branches: r#"
    Branch(name: "circuit drain", from: "KT1", along: [
      Fit(name: "KY1", fit: "2x2x2 wye", to: ("$X+18", "-2 3/4"), clock: "3:00"),
      Fit(name: "KY2", fit: "2x2x2 wye", to: ("$X+40", "-2 3/4"), clock: "3:00"),
      Fit(name: "KY3", fit: "2x2x2 wye", to: ("$X+56", "-2 3/4"), clock: "12"),
      Fit(name: "KP1", fit: "2 p-trap", level: "14", swing: "3"),
    ], end: Fixture(name: "circuit first")),
    Branch(name: "circuit vent", from: "KY3.branch", along: [
      Fit(name: "KB1", fit: "2 1/8 bend", level: "6", clock: "12"),
    ], end: Roof()),
    Branch(name: "circuit second arm", from: "KY2.branch", along: [Fit(name: "KP2", fit: "2 p-trap", level: "10", swing: "3")], end: Fixture(name: "circuit second")),
    Branch(name: "circuit third arm", from: "KY1.branch", along: [Fit(name: "KP3", fit: "2 p-trap", level: "10", swing: "3")], end: Fixture(name: "circuit third")),"#,
    methods: &[
        ("circuit first", Method::Individual),
        ("circuit second", Method::Circuit),
        ("circuit third", Method::Circuit),
    ],
    vents: &[("circuit vent", &["circuit first", "circuit second", "circuit third"])],
    codes: ALL_CODES,
};

/// A sink under a lavatory on one 2 in vertical: common vent at two levels, the upper of 1 unit (IRC P3107.3, IPC 911.3:
/// 2 in takes 4).
pub const TWO_LEVELS: Piece = Piece {
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
pub const BACK_TO_BACK: Piece = Piece {
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
pub const WASTE_STACK: Piece = Piece {
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
pub const SINGLE_STACK: Piece = Piece {
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
pub const FLOOR_DRAIN: Piece = Piece {
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
pub const TWO_DRAINS: Piece = Piece {
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
pub const VALVE: Piece = Piece {
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

/// All of them.
pub const PIECES: &[&Piece] = &[
    &BATH,
    &SINK,
    &LAUNDRY,
    &WET,
    &CIRCUIT,
    &TWO_LEVELS,
    &BACK_TO_BACK,
    &WASTE_STACK,
    &SINGLE_STACK,
    &FLOOR_DRAIN,
    &TWO_DRAINS,
    &VALVE,
];

/// Fills in where a piece stands: `$X+36` is 36 in farther along.
pub fn placed_at(text: &str, x: u32) -> String {
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
pub fn house(pieces: &[&Piece], code: &str) -> String {
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
