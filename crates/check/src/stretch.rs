//! Stretches: straight legs of a run that lie in one line, so that one fault of a straight drain is told once.

use crate::ctx::Ctx;
use truefall_model::place::{Leg, LegId};
use truefall_model::tolerance::order;
use truefall_model::units::{Grade, NominalSize};

/// Legs of a run in one line, outwards, and their grade.
#[derive(Debug, Clone)]
pub struct Stretch {
    /// The legs, the one towards the base first.
    pub legs: Vec<LegId>,
    /// The grade they share; below zero where they fall backwards.
    pub grade: Grade,
    /// The smallest pipe.
    pub size: NominalSize,
}

impl Stretch {
    /// The leg that speaks for all of them: the longest.
    pub fn longest(&self, ctx: &Ctx<'_>) -> LegId {
        let length = |leg: &LegId| {
            let (low, high) = ctx.rough_in.leg_ends(ctx.placed, *leg);
            (high - low).norm()
        };
        self.legs
            .iter()
            .copied()
            .max_by(|a, b| order(length(a), length(b)).then(b.cmp(a)))
            .unwrap_or(self.legs[0])
    }
}

/// Whether waste passes through a leg.
pub fn is_wet(ctx: &Ctx<'_>, leg: &Leg) -> bool {
    leg.piece.or(leg.high).is_some_and(|part| ctx.is_wet(part))
}

/// All stretches of drain that have a grade, by leg.
pub fn graded_drains(ctx: &Ctx<'_>) -> Vec<Stretch> {
    let mut stretches: Vec<Stretch> = Vec::new();
    for leg in ctx.rough_in.legs.iter().filter(|leg| is_wet(ctx, leg)) {
        let Some(grade) = ctx.rough_in.grade(ctx.placed, leg.id) else { continue };
        match stretches.last_mut() {
            Some(last) if goes_on(ctx, last, leg) => {
                last.legs.push(leg.id);
                last.size = last.size.min(leg.size);
            }
            _ => stretches.push(Stretch { legs: vec![leg.id], grade, size: leg.size }),
        }
    }
    stretches
}

/// A leg goes on from a stretch where it starts at the fitting the stretch ends at and lies in its line; fittings in
/// line, such as couplings and bushings, may be set no more than the arithmetic apart.
fn goes_on(ctx: &Ctx<'_>, stretch: &Stretch, leg: &Leg) -> bool {
    let Some(last) = stretch.legs.last().map(|l| ctx.rough_in.leg(*l)) else { return false };
    let axis = |id| ctx.rough_in.leg_axis(ctx.placed, id);
    last.run == leg.run && last.high == Some(leg.low) && (axis(last.id) - axis(leg.id)).norm() < 1e-9
}
