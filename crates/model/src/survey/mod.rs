//! The survey of a lean: what a plumb string beside a standing pipe says about how far, and which way, it leans.
//!
//! This module is arithmetic only. Which wall a direction belongs to, what was written in the job, and which
//! grades a lean upsets are told elsewhere.
//!
//! # How the readings are taken
//!
//! Hang a plumb string clear of the pipe. At two heights or more, further apart is better, read the level
//! *gap* from the string to the barrel. Then hang it on another side, best square to the first, and read again.
//!
//! - **The barrel, never a hub.** A hub stands out from the barrel and reads as a lean that is not there.
//! - **To the near face, squarely.** The gap is read along one fixed level direction, to a flat (a block, the blade
//!   of a square) held across the barrel, not to whatever skin happens to be opposite the string. A pipe which
//!   leans sideways slides its round away from the string: 0.6 in sideways on a 4-1/2 in barrel hides 0.08 in of
//!   gap. Read to a flat held across it, the gap follows the lean exactly, whatever the pipe does sideways.
//! - **One string per direction, left hanging.** The gaps of one direction are only compared with each other, so
//!   where the string hangs does not matter, but it must not move between its readings.
//!
//! # What comes out
//!
//! Each direction's gaps are fitted with a straight line on height ([`fit`]), each reading weighted by its own
//! error. **A gap that shrinks upward leans toward the string**: the lean along a direction, counted from the
//! barrel to the string, is the slope with its sign turned. Two directions make a [`Lean`].
//!
//! # Units, datum, errors
//!
//! Inches throughout, heights up from any one level datum (only differences of height matter to a lean). A slope is
//! inches of gap per inch of height. Every error is one standard error: of 100 honest readings about 68 lie
//! within it, and it comes from the stated reading errors alone, never from how well the line happened to fit.
//! Reading errors are taken as independent of each other, and heights as exact: on a pipe that leans a
//! quarter inch per foot, a height misread by 1/2 in moves the gap by 1/96 in.

pub mod chi_square;
mod lean;
mod line_fit;
mod plumb_line;
mod reading;

pub use lean::{Lean, LeanAlong, LeanError};
pub use line_fit::{DOUBT_BELOW, FitError, LineFit, fit};
pub use plumb_line::PlumbLine;
pub use reading::{Reading, ReadingPart};
