//! Pages: one file with every section, and each section by itself ("one page for the stud").

pub mod findings;
pub mod frame;
pub mod house;
pub mod inspection;
pub mod picture;
pub mod sheets;
pub mod summary;

use crate::drawing::{Drawn, Subject};
use crate::markup::Markup;
use frame::Section;
use picture::Picture;

/// Every section in the order they are read.
pub fn sections(subject: &Subject<'_>, drawings: &[(String, Drawn)], pictures: &[Picture]) -> Vec<Section> {
    let drawn = |kind: &str| shown(drawings, kind);
    let section = |name, heading, body| Section { name, heading, body };
    vec![
        section("summary", "Summary", summary::summary(subject)),
        section("findings", "Findings", findings::findings(subject)),
        section("stacks", "Stack elevations", drawn("stack-")),
        section("walls", "Wall elevations", drawn("wall-")),
        section("sections", "Sections at hubs in walls", drawn("section-")),
        section("plans", "Plan of each floor", drawn("plan-")),
        section("isometric", "Permit isometric", drawn("isometric")),
        section("cuts", "Cut list", sheets::cuts(subject)),
        section("holes", "Hole schedule", sheets::holes(subject)),
        section("materials", "Material list", sheets::materials(subject)),
        section("lean", "Lean sheet", sheets::lean(subject)),
        section("self-check", "Self-check", inspection::self_check(subject)),
        section("dry-fit", "Dry fit before the glue", inspection::dry_fit(subject)),
        section("test", "Test sheet", inspection::test(subject)),
        section("owner", "For the owner", house::owner(subject)),
        section("photos", "Photos before the walls close", house::photos(subject, pictures)),
    ]
}

fn shown(drawings: &[(String, Drawn)], kind: &str) -> Markup {
    let mut m = Markup::new();
    let mut none = true;
    for (_, drawing) in drawings.iter().filter(|(name, _)| name.starts_with(kind)) {
        none = false;
        let (wide, tall) = drawing.size();
        m.tag("figure", &[("class", if tall > wide { "tall" } else { "wide" }), ("tabindex", "0")], |m| {
            m.put(&drawing.svg());
            m.line("figcaption", &[], drawing.title());
        });
    }
    if none {
        m.line("p", &[], "Nothing of the job to draw here.");
    } else {
        m.line("p", &[("class", "small hint")], "On a narrow screen drawings slide sideways.");
    }
    m
}
