//! A box in any position as the queries need it.

use super::cap::Disc;
use super::convex_set::ConvexSet;
use nalgebra::{Isometry3, Matrix3, Point3, Vector2, Vector3};

/// A solid box in job axes, inches, made ready for many queries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OrientedBox {
    center: Point3<f64>,
    job_from_box: Matrix3<f64>,
    half: Vector3<f64>,
}

impl OrientedBox {
    /// From the pose of the box's own axes, centred on it, and its half extents. `None` unless all is finite and the
    /// half extents are above zero.
    pub fn new(pose: &Isometry3<f64>, half: Vector3<f64>) -> Option<Self> {
        let sound = half.iter().all(|h| h.is_finite() && *h > 0.0)
            && pose.translation.vector.iter().chain(pose.rotation.coords.iter()).all(|x| x.is_finite());
        sound.then(|| Self {
            center: pose.translation.vector.into(),
            job_from_box: pose.rotation.to_rotation_matrix().into_inner(),
            half,
        })
    }

    pub(super) fn center(&self) -> Point3<f64> {
        self.center
    }

    pub(super) fn job_from_box(&self) -> &Matrix3<f64> {
        &self.job_from_box
    }

    pub(super) fn extents(&self) -> Extents {
        Extents { half: self.half }
    }

    /// A point of the box's own frame, in job axes.
    pub(super) fn in_job(&self, local: &Vector3<f64>) -> Point3<f64> {
        self.center + self.job_from_box * local
    }
}

/// A box in its own frame, centred on the origin.
#[derive(Clone, Copy)]
pub(super) struct Extents {
    pub(super) half: Vector3<f64>,
}

impl Extents {
    /// The eight corners.
    pub(super) fn corners(&self) -> impl Iterator<Item = Vector3<f64>> + use<> {
        let half = self.half;
        (0..8).map(move |i| {
            let sign = |bit: u32| if i >> bit & 1 == 0 { -1.0 } else { 1.0 };
            Vector3::new(sign(0) * half.x, sign(1) * half.y, sign(2) * half.z)
        })
    }
}

impl ConvexSet for Extents {
    fn nearest(&self, x: &Vector3<f64>) -> Vector3<f64> {
        x.zip_map(&self.half, |x, h| x.clamp(-h, h))
    }

    fn extent(&self, n: &Vector3<f64>) -> f64 {
        self.half.dot(&n.abs())
    }

    /// The squared distance is convex and piecewise quadratic, its slope monotone and piecewise linear with a break
    /// wherever the segment crosses a face plane. The six breaks narrow the bracket to one linear piece.
    fn nearest_on_segment(&self, p: &Vector3<f64>, d: &Vector3<f64>) -> f64 {
        let slope = |t: f64| {
            let mut sum = 0.0;
            for i in 0..3 {
                let x = p[i] + t * d[i];
                sum += d[i] * (x - x.clamp(-self.half[i], self.half[i]));
            }
            sum
        };
        let (mut low, mut high) = (0.0, 1.0);
        let mut at_low = slope(low);
        if at_low >= 0.0 {
            return 0.0;
        }
        let mut at_high = slope(high);
        if at_high <= 0.0 {
            return 1.0;
        }
        for i in 0..3 {
            let inverse = 1.0 / d[i];
            for face in [-self.half[i], self.half[i]] {
                let t = (face - p[i]) * inverse;
                // False for a break outside the bracket and for the NaN of a segment parallel to the face.
                if t > low && t < high {
                    let at_t = slope(t);
                    if at_t < 0.0 {
                        (low, at_low) = (t, at_t);
                    } else if at_t > 0.0 {
                        (high, at_high) = (t, at_t);
                    } else {
                        return t;
                    }
                }
            }
        }
        low + (high - low) * at_low / (at_low - at_high)
    }

    /// One Newton step: as long as the nearest box point stays on the same corner, edge or face, the squared distance
    /// is one quadratic, and its least value over the disc is found exactly.
    fn disc_step(&self, disc: &Disc, y: &Vector2<f64>, x: &Vector3<f64>, w: &Vector3<f64>) -> Vector2<f64> {
        // A whisker of damping picks one answer where a face leaves a direction free: the one nearest to y.
        const DAMPING: f64 = 1e-9;
        let [first, second] = &disc.across;
        let (mut a, mut b, mut c) = (DAMPING, 0.0, DAMPING);
        let mut g = Vector2::zeros();
        for i in 0..3 {
            let apart = x[i] - w[i];
            if apart != 0.0 {
                let (e, f) = (first[i], second[i]);
                a += e * e;
                b += e * f;
                c += f * f;
                g += Vector2::new(e, f) * apart;
            }
        }
        let pull = Vector2::new(a * y.x + b * y.y, b * y.x + c * y.y) - g;
        least_over_disc(a, b, c, &pull, disc.radius)
    }
}

/// The `z` with |z| <= radius that makes `z'Mz/2 - pull.z` least, for the positive definite M = [a b; b c].
fn least_over_disc(a: f64, b: f64, c: f64, pull: &Vector2<f64>, radius: f64) -> Vector2<f64> {
    let half_difference = (a - c) / 2.0;
    let spread = half_difference.hypot(b);
    let large = f64::midpoint(a, c) + spread;
    // The product of the eigenvalues over the larger one keeps the digits of the smaller.
    let small = ((a * c - b * b) / large).max(f64::MIN_POSITIVE);
    let axis = if spread <= 1e-300 {
        Vector2::x()
    } else if half_difference >= 0.0 {
        Vector2::new(spread + half_difference, b).normalize()
    } else {
        Vector2::new(b, spread - half_difference).normalize()
    };
    let across = Vector2::new(-axis.y, axis.x);
    let pulls = Vector2::new(pull.dot(&axis), pull.dot(&across));
    let mut lambda = (pulls.norm() / radius - large).max(0.0);
    let mut z = Vector2::zeros();
    // Newton on 1/|z| - 1/radius, which is nearly linear in lambda and approached from one side.
    for _ in 0..30 {
        z = Vector2::new(pulls.x / (large + lambda), pulls.y / (small + lambda));
        let norm = z.norm();
        if norm <= radius * (1.0 + 1e-15) {
            break;
        }
        let slope = (z.x * z.x / (large + lambda) + z.y * z.y / (small + lambda)) / (norm * norm);
        let next = lambda + (norm / radius - 1.0) / slope;
        if next <= lambda {
            break;
        }
        lambda = next;
    }
    let norm = z.norm();
    if norm > radius {
        z *= radius / norm;
    }
    axis * z.x + across * z.y
}
