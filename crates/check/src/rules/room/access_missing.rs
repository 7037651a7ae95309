//! Something hidden that has to be got at, with no panel.

use crate::cleanout::Cleanout;
use crate::ctx::Ctx;
use crate::cure::provide;
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use crate::source::Source;
use crate::vent::AirEnd;
use nalgebra::{Point3, Vector3};
use truefall_model::framing::provided::Provided;
use truefall_model::framing::space::WallSpace;
use truefall_model::job::fixture::{Fixture, FixtureKind, WasteJoint};
use truefall_model::label::Label;
use truefall_model::tolerance::SLACK;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    ///
    /// What must be got at after the walls are closed has an access listed: a waste with slip joints under a tub or shower, a
    /// cleanout whose opening stays farther behind the finished wall than the code lets it, and an air admittance valve inside
    /// a wall. An access whose width is given is as wide as the code asks.
    ///
    /// # Why
    ///
    /// Nuts and washers work loose, valves stick and drains clog; what is walled in is mended with a saw.
    ///
    /// # Source
    ///
    /// The code's sections on concealed slip joints, on cleanouts behind a finish and on valves.
    ///
    /// # Limits
    ///
    /// Of a tub the job has to say how its waste is joined; where it does not, that is told as not checked, unless an access is
    /// listed; so is a valve in a wall, which a grille lets at. Under a shower nothing is asked for until slip joints are told. Whether a panel opens, and where it is, is the
    /// plumber's word. Only walls hide a cleanout or valve here: a floor over a crawl space, and ceilings, are not looked at.
    /// A code without a figure for cleanouts behind a finish is not held to one.
    ///
    /// # Example
    ///
    /// A tub's waste and overflow is put together with nuts and washers, and the wall at its foot has no panel: a way in of 12 in
    /// is needed.
    "access-missing", Room, Code,
    "what has to be got at later is walled in",
    figures: ["access-panel"],
    finds: ["cleanout-behind-finish", "valve-access"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    for fixture in &ctx.job.fixtures {
        out.extend(waste(ctx, fixture));
    }
    if let Some(figure) = ctx.profile.find("cleanout-behind-finish") {
        for cleanout in Cleanout::each(ctx) {
            let Some((opening, way)) = cleanout.opening(ctx) else { continue };
            let Some((wall, behind)) = behind(ctx, opening, way) else { continue };
            let limit = Limit::AtMost(figure.value);
            let Some(verdict) = ctx.verdict(limit.margin(behind), 0.0) else { continue };
            let label = ctx.label(cleanout.part);
            if verdict != Verdict::Pass && access(ctx, label).is_some() {
                continue;
            }
            let what = format!(
                "the cleanout {label} stays {} behind the finished face of {}, at most {} without an access",
                Length::inches(behind),
                wall.label,
                figure.length()
            );
            out.push(
                missing(ctx, verdict, what, label, figure.source())
                    .on([&wall.label])
                    .at(opening)
                    .measured(behind, limit, "in")
                    .line(format!("from its opening to the finished face: {behind:.3} in")),
            );
        }
    }
    if let Some(figure) = ctx.profile.find("valve-access") {
        for (part, _) in ctx.vents.ends(AirEnd::Valve) {
            let at = ctx.placed.origin(part);
            let label = ctx.label(part);
            let Some(wall) = inside(ctx, at).filter(|_| access(ctx, label).is_none()) else { continue };
            let what = format!(
                "the air admittance valve at {label} stands inside {}: list the grille or panel it is got at by",
                wall.label
            );
            out.push(
                missing(ctx, Verdict::NotChecked, what, label, figure.source())
                    .on([&wall.label])
                    .at(at)
                    .line("a valve is got at, and the room's air gets at it"),
            );
        }
    }
}

/// The waste of a fixture, where it is hidden.
fn waste(ctx: &Ctx<'_>, fixture: &Fixture) -> Option<Finding> {
    let figure = ctx.profile.figure("access-panel");
    let name = &fixture.name;
    match (access(ctx, name), fixture.waste_joint) {
        (Some(Some(wide)), joint) if joint != Some(WasteJoint::Tight) => {
            let limit = Limit::AtLeast(figure.value);
            let verdict = ctx.verdict(limit.margin(wide.to_inches()), 0.0)?;
            let what = format!("the access to {name} is {wide} wide, needs at least {}", figure.length());
            Some(
                Finding::new(RULE.id, verdict, ctx.placement(), what, figure.source())
                    .on([name])
                    .measured(wide.to_inches(), limit, "in")
                    .help(format!("make it {} wide", figure.length())),
            )
        }
        (Some(_), _) => None,
        (None, Some(WasteJoint::Slip)) if hidden(fixture.kind) => {
            let what = format!("the slip joints of {name} are hidden and no access to them is listed");
            let finding = missing(ctx, Verdict::RedTag, what, name, figure.source());
            Some(finding.line(format!("an access of {} to joints that come apart", figure.length())))
        }
        (None, None) if fixture.kind == FixtureKind::Tub => {
            let what = format!(
                "the job does not say how the waste of {name} is joined: slip joints need an access, tight ones none"
            );
            let finding = Finding::new(RULE.id, Verdict::NotChecked, ctx.placement(), what, figure.source());
            Some(finding.on([name]).help("give it `waste_joint`, or list an Access under `provided`"))
        }
        _ => None,
    }
}

/// Its waste lies where nobody sees it once the room is finished.
fn hidden(kind: FixtureKind) -> bool {
    matches!(kind, FixtureKind::Tub | FixtureKind::Shower)
}

/// The access listed to something, and how wide it is where that is told.
fn access(ctx: &Ctx<'_>, name: &Label) -> Option<Option<Length>> {
    ctx.job.provided.iter().find_map(|p| match p {
        Provided::Access { to, wide } if to == name => Some(*wide),
        _ => None,
    })
}

fn missing(ctx: &Ctx<'_>, verdict: Verdict, what: String, to: &Label, source: Source) -> Finding {
    let cure = || {
        let panel =
            Provided::Access { to: to.clone(), wide: Some(ctx.profile.figure("access-panel").length()) };
        provide(ctx, format!("leave a panel to get at {to}"), [panel])
    };
    let finding = Finding::new(RULE.id, verdict, ctx.placement(), what, source).on([to]);
    if verdict == Verdict::Pass {
        return finding;
    }
    let panel = ctx.profile.figure("access-panel").length();
    finding.help(format!("leave a panel of {panel} and list it as Access(to: \"{to}\")")).cure([cure()])
}

/// The wall a point is within, finishes counted.
fn inside<'a>(ctx: &Ctx<'a>, at: Point3<f64>) -> Option<&'a WallSpace> {
    ctx.rough_in.framed.walls.iter().find(|wall| {
        let (along, out) = wall.measure(at.xy());
        let within = (-SLACK..=wall.length + SLACK).contains(&along) && (wall.z0..=wall.z1).contains(&at.z);
        within && out < wall.finish_room - SLACK && out > -wall.depth - wall.finish_back + SLACK
    })
}

/// The wall an opening is in and how far it stays behind the finished face it looks at.
fn behind<'a>(ctx: &Ctx<'a>, at: Point3<f64>, way: Vector3<f64>) -> Option<(&'a WallSpace, f64)> {
    let wall = inside(ctx, at)?;
    let (_, out) = wall.measure(at.xy());
    let toward = way.xy().dot(&wall.into_room);
    let room = if toward > 0.0 { wall.finish_room - out } else { out + wall.depth + wall.finish_back };
    // An opening that looks along the wall is behind both faces.
    let least = (wall.finish_room - out).min(out + wall.depth + wall.finish_back);
    Some((wall, if toward.abs() < 0.5 { least.max(0.0) } else { room }))
}
