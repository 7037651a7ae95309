//! Dry vents at a trap's own fitting: its own, the top of its stack, one shared by two traps, a loop.

use super::bath::one_floor;
use super::method::Method;
use super::trap::{Held, Question, Reach, Tried, Vented};
use super::way::Way;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::place::RunKind;

/// The vent of a trap that meets a dry way to air.
pub(super) fn vented(all: &Question<'_>, fixture: usize, reach: &Reach) -> Result<Vented, Vec<Tried>> {
    let setting = all.setting;
    let here = all.together(fixture, reach, false);
    let way = reach.ways[0].clone();
    let method = match here.len() {
        1 if is_loop(all, fixture, &way) => Method::Island,
        1 if goes_on(all, &way) => Method::StackVent,
        1 => Method::Individual,
        _ => Method::Common,
    };
    if method == Method::Common {
        let label = &setting.rough_in.part(reach.fitting).label;
        let fails = |why: String| Err(vec![Tried::of(Method::Common, why)]);
        let most = setting.number("common-vent-traps").unwrap_or(0.0);
        if here.len() as f64 > most {
            let names = setting.names(&here);
            return fails(format!(
                "{names} come to {label} before any vent, {} traps; one vent serves {most}",
                here.len()
            ));
        }
        if let Err(why) = one_floor(setting, &here) {
            return fails(why);
        }
        let joined = all.together(fixture, reach, true).len() > 1;
        if joined && setting.number("common-vent-downstream").is_none() {
            let names = setting.names(&here);
            return fails(format!(
                "{names} join before {label}; in {} the vent stands where they join",
                setting.code()
            ));
        }
    }
    let held = Some(Held::traps(here.len(), "common-vent-traps"));
    Ok(Vented { method, fitting: reach.fitting, port: way.port, way: Some(way), shared: here, held })
}

/// Whether a way is the stack itself going on.
fn goes_on(all: &Question<'_>, way: &Way) -> bool {
    let rough_in = all.setting.rough_in;
    let run = rough_in.part(way.from).run;
    let on = way.parts.first().is_none_or(|(part, _)| rough_in.part(*part).run == run);
    on && matches!(rough_in.run(run).kind, RunKind::Stack { .. })
}

/// A vent that rises beside a sink and comes down again before it goes off.
fn is_loop(all: &Question<'_>, fixture: usize, way: &Way) -> bool {
    let setting = all.setting;
    let sink = matches!(
        setting.kind(fixture),
        FixtureKind::KitchenSink | FixtureKind::Lavatory | FixtureKind::LaundryTub
    );
    let within = setting.number("vent-vertical-within").unwrap_or(45.0);
    sink && way.spans(setting.rough_in, setting.placed).iter().any(|s| s.degrees() < within - 90.0)
}
