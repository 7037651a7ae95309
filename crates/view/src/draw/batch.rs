//! Batches: all pieces of one stuff that stand near each other are one mesh and one entity, so that a building of a hundred
//! thousand pieces is a few hundred draws. A batch is made anew when what is shown changes, which is when a person asks for
//! it; nothing is done for a piece in a frame. Picking needs no meshes: it asks the model's bodies.

use super::shape;
use super::stuff::{Stuff, Surfaces};
use crate::coords;
use bevy::asset::RenderAssetUsages;
use bevy::camera::primitives::Aabb;
use bevy::camera::visibility::NoAutoAabb;
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;
use nalgebra::{Point3, Vector3};
use std::collections::BTreeMap;
use truefall_model::solid::{Body, Mesh as Solid};

/// Breadth, depth and height of the space whose pieces share a batch, inches: about a house. What is out of sight is left
/// out by the batch, so smaller spaces would leave out more and need more draws.
const CELL_IN: f64 = 600.0;

/// End grain against the sides of lumber.
const SIDES: f32 = 0.80;

/// Something drawn.
#[derive(Debug, Clone)]
pub(crate) struct Piece {
    /// Its form, job axes.
    pub(crate) form: Form,
    /// What it is made of.
    pub(crate) stuff: Stuff,
    /// Its colour, where its stuff is painted.
    pub(crate) color: Color,
}

/// The form of a piece.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Form {
    /// A body of the model.
    Body(Body),
    /// A ring round an axis.
    Ring {
        /// Its middle.
        centre: Point3<f64>,
        /// Square to its plane, length 1.
        axis: Vector3<f64>,
        /// To the middle of its wire, inches.
        radius_in: f64,
    },
}

impl Piece {
    /// A body without a colour of its own.
    pub(crate) fn plain(body: Body, stuff: Stuff) -> Self {
        Self { form: Form::Body(body), stuff, color: Color::WHITE }
    }

    /// The same piece elsewhere.
    pub(crate) fn moved(&self, by: Vector3<f64>) -> Self {
        let form = match self.form {
            Form::Body(body) => Form::Body(body.transformed(&nalgebra::Isometry3::from(by))),
            Form::Ring { centre, axis, radius_in } => Form::Ring { centre: centre + by, axis, radius_in },
        };
        Self { form, ..self.clone() }
    }

    fn centre(&self) -> Point3<f64> {
        match self.form {
            Form::Body(body) => {
                let (low, high) = body.aabb();
                nalgebra::center(&low, &high)
            }
            Form::Ring { centre, .. } => centre,
        }
    }
}

/// Meshes in the making, by stuff and by where they are.
#[derive(Default)]
pub(crate) struct Batches {
    of: BTreeMap<(&'static str, [i32; 3]), (Stuff, Batch)>,
}

#[derive(Default)]
struct Batch {
    positions: Vec<[f32; 3]>,
    normals: Vec<[f32; 3]>,
    colors: Vec<[f32; 4]>,
    indices: Vec<u32>,
}

impl Batches {
    /// Those of some pieces.
    pub(crate) fn of(pieces: impl IntoIterator<Item = Piece>) -> Self {
        let mut batches = Self::default();
        for piece in pieces {
            batches.add(&piece, 0.0);
        }
        batches
    }

    /// One more piece, its surface moved outwards by so much.
    pub(crate) fn add(&mut self, piece: &Piece, swell_in: f64) {
        let cell = piece.centre().coords.map(|c| (c / CELL_IN).round() as i32);
        let key = (piece.stuff.word(), [cell.x, cell.y, cell.z]);
        let (_, batch) = self.of.entry(key).or_insert_with(|| (piece.stuff, Batch::default()));
        batch.add(piece, swell_in);
    }

    /// How many draws they are.
    pub(crate) fn len(&self) -> usize {
        self.of.len()
    }

    /// Into the scene, each entity with a mark.
    pub(crate) fn spawn(
        self,
        mark: impl Bundle + Clone,
        commands: &mut Commands,
        meshes: &mut Assets<Mesh>,
        (surfaces, materials): (&mut Surfaces, &mut Assets<StandardMaterial>),
    ) {
        for (stuff, batch) in self.of.into_values() {
            let bounds = batch.bounds();
            let mut entity = commands.spawn((
                mark.clone(),
                Mesh3d(meshes.add(batch.mesh(stuff))),
                MeshMaterial3d(surfaces.of(materials, stuff)),
                Transform::IDENTITY,
                bounds,
                // The mesh is gone from here once the card has it.
                NoAutoAabb,
            ));
            if matches!(stuff, Stuff::Ghost | Stuff::Picked) {
                entity.insert(bevy::light::NotShadowCaster);
            }
        }
    }
}

impl Batch {
    fn add(&mut self, piece: &Piece, swell_in: f64) {
        let solid = match piece.form {
            Form::Body(body) => Solid::of(&body),
            Form::Ring { centre, axis, radius_in } => shape::ring(centre, axis, radius_in),
        };
        let first = self.positions.len() as u32;
        for (p, n) in solid.positions.iter().zip(&solid.normals) {
            let (p, n) = (Point3::from(*p), Vector3::from(*n));
            self.positions.push(coords::scene_from_job(p + n * swell_in).to_array());
            self.normals.push(coords::direction(n).to_array());
            if piece.stuff.painted() {
                let mut color = piece.color.to_linear().to_f32_array();
                if let Form::Body(Body::Cuboid { pose, .. }) = piece.form
                    && n.dot(&(pose * Vector3::z())).abs() < 0.5
                {
                    for c in &mut color[..3] {
                        *c *= SIDES;
                    }
                }
                self.colors.push(color);
            }
        }
        self.indices.extend(solid.indices.iter().flatten().map(|i| first + i));
    }

    fn bounds(&self) -> Aabb {
        let mut points = self.positions.iter().map(|p| Vec3::from_array(*p));
        let first = points.next().unwrap_or_default();
        let (low, high) = points.fold((first, first), |(l, h), p| (l.min(p), h.max(p)));
        Aabb::from_min_max(low, high)
    }

    fn mesh(self, stuff: Stuff) -> Mesh {
        let mesh = Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::RENDER_WORLD)
            .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, self.positions)
            .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, self.normals)
            .with_inserted_indices(Indices::U32(self.indices));
        if stuff.painted() { mesh.with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, self.colors) } else { mesh }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::coords::METRES;
    use crate::draw;
    use crate::hold::demo;
    use crate::look::Look;

    // Each piece is in one batch and whole: together they have the triangles that the model's own meshes have.
    #[test]
    fn no_triangle_is_lost_and_a_house_is_few_draws() {
        let loaded = demo();
        let pieces = draw::pieces(&loaded, &Look::default());
        let alone: usize = pieces
            .iter()
            .map(|p| match p.form {
                Form::Body(body) => Solid::of(&body).indices.len(),
                Form::Ring { centre, axis, radius_in } => shape::ring(centre, axis, radius_in).indices.len(),
            })
            .sum();
        let count = pieces.len();
        let batches = Batches::of(pieces);
        let together: usize = batches.of.values().map(|(_, b)| b.indices.len() / 3).sum();
        assert_eq!(together, alone);
        assert!(count > 500 && batches.len() <= 24, "{count} pieces in {} draws", batches.len());
    }

    // A batch lies where its pieces lie: the corners of a box, in metres.
    #[test]
    fn a_batch_is_bounded_by_its_pieces() {
        let half = Vector3::new(0.75, 1.75, 48.0);
        let pose = nalgebra::Isometry3::translation(100.0, 20.0, 48.0);
        let piece = Piece::plain(Body::Cuboid { pose, half }, Stuff::Ware);
        let batches = Batches::of([piece]);
        let bounds = batches.of.values().next().expect("one").1.bounds();
        let centre = coords::scene_from_job(Point3::new(100.0, 20.0, 48.0));
        assert!((Vec3::from(bounds.center) - centre).length() < 1e-5);
        let size = Vec3::new(0.75, 48.0, 1.75) * METRES as f32;
        assert!((Vec3::from(bounds.half_extents) - size).length() < 1e-5);
    }
}
