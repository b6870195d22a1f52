//! The `thirdwood` program: see the library for everything it does.
fn main() -> std::process::ExitCode {
    std::process::ExitCode::SUCCESS
}
