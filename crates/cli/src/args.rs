//! What can be typed behind `truefall`.

use clap::{Args as Arguments, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;
use truefall_model::job::Placement as Placed;

/// Checks a drain, waste and vent rough-in before anything is drilled or glued.
///
/// Exit status: 0 nothing red, 1 red tags, 2 unusable input.
#[derive(Debug, Parser)]
#[command(name = "truefall", version)]
pub struct Args {
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Place a job, hold it to the code and to the wood, and report
    Check(Check),
    /// Tell what a rule checks, why and on whose word; without a rule, list them all
    Explain(Explain),
    /// Print every figure of a code profile with its section and how far it can be trusted; without one, list them all
    Codes(Codes),
    /// Say how: solve what the check can only judge, and show the changes of the job that do it
    #[command(subcommand)]
    Plan(Plan),
}

/// `truefall check`.
#[derive(Debug, Arguments)]
pub struct Check {
    /// The job file
    pub file: PathBuf,
    /// How to report
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// Which placement to look at: bases plumb, bases as surveyed, or both
    #[arg(long, value_enum, default_value_t = Placement::Both)]
    pub placement: Placement,
    /// A folder of catalog files (*.ron) whose entries replace or add to the built-in ones
    #[arg(long, value_name = "DIR")]
    pub catalog: Option<PathBuf>,
    /// Tell on stderr how long each step took
    #[arg(long)]
    pub timings: bool,
    /// Tell what passes too, and how far it is from failing
    #[arg(long)]
    pub all: bool,
    /// Try what would mend each finding on a copy of the job, and show what does
    #[arg(long)]
    pub fixes: bool,
    /// Print lengths to 1/8 in; 1/16 without it (text only)
    #[arg(long)]
    pub eighths: bool,
}

/// `truefall explain`.
#[derive(Debug, Arguments)]
pub struct Explain {
    /// The rule, as a finding names it
    pub rule: Option<String>,
}

/// `truefall codes`.
#[derive(Debug, Arguments)]
pub struct Codes {
    /// The profile, as a job names it under `code`
    pub profile: Option<String>,
}

/// `truefall plan`.
#[derive(Debug, Subcommand)]
pub enum Plan {
    /// Solve the heights of a stack's fittings, so that every branch arrives where its fixture wants it
    Heights(Heights),
    /// Find the cheapest lawful vent for every trap that has none
    Vents(Vents),
}

/// `truefall plan heights`.
#[derive(Debug, Arguments)]
pub struct Heights {
    /// The job file
    pub file: PathBuf,
    /// How to report
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// A folder of catalog files (*.ron) whose entries replace or add to the built-in ones
    #[arg(long, value_name = "DIR")]
    pub catalog: Option<PathBuf>,
}

/// `truefall plan vents`.
#[derive(Debug, Arguments)]
pub struct Vents {
    /// The job file
    pub file: PathBuf,
    /// How many ways to tell for each trap
    #[arg(long, default_value_t = 3, value_parser = clap::builder::RangedU64ValueParser::<usize>::new().range(1..=50))]
    pub k: usize,
    /// Tell what stopped the other ways
    #[arg(long)]
    pub why_not: bool,
    /// Write the cheapest combination into the job; the old file is kept beside it
    #[arg(long)]
    pub apply: bool,
    /// How to report
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// A folder of catalog files (*.ron) whose entries replace or add to the built-in ones
    #[arg(long, value_name = "DIR")]
    pub catalog: Option<PathBuf>,
}

/// How to report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people
    Text,
    /// For programs; see docs/report.md
    Json,
}

/// Which placement to look at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Placement {
    /// Bases plumb, as on paper
    Drawn,
    /// Bases as the survey found them
    Found,
    /// One after the other
    Both,
}

impl Placement {
    /// The placements it stands for, in the order they are told.
    pub fn placements(self) -> &'static [Placed] {
        match self {
            Self::Drawn => &[Placed::Drawn],
            Self::Found => &[Placed::Found],
            Self::Both => &[Placed::Drawn, Placed::Found],
        }
    }
}
