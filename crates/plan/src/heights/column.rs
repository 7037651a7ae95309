//! The column: what may be chosen along one stack, stripped to lengths. Heights are inches along the stack, upward.

use super::spans::Spans;
use truefall_model::catalog::pattern::{Pattern, PortEnd};
use truefall_model::job::clock::Clock;
use truefall_model::label::Label;
use truefall_model::units::NominalSize;

/// An open end: what goes on it, and how deep.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tip {
    /// Nominal size.
    pub size: NominalSize,
    /// It is a hub; else a spigot.
    pub hub: bool,
    /// Depth of the hub; zero for a spigot.
    pub socket_in: f64,
}

/// One way to make a station: a fitting, which way its branch looks, and where its centre may be.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// The pattern.
    pub fit: Label,
    /// The port towards the base, where it is not the usual one.
    pub enter: Option<Label>,
    /// The port the stack goes on through, where it is not the usual one.
    pub leave: Option<Label>,
    /// Set into its branch to take a smaller pipe.
    pub branch_bushing: Option<Label>,
    /// Where its branch looks, where that is for the plan to choose.
    pub clock: Option<Clock>,
    /// Its end towards the base.
    pub below: Tip,
    /// Its end away from the base.
    pub above: Tip,
    /// From the stop of its lower end up to its centre.
    pub rise_in: f64,
    /// From its centre up to the stop of its upper end.
    pub top_in: f64,
    /// Joints beyond those of the stack itself: that of a bushing in the branch.
    pub joints: u32,
    /// Its price in cents of the user's money; nothing where no prices are given.
    pub cents: u64,
    /// How many of its fittings the user's file has no price of; none where no file is given.
    pub unpriced: u32,
    /// Where its centre may be.
    pub heights: Spans,
    /// It is no fitting of the catalog, only what one would be like: for remedies.
    pub supposed: bool,
}

impl Choice {
    /// A pattern as it stands in a stack; none where it doesn't lie straight in the run through those ports.
    pub fn of(pattern: &Pattern, enter: usize, leave: usize) -> Option<Self> {
        let (low, high) = (&pattern.ports[enter], &pattern.ports[leave]);
        let up = -low.axis;
        if high.axis.dot(&up) < 1.0 - 1e-9 {
            return None;
        }
        let named = |port: usize, usual: bool| (!usual).then(|| pattern.ports[port].name.clone());
        Some(Self {
            fit: pattern.name.clone(),
            enter: named(enter, enter == pattern.enter),
            leave: named(leave, Some(leave) == pattern.leave),
            branch_bushing: None,
            clock: None,
            below: Tip::of(low.size, low.end, low.socket.to_inches())?,
            above: Tip::of(high.size, high.end, high.socket.to_inches())?,
            rise_in: -low.stop.coords.dot(&up),
            top_in: high.stop.coords.dot(&up),
            joints: 0,
            cents: 0,
            unpriced: 0,
            heights: Spans::all(),
            supposed: false,
        })
    }
}

impl Tip {
    /// A port's end; none where it takes no pipe.
    pub fn of(size: NominalSize, end: PortEnd, socket_in: f64) -> Option<Self> {
        match end {
            PortEnd::Hub => Some(Self { size, hub: true, socket_in }),
            PortEnd::Spigot => Some(Self { size, hub: false, socket_in: 0.0 }),
            PortEnd::Ring | PortEnd::Thread => None,
        }
    }
}

/// A place on the stack where something must sit: a tee for a fixture's branch, a fitting that stays.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// The fitting's name in the job.
    pub name: Label,
    /// The ways to make it, the usual one first.
    pub choices: Vec<Choice>,
    /// Where its centre would best be, as far as that costs no room: where it is already.
    pub wish_in: Option<f64>,
}

/// A fitting that only changes the size: it may go anywhere between two stations.
#[derive(Debug, Clone, PartialEq)]
pub struct Connector {
    /// The pattern.
    pub fit: Label,
    /// Its end towards the base.
    pub below: Tip,
    /// Its end away from the base.
    pub above: Tip,
    /// From stop to stop.
    pub length_in: f64,
    /// Its price in cents.
    pub cents: u64,
    /// One where the user's file has no price of it.
    pub unpriced: u32,
}

/// One stack to be solved.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// The open end it stands on.
    pub foot: Tip,
    /// Height of that end's stop.
    pub foot_in: f64,
    /// From the base up; the order is given.
    pub stations: Vec<Station>,
    /// What may change the size between them.
    pub connectors: Vec<Connector>,
    /// Size of the pipe that goes on above the last one, where it is given.
    pub top: Option<NominalSize>,
    /// What stands above at a height of its own; none where what follows comes to lie as it comes.
    pub ceiling: Option<Ceiling>,
}

/// A hub that hangs above the last station and stays where it is, such as that of an offset's first bend.
#[derive(Debug, Clone, PartialEq)]
pub struct Ceiling {
    /// The fitting's name.
    pub name: Label,
    /// Height of its hub's stop.
    pub stop_in: f64,
    /// Depth of that hub.
    pub socket_in: f64,
}

impl Column {
    /// The highest that the stop of an open hub may lie under the ceiling: a piece of two sockets goes between.
    pub(super) fn under_ceiling(&self, tip: Tip) -> f64 {
        self.ceiling.as_ref().map_or(f64::INFINITY, |c| c.stop_in - c.socket_in - tip.socket_in)
    }
}
