//! Which hole is drilled for what: the bit chart (common practice: 2-1/8 in for 1-1/2 pipe, 2-9/16 for 2, 3-5/8 for 3)
//! and what the job states. Also that the facts of a whole job have the bores one expects of it.

use truefall_check::bore::{Bit, Bore, Shape};
use truefall_check::facts::Facts;
use truefall_model::catalog::Catalog;
use truefall_model::document::read_text;
use truefall_model::framing::provided::Provided;
use truefall_model::job::file::JobFile;
use truefall_model::place::{RoughIn, place};
use truefall_model::units::Length;

/// A house with a 2x6 wall: a 3 in stack through its plates, a 1-1/2 arm through studs.
const JOB: &str = r#"Job(
  name: "a test",
  house: House(
    floors: [Floor(name: "first", datum: true)],
    walls: [Wall(name: "wet", floor: "first", from: ("0", "0"), to: ("12' 0", "0"), depth: "5 1/2", bearing: false,
      studs: ["0", "16", "32", "4' 0", "5' 4", "8' 0", "11' 10 1/2"])],
    roof: [RoofPlane(name: "lean-to", eave: (("-1' 0", "-2' 0"), ("13' 0", "-2' 0")), height: "8' 4 off first rough",
      pitch: "4 in per ft", run: "14' 0")],
  ),
  stacks: [Stack(
    name: "S1",
    base: IronHub(size: "3", at: ("7' 0", "-2 3/4"), rim: "12 below first rough"),
    up: [Fit(name: "T1", fit: "3x3x1-1/2 sanitary tee", height: "18 off first rough", clock: "9:00")],
    end: Roof(above: "12"),
  )],
  branches: [Branch(
    name: "arm",
    from: "T1",
    along: [Fit(name: "B1", fit: "1-1/2 1/4 bend", to: At(x: "3' 4", y: "-2 3/4"))],
    end: Open(),
  )],
)"#;

fn placed(provided: &[&str]) -> (RoughIn, Facts) {
    let text =
        JOB.replace("name: \"a test\",", &format!("name: \"a test\", provided: [{}],", provided.join(", ")));
    let job = JobFile::read("a test", &text).unwrap_or_else(|faults| panic!("{faults}")).job;
    let rough_in = place(&job, Catalog::builtin()).unwrap_or_else(|faults| panic!("{faults:?}"));
    let facts = Facts::of(&job, &rough_in, Catalog::builtin(), &rough_in.drawn);
    (rough_in, facts)
}

#[track_caller]
fn bore_in<'f>(rough_in: &RoughIn, facts: &'f Facts, member: &str) -> &'f Bore {
    let of: Vec<&Bore> = facts
        .bores
        .iter()
        .filter(|b| rough_in.framed.member_of(b.member).is_some_and(|m| m.label.as_str() == member))
        .collect();
    let [bore] = of[..] else { panic!("{member}: {of:?}") };
    bore
}

#[track_caller]
fn hole(provided: &[&str], member: &str) -> (f64, Bit, Option<f64>) {
    let (rough_in, facts) = placed(provided);
    let drilled = bore_in(&rough_in, &facts, member).drilled;
    (drilled.hole.to_inches(), drilled.bit, drilled.refused.map(Length::to_inches))
}

#[test]
fn the_customary_bit_where_nothing_is_stated() {
    assert_eq!(hole(&[], "wet stud 5"), (2.125, Bit::Customary, None));
    assert_eq!(hole(&[], "wet bottom plate 1"), (3.625, Bit::Customary, None));
    assert_eq!(hole(&[], "wet top plate 2"), (3.625, Bit::Customary, None));
}

#[test]
fn a_stated_hole_goes_before_it_and_one_for_the_member_before_one_for_the_run() {
    let arm = r#"Hole(of: "arm", size: "2")"#;
    assert_eq!(hole(&[arm], "wet stud 5"), (2.0, Bit::Stated, None));
    assert_eq!(hole(&[arm], "wet bottom plate 1"), (3.625, Bit::Customary, None), "another run");
    let here = r#"Hole(of: "arm", member: "wet stud 5", size: "2 1/4")"#;
    for order in [[arm, here], [here, arm]] {
        assert_eq!(hole(&order, "wet stud 5"), (2.25, Bit::Stated, None));
        assert_eq!(hole(&order, "wet stud 4"), (2.0, Bit::Stated, None));
    }
}

#[test]
fn a_stated_hole_too_small_is_refused() {
    let small = r#"Hole(of: "arm", size: "1 3/4")"#;
    assert_eq!(hole(&[small], "wet stud 5"), (2.125, Bit::Customary, Some(1.75)));
}

#[test]
fn a_hole_is_read_and_printed_back() {
    let text = r#"Hole(of: "arm", member: "wet stud 5", size: "2 1/4")"#;
    let item: Provided = read_text("a test", text).expect("a provided item");
    let again: Provided = read_text(
        "a test",
        &truefall_model::document::print(&truefall_model::document::Document::write(&item)),
    )
    .expect("as printed");
    assert_eq!(item, again);
}

// Along the wall each stud's hole climbs with the grade of 1/4 in per ft: 1/3 in from stud to stud at 16 in on centre.
#[test]
fn holes_climb_from_stud_to_stud() {
    let (rough_in, facts) = placed(&[]);
    assert!(facts.wood_clashes.is_empty(), "{:?}", facts.wood_clashes);
    let z = |member: &str| bore_in(&rough_in, &facts, member).centre.z;
    let step = z("wet stud 4") - z("wet stud 5");
    assert!((step - 1.0 / 3.0).abs() < 1e-3, "{step}");
    assert!(facts.bores.iter().all(|b| b.cut.shape == Shape::Hole && !b.aslant));
}

#[test]
fn the_two_top_plates_are_one_passage() {
    let (rough_in, facts) = placed(&[]);
    let through = |b: &&Bore| {
        rough_in.framed.member_of(b.member).is_some_and(|m| m.label.as_str().contains("top plate"))
    };
    assert_eq!(facts.bores.iter().filter(through).count(), 2);
    assert_eq!(facts.passages().into_iter().filter(through).count(), 1);
}
