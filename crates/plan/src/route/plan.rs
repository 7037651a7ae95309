//! Finds routes for a fixture, tries each whole, and says what stops the best where there is none.

use super::cost::{USUAL, Weights};
use super::edits::Old;
use super::goal::Goal;
use super::graph::{Escape, Here, State};
use super::leg::Site;
use super::lines::{Region, lines};
use super::mend::{Takes, what_it_takes};
use super::search::{Next, Way, cheapest};
use super::stop::Stop;
use super::tees::{How, Seeking, Tee};
use super::turn::{Bend, level_bends};
use super::wood::Wood;
use crate::trial::{Bench, Trial, attempt};
use nalgebra::{Point2, Vector2};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use truefall_check::bore::Occupants;
use truefall_check::{Finding, Verdict, check};
use truefall_model::framing::provided::Provided;
use truefall_model::job::Placement;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::pipes::End;
use truefall_model::label::Label;
use truefall_model::place::{JobFault, RoughIn, place};
use truefall_model::units::{Length, NominalSize};

/// The most bends of one route on the level.
const MOST_BENDS: u8 = 3;
/// The most labels settled before the search gives up.
const MOST_LABELS: usize = 60_000;
/// The most routes tried whole for each one wanted.
const TRIES: usize = 8;
/// Steps between heights of a tee that may be set freely, inches.
const HEIGHT_STEP_IN: f64 = 0.5;

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The fixture.
    pub fixture: &'a Label,
    /// A stack, a fitting or a port it must start from.
    pub to: Option<&'a Label>,
    /// How many routes.
    pub k: usize,
    /// Also what stopped the routes that would be cheapest.
    pub why_not: bool,
}

/// A route that was built in a copy of the job and accepted by all rules.
#[derive(Debug, Clone)]
pub struct Route {
    /// What changes the job into one with the route.
    pub edits: Vec<Edit>,
    /// Its points.
    pub cost: f64,
    /// Where it starts, in words.
    pub tee: String,
    /// Its fittings outwards.
    pub fittings: Vec<String>,
    /// Level length from the tee to its end.
    pub level: Length,
    /// Holes: the member, the hole, how much of the limit it takes.
    pub holes: Vec<(Label, Length, f64)>,
    /// Plates that go with it, by member.
    pub plates: Vec<Label>,
    /// Whether its trap still wants a vent: what is there has none, or none yet.
    pub unvented: bool,
    /// The fixture's misfit at its end, as drawn.
    pub misfit: Option<Length>,
    /// What is newly told and not red.
    pub tells: Vec<String>,
    /// What was red and is gone.
    pub mends: Vec<String>,
    /// What was red about this run and still is, such as the lean of its stack.
    pub still: Vec<String>,
}

/// A way that was not taken and what stood against it.
#[derive(Debug, Clone)]
pub struct Miss {
    /// Where it starts, in words.
    pub tee: String,
    /// Its fittings outwards.
    pub fittings: Vec<String>,
    /// Its points, stops left out.
    pub cost: f64,
    /// What stands in its way.
    pub stops: Vec<String>,
    /// What the rules say of it, where nothing stands in the way.
    pub red: Vec<String>,
    /// What it would take, each tried.
    pub takes: Vec<Takes>,
}

/// What came of it.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The fixture.
    pub fixture: Label,
    /// Routes, cheapest first, all accepted.
    pub routes: Vec<Route>,
    /// Where there is no route, or where it was asked for: the cheapest ways that fail.
    pub misses: Vec<Miss>,
    /// How many states were settled and how many routes tried whole.
    pub work: (usize, usize),
}

/// Why routes can't be looked for at all.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoRoute {
    /// There is no such fixture.
    #[error("there is no fixture {name}; known: {known}")]
    NoFixture {
        /// What was asked for.
        name: Label,
        /// The job's fixtures.
        known: String,
    },
    /// Nothing of that name to start from.
    #[error("there is no stack or fitting {name} that {size} in pipe can leave")]
    NoTee {
        /// What was asked for.
        name: Label,
        /// The arm's size.
        size: NominalSize,
    },
    /// The fixture does not say enough.
    #[error("{fixture}: {why}")]
    Fixture {
        /// The fixture.
        fixture: Label,
        /// What is missing.
        why: String,
    },
    /// Other runs hang on its run.
    #[error("{others} hang on {branch}; route or take out those first")]
    Hung {
        /// The fixture's branch.
        branch: Label,
        /// What hangs on it.
        others: String,
    },
    /// The job can't be placed.
    #[error("the job can't be placed: {}", .0.first().map_or("", |f| f.message.as_str()))]
    Placing(Vec<JobFault>),
}

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

struct Search<'a> {
    bench: &'a Bench<'a>,
    asked: &'a Asked<'a>,
    before: &'a [Finding],
    old: Old<'a>,
    site: Site<'a>,
    tees: Vec<Tee>,
    goal: Goal,
    bends: Vec<Bend>,
    grade: f64,
    base: Vector2<f64>,
    weights: Weights,
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
        let lines = lines(&self.site.framed, &region, self.base, &unique, &self.goal, (hub + 0.25, edge));
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
        Answer { fixture: self.asked.fixture.clone(), routes, misses, work: (settled, tried) }
    }

    fn stops(&self, graph: &Escape<'_>, way: &Way<State>) -> Vec<Stop> {
        let pairs = way.states.windows(2);
        pairs.flat_map(|pair| graph.meets(&pair[0], &pair[1]).stops).collect()
    }

    fn miss(&self, graph: &Escape<'_>, way: &Way<State>, stops: Vec<String>, red: Vec<String>) -> Miss {
        Miss {
            tee: self.tee_words(graph, way),
            fittings: self.fittings(graph, way),
            cost: way.cost - super::graph::STOP_POINTS * stops.len() as f64,
            stops,
            red,
            takes: Vec::new(),
        }
    }

    /// What makes two routes different: the tee but for its height, the turns, and the wood they pass.
    fn signature(&self, graph: &Escape<'_>, way: &Way<State>) -> (String, Vec<(Here, i64)>, Vec<u32>) {
        let tee = &self.tees[way.states[0].tee as usize];
        let kind = match &tee.how {
            How::Given(_) | How::Moved { .. } => format!("{} own", tee.run.0),
            How::New { stack, .. } => format!("{stack} new"),
        };
        let turns = way
            .states
            .iter()
            .map(|s| match s.here {
                Here::End(_) => (Here::End(0), 0),
                here => (here, (s.heading as f64 / 1e9 / (2.0 * super::lines::STEP_RAD)).round() as i64),
            })
            .collect();
        let mut holes: Vec<u32> = way
            .states
            .windows(2)
            .flat_map(|pair| graph.meets(&pair[0], &pair[1]).holes)
            .map(|h| h.member.0)
            .collect();
        holes.sort_unstable();
        holes.dedup();
        (kind, turns, holes)
    }

    fn tee_words(&self, _graph: &Escape<'_>, way: &Way<State>) -> String {
        let tee = &self.tees[way.states[0].tee as usize];
        let run = &self.old.rough_in.run(tee.run).label;
        match &tee.how {
            How::Given(name) => format!("{} of {run}, as it is", name.fitting),
            How::Moved { stack, fit } => {
                format!("{} of {run}, set at another height", self.old.job.stacks[*stack].up[*fit].name)
            }
            How::New { .. } => format!("a new {} in {run}", tee.pattern),
        }
    }

    fn fittings(&self, graph: &Escape<'_>, way: &Way<State>) -> Vec<String> {
        let mut found: Vec<String> = Vec::new();
        for state in &way.states {
            match state.here {
                Here::Tee => {}
                Here::Bend(i) => found.push(graph.bends[i as usize].pattern.clone()),
                Here::End(_) => {
                    if let Goal::Under { pattern, flange, .. } = &self.goal {
                        found.push(pattern.clone());
                        found.extend(flange.clone());
                    }
                }
            }
        }
        found
    }

    /// Builds a way in a copy of the job, with the plates it needs, and holds it to all rules.
    fn attempt(&self, graph: &Escape<'_>, way: &Way<State>) -> Result<Route, Vec<String>> {
        let edits = self.old.edits(graph, way);
        let mut trial = attempt(self.bench, self.before, edits).map_err(|why| vec![why.to_string()])?;
        let plates = plates(&trial, self.bench.job.provided.len(), &self.old.run());
        if !plates.is_empty() {
            let mut edits = trial.edits.clone();
            edits.extend(plates.iter().enumerate().map(|(i, plate)| {
                let at = self.bench.job.provided.len() + i;
                Edit::Provided(Change::Insert { at, item: Box::new(plate.clone()) })
            }));
            trial = attempt(self.bench, self.before, edits).map_err(|why| vec![why.to_string()])?;
        }
        let fixture = self.asked.fixture;
        let vented_before =
            !self.before.iter().any(|f| of_fixture(f, fixture, &["trap-not-vented", "fixture-not-drained"]));
        let pardoned = |f: &Finding| !vented_before && of_fixture(f, fixture, &["trap-not-vented"]);
        let new = trial.breaks.iter().filter(|f| f.verdict == Verdict::RedTag && !pardoned(f));
        // As drawn a route answers for all that is red about it, be it red before; a lean is the stack's.
        let own = still_red(&trial, fixture, &self.old).into_iter();
        let own = own.filter(|f| f.placement == Placement::Drawn && !f.rule.starts_with("closet-"));
        let mut red: Vec<String> = new.chain(own).map(ToString::to_string).collect();
        red.sort();
        red.dedup();
        if !red.is_empty() {
            return Err(red);
        }
        let told = |findings: &[Finding], red: bool| -> Vec<String> {
            let wanted = findings.iter().filter(|f| (f.verdict == Verdict::RedTag) == red);
            wanted.map(ToString::to_string).collect()
        };
        let holes = way.states.windows(2).flat_map(|pair| graph.meets(&pair[0], &pair[1]).holes);
        let holes = holes.filter_map(|h| {
            let member = self.site.framed.member_of(h.member)?;
            (member.kind != truefall_model::framing::member::MemberKind::Subfloor)
                .then(|| (member.label.clone(), h.hole, h.used))
        });
        let landing = trial.rough_in.drawn.landings.iter().find(|l| l.fixture == self.old.fixture);
        Ok(Route {
            cost: way.cost,
            tee: self.tee_words(graph, way),
            fittings: self.fittings(graph, way),
            level: Length::inches(way.states.last().map_or(0.0, State::behind)),
            holes: holes.collect(),
            plates: plates
                .iter()
                .filter_map(|p| match p {
                    Provided::Plate { member, .. } => Some(member.clone()),
                    _ => None,
                })
                .collect(),
            unvented: trial.findings.iter().any(|f| of_fixture(f, fixture, &["trap-not-vented"])),
            misfit: landing.map(|l| l.misfit()),
            tells: told(&trial.breaks, false),
            mends: told(&trial.mends, true),
            still: still_red(&trial, fixture, &self.old).into_iter().map(ToString::to_string).collect(),
            edits: trial.edits,
        })
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

/// What is red about the fixture or its run, new or not; a missing vent is told apart.
fn still_red<'t>(trial: &'t Trial, fixture: &Label, old: &Old<'_>) -> Vec<&'t Finding> {
    let run = old.run();
    let own = |f: &&Finding| {
        f.verdict == Verdict::RedTag
            && f.rule != "trap-not-vented"
            && (f.labels.contains(fixture) || f.labels.contains(&run))
    };
    trial.findings.iter().filter(own).collect()
}

fn of_fixture(finding: &Finding, fixture: &Label, rules: &[&str]) -> bool {
    rules.contains(&finding.rule) && finding.labels.contains(fixture)
}

/// The plates that the holes of a run ask for.
fn plates(trial: &Trial, from: usize, run: &Label) -> Vec<Provided> {
    let mut found: Vec<Provided> = Vec::new();
    for finding in trial.findings.iter().filter(|f| f.rule == "shield-plate-missing") {
        if !finding.labels.contains(run) {
            continue;
        }
        for edit in finding.cures.iter().take(1).flat_map(|c| &c.edits) {
            if let Edit::Provided(Change::Insert { at, item }) = edit
                && *at >= from
                && !found.contains(item)
            {
                found.push((**item).clone());
            }
        }
    }
    found
}
