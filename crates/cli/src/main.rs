//! The binary `truefall`: reads arguments, asks for a result, shows it. It computes nothing.

mod args;
mod commands;
mod exit_status;
mod fault_report;
mod output;
mod progress;

use clap::Parser as _;
use std::process::ExitCode;

fn main() -> ExitCode {
    // Wrong arguments end the program in here, with the status of an unusable input.
    let args = args::Args::parse();
    let status = match &args.command {
        args::Command::Check(check) => commands::check::run(check),
        args::Command::New(new) => commands::new::run(new),
        args::Command::Explain(explain) => commands::explain::run(explain),
        args::Command::Codes(codes) => commands::codes::run(codes),
        args::Command::Packet(packet) => commands::packet::run(packet),
        args::Command::Cuts(cuts) => commands::cuts::run(cuts),
        args::Command::Holes(holes) => commands::holes::run(holes),
        args::Command::Buy(buy) => commands::buy::run(buy),
        args::Command::Plan(args::Plan::Heights(heights)) => commands::heights::run(heights),
        args::Command::Plan(args::Plan::Lean(lean)) => commands::lean::run(lean),
        args::Command::Plan(args::Plan::Route(route)) => commands::route::run(route),
        args::Command::Plan(args::Plan::Vents(vents)) => commands::vents::run(vents),
    };
    status.into()
}
