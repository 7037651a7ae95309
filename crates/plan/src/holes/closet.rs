//! Closets: how high the ring stands over the subfloor, and what is shimmed under it.

use super::off_wall::{OffWall, off_walls};
use crate::cuts::on_tape;
use crate::site::Site;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::label::Label;
use truefall_model::units::Length;

/// The ring of one closet.
#[derive(Debug, Clone, PartialEq)]
pub struct ClosetRing {
    /// The closet.
    pub fixture: Label,
    /// The flange.
    pub flange: Label,
    /// Its floor.
    pub floor: Label,
    /// Its centre off two walls.
    pub off: Vec<OffWall>,
    /// Underside of the ring over the rough floor, as the pipe is cut.
    pub over_rough: Length,
    /// The same over the finished floor; zero where it sits on it, below zero where it is sunk.
    pub over_finished: Length,
    /// What goes under the ring until the floor is laid, to 1/16: the ring's height over the subfloor.
    pub shim: Length,
}

/// The rings of all closets, in the placement that is cut to.
pub fn rings(site: &Site<'_>) -> Vec<ClosetRing> {
    let (rough_in, placed) = (&site.rough_in, site.built());
    let closets = placed.landings.iter().filter(|l| site.job.fixtures[l.fixture].kind == FixtureKind::Closet);
    closets
        .filter_map(|landing| {
            let fixture = &site.job.fixtures[landing.fixture];
            let floor = rough_in.framed.floor(&fixture.floor)?;
            let over_rough = Length::inches(landing.at.z - floor.rough_z);
            Some(ClosetRing {
                fixture: fixture.name.clone(),
                flange: rough_in.part(landing.part).label.clone(),
                floor: floor.label.clone(),
                off: off_walls(&rough_in.framed, floor.id, landing.at.xy()),
                over_rough,
                over_finished: Length::inches(landing.at.z - floor.finished_z),
                shim: on_tape(over_rough),
            })
        })
        .collect()
}
