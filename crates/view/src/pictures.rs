//! Pictures by whatever driver there is. Where none is, they are skipped aloud; with `TRUEFALL_PICTURES=required` that fails.

use crate::action::Action;
use crate::hold::demo;
use crate::look::Look;
use crate::offscreen::Studio;
use bevy::prelude::*;
use truefall_check::Verdict;

const SIZE: (u32, u32) = (480, 320);

fn studio(look: Look) -> Option<Studio> {
    match Studio::new(demo(), look, SIZE, Msaa::Off) {
        Ok(studio) => Some(studio),
        Err(why) => {
            assert!(
                std::env::var("TRUEFALL_PICTURES").as_deref() != Ok("required"),
                "pictures are required here: {why}"
            );
            eprintln!("skipped: {why}");
            None
        }
    }
}

fn pixels(studio: &mut Studio) -> Vec<[u8; 3]> {
    let image = studio.picture().expect("a picture comes back");
    let data = image.data.expect("it has pixels");
    data.chunks_exact(4).map(|p| [p[0], p[1], p[2]]).collect()
}

/// How many pixels look like the red paper of a tag.
fn red(pixels: &[[u8; 3]]) -> usize {
    pixels.iter().filter(|p| p[0] > 150 && p[1] < 75 && p[2] < 70).count()
}

/// How far apart two pictures are: pixels that differ by more than the grain of a driver.
fn differ(a: &[[u8; 3]], b: &[[u8; 3]]) -> usize {
    a.iter().zip(b).filter(|(p, q)| (0..3).any(|i| p[i].abs_diff(q[i]) > 12)).count()
}

// One test, one after another: drivers in software take all cores for each picture.
#[test]
fn pictures_show_what_matters() {
    let Some(mut studio) = studio(Look { tags: false, ..Look::default() }) else { return };
    studio.frame();
    let bare = pixels(&mut studio);
    let first = bare[0];
    let other = bare.iter().filter(|p| (0..3).any(|i| p[i].abs_diff(first[i]) > 20)).count();
    assert!(other * 5 > bare.len(), "the house fills a fifth of the picture at least: {other}");
    let again = pixels(&mut studio);
    assert_eq!(differ(&bare, &again), 0, "the same scene gives the same picture");

    // Red tags hang where there were none.
    studio.app.world_mut().write_message(Action::Look(Box::new(Look { panels: false, ..Look::default() })));
    let tagged = pixels(&mut studio);
    assert!(red(&tagged) > red(&bare) + 300, "{} red pixels, {} without tags", red(&tagged), red(&bare));

    // The marker of each of the first red tags is in frame when it is asked for.
    let findings: Vec<usize> = {
        let loaded = studio.app.world().resource::<crate::loaded::Loaded>();
        let tags = loaded.seen.findings.iter().enumerate().filter(|(_, f)| f.verdict == Verdict::RedTag);
        tags.map(|(i, _)| i).filter(|i| loaded.anchor(*i).is_some()).take(3).collect()
    };
    assert!(!findings.is_empty());
    for i in findings {
        studio.app.world_mut().write_message(Action::Finding(i));
        assert!(red(&pixels(&mut studio)) > 300, "the tag of finding {i} is in frame");
    }

    // Before the bath wall, closed: with pipes through walls the pipes tint the picture, without they do not.
    let wall = {
        let loaded = studio.app.world().resource::<crate::loaded::Loaded>();
        loaded
            .seen
            .rough_in
            .framed
            .walls
            .iter()
            .position(|w| w.label.as_str() == "bath wall")
            .expect("it is there")
    };
    studio.app.world_mut().write_message(Action::Clear);
    studio.app.world_mut().write_message(Action::View(crate::camera::View::Wall(wall)));
    let closed = Look { panels: false, tags: false, cover: 3.0, through: false, ..Look::default() };
    studio.app.world_mut().write_message(Action::Look(Box::new(closed.clone())));
    let shut = pixels(&mut studio);
    studio.app.world_mut().write_message(Action::Look(Box::new(Look { through: true, ..closed })));
    let seen = pixels(&mut studio);
    assert!(differ(&shut, &seen) * 50 > seen.len(), "pipes and studs show through: {}", differ(&shut, &seen));
}
