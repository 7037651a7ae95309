//! Wet lengths: drain through which air comes down to a fitting, from the nearest dry way above it.

use super::air::Air;
use super::setting::Setting;
use super::way::Way;
use nalgebra::{Point3, Vector3};
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use truefall_model::place::{PartId, PartKind};
use truefall_model::units::{Length, NominalSize};

/// A wet length from a fitting up to the one where dry pipe takes the air out.
#[derive(Debug, Clone)]
pub(super) struct Carry {
    /// Its parts, from the one joined to the fitting to the one the dry way leaves.
    pub parts: Vec<PartId>,
    /// The dry way at its top.
    pub way: Way,
    /// Its straight lengths from centre to centre, upwards: the part each ends at, and its way.
    pub lengths: Vec<(PartId, Vector3<f64>)>,
}

impl Carry {
    /// The wet length through a part above a fitting; none where no air comes that way.
    pub fn find(setting: &Setting<'_>, air: &Air, fitting: PartId, first: PartId) -> Option<Self> {
        let rough_in = setting.rough_in;
        let mut came: BTreeMap<PartId, Option<PartId>> = BTreeMap::from([(first, None)]);
        let mut todo = VecDeque::from([first]);
        while let Some(part) = todo.pop_front() {
            // A trap's water shuts the pipe: no air passes through it.
            if rough_in.part(part).pattern().is_some_and(|p| p.weir.is_some()) {
                continue;
            }
            if let Some(way) = Way::all(air, rough_in, setting.placed, part).into_iter().next() {
                let mut parts: Vec<PartId> = std::iter::successors(Some(part), |p| came[p]).collect();
                parts.reverse();
                let lengths = lengths(setting, fitting, &parts);
                return Some(Self { parts, way, lengths });
            }
            for (_, above) in rough_in.network.above(part).filter(|(_, p)| !air.is_dry(*p)) {
                came.entry(above).or_insert_with(|| {
                    todo.push_back(above);
                    Some(part)
                });
            }
        }
        None
    }

    /// The fitting at its top, where the dry way leaves.
    pub fn top(&self) -> PartId {
        self.way.from
    }

    /// The fixtures whose waste comes down it.
    pub fn waste<'a>(&self, air: &'a Air) -> &'a BTreeSet<usize> {
        air.waste_of(self.parts[0])
    }

    /// Its smallest pipe with the waste that passes there, for each change of either.
    pub fn sections<'a>(
        &self,
        setting: &Setting<'_>,
        air: &'a Air,
    ) -> Vec<(NominalSize, &'a BTreeSet<usize>)> {
        self.parts
            .iter()
            .filter(|p| matches!(setting.rough_in.part(**p).kind, PartKind::Piece { .. }))
            .map(|p| (setting.rough_in.part(*p).size(), air.waste_of(*p)))
            .collect()
    }

    /// Its length from centre to centre.
    pub fn length(&self) -> Length {
        Length::inches(self.lengths.iter().map(|(_, way)| way.norm()).sum())
    }

    /// Whether each of its lengths is within an angle of plumb, in degrees.
    pub fn all_within(&self, degrees: f64) -> bool {
        self.lengths.iter().all(|(_, way)| from_plumb(way) <= degrees + 1e-9)
    }

    /// Whether its lowest length is level rather than plumb.
    pub fn lies(&self, vertical_within: f64) -> bool {
        self.lengths.first().is_some_and(|(_, way)| from_plumb(way) > vertical_within)
    }

    /// Whether every length of it is level rather than plumb.
    pub fn all_lie(&self, vertical_within: f64) -> bool {
        !self.lengths.is_empty() && self.lengths.iter().all(|(_, way)| from_plumb(way) > vertical_within)
    }

    /// How each of its lengths falls, inches per foot, with the part at its upper end.
    pub fn grades(&self) -> impl Iterator<Item = (PartId, f64)> + '_ {
        self.lengths.iter().map(|(part, way)| (*part, way.z / way.xy().norm().max(1e-9) * 12.0))
    }

    /// The first part at which it turns out of the line it started in.
    pub fn turn(&self) -> Option<PartId> {
        let first = self.lengths.first()?.1.normalize();
        let at = self.lengths.iter().position(|(_, way)| way.normalize().dot(&first) < 0.996)?;
        Some(self.lengths[at - 1].0)
    }
}

/// Degrees a way is off plumb.
pub(super) fn from_plumb(way: &Vector3<f64>) -> f64 {
    way.xy().norm().atan2(way.z).to_degrees()
}

fn lengths(setting: &Setting<'_>, fitting: PartId, parts: &[PartId]) -> Vec<(PartId, Vector3<f64>)> {
    let rough_in = setting.rough_in;
    let centres: Vec<(PartId, Point3<f64>)> = std::iter::once(&fitting)
        .chain(parts)
        .filter(|p| !matches!(rough_in.part(**p).kind, PartKind::Piece { .. }))
        .map(|p| (*p, setting.placed.origin(*p)))
        .collect();
    centres
        .windows(2)
        .map(|pair| (pair[1].0, pair[1].1 - pair[0].1))
        .filter(|(_, way)| way.norm() > 1e-6)
        .collect()
}
