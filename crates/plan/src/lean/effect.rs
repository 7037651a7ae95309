//! What the lean does to one run that hangs on the stack: grade left, trap arm, where it lands, each with its error.

use crate::trial::Bench;
use nalgebra::Vector3;
use truefall_check::check::{Held, held};
use truefall_check::ctx::Ctx;
use truefall_check::facts::Facts;
use truefall_check::lean::position_error;
use truefall_check::vent::{Setting, Vents};
use truefall_check::{Finding, Limit, Verdict};
use truefall_model::job::{Job, Placement};
use truefall_model::label::Label;
use truefall_model::place::{RoughIn, Run};

/// A value held to a limit, as found.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// The value; its unit is that of the field it stands in.
    pub value: f64,
    /// Its standard error from the survey; none where the survey does not move it.
    pub error: Option<f64>,
    /// What it is held to; none where nothing limits it.
    pub limit: Option<Limit>,
    /// The verdict; a pass where it is within.
    pub verdict: Verdict,
}

impl Measured {
    fn of(finding: &Finding) -> Option<Self> {
        let Finding { error, limit, verdict, .. } = *finding;
        Some(Self { value: finding.measured?, error, limit, verdict })
    }

    /// How far inside its limit.
    pub fn margin(&self) -> Option<f64> {
        Some(self.limit?.margin(self.value))
    }
}

/// One run that hangs on the stack.
#[derive(Debug, Clone, PartialEq)]
pub struct Effect {
    /// The run.
    pub run: String,
    /// The fixture it ends at.
    pub fixture: Option<String>,
    /// Its first leg that has a grade: the parts at its ends.
    pub leg: String,
    /// How far that leg's heading is from where the stack leans to, 0 to 180 degrees.
    pub off_lean_deg: Option<f64>,
    /// Grade of that leg as drawn, in/ft.
    pub drawn: f64,
    /// The same as found, in/ft.
    pub found: f64,
    /// Standard error of `found`, in/ft.
    pub error: f64,
    /// The grade that is nearest to the code's least, of all legs of the run, in/ft.
    pub grade: Option<Measured>,
    /// Length of the trap arm, inches.
    pub arm: Option<Measured>,
    /// How far the trap arm falls to its vent, inches.
    pub arm_falls: Option<Measured>,
    /// How far the run lands from where its fixture needs it, inches.
    pub lands: Option<Measured>,
    /// The same along x, y and up.
    pub off: Option<[f64; 3]>,
    /// Standard error of each from the survey, inches.
    pub off_error: Option<[f64; 3]>,
}

impl Effect {
    /// Margin of the grade nearest to its limit, in/ft.
    pub fn grade_margin(&self) -> Option<f64> {
        self.grade.as_ref()?.margin()
    }
}

/// Of every run that hangs on a stack and has a leg with a grade, in the order placed.
pub(super) fn effects(bench: &Bench<'_>, job: &Job, rough_in: &RoughIn, stack: &Label) -> Vec<Effect> {
    let placed = &rough_in.found;
    let facts = [(Placement::Found, Facts::of(job, rough_in, bench.catalog, placed))];
    let (catalog, profile) = (bench.catalog, bench.profile);
    let setting = Setting { job, rough_in, catalog, profile, placed };
    let vents = Vents::of(&setting);
    let ctx =
        Ctx { job, rough_in, profile, catalog, placed, facts: &facts[0].1, vents: &vents, passes: false };
    let (mut told, passes) = held(&Held { job, rough_in, catalog, profile, facts: &facts, passes: true });
    told.extend(passes);
    let hangs = |run: &&Run| rough_in.stack_of(run.id).label == *stack && run.label != *stack;
    rough_in.runs.iter().filter(hangs).filter_map(|run| effect(&ctx, run, &told)).collect()
}

fn effect(ctx: &Ctx<'_>, run: &Run, told: &[Finding]) -> Option<Effect> {
    let (job, rough_in) = (ctx.job, ctx.rough_in);
    let fixture = run.fixture.map(|at| &job.fixtures[at].name);
    let graded = |leg: &&truefall_model::place::Leg| {
        leg.run == run.id && rough_in.grade(&rough_in.drawn, leg.id).is_some()
    };
    let leg = rough_in.legs.iter().find(graded)?;
    let name = |part| rough_in.part(part).label.to_string();
    let drawn = rough_in.grade(&rough_in.drawn, leg.id)?.to_per_foot();
    let found = rough_in.grade(&rough_in.found, leg.id)?.to_per_foot();
    let of = |rule: &'static str| {
        // A finding of a trap arm names its fixture and trap, not the run.
        let names = move |f: &Finding| {
            f.labels.contains(&run.label) || fixture.is_some_and(|n| f.labels.first() == Some(n))
        };
        let on_run = move |f: &&Finding| f.rule == rule && names(f);
        told.iter().filter(on_run)
    };
    let margin = |f: &&Finding| f.margin.unwrap_or(f64::INFINITY);
    let least = |rule| {
        let nearest = of(rule).min_by(|one, other| margin(one).total_cmp(&margin(other)));
        nearest.and_then(Measured::of)
    };
    let landing = rough_in.found.landings.iter().find(|landing| landing.run == run.id);
    let axis = rough_in.leg_axis(&rough_in.drawn, leg.id).xy();
    let lean = match &rough_in.stack_of(run.id).kind {
        truefall_model::place::RunKind::Stack { lean: Some(lean), .. } => lean.heading(),
        _ => None,
    };
    Some(Effect {
        run: run.label.to_string(),
        fixture: fixture.map(ToString::to_string),
        leg: match leg.high {
            Some(high) => format!("{} to {}", name(leg.low), name(high)),
            None => format!("{} to its end", name(leg.low)),
        },
        off_lean_deg: lean.map(|way| way.perp(&axis).abs().atan2(way.dot(&axis)).to_degrees()),
        drawn,
        found,
        error: rough_in.grade_error(leg.id).to_per_foot(),
        // What falls backwards is told by a rule of its own.
        grade: least("drain-too-flat").or_else(|| least("drain-falls-backwards")),
        arm: least("trap-arm-too-long"),
        arm_falls: least("trap-arm-falls-too-far"),
        lands: least("misfit-at-fixture"),
        off_error: landing.map(|l| {
            [Vector3::x(), Vector3::y(), Vector3::z()]
                .map(|axis| position_error(ctx, l.part, l.at, axis).to_inches())
        }),
        off: landing.map(|l| (l.at - l.wants).into()),
    })
}
