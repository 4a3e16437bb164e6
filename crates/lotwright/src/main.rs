//! The command line: reads what was typed, calls the rooms, writes what they say.

mod args;
mod asked;
mod card;
mod charts;
mod cover;
mod decisions;
mod drop_report;
mod guard;
mod guard_lines;
mod guard_report;
mod guard_table;
mod guard_text;
mod lookups;
mod offline_module;
mod packing;
mod planning;
mod problems;
mod report;
mod safety_words;
mod serve;
mod set_args;
mod shelf_text;
mod shopkeeping;
mod split_text;
mod text;
mod words;
mod worth_report;
mod worth_text;

use std::io::Write;
use std::process::ExitCode;

use clap::{CommandFactory, FromArgMatches};

use args::{Cli, Command, PlanArgs};
use problems::Stop;

/// The commands, which read `-7` after an option as its value: what is wrong with it is then told with the option's name.
fn command() -> clap::Command {
    fn with_values(command: clap::Command) -> clap::Command {
        command
            .mut_args(
                |arg| if arg.get_action().takes_values() { arg.allow_negative_numbers(true) } else { arg },
            )
            .mut_subcommands(with_values)
    }
    with_values(Cli::command())
}

fn main() -> ExitCode {
    let cli = Cli::from_arg_matches(&command().get_matches()).unwrap_or_else(|error| error.exit());
    let written = match cli.command {
        None => planning::plan(&PlanArgs::default()),
        Some(Command::Plan(args)) => planning::plan(&args),
        Some(Command::Worth(args)) => decisions::worth(&args),
        Some(Command::Split(args)) => decisions::split(&args),
        Some(Command::Offer(args)) => decisions::offer(&args),
        Some(Command::Shelf(args)) => decisions::shelf(&args),
        Some(Command::Insure(args)) => cover::insure(&args),
        Some(Command::Guard(args)) => guard::guard(&args),
        Some(Command::Card(args)) => card::card(&args),
        Some(Command::Pack(args)) => packing::pack(&args),
        Some(Command::Forms(args)) => lookups::forms(&args),
        Some(Command::Zones(args)) => lookups::zones(&args),
        Some(Command::Postage(args)) => lookups::postage(&args),
        Some(Command::Example { venues: false }) => Ok(sheet::example().to_owned()),
        Some(Command::Example { venues: true }) => Ok(listing::Venues::template().to_owned()),
        Some(Command::Serve(args)) => serve::serve(&args),
        Some(Command::Keep(command)) => shopkeeping::keep(&command),
        Some(Command::Schema) => schema(),
        Some(Command::Man) => man(),
        Some(Command::Completions { shell }) => {
            let mut out = Vec::new();
            clap_complete::generate(shell, &mut Cli::command(), "lotwright", &mut out);
            Ok(String::from_utf8_lossy(&out).into_owned())
        }
    };
    match written {
        Ok(text) => match std::io::stdout().write_all(text.as_bytes()) {
            // A reader that closes the pipe early has what it wanted.
            Ok(()) => ExitCode::SUCCESS,
            Err(e) if e.kind() == std::io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
            Err(e) => stop(&format!("the answer can't be written: {e}"), 1),
        },
        Err(Stop::Input(message)) => stop(&message, 2),
        Err(Stop::Outside(message)) => stop(&message, 1),
    }
}

fn stop(message: &str, code: u8) -> ExitCode {
    let _ = writeln!(std::io::stderr(), "{}", message.trim_end());
    ExitCode::from(code)
}

fn schema() -> Result<String, Stop> {
    serde_json::to_string_pretty(&schemars::schema_for!(report::Report))
        .map(|text| text + "\n")
        .map_err(|e| Stop::Outside(e.to_string()))
}

fn man() -> Result<String, Stop> {
    let mut out = Vec::new();
    clap_mangen::Man::new(Cli::command()).render(&mut out).map_err(|e| Stop::Outside(e.to_string()))?;
    Ok(String::from_utf8_lossy(&out).into_owned())
}
