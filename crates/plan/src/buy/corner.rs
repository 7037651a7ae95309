//! A corner made of other pieces: two 1/8 bends for a 1/4 bend, a wye with a street 1/8 bend for a combination.
//!
//! The corner is cut off, so the fittings stand elsewhere and what is measured from them is measured anew, such that the legs on
//! both sides stay in their lines, but for the pitch of a fitting that true bends lack. That they do is looked at on a placed copy
//! before the swap is so much as an idea; how far what follows comes to stand from where it stood is told with it.

use super::swap::{Spot, Swap, SwapKind, known};
use crate::site::Site;
use nalgebra::{Point3, Vector3};
use std::f64::consts::FRAC_1_SQRT_2;
use truefall_model::catalog::family::Family;
use truefall_model::catalog::name::FittingName;
use truefall_model::catalog::pattern::Pattern;
use truefall_model::job::Job;
use truefall_model::job::clock::Clock;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::pipes::Fit;
use truefall_model::job::point::{PlanPoint, Spot as At};
use truefall_model::label::Label;
use truefall_model::place::{Part, clock_of, place};
use truefall_model::units::{Angle, Length};

/// How far what follows may come to stand from where it stood, inches, beside what a turned leg makes of its length: more is
/// another layout, and none of buying's business.
const MOVED_IN: f64 = 0.25;
/// How far the leg beyond may turn from its line: the pitch of a 1/4 bend, 1.193 degrees, which true bends lack.
const TURNED_DEGREES: f64 = 1.25;
/// Less than this is not told: half of what a tape shows.
const TOLD_IN: f64 = 1.0 / 32.0;
/// Steeper than this a leg is told by heights, flatter by points on the plan.
const UPRIGHT: f64 = 0.9;

/// Swaps of a 1/4 bend for two 1/8 bends: one with its spigot in the other, or hub to hub with a piece between.
pub(super) fn eighths(site: &Site<'_>, spot: &Spot<'_>) -> Vec<Swap> {
    let bend = matches!(spot.name.family(), Family::QuarterBend | Family::LongTurnQuarterBend);
    if !bend || !plain(spot.fit) {
        return Vec::new();
    }
    [true, false].into_iter().filter_map(|street| two_eighths(site, spot, street)).collect()
}

/// The swap of a combination for a wye with a street 1/8 bend in its branch.
pub(super) fn wye_and_eighth(site: &Site<'_>, spot: &Spot<'_>) -> Option<Swap> {
    if spot.name.family() != Family::Combination || !plain(spot.fit) {
        return None;
    }
    let (wye_name, wye) = named(site, Family::Wye, spot.name.sizes())?;
    let (bend_name, bend) = named(site, Family::StreetEighthBend, &[spot.name.size(2)])?;
    let stands = Stands::of(site, &spot.fit.name, "branch")?;
    let old = stands.part.pattern()?;
    let (down, up, side) = (old.port("down").ok()?, old.port("up").ok()?, old.port("branch").ok()?);
    // From the wye's centre along its branch to the bend's, and how much of that goes along the run and how much across.
    let reach = laying(&wye, wye.port("branch").ok()?) + laying(&bend, bend.enter);
    let cut_off = reach * FRAC_1_SQRT_2;
    let side_way = across(stands.into, stands.out)?;
    let by = move |new: &Pattern, port: usize, old_port: usize| {
        Length::inches(laying(old, old_port) - laying(new, port))
    };
    let mut tee =
        shifted(site, spot.fit, stands.into, -cut_off, by(&wye, wye.port("down").ok()?, down).to_inches())?;
    tee.fit = Label::new(wye_name.to_string());
    tee.clock = Some(clock_of(stands.into, side_way));
    let branch = site.job.branches.iter().find(|b| {
        b.from.fitting == spot.fit.name && b.from.port.as_ref().is_none_or(|port| port.as_str() == "branch")
    })?;
    let turned = (stands.into + side_way) * FRAC_1_SQRT_2;
    let mut first = Fit::plain(bend_name.to_string(), fresh(site));
    first.clock = Some(clock_of(turned, across(turned, stands.out)?));
    let mut edits = vec![Edit::Fit {
        run: spot.run.clone(),
        change: Change::Replace { at: spot.at, item: Box::new(tee) },
    }];
    if let Some(next) = site.job.fits(&spot.run)?.get(spot.at + 1) {
        let on = by(&wye, wye.port("up").ok()?, up).to_inches();
        edits.extend(farther(next, cut_off, on).map(|item| Edit::Fit {
            run: spot.run.clone(),
            change: Change::Replace { at: spot.at + 1, item: Box::new(item) },
        }));
    }
    let at_bend = edits.len();
    edits.push(Edit::Fit {
        run: branch.name.clone(),
        change: Change::Insert { at: 0, item: Box::new(first) },
    });
    if let Some(next) = branch.along.first() {
        let on = by(&bend, bend.leave?, side).to_inches();
        edits.extend(farther(next, -cut_off, on).map(|item| Edit::Fit {
            run: branch.name.clone(),
            change: Change::Replace { at: 1, item: Box::new(item) },
        }));
    }
    let kept = [site.job.fits(&spot.run)?.get(spot.at + 1), branch.along.first()];
    let (edits, moves) = clocked(site, &edits, at_bend, stands.out, &kept)?;
    Some(Swap {
        fitting: spot.fit.name.clone(),
        kind: SwapKind::WyeAndEighth,
        words: format!("{wye_name} and {bend_name} instead of {}{moves}", spot.name),
        edits,
    })
}

fn two_eighths(site: &Site<'_>, spot: &Spot<'_>, street: bool) -> Option<Swap> {
    let sizes = &spot.name.sizes()[..1];
    let (first_name, first) = named(site, Family::EighthBend, sizes)?;
    let family = if street { Family::StreetEighthBend } else { Family::EighthBend };
    let (second_name, second) = named(site, family, sizes)?;
    let stands = Stands::of(site, &spot.fit.name, "")?;
    let old = stands.part.pattern()?;
    let (leave, into_second) = (first.leave?, second.enter);
    let piece =
        if street { 0.0 } else { (first.ports[leave].socket + second.ports[into_second].socket).to_inches() };
    // The two and the corner make a triangle with two equal legs and a right angle.
    let cut_off = (laying(&first, leave) + piece + laying(&second, into_second)) * FRAC_1_SQRT_2;
    let towards = across(stands.into, stands.out)?;
    let before = laying(old, old.enter) - laying(&first, first.enter);
    let mut low = shifted(site, spot.fit, stands.into, -cut_off, before)?;
    low.fit = Label::new(first_name.to_string());
    low.clock = Some(clock_of(stands.into, towards));
    let turned = (stands.into + towards) * FRAC_1_SQRT_2;
    let mut high = Fit::plain(second_name.to_string(), fresh(site));
    high.clock = Some(clock_of(turned, across(turned, stands.out)?));
    high.cut = (!street).then(|| Length::inches(piece));
    let fit = |change| Edit::Fit { run: spot.run.clone(), change };
    let mut edits = vec![
        fit(Change::Replace { at: spot.at, item: Box::new(low) }),
        fit(Change::Insert { at: spot.at + 1, item: Box::new(high) }),
    ];
    let next = site.job.fits(&spot.run)?.get(spot.at + 1);
    if let Some(next) = next {
        let beyond = laying(old, old.leave?) - laying(&second, second.leave?);
        let item = farther(next, -cut_off, beyond);
        edits.extend(item.map(|item| fit(Change::Replace { at: spot.at + 2, item: Box::new(item) })));
    }
    let both = if street { format!("{first_name} and {second_name}") } else { format!("two {first_name}s") };
    let (edits, moves) = clocked(site, &edits, 1, stands.out, &[next])?;
    Some(Swap {
        fitting: spot.fit.name.clone(),
        kind: SwapKind::EighthBends { street },
        words: format!("{both} instead of {}{moves}", spot.name),
        edits,
    })
}

/// A fitting as it stands: its part, the way into it and the way out of one of its ports.
pub(super) struct Stands<'s> {
    pub part: &'s Part,
    pub into: Vector3<f64>,
    pub out: Vector3<f64>,
}

impl<'s> Stands<'s> {
    /// `port` is that of the way out; without a name the one the run goes on through.
    pub fn of(site: &'s Site<'_>, name: &Label, port: &str) -> Option<Self> {
        let part = site.rough_in.parts.iter().find(|p| p.label == *name)?;
        let pattern = part.pattern()?;
        let out = if port.is_empty() { pattern.leave? } else { pattern.port(port).ok()? };
        let turn = site.built().world_from_part[part.id.0 as usize].rotation;
        Some(Self {
            part,
            into: -(turn * pattern.ports[pattern.enter].axis),
            out: turn * pattern.ports[out].axis,
        })
    }
}

/// Nothing about it is turned round or closed: what the numbers below are for.
pub(super) fn plain(fit: &Fit) -> bool {
    fit.enter.is_none() && fit.leave.is_none() && fit.plugs.is_empty() && fit.swing.is_none()
}

pub(super) fn named(
    site: &Site<'_>,
    family: Family,
    sizes: &[truefall_model::units::NominalSize],
) -> Option<(FittingName, Pattern)> {
    let name = known(site, FittingName::of(family, sizes)?)?;
    let pattern = site.catalog.pattern(&name.to_string()).ok()?;
    Some((name, pattern.clone()))
}

/// From a fitting's centre to the stop of a port, along that port's axis; below zero where it lies behind the centre.
pub(super) fn laying(pattern: &Pattern, port: usize) -> f64 {
    let port = &pattern.ports[port];
    port.stop.coords.dot(&port.axis)
}

/// What of a way is square to an axis, as a unit.
pub(super) fn across(axis: Vector3<f64>, way: Vector3<f64>) -> Option<Vector3<f64>> {
    (way - axis * axis.dot(&way)).try_normalize(1e-6)
}

/// A fitting moved along the leg that comes to it. `laying` is how much less of that leg the new fitting takes.
pub(super) fn shifted(site: &Site<'_>, fit: &Fit, into: Vector3<f64>, by: f64, laying: f64) -> Option<Fit> {
    let mut new = fit.clone();
    let upright = into.z.abs() > UPRIGHT;
    let told = [fit.level.is_some(), fit.centre.is_some(), fit.cut.is_some()].contains(&true);
    match (&fit.to, &fit.height) {
        (_, Some(height)) if upright => {
            let mut height = height.clone();
            height.off = rounded(height.off.to_inches() + by * into.z);
            new.height = Some(height);
        }
        (Some(At(point)), None) if !upright => {
            let part = site.rough_in.parts.iter().find(|p| p.label == fit.name)?;
            new.to = Some(At(moved(site, point, site.built().origin(part.id), into * by)?));
        }
        _ if told => {}
        _ => return None,
    }
    for length in [&mut new.level, &mut new.centre] {
        *length = length.map(|l| l + Length::inches(by));
    }
    new.cut = new.cut.map(|l| l + Length::inches(by + laying));
    Some(new)
}

/// What follows, measured from a fitting that now stands elsewhere; none where it is not measured from it.
pub(super) fn farther(next: &Fit, by: f64, laying: f64) -> Option<Fit> {
    let mut new = next.clone();
    for length in [&mut new.level, &mut new.centre] {
        *length = length.map(|l| l + Length::inches(by));
    }
    new.cut = new.cut.map(|l| l + Length::inches(by + laying));
    (new != *next).then_some(new)
}

/// A point of the plan as it was told, moved; to 1/64.
fn moved(site: &Site<'_>, point: &PlanPoint, from: Point3<f64>, by: Vector3<f64>) -> Option<PlanPoint> {
    Some(match point {
        PlanPoint::At { x, y } => {
            PlanPoint::At { x: rounded(x.to_inches() + by.x), y: rounded(y.to_inches() + by.y) }
        }
        PlanPoint::OffWall { wall, along, out, face } => {
            let space = site.rough_in.framed.wall(wall)?;
            let (was, is) = (space.measure(from.xy()), space.measure((from + by).xy()));
            PlanPoint::OffWall {
                wall: wall.clone(),
                along: rounded(along.to_inches() + is.0 - was.0),
                out: rounded(out.to_inches() + is.1 - was.1),
                face: *face,
            }
        }
        PlanPoint::Under { .. } => {
            let to = from + by;
            PlanPoint::At { x: rounded(to.x), y: rounded(to.y) }
        }
    })
}

fn rounded(inches: f64) -> Length {
    Length::inches((inches * 64.0).round() / 64.0)
}

/// A name that nothing in the job has.
fn fresh(site: &Site<'_>) -> Label {
    let taken = |name: &Label| site.rough_in.parts.iter().any(|p| p.label == *name);
    (1..).map(|n| Label::new(format!("EB{n}"))).find(|name| !taken(name)).unwrap_or_else(|| Label::new("EB"))
}

/// The edits with the clock of the fitting put in by edit `at` such that the leg beyond goes on where it went and what follows
/// stands where it stood, and words for how far it does not; none where no clock does that.
fn clocked(
    site: &Site<'_>,
    edits: &[Edit],
    at: usize,
    out: Vector3<f64>,
    kept: &[Option<&Fit>],
) -> Option<(Vec<Edit>, String)> {
    let Edit::Fit { run, change: Change::Insert { at: place, item } } = &edits[at] else { return None };
    // The reckoned clock first; at the angle where the reading of a clock changes, straight over and under too.
    let over = [0.0, 180.0].map(|degrees| Some(Clock::at(Angle::degrees(degrees))));
    [item.clock, over[0], over[1], None].into_iter().find_map(|clock| {
        let item = Box::new(Fit { clock, ..(**item).clone() });
        let name = item.name.clone();
        let mut edits = edits.to_vec();
        edits[at] = Edit::Fit { run: run.clone(), change: Change::Insert { at: *place, item } };
        let mut job = site.job.clone();
        Edit::All(edits.clone()).apply(&mut job).ok()?;
        let moves = moves(site, &job, (&name, ""), out, kept)?;
        let words: Vec<String> =
            moves.iter().map(|(name, by)| format!("; {name} then stands {by} off")).collect();
        Some((edits, words.concat()))
    })
}

/// How far each of what follows comes to stand from where it stood, where that shows; none where it is too far, or the leg beyond
/// the fitting's port, the one the run goes on through if it has no name, goes another way.
pub(super) fn moves(
    site: &Site<'_>,
    job: &Job,
    (bend, port): (&Label, &str),
    out: Vector3<f64>,
    kept: &[Option<&Fit>],
) -> Option<Vec<(Label, Length)>> {
    let rough_in = place(job, site.catalog).ok()?;
    let placed = rough_in.placed(site.job.cut_on);
    let part = rough_in.parts.iter().find(|p| p.label == *bend)?;
    let pattern = part.pattern()?;
    let port = if port.is_empty() { pattern.leave? } else { pattern.port(port).ok()? };
    let way = placed.world_from_part[part.id.0 as usize].rotation * pattern.ports[port].axis;
    if way.angle(&out).to_degrees() > TURNED_DEGREES {
        return None;
    }
    let mut told = Vec::new();
    for fit in kept.iter().flatten() {
        let was = site.rough_in.parts.iter().find(|p| p.label == fit.name)?;
        let is = placed.origin(rough_in.parts.iter().find(|p| p.label == fit.name)?.id);
        let by = (is - site.built().origin(was.id)).norm();
        let leg = (is - placed.origin(part.id)).norm();
        if by > MOVED_IN + leg * TURNED_DEGREES.to_radians().sin() {
            return None;
        }
        if by > TOLD_IN {
            told.push((fit.name.clone(), Length::inches(by)));
        }
    }
    Some(told)
}
