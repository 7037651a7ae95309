//! Bores as rings by their margin, plates and straps where they are nailed.

use super::batch::{Form, Piece};
use super::shown;
use super::stuff::Stuff;
use crate::loaded::Loaded;
use crate::look::Look;
use crate::theme;
use nalgebra::{Isometry3, Matrix3, Rotation3, UnitQuaternion, Vector3};
use truefall_check::Verdict;
use truefall_check::bore::Bore;
use truefall_model::framing::member::Member;
use truefall_model::framing::provided::Provided;
use truefall_model::solid::Body;

/// The rings, plates and straps in wood that is shown.
pub(super) fn pieces(loaded: &Loaded, look: &Look) -> Vec<Piece> {
    let framed = &loaded.seen.rough_in.framed;
    let bores: Vec<(&Bore, &Member)> = loaded
        .seen
        .bores
        .iter()
        .filter(|b| b.placement == look.placement)
        .filter_map(|b| Some((b, framed.member_of(b.member)?)))
        .filter(|(b, m)| shown::member(loaded, look, m) && shown::point(loaded, look, b.centre))
        .collect();
    let mut pieces: Vec<Piece> = bores.iter().flat_map(|(b, m)| rings(loaded, b, m)).collect();
    for item in &loaded.job.provided {
        let (label, long) = match item {
            Provided::Plate { member, .. } => (member, 2.5),
            Provided::Strap { member, .. } => (member, 8.0),
            _ => continue,
        };
        for (bore, m) in bores.iter().filter(|(_, m)| m.label == *label) {
            pieces.push(plate(bore, m, long));
        }
    }
    pieces
}

fn rings(loaded: &Loaded, bore: &Bore, member: &Member) -> [Piece; 2] {
    let parts: Vec<&str> = bore.parts.iter().map(|p| loaded.seen.rough_in.part(*p).label.as_str()).collect();
    let told = loaded.seen.findings.iter().any(|f| {
        f.verdict == Verdict::RedTag
            && f.labels.contains(&member.label)
            && f.labels.iter().any(|l| parts.contains(&l.as_str()))
    });
    let color = theme::ring(bore.cut.least().to_inches(), told);
    let axis = member.across().into_inner();
    let radius_in = bore.drilled.hole.to_inches() / 2.0 + 0.1;
    [-1.0, 1.0].map(|side| Piece {
        form: Form::Ring { centre: bore.centre + axis * (member.half.x * side), axis, radius_in },
        stuff: Stuff::Mark,
        color,
    })
}

/// Steel on the face of a member over a hole, so long each way along it.
fn plate(bore: &Bore, m: &Member, long: f64) -> Piece {
    let deep = m.deep().into_inner();
    let face = bore.centre + deep * (m.half.y + 0.05 - (bore.centre - m.centre()).dot(&deep));
    let turn =
        UnitQuaternion::from_rotation_matrix(&Rotation3::from_matrix_unchecked(Matrix3::from_columns(&[
            m.across().into_inner(),
            deep,
            m.lengthwise().into_inner(),
        ])));
    let pose = Isometry3::from_parts(face.coords.into(), turn);
    Piece::plain(Body::Cuboid { pose, half: Vector3::new(0.75, 0.05, long) }, Stuff::Steel)
}
