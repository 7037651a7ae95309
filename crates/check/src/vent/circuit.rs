//! Circuit vent: a lying branch whose traps all get their air through one dry vent between its two most upstream drains.

use super::carry::Carry;
use super::method::Method;
use super::trap::{Held, Question, Reach, Tried, wet_ports};
use super::way::Way;
use super::wet::Outcome;
use super::{bath, wet};
use std::collections::BTreeSet;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::place::{PartId, PartKind};
use truefall_model::units::Grade;

/// The method and the traps that share it, or why it does not hold.
pub(super) fn vented(all: &Question<'_>, _fixture: usize, reach: &Reach, carry: &Carry) -> Outcome {
    let setting = all.setting;
    let rough_in = setting.rough_in;
    let fails = |why: String| Err(Tried::of(Method::Circuit, why));
    let label = |part: PartId| &rough_in.part(part).label;
    let Some(most) = setting.number("circuit-vent-traps") else {
        return fails(format!("{} has none", setting.code()));
    };
    let run = rough_in.part(carry.top()).run;
    if rough_in.part(reach.fitting).run != run || !carry.all_lie(wet::vertical_within(all)) {
        return fails("no one lying branch leads from the vent to it".to_owned());
    }
    let upstream = all.air.waste_of(carry.top());
    if upstream.len() != 1 {
        let names = setting.names(upstream);
        return fails(format!(
            "the vent leaves below {names}; it belongs between the two most upstream drains"
        ));
    }
    if !wet::arm_ends_at_top(all, carry, |f| upstream.contains(&f)) {
        return fails("the arm of the most upstream trap does not end where the vent leaves".to_owned());
    }
    if let Some(most) = setting.number("circuit-vent-grade")
        && let Some((part, grade)) = carry.grades().find(|(_, grade)| *grade > most + 1e-9)
    {
        let [grade, most] = [grade, most].map(Grade::per_foot);
        return fails(format!("it falls {grade} below {}, at most {most}", label(part)));
    }
    let foot = branch_foot(all, reach.fitting);
    let shared: BTreeSet<usize> = all.air.waste_of(foot).clone();
    if shared.len() as f64 > most {
        return fails(format!("{} traps are on the branch, {most} may", shared.len()));
    }
    if let Err(why) = bath::one_floor(setting, &shared) {
        return fails(why);
    }
    let full = rough_in.part(foot).size();
    if let Some((size, _)) = carry.sections(setting, all.air).into_iter().find(|s| s.0 < full) {
        return fails(format!(
            "it is {size} in upstream and {full} in at its foot; it keeps the foot's size"
        ));
    }
    let closets = shared.iter().filter(|f| setting.kind(**f) == FixtureKind::Closet).count();
    if let Some(from) = setting.number("circuit-vent-relief-closets")
        && closets as f64 >= from
        && !is_relieved(all, reach.fitting, &shared)
        && let Some(into) = rough_in.network.down[foot.0 as usize].map(|j| rough_in.joint(j).low)
        && !wet_ports(all.air, rough_in, into.0, into.1).is_empty()
    {
        return fails(format!(
            "{closets} closets on a stack that takes waste from elsewhere want a relief vent below the last drain"
        ));
    }
    let held = Held::traps(shared.len(), "circuit-vent-traps");
    Ok((Method::Circuit, shared, Some(held)))
}

/// Whether a dry vent of its own leaves the branch below its last drain, before the stack.
fn is_relieved(all: &Question<'_>, from: PartId, shared: &BTreeSet<usize>) -> bool {
    let rough_in = all.setting.rough_in;
    let run = rough_in.part(from).run;
    std::iter::successors(Some(from), |p| rough_in.network.below(*p))
        .take_while(|p| rough_in.part(*p).run == run)
        // Where the last drain joins, all traps of the branch pass already; its vent stands below that fitting.
        .skip_while(|p| all.air.waste_of(*p) != shared)
        .skip(1)
        .any(|p| !Way::all(all.air, rough_in, all.setting.placed, p).is_empty())
}

/// The last part of a run on its way to the base.
fn branch_foot(all: &Question<'_>, from: PartId) -> PartId {
    let rough_in = all.setting.rough_in;
    let run = rough_in.part(from).run;
    let down = std::iter::successors(Some(from), |p| rough_in.network.below(*p));
    down.take_while(|p| rough_in.part(*p).run == run)
        .filter(|p| matches!(rough_in.part(*p).kind, PartKind::Piece { .. }) || *p == from)
        .last()
        .unwrap_or(from)
}
