//! Which fitting makes which turn, by the way the waste flows: from the catalog, as the code's table allows it.

use truefall_check::Profile;
use truefall_model::catalog::Catalog;
use truefall_model::catalog::family::Family;
use truefall_model::catalog::material::Material;
use truefall_model::catalog::pattern::Pattern;
use truefall_model::units::{Length, NominalSize};

/// A fitting that turns a drain on the level.
#[derive(Debug, Clone, PartialEq)]
pub struct Bend {
    /// How many steps of 22.5 degrees it turns.
    pub steps: i32,
    /// Its pattern.
    pub pattern: String,
    /// From its centre to where a piece stops, either side.
    pub laying: Length,
    /// Depth of its sockets.
    pub socket: Length,
    /// Outside diameter of its hubs.
    pub hub: Length,
    /// Its price, in points; nothing without prices.
    pub points: f64,
}

impl Bend {
    /// Of a pattern.
    pub fn of(pattern: &Pattern, steps: i32) -> Self {
        let port = &pattern.ports[pattern.enter];
        Self {
            steps,
            pattern: pattern.name.to_string(),
            laying: Length::inches(port.stop.coords.norm()),
            socket: port.socket,
            hub: port.outside,
            points: 0.0,
        }
    }
}

/// The bends of a size that may turn the drain of one fixture on the level, the shortest of each turn first.
pub fn level_bends(catalog: &Catalog, profile: &Profile, material: Material, size: NominalSize) -> Vec<Bend> {
    let rows = [
        (1, Family::SixteenthBend, "sixteenth-bend"),
        (2, Family::EighthBend, "eighth-bend"),
        (4, Family::QuarterBend, "quarter-bend"),
        (4, Family::LongTurnQuarterBend, "long-sweep"),
    ];
    let mut bends: Vec<Bend> = Vec::new();
    for (steps, family, row) in rows {
        if !allowed(profile, row, "level-to-level", size) {
            continue;
        }
        if let Some(pattern) = pattern(catalog, family, material, &[size]) {
            bends.push(Bend::of(pattern, steps));
        }
    }
    bends
}

/// The shortest bend that may turn one fixture's drain from a riser to level, at the riser's foot.
pub fn rising_bend(
    catalog: &Catalog,
    profile: &Profile,
    material: Material,
    size: NominalSize,
) -> Option<Bend> {
    let rows = [(Family::QuarterBend, "quarter-bend"), (Family::LongTurnQuarterBend, "long-sweep")];
    rows.into_iter()
        .filter(|(_, row)| allowed(profile, row, "down-to-level", size))
        .find_map(|(family, _)| Some(Bend::of(pattern(catalog, family, material, &[size])?, 4)))
}

/// Whether the code lets a row of its table turn one fixture's drain from one way to another.
fn allowed(profile: &Profile, row: &str, turn: &str, size: NominalSize) -> bool {
    let find = |table: &str| profile.find(&format!("{table}.{row}.{turn}"));
    let nominal = size.nominal().to_inches();
    find("turn").is_some_and(|yes| yes.value >= 0.5)
        || find("turn-fixture-drain").is_some_and(|most| nominal <= most.value)
        || find("turn-from").is_some_and(|least| nominal >= least.value)
}

/// The pattern of a family whose ports have these sizes: entered, left, and branches.
pub fn pattern<'c>(
    catalog: &'c Catalog,
    family: Family,
    material: Material,
    sizes: &[NominalSize],
) -> Option<&'c Pattern> {
    catalog.patterns().find(|p| {
        p.family == family
            && p.materials.contains(&material)
            && p.ports
                .iter()
                .enumerate()
                .all(|(i, port)| sizes.get(i).or(sizes.last()).is_some_and(|size| port.size == *size))
    })
}
