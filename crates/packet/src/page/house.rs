//! For the house: the owner's page and the photo list.

use super::frame::{list, table};
use super::picture::Picture;
use crate::drawing::{Subject, named, section::in_wall};
use crate::markup::Markup;
use truefall_model::framing::space::WallSpace;
use truefall_model::solid::Body;

/// Where not to screw, what can be reached, what was agreed.
pub fn owner(subject: &Subject<'_>) -> Markup {
    let mut m = Markup::new();
    let rough_in = subject.rough_in();
    let say = subject.say;
    let mut rows = Vec::new();
    for wall in &rough_in.framed.walls {
        let floor = rough_in.framed.floor_of(wall.floor);
        for part in rough_in.parts.iter().filter(|p| p.cut().is_some() && in_wall(subject, p.id, wall)) {
            let Some(floor) = floor else { continue };
            let (low, high) = reach(subject, part.id, wall);
            rows.push(vec![
                wall.label.to_string(),
                format!(
                    "{} in {}",
                    part.size(),
                    if rough_in.network.wet[part.id.0 as usize] { "drain" } else { "vent" }
                ),
                format!("{} to {}", say.length(low.0), say.length(high.0)),
                format!(
                    "{} to {}",
                    say.length(low.1 - floor.finished_z),
                    say.length(high.1 - floor.finished_z)
                ),
            ]);
        }
    }
    table(
        &mut m,
        "No screw or nail here, 2 in around it included (common practice)",
        &["wall", "what", "along the wall from its right-hand corner", "above the finished floor"],
        &rows,
    );
    m.line("h3", &[], "Cleanouts");
    let cleanouts: Vec<String> = subject
        .cleanouts
        .iter()
        .map(|c| rough_in.part(*c))
        .map(|part| {
            let at = subject.placed().origin(part.id);
            let wall = rough_in.framed.walls.iter().find(|w| in_wall(subject, part.id, w));
            format!(
                "{}, {} from the datum floor{}",
                part.label,
                say.length(at.z),
                wall.map_or_else(String::new, |w| format!(", in {}", w.label))
            )
        })
        .collect();
    if cleanouts.is_empty() {
        m.line("p", &[], "The job lists none on the new pipe. A closet can be lifted and a trap taken off; ask where the house's own cleanout is: ____________________");
    } else {
        list(&mut m, &cleanouts);
    }
    m.line("h3", &[], "Shut-offs");
    m.line("p", &[], "This packet has drains and vents only. Water shut-offs, to be written in by hand: house ____________________  bath ____________________  kitchen ____________________");
    m.line("h3", &[], "Agreed");
    let mut agreed: Vec<String> = subject
        .job
        .accepted
        .iter()
        .map(|a| format!("{}: {}, said by {} on {}", a.rule, a.what, a.who, a.when))
        .collect();
    agreed.extend(
        subject.job.fixtures.iter().filter_map(|f| f.note.as_ref().map(|n| format!("{}: {n}", f.name))),
    );
    if agreed.is_empty() {
        m.line("p", &[], "Nothing was written down. ________________________________________");
    } else {
        list(&mut m, &agreed);
    }
    m.line("p", &[("class", "sign")], "owner, date:");
    m.line("p", &[("class", "sign")], "plumber, licence, date:");
    m
}

/// Least and greatest length along a wall and height of a part in it.
fn reach(
    subject: &Subject<'_>,
    part: truefall_model::place::PartId,
    wall: &WallSpace,
) -> ((f64, f64), (f64, f64)) {
    let (mut low, mut high) = ((f64::MAX, f64::MAX), (f64::MIN, f64::MIN));
    for body in subject.placed().bodies_of(part) {
        let Body::Cylinder { a, b, radius_in } = *body else { continue };
        let (least, most) = body.aabb();
        for p in [a, b] {
            let along = wall.measure(p.xy()).0;
            low.0 = low.0.min(along - radius_in).max(0.0);
            high.0 = high.0.max(along + radius_in).min(wall.length);
        }
        low.1 = low.1.min(least.z).max(wall.z0);
        high.1 = high.1.max(most.z).min(wall.z1);
    }
    (low, high)
}

/// What to photograph before the walls close, with what the picture will show.
pub fn photos(subject: &Subject<'_>, pictures: &[Picture]) -> Markup {
    let mut m = Markup::new();
    let rough_in = subject.rough_in();
    m.line("p", &[], "Hold a tape in every picture, its end on the rough floor. One picture a wall from the middle of the room, then one of each bay with pipe.");
    for wall in &rough_in.framed.walls {
        let parts: Vec<String> = rough_in
            .parts
            .iter()
            .filter(|p| p.pattern().is_some() && in_wall(subject, p.id, wall))
            .map(|p| p.label.to_string())
            .collect();
        let holes = subject
            .bores()
            .filter(|b| rough_in.framed.member_of(b.member).is_some_and(|w| w.wall == Some(wall.id)))
            .count();
        if parts.is_empty() && holes == 0 {
            continue;
        }
        let shows = if parts.is_empty() { "pipe passing through".to_owned() } else { parts.join(", ") };
        let caption = format!(
            "{}, seen from the room: {shows}; {holes} holes; {} long, plates from {} to {} off the datum floor",
            wall.label,
            subject.say.length(wall.length),
            subject.say.length(wall.z0),
            subject.say.length(wall.z1)
        );
        m.line("h3", &[], wall.label.as_str());
        m.tag("p", &[], |m| {
            m.raw("<span class=\"box\"></span> ").text(&caption);
        });
        for picture in pictures.iter().filter(|p| p.is_of(&named("wall", wall.label.as_str()))) {
            picture.put(&mut m, &caption);
        }
    }
    for picture in pictures.iter().filter(|p| !p.name.starts_with("wall-")) {
        picture.put(&mut m, &picture.name.clone());
    }
    m
}
