//! What a route costs: a sum of points, one point for one glued joint.
//!
//! Weights are house figures. They say which of two lawful routes a plumber would rather build; no code speaks of them.

use truefall_model::units::Length;

/// What each thing counts, in points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// A glued joint: cut, fitted, clocked, glued.
    pub joint: f64,
    /// A hole, before it is asked how near it is to its limit.
    pub hole: f64,
    /// Added for a hole just at its limit; for others by the square of the share used.
    pub hole_at_limit: f64,
    /// A square inch of wood cut away, seen along the pipe.
    pub wood: f64,
    /// A foot of pipe.
    pub foot: f64,
    /// A steel plate.
    pub plate: f64,
    /// A tee of the stack that is moved.
    pub moved_tee: f64,
    /// A tee cut into the stack anew, its joints apart.
    pub new_tee: f64,
    /// A vent of its own out through the roof: the climb, the flashing.
    pub roof: f64,
    /// An air admittance valve and the panel before it.
    pub valve: f64,
    /// One whole unit of the user's money, where prices were given.
    pub money: f64,
}

/// The weights that are used where nobody says otherwise; `docs/routes.md` tells them.
pub const USUAL: Weights = Weights {
    joint: 1.0,
    hole: 1.5,
    hole_at_limit: 1.5,
    wood: 0.05,
    foot: 0.25,
    plate: 0.5,
    moved_tee: 0.5,
    new_tee: 4.0,
    roof: 6.0,
    valve: 4.0,
    money: 0.25,
};

impl Weights {
    /// A straight length of pipe.
    pub fn pipe(&self, length: Length) -> f64 {
        self.foot * length.to_inches() / 12.0
    }

    /// A hole of which `used` of its limit is taken (1 just at the limit).
    pub fn bore(&self, used: f64, hole: Length, plates: u32) -> f64 {
        let wood = std::f64::consts::FRAC_PI_4 * hole.to_inches() * hole.to_inches();
        self.hole + self.hole_at_limit * used * used + self.wood * wood + self.plate * f64::from(plates)
    }
}
