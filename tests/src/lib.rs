//! Scenes for the acceptance tests: job files that say in their first lines what is expected of them; and whole jobs moved.

pub mod expect;
pub mod motion;
pub mod networks;
pub mod scene;

pub use expect::Expected;
pub use motion::{Motion, Moved, plumbed};
pub use scene::Scene;
