//! The sheet of paper a drawing is printed on: upright or lying, whichever leaves its texts large enough to read.

use super::drawn::Drawn;
use super::sheet::TEXT;

/// No text of a drawing is printed smaller, points (1/72 in): about what a ruler's figures are. House figure.
pub const LEAST: f64 = 7.0;
/// Room for a drawing, width and height in mm: the lesser of A4 (210 x 297) and Letter (215.9 x 279.4) less margins of 13 mm,
/// and in height less the heads of the page and the caption. The style of the page has the same heights.
const UPRIGHT: (f64, f64) = (184.0, 205.0);
const LYING: (f64, f64) = (253.0, 142.0);
/// Points to the millimetre.
const POINTS: f64 = 72.0 / 25.4;
/// Each try draws the house this much smaller; texts stay as they are.
const SMALLER: f64 = 0.93;
const TRIES: usize = 16;

/// How the sheet lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// Its short side below.
    Upright,
    /// Its long side below.
    Lying,
}

impl Paper {
    /// Size of the texts of a drawing on it, points, on A4 and on Letter at the least; a drawing is made to fit and no larger
    /// than on a screen, where its unit is a px (0.75 pt).
    pub fn text(self, (wide, tall): (f64, f64)) -> f64 {
        let (width, height) = match self {
            Self::Upright => UPRIGHT,
            Self::Lying => LYING,
        };
        TEXT * (POINTS * (width / wide).min(height / tall)).min(0.75)
    }

    /// The sheet for a drawing of a width and height: upright where that will do.
    pub fn of(size: (f64, f64)) -> Self {
        let upright = Self::Upright.text(size);
        if upright >= LEAST || upright >= Self::Lying.text(size) { Self::Upright } else { Self::Lying }
    }
}

/// Draws at a scale, and at ever smaller ones until the texts can be read on a sheet; where they never can, as well as can be.
pub fn fitted(scale: f64, draw: impl Fn(f64) -> Option<Drawn>) -> Option<Drawn> {
    let text = |drawn: &Drawn| Paper::of(drawn.size()).text(drawn.size());
    let mut best = draw(scale)?;
    let mut scale = scale;
    for _ in 0..TRIES {
        if text(&best) >= LEAST {
            break;
        }
        scale *= SMALLER;
        best = draw(scale).filter(|made| text(made) > text(&best)).unwrap_or(best);
    }
    Some(best)
}

#[cfg(test)]
mod tests {
    use super::*;

    // 253 mm are 717 pt, 184 mm are 522 pt (25.4 mm and 72 pt to the inch): 12 units of 1000 wide are 8.6 and 6.3 pt.
    #[test]
    fn what_is_wide_lies() {
        assert!((Paper::Lying.text((1000.0, 400.0)) - 8.606).abs() < 0.01);
        assert!((Paper::Upright.text((1000.0, 400.0)) - 6.259).abs() < 0.01);
        assert_eq!(Paper::of((1000.0, 400.0)), Paper::Lying);
        assert_eq!(Paper::of((700.0, 400.0)), Paper::Upright);
        assert_eq!(Paper::of((1000.0, 1000.0)), Paper::Upright);
    }
}
