//! Whether a straight rigid piece can be brought into the holes it passes: slid in along its own line, from one side or the
//! other.
//!
//! A piece that goes through bored members starts wholly before the first of them or wholly behind the last, so one of the
//! two sides must leave it its whole length, up to the next wood that has no hole on its line. What is left out: swinging a
//! piece in by the play of its hole, bending thin pipe, and wood that is set after the pipe.

use nalgebra::{Point3, Vector3};
use std::collections::BTreeSet;
use truefall_model::framing::member::{Member, MemberId};
use truefall_model::tolerance::{SLACK, TOUCH, at_least};
use truefall_model::units::Length;

/// A straight piece, end to end; job axes, inches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Straight {
    /// One end.
    pub a: Point3<f64>,
    /// The other.
    pub b: Point3<f64>,
    /// Outside diameter.
    pub outside: Length,
}

/// How much room there is in line on one side of the holes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Side {
    /// From the face of the outermost bored member to what stops the piece; none where nothing of the house does.
    pub clear: Option<Length>,
    /// What stops it.
    pub stop: Option<MemberId>,
}

/// The two sides a piece could come in from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Insertion {
    /// Length of the piece.
    pub piece: Length,
    /// The side of its end `a`.
    pub a: Side,
    /// The side of its end `b`.
    pub b: Side,
}

impl Insertion {
    /// Whether one side takes it; exactly as long as the room goes in.
    pub fn fits(&self) -> bool {
        [self.a, self.b].iter().any(|side| side.clear.is_none_or(|clear| at_least(clear, self.piece)))
    }

    /// The longest piece that goes in; none where nothing limits it.
    pub fn longest(&self) -> Option<Length> {
        let (a, b) = (self.a.clear?, self.b.clear?);
        Some(if a.to_inches() > b.to_inches() { a } else { b })
    }
}

/// How a piece gets into the members it is bored through; none where it is bored through none.
///
/// `bored` are its own members, `open` those with a hole on the same line, such as for the next piece, which let it by.
pub fn insertion(
    piece: &Straight,
    members: &[Member],
    bored: &BTreeSet<MemberId>,
    open: &BTreeSet<MemberId>,
) -> Option<Insertion> {
    let along = piece.b - piece.a;
    let way = along.try_normalize(SLACK)?;
    let own = members.iter().filter(|m| bored.contains(&m.id));
    let (first, last) = own
        .filter_map(|m| in_line(m, piece.a, way, 0.0))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (near, far)| (low.min(near), high.max(far)));
    if first > last {
        return None;
    }
    // A touch stops nothing.
    let radius = piece.outside.to_inches() / 2.0 - TOUCH.to_inches();
    let mut sides = [Side { clear: None, stop: None }; 2];
    // Most members are nowhere near the line; that is told by their middles alone.
    let near_line = |m: &&Member| {
        let off = m.pose.translation.vector - piece.a.coords;
        off.cross(&way).norm() <= m.half.norm() + radius + TOUCH.to_inches()
    };
    let others = members.iter().filter(near_line).filter(|m| !bored.contains(&m.id) && !open.contains(&m.id));
    for member in others {
        let Some((near, far)) = in_line(member, piece.a, way, radius) else { continue };
        for (side, gap) in sides.iter_mut().zip([first - far, near - last]) {
            if gap >= -TOUCH.to_inches() && side.clear.is_none_or(|clear| gap < clear.to_inches()) {
                *side = Side { clear: Some(Length::inches(gap.max(0.0))), stop: Some(member.id) };
            }
        }
    }
    Some(Insertion { piece: Length::inches(along.norm()), a: sides[0], b: sides[1] })
}

/// Where a line goes into a member and out of it, in inches from a point along a way; the member is thought larger by `by`
/// on its sides.
pub fn in_line(member: &Member, from: Point3<f64>, way: Vector3<f64>, by: f64) -> Option<(f64, f64)> {
    let start = member.pose.inverse_transform_point(&from);
    let way = member.pose.inverse_transform_vector(&way);
    let (mut near, mut far) = (f64::NEG_INFINITY, f64::INFINITY);
    for i in 0..3 {
        // Where the line meets a face head on the pipe's end stops at it, so that face is not moved out.
        let half = member.half[i] + by * (1.0 - way[i] * way[i]).max(0.0).sqrt();
        if way[i].abs() < SLACK {
            if start[i].abs() > half {
                return None;
            }
            continue;
        }
        let (one, other) = ((-half - start[i]) / way[i], (half - start[i]) / way[i]);
        near = near.max(one.min(other));
        far = far.min(one.max(other));
    }
    (near < far).then_some((near, far))
}

#[cfg(test)]
mod tests {
    use super::*;
    use truefall_model::framing::frame::Framed;
    use truefall_model::job::file::JobFile;

    fn studs() -> Vec<Member> {
        let text = r#"Job(name: "wall", house: House(
            floors: [Floor(name: "first", datum: true)],
            walls: [Wall(name: "wet", floor: "first", from: ("0", "0"), to: ("8' 0", "0"), depth: "5 1/2", bearing: false,
              studs: ["0", "15 1/4", "31 1/4", "47 1/4", "63 1/4"])]))"#;
        let job = JobFile::read("wall", text).expect("it reads").job;
        Framed::of(&job.house).0.members
    }

    fn of(from: f64, to: f64, bored: &[&str], open: &[&str]) -> Insertion {
        let members = studs();
        let named = |names: &[&str]| -> BTreeSet<MemberId> {
            members.iter().filter(|m| names.contains(&m.label.as_str())).map(|m| m.id).collect()
        };
        let at = |x: f64| Point3::new(x, -2.75, 20.0);
        let piece = Straight { a: at(from), b: at(to), outside: Length::inches(1.9) };
        insertion(&piece, &members, &named(bored), &named(open)).expect("it is bored through one")
    }

    // Studs 16 in on centre leave 14-1/2 in between their faces: plain arithmetic on 1-1/2 in studs.
    #[test]
    fn a_bay_takes_a_piece_as_long_as_itself_and_no_longer() {
        let fits = of(25.0, 39.5, &["wet stud 3"], &[]);
        assert!((fits.longest().expect("closed bays").to_inches() - 14.5).abs() < 1e-9, "{fits:?}");
        assert!(fits.fits());
        assert!(!of(25.0, 39.5625, &["wet stud 3"], &[]).fits());
    }

    #[test]
    fn a_hole_in_line_in_the_next_stud_lets_it_by() {
        let through = of(20.0, 44.0, &["wet stud 3"], &["wet stud 4"]);
        assert!((through.longest().expect("closed").to_inches() - 30.5).abs() < 1e-9, "{through:?}");
        assert!(through.fits());
    }
}
