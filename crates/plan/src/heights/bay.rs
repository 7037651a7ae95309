//! A washer's box set in its bay: its rim where the trap's weir lets it stand, its standpipe where hub, trap and arm miss the
//! studs. What is chosen is an edit of the fixture, tried like all others.

use super::washer::{Free, Washer, washers};
use super::window::rims;
use crate::trial::{Bench, attempt, put};
use truefall_check::{Finding, Verdict};
use truefall_model::job::Edit;
use truefall_model::job::edit::Change;
use truefall_model::job::fixture::Fixture;
use truefall_model::job::height::{Height, Surface};
use truefall_model::job::point::PlanPoint;
use truefall_model::label::Label;
use truefall_model::units::Length;

/// More room than this beside a stud is worth nothing.
const WORTH_IN: f64 = 0.5;

/// A box that was set anew.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxSet {
    /// The fixture.
    pub fixture: Label,
    /// Along its wall from the `from` corner, as it was and as it is; none where it stays.
    pub along_in: Option<(f64, f64)>,
    /// Its rim off the finished floor, where the job left that open and the usual one does not suit the trap.
    pub rim_in: Option<f64>,
}

/// What to set anew of the washers that a part of a stack serves, after `edits` gave it its heights.
pub(super) fn set(
    bench: &Bench<'_>,
    before: &[Finding],
    edits: &[Edit],
    serves: &[&Label],
) -> (Vec<BoxSet>, Vec<Edit>) {
    let (mut boxes, mut more) = (Vec::new(), Vec::new());
    let Ok(now) = put(bench, edits.to_vec()) else { return (boxes, more) };
    for washer in washers(&now.job, bench.catalog, &now.rough_in) {
        let Some(index) = now.job.fixtures.iter().position(|f| f.name == washer.fixture) else { continue };
        if !serves.contains(&&washer.fixture) {
            continue;
        }
        let own = &now.job.fixtures[index];
        let rim = own.rim.is_none().then(|| rim(bench, &washer)).flatten();
        let with = |along: Option<f64>| {
            let mut fixture = own.clone();
            if let Some(rim) = rim {
                let off = Length::inches(rim);
                fixture.rim = Some(Height { off, floor: own.floor.clone(), surface: Surface::Finished });
            }
            if let Some(along) = along {
                moved(&mut fixture, along)?;
            }
            let edit = Edit::Fixture(Change::Replace { at: index, item: Box::new(fixture) });
            let mut all: Vec<Edit> = edits.iter().chain(&more).cloned().collect();
            all.push(edit.clone());
            let trial = attempt(bench, before, all).ok()?;
            let red = trial.findings.iter().filter(|f| f.verdict == Verdict::RedTag).count();
            Some(((!trial.accepted(), red), edit))
        };
        let Some((stays, stay)) = with(None) else { continue };
        let inside =
            |f: &Free| washer.along_in >= f.least_in - 1e-6 && washer.along_in <= f.greatest_in + 1e-6;
        let mut best: Option<((bool, usize), f64, Edit)> = None;
        if !washer.free.is_empty() && !washer.free.iter().any(inside) {
            let mut places: Vec<f64> = washer.free.iter().map(|f| place(f, washer.along_in)).collect();
            places.sort_by(|a, b| (a - washer.along_in).abs().total_cmp(&(b - washer.along_in).abs()));
            for along in places {
                let Some((faults, edit)) = with(Some(along)) else { continue };
                if faults < stays && best.as_ref().is_none_or(|(least, ..)| faults < *least) {
                    best = Some((faults, along, edit));
                }
            }
        }
        let (along, edit) = match best {
            Some((_, along, edit)) => (Some((washer.along_in, along)), edit),
            None if rim.is_some() => (None, stay),
            None => continue,
        };
        boxes.push(BoxSet { fixture: washer.fixture, along_in: along, rim_in: rim });
        more.push(edit);
    }
    (boxes, more)
}

/// The place in a free span that is nearest, as far from its ends as is worth anything, on a sixteenth.
fn place(free: &Free, now: f64) -> f64 {
    let by = WORTH_IN.min(0.5 * (free.greatest_in - free.least_in));
    let at = now.clamp(free.least_in + by, free.greatest_in - by);
    let sixteenth = (at * 16.0).round() / 16.0;
    if sixteenth >= free.least_in && sixteenth <= free.greatest_in { sixteenth } else { at }
}

/// The rim that suits the weir, nearest to the usual one, where the usual one doesn't.
fn rim(bench: &Bench<'_>, washer: &Washer) -> Option<f64> {
    let (low, high) = rims(bench.catalog)?;
    let figure = |key: &str, else_in: f64| bench.profile.find(key).map_or(else_in, |f| f.value);
    let least = low.to_inches().max(washer.weir_in + figure("standpipe-min", 0.0));
    let most = high.to_inches().min(washer.weir_in + figure("standpipe-max", f64::INFINITY));
    if least > most || (least - 1e-9..=most + 1e-9).contains(&washer.rim_in) {
        return None;
    }
    let at = washer.rim_in.clamp(least, most) * 16.0;
    Some(if washer.rim_in < least { at.ceil() / 16.0 } else { at.floor() / 16.0 })
}

/// The fixture so far along its wall; none where its place is not said along a wall.
fn moved(fixture: &mut Fixture, to: f64) -> Option<()> {
    match &mut fixture.at.0 {
        PlanPoint::OffWall { wall, along, .. } if Some(&*wall) == fixture.wall.as_ref() => {
            *along = Length::inches(to);
            Some(())
        }
        _ => None,
    }
}
