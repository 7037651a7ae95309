//! Numbers of a finding in their units: as the trade writes them, and to the thousandth where the mark on a tape would
//! hide the difference.

use super::page::Page;
use truefall_check::Limit;
use truefall_model::tolerance::SLACK;
use truefall_model::units::{Angle, Grade, Length};

impl Page {
    /// A number with its unit.
    pub fn measure(&self, value: f64, unit: &str) -> String {
        match unit {
            "in" => self.inches(value),
            "in/ft" => Grade::per_foot(value).to_string(),
            "deg" => Angle::degrees(value).to_string(),
            "share" => format!("{}%", decimals(value * 100.0, 1)),
            "diameters" => format!("{} diameters", decimals(value, 2)),
            "count" | "" => decimals(value, 3),
            other => format!("{} {other}", decimals(value, 3)),
        }
    }

    /// A measured number with its standard error: both in decimals, so that a reading looks like one.
    pub fn with_error(&self, value: f64, error: f64, unit: &str) -> String {
        match unit {
            "in/ft" => format!("{value:.3} ± {error:.3} in per ft"),
            "deg" => format!("{value:.2}° ± {error:.2}°"),
            _ => format!("{} ± {}", self.measure(value, unit), self.measure(error, unit)),
        }
    }

    /// What a value is held to.
    pub fn limit(&self, limit: Limit, unit: &str) -> String {
        match limit {
            Limit::AtLeast(least) => format!("at least {}", self.measure(least, unit)),
            Limit::AtMost(most) => format!("at most {}", self.measure(most, unit)),
            Limit::Between(least, most) => {
                format!("from {} to {}", self.measure(least, unit), self.measure(most, unit))
            }
        }
    }

    /// A margin in words.
    pub fn margin(&self, margin: f64, limit: Limit, unit: &str) -> String {
        let size = self.measure(margin.abs(), unit);
        match limit {
            _ if margin >= -SLACK => format!("inside by {size}"),
            Limit::AtLeast(_) => format!("short by {size}"),
            Limit::AtMost(_) => format!("over by {size}"),
            Limit::Between(..) => format!("outside by {size}"),
        }
    }

    fn inches(&self, value: f64) -> String {
        let trade = self.length(value);
        let printed = Length::parse(&trade).map_or(f64::NAN, Length::to_inches);
        if (printed - value).abs() <= SLACK { trade } else { format!("{trade} ({} in)", decimals(value, 3)) }
    }
}

/// A number to so many decimals, without noughts at its end.
pub fn decimals(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::super::page::Look;
    use super::super::style::Style;
    use super::*;
    use truefall_model::units::Fineness;

    fn page(fineness: Fineness) -> Page {
        Page::new(Look { style: Style::Plain, fineness })
    }

    // 60 percent of 3-1/2 is 2.1, and a 2-1/8 hole is over it by 0.025: sixteenths alone would print both alike.
    #[test]
    fn a_tape_does_not_hide_what_is_over() {
        let page = page(Fineness::Sixteenth);
        assert_eq!(page.measure(2.125, "in"), "2 1/8\"");
        assert_eq!(page.limit(Limit::AtMost(2.1), "in"), "at most 2 1/8\" (2.1 in)");
        assert_eq!(page.margin(2.1 - 2.125, Limit::AtMost(2.1), "in"), "over by 0\" (0.025 in)");
        assert_eq!(super::super::page::WIDTH, 100);
    }

    #[test]
    fn every_unit_is_written_out() {
        let page = page(Fineness::Eighth);
        assert_eq!(page.measure(0.25, "in/ft"), "1/4 in per ft");
        assert_eq!(page.measure(1.19, "deg"), "1.2°");
        assert_eq!(page.measure(0.4, "share"), "40%");
        assert_eq!(page.measure(2.0, "diameters"), "2 diameters");
        assert_eq!(page.measure(3.0, "count"), "3");
        assert_eq!(page.measure(0.0625, "in"), "1/8\" (0.062 in)");
        assert_eq!(page.margin(0.05, Limit::AtLeast(0.25), "in/ft"), "inside by 0.050 in per ft");
        assert_eq!(page.margin(-0.125, Limit::AtLeast(0.25), "in/ft"), "short by 1/8 in per ft");
    }
}
