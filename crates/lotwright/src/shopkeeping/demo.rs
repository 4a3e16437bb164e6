//! `lotwright demo`: a made-up shop to look at.

use std::path::{Path, PathBuf};

use clap::Args;
use keeping::{demo_of, fill_demo};
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
    if path.exists() {
        if !is_demo(&path, &door)? {
            return Err(Stop::Input(format!(
                "{} is a shop file and no demo, so it is left alone; right would be another name with --shop FILE",
                path.display()
            )));
        }
    } else if args.erase {
        return Err(Stop::Input(format!("there is no demo shop {}; nothing was erased", path.display())));
    }
    if args.erase {
        erase(&path)?;
        let text = wrapped("", &format!("Erased the demo shop {}.", path.display()));
        return args.door.written(Answer { text, json: json!({ "erased": path.display().to_string() }) });
    }
    let mut shop = Shop::in_memory().map_err(refused)?;
    let counted = fill_demo(&mut shop, args.seed, args.year)?;
    make_folder(&path)?;
    if path.exists() {
        erase(&path)?;
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

fn is_demo(path: &Path, door: &Where) -> Result<bool, Stop> {
    let shop = Shop::open(path, door.when()?.now).map_err(refused)?;
    Ok(demo_of(&shop)?.is_some())
}

/// Removes the file and what lies beside it.
fn erase(path: &Path) -> Result<(), Stop> {
    for added in ["", "-wal", "-shm"] {
        let mut name = path.as_os_str().to_owned();
        name.push(added);
        match std::fs::remove_file(PathBuf::from(name)) {
            Ok(()) => {}
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => {}
            Err(e) => return Err(Stop::Outside(format!("{} can't be erased: {e}", path.display()))),
        }
    }
    shop::erase_files(path).map_err(refused)
}
