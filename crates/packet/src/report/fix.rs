//! A fix as it leaves the program: what one does, the changes of the job, what it would break.

use serde::Serialize;
use truefall_check::cure::Fix;
use truefall_model::document::{Document, print};
use truefall_model::job::edit::{Change, Edit};

/// A cure that was applied to a copy of the job, placed and checked anew.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FixRow {
    /// What one does.
    pub words: String,
    /// The changes of the job, one after the other.
    pub edits: Vec<EditRow>,
    /// Always true: what does not mend its finding is not told.
    pub mends: bool,
    /// What it would newly break, each as the first line of its finding.
    pub breaks: Vec<String>,
}

/// One change of the job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EditRow {
    /// The list or field that changes: `provided`, `fits`, `corrections`, …
    pub what: &'static str,
    /// The stack or branch it belongs to, where it belongs to one.
    pub run: Option<String>,
    /// `insert`, `remove`, `replace` or `set`.
    pub change: &'static str,
    /// The place in the list, from 0; none where a field is set.
    pub at: Option<usize>,
    /// What is put there, as the job file spells it; none where something is taken out.
    pub item: Option<String>,
}

impl FixRow {
    /// Lays out a fix.
    pub fn of(fix: &Fix) -> Self {
        let mut edits = Vec::new();
        fix.edits.iter().for_each(|edit| rows(edit, &mut edits));
        Self { words: fix.words.clone(), edits, mends: true, breaks: fix.breaks.clone() }
    }
}

fn rows(edit: &Edit, out: &mut Vec<EditRow>) {
    let set = |what, run: Option<String>, item: String| EditRow {
        what,
        run,
        change: "set",
        at: None,
        item: Some(item),
    };
    out.push(match edit {
        Edit::Fit { run, change } => row("fits", Some(run.to_string()), change),
        Edit::Correction { stack, change } => row("corrections", Some(stack.to_string()), change),
        Edit::Stack(change) => row("stacks", None, change),
        Edit::Branch(change) => row("branches", None, change),
        Edit::Fixture(change) => row("fixtures", None, change),
        Edit::Provided(change) => row("provided", None, change),
        Edit::InHand(change) => row("in_hand", None, change),
        Edit::Local(change) => row("local", None, change),
        Edit::Accepted(change) => row("accepted", None, change),
        Edit::End { run, end } => set("end", Some(run.to_string()), spelled(&**end)),
        Edit::House(house) => set("house", None, spelled(&**house)),
        Edit::CutOn(placement) => set("cut_on", None, spelled(placement)),
        Edit::All(edits) => {
            edits.iter().for_each(|edit| rows(edit, out));
            return;
        }
    });
}

fn row<T: Document>(what: &'static str, run: Option<String>, change: &Change<T>) -> EditRow {
    let (change, at, item) = match change {
        Change::Insert { at, item } => ("insert", at, Some(spelled(&**item))),
        Change::Remove { at } => ("remove", at, None),
        Change::Replace { at, item } => ("replace", at, Some(spelled(&**item))),
    };
    EditRow { what, run, change, at: Some(*at), item }
}

/// As the job file spells it, in one line.
fn spelled<T: Document>(thing: &T) -> String {
    let text = print(&thing.write());
    let lines: Vec<&str> = text.lines().map(str::trim).collect();
    lines.join(" ").replace("( ", "(").replace(", )", ")").replace("[ ", "[").replace(", ]", "]")
}
