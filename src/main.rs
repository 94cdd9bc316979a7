//! The program: runs the command line and gives its exit code.

fn main() -> std::process::ExitCode {
    chalklight::command::run()
}
