//! What venting asks of a fixture: its rim, its units, its floor.

use crate::code::Profile;
use truefall_model::catalog::Catalog;
use truefall_model::job::Job;
use truefall_model::job::fixture::{Fixture, FixtureKind, Flush};
use truefall_model::place::RoughIn;
use truefall_model::units::NominalSize;

/// The flood level of a fixture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rim {
    /// Its height, inches over the datum's rough floor.
    pub z: f64,
    /// Nobody said it: it is usual for the kind.
    pub assumed: bool,
}

/// The rim of a fixture: the job's, else the usual one off its finished floor; none where its floor is not known.
pub fn rim(job: &Job, rough_in: &RoughIn, catalog: &Catalog, fixture: usize) -> Option<Rim> {
    let fixture = &job.fixtures[fixture];
    if let Some(rim) = &fixture.rim {
        return Some(Rim { z: rough_in.framed.height(rim)?, assumed: false });
    }
    let usual = catalog.rough_in(fixture.kind.word())?.rim.value.to_inches();
    let floor = rough_in.framed.floor(&fixture.floor)?;
    Some(Rim { z: floor.finished_z + usual, assumed: true })
}

/// Drainage fixture units of a fixture by itself, no group counted as less; none where the profile has no such figure.
pub fn fixture_units(profile: &Profile, fixture: &Fixture) -> Option<f64> {
    let high = fixture.kind == FixtureKind::Closet && fixture.flush == Flush::High;
    let key = format!("dfu.{}{}", fixture.kind.word(), if high { "-high" } else { "" });
    profile.find(&key).map(|f| f.value)
}

/// The drain a fixture asks for: its trap, or a closet's outlet.
pub(super) fn drain_size(catalog: &Catalog, fixture: &Fixture) -> Option<NominalSize> {
    fixture.trap.or_else(|| catalog.rough_in(fixture.kind.word()).map(|r| r.trap.value))
}

/// Whether a kind of fixture belongs to a bath group.
pub(super) fn of_bath(kind: FixtureKind) -> bool {
    matches!(kind, FixtureKind::Closet | FixtureKind::Lavatory | FixtureKind::Tub | FixtureKind::Shower)
}
