//! All that is bought for one job, counted; and the joints that are made with it.

use super::hangers::hangers;
use crate::cuts::CutList;
use crate::holes::HoleSchedule;
use crate::prices::{Item, Unit};
use crate::site::Site;
use crate::stock::{Bar, Piece, StockOptions, of_cuts};
use std::collections::BTreeMap;
use truefall_model::catalog::joint::JointKind;
use truefall_model::catalog::material::Material;
use truefall_model::catalog::name::FittingName;
use truefall_model::catalog::pattern::PortEnd;
use truefall_model::framing::provided::{MemberFace, Provided};
use truefall_model::job::Placement;
use truefall_model::job::pipes::End;
use truefall_model::label::Label;
use truefall_model::place::{Part, PartId, PartKind, Run, RunKind};
use truefall_model::units::NominalSize;

/// One line of a bill.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What is bought.
    pub item: Item,
    /// What one of it is: for pipe a length as sold, else each.
    pub unit: Unit,
    /// How many.
    pub count: usize,
    /// Where it goes: fittings by their names, pipe by its pieces' numbers, the rest by run or member.
    pub places: Vec<String>,
}

/// Joints of one kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JointCount {
    /// How they are made.
    pub kind: JointKind,
    /// Material of the new part.
    pub material: Material,
    /// Nominal size.
    pub size: NominalSize,
    /// How many.
    pub count: usize,
}

/// All that is bought for one job.
#[derive(Debug, Clone, PartialEq)]
pub struct Bill {
    /// What the job is called.
    pub job: String,
    /// The placement the pipe is cut to.
    pub cut_on: Placement,
    /// What is bought: pipe, fittings, then the rest; each by material, then size.
    pub lines: Vec<Line>,
    /// The joints, by kind, material and size.
    pub joints: Vec<JointCount>,
    /// Pieces longer than any length sold; no line has them.
    pub too_long: Vec<Piece>,
}

impl Bill {
    /// Of a job that was placed.
    pub fn of(site: &Site<'_>, stock: &StockOptions) -> Self {
        let cuts = CutList::of(site);
        let mut joints: BTreeMap<(JointKind, Material, NominalSize), usize> = BTreeMap::new();
        let mut goods = Goods::default();
        for joint in &cuts.joints {
            *joints.entry((joint.kind, joint.material, joint.size)).or_default() += 1;
            if joint.kind == JointKind::CompressionGasket {
                goods.add(Item::HubGasket(joint.size), &joint.low);
            }
        }
        for part in &site.rough_in.parts {
            fitting(&mut goods, part);
        }
        for run in &site.rough_in.runs {
            far_end(&mut goods, site, run);
        }
        shields(&mut goods, site);
        for (size, run) in hangers(site) {
            goods.add(Item::Hanger(size), run);
        }
        let plans = of_cuts(&cuts, stock);
        let mut lines = Vec::new();
        for plan in &plans {
            for bars in plan.bars.chunk_by(|a, b| a.length == b.length) {
                lines.push(Line {
                    item: Item::Pipe(plan.material, plan.size),
                    unit: Unit::Length(bars[0].length),
                    count: bars.len(),
                    places: numbers(bars),
                });
            }
        }
        // A plan's bars stand by their longest piece, so one length may come up more than once.
        let mut merged: Vec<Line> = Vec::new();
        for line in lines {
            match merged.iter_mut().find(|l| l.item == line.item && l.unit.same(line.unit)) {
                Some(known) => {
                    known.count += line.count;
                    known.places.extend(line.places);
                    known.places.sort_by_key(|number| number.parse::<usize>().unwrap_or(usize::MAX));
                }
                None => merged.push(line),
            }
        }
        merged.extend(goods.lines());
        Self {
            job: site.job.name.clone(),
            cut_on: site.job.cut_on,
            lines: merged,
            joints: joints
                .into_iter()
                .map(|((kind, material, size), count)| JointCount { kind, material, size, count })
                .collect(),
            too_long: plans.into_iter().flat_map(|plan| plan.too_long).collect(),
        }
    }

    /// How many are bought of an item in a unit.
    pub fn count(&self, item: &Item, unit: Unit) -> usize {
        self.lines.iter().filter(|l| l.item == *item && l.unit.same(unit)).map(|l| l.count).sum()
    }

    /// Joints made with cement.
    pub fn glued(&self) -> usize {
        self.joints.iter().filter(|j| j.kind == JointKind::SolventWeld).map(|j| j.count).sum()
    }

    /// All joints.
    pub fn all_joints(&self) -> usize {
        self.joints.iter().map(|j| j.count).sum()
    }
}

fn numbers(bars: &[Bar]) -> Vec<String> {
    let mut numbers: Vec<usize> = bars.iter().flat_map(|bar| &bar.pieces).map(|piece| piece.number).collect();
    numbers.sort_unstable();
    numbers.iter().map(ToString::to_string).collect()
}

/// What is counted one by one, by item.
#[derive(Default)]
struct Goods {
    places: BTreeMap<Item, Vec<String>>,
}

impl Goods {
    fn add(&mut self, item: Item, place: &Label) {
        self.places.entry(item).or_default().push(place.to_string());
    }

    fn lines(self) -> impl Iterator<Item = Line> {
        let line = |(item, places): (Item, Vec<String>)| Line {
            item,
            unit: Unit::Each,
            count: places.len(),
            places,
        };
        self.places.into_iter().map(line)
    }
}

fn fitting(goods: &mut Goods, part: &Part) {
    let PartKind::Fitting { pattern, plugs } = &part.kind else { return };
    if let Some(name) = FittingName::parse(pattern.name.as_str()) {
        goods.add(Item::Fitting(part.material, name), &part.label);
    }
    for (i, port) in pattern.ports.iter().enumerate() {
        if port.end == PortEnd::Thread {
            goods.add(Item::ThreadedPlug(port.size), &part.label);
        } else if plugs.contains(&i) {
            goods.extend_closed(part, i);
        }
    }
}

impl Goods {
    /// What closes a port: a plug in a hub, a cap over a spigot.
    fn extend_closed(&mut self, part: &Part, port: usize) {
        let ports = part.ports();
        let word = if ports[port].end == PortEnd::Hub { "plug" } else { "cap" };
        if let Some(name) = FittingName::parse(&format!("{} {word}", ports[port].size)) {
            self.add(Item::Fitting(part.material, name), &part.label);
        }
    }
}

/// What stands at the far end of a run and is no listed fitting: a valve, a cap.
fn far_end(goods: &mut Goods, site: &Site<'_>, run: &Run) {
    let (end, fits) = match run.kind {
        RunKind::Stack { index, .. } => (&site.job.stacks[index].end, &site.job.stacks[index].up),
        RunKind::Branch { index, .. } => (&site.job.branches[index].end, &site.job.branches[index].along),
    };
    if !matches!(end, End::Valve {} | End::Capped {}) {
        return;
    }
    let open: Option<(PartId, usize)> = match (run.fits.last(), fits.last()) {
        (Some((_, part)), Some(fit)) => site.rough_in.part(*part).pattern().and_then(|pattern| {
            let named = fit.leave.as_ref().and_then(|port| pattern.port(port.as_str()).ok());
            named.or(pattern.leave).map(|port| (*part, port))
        }),
        _ => match run.kind {
            RunKind::Stack { base, .. } => Some((base, 0)),
            RunKind::Branch { from, .. } => Some(from),
        },
    };
    let Some((part, port)) = open else { return };
    let part = site.rough_in.part(part);
    match end {
        End::Valve {} => goods.add(Item::Valve(part.ports()[port].size), &run.label),
        _ => goods.extend_closed(part, port),
    }
}

/// Steel plates, one a side of each hole that calls for one, and ties; provided or not. What the job provides beyond that
/// is counted as it stands.
fn shields(goods: &mut Goods, site: &Site<'_>) {
    let schedule = HoleSchedule::of(site);
    for hole in &schedule.members {
        for _ in &hole.plates {
            goods.add(Item::SteelPlate, &hole.label);
        }
        // One tie holds plates that lie on each other; each of them is shielded by itself.
        if hole.strap.is_some() && !hole.with_other_ply {
            goods.add(Item::PlateTie, &hole.label);
        }
    }
    let called = |member: &Label, plate: bool| {
        schedule
            .members
            .iter()
            .any(|h| h.label == *member && if plate { !h.plates.is_empty() } else { h.strap.is_some() })
    };
    for item in &site.job.provided {
        match item {
            Provided::Plate { member, face, .. } if !called(member, true) => {
                let faces = if *face == MemberFace::Both { 2 } else { 1 };
                (0..faces).for_each(|_| goods.add(Item::SteelPlate, member));
            }
            Provided::Strap { member, .. } if !called(member, false) => goods.add(Item::PlateTie, member),
            _ => {}
        }
    }
}
