//! The plan of leaning stacks laid out once: for the text and for the JSON alike. Remedies are numbered through all stacks,
//! from 1; `--take` names that number.

use serde::Serialize;
use truefall_check::Limit;
use truefall_model::job::Job;
use truefall_plan::lean::{Asked, Effect, Measured, Refusal, Remedy, StackLean};

/// What nobody can tell from the survey, said with every plan.
pub const NOT_KNOWN: &[&str] = &[
    "no code and no pipe standard that we know gives a greatest lean for a drain pipe; what is held to limits here is what the \
     lean does to grades, trap arms and landings",
    "the survey tells the stretch of pipe that was read, taken as straight; what the iron does below it is not known",
    "most angles that joints may stand at are policy from memory, below what the standards are remembered to allow: the \
     maker's sheet decides",
    "how far old pipe can be drawn over without breaking a joint below is not worked out: draw over new pipe, not old iron",
];

/// The whole plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeanPlan {
    /// Version of the layout.
    pub schema: u32,
    /// What the job is called.
    pub job: String,
    /// Stack by stack, in the job's order.
    pub stacks: Vec<StackRow>,
    /// What is not known.
    pub not_known: &'static [&'static str],
}

/// One stack.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StackRow {
    /// Its name.
    pub stack: String,
    /// Whether its lean was read.
    pub surveyed: bool,
    /// Inches sideways per foot of height.
    pub in_per_ft: Option<f64>,
    /// Standard error of it.
    pub error: Option<f64>,
    /// The same as an angle.
    pub lean_deg: Option<f64>,
    /// Where its top leans to.
    pub clock: Option<String>,
    /// The wall there.
    pub wall: Option<String>,
    /// Whether the lean is twice its error or more.
    pub told: Option<bool>,
    /// What hangs on it, as the job stands.
    pub effects: Vec<EffectRow>,
    /// What helps, best first.
    pub remedies: Vec<RemedyRow>,
    /// What is not proposed.
    pub refused: Vec<RefusedRow>,
}

/// What the lean does to a run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EffectRow {
    /// The run.
    pub run: String,
    /// The fixture at its end.
    pub fixture: Option<String>,
    /// The leg whose grades follow.
    pub leg: String,
    /// From where the stack leans to, to the leg's heading.
    pub off_lean_deg: Option<f64>,
    /// Grade as drawn, in/ft.
    pub drawn: f64,
    /// Grade as found, in/ft.
    pub found: f64,
    /// Standard error of `found`.
    pub error: f64,
    /// The grade nearest to the code's least.
    pub grade: Option<MeasuredRow>,
    /// The trap arm's length, inches.
    pub arm: Option<MeasuredRow>,
    /// How far the trap arm falls to its vent, inches.
    pub arm_falls: Option<MeasuredRow>,
    /// The landing, inches off.
    pub lands: Option<MeasuredRow>,
    /// The same along x, y and up.
    pub off: Option<[f64; 3]>,
    /// Standard error of each.
    pub off_error: Option<[f64; 3]>,
}

/// A value held to a limit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasuredRow {
    /// The value.
    pub value: f64,
    /// Its standard error.
    pub error: Option<f64>,
    /// The least it may be.
    pub least: Option<f64>,
    /// The most it may be.
    pub most: Option<f64>,
    /// How far inside; below zero over.
    pub margin: Option<f64>,
    /// The verdict's word.
    pub verdict: String,
}

/// A remedy that was tried.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RemedyRow {
    /// What `--take` names it by.
    pub number: usize,
    /// What sort.
    pub kind: &'static str,
    /// What one does.
    pub what: String,
    /// The numbers of it.
    pub lines: Vec<String>,
    /// What it asks of a joint.
    pub joint: Option<JointRow>,
    /// Joints more than now.
    pub joints: i64,
    /// Pieces more than now.
    pub pieces: i64,
    /// Red tags as found before.
    pub red_before: usize,
    /// Red tags as found after.
    pub red_after: usize,
    /// The findings that go, first lines.
    pub mends: Vec<String>,
    /// The findings that come, first lines; none of them red.
    pub brings: Vec<String>,
    /// The run whose grade is nearest to its limit, and that margin, in/ft.
    pub least_grade: Option<(String, f64)>,
    /// The run whose landing is nearest to its tolerance, and that margin, inches.
    pub least_landing: Option<(String, f64)>,
    /// It is judged as found only.
    pub on_found: bool,
}

/// What is asked of a joint.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JointRow {
    /// The parts it joins.
    pub between: String,
    /// How it is made.
    pub kind: String,
    /// The angle it would stand at.
    pub asks_deg: f64,
    /// The angle it may stand at.
    pub limit_deg: f64,
}

/// A remedy that is not proposed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RefusedRow {
    /// What sort.
    pub kind: &'static str,
    /// What one would do.
    pub what: String,
    /// What it would ask of a joint.
    pub joint: Option<JointRow>,
    /// Why not.
    pub why: String,
}

impl LeanPlan {
    /// Lays the plans of a job's stacks out.
    pub fn of(job: &Job, stacks: &[StackLean]) -> Self {
        let mut number = 0;
        let stacks = stacks.iter().map(|stack| stack_row(stack, &mut number)).collect();
        Self { schema: crate::report::SCHEMA, job: job.name.clone(), stacks, not_known: NOT_KNOWN }
    }

    /// The plan as indented JSON with a line feed at its end.
    ///
    /// # Errors
    /// Only what `serde_json` itself reports.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(self).map(|text| text + "\n")
    }
}

fn stack_row(stack: &StackLean, number: &mut usize) -> StackRow {
    let lean = stack.leaning.as_ref();
    let mut remedy_row = |remedy: &Remedy| {
        *number += 1;
        remedy_row(remedy, *number)
    };
    StackRow {
        stack: stack.stack.to_string(),
        surveyed: stack.surveyed,
        in_per_ft: lean.map(|l| l.in_per_ft),
        error: lean.map(|l| l.error),
        lean_deg: lean.map(|l| l.angle.to_degrees()),
        clock: lean.map(|l| l.clock.to_string()),
        wall: lean.and_then(|l| l.wall.as_ref()).map(ToString::to_string),
        told: lean.map(|l| l.told()),
        effects: stack.effects.iter().map(effect_row).collect(),
        remedies: stack.remedies.iter().map(&mut remedy_row).collect(),
        refused: stack.refused.iter().map(refused_row).collect(),
    }
}

fn effect_row(effect: &Effect) -> EffectRow {
    EffectRow {
        run: effect.run.clone(),
        fixture: effect.fixture.clone(),
        leg: effect.leg.clone(),
        off_lean_deg: effect.off_lean_deg,
        drawn: effect.drawn,
        found: effect.found,
        error: effect.error,
        grade: effect.grade.as_ref().map(measured_row),
        arm: effect.arm.as_ref().map(measured_row),
        arm_falls: effect.arm_falls.as_ref().map(measured_row),
        lands: effect.lands.as_ref().map(measured_row),
        off: effect.off,
        off_error: effect.off_error,
    }
}

fn measured_row(measured: &Measured) -> MeasuredRow {
    let (least, most) = match measured.limit {
        Some(Limit::AtLeast(least)) => (Some(least), None),
        Some(Limit::AtMost(most)) => (None, Some(most)),
        Some(Limit::Between(least, most)) => (Some(least), Some(most)),
        None => (None, None),
    };
    MeasuredRow {
        value: measured.value,
        error: measured.error,
        least,
        most,
        margin: measured.margin(),
        verdict: measured.verdict.to_string(),
    }
}

fn remedy_row(remedy: &Remedy, number: usize) -> RemedyRow {
    let first_lines =
        |findings: &[truefall_check::Finding]| findings.iter().map(ToString::to_string).collect();
    let owned = |nearest: Option<(&str, f64)>| nearest.map(|(run, margin)| (run.to_owned(), margin));
    RemedyRow {
        number,
        kind: remedy.kind.word(),
        what: remedy.words.clone(),
        lines: remedy.lines.clone(),
        joint: remedy.asked.as_ref().map(joint_row),
        joints: remedy.joints,
        pieces: remedy.pieces,
        red_before: remedy.red[0],
        red_after: remedy.red[1],
        mends: first_lines(&remedy.trial.mends),
        brings: remedy.brings().map(ToString::to_string).collect(),
        least_grade: owned(remedy.least_grade()),
        least_landing: owned(remedy.least_landing()),
        on_found: remedy.on_found,
    }
}

fn joint_row(asked: &Asked) -> JointRow {
    JointRow {
        between: asked.between.clone(),
        kind: asked.kind.to_string(),
        asks_deg: asked.asks.to_degrees(),
        limit_deg: asked.limit.to_degrees(),
    }
}

fn refused_row(refusal: &Refusal) -> RefusedRow {
    RefusedRow {
        kind: refusal.kind.word(),
        what: refusal.words.clone(),
        joint: refusal.asked.as_ref().map(joint_row),
        why: refusal.why.clone(),
    }
}
