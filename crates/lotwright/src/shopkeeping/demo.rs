//! `lotwright demo`: a made-up shop to look at.

use clap::Args;
use keeping::{erase_demo, fill_demo, must_be_demo};
use serde_json::json;
use shop::Shop;

use super::door::{Answer, Where, make_folder, refused};
use crate::problems::Stop;
use crate::words::wrapped;

/// The year that is made up when none is told: the tables of rates and forms have it.
const USUAL_YEAR: i16 = 2025;

/// Options of `demo`.
#[derive(Debug, Args)]
pub struct DemoArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// Another number makes up another year
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// The year that is made up
    #[arg(long, default_value_t = USUAL_YEAR, value_parser = clap::value_parser!(i16).range(2020..=2026))]
    year: i16,
    /// Erase the demo shop instead
    #[arg(long)]
    erase: bool,
}

/// Makes a demo shop anew, or erases it. A file that isn't a demo is never touched.
pub fn demo(args: &DemoArgs) -> Result<String, Stop> {
    let door = Where { demo: args.door.shop.is_none(), ..args.door.clone() };
    let path = door.path()?;
    if path.exists() || args.erase {
        must_be_demo(&path)?;
    }
    if args.erase {
        erase_demo(&path)?;
        let text = wrapped("", &format!("Erased the demo shop {}.", path.display()));
        return args.door.written(Answer { text, json: json!({ "erased": path.display().to_string() }) });
    }
    let mut shop = Shop::in_memory().map_err(refused)?;
    let counted = fill_demo(&mut shop, args.seed, args.year)?;
    make_folder(&path)?;
    if path.exists() {
        erase_demo(&path)?;
    }
    shop.back_up(&path).map_err(refused)?;
    let look =
        if args.door.shop.is_some() { format!("--shop {}", path.display()) } else { String::from("--demo") };
    let text = [
        wrapped(
            "",
            &format!(
                "Made up a shop of {}: {} hauls, {} orders (seed {}), in {}.",
                args.year,
                counted.hauls,
                counted.orders,
                args.seed,
                path.display()
            ),
        ),
        wrapped("", &format!("Look around with {look} --date {}-12-31:", args.year)),
        format!("  lotwright bench {look}"),
        format!("  lotwright stock {look} --date {}-12-31", args.year),
        format!("  lotwright books {look} --by month"),
        format!("  lotwright year {} {look}", args.year),
        wrapped(
            "",
            &format!(
                "Done looking? lotwright demo --erase{}",
                if args.door.shop.is_some() { format!(" {look}") } else { String::new() }
            ),
        ),
    ];
    let json = json!({
        "made": path.display().to_string(), "seed": args.seed, "year": args.year, "hauls": counted.hauls,
        "orders": counted.orders,
    });
    args.door.written(Answer { text: text.join("\n"), json })
}
