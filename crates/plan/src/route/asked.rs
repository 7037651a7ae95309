//! The question a route answers, and why it can't always be put.

use crate::prices::PriceList;
use truefall_model::label::Label;
use truefall_model::place::JobFault;
use truefall_model::units::NominalSize;

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The fixture.
    pub fixture: &'a Label,
    /// A stack, a fitting or a port it must start from.
    pub to: Option<&'a Label>,
    /// How many routes.
    pub k: usize,
    /// Also what stopped the routes that would be cheapest.
    pub why_not: bool,
    /// The user's prices; without them a route's parts cost nothing but its points.
    pub prices: Option<&'a PriceList>,
}

/// Why routes can't be looked for at all.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoRoute {
    /// There is no such fixture.
    #[error("there is no fixture {name}; known: {known}")]
    NoFixture {
        /// What was asked for.
        name: Label,
        /// The job's fixtures.
        known: String,
    },
    /// Nothing of that name to start from.
    #[error("there is no stack or fitting {name} that {size} in pipe can leave")]
    NoTee {
        /// What was asked for.
        name: Label,
        /// The arm's size.
        size: NominalSize,
    },
    /// The fixture does not say enough.
    #[error("{fixture}: {why}")]
    Fixture {
        /// The fixture.
        fixture: Label,
        /// What is missing.
        why: String,
    },
    /// Other runs hang on its run.
    #[error(
        "others hang on {at} of {branch}, and no pipe of the fixture's size goes on from there on the level"
    )]
    Hung {
        /// The fixture's branch.
        branch: Label,
        /// The last of its fittings that others hang on.
        at: Label,
    },
    /// The job can't be placed.
    #[error("the job can't be placed: {}", .0.first().map_or("", |f| f.message.as_str()))]
    Placing(Vec<JobFault>),
}
