//! Rows of the plan of stack heights. Lengths are inches and not rounded; what has no end is null.

use super::words::{box_set, changed, remedy, said};
use serde::Serialize;
use truefall_model::catalog::Catalog;
use truefall_model::framing::frame::Framed;
use truefall_model::framing::space::FloorSpace;
use truefall_model::place::{Placed, RoughIn, clock_of};
use truefall_model::units::Length;
use truefall_plan::heights::doubt::Measured;
use truefall_plan::heights::{HeightsPlan, Outcome, Solved, Stuck};

/// The whole plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HeightsReport {
    /// Version of this layout.
    pub schema: u32,
    /// The job's name.
    pub job: String,
    /// Stack by stack.
    pub stacks: Vec<StackRow>,
    /// What the edits come to when the job is checked with them in it.
    pub tried: Tried,
}

/// The trial of all edits together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tried {
    /// How many edits there are.
    pub edits: usize,
    /// Nothing is red that was not red before.
    pub accepted: bool,
    /// Why they could not be tried.
    pub refused: Option<String>,
    /// Findings that are new or graver.
    pub breaks: Vec<String>,
    /// Findings that are gone or less grave.
    pub mends: Vec<String>,
}

/// One stack.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StackRow {
    /// Its name.
    pub stack: String,
    /// The fitting that this straight part of it stands on; none at the base.
    pub above: Option<String>,
    /// The fitting that ends this part by turning the stack.
    pub below: Option<String>,
    /// `solved`, `stuck` or `left`.
    pub outcome: &'static str,
    /// Why it is left alone, or stuck.
    pub why: Option<String>,
    /// Joints up to the open end at the top, and those of the fittings as written.
    pub joints: Option<u32>,
    /// As written, where that can be built.
    pub joints_as_written: Option<u32>,
    /// Price of its fittings in the user's money, where prices were given.
    pub price: Option<f64>,
    /// How many of its fittings the file has no price of.
    pub unpriced: Option<u32>,
    /// Fittings and pieces from the top down.
    pub elevation: Vec<PartRow>,
    /// Windows from the top down.
    pub windows: Vec<WindowRow>,
    /// What errors would do.
    pub errors: Vec<ErrorRow>,
    /// Washers with their box, standpipe and trap.
    pub washers: Vec<WasherRow>,
    /// What would mend it.
    pub remedies: Vec<String>,
    /// What changes in the job.
    pub changes: Vec<String>,
    /// What else is worth knowing.
    pub notes: Vec<String>,
}

/// A fitting, or the piece below it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartRow {
    /// Its name; none for a piece.
    pub fitting: Option<String>,
    /// What it is.
    pub what: String,
    /// The floor its heights are off.
    pub floor: Option<String>,
    /// Height of its centre off that floor's rough surface.
    pub off_rough: Option<f64>,
    /// And off its finished surface.
    pub off_finished: Option<f64>,
    /// Where its branch points.
    pub clock: Option<String>,
    /// Cut length of a piece.
    pub cut: Option<f64>,
    /// Centre to centre of the fittings it joins.
    pub centres: Option<f64>,
    /// A piece as short as can be: hubs face to face.
    pub make_up: bool,
}

/// The window of a tee.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WindowRow {
    /// The tee.
    pub fitting: String,
    /// Fixtures it serves.
    pub serves: Vec<String>,
    /// The floor the heights are off, rough.
    pub floor: String,
    /// Lower edge.
    pub least: Option<f64>,
    /// Upper edge.
    pub greatest: Option<f64>,
    /// As solved.
    pub at: Option<f64>,
    /// As the job had it.
    pub was: Option<f64>,
    /// Room below, to the lower edge of the window or of what wood leaves of it.
    pub room_below: Option<f64>,
    /// Room above.
    pub room_above: Option<f64>,
    /// What sets the lower edge.
    pub least_by: Option<String>,
    /// What sets the upper edge.
    pub greatest_by: Option<String>,
}

/// A measurement and what its error does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ErrorRow {
    /// What was measured.
    pub measured: String,
    /// The most it may be off.
    pub holds_to: f64,
    /// The tee that leaves its window first.
    pub first: Option<String>,
    /// Tees out by 1/16.
    pub at_sixteenth: Vec<String>,
    /// Tees out by 1/8.
    pub at_eighth: Vec<String>,
}

/// A washer's box, standpipe and trap, solved together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WasherRow {
    /// The fixture.
    pub fixture: String,
    /// Its floor.
    pub floor: String,
    /// The trap's weir off that floor, finished.
    pub weir: f64,
    /// The standpipe's rim off it: the bottom of the box.
    pub rim: f64,
    /// The rim over the weir.
    pub stands: f64,
    /// The middle of its box off it, by the usual box; take it from the one in the hand.
    pub box_centre: Option<f64>,
    /// How far the box stands proud of the studs, to be flush with the finish.
    pub proud: f64,
    /// The bay it stands in, along its wall from the `from` corner, between the studs.
    pub bay: Option<(f64, f64)>,
    /// Where the standpipe is, along that wall.
    pub along: f64,
    /// The spans of it at which hub, trap and arm miss the studs, by the way the trap is swung.
    pub free: Vec<SwingRow>,
}

/// One way to swing a washer's trap.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SwingRow {
    /// Which way, in words.
    pub swung: String,
    /// The least place of the standpipe along the wall.
    pub least: f64,
    /// The greatest.
    pub greatest: f64,
}

fn washers(
    job: &truefall_model::job::Job,
    catalog: &Catalog,
    plan: &HeightsPlan,
    solved: &Solved,
) -> Vec<WasherRow> {
    let rough_in = plan.trial.as_ref().map_or(&plan.rough_in, |t| &t.rough_in);
    let serves = |name: &str| solved.windows.iter().any(|w| w.serves.iter().any(|s| s.as_str() == name));
    truefall_plan::heights::washer::washers(job, catalog, rough_in)
        .into_iter()
        .filter(|w| serves(w.fixture.as_str()))
        .map(|w| WasherRow {
            fixture: w.fixture.to_string(),
            floor: w.floor.to_string(),
            weir: w.weir_in,
            rim: w.rim_in,
            stands: w.rim_in - w.weir_in,
            box_centre: w.box_in,
            proud: w.proud_in,
            bay: w.bay_in,
            along: w.along_in,
            free: w
                .free
                .iter()
                .map(|f| SwingRow {
                    swung: if f.straight_on {
                        "on from the arm".to_owned()
                    } else {
                        "back along the arm".to_owned()
                    },
                    least: f.least_in,
                    greatest: f.greatest_in,
                })
                .collect(),
        })
        .collect()
}

fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

/// The highest floor at or below a height, else the lowest.
fn floor_under(framed: &Framed, z: f64) -> Option<&FloorSpace> {
    let by = |a: &&FloorSpace, b: &&FloorSpace| a.rough_z.total_cmp(&b.rough_z);
    framed.floors.iter().filter(|f| f.rough_z <= z + 24.0).max_by(by).or(framed.floors.iter().min_by(by))
}

impl HeightsReport {
    /// Lays a plan out.
    pub fn of(job: &truefall_model::job::Job, catalog: &Catalog, plan: &HeightsPlan) -> Self {
        let (rough_in, after) = match &plan.trial {
            Some(trial) => (&trial.rough_in, &trial.job),
            None => (&plan.rough_in, job),
        };
        let stacks = plan
            .stacks
            .iter()
            .filter_map(|stack| Some((job.stacks.iter().position(|s| s.name == stack.stack)?, stack)))
            .map(|(index, stack)| {
                let mut row = StackRow {
                    stack: stack.stack.to_string(),
                    above: stack.above.as_ref().map(ToString::to_string),
                    below: stack.below.as_ref().map(ToString::to_string),
                    outcome: "left",
                    why: None,
                    joints: None,
                    joints_as_written: None,
                    price: None,
                    unpriced: None,
                    elevation: Vec::new(),
                    windows: Vec::new(),
                    errors: Vec::new(),
                    washers: Vec::new(),
                    remedies: Vec::new(),
                    changes: Vec::new(),
                    notes: Vec::new(),
                };
                match &stack.outcome {
                    Outcome::Left(why) => row.why = Some(why.clone()),
                    Outcome::Solved(solved) => {
                        row.outcome = "solved";
                        row.joints = Some(solved.chosen.cost.joints);
                        row.joints_as_written = solved.as_written.map(|c| c.joints);
                        row.price = plan.priced.then(|| solved.chosen.cost.cents as f64 / 100.0);
                        row.unpriced = plan.priced.then_some(solved.chosen.cost.unpriced);
                        row.elevation =
                            part_of(elevation(rough_in, rough_in.placed(job.cut_on), index), &row);
                        row.windows = windows(rough_in, solved);
                        row.errors = errors(solved, row.above.as_deref());
                        row.washers = washers(after, catalog, plan, solved);
                        row.changes = changed(&job.stacks[index], &after.stacks[index], &row.elevation);
                        row.changes.extend(solved.boxes.iter().flat_map(|b| box_set(b, job)));
                        row.notes = notes(solved);
                    }
                    Outcome::Stuck(stuck) => {
                        row.outcome = "stuck";
                        row.why = Some(why(stuck));
                        row.remedies =
                            stuck.remedies.iter().map(|r| remedy(r, stuck, rough_in, job)).collect();
                        row.windows = stuck_windows(rough_in, stuck);
                        row.notes = stuck.windows.iter().flat_map(|w| w.beside.clone()).collect();
                    }
                }
                row
            })
            .collect();
        let trial = plan.trial.as_ref();
        let list = |findings: &[truefall_check::Finding]| findings.iter().map(said).collect();
        let tried = Tried {
            edits: plan.edits.len(),
            accepted: trial.is_some_and(|t| t.accepted()),
            refused: plan.refused.clone(),
            breaks: trial.map_or_else(Vec::new, |t| list(&t.breaks)),
            mends: trial.map_or_else(Vec::new, |t| list(&t.mends)),
        };
        Self { schema: 1, job: job.name.clone(), stacks, tried }
    }
}

fn why(stuck: &Stuck) -> String {
    match &stuck.conflict {
        Some(conflict) => {
            let serves = |s: &usize| {
                let fixtures: Vec<String> =
                    stuck.windows[*s].serves.iter().map(ToString::to_string).collect();
                let name = &stuck.names[*s];
                if fixtures.is_empty() {
                    name.to_string()
                } else {
                    format!("{name} for the {}", fixtures.join(" and "))
                }
            };
            let all: Vec<String> = conflict.stations.iter().map(serves).collect();
            let short = conflict.short.map_or_else(
                || "no height of any one of them helps".to_owned(),
                |short| {
                    let sixteenths = (short.to_inches() * 16.0 - 1e-6).ceil().max(1.0);
                    let inches = match sixteenths > 16.0 {
                        true => format!(" ({})", Length::inches(sixteenths / 16.0)),
                        false => String::new(),
                    };
                    format!("they miss each other by {sixteenths:.0}/16 in{inches}")
                },
            );
            let under = conflict.under.as_ref().map_or_else(String::new, |name| format!(" under {name}"));
            match all.as_slice() {
                [] => format!("what stands{under} does not fit there"),
                [one] if conflict.under.is_some() => format!("{one} does not fit{under}: {short}"),
                [one] => format!(
                    "{one} does not fit on what it stands on: {}",
                    short.replace("they miss each other", "it misses its window")
                ),
                _ => format!("{} can't all be where they are wanted{under}: {short}", all.join(" and ")),
            }
        }
        None => "no fittings of the catalog lead from the size at its foot to the size at its top".to_owned(),
    }
}

/// Of a stack's rows, from the top down, those of one straight part of it with the fittings at both its ends.
fn part_of(rows: Vec<PartRow>, part: &StackRow) -> Vec<PartRow> {
    let at = |name: &Option<String>| {
        name.as_ref().and_then(|n| rows.iter().position(|r| r.fitting.as_ref() == Some(n)))
    };
    let from = at(&part.below).unwrap_or(0);
    let to = at(&part.above).map_or(rows.len(), |at| at + 1);
    rows.into_iter().take(to).skip(from).collect()
}

fn elevation(rough_in: &RoughIn, placed: &Placed, index: usize) -> Vec<PartRow> {
    let run = rough_in
        .runs
        .iter()
        .find(|r| matches!(&r.kind, truefall_model::place::RunKind::Stack { index: i, .. } if *i == index));
    let Some(run) = run else { return Vec::new() };
    let mut rows = Vec::new();
    let mut below = match &run.kind {
        truefall_model::place::RunKind::Stack { base, .. } => Some(*base),
        truefall_model::place::RunKind::Branch { .. } => None,
    };
    if let Some(base) = below {
        rows.push(fitting(rough_in, placed, base));
    }
    for (piece, part) in &run.fits {
        if let Some(piece) = piece {
            let part = rough_in.part(*piece);
            let cut = part.cut().map(|c| c.to_inches());
            let least: f64 = rough_in
                .joints
                .iter()
                .map(|j| {
                    let mate = if j.high.0 == *piece {
                        j.low
                    } else if j.low.0 == *piece {
                        j.high
                    } else {
                        return 0.0;
                    };
                    rough_in.part(mate.0).ports()[mate.1].socket.to_inches()
                })
                .sum();
            rows.push(PartRow {
                fitting: None,
                what: format!("{} in {} pipe", part.size(), part.material),
                floor: None,
                off_rough: None,
                off_finished: None,
                clock: None,
                cut,
                centres: None,
                make_up: cut.is_some_and(|c| (c - least).abs() < 1e-6),
            });
        }
        let mut row = fitting(rough_in, placed, *part);
        row.centres = below.map(|b| (placed.origin(*part) - placed.origin(b)).norm());
        rows.push(row);
        below = Some(*part);
    }
    rows.reverse();
    rows
}

fn fitting(rough_in: &RoughIn, placed: &Placed, id: truefall_model::place::PartId) -> PartRow {
    let part = rough_in.part(id);
    let at = placed.origin(id);
    let floor = floor_under(&rough_in.framed, at.z);
    let clock = part.pattern().and_then(|p| {
        let side = p.ports.iter().position(|port| port.name.as_str().starts_with("branch"))?;
        let out = placed.axis(rough_in, id, side);
        let facing = rough_in.framed.wall_facing(at, out.xy());
        let clock = clock_of(-placed.axis(rough_in, id, p.enter), out);
        Some(facing.map_or_else(|| clock.to_string(), |w| format!("{clock} {}", w.label)))
    });
    PartRow {
        fitting: Some(part.label.to_string()),
        what: part
            .pattern()
            .map_or_else(|| format!("existing {} in {}", part.size(), part.material), |p| p.name.to_string()),
        floor: floor.map(|f| f.label.to_string()),
        off_rough: floor.map(|f| at.z - f.rough_z),
        off_finished: floor.map(|f| at.z - f.finished_z),
        clock,
        cut: None,
        centres: None,
        make_up: false,
    }
}

fn windows(rough_in: &RoughIn, solved: &Solved) -> Vec<WindowRow> {
    let rows = solved.windows.iter().enumerate().map(|(s, window)| {
        let z = solved.heights_z[s];
        let mut row = window_row(rough_in, solved.column.stations[s].name.as_str(), window, z);
        let (low, high) = solved.spans_z[s];
        let floor = floor_under(&rough_in.framed, z).map_or(0.0, |f| f.rough_z);
        row.at = Some(z - floor);
        row.was = Some(solved.before_z[s] - floor);
        row.room_below = finite(z - low);
        row.room_above = finite(high - z);
        row
    });
    let mut rows: Vec<WindowRow> = rows.collect();
    rows.reverse();
    rows
}

fn stuck_windows(rough_in: &RoughIn, stuck: &Stuck) -> Vec<WindowRow> {
    let rows = stuck.windows.iter().zip(&stuck.names).map(|(window, name)| {
        let near = [window.least_z(), window.greatest_z()].into_iter().find(|z| z.is_finite()).unwrap_or(0.0);
        window_row(rough_in, name.as_str(), window, near)
    });
    let mut rows: Vec<WindowRow> = rows.collect();
    rows.reverse();
    rows
}

fn window_row(
    rough_in: &RoughIn,
    name: &str,
    window: &truefall_plan::heights::window::Window,
    z: f64,
) -> WindowRow {
    let floor = floor_under(&rough_in.framed, z);
    let rough = floor.map_or(0.0, |f| f.rough_z);
    let (low, high) = window.edges();
    let words = |b: &truefall_plan::heights::window::Bound| {
        let assumed = if b.assumed { " (assumed)" } else { "" };
        match &b.fixture {
            Some(fixture) => format!("{fixture}: {}{assumed}", b.why),
            None => format!("{}{assumed}", b.why),
        }
    };
    WindowRow {
        fitting: name.to_owned(),
        serves: window.serves.iter().map(ToString::to_string).collect(),
        floor: floor.map_or_else(String::new, |f| f.label.to_string()),
        least: finite(window.least_z() - rough),
        greatest: finite(window.greatest_z() - rough),
        at: None,
        was: None,
        room_below: None,
        room_above: None,
        least_by: low.map(words),
        greatest_by: high.map(words),
    }
}

fn errors(solved: &Solved, above: Option<&str>) -> Vec<ErrorRow> {
    let name = |s: &usize| solved.column.stations[*s].name.to_string();
    solved
        .doubts
        .iter()
        .map(|d| ErrorRow {
            measured: match &d.what {
                Measured::Base => format!("height of {}", above.unwrap_or("the base")),
                Measured::RoughIn(s) => {
                    let serves: Vec<&str> = solved.windows[*s].serves.iter().map(|f| f.as_str()).collect();
                    format!("rough-in of {}", serves.join(" or "))
                }
                Measured::Piece(s) => format!("what lies below {}", name(s)),
                Measured::Floor(floor) => format!("{floor} floor, rough or build-up"),
            },
            holds_to: d.holds_to.to_inches(),
            first: d.first.as_ref().map(name),
            at_sixteenth: d.at_sixteenth.iter().map(name).collect(),
            at_eighth: d.at_eighth.iter().map(name).collect(),
        })
        .collect()
}

fn notes(solved: &Solved) -> Vec<String> {
    let mut notes: Vec<String> = solved.windows.iter().flat_map(|w| w.beside.clone()).collect();
    let mut last: Option<String> = None;
    for (fit, _) in &solved.in_wood {
        let fit = fit.to_string();
        if last.as_ref() != Some(&fit) {
            let members: Vec<String> = solved
                .in_wood
                .iter()
                .filter(|(f, _)| f.as_str() == fit)
                .map(|(_, m)| m.to_string())
                .collect();
            notes.push(format!(
                "{fit} fits nowhere clear of wood: it stands in {}, which needs a hole as wide as its hub",
                members.join(" and ")
            ));
            last = Some(fit);
        }
    }
    for (station, (choice, _)) in solved.column.stations.iter().zip(&solved.chosen.steps) {
        let choice = &station.choices[*choice];
        if choice.fit.as_str().contains("street") {
            notes.push(format!(
                "{} is a street form: its foot goes straight into the hub below; its lengths are from memory, so measure the \
                 one you get before anything is cut",
                station.name
            ));
        }
        if let Some(clock) = choice.clock {
            notes.push(format!(
                "{} is turned to {clock}: nothing says where its branch looks, and there it goes",
                station.name
            ));
        }
    }
    if solved.sizes_as_written {
        notes.push("the size changes where the job has it: elsewhere a rule would be broken".to_owned());
    }
    notes
}
