//! What is picked: parts, one of them first, or a finding. Picking, the sheet and the keys all go through it.

use bevy::prelude::Resource;
use std::collections::BTreeSet;
use truefall_model::framing::member::MemberId;
use truefall_model::place::PartId;

/// Something one can point at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Thing {
    /// A part of the rough-in.
    Part(PartId),
    /// A piece of wood.
    Member(MemberId),
}

/// What is picked and what is pointed at.
#[derive(Resource, Debug, Clone, Default, PartialEq)]
pub(crate) struct Selection {
    things: BTreeSet<Thing>,
    primary: Option<Thing>,
    /// The finding whose sum is shown.
    pub(crate) finding: Option<usize>,
    /// What the pointer is over.
    pub(crate) hover: Option<Thing>,
}

impl Selection {
    /// Only this.
    pub(crate) fn set(&mut self, thing: Thing) {
        self.things = BTreeSet::from([thing]);
        self.primary = Some(thing);
    }

    /// This too, or no longer.
    pub(crate) fn toggle(&mut self, thing: Thing) {
        if self.things.remove(&thing) {
            self.primary = self.things.last().copied();
        } else {
            self.things.insert(thing);
            self.primary = Some(thing);
        }
    }

    /// Nothing, and no finding.
    pub(crate) fn clear(&mut self) {
        *self = Self { hover: self.hover, ..Self::default() };
    }

    /// The one picked last.
    pub(crate) fn primary(&self) -> Option<Thing> {
        self.primary
    }

    /// All that is picked.
    pub(crate) fn things(&self) -> impl Iterator<Item = Thing> {
        self.things.iter().copied()
    }

    /// Whether it is picked.
    pub(crate) fn holds(&self, thing: Thing) -> bool {
        self.things.contains(&thing)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_one_picked_is_first_and_goes_when_it_is_let_go() {
        let (a, b) = (Thing::Part(PartId(1)), Thing::Part(PartId(2)));
        let mut s = Selection::default();
        s.set(a);
        s.toggle(b);
        assert_eq!(s.primary(), Some(b));
        assert!(s.holds(a));
        s.toggle(b);
        assert_eq!(s.primary(), Some(a));
        s.clear();
        assert!(!s.holds(a) && s.primary().is_none());
    }
}
