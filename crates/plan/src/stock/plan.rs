//! A plan for one material and size, and what is asked of it.

use super::{bound, fill, search};
use crate::cuts::CutList;
use std::collections::BTreeMap;
use truefall_model::catalog::material::Material;
use truefall_model::tolerance::SLACK;
use truefall_model::units::{Length, NominalSize};

/// What is bought and how it is sawn.
#[derive(Debug, Clone, PartialEq)]
pub struct StockOptions {
    /// The lengths sold.
    pub lengths: Vec<Length>,
    /// What the saw takes away at each cut.
    pub kerf: Length,
    /// The shortest offcut worth keeping.
    pub keep: Length,
}

/// A piece to be cut: its number in the cut list and its length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Its number.
    pub number: usize,
    /// Its length.
    pub cut: Length,
}

/// One length of pipe as bought, and what is cut from it.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// As bought.
    pub length: Length,
    /// The pieces, longest first.
    pub pieces: Vec<Piece>,
    /// What is left when all are cut and the kerfs are gone.
    pub offcut: Length,
    /// Whether that is worth keeping.
    pub keep: bool,
}

/// The plan for one material and size.
#[derive(Debug, Clone, PartialEq)]
pub struct StockPlan {
    /// What it is made of.
    pub material: Material,
    /// Nominal size.
    pub size: NominalSize,
    /// The lengths, those with the longest piece first.
    pub bars: Vec<Bar>,
    /// All that is bought, added up.
    pub bought: Length,
    /// No plan can buy less than this.
    pub least: Length,
    /// Nothing shorter is possible: the plan meets the bound, or all plans were searched.
    pub proven: bool,
    /// All that is in the pieces.
    pub in_pieces: Length,
    /// Pieces longer than any length sold: they need a coupling, and are in no bar.
    pub too_long: Vec<Piece>,
}

/// Plans for every material and size of a cut list, by material, then size. Pieces count as set on the tape, to 1/16.
pub fn of_cuts(list: &CutList, options: &StockOptions) -> Vec<StockPlan> {
    let mut groups: BTreeMap<(Material, NominalSize), Vec<Piece>> = BTreeMap::new();
    for cut in &list.cuts {
        let piece = Piece { number: cut.number, cut: cut.on_tape() };
        groups.entry((cut.material, cut.size)).or_default().push(piece);
    }
    groups.into_iter().map(|((material, size), pieces)| plan(material, size, &pieces, options)).collect()
}

/// The plan that buys least; of those that buy the same, one of fewest lengths.
pub fn plan(material: Material, size: NominalSize, pieces: &[Piece], options: &StockOptions) -> StockPlan {
    let mut lengths: Vec<f64> = options.lengths.iter().map(|l| l.to_inches()).collect();
    lengths.sort_by(f64::total_cmp);
    lengths.dedup();
    let kerf = options.kerf.to_inches();
    let longest = lengths.last().copied().unwrap_or(0.0);
    let (mut fits, too_long): (Vec<Piece>, Vec<Piece>) =
        pieces.iter().partition(|p| p.cut.to_inches() <= longest + SLACK);
    fits.sort_by(|a, b| b.cut.to_inches().total_cmp(&a.cut.to_inches()).then(a.number.cmp(&b.number)));
    // Every piece is followed by a cut but the last of a bar: with the kerf added to both sides the rule is one sum.
    let sizes: Vec<f64> = fits.iter().map(|p| p.cut.to_inches() + kerf).collect();
    let yard = Yard { lengths: &lengths, kerf };
    let least = bound::least(&sizes, &yard);
    let mut best = fill::best(&sizes, &yard);
    let mut proven = yard.bought(&best) <= least + SLACK;
    if !proven || best.len() > 1 {
        let found = search::search(&sizes, &yard, &best);
        proven |= found.whole;
        best = found.bars;
    }
    let bars: Vec<Bar> = best
        .iter()
        .map(|(length, places)| {
            let used: f64 = places.iter().map(|i| sizes[*i]).sum();
            let offcut = Length::inches((length - used).max(0.0));
            let pieces: Vec<Piece> = places.iter().map(|i| fits[*i]).collect();
            Bar { length: Length::inches(*length), pieces, offcut, keep: offcut >= options.keep }
        })
        .collect();
    StockPlan {
        material,
        size,
        bought: Length::inches(yard.bought(&best)),
        least: Length::inches(least),
        proven,
        in_pieces: Length::inches(fits.iter().map(|p| p.cut.to_inches()).sum()),
        bars,
        too_long,
    }
}

/// A bar as a length and the places of its pieces.
pub(super) type RawBar = (f64, Vec<usize>);

/// What is sold, inches, shortest first; and the kerf.
#[derive(Debug, Clone, Copy)]
pub(super) struct Yard<'a> {
    pub lengths: &'a [f64],
    pub kerf: f64,
}

impl Yard<'_> {
    /// How much of pieces-with-kerf goes in a bar of a length.
    pub fn room(&self, length: f64) -> f64 {
        length + self.kerf + SLACK
    }

    pub fn bought(&self, bars: &[RawBar]) -> f64 {
        bars.iter().map(|(length, _)| length).sum()
    }

    /// The shortest length sold that takes so much of pieces-with-kerf.
    pub fn shortest(&self, load: f64) -> Option<f64> {
        self.lengths.iter().copied().find(|l| load <= self.room(*l))
    }
}
