//! Shared meshes: one box for all wood, one cylinder a radius, made from the model's own meshes.

use crate::coords::{self, METRES};
use bevy::asset::RenderAssetUsages;
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;
use nalgebra::{Isometry3, Point3, UnitQuaternion, Vector3};
use std::collections::BTreeMap;
use truefall_model::solid::{Body, Mesh as Solid};

/// End grain against the sides of lumber.
const SIDES: f32 = 0.80;

/// Shared meshes.
#[derive(Resource, Default)]
pub(crate) struct Shapes {
    cube: Option<Handle<Mesh>>,
    cylinders: BTreeMap<u64, Handle<Mesh>>,
}

impl Shapes {
    /// A box of half size 1 in, end faces (local z) lighter; stretch it by the half sizes.
    pub(crate) fn cube(&mut self, meshes: &mut Assets<Mesh>) -> Handle<Mesh> {
        self.cube
            .get_or_insert_with(|| {
                let body = Body::Cuboid { pose: Isometry3::identity(), half: Vector3::new(1.0, 1.0, 1.0) };
                let solid = Solid::of(&body);
                let shade: Vec<[f32; 4]> = solid
                    .normals
                    .iter()
                    .map(|n| if n[2].abs() > 0.5 { [1.0; 4] } else { [SIDES, SIDES, SIDES, 1.0] })
                    .collect();
                meshes.add(mesh(&solid).with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, shade))
            })
            .clone()
    }

    /// A cylinder of a radius along local z from 0 to 1 in; stretch it along z.
    pub(crate) fn cylinder(&mut self, meshes: &mut Assets<Mesh>, radius_in: f64) -> Handle<Mesh> {
        self.cylinders
            .entry(radius_in.to_bits())
            .or_insert_with(|| {
                let body = Body::Cylinder { a: Point3::origin(), b: Point3::new(0.0, 0.0, 1.0), radius_in };
                meshes.add(mesh(&Solid::of(&body)))
            })
            .clone()
    }

    /// The mesh of a body and how it is placed.
    pub(crate) fn of(&mut self, meshes: &mut Assets<Mesh>, body: &Body) -> (Handle<Mesh>, Transform) {
        match *body {
            Body::Cuboid { pose, half } => {
                let scale = coords::direction(half).abs();
                (self.cube(meshes), coords::pose(&pose).with_scale(scale))
            }
            Body::Cylinder { a, b, radius_in } => {
                let axis = b - a;
                let turn = UnitQuaternion::rotation_between(&Vector3::z(), &axis).unwrap_or_else(|| {
                    UnitQuaternion::from_axis_angle(&Vector3::x_axis(), std::f64::consts::PI)
                });
                let pose = Isometry3::from_parts(a.coords.into(), turn);
                let scale = Vec3::new(1.0, axis.norm() as f32, 1.0);
                (self.cylinder(meshes, radius_in), coords::pose(&pose).with_scale(scale))
            }
        }
    }
}

/// A mesh of the model in the scene's axes.
pub(crate) fn mesh(solid: &Solid) -> Mesh {
    let place = |p: &[f64; 3]| (coords::direction(Vector3::from(*p)) * METRES as f32).to_array();
    let positions: Vec<[f32; 3]> = solid.positions.iter().map(place).collect();
    let normals: Vec<[f32; 3]> =
        solid.normals.iter().map(|n| coords::direction(Vector3::from(*n)).to_array()).collect();
    Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::default())
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, positions)
        .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, normals)
        .with_inserted_indices(Indices::U32(solid.indices.iter().flatten().copied().collect()))
}
