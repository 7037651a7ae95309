//! Finds routes for a fixture, tries each whole, and says what stops the best where there is none.

use super::answer::{Answer, Miss, Route};
use super::asked::{Asked, NoRoute};
use super::cost::{USUAL, Weights};
use super::edits::Old;
use super::goal::Goal;
use super::graph::{Escape, State};
use super::leg::Site;
use super::lines::{Region, lines};
use super::mend::what_it_takes;
use super::search::{Next, Way, cheapest};
use super::slide::Coupling;
use super::stop::Stop;
use super::tees::{Seeking, Tee};
use super::turn::{Bend, level_bends};
use super::wood::Wood;
use crate::trial::Bench;
use nalgebra::{Point2, Vector2};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use truefall_check::bore::Occupants;
use truefall_check::{Finding, check};
use truefall_model::job::pipes::End;
use truefall_model::label::Label;
use truefall_model::place::{RoughIn, place};
use truefall_model::units::NominalSize;

/// The most bends of one route on the level.
const MOST_BENDS: u8 = 3;
/// The most labels settled before the search gives up.
const MOST_LABELS: usize = 60_000;
/// The most routes tried whole for each one wanted.
const TRIES: usize = 8;
/// Steps between heights of a tee that may be set freely, inches.
const HEIGHT_STEP_IN: f64 = 0.5;

/// Looks for the cheapest lawful routes of a fixture; `tick` is called now and then with how many states were settled.
///
/// # Errors
/// The question can't be put: names, places or the job itself are at fault.
pub fn routes(bench: &Bench<'_>, asked: &Asked<'_>) -> Result<Answer, NoRoute> {
    let rough_in = place(bench.job, bench.catalog).map_err(NoRoute::Placing)?;
    let before = check(bench.job, &rough_in, bench.catalog, bench.profile, bench.placements);
    let search = Search::new(bench, asked, &rough_in, &before)?;
    Ok(search.answer())
}

/// One search, set up.
pub(super) struct Search<'a> {
    pub(super) bench: &'a Bench<'a>,
    pub(super) asked: &'a Asked<'a>,
    pub(super) before: &'a [Finding],
    pub(super) old: Old<'a>,
    pub(super) site: Site<'a>,
    pub(super) tees: Vec<Tee>,
    pub(super) goal: Goal,
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
        if let Some(own) = branch.map(|i| &job.branches[i]) {
            let mine: BTreeSet<&Label> = own.along.iter().map(|f| &f.name).collect();
            let hung: Vec<&str> = job
                .branches
                .iter()
                .filter(|b| mine.contains(&b.from.fitting))
                .map(|b| b.name.as_str())
                .collect();
            if !hung.is_empty() {
                return Err(NoRoute::Hung { branch: own.name.clone(), others: hung.join(", ") });
            }
        }
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
        let weights = USUAL;
        let longest = longest(bench, size, &goal);
        let heights = match &goal {
            // An arm rises by its length and no more.
            Goal::Wall { z, .. } => (z - grade * longest, z - grade * 4.0, HEIGHT_STEP_IN),
            Goal::Under { .. } => (low - grade * longest, high, 1.0),
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
        };
        let mut tees = seeking.tees();
        if tees.is_empty() {
            return Err(NoRoute::NoTee {
                name: asked.to.cloned().unwrap_or_else(|| Label::new("of any kind")),
                size,
            });
        }
        tees.retain(|t| goal.distance(t.at) <= longest);
        let own_run =
            branch.and_then(|i| rough_in.runs.iter().find(|r| r.label == job.branches[i].name)).map(|r| r.id);
        let all = Occupants::of(rough_in, &rough_in.drawn);
        let built: Vec<_> =
            all.all.into_iter().filter(|o| Some(rough_in.part(o.part).run) != own_run).collect();
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
        Ok(Self {
            bench,
            asked,
            before,
            old: Old { job, rough_in, fixture, branch },
            site,
            tees,
            goal,
            bends: level_bends(catalog, profile, material, size),
            grade,
            base,
            weights,
        })
    }

    fn answer(&self) -> Answer {
        let starts: Vec<Point2<f64>> = self.tees.iter().map(|t| t.at).collect();
        let mut near = starts.clone();
        near.extend(self.goal.points());
        near.extend(self.goal.line().map(|l| l.through));
        let heights = self.tees.iter().flat_map(|t| t.heights.iter().copied());
        let (low, high) = heights.fold(self.goal.heights(), |(l, h), z| (l.min(z), h.max(z)));
        let region = Region::around(&near, (low, high));
        let hub = self.bends.iter().map(|b| b.hub.to_inches() / 2.0).fold(self.site.pipe_radius, f64::max);
        let bit = self.bench.catalog.bit_for_pipe(self.site.material, self.site.size);
        let edge = self.bench.profile.figure("stud-edge").value
            + bit.map_or(self.site.pipe_radius, |b| b.to_inches() / 2.0);
        let mut unique: Vec<Point2<f64>> = Vec::new();
        for p in starts {
            if !unique.iter().any(|q| (q - p).norm() < 1e-6) {
                unique.push(p);
            }
        }
        let lines = lines(self.site.framed, &region, self.base, &unique, &self.goal, (hub + 0.25, edge));
        let seen = RefCell::new(BTreeMap::new());
        let mut graph = Escape {
            site: &self.site,
            tees: &self.tees,
            goal: &self.goal,
            lines: &lines,
            bends: &self.bends,
            grade: self.grade,
            base: self.base,
            weights: &self.weights,
            most_bends: MOST_BENDS,
            longest: longest(self.bench, self.site.size, &self.goal),
            near: HEIGHT_STEP_IN / 2.0 + 0.01,
            through_stops: false,
            seen: &seen,
        };
        let (mut routes, mut misses): (Vec<Route>, Vec<Miss>) = (Vec::new(), Vec::new());
        let (mut told, mut tried) = (BTreeSet::new(), 0);
        let mut settled = 0;
        if self.asked.k > 0 {
            settled = cheapest(&graph, 1, MOST_LABELS, |way| {
                if !told.insert(self.signature(&graph, way)) {
                    return Next::More;
                }
                tried += 1;
                match self.attempt(&graph, way) {
                    Ok(route) => routes.push(route),
                    Err(red) => misses.push(self.miss(&graph, way, Vec::new(), red)),
                }
                let enough = routes.len() >= self.asked.k || tried >= TRIES * self.asked.k.max(2);
                if enough { Next::Enough } else { Next::More }
            });
        }
        if !self.asked.why_not && !routes.is_empty() {
            misses.clear();
        }
        if self.asked.why_not || routes.is_empty() {
            graph.through_stops = true;
            let (mut seen, wanted) = (BTreeSet::new(), if routes.is_empty() { 1 } else { 3 });
            settled += cheapest(&graph, 1, MOST_LABELS, |way| {
                let stops = self.stops(&graph, way);
                if stops.is_empty() || !seen.insert(self.signature(&graph, way)) {
                    return Next::More;
                }
                let takes =
                    what_it_takes(self.bench, self.before, &self.old.edits(&graph, way), &stops, self.asked);
                let words = stops.iter().map(ToString::to_string).collect();
                let mut miss = self.miss(&graph, way, words, Vec::new());
                miss.takes = takes;
                misses.push(miss);
                if seen.len() >= wanted { Next::Enough } else { Next::More }
            });
        }
        misses.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        misses.truncate(5);
        Answer {
            fixture: self.asked.fixture.clone(),
            routes,
            misses,
            why_not: self.asked.why_not,
            work: (settled, tried),
        }
    }

    fn stops(&self, graph: &Escape<'_>, way: &Way<State>) -> Vec<Stop> {
        let pairs = way.states.windows(2);
        pairs.flat_map(|pair| graph.meets(&pair[0], &pair[1]).stops).collect()
    }
}

/// How much longer than the code's arm a way may be on the graph, inches: the rule tells by how much it is too long.
const PAST_ARM_IN: f64 = 48.0;

/// The longest a route may be on the level: somewhat past the code's arm where the fixture has one, else 20 ft.
fn longest(bench: &Bench<'_>, size: NominalSize, goal: &Goal) -> f64 {
    let arm = bench.profile.for_size("trap-arm-length", size).map(|f| f.value);
    match goal {
        Goal::Wall { .. } => arm.map_or(240.0, |a| a + PAST_ARM_IN),
        Goal::Under { flange: None, .. } => arm.map_or(240.0, |a| a + PAST_ARM_IN),
        Goal::Under { .. } => 240.0,
    }
}
