//! The program `keelsward`.

use std::process::ExitCode;

fn main() -> ExitCode {
    app::verbs::main()
}
