//! What would mend a finding: what a rule proposes, and what came of it when it was tried.
//!
//! Here stand the cures that more than one rule proposes. A cure is only a guess: [`crate::fixes`] finds out.

pub mod fit;
pub mod size;

use crate::bore::telling::Told;
use crate::ctx::Ctx;
use truefall_model::framing::member::Member;
use truefall_model::framing::provided::Provided;
use truefall_model::job::Placement;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::height::{Height, Surface};
use truefall_model::job::survey::Correction;
use truefall_model::place::{RunId, RunKind};
use truefall_model::tolerance::{at_least, at_most};
use truefall_model::units::{Angle, Length};

/// What a rule thinks would mend its finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Cure {
    /// What one does, in one line: `nail a steel plate on the room's side of north stud 3`.
    pub words: String,
    /// The same as changes of the job.
    pub edits: Vec<Edit>,
}

/// A cure that was applied to a copy of the job, which was then placed and checked anew: the finding is gone.
#[derive(Debug, Clone, PartialEq)]
pub struct Fix {
    /// What one does.
    pub words: String,
    /// The changes of the job.
    pub edits: Vec<Edit>,
    /// What it would newly break, each as the first line of its finding; none where nothing.
    pub breaks: Vec<String>,
}

/// Something more to provide, behind what is provided already.
pub fn provide(ctx: &Ctx<'_>, words: impl Into<String>, items: impl IntoIterator<Item = Provided>) -> Cure {
    let from = ctx.job.provided.len();
    let insert = |(i, item)| Edit::Provided(Change::Insert { at: from + i, item: Box::new(item) });
    Cure { words: words.into(), edits: items.into_iter().enumerate().map(insert).collect() }
}

/// A smaller bit that can be bought and still passes the part, where the hole takes more than `most` of the depth.
pub fn smaller_bit(told: &Told<'_>, most: Length) -> Option<Cure> {
    let Told { ctx, bore, .. } = *told;
    // Drilled aslant a hole takes more of the depth than its diameter.
    let extra = bore.cut.width - bore.drilled.hole;
    let fits = |bit: &Length| at_least(*bit, bore.outside) && at_most(*bit + extra, most);
    let size = ctx.catalog.stocked_bits().find(fits)?;
    let cut: Vec<&Member> = told.cut_plies().collect();
    let names: Vec<&str> = cut.iter().map(|ply| ply.label.as_str()).collect();
    let words = format!(
        "bore {} for {} with a {size} bit, which the {} still passes",
        names.join(" and "),
        told.run(),
        told.passes()
    );
    let hole =
        |ply: &&Member| Provided::Hole { of: told.run().clone(), member: Some(ply.label.clone()), size };
    Some(provide(ctx, words, cut.iter().map(hole)))
}

/// A second ply beside the stud of a hole.
pub fn doubled_stud(told: &Told<'_>) -> Option<Cure> {
    let (wall, along) = (told.wall()?.label.clone(), told.member.along?);
    let words = format!("double {}", told.member.label);
    Some(provide(told.ctx, words, [Provided::DoubledStud { wall, along }]))
}

/// The stack a run hangs on set plumb at its first joint, where a lean is what ails it as found and the joint may stand at
/// that angle.
pub fn plumb_at_base(ctx: &Ctx<'_>, run: RunId) -> Option<Cure> {
    let stack = ctx.rough_in.stack_of(run);
    let RunKind::Stack { index, base, lean: Some(lean), .. } = &stack.kind else { return None };
    let written = ctx.job.stacks.get(*index)?;
    if ctx.placement() != Placement::Found || !written.corrections.is_empty() {
        return None;
    }
    let from = written.up.first()?.name.clone();
    let joint = ctx.rough_in.joints.iter().find(|j| j.low.0 == *base)?;
    let (turn, limit) =
        (Angle::radians((lean.lean_in_per_ft() / 12.0).atan()), ctx.catalog.deflection_limit(joint.kind));
    if turn.to_radians() > limit.to_radians() {
        return None;
    }
    let words = format!(
        "set {} plumb at the joint under {from}: {turn} out of line there, may stand at {limit}",
        stack.label
    );
    let item = Box::new(Correction::Plumb { from });
    let edit = Edit::Correction { stack: stack.label.clone(), change: Change::Insert { at: 0, item } };
    Some(Cure { words, edits: vec![edit] })
}

/// A height to the sixteenth off the rough surface of the floor a wall stands on, or of the datum floor.
pub fn height_off_floor(ctx: &Ctx<'_>, member: &Member, z: f64) -> Option<Height> {
    let framed = &ctx.rough_in.framed;
    let of_wall =
        member.wall.and_then(|wall| framed.wall_of(wall)).and_then(|wall| framed.floor_of(wall.floor));
    let floor = of_wall.or_else(|| framed.floors.iter().find(|floor| floor.datum))?;
    Some(Height { off: sixteenths(z - floor.rough_z), floor: floor.label.clone(), surface: Surface::Rough })
}

/// A length in inches to the nearest sixteenth: what a tape is set to.
pub fn sixteenths(inches: f64) -> Length {
    Length::inches((inches * 16.0).round() / 16.0)
}
