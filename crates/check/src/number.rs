//! Numbers as they stand in a sum and in words: to a thousandth, without a minus before nothing; lengths so that two that
//! differ also read so.

use truefall_model::units::Length;

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

/// A length and its limit as the trade prints them, or to a thousandth where that would print them alike.
pub fn against(length: Length, limit: Length) -> [String; 2] {
    let trade = [length.to_string(), limit.to_string()];
    if trade[0] == trade[1] {
        [length, limit].map(|l| format!("{} in", thousandths(l.to_inches())))
    } else {
        trade
    }
}

/// How far to move a thing, rounded up to the next sixteenth so that it is enough.
pub fn enough(by: Length) -> Length {
    // Arithmetic alone does not cost a sixteenth.
    Length::inches((by.to_inches() * 16.0 - 1e-6).ceil() / 16.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_that_differ_read_so() {
        let inches = Length::inches;
        assert_eq!(against(inches(97.0), inches(96.0)), ["8' 1\"", "8' 0\""]);
        assert_eq!(against(inches(96.003), inches(96.0)), ["96.003 in", "96.000 in"]);
    }

    #[test]
    fn a_move_is_never_rounded_to_less_than_is_needed() {
        let enough = |by: f64| enough(Length::inches(by)).to_inches();
        assert_eq!(
            [enough(0.003), enough(0.0625), enough(0.0626), enough(0.125)],
            [0.0625, 0.0625, 0.125, 0.125]
        );
    }

    #[test]
    fn nothing_has_no_sign() {
        assert_eq!(thousandths(-1e-9), "0.000");
        assert_eq!(thousandths(-0.2034), "-0.203");
        assert_eq!(taken_off(-0.2034), " + 0.203");
        assert_eq!(taken_off(0.1824), " - 0.182");
    }
}
