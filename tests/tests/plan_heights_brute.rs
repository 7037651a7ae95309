//! The search for stack heights against brute force on random small stacks: every combination of fittings is placed with its
//! hubs face to face, what placement makes of it is measured, and all heights on the sixteenths are walked through.
//!
//! All lengths here are sixteenths and windows are closed, so where there are heights at all there are some on the sixteenths:
//! the conditions are differences of heights against whole numbers of sixteenths.

use std::collections::BTreeMap;
use std::path::Path;
use truefall_model::catalog::Catalog;
use truefall_model::job::Job;
use truefall_model::job::clock::Clock;
use truefall_model::job::file::JobFile;
use truefall_model::job::height::{Height, Surface};
use truefall_model::job::pipes::{Base, Branch, End, Fit, PortName};
use truefall_model::label::Label;
use truefall_model::place::{RoughIn, Trouble, place};
use truefall_model::units::{Angle, Length, NominalSize};
use truefall_plan::heights::{
    Choice, Column, Combination, Connector, Cost, Spans, Station, Tip, settle, solve,
};

/// Fittings of a station, with the bushing in their branch.
const POOL: [(&str, Option<&str>); 7] = [
    ("3x3x2 sanitary tee", None),
    ("3x3x3 sanitary tee", Some("3x2 bushing")),
    ("3x2x2 sanitary tee", None),
    ("2x2x2 sanitary tee", None),
    ("2x2x1-1/2 sanitary tee", None),
    ("2x2x2 street sanitary tee", None),
    ("3x3x3 street sanitary tee", Some("3x2 bushing")),
];

const LINKS: [&str; 2] = ["3x2 bushing", "3x2 reducer"];

/// A small generator with a fixed seed (Marsaglia's xorshift).
struct Dice(u64);

impl Dice {
    fn roll(&mut self, below: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % below
    }
}

fn sixteenths(inches: f64) -> i64 {
    let n = inches * 16.0;
    assert!((n - n.round()).abs() < 1e-6, "{inches} is no sixteenth");
    n.round() as i64
}

fn bare(fit: &str, name: String, like: &Fit) -> Fit {
    Fit { fit: Label::new(fit), name: Label::new(name), height: None, ..like.clone() }
}

/// A riser on an iron hub with a rim at nothing, to put fittings on.
fn riser() -> Job {
    let scenes = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenes/rules/piece-too-short");
    let mut files: Vec<_> =
        std::fs::read_dir(scenes).expect("it is there").map(|e| e.expect("it is there").path()).collect();
    files.sort();
    let ok = files
        .iter()
        .find(|p| p.file_name().expect("it is there").to_string_lossy().starts_with("ok_"))
        .expect("it is there");
    let mut job = JobFile::load(ok).expect("it is there").job;
    let stack = &mut job.stacks[0];
    let Base::CutPipe { at, .. } = stack.base.clone() else { panic!("the scene stands on a cut pipe") };
    stack.base = Base::IronHub {
        size: NominalSize::THREE,
        at,
        rim: off_rough(0.0),
        depth: None,
        joint: truefall_model::catalog::joint::JointKind::CompressionGasket,
    };
    stack.end = End::Open {};
    job
}

fn off_rough(inches: f64) -> Height {
    Height { off: Length::inches(inches), floor: Label::new("first"), surface: Surface::Rough }
}

/// What one combination of fittings is, as placed with all hubs face to face.
struct Made {
    job: Job,
    cost: Cost,
    /// By station: its centre, in sixteenths, and whether a piece lies between it and the one below.
    centres: Vec<(i64, bool)>,
    /// From the last centre to the stop of the open end at the top.
    top: i64,
}

/// A fitting of the pool, the hour its branch looks to, and where its centre may be there: closed spans of sixteenths.
type Offer = (usize, u32, Vec<(i64, i64)>);

fn clock(hour: u32) -> Clock {
    Clock::at(Angle::degrees(30.0 * f64::from(hour)))
}

/// By station, which of its offers and what is put below it.
type Picks<'n> = Vec<(usize, Vec<&'n str>)>;

struct Case {
    stations: Vec<Vec<Offer>>,
    top: NominalSize,
    prices: BTreeMap<String, u64>,
}

fn price(case: &Case, name: &str) -> u64 {
    case.prices.get(name).copied().unwrap_or(0)
}

/// The job of a combination: by station its choice and the links below it, and the links at the top.
fn job_of(case: &Case, picks: &[(usize, Vec<&str>)], last: &[&str]) -> Job {
    let mut job = riser();
    let like = job.stacks[0].up[0].clone();
    let mut up = Vec::new();
    let mut branches = Vec::new();
    for (s, (pick, links)) in picks.iter().enumerate() {
        for (i, link) in links.iter().enumerate() {
            up.push(bare(link, format!("L{s}{i}"), &like));
        }
        let (fit, bushing) = POOL[case.stations[s][*pick].0];
        let hour = case.stations[s][*pick].1;
        up.push(Fit { clock: Some(clock(hour)), ..bare(fit, format!("T{s}"), &like) });
        if let Some(bushing) = bushing {
            branches.push(Branch {
                name: Label::new(format!("b{s}")),
                from: PortName { fitting: Label::new(format!("T{s}")), port: Some(Label::new("branch")) },
                material: job.stacks[0].material,
                system: None,
                grade: None,
                along: vec![bare(bushing, format!("U{s}"), &like)],
                end: End::Open {},
                note: None,
            });
        }
    }
    for (i, link) in last.iter().enumerate() {
        up.push(bare(link, format!("E{i}"), &like));
    }
    job.stacks[0].up = up;
    job.branches = branches;
    job
}

fn made(case: &Case, catalog: &Catalog, picks: &[(usize, Vec<&str>)], last: &[&str]) -> Option<Made> {
    let job = job_of(case, picks, last);
    let rough_in = place(&job, catalog).ok()?;
    let run = &rough_in.runs[0];
    let mut centres = Vec::new();
    let mut floats = false;
    for (piece, part) in &run.fits {
        floats |= piece.is_some();
        if rough_in.part(*part).label.as_str().starts_with('T') {
            centres.push((sixteenths(rough_in.drawn.origin(*part).z), floats));
            floats = false;
        }
    }
    let end = run.fits.last()?.1;
    let pattern = rough_in.part(end).pattern()?;
    let leave = pattern.leave?;
    if pattern.ports[leave].size != case.top {
        return None;
    }
    let stop = sixteenths(rough_in.drawn.stop(&rough_in, end, leave).z);
    let cents: u64 =
        rough_in.parts.iter().filter_map(|p| p.pattern()).map(|p| price(case, p.name.as_str())).sum();
    let cost = Cost { joints: rough_in.joints.len() as u32, unpriced: 0, cents };
    let top = stop - centres.last()?.0;
    Some(Made { job, cost, centres, top })
}

/// Every height on the sixteenths that the last centre can have; the least of the tops.
fn least_top(case: &Case, picks: &[(usize, Vec<&str>)], made: &Made) -> Option<i64> {
    let mut reach: Option<Vec<i64>> = None;
    let mut before = 0;
    for (s, (packed, floats)) in made.centres.iter().enumerate() {
        let windows = &case.stations[s][picks[s].0].2;
        let apart = packed - before;
        let can = |z: i64| match &reach {
            None if *floats => z >= *packed,
            None => z == *packed,
            Some(below) if *floats => below.iter().any(|b| z - b >= apart),
            Some(below) => below.iter().any(|b| z - b == apart),
        };
        let now: Vec<i64> = windows.iter().flat_map(|(a, b)| *a..=*b).filter(|z| can(*z)).collect();
        if now.is_empty() {
            return None;
        }
        before = *packed;
        reach = Some(now);
    }
    reach?.into_iter().min().map(|z| z + made.top)
}

/// The best of all combinations: joints, then price, then the height used; and how many there were.
fn brute(case: &Case, catalog: &Catalog) -> (Option<(Cost, i64)>, usize) {
    let links: [&[&str]; 3] = [&[], &[LINKS[0]], &[LINKS[1]]];
    let size = |fit: &str, upper: bool| -> &'static str {
        match (fit, upper) {
            ("3x2x2 sanitary tee", true) => "2",
            _ if fit.starts_with('3') => "3",
            _ => "2",
        }
    };
    let mut partial: Vec<(Picks<'_>, &str)> = vec![(Vec::new(), "3")];
    for station in &case.stations {
        let mut next = Vec::new();
        for (picks, open) in &partial {
            for (choice, (fit, ..)) in station.iter().enumerate() {
                for link in links {
                    let after = if link.is_empty() { *open } else { "2" };
                    // Sizes that don't meet need not be placed to be known as wrong.
                    if (!link.is_empty() && *open == "2") || after != size(POOL[*fit].0, false) {
                        continue;
                    }
                    let mut picks = picks.clone();
                    picks.push((choice, link.to_vec()));
                    next.push((picks, size(POOL[*fit].0, true)));
                }
            }
        }
        partial = next;
    }
    let mut best: Option<(Cost, i64)> = None;
    let mut tried = 0;
    for (picks, open) in &partial {
        for last in links {
            if !last.is_empty() && *open == "2" {
                continue;
            }
            let Some(made) = made(case, catalog, picks, last) else { continue };
            tried += 1;
            if let Some(top) = least_top(case, picks, &made) {
                best = Some(best.map_or((made.cost, top), |b| b.min((made.cost, top))));
            }
        }
    }
    (best, tried)
}

fn column(case: &Case, catalog: &Catalog, riser: &RoughIn) -> Column {
    let base = riser.part(riser.joints[0].low.0).ports()[0].clone();
    let of = |name: &str| {
        let pattern = catalog.pattern(name).expect("it is there");
        let mut choice =
            Choice::of(pattern, pattern.enter, pattern.leave.expect("it is there")).expect("it is there");
        choice.cents = price(case, name);
        choice
    };
    let stations = case
        .stations
        .iter()
        .enumerate()
        .map(|(s, choices)| Station {
            name: Label::new(format!("T{s}")),
            wish_in: None,
            choices: choices
                .iter()
                .map(|(fit, hour, windows)| {
                    let (name, bushing) = POOL[*fit];
                    let mut choice = of(name);
                    choice.joints = u32::from(bushing.is_some());
                    choice.cents += bushing.map_or(0, |b| price(case, b));
                    choice.branch_bushing = bushing.map(Label::new);
                    choice.clock = Some(clock(*hour));
                    let span = |(a, b): &(i64, i64)| Spans::one(*a as f64 / 16.0, *b as f64 / 16.0);
                    choice.heights = windows.iter().map(span).fold(Spans::default(), |all, one| all.or(&one));
                    choice
                })
                .collect(),
        })
        .collect();
    let connectors = LINKS
        .iter()
        .map(|name| {
            let c = of(name);
            Connector {
                fit: c.fit,
                below: c.below,
                above: c.above,
                length_in: c.rise_in + c.top_in,
                cents: c.cents,
                unpriced: 0,
            }
        })
        .collect();
    let foot = Tip::of(base.size, base.end, base.socket.to_inches()).expect("it is there");
    let foot_in = riser.drawn.stop(riser, riser.joints[0].low.0, 0).z;
    Column { foot, foot_in, stations, connectors, top: Some(case.top), ceiling: None }
}

/// A random stack whose windows lie about the heights of one of its own combinations: the same choices at two clocks, which
/// see other wood, and the upper windows moved so far that it just goes or just does not.
fn random(dice: &mut Dice, catalog: &Catalog) -> Case {
    let count = 2 + dice.roll(2) as usize;
    let top = if dice.roll(3) == 0 { NominalSize::THREE } else { NominalSize::TWO };
    let mut case = Case { stations: Vec::new(), top, prices: BTreeMap::new() };
    if dice.roll(2) == 0 {
        for name in POOL.iter().map(|p| p.0).chain(LINKS) {
            case.prices.insert(name.to_owned(), 100 + dice.roll(900));
        }
    }
    let mut stop = -44;
    for s in 0..count {
        let wide = if dice.roll(2) == 0 { 4 } else { 24 };
        let mut choices: Vec<Offer> = Vec::new();
        let low = s == 0;
        while choices.len() < 2 {
            // Half of them are one fitting at two clocks, the others two fittings.
            let same = choices.first().map(|c| c.0).filter(|_| dice.roll(2) == 0);
            let fit = same.unwrap_or(dice.roll(POOL.len() as u64) as usize);
            if top == NominalSize::THREE && !POOL[fit].0.starts_with("3x3") {
                continue;
            }
            let hour = 3 * choices.len() as u32 + 1 + dice.roll(3) as u32;
            choices.push((fit, hour, Vec::new()));
        }
        let first = catalog.pattern(POOL[choices[0].0].0).expect("it is there");
        let own = Choice::of(first, first.enter, first.leave.expect("it is there")).expect("it is there");
        let socket = if low { 44 } else { 12 };
        let piece = if own.below.hub { socket + sixteenths(own.below.socket_in) } else { 0 };
        let centre = stop + piece + sixteenths(own.rise_in) + dice.roll(12) as i64;
        let centre = centre - dice.roll(9) as i64;
        for (_, _, windows) in &mut choices {
            let shift = dice.roll(5) as i64 - 2;
            let (a, b) = (centre - dice.roll(wide) as i64 + shift, centre + dice.roll(wide) as i64 + shift);
            // A clock that sees a joist in the middle of the window.
            if b - a > 8 && dice.roll(2) == 0 {
                let from = a + 1 + dice.roll((b - a - 6) as u64) as i64;
                windows.extend([(a, from), (from + 4, b)]);
            } else {
                windows.push((a, b));
            }
        }
        stop = centre + sixteenths(own.top_in);
        case.stations.push(choices);
    }
    case
}

/// The windows of the last station moved up or down.
fn moved(column: &Column, by_in: f64) -> Column {
    let mut column = column.clone();
    if let Some(last) = column.stations.last_mut() {
        for choice in &mut last.choices {
            choice.heights = choice.heights.shifted(by_in);
        }
    }
    column
}

/// Moves the last station's windows to within a quarter of an inch of where they can just, or just not, be met; not where there
/// is no such place.
fn to_the_edge(case: &mut Case, catalog: &Catalog, riser: &RoughIn, dice: &mut Dice) -> bool {
    let whole = column(case, catalog, riser);
    let can = |k: i64| solve(&moved(&whole, k as f64 / 16.0)).is_some();
    let Some(edge) = (-96..96).find(|k| can(*k) != can(k + 1)) else { return false };
    let by = edge + dice.roll(8) as i64 - 3;
    for (_, _, windows) in case.stations.last_mut().expect("it is there") {
        for window in windows {
            *window = (window.0 + by, window.1 + by);
        }
    }
    true
}

/// The heights as solved, placed: every tee where it was said, no piece too short, every joint counted.
fn holds(case: &Case, catalog: &Catalog, column: &Column, chosen: &Combination, heights: &[f64]) {
    let names: Vec<Vec<String>> = chosen
        .steps
        .iter()
        .map(|(_, way)| way.links.iter().map(|l| column.connectors[*l].fit.to_string()).collect())
        .collect();
    let picks: Vec<(usize, Vec<&str>)> = chosen
        .steps
        .iter()
        .zip(&names)
        .map(|((c, _), links)| (*c, links.iter().map(String::as_str).collect()))
        .collect();
    let last: Vec<String> = chosen.last.links.iter().map(|l| column.connectors[*l].fit.to_string()).collect();
    let last: Vec<&str> = last.iter().map(String::as_str).collect();
    let mut made = made(case, catalog, &picks, &last).expect("what was chosen can be placed");
    assert_eq!(made.cost, chosen.cost, "placement counts the joints");
    for (s, (_, way)) in chosen.steps.iter().enumerate() {
        if way.pieces.last() == Some(&true) {
            let name = Label::new(format!("T{s}"));
            let fit = made.job.stacks[0].up.iter_mut().find(|f| f.name == name).expect("it is there");
            fit.height = Some(off_rough(heights[s]));
        }
    }
    let rough_in = place(&made.job, catalog).expect("it is there");
    let short = |t: &Trouble| matches!(t, Trouble::ShortPiece { .. });
    assert!(!rough_in.troubles.iter().any(short), "{:?}", rough_in.troubles);
    for (s, height) in heights.iter().enumerate() {
        let name = Label::new(format!("T{s}"));
        let part = rough_in.parts.iter().find(|p| p.label == name).expect("it is there");
        let z = rough_in.drawn.origin(part.id).z;
        assert!((z - height).abs() < 1e-6, "{name} at {z}, solved {height}");
        let (_, hour, windows) = &case.stations[s][chosen.steps[s].0];
        let pattern = part.pattern().expect("it is a fitting");
        let branch = pattern.port("branch").expect("it has one");
        let looks = rough_in.drawn.axis(&rough_in, part.id, branch).xy();
        let hand = clock(*hour).angle().to_radians();
        assert!(looks.x * hand.cos() - looks.y * hand.sin() < 1e-6, "{name} looks elsewhere");
        assert!(looks.x * hand.sin() + looks.y * hand.cos() > 0.9, "{name} looks elsewhere");
        let inside = |(a, b): &(i64, i64)| z * 16.0 >= *a as f64 - 1e-6 && z * 16.0 <= *b as f64 + 1e-6;
        assert!(windows.iter().any(inside), "{name} at {z} is outside its windows");
    }
}

#[test]
fn the_search_finds_what_brute_force_finds_and_nothing_else() {
    let catalog = Catalog::builtin().clone();
    let mut plain = riser();
    let like = plain.stacks[0].up[0].clone();
    plain.stacks[0].up = vec![bare("3x3x2 sanitary tee", "T0".into(), &like)];
    let riser = place(&plain, &catalog).expect("it is there");
    let mut dice = Dice(0x5eed_1234_abcd_0001);
    let mut turned = 0;
    let (mut solved, mut stuck, mut near, mut streets, mut bushings, mut changes, mut placed) =
        (0, 0, 0, 0, 0, 0, 0);
    // Stacks drawn with all four kinds at once: a bushing in a branch, a street form, one fitting at two clocks, a change of size.
    let (mut all_kinds, mut near_solved, mut near_stuck) = (0, 0, 0);
    let cases = 320;
    for n in 0..cases {
        let mut case = random(&mut dice, &catalog);
        while n % 8 != 0 && !to_the_edge(&mut case, &catalog, &riser, &mut dice) {
            case = random(&mut dice, &catalog);
        }
        let column = column(&case, &catalog, &riser);
        let (expect, tried) = brute(&case, &catalog);
        placed += tried;
        let found = solve(&column);
        let brief = found.as_ref().map(|c| (c.cost, sixteenths(c.least_top_in)));
        assert_eq!(brief, expect, "stack {n}: {:?} to {}", case.stations, case.top);
        let quarter =
            (-4..=4).any(|k| solve(&moved(&column, f64::from(k) / 16.0)).is_some() != found.is_some());
        near += usize::from(quarter);
        near_solved += usize::from(quarter && found.is_some());
        near_stuck += usize::from(quarter && found.is_none());
        let offers = || case.stations.iter().flatten().map(|(fit, ..)| POOL[*fit]);
        let two_clocks = case.stations.iter().any(|s| s[0].0 == s[1].0 && s[0].1 != s[1].1);
        all_kinds += usize::from(
            two_clocks
                && case.top == NominalSize::TWO
                && offers().any(|(_, bushing)| bushing.is_some())
                && offers().any(|(name, _)| name.contains("street")),
        );
        match found {
            None => stuck += 1,
            Some(chosen) => {
                solved += 1;
                let heights = settle(&column, &chosen).expect("what was chosen has heights");
                holds(&case, &catalog, &column, &chosen, &heights);
                let fits = chosen.steps.iter().zip(&column.stations).map(|((c, _), s)| &s.choices[*c]);
                for (s, (c, _)) in chosen.steps.iter().enumerate() {
                    let (first, other) = (&case.stations[s][0], &case.stations[s][*c]);
                    turned += usize::from(*c != 0 && first.0 == other.0);
                }
                for choice in fits {
                    streets += usize::from(!choice.below.hub);
                    bushings += usize::from(choice.branch_bushing.is_some());
                }
                changes += usize::from(
                    chosen.steps.iter().any(|(_, w)| !w.links.is_empty()) || !chosen.last.links.is_empty(),
                );
            }
        }
    }
    println!(
        "{cases} stacks, {placed} placements: {solved} solved, {stuck} not, {near} within 1/4 in of the edge ({near_solved} solved, {near_stuck} not), {all_kinds} drawn with all kinds, {streets} street forms, {bushings} bushings in branches, {changes} changes of size, {turned} turned to another clock"
    );
    assert!(solved >= 100 && stuck >= 60, "{solved} solved, {stuck} not");
    assert!(near * 2 >= cases, "{near} of {cases} near the edge");
    assert!(near_solved >= 80 && near_stuck >= 60, "{near_solved} solved and {near_stuck} not near the edge");
    assert!(all_kinds >= 40, "{all_kinds} with all kinds at once");
    assert!(turned >= 10, "{turned} turned");
    assert!(streets >= 20 && bushings >= 10 && changes >= 20, "{streets} {bushings} {changes}");
}
