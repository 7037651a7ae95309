//! The height a tee may have, from what hangs on its branch.
//!
//! Everything on a branch moves with its tee or is taken up by a riser's piece. How much is not reckoned here: the job is
//! placed a second time with the stack raised by an inch, and the two placements are compared. What grade, pitch, bends and
//! seats make of a branch is so in the windows to the last bit.

use super::riser::{Riser, straight};
use truefall_check::Profile;
use truefall_model::catalog::Catalog;
use truefall_model::job::Job;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::job::pipes::{Base, End};
use truefall_model::label::Label;
use truefall_model::place::{Landing, PartId, Placed, RoughIn, place, pointing};
use truefall_model::units::Length;

/// One reason why a tee may not be anywhere.
#[derive(Debug, Clone, PartialEq)]
pub struct Bound {
    /// The fixture that asks for it, where one does.
    pub fixture: Option<Label>,
    /// What is asked, in words.
    pub why: String,
    /// Least height of the tee's centre over the datum, inches.
    pub least_z: f64,
    /// Greatest height of the tee's centre over the datum, inches.
    pub greatest_z: f64,
    /// Whether a figure behind it was assumed.
    pub assumed: bool,
}

/// All bounds of one station.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Window {
    /// Fixtures that drain through its branch.
    pub serves: Vec<Label>,
    /// The bounds.
    pub bounds: Vec<Bound>,
    /// What no height mends, in words.
    pub beside: Vec<String>,
}

impl Window {
    /// The greatest of the least heights, inches.
    pub fn least_z(&self) -> f64 {
        self.bounds.iter().map(|b| b.least_z).fold(f64::NEG_INFINITY, f64::max)
    }

    /// The least of the greatest heights, inches.
    pub fn greatest_z(&self) -> f64 {
        self.bounds.iter().map(|b| b.greatest_z).fold(f64::INFINITY, f64::min)
    }

    /// What sets the lower edge, and the upper one.
    pub fn edges(&self) -> (Option<&Bound>, Option<&Bound>) {
        let low = self.bounds.iter().max_by(|a, b| a.least_z.total_cmp(&b.least_z));
        let high = self.bounds.iter().min_by(|a, b| a.greatest_z.total_cmp(&b.greatest_z));
        (low.filter(|b| b.least_z.is_finite()), high.filter(|b| b.greatest_z.is_finite()))
    }
}

/// A number that goes with the tee's height: as it is, and how much it gains by an inch up.
#[derive(Debug, Clone, Copy)]
struct Moves {
    now: f64,
    by: f64,
}

impl Moves {
    /// The tee's heights at which it lies between two values; none where it doesn't go with the tee.
    fn between(self, z: f64, least: f64, greatest: f64) -> Option<(f64, f64)> {
        if self.by.abs() < 1e-6 {
            return None;
        }
        let (a, b) = ((least - self.now) / self.by, (greatest - self.now) / self.by);
        Some((z + a.min(b), z + a.max(b)))
    }
}

/// The windows of all stations.
///
/// # Errors
/// The job with the stack raised can't be placed; in words.
pub fn windows(site: &Riser<'_>, profile: &Profile) -> Result<Vec<Window>, String> {
    let raised = raised(site);
    let rough_in = place(&raised, site.catalog)
        .map_err(|f| f.first().map_or_else(String::new, |f| format!("{}: {}", f.path, f.message)))?;
    if rough_in.parts.len() != site.rough_in.parts.len() {
        return Err("raised by an inch it is no longer the same assembly".into());
    }
    let placed = rough_in.placed(site.job.cut_on);
    let mut windows = vec![Window::default(); site.stations.len()];
    for (landing, high) in site.placed.landings.iter().zip(&placed.landings) {
        if let Some(station) = site.station_of(landing.part) {
            let fixture = site.job.fixtures[landing.fixture].name.clone();
            windows[station].serves.push(fixture);
            landed(site, profile, station, landing, high, &mut windows[station]);
        }
    }
    pieces(site, &rough_in, placed, &mut windows);
    for (station, window) in windows.iter_mut().enumerate() {
        pinned(site, station, window);
    }
    Ok(windows)
}

/// The job with one stack's pieces as they are, and its base an inch up.
fn raised(site: &Riser<'_>) -> Job {
    let mut job = site.job.clone();
    let stack = &mut job.stacks[site.index];
    match &mut stack.base {
        Base::IronHub { rim: z, .. }
        | Base::CutPipe { top: z, .. }
        | Base::IronBranch { centre: z, .. }
        | Base::Stub { centre: z, .. } => z.off += Length::inches(1.0),
    }
    for (fit, (piece, part)) in stack.up.iter_mut().zip(&site.run.fits) {
        // An offset stays as it is: what its bends headed for is said by their clocks.
        let turns = site.rough_in.part(*part).pattern().is_some_and(|p| !straight(p, fit));
        if turns && fit.clock.is_none() {
            fit.clock = pointing(site.rough_in, site.placed, *part).map(|(clock, _)| clock);
        }
        fit.to = None;
        if let Some(cut) = piece.and_then(|p| site.rough_in.part(p).cut()) {
            fit.height = None;
            fit.centre = None;
            fit.level = None;
            fit.cut = Some(cut);
        }
    }
    job
}

fn landed(
    site: &Riser<'_>,
    profile: &Profile,
    station: usize,
    landing: &Landing,
    high: &Landing,
    window: &mut Window,
) {
    let fixture = &site.job.fixtures[landing.fixture];
    let z = site.z(station);
    let Some(floor) = site.rough_in.framed.floor(&fixture.floor) else { return };
    let at = Moves { now: landing.at.z, by: high.at.z - landing.at.z };
    let weir = landing.weir.zip(high.weir).map(|(now, up)| Moves { now: now.z, by: up.z - now.z });
    let mut add = |span: Option<(f64, f64)>, assumed: bool, why: String| {
        if let Some((least_z, greatest_z)) = span {
            window.bounds.push(Bound {
                fixture: Some(fixture.name.clone()),
                why,
                least_z,
                greatest_z,
                assumed,
            });
        }
    };
    let tolerance = landing.tolerance.to_inches();
    if fixture.kind.through_wall() || fixture.kind.on_flange() {
        let beside = (landing.at - landing.wants).xy().norm();
        let room =
            if beside < tolerance { (tolerance * tolerance - beside * beside).sqrt() } else { tolerance };
        let why = format!(
            "{} at {} off {} finished, within {}",
            if fixture.kind.on_flange() { "ring" } else { "outlet" },
            Length::inches(landing.wants.z - floor.finished_z),
            floor.label,
            Length::inches(room)
        );
        add(at.between(z, landing.wants.z - room, landing.wants.z + room), landing.assumed, why);
        if beside >= tolerance {
            let off = Length::inches(beside);
            window.beside.push(format!(
                "{} lands {off} beside where it is wanted, which no height mends",
                fixture.name
            ));
        }
        return;
    }
    let Some(weir) = weir else { return };
    let usual = site.catalog.rough_in(fixture.kind.word());
    if fixture.kind == FixtureKind::WasherBox {
        let stands = Moves { now: at.now - weir.now, by: at.by - weir.by };
        let least = profile.find("standpipe-min").map_or(0.0, |f| f.value);
        let most = profile.find("standpipe-max").map_or(f64::INFINITY, |f| f.value);
        let why = format!("standpipe {} to {} over its weir", Length::inches(least), in_words(most));
        match (&fixture.rim, rims(site.catalog)) {
            // The rim is for the plan to choose: the weir has to suit one of those that are usual.
            (None, Some((low, high))) => {
                let why = format!("{why}, its rim {low} to {high} off {} finished", floor.label);
                let (low, high) = (floor.finished_z + low.to_inches(), floor.finished_z + high.to_inches());
                add(weir.between(z, low - most, high - least), true, why);
            }
            _ => add(stands.between(z, least, most), landing.assumed, why),
        }
        if let (Some(least), Some(most)) =
            (profile.find("standpipe-trap-min"), profile.find("standpipe-trap-max"))
        {
            let why = format!("weir {} to {} off the finished floor", least.length(), most.length());
            add(weir.between(z, floor.finished_z + least.value, floor.finished_z + most.value), false, why);
        }
        if let Some(outlet) = fixture.outlet.as_ref().and_then(|h| site.rough_in.framed.height(h)) {
            let why =
                format!("weir at {} off {} finished", Length::inches(outlet - floor.finished_z), floor.label);
            add(weir.between(z, outlet - tolerance, outlet + tolerance), false, why);
        }
        return;
    }
    let outlet = match fixture.kind {
        FixtureKind::FloorDrain => fixture.rim.as_ref().and_then(|h| site.rough_in.framed.height(h)),
        _ => None,
    }
    .unwrap_or(floor.finished_z);
    if let Some(most) = profile.find("outlet-to-weir") {
        let why = format!("weir no more than {} below its outlet", most.length());
        add(weir.between(z, outlet - most.value, f64::INFINITY), false, why);
    }
    let stated = fixture.outlet.as_ref().and_then(|h| site.rough_in.framed.height(h));
    if let Some(takes) = stated.or_else(|| usual.map(|u| floor.finished_z + u.outlet.value.to_inches())) {
        let why = format!(
            "trap's inlet at or below {} off {} finished",
            Length::inches(takes - floor.finished_z),
            floor.label
        );
        add(at.between(z, f64::NEG_INFINITY, takes), stated.is_none(), why);
    }
}

/// The lowest and the highest rim of a standpipe that are usual, off its finished floor.
pub(super) fn rims(catalog: &Catalog) -> Option<(Length, Length)> {
    let usual = catalog.rough_in(FixtureKind::WasherBox.word())?;
    Some((usual.rim_least.as_ref()?.value, usual.rim_most.as_ref()?.value))
}

fn in_words(most: f64) -> String {
    if most.is_finite() { Length::inches(most).to_string() } else { "any height".to_owned() }
}

/// Pieces that grow or shrink as the tee moves: both sockets must still be filled.
fn pieces(site: &Riser<'_>, raised: &RoughIn, _placed: &Placed, windows: &mut [Window]) {
    for part in &site.rough_in.parts {
        let (Some(now), Some(up)) = (part.cut(), raised.part(part.id).cut()) else { continue };
        if part.run == site.run.id {
            continue;
        }
        let cut = Moves { now: now.to_inches(), by: (up - now).to_inches() };
        let Some(station) = site.station_of(part.id) else { continue };
        let least = sockets(site.rough_in, part.id);
        if let Some((least_z, greatest_z)) = cut.between(site.z(station), least, f64::INFINITY) {
            let why = format!("{} no shorter than {}", part.label, Length::inches(least));
            let fixture = windows[station].serves.first().cloned();
            windows[station].bounds.push(Bound { fixture, why, least_z, greatest_z, assumed: false });
        }
    }
}

/// Depth of the sockets a piece goes into, both together, inches.
fn sockets(rough_in: &RoughIn, piece: PartId) -> f64 {
    let depth = |(part, port): (PartId, usize)| rough_in.part(part).ports()[port].socket.to_inches();
    let joints = rough_in.joints.iter();
    joints
        .map(|j| {
            if j.high.0 == piece {
                depth(j.low)
            } else if j.low.0 == piece {
                depth(j.high)
            } else {
                0.0
            }
        })
        .sum()
}

/// A tee that a vent is tied into stays, and so does one that nothing else holds but the height it was given.
fn pinned(site: &Riser<'_>, station: usize, window: &mut Window) {
    let fit = site.fit(station);
    let tied = site.job.branches.iter().find(|b| matches!(&b.end, End::Tie { to } if to.fitting == fit.name));
    let why = match tied {
        Some(branch) => format!("{} is tied into it: kept as written", branch.name),
        None if window.bounds.is_empty() && fit.height.is_some() => {
            "kept as written: nothing drains in".to_owned()
        }
        None => return,
    };
    let z = site.z(station);
    window.bounds.push(Bound { fixture: None, why, least_z: z, greatest_z: z, assumed: false });
}
