//! The plan of heights as text: an elevation from the top down, the windows, what errors do, what changes.

use super::rows::{ErrorRow, HeightsReport, PartRow, StackRow, WasherRow, WindowRow};
use crate::text::page::{Look, Page};
use crate::text::style::Tone;
use crate::text::table::{Side, Table};

/// The report as text.
pub fn heights_text(report: &HeightsReport, look: Look) -> String {
    let mut page = Page::new(look);
    page.heading(&report.job);
    for stack in &report.stacks {
        one(&mut page, stack);
    }
    page.heading("Tried on a copy of the job");
    let tried = &report.tried;
    let edits = tried.edits;
    let line = match (&tried.refused, edits) {
        (Some(why), _) => why.clone(),
        (None, 0) => "nothing to change".to_owned(),
        (None, _) if tried.accepted && tried.breaks.is_empty() => "it breaks nothing".to_owned(),
        (None, _) if tried.accepted => "nothing is red that was not red before".to_owned(),
        (None, _) => "it breaks rules that held before; look before you take it".to_owned(),
    };
    page.line(2, Tone::Plain, &line);
    for said in &tried.breaks {
        page.named(2, "breaks  ", Tone::Watch, said);
    }
    for said in &tried.mends {
        page.named(2, "mends   ", Tone::Plain, said);
    }
    page.blank();
    page.line(
        0,
        Tone::Faint,
        "Heights are as good as what was measured: dry-fit, mark the clocks, and let the local code, the inspector and a licensed \
         plumber have the last word before anything is drilled or glued.",
    );
    page.into_text()
}

fn one(page: &mut Page, stack: &StackRow) {
    let part = match (&stack.above, &stack.below) {
        (Some(above), _) => format!(" above {above}"),
        (None, Some(below)) => format!(" up to {below}"),
        (None, None) => String::new(),
    };
    let name = format!("{}{part}", stack.stack);
    let title = match (stack.outcome, stack.joints) {
        ("solved", Some(joints)) => format!("Stack {name} can be built with {joints} joints"),
        ("stuck", _) => format!("Stack {name} can't be built as asked"),
        _ => format!("Stack {name} is left as it is"),
    };
    page.heading(&title);
    if let Some(why) = &stack.why {
        page.line(2, if stack.outcome == "stuck" { Tone::RedTag } else { Tone::Plain }, why);
    }
    if let Some(price) = stack.price {
        let without = match stack.unpriced {
            Some(0) | None => String::new(),
            Some(1) => ", and one that has none".to_owned(),
            Some(count) => format!(", and {count} that have none"),
        };
        page.line(2, Tone::Plain, &format!("fittings at your prices: {price:.2}{without}"));
    }
    match (stack.joints, stack.joints_as_written) {
        (Some(now), Some(was)) if now < was => {
            page.line(2, Tone::Plain, &format!("as written it takes {was} joints"))
        }
        (Some(_), None) => {
            page.line(2, Tone::Watch, "with the fittings as written no heights satisfy all windows")
        }
        _ => {}
    }
    for remedy in &stack.remedies {
        page.named(2, "or  ", Tone::Plain, remedy);
    }
    if !stack.elevation.is_empty() {
        elevation(page, &stack.elevation);
    }
    if !stack.windows.is_empty() {
        windows(page, &stack.windows);
    }
    if !stack.errors.is_empty() {
        errors(page, &stack.errors);
    }
    for washer in &stack.washers {
        one_washer(page, washer);
    }
    for note in &stack.notes {
        page.named(2, "note  ", Tone::Watch, note);
    }
    if !stack.changes.is_empty() {
        page.blank();
        for change in &stack.changes {
            page.named(2, "change  ", Tone::Plain, change);
        }
    }
}

fn elevation(page: &mut Page, rows: &[PartRow]) {
    let mut table = Table::new([
        (Side::Left, ""),
        (Side::Left, "from the top down"),
        (Side::Left, "floor"),
        (Side::Right, "off rough"),
        (Side::Right, "off finished"),
        (Side::Left, "points to"),
        (Side::Right, "cut"),
        (Side::Right, "centres"),
    ]);
    for row in rows {
        let name = row.fitting.clone().unwrap_or_else(|| "|".to_owned());
        let what = if row.make_up { format!("{}, hubs face to face", row.what) } else { row.what.clone() };
        table.row([
            name.into(),
            what.into(),
            row.floor.clone().unwrap_or_default().into(),
            page.length_if(row.off_rough).into(),
            page.length_if(row.off_finished).into(),
            row.clock.clone().unwrap_or_default().into(),
            page.length_if(row.cut).into(),
            page.length_if(row.centres).into(),
        ]);
    }
    page.blank();
    page.table(&table);
    page.line(2, Tone::Faint, "centres: to the centre of the fitting below");
}

fn windows(page: &mut Page, rows: &[WindowRow]) {
    let mut table = Table::new([
        (Side::Left, "tee"),
        (Side::Left, "off rough"),
        (Side::Right, "from"),
        (Side::Right, "to"),
        (Side::Right, "was"),
        (Side::Right, "set at"),
        (Side::Right, "room below"),
        (Side::Right, "above"),
        (Side::Left, "serves"),
    ]);
    for row in rows {
        table.row([
            row.fitting.clone().into(),
            row.floor.clone().into(),
            page.length_if(row.least).into(),
            page.length_if(row.greatest).into(),
            page.length_if(row.was).into(),
            page.length_if(row.at).into(),
            page.length_if(row.room_below).into(),
            page.length_if(row.room_above).into(),
            row.serves.join(", ").into(),
        ]);
    }
    page.blank();
    page.table(&table);
    for row in rows {
        if let Some(by) = &row.least_by {
            page.named(2, &format!("{} from  ", row.fitting), Tone::Faint, by);
        }
        if let Some(by) = row.greatest_by.as_ref().filter(|by| row.least_by.as_ref() != Some(by)) {
            page.named(2, &format!("{} to    ", row.fitting), Tone::Faint, by);
        }
    }
}

fn errors(page: &mut Page, rows: &[ErrorRow]) {
    let mut table = Table::new([
        (Side::Left, "if this is off"),
        (Side::Right, "it holds to"),
        (Side::Left, "first out"),
        (Side::Left, "out at 1/16"),
        (Side::Left, "out at 1/8"),
    ]);
    let list = |names: &[String]| if names.is_empty() { "-".to_owned() } else { names.join(" ") };
    for row in rows {
        table.row([
            row.measured.clone().into(),
            if row.first.is_some() { page.length(row.holds_to) } else { "any".to_owned() }.into(),
            row.first.clone().unwrap_or_default().into(),
            list(&row.at_sixteenth).into(),
            list(&row.at_eighth).into(),
        ]);
    }
    page.blank();
    page.table(&table);
}

fn one_washer(page: &mut Page, washer: &WasherRow) {
    let length = |page: &Page, inches: f64| page.length(inches);
    let (weir, rim, stands) =
        (length(page, washer.weir), length(page, washer.rim), length(page, washer.stands));
    page.blank();
    page.named(
        2,
        &format!("{}  ", washer.fixture),
        Tone::Plain,
        &format!(
            "weir {weir} and rim {rim} off {} finished: the standpipe stands {stands} over the weir; the bottom of the box sits at the \
             rim, {}; set the box {} proud of the studs, flush with the finish",
            washer.floor,
            washer.box_centre.map_or_else(
                || "its middle half the box's own height above".to_owned(),
                |at| format!("its middle at {} (assumed: measure the box in the hand)", length(page, at))
            ),
            length(page, washer.proud)
        ),
    );
    let Some((from, to)) = washer.bay else { return };
    let bay = format!(
        "the bay runs from {} to {} along its wall, the standpipe stands at {}",
        length(page, from),
        length(page, to),
        length(page, washer.along)
    );
    page.line(4, Tone::Plain, &bay);
    if washer.free.is_empty() {
        page.line(4, Tone::Watch, "however its trap is swung, hub or trap meet a stud: take another bay");
    }
    for swing in &washer.free {
        let inside = washer.along >= swing.least - 1e-6 && washer.along <= swing.greatest + 1e-6;
        let text = format!(
            "trap swung {}: it misses the studs with the standpipe from {} to {}{}",
            swing.swung,
            length(page, swing.least),
            length(page, swing.greatest),
            if inside { ", where it is" } else { "" }
        );
        page.line(4, Tone::Plain, &text);
    }
}
