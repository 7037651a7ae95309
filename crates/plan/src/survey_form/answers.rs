//! The answers: kept by the question's name, read from a file and written to one.
//!
//! One line an answer, `name: answer`; what stands behind `#` at a line's start is a remark. `usual`, or nothing behind the
//! colon, takes the usual figure.

use super::questions::{QUESTIONS, Question, Usual};
use super::read::{split, take};
use super::to_job::BESIDE_IN;
use std::collections::BTreeMap;
use truefall_model::document::nearest;
use truefall_model::units::Length;

/// First line of a file of answers.
pub const KIND: &str = "# answers of a survey: one a line, NAME: ANSWER; usual takes the usual figure";

/// What houses the questions are for, and what to do with others.
pub const MEANT_FOR: &str = "for one bathroom on one floor of joists, over one iron pipe; more floors, more rooms: answer for this one and \
                             add the rest to the job file by hand; a slab, or no iron: write the job file by hand (docs/job-file.md)";

/// Word that takes the usual figure.
const USUAL: &str = "usual";

/// What was answered so far.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Answers {
    /// By the question's name; none where the usual was taken.
    taken: BTreeMap<&'static str, Option<String>>,
}

/// One fault of a file of answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileFault {
    /// The line, from 1; none where a line is missing.
    pub line: Option<usize>,
    /// What is wrong and what is allowed.
    pub message: String,
}

impl Answers {
    /// Whether an answer was measured.
    pub fn given(&self, key: &str) -> bool {
        matches!(self.taken.get(key), Some(Some(_)))
    }

    /// Whether a question was answered, by a figure or by taking the usual one.
    pub fn answered(&self, key: &str) -> bool {
        self.taken.contains_key(key)
    }

    /// The answer, else the usual one, else nothing.
    pub fn value(&self, key: &str) -> &str {
        match self.taken.get(key) {
            Some(Some(text)) => text,
            _ => match QUESTIONS.iter().find(|q| q.key == key).map(|q| q.usual) {
                Some(Usual::Is(usual)) => usual,
                _ => "",
            },
        }
    }

    /// Takes an answer; an empty one, or `usual`, takes the usual figure.
    ///
    /// # Errors
    /// A sentence with what was read and what is allowed.
    pub fn set(&mut self, question: &Question, text: &str) -> Result<(), String> {
        let text = text.trim();
        let answer = if text.is_empty() || text.eq_ignore_ascii_case(USUAL) {
            if question.usual == Usual::None {
                return Err("there is no usual figure for this: it has to be measured".to_owned());
            }
            None
        } else {
            Some(take(question, text, self)?)
        };
        let before = self.taken.insert(question.key, answer);
        if let Some((_, why)) = self.against().into_iter().find(|(key, _)| *key == question.key) {
            match before {
                Some(before) => self.taken.insert(question.key, before),
                None => self.taken.remove(question.key),
            };
            return Err(why);
        }
        Ok(())
    }

    /// Answers that go against others, by their questions' names, with why. Only what was measured on both sides is compared.
    pub fn against(&self) -> Vec<(&'static str, String)> {
        let inches = |one: &str| Length::parse(one).map(Length::to_inches).ok();
        let read = |key: &str| self.given(key).then(|| inches(self.value(key))).flatten();
        let mut out = Vec::new();
        let (long, deep) = (read("wall-length"), read("room-depth"));
        let bounds = [
            ("stack-along", long),
            ("closet-along", long),
            ("lavatory-along", long),
            ("bath-along", long),
            ("closet-out", deep),
            ("bath-out", deep),
        ];
        for (key, most) in bounds {
            if let (Some(at), Some(most)) = (read(key), most)
                && at > most
            {
                let (at, most) = (Length::inches(at), Length::inches(most));
                out.push((key, format!("{at} lies outside the room, which ends at {most}")));
            }
        }
        let last =
            |key: &str| split(self.value(key)).last().and_then(|one| inches(one)).filter(|_| self.given(key));
        let end = if self.value("joists-run") == "across" { long } else { deep };
        let thick = inches(self.value("joist-thick")).unwrap_or_default();
        if let (Some(at), Some(end)) = (last("joist-edges"), end)
            && at > end + BESIDE_IN - thick
        {
            let (at, end) = (Length::inches(at), Length::inches(end));
            out.push(("joist-edges", format!("{at} lies beyond the room, which ends at {end}")));
        }
        if let (Some(at), Some(end)) = (last("stud-edges"), long)
            && at > end
        {
            let (at, end) = (Length::inches(at), Length::inches(end));
            out.push(("stud-edges", format!("{at} lies beyond the wall's end at {end}")));
        }
        out
    }

    /// Takes an answer back.
    pub fn forget(&mut self, key: &str) {
        self.taken.remove(key);
    }

    /// The first question that is asked and not answered.
    pub fn next(&self) -> Option<&'static Question> {
        self.asked().find(|q| !self.answered(q.key))
    }

    /// The questions that are asked, by what was answered so far.
    pub fn asked(&self) -> impl Iterator<Item = &'static Question> + '_ {
        QUESTIONS.iter().filter(|q| (q.when)(self))
    }

    /// What was not measured: the question and what is taken, in words.
    pub fn assumed(&self) -> Vec<(&'static Question, &'static str)> {
        let usual = |q: &'static Question| match q.usual {
            Usual::Is(words) | Usual::LeftOut(words) if !self.given(q.key) => Some((q, words)),
            _ => None,
        };
        self.asked().filter_map(usual).collect()
    }

    /// The answers as a file.
    pub fn text(&self) -> String {
        let mut out = format!("{KIND}\n");
        let mut place = "";
        for question in QUESTIONS {
            let Some(answer) = self.taken.get(question.key) else { continue };
            if question.place != place {
                place = question.place;
                out.push_str(&format!("\n# {place}\n"));
            }
            out.push_str(&format!("{}: {}\n", question.key, answer.as_deref().unwrap_or(USUAL)));
        }
        out
    }

    /// A file without answers, to be filled in by hand.
    pub fn blank() -> String {
        let mut out = format!("{KIND}\n# {MEANT_FOR}\n");
        let mut place = "";
        for question in QUESTIONS {
            if question.place != place {
                place = question.place;
                out.push_str(&format!("\n# {place}\n"));
            }
            let usual = match question.usual {
                Usual::None => String::new(),
                Usual::Is(usual) | Usual::LeftOut(usual) => format!(" (usual: {usual})"),
            };
            let value = if question.usual == Usual::None { "" } else { USUAL };
            out.push_str(&format!("# {}{usual}; {}\n", question.ask, question.help));
            out.push_str(format!("{}: {value}", question.key).trim_end());
            out.push('\n');
        }
        out
    }

    /// Reads a file of answers that may be unfinished.
    ///
    /// # Errors
    /// All faults of its lines.
    pub fn read(text: &str) -> Result<Self, Vec<FileFault>> {
        let (answers, faults) = Self::read_lines(text);
        if faults.is_empty() { Ok(answers) } else { Err(faults) }
    }

    /// Reads a file of answers that must be whole; what has a usual figure may be left out.
    ///
    /// # Errors
    /// All faults of its lines, and each question that has to be answered and is not.
    pub fn read_whole(text: &str) -> Result<Self, Vec<FileFault>> {
        let (mut answers, mut faults) = Self::read_lines(text);
        let wrong: Vec<&str> = faults.iter().map(|fault| fault.message.as_str()).collect();
        let told = |key: &str| wrong.iter().any(|message| message.starts_with(&format!("{key}: ")));
        let missing: Vec<&Question> = answers
            .asked()
            .filter(|q| q.usual == Usual::None && !answers.answered(q.key) && !told(q.key))
            .collect();
        let missing = missing.into_iter().map(|q| FileFault {
            line: None,
            message: format!("{}: not answered ({}); it has no usual figure", q.key, q.ask),
        });
        let missing: Vec<FileFault> = missing.collect();
        faults.extend(missing);
        if !faults.is_empty() {
            return Err(faults);
        }
        while let Some(question) = answers.next() {
            answers.taken.insert(question.key, None);
        }
        Ok(answers)
    }

    fn read_lines(text: &str) -> (Self, Vec<FileFault>) {
        let mut lines: BTreeMap<&'static str, (usize, &str)> = BTreeMap::new();
        let mut faults = Vec::new();
        for (at, line) in text.lines().enumerate() {
            let line = line.trim().trim_start_matches('\u{feff}');
            if line.is_empty() || line.starts_with('#') {
                continue;
            }
            let mut fault = |message: String| faults.push(FileFault { line: Some(at + 1), message });
            let Some((key, value)) = line.split_once(':') else {
                fault(format!("\"{line}\" is no answer; write NAME: ANSWER"));
                continue;
            };
            let key = key.trim();
            let Some(question) = QUESTIONS.iter().find(|q| q.key == key) else {
                let keys: Vec<&str> = QUESTIONS.iter().map(|q| q.key).collect();
                let near = nearest(key, &keys).map(|k| format!("; did you mean {k}?")).unwrap_or_default();
                fault(format!("there is no question {key}{near}"));
                continue;
            };
            if let Some((first, _)) = lines.get(question.key) {
                fault(format!("{key}: answered twice, first in line {first}"));
                continue;
            }
            lines.insert(question.key, (at + 1, value.trim()));
        }
        let mut answers = Self::default();
        // In the order asked: an answer may depend on one before it.
        for question in QUESTIONS {
            let Some((line, value)) = lines.get(question.key) else { continue };
            if let Err(why) = answers.set(question, value) {
                faults.push(FileFault { line: Some(*line), message: format!("{}: {why}", question.key) });
            }
        }
        for (key, why) in answers.against() {
            faults.push(FileFault { line: lines.get(key).map(|l| l.0), message: format!("{key}: {why}") });
        }
        faults.sort_by_key(|fault| fault.line);
        (answers, faults)
    }
}
