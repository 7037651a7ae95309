//! The joists of a floor, and its rims, cut at the floor's openings.
//!
//! Headers and doubled trimmers round an opening are not made up here: where they matter, they are measured and
//! given as members.

use super::build::Site;
use super::edge_row;
use super::floor::{Axis, Floor, JoistKind, Joists};
use super::lumber_size::true_size;
use super::member::{Bearing, FloorId, Member, MemberId, MemberKind};
use super::space::{posed, turned};
use super::spans::{Span, overlap, without};
use super::stud_layout::USUAL_SPACING;
use super::subfloor;
use crate::label::Label;
use crate::units::Length;
use nalgebra::{Point2, Point3, Vector3};

/// Lays a floor's subfloor and joists.
pub(super) fn lay(site: &mut Site<'_>, id: FloorId, floor: &Floor, path: &str) {
    let space = site.framed.floors[id.0 as usize].clone();
    let Some((low, high)) = space.outline else {
        if floor.joists.is_some() {
            let read = format!("`{}` has joists, so the rectangle it covers is needed", floor.name);
            site.trouble(format!("{path}.outline"), read);
        }
        return;
    };
    if high.x <= low.x || high.y <= low.y {
        site.trouble(
            format!("{path}.outline"),
            format!("`{}` covers nothing between these corners", floor.name),
        );
        return;
    }
    for (i, (name, from, to)) in space.openings.iter().enumerate() {
        let inside = from.x >= low.x && from.y >= low.y && to.x <= high.x && to.y <= high.y;
        if !inside || to.x <= from.x || to.y <= from.y {
            let read = format!("`{name}` must be a rectangle within the outline of `{}`", floor.name);
            site.trouble(format!("{path}.openings[{i}]"), read);
        }
    }
    let top = space.rough_z - space.subfloor;
    let joists = format!("{path}.joists");
    let run = floor.joists.as_ref().and_then(|j| Run::of(site, id, floor, j, (low, high), top, &joists));
    if let Some(run) = run {
        run.lay(site, &space.openings);
        site.framed.floors[id.0 as usize].joists_bottom_z = Some(top - run.depth);
    }
    subfloor::lay(site, &space, (low, high));
}

/// Least and greatest corner.
pub(super) type Rectangle = (Point2<f64>, Point2<f64>);

/// A row of joists with its measures in inches.
struct Run<'h> {
    floor: FloorId,
    name: &'h Label,
    kind: MemberKind,
    edges: Vec<f64>,
    assumed: bool,
    thick: f64,
    depth: f64,
    flange: Option<f64>,
    rim: f64,
    top: f64,
    axis: Axis,
    outline: Rectangle,
}

impl<'h> Run<'h> {
    fn of(
        site: &mut Site<'_>,
        floor: FloorId,
        document: &'h Floor,
        joists: &Joists,
        outline: Rectangle,
        top: f64,
        path: &str,
    ) -> Option<Self> {
        let (thick, depth) = section(site, joists, path)?;
        let flange = joists.flange.map(|(tall, _)| tall.to_inches());
        if flange.is_some_and(|f| f <= 0.0 || 2.0 * f >= depth) {
            site.trouble(format!("{path}.flange"), "two flanges must leave a web between them");
            return None;
        }
        let rim = joists.rim.map_or(0.0, Length::to_inches);
        let size = outline.1 - outline.0;
        let (length, width) = match joists.runs {
            Axis::X => (size.x, size.y),
            Axis::Y => (size.y, size.x),
        };
        if rim < 0.0 || 2.0 * rim >= length {
            site.trouble(format!("{path}.rim"), "two rims must leave room for joists between them");
            return None;
        }
        let edges = if joists.edges.is_empty() {
            let spacing = joists.spacing.unwrap_or(USUAL_SPACING).to_inches();
            edge_row::spaced(
                site,
                &format!("{path}.spacing"),
                joists.first.to_inches(),
                spacing,
                thick,
                width,
            )
        } else {
            edge_row::measured(site, &format!("{path}.edges"), "joist", &joists.edges, thick, width)
        };
        Some(Self {
            floor,
            name: &document.name,
            kind: match joists.kind {
                JoistKind::Sawn => MemberKind::Joist,
                JoistKind::IJoist => MemberKind::IJoist,
                JoistKind::Truss => MemberKind::Truss,
            },
            edges,
            assumed: joists.edges.is_empty() && joists.spacing.is_none(),
            thick,
            depth,
            flange,
            rim,
            top,
            axis: joists.runs,
            outline,
        })
    }

    fn lay(&self, site: &mut Site<'_>, openings: &[(Label, Point2<f64>, Point2<f64>)]) {
        let (low, high) = self.outline;
        let (start, end) = (self.lengthwise(low), self.lengthwise(high));
        let clear = (start + self.rim, end - self.rim);
        let corner = self.crosswise(low);
        for (i, edge) in self.edges.iter().enumerate() {
            let across = (corner + edge, corner + edge + self.thick);
            let cut: Vec<Span> = openings
                .iter()
                .filter(|(_, a, b)| overlap((self.crosswise(*a), self.crosswise(*b)), across))
                .map(|(_, a, b)| (self.lengthwise(*a), self.lengthwise(*b)))
                .collect();
            let parts = without(clear, &cut);
            for (part, span) in parts.iter().enumerate() {
                let label = match parts.len() {
                    1 => format!("joist {}", i + 1),
                    _ => format!("joist {} part {}", i + 1, part + 1),
                };
                let mut member = self.member(label, self.kind, across, *span);
                member.along = Some(Length::inches(*edge));
                member.flange = self.flange.map(Length::inches);
                member.assumed = self.assumed;
                site.push(member);
            }
        }
        if self.rim > 0.0 {
            let whole = (corner, self.crosswise(high));
            for (i, span) in [(start, start + self.rim), (end - self.rim, end)].into_iter().enumerate() {
                let mut rim = self.member(format!("rim {}", i + 1), MemberKind::Rim, whole, span);
                // A rim lies across the joists: its length is their row, its thickness along them.
                let lengthwise = self.across_axis();
                rim.pose.rotation = turned(Vector3::z().cross(&lengthwise), Vector3::z(), lengthwise);
                rim.half = Vector3::new(rim.half.z, rim.half.y, rim.half.x);
                site.push(rim);
            }
        }
    }

    fn lengthwise(&self, point: Point2<f64>) -> f64 {
        if self.axis == Axis::X { point.x } else { point.y }
    }

    fn crosswise(&self, point: Point2<f64>) -> f64 {
        if self.axis == Axis::X { point.y } else { point.x }
    }

    fn across_axis(&self) -> Vector3<f64> {
        if self.axis == Axis::X { Vector3::y() } else { Vector3::x() }
    }

    fn member(&self, label: String, kind: MemberKind, across: Span, along: Span) -> Member {
        let lengthwise = if self.axis == Axis::X { Vector3::x() } else { Vector3::y() };
        let centre = lengthwise * ((along.0 + along.1) / 2.0)
            + self.across_axis() * ((across.0 + across.1) / 2.0)
            + Vector3::z() * (self.top - self.depth / 2.0);
        Member {
            id: MemberId(0),
            label: Label::new(format!("{} {label}", self.name)),
            kind,
            pose: posed(
                Point3::from(centre),
                turned(Vector3::z().cross(&lengthwise), Vector3::z(), lengthwise),
            ),
            half: Vector3::new(across.1 - across.0, self.depth, along.1 - along.0) / 2.0,
            wall: None,
            floor: Some(self.floor),
            bearing: Bearing::Yes,
            plies: 1,
            along: None,
            flange: None,
            assumed: false,
        }
    }
}

/// True thickness and depth in inches, as measured or by nominal size.
fn section(site: &mut Site<'_>, joists: &Joists, path: &str) -> Option<(f64, f64)> {
    let nominal = site.nominal(joists.size.as_ref(), &format!("{path}.size"))?;
    let sawn = joists.kind == JoistKind::Sawn;
    let depth = joists.depth.or(nominal.map(|(_, d)| d).filter(|_| sawn));
    let thick =
        joists.thick.or(joists.flange.map(|(_, wide)| wide)).or(nominal.map(|(t, _)| t).filter(|_| sawn));
    let what = if sawn {
        "sawn joists need `size` or `depth`"
    } else {
        "joists that are not sawn need their `depth`"
    };
    let Some(depth) = depth else {
        site.trouble(path, what);
        return None;
    };
    let Some(thick) = thick else {
        site.trouble(
            path,
            "the joists need `size` or `thick`; of an I-joist or truss, the width of its flange",
        );
        return None;
    };
    let good = site.is_positive(format!("{path}.depth"), "the depth", depth)
        & site.is_positive(format!("{path}.thick"), "the thickness", thick);
    good.then_some((thick.to_inches(), depth.to_inches()))
}

impl Site<'_> {
    /// The true size of a nominal one, if one is given; `None` where it is given and unknown, which is told.
    pub fn nominal(&mut self, size: Option<&Label>, path: &str) -> Option<Option<(Length, Length)>> {
        let Some(size) = size else { return Some(None) };
        let read = true_size(size.as_str());
        if read.is_none() {
            self.trouble(
                path,
                format!(
                    "`{size}` is no nominal size of lumber; write it like 2x8, or give `thick` and `depth`"
                ),
            );
        }
        read.map(Some)
    }
}
