//! The straight line through the gaps of one plumb string, with its errors and a test of whether they are a line.

use nalgebra::Matrix2;
use thiserror::Error;

use super::{Reading, ReadingPart, chi_square};

/// Heights closer than this are one height: the finest mark of a steel rule, 1/64 in, can't tell them apart.
const DISTINCT_HEIGHTS_IN: f64 = 1.0 / 64.0;

/// A fit is doubted below this chance. The usual one-in-a-hundred of statistics: with honest readings, one pipe in
/// a hundred is doubted for nothing.
pub const DOUBT_BELOW: f64 = 0.01;

/// Two readings explain a bad fit equally well when their shares agree this closely, as a fraction.
const SAME_SHARE: f64 = 1e-6;

/// A part of chi-square below this is the rounding of the arithmetic, not a reading that is off.
const ROUNDING: f64 = 1e-12;

/// A share of a reading's own say below this leaves nothing to judge it by: the line passes through it whatever it is.
const NO_CONTROL: f64 = 1e-9;

/// Why readings make no line. Readings are counted from 1 in the words and from 0 in `index`.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum FitError {
    /// One reading, or none.
    #[error("a lean needs gaps read at two heights or more, {read} given")]
    TooFewReadings {
        /// How many readings there were.
        read: usize,
    },
    /// Every reading is at the same height.
    #[error("a lean needs gaps read at two heights or more, all {read} readings are at {height_in} in")]
    OneHeight {
        /// How many readings there were.
        read: usize,
        /// The height of the first, inches.
        height_in: f64,
    },
    /// A reading error of zero or below. An exact reading does not exist and would outweigh all others.
    #[error("reading {}: the reading error is {error_in} in, it must be above zero", .index + 1)]
    ErrorNotPositive {
        /// Which reading, from 0.
        index: usize,
        /// The error read, inches.
        error_in: f64,
    },
    /// A NaN or an infinity.
    #[error("reading {}: the {part} is {read}, it must be a number of inches", .index + 1)]
    NotFinite {
        /// Which reading, from 0.
        index: usize,
        /// Which of its numbers.
        part: ReadingPart,
        /// What was read.
        read: f64,
    },
    /// Numbers so large or small that the sums overflow.
    #[error("the readings are too large, or their errors too small, to fit a line: use inches")]
    OutOfRange,
}

/// A weighted straight line of gap on height: `gap = intercept + slope * height`.
///
/// Only [`fit`] makes one, so its numbers are finite and belong together.
#[derive(Debug, Clone, PartialEq)]
pub struct LineFit {
    slope: f64,
    intercept_in: f64,
    covariance: Matrix2<f64>,
    chi2: f64,
    degrees_of_freedom: usize,
    p_value: Option<f64>,
    worst_reading: Option<usize>,
}

impl LineFit {
    /// Change of gap per inch of height, in/in. Below zero where the gap shrinks upward.
    pub fn slope(&self) -> f64 {
        self.slope
    }

    /// Gap in inches of the line at height zero, the datum of the heights.
    pub fn intercept_in(&self) -> f64 {
        self.intercept_in
    }

    /// Standard error of the slope, in/in, from the stated reading errors alone.
    pub fn slope_error(&self) -> f64 {
        self.covariance[(0, 0)].sqrt()
    }

    /// Covariance of (slope, intercept): in²/in², then in²/in off the diagonal, then in².
    pub fn covariance(&self) -> &Matrix2<f64> {
        &self.covariance
    }

    /// Sum over the readings of (gap off the line / reading error) squared. No unit.
    pub fn chi2(&self) -> f64 {
        self.chi2
    }

    /// Readings less the two numbers of a line.
    pub fn degrees_of_freedom(&self) -> usize {
        self.degrees_of_freedom
    }

    /// How often honest readings of a straight pipe would be as far off a line as these, 0 to 1.
    ///
    /// None with two readings: a line always goes through two. With a height read twice and only one other, it tests
    /// the readings against each other but says nothing of a bend.
    pub fn p_value(&self) -> Option<f64> {
        self.p_value
    }

    /// Whether the gaps are not a line within their errors (`p < 0.01`): **one reading is off, or the pipe is bent**.
    ///
    /// False with two readings, where [`p_value`](Self::p_value) is None: that is "can't tell", not "straight".
    pub fn fit_doubtful(&self) -> bool {
        self.p_value.is_some_and(|p| p < DOUBT_BELOW)
    }

    /// The reading, from 0, that left out would mend the fit most: the first to read again.
    ///
    /// None where no one reading can be singled out. So it is with three readings: leave out any one, and
    /// the line goes through the other two, so all three are to be read again.
    pub fn worst_reading(&self) -> Option<usize> {
        self.worst_reading
    }
}

/// Fits a straight line of gap on height to the readings of one plumb string, each weighted by 1 / error².
///
/// The order of the readings does not matter, and a height may be read more than once.
///
/// # Errors
///
/// Fewer than two heights (apart by 1/64 in at least), a reading error not above zero, a number that is not finite, or
/// numbers beyond the range of the arithmetic.
pub fn fit(readings: &[Reading]) -> Result<LineFit, FitError> {
    refuse_bad(readings)?;

    // Weights are relative to the finest reading so that they stay near 1; heights are counted from their weighted
    // mean, where slope and gap are independent. Both keep the digits that plain sums of squares lose.
    let finest_in = readings.iter().map(|r| r.error_in).fold(f64::INFINITY, f64::min);
    let weight = |r: &Reading| (finest_in / r.error_in).powi(2);
    let total: f64 = readings.iter().map(weight).sum();
    let mean = |part: fn(&Reading) -> f64| readings.iter().map(|r| weight(r) * part(r)).sum::<f64>() / total;
    let (mean_height_in, mean_gap_in) = (mean(|r| r.height_in), mean(|r| r.gap_in));
    let above = |r: &Reading| r.height_in - mean_height_in;
    let spread: f64 = readings.iter().map(|r| weight(r) * above(r).powi(2)).sum();
    let slope =
        readings.iter().map(|r| weight(r) * above(r) * (r.gap_in - mean_gap_in)).sum::<f64>() / spread;

    let slope_variance = finest_in.powi(2) / spread;
    let crossed = -mean_height_in * slope_variance;
    let intercept_variance = finest_in.powi(2) / total + mean_height_in.powi(2) * slope_variance;

    // Per reading: its part of chi-square, and the share of itself that the line can't follow.
    let parts: Vec<(f64, f64)> = readings
        .iter()
        .map(|r| {
            let off_in = r.gap_in - mean_gap_in - slope * above(r);
            let followed = weight(r) * (1.0 / total + above(r).powi(2) / spread);
            ((off_in / r.error_in).powi(2), 1.0 - followed)
        })
        .collect();
    let chi2 = parts.iter().map(|(part, _)| part).sum();
    let degrees_of_freedom = readings.len() - 2;

    let line = LineFit {
        slope,
        intercept_in: mean_gap_in - slope * mean_height_in,
        covariance: Matrix2::new(slope_variance, crossed, crossed, intercept_variance),
        chi2,
        degrees_of_freedom,
        p_value: (degrees_of_freedom > 0).then(|| chi_square::survival(chi2, degrees_of_freedom)),
        worst_reading: worst(&parts),
    };
    let numbers = [line.slope, line.intercept_in, line.chi2];
    let finite = numbers.iter().chain(&line.covariance).all(|n| n.is_finite());
    // A variance that underflows to nothing would pass for a perfect survey.
    let in_range = finite && slope_variance > 0.0;
    in_range.then_some(line).ok_or(FitError::OutOfRange)
}

/// The gates of [`fit`], in the order one would read a note: each number, then all together.
fn refuse_bad(readings: &[Reading]) -> Result<(), FitError> {
    for (index, reading) in readings.iter().enumerate() {
        if let Some((part, read)) = reading.not_finite() {
            return Err(FitError::NotFinite { index, part, read });
        }
        if reading.error_in <= 0.0 {
            return Err(FitError::ErrorNotPositive { index, error_in: reading.error_in });
        }
    }
    let read = readings.len();
    let [first, _, ..] = readings else {
        return Err(FitError::TooFewReadings { read });
    };
    let heights_in = || readings.iter().map(|r| r.height_in);
    let apart_in =
        heights_in().fold(f64::NEG_INFINITY, f64::max) - heights_in().fold(f64::INFINITY, f64::min);
    if apart_in < DISTINCT_HEIGHTS_IN {
        return Err(FitError::OneHeight { read, height_in: first.height_in });
    }
    Ok(())
}

/// The reading whose leaving-out lowers chi-square most, by `part / share`, unless two would do equally well.
///
/// Plain distance off the line would accuse the middle reading of three for whichever was wrong: a reading at
/// an end pulls the line after itself. Dividing by the share that the line can't follow undoes that.
fn worst(parts: &[(f64, f64)]) -> Option<usize> {
    let drop = |(part, share): &(f64, f64)| if *share < NO_CONTROL { 0.0 } else { part / share };
    let (worst, most) =
        parts.iter().map(drop).enumerate().max_by(|(_, one), (_, other)| one.total_cmp(other))?;
    let rivals = parts.iter().map(drop).filter(|other| *other >= most * (1.0 - SAME_SHARE)).count();
    (most > ROUNDING && rivals == 1).then_some(worst)
}
