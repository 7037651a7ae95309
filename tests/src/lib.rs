//! Shared readers of scenes for the acceptance tests.
