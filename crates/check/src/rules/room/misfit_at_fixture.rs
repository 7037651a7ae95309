//! A pipe end that lands beside where its fixture needs it.

use crate::bore::telling::over;
use crate::ctx::Ctx;
use crate::cure::{Cure, plumb_at_base, sixteenths};
use crate::finding::{Finding, Limit, Verdict};
use crate::lean::position_error;
use crate::rule::rule;
use nalgebra::Vector3;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::fixture::Fixture;
use truefall_model::label::Label;
use truefall_model::place::{Landing, RunKind};
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// Where each run's end comes out, as the rigid parts make it, is within the fixture's tolerance of where the fixture
    /// needs it: a stub at the finished wall, a flange's ring, a trap's inlet, a standpipe's rim.
    ///
    /// # Why
    ///
    /// After the walls close a trap that does not reach or a flange off its bolts means opening them again.
    ///
    /// # Source
    ///
    /// Our own rule; the tolerance is the job's for the fixture, or the catalog's usual one for its kind.
    ///
    /// # Limits
    ///
    /// A height that is cut to suit at finish is not held against the run, nor is how far a stub stands out. Where the
    /// fixture's own figures were assumed the sum says so: read the fixture's sheet. A misfit over the tolerance by less
    /// than the survey's error is a question.
    ///
    /// # Example
    ///
    /// A stub lands 1-1/8 in above the sink's outlet and 1/4 in left of it; the trap takes up 1/2 in: tagged.
    "misfit-at-fixture", Room,
    House("the fixture decides where its drain has to be"),
    "a pipe end lands beside where its fixture needs it",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for (index, fixture) in ctx.job.fixtures.iter().enumerate() {
        match ctx.placed.landings.iter().find(|l| l.fixture == index) {
            Some(landing) => out.extend(judge(ctx, fixture, landing)),
            None => out.push(not_landed(ctx, index, &fixture.name)),
        }
    }
}

fn not_landed(ctx: &Ctx<'_>, index: usize, name: &Label) -> Finding {
    let run = ctx.rough_in.runs.iter().find(|run| run.fixture == Some(index));
    let what = match run {
        Some(run) => format!("where {} lands for {name} could not be told", run.label),
        None => format!("nothing drains {name}: no run ends at it"),
    };
    Finding::new(RULE.id, Verdict::NotChecked, ctx.placement(), what, RULE.source()).on([name])
}

fn judge(ctx: &Ctx<'_>, fixture: &Fixture, landing: &Landing) -> Option<Finding> {
    let off = landing.at - landing.wants;
    let (misfit, tolerance) = (landing.misfit(), landing.tolerance);
    let along = off.try_normalize(1e-9).unwrap_or_else(Vector3::z);
    let error = position_error(ctx, landing.part, landing.at, along);
    let limit = Limit::AtMost(tolerance.to_inches());
    let verdict = ctx.verdict(limit.margin(misfit.to_inches()), error.to_inches())?;
    let run = ctx.rough_in.run(landing.run);
    let where_to = words(ctx, fixture, off);
    let doubt = match verdict {
        Verdict::Ask => format!(" ± {error}, too near to tell"),
        _ => String::new(),
    };
    let what = format!(
        "{} lands {} of where {} needs it: {misfit} off{doubt}, at most {tolerance}",
        run.label, where_to, fixture.name
    );
    let mut labels = vec![&fixture.name, &run.label];
    if let RunKind::Branch { .. } = run.kind {
        labels.push(&ctx.rough_in.stack_of(run.id).label);
    }
    let mut finding = Finding::new(RULE.id, verdict, ctx.placement(), what, RULE.source())
        .on(labels)
        .at(landing.at)
        .measured(misfit.to_inches(), limit, "in")
        .known_to(error.to_inches())
        .line(point_line("lands at", landing.at))
        .line(point_line("needed at", landing.wants))
        .line(format!("off by {:.3}, {:.3}, {:.3}: {:.3} in", off.x, off.y, off.z, misfit.to_inches()))
        .line(format!(
            "{:.3} in, at most {:.3}: {}",
            misfit.to_inches(),
            tolerance.to_inches(),
            over(misfit - tolerance)
        ));
    if landing.assumed {
        finding =
            finding.line(format!("some figures of {} are assumed by its kind, not measured", fixture.name));
    }
    let back = words(ctx, fixture, -off);
    let help = match landing.assumed {
        true => format!("move its end {back}; read the fixture's own sheet first"),
        false => format!("move its end {back}"),
    };
    Some(finding.help(help).cure(move_tee(ctx, landing, -off.z)).cure(plumb_at_base(ctx, run.id)))
}

/// The stack's fitting that the run leaves, moved up or down by what the end is off, where the job says its height.
fn move_tee(ctx: &Ctx<'_>, landing: &Landing, up: f64) -> Option<Cure> {
    let rough_in = ctx.rough_in;
    let RunKind::Branch { from: (tee, _), .. } = rough_in.run(landing.run).kind else { return None };
    let stack = rough_in.run(rough_in.part(tee).run);
    let fits = match stack.kind {
        RunKind::Stack { index, .. } => &ctx.job.stacks.get(index)?.up,
        RunKind::Branch { .. } => return None,
    };
    let at = fits.iter().position(|fit| fit.name == *ctx.label(tee))?;
    let mut fit = fits[at].clone();
    let height = fit.height.as_mut()?;
    let by = sixteenths(up);
    if by == Length::ZERO {
        return None;
    }
    height.off += by;
    let way = if up > 0.0 { "raise" } else { "lower" };
    let words = format!("{way} {} on {} by {}, to {height}", fit.name, stack.label, by.abs());
    let change = Change::Replace { at, item: Box::new(fit) };
    Some(Cure { words, edits: vec![Edit::Fit { run: stack.label.clone(), change }] })
}

fn point_line(what: &str, p: nalgebra::Point3<f64>) -> String {
    format!("{what} x {:.3}, y {:.3}, z {:.3} in", p.x, p.y, p.z)
}

/// An offset in words: along the fixture's wall, as one faces it, and out of it; or over the plan; and up. Parts that do not show at
/// 1/16 in are left out unless all are.
fn words(ctx: &Ctx<'_>, fixture: &Fixture, off: Vector3<f64>) -> String {
    let wall = fixture.wall.as_ref().and_then(|w| ctx.rough_in.framed.wall(w));
    let parts = match wall {
        Some(wall) => {
            let level = off.xy();
            // Facing the wall from the room, its line runs from right to left.
            [
                (level.dot(&wall.along), "left", "right"),
                (level.dot(&wall.into_room), "out", "back"),
                (off.z, "up", "down"),
            ]
        }
        None => [(off.x, "right", "left"), (off.y, "up the plan", "down the plan"), (off.z, "up", "down")],
    };
    let shown: Vec<String> = parts
        .iter()
        .filter(|(by, _, _)| by.abs() >= 1.0 / 32.0)
        .map(|(by, more, less)| {
            format!("{} {}", Length::inches(by.abs()), if *by > 0.0 { more } else { less })
        })
        .collect();
    match shown.as_slice() {
        [] => format!("{:.3} in", off.norm()),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
