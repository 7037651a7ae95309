//! What is bought, by the name a counter knows it under.

use truefall_model::catalog::material::Material;
use truefall_model::catalog::name::FittingName;
use truefall_model::units::NominalSize;

/// One thing that is sold. Fittings are named run x run x branch.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Item {
    /// Pipe, by material and size.
    Pipe(Material, NominalSize),
    /// A fitting, by material and name.
    Fitting(Material, FittingName),
    /// A gasket that makes a pipe tight in an iron hub.
    HubGasket(NominalSize),
    /// A threaded plug for a cleanout.
    ThreadedPlug(NominalSize),
    /// An air admittance valve.
    Valve(NominalSize),
    /// A hanger or clamp for pipe.
    Hanger(NominalSize),
    /// A steel plate that shields a pipe from nails.
    SteelPlate,
    /// A metal tie across a cut plate.
    PlateTie,
}

/// What a name may end in beside a fitting's, and what it then is.
type Sized = fn(NominalSize) -> Item;
const SIZED: &[(&str, Sized)] = &[
    ("hub gasket", Item::HubGasket),
    ("threaded plug", Item::ThreadedPlug),
    ("air admittance valve", Item::Valve),
    ("hanger", Item::Hanger),
];
const UNSIZED: &[(&str, Item)] = &[("steel plate", Item::SteelPlate), ("plate tie", Item::PlateTie)];

impl Item {
    /// Reads a name and, where it has one, a material.
    ///
    /// # Errors
    /// What is wrong and what is allowed, in words.
    pub fn parse(name: &str, material: &str) -> Result<Self, String> {
        let made_of = || {
            let words: Vec<&str> = Material::ALL.iter().map(|m| m.word()).collect();
            let found = Material::ALL.iter().copied().find(|m| m.word() == material.to_lowercase());
            found.ok_or_else(|| format!("\"{material}\" is no material; allowed: {}", words.join(", ")))
        };
        let plain = name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        let bare = |item: Self| match material {
            "" => Ok(item),
            _ => Err(format!("\"{material}\" can't be kept apart for {name}: leave the material empty")),
        };
        if let Some((_, item)) = UNSIZED.iter().find(|(word, _)| *word == plain) {
            return bare(item.clone());
        }
        let sized = |word: &str| NominalSize::parse(plain.strip_suffix(word)?.trim_end()).ok();
        if let Some(item) = SIZED.iter().find_map(|(word, item)| sized(word).map(item)) {
            return bare(item);
        }
        if let Some(size) = sized(" pipe") {
            return made_of().map(|material| Self::Pipe(material, size));
        }
        match FittingName::parse(&plain) {
            Some(fitting) => made_of().map(|material| Self::Fitting(material, fitting)),
            None => Err(format!("nothing is called \"{name}\"")),
        }
    }

    /// What it is made of, where that tells two apart.
    pub fn material(&self) -> Option<Material> {
        match self {
            Self::Pipe(material, _) | Self::Fitting(material, _) => Some(*material),
            _ => None,
        }
    }
}

impl std::fmt::Display for Item {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let words = match self {
            Self::Pipe(_, size) => format!("{size} pipe"),
            Self::Fitting(_, name) => name.to_string(),
            Self::HubGasket(size) => format!("{size} hub gasket"),
            Self::ThreadedPlug(size) => format!("{size} threaded plug"),
            Self::Valve(size) => format!("{size} air admittance valve"),
            Self::Hanger(size) => format!("{size} hanger"),
            Self::SteelPlate => "steel plate".to_owned(),
            Self::PlateTie => "plate tie".to_owned(),
        };
        f.pad(&words)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_of_item_is_read_back_from_its_own_words() {
        let three = NominalSize::parse("3").unwrap();
        let tee = FittingName::parse("3x3x1-1/2 sanitary tee").unwrap();
        let items = [
            Item::Pipe(Material::Abs, three),
            Item::Fitting(Material::Pvc, tee),
            Item::HubGasket(three),
            Item::ThreadedPlug(three),
            Item::Valve(NominalSize::TWO),
            Item::Hanger(three),
            Item::SteelPlate,
            Item::PlateTie,
        ];
        for item in items {
            let material = item.material().map_or("", Material::word);
            assert_eq!(Item::parse(&item.to_string(), material), Ok(item));
        }
    }

    #[test]
    fn what_is_no_item_is_told() {
        assert!(Item::parse("3 elbowish", "pvc").unwrap_err().contains("nothing is called"));
        assert!(Item::parse("3 pipe", "tin").unwrap_err().contains("allowed: pvc, abs"));
        assert!(Item::parse("steel plate", "pvc").unwrap_err().contains("leave the material empty"));
    }
}
