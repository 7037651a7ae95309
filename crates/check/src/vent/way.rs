//! Ways: dry pipe from a fitting to open air.

use super::air::{Air, AirEnd};
use nalgebra::Point3;
use std::collections::{BTreeMap, VecDeque};
use truefall_model::place::{PartId, PartKind, Placed, RoughIn};
use truefall_model::units::{Length, NominalSize};

/// Dry pipe from a fitting to open air.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// The fitting it leaves.
    pub from: PartId,
    /// The port of that fitting.
    pub port: usize,
    /// Its parts, in order, each with the port it is entered by; empty for a valve right on the fitting.
    pub parts: Vec<(PartId, usize)>,
    /// What it ends in.
    pub end: AirEnd,
}

/// A straight length of a way between two centres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// The part it ends at.
    pub to: PartId,
    /// Where it starts, on the fitting's side.
    pub low: Point3<f64>,
    /// Where it ends, towards the air.
    pub high: Point3<f64>,
}

impl Span {
    /// How steep it is, degrees above level; below zero where it goes down.
    pub fn degrees(&self) -> f64 {
        let way = self.high - self.low;
        way.z.atan2(way.xy().norm()).to_degrees()
    }

    /// Its length.
    pub fn length(&self) -> Length {
        Length::inches((self.high - self.low).norm())
    }

    /// Its level length.
    pub fn level(&self) -> Length {
        Length::inches((self.high - self.low).xy().norm())
    }
}

impl Way {
    /// The dry ways of a fitting that lead to open air, one for each port, the one that looks highest first.
    pub fn all(air: &Air, rough_in: &RoughIn, placed: &Placed, from: PartId) -> Vec<Self> {
        let mut ways: Vec<Self> = air
            .links_of(from)
            .iter()
            .filter(|l| air.is_dry(l.part))
            .filter_map(|l| Self::search(air, from, l.port, l.part, l.its_port))
            .collect();
        if let Some((AirEnd::Valve, Some(port))) = air.ends.get(&from) {
            ways.push(Self { from, port: *port, parts: Vec::new(), end: AirEnd::Valve });
        }
        let up = |w: &Self| placed.axis(rough_in, from, w.port).z;
        ways.sort_by(|a, b| a.end.cmp(&b.end).then(up(b).total_cmp(&up(a))));
        ways
    }

    /// The shortest dry way through a port, to the roof before a valve.
    fn search(air: &Air, from: PartId, port: usize, first: PartId, entered: usize) -> Option<Self> {
        let mut came: BTreeMap<PartId, (Option<PartId>, usize)> = BTreeMap::from([(first, (None, entered))]);
        let mut todo = VecDeque::from([first]);
        let mut best: Option<(AirEnd, PartId)> = None;
        while let Some(part) = todo.pop_front() {
            if let Some((end, _)) = air.ends.get(&part)
                && best.is_none_or(|(b, _)| *end < b)
            {
                best = Some((*end, part));
            }
            for link in air.links_of(part) {
                if link.part != from && air.is_dry(link.part) && !came.contains_key(&link.part) {
                    came.insert(link.part, (Some(part), link.its_port));
                    todo.push_back(link.part);
                }
            }
        }
        let (end, last) = best?;
        let mut parts = Vec::new();
        let mut at = Some(last);
        while let Some(part) = at {
            let (before, entered) = came[&part];
            parts.push((part, entered));
            at = before;
        }
        parts.reverse();
        Some(Self { from, port, parts, end })
    }

    /// Why a dry port of a fitting leads to no air: what stands where it stops.
    pub fn why_none(air: &Air, from: PartId, first: PartId) -> Dead {
        let mut seen = vec![from, first];
        let mut todo = vec![first];
        let mut dead = Dead::Nothing;
        while let Some(part) = todo.pop() {
            if let Some(why) = air.shut.get(&part) {
                dead = Dead::Shut(part, why);
            }
            for link in air.links_of(part).iter().filter(|l| !seen.contains(&l.part)).collect::<Vec<_>>() {
                seen.push(link.part);
                if air.is_dry(link.part) {
                    todo.push(link.part);
                } else if dead == Dead::Nothing {
                    dead = Dead::Wet(link.part);
                }
            }
        }
        dead
    }

    /// Its straight lengths from centre to centre, the fitting's own first.
    pub fn spans(&self, rough_in: &RoughIn, placed: &Placed) -> Vec<Span> {
        let mut low = placed.origin(self.from);
        let mut spans = Vec::new();
        for (i, (part, entered)) in self.parts.iter().enumerate() {
            let high = match rough_in.part(*part).kind {
                PartKind::Piece { .. } if i + 1 < self.parts.len() => continue,
                PartKind::Piece { .. } => placed.stop(rough_in, *part, 1 - (*entered).min(1)),
                _ => placed.origin(*part),
            };
            spans.push(Span { to: *part, low, high });
            low = high;
        }
        spans
    }

    /// Its developed length.
    pub fn length(&self, rough_in: &RoughIn, placed: &Placed) -> Length {
        self.spans(rough_in, placed).iter().map(Span::length).sum()
    }

    /// Its smallest pipe, the port it leaves by included; the part where it is smallest.
    pub fn smallest(&self, rough_in: &RoughIn) -> (PartId, NominalSize) {
        let size = |part: PartId, port: usize| rough_in.part(part).ports()[port].size;
        let first = (self.from, size(self.from, self.port));
        self.parts
            .iter()
            .map(|(part, entered)| (*part, size(*part, *entered)))
            .fold(first, |least, next| if next.1 < least.1 { next } else { least })
    }
}

/// Where a dry port that leads to no air stops.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dead {
    /// A run ends there, shut or left open.
    Shut(PartId, &'static str),
    /// It is tied into drain.
    Wet(PartId),
    /// Nothing is joined.
    Nothing,
}
