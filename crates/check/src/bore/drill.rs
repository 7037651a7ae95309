//! Which hole is drilled for a passage: the one the job states, else the customary bit.

use super::hole::{Bit, Drilled, Through};
use truefall_model::catalog::Catalog;
use truefall_model::framing::member::Member;
use truefall_model::framing::provided::Provided;
use truefall_model::job::Job;
use truefall_model::label::Label;
use truefall_model::place::{PartId, RoughIn};
use truefall_model::tolerance::{at_least, near};
use truefall_model::units::Length;

/// What is to pass.
#[derive(Debug, Clone, Copy)]
pub struct Passage<'a> {
    /// The member.
    pub member: &'a Member,
    /// All parts in the passage.
    pub parts: &'a [PartId],
    /// The largest of them.
    pub part: PartId,
    /// What of that part is in the wood.
    pub through: Through,
    /// Its outside diameter.
    pub outside: Length,
}

/// Where holes are looked up.
#[derive(Debug, Clone, Copy)]
pub struct Drill<'a> {
    /// What the job states.
    pub job: &'a Job,
    /// Whose parts they are.
    pub rough_in: &'a RoughIn,
    /// The bit chart.
    pub catalog: &'a Catalog,
}

impl Drill<'_> {
    /// The hole for a passage.
    ///
    /// A stated hole that the part does not pass is refused: the customary one then stands in for it, and a rule tells.
    pub fn hole(&self, passage: &Passage<'_>) -> Drilled {
        let stated = self.stated(passage);
        match stated {
            Some(hole) if at_least(hole, passage.outside) => {
                Drilled { hole, bit: Bit::Stated, refused: None }
            }
            refused => {
                let (hole, bit) = self.usual(passage);
                Drilled { hole, bit, refused }
            }
        }
    }

    /// A hole stated for this very member goes before one stated for the whole run, and the later before the earlier.
    fn stated(&self, passage: &Passage<'_>) -> Option<Length> {
        let names = self.names(passage.parts);
        let mut found: Option<(bool, Length)> = None;
        for item in &self.job.provided {
            let Provided::Hole { of, member, size } = item else { continue };
            let fits = member.as_ref().is_none_or(|m| *m == passage.member.label) && names.contains(&of);
            let exact = member.is_some();
            if fits && found.is_none_or(|(was_exact, _)| exact || !was_exact) {
                found = Some((exact, *size));
            }
        }
        found.map(|(_, size)| size)
    }

    /// Parts, their runs and the fittings they are joined to.
    fn names(&self, parts: &[PartId]) -> Vec<&Label> {
        let mut names = Vec::new();
        for id in parts {
            let part = self.rough_in.part(*id);
            names.extend([&part.label, &self.rough_in.run(part.run).label]);
        }
        names
    }

    fn usual(&self, passage: &Passage<'_>) -> (Length, Bit) {
        let part = self.rough_in.part(passage.part);
        let sizes = part.ports().into_iter().map(|port| port.size);
        // A fitting's way between its hubs is no thicker than the pipe, and takes the pipe's hole.
        let as_pipe = sizes
            .filter(|_| passage.through != Through::Hub)
            .filter(|size| {
                let pipe = self.catalog.pipe(part.material, *size);
                pipe.is_some_and(|pipe| near(pipe.outside, passage.outside))
            })
            .find_map(|size| self.catalog.bit_for_pipe(part.material, size));
        if let Some(hole) = as_pipe {
            return (hole, Bit::Customary);
        }
        match self.catalog.stocked_bits().find(|bit| at_least(*bit, passage.outside)) {
            Some(hole) => (hole, Bit::Stocked),
            None => (passage.outside, Bit::Bare),
        }
    }
}
