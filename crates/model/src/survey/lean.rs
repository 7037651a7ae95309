//! The lean of a standing pipe: how far it moves sideways as it rises, which way, and how well that is known.

use nalgebra::{Matrix2, UnitVector2, UnitVector3, Vector2, Vector3};
use thiserror::Error;

use super::PlumbLine;

const INCHES_PER_FOOT: f64 = 12.0;

/// Strings nearer to parallel than this say next to nothing across themselves: at 10 degrees the error across is
/// already six times that along. A limit of our own.
const LEAST_APART_DEGREES: f64 = 10.0;

/// The most a standing pipe leans, inches per inch: a vertical pipe is one within 45 degrees of vertical. Source: the
/// definitions of the IPC and the UPC, chapter 2. Status: secondary.
const MOST_PER_INCH: f64 = 1.0;

/// Why two plumb strings give no lean.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum LeanError {
    /// The strings hang on the same side, or on opposite sides, of the pipe.
    #[error(
        "the two directions are {degrees_apart:.1} degrees from parallel, they must be at least \
         {LEAST_APART_DEGREES} degrees: hang the second string on a side square to the first"
    )]
    Parallel {
        /// The angle between the two, taken as lines, 0 to 90 degrees.
        degrees_apart: f64,
    },
    /// Gaps that change as fast as no standing pipe leans, as when they were read in another unit.
    #[error(
        "the pipe leans {in_per_ft:.2} in per ft, a standing pipe leans less than 12 (45 degrees): check the units"
    )]
    NotStanding {
        /// The lean read, in/ft.
        in_per_ft: f64,
    },
    /// A direction that is not a unit vector, as a zero vector made into one.
    #[error("direction {} is ({x}, {y}), it must point from the barrel to the string", .index + 1)]
    NoDirection {
        /// Which of the two, from 0.
        index: usize,
        /// What was read.
        x: f64,
        /// What was read.
        y: f64,
    },
}

/// The lean along one level heading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeanAlong {
    /// Inches sideways per foot of height, above zero where the top leans toward the heading.
    pub in_per_ft: f64,
    /// Its standard error, in/ft.
    pub error_in_per_ft: f64,
}

/// How far a pipe moves sideways per inch of height going up, in job axes, with the error of the survey.
///
/// The pipe is straight and stands within 45 degrees of plumb. The covariance is symmetric to rounding.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lean {
    toward_x: f64,
    toward_y: f64,
    covariance: Matrix2<f64>,
}

impl Lean {
    /// Truly plumb, without error: how a new stack is drawn.
    pub const PLUMB: Self =
        Self { toward_x: 0.0, toward_y: 0.0, covariance: Matrix2::new(0.0, 0.0, 0.0, 0.0) };

    /// The lean that two plumb strings agree on. They need not be square to each other, nor to the job axes.
    ///
    /// # Errors
    ///
    /// Directions within 10 degrees of parallel, or of opposite; a direction that is none; a lean of 45 degrees or more.
    pub fn from_plumb_lines(lines: [&PlumbLine; 2]) -> Result<Self, LeanError> {
        let [one, other] = lines.map(|line| line.barrel_to_string);
        for (index, way) in [one, other].into_iter().enumerate() {
            // `Unit` can be built unchecked, and a zero vector normalised is NaN.
            let is_unit = (way.norm() - 1.0).abs() < 1e-6;
            if !is_unit {
                return Err(LeanError::NoDirection { index, x: way.x, y: way.y });
            }
        }
        let crossed = one.perp(&other);
        let degrees_apart = crossed.abs().atan2(one.dot(&other).abs()).to_degrees();
        if degrees_apart < LEAST_APART_DEGREES {
            return Err(LeanError::Parallel { degrees_apart });
        }

        // What each string saw is the lean's component along it: [one; other] * lean = seen. Turned round by
        // Cramer's rule.
        let lean_from_seen = Matrix2::new(other.y, -one.y, -other.x, one.x) / crossed;
        let lean = lean_from_seen * Vector2::from(lines.map(PlumbLine::toward_string));
        if lean.norm() >= MOST_PER_INCH {
            return Err(LeanError::NotStanding { in_per_ft: lean.norm() * INCHES_PER_FOOT });
        }
        let seen_variance = Vector2::from(lines.map(|line| line.fit.slope_error().powi(2)));
        let covariance = lean_from_seen * Matrix2::from_diagonal(&seen_variance) * lean_from_seen.transpose();
        Ok(Self { toward_x: lean.x, toward_y: lean.y, covariance })
    }

    /// Inches toward the job's +x per inch of height.
    pub fn toward_x(&self) -> f64 {
        self.toward_x
    }

    /// Inches toward the job's +y per inch of height.
    pub fn toward_y(&self) -> f64 {
        self.toward_y
    }

    /// Covariance of (toward x, toward y), (in/in)².
    pub fn covariance(&self) -> &Matrix2<f64> {
        &self.covariance
    }

    /// How far it leans, whichever way: inches sideways per foot of height, never below zero.
    pub fn lean_in_per_ft(&self) -> f64 {
        self.per_inch().norm() * INCHES_PER_FOOT
    }

    /// Standard error of [`lean_in_per_ft`](Self::lean_in_per_ft), in/ft: the error along the lean's own heading.
    ///
    /// To first order, so it holds for a lean of several times its error. A smaller lean is not told from plumb and its
    /// size comes out too large more often than too small; [`along`](Self::along), which has no such bias, is then the
    /// thing to judge a leg by. Plumb has no heading; its error is that along the heading known worst.
    pub fn lean_error_in_per_ft(&self) -> f64 {
        match self.heading() {
            Some(heading) => self.along(heading).error_in_per_ft,
            None => {
                let worst = self.covariance.symmetric_eigenvalues().max();
                worst.max(0.0).sqrt() * INCHES_PER_FOOT
            }
        }
    }

    /// The level heading the top leans toward, in job axes. None where it does not lean.
    pub fn heading(&self) -> Option<UnitVector2<f64>> {
        UnitVector2::try_new(self.per_inch(), 0.0)
    }

    /// The lean along a level heading, such as a leg's outward one, with its standard error.
    ///
    /// A branch that heads there loses this much of its drawn grade.
    pub fn along(&self, heading: UnitVector2<f64>) -> LeanAlong {
        let variance = heading.dot(&(self.covariance * *heading));
        LeanAlong {
            in_per_ft: self.per_inch().dot(&heading) * INCHES_PER_FOOT,
            // Rounding may leave a hair below zero where one heading is known far better than the other.
            error_in_per_ft: variance.max(0.0).sqrt() * INCHES_PER_FOOT,
        }
    }

    /// The upward axis of the leaning pipe, in job axes (z up).
    pub fn axis(&self) -> UnitVector3<f64> {
        UnitVector3::new_normalize(Vector3::new(self.toward_x, self.toward_y, 1.0))
    }

    fn per_inch(&self) -> Vector2<f64> {
        Vector2::new(self.toward_x, self.toward_y)
    }
}
