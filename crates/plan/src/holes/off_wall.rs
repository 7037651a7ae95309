//! A point of a floor told off two named walls, as one finds it with a tape.

use nalgebra::Point2;
use truefall_model::framing::frame::Framed;
use truefall_model::framing::member::FloorId;
use truefall_model::framing::space::WallSpace;
use truefall_model::label::Label;
use truefall_model::tolerance::SLACK;
use truefall_model::units::Length;

/// What of a wall is measured from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// Its face on the room's side, out into the room.
    Room,
    /// Its back, away from it.
    Back,
    /// Its face on the room's side, into the wall.
    Into,
    /// Along it from the end it is drawn from; it has no finish to count.
    Along,
    /// Past the nearer of its ends, in its line; it has no finish to count.
    Past,
}

/// One measure off a wall.
#[derive(Debug, Clone, PartialEq)]
pub struct OffWall {
    /// The wall.
    pub wall: Label,
    /// What of it.
    pub face: Face,
    /// From the bare studs.
    pub rough: Length,
    /// From the finished face.
    pub finished: Length,
    /// The point lies past the wall's end: the wall's line has to be carried on to it.
    pub carried_on: bool,
}

/// Two measures that fix a point on a floor: off two walls that are square to each other, else off one and along it. Fewer
/// where the floor has no wall.
pub fn off_walls(framed: &Framed, floor: FloorId, at: Point2<f64>) -> Vec<OffWall> {
    let on = || framed.walls.iter().filter(|w| w.floor == floor);
    let Some(first) = nearest(on(), at) else { return Vec::new() };
    let square = |w: &&WallSpace| w.along.dot(&first.along).abs() < std::f64::consts::FRAC_1_SQRT_2;
    let second = match nearest(on().filter(square), at) {
        Some(second) => off(second, at),
        None => {
            let along = first.measure(at).0;
            let past = past(first, at);
            let (face, off) = if past > SLACK { (Face::Past, past) } else { (Face::Along, along) };
            let off = Length::inches(off);
            OffWall { wall: first.label.clone(), face, rough: off, finished: off, carried_on: past > SLACK }
        }
    };
    vec![off(first, at), second]
}

/// The wall whose framing is nearest; those that the point lies beside before those it lies past the end of.
fn nearest<'a>(walls: impl Iterator<Item = &'a WallSpace>, at: Point2<f64>) -> Option<&'a WallSpace> {
    walls
        .map(|wall| {
            let out = wall.measure(at).1;
            let past = past(wall, at);
            let off = out.max(-out - wall.depth).max(0.0);
            // Past its end a wall is only as near as its end.
            (past, if past > SLACK { past.hypot(off) } else { off }, wall)
        })
        .min_by(|a, b| (a.0 > SLACK).cmp(&(b.0 > SLACK)).then(a.1.total_cmp(&b.1)))
        .map(|(_, _, wall)| wall)
}

/// How far past the nearer end of a wall a point lies; nothing beside it.
fn past(wall: &WallSpace, at: Point2<f64>) -> f64 {
    let along = wall.measure(at).0;
    (-along).max(along - wall.length).max(0.0)
}

/// Whether all of some measures are off walls that the point lies beside, so that a tape reaches it.
pub fn within_reach(measures: &[OffWall]) -> bool {
    measures.len() == 2 && measures.iter().all(|m| !m.carried_on)
}

fn off(wall: &WallSpace, at: Point2<f64>) -> OffWall {
    let (_, out) = wall.measure(at);
    let (face, rough, finish) = if out >= 0.0 {
        (Face::Room, out, -wall.finish_room)
    } else if out >= -wall.depth {
        (Face::Into, -out, wall.finish_room)
    } else {
        (Face::Back, -out - wall.depth, -wall.finish_back)
    };
    let (rough, finished) = (Length::inches(rough), Length::inches(rough + finish));
    OffWall { wall: wall.label.clone(), face, rough, finished, carried_on: past(wall, at) > SLACK }
}
