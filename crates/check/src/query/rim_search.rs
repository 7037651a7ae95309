//! The one family of overlap directions without a closed form: square to a straight edge, against a pipe's rim.
//!
//! Seen along the edge, the pipe is a straight stretch with an ellipse at each end, the other solid a rectangle or a
//! disc. The overlap along a direction n of that plane is V.n + sqrt(a^2 n1^2 + b^2 n2^2), with V fixed as long as n
//! crosses no axis of the rectangle or the ellipse. It is stationary where the ellipse's normal passes through -V.
//! Within a quadrant that equation has at most two roots, and where it may have two, the place between them is known,
//! so each root is bracketed before it is sought and none is missed.

use super::deepest::Deepest;
use super::pipe::Cylinder;
use nalgebra::{Vector2, Vector3};

/// What a straight edge of the other solid looks like along itself.
pub(super) struct EdgeView {
    /// Unit vector along the edge.
    pub(super) edge: Vector3<f64>,
    /// The two half extents of a rectangle square to the edge, as vectors; `None` for a disc.
    pub(super) rectangle: Option<[Vector3<f64>; 2]>,
    /// Radius of the disc; 0 for a rectangle.
    pub(super) disc: f64,
}

/// Tries every stationary direction square to the edge against the rims of `pipe`, whose centre lies `offset` from the
/// other solid's.
pub(super) fn search<F: Fn(&Vector3<f64>) -> f64>(
    view: &EdgeView,
    pipe: &Cylinder,
    offset: &Vector3<f64>,
    deepest: &mut Deepest<F>,
) {
    let across = view.edge.cross(&pipe.axis);
    let sine = across.norm();
    if sine < 1e-12 {
        // Seen along itself a pipe is a disc, and the corners of the other solid answer for it.
        return;
    }
    let frame = [across / sine, across.cross(&view.edge) / sine];
    let flat = |v: &Vector3<f64>| Vector2::new(v.dot(&frame[0]), v.dot(&frame[1]));
    // A rim seen edge on is a line. Its ends can be the first contact with a disc: a hair of width keeps the equation's
    // sign there. With a rectangle they make a corner, and no overlap is least at a corner.
    let narrowest = if view.disc > 0.0 { 1e-12 } else { 0.0 };
    let plane = Plane {
        stretch: pipe.half_length * sine,
        long: pipe.radius,
        short: pipe.radius * pipe.axis.dot(&view.edge).abs().max(narrowest),
        offset: flat(offset),
        disc: view.disc,
        sides: view.rectangle.as_ref().map_or([Vector2::zeros(); 2], |r| [flat(&r[0]), flat(&r[1])]),
    };
    for (sx, sy) in [(1.0, 1.0), (-1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)] {
        let sign = Vector2::new(sx, sy);
        // The rectangle's axis inside this quadrant, if any, cuts it in two.
        let cut = plane
            .sides
            .iter()
            .flat_map(|side| [*side, -side])
            .map(|side| side.component_mul(&sign))
            .find(|side| side.x > 0.0 && side.y > 0.0)
            .map(|side| side.normalize());
        let mut visit = |n: Vector2<f64>, deepest: &mut Deepest<F>| {
            deepest.consider(frame[0] * (n.x * sx) + frame[1] * (n.y * sy));
        };
        let mut from = Vector2::x();
        for to in cut.into_iter().chain([Vector2::y()]) {
            plane.arc(&sign, from, to, deepest, &mut visit);
            from = to;
        }
    }
}

/// The plane square to the edge, its first axis along the ellipse's long one.
struct Plane {
    stretch: f64,
    long: f64,
    short: f64,
    offset: Vector2<f64>,
    disc: f64,
    sides: [Vector2<f64>; 2],
}

impl Plane {
    /// Finds the stationary directions from `from` to `to`, both given in the first quadrant and turned into the real
    /// one by `sign`.
    fn arc<F: Fn(&Vector3<f64>) -> f64>(
        &self,
        sign: &Vector2<f64>,
        from: Vector2<f64>,
        to: Vector2<f64>,
        deepest: &mut Deepest<F>,
        visit: &mut impl FnMut(Vector2<f64>, &mut Deepest<F>),
    ) {
        let middle = (from + to).component_mul(sign);
        let mut corner = Vector2::new(0.0, self.stretch.copysign(middle.y)) - self.offset;
        for side in &self.sides {
            corner += side * side.dot(&middle).signum();
        }
        // Mirrored into the first quadrant, the point that the ellipse's normal must pass through.
        let y = -corner.component_mul(sign);
        let ellipse = |n: &Vector2<f64>| (self.long * n.x).hypot(self.short * n.y);
        let turn = |p: &Vector2<f64>, q: &Vector2<f64>| p.x * q.y - p.y * q.x;

        let straight = if turn(&from, &y) > 0.0 && turn(&y, &to) > 0.0 {
            -y.norm()
        } else {
            (-y.dot(&from)).min(-y.dot(&to))
        };
        if straight + ellipse(&from).min(ellipse(&to)) + self.disc >= deepest.depth {
            return;
        }

        let (a2, b2) = (self.long * self.long, self.short * self.short);
        let equation = |n: &Vector2<f64>| (a2 - b2) * n.x * n.y - (y.x * n.y - y.y * n.x) * ellipse(n);
        if y.x > 0.0 && y.y < 0.0 {
            // Two roots or none, on either side of where a y1 / cos + b |y2| / sin is least.
            let tangent = (self.short * -y.y / (self.long * y.x)).cbrt();
            let between = Vector2::new(self.short, self.long * tangent).normalize();
            if turn(&from, &between) > 0.0 && turn(&between, &to) > 0.0 && equation(&between) > 0.0 {
                for (p, q) in [(from, between), (between, to)] {
                    if let Some(n) = root(equation, p, q) {
                        visit(n, deepest);
                    }
                }
                return;
            }
        }
        if let Some(n) = root(equation, from, to) {
            visit(n, deepest);
        }
    }
}

/// The direction between `from` and `to` where `equation` changes sign, if its ends differ in sign.
fn root(
    equation: impl Fn(&Vector2<f64>) -> f64,
    from: Vector2<f64>,
    to: Vector2<f64>,
) -> Option<Vector2<f64>> {
    let (mut p, mut q) = (from, to);
    let (mut at_p, mut at_q) = (equation(&p), equation(&q));
    if at_p * at_q >= 0.0 {
        return None;
    }
    let mut n = p;
    for i in 0..120 {
        // Secant steps close in fast; every third step halves the angle so that none stalls.
        let blend = if i % 3 == 2 { p + q } else { p * at_q.abs() + q * at_p.abs() };
        n = blend.normalize();
        let at_n = equation(&n);
        // An end that stays is given half its weight (the Illinois rule), so that it too moves up to the root.
        if at_n == 0.0 {
            break;
        } else if (at_n > 0.0) == (at_p > 0.0) {
            (p, at_p, at_q) = (n, at_n, at_q / 2.0);
        } else {
            (q, at_q, at_p) = (n, at_n, at_p / 2.0);
        }
        // The overlap is stationary here: an angle off by 1e-9 changes it by 1e-18 of the size.
        if (p - q).norm() < 1e-9 {
            break;
        }
    }
    Some(n)
}
