//! A washer's box, standpipe and trap in the bay of a wall: heights from one floor, the box proud by the finish, and where in
//! the bay hub, trap and arm miss the studs.

use truefall_model::catalog::Catalog;
use truefall_model::catalog::pattern::Pattern;
use truefall_model::framing::space::WallSpace;
use truefall_model::job::Job;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::label::Label;
use truefall_model::place::{PartId, RoughIn};

/// A washer as placed.
#[derive(Debug, Clone, PartialEq)]
pub struct Washer {
    /// The fixture.
    pub fixture: Label,
    /// Its floor.
    pub floor: Label,
    /// The trap's weir off that floor, finished.
    pub weir_in: f64,
    /// The standpipe's rim off it.
    pub rim_in: f64,
    /// The middle of its box off it; none where no figure tells how far that is over the rim.
    pub box_in: Option<f64>,
    /// The wall's finish: what the box stands proud of the studs.
    pub proud_in: f64,
    /// Between the studs on both sides, along the wall; none where no two studs stand about it.
    pub bay_in: Option<(f64, f64)>,
    /// The standpipe's centre along the wall.
    pub along_in: f64,
    /// Where it may be, by the way its trap is swung, the wider span first.
    pub free: Vec<Free>,
}

/// Places of the standpipe along the wall at which nothing meets a stud.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Free {
    /// The trap lies on from its arm; else it is swung back along it.
    pub straight_on: bool,
    /// The least.
    pub least_in: f64,
    /// The greatest.
    pub greatest_in: f64,
}

/// Where a standpipe may stand in a bay. `arm` is which way the arm leaves along the wall, +1 or -1. The arm's own pipe goes
/// through the stud in its hole; hubs and the trap's bends must not meet it.
pub fn free(bay_in: (f64, f64), arm: f64, trap: &Pattern) -> Vec<Free> {
    let Some(swing) = &trap.swing else { return Vec::new() };
    let inlet = trap.ports.iter().find(|p| p.name.as_str() == "inlet");
    let hub = inlet.map_or(0.0, |p| p.outside.to_inches() / 2.0);
    let outlet = &trap.ports[trap.enter];
    let radius = outlet.outside.to_inches() / 2.0;
    // From the riser's axis to the outlet's face, on the arm's side; the bends are as wide as the hub.
    let face = outlet.laying.to_inches() + outlet.socket.to_inches();
    let spread = swing.radius.to_inches();
    let (a, b) = if arm > 0.0 { bay_in } else { (-bay_in.1, -bay_in.0) };
    // Seen so that the arm leaves upward along the wall: the riser lies that way of the standpipe, or the other.
    let spans = [
        (true, a + hub, (b - face - spread).min(b - hub)),
        (false, a + radius + spread, (b - hub).min(b - face + spread)),
    ];
    let mut out: Vec<Free> = spans
        .into_iter()
        .filter(|(_, least, greatest)| least <= greatest)
        .map(|(straight_on, least, greatest)| {
            let (least_in, greatest_in) = if arm > 0.0 { (least, greatest) } else { (-greatest, -least) };
            Free { straight_on, least_in, greatest_in }
        })
        .collect();
    out.sort_by(|x, y| (y.greatest_in - y.least_in).total_cmp(&(x.greatest_in - x.least_in)));
    out
}

/// All washers of a placed job whose run ends in a trap in a wall.
pub fn washers(job: &Job, catalog: &Catalog, rough_in: &RoughIn) -> Vec<Washer> {
    let placed = rough_in.placed(job.cut_on);
    let washer = |l: &&truefall_model::place::Landing| job.fixtures[l.fixture].kind == FixtureKind::WasherBox;
    placed
        .landings
        .iter()
        .filter(washer)
        .filter_map(|landing| {
            let fixture = &job.fixtures[landing.fixture];
            let floor = rough_in.framed.floor(&fixture.floor)?;
            let wall = fixture.wall.as_ref().and_then(|w| rough_in.framed.wall(w))?;
            let along_in = wall.measure(landing.at.xy()).0;
            let (trap, pattern) = trap(rough_in, landing.part)?;
            let bay_in = bay(rough_in, wall, along_in);
            let arm = placed.axis(rough_in, trap, pattern.enter).xy().dot(&wall.along);
            // An arm that goes out of the wall meets no stud of it.
            let free = bay_in
                .filter(|_| arm.abs() > 0.7)
                .map_or_else(Vec::new, |bay| free(bay, arm.signum(), pattern));
            Some(Washer {
                fixture: fixture.name.clone(),
                floor: floor.label.clone(),
                weir_in: landing.weir?.z - floor.finished_z,
                rim_in: landing.wants.z - floor.finished_z,
                box_in: box_over_rim(catalog).map(|over| landing.wants.z - floor.finished_z + over),
                proud_in: wall.finish_room,
                bay_in: bay_in.filter(|_| arm.abs() > 0.7),
                along_in,
                free,
            })
        })
        .collect()
}

fn box_over_rim(catalog: &Catalog) -> Option<f64> {
    let usual = catalog.rough_in(FixtureKind::WasherBox.word())?;
    Some(usual.box_over_rim.as_ref()?.value.to_inches())
}

fn trap(rough_in: &RoughIn, from: PartId) -> Option<(PartId, &Pattern)> {
    let way = std::iter::successors(Some(from), |p| rough_in.network.below(*p));
    way.filter_map(|p| Some((p, rough_in.part(p).pattern()?))).find(|(_, pattern)| pattern.swing.is_some())
}

/// The faces of the studs nearest on both sides.
fn bay(rough_in: &RoughIn, wall: &WallSpace, along_in: f64) -> Option<(f64, f64)> {
    let studs = rough_in.framed.members.iter().filter(|m| m.wall == Some(wall.id) && m.kind.is_upright());
    let edges: Vec<(f64, f64)> =
        studs.filter_map(|m| m.along.map(|a| (a.to_inches(), (a + m.thickness()).to_inches()))).collect();
    let below = edges.iter().map(|e| e.1).filter(|far| *far <= along_in).fold(f64::NEG_INFINITY, f64::max);
    let above = edges.iter().map(|e| e.0).filter(|near| *near >= along_in).fold(f64::INFINITY, f64::min);
    (below.is_finite() && above.is_finite()).then_some((below, above))
}

#[cfg(test)]
mod tests {
    use super::*;

    // By hand, 2 in trap of ASTM D3311 (spread 4-5/8, outlet 2-5/16 and a 3/4 hub, hub 2-3/4 outside): in a bay of 14-1/2 with
    // its arm to the right, on from the arm the standpipe may stand from 1-3/8 to 14-1/2 - 3-1/16 - 4-5/8 = 6-13/16.
    #[test]
    fn a_trap_takes_its_spread_and_its_outlet_on_the_arms_side() {
        let trap = Catalog::builtin().pattern("2 p-trap").unwrap();
        let spans = free((0.0, 14.5), 1.0, trap);
        let on = spans.iter().find(|f| f.straight_on).unwrap();
        assert!((on.least_in - 1.375).abs() < 1e-9 && (on.greatest_in - 6.8125).abs() < 1e-9, "{on:?}");
        // The same bay seen in a mirror.
        let left = free((0.0, 14.5), -1.0, trap);
        let mirrored = left.iter().find(|f| f.straight_on).unwrap();
        assert!(
            (mirrored.least_in - (14.5 - 6.8125)).abs() < 1e-9
                && (mirrored.greatest_in - (14.5 - 1.375)).abs() < 1e-9
        );
        assert!(free((0.0, 5.0), 1.0, trap).is_empty());
    }
}
