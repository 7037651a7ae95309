//! The frame held to common practice and to what must always hold.

mod always;
mod practice;
mod roof_and_floor;
mod troubles;

use super::frame::Framed;
use super::house::House;
use super::member::{Member, MemberKind};
use super::trouble::FrameTrouble;
use crate::document::{Document, print, read_text};

/// Reads a house as a user types it; it must print and read back to the same.
#[track_caller]
fn house(text: &str) -> House {
    let house: House = read_text("house.ron", text).unwrap_or_else(|faults| panic!("{faults}"));
    let printed = print(&house.write());
    assert_eq!(read_text::<House>("printed.ron", &printed).as_ref(), Ok(&house), "{printed}");
    house
}

/// A house of one floor with one wall of these fields, 12 ft long along +x with the room above it on the plan.
fn wall_house(fields: &str) -> House {
    let wall = format!("(name: north, floor: first, from: (0, 0), to: (\"12'\", 0), {fields})");
    house(&format!("(floors: [(name: first, datum: true)], walls: [{wall}])"))
}

/// Frames a house without fault.
#[track_caller]
fn framed(house: &House) -> Framed {
    let (framed, troubles) = Framed::of(house);
    assert_eq!(troubles, []);
    framed
}

/// Frames a house and gives what was wrong.
fn troubles(house: &House) -> Vec<FrameTrouble> {
    Framed::of(house).1
}

/// The near edges of a kind of member along its wall, inches.
fn edges(framed: &Framed, kind: MemberKind) -> Vec<f64> {
    let along = |m: &Member| m.along.map_or(f64::NAN, |a| a.to_inches());
    framed.members.iter().filter(|m| m.kind == kind).map(along).collect()
}

/// The member of a label.
#[track_caller]
fn member<'f>(framed: &'f Framed, label: &str) -> &'f Member {
    let labels = || framed.members.iter().map(|m| m.label.as_str()).collect::<Vec<_>>().join(", ");
    framed.member(&crate::label::Label::new(label)).unwrap_or_else(|| panic!("no `{label}` in {}", labels()))
}
