//! Arguments and exit code.
#![allow(clippy::print_stdout, reason = "scaffold")]

fn main() -> std::process::ExitCode {
    match swingwhy::knowledge::builtin() {
        Ok(base) => {
            println!("{} causes {}", base.causes.len(), base.hash);
            std::process::ExitCode::SUCCESS
        }
        Err(problems) => {
            println!("{}", swingwhy::wording::problems(&problems));
            std::process::ExitCode::FAILURE
        }
    }
}
