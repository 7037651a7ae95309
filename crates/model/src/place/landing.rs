//! Landings: where a run's end comes out against where its fixture needs it.

use super::part::PartId;
use super::rough_in::{Landing, Placed, RoughIn, Run};
use crate::catalog::Catalog;
use crate::catalog::pattern::PortEnd;
use crate::job::Job;
use crate::job::fixture::{Fixture, FixtureKind};
use crate::job::point::PlanPoint;
use crate::units::Length;
use nalgebra::{Point2, Point3, Vector3};

/// All landings of a placement, by run.
pub(super) fn landings(job: &Job, catalog: &Catalog, rough_in: &RoughIn, placed: &Placed) -> Vec<Landing> {
    rough_in
        .runs
        .iter()
        .filter_map(|run| landing(job, catalog, rough_in, placed, run, run.fixture?))
        .collect()
}

fn landing(
    job: &Job,
    catalog: &Catalog,
    rough_in: &RoughIn,
    placed: &Placed,
    run: &Run,
    index: usize,
) -> Option<Landing> {
    let fixture = &job.fixtures[index];
    let usual = catalog.rough_in(fixture.kind.word());
    let floor = rough_in.framed.floor(&fixture.floor)?;
    let spot = plan_spot(job, rough_in, fixture)?;
    let tolerance =
        fixture.tolerance.or_else(|| usual.map(|u| u.tolerance.value)).unwrap_or(Length::inches(0.5));
    let last = run.last_piece.or_else(|| run.fits.last().map(|f| f.1))?;
    let mut assumed = fixture.tolerance.is_none();
    let (at, wants, axis, weir) = if fixture.kind.through_wall() {
        let wall = fixture.wall.as_ref().and_then(|w| rough_in.framed.wall(w))?;
        let (end, axis) = (placed.stop(rough_in, last, 1), placed.axis(rough_in, last, 1));
        let plan = axis.xy();
        let out = plan.dot(&wall.into_room);
        if out.abs() < 1e-6 {
            return None;
        }
        let on_plane = |distance: f64| {
            let now = (end.xy() - wall.origin).dot(&wall.into_room);
            end + axis * ((distance - now) / out)
        };
        let outlet = match &fixture.outlet {
            Some(outlet) => rough_in.framed.height(outlet)?,
            None => {
                assumed = true;
                floor.finished_z + usual.map(|u| u.outlet.value)?.to_inches()
            }
        };
        let weir_out = fixture.weir_out.or_else(|| {
            assumed = true;
            usual.and_then(|u| u.weir_out.as_ref()).map(|w| w.value)
        })?;
        let (along, _) = wall.measure(spot);
        let wants = wall.at_height(along, wall.finish_room, outlet);
        let weir = on_plane(wall.finish_room + weir_out.to_inches());
        (on_plane(wall.finish_room), wants, axis, Some(weir))
    } else if fixture.kind == FixtureKind::Closet {
        let ring = ring_port(rough_in, last)?;
        let at = placed.origin(last);
        let axis = placed.axis(rough_in, last, ring);
        (at, Point3::new(spot.x, spot.y, floor.finished_z), axis, None)
    } else {
        let trap = trap_of(rough_in, run);
        let weir = trap.and_then(|t| {
            let weir = rough_in.part(t).pattern()?.weir?;
            Some(placed.world_from_part[t.0 as usize] * weir)
        });
        let port = if run.last_piece.is_some() { 1 } else { inlet_port(rough_in, last)? };
        let at = placed.stop(rough_in, last, port);
        let z = if fixture.kind == FixtureKind::WasherBox {
            match &fixture.rim {
                Some(rim) => rough_in.framed.height(rim)?,
                None => {
                    assumed = true;
                    floor.finished_z + usual.map(|u| u.rim.value)?.to_inches()
                }
            }
        } else {
            // The riser from the trap is cut to suit at finish: any height below the floor will do.
            at.z
        };
        (at, Point3::new(spot.x, spot.y, z), placed.axis(rough_in, last, port), weir)
    };
    let axis: Vector3<f64> = axis;
    Some(Landing { fixture: index, run: run.id, part: last, at, wants, axis, weir, tolerance, assumed })
}

fn plan_spot(job: &Job, rough_in: &RoughIn, fixture: &Fixture) -> Option<Point2<f64>> {
    match &fixture.at.0 {
        PlanPoint::Under { fixture } => {
            let other = job.fixtures.iter().find(|f| f.name == *fixture)?;
            rough_in.framed.point(&other.at.0)
        }
        own => rough_in.framed.point(own),
    }
}

fn ring_port(rough_in: &RoughIn, part: PartId) -> Option<usize> {
    rough_in.part(part).ports().iter().position(|p| p.end == PortEnd::Ring)
}

fn inlet_port(rough_in: &RoughIn, part: PartId) -> Option<usize> {
    let ports = rough_in.part(part).ports();
    ports.iter().position(|p| p.name.as_str() == "inlet").or_else(|| ports.len().checked_sub(1))
}

/// The trap of a run: its last fitting that has a weir.
pub fn trap_of(rough_in: &RoughIn, run: &Run) -> Option<PartId> {
    run.fits.iter().rev().map(|f| f.1).find(|p| rough_in.part(*p).pattern().is_some_and(|p| p.weir.is_some()))
}
