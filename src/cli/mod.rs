//! The command line: one file a command. A command translates, calls and prints; it decides nothing.
//!
//! Exit codes: 0 fine, 1 problems found in the data, 2 misuse or a file that cannot be opened.

mod ask;
mod bundle;
mod chart;
mod changes;
mod check;
mod choices;
mod compare;
mod drift;
mod export;
mod gather;
mod load;
mod look;
mod one_run;
mod options;
mod packs;
mod page;
mod picture_files;
mod plan;
mod rank;
mod reduce;
mod runs;
mod serve;
mod settle;
mod start;
mod text;
mod unbundle;
mod watch;

use crate::escape::{shown, steers};
use crate::problem::{Problem, Problems};
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
    /// Draw an answer, one run or the check runs to an SVG or PNG file
    Chart(chart::Chart),
    /// Show the runs behind a pair, and its place in each edition
    Runs(runs::Runs),
    /// List every problem in a dataset or bench folder, and what is strange about it
    Check(check::Check),
    /// Answer a doubt about a bench folder, so that it stays quiet until its bytes change
    Settle(settle::Settle),
    /// Make a new bench folder, with commented examples
    Start(start::Start),
    /// Show what is understood of logs, and the logger's block that reads them
    Look(look::LookAt),
    /// Add a row to the notebook of a bench folder for each log that has none
    Gather(gather::Gather),
    /// Write a bench folder as one dataset, raw samples included
    Bundle(bundle::Bundle),
    /// Make a bench folder of one dataset
    Unbundle(unbundle::Unbundle),
    /// Say what the newest edition changes against the one before
    Changes(changes::ChangesOf),
    /// Show the check runs of each day, and what shift of a day they would show
    Drift(drift::DriftOf),
    /// Say what to run next, in which order, and why
    Plan(plan::PlanOf),
    /// Write runs, measures, curves and places as CSV tables for other programs
    Export(export::Export),
    /// Reduce one run from one log
    Reduce(Box<reduce::Reduce>),
    /// Print the JSON Schema of the dataset format
    Schema {
        /// Print a table of all fields instead, in Markdown
        #[arg(long)]
        table: bool,
    },
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
    /// The output was closed (broken pipe): the command ends quietly.
    Closed,
}

impl Failure {
    /// The problems of the file `name`.
    fn of_problems(name: &str, problems: &Problems) -> Self {
        let more = problems.count() - problems.len();
        Self::Data(text::problems(name, problems, more))
    }
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
        let wanted = if problem.offers.is_empty() && problem.wanted.starts_with("one of ") {
            format!("\nwanted: {}", problem.wanted)
        } else {
            String::new()
        };
        let offers = text::offers(&problem.offers);
        Self::Misuse(format!("{option}: {}{wanted}{offers}", problem.message))
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
        Command::Chart(chart) => chart.run(),
        Command::Runs(runs) => runs.run(),
        Command::Check(check) => check.run(),
        Command::Settle(settle) => settle.run(),
        Command::Start(start) => start.run(),
        Command::Look(look) => look.run(),
        Command::Gather(gather) => gather.run(),
        Command::Bundle(bundle) => bundle.run(),
        Command::Unbundle(unbundle) => unbundle.run(),
        Command::Changes(changes) => changes.run(),
        Command::Drift(drift) => drift.run(),
        Command::Plan(plan) => plan.run(),
        Command::Export(export) => export.run(),
        Command::Reduce(reduce) => reduce.run(),
        Command::Schema { table: false } => print(&crate::dataset::schema::schema()),
        Command::Schema { table: true } => print(&crate::dataset::fields_table::fields_table()),
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
                print_error(&line);
            }
            ExitCode::from(1)
        }
        Err(Failure::Misuse(message)) => {
            print_error(&format!("jobtorque: {message}"));
            ExitCode::from(2)
        }
    }
}

/// Prints a text and ends its line.
fn print(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    out.write_all(for_terminal(text.trim_end()).as_bytes())?;
    out.write_all(b"\n")?;
    Ok(())
}

/// Prints HTML as it is, to the byte. It holds no sign that a terminal acts on but those of writing.
fn print_html(html: &str) -> Result<(), Failure> {
    std::io::stdout().lock().write_all(html.as_bytes())?;
    Ok(())
}

/// Prints a line on the error stream. If nobody reads it, it is not said.
fn print_error(line: &str) {
    let _ = writeln!(std::io::stderr(), "{}", for_terminal(line));
}

/// Prints a value as JSON, exact and readable.
fn print_json(value: &impl serde::Serialize) -> Result<(), Failure> {
    let json = serde_json::to_string_pretty(value)
        .map_err(|error| Failure::Misuse(format!("cannot write JSON: {error}")))?;
    print(&escaped_json(&json))
}

/// Lines of text in which signs that a terminal acts on are shown, whatever a dataset, a log or the
/// name of a file holds.
fn for_terminal(text: &str) -> String {
    let lines: Vec<String> = text.split('\n').map(shown).collect();
    lines.join("\n")
}

/// JSON in which signs that a terminal acts on are written by their numbers, as texts in JSON may.
fn escaped_json(json: &str) -> String {
    let mut escaped = String::with_capacity(json.len());
    for sign in json.chars() {
        if sign == '\n' || !steers(sign) {
            escaped.push(sign);
            continue;
        }
        for unit in sign.encode_utf16(&mut [0; 2]) {
            escaped.push_str(&format!("\\u{unit:04x}"));
        }
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::{escaped_json, for_terminal};

    #[test]
    fn json_without_control_signs_is_the_same_json() {
        let text = "a\u{7f}\u{9b}\u{202e}\u{e0041}\u{1b}é 零\n";
        let json = serde_json::to_string_pretty(&[text]).unwrap();
        let escaped = escaped_json(&json);
        assert!(escaped.contains("\\u007f\\u009b\\u202e\\udb40\\udc41\\u001bé 零\\n"));
        assert_eq!(
            serde_json::from_str::<[String; 1]>(&escaped).unwrap(),
            [text]
        );
    }

    #[test]
    fn lines_stay_lines() {
        assert_eq!(for_terminal("a\u{1b}[1m\n\tb"), "a\\u{1b}[1m\n\\tb");
    }
}
