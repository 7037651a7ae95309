//! A bar on stderr for what takes longer than one cares to look at nothing.

use indicatif::{ProgressBar, ProgressStyle};
use std::time::{Duration, Instant};

/// How long nothing is shown.
const PATIENCE: Duration = Duration::from_millis(500);

/// What is under way. The bar comes after half a second, on a terminal only, and goes with it.
pub struct Progress {
    what: &'static str,
    start: Instant,
    bar: Option<ProgressBar>,
}

impl Progress {
    /// Begins; nothing is shown yet.
    pub fn new(what: &'static str) -> Self {
        Self { what, start: Instant::now(), bar: None }
    }

    /// So many of how many are done.
    pub fn at(&mut self, done: usize, all: usize) {
        if self.bar.is_none() && self.start.elapsed() >= PATIENCE {
            let bar = ProgressBar::new(all as u64);
            if let Ok(style) = ProgressStyle::with_template("{msg}  {wide_bar}  {pos} of {len}") {
                bar.set_style(style);
            }
            bar.set_message(self.what);
            self.bar = Some(bar);
        }
        if let Some(bar) = &self.bar {
            bar.set_position(done as u64);
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}
