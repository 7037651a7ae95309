//! Bath groups: what may share a wet vent.

use super::fixture::of_bath;
use super::setting::Setting;
use std::collections::BTreeSet;
use truefall_model::job::fixture::FixtureKind;

/// Why fixtures make no more bath groups of one floor than are allowed; a group has a closet, one or two lavatories, a
/// tub and a shower at most.
pub(super) fn fits(setting: &Setting<'_>, fixtures: &BTreeSet<usize>, groups: f64) -> Result<(), String> {
    if let Some(other) = fixtures.iter().find(|f| !of_bath(setting.kind(**f))) {
        return Err(format!("{} belongs to no bath group", setting.name(*other)));
    }
    one_floor(setting, fixtures)?;
    let most = [
        (FixtureKind::Closet, 1.0, "closets"),
        (FixtureKind::Lavatory, 2.0, "lavatories"),
        (FixtureKind::Tub, 1.0, "tubs"),
        (FixtureKind::Shower, 1.0, "showers"),
    ];
    for (kind, each, word) in most {
        let count = fixtures.iter().filter(|f| setting.kind(**f) == kind).count();
        if count as f64 > each * groups {
            return Err(format!("{count} {word} are more than {groups} bath groups have"));
        }
    }
    Ok(())
}

/// Why fixtures are not on one floor.
pub(super) fn one_floor(setting: &Setting<'_>, fixtures: &BTreeSet<usize>) -> Result<(), String> {
    let mut all = fixtures.iter();
    let Some(first) = all.next() else { return Ok(()) };
    match all.find(|f| !setting.same_floor(*first, **f)) {
        Some(other) => {
            Err(format!("{} and {} are on two floors", setting.name(*first), setting.name(*other)))
        }
        None => Ok(()),
    }
}
