//! A joist in a route's way, cut and headed off between its neighbours: the floor's opening and the headers, as a carpenter frames
//! them, with the numbers to say to him.
//!
//! Each header is one joist's thickness and as deep; what it must be to carry the floor is for the carpenter and the official.

use super::stop::Stop;
use crate::trial::Bench;
use nalgebra::{Point2, Point3, Vector2};
use truefall_model::framing::floor::FloorOpening;
use truefall_model::framing::house::LooseMember;
use truefall_model::framing::member::{Member, MemberId, MemberKind};
use truefall_model::job::edit::Edit;
use truefall_model::label::Label;
use truefall_model::place::place;
use truefall_model::units::Length;

/// Clear of the pipe's centre line on either side, to the headers: its hubs, and room to put it in.
const CLEAR_IN: f64 = 4.0;
/// The longest gap in a joist that is thought of.
const LONGEST_GAP_IN: f64 = 48.0;

/// The one joist that stops a route headed off, in words and as a change of the house.
pub(super) fn headed_off(
    bench: &Bench<'_>,
    stops: &[Stop],
    legs: &[(Point3<f64>, Point3<f64>)],
) -> Option<(String, Vec<Edit>)> {
    let rough_in = place(bench.job, bench.catalog).ok()?;
    let framed = &rough_in.framed;
    let joist = framed.member_of(only(stops)?).filter(|m| m.kind == MemberKind::Joist)?;
    let row = Row { way: joist.lengthwise().xy().try_normalize(1e-9)? };
    let gap = row.gap(joist, legs)?;
    let (low, high) = row.across(joist);
    let beside = |m: &&Member| {
        let (from, to) = row.along(m);
        m.kind == MemberKind::Joist && m.floor == joist.floor && from <= gap.0 && gap.1 <= to
    };
    let others = || framed.members.iter().filter(beside);
    let before = others().filter(|m| row.across(m).1 <= low).max_by(|a, b| row.order(a, b))?;
    let after = others().filter(|m| row.across(m).0 >= high).min_by(|a, b| row.order(a, b))?;
    let floor = framed.floors.iter().find(|f| joist.floor.is_some_and(|id| f.id == id))?.label.clone();
    let thick = high - low;
    let span = (row.across(before).1, row.across(after).0);
    let mut house = bench.job.house.clone();
    let own = house.floors.iter_mut().find(|f| f.name == floor)?;
    let corner = |s: f64, c: f64| {
        let p = row.point(s, c);
        (sixteenth(p.x), sixteenth(p.y))
    };
    own.openings.push(FloorOpening {
        name: Label::new(format!("gap in {}", joist.label)),
        from: corner(gap.0, low),
        to: corner(gap.1, high),
    });
    let (bottom, top) = (joist.bounds().0.z, joist.bounds().1.z);
    for (i, start) in [gap.0, gap.1 - thick].into_iter().enumerate() {
        let (a, b) = (row.point(start, span.0), row.point(start + thick, span.1));
        let (least, most) = (a.inf(&b), a.sup(&b));
        house.members.push(LooseMember {
            name: Label::new(format!("header {} at {}", i + 1, joist.label)),
            kind: MemberKind::Header,
            from: (Length::inches(least.x), Length::inches(least.y), Length::inches(bottom)),
            size: (
                Length::inches(most.x - least.x),
                Length::inches(most.y - least.y),
                Length::inches(top - bottom),
            ),
            bearing: Some(true),
            plies: 1,
        });
    }
    let start = row.along(joist).0;
    let words = format!(
        "have a carpenter head off {}: out from {} to {} from its near end, with two headers {} deep and {} long between {} and {}",
        joist.label,
        sixteenth(gap.0 - start),
        sixteenth(gap.1 - start),
        Length::inches(top - bottom),
        sixteenth(span.1 - span.0),
        before.label,
        after.label
    );
    Some((words, vec![Edit::House(Box::new(house))]))
}

/// The one member that all stops are about.
fn only(stops: &[Stop]) -> Option<MemberId> {
    let mut members = stops.iter().map(|stop| match stop {
        Stop::HoleTooLarge { member, .. }
        | Stop::EdgeTooThin { member, .. }
        | Stop::InWood { member, .. } => Some(*member),
        _ => None,
    });
    let first = members.next()??;
    members.all(|m| m == Some(first)).then_some(first)
}

fn sixteenth(v: f64) -> Length {
    Length::inches((v * 16.0).round() / 16.0)
}

/// A row of joists by the way they run.
struct Row {
    way: Vector2<f64>,
}

impl Row {
    fn side(&self) -> Vector2<f64> {
        Vector2::new(-self.way.y, self.way.x)
    }

    fn point(&self, along: f64, across: f64) -> Point2<f64> {
        Point2::from(self.way * along + self.side() * across)
    }

    fn across(&self, member: &Member) -> (f64, f64) {
        let middle = member.centre().xy().coords.dot(&self.side());
        (middle - member.half.x, middle + member.half.x)
    }

    fn along(&self, member: &Member) -> (f64, f64) {
        let middle = member.centre().xy().coords.dot(&self.way);
        (middle - member.half.z, middle + member.half.z)
    }

    fn order(&self, a: &Member, b: &Member) -> std::cmp::Ordering {
        self.across(a).0.total_cmp(&self.across(b).0)
    }

    /// From where to where a joist is taken out for what passes it.
    fn gap(&self, joist: &Member, legs: &[(Point3<f64>, Point3<f64>)]) -> Option<(f64, f64)> {
        let ((low, high), (bottom, top)) = (self.across(joist), (joist.bounds().0.z, joist.bounds().1.z));
        let near = (low - CLEAR_IN / 2.0, high + CLEAR_IN / 2.0);
        let mut gap: Option<(f64, f64)> = None;
        for (a, b) in legs {
            if a.z.max(b.z) < bottom - CLEAR_IN || a.z.min(b.z) > top {
                continue;
            }
            let across = |p: &Point3<f64>| p.xy().coords.dot(&self.side());
            let (from, to) = (across(a), across(b));
            let (mut start, mut end) = (0.0_f64, 1.0_f64);
            if (to - from).abs() < 1e-9 {
                if from < near.0 || from > near.1 {
                    continue;
                }
            } else {
                let (one, other) = ((near.0 - from) / (to - from), (near.1 - from) / (to - from));
                (start, end) = (start.max(one.min(other)), end.min(one.max(other)));
            }
            if start >= end {
                continue;
            }
            for share in [start, end] {
                let s = (a + (b - a) * share).xy().coords.dot(&self.way);
                gap = Some(gap.map_or((s, s), |(l, h)| (l.min(s), h.max(s))));
            }
        }
        let thick = high - low;
        let (from, to) = gap?;
        let (from, to) = (from - CLEAR_IN - thick, to + CLEAR_IN + thick);
        let whole = self.along(joist);
        (to - from <= LONGEST_GAP_IN && from > whole.0 && to < whole.1)
            .then(|| (((from) * 16.0).round() / 16.0, ((to) * 16.0).round() / 16.0))
    }
}
