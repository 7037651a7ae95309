//! Bands of height in which a fitting would stand in wood: its hubs in a plate or a joist, its branch in a joist beside.

use super::column::Choice;
use super::riser::Riser;
use nalgebra::{Point2, Vector2};
use truefall_model::catalog::pattern::{Pattern, PortEnd};
use truefall_model::framing::member::Member;
use truefall_model::label::Label;

/// A band in which a fitting's centre must not be.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// The member in the way.
    pub member: Label,
    /// Its lower edge, height over the datum, inches; the edge itself is free.
    pub from_z: f64,
    /// Its upper edge.
    pub to_z: f64,
}

/// The bands of a station's choice. A fitting counts as a cylinder as wide as its widest hub from hub face to hub face, and
/// its branch as one from the stack's axis to its own hub's face.
pub fn bands(site: &Riser<'_>, station: usize, pattern: &Pattern, choice: &Choice) -> Vec<Band> {
    let part = site.part(station);
    let centre = site.placed.origin(part).xy();
    let hub = pattern.ports.iter().map(|p| p.outside.to_inches()).fold(0.0, f64::max) / 2.0;
    let (down, up) = (choice.rise_in + choice.below.socket_in, choice.top_in + choice.above.socket_in);
    let branch = site.pattern(station).ports.iter().position(|p| p.name.as_str().starts_with("branch"));
    let legs: Vec<(Vector2<f64>, f64)> = pattern
        .ports
        .iter()
        .filter(|p| p.name.as_str().starts_with("branch") && p.end == PortEnd::Hub)
        .zip(branch)
        .map(|(p, now)| {
            let way = match choice.clock {
                Some(clock) => {
                    let hand = clock.angle().to_radians();
                    Vector2::new(hand.sin(), hand.cos())
                }
                None => site.placed.axis(site.rough_in, part, now).xy(),
            };
            let long = p.laying.to_inches() + p.socket.to_inches();
            (way.try_normalize(1e-9).unwrap_or_else(Vector2::zeros) * long, p.outside.to_inches() / 2.0)
        })
        .collect();
    let mut out = Vec::new();
    for member in site.rough_in.framed.members.iter().filter(|m| !m.kind.is_upright() && square(m)) {
        let (low, high) = member.bounds();
        let off = |p: Point2<f64>| p.coords.sup(&low.xy().coords).inf(&high.xy().coords) - p.coords;
        let mut band = |from_z: f64, to_z: f64| {
            out.push(Band { member: member.label.clone(), from_z, to_z });
        };
        if off(centre).norm() < hub - 1e-9 {
            band(low.z - up, high.z + down);
        } else {
            for (leg, radius) in &legs {
                // The leg is short beside a member: its middle and both ends tell enough at quarter steps.
                let near = (1..=8)
                    .map(|i| centre + leg * (f64::from(i) / 8.0))
                    .any(|p| off(p).norm() < radius - 1e-9);
                if near {
                    band(low.z - radius, high.z + radius);
                }
            }
        }
    }
    out
}

/// Whether a member lies square to the job's axes, so that its bounds are the member.
fn square(member: &Member) -> bool {
    let (low, high) = member.bounds();
    let (box_of, own) = ((high - low).product(), 8.0 * member.half.product());
    box_of <= own * 1.001
}
