//! What a surface is made of, as far as light goes: what is of one stuff can share one mesh and one draw.

use crate::theme;
use bevy::prelude::*;
use std::collections::BTreeMap;
use truefall_model::catalog::material::Material;

/// A kind of surface.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stuff {
    /// Lumber; its colour is in the mesh, with the end grain lighter.
    Wood,
    /// Pipe and fittings of a material.
    Pipe(Material),
    /// Glazed ware.
    Ware,
    /// Plates and straps.
    Steel,
    /// Marks that glow a little, to be found in shade; their colour is in the mesh.
    Mark,
    /// The drawn placement beside the found one.
    Ghost,
    /// What is picked.
    Picked,
}

impl Stuff {
    /// One word each, which also gives the order in which they are drawn.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Wood => "wood",
            Self::Pipe(material) => material.word(),
            Self::Ware => "ware",
            Self::Steel => "steel plate",
            Self::Mark => "mark",
            Self::Ghost => "ghost",
            Self::Picked => "picked",
        }
    }

    /// Whether each vertex has a colour of its own.
    pub(crate) fn painted(self) -> bool {
        matches!(self, Self::Wood | Self::Mark)
    }

    fn surface(self) -> StandardMaterial {
        match self {
            Self::Wood => matt(Color::WHITE, 0.85, 0.0),
            Self::Pipe(material) => {
                let (color, rough, metal) = theme::pipe(material);
                matt(color, rough, metal)
            }
            Self::Ware => matt(theme::WARE, 0.25, 0.0),
            Self::Steel => matt(theme::STEEL, 0.4, 0.7),
            Self::Mark => StandardMaterial { unlit: true, ..matt(Color::WHITE, 1.0, 0.0) },
            Self::Ghost => film(theme::GHOST),
            Self::Picked => matt(theme::PICKED, 0.5, 0.0),
        }
    }
}

/// The materials in use, one a stuff.
#[derive(Resource, Default)]
pub(crate) struct Surfaces(BTreeMap<&'static str, Handle<StandardMaterial>>);

impl Surfaces {
    /// That of a stuff.
    pub(crate) fn of(
        &mut self,
        materials: &mut Assets<StandardMaterial>,
        stuff: Stuff,
    ) -> Handle<StandardMaterial> {
        self.0.entry(stuff.word()).or_insert_with(|| materials.add(stuff.surface())).clone()
    }
}

/// Opaque, of a colour.
pub(super) fn matt(color: Color, roughness: f32, metallic: f32) -> StandardMaterial {
    StandardMaterial {
        base_color: color,
        perceptual_roughness: roughness,
        metallic,
        reflectance: 0.3,
        ..default()
    }
}

/// Translucent, of a colour, seen from both sides.
pub(super) fn film(color: Color) -> StandardMaterial {
    StandardMaterial {
        alpha_mode: AlphaMode::Blend,
        cull_mode: None,
        double_sided: true,
        ..matt(color, 0.9, 0.0)
    }
}
