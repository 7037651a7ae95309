//! Drainage fixture units: what fixtures put on the pipe that carries them, with the sum as one would do it on a stud.
//!
//! Which fixtures a pipe carries is [`crate::drain`]'s business. Here they are summed by the code: one by one, or as
//! the groups that are seldom used all at once, where the code has such groups and where their fixtures stand together.

use crate::code::Figure;
use crate::ctx::Ctx;
use nalgebra::Point2;
use truefall_model::job::fixture::{Fixture, FixtureKind, Flush};

/// What a set of fixtures puts on one pipe.
#[derive(Debug, Clone, Default)]
pub struct Load<'c> {
    /// Drainage fixture units.
    pub units: f64,
    parts: Vec<Counted<'c>>,
}

/// Fixtures counted by one figure.
#[derive(Debug, Clone)]
struct Counted<'c> {
    figure: &'c Figure,
    fixtures: Vec<usize>,
    /// What they are together; none for a single fixture.
    of: Option<String>,
}

/// Fixtures that are counted as one.
#[derive(Debug, Clone)]
struct Group {
    kind: GroupKind,
    fixtures: Vec<usize>,
    /// A closet of it takes more water than the low flush.
    high: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum GroupKind {
    /// Closet, lavatory, tub or shower.
    Bath,
    /// Closet and lavatory.
    HalfBath,
    /// Washer standpipe and laundry tub.
    Laundry,
}

impl<'c> Load<'c> {
    /// The load of fixtures, by index in the job, the most remote first.
    pub fn of(ctx: &Ctx<'c>, fixtures: &[usize]) -> Self {
        let mut load = Self::default();
        let mut left = fixtures.to_vec();
        let mut groups = groups(ctx, fixtures);
        load.joined_baths(ctx, &mut groups, &mut left);
        for group in groups {
            let Some(figure) = group.figure(ctx) else { continue };
            let alone: f64 = group.fixtures.iter().map(|f| units(ctx, *f).map_or(0.0, |u| u.value)).sum();
            if figure.value < alone {
                left.retain(|f| !group.fixtures.contains(f));
                let of = Some(format!("one {}", group.word()));
                load.add(Counted { figure, fixtures: group.fixtures, of });
            }
        }
        for fixture in left {
            if let Some(figure) = units(ctx, fixture) {
                load.add(Counted { figure, fixtures: vec![fixture], of: None });
            }
        }
        load
    }

    fn add(&mut self, counted: Counted<'c>) {
        self.units += counted.figure.value;
        self.parts.push(counted);
    }

    /// The sum: a line a fixture or group, and what they are together.
    pub fn lines(&self, ctx: &Ctx<'_>) -> Vec<String> {
        let line = |counted: &Counted<'_>| {
            let of = counted.of.as_ref().map_or_else(String::new, |of| format!(" as {of}"));
            let (figure, fixtures) = (counted.figure, names(ctx, &counted.fixtures));
            format!("{fixtures}{of}: {}, by {}", figure.value, figure.source())
        };
        let together = format!("together {} fixture units", self.units);
        self.parts.iter().map(line).chain([together]).collect()
    }

    /// Where several baths have joined, a code may count them as less than so many baths.
    fn joined_baths(&mut self, ctx: &Ctx<'c>, groups: &mut Vec<Group>, left: &mut Vec<usize>) {
        let counted = |kind| move |g: &&Group| g.kind == kind && !g.high;
        let full: Vec<Group> = groups.iter().filter(counted(GroupKind::Bath)).cloned().collect();
        let half: Option<Group> = groups.iter().find(counted(GroupKind::HalfBath)).cloned();
        // The table goes by halves; the largest row that the baths fill is taken, what is over is counted by itself.
        let rows = (1..=full.len()).rev().flat_map(|n| {
            let with_half = half.as_ref().map(|half| (n, Some(half)));
            with_half.into_iter().chain([(n, None)])
        });
        for (whole, half) in rows {
            let baths = whole as f64 + if half.is_some() { 0.5 } else { 0.0 };
            let Some(figure) = ctx.profile.find(&format!("dfu-baths.{baths}")) else { continue };
            let joined: Vec<&Group> = full[..whole].iter().chain(half).collect();
            let fixtures: Vec<usize> = joined.iter().flat_map(|g| g.fixtures.iter().copied()).collect();
            left.retain(|f| !fixtures.contains(f));
            groups.retain(|g| !joined.iter().any(|j| j.fixtures == g.fixtures));
            self.add(Counted { figure, fixtures, of: Some(format!("{baths} baths that have joined")) });
            return;
        }
    }
}

impl Group {
    fn word(&self) -> &'static str {
        match self.kind {
            GroupKind::Bath => "bath group",
            GroupKind::HalfBath => "half bath",
            GroupKind::Laundry => "laundry group",
        }
    }

    fn figure<'c>(&self, ctx: &Ctx<'c>) -> Option<&'c Figure> {
        ctx.profile.find(match (self.kind, self.high) {
            (GroupKind::Bath, false) => "dfu-group.bath",
            (GroupKind::Bath, true) => "dfu-group.bath-high",
            (GroupKind::HalfBath, _) => return None,
            (GroupKind::Laundry, _) => "dfu-group.laundry",
        })
    }
}

/// Fixture units of one fixture by itself.
pub fn units<'c>(ctx: &Ctx<'c>, fixture: usize) -> Option<&'c Figure> {
    let fixture = &ctx.job.fixtures[fixture];
    let high = if is_high(fixture) { "-high" } else { "" };
    ctx.profile.find(&format!("dfu.{}{high}", fixture.kind.word()))
}

fn is_high(fixture: &Fixture) -> bool {
    fixture.kind == FixtureKind::Closet && fixture.flush == Flush::High
}

/// Names of fixtures as one says them: `closet, lav and tub`.
pub fn names(ctx: &Ctx<'_>, fixtures: &[usize]) -> String {
    let names: Vec<&str> = fixtures.iter().map(|f| ctx.job.fixtures[*f].name.as_str()).collect();
    match names.as_slice() {
        [.., last] if names.len() > 1 => format!("{} and {last}", names[..names.len() - 1].join(", ")),
        _ => names.concat(),
    }
}

/// The groups that fixtures make, nothing twice: baths first, then half baths, then laundries. Fixtures stand together
/// where they are on one floor and within the profile's reach of each other on the plan; where a fixture stands is only
/// known once a run ends at it.
fn groups(ctx: &Ctx<'_>, fixtures: &[usize]) -> Vec<Group> {
    let Some(reach) = ctx.profile.find("bath-group-reach").map(|f| f.length().to_inches()) else {
        return Vec::new();
    };
    let mut free: Vec<usize> = fixtures.to_vec();
    free.sort_unstable();
    let mut made = Vec::new();
    let closets = of_kinds(ctx, &free, &[FixtureKind::Closet]);
    for with_bath in [true, false] {
        for &closet in &closets {
            let Some(lavatory) = nearest(ctx, &free, closet, &[FixtureKind::Lavatory], reach) else {
                continue;
            };
            let bath = nearest(ctx, &free, closet, &[FixtureKind::Tub, FixtureKind::Shower], reach);
            if !free.contains(&closet) || with_bath != bath.is_some() {
                continue;
            }
            let members: Vec<usize> = [Some(closet), Some(lavatory), bath].into_iter().flatten().collect();
            free.retain(|f| !members.contains(f));
            let kind = if with_bath { GroupKind::Bath } else { GroupKind::HalfBath };
            made.push(Group { kind, fixtures: members, high: is_high(&ctx.job.fixtures[closet]) });
        }
    }
    for washer in of_kinds(ctx, &free, &[FixtureKind::WasherBox]) {
        if let Some(tub) = nearest(ctx, &free, washer, &[FixtureKind::LaundryTub], reach) {
            free.retain(|f| *f != washer && *f != tub);
            made.push(Group { kind: GroupKind::Laundry, fixtures: vec![washer, tub], high: false });
        }
    }
    made
}

fn of_kinds(ctx: &Ctx<'_>, fixtures: &[usize], kinds: &[FixtureKind]) -> Vec<usize> {
    fixtures.iter().copied().filter(|f| kinds.contains(&ctx.job.fixtures[*f].kind)).collect()
}

fn nearest(ctx: &Ctx<'_>, among: &[usize], to: usize, kinds: &[FixtureKind], reach: f64) -> Option<usize> {
    let here = stands(ctx, to)?;
    let floor = &ctx.job.fixtures[to].floor;
    of_kinds(ctx, among, kinds)
        .into_iter()
        .filter(|f| ctx.job.fixtures[*f].floor == *floor)
        .filter_map(|f| Some((f, (stands(ctx, f)? - here).norm())))
        .filter(|(_, distance)| *distance <= reach)
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(f, _)| f)
}

fn stands(ctx: &Ctx<'_>, fixture: usize) -> Option<Point2<f64>> {
    ctx.placed.landings.iter().find(|l| l.fixture == fixture).map(|l| l.wants.xy())
}
