//! The catalog as a whole, and how to look things up in it.

use super::bit::Bit;
use super::files;
use super::finish::Finish;
use super::fixture::RoughIn;
use super::joint::{Joint, JointKind};
use super::lumber::{self, Lumber};
use super::material::Material;
use super::name::{FittingName, UnknownName};
use super::pattern::Pattern;
use super::pipe::PipeSize;
use super::socket::Socket;
use crate::document::Faults;
use crate::units::{Angle, Length, NominalSize};
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// All that can be bought, and what it measures.
#[derive(Debug, Clone, PartialEq)]
pub struct Catalog {
    pub(super) pipes: BTreeMap<(Material, NominalSize), PipeSize>,
    pub(super) sockets: BTreeMap<(Material, NominalSize), Socket>,
    pub(super) joints: BTreeMap<JointKind, Joint>,
    pub(super) bits: BTreeMap<(Option<(Material, NominalSize)>, i64), Bit>,
    pub(super) lumber: BTreeMap<String, Lumber>,
    pub(super) finishes: BTreeMap<String, Finish>,
    pub(super) fixtures: BTreeMap<String, RoughIn>,
    pub(super) patterns: BTreeMap<FittingName, Pattern>,
}

/// How many near names an unknown name is answered with.
const NEAR: usize = 3;

impl Catalog {
    /// The catalog that is built in.
    pub fn builtin() -> &'static Self {
        static BUILT_IN: OnceLock<Catalog> = OnceLock::new();
        BUILT_IN.get_or_init(|| files::read(&[]).expect("a test reads the built-in files without fault"))
    }

    /// The built-in catalog with entries replaced or added from files of the same names as its own.
    ///
    /// # Errors
    /// All faults of the first file that has any; a name that no file of the catalog has.
    pub fn with_overrides(files: &[(String, String)]) -> Result<Self, Faults> {
        files::read(files)
    }

    /// A fitting by size and name, in any usual way of writing it.
    ///
    /// # Errors
    /// [`UnknownName`] with the nearest names there are.
    pub fn pattern(&self, name: &str) -> Result<&Pattern, UnknownName> {
        let read = FittingName::parse(name);
        read.as_ref()
            .and_then(|n| self.patterns.get(n))
            .ok_or_else(|| UnknownName { read: name.to_owned(), near: self.near(name, read.as_ref()) })
    }

    /// All fittings, by family and size.
    pub fn patterns(&self) -> impl Iterator<Item = &Pattern> {
        self.patterns.values()
    }

    /// Nearest by letters, those of the family meant first.
    fn near(&self, name: &str, read: Option<&FittingName>) -> Vec<String> {
        let wanted = read.map_or_else(|| name.trim().to_lowercase(), ToString::to_string);
        let mut all: Vec<(bool, usize, String)> = self
            .patterns
            .keys()
            .map(|known| {
                let text = known.to_string();
                let other_family = read.is_some_and(|r| r.family() != known.family());
                (other_family, strsim::damerau_levenshtein(&wanted, &text), text)
            })
            .collect();
        all.sort();
        let near_enough = |(other_family, distance, text): &(bool, usize, String)| {
            (!other_family && read.is_some()) || *distance <= 1 + text.len() / 3
        };
        all.into_iter().filter(near_enough).take(NEAR).map(|(_, _, text)| text).collect()
    }

    /// Pipe of a material and size.
    pub fn pipe(&self, material: Material, size: NominalSize) -> Option<&PipeSize> {
        self.pipes.get(&(material, size))
    }

    /// All pipe, by material and size.
    pub fn pipes(&self) -> impl Iterator<Item = &PipeSize> {
        self.pipes.values()
    }

    /// The hub of a material and size.
    pub fn socket(&self, material: Material, size: NominalSize) -> Option<&Socket> {
        self.sockets.get(&(material, size))
    }

    /// All hubs, by material and size.
    pub fn sockets(&self) -> impl Iterator<Item = &Socket> {
        self.sockets.values()
    }

    /// A kind of joint; nothing only where an override has left the built-in ones incomplete.
    pub fn joint(&self, kind: JointKind) -> Option<&Joint> {
        self.joints.get(&kind)
    }

    /// All joints.
    pub fn joints(&self) -> impl Iterator<Item = &Joint> {
        self.joints.values()
    }

    /// The angle a joint can be set to before it takes. A joint the catalog has no figure for gives nothing.
    pub fn seat(&self, kind: JointKind, size: NominalSize) -> Angle {
        self.joint(kind).and_then(|j| j.seat(size)).map_or(Angle::ZERO, |figure| figure.value)
    }

    /// The angle a joint may stand at for good, found out of line. A joint the catalog has no figure for gives nothing.
    pub fn deflection_limit(&self, kind: JointKind) -> Angle {
        self.joint(kind).map_or(Angle::ZERO, |joint| joint.limit.value)
    }

    /// The hole usually bored for a pipe.
    pub fn bit_for_pipe(&self, material: Material, size: NominalSize) -> Option<Length> {
        self.bits.get(&(Some((material, size)), 0)).map(Bit::diameter)
    }

    /// The smallest stocked bit that a hub passes through.
    pub fn bit_for_hub(&self, material: Material, size: NominalSize) -> Option<Length> {
        let outside = self.socket(material, size)?.hub_outside;
        self.stocked_bits().find(|bit| *bit >= outside)
    }

    /// The bits that can be bought, smallest first.
    pub fn stocked_bits(&self) -> impl Iterator<Item = Length> {
        self.bits.values().filter(|b| matches!(b, Bit::Stocked { .. })).map(Bit::diameter)
    }

    /// All lines of the bit chart.
    pub fn bits(&self) -> impl Iterator<Item = &Bit> {
        self.bits.values()
    }

    /// A member by name, such as `2x4` or `old 2x4`.
    pub fn lumber(&self, name: &str) -> Option<&Lumber> {
        self.lumber.get(&lumber::plain(name))
    }

    /// All members, by name.
    pub fn all_lumber(&self) -> impl Iterator<Item = &Lumber> {
        self.lumber.values()
    }

    /// A layer of a wall or floor by name, such as `1/2 board`.
    pub fn finish(&self, name: &str) -> Option<&Finish> {
        self.finishes.get(&lumber::plain(name))
    }

    /// All layers, by name.
    pub fn finishes(&self) -> impl Iterator<Item = &Finish> {
        self.finishes.values()
    }

    /// The usual rough-in of a kind of fixture, by its word in a job.
    pub fn rough_in(&self, kind: &str) -> Option<&RoughIn> {
        self.fixtures.get(&lumber::plain(kind))
    }

    /// All usual rough-ins, by kind.
    pub fn rough_ins(&self) -> impl Iterator<Item = &RoughIn> {
        self.fixtures.values()
    }
}
