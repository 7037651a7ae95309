//! Numbers as they stand in a sum: to a thousandth, without a minus before nothing.

/// To three places; what rounds to nothing has no sign.
pub fn thousandths(number: f64) -> String {
    let text = format!("{number:.3}");
    if text == "-0.000" { "0.000".to_owned() } else { text }
}

/// ` - 0.203`, or ` + 0.203` for what is taken off being less than nothing.
pub fn taken_off(number: f64) -> String {
    let sign = if number < 0.0 { '+' } else { '-' };
    format!(" {sign} {}", thousandths(number.abs()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_has_no_sign() {
        assert_eq!(thousandths(-1e-9), "0.000");
        assert_eq!(thousandths(-0.2034), "-0.203");
        assert_eq!(taken_off(-0.2034), " + 0.203");
        assert_eq!(taken_off(0.1824), " - 0.182");
    }
}
