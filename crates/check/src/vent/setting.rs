//! What venting is read from: the job, its parts in one placement, the catalog and the code.

use crate::code::Profile;
use truefall_model::catalog::Catalog;
use truefall_model::job::Job;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::place::{Placed, RoughIn};
use truefall_model::units::NominalSize;

/// One placement of a job and the code it is held to.
#[derive(Debug, Clone, Copy)]
pub struct Setting<'a> {
    /// What the user wrote.
    pub job: &'a Job,
    /// The placed job.
    pub rough_in: &'a RoughIn,
    /// Usual figures of fixtures.
    pub catalog: &'a Catalog,
    /// The code.
    pub profile: &'a Profile,
    /// Where everything is.
    pub placed: &'a Placed,
}

impl Setting<'_> {
    /// What a fixture is.
    pub fn kind(&self, fixture: usize) -> FixtureKind {
        self.job.fixtures[fixture].kind
    }

    /// What a fixture is called.
    pub fn name(&self, fixture: usize) -> &str {
        self.job.fixtures[fixture].name.as_str()
    }

    /// Names of fixtures, in their order.
    pub fn names<'f>(&self, fixtures: impl IntoIterator<Item = &'f usize>) -> String {
        let names: Vec<&str> = fixtures.into_iter().map(|f| self.name(*f)).collect();
        names.join(", ")
    }

    /// Whether two fixtures stand on one floor.
    pub fn same_floor(&self, one: usize, other: usize) -> bool {
        self.job.fixtures[one].floor == self.job.fixtures[other].floor
    }

    /// Fixture units of several fixtures; the name of one that the profile has no figure for as error.
    pub fn units<'f>(&self, fixtures: impl IntoIterator<Item = &'f usize>) -> Result<f64, String> {
        fixtures
            .into_iter()
            .map(|f| {
                super::fixture_units(self.profile, &self.job.fixtures[*f])
                    .ok_or_else(|| format!("the profile has no fixture units for {}", self.name(*f)))
            })
            .sum()
    }

    /// The drain a fixture asks for.
    pub fn drain(&self, fixture: usize) -> Option<NominalSize> {
        super::fixture::drain_size(self.catalog, &self.job.fixtures[fixture])
    }

    /// A figure that may be left out by a code, as a number.
    pub fn number(&self, key: &str) -> Option<f64> {
        self.profile.find(key).map(|f| f.value)
    }

    /// How the code is called in a sentence.
    pub fn code(&self) -> String {
        format!("{} {}", self.profile.code(), self.profile.edition())
    }
}
