//! How lengths are written in the packet: as a tape shows them, with millimetres beside them where that is asked for.

use truefall_model::units::{Fineness, Grade, Length};

/// How fine, and whether with millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Say {
    /// How fine lengths are printed.
    pub fineness: Fineness,
    /// Millimetres beside inches.
    pub metric: bool,
}

impl Say {
    /// A length in inches.
    pub fn length(self, inches: f64) -> String {
        let trade = Length::inches(inches).to_trade(self.fineness);
        if self.metric { format!("{trade} ({:.0} mm)", inches * 25.4 + 0.0) } else { trade }
    }

    /// A fall as it stands in a drawing.
    pub fn fall(self, in_per_ft: f64) -> String {
        let trade = format!("{in_per_ft:.3}/ft");
        if self.metric { format!("{trade} ({:.1} mm/m)", in_per_ft / 12.0 * 1000.0) } else { trade }
    }

    /// A grade.
    pub fn grade(self, in_per_ft: f64) -> String {
        let trade = Grade::per_foot(in_per_ft).to_string();
        if self.metric { format!("{trade} ({:.1} mm per m)", in_per_ft / 12.0 * 1000.0) } else { trade }
    }
}
