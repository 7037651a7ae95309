//! Pages: one file with every section, and each section by itself ("one page for the stud").

pub mod cuts;
pub mod findings;
pub mod frame;
pub mod holes;
pub mod house;
pub mod inspection;
pub mod lean;
pub mod materials;
pub mod picture;
pub mod summary;
pub mod water_test;

use crate::drawing::{Drawn, Subject};
use crate::markup::Markup;
use crate::plans::Plans;
use frame::Section;
use picture::Picture;

/// Every section in the order they are read.
pub fn sections(
    subject: &Subject<'_>,
    plans: &Plans,
    drawings: &[(String, Drawn)],
    pictures: &[Picture],
) -> Vec<Section> {
    let say = subject.say;
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
        section("cuts", "Cut list", cuts::cuts(plans, say)),
        section("holes", "Hole schedule", holes::holes(plans, say)),
        section("materials", "Material list", materials::materials(plans)),
        section("lean", "Lean sheet", lean::lean(subject, &plans.lean)),
        section("self-check", "Self-check", inspection::self_check(subject)),
        section("dry-fit", "Dry fit before the glue", cuts::dry_fit(subject, plans)),
        section("test", "Test sheet", water_test::water_test(plans, say)),
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
        // Sections stand at a scale of their own: one hub blown up to the width of the page tells no more.
        let class = match kind {
            "section-" => "own",
            _ if tall > wide => "tall",
            _ => "wide",
        };
        m.tag("figure", &[("class", class), ("tabindex", "0")], |m| {
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
