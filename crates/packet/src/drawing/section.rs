//! Sections at the hubs in a wall: does the hub stay within the studs, and how much must the wall be furred if not.

use super::area::spot;
use super::drawn::Drawn;
use super::sheet::{Sheet, TEXT};
use super::subject::Subject;
use truefall_model::framing::space::WallSpace;
use truefall_model::solid::Body;

/// Paper to the inch of the house.
const SCALE: f64 = 16.0;
/// From one section to the next.
const STEP: f64 = 216.0;
const A_ROW: usize = 4;

/// One hub in a wall.
#[derive(Debug, Clone)]
pub struct HubInWall {
    /// The fittings it is of; hubs alike are drawn once.
    pub fittings: Vec<String>,
    /// Diameter of the hub.
    pub hub: f64,
    /// Of the pipe in it.
    pub pipe: f64,
    /// From the hub to the bare stud face on the room's side; below zero it stands out.
    pub front: f64,
    /// To the back of the studs.
    pub back: f64,
}

/// The hubs of fittings that run with a wall, alike ones together, in the order of assembly.
pub fn hubs(subject: &Subject<'_>, wall: &WallSpace) -> Vec<HubInWall> {
    let (rough_in, placed) = (subject.rough_in(), subject.built());
    let mut found: Vec<HubInWall> = Vec::new();
    for part in &rough_in.parts {
        let Some(pattern) = part.pattern() else { continue };
        let world = &placed.world_from_part[part.id.0 as usize];
        for port in pattern.ports.iter().filter(|p| p.socket.to_inches() > 0.0) {
            let (face, axis) = (world * port.face(), world * port.axis);
            let (along, out) = wall.measure(face.xy());
            let within = (0.0..=wall.length).contains(&along)
                && (-wall.depth..=0.0).contains(&out)
                && face.z > wall.z0
                && face.z < wall.z1;
            // A hub that looks out of the wall is not held by its depth.
            if !within || axis.xy().dot(&wall.into_room).abs() > 0.5 {
                continue;
            }
            let hub = port.outside.to_inches();
            let pipe = subject.catalog.pipe(part.material, port.size).map_or(0.0, |p| p.outside.to_inches());
            let (front, back) = (-(out + hub / 2.0), wall.depth + out - hub / 2.0);
            let near = |a: f64, b: f64| (a - b).abs() < 1.0 / 32.0;
            let name = part.label.to_string();
            match found.iter_mut().find(|h| near(h.hub, hub) && near(h.front, front) && near(h.pipe, pipe)) {
                Some(alike) if alike.fittings.contains(&name) => {}
                Some(alike) => alike.fittings.push(name),
                None => found.push(HubInWall { fittings: vec![name], hub, pipe, front, back }),
            }
        }
    }
    found
}

/// All sections of one wall; none where no hub is in it.
pub fn sections(subject: &Subject<'_>, wall: &WallSpace) -> Option<Drawn> {
    let (hubs, say) = (hubs(subject, wall), subject.say);
    if hubs.is_empty() {
        return None;
    }
    let mut sheet = Sheet::new(
        format!("{}, sections at hubs", wall.label),
        format!(
            "Sections across {} at each hub: studs, hub and pipe, what is left before and behind.",
            wall.label
        ),
    );
    let out = hubs.iter().map(|h| (-h.front).max(0.0) + (-h.back).max(0.0)).fold(0.0, f64::max) * SCALE;
    for (i, hub) in hubs.iter().enumerate() {
        // A hub that stands out of the studs on either side pushes the rows and its words apart.
        let (x, y) = ((i % A_ROW) as f64 * STEP, (i / A_ROW) as f64 * (wall.depth * SCALE + 120.0 + out));
        let depth = wall.depth * SCALE;
        let below = depth + (-hub.back).max(0.0) * SCALE;
        sheet.block(spot(x - 62.0, y), spot(x + 62.0, y + depth), "wood");
        if wall.finish_room > 0.0 {
            sheet.block(spot(x - 62.0, y), spot(x + 62.0, y - wall.finish_room * SCALE), "thin");
        }
        let middle = spot(x, y + (hub.front + hub.hub / 2.0) * SCALE);
        sheet.round(middle, hub.hub / 2.0 * SCALE, "hub");
        sheet.round(middle, hub.pipe / 2.0 * SCALE, "pipe");
        let furring = (-hub.front).max(-hub.back).max(0.0);
        let mut names = hub.fittings.join(", ");
        if names.chars().count() > 26 {
            names = format!("{} and {} more", hub.fittings[0], hub.fittings.len() - 1);
        }
        let verdict = if furring > 1.0 / 64.0 {
            format!("furr out {}", say.length(furring))
        } else {
            "within the studs".to_owned()
        };
        for (row, (text, class)) in [
            (names, "b"),
            (format!("hub {} in {} of stud", say.length(hub.hub), say.length(wall.depth)), "t"),
            (format!("room side {}, back {}", say.length(hub.front), say.length(hub.back)), "t"),
            (verdict, if furring > 1.0 / 64.0 { "red" } else { "t" }),
        ]
        .into_iter()
        .enumerate()
        {
            sheet.fix(spot(x, y + below + 14.0 + TEXT * 1.4 * row as f64), text, class, TEXT);
        }
    }
    Some(sheet.finish())
}

/// Whether any body of a part lies in a wall's framing.
pub fn in_wall(subject: &Subject<'_>, part: truefall_model::place::PartId, wall: &WallSpace) -> bool {
    subject.placed().bodies_of(part).iter().any(|body| {
        let Body::Cylinder { a, b, .. } = *body else { return false };
        let middle = nalgebra::center(&a, &b);
        let (along, out) = wall.measure(middle.xy());
        (0.0..=wall.length).contains(&along)
            && (-wall.depth..=0.0).contains(&out)
            && (wall.z0..=wall.z1).contains(&middle.z)
    })
}
