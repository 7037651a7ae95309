//! Parts, by the bodies the checks see: as found, leaning as much as asked, and as drawn beside it.

use super::batch::Piece;
use super::shown;
use super::stuff::Stuff;
use crate::loaded::Loaded;
use crate::look::Look;
use nalgebra::{Isometry3, UnitQuaternion};
use truefall_model::job::Placement;
use truefall_model::place::{PartId, RoughIn};
use truefall_model::solid::Body;

/// The bodies of a part where it is drawn.
pub(crate) fn bodies(rough_in: &RoughIn, look: &Look, part: PartId) -> Vec<Body> {
    moved(rough_in, part, &frame(rough_in, look, part))
}

fn moved(rough_in: &RoughIn, part: PartId, to: &Isometry3<f64>) -> Vec<Body> {
    let motion = to * rough_in.found.world_from_part[part.0 as usize].inverse();
    rough_in.found.bodies_of(part).iter().map(|b| b.transformed(&motion)).collect()
}

/// The parts that are shown, and where a plumb string hangs the drawn ones beside them.
pub(super) fn pieces(loaded: &Loaded, look: &Look) -> Vec<Piece> {
    let rough_in = &loaded.seen.rough_in;
    let placed = rough_in.placed(look.placement);
    let mut pieces = Vec::new();
    for part in &rough_in.parts {
        if !shown::point(loaded, look, placed.origin(part.id)) {
            continue;
        }
        let stuff = Stuff::Pipe(part.material);
        pieces.extend(bodies(rough_in, look, part.id).into_iter().map(|b| Piece::plain(b, stuff)));
        if look.lean {
            let drawn = moved(rough_in, part.id, &rough_in.drawn.world_from_part[part.id.0 as usize]);
            pieces.extend(drawn.into_iter().map(|b| Piece::plain(b, Stuff::Ghost)));
        }
    }
    pieces
}

/// Where a part is drawn: on the way from drawn to found and beyond, as far as the lean is exaggerated.
pub(crate) fn frame(rough_in: &RoughIn, look: &Look, part: PartId) -> Isometry3<f64> {
    let i = part.0 as usize;
    let (drawn, found) = (rough_in.drawn.world_from_part[i], rough_in.found.world_from_part[i]);
    let times = match look.placement {
        Placement::Drawn => 0.0,
        Placement::Found => f64::from(look.exaggeration),
    };
    let moved = found.translation.vector - drawn.translation.vector;
    let turned = (found.rotation * drawn.rotation.inverse()).scaled_axis();
    Isometry3::from_parts(
        (drawn.translation.vector + moved * times).into(),
        UnitQuaternion::from_scaled_axis(turned * times) * drawn.rotation,
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hold::demo;

    // 1x is the found placement itself; 10x moves ten times as far.
    #[test]
    fn exaggeration_multiplies_how_far_a_part_moved() {
        let loaded = demo();
        let rough_in = &loaded.seen.rough_in;
        let top = loaded.by_label["T5"];
        let at =
            |x: f32| frame(rough_in, &Look { exaggeration: x, ..Look::default() }, top).translation.vector;
        let (one, ten) = (at(1.0), at(10.0));
        let drawn = rough_in.drawn.origin(top).coords;
        assert!((one - rough_in.found.origin(top).coords).norm() < 1e-9);
        assert!((one - drawn).norm() > 0.5, "the demo's stack leans");
        assert!((ten - drawn - (one - drawn) * 10.0).norm() < 1e-6);
    }
}
