//! The joints in the order they are made.

use truefall_model::catalog::joint::JointKind;
use truefall_model::catalog::material::Material;
use truefall_model::label::Label;
use truefall_model::place::JointId;
use truefall_model::units::NominalSize;

/// One joint and its match mark.
#[derive(Debug, Clone, PartialEq)]
pub struct JointMark {
    /// The joint.
    pub joint: JointId,
    /// The stack or branch it is made in.
    pub run: Label,
    /// How it is made.
    pub kind: JointKind,
    /// Material of the far part.
    pub material: Material,
    /// Nominal size.
    pub size: NominalSize,
    /// The part towards the base.
    pub low: Label,
    /// The part away from it.
    pub high: Label,
    /// The mark across it, such as `7a`; of two fittings in each other `J` and a number.
    pub mark: String,
    /// It closes a tie: made last, when both sides stand.
    pub closing: bool,
}
