//! A way through the graph as changes of the job.

use super::goal::Goal;
use super::graph::{Escape, Here, State};
use super::riser::{Air, Riser, drain_name};
use super::search::Way;
use super::tees::How;
use nalgebra::{Point2, Point3};
use truefall_check::cure::sixteenths;
use truefall_model::framing::provided::Provided;
use truefall_model::job::Job;
use truefall_model::job::clock::Clock;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::height::{Height, Surface};
use truefall_model::job::pipes::{Branch, End, Fit, PortName};
use truefall_model::job::point::{PlanPoint, Spot};
use truefall_model::label::Label;
use truefall_model::place::RoughIn;
use truefall_model::units::{Angle, Grade, Length};

/// The grade a drain has where nobody says otherwise, inches per foot.
pub const USUAL_GRADE: f64 = 0.25;

/// The job a route changes.
#[derive(Debug, Clone)]
pub struct Old<'a> {
    /// The job.
    pub job: &'a Job,
    /// The same placed.
    pub rough_in: &'a RoughIn,
    /// The fixture.
    pub fixture: usize,
    /// How a vent ends over the roof.
    pub roof_end: End,
    /// Its branch now.
    pub branch: Option<usize>,
    /// The last fitting of that branch that others hang on; it stays with all before it.
    pub kept: Option<usize>,
}

impl Old<'_> {
    /// The name the fixture's run has, or gets.
    pub fn run(&self) -> Label {
        match self.branch {
            Some(at) => self.job.branches[at].name.clone(),
            None => Label::new(format!("{} arm", self.job.fixtures[self.fixture].name)),
        }
    }

    /// The edits that build a way: the tee, then the branch.
    pub fn edits(&self, graph: &Escape<'_>, way: &Way<State>) -> Vec<Edit> {
        let (first, last) = (way.states[0], way.states[way.states.len() - 1]);
        let tee = &graph.tees[first.tee as usize];
        let mut names = Names::of(self.job, self.branch, self.kept);
        let mut z = tee.heights[first.height as usize];
        if let Goal::Wall { z: wanted, .. } = graph.goal {
            // The graph takes heights in steps; the tee is set where the arm comes out right, to the sixteenth.
            z += wanted - graph.z(&last);
        }
        let centre = Point3::new(tee.at.x, tee.at.y, z);
        let (mut edits, from) = self.tee(&tee.how, &tee.pattern, centre, &mut names);
        let mut along = match (self.branch, self.kept) {
            (Some(branch), Some(kept)) => self.job.branches[branch].along[..=kept].to_vec(),
            _ => Vec::new(),
        };
        let mut riser = None;
        for pair in way.states.windows(2) {
            let (last, state) = (&pair[0], &pair[1]);
            if let Some(coupling) = &graph.site.coupling {
                let (a, b) = (graph.place(last), graph.place(state));
                for level in graph.meets(last, state).couplings {
                    let p = a + (b - a).normalize() * level;
                    let mut between = Fit::plain(&coupling.pattern, names.next());
                    between.to = Some(self.spot(p.xy(), p.z));
                    along.push(between);
                }
            }
            let name = names.next();
            let p = state.point();
            match state.here {
                Here::Tee => {}
                Here::Bend(i) => {
                    let mut bend = Fit::plain(&graph.bends[i as usize].pattern, name);
                    bend.to = Some(self.spot(state.point(), graph.z(state)));
                    along.push(bend);
                }
                Here::End(_) => {
                    if let (Some((up, _)), Goal::Feet { foot, .. }) = (graph.riser(state), graph.goal) {
                        let mut bend = Fit::plain(foot, name.clone());
                        bend.to = Some(self.spot(p, graph.z(state)));
                        along.push(bend);
                        riser = Some(up);
                    }
                    if let Goal::Under { pattern, flange, street, .. } = graph.goal {
                        let mut end = Fit::plain(pattern, name);
                        if *street {
                            (end.enter, end.leave) = (Some(Label::new("out")), Some(Label::new("in")));
                        }
                        let at = |v: f64| Length::inches((v * 64.0).round() / 64.0);
                        end.to = Some(Spot(match flange {
                            Some(_) => {
                                PlanPoint::Under { fixture: self.job.fixtures[self.fixture].name.clone() }
                            }
                            None => PlanPoint::At { x: at(p.x), y: at(p.y) },
                        }));
                        along.push(end);
                        if let Some(flange) = flange {
                            along.push(Fit::plain(flange, names.next()));
                        }
                    }
                }
            }
        }
        let fixture = &self.job.fixtures[self.fixture];
        let old = self.branch.map(|i| &self.job.branches[i]);
        let past = old.and_then(|b| match &b.end {
            End::Fixture { past, .. } => Some(*past),
            _ => None,
        });
        // A grade that was chosen for this route is written down; the job's own stands as it was said.
        let own = old.and_then(|b| b.grade);
        let chosen = graph.grade * 12.0;
        let kept_grade = (chosen - own.map_or(USUAL_GRADE, Grade::to_per_foot)).abs() < 1e-9;
        let grade = if kept_grade { own } else { Some(Grade::per_foot(chosen)) };
        let mut from = from;
        if let Some(riser) = riser {
            let (tee, panel) = self.riser(graph, riser, &mut along, &mut names);
            let drain = Branch {
                name: self.drain(),
                from,
                material: graph.site.material,
                system: None,
                grade,
                along: std::mem::take(&mut along),
                end: match riser.air {
                    Air::Roof => self.roof_end.clone(),
                    Air::Valve(_) => End::Valve {},
                },
                note: None,
            };
            edits.push(Edit::Branch(Change::Insert { at: self.job.branches.len(), item: Box::new(drain) }));
            edits.extend(panel);
            from = PortName { fitting: tee, port: Some(Label::new("branch")) };
            for (pattern, at) in &riser.arm {
                let mut fit = Fit::plain(pattern, names.next());
                fit.to = Some(self.spot(*at, riser.tee_z));
                along.push(fit);
            }
        }
        let branch = Branch {
            name: self.run(),
            from,
            material: graph.site.material,
            system: old.and_then(|b| b.system),
            grade,
            along,
            end: End::Fixture { name: fixture.name.clone(), past: past.unwrap_or(Length::inches(3.0)) },
            note: old.and_then(|b| b.note.clone()),
        };
        let item = Box::new(branch);
        edits.push(Edit::Branch(match self.branch {
            Some(at) => Change::Replace { at, item },
            None => Change::Insert { at: self.job.branches.len() + usize::from(riser.is_some()), item },
        }));
        edits
    }

    /// The name of the drain under the floor, where a route has one.
    pub fn drain(&self) -> Label {
        drain_name(self.job, &self.job.fixtures[self.fixture].name)
    }

    /// Puts a riser's tee, and what leads to a valve, on its drain: the tee's name, and the panel a valve wants.
    fn riser(
        &self,
        graph: &Escape<'_>,
        riser: &Riser,
        along: &mut Vec<Fit>,
        names: &mut Names,
    ) -> (Label, Option<Edit>) {
        let mut tee = Fit::plain(&riser.tee, names.next());
        tee.height = Some(self.height(riser.tee_z, None));
        if riser.arm.is_empty() {
            tee.clock = Some(Clock::at(Angle::radians(riser.heading.x.atan2(riser.heading.y))));
        }
        let name = tee.name.clone();
        along.push(tee);
        let Air::Valve(z) = riser.air else { return (name, None) };
        let pattern = graph.site.coupling.as_ref().map(|c| c.pattern.clone()).unwrap_or_default();
        let mut top = Fit::plain(pattern, names.next());
        top.height = Some(self.height(z, None));
        let item = Box::new(Provided::Access { to: top.name.clone(), wide: None });
        along.push(top);
        (name, Some(Edit::Provided(Change::Insert { at: self.job.provided.len(), item })))
    }

    /// A point as one would lay it out: off the wall it is in, else off the job's zero.
    fn spot(&self, p: Point2<f64>, z: f64) -> Spot {
        let at = |v: f64| Length::inches((v * 64.0).round() / 64.0);
        let wall = self.rough_in.framed.walls.iter().find(|w| {
            let (along, out) = w.measure(p);
            (0.0..=w.length).contains(&along) && (-w.depth..=0.0).contains(&out) && (w.z0..=w.z1).contains(&z)
        });
        Spot(match wall {
            Some(wall) => {
                let (along, out) = wall.measure(p);
                PlanPoint::OffWall {
                    wall: wall.label.clone(),
                    along: at(along),
                    out: at(out),
                    face: Surface::Rough,
                }
            }
            None => PlanPoint::At { x: at(p.x), y: at(p.y) },
        })
    }

    fn tee(&self, how: &How, pattern: &str, centre: Point3<f64>, names: &mut Names) -> (Vec<Edit>, PortName) {
        let z = centre.z;
        let free = |fitting: Label| PortName { fitting, port: Some(Label::new("branch")) };
        match how {
            How::Given(name) => {
                let mut edits = self.leave(name);
                edits.extend(self.unplugged(name));
                (edits, name.clone())
            }
            How::Kept { branch, .. } => (Vec::new(), self.job.branches[*branch].from.clone()),
            How::Wye { branch, at, level, clock } => {
                let name = names.next();
                let mut item = Fit::plain(pattern, name.clone());
                let branch = &self.job.branches[*branch];
                // Where the next fitting has a plan point, that turns the fitting before the wye: the wye must have one as well.
                match branch.along.get(*at) {
                    Some(next) if next.level.is_some() => item.level = Some(*level),
                    _ => item.to = Some(self.spot(centre.xy(), centre.z)),
                }
                item.clock = Some(*clock);
                let change = Change::Insert { at: *at, item: Box::new(item) };
                let mut edits = vec![Edit::Fit { run: branch.name.clone(), change }];
                if let Some(next) = branch.along.get(*at)
                    && let Some(whole) = next.level
                {
                    let mut next = next.clone();
                    next.level = Some(whole - *level);
                    let change = Change::Replace { at: at + 1, item: Box::new(next) };
                    edits.push(Edit::Fit { run: branch.name.clone(), change });
                }
                edits.extend(self.leave_behind(Some((&branch.name, *at))));
                (edits, free(name))
            }
            How::Moved { stack, fit } => {
                let stack = &self.job.stacks[*stack];
                let mut item = stack.up[*fit].clone();
                item.height = Some(self.height(z, item.height.as_ref()));
                item.clock = None;
                let from = free(item.name.clone());
                let change = Change::Replace { at: *fit, item: Box::new(item) };
                (vec![Edit::Fit { run: stack.name.clone(), change }], from)
            }
            How::New { stack, at } => {
                let stack = &self.job.stacks[*stack];
                let name = names.next();
                let mut item = Fit::plain(pattern, name.clone());
                item.height = Some(self.height(z, None));
                let change = Change::Insert { at: *at, item: Box::new(item) };
                let mut edits = vec![Edit::Fit { run: stack.name.clone(), change }];
                let inserted = Some((&stack.name, *at));
                edits.extend(self.leave_behind(inserted));
                (edits, free(name))
            }
        }
    }

    /// Takes the plug out of a port that is used again.
    fn unplugged(&self, name: &PortName) -> Vec<Edit> {
        let stacks = self.job.stacks.iter().map(|s| (&s.name, &s.up));
        let mut runs = stacks.chain(self.job.branches.iter().map(|b| (&b.name, &b.along)));
        let found =
            runs.find_map(|(run, fits)| Some((run, fits.iter().position(|f| f.name == name.fitting)?, fits)));
        let (Some((run, at, fits)), Some(port)) = (found, &name.port) else { return Vec::new() };
        if !fits[at].plugs.contains(port) {
            return Vec::new();
        }
        let mut item = fits[at].clone();
        item.plugs.retain(|p| p != port);
        vec![Edit::Fit { run: run.clone(), change: Change::Replace { at, item: Box::new(item) } }]
    }

    /// What the old run leaves open where the new one starts somewhere else.
    fn leave(&self, name: &PortName) -> Vec<Edit> {
        match self.branch {
            Some(at) if self.job.branches[at].from.fitting != name.fitting => self.leave_behind(None),
            _ => Vec::new(),
        }
    }

    fn leave_behind(&self, inserted: Option<(&Label, usize)>) -> Vec<Edit> {
        let Some(branch) = self.branch.map(|i| &self.job.branches[i]) else { return Vec::new() };
        let stacks = self.job.stacks.iter().map(|s| (&s.name, &s.up));
        let runs = stacks.chain(self.job.branches.iter().map(|b| (&b.name, &b.along)));
        for (run, fits) in runs {
            let Some(at) = fits.iter().position(|f| f.name == branch.from.fitting) else { continue };
            let behind = inserted.is_some_and(|(other, place)| other == run && place <= at);
            let place = at + usize::from(behind);
            let mut item = fits[at].clone();
            item.plugs.push(branch.from.port.clone().unwrap_or_else(|| Label::new("branch")));
            let change = Change::Replace { at: place, item: Box::new(item) };
            return vec![Edit::Fit { run: run.clone(), change }];
        }
        Vec::new()
    }

    /// A height to the sixteenth, off the floor and surface it was told from, else off the fixture's rough floor.
    fn height(&self, z: f64, like: Option<&Height>) -> Height {
        let framed = &self.rough_in.framed;
        let (floor, surface) = match like {
            Some(height) => (height.floor.clone(), height.surface),
            None => (self.job.fixtures[self.fixture].floor.clone(), Surface::Rough),
        };
        let datum = Height { off: Length::ZERO, floor: floor.clone(), surface };
        let off = sixteenths(z - framed.height(&datum).unwrap_or(0.0));
        Height { off, floor, surface }
    }
}

/// Names for fittings: those of the branch that goes, then new ones.
struct Names {
    taken: Vec<Label>,
    old: Vec<Label>,
    count: usize,
}

impl Names {
    fn of(job: &Job, branch: Option<usize>, kept: Option<usize>) -> Self {
        let along = job.branches.iter().enumerate().filter(|(i, _)| Some(*i) != branch);
        let taken = job.stacks.iter().flat_map(|s| &s.up).chain(along.flat_map(|(_, b)| &b.along));
        let from = kept.map_or(0, |kept| kept + 1);
        let old =
            branch.map(|i| job.branches[i].along[from..].iter().rev().map(|f| f.name.clone()).collect());
        let stay = branch.map_or(&[][..], |i| &job.branches[i].along[..from]);
        Self {
            taken: taken.chain(stay).map(|f| f.name.clone()).collect(),
            old: old.unwrap_or_default(),
            count: 0,
        }
    }

    fn next(&mut self) -> Label {
        if let Some(name) = self.old.pop() {
            return name;
        }
        loop {
            self.count += 1;
            let name = Label::new(format!("R{}", self.count));
            if !self.taken.contains(&name) {
                return name;
            }
        }
    }
}
