//! The `solderside` program: what the library answers, printed.

use std::io::{ErrorKind, Write, stderr};
use std::process::ExitCode;

use anstream::stdout;
use solderside_cli::{Answer, Status, Terminal, run, watch_for_interrupts};

fn main() -> ExitCode {
    watch_for_interrupts();
    let Answer { output, errors, status } = run(std::env::args_os(), Terminal::of_output());
    // Nobody is left to tell if this fails.
    _ = stderr().write_all(errors.as_bytes());
    let mut out = stdout().lock();
    match out.write_all(output.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => status.into(),
        // Who closes a pipe has read enough.
        Err(error) if error.kind() == ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(error) => {
            _ = writeln!(stderr(), "error: the answer could not be written: {error}");
            Status::Wrong.into()
        }
    }
}
