//! The command line: one file a command. A command translates, calls and prints; it decides nothing.
//!
//! Exit codes: 0 fine, 1 problems found in the data, 2 misuse or a file that cannot be opened.

mod ask;
mod check;
mod choices;
mod compare;
mod load;
mod options;
mod packs;
mod page;
mod rank;
mod reduce;
mod runs;
mod serve;
mod text;

use crate::problem::Problem;
use clap::{CommandFactory, Parser, Subcommand};
use std::io::Write;
use std::process::ExitCode;

#[derive(Debug, Parser)]
#[command(name = "jobtorque", version, about, max_term_width = 100)]
#[command(
    long_about = "Measured torque curves of cordless impact wrenches become an honest answer: this tool, this pack, \
    this job: within reach or not, how fast, how sure.\n\nWithout a command the site is built and served on this machine."
)]
struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Build what is missing and serve the site on this machine alone
    Serve(serve::Serve),
    /// Write the site: one self-contained page, the element's files for embedding, the dataset
    Page(page::Page),
    /// Answer one question
    Ask(ask::Ask),
    /// Rank a whole field
    Rank(rank::Rank),
    /// Set two pairs side by side
    Compare(compare::Compare),
    /// Hold the packs on one tool against each other
    Packs(packs::Packs),
    /// Say which pairs reach a job, and which of them no other beats
    Choices(choices::Choices),
    /// Show the runs behind a pair, and its place in each edition
    Runs(runs::Runs),
    /// List every problem in a dataset
    Check(check::Check),
    /// Reduce one run from one log
    Reduce(reduce::Reduce),
    /// Print the JSON Schema of the dataset format
    Schema,
    /// Print a script that completes commands in a shell
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
}

/// Why a command ends without its result.
#[derive(Debug)]
enum Failure {
    /// Problems in the data, to be printed as they stand.
    Data(Vec<String>),
    /// Misuse, or a file that cannot be opened.
    Misuse(String),
    /// Whoever reads the output has had enough.
    Closed,
}

impl From<Problem> for Failure {
    /// A problem of a question is misuse.
    fn from(problem: Problem) -> Self {
        let option = match problem.pointer.as_str() {
            "/within_s" => "--within",
            "/loss_percent" => "--loss",
            "/beside" => "--with-tool, --with-pack",
            "/narrow/longest_mm" => "--longest",
            "/narrow/heaviest_kg" => "--heaviest",
            "/narrow/dearest" => "--dearest",
            other => &other.replacen('/', "--", 1),
        };
        let wanted = if problem.wanted.starts_with("one of ") {
            format!("\nwanted: {}", problem.wanted)
        } else {
            String::new()
        };
        Self::Misuse(format!("{option}: {}{wanted}", problem.message))
    }
}

impl From<crate::site::SiteError> for Failure {
    fn from(error: crate::site::SiteError) -> Self {
        Self::Misuse(error.0)
    }
}

impl From<std::io::Error> for Failure {
    fn from(error: std::io::Error) -> Self {
        match error.kind() {
            std::io::ErrorKind::BrokenPipe => Self::Closed,
            _ => Self::Misuse(format!("cannot write: {error}")),
        }
    }
}

/// Runs the command the program was called with.
pub fn run() -> ExitCode {
    let command = Cli::parse()
        .command
        .unwrap_or(Command::Serve(serve::Serve::default()));
    let done = match command {
        Command::Serve(serve) => serve.run(),
        Command::Page(page) => page.run(),
        Command::Ask(ask) => ask.run(),
        Command::Rank(rank) => rank.run(),
        Command::Compare(compare) => compare.run(),
        Command::Packs(packs) => packs.run(),
        Command::Choices(choices) => choices.run(),
        Command::Runs(runs) => runs.run(),
        Command::Check(check) => check.run(),
        Command::Reduce(reduce) => reduce.run(),
        Command::Schema => print(&crate::dataset::schema::schema()),
        Command::Completions { shell } => {
            let mut script = Vec::new();
            clap_complete::generate(shell, &mut Cli::command(), "jobtorque", &mut script);
            std::io::stdout().write_all(&script).map_err(Failure::from)
        }
    };
    match done {
        Ok(()) | Err(Failure::Closed) => ExitCode::SUCCESS,
        Err(Failure::Data(lines)) => {
            for line in lines {
                eprintln!("{line}");
            }
            ExitCode::from(1)
        }
        Err(Failure::Misuse(message)) => {
            eprintln!("jobtorque: {message}");
            ExitCode::from(2)
        }
    }
}

/// Prints a text and ends its line.
fn print(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    out.write_all(text.trim_end().as_bytes())?;
    out.write_all(b"\n")?;
    Ok(())
}

/// Prints a value as JSON, exact and readable.
fn print_json(value: &impl serde::Serialize) -> Result<(), Failure> {
    let json = serde_json::to_string_pretty(value)
        .map_err(|error| Failure::Misuse(format!("cannot write JSON: {error}")))?;
    print(&json)
}
