//! The smallest change of each kind that mends a conflict; each was solved again with the change in it.

use super::column::{Ceiling, Choice, Column, Tip};
use super::conflict::{Conflict, Edge, least, least_of, widened, with_windows};
use super::ladder::solve;
use truefall_check::Finding;
use truefall_model::label::Label;
use truefall_model::tolerance::SLACK;
use truefall_model::units::{Grade, Length};

/// A remedy that was put in and tried.
#[derive(Debug, Clone)]
pub struct Mend {
    /// What is done.
    pub remedy: Remedy,
    /// What is red with it that was not red before.
    pub brings: Vec<Finding>,
    /// It was placed; a fitting that the catalog does not have can't be.
    pub placed: bool,
}

/// What would mend it.
#[derive(Debug, Clone, PartialEq)]
pub enum Remedy {
    /// The station's fixture goes up or down, its window with it, by so much; more than nothing is up.
    Move {
        /// The station.
        station: usize,
        /// How far.
        by: Length,
    },
    /// The fixture's pipe is taken as it comes, so much out of its window; more than nothing is too high.
    Accept {
        /// The station.
        station: usize,
        /// How far out.
        by: Length,
    },
    /// The same fitting with a spigot foot that goes straight into the hub below, without a piece.
    Street {
        /// The station.
        station: usize,
        /// The pattern: a street form of the catalog, else the plain one it would be like.
        fit: Label,
    },
    /// The lowest of them goes lower, and its branch is run steeper to where its fixture is.
    Lower {
        /// The station.
        station: usize,
        /// The height of its centre over the datum, inches.
        to_z: f64,
        /// The branch.
        branch: Label,
        /// The grade it is run at.
        grade: Grade,
    },
    /// The fitting that hangs above and has a height of its own goes up.
    Ceiling {
        /// The fitting.
        name: Label,
        /// How far.
        by: Length,
    },
    /// The end the stack stands on is cut lower or built higher; more than nothing is up.
    Base {
        /// How far.
        by: Length,
    },
}

/// So much, brought up to the next sixteenth: less would not do.
fn up_to_sixteenth(inches: f64) -> f64 {
    ((inches - 1e-6) * 16.0).ceil() / 16.0
}

/// All remedies that hold, those of the lowest station first.
pub fn remedies(column: &Column, conflict: &Conflict) -> Vec<Remedy> {
    let mut out = Vec::new();
    for station in conflict.stations.iter().copied() {
        out.extend(street(column, station));
    }
    for station in conflict.stations.iter().copied() {
        out.extend(moved(column, station));
    }
    for station in conflict.stations.iter().copied() {
        out.extend(accepted(column, station));
    }
    out.extend(base(column));
    out.extend(ceiling(column));
    out
}

/// What hangs above raised.
fn ceiling(column: &Column) -> Option<Remedy> {
    let own = column.ceiling.as_ref()?;
    let raised = |by: f64| Column {
        ceiling: Some(Ceiling { stop_in: own.stop_in + by, ..own.clone() }),
        ..column.clone()
    };
    let by = up_to_sixteenth(least_of(|by| solve(&raised(by)).is_some())?);
    Some(Remedy::Ceiling { name: own.name.clone(), by: Length::inches(by) })
}

fn moved(column: &Column, station: usize) -> Vec<Remedy> {
    let can = |by: f64| solve(&with_windows(column, station, |s| s.shifted(by))).is_some();
    [1.0, -1.0]
        .into_iter()
        .filter_map(|way| {
            // Going one way is not always easier the farther: what is found is tried, and left out if it doesn't hold.
            let edge = if way > 0.0 { Edge::Upper } else { Edge::Lower };
            let by = way * up_to_sixteenth(least(column, station, edge)?);
            can(by).then_some(Remedy::Move { station, by: Length::inches(by) })
        })
        .collect()
}

fn accepted(column: &Column, station: usize) -> Vec<Remedy> {
    [(Edge::Upper, 1.0), (Edge::Lower, -1.0)]
        .into_iter()
        .filter_map(|(edge, way)| {
            let by = up_to_sixteenth(least(column, station, edge)?);
            let solved = solve(&with_windows(column, station, |s| widened(s, edge, by))).is_some();
            solved.then_some(Remedy::Accept { station, by: Length::inches(by * way) })
        })
        .collect()
}

/// A fitting like one of the station's with a spigot for its lower hub, reaching to the same face.
fn street(column: &Column, station: usize) -> Option<Remedy> {
    let like = |choice: &Choice| Choice {
        rise_in: choice.rise_in + choice.below.socket_in,
        below: Tip { hub: false, socket_in: 0.0, ..choice.below },
        supposed: true,
        ..choice.clone()
    };
    column.stations[station].choices.iter().filter(|c| c.below.hub).find_map(|choice| {
        let mut trial = column.clone();
        trial.stations[station].choices = vec![like(choice)];
        solve(&trial).map(|_| Remedy::Street { station, fit: choice.fit.clone() })
    })
}

fn base(column: &Column) -> Option<Remedy> {
    let set = |by: f64| Column { foot_in: column.foot_in + by, ..column.clone() };
    // With pieces above it, a lower foot only ever gives room.
    let by = up_to_sixteenth(least_of(|by| solve(&set(-by)).is_some())?);
    (by > SLACK && solve(&set(-by)).is_some()).then(|| Remedy::Base { by: Length::inches(-by) })
}
