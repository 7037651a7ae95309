//! The job as it was last read without fault, with what `packet` makes of it.

use bevy::prelude::Resource;
use nalgebra::Point3;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use truefall_model::catalog::Catalog;
use truefall_model::framing::member::Member;
use truefall_model::job::file::{FileError, JobFile};
use truefall_model::job::{Job, Placement};
use truefall_model::label::Label;
use truefall_model::place::{PartId, Placed, RoughIn};
use truefall_packet::walk::{ScrewBand, Stop, screw_bands, stops};
use truefall_packet::{Examined, examine};

/// A job that can be shown.
#[derive(Resource, Debug)]
pub(crate) struct Loaded {
    /// Its file.
    pub(crate) path: PathBuf,
    /// The job.
    pub(crate) job: Job,
    /// Placed and checked.
    pub(crate) seen: Examined,
    /// The guided walk.
    pub(crate) stops: Vec<Stop>,
    /// Where no screw goes.
    pub(crate) bands: Vec<ScrewBand>,
    /// Parts by name.
    pub(crate) by_label: BTreeMap<String, PartId>,
    /// Why the file as it is now can't be shown; the rest is the last good one.
    pub(crate) broken: Option<String>,
    /// No good one was ever read.
    pub(crate) waiting: bool,
}

impl Loaded {
    /// Reads, places and checks a job, in both placements.
    pub(crate) fn load(path: &Path) -> Result<Self, String> {
        let file = JobFile::load(path).map_err(|e| match e {
            FileError::Faults(faults) => faults.to_string(),
            other => other.to_string(),
        })?;
        Self::of(path, file)
    }

    /// Nothing to show yet: why, and a bare floor until the file is mended.
    pub(crate) fn waiting(path: &Path, why: String) -> Result<Self, String> {
        let file =
            JobFile::read("nothing yet", include_str!("nothing_yet.ron")).map_err(|f| f.to_string())?;
        Ok(Self { broken: Some(why), waiting: true, ..Self::of(path, file)? })
    }

    fn of(path: &Path, file: JobFile) -> Result<Self, String> {
        let both = [Placement::Drawn, Placement::Found];
        let seen = examine(&file.job, Catalog::builtin(), &both)
            .map_err(|faults| file.faults(&faults).to_string())?;
        let stops = stops(&file.job, &seen.rough_in, Placement::Found, &seen.findings);
        let bands = screw_bands(&seen.rough_in, &seen.rough_in.found);
        let by_label = seen.rough_in.parts.iter().map(|p| (p.label.to_string(), p.id)).collect();
        Ok(Self {
            path: path.to_owned(),
            job: file.job,
            seen,
            stops,
            bands,
            by_label,
            broken: None,
            waiting: false,
        })
    }

    /// The first part that a finding names.
    pub(crate) fn part_of(&self, finding: usize) -> Option<PartId> {
        self.seen.findings.get(finding)?.labels.iter().find_map(|l| self.by_label.get(l.as_str()).copied())
    }

    /// Where a finding's tag hangs: where the rule says, else on what it names: a part, a fixture, wood, a wall, a run's base.
    pub(crate) fn anchor(&self, finding: usize) -> Option<Point3<f64>> {
        let found = self.seen.findings.get(finding)?;
        let placed = self.seen.rough_in.placed(found.placement);
        found
            .at
            .or_else(|| self.part_of(finding).map(|p| placed.origin(p)))
            .or_else(|| found.labels.iter().find_map(|l| self.place_of(placed, l)))
    }

    fn place_of(&self, placed: &Placed, name: &Label) -> Option<Point3<f64>> {
        let RoughIn { framed, runs, .. } = &self.seen.rough_in;
        let landing = placed.landings.iter().find(|l| self.job.fixtures[l.fixture].name == *name);
        let wall = framed.wall(name);
        let keep_out = framed.keep_outs.iter().find(|k| k.label == *name);
        landing
            .map(|l| l.at)
            .or_else(|| framed.member(name).map(Member::centre))
            .or_else(|| wall.map(|w| w.at_height(w.length / 2.0, 0.0, f64::midpoint(w.z0, w.z1))))
            .or_else(|| keep_out.map(|k| k.pose.translation.vector.into()))
            .or_else(|| {
                let run = runs.iter().find(|r| r.label == *name)?;
                run.fits.first().map(|(_, part)| placed.origin(*part))
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_shown_while_waiting_is_sound_and_tells_why() {
        let loaded =
            Loaded::waiting(Path::new("job.ron"), "line 3: no such word".to_owned()).expect("ours reads");
        assert!(loaded.waiting && loaded.seen.findings.is_empty());
        assert_eq!(loaded.broken.as_deref(), Some("line 3: no such word"));
        assert_eq!(loaded.path, Path::new("job.ron"));
    }
}
