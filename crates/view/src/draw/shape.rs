//! Meshes in the scene's axes: of the model's own meshes, and the rings round bores.

use crate::coords::{self, METRES};
use bevy::asset::RenderAssetUsages;
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;
use nalgebra::{Point3, Unit, Vector3};
use std::f64::consts::TAU;
use truefall_model::solid::Mesh as Solid;

/// Half the thickness of a ring's wire, inches.
const WIRE_IN: f64 = 0.14;

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

/// A ring of wire round an axis, job axes, inches; seen from outside, triangles run anticlockwise.
pub(crate) fn ring(centre: Point3<f64>, axis: Vector3<f64>, radius_in: f64) -> Solid {
    const ROUND: u32 = 36;
    const WIRE: u32 = 8;
    let first =
        Unit::new_normalize(axis.cross(&if axis.x.abs() < 0.6 { Vector3::x() } else { Vector3::y() }));
    let second = axis.cross(&first);
    let mut solid = Solid::default();
    for i in 0..ROUND {
        let (s, c) = (TAU * f64::from(i) / f64::from(ROUND)).sin_cos();
        let out = *first * c + second * s;
        for j in 0..WIRE {
            let (t, d) = (TAU * f64::from(j) / f64::from(WIRE)).sin_cos();
            let normal = out * d + axis * t;
            let at = centre + out * radius_in + normal * WIRE_IN;
            solid.positions.push([at.x, at.y, at.z]);
            solid.normals.push([normal.x, normal.y, normal.z]);
            let corner = |i: u32, j: u32| (i % ROUND) * WIRE + j % WIRE;
            solid.indices.push([corner(i, j), corner(i + 1, j), corner(i + 1, j + 1)]);
            solid.indices.push([corner(i, j), corner(i + 1, j + 1), corner(i, j + 1)]);
        }
    }
    solid
}

#[cfg(test)]
mod tests {
    use super::*;

    // Elementary geometry: each triangle's own normal agrees with those of its corners, or the ring is inside out.
    #[test]
    fn a_ring_is_seen_from_outside() {
        let ring = ring(Point3::new(3.0, 4.0, 5.0), Vector3::z(), 1.1);
        for t in &ring.indices {
            let [a, b, c] = t.map(|i| Point3::from(ring.positions[i as usize]));
            let n = Vector3::from(ring.normals[t[0] as usize]);
            assert!((b - a).cross(&(c - a)).dot(&n) > 0.0);
        }
    }
}
