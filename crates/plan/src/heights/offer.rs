//! What the catalog offers for each station: the tee as written, others of its family that the branch fits, and those it fits
//! with a bushing.

use super::clock::Hour;
use super::column::{Choice, Column, Connector, Station, Tip};
use super::riser::{Riser, ports};
use super::spans::Spans;
use super::window::Window;
use super::wood::bands;
use crate::prices::{Item, PriceList, Unit};
use truefall_model::catalog::family::Family;
use truefall_model::catalog::name::FittingName;
use truefall_model::catalog::pattern::Pattern;
use truefall_model::label::Label;
use truefall_model::units::NominalSize;

/// How the stack is to be solved.
#[derive(Clone, Copy)]
pub struct Ask<'p> {
    /// Prices, where the user gave some.
    pub prices: Option<&'p PriceList>,
    /// Street forms may stand in for plain ones.
    pub streets: bool,
    /// Fittings keep out of wood.
    pub clear_of_wood: bool,
    /// Every fitting keeps the sizes it is written with, so the size changes where the job has it.
    pub sizes_as_written: bool,
}

/// What a fitting costs by the user's file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Price {
    cents: u64,
    unpriced: u32,
}

impl Price {
    fn and(self, other: Self) -> Self {
        Self { cents: self.cents + other.cents, unpriced: self.unpriced + other.unpriced }
    }
}

impl Ask<'_> {
    /// Nothing without a file; a fitting that the file has no price of is counted as one.
    fn price(&self, site: &Riser<'_>, name: &Label) -> Price {
        let Some(prices) = self.prices else { return Price::default() };
        let item = FittingName::parse(name.as_str()).map(|n| Item::Fitting(site.stack().material, n));
        let cents = item.and_then(|i| prices.of(&i, Unit::Each)).map(|m| m.to_hundredths());
        match cents.and_then(|c| u64::try_from(c).ok()) {
            Some(cents) => Price { cents, unpriced: 0 },
            None => Price { cents: 0, unpriced: 1 },
        }
    }
}

/// The column of a site; `hours` are, by station, the clocks it may have beside its own.
pub fn column(site: &Riser<'_>, windows: &[Window], hours: &[Vec<Hour>], ask: &Ask<'_>) -> Column {
    let connectors = connectors(site, ask);
    let stations = (0..site.stations.len())
        .map(|s| Station {
            name: site.fit(s).name.clone(),
            wish_in: Some(site.along(site.z(s))),
            choices: offers(site, s, ask)
                .into_iter()
                .flat_map(|(p, c)| {
                    let own = with_heights(site, s, &windows[s], ask, &p, c.clone());
                    let at = |h: &Hour| {
                        let choice = Choice { clock: Some(h.clock), ..c.clone() };
                        with_heights(site, s, &h.window, ask, &p, choice)
                    };
                    let free = hours.get(s).into_iter().flatten().map(at).collect::<Vec<_>>();
                    std::iter::once(own).chain(free)
                })
                .collect(),
        })
        .collect();
    Column {
        foot: site.foot,
        foot_in: site.foot_z,
        stations,
        connectors,
        top: site.top,
        ceiling: site.ceiling.clone(),
    }
}

fn with_heights(
    site: &Riser<'_>,
    station: usize,
    window: &Window,
    ask: &Ask<'_>,
    pattern: &Pattern,
    mut choice: Choice,
) -> Choice {
    let mut heights = Spans::one(site.along(window.least_z()), site.along(window.greatest_z()));
    if ask.clear_of_wood {
        for band in bands(site, station, pattern, &choice) {
            heights = heights.without_inside(site.along(band.from_z), site.along(band.to_z));
        }
    }
    choice.heights = heights;
    choice
}

/// Patterns for a station with what each is in the column, the one as written first.
fn offers(site: &Riser<'_>, station: usize, ask: &Ask<'_>) -> Vec<(Pattern, Choice)> {
    let fit = site.fit(station);
    let own = site.pattern(station);
    let Some((enter, Some(leave))) = ports(own, fit) else { return Vec::new() };
    let mut out = Vec::new();
    let add = |pattern: &Pattern,
               enter: usize,
               leave: usize,
               bushing: Option<&Pattern>,
               out: &mut Vec<(Pattern, Choice)>| {
        let Some(mut choice) = Choice::of(pattern, enter, leave) else { return };
        let price = ask.price(site, &pattern.name);
        let price = bushing.map_or(price, |b| price.and(ask.price(site, &b.name)));
        (choice.cents, choice.unpriced) = (price.cents, price.unpriced);
        choice.joints = u32::from(bushing.is_some());
        choice.branch_bushing = bushing.map(|b| b.name.clone());
        out.push((pattern.clone(), choice));
    };
    add(own, enter, leave, None, &mut out);
    let usual = enter == own.enter && Some(leave) == own.leave && fit.plugs.is_empty();
    let families = [
        Family::SanitaryTee,
        Family::StreetSanitaryTee,
        Family::DoubleSanitaryTee,
        Family::Wye,
        Family::Combination,
    ];
    if !usual || !families.contains(&own.family) {
        return out;
    }
    let wanted = branches(own);
    let sizes = |p: &Pattern| (p.ports[p.enter].size, p.leave.map(|l| p.ports[l].size));
    let top = site.top.unwrap_or(site.foot.size);
    let others: Vec<Pattern> = site
        .catalog
        .patterns()
        .filter(|p| {
            alike(p.family) == alike(own.family)
                && p.name != own.name
                && p.materials.contains(&site.stack().material)
        })
        .filter(|p| ask.streets || p.family == own.family || !p.family.is_street())
        .filter(|p| {
            let (low, high) = sizes(p);
            low <= site.foot.size && high.is_some_and(|h| h <= low && h >= top)
        })
        .filter(|p| !ask.sizes_as_written || sizes(p) == sizes(own))
        .map(|p| in_hand(site, p))
        .collect();
    for p in &others {
        if let (true, Some(leave)) = (branches(p) == wanted, p.leave) {
            add(p, p.enter, leave, None, &mut out);
        }
    }
    // A bushing in a single branch, where no tee of those run sizes has the branch itself.
    if let [branch] = wanted[..] {
        for p in &others {
            let like = |o: &Pattern| sizes(o) == sizes(p) && o.family == p.family;
            let exact = out.iter().any(|(o, c)| c.branch_bushing.is_none() && like(o));
            let bushing = branches(p).first().and_then(|large| bushing(site, *large, branch));
            if let (false, [_], Some(bushing), Some(leave)) = (exact, &branches(p)[..], bushing, p.leave) {
                add(p, p.enter, leave, Some(bushing), &mut out);
            }
        }
    }
    out
}

/// A street form stands in for the plain one.
fn alike(family: Family) -> Family {
    if family == Family::StreetSanitaryTee { Family::SanitaryTee } else { family }
}

fn branches(pattern: &Pattern) -> Vec<NominalSize> {
    let side = |i: &usize| *i != pattern.enter && Some(*i) != pattern.leave;
    (0..pattern.ports.len()).filter(side).map(|i| pattern.ports[i].size).collect()
}

fn bushing<'s>(site: &Riser<'s>, large: NominalSize, small: NominalSize) -> Option<&'s Pattern> {
    let fits =
        |p: &&Pattern| p.family == Family::Bushing && p.ports[0].size == large && p.ports[1].size == small;
    site.catalog.patterns().find(fits)
}

/// A pattern with what the job measured of it in the hand.
fn in_hand(site: &Riser<'_>, pattern: &Pattern) -> Pattern {
    let mut out = pattern.clone();
    for measured in &site.job.in_hand {
        if site.catalog.pattern(measured.fit.as_str()).is_ok_and(|p| p.name == pattern.name)
            && let Ok(changed) = out.with_laying(measured.port.as_str(), measured.laying, measured.socket)
        {
            out = changed;
        }
    }
    out
}

/// Bushings and reducers between the sizes at foot and top.
fn connectors(site: &Riser<'_>, ask: &Ask<'_>) -> Vec<Connector> {
    let top = site.top.unwrap_or(site.foot.size);
    let made = |p: &&Pattern| {
        matches!(p.family, Family::Bushing | Family::Reducer) && p.materials.contains(&site.stack().material)
    };
    site.catalog
        .patterns()
        .filter(made)
        .filter_map(|p| {
            let choice = Choice::of(&in_hand(site, p), p.enter, p.leave?)?;
            let fits = choice.below.size <= site.foot.size && choice.above.size >= top;
            let price = ask.price(site, &p.name);
            let tip = |t: Tip| t;
            fits.then(|| Connector {
                fit: choice.fit.clone(),
                below: tip(choice.below),
                above: tip(choice.above),
                length_in: choice.rise_in + choice.top_in,
                cents: price.cents,
                unpriced: price.unpriced,
            })
        })
        .collect()
}
