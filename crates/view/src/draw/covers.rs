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
use truefall_packet::walk::{Facing, StopKind};

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
    for (i, b) in loaded.bands.iter().enumerate() {
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
            Band(i),
            cover,
            Mesh3d(meshes.add(mesh)),
            MeshMaterial3d(band.clone()),
            Visibility::Hidden,
            bevy::light::NotShadowCaster,
        ));
    }
}

/// A band that no screw may enter, by its number.
#[derive(Component, Clone, Copy)]
pub(super) struct Band(usize);

/// Whether a band is on its wall: on closed walls all are, and where the walk stops for it, on open ones too.
pub(crate) fn banded(loaded: &Loaded, look: &Look, band: usize) -> bool {
    let stop = look.stop.and_then(|i| loaded.stops.get(i)).filter(|s| s.kind == StopKind::Screws);
    let here = stop.zip(loaded.bands.get(band)).is_some_and(|(s, b)| {
        let back = b.facing == Facing::Back;
        s.title.starts_with(&format!("{}{}:", b.wall, if back { ", from the back" } else { "" }))
    });
    look.cover >= 0.5 || here
}

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
    (loaded, look): (Res<Loaded>, Res<Look>),
    mut layers: Query<(&Cover, Option<&Band>, &MeshMaterial3d<StandardMaterial>, &mut Visibility)>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    for (cover, band, material, mut visibility) in &mut layers {
        let a = match band {
            Some(Band(i)) => f32::from(u8::from(banded(&loaded, &look, *i))) * cover.opaque,
            None => alpha(look.cover, cover.from, cover.opaque, look.through),
        };
        *visibility = if a > 0.01 { Visibility::Inherited } else { Visibility::Hidden };
        // Bands share one material, which is as it is; hiding one must not hide all.
        if band.is_some() {
            continue;
        }
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

    // Before a wall the walk shows that wall's bands and no other's, though the framing is open.
    #[test]
    fn the_walk_shows_the_bands_of_the_wall_it_stops_at() {
        let loaded = crate::hold::demo();
        let at = loaded.stops.iter().position(|s| s.kind == StopKind::Screws).expect("a wall has pipe in it");
        let wall = loaded.stops[at].title.split([',', ':']).next().expect("it names its wall").to_owned();
        let count = |look: &Look| (0..loaded.bands.len()).filter(|i| banded(&loaded, look, *i)).count();
        assert_eq!(count(&Look::default()), 0);
        let stopped = Look { stop: Some(at), ..Look::default() };
        assert!(count(&stopped) > 0);
        for i in (0..loaded.bands.len()).filter(|i| banded(&loaded, &stopped, *i)) {
            assert_eq!(loaded.bands[i].wall, wall);
        }
        assert_eq!(count(&Look { cover: 1.0, ..Look::default() }), loaded.bands.len());
    }
}
