//! The list itself: pieces in the order of assembly, joints in the order they are made, runs in the order of the dry fit.

use super::end::CutEnd;
use super::joint::JointMark;
use crate::site::Site;
use std::collections::BTreeMap;
use truefall_model::catalog::material::Material;
use truefall_model::job::Placement;
use truefall_model::job::pipes::End;
use truefall_model::label::Label;
use truefall_model::place::{PartId, PartKind, Run, RunKind};
use truefall_model::tolerance::SLACK;
use truefall_model::units::{Length, NominalSize};

/// One piece of pipe.
#[derive(Debug, Clone, PartialEq)]
pub struct Cut {
    /// Its number, from 1, in the order of assembly; it is written on the pipe.
    pub number: usize,
    /// The part.
    pub piece: PartId,
    /// The stack or branch.
    pub run: Label,
    /// Nominal size.
    pub size: NominalSize,
    /// What it is made of.
    pub material: Material,
    /// End to end, unrounded.
    pub cut: Length,
    /// Centre to centre of the parts at its ends; to the free end where there is none.
    pub centre: Length,
    /// Pipe that shows between the hubs' faces; below zero where it can't be.
    pub showing: Length,
    /// Hub to hub: it is all in its two sockets and no pipe shows.
    pub make_up: bool,
    /// Towards the base.
    pub low: CutEnd,
    /// Away from it; none for a free end.
    pub high: Option<CutEnd>,
    /// What its free end is for, such as `stub, trimmed at finish`.
    pub free_end: Option<&'static str>,
    /// Members it is pushed through before the fitting beyond goes on.
    pub through: Vec<Label>,
    /// It closes a tie: measured again at the dry fit before it is cut.
    pub closing: bool,
}

impl Cut {
    /// The length to the nearest 1/16 in, as it is set on a tape.
    pub fn on_tape(&self) -> Length {
        on_tape(self.cut)
    }
}

/// A length to the nearest 1/16 in, half away from zero.
pub fn on_tape(length: Length) -> Length {
    Length::inches((length.to_inches() * 16.0).round() / 16.0)
}

/// One run put together dry.
#[derive(Debug, Clone, PartialEq)]
pub struct Assembly {
    /// The stack or branch.
    pub run: Label,
    /// What it starts from, and the port.
    pub from: Label,
    /// The port of that part.
    pub port: Label,
    /// Its pieces and fittings as they follow: `1` is a piece's number, else a fitting's name.
    pub steps: Vec<String>,
    /// The port it is closed into, last of all.
    pub closes: Option<String>,
}

/// The cut list of one job.
#[derive(Debug, Clone, PartialEq)]
pub struct CutList {
    /// What the job is called.
    pub job: String,
    /// The placement the cuts are solved on.
    pub cut_on: Placement,
    /// The pieces, in the order they go on.
    pub cuts: Vec<Cut>,
    /// The joints, in the order they are made.
    pub joints: Vec<JointMark>,
    /// The runs, in the order they are put together dry.
    pub dry_fit: Vec<Assembly>,
}

impl CutList {
    /// Of a job that was placed.
    pub fn of(site: &Site<'_>) -> Self {
        let rough_in = &site.rough_in;
        let numbers: BTreeMap<PartId, usize> = rough_in
            .runs
            .iter()
            .flat_map(|run| run.fits.iter().filter_map(|(piece, _)| *piece).chain(run.last_piece))
            .enumerate()
            .map(|(i, piece)| (piece, i + 1))
            .collect();
        let joints = joints(site, &numbers);
        let cuts = rough_in
            .runs
            .iter()
            .flat_map(|run| run.fits.iter().filter_map(|(piece, _)| *piece).chain(run.last_piece))
            .filter_map(|piece| cut(site, &numbers, piece))
            .collect();
        let dry_fit = rough_in.runs.iter().filter_map(|run| assembly(site, &numbers, run)).collect();
        Self { job: site.job.name.clone(), cut_on: site.job.cut_on, cuts, joints, dry_fit }
    }
}

fn joints(site: &Site<'_>, numbers: &BTreeMap<PartId, usize>) -> Vec<JointMark> {
    let rough_in = &site.rough_in;
    let mut without = 0;
    let mut marks: Vec<JointMark> = Vec::new();
    // Closing joints are made when both their sides stand.
    for joint in
        rough_in.joints.iter().filter(|j| !j.closing).chain(rough_in.joints.iter().filter(|j| j.closing))
    {
        let (low, high) = (rough_in.part(joint.low.0), rough_in.part(joint.high.0));
        let mark = match (numbers.get(&joint.low.0), numbers.get(&joint.high.0)) {
            (_, Some(number)) => format!("{number}a"),
            (Some(number), None) => format!("{number}b"),
            (None, None) => {
                without += 1;
                format!("J{without}")
            }
        };
        marks.push(JointMark {
            joint: joint.id,
            run: rough_in.run(if joint.closing { low.run } else { high.run }).label.clone(),
            kind: joint.kind,
            material: if joint.closing { low.material } else { high.material },
            size: low.ports()[joint.low.1].size,
            low: low.label.clone(),
            high: high.label.clone(),
            mark,
            closing: joint.closing,
        });
    }
    marks
}

fn cut(site: &Site<'_>, numbers: &BTreeMap<PartId, usize>, piece: PartId) -> Option<Cut> {
    let (rough_in, placed) = (&site.rough_in, site.built());
    let part = rough_in.part(piece);
    let PartKind::Piece { size, cut, .. } = part.kind else { return None };
    let number = numbers[&piece];
    let below = rough_in.network.down[piece.0 as usize].map(|j| rough_in.joint(j))?;
    let low = CutEnd::of(rough_in, placed, below.low, format!("{number}a"));
    let tie = rough_in.joints.iter().find(|j| j.closing && j.low.0 == piece);
    let above = rough_in.network.above(piece).next().map(|(j, _)| rough_in.joint(j)).or(tie);
    let high = above.map(|j| CutEnd::of(rough_in, placed, j.high, format!("{number}b")));
    let far = match &high {
        Some(high) => placed.origin(high.part),
        None => placed.stop(rough_in, piece, 1),
    };
    let showing = cut - low.socket - high.as_ref().map_or(Length::ZERO, |h| h.socket);
    let members = site.facts_of(site.job.cut_on).bores_of(piece);
    let mut through: Vec<Label> = members
        .filter_map(|bore| rough_in.framed.member_of(bore.member))
        .map(|member| member.label.clone())
        .collect();
    through.dedup();
    Some(Cut {
        number,
        piece,
        run: rough_in.run(part.run).label.clone(),
        size,
        material: part.material,
        cut,
        centre: Length::inches((far - placed.origin(low.part)).norm()),
        showing,
        make_up: high.is_some() && showing.to_inches().abs() <= SLACK,
        free_end: high.is_none().then(|| free_end(site, rough_in.run(part.run))),
        closing: tie.is_some()
            || (high.is_none() && matches!(end_of(site, rough_in.run(part.run)), End::Tie { .. })),
        low,
        high,
        through,
    })
}

fn free_end(site: &Site<'_>, run: &Run) -> &'static str {
    match end_of(site, run) {
        End::Fixture { name, .. } => {
            let fixture = site.job.fixtures.iter().find(|f| f.name == *name);
            match fixture {
                Some(fixture) if fixture.kind.through_wall() => "stub, trimmed at finish",
                _ => "to the fixture",
            }
        }
        End::Roof { .. } => "out through the roof",
        End::Valve {} => "takes the valve",
        End::Capped {} => "capped",
        End::Tie { .. } => "closes the tie",
        End::Open {} => "left open, plugged",
    }
}

fn end_of<'a>(site: &Site<'a>, run: &Run) -> &'a End {
    match run.kind {
        RunKind::Stack { index, .. } => &site.job.stacks[index].end,
        RunKind::Branch { index, .. } => &site.job.branches[index].end,
    }
}

fn assembly(site: &Site<'_>, numbers: &BTreeMap<PartId, usize>, run: &Run) -> Option<Assembly> {
    let rough_in = &site.rough_in;
    let (from, port) = match run.kind {
        RunKind::Stack { base, .. } => (base, 0),
        RunKind::Branch { from, .. } => from,
    };
    let mut steps = Vec::new();
    for (piece, fitting) in &run.fits {
        steps.extend(piece.map(|p| numbers[&p].to_string()));
        steps.push(rough_in.part(*fitting).label.to_string());
    }
    steps.extend(run.last_piece.map(|p| numbers[&p].to_string()));
    let closes = match end_of(site, run) {
        End::Tie { to } => Some(to.to_string()),
        _ => None,
    };
    let at = rough_in.part(from);
    (!steps.is_empty()).then(|| Assembly {
        run: run.label.clone(),
        from: at.label.clone(),
        port: at.ports()[port].name.clone(),
        steps,
        closes,
    })
}
