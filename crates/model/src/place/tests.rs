//! Placement held to what a plumber knows of pitch, lean, make-up and closure. Jobs are small and stand in the open:
//! one floor, one wall, one stack.

use super::*;
use crate::catalog::Catalog;
use crate::job::file::JobFile;
use crate::job::{Job, Placement};
use crate::label::Label;
use crate::units::Length;

/// A job round a stack and its branches, over a floor with a wall on each side of the origin.
fn job(stack: &str, branches: &str) -> Job {
    let text = format!(
        r#"Job(
            name: "test",
            house: House(
                floors: [Floor(name: "first", datum: true, build_up: [Layer(what: "oak", thick: "3/4")])],
                walls: [
                    Wall(name: "east", floor: "first", from: ("10' 0", "-10' 0"), to: ("10' 0", "10' 0"), bearing: false),
                    Wall(name: "north", floor: "first", from: ("10' 0", "10' 0"), to: ("-10' 0", "10' 0"), bearing: false),
                ],
            ),
            fixtures: [Fixture(name: "wc", kind: closet, floor: "first", at: ("4' 0", "0"))],
            stacks: [Stack(name: "S", base: IronHub(size: "3", at: ("0", "0"), rim: "4' 0 below first rough"), {stack})],
            branches: [{branches}],
        )"#
    );
    JobFile::read("test", &text).unwrap_or_else(|e| panic!("{e}")).job
}

#[track_caller]
fn placed(stack: &str, branches: &str) -> RoughIn {
    place(&job(stack, branches), Catalog::builtin()).unwrap_or_else(|f| panic!("{f:?}"))
}

#[track_caller]
fn faults(stack: &str, branches: &str) -> String {
    match place(&job(stack, branches), Catalog::builtin()) {
        Ok(_) => panic!("the job was placed"),
        Err(faults) => {
            faults.iter().map(|f| format!("{}: {}", f.path, f.message)).collect::<Vec<_>>().join("\n")
        }
    }
}

/// Strings to the east and the north; the gaps shrink by so much over 24 in of height.
fn lean(east: &str, north: &str) -> String {
    let string = |wall: &str, top: &str| {
        format!(
            r#"PlumbString(toward: "{wall}", gaps: [Gap(up: "0", gap: "3"), Gap(up: "24", gap: "{top}")])"#
        )
    };
    format!("lean: [{}, {}],", string("east", east), string("north", north))
}

const PLUMB: (&str, &str) = ("3", "3");

fn grade(rough_in: &RoughIn, placement: Placement, to: &str) -> f64 {
    let part = rough_in.parts.iter().find(|p| p.label == Label::new(to)).expect("the fitting was placed").id;
    let leg = rough_in.legs.iter().find(|l| l.high == Some(part)).expect("a leg leads to it");
    rough_in.grade(rough_in.placed(placement), leg.id).expect("it is no riser").to_per_foot()
}

fn arm(clock: &str) -> (String, String) {
    let stack = |lean: String| {
        format!(
            r#"{lean} up: [Fit(name: "T", fit: "3x3x2 sanitary tee", clock: "{clock}", height: "20 below first rough")]"#
        )
    };
    let branch = r#"Branch(name: "arm", from: "T", along: [Fit(name: "C", fit: "2 coupling", level: "4' 0")], end: Open)"#;
    (stack(String::new()), branch.to_owned())
}

#[test]
fn a_tee_on_a_plumb_stack_gives_a_quarter_inch_to_the_foot() {
    // ASTM D3311 drainage patterns carry 1/4 in per ft in the branch (secondary, trade teaching page).
    let (stack, branch) = arm("3");
    let rough_in = placed(&format!("{} {stack}", lean(PLUMB.0, PLUMB.1)), &branch);
    approx::assert_relative_eq!(grade(&rough_in, Placement::Drawn, "C"), 0.25, epsilon = 1e-12);
    approx::assert_relative_eq!(grade(&rough_in, Placement::Found, "C"), 0.25, epsilon = 1e-12);
    assert_eq!(
        rough_in.drawn.world_from_part, rough_in.found.world_from_part,
        "plumb: both placements are one"
    );
    assert!(rough_in.troubles.is_empty(), "{:?}", rough_in.troubles);
}

#[test]
fn a_lean_toward_the_branch_eats_its_grade_and_away_adds_to_it() {
    // Common practice: grade found = drawn - lean toward the branch. 1/4 in per ft of lean is 1/2 in over 24 in.
    let (stack, branch) = arm("3");
    for (east, north, expected) in [("2 1/2", "3", 0.0), ("3 1/2", "3", 0.5), ("3", "2 1/2", 0.25)] {
        let rough_in = placed(&format!("{} {stack}", lean(east, north)), &branch);
        let found = grade(&rough_in, Placement::Found, "C");
        // The sum on a stud is to first order; the turn itself differs from it by less than 1/2000 in per ft here.
        approx::assert_abs_diff_eq!(found, expected, epsilon = 5e-4);
        approx::assert_relative_eq!(grade(&rough_in, Placement::Drawn, "C"), 0.25, epsilon = 1e-12);
    }
}

#[test]
fn the_grade_found_carries_the_error_of_the_survey() {
    let (stack, branch) = arm("3");
    let rough_in = placed(&format!("{} {stack}", lean("2 3/4", "3")), &branch);
    let part = rough_in.parts.iter().find(|p| p.label == Label::new("C")).expect("placed").id;
    let leg = rough_in.legs.iter().find(|l| l.high == Some(part)).expect("a leg leads to it").id;
    // Two readings of 1/16 each over 24 in: sqrt(2)/16 over 2 ft.
    let expected = std::f64::consts::SQRT_2 / 16.0 / 2.0;
    approx::assert_relative_eq!(rough_in.grade_error(leg).to_per_foot(), expected, epsilon = 1e-3);
}

#[test]
fn a_joint_set_plumb_takes_the_lean_out_above_it_and_says_what_it_asks() {
    let (stack, branch) = arm("3");
    let correction = r#"corrections: [Plumb(from: "T")],"#;
    let rough_in = placed(&format!("{} {correction} {stack}", lean("2 1/2", "3")), &branch);
    approx::assert_relative_eq!(grade(&rough_in, Placement::Found, "C"), 0.25, epsilon = 1e-9);
    let turned = rough_in.joints.iter().map(|j| j.turned.to_degrees()).fold(0.0, f64::max);
    // Lean 1/4 in per ft is atan(0.25/12) = 1.19 degrees.
    approx::assert_relative_eq!(turned, 1.193_489, epsilon = 1e-5);
    // A compression gasket takes it (policy limit 3 degrees).
    assert!(rough_in.troubles.is_empty(), "{:?}", rough_in.troubles);
    let steep = placed(&format!("{} {correction} {stack}", lean("1", "3")), &branch);
    assert!(matches!(steep.troubles.as_slice(), [Trouble::Correction { .. }]), "{:?}", steep.troubles);
}

#[test]
fn a_brace_draws_the_stack_over_as_far_as_it_says() {
    let (stack, branch) = arm("3");
    // The joint is the hub's stop, 2-3/4 in below the rim at 48 in: 50-3/4 below. To the brace at the floor that is
    // 50-3/4 in; drawing it 50-3/4/48 in over takes out 1/4 in per ft.
    let brace = r#"corrections: [Brace(from: "T", at: "0 off first rough", toward: "east", by: "-1.0573")],"#;
    let rough_in = placed(&format!("{} {brace} {stack}", lean("2 1/2", "3")), &branch);
    approx::assert_abs_diff_eq!(grade(&rough_in, Placement::Found, "C"), 0.25, epsilon = 1e-3);
}

#[test]
fn cuts_are_solved_on_the_placement_the_job_names() {
    let (stack, branch) = arm("3");
    let mut job = job(&format!("{} {stack}", lean("2 1/2", "3")), &branch);
    job.cut_on = Placement::Found;
    let rough_in = place(&job, Catalog::builtin()).unwrap_or_else(|f| panic!("{f:?}"));
    let tee = rough_in.parts.iter().find(|p| p.label == Label::new("T")).expect("placed").id;
    approx::assert_relative_eq!(rough_in.found.origin(tee).z, -20.0, epsilon = 1e-9);
    assert!(rough_in.drawn.origin(tee).z > -20.0, "stood plumb, the same cut reaches higher");
}

#[test]
fn hubs_pushed_together_get_a_make_up_piece_of_two_sockets() {
    // Textbook (Modern Plumbing, 2022, p. 339): a 3 in socket is 1-1/2 deep. Make-up piece: two of them.
    let rough_in = placed(
        r#"up: [Fit(name: "T", fit: "3x3x3 sanitary tee", height: "20 below first rough", clock: "3"), Fit(name: "U", fit: "3x3x3 sanitary tee", clock: "3")]"#,
        "",
    );
    let cuts: Vec<Length> = rough_in.parts.iter().filter_map(Part::cut).collect();
    assert_eq!(cuts[1], Length::inches(3.0));
}

#[test]
fn a_piece_shorter_than_its_sockets_is_told_with_by_how_much() {
    let rough_in = placed(
        r#"up: [Fit(name: "T", fit: "3x3x3 sanitary tee", height: "20 below first rough", clock: "3"), Fit(name: "U", fit: "3x3x3 sanitary tee", clock: "3", centre: "7")]"#,
        "",
    );
    // 7 - 2 - 3-1/16 = 1-15/16, of 3 needed.
    let short: Vec<(Length, Length)> = rough_in
        .troubles
        .iter()
        .filter_map(
            |t| if let Trouble::ShortPiece { cut, least, .. } = t { Some((*cut, *least)) } else { None },
        )
        .collect();
    assert_eq!(short, [(Length::inches(1.9375), Length::inches(3.0))]);
}

#[test]
fn a_target_beyond_what_a_joint_can_be_set_to_is_told() {
    let (stack, _) = arm("3");
    let branch = |grade: &str| {
        format!(
            r#"Branch(name: "arm", from: "T", grade: "{grade}", along: [Fit(name: "C", fit: "2 coupling", level: "4' 0")], end: Open)"#
        )
    };
    // A 2 in hub seats 0.9 degrees: 1/4 + 0.18 in per ft. 3/8 is within, 1/2 is not.
    let within = placed(&format!("{} {stack}", lean("3", "3")), &branch("3/8"));
    approx::assert_relative_eq!(grade(&within, Placement::Drawn, "C"), 0.375, epsilon = 1e-9);
    assert!(within.troubles.is_empty(), "{:?}", within.troubles);
    let beyond = placed(&format!("{} {stack}", lean("3", "3")), &branch("1/2"));
    assert!(matches!(beyond.troubles.as_slice(), [Trouble::Seat { .. }]), "{:?}", beyond.troubles);
    assert!(grade(&beyond, Placement::Drawn, "C") < 0.45, "the truth is what the joint gives");
}

#[test]
fn a_true_bend_is_rolled_until_the_next_leg_has_its_grade() {
    // Trade fact (common practice): turned flat, a true 45 keeps 70 percent of the grade; plumbers roll it up.
    let (stack, _) = arm("3");
    let branch = r#"Branch(name: "arm", from: "T", grade: "1/4", along: [
        Fit(name: "B", fit: "2 1/8 bend", level: "3' 0", clock: "3"),
        Fit(name: "C", fit: "2 coupling", level: "3' 0"),
    ], end: Open)"#;
    let rough_in = placed(&format!("{} {stack}", lean("3", "3")), branch);
    approx::assert_relative_eq!(grade(&rough_in, Placement::Drawn, "C"), 0.25, epsilon = 1e-9);
}

#[test]
fn a_corner_that_no_fitting_makes_is_told() {
    let stack = r#"up: [Fit(name: "T", fit: "3x3x2 sanitary tee", height: "20 below first rough")]"#;
    let branch = r#"Branch(name: "arm", from: "T", along: [
        Fit(name: "B", fit: "2 1/8 bend", to: ("4' 0", "0")),
        Fit(name: "C", fit: "2 coupling", to: ("4' 0", "4' 0")),
    ], end: Open)"#;
    let rough_in = placed(&format!("{} {stack}", lean("3", "3")), branch);
    let corners: Vec<(f64, f64)> = rough_in
        .troubles
        .iter()
        .filter_map(|t| {
            if let Trouble::Corner { needs, makes, .. } = t {
                Some((needs.to_degrees(), makes.to_degrees()))
            } else {
                None
            }
        })
        .collect();
    assert_eq!(corners.len(), 1, "{:?}", rough_in.troubles);
    approx::assert_abs_diff_eq!(corners[0].0, 90.0, epsilon = 1.0);
    approx::assert_abs_diff_eq!(corners[0].1, 45.0, epsilon = 1.0);
}

#[test]
fn a_closet_flange_sits_on_the_finished_floor_over_its_spot() {
    let stack = r#"up: [Fit(name: "T", fit: "3x3x3 sanitary tee", height: "20 below first rough")]"#;
    let branch = r#"Branch(name: "arm", from: "T", along: [
        Fit(name: "B", fit: "3 1/4 bend", to: Under(fixture: "wc")),
        Fit(name: "F", fit: "3 closet flange"),
    ], end: Fixture(name: "wc"))"#;
    let rough_in = placed(&format!("{} {stack}", lean("2 1/2", "3")), branch);
    let [landing] = rough_in.drawn.landings.as_slice() else { panic!("one landing") };
    assert!(landing.misfit().to_inches() < 1e-9, "{landing:?}");
    assert_eq!(landing.at.z, 0.75);
    // Found: the stack leans east by 1/4 in per ft, so the arm sinks at its far end and its riser leaves plumb.
    let [found] = rough_in.found.landings.as_slice() else { panic!("one landing") };
    assert!(found.misfit().to_inches() > 0.75, "{found:?}");
    approx::assert_relative_eq!(found.axis.z, (0.25_f64 / 12.0).atan().cos(), epsilon = 1e-9);
}

#[test]
fn a_fitting_measured_in_the_hand_replaces_the_catalog() {
    let (stack, branch) = arm("3");
    let plain = placed(&format!("{} {stack}", lean("3", "3")), &branch);
    let mut job = job(&format!("{} {stack}", lean("3", "3")), &branch);
    let measured = r#"InHand(fit: "3x3x2 sanitary tee", port: "down", laying: "2 1/2")"#;
    job.in_hand.push(crate::document::read_text("in hand", measured).expect("it reads"));
    let changed = place(&job, Catalog::builtin()).unwrap_or_else(|f| panic!("{f:?}"));
    let cut = |r: &RoughIn| r.parts.iter().find_map(Part::cut).expect("a piece").to_inches();
    approx::assert_relative_eq!(cut(&plain) - cut(&changed), 2.5 - 2.3125, epsilon = 1e-12);
}

#[test]
fn faults_name_what_was_read_and_what_is_known() {
    let stack = r#"up: [Fit(name: "T", fit: "3x3x2 sanitary tea", height: "20 below first rough")]"#;
    assert!(faults(stack, "").contains("stacks[0].up[0].fit"), "{}", faults(stack, ""));
    let (stack, _) = arm("3");
    let unknown = r#"Branch(name: "arm", from: "TT", along: [], end: Open)"#;
    assert!(
        faults(&stack, unknown).contains("there is no fitting TT; known: T"),
        "{}",
        faults(&stack, unknown)
    );
    let wrong_size = r#"Branch(name: "arm", from: "T", along: [Fit(name: "C", fit: "3 coupling", level: "9")], end: Open)"#;
    assert!(
        faults(&stack, wrong_size).contains("a reducer or bushing is needed"),
        "{}",
        faults(&stack, wrong_size)
    );
    let twice = r#"Branch(name: "arm", from: "T", along: [Fit(name: "C", fit: "2 coupling", level: "2' 0", cut: "9")], end: Open)"#;
    assert!(
        faults(&stack, twice).contains("level and cut; one of them is enough"),
        "{}",
        faults(&stack, twice)
    );
    let way = r#"Branch(name: "arm", from: "T", along: [Fit(name: "C", fit: "2 coupling", to: ("-4' 0", "0"))], end: Open)"#;
    assert!(faults(&stack, way).contains("leave one of them out"), "{}", faults(&stack, way));
}

#[test]
fn a_vent_tied_back_leaves_its_closure_misfit_in_each_placement() {
    let stack = |tie: &str| {
        format!(
            r#"{} up: [
            Fit(name: "T", fit: "3x3x2 sanitary tee", height: "20 below first rough", clock: "3"),
            Fit(name: "V", fit: "3x3x2 sanitary tee", height: "{tie}", clock: "3", enter: "up", leave: "down"),
        ]"#,
            lean("2 1/2", "3"),
        )
    };
    let branch = r#"Branch(name: "vent", from: "T", system: vent, along: [
        Fit(name: "B", fit: "2 vent ell", level: "2' 0", clock: "12"),
        Fit(name: "C", fit: "2 vent ell", height: "3' 0 off first rough"),
    ], end: Tie(to: "V.branch"))"#;
    let fits = placed(&stack("3' 0 off first rough"), branch);
    let [drawn] = fits.drawn.closures.as_slice() else { panic!("one closure") };
    assert!(drawn.gap.to_inches() < 0.5, "{drawn:?}");
    let [found] = fits.found.closures.as_slice() else { panic!("one closure") };
    // The whole assembly leans as one: what closes on the bench closes in the wall.
    approx::assert_relative_eq!(found.gap.to_inches(), drawn.gap.to_inches(), epsilon = 1e-9);
    let off = placed(&stack("3' 8 off first rough"), branch);
    assert!(off.drawn.closures[0].gap.to_inches() > 6.0, "{:?}", off.drawn.closures);
}

#[test]
fn a_part_is_a_drain_where_waste_passes_and_a_vent_above() {
    use crate::job::pipes::System;
    let stack = r#"up: [
        Fit(name: "T", fit: "3x3x3 sanitary tee", height: "20 below first rough"),
        Fit(name: "C", fit: "3 coupling", height: "4' 0 off first rough"),
    ]"#;
    let branch = r#"Branch(name: "arm", from: "T", along: [
        Fit(name: "B", fit: "3 1/4 bend", to: Under(fixture: "wc")),
        Fit(name: "F", fit: "3 closet flange"),
    ], end: Fixture(name: "wc"))"#;
    let mut job = job(&format!("{} {stack}", lean("3", "3")), branch);
    let system = |job: &Job, name: &str| {
        let rough_in = place(job, Catalog::builtin()).unwrap_or_else(|f| panic!("{f:?}"));
        let part = rough_in.parts.iter().find(|p| p.label == Label::new(name)).expect("placed").id;
        rough_in.system(part)
    };
    assert_eq!(system(&job, "B"), System::Drain);
    assert_eq!(system(&job, "T"), System::Drain);
    assert_eq!(system(&job, "C"), System::Vent);
    job.stacks[0].system = Some(System::Cold);
    assert_eq!(system(&job, "B"), System::Cold, "a branch of a water line is one");
}

#[test]
fn what_is_provided_must_name_what_is_there() {
    let (stack, branch) = arm("3");
    let mut job = job(&format!("{} {stack}", lean("3", "3")), &branch);
    let provide = |text: &str| crate::document::read_text("provided", text).expect("it reads");
    job.provided = vec![
        provide(r#"Plate(member: "north stud 3")"#),
        provide(r#"Plate(member: "north stud 99")"#),
        provide(r#"Hole(of: "armm", size: "2 3/8")"#),
    ];
    let faults = place(&job, Catalog::builtin()).expect_err("two names are unknown");
    let told: Vec<(&str, Option<&str>)> =
        faults.iter().map(|f| (f.path.as_str(), f.help.as_deref())).collect();
    assert_eq!(told.len(), 2, "{faults:?}");
    assert_eq!(told[0].0, "provided[1].member");
    assert_eq!(told[1], ("provided[2].of", Some("did you mean `arm`?")));
}
