//! Wet methods: a fixture above or upstream whose drain is large enough to carry air too.

use super::bath;
use super::carry::Carry;
use super::method::Method;
use super::trap::{Held, Question, Reach, Tried};
use std::collections::BTreeSet;
use truefall_model::job::fixture::FixtureKind;

/// The method, the traps that share it and what it is held to, or why it does not hold.
pub(super) type Outcome = Result<(Method, BTreeSet<usize>, Option<Held>), Tried>;

/// One vent over two traps at two levels of a vertical.
pub(super) fn common(all: &Question<'_>, fixture: usize, reach: &Reach, carry: &Carry) -> Outcome {
    let setting = all.setting;
    let fails = |why: String| Err(Tried::of(Method::Common, why));
    let waste = carry.waste(all.air);
    let [upper] = waste.iter().copied().collect::<Vec<_>>()[..] else {
        return fails(format!("{} come from above; one trap may", setting.names(waste)));
    };
    if all.together(fixture, reach, false).len() > 1 {
        return fails(format!("more than two traps would share the vent over {}", setting.name(upper)));
    }
    let sections = carry.sections(setting, all.air);
    let Some(size) = sections.iter().map(|s| s.0).min() else {
        return fails("the two fittings are pushed together; no pipe between them tells the size".to_owned());
    };
    let shared = BTreeSet::from([fixture, upper]);
    if let Err(why) = bath::one_floor(setting, &shared) {
        return fails(why);
    }
    if setting.kind(upper) == FixtureKind::Closet {
        return fails(format!("{} is above; the upper may be no closet", setting.name(upper)));
    }
    if !carry.all_within(vertical_within(all)) {
        return fails("the drain between the two is not vertical".to_owned());
    }
    if !arm_ends_at_top(all, carry, |f| f == upper) {
        return fails(format!("{} does not enter where the dry vent leaves", setting.name(upper)));
    }
    let Some(most) = setting.number(&format!("common-vent.{size}")) else {
        return fails(format!("{} has none at two levels in {size} in pipe", setting.code()));
    };
    match setting.units([&upper]) {
        Err(why) => fails(why),
        Ok(units) if units > most => {
            fails(format!("{} brings {units} units; {size} in pipe may take {most}", setting.name(upper)))
        }
        Ok(units) => Ok((Method::Common, shared, Some(Held::units(units, "common-vent", size)))),
    }
}

/// A vertical drain of the bath that carries air down past its waste.
pub(super) fn vertical(all: &Question<'_>, fixture: usize, reach: &Reach, carry: &Carry) -> Outcome {
    let setting = all.setting;
    let fails = |why: String| Err(Tried::of(Method::VerticalWet, why));
    let waste = carry.waste(all.air);
    let here = all.together(fixture, reach, false);
    let shared: BTreeSet<usize> = waste.union(&here).copied().collect();
    if !carry.all_within(vertical_within(all)) {
        return fails("the drain above is not vertical".to_owned());
    }
    let group = match setting.number("wet-vent-vertical-groups") {
        Some(groups) => bath::fits(setting, &shared, groups),
        None => bath::one_floor(setting, &shared),
    };
    if let Err(why) = group {
        return fails(why);
    }
    if let Some(closet) = waste.iter().find(|f| setting.kind(**f) == FixtureKind::Closet) {
        return fails(format!("{} enters above {}", setting.name(*closet), setting.name(fixture)));
    }
    if let Some(most) = setting.number("wet-vent-vertical-fixtures")
        && shared.len() as f64 > most
    {
        return fails(format!("{} traps share it, {most} may", shared.len()));
    }
    if let Some(most) = setting.number("wet-vent-vertical-length")
        && carry.length().to_inches() > most
    {
        let most = truefall_model::units::Length::inches(most);
        return fails(format!("it is {} long, at most {most}", carry.length()));
    }
    if let Some(most) = setting.number("wet-vent-vertical-each") {
        for upper in waste {
            match setting.units([upper]) {
                Err(why) => return fails(why),
                Ok(units) if units > most => {
                    return fails(format!("{} brings {units} units, {most} may", setting.name(*upper)));
                }
                Ok(_) => {}
            }
        }
    }
    if setting.number("wet-vent-vertical-sizes-over").is_some()
        && let Some(size) = carry.sections(setting, all.air).iter().map(|s| s.0).min()
        && let Some(upper) = waste.iter().find(|f| setting.drain(**f).is_some_and(|d| d >= size))
    {
        return fails(format!("{size} in pipe is no size over the drain of {}", setting.name(*upper)));
    }
    if !arm_ends_at_top(all, carry, |_| true) {
        return fails("no fixture of the bath enters where the dry vent leaves".to_owned());
    }
    match sizes(all, carry, "wet-vent-vertical") {
        Ok(held) => Ok((Method::VerticalWet, shared, held)),
        Err(why) => fails(why),
    }
}

/// A lying drain of the bath that carries air over its waste.
pub(super) fn horizontal(all: &Question<'_>, fixture: usize, reach: &Reach, carry: &Carry) -> Outcome {
    let setting = all.setting;
    let fails = |why: String| Err(Tried::of(Method::HorizontalWet, why));
    let waste = carry.waste(all.air);
    let here = all.together(fixture, reach, false);
    let shared: BTreeSet<usize> = waste.union(&here).copied().collect();
    if !carry.lies(vertical_within(all)) {
        return fails("the drain above is vertical".to_owned());
    }
    let groups = setting.number("wet-vent-groups").unwrap_or(0.0);
    if let Err(why) = bath::fits(setting, &shared, groups) {
        return fails(why);
    }
    if !arm_ends_at_top(all, carry, |f| setting.kind(f) != FixtureKind::Closet) {
        return fails("the dry vent is not that of a lavatory, tub or shower of the bath".to_owned());
    }
    match sizes(all, carry, "wet-vent") {
        Ok(held) => Ok((Method::HorizontalWet, shared, held)),
        Err(why) => fails(why),
    }
}

pub(super) fn vertical_within(all: &Question<'_>) -> f64 {
    let give = all.setting.number("vent-vertical-give").unwrap_or(0.0);
    all.setting.number("vent-vertical-within").unwrap_or(45.0) + give
}

/// Whether the arm of a fixture that will do ends where the dry way leaves.
pub(super) fn arm_ends_at_top(all: &Question<'_>, carry: &Carry, will_do: impl Fn(usize) -> bool) -> bool {
    all.reaches
        .iter()
        .any(|(f, reach)| will_do(*f) && reach.as_ref().is_some_and(|r| r.fitting == carry.top()))
}

/// What a wet length carries where it has the least to spare, or why it is too small.
fn sizes(all: &Question<'_>, carry: &Carry, key: &'static str) -> Result<Option<Held>, String> {
    let setting = all.setting;
    let mut nearest: Option<(f64, Held)> = None;
    for (size, waste) in carry.sections(setting, all.air) {
        let units = setting.units(waste)?;
        let Some(most) = setting.number(&format!("{key}.{size}")) else {
            return Err(format!("{} has none in {size} in pipe", setting.code()));
        };
        if units > most {
            let names = setting.names(waste);
            return Err(format!("{names} bring {units} units; {size} in pipe may take {most}"));
        }
        if nearest.is_none_or(|(spare, _)| most - units < spare) {
            nearest = Some((most - units, Held::units(units, key, size)));
        }
    }
    Ok(nearest.map(|(_, held)| held))
}
