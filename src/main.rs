//! The `thirdwood` program: everything is in the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    thirdwood::cli::main()
}
