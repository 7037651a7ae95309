//! The code profiles as text: which there are, and every figure of one.

use super::page::{Look, Page};
use super::style::Tone;
use super::table::{Cell, Side, Table};
use truefall_check::Profile;
use truefall_check::code::{CHAPTERS, Figure};
use truefall_check::source::{Source, Status};

const HEAD: [(Side, &str); 5] = [
    (Side::Left, "figure"),
    (Side::Right, "value"),
    (Side::Left, "unit"),
    (Side::Left, "section"),
    (Side::Left, "status"),
];

/// The profiles that come with the tool, one a line.
pub fn codes(look: Look) -> String {
    let mut page = Page::new(look);
    let mut table = Table::new([
        (Side::Left, "profile"),
        (Side::Left, "code"),
        (Side::Right, "figures"),
        (Side::Right, "from memory"),
    ]);
    for profile in Profile::names().into_iter().filter_map(Profile::builtin) {
        let memory = profile.figures().iter().filter(|f| f.status == Status::Memory).count();
        table.row([
            profile.name().into(),
            format!("{} {}", profile.code(), profile.edition()).into(),
            profile.figures().len().to_string().into(),
            memory.to_string().into(),
        ]);
    }
    page.table(&table);
    page.into_text()
}

/// Every figure of a profile, chapter by chapter.
pub fn code(profile: &Profile, look: Look) -> String {
    let mut page = Page::new(look);
    page.line(0, Tone::Heading, &format!("{}: {} {}", profile.name(), profile.code(), profile.edition()));
    page.line(0, Tone::Plain, profile.note());
    page.line(0, Tone::Faint, "a note stands under the rows it tells of");
    if profile.figures().iter().any(|f| f.status == Status::Memory) {
        page.line(0, Tone::Ask, "memory: confirm in your code book");
    }
    for chapter in CHAPTERS {
        let figures = profile.chapter(chapter);
        if figures.is_empty() {
            continue;
        }
        let mut table = Table::new(HEAD);
        figures.iter().for_each(|figure| row(profile, &mut table, figure));
        page.heading(&capital(chapter));
        let notes: Vec<&str> = figures.iter().map(|f| f.note.as_str()).collect();
        page.table_with_notes(&table, &notes);
    }
    page.into_text()
}

fn row(profile: &Profile, table: &mut Table, figure: &Figure) {
    let tone = if figure.status == Status::Memory { Tone::Ask } else { Tone::Plain };
    table.row([
        figure.key.as_str().into(),
        number(figure.value).into(),
        figure.unit.into(),
        section(profile, figure).into(),
        Cell::toned(tone, figure.status.to_string()),
    ]);
}

/// The number as a job's `local` would state it; a third as far as it is told apart.
fn number(value: f64) -> String {
    let text = format!("{value:.5}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The section, with its code where that is another than the profile's.
fn section(profile: &Profile, figure: &Figure) -> String {
    match &figure.source {
        Source::Code { code, section, .. } if code != profile.code() => format!("{code} {section}"),
        Source::Code { section, .. } => section.clone(),
        Source::House { .. } => "our own".to_owned(),
    }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
