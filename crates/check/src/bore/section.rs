//! What a hole leaves of a member's section: sound wood on both sides, a notch, or nothing.

use truefall_model::tolerance::SLACK;
use truefall_model::units::Length;

/// One of the two faces that bound a member's depth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// The face that depth is counted from: a joist's bottom, the back of a stud or plate.
    Low,
    /// The face opposite: a joist's top, the room's side of a stud or plate.
    High,
}

/// What a hole makes of a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// Wood is left on both sides of it; a hole that just reaches a face has none left there, and is still a hole.
    Hole,
    /// It breaks through one face, so that a notch is cut from there.
    Notch {
        /// The open side.
        from: Side,
        /// From the open face to the bottom of the notch.
        depth: Length,
        /// Along the member, at the open face or where it is widest below it.
        length: Length,
    },
    /// It breaks through both faces: nothing is left.
    Severed,
}

/// A round hole in the section of a member, where it takes most.
///
/// It is a notch when its edge lies beyond a face: no bit leaves a skin of less than no wood, so the side is open. Depth
/// is the member's true depth, never its name.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// True depth of the member.
    pub member_depth: Length,
    /// How much of the depth the hole takes: its diameter, and more than that where it is drilled aslant.
    pub width: Length,
    /// Wood left between hole and low face; negative by how far it breaks through.
    pub low: Length,
    /// Wood left between hole and high face; negative by how far it breaks through.
    pub high: Length,
    /// Hole, notch or severed.
    pub shape: Shape,
}

impl Cut {
    /// Of a hole of a width whose centre is so far from the low face. `wander` is how far the hole's axis moves across
    /// the depth on its way from mid-thickness to either face; zero for a hole drilled square.
    pub fn of(member_depth: Length, width: Length, from_low: Length, wander: Length) -> Self {
        let reach = width / 2.0 + wander.abs();
        let (low, high) = (from_low - reach, member_depth - from_low - reach);
        let open = |left: Length| left.to_inches() < -SLACK;
        let notch = |from: Side, left: Length, off_centre: Length| Shape::Notch {
            from,
            depth: member_depth - left,
            length: notch_length(width, off_centre),
        };
        let shape = match (open(low), open(high)) {
            (false, false) => Shape::Hole,
            (true, false) => notch(Side::Low, high, from_low),
            (false, true) => notch(Side::High, low, member_depth - from_low),
            (true, true) => Shape::Severed,
        };
        Self { member_depth, width, low, high, shape }
    }

    /// Wood left on the side where less is left.
    pub fn least(&self) -> Length {
        self.low.min(self.high)
    }

    /// How much of the depth is cut away: all of it where the member is severed.
    pub fn taken(&self) -> Length {
        match self.shape {
            Shape::Hole => self.width,
            Shape::Notch { depth, .. } => depth,
            Shape::Severed => self.member_depth,
        }
    }
}

/// Length of a notch that a hole of a width makes, its centre so far inside the open face (negative: outside it).
fn notch_length(width: Length, inside: Length) -> Length {
    if inside >= Length::ZERO {
        return width;
    }
    let (radius, off) = (width.to_inches() / 2.0, inside.to_inches());
    Length::inches(2.0 * (radius * radius - off * off).max(0.0).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(depth: f64, hole: f64, from_low: f64) -> Cut {
        let inches = Length::inches;
        Cut::of(inches(depth), inches(hole), inches(from_low), Length::ZERO)
    }

    fn near(got: Length, want: f64) {
        assert!((got.to_inches() - want).abs() < 1e-9, "got {got:?}, want {want}");
    }

    // Plain subtraction on true lumber sizes (PS 20): 3-1/2 less 2, halved, is 3/4 each side.
    #[test]
    fn a_centred_hole_leaves_the_same_on_both_sides() {
        let c = cut(3.5, 2.0, 1.75);
        near(c.low, 0.75);
        near(c.high, 0.75);
        assert_eq!(c.shape, Shape::Hole);
        near(c.taken(), 2.0);
    }

    #[test]
    fn a_hole_that_just_reaches_the_face_is_a_hole_without_edge() {
        let c = cut(3.5, 2.0, 1.0);
        assert_eq!(c.shape, Shape::Hole);
        near(c.least(), 0.0);
    }

    #[test]
    fn an_edge_beyond_a_face_is_a_notch_from_there() {
        let Shape::Notch { from, depth, length } = cut(5.5, 2.0, 0.5).shape else {
            panic!("open at the low face")
        };
        assert_eq!(from, Side::Low);
        near(depth, 1.5);
        near(length, 2.0);
        let Shape::Notch { from, depth, length } = cut(5.5, 2.0, 6.1).shape else {
            panic!("open at the high face")
        };
        assert_eq!(from, Side::High);
        near(depth, 0.4);
        // Chord of a circle of radius 1 at 0.6 from its centre: 2 x 0.8 (the 3-4-5 triangle).
        near(length, 1.6);
    }

    // A 3-5/8 hole, the usual one for 3 in pipe, is wider than a 2x4 plate (3-1/2, PS 20).
    #[test]
    fn a_hole_wider_than_the_member_severs_it() {
        let c = cut(3.5, 3.625, 1.75);
        assert_eq!(c.shape, Shape::Severed);
        near(c.taken(), 3.5);
    }

    #[test]
    fn a_slanting_hole_leaves_less() {
        let inches = Length::inches;
        let c = Cut::of(inches(7.25), inches(2.0), inches(3.625), inches(0.25));
        near(c.least(), 2.375);
        near(c.width, 2.0);
    }
}
