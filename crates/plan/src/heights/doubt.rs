//! What an error in a measurement would do: who moves with it, and whose window it leaves first.

use super::column::Column;
use super::ladder::Combination;
use super::settle::windows;
use truefall_model::label::Label;
use truefall_model::units::Length;

/// What was measured or cut.
#[derive(Debug, Clone, PartialEq)]
pub enum Measured {
    /// The height of what it stands on over the datum: of the base, or of the bend below.
    Base,
    /// The piece below a station's fitting, or the fitting's own laying length.
    Piece(usize),
    /// Where the fixtures of a station want their pipe.
    RoughIn(usize),
    /// The build-up or the rough height of a floor, by its name: the windows of what stands on it move.
    Floor(Label),
}

/// One error and what it does.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// What was measured.
    pub what: Measured,
    /// The most it may be off, either way, with every window still met.
    pub holds_to: Length,
    /// The station whose window is left first.
    pub first: Option<usize>,
    /// Stations out of their windows by an error of 1/16, either way.
    pub at_sixteenth: Vec<usize>,
    /// Stations out of their windows by an error of 1/8, either way.
    pub at_eighth: Vec<usize>,
}

/// Every measurement in turn; `floors` are the floors with the stations whose windows are counted from each.
pub fn doubts(
    column: &Column,
    chosen: &Combination,
    heights: &[f64],
    serving: &[usize],
    floors: &[(Label, Vec<usize>)],
) -> Vec<Doubt> {
    let all: Vec<usize> = (0..heights.len()).collect();
    let doubt = |what: Measured, moves: &[usize]| {
        let windows = windows(column, chosen);
        let room = |s: &usize| windows[*s].slack(heights[*s]).map_or(0.0, |(down, up)| down.min(up));
        let first = moves.iter().min_by(|a, b| room(a).total_cmp(&room(b))).copied();
        let out = |by: f64| -> Vec<usize> {
            let leaves =
                |s: &&usize| !windows[**s].holds(heights[**s] + by) || !windows[**s].holds(heights[**s] - by);
            moves.iter().filter(leaves).copied().collect()
        };
        let least = first.map_or(f64::INFINITY, |s| room(&s));
        Doubt {
            what,
            holds_to: Length::inches(least.min(99.0)),
            first: first.filter(|s| room(s).is_finite()),
            at_sixteenth: out(1.0 / 16.0),
            at_eighth: out(1.0 / 8.0),
        }
    };
    let mut out = vec![doubt(Measured::Base, serving)];
    out.extend(all.iter().map(|s| {
        let above: Vec<usize> = serving.iter().copied().filter(|at| at >= s).collect();
        doubt(Measured::Piece(*s), &above)
    }));
    out.extend(serving.iter().map(|s| doubt(Measured::RoughIn(*s), &[*s])));
    out.extend(floors.iter().map(|(floor, moves)| doubt(Measured::Floor(floor.clone()), moves)));
    out
}
