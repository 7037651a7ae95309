//! What an inspection asks: the self-check, the dry fit before it, the test.

use super::frame::{list, table};
use super::summary::cautions;
use crate::drawing::Subject;
use crate::markup::Markup;
use nalgebra::Vector3;
use truefall_check::{Verdict, rules};
use truefall_model::place::{PartId, PartKind, RunKind, clock_axis, clock_of};

/// Pass, fail, by eye.
pub fn self_check(subject: &Subject<'_>) -> Markup {
    let mut m = Markup::new();
    let rows: Vec<Vec<String>> = rules::ALL
        .iter()
        .map(|rule| {
            let found = subject.examined.findings.iter().filter(|f| f.rule == rule.id);
            let worst = found.clone().map(|f| f.verdict).min();
            let passes = subject.examined.passes.iter().filter(|f| f.rule == rule.id).count();
            let result = match worst {
                Some(Verdict::RedTag) => {
                    format!("FAIL ({})", found.filter(|f| f.verdict == Verdict::RedTag).count())
                }
                Some(Verdict::Ask) => "ask the official".to_owned(),
                Some(Verdict::NotChecked) => "by eye: could not be checked".to_owned(),
                Some(Verdict::Watch) => "pass, see the findings".to_owned(),
                _ if passes > 0 => format!("pass ({passes} looked at)"),
                _ => "pass, or nothing of the kind here".to_owned(),
            };
            vec![rule.summary.to_string(), result, rule.id.to_owned()]
        })
        .collect();
    table(
        &mut m,
        "Held to the figures of the code and of practice",
        &["looked for", "result", "rule"],
        &rows,
    );
    m.line("h3", &[], "By eye, on the day (common practice)");
    for look in [
        "primer seen at every joint that asks for it, cement of the right kind, no joint moved after it was set",
        "pipe ends cut square, deburred, home in their hubs",
        "plates nailed over every bore near an edge, straps where a plate is cut",
        "hangers tight, no pipe resting on a nail or a sharp edge",
        "cleanouts reachable with room to work",
        "every opening of old and new pipe plugged against sewer gas",
        "holes in fire-stopped plates sealed as the local code asks",
        "markings of the pipe turned where they can be read",
    ] {
        m.tag("p", &[], |m| {
            m.raw("<span class=\"box\"></span> ").text(look);
        });
    }
    m
}

/// The visit before the glue.
pub fn dry_fit(subject: &Subject<'_>) -> Markup {
    let mut m = Markup::new();
    m.line("p", &[], "Put it together dry. Set each fitting to its clock, draw the match mark across hub and pipe, write the number on both. Clock on a riser: 12 is +y on the plan, clockwise looking down; on a level joint 12 is up, looking downstream.");
    let rough_in = subject.rough_in();
    let cuts = crate::csv::cut_rows(subject);
    for run in &rough_in.runs {
        let mut rows = Vec::new();
        for (i, (piece, part)) in run.fits.iter().enumerate() {
            let next = run.fits.get(i + 1).map(|(piece, part)| piece.unwrap_or(*part)).or(run.last_piece);
            let number = piece.and_then(|p| cuts.iter().find(|c| c.piece == rough_in.part(p).label.as_str()));
            let of = rough_in.part(*part);
            rows.push(vec![
                number.map_or_else(
                    || "no piece".to_owned(),
                    |c| format!("{}: {}", c.number, subject.say.length(c.cut)),
                ),
                format!("{} {}", of.label, of.pattern().map_or_else(String::new, |p| p.name.to_string())),
                clock(subject, *part, next).unwrap_or_else(|| "none".to_owned()),
                format!("{}-{}", run.id.0 + 1, i + 1),
                String::new(),
            ]);
        }
        if let Some(cut) =
            run.last_piece.and_then(|p| cuts.iter().find(|c| c.piece == rough_in.part(p).label.as_str()))
        {
            rows.push(vec![
                format!("{}: {}", cut.number, subject.say.length(cut.cut)),
                cut.piece.clone(),
                "none".to_owned(),
                format!("{}-{}", run.id.0 + 1, run.fits.len() + 1),
                String::new(),
            ]);
        }
        table(
            &mut m,
            run.label.as_str(),
            &["piece: cut", "then fitting", "clock", "match mark", "dry ok"],
            &rows,
        );
    }
    m
}

/// Where a fitting's branch, or the way it turns, points.
fn clock(subject: &Subject<'_>, part: PartId, next: Option<PartId>) -> Option<String> {
    let (rough_in, placed) = (subject.rough_in(), subject.placed());
    let pattern = rough_in.part(part).pattern()?;
    let enter = rough_in.joint(rough_in.network.down[part.0 as usize]?).high.1;
    let out = pattern.ports[enter].axis;
    // All ports on one line: nothing to turn.
    if pattern.ports.iter().all(|p| p.axis.cross(&out).norm() < 0.09) {
        return None;
    }
    let leave = next.and_then(|next| {
        let up = rough_in.network.above(part).find(|(_, above)| *above == next)?;
        Some(rough_in.joint(up.0).low.1)
    });
    let turn = placed.world_from_part[part.0 as usize].rotation;
    let hand: Vector3<f64> = turn * clock_axis(pattern, enter, leave);
    Some(clock_of(-(turn * out), hand).to_string())
}

/// What to plug, how high to fill, how long to wait.
pub fn test(subject: &Subject<'_>) -> Markup {
    let mut m = Markup::new();
    let (rough_in, placed, say) = (subject.rough_in(), subject.placed(), subject.say);
    let mut plugs: Vec<String> = Vec::new();
    let mut top = f64::NEG_INFINITY;
    let mut bottom = f64::INFINITY;
    for run in &rough_in.runs {
        if let RunKind::Stack { base, .. } = run.kind {
            let at = placed.origin(base);
            bottom = bottom.min(at.z);
            if let PartKind::Existing { size, .. } = &rough_in.part(base).kind {
                plugs.push(format!(
                    "{}: {size} in plug or test tee above the existing work; don't fill the old pipe",
                    run.label
                ));
            }
        }
        if let (None, Some(piece)) = (run.fixture, run.last_piece) {
            let end = placed.stop(rough_in, piece, 1);
            if end.z > top {
                top = end.z;
            }
        }
    }
    for landing in &placed.landings {
        let fixture = &subject.job.fixtures[landing.fixture];
        plugs.push(format!(
            "{} ({}): {} in cap or plug",
            subject.letter(landing.fixture),
            fixture.name,
            rough_in.part(landing.part).size()
        ));
    }
    list(&mut m, &plugs);
    if top.is_finite() && bottom.is_finite() {
        m.line("p", &[], &format!("Fill to the highest open end, {} above the lowest base. All other open ends below that height are plugged first.", say.length(top - bottom)));
    }
    let profile = &subject.examined.profile;
    for (key, words) in [
        ("test-head", "head on every part but the uppermost"),
        ("test-hold", "the water must stand without falling for"),
    ] {
        if let Some(figure) = profile.find(key) {
            m.line(
                "p",
                &[],
                &format!(
                    "{words}: {} {} ({}, {})",
                    figure.value,
                    figure.unit,
                    figure.source(),
                    figure.source().status().word()
                ),
            );
        }
    }
    m.tag("p", &[("class", "caution")], |m| {
        m.text("Water, not compressed air: plastic under air can burst into splinters. 10 ft of water presses 4.3 lb on each square inch: stand clear of plugs, and let the water down slowly. Ask the official which test is wanted.");
    });
    cautions(&mut m);
    m.line("p", &[], "Filled at ________   looked at ________   held: yes / no   by ______________________");
    m
}
