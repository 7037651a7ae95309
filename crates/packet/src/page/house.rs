//! For the house: the owner's page and the photo list.

use super::frame::list;
use super::picture::Picture;
use crate::drawing::{Subject, named, section::in_wall};
use crate::markup::Markup;
use crate::walk::{Facing, ScrewBand, Stop, screw_bands, stops};
use truefall_check::rules;

/// Where not to screw, what can be reached, what was agreed.
pub fn owner(subject: &Subject<'_>) -> Markup {
    let mut m = Markup::new();
    let rough_in = subject.rough_in();
    let say = subject.say;
    m.line("h3", &[], "No screw, no nail");
    m.line("p", &[], "Left is left as you stand before the wall; its corner is the end of the bare framing. Before these walls are screwed into, measure.");
    let bands = screw_bands(rough_in, subject.placed());
    for of_wall in bands.chunk_by(|a, b| a.wall == b.wall && a.facing == b.facing) {
        screws(&mut m, of_wall);
    }
    if bands.is_empty() {
        m.line("p", &[], "No pipe of the job runs in a wall.");
    }
    m.line("p", &[("class", "small")], "An inch is added on each side of the pipe (house figure). Wires, gas and whatever pipe the job does not list are not in these bands.");
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

/// The bands of one face of one wall.
fn screws(m: &mut Markup, bands: &[ScrewBand]) {
    let side = match bands[0].facing {
        Facing::Room => "from its room side",
        Facing::Back => "from its back",
    };
    m.line("h4", &[], &format!("{}, {side}", bands[0].wall));
    list(m, &bands.iter().map(|band| band.text.clone()).collect::<Vec<_>>());
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
        let pictured = pictures.iter().any(|p| p.is_of(&named("wall", wall.label.as_str())));
        if parts.is_empty() && holes == 0 && !pictured {
            continue;
        }
        let shows = if parts.is_empty() && holes == 0 {
            "no fitting and no hole of the job".to_owned()
        } else if parts.is_empty() {
            "pipe passing through".to_owned()
        } else {
            parts.join(", ")
        };
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
    of_stops(&mut m, subject, pictures);
    let walls = &rough_in.framed.walls;
    let stops = stops_of(subject);
    let has_place = |p: &&Picture| {
        walls.iter().any(|w| p.is_of(&named("wall", w.label.as_str())))
            || stops.iter().any(|s| p.is_of_stop(&s.key))
    };
    // The viewer writes one of each red tag too, by its number and its rule.
    for picture in pictures.iter().filter(|p| !has_place(p)) {
        let rule = picture.tagged().and_then(rules::by_id);
        let caption = rule.map_or_else(|| picture.name.clone(), |r| format!("red tag: {}", r.summary));
        picture.put(&mut m, &caption);
    }
    m
}

fn stops_of(subject: &Subject<'_>) -> Vec<Stop> {
    stops(subject.job, subject.rough_in(), subject.placed().placement, &subject.examined.findings)
}

/// Pictures of the stops of the walk, each under its stop with what is told there.
fn of_stops(m: &mut Markup, subject: &Subject<'_>, pictures: &[Picture]) {
    for stop in stops_of(subject) {
        let mut of_stop = pictures.iter().filter(|p| p.is_of_stop(&stop.key)).peekable();
        if of_stop.peek().is_none() {
            continue;
        }
        m.line("h3", &[], &stop.title);
        let caption = format!("{}: {}", stop.title, stop.lines.join("; "));
        for picture in of_stop {
            picture.put(m, &caption);
        }
    }
}
