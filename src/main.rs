//! Parse, run, explain, exit code.

use std::io::{self, Write};
use std::process::ExitCode;

use clap::Parser;
use outwind::cli::{Arguments, Problem, run};

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let mut out = io::BufWriter::new(io::stdout().lock());
    let outcome = run(&arguments, &mut out).and_then(|()| out.flush().map_err(Problem::from));
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        // The reader has gone, as when the output is piped into `head`: nobody is left to tell.
        Err(Problem::Output(error)) if error.kind() == io::ErrorKind::BrokenPipe => {
            ExitCode::SUCCESS
        }
        Err(problem) => {
            let _ = out.flush();
            let _ = writeln!(io::stderr(), "{problem}");
            ExitCode::from(problem.exit_code())
        }
    }
}
