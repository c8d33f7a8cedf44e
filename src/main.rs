//! The castmark program: arguments in, an exit code out. Everything else is in the library and in
//! [`cli`], the only part that prints or touches files.

mod cli;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run(std::env::args_os())
}
