//! Clocks: where nothing says which way a branch looks, every hour is tried.
//!
//! A clock is given where the job says one, and where the branch heads for a point, a trap's fixture or a tie. What is free
//! is placed at each hour of the watch: windows are those that placement makes of it there.

use super::riser::Riser;
use super::window::{Window, windows};
use crate::trial::{Bench, attempt};
use truefall_check::Finding;
use truefall_model::job::Edit;
use truefall_model::job::clock::Clock;
use truefall_model::job::edit::Change;
use truefall_model::job::pipes::End;
use truefall_model::units::Angle;

/// A clock that a station may have, and its window there.
#[derive(Debug, Clone, PartialEq)]
pub struct Hour {
    /// The clock.
    pub clock: Clock,
    /// The heights its fitting may have with it.
    pub window: Window,
}

/// Whether nothing says where a station's branch looks.
pub fn is_free(site: &Riser<'_>, station: usize) -> bool {
    let fit = site.fit(station);
    let pattern = site.pattern(station);
    let up = pattern.ports[pattern.enter].axis;
    let has_side = pattern.ports.iter().any(|p| p.axis.cross(&up).norm() > 0.1);
    let tied = |e: &End| matches!(e, End::Tie { to } if to.fitting == fit.name);
    if fit.clock.is_some() || !has_side || site.job.branches.iter().any(|b| tied(&b.end)) {
        return false;
    }
    let is_trap = |name: &str| site.catalog.pattern(name).is_ok_and(|p| p.swing.is_some());
    site.job.branches.iter().filter(|b| b.from.fitting == fit.name).all(|b| match b.along.first() {
        Some(first) => first.to.is_none() && !is_trap(first.fit.as_str()),
        None => !matches!(b.end, End::Fixture { .. } | End::Tie { .. }),
    })
}

/// By station: the hours it may look to beside where it looks already; those first that break no rule where it stands. Left
/// out is what can't be placed, and what lands beside its fixture.
pub fn hours(site: &Riser<'_>, bench: &Bench<'_>, before: &[Finding], own: &[Window]) -> Vec<Vec<Hour>> {
    let mut out = vec![Vec::new(); site.stations.len()];
    for station in (0..site.stations.len()).filter(|s| is_free(site, *s)) {
        let (mut fine, mut other) = (Vec::new(), Vec::new());
        for hour in 1..=12 {
            let clock = Clock::at(Angle::degrees(30.0 * f64::from(hour)));
            let mut stack = site.stack().clone();
            stack.up[site.stations[station]].clock = Some(clock);
            let edit = Edit::Stack(Change::Replace { at: site.index, item: Box::new(stack) });
            let Ok(trial) = attempt(bench, before, vec![edit]) else { continue };
            let above = site.above.as_ref();
            let turned = Riser::on(&trial.job, bench.catalog, &trial.rough_in, site.index, above);
            let Ok(window) = turned.and_then(|t| Ok(windows(&t, bench.profile)?.swap_remove(station))) else {
                continue;
            };
            if window.beside.len() > own[station].beside.len() {
                continue;
            }
            let list = if trial.accepted() { &mut fine } else { &mut other };
            list.push(Hour { clock, window });
        }
        fine.extend(other);
        out[station] = fine;
    }
    out
}
