//! Takeoffs: where on its way to the base a trap's drain can be given a fitting that lets a dry vent rise.

use super::first_look::first_look;
use super::need::Need;
use super::offer::Refusal;
use super::room::{bays, said};
use super::step::Step;
use super::tries::{Tries, provided};
use crate::trial::Bench;
use nalgebra::{Point3, Vector3};
use std::collections::BTreeMap;
use truefall_check::Finding;
use truefall_check::cure::sixteenths;
use truefall_model::catalog::material::Material;
use truefall_model::catalog::pattern::PortEnd;
use truefall_model::job::clock::Clock;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::job::pipes::{Branch, End, Fit, PortName, System};
use truefall_model::job::point::{PlanPoint, Spot};
use truefall_model::label::Label;
use truefall_model::place::{LegId, Part, PartId, RoughIn, RunKind};
use truefall_model::units::{Angle, Length, NominalSize};

/// A fitting that lets a vent rise, and the fittings that bring it upright.
#[derive(Debug, Clone)]
pub(super) struct Takeoff {
    /// The steps that put the fitting in.
    pub steps: Vec<Step>,
    /// What is done, in words.
    pub words: String,
    /// The vent's run so far; its end is open.
    pub branch: Branch,
    /// Size of the vent.
    pub size: NominalSize,
    /// Centre of the fitting the vent leaves.
    pub foot: Point3<f64>,
    /// Where the vent's pipe starts upright, and the way it goes.
    pub tip: Point3<f64>,
    /// The way it goes from there.
    pub axis: Vector3<f64>,
    /// The needs that have a vent once air gets in here, each with its method.
    pub mends: BTreeMap<usize, String>,
}

/// The least size of a vent for a trap, by the code.
pub(super) fn least_size(bench: &Bench<'_>, need: &Need) -> f64 {
    let fixture = &bench.job.fixtures[need.fixture];
    let usual = || bench.catalog.rough_in(fixture.kind.word()).map(|r| r.trap.value);
    let drain = fixture.trap.or_else(usual).map_or(0.0, |s| s.nominal().to_inches());
    let mut least =
        (drain * bench.profile.figure("vent-of-drain").value).max(bench.profile.figure("vent-least").value);
    if fixture.kind == FixtureKind::Closet
        && let Some(figure) = bench.profile.find("closet-vent-least")
    {
        least = least.max(figure.value);
    }
    least
}

/// The places where a trap's drain can take a vent, nearest the trap first, `larger` sizes over the least; and those that would
/// vent no trap.
pub(super) fn takeoffs(
    tries: &Tries<'_>,
    need: usize,
    least: f64,
    larger: usize,
) -> (Vec<Takeoff>, Vec<Refusal>) {
    let (bench, rough_in) = (tries.bench, tries.rough_in);
    let placed = rough_in.placed(bench.job.cut_on);
    let mut found = Vec::new();
    let mut at = tries.needs[need].part;
    while let Some(leg) = rough_in.legs.iter().find(|l| l.high == Some(at) || l.piece == Some(at)) {
        let axis = rough_in.leg_axis(placed, leg.id);
        if axis.z.abs() > std::f64::consts::FRAC_1_SQRT_2 {
            if axis.z > 0.97 {
                found.extend(in_place_of_bend(bench, rough_in, leg.low, at, leg.size, least));
            }
            break;
        }
        if leg.high.is_some() && leg.piece.is_some() {
            found.extend(on_leg(bench, rough_in, leg.id, least, larger));
        }
        at = leg.low;
    }
    let (mut takeoffs, mut refusals) = (Vec::new(), Vec::new());
    for sketch in found {
        let words = sketch.words.clone();
        match sketch.placed(tries, need) {
            Ok(takeoff) => takeoffs.push(takeoff),
            Err(why) => {
                refusals.push(Refusal { kind: "takeoff", need: Some(need), words: vec![words], why });
            }
        }
    }
    (takeoffs, refusals)
}

fn on_leg(bench: &Bench<'_>, rough_in: &RoughIn, leg: LegId, least: f64, larger: usize) -> Vec<Sketch> {
    let placed = rough_in.placed(bench.job.cut_on);
    let leg = rough_in.leg(leg);
    let (low, high) = rough_in.leg_ends(placed, leg.id);
    let (run, length) = (rough_in.run(leg.run), (high - low).norm());
    let axis = (high - low) / length;
    let Some(piece) = leg.piece else { return Vec::new() };
    let material = rough_in.part(piece).material;
    let gaps =
        ((placed.stop(rough_in, piece, 0) - low).norm(), (high - placed.stop(rough_in, piece, 1)).norm());
    let after = (rough_in.part(leg.low).run == run.id).then(|| rough_in.part(leg.low).label.clone());
    let upper = leg.high.map(|p| rough_in.part(p).label.clone());
    // What is listed in another run can't be said to stand before this leg.
    if after
        .as_ref()
        .is_some_and(|a| bench.job.fits(&run.label).unwrap_or_default().iter().all(|f| f.name != *a))
    {
        return Vec::new();
    }
    let mut found = Vec::new();
    for family in ["combination", "wye"] {
        let Some((pattern, size)) = NominalSize::ALL
            .into_iter()
            .filter(|s| s.nominal().to_inches() >= least && *s <= leg.size)
            .filter_map(|s| {
                Some((bench.catalog.pattern(&format!("{0}x{0}x{s} {family}", leg.size)).ok()?, s))
            })
            .nth(larger)
        else {
            continue;
        };
        let (Some(leave), enter) = (pattern.leave, pattern.enter) else { continue };
        let reach = |port: usize| pattern.ports[port].stop.coords.dot(&pattern.ports[port].axis);
        let sockets = 2.0 * pattern.ports[enter].socket.to_inches();
        let from = gaps.0 + sockets + reach(enter);
        let to = length - gaps.1 - sockets - reach(leave);
        for along in places(rough_in, low, axis, from, to) {
            for clock in [0.0, 45.0, -45.0] {
                let centre = low + axis * along;
                let mut fit = Fit::plain(pattern.name.as_str(), "$1");
                fit.to = Some(spot(centre));
                fit.clock = Some(Clock::at(Angle::degrees(clock)));
                let words = format!(
                    "put a {} $1 into {}, {} from {}{}, its centre at {}, its branch {}",
                    pattern.name,
                    run.label,
                    Length::inches(along),
                    rough_in.part(leg.low).label,
                    upper.as_ref().map_or(String::new(), |u| format!(" towards {u}")),
                    said(rough_in, centre.z),
                    if clock == 0.0 { "straight up" } else { "rolled 45° up" },
                );
                let step = Step::Insert {
                    run: run.label.clone(),
                    after: after.clone(),
                    along: Length::inches(along),
                    fit: Box::new(fit),
                    whole: leg.high.is_some().then(|| Length::inches(length)),
                };
                let mut along = Vec::new();
                if family == "wye" && clock == 0.0 {
                    along.push(eighth(size));
                } else if family == "wye" {
                    continue;
                }
                let branch = |along| vent(run.label.as_str(), "$1", "branch", along, material);
                if clock == 0.0 {
                    let steps = vec![step.clone()];
                    found.push(Sketch { steps, branch: branch(along), size, words });
                    continue;
                }
                // Rolled: over to the middle of a wall that stands above, then upright.
                let side = axis.cross(&Vector3::z()).normalize() * clock.signum();
                for wall in rough_in.framed.walls.iter().filter(|w| w.z1 > centre.z) {
                    let out = wall.measure(centre.xy()).1;
                    let speed = side.xy().dot(&wall.into_room);
                    let over = (-wall.depth / 2.0 - out) / speed;
                    let travel = over * std::f64::consts::SQRT_2;
                    if !(4.0..=40.0).contains(&travel) {
                        continue;
                    }
                    let mut bend = eighth(size);
                    bend.centre = Some(sixteenths(travel));
                    let words = format!(
                        "{words}, {} at 45° into {}, upright with a {} $2",
                        sixteenths(travel),
                        wall.label,
                        bend.fit
                    );
                    let steps = vec![step.clone()];
                    found.push(Sketch { steps, branch: branch(vec![bend]), size, words });
                }
            }
        }
    }
    found
}

fn eighth(size: NominalSize) -> Fit {
    let mut bend = Fit::plain(format!("{size} 1/8 bend"), "$2");
    bend.clock = Some(Clock::at(Angle::ZERO));
    bend
}

/// Places along a leg: both ends of what is free, some between, and the middles of the bays it crosses.
fn places(rough_in: &RoughIn, low: Point3<f64>, axis: Vector3<f64>, from: f64, to: f64) -> Vec<f64> {
    if to < from {
        return Vec::new();
    }
    let mut places: Vec<f64> = (0..=3).map(|i| from + (to - from) * f64::from(i) / 3.0).collect();
    for wall in &rough_in.framed.walls {
        let speed = axis.xy().dot(&wall.along);
        let (start, out) = wall.measure(low.xy());
        if speed.abs() > 0.9 && (-wall.depth..=0.0).contains(&out) {
            let middles = bays(&rough_in.framed, wall, (low.z + 1.0).max(wall.z0 + 4.0));
            places.extend(middles.iter().map(|(middle, _)| (middle - start) / speed));
        }
    }
    let mut places: Vec<f64> = places
        .into_iter()
        .map(|p| sixteenths(p).to_inches())
        .map(|p| if p < from { (from * 16.0).ceil() / 16.0 } else { p })
        .filter(|p| (from - 1e-9..=to + 1e-9).contains(p))
        .collect();
    places.sort_by(f64::total_cmp);
    places.dedup();
    places
}

/// A point of the plan by x and y.
pub(super) fn spot(at: Point3<f64>) -> Spot {
    let (x, y) = (Length::inches(at.x), Length::inches(at.y));
    Spot(PlanPoint::At { x, y })
}

/// A sanitary tee in the place of the bend where the drain turns down: the vent goes on up.
fn in_place_of_bend(
    bench: &Bench<'_>,
    rough_in: &RoughIn,
    low: PartId,
    bend: PartId,
    size: NominalSize,
    least: f64,
) -> Option<Sketch> {
    let part = rough_in.part(bend);
    let pattern = part.pattern()?;
    if pattern.ports.len() != 2 || size.nominal().to_inches() < least || rough_in.part(low).run != part.run {
        return None;
    }
    if pattern.ports.iter().any(|p| p.end != PortEnd::Hub) {
        return None;
    }
    let run = &rough_in.run(part.run).label;
    let mut fit = bench.job.fits(run)?.iter().find(|f| f.name == part.label)?.clone();
    fit.fit = bench.catalog.pattern(&format!("{size} sanitary tee")).ok()?.name.clone();
    (fit.enter, fit.leave) = (None, Some(Label::new("branch")));
    let words =
        format!("put a {} in the place of the bend {} of {run}, its run upright", fit.fit, part.label);
    let step = Step::Replace { run: run.clone(), old: part.label.clone(), fit: Box::new(fit) };
    let branch = vent(run.as_str(), part.label.as_str(), "up", Vec::new(), part.material);
    Some(Sketch { steps: vec![step], branch, size, words })
}

/// A vent off a port, of what its drain is made of; its end is not said yet.
pub(super) fn vent(run: &str, fitting: &str, port: &str, along: Vec<Fit>, material: Material) -> Branch {
    Branch {
        name: Label::new(format!("{} vent", run.trim_end_matches(" arm").trim_end_matches(" drain"))),
        from: PortName { fitting: Label::new(fitting), port: Some(Label::new(port)) },
        material,
        system: Some(System::Vent),
        grade: None,
        along,
        end: End::Valve {},
        note: None,
    }
}

/// A takeoff thought of, not yet placed.
struct Sketch {
    steps: Vec<Step>,
    branch: Branch,
    size: NominalSize,
    words: String,
}

impl Sketch {
    /// Places it with air at its top to see where its vent starts, which way it goes, and which traps it vents.
    fn placed(self, tries: &Tries<'_>, need: usize) -> Result<Takeoff, String> {
        let Self { steps, branch, size, words } = self;
        let mut all = steps.clone();
        all.push(Step::Branch(Box::new(branch.clone())));
        let (put, mends) = tries.looked_at(&all, Some(need))?;
        let placed = put.rough_in.placed(put.job.cut_on);
        let lost = || "the vent could not be placed".to_owned();
        // It is the last branch of the job.
        let label = &put.job.branches.last().ok_or_else(lost)?.name;
        let made = put.rough_in.runs.iter().find(|r| r.label == *label).ok_or_else(lost)?;
        // What is red of it without its way out stays so with any.
        let stays = |p: &&Part| p.run != made.id || made.fits.iter().any(|f| f.1 == p.id);
        let goes: Vec<&Label> = put.rough_in.parts.iter().filter(|p| !stays(p)).map(|p| &p.label).collect();
        let stops = |f: &Finding| {
            !tries.stood(f) && !provided(f) && !f.labels.iter().any(|l| l == label || goes.contains(&l))
        };
        first_look(tries.bench, &put, tries.before, stops).map_err(|red| red.to_string())?;
        let RunKind::Branch { from: foot, .. } = made.kind else { return Err(lost()) };
        let (part, port) = match made.fits.last() {
            Some((_, last)) => {
                (*last, put.rough_in.part(*last).pattern().and_then(|p| p.leave).ok_or_else(lost)?)
            }
            None => foot,
        };
        Ok(Takeoff {
            steps,
            words,
            branch,
            size,
            foot: placed.origin(foot.0),
            tip: placed.stop(&put.rough_in, part, port),
            axis: placed.axis(&put.rough_in, part, port),
            mends,
        })
    }
}
