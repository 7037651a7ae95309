//! The one way a job changes: an [`Edit`] is applied and gives back the edit that undoes it.

use super::Job;
use super::accept::{Acceptance, Amendment};
use super::fixture::Fixture;
use super::pipes::{Branch, End, Fit, InHand, Stack};
use super::survey::Correction;
use crate::framing::house::House;
use crate::framing::provided::Provided;
use crate::job::Placement;
use crate::label::Label;

/// One change of a list: put in, taken out or put in the place of another.
#[derive(Debug, Clone, PartialEq)]
pub enum Change<T> {
    /// Puts a thing in before place `at`; at the length of the list it goes behind the last.
    Insert {
        /// The place it will have.
        at: usize,
        /// The thing.
        item: Box<T>,
    },
    /// Takes a thing out.
    Remove {
        /// Its place.
        at: usize,
    },
    /// Puts a thing in the place of another.
    Replace {
        /// The place.
        at: usize,
        /// The new thing.
        item: Box<T>,
    },
}

/// A change of a job. Every plan is a list of these.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// A fitting of a stack or branch.
    Fit {
        /// The stack's or branch's name.
        run: Label,
        /// What is changed in its list.
        change: Change<Fit>,
    },
    /// What stands at the far end of a stack or branch.
    End {
        /// The stack's or branch's name.
        run: Label,
        /// The new end.
        end: Box<End>,
    },
    /// A correction of a stack's lean.
    Correction {
        /// The stack's name.
        stack: Label,
        /// What is changed in its list.
        change: Change<Correction>,
    },
    /// A stack.
    Stack(Change<Stack>),
    /// A branch.
    Branch(Change<Branch>),
    /// A fixture.
    Fixture(Change<Fixture>),
    /// Something provided, such as a plate.
    Provided(Change<Provided>),
    /// A fitting measured in the hand.
    InHand(Change<InHand>),
    /// A local amendment.
    Local(Change<Amendment>),
    /// A local acceptance.
    Accepted(Change<Acceptance>),
    /// The house, measured again.
    House(Box<House>),
    /// The placement on which cuts are solved.
    CutOn(Placement),
    /// Several, one after the other; all or none.
    All(Vec<Edit>),
}

/// Why an edit does not fit the job; the job is as it was.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EditError {
    /// No stack or branch has that name.
    #[error("there is no stack or branch {0}")]
    NoRun(Label),
    /// The list has no such place.
    #[error("place {at} is outside the list of {len}")]
    NoPlace {
        /// The place asked for.
        at: usize,
        /// How many there are.
        len: usize,
    },
}

impl Edit {
    /// Applies the change and gives the edit that undoes it.
    ///
    /// # Errors
    /// The edit does not fit the job, which is then as it was.
    pub fn apply(&self, job: &mut Job) -> Result<Edit, EditError> {
        Ok(match self {
            Self::Fit { run, change } => {
                Self::Fit { run: run.clone(), change: change.apply(fits_of(job, run)?)? }
            }
            Self::End { run, end } => {
                let old = std::mem::replace(end_of(job, run)?, (**end).clone());
                Self::End { run: run.clone(), end: Box::new(old) }
            }
            Self::Correction { stack, change } => {
                let list = &mut job
                    .stacks
                    .iter_mut()
                    .find(|s| s.name == *stack)
                    .ok_or_else(|| EditError::NoRun(stack.clone()))?
                    .corrections;
                Self::Correction { stack: stack.clone(), change: change.apply(list)? }
            }
            Self::Stack(change) => Self::Stack(change.apply(&mut job.stacks)?),
            Self::Branch(change) => Self::Branch(change.apply(&mut job.branches)?),
            Self::Fixture(change) => Self::Fixture(change.apply(&mut job.fixtures)?),
            Self::Provided(change) => Self::Provided(change.apply(&mut job.provided)?),
            Self::InHand(change) => Self::InHand(change.apply(&mut job.in_hand)?),
            Self::Local(change) => Self::Local(change.apply(&mut job.local)?),
            Self::Accepted(change) => Self::Accepted(change.apply(&mut job.accepted)?),
            Self::House(house) => Self::House(Box::new(std::mem::replace(&mut job.house, (**house).clone()))),
            Self::CutOn(placement) => Self::CutOn(std::mem::replace(&mut job.cut_on, *placement)),
            Self::All(edits) => {
                let mut undo: Vec<Edit> = Vec::new();
                for edit in edits {
                    match edit.apply(job) {
                        Ok(inverse) => undo.insert(0, inverse),
                        Err(error) => {
                            for inverse in &undo {
                                // What was just done can always be undone.
                                let _ = inverse.apply(job);
                            }
                            return Err(error);
                        }
                    }
                }
                Self::All(undo)
            }
        })
    }
}

impl<T: Clone> Change<T> {
    fn apply(&self, list: &mut Vec<T>) -> Result<Self, EditError> {
        let len = list.len();
        let within = |at: usize, most: usize| {
            if at < most { Ok(at) } else { Err(EditError::NoPlace { at, len }) }
        };
        Ok(match self {
            Self::Insert { at, item } => {
                list.insert(within(*at, len + 1)?, (**item).clone());
                Self::Remove { at: *at }
            }
            Self::Remove { at } => {
                let old = list.remove(within(*at, len)?);
                Self::Insert { at: *at, item: Box::new(old) }
            }
            Self::Replace { at, item } => {
                let old = std::mem::replace(&mut list[within(*at, len)?], (**item).clone());
                Self::Replace { at: *at, item: Box::new(old) }
            }
        })
    }
}

fn fits_of<'j>(job: &'j mut Job, run: &Label) -> Result<&'j mut Vec<Fit>, EditError> {
    let stack = job.stacks.iter_mut().find(|s| s.name == *run).map(|s| &mut s.up);
    let branch = job.branches.iter_mut().find(|b| b.name == *run).map(|b| &mut b.along);
    stack.or(branch).ok_or_else(|| EditError::NoRun(run.clone()))
}

fn end_of<'j>(job: &'j mut Job, run: &Label) -> Result<&'j mut End, EditError> {
    let stack = job.stacks.iter_mut().find(|s| s.name == *run).map(|s| &mut s.end);
    let branch = job.branches.iter_mut().find(|b| b.name == *run).map(|b| &mut b.end);
    stack.or(branch).ok_or_else(|| EditError::NoRun(run.clone()))
}
