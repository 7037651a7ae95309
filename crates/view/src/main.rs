//! The binary `truefall-view`: reads arguments and hands over.

use clap::Parser as _;
use std::process::ExitCode;

fn main() -> ExitCode {
    truefall_view::run(&truefall_view::Args::parse())
}
