//! Stacks that carry air down past waste: the waste stack and the single stack.

use super::carry::{Carry, from_plumb};
use super::method::Method;
use super::trap::{Held, Question, Reach, Tried};
use super::wet::Outcome;
use nalgebra::Point3;
use std::collections::BTreeSet;
use truefall_model::job::fixture::FixtureKind;
use truefall_model::place::{PartId, PartKind, RunKind};
use truefall_model::units::{Length, NominalSize};

/// A plumb stack of waste without closets, vented at its top in full size.
pub(super) fn waste(all: &Question<'_>, fixture: usize, reach: &Reach, carry: &Carry) -> Outcome {
    let setting = all.setting;
    let fails = |why: String| Err(Tried::of(Method::WasteStack, why));
    let foot = foot(all, reach.fitting);
    let through = all.air.waste_of(foot);
    let size = least(all, carry);
    let Some(total) = setting.number(&format!("waste-stack-total.{size}")) else {
        return fails(format!("{} has none of {size} in", setting.code()));
    };
    if let Some(closet) = through.iter().find(|f| setting.kind(**f) == FixtureKind::Closet) {
        return fails(format!("the stack takes the waste of {}", setting.name(*closet)));
    }
    if !upright(all, carry, reach.fitting) {
        return fails("the drain above is no plumb stack".to_owned());
    }
    if let Some(turn) = carry.turn() {
        let turn = &setting.rough_in.part(turn).label;
        return fails(format!("the stack is offset at {turn} between its connections"));
    }
    let (at, vent) = carry.way.smallest(setting.rough_in);
    if vent < size {
        let at = &setting.rough_in.part(at).label;
        return fails(format!("its vent is {vent} in at {at}; it must be the full {size} in"));
    }
    let units = match setting.units(through) {
        Ok(units) => units,
        Err(why) => return fails(why),
    };
    if units > total {
        return fails(format!("its fixtures bring {units} units; {size} in pipe may take {total}"));
    }
    if let Some(most) = setting.number(&format!("waste-stack-interval.{size}")) {
        let storey: BTreeSet<usize> =
            through.iter().copied().filter(|f| setting.same_floor(*f, fixture)).collect();
        match setting.units(&storey) {
            Err(why) => return fails(why),
            Ok(units) if units > most => {
                return fails(format!("one storey brings {units} units; {size} in pipe may take {most}"));
            }
            Ok(_) => {}
        }
    }
    let held = Held::units(units, "waste-stack-total", size);
    Ok((Method::WasteStack, through.clone(), Some(held)))
}

/// A stack of one size from end to end that vents its near branches.
pub(super) fn single(all: &Question<'_>, fixture: usize, reach: &Reach, carry: &Carry) -> Outcome {
    let setting = all.setting;
    let rough_in = setting.rough_in;
    let fails = |why: String| Err(Tried::of(Method::SingleStack, why));
    let size = least(all, carry);
    let Some(total) = setting.number(&format!("single-stack.{size}")) else {
        return fails(format!("{} has none of {size} in", setting.code()));
    };
    let run = rough_in.run(rough_in.part(reach.fitting).run);
    if !matches!(run.kind, RunKind::Stack { .. }) || !upright(all, carry, reach.fitting) {
        return fails("it does not join the stack itself".to_owned());
    }
    let (at, vent) = carry.way.smallest(rough_in);
    if vent != size {
        let at = &rough_in.part(at).label;
        return fails(format!("the stack is {vent} in at {at} and {size} in below; it has one size"));
    }
    let top = carry.way.parts.last().map_or(carry.way.from, |p| p.0);
    let base = std::iter::successors(Some(top), |p| rough_in.network.below(*p)).last().unwrap_or(top);
    let height = setting.placed.origin(top).z - setting.placed.origin(base).z;
    if let Some(most) = setting.number("single-stack-height")
        && height >= most
    {
        let [height, most] = [height, most].map(Length::inches);
        return fails(format!("the stack is {height} high; it must be under {most}"));
    }
    let through = all.air.waste_of(foot(all, reach.fitting));
    let units = match setting.units(through) {
        Ok(units) => units,
        Err(why) => return fails(why),
    };
    if units > total {
        return fails(format!("its fixtures bring {units} units; {size} in pipe may take {total}"));
    }
    let closets = through.iter().filter(|f| setting.kind(**f) == FixtureKind::Closet).count();
    if let Some(most) = setting.number(&format!("single-stack-closets.{size}"))
        && closets as f64 > most
    {
        return fails(format!("{closets} closets are on it; {size} in pipe may take {most}"));
    }
    let tee = is_tee(all, reach.fitting);
    let ask = match branch_of_closet(all, fixture, reach.fitting, tee) {
        Ok(ask) => ask,
        Err(why) => return fails(why),
    };
    let key = match (setting.kind(fixture), tee) {
        (FixtureKind::Closet, true) => "single-stack-reach.closet-by-tee",
        (FixtureKind::Closet, false) => "single-stack-reach.closet",
        _ => "single-stack-reach.other",
    };
    let length = level_from_trap(all, fixture, reach.fitting);
    let most = Length::inches(setting.number(key).unwrap_or(0.0));
    if length > most {
        return fails(format!("its branch is {length} long, at most {most}"));
    }
    if let Some(why) = ask {
        return Err(Tried::asking(Method::SingleStack, why));
    }
    let held = Held::units(units, "single-stack", size);
    Ok((Method::SingleStack, through.clone(), Some(held)))
}

/// Whether a branch comes into a fitting as into a sanitary tee.
fn is_tee(all: &Question<'_>, fitting: PartId) -> bool {
    use truefall_model::catalog::family::Family;
    all.setting.rough_in.part(fitting).pattern().is_some_and(|p| {
        matches!(
            p.family,
            Family::SanitaryTee
                | Family::StreetSanitaryTee
                | Family::DoubleSanitaryTee
                | Family::DoubleFixtureFitting
        )
    })
}

/// What a branch with a closet may carry into a single stack, by its size; what only the official can say as the value, what
/// is too much as the error.
fn branch_of_closet(
    all: &Question<'_>,
    fixture: usize,
    fitting: PartId,
    tee: bool,
) -> Result<Option<String>, String> {
    let setting = all.setting;
    let Some(landing) = setting.placed.landings.iter().find(|l| l.fixture == fixture) else {
        return Ok(None);
    };
    let start = super::trap::trap_part(setting.rough_in, landing.part);
    let way = std::iter::successors(Some(start), |p| setting.rough_in.network.below(*p));
    let Some(last) = way.take_while(|p| *p != fitting).last() else { return Ok(None) };
    let size = setting.rough_in.part(last).size();
    let limit = |key: &str| setting.number(&format!("single-stack-branch-{key}.{size}"));
    let on_it = all.air.waste_of(last);
    let (closets, others): (Vec<usize>, Vec<usize>) =
        on_it.iter().partition(|f| setting.kind(**f) == FixtureKind::Closet);
    let Some(closet) = closets.first() else { return Ok(None) };
    if let Some(most) = limit("closets").filter(|most| closets.len() as f64 > *most) {
        return Err(format!("its branch takes {} closets; {size} in pipe may take {most}", closets.len()));
    }
    if let Some(most) = limit("others").filter(|_| !others.is_empty()) {
        let names = setting.names(&others);
        if others.len() as f64 > most {
            return Err(format!(
                "{names} join the closet's {size} in branch; it may take {most} more fixture"
            ));
        }
        if !tee {
            return Err(format!(
                "{names} joins the closet's {size} in branch, which is to enter by a sanitary tee"
            ));
        }
        let drain = setting.drain(others[0]).map_or(0.0, |d| d.nominal().to_inches());
        if let Some(most) = limit("drain").filter(|most| drain > *most) {
            let [drain, most] = [drain, most].map(Length::inches);
            return Err(format!(
                "{names} brings a drain of {drain} to the closet's {size} in branch, at most {most}"
            ));
        }
    }
    let length = level_from_trap(all, *closet, fitting);
    let over = limit("near").map(Length::inches).filter(|near| length > *near);
    Ok(over.map(|near| {
        format!(
            "{} is {length} from the stack on a {size} in branch; the code speaks of {near}, and whether it may be farther \
             the official says",
            setting.name(*closet)
        )
    }))
}

/// The smallest pipe of the wet length and of what goes on below it.
fn least(all: &Question<'_>, carry: &Carry) -> NominalSize {
    let top = all.setting.rough_in.part(carry.top()).size();
    carry.sections(all.setting, all.air).iter().map(|s| s.0).min().unwrap_or(top)
}

/// Whether the wet length stands over the fitting, no length of it leaning more than a stack may.
fn upright(all: &Question<'_>, carry: &Carry, fitting: PartId) -> bool {
    let most = all.setting.number("vent-vertical-within").unwrap_or(45.0);
    let foot = all.setting.placed.origin(fitting);
    carry.all_within(most) && all.setting.placed.origin(carry.top()).z > foot.z
}

/// The lowest part of the vertical that a fitting stands in.
fn foot(all: &Question<'_>, fitting: PartId) -> PartId {
    let setting = all.setting;
    let within = setting.number("vent-vertical-within").unwrap_or(45.0);
    let (mut lowest, mut high) = (fitting, setting.placed.origin(fitting));
    for part in
        std::iter::successors(setting.rough_in.network.below(fitting), |p| setting.rough_in.network.below(*p))
    {
        if matches!(setting.rough_in.part(part).kind, PartKind::Piece { .. }) {
            continue;
        }
        let low: Point3<f64> = setting.placed.origin(part);
        if from_plumb(&(high - low)) > within {
            break;
        }
        (lowest, high) = (part, low);
    }
    lowest
}

/// Level length of a branch from its trap to a fitting, centre to centre.
pub(super) fn level_from_trap(all: &Question<'_>, fixture: usize, fitting: PartId) -> Length {
    let setting = all.setting;
    let Some(landing) = setting.placed.landings.iter().find(|l| l.fixture == fixture) else {
        return Length::ZERO;
    };
    let mut from = landing.weir.unwrap_or(landing.at);
    let start = super::trap::trap_part(setting.rough_in, landing.part);
    let mut length = 0.0;
    for part in
        std::iter::successors(setting.rough_in.network.below(start), |p| setting.rough_in.network.below(*p))
    {
        if matches!(setting.rough_in.part(part).kind, PartKind::Piece { .. }) {
            continue;
        }
        let to = setting.placed.origin(part);
        length += (to - from).xy().norm();
        from = to;
        if part == fitting {
            break;
        }
    }
    Length::inches(length)
}
