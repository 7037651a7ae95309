//! The colours things really have, as materials of the model file.

use serde_json::{Value, json};
use truefall_model::catalog::material::Material;

/// What a thing is painted as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Paint {
    /// New pipe and fittings.
    Pipe(Material),
    /// Work that was there before.
    Existing,
    /// Lumber.
    Wood,
    /// Board, plaster or tile over a wall.
    Cover,
}

impl Paint {
    /// The material's entry in the file; colours are linear, as the format wants them.
    pub(super) fn material(self) -> Value {
        let (name, colour, rough, metal) = match self {
            Self::Pipe(Material::Pvc | Material::PvcThin) => {
                ("white plastic", [0.86, 0.86, 0.83, 1.0], 0.5, 0.0)
            }
            Self::Pipe(Material::Abs) => ("black plastic", [0.012, 0.012, 0.014, 1.0], 0.45, 0.0),
            Self::Pipe(Material::Iron | Material::IronHubless) => {
                ("iron", [0.055, 0.05, 0.05, 1.0], 0.8, 0.3)
            }
            Self::Pipe(Material::CopperDwv | Material::Copper) => ("copper", [0.6, 0.22, 0.1, 1.0], 0.4, 0.9),
            Self::Pipe(Material::Pex) => ("tube", [0.75, 0.75, 0.78, 1.0], 0.5, 0.0),
            Self::Existing => ("old iron", [0.08, 0.055, 0.045, 1.0], 0.9, 0.2),
            Self::Wood => ("wood", [0.56, 0.37, 0.19, 1.0], 0.9, 0.0),
            Self::Cover => ("cover", [0.8, 0.79, 0.75, 0.9], 0.95, 0.0),
        };
        let mut material = json!({
            "name": name,
            "pbrMetallicRoughness": {
                "baseColorFactor": colour, "roughnessFactor": rough, "metallicFactor": metal,
            },
        });
        if self == Self::Cover {
            material["alphaMode"] = json!("BLEND");
        }
        material
    }
}
