//! The whole schedule of a job.

use super::closet::{ClosetRing, rings};
use super::floor::{FloorHole, holes};
use super::member::MemberHole;
use super::order::{Drop, Step, along_leg};
use crate::site::Site;
use truefall_check::Ctx;
use truefall_check::bore::Bore;
use truefall_check::bore::telling::Told;
use truefall_model::framing::member::{Member, MemberKind};
use truefall_model::job::Placement;
use truefall_model::place::LegId;
use truefall_model::units::Length;

/// The hole schedule of one job.
#[derive(Debug, Clone, PartialEq)]
pub struct HoleSchedule {
    /// What the job is called.
    pub job: String,
    /// The placement drilled to.
    pub drill_to: Placement,
    /// Holes through floors.
    pub floors: Vec<FloorHole>,
    /// Rings of closets.
    pub closets: Vec<ClosetRing>,
    /// Holes and notches in members, in the order to drill.
    pub members: Vec<MemberHole>,
}

impl HoleSchedule {
    /// Of a job that was placed.
    pub fn of(site: &Site<'_>) -> Self {
        let drill_to = site.job.cut_on;
        let (floors, members) = site.looking(drill_to, |ctx| {
            let passes = |bore: &Bore| {
                let member = ctx.rough_in.framed.member_of(bore.member)?;
                Some(Told { ctx, bore, member }.passes())
            };
            (holes(site, passes), members(site, ctx))
        });
        Self { job: site.job.name.clone(), drill_to, floors, closets: rings(site), members }
    }
}

/// A bore with its leg and how far along it.
struct OnLeg<'a> {
    bore: &'a Bore,
    member: &'a Member,
    leg: Option<LegId>,
    along: f64,
}

fn members(site: &Site<'_>, ctx: &Ctx<'_>) -> Vec<MemberHole> {
    let (rough_in, placed) = (&site.rough_in, site.built());
    let mut all: Vec<OnLeg<'_>> = ctx
        .facts
        .bores
        .iter()
        .filter_map(|bore| Some((bore, rough_in.framed.member_of(bore.member)?)))
        .filter(|(_, member)| member.kind != MemberKind::Subfloor)
        .map(|(bore, member)| {
            let (leg, along) = along_leg(rough_in, placed, bore).unzip();
            OnLeg { bore, member, leg, along: along.unwrap_or(0.0) }
        })
        .collect();
    let run = |on: &OnLeg<'_>| rough_in.part(on.bore.part).run;
    all.sort_by(|a, b| run(a).cmp(&run(b)).then(a.leg.cmp(&b.leg)).then(a.along.total_cmp(&b.along)));
    let mut rows = Vec::new();
    for group in all.chunk_by(|a, b| run(a) == run(b) && a.leg == b.leg && a.leg.is_some()) {
        rows.extend(in_order(site, ctx, group));
    }
    for (i, row) in rows.iter_mut().enumerate() {
        row.number = i + 1;
    }
    rows
}

/// The holes of one length: its two ends, then what lies between.
fn in_order(site: &Site<'_>, ctx: &Ctx<'_>, group: &[OnLeg<'_>]) -> Vec<MemberHole> {
    let upright = group.iter().filter_map(|on| on.leg).any(|leg| {
        let axis = site.rough_in.leg_axis(site.built(), leg);
        axis.z.abs() > axis.xy().norm()
    });
    if upright {
        let row = |on: &OnLeg<'_>| MemberHole {
            step: Step::Riser,
            ..MemberHole::of(site, ctx, on.bore, on.member)
        };
        return group.iter().map(row).collect();
    }
    let [first, .., last] = group else {
        return group.iter().map(|on| MemberHole::of(site, ctx, on.bore, on.member)).collect();
    };
    let high = if last.bore.centre.z >= first.bore.centre.z { last } else { first };
    let level = (last.bore.centre - first.bore.centre).xy().norm();
    let graded = level > (last.bore.centre.z - first.bore.centre.z).abs();
    let row = |on: &OnLeg<'_>, step: Step| {
        let mut row = MemberHole::of(site, ctx, on.bore, on.member);
        row.step = step;
        row.drop = graded.then(|| Drop {
            from: high.member.label.clone(),
            level: Length::inches((high.bore.centre - on.bore.centre).xy().norm()),
            down: Length::inches(high.bore.centre.z - on.bore.centre.z),
        });
        row
    };
    let ends = [first, last].map(|on| row(on, Step::End));
    let middle = group[1..group.len() - 1].iter().map(|on| row(on, Step::Middle));
    ends.into_iter().chain(middle).collect()
}
