//! Finds routes for a fixture, tries each whole, and says what stops the best where there is none.

use super::answer::{Answer, Miss, Route};
use super::asked::{Asked, NoRoute};
use super::cost::{USUAL, Weights};
use super::edits::Old;
use super::goal::Goal;
use super::graph::{Escape, State};
use super::leg::{Met, Site};
use super::lines::{Line, Region, lines};
use super::mend::{Takes, what_it_takes};
use super::price::Priced;
use super::riser::feet;
use super::search::{Limits, Next, Way, cheapest};
use super::slide::Coupling;
use super::stop::Stop;
use super::tees::{Seeking, Tee};
use super::turn::{Bend, level_bends};
use super::wood::Wood;
use crate::trial::{Bench, attempt};
use crate::vents::roof_end;
use nalgebra::{Point2, Vector2};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use truefall_check::bore::Occupants;
use truefall_check::{Finding, check};
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::height::Surface;
use truefall_model::job::pipes::End;
use truefall_model::job::point::{PlanPoint, Spot};
use truefall_model::label::Label;
use truefall_model::place::{RoughIn, place};
use truefall_model::units::{Length, NominalSize};

/// The most bends of one route on the level.
const MOST_BENDS: u8 = 3;
/// The most times one state is settled, for as many routes through it.
const MOST_APIECE: usize = 5;
/// The most labels settled before the search gives up.
const MOST_LABELS: usize = 60_000;
/// The most routes tried whole for each one wanted.
const TRIES: usize = 8;
/// Steps between heights of a tee that may be set freely, inches.
const HEIGHT_STEP_IN: f64 = 0.5;
/// The same for a drain that goes under the floor, whose riser takes up any height.
const UNDER_STEP_IN: f64 = 3.0;
/// The most labels settled for ways under the floor.
const MOST_LABELS_UNDER: usize = 12_000;

/// Looks for the cheapest lawful routes of a fixture; `tick` is called now and then with how many states were settled.
///
/// # Errors
/// The question can't be put: names, places or the job itself are at fault.
pub fn routes(bench: &Bench<'_>, asked: &Asked<'_>) -> Result<Answer, NoRoute> {
    let rough_in = place(bench.job, bench.catalog).map_err(NoRoute::Placing)?;
    let before = check(bench.job, &rough_in, bench.catalog, bench.profile, bench.placements);
    let search = Search::new(bench, asked, &rough_in, &before)?;
    let mut answer = search.answer();
    if answer.routes.is_empty()
        && asked.k > 0
        && let Some(takes) = search.moved_fixture()
        && let Some(first) = answer.misses.first_mut()
    {
        first.takes.push(takes);
    }
    Ok(answer)
}

/// How far a fixture is moved along its wall, one way and the other, inches.
const MOVES_IN: [f64; 6] = [1.0, 2.0, 4.0, 8.0, 12.0, 16.0];

/// One kind of way: where it may start and where it ends.
pub(super) struct Scope {
    pub(super) tees: Vec<Tee>,
    pub(super) goal: Goal,
    /// The greatest level length.
    longest: f64,
}

impl Scope {
    fn labels(&self) -> usize {
        if matches!(self.goal, Goal::Feet { .. }) { MOST_LABELS_UNDER } else { MOST_LABELS }
    }
}

/// One search, set up.
pub(super) struct Search<'a> {
    pub(super) bench: &'a Bench<'a>,
    pub(super) asked: &'a Asked<'a>,
    pub(super) before: &'a [Finding],
    pub(super) old: Old<'a>,
    pub(super) site: Site<'a>,
    pub(super) level: Scope,
    pub(super) bends: Vec<Bend>,
    pub(super) grade: f64,
    pub(super) base: Vector2<f64>,
    pub(super) weights: Weights,
}

impl<'a> Search<'a> {
    fn new(
        bench: &'a Bench<'a>,
        asked: &'a Asked<'a>,
        rough_in: &'a RoughIn,
        before: &'a [Finding],
    ) -> Result<Self, NoRoute> {
        let (job, catalog, profile) = (bench.job, bench.catalog, bench.profile);
        let Some(fixture) = job.fixtures.iter().position(|f| f.name == *asked.fixture) else {
            let known: Vec<&str> = job.fixtures.iter().map(|f| f.name.as_str()).collect();
            return Err(NoRoute::NoFixture { name: asked.fixture.clone(), known: known.join(", ") });
        };
        let branch = job
            .branches
            .iter()
            .position(|b| matches!(&b.end, End::Fixture { name, .. } if *name == *asked.fixture));
        let kept = branch.and_then(|i| kept(job, i).map(|fit| (i, fit)));
        let item = &job.fixtures[fixture];
        let fail = |why: &str| NoRoute::Fixture { fixture: item.name.clone(), why: why.to_owned() };
        let material = branch.map_or_else(
            || job.stacks.first().map_or(truefall_model::catalog::material::Material::Pvc, |s| s.material),
            |i| job.branches[i].material,
        );
        let usual = catalog.rough_in(item.kind.word()).map(|u| u.trap.value);
        let trap = item.trap.map_or_else(|| usual.map(|t| t.to_string()), |t| Some(t.to_string()));
        let size = NominalSize::parse(&trap.ok_or_else(|| fail("its trap's size is not known"))?)
            .map_err(|e| fail(&e.to_string()))?;
        let outside =
            catalog.pipe(material, size).ok_or_else(|| fail("the catalog has no pipe of its size"))?.outside;
        let goal =
            Goal::of(item, &rough_in.framed, (catalog, profile), material, size).map_err(|why| fail(&why))?;
        let grade = branch.and_then(|i| job.branches[i].grade).map_or(0.25, |g| g.to_per_foot()) / 12.0;
        let now = branch.map(|i| &job.branches[i].from);
        let (low, high) = goal.heights();
        let mut weights = USUAL;
        let priced = asked.prices.map(|list| Priced { list, material, size });
        if let Some(priced) = &priced {
            priced.weigh(&mut weights);
        }
        let longest = longest(bench, size, &goal);
        let heights = match &goal {
            // An arm rises by its length and no more.
            Goal::Wall { z, .. } => (z - grade * longest, z - grade * 4.0, HEIGHT_STEP_IN),
            Goal::Under { .. } | Goal::Feet { .. } => (low - grade * longest, high, 1.0),
        };
        let seeking = Seeking {
            job,
            rough_in,
            catalog,
            pipe: (material, size),
            weights: &weights,
            to: asked.to,
            now,
            heights,
            kept,
        };
        let mut tees = seeking.tees();
        if tees.is_empty() {
            if let Some((branch, fit)) = kept {
                let own = &job.branches[branch];
                return Err(NoRoute::Hung { branch: own.name.clone(), at: own.along[fit].name.clone() });
            }
            return Err(NoRoute::NoTee {
                name: asked.to.cloned().unwrap_or_else(|| Label::new("of any kind")),
                size,
            });
        }
        tees.retain(|t| goal.distance(t.at) <= longest);
        let own_run = branch.and_then(|i| rough_in.runs.iter().find(|r| r.label == job.branches[i].name));
        // What others hang on stays, and what lies before it.
        let last_kept = own_run.zip(kept).and_then(|(run, (_, fit))| run.fits.get(fit)).map(|f| f.1);
        let goes = |part: truefall_model::place::PartId| {
            Some(rough_in.part(part).run) == own_run.map(|r| r.id) && last_kept.is_none_or(|last| part > last)
        };
        let all = Occupants::of(rough_in, &rough_in.drawn);
        let built: Vec<_> = all.all.into_iter().filter(|o| !goes(o.part)).collect();
        let site = Site {
            framed: &rough_in.framed,
            wood: Wood::new(&rough_in.framed, profile, catalog),
            built: Occupants::new(built, []),
            names: rough_in.parts.iter().map(|p| p.label.clone()).collect(),
            runs: rough_in.parts.iter().map(|p| p.run).collect(),
            material,
            size,
            coupling: Coupling::of(catalog, material, size),
            pipe_radius: outside.to_inches() / 2.0,
        };
        let base = item.wall.as_ref().and_then(|w| rough_in.framed.wall(w)).map_or(Vector2::x(), |w| w.along);
        let mut bends = level_bends(catalog, profile, material, size);
        if let Some(priced) = &priced {
            priced.bends(&weights, &mut bends);
        }
        if let Some(priced) = &priced {
            priced.tees(&weights, &mut tees);
        }
        let level = Scope { tees, goal, longest };
        Ok(Self {
            bench,
            asked,
            before,
            old: Old { job, rough_in, fixture, roof_end: roof_end(bench), branch, kept: kept.map(|k| k.1) },
            site,
            level,
            bends,
            grade,
            base,
            weights,
        })
    }

    fn answer(&self) -> Answer {
        let (mut routes, mut misses): (Vec<Route>, Vec<Miss>) = (Vec::new(), Vec::new());
        let mut work = (0, 0);
        self.look(&self.level, &mut routes, &mut misses, &mut work);
        // Going under costs so much at least; where the wall gives enough for less it is not looked at.
        let enough = routes.get(self.asked.k.saturating_sub(1)).is_some_and(|r| r.cost <= self.least_under());
        let under = if enough && !self.asked.why_not { None } else { self.under() };
        if let Some(under) = &under {
            self.look(under, &mut routes, &mut misses, &mut work);
        }
        if !self.asked.why_not && !routes.is_empty() {
            misses.clear();
        } else {
            for (at, scope) in std::iter::once(&self.level).chain(&under).enumerate() {
                let wanted = if routes.is_empty() { 1 } else { 3 };
                // Where the way in the wall is stopped, going under is told only if something can be said of it.
                work.0 += self.look_through(scope, wanted, at, &mut misses);
            }
        }
        misses.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        misses.dedup_by(|a, b| {
            a.fittings == b.fittings && a.tee == b.tee && a.red == b.red && a.stops == b.stops
        });
        misses.truncate(5);
        Answer { fixture: self.asked.fixture.clone(), routes, misses, why_not: self.asked.why_not, work }
    }

    /// The cheapest lawful ways of one kind, put among those found.
    fn look(
        &self,
        scope: &Scope,
        routes: &mut Vec<Route>,
        misses: &mut Vec<Miss>,
        work: &mut (usize, usize),
    ) {
        let k = self.asked.k;
        if k == 0 {
            return;
        }
        let (lines, seen) = (self.lines(scope), RefCell::new(BTreeMap::new()));
        let graph = self.graph(scope, &lines, &seen, false);
        // What would come after the last wanted one need not be looked for.
        let cost = routes.get(k - 1).map_or(f64::INFINITY, |r| r.cost);
        let (mut told, mut tried, mut found) = (BTreeSet::new(), 0, Vec::new());
        // Two routes may come to one place by different bends: each place is reached as often as routes are wanted.
        work.0 += cheapest(&graph, k.min(MOST_APIECE), Limits { labels: scope.labels(), cost }, |way| {
            if !told.insert(self.signature(&graph, way)) {
                return Next::More;
            }
            tried += 1;
            match self.attempt(&graph, way) {
                Ok(route) => found.push(route),
                Err(red) => misses.push(self.miss(&graph, way, Vec::new(), red)),
            }
            let enough = found.len() >= k || tried >= TRIES * k.max(2);
            if enough { Next::Enough } else { Next::More }
        });
        work.1 += tried;
        routes.extend(found);
        routes.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        routes.truncate(k);
    }

    /// The ways that would be cheapest if nothing stopped them, and what that would take.
    fn look_through(&self, scope: &Scope, wanted: usize, kind: usize, misses: &mut Vec<Miss>) -> usize {
        let (lines, seen) = (self.lines(scope), RefCell::new(BTreeMap::new()));
        let graph = self.graph(scope, &lines, &seen, true);
        let mut told = BTreeSet::new();
        let limits = Limits { labels: scope.labels(), cost: f64::INFINITY };
        cheapest(&graph, 1, limits, |way| {
            let stops = self.stops(&graph, way);
            if stops.is_empty() || !told.insert(self.signature(&graph, way)) {
                return Next::More;
            }
            let takes =
                what_it_takes(self.bench, self.before, &self.old.edits(&graph, way), &stops, self.asked);
            let words = stops.iter().map(ToString::to_string).collect();
            let mut miss = self.miss(&graph, way, words, Vec::new());
            miss.takes = takes;
            if kind == 0 || !miss.takes.is_empty() || misses.is_empty() {
                misses.push(miss);
            }
            if told.len() >= wanted { Next::Enough } else { Next::More }
        })
    }

    /// What going under costs at least: a foot, a tee with its joints, and air, however short the pipe.
    fn least_under(&self) -> f64 {
        let w = &self.weights;
        5.0 * w.joint + w.roof.min(w.valve)
    }

    /// The ways under the floor to a fixture that drains through a wall, where nothing hangs on its run.
    fn under(&self) -> Option<Scope> {
        if self.old.kept.is_some() {
            return None;
        }
        let bends = (self.bends.as_slice(), self.grade, &self.weights);
        let mut goal = feet(self.bench, &self.site, &self.level.goal, bends)?;
        let (low, high) = goal.heights();
        let seeking = Seeking {
            job: self.bench.job,
            rough_in: self.old.rough_in,
            catalog: self.bench.catalog,
            pipe: (self.site.material, self.site.size),
            weights: &self.weights,
            to: self.asked.to,
            now: None,
            heights: (low - self.grade * LONGEST_IN, high, UNDER_STEP_IN),
            kept: None,
        };
        let mut tees = seeking.tees();
        tees.retain(|t| goal.distance(t.at) <= LONGEST_IN);
        if let Some(list) = self.asked.prices {
            let priced = Priced { list, material: self.site.material, size: self.site.size };
            priced.tees(&self.weights, &mut tees);
            priced.risers(&self.weights, &mut goal);
        }
        (!tees.is_empty()).then_some(Scope { tees, goal, longest: LONGEST_IN })
    }

    /// How little the fixture must be moved along its wall for a route in the wall, tried whole.
    fn moved_fixture(&self) -> Option<Takes> {
        let Goal::Wall { wall, .. } = &self.level.goal else { return None };
        let (job, framed) = (self.bench.job, &self.old.rough_in.framed);
        let space = framed.wall(wall)?;
        let item = &job.fixtures[self.old.fixture];
        let at = framed.point(&item.at.0)?;
        let (along, out) = space.measure(at);
        MOVES_IN.into_iter().flat_map(|by| [by, -by]).find_map(|by| {
            let to = along + by;
            if !(0.0..=space.length).contains(&to) {
                return None;
            }
            let mut moved = item.clone();
            moved.at = Spot(PlanPoint::OffWall {
                wall: wall.clone(),
                along: Length::inches((to * 16.0).round() / 16.0),
                out: Length::inches((out * 16.0).round() / 16.0),
                face: Surface::Rough,
            });
            let change = Change::Replace { at: self.old.fixture, item: Box::new(moved) };
            let mut edits = vec![Edit::Fixture(change)];
            let mut other = job.clone();
            edits[0].apply(&mut other).ok()?;
            let bench = Bench { job: &other, ..*self.bench };
            let rough_in = place(&other, bench.catalog).ok()?;
            let before = check(&other, &rough_in, bench.catalog, bench.profile, bench.placements);
            let asked = Asked { k: 1, why_not: false, ..*self.asked };
            let search = Search::new(&bench, &asked, &rough_in, &before).ok()?;
            let (mut routes, mut misses, mut work) = (Vec::new(), Vec::new(), (0, 0));
            search.look(&search.level, &mut routes, &mut misses, &mut work);
            edits.extend(routes.into_iter().next()?.edits);
            let trial = attempt(self.bench, self.before, edits).ok()?;
            let (end, side) = if by > 0.0 { (space.length, "far") } else { (0.0, "near") };
            let off = Length::inches((end - to).abs());
            let words = format!(
                "move {} {} along {wall}, to {off} off its {side} end",
                item.name,
                Length::inches(by.abs())
            );
            trial.accepted().then_some(Takes { words, edits: trial.edits })
        })
    }

    fn lines(&self, scope: &Scope) -> Vec<Line> {
        let mut starts: Vec<Point2<f64>> = Vec::new();
        for tee in &scope.tees {
            if !starts.iter().any(|q| (q - tee.at).norm() < 1e-6) {
                starts.push(tee.at);
            }
        }
        let mut near = starts.clone();
        near.extend(scope.goal.points());
        near.extend(scope.goal.line().map(|l| l.through));
        let heights = scope.tees.iter().flat_map(|t| t.heights.iter().copied());
        let (low, high) = heights.fold(scope.goal.heights(), |(l, h), z| (l.min(z), h.max(z)));
        let region = Region::around(&near, (low, high));
        let hub = self.bends.iter().map(|b| b.hub.to_inches() / 2.0).fold(self.site.pipe_radius, f64::max);
        let bit = self.bench.catalog.bit_for_pipe(self.site.material, self.site.size);
        let edge = self.bench.profile.figure("stud-edge").value
            + bit.map_or(self.site.pipe_radius, |b| b.to_inches() / 2.0);
        lines(self.site.framed, &region, self.base, &starts, &scope.goal, (hub + 0.25, edge))
    }

    fn graph<'g>(
        &'g self,
        scope: &'g Scope,
        lines: &'g [Line],
        seen: &'g RefCell<BTreeMap<(State, State), Met>>,
        through_stops: bool,
    ) -> Escape<'g> {
        Escape {
            site: &self.site,
            tees: &scope.tees,
            goal: &scope.goal,
            lines,
            bends: &self.bends,
            grade: self.grade,
            base: self.base,
            weights: &self.weights,
            most_bends: MOST_BENDS,
            longest: scope.longest,
            near: HEIGHT_STEP_IN / 2.0 + 0.01,
            through_stops,
            seen,
        }
    }

    fn stops(&self, graph: &Escape<'_>, way: &Way<State>) -> Vec<Stop> {
        let pairs = way.states.windows(2);
        pairs.flat_map(|pair| graph.meets(&pair[0], &pair[1]).stops).collect()
    }
}

/// How much longer than the code's arm a way may be on the graph, inches: the rule tells by how much it is too long.
const PAST_ARM_IN: f64 = 48.0;

/// The longest a drain may run under a floor, and a closet's arm, inches.
const LONGEST_IN: f64 = 240.0;

/// The last fitting of a branch that others hang on.
fn kept(job: &truefall_model::job::Job, branch: usize) -> Option<usize> {
    let own = &job.branches[branch];
    let hung = |fit: &truefall_model::job::pipes::Fit| {
        let ties = |end: &End| matches!(end, End::Tie { to } if to.fitting == fit.name);
        job.branches.iter().any(|b| b.from.fitting == fit.name || ties(&b.end))
            || job.stacks.iter().any(|s| ties(&s.end))
    };
    own.along.iter().rposition(hung)
}

/// The longest a route may be on the level: somewhat past the code's arm where the fixture has one, else 20 ft.
fn longest(bench: &Bench<'_>, size: NominalSize, goal: &Goal) -> f64 {
    let arm = bench.profile.for_size("trap-arm-length", size).map(|f| f.value);
    match goal {
        Goal::Wall { .. } => arm.map_or(LONGEST_IN, |a| a + PAST_ARM_IN),
        Goal::Under { flange: None, .. } => arm.map_or(LONGEST_IN, |a| a + PAST_ARM_IN),
        Goal::Under { .. } | Goal::Feet { .. } => LONGEST_IN,
    }
}
