//! Traps without a lawful vent, and what the check tried for each in vain.

use crate::trial::Bench;
use std::collections::BTreeMap;
use truefall_check::vent::{Setting, Vents};
use truefall_model::label::Label;
use truefall_model::place::{PartId, RoughIn};

/// A trap that no method of the code vents, in one placement at least.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    /// Index of its fixture in the job.
    pub fixture: usize,
    /// The fixture's name.
    pub name: Label,
    /// The part the trap is in, or that it is hung on.
    pub part: PartId,
    /// The methods the check looked at in vain, and why each fails.
    pub tried: Vec<String>,
}

/// The traps of a placed job that have no vent in one of the bench's placements, by fixture.
pub(super) fn needs(bench: &Bench<'_>, rough_in: &RoughIn) -> Vec<Need> {
    let mut needs: Vec<Need> = Vec::new();
    for placement in bench.placements {
        let vents = vents(bench, rough_in, *placement);
        for trap in vents.traps.iter().filter(|t| t.vent.is_none()) {
            if needs.iter().all(|n| n.fixture != trap.fixture) {
                needs.push(Need {
                    fixture: trap.fixture,
                    name: bench.job.fixtures[trap.fixture].name.clone(),
                    part: trap.part,
                    tried: trap.tried.iter().map(ToString::to_string).collect(),
                });
            }
        }
    }
    needs.sort_by_key(|n| n.fixture);
    needs
}

/// How the traps of a placed job are vented in one placement.
pub(super) fn vents(
    bench: &Bench<'_>,
    rough_in: &RoughIn,
    placement: truefall_model::job::Placement,
) -> Vents {
    Vents::of(&Setting {
        job: bench.job,
        rough_in,
        catalog: bench.catalog,
        profile: bench.profile,
        placed: rough_in.placed(placement),
    })
}

/// The needs that are vented in a copy of the job in every placement, each with the method; where there is none, what the check
/// then says of the first of `asked`.
pub(super) fn vented(
    bench: &Bench<'_>,
    needs: &[Need],
    put: &crate::trial::Put,
    asked: Option<usize>,
) -> Result<BTreeMap<usize, String>, String> {
    let mut mends: BTreeMap<usize, String> = BTreeMap::new();
    let mut why = "no trap is vented by it".to_owned();
    let bench = Bench { job: &put.job, ..*bench };
    for (i, placement) in bench.placements.iter().enumerate() {
        let vents = vents(&bench, &put.rough_in, *placement);
        let method = |n: &usize| {
            let trap = vents.trap(needs[*n].fixture)?;
            trap.vent.as_ref().map(|v| v.method.to_string())
        };
        if let Some(tried) = asked.and_then(|n| vents.trap(needs[n].fixture)).and_then(|t| t.tried.first()) {
            why = format!("{} is not vented by it: {tried}", needs[asked.unwrap_or_default()].name);
        }
        let here = (0..needs.len()).filter_map(|n| Some((n, method(&n)?)));
        match i {
            0 => mends = here.collect(),
            _ => {
                let here: BTreeMap<usize, String> = here.collect();
                mends.retain(|n, _| here.contains_key(n));
            }
        }
    }
    if mends.is_empty() { Err(why) } else { Ok(mends) }
}
