//! Any two bodies: picks the query that fits the pair.

use super::{OrientedBox, Pipe, Separation, box_box, box_pipe, convex, pipe_pipe};
use truefall_model::solid::Body;

/// A body made ready for many queries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Solid {
    body: Body,
    shape: Shape,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Shape {
    Box(OrientedBox),
    Pipe(Pipe),
}

/// A body that takes up no sound space and so can't be measured.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("a body needs finite coordinates and sizes above zero")]
pub struct BadBody;

impl Solid {
    /// Refuses a body with a size that is not above zero, or anything not finite.
    pub fn new(body: &Body) -> Result<Self, BadBody> {
        let shape = match *body {
            Body::Cuboid { pose, half } => OrientedBox::new(&pose, half).map(Shape::Box),
            Body::Cylinder { a, b, radius_in } => Pipe::new(a, b, radius_in).map(Shape::Pipe),
        };
        shape.map(|shape| Self { body: *body, shape }).ok_or(BadBody)
    }

    /// The body it was made from.
    pub fn body(&self) -> &Body {
        &self.body
    }

    /// Whether the two come within `clearance_in` of each other. Touching counts (between two boxes rounding decides);
    /// nothing is within a negative clearance.
    pub fn within(&self, other: &Self, clearance_in: f64) -> bool {
        match (&self.shape, &other.shape) {
            (Shape::Box(joist), Shape::Pipe(pipe)) | (Shape::Pipe(pipe), Shape::Box(joist)) => {
                box_pipe::verdict(joist, pipe, clearance_in)
            }
            (Shape::Pipe(first), Shape::Pipe(second)) => pipe_pipe::verdict(first, second, clearance_in),
            (Shape::Box(_), Shape::Box(_)) => convex::verdict(&self.body, &other.body, clearance_in)
                .expect("both bodies were found sound when they were made ready"),
        }
    }

    /// The signed distance with its two points; `self` is the first.
    pub fn separation(&self, other: &Self) -> Separation {
        match (&self.shape, &other.shape) {
            (Shape::Box(joist), Shape::Pipe(pipe)) => box_pipe::signed_distance(joist, pipe),
            (Shape::Pipe(pipe), Shape::Box(joist)) => box_pipe::signed_distance(joist, pipe).swapped(),
            (Shape::Pipe(first), Shape::Pipe(second)) => pipe_pipe::signed_distance(first, second),
            (Shape::Box(first), Shape::Box(second)) => box_box::signed_distance(first, second),
        }
    }
}
