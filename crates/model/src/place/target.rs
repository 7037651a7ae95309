//! Aiming: what angle a joint is set to, and how a fitting is rolled, so that the next leg gets its grade or reaches
//! its waypoint.

use super::orient::plan_turn;
use nalgebra::{Rotation3, Unit, Vector2, Vector3};

/// Legs steeper than this out of level have no grade to aim at: a riser, or an offset by true bends.
pub const STEEPEST_GRADED_RAD: f64 = 0.349;

/// How far a fitting is rolled from its stated clock to give the next leg its grade.
const ROLL_RAD: f64 = 0.105;

/// A leg's direction after its joint was set.
#[derive(Debug, Clone, Copy)]
pub struct Aimed {
    /// Unit vector away from the base.
    pub axis: Vector3<f64>,
    /// The angle the joint was set to in the upright plane; positive raises the far end.
    pub set_rad: f64,
    /// The angle the target grade needs.
    pub wanted_rad: f64,
}

/// Sets a joint, within its seat, first for grade, then with what is left for the heading on the plan.
pub fn aim(
    axis: Vector3<f64>,
    grade_per_in: Option<f64>,
    heading: Option<Vector2<f64>>,
    seat_rad: f64,
) -> Aimed {
    let elevation = axis.z.clamp(-1.0, 1.0).asin();
    let level = Vector2::new(axis.x, axis.y);
    if elevation.abs() > STEEPEST_GRADED_RAD {
        return Aimed { axis, set_rad: 0.0, wanted_rad: 0.0 };
    }
    let wanted = grade_per_in.map_or(0.0, |g| g.atan() - elevation);
    let set = wanted.clamp(-seat_rad, seat_rad);
    let turn = heading.map_or(0.0, |h| plan_turn(level, h));
    let room = (seat_rad * seat_rad - set * set).max(0.0).sqrt();
    let turned = turn.clamp(-room, room);
    let across = Unit::new_normalize(Vector3::new(axis.y, -axis.x, 0.0));
    let raised = Rotation3::from_axis_angle(&across, set) * axis;
    let axis = Rotation3::from_axis_angle(&Vector3::z_axis(), turned) * raised;
    Aimed { axis, set_rad: set, wanted_rad: wanted }
}

/// Steeper than this a branch's leg is meant to be a riser.
const RISER_SINE: f64 = 0.996;

/// Sets a joint so that a riser stands plumb, as far as its seat takes it. An offset by bends off a graded line comes
/// out of plumb by the grade; a plumber plumbs the riser before the glue takes.
pub fn aim_plumb(axis: Vector3<f64>, seat_rad: f64) -> Aimed {
    let off = axis.angle(&Vector3::z());
    let still = Aimed { axis, set_rad: 0.0, wanted_rad: 0.0 };
    if axis.z < RISER_SINE || off < 1e-12 {
        return still;
    }
    let across = Unit::new_normalize(axis.cross(&Vector3::z()));
    let set = off.min(seat_rad);
    // What is left of the lean is the truth of the parts, not a target missed.
    Aimed { axis: Rotation3::from_axis_angle(&across, set) * axis, set_rad: set, wanted_rad: set }
}

/// The clock near `stated` at which `leaves(clock)` rises by the grade; `stated` itself where no roll within reach
/// gives it and the seat of the next joint has to.
pub fn roll_to_grade(stated_rad: f64, grade_per_in: f64, leaves: impl Fn(f64) -> Vector3<f64>) -> f64 {
    let wanted = grade_per_in.atan();
    let off = |clock: f64| leaves(clock).z.clamp(-1.0, 1.0).asin() - wanted;
    if off(stated_rad).abs() > STEEPEST_GRADED_RAD {
        return stated_rad;
    }
    let (mut low, mut high) = (stated_rad - ROLL_RAD, stated_rad + ROLL_RAD);
    let (at_low, at_high) = (off(low), off(high));
    if at_low * at_high > 0.0 {
        return stated_rad;
    }
    // Bisection: the elevation is monotone over so small a roll, and 60 halvings reach the last bit.
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if off(middle) * at_low > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Two clocks whose legs head as near to what is asked as this head alike.
const SAME_HEADING_RAD: f64 = 1e-6;

/// The clock at which `leaves(clock)` heads as asked on the plan; the nearest where none does.
///
/// On a riser the clock turns the heading itself. On a level joint it turns the leg over the top, and only the clock
/// that lies nearest the level heading is meant; the grade then rolls it.
pub fn clock_to_heading(
    joint: Vector3<f64>,
    heading: Vector2<f64>,
    leaves: impl Fn(f64) -> Vector3<f64>,
) -> f64 {
    let wanted = Vector3::new(heading.x, heading.y, 0.0).normalize();
    let apart = |clock: f64| 1.0 - leaves(clock).dot(&wanted);
    let steps = 144_i32;
    let step = std::f64::consts::TAU / f64::from(steps);
    let at = |i: i32| f64::from(i) * step;
    if joint.z.abs() <= super::orient::VERTICAL_SINE {
        let best = (0..steps).map(at).min_by(|a, b| apart(*a).total_cmp(&apart(*b))).unwrap_or(0.0);
        return golden(best - step, best + step, apart);
    }
    let turn = |clock: f64| {
        let way = leaves(clock).xy();
        // Straight up it heads nowhere.
        if way.norm() < 1e-9 { std::f64::consts::PI } else { plan_turn(way, heading).abs() }
    };
    // A riser out of plumb may head as asked at two clocks, or nowhere near where it points nearest the level heading:
    // every dip is followed down, and of those that head alike the leg nearer to level is meant.
    let dips = (0..steps)
        .filter(|i| turn(at(*i)) <= turn(at(i - 1)) && turn(at(*i)) <= turn(at(i + 1)))
        .map(|i| golden(at(i - 1), at(i + 1), turn));
    let better = |a: f64, b: f64| {
        let by = turn(b) - turn(a);
        if by.abs() > SAME_HEADING_RAD { by < 0.0 } else { apart(b) < apart(a) - SAME_HEADING_RAD }
    };
    dips.reduce(|a, b| if better(a, b) { b } else { a }).unwrap_or(0.0)
}

/// The least of a function with one dip between `low` and `high`.
pub fn golden(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let ratio = 0.5 * (5.0_f64.sqrt() - 1.0);
    let (mut a, mut b) = (high - ratio * (high - low), low + ratio * (high - low));
    let (mut fa, mut fb) = (f(a), f(b));
    for _ in 0..80 {
        if fa < fb {
            (high, b, fb) = (b, a, fa);
            a = high - ratio * (high - low);
            fa = f(a);
        } else {
            (low, a, fa) = (a, b, fb);
            b = low + ratio * (high - low);
            fb = f(b);
        }
    }
    0.5 * (low + high)
}
