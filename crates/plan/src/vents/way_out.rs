//! Ways out: how a vent that rises gets to the open air: through the roof, into another vent, by a valve.

use super::candidate::Candidate;
use super::room::{bays, upright_is_clear, wall_at};
use super::step::Step;
use super::takeoff::{Takeoff, spot};
use crate::trial::Bench;
use nalgebra::{Point2, Point3};
use truefall_check::cure::sixteenths;
use truefall_check::vent::rim;
use truefall_model::framing::provided::Provided;
use truefall_model::job::clock::Clock;
use truefall_model::job::height::{Height, Surface};
use truefall_model::job::pipes::{End, Fit, PortName};
use truefall_model::label::Label;
use truefall_model::place::{LegId, RoughIn};
use truefall_model::units::{Angle, Length};

/// Level vent is no longer than this: past it another way is nearer.
const FARTHEST_IN: f64 = 144.0;

/// An end through the roof that clears roof and snow.
pub(crate) fn roof_end(bench: &Bench<'_>) -> End {
    let roof = bench.profile.figure("vent-above-roof").value;
    let snow = bench.job.house.snow_depth.zip(bench.profile.find("vent-above-snow"));
    // An inch more, for what a lean makes of it.
    let over = snow.map_or(0.0, |(depth, figure)| depth.to_inches() + figure.value + 1.0);
    End::Roof { above: Length::inches(over.max(roof).max(12.0).ceil()) }
}

/// All ways out of a takeoff for the traps of some fixtures.
pub(super) fn ways(
    bench: &Bench<'_>,
    rough_in: &RoughIn,
    takeoff: &Takeoff,
    fixture: usize,
) -> Vec<Candidate> {
    if takeoff.axis.z < 0.9 {
        return Vec::new();
    }
    let rim = rim(bench.job, rough_in, bench.catalog, fixture).map_or(takeoff.tip.z, |r| r.z);
    let mut found = Vec::new();
    found.extend(through_roof(bench, rough_in, takeoff));
    found.extend(by_valve(bench, rough_in, takeoff, fixture));
    let over =
        bench.profile.figure("vent-flat-over-rim").value.max(bench.profile.figure("vent-tie-over-rim").value);
    for leg in &rough_in.legs {
        found.extend(tied(bench, rough_in, takeoff, leg.id, rim, over));
    }
    found.extend(over_and_up(bench, rough_in, takeoff, rim + over));
    found
}

fn radius(bench: &Bench<'_>, takeoff: &Takeoff) -> f64 {
    bench.catalog.pipe(takeoff.branch.material, takeoff.size).map_or(1.0, |p| p.outside.to_inches() / 2.0)
}

fn made(
    takeoff: &Takeoff,
    kind: &'static str,
    fits: Vec<Fit>,
    end: End,
    words: Vec<String>,
    before: Vec<Step>,
    after: Vec<Step>,
) -> Candidate {
    let mut branch = takeoff.branch.clone();
    branch.along.extend(fits);
    branch.end = end;
    let steps =
        takeoff.steps.iter().cloned().chain(before).chain([Step::Branch(Box::new(branch))]).chain(after);
    let words = std::iter::once(takeoff.words.clone()).chain(words).collect();
    Candidate { kind, steps: steps.collect(), words }
}

/// Where the vent's line is at a height.
fn at_height(takeoff: &Takeoff, z: f64) -> Point2<f64> {
    (takeoff.tip + takeoff.axis * ((z - takeoff.tip.z) / takeoff.axis.z)).xy()
}

fn clear(bench: &Bench<'_>, rough_in: &RoughIn, takeoff: &Takeoff, to: f64) -> bool {
    let middle = at_height(takeoff, (takeoff.tip.z + to) / 2.0);
    let lean = (at_height(takeoff, to) - takeoff.tip.xy()).norm() / 2.0;
    upright_is_clear(&rough_in.framed, middle, takeoff.tip.z, to, (radius(bench, takeoff) - lean).max(0.5))
}

fn through_roof(bench: &Bench<'_>, rough_in: &RoughIn, takeoff: &Takeoff) -> Option<Candidate> {
    let (_, z) = rough_in.framed.roof_over(takeoff.tip.x, takeoff.tip.y)?;
    if !clear(bench, rough_in, takeoff, z) {
        return None;
    }
    let words =
        format!("{} in pipe straight up{} and through the roof", takeoff.size, inside(rough_in, takeoff.tip));
    Some(made(
        takeoff,
        "vent through the roof",
        Vec::new(),
        roof_end(bench),
        vec![words],
        Vec::new(),
        Vec::new(),
    ))
}

fn inside(rough_in: &RoughIn, at: Point3<f64>) -> String {
    wall_at(&rough_in.framed, at.xy(), at.z, at.z + 40.0)
        .map_or(String::new(), |w| format!(" in {}", w.label))
}

fn by_valve(bench: &Bench<'_>, rough_in: &RoughIn, takeoff: &Takeoff, fixture: usize) -> Option<Candidate> {
    let over = bench.profile.find("valve-over-drain")?.value;
    let mut fit = Fit::plain(format!("{} coupling", takeoff.size), "$9");
    // One must get at it: over the floor, in a wall wherever the job has walls.
    let floor = rough_in.framed.floor(&bench.job.fixtures[fixture].floor)?.finished_z;
    let z = (takeoff.foot.z + over + 2.0).max(takeoff.tip.z + 4.0).max(floor + 6.0);
    let in_wall = wall_at(&rough_in.framed, at_height(takeoff, z), z, z).is_some();
    if !in_wall && !rough_in.framed.walls.is_empty() {
        return None;
    }
    let height = height(rough_in, z);
    if !clear(bench, rough_in, takeoff, z) {
        return None;
    }
    let words = format!(
        "{} in pipe up to {}, an air admittance valve on it behind a panel",
        takeoff.size,
        said(rough_in, z)
    );
    fit.height = Some(height);
    let access = Step::Provide(Box::new(Provided::Access { to: Label::new("$9"), wide: None }));
    Some(made(takeoff, "vent by a valve", vec![fit], End::Valve {}, vec![words], Vec::new(), vec![access]))
}

/// Up, then level into an upright dry vent that is open to the air.
fn tied(
    bench: &Bench<'_>,
    rough_in: &RoughIn,
    takeoff: &Takeoff,
    leg: LegId,
    rim_z: f64,
    over: f64,
) -> Option<Candidate> {
    let placed = rough_in.placed(bench.job.cut_on);
    let leg = rough_in.leg(leg);
    let (piece, axis) = (leg.piece?, rough_in.leg_axis(placed, leg.id));
    let (wet, airy) = (&rough_in.network.wet, &rough_in.network.airy);
    if wet[piece.0 as usize] || !airy[piece.0 as usize] || axis.z < 0.97 {
        return None;
    }
    let served =
        rough_in.runs.iter().filter_map(|r| Some((r.fixture?, r.last_piece.or(r.fits.last().map(|f| f.1))?)));
    let on_it =
        |last| std::iter::successors(Some(last), |p| rough_in.network.below(*p)).any(|p| p == leg.low);
    let rims = served
        .filter(|(_, last)| on_it(*last))
        .filter_map(|(f, _)| rim(bench.job, rough_in, bench.catalog, f));
    let highest = rims.map(|r| r.z).fold(rim_z, f64::max);
    let (low, high) = (placed.stop(rough_in, piece, 0).z + 3.5, placed.stop(rough_in, piece, 1).z - 5.0);
    let bend_z = ((highest + over).max(low).max(takeoff.tip.z + 4.0) * 2.0).ceil() / 2.0 + 0.5;
    let start = at_height(takeoff, bend_z);
    let foot = rough_in.leg_ends(placed, leg.id).0;
    let goal = |z: f64| (foot + axis * ((z - foot.z) / axis.z)).xy();
    let way = goal(bend_z) - start;
    let level = way.norm();
    // The 1/4 bend's leg rises by the pitch it has built in.
    let tee_z = bend_z + level * 0.25 / 12.0;
    if !(6.0..=FARTHEST_IN).contains(&level) || tee_z > high || !clear(bench, rough_in, takeoff, bend_z) {
        return None;
    }
    let run = rough_in.run(leg.run);
    let tee = format!("{0}x{0}x{1} sanitary tee", leg.size, takeoff.size);
    let mut fit = Fit::plain(bench.catalog.pattern(&tee).ok()?.name.as_str(), "$8");
    (fit.enter, fit.leave) = (Some(Label::new("up")), Some(Label::new("down")));
    fit.height = Some(height(rough_in, tee_z));
    fit.clock = Some(Clock::at(Angle::radians((-way.x).atan2(-way.y))));
    let after = (rough_in.part(leg.low).run == run.id
        && !matches!(rough_in.part(leg.low).kind, truefall_model::place::PartKind::Existing { .. }))
    .then(|| rough_in.part(leg.low).label.clone());
    let whole = leg.high.map(|h| Length::inches((placed.origin(h) - placed.origin(leg.low)).norm()));
    let put = Step::Insert {
        run: run.label.clone(),
        after,
        along: Length::inches((tee_z - foot.z) / axis.z),
        fit: Box::new(fit.clone()),
        whole,
    };
    let mut bend = Fit::plain(format!("{} 1/4 bend", takeoff.size), "$7");
    bend.height = Some(height(rough_in, bend_z));
    let words = vec![
        format!(
            "{} in pipe up{} to a 1/4 bend $7 at {}",
            takeoff.size,
            inside(rough_in, takeoff.tip),
            said(rough_in, bend_z)
        ),
        format!("{} over to {}, rising 1/4 in per ft", Length::inches(level), run.label),
        format!("a {} $8 on its head in {} at {}", fit.fit, run.label, said(rough_in, tee_z)),
    ];
    let end = End::Tie { to: PortName { fitting: Label::new("$8"), port: Some(Label::new("branch")) } };
    Some(made(takeoff, "re-vent", vec![bend], end, words, vec![put], Vec::new()))
}

/// Up to a lawful height, level through studs to another bay, up through the roof there.
fn over_and_up(bench: &Bench<'_>, rough_in: &RoughIn, takeoff: &Takeoff, least_z: f64) -> Vec<Candidate> {
    let bend_z = (least_z.max(takeoff.tip.z + 4.0) * 2.0).ceil() / 2.0 + 0.5;
    let start = at_height(takeoff, bend_z);
    let framed = &rough_in.framed;
    let Some(wall) = wall_at(framed, start, bend_z, bend_z) else { return Vec::new() };
    if bend_z > wall.z1 - 8.0 || !clear(bench, rough_in, takeoff, bend_z) {
        return Vec::new();
    }
    let (along, out) = wall.measure(start);
    let mut middles: Vec<f64> =
        bays(framed, wall, bend_z).into_iter().map(|b| b.0).filter(|m| (m - along).abs() > 8.0).collect();
    middles.sort_by(|a, b| (a - along).abs().total_cmp(&(b - along).abs()));
    let mut found = Vec::new();
    for middle in middles.into_iter().take(6).filter(|m| (m - along).abs() < FARTHEST_IN) {
        let p = wall.at_height(middle, out, bend_z);
        let Some((_, roof)) = framed.roof_over(p.x, p.y) else { continue };
        if !upright_is_clear(framed, p.xy(), bend_z, roof, radius(bench, takeoff)) {
            continue;
        }
        let mut first = Fit::plain(format!("{} 1/4 bend", takeoff.size), "$7");
        first.height = Some(height(rough_in, bend_z));
        let mut second = Fit::plain(format!("{} 1/4 bend", takeoff.size), "$8");
        second.to = Some(spot(rough_in, p));
        second.clock = Some(Clock::at(Angle::ZERO));
        let words = vec![
            format!("{} in pipe up to a 1/4 bend $7 at {}", takeoff.size, said(rough_in, bend_z)),
            format!(
                "{} level in {} to a 1/4 bend $8, up and through the roof",
                sixteenths((middle - along).abs()),
                wall.label
            ),
        ];
        found.push(made(
            takeoff,
            "vent over and through the roof",
            vec![first, second],
            roof_end(bench),
            words,
            Vec::new(),
            Vec::new(),
        ));
    }
    found
}

/// The same in words.
fn said(rough_in: &RoughIn, z: f64) -> String {
    let height = height(rough_in, z);
    if height.off.to_inches() < 0.0 {
        return format!("{} below {} {}", -height.off, height.floor, height.surface);
    }
    height.to_string()
}

/// A height to the sixteenth off the rough surface of the highest floor below it.
fn height(rough_in: &RoughIn, z: f64) -> Height {
    let floors = &rough_in.framed.floors;
    let below = floors.iter().filter(|f| f.rough_z <= z).max_by(|a, b| a.rough_z.total_cmp(&b.rough_z));
    let floor = below.or_else(|| floors.iter().find(|f| f.datum));
    let (label, at) = floor.map_or((Label::new("first"), 0.0), |f| (f.label.clone(), f.rough_z));
    Height { off: sixteenths(z - at), floor: label, surface: Surface::Rough }
}
