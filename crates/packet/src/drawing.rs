//! Drawings made from the placed job, as SVG: one geometry behind all of them, and texts whose room is reckoned.

pub mod area;
pub mod drafted;
pub mod drawn;
pub mod elevation;
pub mod isometric;
pub mod letters;
mod outline;
pub mod paper;
pub mod plan;
pub mod room;
pub mod section;
pub mod sheet;
pub mod stack;
pub mod subject;

pub use drawn::Drawn;
pub use subject::Subject;
use truefall_plan::holes::HoleSchedule;

/// Every drawing of a job with the name of its file, in the order of the pages.
pub fn all(subject: &Subject<'_>, holes: &HoleSchedule) -> Vec<(String, Drawn)> {
    let rough_in = subject.rough_in();
    let mut made: Vec<_> =
        isometric::isometric(subject).map(|d| ("isometric".to_owned(), d)).into_iter().collect();
    made.extend(
        rough_in
            .runs
            .iter()
            .filter_map(|r| Some((named("stack", r.label.as_str()), stack::stack(subject, r)?))),
    );
    for wall in &rough_in.framed.walls {
        let name = |kind| named(kind, wall.label.as_str());
        made.extend(elevation::elevation(subject, holes, wall).map(|d| (name("wall"), d)));
        made.extend(section::sections(subject, wall).map(|d| (name("section"), d)));
    }
    made.extend(
        rough_in
            .framed
            .floors
            .iter()
            .filter_map(|f| Some((named("plan", f.label.as_str()), plan::plan(subject, holes, f)?))),
    );
    // Two names that a file system can't tell apart get a number.
    for i in 0..made.len() {
        let twice = made[..i].iter().filter(|(name, _)| *name == made[i].0).count();
        if twice > 0 {
            let name = format!("{}-{}", made[i].0, i);
            made[i].0 = name;
        }
    }
    made
}

/// A file's name of a kind and of a name out of the job: nothing but small letters, figures and dashes gets in.
pub fn named(kind: &str, label: &str) -> String {
    let plain: String = label
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' })
        .take(40)
        .collect();
    format!("{kind}-{plain}")
}
