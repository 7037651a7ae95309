//! Summary: what the job is, what was found, which letter is which fixture.

use super::frame::{list, table};
use crate::drawing::Subject;
use crate::markup::Markup;
use truefall_check::vent::fixture_units;

/// The first page.
pub fn summary(subject: &Subject<'_>) -> Markup {
    let mut m = Markup::new();
    let report = &subject.examined.report;
    let counts = &report.counts;
    m.line(
        "p",
        &[],
        &format!(
            "Held to {}, as drawn and as found. Drawings, cuts and holes are as {}: what is sawn and drilled. Test sheet, owner's page and walk are as found.",
            report.code, subject.job.cut_on
        ),
    );
    if let Some(note) = &subject.job.note {
        m.line("p", &[], note);
    }
    m.line(
        "p",
        &[],
        &format!(
            "{} red tags, {} to ask, {} to watch, {} not checked.",
            counts.red_tag, counts.ask, counts.watch, counts.not_checked
        ),
    );
    let reds: Vec<String> =
        report.findings.iter().filter(|f| f.verdict == "red tag").map(|f| f.what.clone()).collect();
    if !reds.is_empty() {
        m.line("h3", &[], "To be mended before anything is drilled or glued");
        list(&mut m, &reds);
    }
    let rows: Vec<Vec<String>> = subject
        .job
        .fixtures
        .iter()
        .enumerate()
        .map(|(i, fixture)| {
            let units = fixture_units(&subject.examined.profile, fixture);
            let landing =
                report.landings.iter().find(|l| l.placement == "found" && fixture.name.as_str() == l.fixture);
            vec![
                subject.letter(i),
                fixture.name.to_string(),
                fixture.kind.word().replace('_', " "),
                fixture.floor.to_string(),
                units.map_or_else(|| "not in the code's table".to_owned(), |u| u.to_string()),
                landing.map_or_else(
                    || "no pipe ends here".to_owned(),
                    |l| {
                        format!(
                            "{} off, {} allowed",
                            subject.say.length(l.misfit),
                            subject.say.length(l.tolerance)
                        )
                    },
                ),
            ]
        })
        .collect();
    table(
        &mut m,
        "Fixtures",
        &["letter", "fixture", "kind", "floor", "fixture units by itself", "pipe lands"],
        &rows,
    );
    m.line("h3", &[], "Before you cut or glue");
    cautions(&mut m);
    m
}

/// What can hurt someone, the words of every report.
pub fn cautions(m: &mut Markup) {
    m.tag("div", &[("class", "caution")], |m| {
        list(m, &crate::text::cautions::CAUTIONS.iter().map(|c| (*c).to_owned()).collect::<Vec<_>>());
    });
}
