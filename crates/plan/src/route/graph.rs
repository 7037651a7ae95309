//! The escape graph: states are a tee, a point on an escape line, a heading and the level length behind, so that the height is
//! known; steps are legs with the bend at their far end.

use super::cost::Weights;
use super::goal::Goal;
use super::leg::{LegEnd, Met, Site};
use super::lines::{Line, STEP_RAD, headings};
use super::search::Graph;
use super::stop::Stop;
use super::tees::Tee;
use super::turn::Bend;
use nalgebra::{Point2, Point3, Vector2};
use std::cell::RefCell;
use std::collections::BTreeMap;
use truefall_model::units::Length;

/// Points and lengths are told apart to this part of an inch.
const GRAIN: f64 = 4096.0;

/// The cosine of the angle up to which a port is taken to look along a step of headings: half a degree.
const SAME_WAY: f64 = 0.999_96;

/// Where a route is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct State {
    /// Index of the tee.
    pub tee: u16,
    /// Index of the tee's height.
    pub height: u16,
    /// What stands here.
    pub here: Here,
    /// Where, in grains.
    pub at: (i64, i64),
    /// The heading it is left by, in grains of a radian.
    pub heading: i64,
    /// Level length behind, in grains.
    pub level: i64,
    /// Bends behind.
    pub bends: u8,
}

/// What stands at a state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Here {
    /// The tee.
    Tee,
    /// A bend, by its index.
    Bend(u8),
    /// The end at the fixture: which of its spots.
    End(u8),
}

impl State {
    /// Its point on the plan.
    pub fn point(&self) -> Point2<f64> {
        Point2::new(self.at.0 as f64 / GRAIN, self.at.1 as f64 / GRAIN)
    }

    /// The heading it is left by.
    pub fn way(&self) -> Vector2<f64> {
        let angle = self.heading as f64 / 1e9;
        Vector2::new(angle.cos(), angle.sin())
    }

    /// Level length behind it.
    pub fn behind(&self) -> f64 {
        self.level as f64 / GRAIN
    }
}

fn grains(at: Point2<f64>) -> (i64, i64) {
    ((at.x * GRAIN).round() as i64, (at.y * GRAIN).round() as i64)
}

fn heading(way: Vector2<f64>) -> i64 {
    (way.y.atan2(way.x) * 1e9).round() as i64
}

/// The graph of one fixture's routes.
#[derive(Debug)]
pub struct Escape<'a> {
    /// What is there.
    pub site: &'a Site<'a>,
    /// Where routes start.
    pub tees: &'a [Tee],
    /// Where they end.
    pub goal: &'a Goal,
    /// The lines they run on.
    pub lines: &'a [Line],
    /// The bends there are.
    pub bends: &'a [Bend],
    /// Rise for each inch of level length.
    pub grade: f64,
    /// The way headings are counted from.
    pub base: Vector2<f64>,
    /// The weights.
    pub weights: &'a Weights,
    /// The most bends.
    pub most_bends: u8,
    /// The greatest level length.
    pub longest: f64,
    /// How near the wanted height an end through a wall must come on the graph.
    pub near: f64,
    /// Stops count points instead of ending the way.
    pub through_stops: bool,
    /// Legs looked at already.
    pub seen: &'a RefCell<BTreeMap<(State, State), Met>>,
}

impl Escape<'_> {
    /// The height of the centre line at a state.
    pub fn z(&self, state: &State) -> f64 {
        self.tees[state.tee as usize].heights[state.height as usize] + self.grade * state.behind()
    }

    /// The point in space.
    pub fn place(&self, state: &State) -> Point3<f64> {
        let p = state.point();
        Point3::new(p.x, p.y, self.z(state))
    }

    fn end_of(&self, state: &State) -> Option<LegEnd> {
        match state.here {
            Here::Tee => Some(self.tees[state.tee as usize].end),
            Here::Bend(i) => {
                let bend = &self.bends[i as usize];
                Some(LegEnd {
                    laying: bend.laying.to_inches(),
                    socket: bend.socket.to_inches(),
                    hub_radius: bend.hub.to_inches() / 2.0,
                })
            }
            Here::End(_) => match self.goal {
                Goal::Wall { .. } => None,
                Goal::Under { end, .. } | Goal::Feet { end, .. } => Some(*end),
            },
        }
    }

    /// What the leg from one state to the next meets.
    pub fn meets(&self, from: &State, to: &State) -> Met {
        if let Some(met) = self.seen.borrow().get(&(*from, *to)) {
            return met.clone();
        }
        let Some(start) = self.end_of(from) else { return Met::default() };
        let run = self.tees[from.tee as usize].run;
        let first = from.here == Here::Tee;
        let beside = &self.tees[from.tee as usize].beside;
        let skip = |part: truefall_model::place::PartId| {
            first && self.site_run(part).is_some_and(|r| r == run || beside.contains(&r))
        };
        let mut met = self.site.meet(self.place(from), self.place(to), (start, self.end_of(to)), &skip);
        if let Some((riser, foot)) = self.riser(to) {
            let tee = Point3::new(riser.at.x, riser.at.y, riser.tee_z);
            let up = self.site.meet(self.place(to), tee, (foot, Some(riser.down)), &|_| false);
            if !up.couplings.is_empty() {
                let piece = Length::inches(riser.tee_z - self.z(to));
                met.stops.push(Stop::TooLong { piece, longest: Length::inches(up.couplings[0]) });
            }
            met.holes.extend(up.holes);
            met.stops.extend(up.stops);
        }
        self.seen.borrow_mut().insert((*from, *to), met.clone());
        met
    }

    /// The riser that stands on an end, and the hub of its foot.
    pub fn riser(&self, end: &State) -> Option<(&super::riser::Riser, LegEnd)> {
        match (end.here, self.goal) {
            (Here::End(i), Goal::Feet { risers, end, .. }) => Some((&risers[i as usize], *end)),
            _ => None,
        }
    }

    fn site_run(&self, part: truefall_model::place::PartId) -> Option<truefall_model::place::RunId> {
        self.site.runs.get(part.0 as usize).copied()
    }

    /// The bends that turn one heading into another.
    fn bends_to(&self, from: Vector2<f64>, to: Vector2<f64>) -> impl Iterator<Item = u8> {
        let steps = from.perp(&to).atan2(from.dot(&to)) / STEP_RAD;
        let whole = steps.round();
        let turns = move |b: &Bend| (steps - whole).abs() <= 1e-6 && f64::from(b.steps) == whole.abs();
        self.bends.iter().enumerate().filter(move |(_, b)| turns(b)).map(|(i, _)| i as u8)
    }

    /// A state so far along a heading.
    fn along(&self, from: &State, here: Here, way: Vector2<f64>, level: f64) -> State {
        let behind = from.behind() + level;
        let point = from.point() + from.way() * level;
        State {
            here,
            at: grains(point),
            heading: heading(way),
            level: (behind * GRAIN).round() as i64,
            bends: from.bends + u8::from(matches!(here, Here::Bend(_))),
            ..*from
        }
    }

    fn least_level(&self, from: &State, to: Option<LegEnd>) -> f64 {
        let end = |e: LegEnd| e.laying + e.socket + 0.005;
        self.end_of(from).map_or(0.0, end) + to.map_or(0.0, end)
    }

    fn ends(&self, from: &State) -> Vec<State> {
        let (p, way) = (from.point(), from.way());
        let mut found = Vec::new();
        match self.goal {
            Goal::Wall { face, out, z, .. } => {
                let off = face - p;
                let level = off.dot(&way);
                let end = self.along(from, Here::End(0), way, level);
                if way.dot(out) > 1.0 - 1e-9
                    && way.perp(&off).abs() < 2e-3
                    && level > self.least_level(from, None)
                {
                    let near = if matches!(self.tees[from.tee as usize].how, super::tees::How::Given(_)) {
                        self.goal.heights().1 - z
                    } else {
                        self.near
                    };
                    if (self.z(&end) - z).abs() <= near {
                        found.push(end);
                    }
                }
            }
            Goal::Feet { risers, end, z, .. } => {
                for (i, riser) in risers.iter().enumerate() {
                    let off = riser.at - p;
                    let level = off.dot(&way);
                    if level < self.least_level(from, Some(*end)) || way.perp(&off).abs() > 2e-3 {
                        continue;
                    }
                    let at = self.along(from, Here::End(i as u8), way, level);
                    let room = end.laying + end.socket + riser.down.laying + riser.down.socket;
                    let height = self.z(&at);
                    if (z.0..=z.1).contains(&height) && riser.tee_z - height > room {
                        found.push(at);
                    }
                }
            }
            Goal::Under { spots, z, end, .. } => {
                for (i, (spot, _)) in spots.iter().enumerate() {
                    let off = spot - p;
                    let level = off.dot(&way);
                    if level < self.least_level(from, Some(*end)) || way.perp(&off).abs() > 2e-3 {
                        continue;
                    }
                    let end = self.along(from, Here::End(i as u8), way, level);
                    if self.goal.takes(i, way) && (z.0..=z.1).contains(&self.z(&end)) {
                        found.push(end);
                    }
                }
            }
        }
        found.retain(|s| s.behind() <= self.longest);
        found
    }
}

impl Graph for Escape<'_> {
    type State = State;

    fn starts(&self) -> Vec<(State, f64)> {
        let mut starts = Vec::new();
        for (t, tee) in self.tees.iter().enumerate() {
            let mut ways: Vec<Vector2<f64>> = match tee.heading {
                // A port on a line that falls looks a hair beside the step it is meant to.
                Some(way) => vec![headings(self.base).find(|step| step.dot(&way) > SAME_WAY).unwrap_or(way)],
                None => headings(self.base).collect(),
            };
            if tee.heading.is_none() {
                // A tee on a stack is clocked as one likes: straight at the fixture too.
                ways.extend(self.goal.points().iter().filter_map(|p| (p - tee.at).try_normalize(1e-6)));
            }
            let mut keys: Vec<i64> = ways.into_iter().map(heading).collect();
            keys.sort_unstable();
            keys.dedup();
            for height in 0..tee.heights.len() {
                starts.extend(keys.iter().map(|key| {
                    let state = State {
                        tee: t as u16,
                        height: height as u16,
                        here: Here::Tee,
                        at: grains(tee.at),
                        heading: *key,
                        level: 0,
                        bends: 0,
                    };
                    (state, tee.cost)
                }));
            }
        }
        starts
    }

    fn steps(&self, from: &State) -> Vec<(State, f64)> {
        let w = self.weights;
        let pipe = |to: &State| w.pipe(Length::inches(to.behind() - from.behind()));
        let joints = match self.goal {
            Goal::Wall { .. } => 0.0,
            Goal::Under { .. } | Goal::Feet { .. } => w.joint,
        };
        let up = |end: &State| self.riser(end).map_or(0.0, |(riser, _)| riser.cost);
        let mut found: Vec<(State, f64)> =
            self.ends(from).into_iter().map(|s| (s, pipe(&s) + joints + up(&s))).collect();
        if from.bends >= self.most_bends {
            return found;
        }
        let (p, way) = (from.point(), from.way());
        for line in self.lines {
            let across = way.perp(&line.way);
            if across.abs() < 1e-6 {
                continue;
            }
            let level = (line.through - p).perp(&line.way) / across;
            if level <= 1.0 || from.behind() + level > self.longest {
                continue;
            }
            for turned in [line.way, -line.way] {
                for bend in self.bends_to(way, turned) {
                    let to = self.along(from, Here::Bend(bend), turned, level);
                    if level < self.least_level(from, self.end_of(&to)) {
                        continue;
                    }
                    let (_, highest) = self.goal.heights();
                    if self.z(&to) + self.grade * self.goal.distance(to.point()) > highest + 1e-6 {
                        continue;
                    }
                    found.push((to, pipe(&to) + 2.0 * w.joint + self.bends[bend as usize].points));
                }
            }
        }
        found
    }

    fn beyond(&self, from: &State, to: &State) -> Option<f64> {
        let met = self.meets(from, to);
        if !self.through_stops && !met.stops.is_empty() {
            return None;
        }
        let holes: f64 = met.holes.iter().map(|h| self.weights.bore(h.used, h.hole, h.plates)).sum();
        let coupled = 2.0 * self.weights.joint * met.couplings.len() as f64;
        let up = match self.riser(to) {
            Some((riser, _)) => self.weights.pipe(Length::inches(riser.tee_z - self.z(to))),
            None => 0.0,
        };
        Some(holes + coupled + up + met.stops.iter().map(Stop::points).sum::<f64>())
    }

    fn done(&self, state: &State) -> bool {
        matches!(state.here, Here::End(_))
    }

    fn least_left(&self, state: &State) -> f64 {
        if self.done(state) {
            return 0.0;
        }
        self.weights.pipe(Length::inches(self.goal.distance(state.point()))) * (1.0 - 1e-6)
            + self.goal.least_cost()
    }
}
