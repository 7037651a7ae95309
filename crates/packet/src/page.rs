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

use crate::drawing::paper::{LEAST, Paper};
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
    let section = |name, heading, body| Section { name, heading, body, paper: None };
    let drawn = |name, heading, kind| {
        let (body, paper) = shown(drawings, kind);
        Section { name, heading, body, paper }
    };
    vec![
        section("summary", "Summary", summary::summary(subject)),
        section("findings", "Findings", findings::findings(subject)),
        drawn("stacks", "Stack elevations", "stack-"),
        drawn("walls", "Wall elevations", "wall-"),
        drawn("sections", "Sections at hubs in walls", "section-"),
        drawn("plans", "Plan of each floor", "plan-"),
        drawn("isometric", "Permit isometric", "isometric"),
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

/// The drawings of a kind, and how the first of them lies on paper.
fn shown(drawings: &[(String, Drawn)], kind: &str) -> (Markup, Option<Paper>) {
    let mut m = Markup::new();
    let mut first = None;
    let of_kind = || drawings.iter().filter(|(name, _)| name.starts_with(kind)).map(|(_, drawing)| drawing);
    // Where one must lie all do that can: leafed through, sheets of a kind are not turned back and forth.
    let one_lies = of_kind().any(|d| Paper::of(d.size()) == Paper::Lying);
    for drawing in of_kind() {
        let (wide, tall) = drawing.size();
        // Sections stand at a scale of their own: one hub blown up to the width of the page tells no more.
        let class = match kind {
            "section-" => "own",
            _ if tall > wide => "tall",
            _ => "wide",
        };
        let lies = one_lies && Paper::Lying.text(drawing.size()) >= LEAST;
        let paper = if lies { Paper::Lying } else { Paper::of(drawing.size()) };
        first = first.or(Some(paper));
        let class = format!("{class} {}", frame::of_paper(Some(paper)));
        m.tag("figure", &[("class", &class), ("tabindex", "0")], |m| {
            m.put(&drawing.svg());
            m.line("figcaption", &[], drawing.title());
        });
    }
    if first.is_none() {
        m.line("p", &[], "Nothing of the job to draw here.");
    } else {
        m.line("p", &[("class", "small hint")], "On a narrow screen drawings slide sideways.");
    }
    (m, first)
}
