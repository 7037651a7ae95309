//! The hole schedule against hand sums on the small bath, and its text against its JSON.

use truefall_model::catalog::Catalog;
use truefall_model::job::file::JobFile;
use truefall_model::units::{Fineness, Length};
use truefall_packet::{Look, Style, json, text};
use truefall_plan::Site;
use truefall_plan::cuts::on_tape;
use truefall_plan::holes::{HoleSchedule, Step};

fn schedule(scene: &str) -> HoleSchedule {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../scenes/").to_owned() + scene;
    let file = JobFile::load(path.as_ref()).unwrap_or_else(|e| panic!("{e}"));
    let site = Site::of(&file.job, Catalog::builtin()).unwrap_or_else(|e| panic!("{e:?}"));
    HoleSchedule::of(&site)
}

// By hand from the job: the closet is 12 off the finished wall, whose finish is 15/16: 12-15/16 off the studs. The floor is
// built up 7/8, and so is the shim under the ring. The stack is at x 66, y 21-1/4; the wet wall's face at y 24.
#[test]
fn the_small_baths_floor_is_as_a_tape_has_it() {
    let found = schedule("one_bath.ron");
    let closet = &found.closets[0];
    assert_eq!(closet.shim.to_inches(), 0.875);
    assert_eq!(on_tape(closet.off[0].rough).to_inches(), 12.9375);
    assert_eq!(on_tape(closet.off[0].finished).to_inches(), 12.0);
    let stack = &found.floors[0];
    assert_eq!((stack.off[0].rough.to_inches(), stack.off[1].rough.to_inches()), (2.75, 54.0));
    // Joist 5's near edge is read at 61, it is 1-1/2 thick: its far face is at 62-1/2, and 66 less that is 3-1/2.
    let before = stack.bay.before.as_ref().expect("a joist");
    assert!((before.to_face.to_inches() - 3.5).abs() < 1e-9);
}

// A pipe at 1/4 in per ft drops 1/4 in for each 12 in of level run (the grade's own meaning): 16 in make 1/3 in.
#[test]
fn drops_are_the_grade_times_the_run_and_never_a_step_added_up() {
    for scene in ["one_bath.ron", "bungalow.ron"] {
        let mut middles = 0;
        for hole in schedule(scene).members.iter() {
            let Some(drop) = &hole.drop else { continue };
            let by_grade = drop.level.to_inches() / 12.0 * 0.25;
            assert!((drop.down.to_inches() - by_grade).abs() < 0.07, "{scene} {}", hole.label);
            middles += usize::from(hole.step == Step::Middle);
        }
        assert!(scene != "bungalow.ron" || middles > 0);
    }
}

#[test]
fn text_and_json_have_the_same_numbers() {
    let found = schedule("bungalow.ron");
    let look = Look { style: Style::Plain, fineness: Fineness::Sixteenth };
    let page = text::holes::holes(&found, look);
    let sheet = json::holes::holes(&found);
    let members = sheet["members"].as_array().expect("a list");
    assert!(members.len() > 10);
    for hole in members {
        let at = Length::inches(hole["at"].as_f64().expect("a number")).to_string();
        let name = hole["member"].as_str().expect("a name");
        assert!(page.lines().any(|l| l.contains(name) && l.contains(&at)), "{name} {at}");
    }
}

// A string runs through the studs of a level length; the plates of a riser lie over each other and are marked one by one (common
// practice).
#[test]
fn plates_of_a_riser_are_drilled_by_figures_and_studs_by_the_string() {
    let schedule = schedule("one_bath.ron");
    let steps: Vec<(&str, Step)> = schedule.members.iter().map(|h| (h.label.as_str(), h.step)).collect();
    let expected = [
        ("wet bottom plate 1", Step::Riser),
        ("wet top plate 1", Step::Riser),
        ("wet top plate 2", Step::Riser),
        ("wet stud 4", Step::End),
        ("wet stud 3", Step::End),
    ];
    assert_eq!(steps, expected);
}

// The page's width: 100 columns, as all its prose has; a length never ends a line half said.
#[test]
fn the_schedule_keeps_to_the_page() {
    let look = Look { style: Style::Plain, fineness: Fineness::Sixteenth };
    for scene in ["bungalow.ron", "one_bath.ron", "ordinary/two_storeys.ron", "ordinary/kitchen.ron"] {
        let page = text::holes::holes(&schedule(scene), look);
        for line in page.lines() {
            assert!(line.chars().count() <= 100, "{scene}: {line}");
            let next_is_fraction = |l: &str| {
                l.trim_start().starts_with(|c: char| c.is_ascii_digit())
                    && l.trim_start().split(' ').next().is_some_and(|w| w.contains('/'))
            };
            assert!(!next_is_fraction(line), "{scene}: {line}");
        }
    }
}
