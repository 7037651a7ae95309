//! Whole numbers and fractions as a tape shows them: `14 3/4`, `3/16`, `2`.

/// The finest mark on a tape that this crate writes as a fraction.
const FINEST: u64 = 64;

/// Above this a fraction would be silly and whole numbers of 64ths come near the end of `f64`.
const LARGEST: f64 = (1_u64 << 40) as f64;

/// `whole` and `parts / of` in lowest terms: `14 3/4`, `3/4`, `14` or `0`.
pub(super) fn mixed(whole: u64, parts: u64, of: u64) -> String {
    let (mut parts, mut of) = (parts, of);
    while parts != 0 && parts.is_multiple_of(2) && of.is_multiple_of(2) {
        parts /= 2;
        of /= 2;
    }
    match (whole, parts) {
        (whole, 0) => format!("{whole}"),
        (0, parts) => format!("{parts}/{of}"),
        (whole, parts) => format!("{whole} {parts}/{of}"),
    }
}

/// `number` as a signed mixed fraction when it is exactly a multiple of 1/64, nothing otherwise.
pub(super) fn of_sixty_fourths(number: f64) -> Option<String> {
    let parts = number.abs() * FINEST as f64;
    if !(number.abs() < LARGEST && parts.fract() == 0.0) {
        return None;
    }
    let parts = parts as u64;
    // The sign bit, not `< 0`, so that minus zero reads back as itself.
    let sign = if number.is_sign_negative() { "-" } else { "" };
    Some(format!("{sign}{}", mixed(parts / FINEST, parts % FINEST, FINEST)))
}

/// `number` so that it reads back to the same bits: a fraction where one is exact, else the shortest decimal.
pub(super) fn or_decimal(number: f64) -> String {
    of_sixty_fourths(number).unwrap_or_else(|| format!("{number}"))
}
