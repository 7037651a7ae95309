//! A port of a fitting that nothing closes.

use crate::ctx::Ctx;
use crate::cure::Cure;
use crate::finding::{Finding, Verdict};
use crate::rule::rule;
use truefall_model::catalog::pattern::PortEnd;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::pipes::{End, Fit, System};
use truefall_model::label::Label;
use truefall_model::place::{PartId, Run, RunKind};

rule! {
    /// # What it checks
    ///
    /// Each hub and spigot of a fitting is joined to something, plugged, or the end of a run that the job says what stands at.
    ///
    /// # Why
    ///
    /// Everything hangs on the sewer: an open port lets its gas into the house, and water out of it as soon as the pipe below
    /// runs full.
    ///
    /// # Source
    ///
    /// Our own rule: no code lets a drain or vent stand open indoors.
    ///
    /// # Limits
    ///
    /// A run that the job says is left open is taken at its word. The thread of a cleanout or test tee is taken to have its plug,
    /// a closet's ring its closet, a trap its fixture. Water pipe is not looked at.
    /// It has no quantity, so no pass is told.
    ///
    /// # Example
    ///
    /// The branch of a sanitary tee that no run leaves and no plug closes: tagged.
    "port-left-open", Network,
    House("sewer gas and waste come out of an open port"),
    "a port of a fitting is neither joined nor closed",
    figures: [],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let rough_in = ctx.rough_in;
    for run in &rough_in.runs {
        for (_, part) in &run.fits {
            if matches!(rough_in.system(*part), System::Cold | System::Hot) {
                continue;
            }
            for port in open_ports(ctx, run, *part) {
                out.push(tell(ctx, *part, port));
            }
        }
    }
}

fn tell(ctx: &Ctx<'_>, part: PartId, port: usize) -> Finding {
    let own = &ctx.rough_in.part(part).ports()[port];
    let name = ctx.label(part);
    let run = &ctx.rough_in.run(ctx.rough_in.part(part).run).label;
    let what = format!("{name}.{} is open: nothing is joined to it and no plug closes it", own.name);
    Finding::new(RULE.id, Verdict::RedTag, ctx.placement(), what, RULE.source())
        .on([name, run, &Label::new(format!("{name}.{}", own.name))])
        .at(ctx.placed.stop(ctx.rough_in, part, port))
        .line(format!("{} in, open", own.size))
        .help(format!("run a branch from {name}.{0}, or plug it: plugs: [\"{0}\"]", own.name))
        .cure(plug(ctx, part, &own.name))
}

/// The port plugged.
fn plug(ctx: &Ctx<'_>, part: PartId, port: &Label) -> Option<Cure> {
    let run = ctx.rough_in.run(ctx.rough_in.part(part).run);
    let fits: &[Fit] = match run.kind {
        RunKind::Stack { index, .. } => &ctx.job.stacks.get(index)?.up,
        RunKind::Branch { index, .. } => &ctx.job.branches.get(index)?.along,
    };
    let at = fits.iter().position(|fit| fit.name == *ctx.label(part))?;
    let mut fit = fits[at].clone();
    fit.plugs.push(port.clone());
    let words = format!("plug {}.{port}", fit.name);
    let change = Change::Replace { at, item: Box::new(fit) };
    Some(Cure { words, edits: vec![Edit::Fit { run: run.label.clone(), change }] })
}

/// The ports of a fitting that nothing is joined to and nothing closes.
fn open_ports(ctx: &Ctx<'_>, run: &Run, part: PartId) -> Vec<usize> {
    let rough_in = ctx.rough_in;
    let Some(pattern) = rough_in.part(part).pattern() else { return Vec::new() };
    let truefall_model::place::PartKind::Fitting { plugs, .. } = &rough_in.part(part).kind else {
        return Vec::new();
    };
    let joined: Vec<usize> = rough_in
        .joints
        .iter()
        .flat_map(|j| [j.low, j.high])
        .filter(|(joined, _)| *joined == part)
        .map(|(_, port)| port)
        .collect();
    // A branch with nothing on it closes the port it leaves, or leaves it open, as it says.
    let left_by = |port: usize| {
        let from = |r: &Run| matches!(r.kind, RunKind::Branch { from, .. } if from == (part, port));
        rough_in.runs.iter().any(from)
    };
    let takes_pipe = |port: &usize| matches!(pattern.ports[*port].end, PortEnd::Hub | PortEnd::Spigot);
    let mut open: Vec<usize> = (0..pattern.ports.len())
        .filter(|port| takes_pipe(port) && !joined.contains(port) && !plugs.contains(port) && !left_by(*port))
        .collect();
    // The run's own far end is closed, left open or served as the job says, right on its last fitting.
    let is_last = run.last_piece.is_none() && run.fits.last().is_some_and(|(_, last)| *last == part);
    if is_last && end_of(ctx, run).is_some_and(|end| !matches!(end, End::Tie { .. })) {
        let usual = pattern.leave.filter(|leave| open.contains(leave));
        let at = stated_leave(ctx, part).filter(|l| open.contains(l)).or(usual).or(open.first().copied());
        open.retain(|port| Some(*port) != at);
    }
    open
}

fn end_of<'c>(ctx: &Ctx<'c>, run: &Run) -> Option<&'c End> {
    match run.kind {
        RunKind::Stack { index, .. } => ctx.job.stacks.get(index).map(|s| &s.end),
        RunKind::Branch { index, .. } => ctx.job.branches.get(index).map(|b| &b.end),
    }
}

/// The port the job says a run goes on through.
fn stated_leave(ctx: &Ctx<'_>, part: PartId) -> Option<usize> {
    let name = ctx.label(part);
    let fits =
        ctx.job.stacks.iter().flat_map(|s| &s.up).chain(ctx.job.branches.iter().flat_map(|b| &b.along));
    let leave = fits.clone().find(|f| f.name == *name)?.leave.as_ref()?;
    ctx.rough_in.part(part).pattern()?.ports.iter().position(|p| p.name == *leave)
}
