//! What is wrong with a house as it was written.

use crate::label::Label;

/// A fault of the house's description; what it concerns is left out of the frame or trimmed, the rest stands.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, thiserror::Error)]
#[error("{path}: {message}{}", help.as_ref().map(|h| format!("; {h}")).unwrap_or_default())]
pub struct FrameTrouble {
    /// The way to the field from the job, such as `house.walls[2].studs[3]`.
    pub path: String,
    /// What is wrong: what was read and what is allowed.
    pub message: String,
    /// What to write instead.
    pub help: Option<String>,
}

impl FrameTrouble {
    /// A trouble without a cure to name.
    pub(super) fn new(path: impl Into<String>, message: impl Into<String>) -> Self {
        Self { path: path.into(), message: message.into(), help: None }
    }

    /// The same with what to write instead.
    pub(super) fn helped(self, help: Option<String>) -> Self {
        Self { help, ..self }
    }
}

/// A name that stands for nothing, with the nearest that does.
pub(super) fn unknown<'k>(
    path: impl Into<String>,
    what: &str,
    name: &Label,
    known: impl Iterator<Item = &'k Label>,
) -> FrameTrouble {
    let known: Vec<&str> = known.map(Label::as_str).collect();
    let distance = |k: &str| strsim::damerau_levenshtein(&name.as_str().to_lowercase(), &k.to_lowercase());
    let nearest = known.iter().filter(|k| distance(k) <= 1 + k.len() / 3).min_by_key(|k| distance(k));
    let allowed =
        if known.is_empty() { "none are given".to_owned() } else { format!("known: {}", known.join(", ")) };
    FrameTrouble::new(path, format!("there is no {what} `{name}`; {allowed}"))
        .helped(nearest.map(|n| format!("did you mean `{n}`?")))
}
