//! A branch run in larger pipe: its fittings, and the branch of the fitting it leaves.

use super::Cure;
use super::fit::Listed;
use crate::ctx::Ctx;
use truefall_model::catalog::family::Family;
use truefall_model::catalog::name::FittingName;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::pipes::Fit;
use truefall_model::label::Label;
use truefall_model::place::{RunId, RunKind};
use truefall_model::units::NominalSize;

/// A branch in pipe of a size from the fitting it leaves to its end, a trap's own size kept behind a reducer. None for a
/// stack, whose base is what it is, and where the catalog lacks a fitting for it.
pub fn larger(ctx: &Ctx<'_>, run: RunId, size: NominalSize) -> Option<Cure> {
    let run = ctx.rough_in.run(run);
    let RunKind::Branch { from: (parent, port), .. } = run.kind else { return None };
    let mut edits = Vec::new();
    if ctx.rough_in.part(parent).ports()[port].size < size {
        let listed = Listed::of(ctx, parent)?;
        // Ports stand in the order of the sizes in a name: run, run, branches.
        edits.push(
            listed.replaced(Fit { fit: sized(ctx, listed.fit, port..port + 1, size)?, ..listed.fit.clone() }),
        );
    }
    let mut added = 0;
    for (i, fit) in ctx.job.fits(&run.label)?.iter().enumerate() {
        let at = i + added;
        let name = FittingName::parse(fit.fit.as_str())?;
        if name.family() == Family::PTrap {
            if name.size(0) < size {
                let reducer = FittingName::of(Family::Reducer, &[size, name.size(0)])?.to_string();
                ctx.catalog.pattern(&reducer).ok()?;
                let item = Box::new(Fit::plain(&reducer, format!("{} reducer", fit.name)));
                edits.push(Edit::Fit { run: run.label.clone(), change: Change::Insert { at, item } });
                added += 1;
            }
            continue;
        }
        let item = Box::new(Fit { fit: sized(ctx, fit, 0..2, size)?, ..fit.clone() });
        edits.push(Edit::Fit { run: run.label.clone(), change: Change::Replace { at, item } });
    }
    let words = format!("run {} in {size} in pipe from {} out", run.label, ctx.label(parent));
    Some(Cure { words, edits })
}

/// The name of a fitting with some of its sizes raised to one; none where the catalog has no such fitting.
fn sized(ctx: &Ctx<'_>, fit: &Fit, which: std::ops::Range<usize>, size: NominalSize) -> Option<Label> {
    let name = FittingName::parse(fit.fit.as_str())?;
    let raised = |(i, own): (usize, &NominalSize)| if which.contains(&i) { size.max(*own) } else { *own };
    let sizes: Vec<NominalSize> = name.sizes().iter().enumerate().map(raised).collect();
    let name = FittingName::of(name.family(), &sizes)?.to_string();
    ctx.catalog.pattern(&name).ok()?;
    Some(Label::new(&name))
}
