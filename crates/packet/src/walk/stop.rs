//! The stops of the walk, made from the job: the whole, each fixture, each stack, cleanouts, plates, walls with pipe in them.

use super::eye::eye;
use super::screw_band::{Facing, ScrewBand, screw_bands};
use crate::report::xyz;
use nalgebra::{Point3, Vector2, Vector3};
use serde::Serialize;
use std::collections::BTreeSet;
use truefall_check::{Finding, Verdict};
use truefall_model::catalog::family::Family;
use truefall_model::framing::provided::Provided;
use truefall_model::framing::space::FloorSpace;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::job::{Job, Placement};
use truefall_model::label::Label;
use truefall_model::place::{Landing, PartKind, Placed, RoughIn, Run, RunKind};
use truefall_model::units::{Fineness, Length};

/// What a stop is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StopKind {
    /// The whole house from outside.
    House,
    /// One fixture.
    Fixture,
    /// One stack, from its base to the roof.
    Stack,
    /// A place where a drain can be rodded.
    Cleanout,
    /// The shield plates of one wall.
    Plates,
    /// A wall with pipe in it: what not to screw into.
    Screws,
}

/// One stop.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stop {
    /// A short name fit for a file: letters, digits and `-`, one of a kind in its walk.
    pub key: String,
    /// What it is about.
    pub kind: StopKind,
    /// In big type.
    pub title: String,
    /// Below it, a line each.
    pub lines: Vec<String>,
    /// Where one stands, job axes, inches.
    pub eye: [f64; 3],
    /// What one looks at, job axes, inches.
    pub look: [f64; 3],
    /// The parts it is about.
    pub parts: Vec<String>,
    /// Numbers of its findings, in the order of the report.
    pub findings: Vec<usize>,
}

/// What the stops are made from.
struct Site<'a> {
    job: &'a Job,
    rough_in: &'a RoughIn,
    placed: &'a Placed,
    findings: &'a [Finding],
    keys: BTreeSet<String>,
    stops: Vec<Stop>,
}

/// The stops of a job in one placement: the whole first, then floor by floor its fixtures, then stacks, cleanouts, plates
/// and walls.
pub fn stops(job: &Job, rough_in: &RoughIn, placement: Placement, findings: &[Finding]) -> Vec<Stop> {
    let placed = rough_in.placed(placement);
    let mut site = Site { job, rough_in, placed, findings, keys: BTreeSet::new(), stops: Vec::new() };
    site.whole();
    let mut floors: Vec<&FloorSpace> = rough_in.framed.floors.iter().collect();
    floors.sort_by(|a, b| a.rough_z.total_cmp(&b.rough_z));
    for floor in floors {
        for index in 0..job.fixtures.len() {
            if job.fixtures[index].floor == floor.label {
                site.fixture(index, floor);
            }
        }
    }
    for run in &rough_in.runs {
        site.stack(run);
    }
    site.cleanouts();
    let bands = screw_bands(rough_in, placed);
    site.plates();
    site.screws(&bands);
    site.stops
}

fn trade(inches: f64) -> String {
    Length::inches(inches).to_trade(Fineness::Sixteenth)
}

impl Site<'_> {
    fn push(&mut self, mut stop: Stop) {
        let plain: String = stop
            .key
            .chars()
            .map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' })
            .collect();
        let mut key = plain.clone();
        let mut n = 2;
        while !self.keys.insert(key.clone()) {
            key = format!("{plain}-{n}");
            n += 1;
        }
        stop.key = key;
        self.stops.push(stop);
    }

    fn findings_of(&self, labels: &BTreeSet<&str>) -> Vec<usize> {
        let here = |f: &Finding| f.in_both || f.placement == self.placed.placement;
        (0..self.findings.len())
            .filter(|i| here(&self.findings[*i]))
            .filter(|i| self.findings[*i].labels.iter().any(|l| labels.contains(l.as_str())))
            .collect()
    }

    /// How many red tags, and the first of them.
    fn told(&self, findings: &[usize], lines: &mut Vec<String>) {
        let red: Vec<&Finding> =
            findings.iter().map(|i| &self.findings[*i]).filter(|f| f.verdict == Verdict::RedTag).collect();
        match red.as_slice() {
            [] => lines.push("no red tag here".to_owned()),
            [one] => lines.push(format!("red tag: {}", one.what)),
            [first, rest @ ..] => {
                lines.push(format!("{} red tags; first: {}", rest.len() + 1, first.what));
            }
        }
    }

    fn whole(&mut self) {
        let mut points = self.rough_in.framed.members.iter().flat_map(|m| m.corners());
        let first = points.next().unwrap_or_else(Point3::origin);
        let (least, most) = points.fold((first, first), |(l, m), p| (l.inf(&p), m.sup(&p)));
        let look = nalgebra::center(&least, &most);
        let size = (most - least).norm().max(120.0);
        let eye = look + Vector3::new(0.62, -0.95, 0.62).normalize() * size * 1.15;
        let (fixtures, stacks) = (self.job.fixtures.len(), self.job.stacks.len());
        let findings: Vec<usize> = (0..self.findings.len()).collect();
        let red = self.findings.iter().filter(|f| f.verdict == Verdict::RedTag).count();
        let lines = vec![
            format!("{fixtures} fixtures on {stacks} {}", if stacks == 1 { "stack" } else { "stacks" }),
            match red {
                0 => "no red tag".to_owned(),
                1 => "1 red tag hangs in it".to_owned(),
                n => format!("{n} red tags hang in it"),
            },
            "water shut-offs are not in the job: ask where each is, and write it in".to_owned(),
            "a plan check; the local code, the inspector and a licensed plumber have the last word"
                .to_owned(),
        ];
        self.push(Stop {
            key: "house".to_owned(),
            kind: StopKind::House,
            title: self.job.name.clone(),
            lines,
            eye: xyz(eye),
            look: xyz(look),
            parts: Vec::new(),
            findings,
        });
    }

    fn fixture(&mut self, index: usize, floor: &FloorSpace) {
        let Some(landing) = self.placed.landings.iter().find(|l| l.fixture == index) else { return };
        let fixture = &self.job.fixtures[index];
        let run = self.rough_in.run(landing.run);
        let stack = self.rough_in.stack_of(run.id).label.clone();
        let drain = self.rough_in.part(landing.part);
        let floor_name = if self.rough_in.framed.floors.len() > 1 {
            format!("{}, {} floor", fixture.name, floor.label)
        } else {
            fixture.name.to_string()
        };
        let size = drain.size();
        let mut lines = vec![format!("{size} in drain, by {} to the {stack} stack", run.label)];
        lines.push(lands(landing));
        let labels = self.labels_of(run, &fixture.name);
        let findings = self.findings_of(&labels.iter().map(String::as_str).collect());
        self.told(&findings, &mut lines);
        let out = fixture.wall.as_ref().and_then(|w| self.rough_in.framed.wall(w)).map(|w| {
            // A fixture may hang on the back of its wall.
            let (_, off) = w.measure(landing.wants.xy() + landing.axis.xy() * 6.0);
            if off >= -w.depth / 2.0 { w.into_room } else { -w.into_room }
        });
        // Half above the drain, so that the fixture and the pipe below it are both seen.
        let look = landing.at + Vector3::z() * if fixture.kind == FixtureKind::Closet { 8.0 } else { 0.0 };
        let parts = labels.into_iter().filter(|l| *l != fixture.name.as_str()).collect();
        self.push(Stop {
            key: format!("fixture-{}", fixture.name),
            kind: StopKind::Fixture,
            title: floor_name,
            lines,
            eye: xyz(eye(&self.rough_in.framed, floor, look, out)),
            look: xyz(look),
            parts,
            findings,
        });
    }

    fn labels_of(&self, run: &Run, fixture: &Label) -> Vec<String> {
        let of_run = self.rough_in.parts.iter().filter(|p| p.run == run.id).map(|p| p.label.to_string());
        of_run.chain([run.label.to_string(), fixture.to_string()]).collect()
    }

    fn stack(&mut self, run: &Run) {
        let RunKind::Stack { base, lean, .. } = &run.kind else { return };
        let top = run.last_piece.or(run.fits.last().map(|f| f.1)).unwrap_or(*base);
        let (low, high) = (self.placed.origin(*base), self.placed.origin(top));
        let mut lines = Vec::new();
        if let PartKind::Existing { size, hub, .. } = &self.rough_in.part(*base).kind {
            let what = if *hub { "hub" } else { "pipe" };
            lines.push(format!(
                "stands on the {size} in {} {what} that is there",
                self.rough_in.part(*base).material
            ));
        }
        lines.push(match lean {
            Some(lean) if lean.lean_in_per_ft() > 1e-9 => {
                format!("its base leans {:.3} in per ft", lean.lean_in_per_ft())
            }
            Some(_) => "its base stands plumb".to_owned(),
            None => "nobody read whether its base stands plumb".to_owned(),
        });
        let arms = self
            .rough_in
            .runs
            .iter()
            .filter(|r| r.id != run.id && self.rough_in.stack_of(r.id).id == run.id)
            .count();
        lines.push(format!("{arms} {} on it", if arms == 1 { "branch" } else { "branches" }));
        let labels: Vec<String> = self
            .rough_in
            .parts
            .iter()
            .filter(|p| p.run == run.id)
            .map(|p| p.label.to_string())
            .chain([run.label.to_string()])
            .collect();
        let findings = self.findings_of(&labels.iter().map(String::as_str).collect());
        self.told(&findings, &mut lines);
        let floor = self.ground(low.xy().coords);
        let look = Point3::new(low.x, low.y, floor.map_or(low.z, |f| f.finished_z + 40.0).min(high.z));
        let wall = self.rough_in.framed.walls.iter().find(|w| {
            let (along, out) = w.measure(look.xy());
            (0.0..=w.length).contains(&along) && (-w.depth..=0.0).contains(&out)
        });
        let at = floor.map_or(look, |f| eye(&self.rough_in.framed, f, look, wall.map(|w| w.into_room)));
        self.push(Stop {
            key: format!("stack-{}", run.label),
            kind: StopKind::Stack,
            title: format!("{} stack", run.label),
            lines,
            eye: xyz(at),
            look: xyz(look),
            parts: labels,
            findings,
        });
    }

    /// The lowest floor over whose outline a point is; the datum floor where none has one.
    fn ground(&self, at: Vector2<f64>) -> Option<&FloorSpace> {
        let over = |f: &&FloorSpace| {
            f.outline.is_none_or(|(l, m)| (l.x..=m.x).contains(&at.x) && (l.y..=m.y).contains(&at.y))
        };
        let floors = || self.rough_in.framed.floors.iter();
        floors()
            .filter(over)
            .min_by(|a, b| a.rough_z.total_cmp(&b.rough_z))
            .or_else(|| floors().find(|f| f.datum))
    }

    /// The floor one stands on to see a point: the highest whose rough surface is not above it, else the lowest.
    fn standing(&self, at: Point3<f64>) -> Option<&FloorSpace> {
        let floors = || self.rough_in.framed.floors.iter();
        floors()
            .filter(|f| f.rough_z <= at.z)
            .max_by(|a, b| a.rough_z.total_cmp(&b.rough_z))
            .or_else(|| self.ground(at.xy().coords))
    }

    fn cleanouts(&mut self) {
        let said_at = |label: &Label| {
            self.job.provided.iter().any(|p| matches!(p, Provided::Cleanout { at } if at == label))
        };
        let here: Vec<_> = self
            .rough_in
            .parts
            .iter()
            .filter(|p| match &p.kind {
                PartKind::Fitting { pattern, plugs } => {
                    pattern.family == Family::CleanoutTee || !plugs.is_empty() || said_at(&p.label)
                }
                _ => false,
            })
            .map(|p| {
                (p.id, p.label.to_string(), p.pattern().map_or_else(String::new, |q| q.name.to_string()))
            })
            .collect();
        for (id, label, fitting) in here {
            let look = self.placed.origin(id);
            let Some(floor) = self.standing(look) else { continue };
            let at = eye(&self.rough_in.framed, floor, look, None);
            let findings = self.findings_of(&BTreeSet::from([label.as_str()]));
            let mut lines =
                vec![format!("{fitting}, {} off {} finished", trade(look.z - floor.finished_z), floor.label)];
            lines.push("keep it within reach: no tile, cabinet or shelf over it".to_owned());
            self.told(&findings, &mut lines);
            self.push(Stop {
                key: format!("cleanout-{label}"),
                kind: StopKind::Cleanout,
                title: format!("cleanout {label}"),
                lines,
                eye: xyz(at),
                look: xyz(look),
                parts: vec![label],
                findings,
            });
        }
    }

    fn plates(&mut self) {
        for wall in &self.rough_in.framed.walls {
            let shielded: Vec<_> = self
                .job
                .provided
                .iter()
                .filter_map(|p| match p {
                    Provided::Plate { member, .. } => self.rough_in.framed.member(member),
                    _ => None,
                })
                .filter(|m| m.wall == Some(wall.id))
                .collect();
            if shielded.is_empty() {
                continue;
            }
            let names: Vec<&str> = shielded
                .iter()
                .map(|m| m.label.as_str().trim_start_matches(wall.label.as_str()).trim_start())
                .collect();
            let labels: Vec<String> = shielded.iter().map(|m| m.label.to_string()).collect();
            let findings = self.findings_of(&labels.iter().map(String::as_str).collect());
            let mut lines = vec![format!("plates on {}", names.join(", "))];
            self.told(&findings, &mut lines);
            self.before_wall(
                wall.id.0 as usize,
                Facing::Room,
                "plates",
                StopKind::Plates,
                lines,
                labels,
                findings,
            );
        }
    }

    fn screws(&mut self, bands: &[ScrewBand]) {
        for i in 0..self.rough_in.framed.walls.len() {
            for facing in [Facing::Room, Facing::Back] {
                let wall = &self.rough_in.framed.walls[i];
                let of: Vec<&ScrewBand> =
                    bands.iter().filter(|b| wall.label.as_str() == b.wall && b.facing == facing).collect();
                if of.is_empty() {
                    continue;
                }
                let lines: Vec<String> = of.iter().map(|b| b.text.clone()).collect();
                let parts: BTreeSet<String> = of.iter().flat_map(|b| b.parts.clone()).collect();
                self.before_wall(
                    i,
                    facing,
                    "screws",
                    StopKind::Screws,
                    lines,
                    parts.into_iter().collect(),
                    Vec::new(),
                );
            }
        }
    }

    /// A stop before the middle of a wall's face.
    #[expect(clippy::too_many_arguments, reason = "one place for what two kinds of stop share")]
    fn before_wall(
        &mut self,
        index: usize,
        facing: Facing,
        key: &str,
        kind: StopKind,
        lines: Vec<String>,
        parts: Vec<String>,
        findings: Vec<usize>,
    ) {
        let wall = &self.rough_in.framed.walls[index];
        let Some(floor) = self.rough_in.framed.floor_of(wall.floor) else { return };
        let (out, way, back) = match facing {
            Facing::Room => (wall.finish_room, wall.into_room, ""),
            Facing::Back => (-wall.depth - wall.finish_back, -wall.into_room, ", from the back"),
        };
        let look = wall.at_height(wall.length / 2.0, out, f64::midpoint(wall.z0, wall.z1));
        let title = match kind {
            StopKind::Screws => format!("{}{back}: where no screw goes", wall.label),
            _ => format!("{}: plates over the pipes", wall.label),
        };
        let at = eye(&self.rough_in.framed, floor, look, Some(way));
        // In a narrow room one looks straight ahead: down at the middle of the wall would show floor and little else.
        let near = (at.xy() - look.xy()).norm();
        let look = Point3::new(look.x, look.y, look.z.clamp(at.z - near / 4.0, at.z + near / 4.0));
        let side = if back.is_empty() { "" } else { "-back" };
        self.push(Stop {
            key: format!("{key}-{}{side}", wall.label),
            kind,
            title,
            lines,
            eye: xyz(at),
            look: xyz(look),
            parts,
            findings,
        });
    }
}

fn lands(landing: &Landing) -> String {
    let off = landing.misfit().to_inches();
    let allowed = trade(landing.tolerance.to_inches());
    if trade(off) == "0\"" {
        return format!("the pipe lands where the fixture needs it ({allowed} allowed)");
    }
    format!("the pipe lands {} off ({allowed} allowed)", trade(off))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::examine::examine;
    use truefall_model::catalog::Catalog;
    use truefall_model::job::file::JobFile;

    fn demo() -> (Job, crate::Examined) {
        let text = include_str!("../../../../scenes/bungalow.ron");
        let file = JobFile::read("bungalow.ron", text).expect("the demo reads");
        let catalog = Catalog::builtin();
        let examined = examine(&file.job, catalog, &[Placement::Drawn, Placement::Found]).expect("it places");
        (file.job, examined)
    }

    #[test]
    fn every_fixture_and_stack_and_every_wall_with_pipe_has_its_stop() {
        let (job, seen) = demo();
        let stops = stops(&job, &seen.rough_in, Placement::Found, &seen.findings);
        let count = |kind| stops.iter().filter(|s| s.kind == kind).count();
        assert_eq!(count(StopKind::House), 1);
        assert_eq!(count(StopKind::Fixture), job.fixtures.len());
        assert_eq!(count(StopKind::Stack), job.stacks.len());
        // Both stacks stand in walls, so at least those walls must not be screwed into.
        assert!(count(StopKind::Screws) >= 2, "{stops:#?}");
        let keys: BTreeSet<&str> = stops.iter().map(|s| s.key.as_str()).collect();
        assert_eq!(keys.len(), stops.len(), "each key is one of a kind");
    }

    #[test]
    fn nobody_stands_in_a_wall_or_looks_through_one() {
        let (job, seen) = demo();
        for stop in stops(&job, &seen.rough_in, Placement::Found, &seen.findings) {
            if stop.kind == StopKind::House {
                continue;
            }
            let (eye, look) = (Point3::from(stop.eye), Point3::from(stop.look));
            let way = look.xy() - eye.xy();
            for wall in &seen.rough_in.framed.walls {
                let (along, out) = wall.measure(eye.xy());
                let stands = (wall.z0..wall.z1).contains(&eye.z);
                let inside = (0.0..=wall.length).contains(&along) && (-wall.depth..=0.0).contains(&out);
                assert!(!(stands && inside), "{} stands in {}", stop.title, wall.label);
                let level = (wall.z0..wall.z1).contains(&look.z) && stands;
                // Within a foot of what is looked at a wall may stand: the thing is in it.
                if let Some(d) = wall.hit(eye.xy(), way).filter(|_| level) {
                    assert!(d > way.norm() - 12.0, "{} looks through {}", stop.title, wall.label);
                }
            }
        }
    }
}
