//! A way in words, and what makes two ways different.

use super::answer::Miss;
use super::goal::Goal;
use super::graph::{Escape, Here, State};
use super::plan::Search;
use super::riser::Air;
use super::search::Way;
use super::tees::How;
use truefall_model::framing::frame::Framed;
use truefall_model::framing::space::WallSpace;
use truefall_model::job::clock::Clock;
use truefall_model::units::{Angle, Grade, Length};

/// The tee, the side, the fittings, the wood.
pub(super) type Signature = (String, i64, Vec<Here>, Vec<u32>);

impl Search<'_> {
    pub(super) fn miss(
        &self,
        graph: &Escape<'_>,
        way: &Way<State>,
        stops: Vec<String>,
        red: Vec<String>,
    ) -> Miss {
        Miss {
            tee: self.tee_words(graph, way),
            fittings: self.fittings(graph, way),
            cost: way.cost,
            stops,
            red,
            takes: Vec::new(),
            carpenter: Vec::new(),
        }
    }

    /// What makes two routes different: the tee but for its height, the side of it they leave by, the fittings in order, and the
    /// wood they pass.
    pub(super) fn signature(&self, graph: &Escape<'_>, way: &Way<State>) -> Signature {
        let tee = &graph.tees[way.states[0].tee as usize];
        let kind = match &tee.how {
            How::Given(name) if Some(name) != self.own_port() => name.to_string(),
            How::Given(_) | How::Moved { .. } | How::Kept { .. } => format!("{} own", tee.run.0),
            How::Wye { .. } => format!("{} wye", tee.run.0),
            How::New { stack, .. } => format!("{stack} new"),
        };
        let turns = way
            .states
            .iter()
            .map(|s| match s.here {
                // Traps may be swung as one likes; risers stand in their bays.
                Here::End(i) => Here::End(if graph.riser(s).is_some() { i } else { 0 }),
                here => here,
            })
            .collect();
        let quarter = (way.states[0].heading as f64 / 1e9 / std::f64::consts::FRAC_PI_2).round() as i64;
        let side = quarter.rem_euclid(4);
        let mut holes: Vec<u32> = way
            .states
            .windows(2)
            .flat_map(|pair| graph.meets(&pair[0], &pair[1]).holes)
            .map(|h| h.member.0)
            .collect();
        holes.sort_unstable();
        holes.dedup();
        (kind, side, turns, holes)
    }

    fn own_port(&self) -> Option<&truefall_model::job::pipes::PortName> {
        self.old.branch.map(|i| &self.old.job.branches[i].from)
    }

    pub(super) fn tee_words(&self, graph: &Escape<'_>, way: &Way<State>) -> String {
        let tee = &graph.tees[way.states[0].tee as usize];
        let run = &self.old.rough_in.run(tee.run).label;
        match &tee.how {
            How::Given(name) if Some(name) != self.own_port() => format!("{name} of {run}, which is free"),
            How::Given(name) => format!("{} of {run}, as it is", name.fitting),
            How::Kept { branch, fit } => {
                format!(
                    "{} of {run}, which stays for what hangs on it",
                    self.old.job.branches[*branch].along[*fit].name
                )
            }
            How::Wye { .. } => format!("a new {} in {run}", tee.pattern),
            How::Moved { stack, fit } => {
                format!("{} of {run}, set at another height", self.old.job.stacks[*stack].up[*fit].name)
            }
            How::New { .. } => format!("a new {} in {run}", tee.pattern),
        }
    }

    pub(super) fn fittings(&self, graph: &Escape<'_>, way: &Way<State>) -> Vec<String> {
        let mut found: Vec<String> = Vec::new();
        for (i, state) in way.states.iter().enumerate() {
            if let (Some(last), Some(coupling)) = (i.checked_sub(1), &self.site.coupling) {
                let couplings = graph.meets(&way.states[last], state).couplings;
                found.extend(couplings.iter().map(|_| coupling.pattern.clone()));
            }
            match state.here {
                Here::Tee => {}
                Here::Bend(i) => found.push(graph.bends[i as usize].pattern.clone()),
                Here::End(_) => {
                    match graph.goal {
                        Goal::Under { pattern, flange, .. } => {
                            found.push(pattern.clone());
                            found.extend(flange.clone());
                        }
                        Goal::Feet { foot, .. } => found.push(foot.clone()),
                        Goal::Wall { .. } => {}
                    }
                    if let Some((riser, _)) = graph.riser(state) {
                        found.push(riser.tee.clone());
                        found.extend(riser.arm.iter().map(|(pattern, _)| pattern.clone()));
                    }
                }
            }
        }
        found
    }

    /// The way leg by leg, as one would tell it beside the framing.
    pub(super) fn way(&self, graph: &Escape<'_>, way: &Way<State>) -> Vec<String> {
        let framed = self.site.framed;
        let wall_at = |p: nalgebra::Point3<f64>| {
            framed.walls.iter().find(|w| {
                let (along, out) = w.measure(p.xy());
                (-0.1..=w.length + 0.1).contains(&along)
                    && (-w.depth..=0.0).contains(&out)
                    && (w.z0..=w.z1).contains(&p.z)
            })
        };
        let mut found = Vec::new();
        for pair in way.states.windows(2) {
            let (a, b) = (graph.place(&pair[0]), graph.place(&pair[1]));
            let level = Length::inches((b - a).xy().norm());
            let middle = nalgebra::center(&a, &b);
            let place = match (
                wall_at(middle),
                framed
                    .floors
                    .iter()
                    .find(|f| f.rough_z >= middle.z && f.joists_bottom_z.is_some_and(|j| j <= middle.z)),
            ) {
                (Some(wall), _) => format!("in {}", wall.label),
                (None, Some(floor)) => format!("between the joists of {}", floor.label),
                (None, None) if framed.floors.iter().all(|f| middle.z < f.rough_z) => {
                    "under the joists".to_owned()
                }
                (None, None) => "under the floor".to_owned(),
            };
            if let (Goal::Wall { wall, .. }, Here::End(_)) = (graph.goal, pair[1].here) {
                found.push(format!("{level} out of {wall}, to its finished face"));
                continue;
            }
            found.push(format!(
                "{level} {place}, heading {}",
                heading_words(framed, (a.xy(), a.z), pair[0].way())
            ));
        }
        if (self.grade * 12.0 - self.own_grade).abs() > 1e-9 {
            found.push(format!(
                "laid at {}: the lean of its stack takes some of it",
                Grade::per_foot(self.grade * 12.0)
            ));
        }
        if let Some((riser, _)) = way.states.last().and_then(|end| graph.riser(end)) {
            let foot = way.states.last().map_or(0.0, |end| graph.z(end));
            found.push(format!("{} {}", Length::inches(riser.tee_z - foot), riser.words));
            found.push(match riser.air {
                Air::Roof => "on up from its tee, dry, and out through the roof: the trap's vent".to_owned(),
                Air::Valve(z) => {
                    format!(
                        "{} on up from its tee to an air admittance valve: the trap's vent",
                        Length::inches(z - riser.tee_z)
                    )
                }
            });
        }
        found
    }
}

/// A heading by the wall it goes towards, else as a clock on the plan.
fn heading_words(
    framed: &Framed,
    (from, z): (nalgebra::Point2<f64>, f64),
    way: nalgebra::Vector2<f64>,
) -> String {
    // Square to the wall and out of the room: towards it.
    let towards = |w: &&WallSpace| way.dot(&w.into_room) < -0.98 && w.z0 <= z && z <= w.z1;
    let named = framed.walls.iter().filter(towards).map(|w| (w, -w.measure(from).1.abs()));
    let nearest = named.max_by(|a, b| a.1.total_cmp(&b.1));
    let clock = Clock::at(Angle::radians(way.x.atan2(way.y)));
    match nearest {
        Some((wall, _)) if wall.measure(from).1 > 0.0 => {
            format!("{clock} on the plan, towards {}", wall.label)
        }
        _ => format!("{clock} on the plan"),
    }
}
