//! What to pencil on a member, short enough for a stud.

use super::member::{Datum, MemberHole};
use truefall_check::bore::Shape;

/// Bit, place and what goes through: `2 1/8" hole, centre 17 1/4" off first rough, lav arm`.
pub fn line(hole: &MemberHole) -> String {
    let place = match &hole.datum {
        Datum::Floor(floor) => format!("{} off {floor} rough", hole.at),
        Datum::Wall(wall) => format!("{} along {wall}", hole.at),
        Datum::End => format!("{} from its first end", hole.at),
    };
    let across = format!("{} up from its {}", hole.across, hole.sides[0]);
    let across = across.replace("up from its back", "off its back");
    let cut = match hole.shape {
        Shape::Hole => "",
        Shape::Notch { .. } => ", opens into a notch",
        Shape::Severed => ", CUTS IT THROUGH",
    };
    let plates: Vec<&str> = hole.plates.iter().map(|p| p.side).collect();
    let plates = match plates.as_slice() {
        [] => String::new(),
        sides => format!(", plate {}", sides.join(" + ")),
    };
    let strap = if hole.strap.is_some() { ", strap" } else { "" };
    format!("{} hole, centre {place}, {across}{cut}: {}{plates}{strap}", hole.hole, hole.run)
}
