//! How the pipe of a leg is brought into its holes: slid in whole from a bay that is long enough, or in pieces with couplings
//! in the bays.

use super::turn::pattern;
use nalgebra::Point3;
use std::collections::BTreeSet;
use truefall_check::insert::{Straight, in_line, insertion};
use truefall_model::catalog::Catalog;
use truefall_model::catalog::family::Family;
use truefall_model::catalog::material::Material;
use truefall_model::framing::member::{Member, MemberId};
use truefall_model::units::{Length, NominalSize};

/// The most bays that are looked at for couplings; a leg through more studs than this holds is stopped if it takes more.
const MOST_BAYS: usize = 8;
/// Air between a coupling and the wood beside it, each side: room to push the pipe home.
const AIR_IN: f64 = 0.25;

/// The coupling that joins two pieces of a route.
#[derive(Debug, Clone, PartialEq)]
pub struct Coupling {
    /// Its pattern.
    pub pattern: String,
    /// Between the pipe ends in it.
    pub gap: f64,
    /// Its whole length.
    pub long: f64,
}

impl Coupling {
    /// The plain coupling of a size, if the catalog has it.
    pub fn of(catalog: &Catalog, material: Material, size: NominalSize) -> Option<Self> {
        let found = pattern(catalog, Family::Coupling, material, &[size])?;
        let gap: f64 = found.ports.iter().map(|p| p.stop.coords.norm()).sum();
        let sockets: f64 = found.ports.iter().map(|p| p.socket.to_inches()).sum();
        Some(Self { pattern: found.name.to_string(), gap, long: gap + sockets })
    }
}

/// A leg that goes in neither whole nor in pieces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TooLong {
    /// Its length.
    pub piece: Length,
    /// The longest that would go in whole.
    pub longest: Length,
}

/// Where couplings stand, inches from end `a` to their middle, fewest first; none where the pipe goes in whole.
///
/// # Errors
/// No bay takes the pipe, and couplings in the bays don't help.
pub fn slid(
    pipe: &Straight,
    members: &[Member],
    bored: &BTreeSet<MemberId>,
    coupling: Option<&Coupling>,
) -> Result<Vec<f64>, TooLong> {
    let Some(whole) = insertion(pipe, members, bored, &BTreeSet::new()) else { return Ok(Vec::new()) };
    let Some(longest) = whole.longest().filter(|_| !whole.fits()) else { return Ok(Vec::new()) };
    let stopped = TooLong { piece: whole.piece, longest };
    let (Some(coupling), Some(way)) = (coupling, (pipe.b - pipe.a).try_normalize(1e-9)) else {
        return Err(stopped);
    };
    let mut wood: Vec<(f64, f64, MemberId)> = members
        .iter()
        .filter(|m| bored.contains(&m.id))
        .filter_map(|m| in_line(m, pipe.a, way, 0.0).map(|(near, far)| (near, far, m.id)))
        .collect();
    wood.sort_by(|one, other| one.0.total_cmp(&other.0));
    let room = coupling.long + 2.0 * AIR_IN;
    // Between the holes, and beside the fittings at the ends: there clear of their hubs.
    let hub = (coupling.long - coupling.gap) / 2.0;
    let starts = std::iter::once(hub).chain(wood.iter().map(|w| w.1));
    let ends = wood.iter().map(|w| w.0).chain([whole.piece.to_inches() - hub]);
    let mut bays: Vec<f64> =
        starts.zip(ends).filter(|(from, to)| to - from >= room).map(|(from, to)| 0.5 * (from + to)).collect();
    bays.truncate(MOST_BAYS);
    let mut choices: Vec<u32> = (1..1_u32 << bays.len()).collect();
    choices.sort_by_key(|choice| choice.count_ones());
    let chosen = |choice: &u32| -> Vec<f64> {
        bays.iter().enumerate().filter(|(i, _)| choice >> i & 1 == 1).map(|(_, at)| *at).collect()
    };
    let at = |along: f64| -> Point3<f64> { pipe.a + way * along };
    choices
        .iter()
        .map(chosen)
        .find(|couplings| {
            let half = coupling.gap / 2.0;
            let starts = std::iter::once(0.0).chain(couplings.iter().map(|c| c + half));
            let ends = couplings.iter().map(|c| c - half).chain([whole.piece.to_inches()]);
            starts.zip(ends).all(|(from, to)| {
                let own: BTreeSet<MemberId> =
                    wood.iter().filter(|w| from < w.0 && w.1 < to).map(|w| w.2).collect();
                let open: BTreeSet<MemberId> = bored.difference(&own).copied().collect();
                let piece = Straight { a: at(from), b: at(to), outside: pipe.outside };
                insertion(&piece, members, &own, &open).is_none_or(|way_in| way_in.fits())
            })
        })
        .ok_or(stopped)
}
