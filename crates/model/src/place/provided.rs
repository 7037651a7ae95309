//! Provided items name members, parts and runs; a name that nothing bears would leave a need unmet without a word.

use super::build::Builder;
use crate::framing::provided::Provided;
use crate::label::Label;

impl Builder<'_> {
    /// Notes every provided item whose member, part or run does not exist.
    pub(super) fn provided_names(&mut self) {
        let job = self.job;
        let members: Vec<Label> = self.framed.members.iter().map(|m| m.label.clone()).collect();
        let parts: Vec<Label> = self
            .parts
            .iter()
            .map(|p| p.label.clone())
            .chain(self.runs.iter().map(|r| r.label.clone()))
            .collect();
        for (i, item) in job.provided.iter().enumerate() {
            let (member, part) = match item {
                Provided::Plate { member, .. } | Provided::Strap { member, .. } => (Some(member), None),
                Provided::Hole { of, member, .. } => (member.as_ref(), Some(of)),
                Provided::Hanger { on, .. } => (None, Some(on)),
                _ => (None, None),
            };
            if let Some(member) = member.filter(|m| !members.contains(m)) {
                // A house has hundreds of members: the nearest names are enough.
                let near: Vec<&Label> =
                    members.iter().filter(|m| shares_a_word(m, member)).take(12).collect();
                self.unknown(&format!("provided[{i}].member"), "member", member, near.into_iter());
            }
            if let Some(part) = part.filter(|p| !parts.contains(p)) {
                let path = format!(
                    "provided[{i}].{}",
                    if matches!(item, Provided::Hole { .. }) { "of" } else { "on" }
                );
                self.unknown(&path, "fitting, piece, stack or branch", part, parts.iter());
            }
        }
    }
}

fn shares_a_word(a: &Label, b: &Label) -> bool {
    let words =
        |l: &Label| l.as_str().to_lowercase().split_whitespace().map(str::to_owned).collect::<Vec<_>>();
    let b = words(b);
    words(a).first().is_some_and(|w| b.contains(w))
}
