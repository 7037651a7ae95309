//! Finds routes for a fixture, tries each whole, and says what stops the best where there is none.

use super::answer::{Answer, Miss, Route};
use super::asked::{Asked, NoRoute};
use super::cost::{USUAL, Weights};
use super::edits::{Old, USUAL_GRADE};
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
use super::tees::{How, Seeking, Tee};
use super::turn::{Bend, level_bends};
use super::wood::Wood;
use super::words::Signature;
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
use truefall_model::place::{RoughIn, RunKind, place};
use truefall_model::units::{Length, NominalSize};

/// The most bends of one route on the level.
const MOST_BENDS: u8 = 3;
/// The most times one state is settled, for as many routes through it.
const MOST_APIECE: usize = 5;
/// The most labels settled before the search gives up.
const MOST_LABELS: usize = 20_000;
/// The most legs held against what is there before a search gives up: a plumber waits for the answer.
const MOST_ASKED: usize = 400_000;
/// The most routes tried whole for each one wanted.
const TRIES: usize = 5;
/// Steps between heights of a tee that may be set freely, inches.
const HEIGHT_STEP_IN: f64 = 0.5;
/// The same for a drain that goes under the floor, whose riser takes up any height.
const UNDER_STEP_IN: f64 = 3.0;
/// The most labels settled for ways under the floor.
const MOST_LABELS_UNDER: usize = 12_000;

/// Looks for the cheapest lawful routes of a fixture.
///
/// # Errors
/// The question can't be put: names, places or the job itself are at fault.
pub fn routes(bench: &Bench<'_>, asked: &Asked<'_>) -> Result<Answer, NoRoute> {
    let rough_in = place(bench.job, bench.catalog).map_err(NoRoute::Placing)?;
    let before = check(bench.job, &rough_in, bench.catalog, bench.profile, bench.placements);
    let search = Search::new(bench, asked, &rough_in, &before, None)?;
    let mut found = Found::default();
    search.ways(&mut found);
    // What a lean takes off the grade is given to it beforehand, where that makes more ways lawful.
    let mut steep = Vec::new();
    for grade in search.steeper() {
        if asked.k == 0 || found.fine() >= asked.k {
            break;
        }
        if let Ok(other) = Search::new(bench, asked, &rough_in, &before, Some(grade)) {
            other.ways(&mut found);
            steep.push(other);
        }
    }
    search.missed(&mut found);
    if found.routes.is_empty() {
        for other in &steep {
            if found.misses.iter().all(|m| m.takes.is_empty()) {
                other.missed(&mut found);
            }
        }
        if asked.k > 0
            && let Some(takes) = search.moved_fixture()
            && let Some(first) = found.misses.first_mut()
        {
            first.takes.push(takes);
        }
    }
    Ok(found.answer(asked))
}

/// Leans that take less than this, in inches per foot, are left out of account.
const LEAST_LEAN: f64 = 1.0 / 32.0;

/// What the searches of one question came to.
#[derive(Debug, Default)]
pub(super) struct Found {
    /// Cheapest first.
    routes: Vec<(Signature, Route)>,
    misses: Vec<Miss>,
    work: (usize, usize),
}

impl Found {
    /// Routes about which nothing is red that a steeper grade would mend.
    fn fine(&self) -> usize {
        self.routes.iter().filter(|(_, route)| route.falls()).count()
    }

    /// Puts a route in; of two that go the same way the one with less about it that is red stays.
    fn put(&mut self, same: Signature, route: Route) {
        match self.routes.iter_mut().find(|(own, _)| *own == same) {
            Some(old) if route.still.len() < old.1.still.len() => *old = (same, route),
            Some(_) => {}
            None => self.routes.push((same, route)),
        }
    }

    fn answer(mut self, asked: &Asked<'_>) -> Answer {
        if !asked.why_not && !self.routes.is_empty() {
            self.misses.clear();
        }
        self.misses.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        self.misses.dedup_by(|a, b| {
            a.fittings == b.fittings && a.tee == b.tee && a.red == b.red && a.stops == b.stops
        });
        // What can be helped is told before what can't.
        self.misses.sort_by_key(|m| m.takes.is_empty());
        self.misses.truncate(5);
        Answer {
            fixture: asked.fixture.clone(),
            routes: self.routes.into_iter().map(|(_, route)| route).collect(),
            misses: self.misses,
            why_not: asked.why_not,
            work: self.work,
        }
    }
}

/// How far a fixture is moved along its wall, one way and the other, inches.
const MOVES_IN: [f64; 6] = [1.0, 2.0, 4.0, 8.0, 12.0, 16.0];

/// One kind of way: where it may start and where it ends.
pub(super) struct Scope {
    pub(super) tees: Vec<Tee>,
    pub(super) goal: Goal,
    /// The greatest level length.
    longest: f64,
    /// Legs looked at already.
    seen: RefCell<BTreeMap<(State, State), Met>>,
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
    /// To a closet's street bend.
    street: Option<Scope>,
    pub(super) bends: Vec<Bend>,
    pub(super) grade: f64,
    /// The grade the job asks for, inches per foot.
    pub(super) own_grade: f64,
    pub(super) base: Vector2<f64>,
    pub(super) weights: Weights,
}

impl<'a> Search<'a> {
    /// Grades that give back what a lean takes, half of it and all of it, in sixteenths; none where all stacks stand plumb that
    /// the fixture may hang on.
    fn steeper(&self) -> Vec<f64> {
        let runs = self.level.tees.iter().map(|tee| self.old.rough_in.stack_of(tee.run));
        let leans = runs.filter_map(|run| match &run.kind {
            RunKind::Stack { lean: Some(lean), corrected, .. } if corrected.is_empty() => {
                Some(lean.lean_in_per_ft() + lean.lean_error_in_per_ft())
            }
            _ => None,
        });
        let most = leans.fold(0.0, f64::max);
        if most < LEAST_LEAN {
            return Vec::new();
        }
        [0.5, 1.0].map(|share| self.own_grade + (most * share * 16.0).ceil() / 16.0).to_vec()
    }

    fn new(
        bench: &'a Bench<'a>,
        asked: &'a Asked<'a>,
        rough_in: &'a RoughIn,
        before: &'a [Finding],
        steep: Option<f64>,
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
        let own_grade = branch.and_then(|i| job.branches[i].grade).map_or(USUAL_GRADE, |g| g.to_per_foot());
        let grade = steep.unwrap_or(own_grade) / 12.0;
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
        let street = Goal::street(item, &rough_in.framed, catalog, material, size);
        let street = street.map(|goal| Scope { tees: tees.clone(), goal, longest, seen: RefCell::default() });
        let level = Scope { tees, goal, longest, seen: RefCell::default() };
        Ok(Self {
            bench,
            asked,
            before,
            old: Old { job, rough_in, fixture, roof_end: roof_end(bench), branch, kept: kept.map(|k| k.1) },
            site,
            level,
            street,
            bends,
            grade,
            own_grade,
            base,
            weights,
        })
    }

    /// Looks for lawful ways: in the wall or under the fixture, then under the floor.
    fn ways(&self, found: &mut Found) {
        self.look(&self.level, found);
        if let Some(street) = &self.street {
            self.look(street, found);
        }
        // Going under costs so much at least; where the wall gives enough for less it is not looked at.
        let enough =
            found.routes.get(self.asked.k.saturating_sub(1)).is_some_and(|r| r.1.cost <= self.least_under());
        if !enough && let Some(under) = self.under() {
            self.look(&under, found);
        }
    }

    /// Looks for what stops the ways that would be cheapest, where that is wanted.
    fn missed(&self, found: &mut Found) {
        if !self.asked.why_not && !found.routes.is_empty() {
            return;
        }
        let wanted = if found.routes.is_empty() { 1 } else { 3 };
        let under = self.under();
        let scopes = std::iter::once(&self.level).chain(&self.street).chain(&under);
        for (at, scope) in scopes.enumerate() {
            // Where the way in the wall is stopped, others are told only if something can be said of them.
            found.work.0 += self.look_through(scope, wanted, at, &mut found.misses);
        }
    }

    /// The cheapest lawful ways of one kind, put among those found.
    fn look(&self, scope: &Scope, found: &mut Found) {
        let k = self.asked.k;
        if k == 0 {
            return;
        }
        let lines = self.lines(scope);
        let graph = self.graph(scope, &lines, false);
        // What would come after the last wanted one need not be looked for.
        let cost = found.routes.get(k - 1).map_or(f64::INFINITY, |r| r.1.cost);
        let (mut told, mut tried, mut new) = (BTreeSet::new(), 0, 0);
        let known: BTreeSet<Signature> =
            found.routes.iter().filter(|r| r.1.falls()).map(|r| r.0.clone()).collect();
        // Two routes may come to one place by different bends: each place is reached as often as routes are wanted.
        let settled = cheapest(
            &graph,
            k.min(MOST_APIECE),
            Limits { labels: scope.labels(), asked: MOST_ASKED, cost },
            |way| {
                let same = self.signature(&graph, way);
                if known.contains(&same) || !told.insert(same.clone()) {
                    return Next::More;
                }
                tried += 1;
                match self.attempt(&graph, way) {
                    Ok(route) => {
                        new += 1;
                        found.put(same, route);
                    }
                    Err(red) => found.misses.push(self.miss(&graph, way, Vec::new(), red)),
                }
                let enough = new >= k || tried >= TRIES * k.max(2);
                if enough { Next::Enough } else { Next::More }
            },
        );
        found.work.0 += settled;
        found.work.1 += tried;
        found.routes.sort_by(|a, b| a.1.cost.total_cmp(&b.1.cost));
        found.routes.truncate(k);
    }

    /// The ways that would be cheapest if nothing stopped them, and what that would take.
    fn look_through(&self, scope: &Scope, wanted: usize, kind: usize, misses: &mut Vec<Miss>) -> usize {
        let lines = self.lines(scope);
        let graph = self.graph(scope, &lines, true);
        let mut told = BTreeSet::new();
        let limits = Limits { labels: scope.labels(), asked: MOST_ASKED, cost: f64::INFINITY };
        cheapest(&graph, 1, limits, |way| {
            let stops = self.stops(&graph, way);
            if stops.is_empty() || !told.insert(self.signature(&graph, way)) {
                return Next::More;
            }
            let legs: Vec<_> =
                way.states.windows(2).map(|pair| [graph.place(&pair[0]), graph.place(&pair[1])]).collect();
            let edits = self.old.edits(&graph, way);
            let (takes, carpenter) =
                what_it_takes(self.bench, self.before, &edits, (&stops, &legs), self.asked);
            let words = stops.iter().map(ToString::to_string).collect();
            let mut miss = self.miss(&graph, way, words, Vec::new());
            miss.cost -= stops.iter().map(Stop::points).sum::<f64>();
            miss.takes = takes;
            miss.carpenter = carpenter;
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
        (!tees.is_empty()).then(|| Scope { tees, goal, longest: LONGEST_IN, seen: RefCell::default() })
    }

    /// How little the fixture must be moved along its wall for a route without going under, tried whole.
    fn moved_fixture(&self) -> Option<Takes> {
        let (job, framed) = (self.bench.job, &self.old.rough_in.framed);
        let item = &job.fixtures[self.old.fixture];
        let wall = item.wall.as_ref()?;
        let space = framed.wall(wall)?;
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
            let search = Search::new(&bench, &asked, &rough_in, &before, None).ok()?;
            let mut found = Found::default();
            search.look(&search.level, &mut found);
            if let Some(street) = search.street.as_ref().filter(|_| found.routes.is_empty()) {
                search.look(street, &mut found);
            }
            edits.extend(found.routes.into_iter().next()?.1.edits);
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
        // A wye looks one way, and there are many: lines through them all would only crowd out the others.
        for tee in scope.tees.iter().filter(|tee| !matches!(tee.how, How::Wye { .. })) {
            if !starts.iter().any(|q| (q - tee.at).norm() < 1e-6) {
                starts.push(tee.at);
            }
        }
        let mut near: Vec<Point2<f64>> = scope.tees.iter().map(|tee| tee.at).collect();
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

    fn graph<'g>(&'g self, scope: &'g Scope, lines: &'g [Line], through_stops: bool) -> Escape<'g> {
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
            seen: &scope.seen,
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
