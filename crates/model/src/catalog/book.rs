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

    /// Nearest by letters; where the family was understood, of that family only.
    fn near(&self, name: &str, read: Option<&FittingName>) -> Vec<String> {
        let wanted = read.map_or_else(|| name.trim().to_lowercase(), ToString::to_string);
        let mut near: Vec<(usize, String)> = self
            .patterns
            .keys()
            .filter(|known| read.is_none_or(|r| r.family() == known.family()))
            .map(|known| (strsim::damerau_levenshtein(&wanted, &known.to_string()), known.to_string()))
            .filter(|(distance, text)| read.is_some() || *distance <= 1 + text.len() / 3)
            .collect();
        near.sort();
        near.into_iter().take(NEAR).map(|(_, text)| text).collect()
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::pattern::PortEnd;

    #[test]
    fn the_built_in_files_read_without_fault() {
        if let Err(faults) = Catalog::with_overrides(&[]) {
            panic!("{faults}");
        }
    }

    #[test]
    fn every_pattern_is_found_by_its_own_name_and_has_a_source() {
        let catalog = Catalog::builtin();
        for pattern in catalog.patterns() {
            assert_eq!(catalog.pattern(pattern.name.as_str()), Ok(pattern));
            assert!(!pattern.source.trim().is_empty(), "{}", pattern.name);
            assert!(!pattern.materials.is_empty(), "{}", pattern.name);
        }
        assert!(catalog.patterns().count() > 100);
    }

    #[test]
    fn every_port_has_a_unit_axis_and_what_its_end_needs() {
        for pattern in Catalog::builtin().patterns() {
            assert!((pattern.clock_axis.norm() - 1.0).abs() < 1e-12);
            assert!(
                pattern.clock_axis.dot(&pattern.ports[pattern.enter].axis).abs() < 1e-12,
                "{}",
                pattern.name
            );
            for port in &pattern.ports {
                assert!((port.axis.norm() - 1.0).abs() < 1e-12, "{} {}", pattern.name, port.name);
                assert_eq!(
                    port.end == PortEnd::Hub,
                    port.socket > Length::ZERO,
                    "{} {}",
                    pattern.name,
                    port.name
                );
            }
        }
    }

    // Sizes and families that a rough-in in a house needs.
    #[test]
    fn the_fittings_of_a_house_are_there() {
        for size in ["1-1/2", "2", "3", "4"] {
            for words in [
                "1/4 bend",
                "1/8 bend",
                "1/16 bend",
                "1/6 bend",
                "street 1/4 bend",
                "street 1/8 bend",
                "street 1/16 bend",
                "long-turn 1/4 bend",
                "sanitary tee",
                "street sanitary tee",
                "double sanitary tee",
                "wye",
                "combination",
                "vent tee",
                "vent ell",
                "coupling",
                "slip coupling",
                "transition coupling",
                "cleanout tee",
                "test tee",
                "cap",
                "plug",
            ] {
                let name = format!("{size} {words}");
                assert!(Catalog::builtin().pattern(&name).is_ok(), "{name}");
            }
        }
    }

    #[test]
    fn an_unknown_name_is_answered_with_the_nearest() {
        let catalog = Catalog::builtin();
        let misspelt = catalog.pattern("3x3x2 santary tee").unwrap_err();
        assert_eq!(misspelt.near.first().map(String::as_str), Some("3x3x2 sanitary tee"));
        let no_such_size = catalog.pattern("6x3 closet bend").unwrap_err();
        assert_eq!(no_such_size.near, ["4x3 closet bend"]);
        assert_eq!(
            no_such_size.to_string(),
            "no fitting is called \"6x3 closet bend\"; did you mean 4x3 closet bend?"
        );
        assert!(catalog.pattern("thingamajig of unheard-of length").unwrap_err().near.is_empty());
    }

    // Outside diameters: ASTM D1785/D2665 (Schedule 40), CISPI 301 (hubless), ASTM B306 (DWV tube), ASTM B88 (water tube:
    // nominal and 1/8), ASTM F876 (PEX has the outside of copper tube), ASTM D2949 (3.25, made for a 2x4 wall).
    #[test]
    fn pipe_has_the_standard_outside_diameter() {
        use Material::{Copper, CopperDwv, Iron, IronHubless, Pex, Pvc, PvcThin};
        let outside = |material, size: &str| {
            let size = NominalSize::parse(size).unwrap();
            Catalog::builtin().pipe(material, size).unwrap().outside.to_inches()
        };
        for (material, size, expect) in [
            (Pvc, "1-1/2", 1.9),
            (Pvc, "2", 2.375),
            (Pvc, "3", 3.5),
            (Pvc, "4", 4.5),
            (Pvc, "6", 6.625),
            (PvcThin, "3", 3.25),
            (Iron, "4", 4.3),
            (IronHubless, "2", 2.35),
            (IronHubless, "4", 4.38),
            (CopperDwv, "3", 3.125),
            (Pex, "1/2", 0.625),
        ] {
            assert_eq!(outside(material, size), expect, "{material} {size}");
        }
        for pipe in Catalog::builtin().pipes().filter(|p| p.material == Copper) {
            assert_eq!(pipe.outside, pipe.size.nominal() + Length::inches(0.125));
        }
        for (od, size) in [(0.625, "1/2"), (0.875, "3/4"), (1.125, "1")] {
            assert_eq!(outside(Pex, size), od);
        }
    }

    // ASTM D2468 table 1, Schedule 40 pressure sockets: DWV sockets are shallower, but for 6 in; the hub is at least the
    // socket's entrance and two pipe walls.
    #[test]
    fn drainage_hubs_are_shallow_and_have_their_wall() {
        let catalog = Catalog::builtin();
        for (size, pressure, entrance) in
            [("1-1/2", 1.094, 1.912), ("2", 1.156, 2.387), ("3", 1.875, 3.516), ("4", 2.0, 4.518)]
        {
            let size = NominalSize::parse(size).unwrap();
            for material in [Material::Pvc, Material::Abs] {
                let (socket, pipe) =
                    (catalog.socket(material, size).unwrap(), catalog.pipe(material, size).unwrap());
                assert!(socket.depth < Length::inches(pressure), "{size}");
                let least = Length::inches(entrance) + pipe.outside - pipe.inside;
                assert!(
                    socket.hub_outside >= least && socket.hub_outside < least + Length::inches(0.1),
                    "{size}"
                );
            }
        }
        assert_eq!(catalog.socket(Material::Pvc, NominalSize::TWO).unwrap().depth, Length::inches(0.75));
        assert_eq!(catalog.socket(Material::Pvc, NominalSize::THREE).unwrap().depth, Length::inches(1.5));
    }

    // A pipe goes through its own customary hole; a 1-1/2 hub passes 2-9/16 but not 2-1/8 (a builder's column).
    #[test]
    fn customary_holes_pass_their_pipe_and_hub() {
        let catalog = Catalog::builtin();
        for bit in catalog.bits() {
            if let Bit::Customary { material, pipe, bit, .. } = bit {
                let outside = catalog.pipe(*material, *pipe).unwrap().outside;
                assert!(*bit > outside, "{pipe} {material}: {bit} for {outside}");
                assert_eq!(catalog.bit_for_pipe(*material, *pipe), Some(*bit));
                assert!(catalog.stocked_bits().any(|b| b == *bit), "{bit} is no stocked bit");
            }
        }
        let hub = |size: &str| catalog.bit_for_hub(Material::Pvc, NominalSize::parse(size).unwrap());
        assert_eq!(hub("1-1/2"), Some(Length::inches(2.0 + 9.0 / 16.0)));
        assert_eq!(
            catalog.bit_for_pipe(Material::Pvc, NominalSize::ONE_AND_A_HALF),
            Some(Length::inches(2.125))
        );
        assert!(hub("3").is_some_and(|b| b >= Length::inches(4.0)));
    }

    // Slack at the mouth of ASTM D2468 sockets over the depth of the DWV socket.
    #[test]
    fn a_weld_seats_by_the_slack_of_its_socket() {
        let catalog = Catalog::builtin();
        for (size, slack) in [("1-1/2", 0.012), ("2", 0.012), ("3", 0.016), ("4", 0.018)] {
            let size = NominalSize::parse(size).unwrap();
            let depth = catalog.socket(Material::Pvc, size).unwrap().depth.to_inches();
            let expect = f64::atan2(slack, depth).to_degrees();
            let seat = catalog.seat(JointKind::SolventWeld, size).to_degrees();
            assert!((seat - expect).abs() < 0.05, "{size}: {seat} for {expect}");
        }
        assert_eq!(catalog.deflection_limit(JointKind::SolventWeld), Angle::ZERO);
        // 1/2 in per ft is what ASTM C1460 and C1173 ask of a coupling; the policy stays within it.
        let limit = catalog.deflection_limit(JointKind::TransitionCoupling).to_degrees();
        assert!(limit < (0.5_f64 / 12.0).atan().to_degrees());
        for kind in JointKind::ALL {
            assert!(catalog.joint(*kind).is_some(), "{kind}");
            assert_eq!(JointKind::named(&kind.to_string()), Some(*kind));
        }
    }

    // PS 20, dry.
    #[test]
    fn lumber_has_its_surfaced_size() {
        for (name, thickness, depth) in [
            ("2x4", 1.5, 3.5),
            ("2 X 6", 1.5, 5.5),
            ("2x8", 1.5, 7.25),
            ("2x10", 1.5, 9.25),
            ("2x12", 1.5, 11.25),
        ] {
            let lumber = Catalog::builtin().lumber(name).unwrap();
            assert_eq!(
                (lumber.thickness.to_inches(), lumber.depth.to_inches()),
                (thickness, depth),
                "{name}"
            );
        }
        assert_eq!(Catalog::builtin().lumber("old 2x4").unwrap().depth, Length::inches(3.625));
        // Clear between flat 2x4 chords is the depth less 3.
        let truss = Catalog::builtin().lumber("16 open-web truss").unwrap();
        assert_eq!(truss.clear(), Some(Length::inches(13.0)));
    }

    // A tiled wet wall by its layers: 1/2 board, 1/8 bed, 5/16 tile; a tiled floor: 1/8, 1/2, 1/8, 3/8.
    #[test]
    fn built_up_finishes_are_the_sum_of_their_layers() {
        let sum = |names: &[&str]| -> Length {
            names.iter().map(|n| Catalog::builtin().finish(n).unwrap().thickness).sum()
        };
        assert_eq!(sum(&["1/2 cement board", "thinset", "wall tile"]), sum(&["tiled wet wall"]));
        assert_eq!(sum(&["thinset", "1/2 cement board", "thinset", "floor tile"]), sum(&["tiled floor"]));
        assert_eq!(
            sum(&["thinset", "1/4 cement board", "thinset", "floor tile"]),
            sum(&["thin tiled floor"])
        );
    }

    // IRC P2706.1.2 (from memory): a standpipe stands 18 to 42 above its trap's weir.
    #[test]
    fn usual_rough_ins_are_there_for_every_kind() {
        let kinds = [
            "closet",
            "lavatory",
            "kitchen_sink",
            "tub",
            "shower",
            "washer_box",
            "laundry_tub",
            "floor_drain",
        ];
        for kind in kinds {
            let usual = Catalog::builtin().rough_in(kind).unwrap();
            assert!(usual.rim.value > usual.outlet.value, "{kind}");
            let sources =
                [&usual.outlet.source, &usual.rim.source, &usual.trap.source, &usual.tolerance.source];
            assert!(sources.iter().all(|s| !s.is_empty()), "{kind}");
        }
        let washer = Catalog::builtin().rough_in("washer box").unwrap();
        let stands = washer.rim.value - washer.outlet.value;
        assert!((18.0..=42.0).contains(&stands.to_inches()));
        assert_eq!(Catalog::builtin().rough_ins().count(), kinds.len());
    }
}
