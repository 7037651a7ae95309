//! One fitting bought otherwise: another form of it, a bushing more or a bushing less. A swap is an idea; whether it can be
//! built and is allowed is found out by trying it.

use super::corner::{eighths, wye_and_eighth};
use super::fold::{folded, unfolded};
use super::uncorner::{combination, quarters};
use crate::site::Site;
use truefall_model::catalog::family::Family;
use truefall_model::catalog::name::FittingName;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::pipes::Fit;
use truefall_model::label::Label;
use truefall_model::units::NominalSize;

/// What is done to a fitting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SwapKind {
    /// The same sizes in another form.
    Form(Family),
    /// A reducing fitting becomes one of full size, with a bushing in the port of this name.
    WithBushing(Label),
    /// The bushing of this name goes, and the fitting becomes a reducing one.
    WithoutBushing(Label),
    /// A 1/4 bend becomes two 1/8 bends.
    EighthBends {
        /// The second has its spigot in the first; else both have hubs, and a piece between them.
        street: bool,
    },
    /// A combination becomes a wye with a street 1/8 bend in its branch.
    WyeAndEighth,
    /// Two 1/8 bends become a 1/4 bend of this family.
    QuarterBend(Family),
    /// A wye with an 1/8 bend in its branch becomes a combination.
    Combination,
}

/// One fitting bought otherwise.
#[derive(Debug, Clone, PartialEq)]
pub struct Swap {
    /// The fitting's name in the job.
    pub fitting: Label,
    /// What is done to it.
    pub kind: SwapKind,
    /// In words: what is bought instead of what.
    pub words: String,
    /// The same as changes of the job.
    pub edits: Vec<Edit>,
}

/// Forms that stand in for each other, where the check lets them.
const FORMS: &[(Family, Family)] = &[
    (Family::QuarterBend, Family::LongTurnQuarterBend),
    (Family::QuarterBend, Family::StreetQuarterBend),
    (Family::QuarterBend, Family::VentEll),
    (Family::LongTurnQuarterBend, Family::StreetQuarterBend),
    (Family::EighthBend, Family::StreetEighthBend),
    (Family::SixteenthBend, Family::StreetSixteenthBend),
    (Family::SanitaryTee, Family::Combination),
    (Family::SanitaryTee, Family::VentTee),
    (Family::SanitaryTee, Family::StreetSanitaryTee),
    (Family::ClosetFlange, Family::SpigotClosetFlange),
];

/// All swaps there are for a job, fitting by fitting in the order of assembly.
pub fn swaps(site: &Site<'_>) -> Vec<Swap> {
    swaps_of(site, |_| true)
}

/// The swaps of those fittings whose names are wanted.
pub(super) fn swaps_of(site: &Site<'_>, wanted: impl Fn(&Label) -> bool) -> Vec<Swap> {
    let mut all = Vec::new();
    for run in &site.rough_in.runs {
        for (at, (_, part)) in run.fits.iter().enumerate() {
            if let Some(spot) = Spot::of(site, &run.label, at).filter(|spot| wanted(&spot.fit.name)) {
                let wet = site.rough_in.network.wet[part.0 as usize];
                let forms = FORMS.iter().filter_map(|pair| form(site, &spot, *pair));
                all.extend(forms.filter(|swap| !(wet && dry_only(swap))));
                all.extend(unfolded(site, &spot));
                all.extend(folded(site, &spot));
                all.extend(eighths(site, &spot));
                all.extend(wye_and_eighth(site, &spot));
                all.extend(quarters(site, &spot));
                all.extend(combination(site, &spot));
            }
        }
    }
    all
}

/// A vent's form: where waste goes there is no need to try it.
fn dry_only(swap: &Swap) -> bool {
    matches!(swap.kind, SwapKind::Form(family) if family.is_dry_only())
}

/// A fitting where the job lists it.
pub(super) struct Spot<'a> {
    /// The stack or branch.
    pub run: Label,
    /// Its place in the list.
    pub at: usize,
    /// As the job has it.
    pub fit: &'a Fit,
    /// Its name.
    pub name: FittingName,
}

impl<'a> Spot<'a> {
    pub fn of(site: &Site<'a>, run: &Label, at: usize) -> Option<Self> {
        let fit = site.job.fits(run)?.get(at)?;
        let name = FittingName::parse(fit.fit.as_str())?;
        Some(Self { run: run.clone(), at, fit, name })
    }

    /// The edit that puts a fitting of another name in its place.
    pub fn replaced(&self, name: &FittingName) -> Edit {
        let item = Fit { fit: Label::new(name.to_string()), ..self.fit.clone() };
        Edit::Fit { run: self.run.clone(), change: Change::Replace { at: self.at, item: Box::new(item) } }
    }
}

fn form(site: &Site<'_>, spot: &Spot<'_>, pair: (Family, Family)) -> Option<Swap> {
    let family = match spot.name.family() {
        family if family == pair.0 => pair.1,
        family if family == pair.1 => pair.0,
        _ => return None,
    };
    let sizes: Vec<NominalSize> = spot.name.sizes().to_vec();
    let name = known(site, FittingName::of(family, &sizes)?)?;
    Some(Swap {
        fitting: spot.fit.name.clone(),
        kind: SwapKind::Form(family),
        words: format!("{name} instead of {}", spot.name),
        edits: vec![spot.replaced(&name)],
    })
}

/// The name, where the catalog has such a fitting.
pub(super) fn known(site: &Site<'_>, name: FittingName) -> Option<FittingName> {
    site.catalog.pattern(&name.to_string()).is_ok().then_some(name)
}
