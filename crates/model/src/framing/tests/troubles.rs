//! What a user gets wrong is told with the place, and the rest of the house stands.

use super::{house, troubles, wall_house};
use crate::framing::frame::Framed;
use crate::framing::member::MemberKind;

/// The one trouble of a house.
#[track_caller]
fn one(house: &super::House) -> String {
    let found = troubles(house);
    assert_eq!(found.len(), 1, "{found:#?}");
    found[0].to_string()
}

#[track_caller]
fn check(house: &super::House, path: &str, words: &[&str]) {
    let told = one(house);
    assert!(told.starts_with(&format!("{path}: ")), "{told}");
    for word in words {
        assert!(told.contains(word), "`{word}` is not in: {told}");
    }
}

#[test]
fn exactly_one_datum() {
    check(&house("(floors: [(name: first, rough: 0)])"), "house.floors", &["no floor is the datum"]);
    let two = house("(floors: [(name: first, datum: true), (name: second, datum: true)])");
    check(&two, "house.floors", &["2 floors"]);
    let missing = house("(floors: [(name: first, datum: true), (name: second)])");
    check(&missing, "house.floors[1].rough", &["second", "missing"]);
    let moved = house("(floors: [(name: first, datum: true, rough: 2)])");
    check(&moved, "house.floors[0].rough", &["can only be 0"]);
}

#[test]
fn names_that_stand_for_nothing() {
    let doc = house(
        "(floors: [(name: first, datum: true)],
          walls: [(name: north, floor: frist, from: (0, 0), to: (10, 0))])",
    );
    check(&doc, "house.walls[0].floor", &["no floor `frist`", "did you mean `first`?"]);
    let doc = house(
        "(floors: [(name: first, datum: true)],
          walls: [(name: north, floor: first, from: (0, 0), to: (90, 0))],
          windows: [(name: W1, wall: nort, along: 10, width: 20, sill: 30, head: 60)])",
    );
    check(&doc, "house.windows[0].wall", &["no wall `nort`", "did you mean `north`?"]);
    let doc = house("(floors: [(name: first, datum: true)], outside_grade: Some(\"20 below grond rough\"))");
    check(&doc, "house.outside_grade", &["no floor `grond`"]);
    let doc = house("(floors: [(name: first, datum: true), (name: first, rough: 100)])");
    check(&doc, "house.floors[1].name", &["a second floor"]);
}

#[test]
fn studs_where_none_can_be() {
    let doc = wall_house("studs: [0, 15, 16, 143]");
    let told: Vec<String> = troubles(&doc).iter().map(ToString::to_string).collect();
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(
        told[0].starts_with("house.walls[0].studs[2]: a stud at 16\" stands inside the one at 15\""),
        "{told:?}"
    );
    assert!(told[1].starts_with("house.walls[0].studs[3]") && told[1].contains("beyond the end"), "{told:?}");
    // The good ones stand all the same.
    let framed = Framed::of(&doc).0;
    assert_eq!(super::edges(&framed, MemberKind::Stud), [0.0, 15.0]);

    check(&wall_house("studs: [0, 16], doubled: [20]"), "house.walls[0].doubled[0]", &["no stud", "16\""]);
    check(&wall_house("spacing: 1"), "house.walls[0].spacing", &["1\"", "1 1/2\""]);
    check(&wall_house("height: 4"), "house.walls[0].height", &["more than nothing"]);
    check(&wall_house("thick: -1"), "house.walls[0].thick", &["-1\""]);
    check(&wall_house("top_plates: 4000000000"), "house.walls[0]", &["at most 10"]);
}

#[test]
fn openings_that_do_not_fit() {
    let with = |opening: &str| wall_house(&format!("openings: [(name: W1, {opening})]"));
    check(
        &with("from: 120, width: 30, head: 80"),
        "house.walls[0].openings[0]",
        &["`W1`", "12' 9\"", "12' 0\""],
    );
    check(&with("from: 20, width: 30, head: 95"), "house.walls[0].openings[0].head", &["7' 10 1/8\""]);
    check(&with("from: 20, width: 30, sill: 2, head: 80"), "house.walls[0].openings[0].sill", &["3\""]);
    check(
        &with("from: 20, width: 30, sill: 60, head: 50"),
        "house.walls[0].openings[0].head",
        &["head of `W1`", "4' 2\""],
    );
    check(
        &with("from: 20, width: 30, head: 80, header_depth: 20"),
        "house.walls[0].openings[0].header_depth",
        &["20\"", "14 1/8\""],
    );
    let two = wall_house(
        "openings: [(name: W1, from: 20, width: 30, head: 80), (name: W2, from: 50, width: 30, head: 80)]",
    );
    check(&two, "house.walls[0].openings[1]", &["`W2`", "`W1`"]);
    let measured =
        wall_house("studs: [0, \"30 3/4\", 60], openings: [(name: W1, from: 32, width: 20, head: 80)]");
    check(&measured, "house.walls[0].studs", &["2' 6 3/4\"", "2' 6 1/2\"", "`kings` and `jacks`"]);
}

/// Without a king or jack there, a measured stud may not stand half in the clear opening.
#[test]
fn a_stud_half_in_an_opening() {
    let with = |stud: &str| {
        wall_house(&format!(
            "studs: [0, {stud}, 100], openings: [(name: W1, from: 32, width: 20, head: 80, kings: 0, jacks: 0)]"
        ))
    };
    check(&with("31"), "house.walls[0].studs", &["2' 7\"", "`W1`"]);
    assert_eq!(troubles(&with("30.5")), []);
    assert_eq!(troubles(&with("40")), []);
}

#[test]
fn joists_without_what_they_need() {
    let floor = |fields: &str| house(&format!("(floors: [(name: first, datum: true, {fields})])"));
    check(&floor("joists: Some((size: \"2x8\", runs: x))"), "house.floors[0].outline", &["rectangle"]);
    let outlined = |joists: &str| floor(&format!("outline: ((0, 0), (90, 90)), joists: Some(({joists}))"));
    check(&outlined("runs: x"), "house.floors[0].joists", &["`size` or `depth`"]);
    check(&outlined("runs: x, size: \"2x7\""), "house.floors[0].joists.size", &["2x7", "2x8"]);
    check(&outlined("runs: x, kind: i_joist, size: \"2x8\""), "house.floors[0].joists", &["`depth`"]);
    check(
        &outlined("runs: x, size: \"2x8\", edges: [0, 95]"),
        "house.floors[0].joists.edges[1]",
        &["beyond the end"],
    );
    check(
        &floor("build_up: [(what: tile, thick: -1)]"),
        "house.floors[0].build_up[0].thick",
        &["tile", "-1\""],
    );
    check(
        &floor("outline: ((0, 0), (90, 90)), openings: [(name: stair, from: (80, 10), to: (100, 30))]"),
        "house.floors[0].openings[0]",
        &["stair"],
    );
}

#[test]
fn a_keep_out_has_one_place() {
    let doc = house("(floors: [(name: first, datum: true)], keep_outs: [(name: duct, kind: duct)])");
    check(&doc, "house.keep_outs[0]", &["either `from` and `size`, or `in_wall`"]);
}
