//! A wall's wood: plates, studs, what openings put in their place, and blocking.

use super::build::{Site, flat_in, on_edge_in};
use super::member::{Bearing, Member, MemberId, MemberKind};
use super::opening::{Hole, OpenWall};
use super::space::{WallSpace, posed};
use super::spans::{Span, overlap, without};
use super::stud_layout::{Place, studs};
use super::trouble::FrameTrouble;
use super::wall::Wall;
use crate::label::Label;
use crate::tolerance::TOUCH;
use crate::units::Length;
use nalgebra::{UnitQuaternion, Vector3};

/// More than any wall has; keeps a slip from filling the memory.
const MOST_PLATES: u32 = 10;

/// Stands the wall's members in the frame; `None` where its measures can't be a wall.
pub(super) fn stand(
    site: &mut Site<'_>,
    space: WallSpace,
    wall: &Wall,
    doubled: &[(String, Length)],
    path: &str,
) -> Option<WallSpace> {
    let mut good = true;
    for (field, length) in [("depth", wall.depth), ("thick", wall.thick), ("plate_thick", wall.plate_thick)] {
        good &= site.is_positive(format!("{path}.{field}"), field, length);
    }
    if wall.bottom_plates > MOST_PLATES || wall.top_plates > MOST_PLATES {
        site.trouble(path, format!("at most {MOST_PLATES} bottom and {MOST_PLATES} top plates are allowed"));
        return None;
    }
    let plates = f64::from(wall.bottom_plates) + f64::from(wall.top_plates);
    let stud = wall.height - wall.plate_thick * plates;
    good &= site.is_positive(format!("{path}.height"), "what the plates leave of the height for studs", stud);
    if !good {
        return None;
    }
    let plate = wall.plate_thick.to_inches();
    let mut frame = WallFrame {
        wall,
        bottom: f64::from(wall.bottom_plates) * plate,
        top: wall.height.to_inches() - f64::from(wall.top_plates) * plate,
        thick: wall.thick.to_inches(),
        space: &space,
        made: Vec::new(),
    };
    let opening_wall =
        OpenWall { wall, length: space.length, bottom: frame.bottom, top: frame.top, thick: frame.thick };
    let openings = opening_wall.openings(site, path);
    let row = studs(site, wall, doubled, space.length, path);
    frame.bottom_plates(&openings);
    frame.uprights(site, &row, &openings, path);
    frame.headers_and_sills(&openings);
    frame.blocking(site, &openings, path);
    frame.top_plates();
    for member in frame.made {
        site.push(member);
    }
    Some(space)
}

struct WallFrame<'w> {
    wall: &'w Wall,
    space: &'w WallSpace,
    /// Top of the bottom plates and underside of the top plates over the floor.
    bottom: f64,
    top: f64,
    thick: f64,
    made: Vec<Member>,
}

impl WallFrame<'_> {
    fn bottom_plates(&mut self, openings: &[Hole<'_>]) {
        let doors: Vec<Span> = openings.iter().filter(|h| h.sill.is_none()).map(|h| h.clear).collect();
        let parts = without((0.0, self.space.length), &doors);
        for layer in 0..self.wall.bottom_plates {
            let z = self.plate_at(0.0, layer);
            for (part, span) in parts.iter().enumerate() {
                let label = match parts.len() {
                    1 => format!("bottom plate {}", layer + 1),
                    _ => format!("bottom plate {} part {}", layer + 1, part + 1),
                };
                self.flat(label, MemberKind::BottomPlate, *span, z, None);
            }
        }
    }

    fn top_plates(&mut self) {
        for layer in 0..self.wall.top_plates {
            let z = self.plate_at(self.top, layer);
            self.flat(
                format!("top plate {}", layer + 1),
                MemberKind::TopPlate,
                (0.0, self.space.length),
                z,
                None,
            );
        }
    }

    fn plate_at(&self, base: f64, layer: u32) -> Span {
        let thick = self.wall.plate_thick.to_inches();
        let low = base + f64::from(layer) * thick;
        (low, low + thick)
    }

    /// Studs, and at openings kings, jacks and cripples, all in order along the wall.
    fn uprights(&mut self, site: &mut Site<'_>, row: &[Place], openings: &[Hole<'_>], path: &str) {
        let assumed = self.space.studs_assumed;
        let first = self.made.len();
        let (bottom, top) = (self.bottom, self.top);
        let (mut number, mut stood) = (0, false);
        let mut cripples = vec![0; openings.len()];
        for place in row {
            let span = (place.edge, place.edge + self.thick);
            let Some(at) = openings.iter().position(|h| overlap(h.whole(), span)) else {
                // A second ply whose first gave way to an opening is a stud of its own.
                let second = place.second && stood;
                stood = true;
                number += u32::from(!second);
                let ply = if second { " ply 2" } else { "" };
                self.upright(
                    format!("stud {number}{ply}"),
                    MemberKind::Stud,
                    span,
                    (bottom, top),
                    place.plies,
                    assumed,
                );
                continue;
            };
            stood = false;
            let hole = &openings[at];
            let trim = hole.jacks.iter().chain(&hole.kings).find(|(s, _)| overlap(*s, span));
            let name = &hole.opening.name;
            let (measured, slack) = (!self.wall.studs.is_empty(), TOUCH.to_inches());
            let read = Length::inches(span.0);
            if let Some((trim, _)) = trim {
                // By spacing, the opening's own stud simply takes the place; a measured one should be that stud.
                if measured && (trim.0 - span.0).abs() > slack {
                    let there = Length::inches(trim.0);
                    let told = format!(
                        "the stud measured at {read} stands in the king or jack of `{name}` at {there}"
                    );
                    let help = "say with `kings` and `jacks` what stands beside the opening".to_owned();
                    site.troubles.push(FrameTrouble::new(format!("{path}.studs"), told).helped(Some(help)));
                }
                continue;
            }
            if measured && (span.0 < hole.clear.0 - slack || span.1 > hole.clear.1 + slack) {
                let told =
                    format!("the stud measured at {read} stands half in the clear opening of `{name}`");
                site.trouble(format!("{path}.studs"), told);
            }
            cripples[at] += 1;
            let (name, number) = (hole.opening.name.clone(), cripples[at]);
            let above = (hole.header_top, top);
            if above.1 - above.0 > TOUCH.to_inches() {
                self.upright(
                    format!("cripple {name} above {number}"),
                    MemberKind::Cripple,
                    span,
                    above,
                    place.plies,
                    assumed,
                );
            }
            if let Some(sill) = hole.sill {
                let below = (bottom, sill - self.thick);
                if below.1 - below.0 > TOUCH.to_inches() {
                    self.upright(
                        format!("cripple {name} below {number}"),
                        MemberKind::Cripple,
                        span,
                        below,
                        place.plies,
                        assumed,
                    );
                }
            }
        }
        for hole in openings {
            let name = &hole.opening.name;
            for (span, side) in &hole.kings {
                let label = format!("king {name} {side}");
                self.upright(label, MemberKind::King, *span, (bottom, top), hole.opening.kings, false);
            }
            for (span, side) in &hole.jacks {
                let label = format!("jack {name} {side}");
                self.upright(label, MemberKind::Jack, *span, (bottom, hole.head), hole.opening.jacks, false);
            }
        }
        let along = |m: &Member| m.along.map_or(0.0, Length::to_inches);
        self.made[first..]
            .sort_by(|a, b| along(a).total_cmp(&along(b)).then(a.centre().z.total_cmp(&b.centre().z)));
    }

    fn headers_and_sills(&mut self, openings: &[Hole<'_>]) {
        let middle = -self.space.depth / 2.0;
        for hole in openings {
            let name = &hole.opening.name;
            let (from, to) = hole.header();
            let half = Vector3::new(self.space.depth, hole.header_top - hole.head, to - from) / 2.0;
            let centre = ((from + to) / 2.0, middle, (hole.head + hole.header_top) / 2.0);
            let turn = on_edge_in(self.space);
            self.make(format!("header {name}"), MemberKind::Header, centre, turn, half, from);
            if let Some(sill) = hole.sill {
                self.flat(
                    format!("sill {name}"),
                    MemberKind::Sill,
                    hole.clear,
                    (sill - self.thick, sill),
                    None,
                );
            }
        }
    }

    fn blocking(&mut self, site: &mut Site<'_>, openings: &[Hole<'_>], path: &str) {
        let mut number = 0;
        for (i, block) in self.wall.blocking.iter().enumerate() {
            let path = format!("{path}.blocking[{i}]");
            let whole = (block.from.to_inches(), block.to.to_inches());
            let z = (block.bottom.to_inches(), (block.bottom + block.tall).to_inches());
            let back = block.back.to_inches();
            let deep = block.depth.map_or(self.space.depth - back, Length::to_inches);
            let slack = TOUCH.to_inches();
            let inside = whole.0 >= -slack
                && whole.1 <= self.space.length + slack
                && z.0 >= self.bottom - slack
                && z.1 <= self.top + slack
                && back >= 0.0
                && back + deep <= self.space.depth + slack;
            if !inside || whole.1 <= whole.0 || z.1 <= z.0 || deep <= 0.0 {
                site.trouble(
                    path,
                    format!(
                        "blocking in `{}` must be a box inside the wall, between its plates",
                        self.wall.name
                    ),
                );
                continue;
            }
            let mut taken: Vec<Span> = (self.made.iter())
                .filter(|m| overlap(self.height_of(m), z) && overlap(self.out_of(m), (-back - deep, -back)))
                .filter_map(|m| m.along.map(|a| (a.to_inches(), a.to_inches() + self.along_of(m))))
                .collect();
            taken.extend(
                (openings.iter()).filter(|h| overlap((h.sill.unwrap_or(0.0), h.head), z)).map(|h| h.clear),
            );
            for span in without(whole, &taken) {
                number += 1;
                self.flat(
                    format!("blocking {number}"),
                    MemberKind::Blocking,
                    span,
                    z,
                    Some((-back - deep, -back)),
                );
            }
        }
    }

    /// What a member of this wall takes up in height, over the floor.
    fn height_of(&self, member: &Member) -> Span {
        let (low, high) = member.bounds();
        (low.z - self.space.z0, high.z - self.space.z0)
    }

    /// What a member of this wall takes up across it, out of its face.
    fn out_of(&self, member: &Member) -> Span {
        let (_, out) = self.space.measure(member.centre().xy());
        let half = if member.kind == MemberKind::Header { member.half.x } else { member.half.y };
        (out - half, out + half)
    }

    /// What a member of this wall takes up along it.
    fn along_of(&self, member: &Member) -> f64 {
        2.0 * if member.kind.is_upright() { member.half.x } else { member.half.z }
    }

    fn upright(&mut self, label: String, kind: MemberKind, span: Span, z: Span, plies: u32, assumed: bool) {
        let half = Vector3::new(span.1 - span.0, self.space.depth, z.1 - z.0) / 2.0;
        let centre = ((span.0 + span.1) / 2.0, -self.space.depth / 2.0, (z.0 + z.1) / 2.0);
        self.make(label, kind, centre, self.space.axes(), half, span.0);
        if let Some(member) = self.made.last_mut() {
            (member.plies, member.assumed) = (plies.max(1), assumed);
        }
    }

    fn flat(&mut self, label: String, kind: MemberKind, span: Span, z: Span, across: Option<Span>) {
        let across = across.unwrap_or((-self.space.depth, 0.0));
        let half = Vector3::new(z.1 - z.0, across.1 - across.0, span.1 - span.0) / 2.0;
        let centre = ((span.0 + span.1) / 2.0, (across.0 + across.1) / 2.0, (z.0 + z.1) / 2.0);
        self.make(label, kind, centre, flat_in(self.space), half, span.0);
    }

    /// One more member, its centre given along the wall, out of its face and over the floor.
    fn make(
        &mut self,
        label: String,
        kind: MemberKind,
        (along, out, over): (f64, f64, f64),
        turn: UnitQuaternion<f64>,
        half: Vector3<f64>,
        edge: f64,
    ) {
        let space = self.space;
        self.made.push(Member {
            id: MemberId(0),
            label: Label::new(format!("{} {label}", self.wall.name)),
            kind,
            pose: posed(space.at_height(along, out, space.z0 + over), turn),
            half,
            wall: Some(space.id),
            floor: Some(space.floor),
            bearing: if kind == MemberKind::Blocking { Bearing::No } else { space.bearing },
            plies: 1,
            along: Some(Length::inches(edge)),
            flange: None,
            assumed: false,
        });
    }
}
