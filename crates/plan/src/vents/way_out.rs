//! Ways out: how a vent that rises gets to the open air: through the roof, into another vent, by a valve.

use super::candidate::{Candidate, Riser};
use super::pool::Pool;
use super::room::{bays, height, said, upright_is_clear, wall_at};
use super::step::Step;
use super::takeoff::{Takeoff, spot};
use super::tries::Tries;
use crate::trial::Bench;
use nalgebra::{Point2, Point3, Vector3};
use truefall_check::cure::sixteenths;
use truefall_check::vent::rim;
use truefall_model::framing::provided::Provided;
use truefall_model::job::clock::Clock;
use truefall_model::job::pipes::{End, Fit, PortName};
use truefall_model::label::Label;
use truefall_model::place::{LegId, RoughIn};
use truefall_model::units::{Angle, Length, NominalSize};

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

/// What is made of a takeoff.
struct Made {
    kind: &'static str,
    fits: Vec<Fit>,
    end: End,
    words: Vec<String>,
    before: Vec<Step>,
    after: Vec<Step>,
    pipe_in: f64,
    riser: Option<Riser>,
}

fn made(takeoff: &Takeoff, made: Made) -> Candidate {
    let mut branch = takeoff.branch.clone();
    branch.along.extend(made.fits);
    branch.end = made.end;
    let new = [Step::Branch(Box::new(branch))];
    let steps = takeoff.steps.iter().cloned().chain(made.before).chain(new).chain(made.after);
    Candidate {
        kind: made.kind,
        need: None,
        steps: steps.collect(),
        words: std::iter::once(takeoff.words.clone()).chain(made.words).collect(),
        mends: takeoff.mends.clone(),
        host: None,
        pipe_in: made.pipe_in.max(0.0),
        size: takeoff.size,
        riser: made.riser,
    }
}

/// What is wanted at the roof against frost: a reducer, wide end up, where the vent is smaller than the code asks there.
fn against_frost(
    bench: &Bench<'_>,
    rough_in: &RoughIn,
    size: NominalSize,
    roof_z: f64,
) -> Option<(Fit, String)> {
    let (least, from) =
        (bench.profile.figure("vent-frost-size").value, bench.profile.figure("vent-frost-from").value);
    let cold = bench.job.house.design_temperature_f.is_some_and(|cold| cold <= from);
    if !cold || size.nominal().to_inches() >= least {
        return None;
    }
    let wide = NominalSize::ALL.into_iter().filter(|s| s.nominal().to_inches() >= least);
    let name =
        wide.filter_map(|s| bench.catalog.pattern(&format!("{s}x{size} reducer")).ok()).next()?.name.clone();
    let z = roof_z - FROST_IN;
    let mut fit = Fit::plain(name.as_str(), "$6");
    (fit.enter, fit.leave) = (Some(Label::new("out")), Some(Label::new("in")));
    fit.height = Some(height(rough_in, z));
    Some((fit, format!("a {name} $6, wide end up, at {} against frost", said(rough_in, z))))
}

/// From so far inside the roof a vent is larger against frost: the foot that codes ask, and the reducer's own length.
const FROST_IN: f64 = 18.0;

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
    let mut words = vec![format!(
        "{} in pipe straight up{} and through the roof",
        takeoff.size,
        inside(rough_in, takeoff.tip)
    )];
    let frost = against_frost(bench, rough_in, takeoff.size, z);
    words.extend(frost.iter().map(|f| f.1.clone()));
    let after = takeoff.branch.along.last().map(|f| f.name.clone());
    let riser = Riser { foot: takeoff.tip, axis: takeoff.axis, top_z: z, size: takeoff.size, after };
    Some(made(
        takeoff,
        Made {
            kind: "vent through the roof",
            fits: frost.into_iter().map(|f| f.0).collect(),
            end: roof_end(bench),
            words,
            before: Vec::new(),
            after: Vec::new(),
            pipe_in: z - takeoff.tip.z - FROST_IN,
            riser: Some(riser),
        },
    ))
}

fn inside(rough_in: &RoughIn, at: Point3<f64>) -> String {
    wall_at(&rough_in.framed, at.xy(), at.z, at.z + 40.0)
        .map_or(String::new(), |w| format!(" in {}", w.label))
}

fn by_valve(bench: &Bench<'_>, rough_in: &RoughIn, takeoff: &Takeoff, fixture: usize) -> Option<Candidate> {
    let over = bench.profile.find("valve-over-drain").filter(|_| bench.profile.has_valves())?.value;
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
    Some(made(
        takeoff,
        Made {
            kind: "vent by a valve",
            fits: vec![fit],
            end: End::Valve {},
            words: vec![words],
            before: Vec::new(),
            after: vec![access],
            pipe_in: 0.0,
            riser: None,
        },
    ))
}

/// An upright dry vent that another can be tied into.
struct Target {
    /// Its run, and what it is called in words.
    run: Label,
    words: String,
    /// A point of its line, and the way it goes.
    foot: Point3<f64>,
    axis: Vector3<f64>,
    /// Where the tee's centre may stand.
    low: f64,
    high: f64,
    size: NominalSize,
    /// The fitting below the leg that is cut, and the leg's length where a fitting stands above.
    after: Option<Label>,
    whole: Option<Length>,
    /// The highest rim it serves.
    rim_z: f64,
}

/// Up, then level into an upright dry vent that is open to the air.
pub(super) fn tied(
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
    let run = rough_in.run(leg.run);
    let after = (rough_in.part(leg.low).run == run.id
        && !matches!(rough_in.part(leg.low).kind, truefall_model::place::PartKind::Existing { .. }))
    .then(|| rough_in.part(leg.low).label.clone());
    let target = Target {
        run: run.label.clone(),
        words: run.label.to_string(),
        foot: rough_in.leg_ends(placed, leg.id).0,
        axis,
        low: placed.stop(rough_in, piece, 0).z + 3.5,
        high: placed.stop(rough_in, piece, 1).z - 5.0,
        size: leg.size,
        after,
        whole: leg.high.map(|h| Length::inches((placed.origin(h) - placed.origin(leg.low)).norm())),
        rim_z: rims.map(|r| r.z).fold(rim_z, f64::max),
    };
    into(bench, rough_in, takeoff, &target, over)
}

/// Up to the height that rims ask for, over at the pitch of the bend, and into a tee on its head.
fn into(
    bench: &Bench<'_>,
    rough_in: &RoughIn,
    takeoff: &Takeoff,
    target: &Target,
    over: f64,
) -> Option<Candidate> {
    let least = (target.rim_z + over).max(target.low).max(takeoff.tip.z + 4.0);
    let bend_z = (least * 2.0).ceil() / 2.0 + 0.5;
    let start = at_height(takeoff, bend_z);
    let (foot, axis) = (target.foot, target.axis);
    let goal = |z: f64| (foot + axis * ((z - foot.z) / axis.z)).xy();
    let way = goal(bend_z) - start;
    let level = way.norm();
    let bend = bench.catalog.pattern(&format!("{} 1/4 bend", takeoff.size)).ok()?;
    // The bend's leg rises by the pitch it has built in.
    let tee_z = bend_z + level * bend.pitch.to_per_foot() / 12.0;
    if !(6.0..=FARTHEST_IN).contains(&level)
        || tee_z > target.high
        || !clear(bench, rough_in, takeoff, bend_z)
    {
        return None;
    }
    let tee = format!("{0}x{0}x{1} sanitary tee", target.size, takeoff.size);
    let mut fit = Fit::plain(bench.catalog.pattern(&tee).ok()?.name.as_str(), "$8");
    (fit.enter, fit.leave) = (Some(Label::new("up")), Some(Label::new("down")));
    fit.height = Some(height(rough_in, tee_z));
    fit.clock = Some(Clock::at(Angle::radians((-way.x).atan2(-way.y))));
    let put = Step::Insert {
        run: target.run.clone(),
        after: target.after.clone(),
        along: Length::inches((tee_z - foot.z) / axis.z),
        fit: Box::new(fit.clone()),
        whole: target.whole,
    };
    let mut turn = Fit::plain(bend.name.as_str(), "$7");
    turn.height = Some(height(rough_in, bend_z));
    let words = vec![
        format!(
            "{} in pipe up{} to a 1/4 bend $7 at {}",
            takeoff.size,
            inside(rough_in, takeoff.tip),
            said(rough_in, bend_z)
        ),
        format!("{} over to {}, rising {}", Length::inches(level), target.words, bend.pitch),
        format!("a {} $8 on its head in {} at {}", fit.fit, target.words, said(rough_in, tee_z)),
    ];
    Some(made(
        takeoff,
        Made {
            kind: "re-vent",
            fits: vec![turn],
            end: End::Tie { to: PortName { fitting: Label::new("$8"), port: Some(Label::new("branch")) } },
            words,
            before: vec![put],
            after: Vec::new(),
            pipe_in: bend_z - takeoff.tip.z + level - 12.0,
            riser: None,
        },
    ))
}

/// Vents joined to the new vents of other needs, at the lowest height and one tee higher, where another may be in the way.
pub(super) fn joined(tries: &Tries<'_>, pool: &mut Pool, takeoffs: &[Vec<Takeoff>]) {
    let (bench, rough_in) = (tries.bench, tries.rough_in);
    let over =
        bench.profile.figure("vent-flat-over-rim").value.max(bench.profile.figure("vent-tie-over-rim").value);
    let rim_of = |need: &usize| rim(bench.job, rough_in, bench.catalog, tries.needs[*need].fixture);
    // Of each need's own vents the cheapest can be joined to; dearer ones are dearer with what is joined to them too.
    let mut hosts: Vec<usize> = Vec::new();
    for need in 0..tries.needs.len() {
        let riser = |i: &usize| pool.ways[*i].candidate.riser.is_some();
        let mut own: Vec<(f64, usize)> = (0..pool.ways.len())
            .filter(riser)
            .filter_map(|i| Some((pool.offer(i)?, i)))
            .filter(|(offer, _)| offer.needs.contains(&need))
            .map(|(offer, i)| (offer.cost.points, i))
            .collect();
        own.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (_, i) in own.into_iter().take(HOSTS) {
            if !hosts.contains(&i) {
                hosts.push(i);
            }
        }
    }
    for (need, takeoffs) in takeoffs.iter().enumerate() {
        let strangers: Vec<usize> = (hosts.iter().copied())
            .filter(|h| pool.offer(*h).is_some_and(|o| !o.needs.contains(&need)))
            .collect();
        if strangers.is_empty() {
            continue;
        }
        for host in strangers {
            let Some(riser) = pool.ways[host].candidate.riser.clone() else { continue };
            let mut rims: Vec<f64> = vec![riser.foot.z];
            rims.extend(pool.offer(host).iter().flat_map(|o| &o.needs).filter_map(rim_of).map(|r| r.z));
            rims.extend(rim_of(&need).map(|r| r.z));
            let rim_z = rims.into_iter().fold(f64::NEG_INFINITY, f64::max);
            let mine = |label: &Label| Label::new(format!("@{host}/{label}"));
            for takeoff in takeoffs {
                for higher in [0.0, TEE_IN] {
                    let target = Target {
                        run: Label::new(format!("@{host}/$run")),
                        words: format!("@{host}/$run"),
                        foot: riser.foot,
                        axis: riser.axis,
                        low: riser.foot.z + 3.5,
                        high: riser.top_z - FROST_IN - 6.0,
                        size: riser.size,
                        after: riser.after.as_ref().map(mine),
                        whole: None,
                        rim_z: rim_z + higher,
                    };
                    if let Some(mut candidate) = into(bench, rough_in, takeoff, &target, over) {
                        (candidate.kind, candidate.host) = ("joined to a new vent", Some(host));
                        candidate.need = Some(need);
                        candidate.mends.retain(|n, _| pool.offer(host).is_some_and(|o| !o.needs.contains(n)));
                        pool.put(candidate);
                    }
                }
            }
        }
    }
}

/// New vents of each need that others are joined to.
const HOSTS: usize = 2;

/// So far apart two tees on one upright are out of each other's way.
const TEE_IN: f64 = 8.0;

/// Up to a lawful height, level through studs to another bay, up through the roof there.
pub(super) fn over_and_up(
    bench: &Bench<'_>,
    rough_in: &RoughIn,
    takeoff: &Takeoff,
    least_z: f64,
) -> Vec<Candidate> {
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
        second.to = Some(spot(p));
        second.clock = Some(Clock::at(Angle::ZERO));
        let words = vec![
            format!("{} in pipe up to a 1/4 bend $7 at {}", takeoff.size, said(rough_in, bend_z)),
            format!(
                "{} level in {} to a 1/4 bend $8, up and through the roof",
                sixteenths((middle - along).abs()),
                wall.label
            ),
        ];
        let mut words = words;
        let frost = against_frost(bench, rough_in, takeoff.size, roof);
        words.extend(frost.iter().map(|f| f.1.clone()));
        let riser = Riser {
            foot: Point3::new(p.x, p.y, bend_z + 3.0),
            axis: Vector3::z(),
            top_z: roof,
            size: takeoff.size,
            after: Some(Label::new("$8")),
        };
        found.push(made(
            takeoff,
            Made {
                kind: "vent over and through the roof",
                fits: [first, second].into_iter().chain(frost.map(|f| f.0)).collect(),
                end: roof_end(bench),
                words,
                before: Vec::new(),
                after: Vec::new(),
                pipe_in: roof - takeoff.tip.z + (middle - along).abs() - 16.0 - FROST_IN,
                riser: Some(riser),
            },
        ));
    }
    found
}
