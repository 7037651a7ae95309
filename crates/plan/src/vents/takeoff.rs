//! Takeoffs: where on its way to the base a trap's drain can be given a fitting that lets a dry vent rise.

use super::need::Need;
use super::room::bays;
use super::step::Step;
use crate::trial::Bench;
use nalgebra::{Point3, Vector3};
use truefall_check::cure::sixteenths;
use truefall_model::catalog::pattern::PortEnd;
use truefall_model::job::clock::Clock;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::job::pipes::{Branch, End, Fit, PortName, System};
use truefall_model::job::point::{PlanPoint, Spot};
use truefall_model::label::Label;
use truefall_model::place::{LegId, PartId, RoughIn, place};
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

/// The places where a trap's drain can take a vent, nearest the trap first.
pub(super) fn takeoffs(bench: &Bench<'_>, rough_in: &RoughIn, need: &Need, least: f64) -> Vec<Takeoff> {
    let placed = rough_in.placed(bench.job.cut_on);
    let mut found = Vec::new();
    let mut at = need.part;
    while let Some(leg) = rough_in.legs.iter().find(|l| l.high == Some(at) || l.piece == Some(at)) {
        let axis = rough_in.leg_axis(placed, leg.id);
        if axis.z.abs() > std::f64::consts::FRAC_1_SQRT_2 {
            if axis.z > 0.97 {
                found.extend(in_place_of_bend(bench, rough_in, leg.low, at, leg.size, least));
            }
            break;
        }
        if leg.high.is_some() && leg.piece.is_some() {
            found.extend(on_leg(bench, rough_in, leg.id, least));
        }
        at = leg.low;
    }
    found
}

fn on_leg(bench: &Bench<'_>, rough_in: &RoughIn, leg: LegId, least: f64) -> Vec<Takeoff> {
    let placed = rough_in.placed(bench.job.cut_on);
    let leg = rough_in.leg(leg);
    let (low, high) = rough_in.leg_ends(placed, leg.id);
    let (run, length) = (rough_in.run(leg.run), (high - low).norm());
    let axis = (high - low) / length;
    let Some(piece) = leg.piece else { return Vec::new() };
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
            .find_map(|s| Some((bench.catalog.pattern(&format!("{0}x{0}x{s} {family}", leg.size)).ok()?, s)))
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
                fit.to = Some(spot(rough_in, centre));
                fit.clock = Some(Clock::at(Angle::degrees(clock)));
                let words = format!(
                    "put a {} $1 into {}, {} from {}{}, its branch {}",
                    pattern.name,
                    run.label,
                    Length::inches(along),
                    rough_in.part(leg.low).label,
                    upper.as_ref().map_or(String::new(), |u| format!(" towards {u}")),
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
                let first = proto(bench, vec![step.clone()], along, size, words.clone(), run.label.as_str());
                if clock == 0.0 {
                    found.extend(first);
                    continue;
                }
                // Rolled: over to the middle of a wall that stands above, then upright.
                let Some(first) = first else { continue };
                let level = first.axis.xy();
                for wall in rough_in.framed.walls.iter().filter(|w| w.z1 > first.tip.z) {
                    let out = wall.measure(first.foot.xy()).1;
                    let speed = level.dot(&wall.into_room);
                    let over = (-wall.depth / 2.0 - out) / speed;
                    let travel = over * level.norm() * std::f64::consts::SQRT_2;
                    if !(4.0..=40.0).contains(&travel) || over <= 0.0 {
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
                    found.extend(proto(
                        bench,
                        vec![step.clone()],
                        vec![bend],
                        size,
                        words,
                        run.label.as_str(),
                    ));
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

/// A point of the plan: off a wall where it is in one, else by x and y.
pub(super) fn spot(rough_in: &RoughIn, at: Point3<f64>) -> Spot {
    let (x, y) = (Length::inches(at.x), Length::inches(at.y));
    let _ = rough_in;
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
) -> Option<Takeoff> {
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
    let from = PortName { fitting: part.label.clone(), port: Some(Label::new("up")) };
    proto_from(bench, vec![step], from, Vec::new(), size, words, run.as_str())
}

fn proto(
    bench: &Bench<'_>,
    steps: Vec<Step>,
    along: Vec<Fit>,
    size: NominalSize,
    words: String,
    run: &str,
) -> Option<Takeoff> {
    let from = PortName { fitting: Label::new("$1"), port: Some(Label::new("branch")) };
    proto_from(bench, steps, from, along, size, words, run)
}

/// Places the takeoff alone to see where its vent starts and which way it goes.
fn proto_from(
    bench: &Bench<'_>,
    steps: Vec<Step>,
    from: PortName,
    along: Vec<Fit>,
    size: NominalSize,
    words: String,
    run: &str,
) -> Option<Takeoff> {
    let branch = Branch {
        name: Label::new(format!("{} vent", run.trim_end_matches(" arm").trim_end_matches(" drain"))),
        from,
        material: truefall_model::catalog::material::Material::Pvc,
        system: Some(System::Vent),
        grade: None,
        along,
        end: End::Open {},
        note: None,
    };
    let mut all = steps.clone();
    all.push(Step::Branch(Box::new(branch.clone())));
    let (edits, names) = super::step::edits(bench.job, &[&all]);
    let mut job = bench.job.clone();
    truefall_model::job::Edit::All(edits).apply(&mut job).ok()?;
    let placed_job = place(&job, bench.catalog).ok()?;
    let placed = placed_job.placed(job.cut_on);
    let label = names[0].get("$run")?;
    let made = placed_job.runs.iter().find(|r| r.label == *label)?;
    let truefall_model::place::RunKind::Branch { from: foot, .. } = made.kind else { return None };
    let (part, port) = match made.fits.last() {
        Some((_, last)) => (*last, placed_job.part(*last).pattern()?.leave?),
        None => foot,
    };
    Some(Takeoff {
        steps,
        words,
        branch,
        size,
        foot: placed.origin(foot.0),
        tip: placed.stop(&placed_job, part, port),
        axis: placed.axis(&placed_job, part, port),
    })
}
