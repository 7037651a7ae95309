//! Traps without a lawful vent, and what the check tried for each in vain.

use crate::trial::Bench;
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
