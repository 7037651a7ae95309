//! What can be typed behind `truefall`.

use clap::{Args as Arguments, Parser, Subcommand, ValueEnum};
use std::num::NonZeroUsize;
use std::path::PathBuf;
use truefall_model::job::Placement as Placed;
use truefall_model::units::Length;

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
    /// Ask for a survey question by question, and write the job it makes
    New(New),
    /// Tell what a rule checks, why and on whose word; without a rule, list them all
    Explain(Explain),
    /// Print every figure of a code profile with its section and how far it can be trusted; without one, list them all
    Codes(Codes),
    /// Make everything that is handed over: pages for phone and paper, drawings, lists
    Packet(Packet),
    /// List every piece of pipe to cut, in the order of assembly, and which length it is cut from
    Cuts(Cuts),
    /// List every hole to drill, per floor and per member, in the order to drill
    Holes(Holes),
    /// List what to buy, and from your own prices what it comes to and what would do the same for less
    Buy(Buy),
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

/// `truefall cuts`.
#[derive(Debug, Arguments)]
pub struct Cuts {
    /// The job file
    pub file: PathBuf,
    /// How to print
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// A folder of catalog files (*.ron) whose entries replace or add to the built-in ones
    #[arg(long, value_name = "DIR")]
    pub catalog: Option<PathBuf>,
    #[command(flatten)]
    pub stock: Stock,
}

/// How pipe is sold and sawn.
#[derive(Debug, Arguments)]
pub struct Stock {
    /// A length pipe is sold in; may be given more than once
    #[arg(long = "stock", value_name = "LENGTH", value_parser = length, default_values = ["10' 0", "20' 0"])]
    pub lengths: Vec<Length>,
    /// What the saw takes away at each cut
    #[arg(long, value_name = "LENGTH", value_parser = length, default_value = "1/8")]
    pub kerf: Length,
    /// The shortest offcut worth keeping
    #[arg(long, value_name = "LENGTH", value_parser = length, default_value = "12")]
    pub keep: Length,
}

/// `truefall holes`.
#[derive(Debug, Arguments)]
pub struct Holes {
    /// The job file
    pub file: PathBuf,
    /// How to print
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// A folder of catalog files (*.ron) whose entries replace or add to the built-in ones
    #[arg(long, value_name = "DIR")]
    pub catalog: Option<PathBuf>,
}

/// `truefall buy`.
#[derive(Debug, Arguments)]
pub struct Buy {
    /// The job file
    pub file: PathBuf,
    /// Your prices (item, material, unit, price; a file called *.ron in the notation of a job, any other comma-separated);
    /// without it only what is needed is listed
    #[arg(long, value_name = "FILE")]
    pub prices: Option<PathBuf>,
    /// Print a price file to fill in, with all that the job and its alternatives take; prices given are kept in it
    #[arg(long, value_enum, value_name = "FORM", num_args = 0..=1, default_missing_value = "csv")]
    pub template: Option<TemplateForm>,
    /// Write what costs less into the job; the file as it was is kept beside it
    #[arg(long, requires = "prices", conflicts_with = "template")]
    pub apply: bool,
    /// How to print
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// A folder of catalog files (*.ron) whose entries replace or add to the built-in ones
    #[arg(long, value_name = "DIR")]
    pub catalog: Option<PathBuf>,
    #[command(flatten)]
    pub stock: Stock,
}

/// How a price file is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum TemplateForm {
    /// Comma-separated
    Csv,
    /// The notation of a job
    Ron,
}

/// `truefall plan`.
#[derive(Debug, Subcommand)]
pub enum Plan {
    /// Solve the heights of a stack's fittings, so that every branch arrives where its fixture wants it
    Heights(Heights),
    /// Tell what the lean of each stack does, and what can be done about it
    Lean(Lean),
    /// Find a fixture's way to its stack past studs, joists and pipes, cheapest first
    Route(Route),
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
    /// Let street forms of tees stand in for plain ones where that saves a joint; their lengths are from memory
    #[arg(long)]
    pub street: bool,
    /// Your prices, as for `buy`: of plans with as few joints the cheapest is taken
    #[arg(long, value_name = "FILE")]
    pub prices: Option<PathBuf>,
    /// Write the plan into the job file; the file as it was is kept beside it
    #[arg(long)]
    pub apply: bool,
    /// Print lengths to 1/8 in; 1/16 without it (text only)
    #[arg(long)]
    pub eighths: bool,
}

/// `truefall plan lean`.
#[derive(Debug, Arguments)]
pub struct Lean {
    /// The job file
    pub file: PathBuf,
    /// How to report
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// A folder of catalog files (*.ron) whose entries replace or add to the built-in ones
    #[arg(long, value_name = "DIR")]
    pub catalog: Option<PathBuf>,
    /// The number of the remedy that `--apply` writes; the first without it
    #[arg(long, value_name = "N")]
    pub take: Option<usize>,
    /// Write the remedy into the job; the old file is kept beside it
    #[arg(long)]
    pub apply: bool,
}

/// `truefall plan route`.
#[derive(Debug, Arguments)]
pub struct Route {
    /// The job file
    pub file: PathBuf,
    /// The fixture, by its name
    pub fixture: String,
    /// How many routes
    #[arg(long, default_value = "3")]
    pub k: NonZeroUsize,
    /// A stack, a fitting or a port it must start from
    #[arg(long, value_name = "NAME")]
    pub to: Option<String>,
    /// Your prices, as for `buy`: what parts cost counts with the points
    #[arg(long, value_name = "FILE")]
    pub prices: Option<PathBuf>,
    /// Also tell what stops the ways that would be cheapest
    #[arg(long)]
    pub why_not: bool,
    /// Write a route into the job file, the first one without a number; the old file is kept beside it
    #[arg(long, value_name = "NUMBER", num_args = 0..=1, default_missing_value = "1")]
    pub apply: Option<NonZeroUsize>,
    /// How to report
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// A folder of catalog files (*.ron) whose entries replace or add to the built-in ones
    #[arg(long, value_name = "DIR")]
    pub catalog: Option<PathBuf>,
}

/// A length that pipe or saw can have.
fn length(text: &str) -> Result<Length, String> {
    let read = Length::parse(text).map_err(|why| why.to_string())?;
    if read < Length::ZERO { Err("a length here is not below zero".to_owned()) } else { Ok(read) }
}

/// `truefall new`.
#[derive(Debug, Arguments)]
pub struct New {
    /// The job file that is to be written
    pub file: Option<PathBuf>,
    /// Read the answers from a file instead of asking
    #[arg(long, value_name = "FILE")]
    pub answers: Option<PathBuf>,
    /// Print a file of answers to be filled in by hand
    #[arg(long)]
    pub blank: bool,
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
    /// Your prices, as for `buy`: what parts cost counts with the points
    #[arg(long, value_name = "FILE")]
    pub prices: Option<PathBuf>,
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

/// `truefall packet`.
#[derive(Debug, Arguments)]
pub struct Packet {
    /// The job file
    pub file: PathBuf,
    /// The folder to make; one that is a packet already is replaced whole, any other that holds files is refused
    #[arg(short, long, value_name = "DIR")]
    pub output: PathBuf,
    /// A folder of catalog files (*.ron) whose entries replace or add to the built-in ones
    #[arg(long, value_name = "DIR")]
    pub catalog: Option<PathBuf>,
    /// A folder of pictures (PNG, JPEG) named after their walls, such as wall-bath-wall.jpg
    #[arg(long, value_name = "DIR")]
    pub pictures: Option<PathBuf>,
    /// Millimetres beside inches
    #[arg(long)]
    pub metric: bool,
    /// Try what would mend each finding on a copy of the job, for findings.json
    #[arg(long)]
    pub fixes: bool,
    /// Lengths to 1/8 in; 1/16 without it
    #[arg(long)]
    pub eighths: bool,
    /// How pipe is sold and sawn
    #[command(flatten)]
    pub stock: Stock,
}
