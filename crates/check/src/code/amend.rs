//! Local amendments: what a county or city has put in the place of a code's figures.

use super::figure::Figure;
use super::profile::Profile;
use crate::source::{Amended, Source};
use truefall_model::document::{Kind, Node, Reader};
use truefall_model::job::accept::Amendment;
use truefall_model::place::JobFault;

impl Profile {
    /// The profile with local amendments laid over it.
    ///
    /// # Errors
    /// Figures the profile does not have, with the nearest key; figures amended twice; values below zero.
    pub fn with_amendments(&self, amendments: &[Amendment]) -> Result<Self, Vec<JobFault>> {
        let mut profile = self.clone();
        let mut faults = Vec::new();
        for (i, amendment) in amendments.iter().enumerate() {
            let key = amendment.figure.as_str();
            let mut fault = |field: &str, message: String, help: Option<String>| {
                faults.push(JobFault { path: format!("local[{i}].{field}"), message, help });
            };
            let Ok(at) = profile.figures.binary_search_by(|f| f.key.as_str().cmp(key)) else {
                let keys: Vec<&str> = self.figures.iter().map(|f| f.key.as_str()).collect();
                fault("figure", format!("{} has no figure `{key}`", self.name), nearest(key, &keys));
                continue;
            };
            if !(amendment.value.is_finite() && amendment.value >= 0.0) {
                fault(
                    "value",
                    format!("read {}, but a number from 0 up is needed here", amendment.value),
                    None,
                );
            } else if profile.figures[at].source.amended().is_some() {
                fault("figure", format!("the figure `{key}` is amended twice"), None);
            } else {
                profile.figures[at].amend(amendment);
            }
        }
        if faults.is_empty() { Ok(profile) } else { Err(faults) }
    }
}

impl Figure {
    fn amend(&mut self, amendment: &Amendment) {
        let told = Some(Amended {
            figure: self.key.clone(),
            was: self.value,
            now: amendment.value,
            unit: self.unit,
            note: amendment.note.clone(),
        });
        self.value = amendment.value;
        match &mut self.source {
            Source::Code { amended, .. } | Source::House { amended, .. } => *amended = told,
        }
    }
}

/// `did you mean …?` with the known name nearest to what was typed.
pub(crate) fn nearest(typed: &str, known: &[&str]) -> Option<String> {
    let mut reader = Reader::default();
    reader.one_of(&Node::new(Kind::Word(typed.to_owned())), known);
    reader.into_faults().pop().and_then(|fault| fault.help)
}

#[cfg(test)]
mod tests {
    use super::*;
    use truefall_model::label::Label;

    fn irc() -> Profile {
        Profile::builtin("irc-2021").expect("it comes with the tool")
    }

    fn amendment(figure: &str, value: f64) -> Amendment {
        Amendment { figure: Label::new(figure), value, note: "county bulletin 7".into() }
    }

    #[test]
    fn an_amended_figure_names_the_amendment() {
        let local = irc().with_amendments(&[amendment("grade-min.3", 0.25)]).expect("known figure");
        let figure = local.figure("grade-min.3");
        assert_eq!(figure.value, 0.25);
        assert_eq!(
            figure.source().to_string(),
            "IRC 2021 P3005.3 (secondary); grade-min.3 amended locally from 0.125 to 0.25 in/ft: county bulletin 7"
        );
        assert_eq!(local.figure("grade-min.4"), irc().figure("grade-min.4"));
    }

    #[test]
    fn all_faults_of_the_amendments_are_told_with_the_nearest_key() {
        let faults = irc()
            .with_amendments(&[
                amendment("trap-arm-lenght.2", 60.0),
                amendment("stud-edge", -1.0),
                amendment("plate-cut", 0.6),
                amendment("plate-cut", 0.7),
            ])
            .expect_err("three faults");
        let paths: Vec<&str> = faults.iter().map(|f| f.path.as_str()).collect();
        assert_eq!(paths, ["local[0].figure", "local[1].value", "local[3].figure"]);
        assert_eq!(faults[0].help.as_deref(), Some("did you mean `trap-arm-length.2`?"));
    }
}
