//! The openings of a wall: whether each fits, and which wood stands round it.

use super::build::Site;
use super::spans::{Span, overlap};
use super::wall::{Wall, WallOpening};
use crate::tolerance::TOUCH;
use crate::units::Length;

/// An opening that fits, with its measures in inches over the floor and along the wall.
pub(super) struct Hole<'w> {
    /// As it was written.
    pub opening: &'w WallOpening,
    /// The clear width between the jacks.
    pub clear: Span,
    /// Top of the sill; none at a door.
    pub sill: Option<f64>,
    /// Underside of the header.
    pub head: f64,
    /// Top of the header.
    pub header_top: f64,
    /// Jacks, each with its side.
    pub jacks: Vec<(Span, String)>,
    /// Kings, each with its side.
    pub kings: Vec<(Span, String)>,
}

impl Hole<'_> {
    /// The clear width with jacks and kings.
    pub fn whole(&self) -> Span {
        self.jacks.iter().chain(&self.kings).fold(self.clear, |w, (s, _)| (w.0.min(s.0), w.1.max(s.1)))
    }

    /// The clear width with the jacks: what the header covers.
    pub fn header(&self) -> Span {
        self.jacks.iter().fold(self.clear, |w, (s, _)| (w.0.min(s.0), w.1.max(s.1)))
    }
}

/// A wall that is to be opened, its measures in inches.
pub(super) struct OpenWall<'w> {
    /// As it was written.
    pub wall: &'w Wall,
    /// How long it is.
    pub length: f64,
    /// Top of the bottom plates over the floor.
    pub bottom: f64,
    /// Underside of the top plates over the floor.
    pub top: f64,
    /// Thickness of its studs.
    pub thick: f64,
}

impl<'w> OpenWall<'w> {
    /// Openings that fit into the wall and beside each other; the rest is told of and left out.
    pub fn openings(&self, site: &mut Site<'_>, path: &str) -> Vec<Hole<'w>> {
        let mut holes: Vec<Hole<'w>> = Vec::new();
        for (i, opening) in self.wall.openings.iter().enumerate() {
            let path = format!("{path}.openings[{i}]");
            if holes.iter().any(|h| h.opening.name == opening.name) {
                let read = format!("a second opening in `{}` is called `{}`", self.wall.name, opening.name);
                site.trouble(format!("{path}.name"), read);
                continue;
            }
            let Some(hole) = self.hole(site, opening, &path) else { continue };
            let (from, to) = hole.whole();
            if let Some(other) = holes.iter().find(|h| overlap(h.whole(), (from, to))) {
                let read = format!("`{}` with its kings overlaps `{}`", opening.name, other.opening.name);
                site.trouble(path, read);
                continue;
            }
            holes.push(hole);
        }
        holes
    }

    fn hole(&self, site: &mut Site<'_>, opening: &'w WallOpening, path: &str) -> Option<Hole<'w>> {
        let inches = Length::inches;
        if !site.is_positive(format!("{path}.width"), "the width", opening.width) {
            return None;
        }
        if opening.kings > 10 || opening.jacks > 10 {
            site.trouble(path, "at most 10 kings and 10 jacks can stand on each side of an opening");
            return None;
        }
        let clear = (opening.from.to_inches(), (opening.from + opening.width).to_inches());
        let beside = |from: u32, count: u32| -> Vec<(Span, String)> {
            let thick = self.thick;
            let place = |side: &str, i: u32| match i {
                0 => side.to_owned(),
                i => format!("{side} {}", i + 1),
            };
            let near = (0..count).map(|i| {
                let edge = clear.0 - f64::from(from + i + 1) * thick;
                ((edge, edge + thick), place("near", i))
            });
            let far = (0..count).map(|i| {
                let edge = clear.1 + f64::from(from + i) * thick;
                ((edge, edge + thick), place("far", i))
            });
            near.chain(far).collect()
        };
        let head = opening.head.to_inches();
        let room = self.top - head;
        let header = opening.header_depth.map_or(room, Length::to_inches);
        let hole = Hole {
            opening,
            clear,
            sill: opening.sill.map(Length::to_inches),
            head,
            header_top: head + header.min(room),
            jacks: beside(0, opening.jacks),
            kings: beside(opening.jacks, opening.kings),
        };
        let (from, to) = hole.whole();
        let end = self.length;
        if from < -TOUCH.to_inches() || to > end + TOUCH.to_inches() {
            let (name, from, to, end) = (&opening.name, inches(from), inches(to), inches(end));
            site.trouble(
                path,
                format!(
                    "`{name}` with its kings and jacks goes from {from} to {to}; the wall from 0\" to {end}"
                ),
            );
            return None;
        }
        let low = hole.sill.map_or(self.bottom, |sill| sill - self.thick);
        if low < self.bottom - TOUCH.to_inches() {
            let least = inches(self.bottom + self.thick);
            site.trouble(
                format!("{path}.sill"),
                format!("the sill of `{}` is in the bottom plate; at least {least} is allowed", opening.name),
            );
            return None;
        }
        if head <= hole.sill.unwrap_or(self.bottom) || room <= 0.0 {
            let (least, most) = (inches(hole.sill.unwrap_or(self.bottom)), inches(self.top));
            site.trouble(
                format!("{path}.head"),
                format!(
                    "the head of `{}` is at {}; it must be over {least} and under the top plates at {most}",
                    opening.name, opening.head
                ),
            );
            return None;
        }
        if header <= 0.0 || header > room + TOUCH.to_inches() {
            let read = inches(header);
            site.trouble(
                format!("{path}.header_depth"),
                format!("a header of {read} over `{}`: there is room for {}", opening.name, inches(room)),
            );
            return (header > 0.0).then_some(hole);
        }
        Some(hole)
    }
}
