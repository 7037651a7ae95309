//! What a drawing is made from: the placed job, its holes, and what each pipe carries.

use crate::examine::Examined;
use crate::say::Say;
use nalgebra::Point3;
use std::collections::BTreeMap;
use truefall_check::bore::Bore;
use truefall_check::cleanout::Cleanout;
use truefall_check::ctx::Ctx;
use truefall_check::drain::drains;
use truefall_check::facts::Facts;
use truefall_check::load::Load;
use truefall_check::vent::{Setting, Vents};
use truefall_model::catalog::Catalog;
use truefall_model::job::Job;
use truefall_model::place::{LegId, PartId, PartKind, Placed, RoughIn};
use truefall_model::solid::Body;

/// All a drawing looks at.
#[derive(Debug, Clone)]
pub struct Subject<'a> {
    /// The job as written.
    pub job: &'a Job,
    /// What came of it.
    pub examined: &'a Examined,
    /// The catalog it was placed with.
    pub catalog: &'a Catalog,
    /// How lengths are written.
    pub say: Say,
    /// Fixture units of each leg that carries waste.
    pub units: BTreeMap<LegId, f64>,
    /// Fittings that can be rodded through.
    pub cleanouts: Vec<PartId>,
}

impl<'a> Subject<'a> {
    /// Sums what each drain carries.
    pub fn of(job: &'a Job, examined: &'a Examined, catalog: &'a Catalog, say: Say) -> Self {
        let (rough_in, profile, placed) = (&examined.rough_in, &examined.profile, &examined.rough_in.found);
        let vents = Vents::of(&Setting { job, rough_in, catalog, profile, placed });
        // Loads need no bores, and those were measured already.
        let facts = Facts::default();
        let ctx =
            Ctx { job, rough_in, profile, catalog, placed, facts: &facts, vents: &vents, passes: false };
        let units = drains(&ctx).iter().map(|d| (d.leg, Load::of(&ctx, &d.fixtures).units)).collect();
        let cleanouts = Cleanout::each(&ctx).iter().map(|c| c.part).collect();
        Self { job, examined, catalog, say, units, cleanouts }
    }

    /// The placed job.
    pub fn rough_in(&self) -> &'a RoughIn {
        &self.examined.rough_in
    }

    /// The placement that is cut and drilled to: the one drawings are made from, so that they say what the lists say.
    pub fn built(&self) -> &'a Placed {
        self.examined.rough_in.placed(self.job.cut_on)
    }

    /// As it will stand: what the owner is shown and the water test reckons with.
    pub fn placed(&self) -> &'a Placed {
        &self.examined.rough_in.found
    }

    /// The holes of the placement that is built to.
    pub fn bores(&self) -> impl Iterator<Item = &'a Bore> {
        let built = self.job.cut_on;
        self.examined.bores.iter().filter(move |b| b.placement == built)
    }

    /// The letter a fixture has in every drawing: A, B, …, Z, AA.
    pub fn letter(&self, fixture: usize) -> String {
        let letter = |n: usize| char::from(b'A' + (n % 26) as u8);
        match fixture / 26 {
            0 => letter(fixture).to_string(),
            more => format!("{}{}", letter(more - 1), letter(fixture)),
        }
    }

    /// How a part's outline is drawn.
    pub fn look(&self, part: PartId) -> &'static str {
        let rough_in = self.rough_in();
        match &rough_in.part(part).kind {
            PartKind::Existing { .. } => "iron",
            PartKind::Fitting { .. } => "hub",
            PartKind::Piece { .. } if rough_in.network.wet[part.0 as usize] => "pipe",
            PartKind::Piece { .. } => "dry",
        }
    }

    /// The cylinders of a part as built, with their radius.
    pub fn rounds(&self, part: PartId) -> impl Iterator<Item = (Point3<f64>, Point3<f64>, f64)> {
        self.built().bodies_of(part).iter().filter_map(|body| match *body {
            Body::Cylinder { a, b, radius_in } => Some((a, b, radius_in)),
            Body::Cuboid { .. } => None,
        })
    }
}
