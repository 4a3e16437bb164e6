//! What may be typed.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};

/// From measured pieces to the parcel and the postage of every order.
///
/// Without a command the demo job is planned: the dining room of a closing guest house.
#[derive(Debug, Parser)]
#[command(name = "lotwright", version, about, max_term_width = 80)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Plan a job sheet: the parcels, postage and money of every order
    Plan(PlanArgs),
    /// List the forms, or show one with its measures, recipe and cautions
    Forms(FormsArgs),
    /// The postal zone from one place to others
    Zones(ZonesArgs),
    /// The postage of one parcel
    Postage(PostageArgs),
    /// Write a commented job sheet to start from
    Example,
    /// Write the JSON Schema of what `plan --json` writes
    Schema,
    /// Write the manual page
    Man,
    /// Write a completion script for a shell
    Completions {
        /// The shell.
        shell: clap_complete::Shell,
    },
}

/// Options of `plan`.
#[derive(Debug, Args, Default)]
pub struct PlanArgs {
    /// The job sheet (TOML); `-` reads it from standard input
    pub sheet: Option<PathBuf>,
    /// Only orders of this many lots, with the steps of packing
    #[arg(long, value_name = "LOTS", value_parser = clap::value_parser!(u32).range(1..=1000))]
    pub order: Option<u32>,
    /// Write the whole plan as JSON, geometry included
    #[arg(long)]
    pub json: bool,
    /// Write a drawing of every parcel into this folder
    #[arg(long, value_name = "DIR")]
    pub svg: Option<PathBuf>,
    /// Write measures in centimetres and grams
    #[arg(long)]
    pub metric: bool,
    /// Show the steps of packing of every order
    #[arg(long)]
    pub steps: bool,
}

/// Options of `forms`.
#[derive(Debug, Args)]
pub struct FormsArgs {
    /// Show this form with everything known about it
    pub form: Option<String>,
    /// A forms file of your own that adds or replaces forms
    #[arg(long, value_name = "FILE")]
    pub with: Option<PathBuf>,
    /// Write measures in centimetres and grams
    #[arg(long)]
    pub metric: bool,
}

/// Options of `zones`.
#[derive(Debug, Args)]
pub struct ZonesArgs {
    /// Where parcels are handed over: a ZIP Code or its first three digits
    pub from: String,
    /// Where they go; may be given several times or with commas
    #[arg(long, required = true, value_delimiter = ',', num_args = 1..)]
    pub to: Vec<String>,
    /// Your own official one-origin chart (CSV); it wins over the estimate
    #[arg(long, value_name = "FILE")]
    pub chart: Option<PathBuf>,
}

/// Options of `postage`.
#[derive(Debug, Args)]
pub struct PostageArgs {
    /// Weight of the closed parcel ("2 lb 3 oz", "990 g")
    #[arg(long)]
    pub weight: String,
    /// Outside size of the closed parcel ("12.4 x 12.4 x 8.7 in", "31 x 31 x 22 cm")
    #[arg(long)]
    pub size: String,
    /// Where it is handed over
    #[arg(long)]
    pub from: String,
    /// Where it goes; may be given several times or with commas
    #[arg(long, required = true, value_delimiter = ',', num_args = 1..)]
    pub to: Vec<String>,
    /// The rate card
    #[arg(long, default_value = "ground_advantage_commercial")]
    pub card: String,
    /// Day of mailing (YYYY-MM-DD); today when left out
    #[arg(long)]
    pub date: Option<String>,
    /// Your own official one-origin chart (CSV); it wins over the estimate
    #[arg(long, value_name = "FILE")]
    pub chart: Option<PathBuf>,
}
