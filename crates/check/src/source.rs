//! Where a limit comes from, as it is printed beside a finding.

pub use truefall_model::catalog::figure::Status;

/// Where a limit comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum Source {
    /// A figure of a published code.
    Code {
        /// The code, such as `IRC`.
        code: String,
        /// Its edition, such as `2021`.
        edition: String,
        /// The section or table, such as `P3005.3`.
        section: String,
        /// How far the figure can be trusted.
        status: Status,
        /// What is worth knowing about it, in our own words; may be empty.
        note: String,
        /// The local amendment that replaced the code's value, where there is one.
        amended: Option<Amended>,
    },
    /// A rule or figure of our own.
    House {
        /// Policy, common practice, derived or measured.
        status: Status,
        /// Why we hold to it.
        reason: String,
        /// The local amendment that replaced our value, where there is one.
        amended: Option<Amended>,
    },
}

/// A figure changed by local amendment, told in every finding that uses it.
#[derive(Debug, Clone, PartialEq)]
pub struct Amended {
    /// The figure's key.
    pub figure: String,
    /// The value it had in the profile.
    pub was: f64,
    /// The value it has in this job.
    pub now: f64,
    /// The unit of both.
    pub unit: &'static str,
    /// Which amendment, who said so.
    pub note: String,
}

impl Source {
    /// A rule of our own and why we hold to it.
    pub fn house(reason: &str) -> Self {
        Self::House { status: Status::Policy, reason: reason.to_owned(), amended: None }
    }

    /// How far it can be trusted.
    pub fn status(&self) -> Status {
        match self {
            Self::Code { status, .. } | Self::House { status, .. } => *status,
        }
    }

    /// The local amendment, where there is one.
    pub fn amended(&self) -> Option<&Amended> {
        match self {
            Self::Code { amended, .. } | Self::House { amended, .. } => amended.as_ref(),
        }
    }
}

impl std::fmt::Display for Source {
    /// Such as `IRC 2021 P3005.3 (secondary)`; what rests on memory asks to be looked up.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Code { code, edition, section, status, .. } => {
                write!(f, "{code} {edition} {section} ({status}")?;
                if *status == Status::Memory {
                    f.write_str(": confirm in your code book")?;
                }
                f.write_str(")")?;
            }
            Self::House { status, reason, .. } => write!(f, "our own rule ({status}): {reason}")?,
        }
        match self.amended() {
            Some(amended) => write!(f, "; {amended}"),
            None => Ok(()),
        }
    }
}

impl std::fmt::Display for Amended {
    /// Such as `grade-min.2 amended locally from 0.25 to 0.125 in/ft: county bulletin 7`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { figure, was, now, unit, note } = self;
        write!(f, "{figure} amended locally from {was} to {now} {unit}: {note}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn slope(status: Status) -> Source {
        Source::Code {
            code: "IRC".into(),
            edition: "2021".into(),
            section: "P3005.3".into(),
            status,
            note: String::new(),
            amended: None,
        }
    }

    #[test]
    fn prints_section_and_status() {
        assert_eq!(slope(Status::Secondary).to_string(), "IRC 2021 P3005.3 (secondary)");
    }

    #[test]
    fn a_figure_from_memory_asks_to_be_looked_up() {
        assert_eq!(slope(Status::Memory).to_string(), "IRC 2021 P3005.3 (memory: confirm in your code book)");
    }

    #[test]
    fn an_amendment_is_named() {
        let Source::Code { code, edition, section, status, note, .. } = slope(Status::Secondary) else {
            panic!("a code's figure");
        };
        let amended = Some(Amended {
            figure: "grade-min.3".into(),
            was: 0.125,
            now: 0.25,
            unit: "in/ft",
            note: "county bulletin 7".into(),
        });
        let source = Source::Code { code, edition, section, status, note, amended };
        assert_eq!(
            source.to_string(),
            "IRC 2021 P3005.3 (secondary); grade-min.3 amended locally from 0.125 to 0.25 in/ft: county bulletin 7"
        );
    }
}
