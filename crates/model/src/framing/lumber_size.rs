//! True sizes of sawn lumber by nominal size, for members the user only names. The catalog has the full table.

use crate::units::Length;

/// True thickness and depth of a nominal size such as `2x8`; `None` where it is no size of the standard.
///
/// Dry dressed sizes of the American Softwood Lumber Standard, PS 20 (boards, dimension and timbers; from memory).
/// Old houses hold larger wood: there the measured size goes before this one.
pub fn true_size(nominal: &str) -> Option<(Length, Length)> {
    let plain = nominal.to_lowercase().replace(' ', "").replace(['×', '*'], "x");
    let (thick, wide) = plain.split_once('x')?;
    let (thick, wide) = (thick.parse().ok()?, wide.parse().ok()?);
    if !(1..=6).contains(&thick) || wide < thick {
        return None;
    }
    Some((dressed(thick)?, dressed_width(wide, thick)?))
}

/// Dressed thickness of a nominal one.
fn dressed(nominal: u32) -> Option<Length> {
    match nominal {
        1 => Some(Length::inches(0.75)),
        2..=6 => Some(Length::inches(f64::from(nominal) - 0.5)),
        _ => None,
    }
}

/// Dressed width of a nominal one: from 8 in up dimension lumber loses 3/4 in, timbers 1/2 in.
fn dressed_width(nominal: u32, thick: u32) -> Option<Length> {
    let off = match nominal {
        2..=6 => 0.5,
        8 | 10 | 12 | 14 | 16 if thick >= 5 => 0.5,
        8 | 10 | 12 | 14 | 16 => 0.75,
        _ => return None,
    };
    Some(Length::inches(f64::from(nominal) - off))
}
