//! Words of the plan of heights: remedies, changes, findings in one line.

use super::rows::PartRow;
use truefall_check::Finding;
use truefall_model::job::Job;
use truefall_model::job::pipes::{Fit, Stack};
use truefall_model::label::Label;
use truefall_model::place::RoughIn;
use truefall_model::units::Length;
use truefall_plan::heights::Stuck;
use truefall_plan::heights::bay::BoxSet;
use truefall_plan::heights::remedy::{Mend, Remedy};

/// A finding in one line.
pub fn said(finding: &Finding) -> String {
    let placement = match finding.placement {
        truefall_model::job::Placement::Drawn => "drawn",
        truefall_model::job::Placement::Found => "found",
    };
    format!("{}[{}]: {} ({placement})", finding.verdict, finding.rule, finding.what)
}

/// A remedy as one would say it.
pub fn remedy(mend: &Mend, stuck: &Stuck, rough_in: &RoughIn, job: &Job) -> String {
    let does = does(&mend.remedy, stuck, rough_in, job);
    match mend.brings.first() {
        Some(first) => {
            let more = match mend.brings.len() {
                1 => String::new(),
                count => format!(" and {} more", count - 1),
            };
            format!("{does}; it brings {}[{}]{more}", first.verdict, first.rule)
        }
        None => does,
    }
}

fn does(remedy: &Remedy, stuck: &Stuck, rough_in: &RoughIn, job: &Job) -> String {
    let way = |by: Length| if by > Length::ZERO { "up" } else { "down" };
    match remedy {
        Remedy::Street { station, fit } => {
            let name = &stuck.names[*station];
            let form = if fit.as_str().contains("street") {
                format!("a {fit}, its lengths from memory,")
            } else {
                format!("a {fit} with a spigot for its foot, where one is made,")
            };
            match station {
                0 => format!(
                    "seat {name} in the hub at its foot without a piece: {form} goes straight in; measure the one you can get"
                ),
                _ => format!(
                    "make {name} a street form: {form} goes straight into the hub below, without a piece; measure the one \
                     you can get"
                ),
            }
        }
        Remedy::Lower { station, to_z, branch, grade } => {
            let floors = &rough_in.framed.floors;
            let below = floors.iter().filter(|f| f.rough_z <= to_z + 24.0);
            let floor = below.max_by(|a, b| a.rough_z.total_cmp(&b.rough_z)).or(floors.first());
            let at = floor.map_or_else(String::new, |f| {
                let off = Length::inches(to_z - f.rough_z);
                format!("{off} off {} rough", f.label)
            });
            format!("lower {} to {at} and run {branch} at {grade}", stuck.names[*station])
        }
        Remedy::Ceiling { name, by } => format!("raise {name} by {by}"),
        Remedy::Move { station, by } => {
            let name = &stuck.names[*station];
            match wanted(stuck, *station, rough_in, job) {
                Some((fixture, floor, off)) => {
                    let to = Length::inches(off + by.to_inches());
                    let verb = if *by > Length::ZERO { "raise" } else { "lower" };
                    format!("{verb} the {fixture} to {to} off {floor} finished ({} {})", by.abs(), way(*by))
                }
                None => match washer(stuck, *station, rough_in, job) {
                    Some((fixture, floor, rim)) => format!(
                        "set the rim of the {fixture}'s standpipe at {} off {floor} finished ({} {})",
                        Length::inches(rim + by.to_inches()),
                        by.abs(),
                        way(*by)
                    ),
                    None => format!("move what holds {name} by {} {}", by.abs(), way(*by)),
                },
            }
        }
        Remedy::Accept { station, by } => {
            let name = &stuck.names[*station];
            match wanted(stuck, *station, rough_in, job) {
                Some((fixture, floor, off)) => {
                    let to = Length::inches(off + tolerance(job, rough_in, &fixture, *by));
                    format!(
                        "accept the {fixture} at {to} off {floor} finished ({} more than its tolerance, {})",
                        by.abs(),
                        way(*by)
                    )
                }
                None => format!("accept {name} {} beyond the edge of its window, {}", by.abs(), way(*by)),
            }
        }
        Remedy::Base { by } => format!("cut or set the base {} lower", by.abs()),
    }
}

/// The fixture of a station, its floor, and where its outlet is wanted off the finished floor.
fn wanted(stuck: &Stuck, station: usize, rough_in: &RoughIn, job: &Job) -> Option<(Label, Label, f64)> {
    let name = stuck.windows[station].serves.first()?;
    let index = job.fixtures.iter().position(|f| f.name == *name)?;
    let fixture = &job.fixtures[index];
    if !(fixture.kind.through_wall() || fixture.kind.on_flange()) {
        return None;
    }
    let landing = rough_in.placed(job.cut_on).landings.iter().find(|l| l.fixture == index)?;
    let floor = rough_in.framed.floor(&fixture.floor)?;
    Some((name.clone(), floor.label.clone(), landing.wants.z - floor.finished_z))
}

/// The washer of a station, its floor, and its standpipe's rim off the finished floor.
fn washer(stuck: &Stuck, station: usize, rough_in: &RoughIn, job: &Job) -> Option<(Label, Label, f64)> {
    let name = stuck.windows[station].serves.first()?;
    let index = job.fixtures.iter().position(|f| f.name == *name)?;
    let fixture = &job.fixtures[index];
    if fixture.kind != truefall_model::job::fixture::FixtureKind::WasherBox {
        return None;
    }
    let landing = rough_in.placed(job.cut_on).landings.iter().find(|l| l.fixture == index)?;
    let floor = rough_in.framed.floor(&fixture.floor)?;
    Some((name.clone(), floor.label.clone(), landing.wants.z - floor.finished_z))
}

/// How far off a fixture's pipe comes to lie: its tolerance and what is beyond it.
fn tolerance(job: &Job, rough_in: &RoughIn, fixture: &Label, beyond: Length) -> f64 {
    let index = job.fixtures.iter().position(|f| f.name == *fixture);
    let landing = rough_in.placed(job.cut_on).landings.iter().find(|l| Some(l.fixture) == index);
    let (beside, own) =
        landing.map_or((0.0, 0.0), |l| ((l.at - l.wants).xy().norm(), l.tolerance.to_inches()));
    let room = (own * own - beside * beside).max(0.0).sqrt();
    beyond.to_inches() + room.copysign(beyond.to_inches())
}

/// What is set anew of a washer's box.
pub fn box_set(set: &BoxSet, job: &Job) -> Vec<String> {
    let wall = job.fixtures.iter().find(|f| f.name == set.fixture).and_then(|f| f.wall.clone());
    let wall = wall.map_or_else(|| "its wall".to_owned(), |w| w.to_string());
    let along = set.along_in.map(|(was, is)| {
        let (was, is) = (Length::inches(was), Length::inches(is));
        format!("{}: box and standpipe at {is} along {wall}, was {was}", set.fixture)
    });
    let rim = set.rim_in.map(|rim| {
        format!("{}: rim at {} off its finished floor, nothing was said", set.fixture, Length::inches(rim))
    });
    along.into_iter().chain(rim).collect()
}

/// What differs between a stack and what it becomes, of the fittings of some rows and those taken out between them.
pub fn changed(before: &Stack, after: &Stack, rows: &[PartRow]) -> Vec<String> {
    let mut out = Vec::new();
    let here = |fit: &Fit| rows.iter().any(|r| r.fitting.as_deref() == Some(fit.name.as_str()));
    let whole = after.up.iter().all(here);
    for fit in after.up.iter().filter(|f| here(f)) {
        match before.up.iter().find(|f| f.name == fit.name) {
            None => out.push(format!("{}: put in, a {}", fit.name, fit.fit)),
            Some(old) if old.fit != fit.fit => {
                out.push(format!("{}: a {} in place of the {}{}", fit.name, fit.fit, old.fit, at(fit)));
            }
            Some(old) if old.height != fit.height => {
                let was = old
                    .height
                    .as_ref()
                    .map_or_else(|| "without a height".to_owned(), |h| format!("was {}", h.off));
                out.push(format!("{}{}, {was}", fit.name, at(fit)));
            }
            Some(_) => {}
        }
    }
    // What was taken out is told where the fitting below it is.
    let stood = |at: usize| {
        whole
            || before.up[..at]
                .iter()
                .rev()
                .find(|f| after.up.iter().any(|a| a.name == f.name))
                .is_none_or(here)
    };
    let gone = before
        .up
        .iter()
        .enumerate()
        .filter(|(at, f)| stood(*at) && !after.up.iter().any(|a| a.name == f.name));
    for (_, gone) in gone {
        out.push(format!("{}: taken out, the {} is not needed", gone.name, gone.fit));
    }
    out
}

fn at(fit: &Fit) -> String {
    fit.height.as_ref().map_or_else(|| ", straight on the one below".to_owned(), |h| format!(" at {h}"))
}
