//! A joist in a route's way, cut and headed off between its neighbours: the floor's opening and the headers, as a carpenter frames
//! them, with the numbers to say to him.
//!
//! Each header is one joist's thickness and as deep; what it must be to carry the floor is for the carpenter and the official.

use super::stop::Stop;
use crate::trial::Bench;
use nalgebra::{Point2, Point3, Vector2};
use truefall_model::framing::floor::FloorOpening;
use truefall_model::framing::frame::Framed;
use truefall_model::framing::house::LooseMember;
use truefall_model::framing::member::{Member, MemberId, MemberKind};
use truefall_model::job::edit::Edit;
use truefall_model::label::Label;
use truefall_model::place::place;
use truefall_model::units::Length;

/// Clear of the pipe's centre line on either side, to the headers, inches: its hubs, and room to put it in; more where a trap hangs
/// beside the joist.
pub(super) const CLEAR_IN: [f64; 3] = [4.0, 8.0, 12.0];
/// The longest gap in a joist that is thought of.
const LONGEST_GAP_IN: f64 = 48.0;

/// A joist headed off: what to say to the carpenter, and the house as it would be.
pub(super) struct HeadedOff {
    /// What to cut, and what to frame, with its numbers.
    pub(super) words: String,
    /// The house with the gap and its headers.
    pub(super) house: Edit,
}

/// Each joist that stops a route, headed off by itself; none for one that a leg runs along, or whose gap would be too long.
pub(super) fn headed_off(
    bench: &Bench<'_>,
    stops: &[Stop],
    legs: &[[Point3<f64>; 2]],
    clear_in: f64,
) -> Vec<HeadedOff> {
    let Ok(rough_in) = place(bench.job, bench.catalog) else { return Vec::new() };
    let mut seen = Vec::new();
    for member in stops.iter().filter_map(wood) {
        if !seen.contains(&member) {
            seen.push(member);
        }
    }
    seen.into_iter().filter_map(|member| one(bench, &rough_in.framed, member, (legs, clear_in))).collect()
}

/// The member that a stop is about, where it is the wood that stops.
fn wood(stop: &Stop) -> Option<MemberId> {
    match stop {
        Stop::HoleTooLarge { member, .. }
        | Stop::EdgeTooThin { member, .. }
        | Stop::InWood { member, .. } => Some(*member),
        _ => None,
    }
}

fn one(
    bench: &Bench<'_>,
    framed: &Framed,
    member: MemberId,
    (legs, clear_in): (&[[Point3<f64>; 2]], f64),
) -> Option<HeadedOff> {
    let joist = framed.member_of(member).filter(|m| m.kind == MemberKind::Joist)?;
    let row = Row { way: joist.lengthwise().xy().try_normalize(1e-9)? };
    let gap = row.gap(joist, legs, clear_in)?;
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
    Some(HeadedOff { words, house: Edit::House(Box::new(house)) })
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
    fn gap(&self, joist: &Member, legs: &[[Point3<f64>; 2]], clear_in: f64) -> Option<(f64, f64)> {
        let ((low, high), (bottom, top)) = (self.across(joist), (joist.bounds().0.z, joist.bounds().1.z));
        let near = (low - clear_in / 2.0, high + clear_in / 2.0);
        let mut gap: Option<(f64, f64)> = None;
        for [a, b] in legs {
            if a.z.max(b.z) < bottom - clear_in || a.z.min(b.z) > top {
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
        let (from, to) = (from - clear_in - thick, to + clear_in + thick);
        let whole = self.along(joist);
        (to - from <= LONGEST_GAP_IN && from > whole.0 && to < whole.1)
            .then(|| (((from) * 16.0).round() / 16.0, ((to) * 16.0).round() / 16.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Vector3;
    use truefall_check::code::Profile;
    use truefall_model::catalog::Catalog;
    use truefall_model::job::Placement;
    use truefall_model::job::file::JobFile;

    // Framed by hand (common practice: one header at each end of the gap, between the joists on either side): a pipe square
    // through a joist takes its centre line, 4 in to each header, and the two headers, each a joist thick; a header is as long as
    // the clear way between the neighbours, which is two spacings less one thickness.
    #[test]
    fn the_numbers_are_those_a_carpenter_works_out() {
        let text = include_str!("../../../../scenes/one_bath.ron");
        let file = JobFile::read("one_bath.ron", text).expect("it reads");
        let catalog = Catalog::builtin();
        let rough_in = place(&file.job, catalog).expect("it places");
        let framed = &rough_in.framed;
        let profile = Profile::builtin("irc-2021").expect("a code");
        let bench = Bench { job: &file.job, catalog, profile: &profile, placements: &[Placement::Drawn] };
        let joists: Vec<&Member> = framed.members.iter().filter(|m| m.kind == MemberKind::Joist).collect();
        let joist = joists[joists.len() / 2];
        let way = joist.lengthwise().normalize();
        let side = Vector3::new(-way.y, way.x, 0.0);
        let (at, thick) = (joist.centre(), joist.half.x * 2.0);
        let legs = [[at - side * 20.0, at + side * 20.0]];
        let stop = Stop::InWood { member: joist.id, label: joist.label.clone(), deep: Length::inches(1.0) };
        let found = headed_off(&bench, std::slice::from_ref(&stop), &legs, 4.0);
        assert_eq!(found.len(), 1);
        let Edit::House(house) = &found[0].house else { panic!("the house changes") };
        let gap = house.floors.iter().flat_map(|f| &f.openings).next_back().expect("a gap");
        let size = [(gap.to.0 - gap.from.0).to_inches().abs(), (gap.to.1 - gap.from.1).to_inches().abs()];
        let long = size[0].max(size[1]);
        assert!((long - (2.0 * 4.0 + 2.0 * thick)).abs() <= 1.0 / 8.0, "{long} of gap, {thick} thick");
        let headers: Vec<_> = house.members.iter().rev().take(2).collect();
        let mut across: Vec<f64> = joists.iter().map(|m| (m.centre() - at).dot(&side)).collect();
        across.sort_by(f64::total_cmp);
        let middle = across.iter().position(|d| d.abs() < 1e-9).expect("itself");
        let clear = across[middle + 1] - across[middle - 1] - thick;
        for header in headers {
            let longest = header.size.0.max(header.size.1).to_inches();
            assert!((longest - clear).abs() <= 1.0 / 16.0, "{longest} of header in {clear}");
        }
        // Along the joist nothing is headed off: there would be no joist left.
        let along = [[at - way * 40.0, at + way * 40.0]];
        assert!(headed_off(&bench, &[stop], &along, 4.0).is_empty());
    }
}
