//! The questions, in the order one walks the house.

use super::answers::Answers;

/// What an answer must be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Takes {
    /// Any words.
    Words,
    /// A length, from and to so many inches.
    Length(f64, f64),
    /// Lengths that rise, as a running tape reads them; at least so many, from and to so many inches.
    Tape(usize, f64, f64),
    /// Lengths, as many as the question of that key has, from and to so many inches.
    AsManyAs(&'static str, f64, f64),
    /// One of these words.
    OneOf(&'static [&'static str]),
    /// A number, from and to.
    Number(f64, f64),
    /// The way round an iron barrel; it tells the nominal size, 3 or 4 in.
    Round,
}

/// What is taken where nobody measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Usual {
    /// It has to be measured.
    None,
    /// This answer, told as assumed.
    Is(&'static str),
    /// It is left out of the job, which then takes its own usual figure or says that it is not known; in words.
    LeftOut(&'static str),
}

/// One question.
#[derive(Debug, Clone, Copy)]
pub struct Question {
    /// The name it has in a file of answers.
    pub key: &'static str,
    /// Where one stands when it is asked.
    pub place: &'static str,
    /// What is asked.
    pub ask: &'static str,
    /// How it is measured.
    pub help: &'static str,
    /// What the answer must be.
    pub takes: Takes,
    /// What is taken without one.
    pub usual: Usual,
    /// Whether it is asked, by what was answered before.
    pub when: fn(&Answers) -> bool,
}

fn always(_: &Answers) -> bool {
    true
}

fn on_hub(answers: &Answers) -> bool {
    answers.value("base") == "hub"
}

fn on_cut(answers: &Answers) -> bool {
    !on_hub(answers)
}

fn strings(answers: &Answers) -> bool {
    answers.given("string-heights")
}

fn bathing(answers: &Answers) -> bool {
    answers.value("bathing") != "none"
}

const fn q(
    place: &'static str,
    key: &'static str,
    ask: &'static str,
    help: &'static str,
    takes: Takes,
    usual: Usual,
) -> Question {
    Question { key, place, ask, help, takes, usual, when: always }
}

const fn q_if(question: Question, when: fn(&Answers) -> bool) -> Question {
    Question { when, ..question }
}

use Takes::{AsManyAs, Length, Number, OneOf, Round, Tape, Words};
use Usual::{Is, LeftOut, None};

const HOUSE: &str = "The house";
const FLOOR: &str = "The floor";
const WALL: &str = "The wet wall";
const PIPE: &str = "The old pipe";
const LEAN: &str = "Its lean: a plumb string beside the barrel";
const FIXTURES: &str = "The fixtures";
const ROOF: &str = "Roof and weather";

/// All questions.
pub static QUESTIONS: &[Question] = &[
    q(HOUSE, "name", "what the job is called", "a street, a number: it heads every sheet", Words, None),
    q(
        HOUSE,
        "code",
        "the code it is held to",
        "ask the local office",
        OneOf(&["irc-2021", "ipc-2021", "upc-2021"]),
        Is("irc-2021"),
    ),
    q(
        FLOOR,
        "floor-build-up",
        "what will lie on the subfloor, thick in all",
        "board, mortar and tile together",
        Length(0.0, 6.0),
        Is("7/8"),
    ),
    q(FLOOR, "subfloor", "subfloor, thick", "read it at a hole", Length(0.25, 4.0), Is("3/4")),
    q(
        FLOOR,
        "joists-run",
        "joists run across (square to the wet wall) or along it",
        "look from below; a slab has none: a house on one is written in the job file by hand (docs/job-file.md)",
        OneOf(&["across", "along"]),
        Is("across"),
    ),
    q(
        FLOOR,
        "joist-depth",
        "joist, deep",
        "true depth, not the nominal size",
        Length(3.0, 24.0),
        Is("7 1/4"),
    ),
    q(FLOOR, "joist-thick", "joist, thick", "true thickness", Length(1.0, 6.0), Is("1 1/2")),
    q(
        FLOOR,
        "joist-edges",
        "running tape, near edge of each joist from the corner",
        "hook the tape at the corner of the bare studs once; do not add up spacings. Commas between: 4, 20, 35 1/2",
        Tape(2, 0.0, 720.0),
        LeftOut("16 in on centre, assumed"),
    ),
    q(
        WALL,
        "wall-length",
        "wet wall, long, bare studs to bare studs",
        "the wall the pipes go in",
        Length(36.0, 480.0),
        None,
    ),
    q(
        WALL,
        "room-depth",
        "room, deep, from the wet wall's bare studs",
        "to the bare studs of the wall across",
        Length(36.0, 480.0),
        None,
    ),
    q(WALL, "wall-depth", "its studs, deep", "true depth across the wall", Length(2.5, 12.0), Is("3 1/2")),
    q(
        WALL,
        "stud-edges",
        "running tape, near edge of each stud from the corner",
        "the one in the corner is 0. Commas between: 0, 16, 31 1/2",
        Tape(2, 0.0, 480.0),
        LeftOut("16 in on centre, assumed"),
    ),
    q(
        WALL,
        "wall-bearing",
        "it carries load: yes, no or unknown",
        "unknown is taken as bearing",
        OneOf(&["yes", "no", "unknown"]),
        Is("unknown"),
    ),
    q(
        WALL,
        "wall-finish",
        "what will cover its room side, thick",
        "board and tile together",
        Length(0.0, 4.0),
        Is("1/2"),
    ),
    q(
        WALL,
        "wall-finish-back",
        "what covers its back, thick",
        "plaster and lath are about 7/8",
        Length(0.0, 4.0),
        Is("1/2"),
    ),
    q(
        WALL,
        "wall-height",
        "top of its plates over the rough floor",
        "three plates and a stud",
        Length(72.0, 180.0),
        Is("97 1/8"),
    ),
    q(
        PIPE,
        "base",
        "the new stack stands on an iron hub or a cut iron pipe",
        "hub: open upwards; cut: it takes a coupling",
        OneOf(&["hub", "cut"]),
        Is("hub"),
    ),
    q(
        PIPE,
        "iron-round",
        "the barrel, round: a string or tape once about it",
        "on the barrel, never the hub; 3 in iron is about 10 3/8, 4 in about 13 1/2",
        Round,
        None,
    ),
    q(
        PIPE,
        "stack-along",
        "its centre along the wet wall from the corner",
        "at the rim or cut",
        Length(0.0, 480.0),
        None,
    ),
    q(
        PIPE,
        "stack-back",
        "its centre behind the bare stud face",
        "into the wall",
        Length(0.0, 24.0),
        LeftOut("the middle of the studs, assumed"),
    ),
    q(
        PIPE,
        "base-down",
        "its rim or cut below the rough floor",
        "a level and a tape from the subfloor",
        Length(4.0, 180.0),
        None,
    ),
    q_if(
        q(
            PIPE,
            "hub-depth",
            "the hub, deep, rim to stop",
            "a rule down the hub",
            Length(1.0, 6.0),
            LeftOut("the usual depth for the size, assumed"),
        ),
        on_hub,
    ),
    q_if(
        q(
            PIPE,
            "barrel-straight",
            "straight barrel from the cut down",
            "to the next hub or fitting",
            Length(0.0, 120.0),
            LeftOut("not measured; the check asks for it"),
        ),
        on_cut,
    ),
    q(
        LEAN,
        "string-heights",
        "heights at which you read the gaps, up from any mark",
        "two or more, three are better: 0, 12, 24. The string must not move between",
        Tape(2, 0.0, 240.0),
        LeftOut("not read; the check asks for it"),
    ),
    q_if(
        q(
            LEAN,
            "gaps-into-room",
            "string hung on the room's side: gap at each height",
            "string to a flat held across the barrel",
            AsManyAs("string-heights", 0.0, 48.0),
            None,
        ),
        strings,
    ),
    q_if(
        q(
            LEAN,
            "gaps-to-left",
            "string hung on the left, along the wall: gap at each height",
            "the left as you face the plan: towards the corner",
            AsManyAs("string-heights", 0.0, 48.0),
            None,
        ),
        strings,
    ),
    q(
        FIXTURES,
        "closet-along",
        "closet, centre from the corner",
        "along the wet wall",
        Length(0.0, 480.0),
        None,
    ),
    q(
        FIXTURES,
        "closet-out",
        "closet, centre off the finished wet wall",
        "12 in is usual; read its sheet",
        Length(8.0, 48.0),
        Is("12"),
    ),
    q(
        FIXTURES,
        "lavatory-along",
        "lavatory, drain from the corner",
        "along the wet wall",
        Length(0.0, 480.0),
        None,
    ),
    q(
        FIXTURES,
        "lavatory-height",
        "lavatory, drain over the finished floor",
        "its sheet",
        Length(8.0, 40.0),
        LeftOut("the usual height, assumed"),
    ),
    q(
        FIXTURES,
        "bathing",
        "tub, shower or none",
        "one of them",
        OneOf(&["tub", "shower", "none"]),
        Is("tub"),
    ),
    q_if(
        q(
            FIXTURES,
            "bath-along",
            "its drain from the corner",
            "along the wet wall",
            Length(0.0, 480.0),
            None,
        ),
        bathing,
    ),
    q_if(
        q(
            FIXTURES,
            "bath-out",
            "its drain off the bare studs of the wet wall",
            "into the room",
            Length(2.0, 480.0),
            None,
        ),
        bathing,
    ),
    q(
        ROOF,
        "roof-over",
        "roof's outer surface over the rough floor, above the stack",
        "add storey, joists and rafters",
        Length(80.0, 720.0),
        None,
    ),
    q(
        ROOF,
        "roof-pitch",
        "roof, inches up per foot",
        "it is taken to rise from the wet wall into the room",
        Number(0.0, 24.0),
        Is("4"),
    ),
    q(
        ROOF,
        "above-roof",
        "vent, over the roof",
        "ask the local office; snow may want more",
        Length(6.0, 120.0),
        Is("12"),
    ),
    q(
        ROOF,
        "design-temperature",
        "winter design temperature, degrees F",
        "ask the local office",
        Number(-60.0, 90.0),
        LeftOut("not told"),
    ),
    q(
        ROOF,
        "snow",
        "snow on the roof, deep",
        "ask the local office",
        Length(0.0, 240.0),
        LeftOut("not told"),
    ),
];
