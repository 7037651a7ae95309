//! Scenes for the acceptance tests: job files that say in their first lines what is expected of them.

pub mod expect;
pub mod scene;

pub use expect::Expected;
pub use scene::Scene;
