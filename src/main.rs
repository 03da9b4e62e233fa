//! Arguments and exit code only; the work is in the library.

fn main() -> std::process::ExitCode {
    swingwhy::cli::run()
}
