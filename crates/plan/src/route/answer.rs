//! What a search for routes tells: the routes, and the ways that were not taken.

use super::mend::Takes;
use super::price::Sum;
use truefall_model::job::edit::Edit;
use truefall_model::label::Label;
use truefall_model::units::Length;

/// A route that was built in a copy of the job and accepted by all rules.
#[derive(Debug, Clone)]
pub struct Route {
    /// What changes the job into one with the route.
    pub edits: Vec<Edit>,
    /// Its points.
    pub cost: f64,
    /// Where it starts, in words.
    pub tee: String,
    /// Its fittings outwards.
    pub fittings: Vec<String>,
    /// Level length from the tee to its end.
    pub level: Length,
    /// Holes: the member, the hole, how much of the limit it takes.
    pub holes: Vec<(Label, Length, f64)>,
    /// Plates that go with it, by member.
    pub plates: Vec<Label>,
    /// Hangers that go with it: the run, and how far along it.
    pub hangers: Vec<(Label, Option<Length>)>,
    /// What fittings, pipe and plates come to, where prices were given.
    pub price: Option<Sum>,
    /// The way it goes, leg by leg, in words.
    pub way: Vec<String>,
    /// Whether its trap still wants a vent: what is there has none, or none yet.
    pub unvented: bool,
    /// The fixture's misfit at its end, as drawn.
    pub misfit: Option<Length>,
    /// What is newly told and not red.
    pub tells: Vec<String>,
    /// What was red and is gone.
    pub mends: Vec<String>,
    /// What was red about this run and still is, such as the lean of its stack.
    pub still: Vec<String>,
}

impl Route {
    /// Whether its legs fall enough as found, or what they lack is nothing that was told as red.
    pub fn falls(&self) -> bool {
        !self.still.iter().any(|told| told.contains("[drain-too-flat]"))
    }
}

/// A way that was not taken and what stood against it.
#[derive(Debug, Clone)]
pub struct Miss {
    /// Where it starts, in words.
    pub tee: String,
    /// Its fittings outwards.
    pub fittings: Vec<String>,
    /// Its points, stops left out.
    pub cost: f64,
    /// What stands in its way.
    pub stops: Vec<String>,
    /// What the rules say of it, where nothing stands in the way.
    pub red: Vec<String>,
    /// What it would take, each tried.
    pub takes: Vec<Takes>,
    /// What a carpenter could do about a joist that stops it, with the numbers to say to him; tried, and not accepted as it stands.
    pub carpenter: Vec<String>,
}

/// What came of it.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The fixture.
    pub fixture: Label,
    /// Routes, cheapest first, all accepted.
    pub routes: Vec<Route>,
    /// Where there is no route, or where it was asked for: the cheapest ways that fail.
    pub misses: Vec<Miss>,
    /// Whether it was asked what stops the others.
    pub why_not: bool,
    /// How many states were settled and how many routes tried whole.
    pub work: (usize, usize),
}
