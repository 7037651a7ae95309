//! How wide text is. Drawings give each text its width (`textLength`), so that what was measured here is what is seen,
//! whatever face a phone has.

/// Advance widths of the printable ASCII characters, blank to tilde, in thousandths of the size: those published for
/// Helvetica in the font metrics of the PostScript standard faces (AFM, Core 14); Arial and Liberation Sans are made to
/// the same widths.
const WIDTHS: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556,
    556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278,
    500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469,
    556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, 556, 556, 333, 500,
    278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];

/// Width of any other character: as wide as the size, so that nothing is taken for narrower than it is.
const OTHER: u16 = 1000;

/// Width of a text at a size, both in units of the drawing.
pub fn width(text: &str, size: f64) -> f64 {
    let thousandths: u32 = text
        .chars()
        .map(|c| {
            let place = (c as usize).checked_sub(' ' as usize);
            u32::from(place.and_then(|p| WIDTHS.get(p).copied()).unwrap_or(OTHER))
        })
        .sum();
    f64::from(thousandths) / 1000.0 * size
}

#[cfg(test)]
mod tests {
    use super::*;

    // Adobe Core 14 AFM, Helvetica: H 722, e 556, l 222, v 500, t 278, i 222, c 500, a 556.
    #[test]
    fn widths_are_the_published_ones() {
        assert!(
            (width("Helvetica", 1.0) - (722 + 556 + 222 + 500 + 556 + 278 + 222 + 500 + 556) as f64 / 1000.0)
                .abs()
                < 1e-12
        );
        assert!((width("\u{2713}", 10.0) - 10.0).abs() < 1e-12);
    }
}
