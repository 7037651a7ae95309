//! Wood that is cut or in the way.

pub mod clash_with_wood;
pub mod joist_bore_too_large;
pub mod joist_bore_too_near_edge;
pub mod joist_cuts_too_close;
pub mod joist_engineered_cut;
pub mod joist_notch_in_middle_third;
pub mod joist_notch_on_tension_side;
pub mod joist_notch_too_deep;
pub mod joist_notch_too_long;
pub mod piece_longer_than_bay;
pub mod post_or_brace_cut;
pub mod shield_plate_missing;
pub mod stated_hole_too_small;
pub mod stud_bore_too_large;
pub mod stud_bore_too_near_edge;
pub mod stud_doubles_bored_in_a_row;
pub mod stud_hole_beside_notch;
pub mod stud_notch_too_deep;
pub mod top_plate_cut;
