//! Circuit vent: a lying branch whose traps all get their air through one dry vent between its two most upstream drains.

use super::carry::Carry;
use super::method::Method;
use super::trap::{Held, Question, Reach, Tried, wet_ports};
use super::way::Way;
use super::wet::Outcome;
use super::{bath, wet};
use std::collections::BTreeSet;
use std::f64::consts::FRAC_1_SQRT_2;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::place::{PartId, PartKind, RunId};
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
    let on_branch = all.air.waste_of(foot);
    if let Err(why) = bath::one_floor(setting, on_branch) {
        return fails(why);
    }
    // What comes to the branch vented already hangs on no circuit.
    let shared: BTreeSet<usize> =
        on_branch.iter().copied().filter(|f| vented_on(all, *f) == Some(run)).collect();
    if shared.len() as f64 > most {
        return fails(format!("{} traps are on the branch, {most} may", shared.len()));
    }
    let full = rough_in.part(foot).size();
    if let Some((size, _)) = carry.sections(setting, all.air).into_iter().find(|s| s.0 < full) {
        return fails(format!(
            "it is {size} in upstream and {full} in at its foot; it keeps the foot's size"
        ));
    }
    let closets = on_branch.iter().filter(|f| setting.kind(**f) == FixtureKind::Closet).count();
    if let Some(from) = setting.number("circuit-vent-relief-closets")
        && closets as f64 >= from
        && relief(all, reach.fitting).is_empty()
        && !relieved_by_fixture(all, reach.fitting)
        && let Some(into) = rough_in.network.down[foot.0 as usize].map(|j| rough_in.joint(j).low)
        && takes_waste_from_above(all, into)
    {
        return fails(format!(
            "{closets} closets on a stack that takes waste from elsewhere want a relief vent below the last drain"
        ));
    }
    let held = Held::traps(shared.len(), "circuit-vent-traps");
    Ok((Method::Circuit, shared, Some(held)))
}

/// Whether a branch comes in on a vertical down which other waste falls.
fn takes_waste_from_above(all: &Question<'_>, (into, entered): (PartId, usize)) -> bool {
    let rough_in = all.setting.rough_in;
    let up = |port: usize| all.setting.placed.axis(rough_in, into, port).z > FRAC_1_SQRT_2 - 1e-9;
    wet_ports(all.air, rough_in, into, entered).iter().any(|(port, _)| up(*port))
}

/// The run on which a trap's drain first meets air.
fn vented_on(all: &Question<'_>, fixture: usize) -> Option<RunId> {
    let reach = all.reaches.get(&fixture)?.as_ref()?;
    Some(all.setting.rough_in.part(reach.fitting).run)
}

/// The parts of a run on its way to the base through which all of its waste passes, the uppermost first.
fn below_last<'a>(all: &'a Question<'_>, from: PartId) -> impl Iterator<Item = PartId> + 'a {
    let rough_in = all.setting.rough_in;
    let run = rough_in.part(from).run;
    let whole = all.air.waste_of(branch_foot(all, from));
    std::iter::successors(Some(from), |p| rough_in.network.below(*p))
        .take_while(move |p| rough_in.part(*p).run == run)
        .skip_while(move |p| all.air.waste_of(*p) != whole)
}

/// The dry vents of their own that leave a circuit's branch below its last drain, before the stack.
pub(super) fn relief(all: &Question<'_>, from: PartId) -> Vec<Way> {
    let rough_in = all.setting.rough_in;
    // Where the last drain joins, all traps of the branch pass already; its vent stands below that fitting.
    below_last(all, from)
        .skip(1)
        .flat_map(|p| Way::all(all.air, rough_in, all.setting.placed, p).into_iter().next())
        .collect()
}

/// Whether the last drain of the branch serves as its relief: that of few fixtures, each with a dry vent of its own.
fn relieved_by_fixture(all: &Question<'_>, from: PartId) -> bool {
    let Some(most) = all.setting.number("circuit-relief-fixture") else { return false };
    let rough_in = all.setting.rough_in;
    let run = rough_in.part(from).run;
    let Some(last) = below_last(all, from).next() else { return false };
    rough_in
        .network
        .above(last)
        .filter(|(_, part)| rough_in.part(*part).run != run && !all.air.is_dry(*part))
        .any(|(_, part)| {
            let waste = all.air.waste_of(part);
            let own_vent = |f: &usize| {
                let reach = all.reaches.get(f).and_then(Option::as_ref);
                reach.is_some_and(|r| !r.ways.is_empty()) && vented_on(all, *f) != Some(run)
            };
            waste.iter().all(own_vent) && all.setting.units(waste).is_ok_and(|units| units <= most)
        })
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
