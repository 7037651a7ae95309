//! From answers to a job: the house, the old pipe, a tee for each fixture, simple branches, and what has to be provided.

use super::answers::Answers;
use super::read::{iron_size, split};
use crate::landing_height::settle_heights;
use truefall_check::fixes::{Bench, try_cures};
use truefall_check::{Profile, check};
use truefall_model::catalog::Catalog;
use truefall_model::document::Faults;
use truefall_model::framing::provided::Provided;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::file::JobFile;
use truefall_model::job::{Job, Placement};
use truefall_model::label::Label;
use truefall_model::place::{JobFault, place};
use truefall_model::units::Length;

/// The floor's outline goes so far beyond the room; what is measured off the corner is counted from there.
pub(super) const BESIDE_IN: f64 = 6.0;
const BEHIND_IN: f64 = 24.0;
/// From the joists' underside to the pipe under them, and from one tee to the next below. Room for hubs, of our own; the
/// hub of a 3 in tee stands out 1/4 in or so.
const UNDER_JOISTS_IN: f64 = 0.5;
const TEE_TO_TEE_IN: f64 = 7.5;
/// The same of 4 in tees, with a make-up piece of two 1-3/4 sockets between.
const TEE_TO_TEE_4_IN: f64 = 8.25;
/// The least from a rim to the centre of a tee with a make-up piece between.
const RIM_TO_TEE_IN: f64 = 4.75;
/// A lavatory this near the stack takes its arm straight out of the tee.
const STRAIGHT_OUT_IN: f64 = 7.0;
/// Plates and straps may shift what is looked at next; so many rounds provide them all.
const ROUNDS: usize = 4;

/// A job made of a survey.
#[derive(Debug, Clone)]
pub struct Surveyed {
    /// The job.
    pub job: Job,
    /// What was assumed or put in, a line each.
    pub told: Vec<String>,
}

/// Why answers make no job.
#[derive(Debug)]
pub enum NotMade {
    /// Answers that go against each other or leave no room, a line each.
    Answers(Vec<String>),
    /// What was written is no job, which is a fault of ours.
    Text(Faults),
    /// The job can't be placed.
    Placing(Vec<JobFault>),
}

/// Makes the job. All questions that are asked must be answered.
///
/// # Errors
/// Answers that go against each other; a job that can't be placed.
pub fn to_job(answers: &Answers, catalog: &Catalog) -> Result<Surveyed, NotMade> {
    let numbers = Numbers::of(answers).map_err(NotMade::Answers)?;
    let mut told: Vec<String> = answers
        .assumed()
        .into_iter()
        .map(|(q, usual)| format!("assumed: {}: {}", q.ask, usual.trim_end_matches(", assumed")))
        .collect();
    let text = text(answers, &numbers, &mut told);
    let mut job = JobFile::read("survey", &text).map_err(NotMade::Text)?.job;
    let stack = Label::new("S1");
    settle_heights(&mut job, catalog, &stack, Placement::Drawn).map_err(NotMade::Placing)?;
    provide(&mut job, catalog, &mut told);
    Ok(Surveyed { job, told })
}

/// What is reckoned with, in inches.
struct Numbers {
    size: String,
    wall_length: f64,
    room_depth: f64,
    wall_depth: f64,
    stack_along: f64,
    stack_back: f64,
    rim: f64,
    lavatory: f64,
    bath: Option<(f64, f64)>,
}

fn inches(answers: &Answers, key: &str) -> f64 {
    Length::parse(answers.value(key)).map_or(0.0, Length::to_inches)
}

impl Numbers {
    fn of(answers: &Answers) -> Result<Self, Vec<String>> {
        let n = |key| inches(answers, key);
        let mut wrong = Vec::new();
        let missing: Vec<&str> =
            answers.asked().filter(|q| !answers.answered(q.key)).map(|q| q.key).collect();
        if !missing.is_empty() {
            wrong.push(format!("not answered: {}", missing.join(", ")));
        }
        let size = iron_size(answers.value("iron-round")).map(|size| size.to_string());
        let wall_depth = n("wall-depth");
        let stack_back = if answers.given("stack-back") { n("stack-back") } else { wall_depth / 2.0 };
        let bath = (answers.value("bathing") != "none").then(|| (n("bath-along"), n("bath-out")));
        let numbers = Self {
            size: size.unwrap_or_default(),
            wall_length: n("wall-length"),
            room_depth: n("room-depth"),
            wall_depth,
            stack_along: n("stack-along"),
            stack_back,
            rim: -n("base-down"),
            lavatory: n("lavatory-along"),
            bath,
        };
        wrong.extend(answers.against().into_iter().map(|(key, why)| format!("{key}: {why}")));
        if wrong.is_empty() { Ok(numbers) } else { Err(wrong) }
    }

    /// Heights of the closet's and the bath's tee off the rough floor.
    fn tees(&self, answers: &Answers, told: &mut Vec<String>) -> (f64, Option<f64>) {
        let apart = if self.size == "4" { TEE_TO_TEE_4_IN } else { TEE_TO_TEE_IN };
        let under = inches(answers, "subfloor") + inches(answers, "joist-depth") + UNDER_JOISTS_IN;
        let rise = |along: f64, out: f64| (along - self.stack_along).hypot(out + self.stack_back) / 48.0;
        let sixteenth = |z: f64| (z * 16.0).floor() / 16.0;
        let closet_rise = rise(inches(answers, "closet-along"), inches(answers, "closet-out"));
        let closet_under = -(under + 2.0 + closet_rise);
        let bath = self.bath.map(|(along, out)| sixteenth(-(under + 1.25 + rise(along, out))));
        let mut closet = sixteenth(bath.map_or(closet_under, |bath| closet_under.min(bath - apart)));
        let mut bath = bath;
        if closet < self.rim + RIM_TO_TEE_IN {
            closet = sixteenth(self.rim + RIM_TO_TEE_IN + 0.0625);
            bath = bath.map(|bath| bath.max(closet + apart));
            told.push("the rim is too high for pipes under the joists: the tees stand as low as it lets them, among the joists".to_owned());
        }
        (closet, bath)
    }
}

/// Lengths of a list, moved by so much, as a RON list.
fn list(text: &str, by: f64) -> String {
    let moved = |one: &str| {
        let inches = Length::parse(one).map_or(0.0, Length::to_inches) + by;
        format!("\"{}\"", Length::inches(inches).exact())
    };
    format!("[{}]", split(text).into_iter().map(moved).collect::<Vec<_>>().join(", "))
}

fn layer(what: &str, thick: &str) -> String {
    match Length::parse(thick).map_or(0.0, Length::to_inches) {
        thick if thick > 0.0 => format!("[Layer(what: \"{what}\", thick: {thick})]"),
        _ => "[]".to_owned(),
    }
}

/// The job's text.
fn text(a: &Answers, n: &Numbers, told: &mut Vec<String>) -> String {
    let v = |key: &'static str| a.value(key);
    let given = |key: &str, field: &str| {
        if a.given(key) { format!("{field}: \"{}\", ", a.value(key)) } else { String::new() }
    };
    let (wide, deep, back) = (n.wall_length, n.room_depth, n.stack_back);
    let across = v("joists-run") == "across";
    let joists = match a.given("joist-edges") {
        true => format!(
            ", edges: {}",
            list(v("joist-edges"), if across { BESIDE_IN } else { BEHIND_IN + n.wall_depth })
        ),
        false => String::new(),
    };
    let studs = if a.given("stud-edges") {
        format!("studs: {}, ", list(v("stud-edges"), 0.0))
    } else {
        String::new()
    };
    let bearing = match v("wall-bearing") {
        "yes" => "bearing: true, ",
        "no" => "bearing: false, ",
        _ => "",
    };
    let (closet_z, bath_z) = n.tees(a, told);
    let eave = -(n.wall_depth + BEHIND_IN + 12.0);
    let pitch: f64 = v("roof-pitch").parse().unwrap_or(4.0);
    let eave_z = inches(a, "roof-over") - pitch * (-back - eave) / 12.0;
    let note = if told.is_empty() {
        String::new()
    } else {
        format!("note: \"{}\",", told.join("; ").replace('"', " in"))
    };
    let weather = [
        if a.given("design-temperature") {
            format!("design_temperature_f: {:?}, ", v("design-temperature").parse::<f64>().unwrap_or(0.0))
        } else {
            String::new()
        },
        given("snow", "snow_depth"),
    ]
    .concat();
    let size = &n.size;
    let base = match v("base") {
        "hub" => format!(
            "IronHub(size: \"{size}\", at: ({}, {}), rim: \"{} off first rough\", {})",
            n.stack_along,
            -back,
            n.rim,
            given("hub-depth", "depth")
        ),
        _ => format!(
            "CutPipe(size: \"{size}\", material: iron, at: ({}, {}), top: \"{} off first rough\", {})",
            n.stack_along,
            -back,
            n.rim,
            given("barrel-straight", "straight")
        ),
    };
    let lean = match a.given("string-heights") {
        true => {
            format!("lean: [{}, {}],", string(a, "far", "gaps-into-room"), string(a, "left", "gaps-to-left"))
        }
        false => String::new(),
    };
    let shower = v("bathing") == "shower";
    // No 4 in tee has a 1-1/2 in branch: a tub there gets a trap of 2, the lavatory's branch is bushed down.
    let bath_size = if shower || size == "4" { "2" } else { "1-1/2" };
    let coupling = if v("base") == "cut" {
        format!("Fit(name: \"C1\", fit: \"{size} transition coupling\"),")
    } else {
        String::new()
    };
    let bushed = size == "4";
    let lav_tee = format!("{size}x{size}x{} sanitary tee", if bushed { "2" } else { "1-1/2" });
    let lav_bushing = if bushed { "Fit(name: \"BU1\", fit: \"2x1-1/2 bushing\"), " } else { "" };
    let bath_tee = bath_z.map_or_else(String::new, |z| {
        format!("Fit(name: \"T2\", fit: \"{size}x{size}x{bath_size} sanitary tee\", height: \"{z} off first rough\"),")
    });
    let lav_z = inches(a, "floor-build-up")
        + if a.given("lavatory-height") { inches(a, "lavatory-height") } else { 18.0 };
    let lav_z = lav_z - (n.lavatory - n.stack_along).abs() / 48.0;
    let straight = (n.lavatory - n.stack_along).abs() < STRAIGHT_OUT_IN;
    let beside = (n.lavatory - n.stack_along).abs();
    if straight && beside > 0.5 {
        told.push(format!(
            "the lavatory is {} beside the stack, too near for a bend: its arm goes straight out; set it before the stack, or plan two bends",
            Length::inches(beside)
        ));
    }
    let bend = match straight {
        true => String::new(),
        false => format!(
            "Fit(name: \"B2\", fit: \"1-1/2 1/4 bend\", to: OffWall(wall: \"wet wall\", along: {}, out: {}, face: rough))",
            n.lavatory, -back
        ),
    };
    // What is next on its branch aims a tee, but not a bushing.
    let lav_clock = match (straight, bushed) {
        (true, _) => ", clock: \"12\"",
        (false, true) if n.lavatory < n.stack_along => ", clock: \"9\"",
        (false, true) => ", clock: \"3\"",
        (false, false) => "",
    };
    let kind = v("bathing");
    let bath_fixture = n.bath.map_or_else(String::new, |(along, out)| {
        format!("Fixture(name: \"{kind}\", kind: {kind}, floor: \"first\", at: OffWall(wall: \"wet wall\", along: {along}, out: {out}, face: rough)),")
    });
    let bath_branch = n.bath.map_or_else(String::new, |_| {
        format!("Branch(name: \"{kind} arm\", from: \"T2\", along: [Fit(name: \"P1\", fit: \"{bath_size} p-trap\")], end: Fixture(name: \"{kind}\")),")
    });
    let bath_hanger = n.bath.map_or_else(String::new, |_| format!("Hanger(on: \"{kind} arm\"), "));
    let closet_at = format!(
        "OffWall(wall: \"wet wall\", along: \"{}\", out: \"{}\")",
        v("closet-along"),
        v("closet-out")
    );
    let lav_outlet = if a.given("lavatory-height") {
        format!("outlet: \"{} off first finished\",", v("lavatory-height"))
    } else {
        String::new()
    };
    format!(
        r#"Job(
  name: "{name}", {note} code: "{code}",
  house: House(
    floors: [Floor(
      name: "first", datum: true, build_up: {build_up}, subfloor: "{subfloor}",
      outline: (({left}, {behind}), ({right}, {beyond})),
      joists: Joists(depth: "{joist_depth}", thick: "{joist_thick}", runs: {runs}{joists}),
    )],
    walls: [
      Wall(name: "wet wall", floor: "first", from: (0, 0), to: ({wide}, 0), height: "{height}", depth: "{wall_depth}", {studs}{bearing}finish: {finish}, finish_back: {finish_back}),
      Wall(name: "left wall", floor: "first", from: (0, {deep}), to: (0, 0)),
      Wall(name: "far wall", floor: "first", from: ({wide}, {deep}), to: (0, {deep})),
    ],
    roof: [RoofPlane(name: "roof", eave: (({left}, {eave}), ({right}, {eave})), height: "{eave_z} off first rough", pitch: "{pitch} in per ft", run: {run})],
    {weather}
  ),
  fixtures: [
    Fixture(name: "closet", kind: closet, floor: "first", wall: "wet wall", at: {closet_at}),
    Fixture(name: "lavatory", kind: lavatory, floor: "first", wall: "wet wall", at: OffWall(wall: "wet wall", along: {lavatory}, out: 0), {lav_outlet}),
    {bath_fixture}
  ],
  stacks: [Stack(
    name: "S1", base: {base}, {lean}
    up: [
      {coupling}
      Fit(name: "T1", fit: "{size}x{size}x3 sanitary tee", height: "{closet_z} off first rough"),
      {bath_tee}
      Fit(name: "T3", fit: "{lav_tee}", height: "{lav_z} off first rough"{lav_clock}),
    ],
    end: Roof(above: "{above}"),
  )],
  branches: [
    Branch(name: "closet arm", from: "T1", along: [
      Fit(name: "B1", fit: "3 1/4 bend", to: Under(fixture: "closet")), Fit(name: "F1", fit: "3 closet flange"),
    ], end: Fixture(name: "closet")),
    {bath_branch}
    Branch(name: "lavatory arm", from: "T3", along: [{lav_bushing}{bend}], end: Fixture(name: "lavatory")),
  ],
  provided: [Hanger(on: "S1"), Hanger(on: "closet arm"), {bath_hanger}Hanger(on: "lavatory arm")],
)"#,
        name = v("name"),
        code = v("code"),
        build_up = layer("floor build-up", v("floor-build-up")),
        subfloor = v("subfloor"),
        left = -BESIDE_IN,
        behind = -(BEHIND_IN + n.wall_depth),
        right = wide + BESIDE_IN,
        beyond = deep + BESIDE_IN,
        joist_depth = v("joist-depth"),
        joist_thick = v("joist-thick"),
        runs = if across { "y" } else { "x" },
        height = v("wall-height"),
        wall_depth = v("wall-depth"),
        finish = layer("wall finish", v("wall-finish")),
        finish_back = layer("wall finish", v("wall-finish-back")),
        run = deep + n.wall_depth + 2.0 * BEHIND_IN,
        lavatory = n.lavatory,
        above = v("above-roof"),
    )
    // A list of RON takes no comma without a value before it.
    .replace(", ,", ",")
    .replace(",,", ",")
    .replace(", )", ")")
}

fn string(a: &Answers, wall: &str, key: &str) -> String {
    let gaps = split(a.value("string-heights")).into_iter().zip(split(a.value(key)));
    let gaps: Vec<String> = gaps.map(|(up, gap)| format!("Gap(up: \"{up}\", gap: \"{gap}\")")).collect();
    format!("PlumbString(toward: \"{wall} wall\", gaps: [{}])", gaps.join(", "))
}

/// Provides the plates, straps and the like that mend a finding and break nothing; told one by one.
fn provide(job: &mut Job, catalog: &Catalog, told: &mut Vec<String>) {
    let Some(profile) = Profile::builtin(job.code.as_str()) else { return };
    for _ in 0..ROUNDS {
        let Ok(rough_in) = place(job, catalog) else { return };
        let mut findings = check(job, &rough_in, catalog, &profile, Placement::ALL);
        try_cures(&Bench { job, catalog, profile: &profile, placements: Placement::ALL }, &mut findings);
        let mut more: Vec<(String, Provided)> = Vec::new();
        for fix in
            findings.iter().filter_map(|finding| finding.fix.as_ref()).filter(|fix| fix.breaks.is_empty())
        {
            for edit in &fix.edits {
                if let Edit::Provided(Change::Insert { item, .. }) = edit
                    && !job.provided.contains(item)
                    && !more.iter().any(|(_, known)| known == &**item)
                {
                    more.push((fix.words.clone(), (**item).clone()));
                }
            }
        }
        if more.is_empty() {
            return;
        }
        for (words, item) in more {
            let line = format!("to be provided: {words}");
            if !told.contains(&line) {
                told.push(line);
            }
            job.provided.push(item);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::questions::{QUESTIONS, Takes};
    use super::*;

    #[test]
    fn every_question_has_its_own_name_and_there_are_as_many_as_one_takes_on_site() {
        let mut keys: Vec<&str> = QUESTIONS.iter().map(|q| q.key).collect();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), QUESTIONS.len());
        assert!((30..=40).contains(&keys.len()), "{}", keys.len());
        let refers = QUESTIONS.iter().filter_map(|q| match q.takes {
            Takes::AsManyAs(key, ..) => Some(key),
            _ => None,
        });
        assert!(refers.into_iter().all(|key| keys.contains(&key)));
    }

    // ASTM A74 service weight: 3 in is 3.30 outside, 4 in 4.30 (from memory); pi times that is 10.37 and 13.51. Extra heavy
    // is 3.50 and 4.50.
    #[test]
    fn a_tape_round_the_barrel_tells_its_size() {
        for (round, size) in [("10 3/8", "3"), ("11", "3"), ("13 1/2", "4"), ("14 1/8", "4")] {
            assert_eq!(iron_size(round).unwrap().to_string(), size, "{round}");
        }
        for round in ["7 1/4", "12", "20", "round"] {
            assert!(iron_size(round).is_err(), "{round}");
        }
    }
}
