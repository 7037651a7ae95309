//! A remedy: what one does, what it asks of a joint, what it costs, and what came of it when it was tried.

use super::effect::{Effect, effects};
use super::stack::Leaner;
use crate::trial::{Bench, Trial, attempt};
use truefall_check::{Finding, Verdict};
use truefall_model::catalog::joint::JointKind;
use truefall_model::job::{Edit, Placement};
use truefall_model::place::{PartKind, RoughIn};
use truefall_model::units::Angle;

/// What sort of remedy.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// One joint is set so that all above it stands plumb.
    Plumb,
    /// The stack is drawn over and held.
    Brace,
    /// Two equal bends, one of them rolled.
    Bends,
    /// The iron is cut back to straight barrel and a sleeve put on.
    CutBack,
    /// The lean stays and the work is set for it.
    Heights,
}

impl Kind {
    /// One word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Plumb => "plumb at a joint",
            Self::Brace => "brace",
            Self::Bends => "pair of bends",
            Self::CutBack => "cut back",
            Self::Heights => "leave it in",
        }
    }
}

/// What a remedy asks of a joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The two parts it joins.
    pub between: String,
    /// How it is made.
    pub kind: JointKind,
    /// The angle it would stand at.
    pub asks: Angle,
    /// The angle it may stand at for good.
    pub limit: Angle,
}

impl Asked {
    /// Whether the joint may stand so.
    pub fn allowed(&self) -> bool {
        truefall_model::tolerance::at_most(self.asks, self.limit)
    }
}

/// A remedy not yet tried.
#[derive(Debug, Clone)]
pub(super) struct Idea {
    pub kind: Kind,
    pub words: String,
    pub lines: Vec<String>,
    pub asked: Option<Asked>,
    pub edits: Vec<Edit>,
    /// Cuts are solved on the placement as found: what is drawn with plumb bases tells nothing then.
    pub on_found: bool,
}

/// A remedy that was tried and takes nothing into the red that was not red.
#[derive(Debug, Clone)]
pub struct Remedy {
    /// What sort.
    pub kind: Kind,
    /// What one does.
    pub words: String,
    /// The numbers of it.
    pub lines: Vec<String>,
    /// What it asks of a joint; nothing where every joint stands true.
    pub asked: Option<Asked>,
    /// What came of it.
    pub trial: Trial,
    /// Joints more than now.
    pub joints: i64,
    /// Pieces of pipe more than now.
    pub pieces: i64,
    /// Red tags as found, before and after.
    pub red: [usize; 2],
    /// What hangs on the stack, with the remedy in.
    pub effects: Vec<Effect>,
    /// It is judged as found only.
    pub on_found: bool,
}

impl Remedy {
    /// The findings it brings along, none of them red in the placements it is judged by.
    pub fn brings(&self) -> impl Iterator<Item = &Finding> {
        self.trial.breaks.iter().filter(|finding| !self.on_found || as_found(finding))
    }

    /// The grade nearest to its limit: the run and its margin in inches per foot.
    pub fn least_grade(&self) -> Option<(&str, f64)> {
        least(self.effects.iter().filter_map(|e| Some((e.run.as_str(), e.grade_margin()?))))
    }

    /// The landing nearest to its tolerance: the run and its margin in inches.
    pub fn least_landing(&self) -> Option<(&str, f64)> {
        least(self.effects.iter().filter_map(|e| Some((e.run.as_str(), e.lands.as_ref()?.margin()?))))
    }
}

fn least<'e>(margins: impl Iterator<Item = (&'e str, f64)>) -> Option<(&'e str, f64)> {
    margins.min_by(|one, other| one.1.total_cmp(&other.1))
}

/// A remedy that is not proposed, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// What sort.
    pub kind: Kind,
    /// What one would do.
    pub words: String,
    /// What it would ask of a joint.
    pub asked: Option<Asked>,
    /// Why not.
    pub why: String,
}

/// Tries an idea.
pub(super) fn tried(
    bench: &Bench<'_>,
    before: &[Finding],
    now: &Leaner<'_>,
    idea: Idea,
) -> Result<Box<Remedy>, Refusal> {
    let Idea { kind, words, lines, asked, edits, on_found } = idea;
    let refuse = |words: &str, asked: &Option<Asked>, why: String| Refusal {
        kind,
        words: words.to_owned(),
        asked: asked.clone(),
        why,
    };
    if let Some(asked) = asked.as_ref().filter(|asked| !asked.allowed()) {
        let why = format!(
            "the {} between {} would stand at {}, may stand at {}",
            asked.kind, asked.between, asked.asks, asked.limit
        );
        return Err(refuse(&words, &Some(asked.clone()), why));
    }
    let trial = match attempt(bench, before, edits) {
        Ok(trial) => trial,
        Err(why) => return Err(refuse(&words, &asked, why.to_string())),
    };
    // What is red as drawn already comes back where the stack stands as drawn: that is no fault of the remedy.
    let known = |finding: &Finding| {
        let same = |f: &&Finding| f.rule == finding.rule && f.labels == finding.labels;
        before.iter().filter(same).any(|f| f.verdict == Verdict::RedTag)
    };
    let broken = |finding: &&Finding| {
        finding.verdict == Verdict::RedTag && (!on_found || as_found(finding)) && !known(finding)
    };
    let broken: Vec<&Finding> = trial.breaks.iter().filter(broken).collect();
    if let Some(first) = broken.first() {
        let more = match broken.len() {
            1 => String::new(),
            many => format!(", and {} more", many - 1),
        };
        return Err(refuse(&words, &asked, format!("{first}{more}")));
    }
    let count = |findings: &[Finding]| {
        findings.iter().filter(|f| f.verdict == Verdict::RedTag && as_found(f)).count()
    };
    let pieces = |r: &RoughIn| r.parts.iter().filter(|p| matches!(p.kind, PartKind::Piece { .. })).count();
    let more = |after: usize, before: usize| after as i64 - before as i64;
    Ok(Box::new(Remedy {
        kind,
        words,
        lines,
        asked,
        joints: more(trial.rough_in.joints.len(), now.rough_in.joints.len()),
        pieces: more(pieces(&trial.rough_in), pieces(now.rough_in)),
        red: [count(before), count(&trial.findings)],
        effects: effects(bench, &trial.job, &trial.rough_in, &now.written.name),
        on_found,
        trial,
    }))
}

/// Whether a finding is told of the placement as found.
fn as_found(finding: &Finding) -> bool {
    finding.in_both || finding.placement == Placement::Found
}
