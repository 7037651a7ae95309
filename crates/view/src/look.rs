//! How the scene is looked at: what covers it, what is shown, what is clipped.

use bevy::prelude::Resource;
use truefall_model::job::Placement;

/// How the scene is looked at.
#[derive(Resource, Debug, Clone, PartialEq)]
pub(crate) struct Look {
    /// 0 open framing, 1 board, 2 tile and floors, 3 finished with fixtures and roof.
    pub(crate) cover: f32,
    /// Pipes stay visible through closed walls.
    pub(crate) through: bool,
    /// The placement shown.
    pub(crate) placement: Placement,
    /// How much a lean is exaggerated, 1 is as it is.
    pub(crate) exaggeration: f32,
    /// Plumb strings, both placements together and the grades beside the branches.
    pub(crate) lean: bool,
    /// Picks measure instead of naming.
    pub(crate) measuring: bool,
    /// Only this floor, by its number.
    pub(crate) floor: Option<usize>,
    /// Only what is near this wall, by its number.
    pub(crate) wall: Option<usize>,
    /// Tags hang in the scene.
    pub(crate) tags: bool,
    /// The stop of the guided walk.
    pub(crate) stop: Option<usize>,
    /// The walk goes on by itself.
    pub(crate) playing: bool,
    /// One walks on one's own feet.
    pub(crate) walking: bool,
    /// Panels beside the scene; pictures have none.
    pub(crate) panels: bool,
    /// The sheet beside the scene, or below it where the window is narrow.
    pub(crate) sheet: bool,
}

impl Default for Look {
    fn default() -> Self {
        Self {
            cover: 0.0,
            through: true,
            placement: Placement::Found,
            exaggeration: 1.0,
            lean: false,
            measuring: false,
            floor: None,
            wall: None,
            tags: true,
            stop: None,
            playing: false,
            walking: false,
            panels: true,
            sheet: true,
        }
    }
}
