//! The viewer: the house, its faults and the walk, before the walls close.
//!
//! It shows what `packet` takes a job to, and computes nothing about it. A job is `loaded`; `draw` puts it into the
//! scene; `camera`, `picking` and `walk` move about in it; `panels` show and ask, each a plain function that
//! returns an `action`; `shots` and `bench` do without a window.

#![expect(
    elided_lifetimes_in_paths,
    reason = "every system would bear marks on `Res`, `Query` and `Commands` that say nothing"
)]

mod action;
mod args;
mod bench;
mod camera;
mod coords;
mod dimension;
mod draw;
mod hold;
mod loaded;
mod look;
mod measure;
mod offscreen;
mod overlay;
mod panels;
mod picking;
mod ray;
mod selection;
mod shots;
mod start;
mod theme;
mod walk;
mod watch;

#[cfg(test)]
mod pictures;

pub use args::Args;
pub use start::run;
