//! What may be typed.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};

use crate::asked::FindArgs;
use crate::serve::ServeArgs;
use crate::shopkeeping::ShopCommand;

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
    /// What pieces are worth by lot size, from what was seen sold
    Worth(WorthArgs),
    /// The best way to split a pile into lots, on parcels packed for real
    Split(SplitArgs),
    /// What to answer to an offer: accept, counter or decline
    Offer(OfferArgs),
    /// What to pay at the shop: buy, haggle or leave
    Shelf(ShelfArgs),
    /// Whether insurance is worth its premium, and how well to pack
    Insure(InsureArgs),
    /// How much cushion a piece needs for the fall of its parcel
    Guard(GuardArgs),
    /// The listing of a find's lots: title, text, photos, price and what to state
    Card(CardArgs),
    /// Pack all pieces of a sheet, or those told here, into the cheapest parcel or parcels
    Pack(PackArgs),
    /// List the forms, or show one with its measures, recipe and cautions
    Forms(FormsArgs),
    /// The postal zone from one place to others
    Zones(ZonesArgs),
    /// The postage of one parcel
    Postage(PostageArgs),
    /// Open the app in a browser: shelf check, measuring, packing
    Serve(ServeArgs),
    /// What keeps the shop file
    #[command(flatten)]
    Keep(ShopCommand),
    /// Write a commented job sheet to start from
    Example {
        /// Write a commented venues file instead, for the fees and limits of your own venue
        #[arg(long)]
        venues: bool,
    },
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

/// Options of `worth` and `split`.
#[derive(Debug, Args)]
pub struct WorthArgs {
    /// What is asked about.
    #[command(flatten)]
    pub find: FindArgs,
    /// Write a chart of prices by lot size, with the comps on it, into this folder
    #[arg(long, value_name = "DIR")]
    pub svg: Option<PathBuf>,
}

/// Options of `split`.
#[derive(Debug, Args)]
pub struct SplitArgs {
    /// What is asked about.
    #[command(flatten)]
    pub asked: WorthArgs,
    /// Keep the best split as the decision on this find of the shop file
    #[arg(long, group = "records", value_name = "FIND")]
    pub keep: Option<u64>,
}

/// Options of `offer`.
#[derive(Debug, Args)]
pub struct OfferArgs {
    /// What is asked about.
    #[command(flatten)]
    pub find: FindArgs,
    /// What the buyer offers for all the lots wanted, without shipping
    #[arg(long)]
    pub amount: String,
    /// The price asked for them; left out, the plan's
    #[arg(long)]
    pub ask: Option<String>,
    /// Pieces in one lot; left out, the largest lots of the split
    #[arg(long, value_parser = clap::value_parser!(u32).range(1..=100))]
    pub size: Option<u32>,
    /// Lots the buyer wants
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=1000))]
    pub lots: u32,
    /// Lots still there, with those wanted; left out, the split's
    #[arg(long, value_parser = clap::value_parser!(u32).range(1..=1000))]
    pub left: Option<u32>,
    /// Days until they must be gone; 90 when left out
    #[arg(long, value_name = "DAYS")]
    pub days: Option<f64>,
    /// Chance that the buyer is still there after a counter; 70 % when left out
    #[arg(long, value_name = "CHANCE")]
    pub stay: Option<String>,
    /// What answering costs you in time and attention
    #[arg(long, value_name = "AMOUNT")]
    pub reply_cost: Option<String>,
}

/// Options of `shelf`.
#[derive(Debug, Args)]
pub struct ShelfArgs {
    /// What is asked about.
    #[command(flatten)]
    pub find: FindArgs,
}

/// Options of `insure`.
#[derive(Debug, Args)]
pub struct InsureArgs {
    /// Price of the goods, to refund when they break
    #[arg(long)]
    pub item: String,
    /// Shipping charged, to refund too
    #[arg(long)]
    pub shipping: Option<String>,
    /// Part of the venue's fee that comes back on a refund
    #[arg(long, value_name = "AMOUNT")]
    pub fee_returned: Option<String>,
    /// What the return or the disposal costs
    #[arg(long, value_name = "AMOUNT")]
    pub return_cost: Option<String>,
    /// Chance that it breaks; left out, your own record beside what is usual
    #[arg(long, value_name = "CHANCE", conflicts_with_all = ["sent", "broken"])]
    pub breakage: Option<String>,
    /// Parcels like it that you have sent
    #[arg(long, value_parser = clap::value_parser!(u32).range(0..=1_000_000))]
    pub sent: Option<u32>,
    /// How many of them broke
    #[arg(long, requires = "sent", value_parser = clap::value_parser!(u32).range(0..=1_000_000))]
    pub broken: Option<u32>,
    /// Price of the cover
    #[arg(long)]
    pub premium: Option<String>,
    /// The most that the cover pays
    #[arg(long)]
    pub cover: Option<String>,
    /// What it keeps of every claim
    #[arg(long)]
    pub deductible: Option<String>,
    /// Chance that a claim is paid
    #[arg(long, default_value = "90 %", value_name = "CHANCE")]
    pub payout: String,
    /// What making a claim costs you
    #[arg(long, value_name = "AMOUNT")]
    pub claim_cost: Option<String>,
    /// A way to pack: its cost and its breakage ("1.90, 2.5 %"); may be given many times
    #[arg(long, value_name = "COST, CHANCE")]
    pub level: Vec<String>,
    /// Write the answer as JSON
    #[arg(long)]
    pub json: bool,
}

/// Options of `guard`.
#[derive(Debug, Args, Default)]
pub struct GuardArgs {
    /// What the piece is ("diner mug"); `lotwright forms` lists the forms
    #[arg(long)]
    pub form: Option<String>,
    /// A measure of the bare piece ("diameter=5 1/2 in", "height=3 in"); may be given many times
    #[arg(long, value_name = "NAME=FIGURE")]
    pub measure: Vec<String>,
    /// Weight of the bare piece ("14 oz")
    #[arg(long, allow_hyphen_values = true)]
    pub weight: Option<String>,
    /// Without a form: area that bears on the cushion ("10 in2", "65 cm2")
    #[arg(long, allow_hyphen_values = true)]
    pub area: Option<String>,
    /// Without a form: sides of that area ("4 x 2 1/2 in"), or all three of a block, its height last
    #[arg(long, allow_hyphen_values = true)]
    pub sides: Option<String>,
    /// How fragile it is: thin, fine, ordinary, compact, vitrified or rugged; left out, the form's class
    #[arg(long, value_name = "CLASS")]
    pub fragility: Option<String>,
    /// The shock it bears, in multiples of gravity, instead of a class
    #[arg(long, value_name = "G", allow_hyphen_values = true)]
    pub bears: Option<String>,
    /// How careful to be about drops: usual, careful or light; usual when left out
    #[arg(long, value_name = "PROFILE")]
    pub drop: Option<String>,
    /// A test's or handbook's heights instead ("ista_3a", "d4169_ii")
    #[arg(long, value_name = "NAME")]
    pub schedule: Option<String>,
    /// A height of your own instead ("30 in")
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub height: Option<String>,
    /// Weight of the whole parcel, which sets the height; left out, the piece's own
    #[arg(long, value_name = "WEIGHT", allow_hyphen_values = true)]
    pub gross: Option<String>,
    /// Factor between what the piece bears and what is allowed; 1.25 when left out
    #[arg(long, value_name = "FACTOR", allow_hyphen_values = true)]
    pub safety: Option<String>,
    /// A material to reckon with ("eps_fill"); may be given many times; all when left out
    #[arg(long, value_name = "NAME")]
    pub material: Vec<String>,
    /// A thickness to reckon with ("2 in"); may be given many times; 1 to 4 in when left out
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub thickness: Vec<String>,
    /// Wrap on the piece ("bubble_small x 2"), from inside out; the materials are then asked for behind it
    #[arg(long, value_name = "NAME x LAYERS")]
    pub wrap: Vec<String>,
    /// The published rule that stands against the computation ("rule_of_three")
    #[arg(long, value_name = "NAME")]
    pub rule: Option<String>,
    /// Write a chart of the shock over the load on the cushion into this file, and show it here too
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
    /// Show the arithmetic, line by line, with its sources
    #[arg(long, visible_alias = "explain")]
    pub method: bool,
    /// Write the answer as JSON
    #[arg(long)]
    pub json: bool,
    /// Write measures in centimetres and grams
    #[arg(long)]
    pub metric: bool,
}

/// Options of `pack`.
#[derive(Debug, Args)]
pub struct PackArgs {
    /// What is packed.
    #[command(flatten)]
    pub find: FindArgs,
    /// Go on looking for a cheaper packing for so long ("30s", "2m")
    #[arg(long, value_name = "TIME")]
    pub better: Option<String>,
    /// Write a drawing of every parcel into this folder
    #[arg(long, value_name = "DIR")]
    pub svg: Option<PathBuf>,
}

/// Options of `card`.
#[derive(Debug, Args)]
pub struct CardArgs {
    /// What is asked about.
    #[command(flatten)]
    pub find: FindArgs,
    /// A title of your own, which is checked instead of composed
    #[arg(long)]
    pub title: Option<String>,
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
