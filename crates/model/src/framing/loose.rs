//! Members given as boxes along the job's axes.

use super::build::{Site, axis_box};
use super::house::LooseMember;
use super::member::{Bearing, Member, MemberId, MemberKind};
use super::space::{posed, turned};
use nalgebra::Vector3;

/// Stands them all.
pub(super) fn stand(site: &mut Site<'_>) {
    let house = site.house;
    for (i, member) in house.members.iter().enumerate() {
        let path = format!("house.members[{i}]");
        if !site.is_box(&format!("{path}.size"), member.size) {
            continue;
        }
        if site.framed.members.iter().any(|m| m.label == member.name) {
            site.trouble(format!("{path}.name"), format!("a second member is called `{}`", member.name));
        }
        let (centre, half) = axis_box(member.from, member.size);
        let (x, z) = axes(member, half);
        let y = z.cross(&x);
        let along = |axis: Vector3<f64>| axis.abs().dot(&half);
        site.push(Member {
            id: MemberId(0),
            label: member.name.clone(),
            kind: member.kind,
            pose: posed(centre, turned(x, y, z)),
            half: Vector3::new(along(x), along(y), along(z)),
            wall: None,
            floor: None,
            bearing: Bearing::said(member.bearing),
            plies: member.plies.max(1),
            along: None,
            flange: None,
            assumed: false,
        });
    }
}

/// The ways of its thickness and its length.
fn axes(member: &LooseMember, half: Vector3<f64>) -> (Vector3<f64>, Vector3<f64>) {
    let (shorter, longer) =
        if half.x >= half.y { (Vector3::y(), Vector3::x()) } else { (Vector3::x(), Vector3::y()) };
    let stands =
        matches!(member.kind, MemberKind::Brace | MemberKind::Blocking) && half.z > half.x.max(half.y);
    if member.kind.is_upright() || stands {
        (shorter, Vector3::z())
    } else if member.kind.is_flat() {
        (-Vector3::z(), longer)
    } else {
        (Vector3::z().cross(&longer), longer)
    }
}
