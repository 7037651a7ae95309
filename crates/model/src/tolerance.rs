//! The only tolerances of the project, each with its reason and its relation to the others.
//!
//! There are two, far apart on purpose. [`SLACK`] forgives the arithmetic: the last bits of a sum that should
//! have come out at a limit. [`TOUCH`] forgives the work: two parts drawn as touching are not a clash. A code
//! limit gets the first only; what is over by a 1/32 is over. Nothing else in the project compares with a
//! number of its own.

use crate::units::{Angle, Grade, Length};
use std::cmp::Ordering;

/// Slack of a comparison at a limit, in the quantity's own base unit (inches, inches per foot, radians).
///
/// One operation on a length of 100 ft errs by at most 1.2e-13 in (half the last bit of 1200 in `f64`), so 1e-9
/// covers some eight thousand of them all erring one way. It is also seven orders of magnitude below
/// [`TOUCH`], far finer than anyone can cut.
pub const SLACK: f64 = 1e-9;

/// How deep two parts may overlap and still count as touching: 1/64 in, a quarter of the 1/16 in that a
/// tape is read to. For clashes only, never for a code limit.
pub const TOUCH: Length = Length::inches(1.0 / 64.0);

/// A quantity that can be held to a limit.
pub trait Measured: Copy {
    /// The number in the quantity's base unit.
    fn in_base_unit(self) -> f64;
}

impl Measured for Length {
    fn in_base_unit(self) -> f64 {
        self.to_inches()
    }
}

impl Measured for Grade {
    fn in_base_unit(self) -> f64 {
        self.to_per_foot()
    }
}

impl Measured for Angle {
    fn in_base_unit(self) -> f64 {
        self.to_radians()
    }
}

/// Whether `value` reaches `limit`; exactly at it passes. A NaN on either side does not pass.
pub fn at_least<Q: Measured>(value: Q, limit: Q) -> bool {
    value.in_base_unit() >= limit.in_base_unit() - SLACK
}

/// Whether `value` stays within `limit`; exactly at it passes. A NaN on either side does not pass.
pub fn at_most<Q: Measured>(value: Q, limit: Q) -> bool {
    value.in_base_unit() <= limit.in_base_unit() + SLACK
}

/// Whether the two are the same but for the arithmetic. A NaN is near nothing.
pub fn near<Q: Measured>(one: Q, other: Q) -> bool {
    (one.in_base_unit() - other.in_base_unit()).abs() <= SLACK
}

/// The order of two numbers of one unit; alike where only the arithmetic tells them apart. What is chosen by it, such as
/// which of two equally deep parts is named, does not depend on where the house stands.
pub fn order(one: f64, other: f64) -> Ordering {
    if (one - other).abs() <= SLACK { Ordering::Equal } else { one.total_cmp(&other) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exactly_at_a_limit_passes() {
        let limit = Length::inches(0.1 + 0.2);
        let value = Length::inches(0.3);
        assert!(value < limit, "the arithmetic alone would fail it");
        assert!(at_least(value, limit) && at_most(value, limit) && near(value, limit));
        assert!(at_least(Grade::percent(100.0), Grade::per_foot(12.0)));
        assert!(at_most(Angle::degrees(45.0) * 2.0, Angle::degrees(90.0)));
    }

    // A 2-1/8 in hole in a 3-1/2 in stud: 60 percent, the most in a stud that bears no load (IRC
    // R602.6), is 2.1 in, so the hole is 0.025 in over.
    #[test]
    fn a_fortieth_of_an_inch_over_is_over() {
        let limit = Length::inches(3.5) * 0.6;
        assert!(!at_most(Length::inches(2.125), limit));
        assert!(at_most(Length::inches(2.0), limit));
        assert!(!near(Length::inches(2.125), limit));
    }

    #[test]
    fn touching_is_never_allowed_at_a_limit() {
        let limit = Length::inches(2.0);
        assert!(!at_least(limit - TOUCH, limit));
        assert!(!at_most(limit + TOUCH, limit));
        assert!(!at_least(limit - Length::inches(SLACK * 2.0), limit));
    }

    #[test]
    fn nan_passes_nothing() {
        let (nan, one) = (Length::inches(f64::NAN), Length::inches(1.0));
        assert!(!at_least(nan, one) && !at_most(nan, one) && !near(nan, one));
        assert!(!at_least(one, nan) && !at_most(one, nan) && !near(nan, nan));
    }

    #[test]
    fn the_slack_stands_between_arithmetic_and_touch() {
        let last_bit_of_a_hundred_feet = 1200.0_f64.next_up() - 1200.0;
        assert!(last_bit_of_a_hundred_feet * 1000.0 < SLACK);
        assert!(SLACK * 1e6 < TOUCH.to_inches());
    }
}
