//! The quantities of the trade, one newtype each, with their ways of being read and printed.
//!
//! A length is kept in inches, since every sixteenth is exact in binary; a grade in inches of fall per foot
//! of level run; an angle in radians; a nominal size as the label it is. Three ways of writing each:
//! `Display` rounds as a tape is read, `exact` loses nothing, and `parse` reads both.

mod angle;
mod fraction;
mod grade;
mod length;
mod nominal_size;
mod reader;

pub use angle::{Angle, AngleError};
pub use grade::{Grade, GradeError};
pub use length::{Fineness, Length, LengthError};
pub use nominal_size::{NominalSize, NominalSizeError};
