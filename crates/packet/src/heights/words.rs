//! Words of the plan of heights: remedies, changes, findings in one line.

use truefall_check::Finding;
use truefall_model::job::Job;
use truefall_model::job::pipes::{Fit, Stack};
use truefall_model::label::Label;
use truefall_model::place::RoughIn;
use truefall_model::units::Length;
use truefall_plan::heights::Stuck;
use truefall_plan::heights::remedy::Remedy;

/// A finding in one line.
pub fn said(finding: &Finding) -> String {
    let placement = match finding.placement {
        truefall_model::job::Placement::Drawn => "drawn",
        truefall_model::job::Placement::Found => "found",
    };
    format!("{}[{}]: {} ({placement})", finding.verdict, finding.rule, finding.what)
}

/// A remedy as one would say it.
pub fn remedy(remedy: &Remedy, stuck: &Stuck, rough_in: &RoughIn, job: &Job) -> String {
    let way = |by: Length| if by > Length::ZERO { "up" } else { "down" };
    match remedy {
        Remedy::Street { station, fit } => format!(
            "make {} a street form: a {fit} whose foot is a spigot goes straight into the hub below, without a piece; measure \
             the one you can get",
            stuck.names[*station]
        ),
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

/// What differs between a stack and what it becomes.
pub fn changed(before: &Stack, after: &Stack) -> Vec<String> {
    let mut out = Vec::new();
    for fit in &after.up {
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
    for gone in before.up.iter().filter(|f| !after.up.iter().any(|a| a.name == f.name)) {
        out.push(format!("{}: taken out, the {} is not needed", gone.name, gone.fit));
    }
    out
}

fn at(fit: &Fit) -> String {
    fit.height.as_ref().map_or_else(|| ", straight on the one below".to_owned(), |h| format!(" at {h}"))
}
