//! A closed triangle mesh of one body, for drawing and for files that others read.

use super::{Body, CHORD_ERROR_IN};
use nalgebra::{Point3, Unit, Vector3};
use std::f64::consts::{PI, TAU};

/// Triangles of one closed surface in job axes, inches. Seen from outside, each triangle runs anticlockwise.
///
/// Vertices are repeated where the surface has an edge, so that each carries its own normal; repeated vertices have
/// bit-equal positions, and welded by position the mesh is watertight.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    /// Vertex positions, inches.
    pub positions: Vec<[f64; 3]>,
    /// Unit outward normal of the surface at each vertex.
    pub normals: Vec<[f64; 3]>,
    /// Three vertex numbers a triangle.
    pub indices: Vec<[u32; 3]>,
}

impl Mesh {
    /// The mesh of a body. Circles become polygons with their corners on the circle, their sides within
    /// [`CHORD_ERROR_IN`] of it.
    pub fn of(body: &Body) -> Self {
        match *body {
            Body::Cylinder { a, b, radius_in } => cylinder(a, b, radius_in),
            Body::Cuboid { pose, half } => {
                let mut mesh = Self::default();
                for axis in 0..3 {
                    for side in [-1.0, 1.0] {
                        let (along, across) = ((axis + 1) % 3, (axis + 2) % 3);
                        let corner = |s: f64, t: f64| {
                            let mut p = Vector3::zeros();
                            p[axis] = side * half[axis];
                            p[along] = side * s * half[along];
                            p[across] = t * half[across];
                            pose * Point3::from(p)
                        };
                        let mut normal = Vector3::zeros();
                        normal[axis] = side;
                        let ring =
                            [corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)];
                        mesh.add_polygon(&ring, &(pose * normal));
                    }
                }
                mesh
            }
        }
    }

    fn add_vertex(&mut self, position: &Point3<f64>, normal: &Vector3<f64>) -> u32 {
        self.positions.push([position.x, position.y, position.z]);
        self.normals.push([normal.x, normal.y, normal.z]);
        u32::try_from(self.positions.len() - 1).expect("one body has a few hundred vertices")
    }

    /// A flat convex polygon, its corners anticlockwise seen from where `normal` points to.
    fn add_polygon(&mut self, ring: &[Point3<f64>], normal: &Vector3<f64>) {
        let at: Vec<u32> = ring.iter().map(|p| self.add_vertex(p, normal)).collect();
        for i in 1..at.len() - 1 {
            self.indices.push([at[0], at[i], at[i + 1]]);
        }
    }
}

/// Sides of the polygon for a circle: the fewest whose sagitta r(1 - cos(pi/n)) stays within the chord error, but at
/// least 8 so that a thin pipe still looks round.
fn sides(radius_in: f64) -> u32 {
    let cos = 1.0 - CHORD_ERROR_IN / radius_in;
    if cos <= (PI / 8.0).cos() { 8 } else { (PI / cos.acos()).ceil() as u32 }
}

fn cylinder(a: Point3<f64>, b: Point3<f64>, radius_in: f64) -> Mesh {
    let axis = Unit::try_new(b - a, 0.0).unwrap_or_else(Vector3::z_axis);
    let first =
        Unit::new_normalize(axis.cross(&if axis.x.abs() < 0.6 { Vector3::x() } else { Vector3::y() }));
    let second = axis.cross(&first);
    let n = sides(radius_in);
    let outward: Vec<Vector3<f64>> = (0..n)
        .map(|i| {
            let (s, c) = (TAU * f64::from(i) / f64::from(n)).sin_cos();
            *first * c + second * s
        })
        .collect();
    let low: Vec<Point3<f64>> = outward.iter().map(|o| a + o * radius_in).collect();
    let high: Vec<Point3<f64>> = outward.iter().map(|o| b + o * radius_in).collect();
    let mut mesh = Mesh::default();
    let sides: Vec<[u32; 2]> = outward
        .iter()
        .zip(low.iter().zip(&high))
        .map(|(o, (l, h))| [mesh.add_vertex(l, o), mesh.add_vertex(h, o)])
        .collect();
    for (i, &[l0, h0]) in sides.iter().enumerate() {
        let [l1, h1] = sides[(i + 1) % sides.len()];
        mesh.indices.push([l0, l1, h1]);
        mesh.indices.push([l0, h1, h0]);
    }
    mesh.add_polygon(&high, &axis);
    let reversed: Vec<Point3<f64>> = low.into_iter().rev().collect();
    mesh.add_polygon(&reversed, &-*axis);
    mesh
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{Isometry3, UnitQuaternion};
    use std::collections::BTreeMap;

    fn pose() -> Isometry3<f64> {
        Isometry3::from_parts(
            Vector3::new(300.0, -7.1, 40.0).into(),
            UnitQuaternion::from_euler_angles(0.4, 1.1, -2.0),
        )
    }

    fn bodies() -> Vec<Body> {
        let mut all = vec![
            Body::Cuboid { pose: pose(), half: Vector3::new(0.75, 4.625, 72.0) },
            Body::Cuboid { pose: Isometry3::identity(), half: Vector3::new(1.0, 2.0, 3.0) },
        ];
        for radius_in in [0.02, 0.5, 0.84375, 1.1875, 2.25, 6.0] {
            let pipe =
                Body::Cylinder { a: Point3::new(1.0, 2.0, 3.0), b: Point3::new(1.0, 2.0, 30.0), radius_in };
            all.extend([pipe, pipe.transformed(&pose())]);
        }
        all
    }

    fn corners(mesh: &Mesh, triangle: &[u32; 3]) -> [Point3<f64>; 3] {
        triangle.map(|i| Point3::from(mesh.positions[i as usize]))
    }

    /// A closed orientable surface uses every edge exactly twice, once in each direction.
    #[test]
    fn every_edge_is_shared_by_two_triangles_running_opposite_ways() {
        for body in bodies() {
            let mesh = Mesh::of(&body);
            let mut uses: BTreeMap<[[u64; 3]; 2], u32> = BTreeMap::new();
            let key = |i: u32| mesh.positions[i as usize].map(f64::to_bits);
            for t in &mesh.indices {
                for k in 0..3 {
                    *uses.entry([key(t[k]), key(t[(k + 1) % 3])]).or_default() += 1;
                }
            }
            for (&[from, to], &count) in &uses {
                assert_ne!(from, to, "edge of no length in {body:?}");
                assert_eq!(count, 1, "edge used twice one way in {body:?}");
                assert_eq!(uses.get(&[to, from]), Some(&1), "open edge in {body:?}");
            }
        }
    }

    /// Divergence theorem: the signed volume is positive for outward triangles. A regular n-gon has area
    /// n/2 r^2 sin(2 pi/n), so the polygon's prism loses at most the ratio of that to the circle.
    #[test]
    fn triangles_face_outward_and_enclose_the_volume() {
        for body in bodies() {
            let mesh = Mesh::of(&body);
            let origin = Point3::from(mesh.positions[0]);
            let volume: f64 = mesh
                .indices
                .iter()
                .map(|t| {
                    let [p, q, r] = corners(&mesh, t).map(|c| c - origin);
                    p.dot(&q.cross(&r)) / 6.0
                })
                .sum();
            let expected = match body {
                Body::Cuboid { .. } => body.volume(),
                Body::Cylinder { radius_in, .. } => {
                    let n = f64::from(sides(radius_in));
                    body.volume() * n / 2.0 * (TAU / n).sin() / PI
                }
            };
            assert!(
                (volume - expected).abs() < 1e-9 * expected.max(1.0),
                "{body:?}: {volume} for {expected}"
            );
        }
    }

    #[test]
    fn normals_are_unit_and_agree_with_their_triangle() {
        for body in bodies() {
            let mesh = Mesh::of(&body);
            assert_eq!(mesh.positions.len(), mesh.normals.len());
            for t in &mesh.indices {
                let [p, q, r] = corners(&mesh, t);
                let face = (q - p).cross(&(r - p)).normalize();
                for &i in t {
                    let normal = Vector3::from(mesh.normals[i as usize]);
                    assert!((normal.norm() - 1.0).abs() < 1e-12);
                    // Half a side of an octagon is 22.5 degrees; no vertex normal leans further from its triangle.
                    assert!(normal.dot(&face) > (PI / 8.0).cos() - 1e-6, "{body:?}");
                }
            }
        }
    }

    /// Distance from the axis along every side of the polygon, sampled, against the circle.
    #[test]
    fn polygons_stay_within_a_thirty_second_of_the_circle() {
        for radius_in in [0.02, 0.5, 0.84375, 2.25, 6.0, 24.0] {
            let mesh =
                Mesh::of(&Body::Cylinder { a: Point3::origin(), b: Point3::new(0.0, 0.0, 5.0), radius_in });
            for t in &mesh.indices {
                let corner = corners(&mesh, t);
                assert!(corner.iter().all(|c| (c.x.hypot(c.y) - radius_in).abs() < 1e-9));
                // Side triangles are flat: their deviation is greatest mid-way between their two generators.
                if corner.iter().any(|c| c.z != corner[0].z) {
                    let ring: Vec<_> = corner.iter().map(|c| (c.x, c.y)).collect();
                    for k in 0..3 {
                        let (p, q) = (ring[k], ring[(k + 1) % 3]);
                        let mid = ((p.0 + q.0) / 2.0).hypot((p.1 + q.1) / 2.0);
                        assert!(
                            mid <= radius_in + 1e-12 && mid >= radius_in - 1.0 / 32.0 - 1e-12,
                            "{mid} {radius_in}"
                        );
                    }
                }
            }
        }
    }
}
