//! Local amendments of a code's figures, and practices the local official accepts.

use crate::label::Label;

record! {
    /// A figure of the code profile changed by a local amendment; every finding that uses it names it.
    pub struct Amendment {
        /// The figure's key in the profile, such as `trap-arm-length.2`.
        figure: Label,
        /// The local value, in the unit of the figure.
        value: f64,
        /// Which amendment, who said so.
        note: String,
    }

    /// A practice the local official accepts: a finding it covers becomes an `ask` that names it.
    pub struct Acceptance {
        /// The rule it covers.
        rule: Label,
        /// Only findings with one of these labels; none means every finding of the rule.
        labels: Vec<Label>,
        /// What is accepted.
        what: String,
        /// Who said so.
        who: String,
        /// When, as the user writes a day.
        when: String,
    }
}
