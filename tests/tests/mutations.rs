//! Bad input never brings the program down: thousands of spoiled job texts are refused in words or placed and checked.

use std::panic::{AssertUnwindSafe, catch_unwind};
use truefall_check::Profile;
use truefall_model::catalog::Catalog;
use truefall_model::job::Placement;
use truefall_model::job::file::JobFile;
use truefall_model::place::place;

/// A small generator with a fixed seed, so that a failure can be run again.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, below: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % below as u64) as usize
    }
}

/// What a tired hand does to a file: numbers, names and brackets changed, lines lost, doubled and swapped.
fn spoil(text: &str, dice: &mut Dice) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for _ in 0..=dice.roll(3) {
        let at = dice.roll(lines.len());
        match dice.roll(6) {
            0 => {
                lines.remove(at);
            }
            1 => {
                let line = lines[at].clone();
                lines.insert(at, line);
            }
            2 => {
                let other = dice.roll(lines.len());
                lines.swap(at, other);
            }
            3 => lines[at] = swap_number(&lines[at], dice),
            4 => lines[at] = swap_number(&lines[at], dice),
            _ => {
                let marks: Vec<usize> = lines[at].char_indices().map(|(i, _)| i).collect();
                if !marks.is_empty() {
                    let i = marks[dice.roll(marks.len())];
                    let new = ["0", "9", "-", "\"", "(", ")", "x", "é", ""][dice.roll(9)];
                    let old = lines[at][i..].chars().next().map_or(0, char::len_utf8);
                    lines[at].replace_range(i..i + old, new);
                }
            }
        }
        if lines.is_empty() {
            break;
        }
    }
    lines.join("\n")
}

fn swap_number(line: &str, dice: &mut Dice) -> String {
    let digits: Vec<usize> =
        line.char_indices().filter(|(_, c)| c.is_ascii_digit()).map(|(i, _)| i).collect();
    if digits.is_empty() {
        return line.to_owned();
    }
    let i = digits[dice.roll(digits.len())];
    let new = ["0", "1", "7", "99", "-3", "1000000", "1/2", ""][dice.roll(8)];
    format!("{}{new}{}", &line[..i], &line[i + 1..])
}

#[test]
fn spoiled_jobs_are_refused_in_words_or_checked() {
    let catalog = Catalog::builtin();
    let profile = Profile::builtin("irc-2021").expect("the profile is built in");
    let mut dice = Dice(20_261_125);
    let (mut refused, mut checked) = (0, 0);
    let scenes = ["../scenes/one_bath.ron", "../scenes/bungalow.ron"];
    for path in scenes {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
        let text = std::fs::read_to_string(&path).expect("the scene can be read");
        for round in 0..150 {
            let spoiled = spoil(&text, &mut dice);
            let outcome = catch_unwind(AssertUnwindSafe(|| {
                let Ok(file) = JobFile::read("spoiled.ron", &spoiled) else { return false };
                match place(&file.job, catalog) {
                    Err(faults) => {
                        let said = file.faults(&faults).to_string();
                        assert!(said.contains("spoiled.ron:"), "faults name their file: {said}");
                        false
                    }
                    Ok(rough_in) => {
                        let both = [Placement::Drawn, Placement::Found];
                        let found = truefall_check::check(&file.job, &rough_in, catalog, &profile, &both);
                        for finding in &found {
                            assert!(!finding.what.contains("NaN"), "{finding:?}");
                        }
                        true
                    }
                }
            }));
            match outcome {
                Ok(true) => checked += 1,
                Ok(false) => refused += 1,
                Err(_) => panic!("round {round} of {} brought the program down:\n{spoiled}", path.display()),
            }
        }
    }
    assert!(
        refused > 20 && checked > 20,
        "the spoiling makes both kinds: {refused} refused, {checked} checked"
    );
}
