//! A rule: one thing an inspector or the pipe itself would hold against the job, told in one file.

use crate::code::{Figure, Profile};
use crate::ctx::Ctx;
use crate::finding::Finding;
use crate::source::Source;

/// What a rule is about; the folder its file is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Family {
    /// How drains fall and stacks stand.
    Grade,
    /// Fittings, pieces and joints.
    Fittings,
    /// Traps and their arms.
    Traps,
    /// Wood that is cut or in the way.
    Wood,
    /// Room for pipes between themselves and towards fixtures.
    Room,
}

impl Family {
    /// All of them, in the order of `docs/rules.md`.
    pub const ALL: [Self; 5] = [Self::Grade, Self::Fittings, Self::Traps, Self::Wood, Self::Room];

    /// The folder.
    pub fn folder(self) -> &'static str {
        match self {
            Self::Grade => "grade",
            Self::Fittings => "fittings",
            Self::Traps => "traps",
            Self::Wood => "wood",
            Self::Room => "room",
        }
    }
}

/// On whose word a rule stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// A code's: the sections are those of its figures.
    Code,
    /// Our own, and why.
    House(&'static str),
}

/// One rule.
#[derive(Debug)]
pub struct Rule {
    /// Named after the fault; it reads well after "allow …".
    pub id: &'static str,
    /// What it is about.
    pub family: Family,
    /// One line.
    pub summary: &'static str,
    /// On whose word.
    pub basis: Basis,
    /// Keys of the figures it reads; `grade-min` stands for all of `grade-min.…`.
    pub figures: &'static [&'static str],
    /// Keys of the figures it reads where the code has them: every profile may lack them, one at least has them.
    pub finds: &'static [&'static str],
    /// Looks at one placement.
    pub check: fn(&Ctx<'_>, &mut Vec<Finding>),
    /// Its page, from its doc comment.
    pub doc: &'static str,
    /// The file it stands in.
    pub file: &'static str,
}

impl Rule {
    /// The source of what a rule of our own finds without a figure of the profile; a rule of the code takes its sources
    /// from its figures.
    pub fn source(&self) -> Source {
        Source::house(match self.basis {
            Basis::Code => self.summary,
            Basis::House(reason) => reason,
        })
    }

    /// The figures of a profile that it reads, in the profile's order.
    pub fn figures_of<'p>(&self, profile: &'p Profile) -> Vec<&'p Figure> {
        let reads = |key: &str| {
            self.figures
                .iter()
                .chain(self.finds)
                .any(|f| key == *f || key.strip_prefix(f).is_some_and(|rest| rest.starts_with('.')))
        };
        profile.figures().iter().filter(|f| reads(&f.key)).collect()
    }
}

/// Declares the file's rule as `RULE`; its doc comment is its page, with the headings *What it checks*, *Why*, *Source*,
/// *Limits* and *Example*, each written `# …`.
macro_rules! rule {
    (
        $(#[doc = $doc:literal])*
        $id:literal, $family:ident, $basis:ident $(($reason:literal))?,
        $summary:literal,
        figures: [$($key:literal),* $(,)?],
        finds: [$($some:literal),* $(,)?],
        $check:path $(,)?
    ) => {
        $(#[doc = $doc])*
        pub const RULE: $crate::rule::Rule = $crate::rule::Rule {
            id: $id,
            family: $crate::rule::Family::$family,
            summary: $summary,
            basis: $crate::rule::Basis::$basis $(($reason))?,
            figures: &[$($key),*],
            finds: &[$($some),*],
            check: $check,
            doc: concat!($($doc, "\n"),*),
            file: file!(),
        };
    };
    (
        $(#[doc = $doc:literal])*
        $id:literal, $family:ident, $basis:ident $(($reason:literal))?,
        $summary:literal,
        figures: [$($key:literal),* $(,)?],
        $check:path $(,)?
    ) => {
        $crate::rule::rule! {
            $(#[doc = $doc])*
            $id, $family, $basis $(($reason))?,
            $summary,
            figures: [$($key),*],
            finds: [],
            $check,
        }
    };
}

pub(crate) use rule;
