//! Combination drain and vent: a lying drain of sinks and floor drains that is large enough to carry air over its waste.

use super::method::Method;
use super::trap::{Held, Question, Reach, Tried, Vented};
use super::way::Way;
use std::collections::BTreeSet;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::place::{PartId, PartKind};
use truefall_model::units::{Grade, NominalSize};

/// The vent of a trap whose drain is a combination of drain and vent.
pub(super) fn vented(
    all: &Question<'_>,
    fixture: usize,
    trap: PartId,
    reach: Option<&Reach>,
) -> Result<Vented, Vec<Tried>> {
    let setting = all.setting;
    let fails = |why: String| Err(vec![Tried::of(Method::Combination, why)]);
    let larger = setting.number("combination-larger");
    if setting.number("combination-grade").is_none() && larger.is_none() {
        return fails(format!("{} has none", setting.code()));
    }
    if !may(setting.kind(fixture)) {
        return fails(format!("{} is no sink, standpipe or floor drain", setting.name(fixture)));
    }
    let system = match System::along(all, trap) {
        Ok(system) => system,
        Err(why) => return fails(why),
    };
    let units = match setting.units(&system.waste) {
        Ok(units) => units,
        Err(why) => return fails(why),
    };
    if let Some(larger) = larger {
        return Err(vec![by_size(all, fixture, &system, reach, units, larger)]);
    }
    let key = if system.building_drain { "combination-building-drain" } else { "combination-branch" };
    let Some(most) = setting.number(&format!("{key}.{}", system.size)) else {
        return fails(format!("{} has none in {} in pipe", setting.code(), system.size));
    };
    if units > most {
        return fails(format!("it takes {units} units; {} in pipe may take {most}", system.size));
    }
    let own = reach.filter(|r| !r.ways.is_empty() && system.parts.contains(&r.fitting));
    let way: Option<Way> = own.map(|r| r.ways[0].clone());
    let (Some(fitting), port) = (own.map(|r| r.fitting).or(system.joins), way.as_ref().map(|w| w.port))
    else {
        return fails("it has no dry vent and joins no vented drain of its floor".to_owned());
    };
    let port = port.unwrap_or(0);
    let held = Some(Held::units(units, key, system.size));
    Ok(Vented { method: Method::Combination, fitting, port, way, shared: system.waste, held })
}

/// Where a code lets it pass by larger pipe and the official's word: what is missing, or that it is to be asked.
fn by_size(
    all: &Question<'_>,
    fixture: usize,
    system: &System,
    reach: Option<&Reach>,
    units: f64,
    larger: f64,
) -> Tried {
    let setting = all.setting;
    let carries =
        |size: &NominalSize| setting.number(&format!("branch-load.{size}")).is_some_and(|most| most >= units);
    let all_sizes = NominalSize::ALL.into_iter();
    let by_load = all_sizes.clone().find(carries);
    let by_trap = setting.drain(fixture);
    let required = by_load.max(by_trap);
    let wanted = required.and_then(|required| all_sizes.filter(|s| *s > required).nth(larger as usize - 1));
    let (Some(required), Some(wanted)) = (required, wanted) else {
        return Tried::of(Method::Combination, format!("{units} units are beyond the table of branches"));
    };
    if system.size < wanted {
        let size = system.size;
        return Tried::of(
            Method::Combination,
            format!(
                "it is {size} in pipe; {required} in is required, and {larger} sizes larger is {wanted} in"
            ),
        );
    }
    let own = reach.is_some_and(|r| !r.ways.is_empty() && system.parts.contains(&r.fitting));
    if !own && system.joins.is_none() {
        return Tried::of(Method::Combination, "it has no dry vent and joins no vented drain of its floor");
    }
    let code = setting.code();
    Tried::asking(
        Method::Combination,
        format!(
            "{} in pipe is {larger} sizes over the {required} in required; {code} leaves it to the official",
            system.size
        ),
    )
}

fn may(kind: FixtureKind) -> bool {
    matches!(
        kind,
        FixtureKind::FloorDrain
            | FixtureKind::Lavatory
            | FixtureKind::KitchenSink
            | FixtureKind::LaundryTub
            | FixtureKind::WasherBox
    )
}

/// The lying drain from a trap to where the drain of others takes it up.
struct System {
    parts: Vec<PartId>,
    size: NominalSize,
    waste: BTreeSet<usize>,
    /// The fitting on a lying drain with vented fixtures of the same floor that it runs into.
    joins: Option<PartId>,
    /// All that lies below it down to the base lies too: it may be the building drain. Which of the two tables it belongs
    /// to is not known then, and what one of them lets pass is no red tag.
    building_drain: bool,
}

impl System {
    fn along(all: &Question<'_>, trap: PartId) -> Result<Self, String> {
        let setting = all.setting;
        let rough_in = setting.rough_in;
        let (steepest, drop) = (
            setting.number("combination-grade").unwrap_or(f64::INFINITY),
            setting.number("combination-drop").unwrap_or(f64::INFINITY),
        );
        let mut system = Self {
            parts: Vec::new(),
            size: NominalSize::EIGHT,
            waste: all.air.waste_of(trap).clone(),
            joins: None,
            building_drain: std::iter::successors(rough_in.network.below(trap), |p| {
                rough_in.network.below(*p)
            })
            .skip_while(|p| on_vertical(all, *p))
            .all(|p| !on_vertical(all, p)),
        };
        let (mut high, mut lies) = (setting.placed.origin(trap), false);
        if matches!(rough_in.part(trap).kind, PartKind::Piece { .. }) {
            high = setting.placed.stop(rough_in, trap, 1);
        }
        for part in std::iter::successors(rough_in.network.below(trap), |p| rough_in.network.below(*p)) {
            if matches!(rough_in.part(part).kind, PartKind::Piece { .. }) {
                if lies || system.parts.is_empty() {
                    system.size = system.size.min(rough_in.part(part).size());
                }
                continue;
            }
            let low = setting.placed.origin(part);
            let (level, fall) = ((high - low).xy().norm(), high.z - low.z);
            let label = &rough_in.part(part).label;
            if fall > level {
                if lies {
                    return Err(format!("it drops at {label} before it meets a vent"));
                }
                if fall > drop {
                    let (fall, most) = (
                        truefall_model::units::Length::inches(fall),
                        truefall_model::units::Length::inches(drop),
                    );
                    return Err(format!("it drops {fall} to {label}, at most {most}"));
                }
            } else {
                lies = true;
                let grade = if level > 1e-9 { fall / level * 12.0 } else { 0.0 };
                if grade > steepest + 1e-9 {
                    let (is, most) = (Grade::per_foot(grade), Grade::per_foot(steepest));
                    return Err(format!("it falls {is} to {label}, at most {most}"));
                }
            }
            let waste = all.air.waste_of(part);
            if waste.iter().any(|f| !may(setting.kind(*f))) || on_vertical(all, part) {
                system.joins = joined(all, trap, part);
                return Ok(system);
            }
            system.parts.push(part);
            system.waste = waste.clone();
            high = low;
        }
        Ok(system)
    }
}

/// Whether what leaves a fitting on the base's side drops.
fn on_vertical(all: &Question<'_>, part: PartId) -> bool {
    let rough_in = all.setting.rough_in;
    rough_in.network.down[part.0 as usize].is_some_and(|joint| {
        let (part, port) = rough_in.joint(joint).high;
        all.setting.placed.axis(rough_in, part, port).z < -std::f64::consts::FRAC_1_SQRT_2
    })
}

/// The fitting, if it is on a lying drain that carries a vented fixture of the trap's floor.
fn joined(all: &Question<'_>, trap: PartId, part: PartId) -> Option<PartId> {
    if on_vertical(all, part) {
        return None;
    }
    let own = all.air.waste_of(trap);
    let first = own.first()?;
    let vented = |f: &usize| {
        !own.contains(f)
            && all.setting.same_floor(*f, *first)
            && all.reaches.get(f).and_then(Option::as_ref).is_some_and(|r| {
                r.dropped.is_none()
                    && std::iter::successors(all.setting.rough_in.network.below(r.fitting), |p| {
                        all.setting.rough_in.network.below(*p)
                    })
                    .any(|p| p == part)
            })
    };
    all.air.waste_of(part).iter().any(vented).then_some(part)
}
