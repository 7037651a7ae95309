//! Traps and the vents that codes allow them.

use super::air::Air;
use super::carry::{Carry, from_plumb};
use super::method::Method;
use super::setting::Setting;
use super::way::{Dead, Way};
use super::{circuit, combine, dry, stack, wet};
use crate::arm::Arm;
use crate::drain::Drain;
use nalgebra::Point3;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;
use truefall_model::place::{Landing, PartId, PartKind, RoughIn};
use truefall_model::units::NominalSize;

/// One trap and how it is vented.
#[derive(Debug, Clone)]
pub struct Trap {
    /// Index of the fixture in the job.
    pub fixture: usize,
    /// The part the trap is in, or that it is hung on; a closet's flange.
    pub part: PartId,
    /// The weir; a closet's ring.
    pub at: Point3<f64>,
    /// Its vent; none where no method of the code allows what is there.
    pub vent: Option<Vented>,
    /// The methods looked at in vain, and why each fails.
    pub tried: Vec<Tried>,
    /// The fitting at which the question was decided; none where no air was found down to the base.
    pub reached: Option<PartId>,
}

impl Trap {
    /// The fitting where its arm ends and the port air comes through; none without a vent, and where the method limits
    /// the drain by rules of its own.
    pub fn arm_end(&self) -> Option<(PartId, usize)> {
        let vent = self.vent.as_ref()?;
        let own_limits = matches!(vent.method, Method::Combination | Method::SingleStack);
        (!own_limits).then_some((vent.fitting, vent.port))
    }
}

/// A method looked at in vain.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// The method; none for what is wrong before any method can be.
    pub method: Option<Method>,
    /// Why it does not hold here.
    pub why: String,
    /// Nothing else stands against it than that the official has to say so.
    pub asks: bool,
}

impl Tried {
    /// A method that does not hold here.
    pub(super) fn of(method: Method, why: impl Into<String>) -> Self {
        Self { method: Some(method), why: why.into(), asks: false }
    }

    /// A method that holds if the official says so.
    pub(super) fn asking(method: Method, why: impl Into<String>) -> Self {
        Self { method: Some(method), why: why.into(), asks: true }
    }

    /// What is wrong whatever the method.
    pub(super) fn plain(why: impl Into<String>) -> Self {
        Self { method: None, why: why.into(), asks: false }
    }
}

impl std::fmt::Display for Tried {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.method {
            Some(method) => write!(f, "{method}: {}", self.why),
            None => f.write_str(&self.why),
        }
    }
}

/// How a trap is vented.
#[derive(Debug, Clone)]
pub struct Vented {
    /// By which method.
    pub method: Method,
    /// The fitting where the trap's arm meets its vent.
    pub fitting: PartId,
    /// The port of that fitting that air comes through.
    pub port: usize,
    /// The dry way to open air; of a wet or stack method that of the wet length's top. None where the air comes
    /// along a drain whose own vent is another's, as in a combination.
    pub way: Option<Way>,
    /// The traps that share the vent by this method, this one among them.
    pub shared: BTreeSet<usize>,
    /// The figure that limits the method and what it is held to; none where no pipe between two fittings tells a size.
    pub held: Option<Held>,
}

/// What a method is held to by a table or a count of its code.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// What is there: traps or fixture units, as the figure counts.
    pub measured: f64,
    /// The figure's key, without a size.
    pub key: &'static str,
    /// The size of pipe the figure is for, where it is a table's.
    pub size: Option<NominalSize>,
}

impl Held {
    /// So many traps, held to a count.
    pub(super) fn traps(count: usize, key: &'static str) -> Self {
        Self { measured: count as f64, key, size: None }
    }

    /// So many fixture units, held to the row of a size.
    pub(super) fn units(units: f64, key: &'static str, size: NominalSize) -> Self {
        Self { measured: units, key, size: Some(size) }
    }
}

/// Where a trap's drain first meets air, whatever the code says to it.
#[derive(Debug, Clone)]
pub(super) struct Reach {
    /// The fitting.
    pub fitting: PartId,
    /// The port of it that the trap's waste comes in by.
    pub entered: usize,
    /// Dry ways to air from there.
    pub ways: Vec<Way>,
    /// It came into another's drain from the side, before any air.
    pub from_side: bool,
    /// The fitting to which it dropped before any air: what comes after is no arm of its trap any more.
    pub dropped: Option<PartId>,
}

/// A dry vent that leaves a circuit's branch below its last drain.
#[derive(Debug, Clone)]
pub struct Relief {
    /// The vent, to open air.
    pub way: Way,
    /// The traps of the circuit.
    pub fixtures: BTreeSet<usize>,
    /// The place of one of them in [`Vents::traps`].
    pub trap: usize,
}

/// All traps of a placement, and the network of air.
#[derive(Debug, Clone, Default)]
pub struct Vents {
    /// The traps, by fixture.
    pub traps: Vec<Trap>,
    /// The dry vents that relieve circuits below their last drain.
    pub reliefs: Vec<Relief>,
    /// Who joins whom, for rules about vents.
    pub air: Air,
    /// The trap arms, which end where these vents open; told by [`crate::arm::arms`], worked out where first asked for.
    pub(crate) arms: OnceLock<Vec<Arm>>,
    /// The drains; told by [`crate::drain::drains`], worked out where first asked for.
    pub(crate) drains: OnceLock<Vec<Drain>>,
    /// By part, whose waste passes; told by [`crate::drain::carried`], worked out where first asked for.
    pub(crate) carried: OnceLock<Vec<Vec<usize>>>,
}

impl Vents {
    /// Finds how each trap is vented.
    pub fn of(setting: &Setting<'_>) -> Self {
        let air = Air::of(setting);
        let mut starts: BTreeMap<usize, (PartId, Point3<f64>)> = BTreeMap::new();
        for landing in &setting.placed.landings {
            if let Some(start) = start(setting, landing) {
                starts.insert(landing.fixture, start);
            }
        }
        let reaches: BTreeMap<usize, Option<Reach>> =
            starts.iter().map(|(f, (part, _))| (*f, reach(setting, &air, *f, *part))).collect();
        let all = Question { setting, air: &air, reaches: &reaches };
        let traps: Vec<Trap> = starts.iter().map(|(f, (part, at))| all.judge(*f, *part, *at)).collect();
        let reliefs = reliefs(&all, &traps);
        Self { traps, reliefs, air, ..Self::default() }
    }

    /// The trap of a fixture.
    pub fn trap(&self, fixture: usize) -> Option<&Trap> {
        self.traps.iter().find(|t| t.fixture == fixture)
    }
}

/// The relief vents of all circuits, each once.
fn reliefs(all: &Question<'_>, traps: &[Trap]) -> Vec<Relief> {
    let mut found: Vec<Relief> = Vec::new();
    for (trap, vent) in traps.iter().enumerate().filter_map(|(i, t)| Some((i, t.vent.as_ref()?))) {
        if vent.method != Method::Circuit {
            continue;
        }
        for way in circuit::relief(all, vent.fitting) {
            if found.iter().all(|r| (r.way.from, r.way.port) != (way.from, way.port)) {
                found.push(Relief { way, fixtures: vent.shared.clone(), trap });
            }
        }
    }
    found
}

/// The part a trap is in and its weir. A fixture without a trap in its run has none; a closet's is its own.
fn start(setting: &Setting<'_>, landing: &Landing) -> Option<(PartId, Point3<f64>)> {
    if setting.kind(landing.fixture).on_flange() {
        return Some((landing.part, landing.at));
    }
    Some((trap_part(setting.rough_in, landing.part), landing.weir?))
}

/// The part with the weir: going down from where the run's end lands, a standpipe stands on its trap. Where no part has
/// one, the trap is hung on the stub itself.
pub(crate) fn trap_part(rough_in: &RoughIn, lands: PartId) -> PartId {
    let has_weir = |part: &PartId| rough_in.part(*part).pattern().is_some_and(|p| p.weir.is_some());
    let run = rough_in.part(lands).run;
    std::iter::successors(Some(lands), |part| rough_in.network.below(*part))
        .take_while(|part| rough_in.part(*part).run == run)
        .find(has_weir)
        .unwrap_or(lands)
}

/// Goes down from a trap to the first fitting that air reaches by another port.
fn reach(setting: &Setting<'_>, air: &Air, fixture: usize, trap: PartId) -> Option<Reach> {
    let rough_in = setting.rough_in;
    let (mut from_side, mut dropped) = (false, None);
    let mut at = trap;
    let mut high = setting.placed.origin(trap);
    let limited = !setting.kind(fixture).on_flange();
    while let Some(joint) = rough_in.network.down[at.0 as usize] {
        let (fitting, entered) = rough_in.joint(joint).low;
        let low = setting.placed.origin(fitting);
        if !matches!(rough_in.part(fitting).kind, PartKind::Piece { .. }) {
            let drops = limited && is_drop(setting, high, low, rough_in.part(at).size());
            dropped = dropped.or(drops.then_some(fitting));
            high = low;
        }
        let ways = Way::all(air, rough_in, setting.placed, fitting);
        let wet = wet_ports(air, rough_in, fitting, entered);
        let airy = wet.iter().any(|(_, part)| Carry::find(setting, air, fitting, *part).is_some());
        if !ways.is_empty() || airy {
            return Some(Reach { fitting, entered, ways, from_side, dropped });
        }
        let meets_other = wet.iter().any(|(_, part)| air.waste_of(*part).iter().any(|f| *f != fixture));
        from_side |= meets_other && !is_straight(setting, fitting, entered);
        at = fitting;
    }
    None
}

/// Whether waste falls rather than runs from one centre to the next, by more than the pipe's size: the vent would open
/// below the weir.
fn is_drop(setting: &Setting<'_>, high: Point3<f64>, low: Point3<f64>, size: NominalSize) -> bool {
    let within = setting.number("vent-vertical-within").unwrap_or(45.0);
    let way = high - low;
    from_plumb(&way) < within - 1e-6 && way.z > size.nominal().to_inches()
}

/// The ports of a fitting, other than the one entered by, through which waste comes from above, with the parts beyond.
pub(super) fn wet_ports(
    air: &Air,
    rough_in: &RoughIn,
    fitting: PartId,
    entered: usize,
) -> Vec<(usize, PartId)> {
    rough_in
        .network
        .above(fitting)
        .map(|(joint, part)| (rough_in.joint(joint).low.1, part))
        .filter(|(port, part)| *port != entered && !air.is_dry(*part))
        .collect()
}

/// Whether what enters a fitting goes straight on through it.
fn is_straight(setting: &Setting<'_>, fitting: PartId, entered: usize) -> bool {
    let rough_in = setting.rough_in;
    let Some(down) = rough_in.network.down[fitting.0 as usize] else { return true };
    let out = rough_in.joint(down).high.1;
    let axis = |port| setting.placed.axis(rough_in, fitting, port);
    axis(entered).dot(&axis(out)) < -0.9
}

/// What all traps are judged on.
pub(super) struct Question<'a> {
    pub setting: &'a Setting<'a>,
    pub air: &'a Air,
    pub reaches: &'a BTreeMap<usize, Option<Reach>>,
}

impl Question<'_> {
    fn judge(&self, fixture: usize, part: PartId, at: Point3<f64>) -> Trap {
        let reach = self.reaches[&fixture].as_ref();
        let mut trap =
            Trap { fixture, part, at, vent: None, tried: Vec::new(), reached: reach.map(|r| r.fitting) };
        let outcome = match reach {
            None => Err(vec![self.no_air(part)]),
            Some(Reach { dropped: Some(to), fitting, .. }) => {
                let label = |p: &PartId| &self.setting.rough_in.part(*p).label;
                let dead = std::iter::successors(self.setting.rough_in.network.below(part), |p| {
                    self.setting.rough_in.network.below(*p)
                })
                .take_while(|p| p != fitting)
                .find_map(|p| self.dead_port(p).map(|why| (p, why)));
                let mut tried: Vec<Tried> = dead
                    .into_iter()
                    .map(|(p, why)| Tried::of(Method::Individual, format!("at {} {why}", label(&p))))
                    .collect();
                tried.push(Tried::plain(format!(
                    "it drops to {} before it meets air at {}: the vent would open below the weir",
                    label(to),
                    label(fitting)
                )));
                Err(tried)
            }
            Some(reach) if !reach.ways.is_empty() => dry::vented(self, fixture, reach),
            Some(reach) => self.through_waste(fixture, reach),
        };
        let outcome = outcome.or_else(|mut tried| {
            combine::vented(self, fixture, part, reach).map_err(|why| {
                tried.extend(why);
                tried
            })
        });
        match outcome {
            Ok(vented) => trap.vent = Some(vented),
            Err(tried) => trap.tried = tried,
        }
        trap
    }

    /// No dry port is open where the trap meets the drain of others: the methods by which a drain may carry air.
    fn through_waste(&self, fixture: usize, reach: &Reach) -> Result<Vented, Vec<Tried>> {
        if reach.from_side {
            let others = self.together(fixture, reach, true);
            let into = self.setting.names(others.iter().filter(|f| **f != fixture));
            return Err(vec![Tried::plain(format!("it runs into the drain of {into} before any vent"))]);
        }
        let mut tried = Vec::new();
        for (port, part) in wet_ports(self.air, self.setting.rough_in, reach.fitting, reach.entered) {
            let Some(carry) = Carry::find(self.setting, self.air, reach.fitting, part) else { continue };
            let methods =
                [wet::vertical, wet::common, wet::horizontal, circuit::vented, stack::waste, stack::single];
            for method in methods {
                match method(self, fixture, reach, &carry) {
                    Ok((method, shared, held)) => {
                        return Ok(Vented {
                            method,
                            held,
                            fitting: reach.fitting,
                            port,
                            way: Some(carry.way),
                            shared,
                        });
                    }
                    Err(why) => tried.push(why),
                }
            }
        }
        tried.insert(0, Tried::of(Method::Individual, self.no_dry_port(reach.fitting)));
        Err(tried)
    }

    /// The traps that meet air at the same fitting; `by_port` only those that come in with this one.
    pub fn together(&self, fixture: usize, reach: &Reach, by_port: bool) -> BTreeSet<usize> {
        let here = |r: &Reach| r.fitting == reach.fitting && (!by_port || r.entered == reach.entered);
        let mut found: BTreeSet<usize> =
            self.reaches.iter().filter(|(_, r)| r.as_ref().is_some_and(here)).map(|(f, _)| *f).collect();
        found.insert(fixture);
        found
    }

    /// Why a fitting lets no air in of its own.
    fn no_dry_port(&self, fitting: PartId) -> String {
        let label = &self.setting.rough_in.part(fitting).label;
        match self.dead_port(fitting) {
            Some(why) => format!("at {label} {why}"),
            None => format!("{label} has no vent of its own"),
        }
    }

    fn dead_port(&self, fitting: PartId) -> Option<String> {
        let rough_in = self.setting.rough_in;
        let below = rough_in.network.below(fitting);
        let dry = |l: &&super::air::Link| Some(l.part) != below && self.air.is_dry(l.part);
        let link = self.air.links_of(fitting).iter().find(dry)?;
        let run = &rough_in.run(rough_in.part(link.part).run).label;
        Some(match Way::why_none(self.air, fitting, link.part) {
            Dead::Shut(_, why) => format!("{run} {why}"),
            Dead::Wet(into) => {
                let waste = self.setting.names(self.air.waste_of(into));
                format!("{run} leads into {}, which carries the waste of {waste}", rough_in.part(into).label)
            }
            Dead::Nothing => format!("{run} leads to no air"),
        })
    }

    fn no_air(&self, trap: PartId) -> Tried {
        let network = &self.setting.rough_in.network;
        let dead = std::iter::successors(network.below(trap), |p| network.below(*p))
            .find_map(|p| self.dead_port(p).map(|why| (p, why)));
        match dead {
            Some((part, why)) => Tried::plain(format!("at {} {why}", self.setting.rough_in.part(part).label)),
            None => Tried::plain("nothing on its way to the base leads up to open air"),
        }
    }
}
