//! The program.
fn main() -> std::process::ExitCode {
    slatwork_cli::main()
}
