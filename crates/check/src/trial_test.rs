//! The water test of a rough-in: what to plug, how high the water stands, how much there is and how long it stays.
//!
//! One [`Trial`] for each stack with everything that hangs on it. Where a vent ends over the roof the system is whole: it is filled
//! to its highest opening until it runs over, the lower ones plugged. Else it is a part of one: a riser is set on for the test so that the
//! code's head stands over the highest joint of that part, or over the lowest where a profile says so. Air is never proposed: see [`Trial::cautions`].

use crate::code::Profile;
use crate::source::Source;
use std::f64::consts::PI;
use truefall_model::catalog::Catalog;
use truefall_model::catalog::family::Family;
use truefall_model::catalog::material::Material;
use truefall_model::job::pipes::End;
use truefall_model::job::{Job, Placement};
use truefall_model::label::Label;
use truefall_model::place::{Part, PartId, PartKind, Placed, RoughIn, Run, RunKind};
use truefall_model::units::{Length, NominalSize};

/// Pressure of a foot of water: 62.4 lb over 144 square inches.
const PSI_PER_FOOT: f64 = 62.4 / 144.0;

/// A US gallon in cubic inches, by definition.
const CUBIC_INCHES_PER_GALLON: f64 = 231.0;

/// How an opening is made tight for the test.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Plugging {
    /// A test ball or plug put in through a test tee or cleanout tee at the foot.
    BallAtFoot,
    /// The foot has no opening to put a ball in by: a test tee is needed there.
    NoWayIn,
    /// A cap or plug on an end that a fixture takes later.
    Cap,
    /// A plug in a closet flange.
    FlangePlug,
    /// A cap where an air admittance valve goes on after the test.
    ValveLater,
    /// Nothing: it ends over the water.
    OverWater,
}

impl std::fmt::Display for Plugging {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(match self {
            Self::BallAtFoot => "test ball through the tee at the foot",
            Self::NoWayIn => "no way in for a test ball: put a test tee above it",
            Self::Cap => "test cap or plug",
            Self::FlangePlug => "test plug in the flange",
            Self::ValveLater => "test cap; the valve goes on after the test",
            Self::OverWater => "stays open, over the water",
        })
    }
}

/// An opening and what is done with it.
#[derive(Debug, Clone, PartialEq)]
pub struct Plug {
    /// The fitting, fixture or base it is at.
    pub at: Label,
    /// Size of the pipe there.
    pub size: NominalSize,
    /// What is done.
    pub how: Plugging,
    /// Its height over the rough surface of the datum floor, inches.
    pub z: f64,
    /// Water over it.
    pub head: Length,
}

/// The test of one stack and all that hangs on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Trial {
    /// The stack.
    pub stack: Label,
    /// The placement it was reckoned in.
    pub placement: Placement,
    /// Every opening, from the lowest up.
    pub plugs: Vec<Plug>,
    /// Where the water stands, over the rough surface of the datum floor, inches.
    pub level_z: f64,
    /// How far that is over the highest end of the job's own pipe: a riser of this length is set on for the test; nothing
    /// where the water stands in the pipe itself.
    pub riser: Length,
    /// The lowest joint, and the water over it.
    pub lowest: (Label, Length),
    /// Pressure at the lowest joint, pounds per square inch.
    pub pounds: f64,
    /// Joints higher than this have less water over them than the code's head: in a system filled to its top they are proved by
    /// the overflow alone.
    pub full_head_below_z: f64,
    /// Whether no joint is that high: the code's head, or more, is on each.
    pub full_head_on_all: bool,
    /// Water it takes, US gallons, from inside diameters and centre lines; fittings are counted as pipe.
    pub gallons: f64,
    /// What that weighs, pounds.
    pub weight: f64,
    /// How long it stands without falling, minutes.
    pub minutes: f64,
    /// The code's head of water, and where it stands.
    pub head: (Length, Source),
    /// Where the time stands.
    pub hold: Source,
    /// Whether the code lets plastic be tested with air, and where that stands.
    pub air_on_plastic: (bool, Source),
    /// Some of its pipe is plastic.
    pub plastic: bool,
}

impl Trial {
    /// What can hurt someone or spoil the test, in plain sentences.
    pub fn cautions(&self) -> Vec<String> {
        let mut told = Vec::new();
        if self.plastic {
            told.push(
                "no compressed air in plastic pipe: air stores its pressure, and a joint that lets go throws splinters; makers \
                 of pipe forbid it; water stores next to nothing"
                    .to_owned(),
            );
            let (allowed, source) = &self.air_on_plastic;
            told.push(match allowed {
                true => format!("{source} does not forbid air on plastic; it is not proposed all the same"),
                false => format!("{source} forbids air on plastic too"),
            });
        } else {
            told.push(
                "water is enough; air under pressure is not proposed, whatever the pipe is made of"
                    .to_owned(),
            );
        }
        told.push(format!(
            "{:.0} gal weigh {:.0} lb: hangers and clamps are on before you fill",
            self.gallons, self.weight
        ));
        told.push(format!(
            "a ball at the lowest joint is pushed by {:.1} psi: tie it off, let it down slowly, and stand clear of it",
            self.pounds
        ));
        if self.plugs.iter().any(|p| p.how == Plugging::NoWayIn) {
            told.push(
                "existing pipe below the new work is not filled: plug above it, or water stands in the house"
                    .to_owned(),
            );
        }
        told.push("which test is wanted, and who sees it, the local official says".to_owned());
        told
    }
}

/// The tests of a placed job, stack by stack. Water pipes are left out.
pub fn trials(
    job: &Job,
    rough_in: &RoughIn,
    catalog: &Catalog,
    profile: &Profile,
    placed: &Placed,
) -> Vec<Trial> {
    let test = Test { job, rough_in, catalog, profile, placed };
    rough_in.runs.iter().filter_map(|run| test.of(run)).collect()
}

fn is_plastic(material: Material) -> bool {
    matches!(material, Material::Pvc | Material::Abs | Material::PvcThin | Material::Pex)
}

struct Test<'a> {
    job: &'a Job,
    rough_in: &'a RoughIn,
    catalog: &'a Catalog,
    profile: &'a Profile,
    placed: &'a Placed,
}

impl Test<'_> {
    fn of(&self, stack: &Run) -> Option<Trial> {
        use truefall_model::job::pipes::System;
        let RunKind::Stack { base, .. } = &stack.kind else { return None };
        if matches!(stack.system, Some(System::Cold | System::Hot)) {
            return None;
        }
        let runs: Vec<&Run> =
            self.rough_in.runs.iter().filter(|run| self.rough_in.stack_of(run.id).id == stack.id).collect();
        let mine = |part: &Part| self.rough_in.stack_of(part.run).id == stack.id;
        let joints: Vec<(f64, PartId)> = self
            .rough_in
            .joints
            .iter()
            .filter(|j| mine(self.rough_in.part(j.high.0)))
            .map(|j| (self.placed.stop(self.rough_in, j.high.0, j.high.1).z, j.high.0))
            .collect();
        let (lowest_z, lowest) = joints.iter().copied().min_by(|a, b| a.0.total_cmp(&b.0))?;
        let highest_z = joints.iter().map(|j| j.0).fold(lowest_z, f64::max);
        let air = self.profile.figure("test-air-on-plastic");
        let head = self.profile.figure("test-head");
        let hold = self.profile.figure("test-hold");
        let asked = Length::inches(head.value * 12.0);
        // The highest end in the open: water runs over there, lower ones are plugged.
        let open = runs.iter().filter_map(|run| match self.end(run) {
            End::Roof { .. } => Some(self.tip(run).1),
            _ => None,
        });
        let roof = open.max_by(f64::total_cmp);
        let top = roof.unwrap_or_else(|| runs.iter().map(|r| self.tip(r).1).fold(lowest_z, f64::max));
        let over_highest = self.profile.figure("test-head-over-highest").value > 0.0;
        let from = if over_highest { highest_z } else { lowest_z };
        // A whole system is filled to its top; a part has the code's head over it.
        let level_z = roof.unwrap_or_else(|| top.max(from + asked.to_inches()));
        let mut plugs = vec![self.foot(*base, level_z)];
        plugs.extend(runs.iter().filter_map(|run| self.plug(run, level_z)));
        plugs.sort_by(|a, b| a.z.total_cmp(&b.z).then_with(|| a.at.as_str().cmp(b.at.as_str())));
        let gallons = self.gallons(stack, level_z);
        let under = Length::inches(level_z - lowest_z);
        Some(Trial {
            stack: stack.label.clone(),
            placement: self.placed.placement,
            plugs,
            level_z,
            riser: Length::inches(level_z - top),
            lowest: (self.rough_in.part(lowest).label.clone(), under),
            pounds: under.to_inches() / 12.0 * PSI_PER_FOOT,
            full_head_below_z: level_z - asked.to_inches(),
            full_head_on_all: highest_z <= level_z - asked.to_inches() + 1e-9,
            gallons,
            // A gallon of water weighs 62.4 lb x 231 / 1728.
            weight: gallons * 62.4 * CUBIC_INCHES_PER_GALLON / 1728.0,
            minutes: hold.value,
            head: (asked, head.source()),
            hold: hold.source(),
            air_on_plastic: (air.value > 0.0, air.source()),
            plastic: self.rough_in.parts.iter().any(|p| mine(p) && is_plastic(p.material)),
        })
    }

    fn end(&self, run: &Run) -> &End {
        match run.kind {
            RunKind::Stack { index, .. } => &self.job.stacks[index].end,
            RunKind::Branch { index, .. } => &self.job.branches[index].end,
        }
    }

    /// The last part of a run and how high its end is.
    fn tip(&self, run: &Run) -> (PartId, f64) {
        let from = match run.kind {
            RunKind::Stack { base, .. } => base,
            RunKind::Branch { from, .. } => from.0,
        };
        let part = run.last_piece.or_else(|| run.fits.last().map(|f| f.1)).unwrap_or(from);
        let z = match self.rough_in.part(part).kind {
            PartKind::Piece { .. } => self.placed.stop(self.rough_in, part, 1).z,
            _ => self.placed.origin(part).z,
        };
        (part, z)
    }

    fn foot(&self, base: PartId, level_z: f64) -> Plug {
        let part = self.rough_in.part(base);
        let z = self.placed.origin(base).z;
        let run = self.rough_in.run(part.run);
        let tee =
            run.fits.iter().map(|f| self.rough_in.part(f.1)).find(|p| {
                p.pattern().is_some_and(|p| matches!(p.family, Family::TestTee | Family::CleanoutTee))
            });
        let how = if tee.is_some() { Plugging::BallAtFoot } else { Plugging::NoWayIn };
        let at = tee.map_or(&part.label, |tee| &tee.label).clone();
        Plug { at, size: part.size(), how, z, head: Length::inches((level_z - z).max(0.0)) }
    }

    fn plug(&self, run: &Run, level_z: f64) -> Option<Plug> {
        let (part, z) = self.tip(run);
        let over = z >= level_z - 1e-9;
        let how = match self.end(run) {
            End::Tie { .. } | End::Capped {} => return None,
            End::Roof { .. } if over => Plugging::OverWater,
            End::Roof { .. } | End::Open {} => Plugging::Cap,
            End::Valve {} => Plugging::ValveLater,
            End::Fixture { .. } => match run.fixture {
                Some(fixture) if self.job.fixtures[fixture].kind.on_flange() => Plugging::FlangePlug,
                _ => Plugging::Cap,
            },
        };
        let at = match run.fixture {
            Some(fixture) => &self.job.fixtures[fixture].name,
            None => &self.rough_in.part(part).label,
        };
        let size = self.rough_in.part(part).size();
        Some(Plug { at: at.clone(), size, how, z, head: Length::inches((level_z - z).max(0.0)) })
    }

    fn gallons(&self, stack: &Run, level_z: f64) -> f64 {
        let legs = self.rough_in.legs.iter().filter(|l| self.rough_in.stack_of(l.run).id == stack.id);
        let cubic: f64 = legs
            .map(|leg| {
                let (low, high) = self.rough_in.leg_ends(self.placed, leg.id);
                let material = self.rough_in.part(leg.piece.unwrap_or(leg.low)).material;
                let inside = self.catalog.pipe(material, leg.size).map_or(leg.size.nominal(), |p| p.inside);
                let (bottom, top) = (low.z.min(high.z), low.z.max(high.z));
                let wet = if top - bottom < 1e-9 {
                    f64::from(u8::from(bottom < level_z))
                } else {
                    ((level_z - bottom) / (top - bottom)).clamp(0.0, 1.0)
                };
                (high - low).norm() * wet * PI * (inside.to_inches() / 2.0).powi(2)
            })
            .sum();
        cubic / CUBIC_INCHES_PER_GALLON
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use truefall_model::job::file::JobFile;
    use truefall_model::place::place;

    fn of(text: &str) -> Trial {
        let job = JobFile::read("trial", text).expect("it reads").job;
        let catalog = Catalog::builtin();
        let rough_in = place(&job, catalog).expect("it is placed");
        let profile = Profile::builtin(job.code.as_str()).expect("it comes with the tool");
        trials(&job, &rough_in, catalog, &profile, &rough_in.drawn).remove(0)
    }

    // A 10 ft length of 3 in pipe, 3.042 in inside by ASTM D2665's least wall, holds 0.3776 gal a foot; 10 ft of water press 4.33 psi,
    // as makers of pipe print it.
    #[test]
    fn ten_feet_of_three_inch_pipe() {
        let trial = of(r#"Job(name: "riser", house: House(floors: [Floor(name: "first", datum: true)]),
            stacks: [Stack(name: "S1", base: CutPipe(size: "3", material: pvc, at: ("0", "0"), top: "0 off first rough"),
              up: [Fit(name: "C1", fit: "3 coupling"), Fit(name: "C2", fit: "3 coupling", centre: "10' 0")], end: Open)])"#);
        // From the cut to the middle of the first coupling there are up to 3 in more.
        assert!((3.776..3.776 + 0.25 * 0.3776).contains(&trial.gallons), "{} gal", trial.gallons);
        // A part of a system: 10 ft over its highest joint, so about 20 over its lowest (IPC 312.2 and UPC 712.2 as
        // remembered, a state's printing of the same rule; IRC P2503.5.1 in a state's adoption of 2021).
        assert!((trial.riser.to_inches() - 120.0).abs() < 4.0, "{}", trial.riser);
        assert!((trial.lowest.1.to_inches() - 240.0).abs() < 4.0, "{}", trial.lowest.1);
        assert!((trial.pounds - 2.0 * 4.33).abs() < 0.1, "{} psi", trial.pounds);
        assert!((trial.minutes - 15.0).abs() < 1e-9);
        assert!(trial.plugs.iter().any(|p| p.how == Plugging::NoWayIn), "no tee at its foot");
        assert!(trial.cautions()[0].contains("no compressed air"));
        assert!(trial.cautions()[1].contains("forbids air on plastic"), "{:?}", trial.cautions());
    }

    const HOUSE: &str = r#"Job(name: "whole", code: "CODE", house: House(floors: [Floor(name: "first", datum: true)],
            roof: [RoofPlane(name: "roof", eave: (("-5' 0", "-10' 0"), ("15' 0", "-10' 0")), height: "6' 0 off first rough", pitch: "1/4 in per ft", run: "40' 0")]),
            stacks: [Stack(name: "S1", base: CutPipe(size: "3", material: pvc, at: ("0", "0"), top: "0 off first rough"),
              up: [Fit(name: "C1", fit: "3 coupling"), Fit(name: "T1", fit: "3x3x2 sanitary tee", height: "3' 0 off first rough", clock: "3:00")], end: END)],
            branches: [Branch(name: "B1", from: "T1", along: [Fit(name: "E1", fit: "2 1/4 bend", level: "24", clock: "12")], end: OTHER)])"#;

    fn house(code: &str, end: &str, other: &str) -> Trial {
        of(&HOUSE.replace("CODE", code).replace("OTHER", other).replace("END", end))
    }

    // All three codes: a system tested as a whole is filled to its highest opening until it runs over, though less than 10 ft
    // stands over most of it; a part of one has 10 ft (IPC 312.2, UPC 712.2 from memory; IRC P2503.5.1 by a forum's and a
    // state's wording).
    #[test]
    fn a_whole_system_is_filled_to_its_top_and_a_part_has_its_head() {
        for code in Profile::names() {
            let whole = house(code, "Roof(above: \"24\")", "Roof(above: \"6\")");
            assert!(whole.riser.to_inches().abs() < 1e-9, "{code}: {}", whole.riser);
            assert!(whole.lowest.1.to_inches() < 120.0, "{code}: a low house: {}", whole.lowest.1);
            let over: Vec<&Plug> = whole.plugs.iter().filter(|p| p.how == Plugging::OverWater).collect();
            assert_eq!(over.len(), 1, "{code}: the lower of two ends is plugged");
            let part = house(code, "Open", "Open");
            let highest = 36.0;
            assert!(part.level_z - 120.0 >= highest, "{code}: 10 ft over the tee: {}", part.level_z);
            assert!((part.full_head_below_z - (part.level_z - 120.0)).abs() < 1e-9);
            assert!(part.full_head_on_all, "ten feet over the highest joint are on all");
        }
    }
}
