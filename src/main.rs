//! The program of the person who runs the test bench: see [`jobtorque::cli`].

fn main() -> std::process::ExitCode {
    jobtorque::cli::run()
}
