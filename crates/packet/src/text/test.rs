//! The water test: stack by stack what to plug, how high to fill, how long it stays, and what to beware of.

use super::page::Page;
use super::style::Tone;
use super::table::{Side, Table};
use crate::report::Report;
use crate::report::test::TestRow;

const HEAD: [(Side, &str); 5] = [
    (Side::Left, "opening"),
    (Side::Left, "size"),
    (Side::Left, "what"),
    (Side::Right, "off the datum"),
    (Side::Right, "water over it"),
];

/// The tests of the last placement told: the pipe that is filled is the one that was found, where that was asked for.
pub fn test(page: &mut Page, report: &Report) {
    let last = report.placements.last().copied();
    let tests: Vec<&TestRow> = report.tests.iter().filter(|t| Some(t.placement) == last).collect();
    if tests.is_empty() {
        return;
    }
    page.heading("Water test");
    for test in &tests {
        one(page, test);
    }
    cautions(page, &tests);
}

fn one(page: &mut Page, test: &TestRow) {
    let TestRow { stack, lowest, psi, gallons, pounds, minutes, .. } = test;
    let riser = if test.riser > 0.0 {
        format!(", through a riser of {} set on for the test", page.length(test.riser))
    } else {
        String::new()
    };
    let text = format!(
        "fill to {} off the datum's rough floor{riser}; {gallons:.1} gal, {pounds:.0} lb; {} of water at the lowest joint, \
         {lowest}, press {psi:.2} psi; it stands {minutes} min and does not fall",
        page.length(test.level),
        page.length(test.lowest_head)
    );
    page.named(2, &format!("{stack} as {}: ", test.placement), Tone::Plain, &text);
    let mut table = Table::new(HEAD);
    for o in &test.openings {
        table.row([
            o.at.as_str().into(),
            o.size.as_str().into(),
            o.how.as_str().into(),
            page.length(o.height).into(),
            page.length(o.head).into(),
        ]);
    }
    page.table(&table);
    let over = if test.full_head_on_all {
        format!("every joint has {} of water on it or more", page.length(test.head))
    } else {
        format!(
            "joints over {} have less than {} of water on them: the overflow alone proves those",
            page.length(test.full_head_below),
            page.length(test.head)
        )
    };
    page.line(2, Tone::Faint, &over);
    let sources = format!("head {}; time {}", test.head_source.line, test.minutes_source.line);
    page.named(2, "source: ", Tone::Faint, &sources);
}

/// Each caution once; one that is not told of every stack stands behind the name of its own.
fn cautions(page: &mut Page, tests: &[&TestRow]) {
    let everywhere = |caution: &String| tests.iter().all(|t| t.cautions.contains(caution));
    let mut told: Vec<String> = Vec::new();
    for test in tests {
        for caution in &test.cautions {
            let line =
                if everywhere(caution) { caution.clone() } else { format!("{}: {caution}", test.stack) };
            if !told.contains(&line) {
                told.push(line);
            }
        }
    }
    for line in told {
        page.named(2, "- ", Tone::Plain, &line);
    }
}

#[cfg(test)]
mod tests {
    use crate::{Look, Style, examine, text};
    use truefall_model::catalog::Catalog;
    use truefall_model::job::Placement;
    use truefall_model::job::file::JobFile;
    use truefall_model::units::Fineness;

    const RISER: &str = r#"Job(name: "riser", house: House(floors: [Floor(name: "first", datum: true)]),
        stacks: [Stack(name: "S1", base: CutPipe(size: "3", material: pvc, at: ("0", "0"), top: "0 off first rough"),
          up: [Fit(name: "C1", fit: "3 coupling"), Fit(name: "C2", fit: "3 coupling", centre: "6' 0")], end: Open)])"#;

    // IRC P2503.5.1 (secondary): the head, over the highest joint at 6 ft, and the 15 minutes. Ten feet of water are 4.33 psi, as
    // makers of pipe print it, so sixteen 6.93. No air in
    // plastic: makers' warnings, common practice.
    #[test]
    fn the_water_test_is_told_with_its_riser_and_never_with_air() {
        let job = JobFile::read("riser", RISER).expect("it reads").job;
        let found = examine(&job, Catalog::builtin(), Placement::ALL).expect("it is placed");
        let text = text(&found.report, Look { style: Style::Plain, fineness: Fineness::Sixteenth });
        let section = text.split("Water test\n").nth(1).expect("it is told");
        let section = section.split("\n\n").next().expect("it ends").replace('\n', " ");
        let words = section.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains("S1 as found: fill to"), "{words}");
        assert!(words.contains("16' 0\" of water at the lowest joint"), "{words}");
        assert!(words.contains("press 6.93 psi; it stands 15 min"), "{words}");
        assert!(words.contains("every joint has 10' 0\" of water on it or more"), "{words}");
        assert!(
            words.contains("set on for the test"),
            "six feet of pipe do not hold ten of water over their top: {words}"
        );
        assert!(words.contains("- no compressed air in plastic pipe: air stores its pressure"), "{words}");
        let rows: Vec<&str> = found.report.tests.iter().map(|t| t.placement).collect();
        assert_eq!(rows, ["drawn", "found"]);
        assert!(found.report.tests.iter().all(|t| t.cautions[0].starts_with("no compressed air")));
    }
}
