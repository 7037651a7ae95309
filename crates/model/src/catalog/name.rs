//! Names of fittings: sizes joined by `x`, then the family's words.
//!
//! People write `3x3x2 sanitary tee`, `3 x 3 x 2 Sanitary Tee`, `3 in 1/4 bend` or `3" 1/4 bend`; all become one
//! [`FittingName`]. Tees and wyes print all their sizes; what has the same size all round prints it once.

use super::family::{Family, OTHER_WORDS};
use crate::units::NominalSize;

/// A fitting's name: its family, and its sizes in the order run, run, branch.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct FittingName {
    family: Family,
    sizes: Vec<NominalSize>,
}

/// A name that no fitting of the catalog has.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("no fitting is called \"{read}\"{}", help(near))]
pub struct UnknownName {
    /// The name as it stood.
    pub read: String,
    /// The nearest names that are known, nearest first.
    pub near: Vec<String>,
}

fn help(near: &[String]) -> String {
    if near.is_empty() {
        return "; write its sizes and what it is, such as \"3x3x2 sanitary tee\"".to_owned();
    }
    format!("; did you mean {}?", near.join(", "))
}

impl FittingName {
    /// Reads a name; nothing if it has no known family or no known sizes.
    pub fn parse(text: &str) -> Option<Self> {
        let text = plain(text);
        let words = Family::ALL.iter().map(|f| (f.word(), *f)).chain(OTHER_WORDS.iter().copied());
        // A longer family may end in the words of a shorter one; what is then left over is no size.
        words.into_iter().find_map(|(word, family)| {
            let sizes = text.strip_suffix(&plain(word))?.strip_suffix(' ')?;
            Self::of(family, &sizes_of(sizes)?)
        })
    }

    /// The name of a family with these sizes; nothing if there are none or too many.
    ///
    /// One size is all of them, two of a tee are run and branch.
    pub fn of(family: Family, sizes: &[NominalSize]) -> Option<Self> {
        let full = family.sizes();
        let mut sizes = sizes.to_vec();
        let last = *sizes.last()?;
        let first = *sizes.first()?;
        if sizes.iter().all(|s| *s == first) && full <= 2 {
            sizes.truncate(1);
        } else if sizes.len() < full && full > 2 {
            // Run and branch are said; the other run is the first, the other branch is the last.
            sizes = match sizes.len() {
                1 => vec![first; full],
                2 => [vec![first; 2], vec![last; full - 2]].concat(),
                _ => [sizes, vec![last; 1]].concat(),
            };
        }
        (sizes.len() <= full).then_some(Self { family, sizes })
    }

    /// What it is.
    pub fn family(&self) -> Family {
        self.family
    }

    /// Its sizes: run (the large end), run (the other end), branches; or its one size.
    pub fn sizes(&self) -> &[NominalSize] {
        &self.sizes
    }

    /// The size at a place of the full name; the last one said goes for those not said.
    pub fn size(&self, at: usize) -> NominalSize {
        self.sizes[at.min(self.sizes.len() - 1)]
    }
}

impl std::fmt::Display for FittingName {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let sizes: Vec<String> = self.sizes.iter().map(ToString::to_string).collect();
        f.pad(&format!("{} {}", sizes.join("x"), self.family.word()))
    }
}

/// Lower case, one blank between words, no marks of inches, hyphens as blanks.
fn plain(text: &str) -> String {
    let text = text
        .to_lowercase()
        .replace(['-', '_'], " ")
        .replace('\u{d7}', "x")
        .replace(['"', '\u{2033}'], " in ");
    let words: Vec<&str> = text.split_whitespace().filter(|w| !matches!(*w, "in" | "in." | "inch")).collect();
    words.join(" ")
}

fn sizes_of(text: &str) -> Option<Vec<NominalSize>> {
    text.split('x').map(|size| NominalSize::parse(size).ok()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, expect: &str) {
        let name = FittingName::parse(text).map(|n| n.to_string());
        assert_eq!(name.as_deref(), Some(expect), "{text}");
    }

    // Ways of writing a fitting that the trade uses; sizes in the order run, run, branch (Navy drafting course, 5-17).
    #[test]
    fn the_usual_ways_of_writing_become_one() {
        check("3x3x2 sanitary tee", "3x3x2 sanitary tee");
        check("3 x 3 x 2 Sanitary Tee", "3x3x2 sanitary tee");
        check("3\u{d7}3\u{d7}1 1/2 san tee", "3x3x1-1/2 sanitary tee");
        check("3 sanitary tee", "3x3x3 sanitary tee");
        check("3x2 sanitary tee", "3x3x2 sanitary tee");
        check("3x3x2 double sanitary tee", "3x3x2x2 double sanitary tee");
        check("3 in 1/4 bend", "3 1/4 bend");
        check("3\" 1/4 bend", "3 1/4 bend");
        check("3 1/4 bend", "3 1/4 bend");
        check("1-1/2 1/8 bend", "1-1/2 1/8 bend");
        check("1 1/2 1/8 bend", "1-1/2 1/8 bend");
        check("2 street 1/8 bend", "2 street 1/8 bend");
        check("2 in. long turn quarter bend", "2 long-turn 1/4 bend");
        check("4x3 closet bend", "4x3 closet bend");
        check("3x2 bushing", "3x2 bushing");
        check("2 P-Trap", "2 p-trap");
        check("2x2 coupling", "2 coupling");
    }

    #[test]
    fn what_names_no_fitting_is_refused() {
        for text in
            ["sanitary tee", "3x3x2", "7 1/4 bend", "3x3x2x2 sanitary tee", "3xx2 wye", "", "3 elbowish"]
        {
            assert_eq!(FittingName::parse(text), None, "{text}");
        }
    }

    #[test]
    fn every_family_is_read_back_from_its_own_words() {
        for family in Family::ALL {
            let name = FittingName::of(*family, &[NominalSize::TWO]).unwrap();
            assert_eq!(FittingName::parse(&name.to_string()), Some(name));
        }
        for (words, family) in OTHER_WORDS {
            assert_eq!(FittingName::parse(&format!("3 {words}")).unwrap().family(), *family, "{words}");
        }
    }
}
