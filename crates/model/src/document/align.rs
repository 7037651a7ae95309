//! Which thing of a list is which thing of the changed list.

use super::{Kind, Node};

/// One step through the changed list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Step {
    /// A thing that was there, by its place before and now; it may have changed.
    Kept(usize, usize),
    /// A thing that is new, and the place before of what it follows.
    New(Option<usize>, usize),
}

/// The steps, in the order of the changed list; what no step keeps is gone. Things are the same by name, or by being equal
/// where they have none; as many as can be are kept in order. Between them nameless things of one kind are taken for changed.
pub(super) fn align(was: &[Node], is: &[Node]) -> Vec<Step> {
    let mut steps = Vec::new();
    let (mut old, mut new) = (0, 0);
    for (stop_old, stop_new) in anchors(was, is).into_iter().chain([(was.len(), is.len())]) {
        while new < stop_new {
            match (old..stop_old).find(|at| alike(&was[*at], &is[new])) {
                Some(at) => {
                    steps.push(Step::Kept(at, new));
                    old = at + 1;
                }
                // Behind all that goes before the next that stays, unless one of those may yet be kept.
                None if (new + 1..stop_new).any(|n| (old..stop_old).any(|o| alike(&was[o], &is[n]))) => {
                    steps.push(Step::New(old.checked_sub(1), new));
                }
                None => steps.push(Step::New(stop_old.checked_sub(1), new)),
            }
            new += 1;
        }
        if stop_new < is.len() {
            steps.push(Step::Kept(stop_old, stop_new));
        }
        (old, new) = (stop_old + 1, stop_new + 1);
    }
    steps
}

/// The longest row of same things, in order.
fn anchors(was: &[Node], is: &[Node]) -> Vec<(usize, usize)> {
    let mut longest = vec![vec![0usize; is.len() + 1]; was.len() + 1];
    for old in (0..was.len()).rev() {
        for new in (0..is.len()).rev() {
            longest[old][new] = if same(&was[old], &is[new]) {
                longest[old + 1][new + 1] + 1
            } else {
                longest[old + 1][new].max(longest[old][new + 1])
            };
        }
    }
    let (mut found, mut old, mut new) = (Vec::new(), 0, 0);
    while old < was.len() && new < is.len() {
        if same(&was[old], &is[new]) {
            found.push((old, new));
            (old, new) = (old + 1, new + 1);
        } else if longest[old + 1][new] >= longest[old][new + 1] {
            old += 1;
        } else {
            new += 1;
        }
    }
    found
}

fn same(was: &Node, is: &Node) -> bool {
    match (name(was), name(is)) {
        (Some(a), Some(b)) => a == b,
        (None, None) => was == is,
        _ => false,
    }
}

/// Two nameless things of one kind.
fn alike(was: &Node, is: &Node) -> bool {
    match (&was.kind, &is.kind) {
        (Kind::Record(a, _), Kind::Record(b, _)) => a == b && name(was).is_none() && name(is).is_none(),
        (Kind::Number(_), Kind::Number(_)) | (Kind::Text(_), Kind::Text(_)) => true,
        (Kind::Tuple(a, _), Kind::Tuple(b, _)) => a == b,
        _ => false,
    }
}

fn name(node: &Node) -> Option<&Kind> {
    let Kind::Record(_, fields) = &node.kind else { return None };
    fields.iter().find(|(n, ..)| n == "name").map(|(.., value)| &value.kind)
}
