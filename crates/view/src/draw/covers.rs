//! Finishes that close the house: board on walls, floors, the roof; keep-outs; bands that no screw may enter.

use super::shape;
use super::shown;
use super::stuff::film;
use crate::coords;
use crate::loaded::Loaded;
use crate::look::Look;
use crate::theme;
use bevy::asset::RenderAssetUsages;
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;
use nalgebra::{Isometry3, Point3, Vector3};
use truefall_model::solid::{Body, Mesh as Solid};

/// A layer and where on the slider it comes.
#[derive(Component, Clone, Copy)]
pub(super) struct Cover {
    from: f32,
    color: Color,
    opaque: f32,
}

/// All of this file.
#[derive(Component, Clone, Copy)]
pub(super) struct OfCovers;

pub(super) fn draw(
    (loaded, look): (Res<Loaded>, Res<Look>),
    old: Query<Entity, With<OfCovers>>,
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    old.iter().for_each(|e| commands.entity(e).despawn());
    let framed = &loaded.seen.rough_in.framed;
    let near = |at: Point3<f64>| shown::point(&loaded, &look, at);
    let mut slab = |body: Body, cover: Cover| {
        let (low, high) = body.aabb();
        if !near(nalgebra::center(&low, &high)) {
            return;
        }
        commands.spawn((
            OfCovers,
            cover,
            Mesh3d(meshes.add(shape::mesh(&Solid::of(&body)))),
            MeshMaterial3d(materials.add(film(cover.color))),
            Visibility::Hidden,
            bevy::light::NotShadowCaster,
        ));
    };
    for w in &framed.walls {
        for (out, thick, from) in
            [(w.finish_room / 2.0, w.finish_room, 0.0), (-w.depth - w.finish_back / 2.0, w.finish_back, 0.0)]
        {
            if thick > 0.0 {
                let centre = w.at_height(w.length / 2.0, out, f64::midpoint(w.z0, w.z1));
                let pose = Isometry3::from_parts(centre.coords.into(), w.axes());
                let half = Vector3::new(w.length / 2.0, thick / 2.0, (w.z1 - w.z0) / 2.0);
                slab(Body::Cuboid { pose, half }, Cover { from, color: theme::BOARD, opaque: 0.97 });
            }
        }
    }
    for f in &framed.floors {
        let (Some((least, most)), true) = (f.outline, f.finished_z > f.rough_z) else { continue };
        let centre = Point3::new(
            f64::midpoint(least.x, most.x),
            f64::midpoint(least.y, most.y),
            f64::midpoint(f.rough_z, f.finished_z),
        );
        let half = Vector3::new(
            (most.x - least.x) / 2.0,
            (most.y - least.y) / 2.0,
            (f.finished_z - f.rough_z) / 2.0,
        );
        slab(
            Body::Cuboid { pose: Isometry3::translation(centre.x, centre.y, centre.z), half },
            Cover { from: 1.0, color: theme::FLOORING, opaque: 0.9 },
        );
    }
    for r in &framed.roof {
        let up = Vector3::new(r.upslope.x, r.upslope.y, r.slope);
        let along = Vector3::new(r.along.x, r.along.y, 0.0);
        if look.wall.is_some() || !near(r.point + up * (r.run / 2.0)) {
            continue;
        }
        let (a, b) = (r.point, r.point + along * r.length);
        let (c, d) = (b + up * r.run, a + up * r.run);
        let quad = quad([a, b, c, d]);
        let cover = Cover { from: 2.0, color: theme::STEEL, opaque: 0.5 };
        commands.spawn((
            OfCovers,
            cover,
            Mesh3d(meshes.add(quad)),
            MeshMaterial3d(materials.add(film(cover.color))),
            Visibility::Hidden,
        ));
    }
    for k in &framed.keep_outs {
        if near(k.pose.translation.vector.into()) {
            let mesh = shape::mesh(&Solid::of(&Body::Cuboid { pose: k.pose, half: k.half }));
            let material = materials.add(film(theme::TAKEN));
            commands.spawn((OfCovers, Mesh3d(meshes.add(mesh)), MeshMaterial3d(material)));
        }
    }
    let band = materials.add(StandardMaterial { unlit: true, ..film(theme::BAND) });
    for b in &loaded.bands {
        let corners = b.corners.map(Point3::from);
        if !near(nalgebra::center(&corners[0], &corners[2])) {
            continue;
        }
        let out = Vector3::from(b.corners[0]) - Vector3::from(b.corners[1]);
        let off = out.cross(&Vector3::z()).normalize() * -0.15;
        let mesh = quad(b.corners.map(|c| Point3::from(c) + off));
        let cover = Cover { from: 0.0, color: theme::BAND, opaque: 0.4 };
        commands.spawn((
            OfCovers,
            Band,
            cover,
            Mesh3d(meshes.add(mesh)),
            MeshMaterial3d(band.clone()),
            Visibility::Hidden,
            bevy::light::NotShadowCaster,
        ));
    }
}

/// A band that no screw may enter.
#[derive(Component, Clone, Copy)]
pub(super) struct Band;

fn quad(corners: [Point3<f64>; 4]) -> Mesh {
    let normal = coords::direction((corners[1] - corners[0]).cross(&(corners[3] - corners[0])).normalize());
    Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::default())
        .with_inserted_attribute(
            Mesh::ATTRIBUTE_POSITION,
            corners.map(|c| coords::scene_from_job(c).to_array()).to_vec(),
        )
        .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, vec![normal.to_array(); 4])
        .with_inserted_indices(Indices::U32(vec![0, 1, 2, 0, 2, 3]))
}

/// How much of a layer is there at a point of the slider, 0 to its full.
pub(crate) fn alpha(cover: f32, from: f32, opaque: f32, through: bool) -> f32 {
    let full = if through { opaque.min(0.34) } else { opaque };
    (cover - from).clamp(0.0, 1.0) * full
}

pub(super) fn close(
    look: Res<Look>,
    mut layers: Query<(&Cover, Has<Band>, &MeshMaterial3d<StandardMaterial>, &mut Visibility)>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    for (cover, band, material, mut visibility) in &mut layers {
        let a = if band {
            if look.cover >= 0.5 { cover.opaque } else { 0.0 }
        } else {
            alpha(look.cover, cover.from, cover.opaque, look.through)
        };
        *visibility = if a > 0.01 { Visibility::Inherited } else { Visibility::Hidden };
        if let Some(mut m) = materials.get_mut(&material.0) {
            m.base_color = cover.color.with_alpha(a);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn board_comes_before_floors_and_pipes_stay_to_be_seen() {
        assert!(alpha(0.0, 0.0, 0.97, false).abs() < 1e-6);
        assert!(alpha(1.0, 0.0, 0.97, false) > 0.9 && alpha(1.0, 1.0, 0.9, false) < 1e-6);
        assert!(alpha(3.0, 0.0, 0.97, true) < 0.5);
    }
}
