//! Pages of the packet against the house itself: captions of the photo list, the owner's page, fixture units, and names
//! that would be markup, sums or the end of a script where they are not escaped.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use truefall_model::catalog::Catalog;
use truefall_model::job::file::JobFile;
use truefall_model::job::{Job, Placement};
use truefall_model::solid::Body;
use truefall_model::units::{Fineness, Length};
use truefall_packet::drawing::{self, Subject};
use truefall_packet::packet::packet;
use truefall_packet::say::Say;
use truefall_packet::walk::{Facing, screw_bands};
use truefall_packet::{Asked, Examined, Plans, examine_with, page};
use truefall_plan::stock::StockOptions;

const SAY: Say = Say { fineness: Fineness::Sixteenth, metric: false };

fn text_of(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenes").join(name);
    std::fs::read_to_string(path).expect("the scene can be read")
}

fn job(name: &str) -> Job {
    JobFile::read(name, &text_of(name)).expect("the scene reads").job
}

fn examined(job: &Job) -> Examined {
    let asked = Asked { placements: &[Placement::Drawn, Placement::Found], passes: true, fixes: false };
    examine_with(job, Catalog::builtin(), &asked).expect("it places")
}

fn plans(subject: &Subject<'_>) -> Plans {
    let options = StockOptions {
        lengths: vec![Length::inches(120.0)],
        kerf: Length::inches(0.125),
        keep: Length::inches(12.0),
    };
    Plans::of(subject, options).expect("it is placed already")
}

/// A section as a person reads it: tags gone, lines kept, entities read.
fn words(subject: &Subject<'_>, name: &str) -> String {
    let plans = plans(subject);
    let drawings = drawing::all(subject, &plans.holes);
    let section = page::sections(subject, &plans, &drawings, &[])
        .into_iter()
        .find(|s| s.name == name)
        .expect("it is there");
    let markup = section.body.into_text();
    let mut out = String::new();
    for piece in markup.split('<') {
        out.push_str(piece.split_once('>').map_or(piece, |(_, text)| text));
    }
    out.replace("&quot;", "\"")
        .replace("&#39;", "'")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&")
        .replace('\u{a0}', " ")
}

// The walls as the job file writes them: the bath wall from x = 6' 0 to 18' 0, plates to 97-1/8 (the usual stud of 92-5/8 and
// three plates, common practice). Holes are those of the schedule.
#[test]
fn photo_captions_are_told_from_the_walls() {
    let job = job("bungalow.ron");
    let examined = examined(&job);
    let subject = Subject::of(&job, &examined, Catalog::builtin(), SAY);
    let page = words(&subject, "photos");
    let holes = plans(&subject).holes;
    let mut seen = 0;
    for wall in &examined.rough_in.framed.walls {
        let Some(caption) =
            page.lines().find(|l| l.contains(&format!("{}, seen from the room: ", wall.label)))
        else {
            assert!(
                !holes.members.iter().any(|h| h.label.as_str().starts_with(&format!("{} ", wall.label))),
                "{}",
                wall.label
            );
            continue;
        };
        let count = holes
            .members
            .iter()
            .filter(|h| h.label.as_str().starts_with(&format!("{} ", wall.label)))
            .count();
        assert!(caption.contains(&format!("; {count} holes;")), "{count} in the schedule: {caption}");
        let (_, shown) = caption.split_once("from the room: ").expect("what it shows");
        for label in shown.split(';').next().expect("a list").split(", ") {
            let part = examined.rough_in.parts.iter().find(|p| p.label.as_str() == label);
            let at = examined.rough_in.found.origin(part.unwrap_or_else(|| panic!("no part {label}")).id);
            let (along, out) = wall.measure(at.xy());
            // A fitting may have its middle beside the studs and a hub in them; none here is longer than 6 in.
            assert!(
                (-6.0..=wall.length + 6.0).contains(&along) && (-wall.depth - 6.0..=6.0).contains(&out),
                "{caption}: {label}"
            );
            assert!((wall.z0 - 6.0..=wall.z1 + 6.0).contains(&at.z), "{caption}: {label}");
        }
        seen += 1;
    }
    assert!(page.contains("12' 0\" long, plates from 0\" to 8' 1 1/8\" off the datum floor"), "{page}");
    assert!(seen >= 4, "{seen} walls");
}

#[test]
fn the_owner_learns_where_not_to_screw_and_what_was_agreed() {
    let mut job = job("bungalow.ron");
    job.fixtures[0].note = Some("set it 1 in farther from the tub".to_owned());
    let examined = examined(&job);
    let subject = Subject::of(&job, &examined, Catalog::builtin(), SAY);
    let page = words(&subject, "owner");
    for heading in
        ["No screw, no nail", "Cleanouts", "Shut-offs", "Agreed", "owner, date:", "plumber, licence, date:"]
    {
        assert!(page.lines().any(|l| l.starts_with(heading)), "{heading}");
    }
    assert!(page.contains("closet: set it 1 in farther from the tub"));
    // Every pipe between the faces of a wall's framing has a band before it, told on the page.
    let bands = screw_bands(&examined.rough_in, &examined.rough_in.found);
    for band in &bands {
        assert!(page.contains(&band.text), "{}", band.text);
    }
    let mut seen = 0;
    for part in examined.rough_in.parts.iter().filter(|p| p.pattern().is_none()) {
        for body in examined.rough_in.found.bodies_of(part.id) {
            let Body::Cylinder { a, b, .. } = *body else { continue };
            let middle = nalgebra::center(&a, &b);
            for wall in &examined.rough_in.framed.walls {
                let (along, out) = wall.measure(middle.xy());
                if !(0.0..=wall.length).contains(&along)
                    || !(-wall.depth..=0.0).contains(&out)
                    || !(wall.z0 + 6.0..=wall.z1 - 6.0).contains(&middle.z)
                {
                    continue;
                }
                // Before the room's side the `from` corner is at the right hand.
                let left = wall.length - along;
                let floor = examined.rough_in.framed.floor_of(wall.floor).expect("a floor");
                let high = middle.z - floor.finished_z;
                let kept = |b: &&truefall_packet::walk::ScrewBand| {
                    b.wall == wall.label.as_str()
                        && b.facing == Facing::Room
                        && (b.left..=b.right).contains(&left)
                        && (b.full_height || (b.low..=b.high).contains(&high))
                };
                assert!(
                    bands.iter().any(|b| kept(&b)),
                    "{} in {} at {left} from the left",
                    part.label,
                    wall.label
                );
                seen += 1;
            }
        }
    }
    assert!(seen >= 8, "{seen} pipes in walls");
}

// IRC 2021 Table P3004.1: water closet of 1.6 gal 3, lavatory 1, bathtub 2, shower 2, kitchen sink 2, clothes washer 2,
// laundry tub 2, floor drain 0.
#[test]
fn fixture_units_on_the_isometric_are_those_of_the_table() {
    let job = job("bungalow.ron");
    let examined = examined(&job);
    let subject = Subject::of(&job, &examined, Catalog::builtin(), SAY);
    let table: BTreeMap<&str, f64> = BTreeMap::from([
        ("closet arm", 3.0),
        ("lavatory arm", 1.0),
        ("tub arm", 2.0),
        ("attic closet arm", 3.0),
        ("attic lavatory arm", 1.0),
        ("sink arm", 2.0),
        ("laundry tub arm", 2.0),
        ("floor drain arm", 0.0),
    ]);
    let rough_in = &examined.rough_in;
    let mut read = BTreeSet::new();
    for leg in &rough_in.legs {
        let run = rough_in.run(rough_in.part(leg.low).run).label.as_str();
        let of_end = leg.high.map_or(run, |high| rough_in.run(rough_in.part(high).run).label.as_str());
        // The outermost leg of an arm carries its own fixture only.
        if let (Some(units), true) = (table.get(of_end), leg.high.is_none() && run == of_end) {
            assert_eq!(subject.units.get(&leg.id), Some(units), "{of_end}");
            read.insert(of_end);
        }
    }
    assert!(read.len() >= 4, "{read:?}");
    // On the sheet stands, length by length, what was summed.
    let (_, drawn) = &drawing::all(&subject, &plans(&subject).holes)[0];
    let mut shown: Vec<f64> = drawn
        .texts()
        .iter()
        .filter_map(|t| {
            t.text.split(" \u{b7} ").find_map(|p| p.strip_suffix(" fu")).map(|f| f.parse().expect("a number"))
        })
        .collect();
    let built = rough_in.placed(job.cut_on);
    let mut summed: Vec<f64> = rough_in
        .legs
        .iter()
        .filter(|l| {
            let (a, b) = rough_in.leg_ends(built, l.id);
            (a - b).norm() >= 0.5
        })
        .filter_map(|l| subject.units.get(&l.id).copied())
        .collect();
    shown.sort_by(f64::total_cmp);
    summed.sort_by(f64::total_cmp);
    assert_eq!(shown, summed);
    assert!(shown.len() > 20);
}

/// The cells of a CSV file (RFC 4180).
fn cells(text: &str) -> Vec<String> {
    let (mut cells, mut cell, mut quoted) = (Vec::new(), String::new(), false);
    for c in text.chars() {
        match c {
            '"' => {
                if !quoted && !cell.is_empty() {
                    cell.push('"');
                }
                quoted = !quoted;
            }
            ',' | '\n' if !quoted => cells.push(std::mem::take(&mut cell).trim_end_matches('\r').to_owned()),
            c => cell.push(c),
        }
    }
    cells
}

// What a spreadsheet takes for a sum begins with one of these (OWASP, CSV Injection).
const SUMS: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

#[test]
fn names_that_are_markup_or_sums_stay_names_in_every_file() {
    let hostile = "=HYPERLINK(1)</script><!--<script><b>'&,%41";
    let mut text = text_of("bungalow.ron");
    let names = [
        "bath wall",
        "attic wet wall",
        "main",
        "first",
        "lavatory",
        "lavatory arm",
        "closet arm",
        "east wall",
        "medicine cabinet",
    ];
    let made: Vec<String> = names.iter().map(|n| format!("{hostile}{}", n.replace(' ', ""))).collect();
    for (name, new) in names.iter().zip(&made) {
        text = text.replace(&format!("\"{name}\""), &format!("\"{new}\""));
    }
    // Heights and members name their floor and wall inside a string.
    for side in ["off", "below", "above", "over", "under"] {
        text = text.replace(&format!(" {side} first"), &format!(" {side} {}", made[3]));
    }
    for (name, new) in names.iter().zip(&made).filter(|(name, _)| name.ends_with("wall")) {
        text = text.replace(&format!("\"{name} "), &format!("\"{new} "));
    }
    let mut job = JobFile::read("hostile.ron", &text).expect("any name may stand in a job").job;
    job.name = hostile.to_owned();
    let examined = examined(&job);
    let subject = Subject::of(&job, &examined, Catalog::builtin(), SAY);
    let plans = plans(&subject);
    let mut kinds: BTreeMap<String, usize> = BTreeMap::new();
    for file in packet(&subject, &plans, &[]).expect("a packet") {
        let name = file.name.as_str();
        assert!(
            name.bytes().all(|b| b.is_ascii_alphanumeric() || b"-./".contains(&b)) && !name.contains(".."),
            "{name}"
        );
        let kind = name.rsplit_once('.').expect("an ending").1;
        let has = |text: &str| made.iter().any(|m| text.contains(m.as_str()));
        match kind {
            "glb" => {
                let long = u32::from_le_bytes(file.bytes[12..16].try_into().expect("four bytes")) as usize;
                let document: serde_json::Value =
                    serde_json::from_slice(&file.bytes[20..20 + long]).expect("JSON");
                let nodes = document["nodes"].as_array().expect("nodes");
                assert!(
                    nodes.iter().filter_map(|n| n["extras"]["name"].as_str()).any(has),
                    "names stay whole"
                );
            }
            "json" => {
                let report: serde_json::Value = serde_json::from_slice(&file.bytes).expect("JSON");
                assert!(has(&report.to_string().replace("\\\"", "\"")), "names stay whole");
            }
            "csv" => {
                let text = String::from_utf8(file.bytes).expect("text");
                for cell in cells(&text) {
                    assert!(!cell.starts_with(SUMS) || cell.parse::<f64>().is_ok(), "{name}: {cell}");
                }
            }
            "html" | "svg" => {
                let text = String::from_utf8(file.bytes).expect("text");
                assert!(!text.contains("<b>") && !text.contains("<!--<script>"), "{name}");
                let scripts = if name == "walk.html" { 3 } else { 0 };
                assert_eq!(text.matches("</script").count(), scripts, "{name}");
                if name == "walk.html" {
                    let (_, data) =
                        text.split_once("<script id=\"walk\" type=\"application/json\">").expect("its data");
                    let data = data.split_once("</script>").expect("its end").0;
                    assert!(
                        !data.contains('<'),
                        "a browser reads on past a comment that is opened in a script"
                    );
                    let data: serde_json::Value = serde_json::from_str(data).expect("JSON");
                    let told =
                        data["stops"].as_array().expect("stops").iter().filter_map(|s| s["title"].as_str());
                    assert!(told.into_iter().any(has), "names stay whole");
                }
            }
            _ => assert_eq!(name, "packet.txt"),
        }
        *kinds.entry(kind.to_owned()).or_default() += 1;
    }
    assert!(kinds["html"] > 15 && kinds["svg"] > 8 && kinds["csv"] >= 4 && kinds["glb"] == 1, "{kinds:?}");
}
