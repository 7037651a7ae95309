//! Everything random jobs are made of.

use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::select;
use std::sync::OnceLock;
use truefall_model::framing::provided::{MemberFace, Provided};
use truefall_model::job::accept::{Acceptance, Amendment};
use truefall_model::job::clock::Clock;
use truefall_model::job::edit::{Change, Edit};
use truefall_model::job::file::JobFile;
use truefall_model::job::fixture::{Fixture, FixtureKind, Flush};
use truefall_model::job::height::{Height, Surface};
use truefall_model::job::pipes::{Branch, End, Fit, InHand, PortName, System};
use truefall_model::job::point::{PlanPoint, Spot};
use truefall_model::job::survey::Correction;
use truefall_model::job::{Job, Placement};
use truefall_model::label::Label;
use truefall_model::units::{Angle, Grade, Length, NominalSize};
use truefall_tests::scene::{list, scenes};

/// A job of the scenes.
#[derive(Debug, Clone)]
pub struct Named {
    pub name: String,
    /// As its file has it.
    pub text: String,
    pub job: Job,
}

/// Every scene that is a job: the whole houses and the scenes of the rules.
pub fn corpus() -> &'static [Named] {
    static ALL: OnceLock<Vec<Named>> = OnceLock::new();
    ALL.get_or_init(|| {
        let rules = list("rules", None);
        let folders = std::iter::once(".".to_owned()).chain(rules.iter().map(|r| format!("rules/{r}")));
        let texts = folders.flat_map(|folder| scenes(&folder));
        texts
            .map(|scene| {
                let file = JobFile::read(&scene.name, &scene.text).unwrap_or_else(|e| panic!("{e}"));
                Named { name: scene.name, text: scene.text, job: file.job }
            })
            .collect()
    })
}

/// One of the scenes.
pub fn named() -> impl Strategy<Value = Named> {
    (0..corpus().len()).prop_map(|i| corpus()[i].clone())
}

/// A scene and up to eight edits, some of which do not fit it.
pub fn edited() -> impl Strategy<Value = (Job, Vec<Edit>)> {
    named().prop_flat_map(|scene| {
        let edits = vec(edit(&scene.job), 1..8);
        (Just(scene.job), edits)
    })
}

/// A scene with its text, and up to eight edits, some of which do not fit it.
pub fn edited_text() -> impl Strategy<Value = (Named, Vec<Edit>)> {
    named().prop_flat_map(|scene| {
        let edits = vec(edit(&scene.job), 1..8);
        (Just(scene), edits)
    })
}

/// A scene with some of its lengths and clocks a little off what they were.
pub fn nudged() -> impl Strategy<Value = (String, Job)> {
    let cut_on = select(vec![Placement::Drawn, Placement::Found]);
    (named(), cut_on, vec((0..64usize, -32..33i32, -20.0..20.0f64), 1..6)).prop_map(
        |(scene, cut_on, nudges)| {
            let mut job = scene.job;
            job.cut_on = cut_on;
            for (which, sixteenths, degrees) in nudges {
                let up = job.stacks.iter_mut().flat_map(|s| &mut s.up);
                let mut fits: Vec<&mut Fit> =
                    up.chain(job.branches.iter_mut().flat_map(|b| &mut b.along)).collect();
                let count = fits.len();
                if let Some(fit) = fits.get_mut(which % count.max(1)) {
                    nudge(fit, Length::inches(f64::from(sixteenths) / 16.0), Angle::degrees(degrees));
                }
            }
            (scene.name, job)
        },
    )
}

fn nudge(fit: &mut Fit, by: Length, turn: Angle) {
    if let Some(height) = &mut fit.height {
        height.off += by;
    }
    for length in [&mut fit.level, &mut fit.centre, &mut fit.cut].into_iter().flatten() {
        *length += by;
    }
    match &mut fit.to {
        Some(Spot(PlanPoint::At { x, .. })) => *x += by,
        Some(Spot(PlanPoint::OffWall { along, .. })) => *along += by,
        _ => {}
    }
    fit.clock = fit.clock.map(|c| Clock::at(c.angle() + turn));
}

fn label() -> impl Strategy<Value = Label> {
    let plain = select(vec!["T1", "B1", "main", "arm", "first", "wet", "closet"]).prop_map(str::to_owned);
    // No dot: a port's name is told from its fitting's by one.
    let odd = "[a-zA-Z0-9é\"\\\\'/(){},:-][a-zA-Z0-9 é\"\\\\'/(){},:-]{0,10}[a-zA-Z0-9é\"\\\\'/)]";
    prop_oneof![plain, odd.prop_map(|s| s)].prop_map(Label::new)
}

fn words() -> impl Strategy<Value = String> {
    "[ -~é\n\t]{0,24}"
}

fn length() -> impl Strategy<Value = Length> {
    prop_oneof![
        3 => (-3200..3200i32).prop_map(|n| Length::inches(f64::from(n) / 16.0)),
        1 => (-200.0..200.0f64).prop_map(Length::inches),
    ]
}

fn size() -> impl Strategy<Value = NominalSize> {
    select(NominalSize::ALL.to_vec())
}

fn grade() -> impl Strategy<Value = Grade> {
    prop_oneof![select(vec![0.0, 0.0625, 0.125, 0.25, 0.5]), -2.0..2.0f64].prop_map(Grade::per_foot)
}

fn clock() -> impl Strategy<Value = Clock> {
    prop_oneof![(0..720i32).prop_map(|m| f64::from(m) / 2.0), 0.0..360.0f64]
        .prop_map(|d| Clock::at(Angle::degrees(d)))
}

fn height() -> impl Strategy<Value = Height> {
    let surface = select(vec![Surface::Rough, Surface::Finished]);
    (length(), select(vec!["first", "attic", "ground level"]), surface)
        .prop_map(|(off, floor, surface)| Height { off, floor: Label::new(floor), surface })
}

fn spot() -> impl Strategy<Value = Spot> {
    let surface = select(vec![Surface::Rough, Surface::Finished]);
    prop_oneof![
        (length(), length()).prop_map(|(x, y)| PlanPoint::At { x, y }),
        (label(), length(), length(), surface).prop_map(|(wall, along, out, face)| PlanPoint::OffWall {
            wall,
            along,
            out,
            face
        }),
        label().prop_map(|fixture| PlanPoint::Under { fixture }),
    ]
    .prop_map(Spot)
}

fn fit() -> impl Strategy<Value = Fit> {
    let how_far = (of(height()), of(spot()), of(length()), of(length()), of(length()));
    let turned = (of(clock()), of(label()), of(label()), of(clock()), of(grade()));
    let name = select(vec!["2 1/4 bend", "3x3x2 sanitary tee", "3 wye", "2 p-trap", "3 closet flange"]);
    (name, label(), how_far, turned, vec(label(), 0..3), of(words())).prop_map(
        |(fit, name, (height, to, level, centre, cut), (clock, enter, leave, swing, grade), plugs, note)| {
            Fit {
                fit: Label::new(fit),
                name,
                height,
                to,
                level,
                centre,
                cut,
                clock,
                enter,
                leave,
                swing,
                grade,
                plugs,
                note,
            }
        },
    )
}

fn port() -> impl Strategy<Value = PortName> {
    (label(), of(label())).prop_map(|(fitting, port)| PortName { fitting, port })
}

fn end() -> impl Strategy<Value = End> {
    prop_oneof![
        (label(), length()).prop_map(|(name, past)| End::Fixture { name, past }),
        port().prop_map(|to| End::Tie { to }),
        length().prop_map(|above| End::Roof { above }),
        Just(End::Valve {}),
        Just(End::Capped {}),
        Just(End::Open {}),
    ]
}

fn branch() -> impl Strategy<Value = Branch> {
    let system = of(select(vec![System::Drain, System::Vent, System::Cold, System::Hot]));
    (label(), port(), system, of(grade()), vec(fit(), 0..4), end(), of(words())).prop_map(
        |(name, from, system, grade, along, end, note)| Branch {
            name,
            from,
            material: truefall_model::catalog::material::Material::Abs,
            system,
            grade,
            along,
            end,
            note,
        },
    )
}

fn fixture() -> impl Strategy<Value = Fixture> {
    let kind =
        select(vec![FixtureKind::Closet, FixtureKind::Tub, FixtureKind::WasherBox, FixtureKind::KitchenSink]);
    let flush = select(vec![Flush::Low, Flush::High]);
    let sizes = (of(height()), of(size()), flush, of(height()), of(length()), of(length()));
    (label(), kind, spot(), label(), of(label()), sizes, of(words())).prop_map(
        |(name, kind, at, floor, wall, (outlet, trap, flush, rim, weir_out, tolerance), note)| Fixture {
            waste_joint: None,
            name,
            kind,
            at,
            floor,
            wall,
            outlet,
            trap,
            flush,
            rim,
            weir_out,
            tolerance,
            note,
        },
    )
}

fn provided() -> impl Strategy<Value = Provided> {
    let face = select(vec![MemberFace::Room, MemberFace::Back, MemberFace::Both]);
    prop_oneof![
        (label(), of(height()), face).prop_map(|(member, at, face)| Provided::Plate { member, at, face }),
        (label(), of(label()), length()).prop_map(|(of, member, size)| Provided::Hole { of, member, size }),
        (label(), of(length())).prop_map(|(member, at)| Provided::Strap { member, at }),
        (label(), of(length()), of(label())).prop_map(|(on, at, to)| Provided::Hanger { on, at, to }),
        (label(), of(label()), of(height())).prop_map(|(at, wall, height)| Provided::Blocking {
            at,
            wall,
            height
        }),
        (label(), length()).prop_map(|(wall, along)| Provided::DoubledStud { wall, along }),
        label().prop_map(|at| Provided::Cleanout { at }),
        (label(), of(length())).prop_map(|(to, wide)| Provided::Access { to, wide }),
    ]
}

fn correction() -> impl Strategy<Value = Correction> {
    prop_oneof![
        label().prop_map(|from| Correction::Plumb { from }),
        (label(), height(), label(), length()).prop_map(|(from, at, toward, by)| Correction::Brace {
            from,
            at,
            toward,
            by
        }),
    ]
}

fn in_hand() -> impl Strategy<Value = InHand> {
    (label(), label(), length(), of(length()), of(words()))
        .prop_map(|(fit, port, laying, socket, note)| InHand { fit, port, laying, socket, note })
}

/// A change of a list of a known length; one place in four lies outside it.
fn change<T: Clone + std::fmt::Debug + 'static>(
    item: impl Strategy<Value = T> + 'static,
    len: usize,
) -> BoxedStrategy<Change<T>> {
    let at = 0..len + 1 + len.div_ceil(3);
    (at, item, 0..3)
        .prop_map(|(at, item, what)| match what {
            0 => Change::Insert { at, item: Box::new(item) },
            1 => Change::Remove { at },
            _ => Change::Replace { at, item: Box::new(item) },
        })
        .boxed()
}

/// An edit of a job: of the lists it has, now and then of a run it has not.
fn edit(job: &Job) -> BoxedStrategy<Edit> {
    let mut choices: Vec<BoxedStrategy<Edit>> = vec![
        change(branch(), job.branches.len()).prop_map(Edit::Branch).boxed(),
        change(fixture(), job.fixtures.len()).prop_map(Edit::Fixture).boxed(),
        change(provided(), job.provided.len()).prop_map(Edit::Provided).boxed(),
        change(in_hand(), job.in_hand.len()).prop_map(Edit::InHand).boxed(),
        change(amendment(), job.local.len()).prop_map(Edit::Local).boxed(),
        change(acceptance(), job.accepted.len()).prop_map(Edit::Accepted).boxed(),
        select(vec![Placement::Drawn, Placement::Found]).prop_map(Edit::CutOn).boxed(),
        named().prop_map(|other| Edit::House(Box::new(other.job.house))).boxed(),
        (label(), end()).prop_map(|(run, end)| Edit::End { run, end: Box::new(end) }).boxed(),
    ];
    let stacks: Vec<_> = job.stacks.clone();
    if !stacks.is_empty() {
        choices.push(change(select(stacks), job.stacks.len()).prop_map(Edit::Stack).boxed());
    }
    let runs = job
        .stacks
        .iter()
        .map(|s| (&s.name, s.up.len()))
        .chain(job.branches.iter().map(|b| (&b.name, b.along.len())));
    for (run, len) in runs {
        let (run, ended) = (run.clone(), run.clone());
        choices
            .push(change(fit(), len).prop_map(move |change| Edit::Fit { run: run.clone(), change }).boxed());
        choices.push(end().prop_map(move |end| Edit::End { run: ended.clone(), end: Box::new(end) }).boxed());
    }
    for stack in &job.stacks {
        let name = stack.name.clone();
        let made = move |change| Edit::Correction { stack: name.clone(), change };
        choices.push(change(correction(), stack.corrections.len()).prop_map(made).boxed());
    }
    proptest::strategy::Union::new(choices).boxed()
}

fn amendment() -> impl Strategy<Value = Amendment> {
    (label(), -1e3..1e3f64, words()).prop_map(|(figure, value, note)| Amendment { figure, value, note })
}

fn acceptance() -> impl Strategy<Value = Acceptance> {
    (label(), vec(label(), 0..3), words(), words(), words())
        .prop_map(|(rule, labels, what, who, when)| Acceptance { rule, labels, what, who, when })
}
