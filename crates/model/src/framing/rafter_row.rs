//! The rafters under a plane of the roof.

use super::build::Site;
use super::edge_row;
use super::member::{Bearing, Member, MemberId, MemberKind};
use super::roof::RoofPlane;
use super::space::{RoofSpace, posed, turned};
use super::stud_layout::USUAL_SPACING;
use crate::label::Label;
use crate::units::Length;
use nalgebra::Vector3;

/// Lays the rafters; their ends are cut square, eave and ridge.
pub(super) fn lay(site: &mut Site<'_>, space: &RoofSpace, roof: &RoofPlane, path: &str) {
    let Some(rafters) = &roof.rafters else { return };
    let path = format!("{path}.rafters");
    let Some(nominal) = site.nominal(rafters.size.as_ref(), &format!("{path}.size")) else { return };
    let thick = rafters.thick.or(nominal.map(|n| n.0));
    let depth = rafters.depth.or(nominal.map(|n| n.1));
    let (Some(thick), Some(depth)) = (thick, depth) else {
        return site.trouble(path, "the rafters need `size`, or `thick` and `depth`");
    };
    if !site.is_positive(format!("{path}.thick"), "the thickness", thick)
        || !site.is_positive(format!("{path}.depth"), "the depth", depth)
    {
        return;
    }
    let (thick, depth) = (thick.to_inches(), depth.to_inches());
    let edges = if rafters.edges.is_empty() {
        let spacing = rafters.spacing.unwrap_or(USUAL_SPACING).to_inches();
        edge_row::spaced(
            site,
            &format!("{path}.spacing"),
            rafters.first.to_inches(),
            spacing,
            thick,
            space.length,
        )
    } else {
        edge_row::measured(site, &format!("{path}.edges"), "rafter", &rafters.edges, thick, space.length)
    };
    let eave = Vector3::new(space.along.x, space.along.y, 0.0);
    let level = Vector3::new(space.upslope.x, space.upslope.y, 0.0);
    let up_slope = (level + Vector3::z() * space.slope).normalize();
    let length = space.run / up_slope.dot(&level);
    let turn = turned(-eave, space.normal, up_slope);
    for (i, edge) in edges.into_iter().enumerate() {
        let centre = space.point + eave * (edge + thick / 2.0) + up_slope * (length / 2.0)
            - space.normal * (roof.deck.to_inches() + depth / 2.0);
        site.push(Member {
            id: MemberId(0),
            label: Label::new(format!("{} rafter {}", roof.name, i + 1)),
            kind: MemberKind::Rafter,
            pose: posed(centre, turn),
            half: Vector3::new(thick, depth, length) / 2.0,
            wall: None,
            floor: None,
            bearing: Bearing::Yes,
            plies: 1,
            along: Some(Length::inches(edge)),
            flange: None,
            assumed: rafters.edges.is_empty() && rafters.spacing.is_none(),
        });
    }
}
