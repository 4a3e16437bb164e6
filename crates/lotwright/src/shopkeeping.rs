//! The shop file in the terminal: one file per family of commands.

mod attach;
mod back;
mod bench;
mod bench_plan;
mod claim;
mod demo;
mod door;
mod earned;
mod export;
mod find;
mod find_told;
mod haul;
mod keep;
mod keep_split;
mod list_up;
mod money;
mod next;
mod order;
mod rate_card;
mod read;
mod setting;
mod ship;
mod stock;
mod supply;
mod tune;
mod typed;
mod venue;
mod year;

pub use door::{DEMO_FILE, FILE, Where};
pub use keep_split::{keep_split, keep_worked_sets};

use clap::Subcommand;

use crate::problems::Stop;

/// Commands that keep the shop file.
#[derive(Debug, Subcommand)]
pub enum ShopCommand {
    /// Bring in a haul: what was paid, and the finds it holds
    Haul(haul::HaulArgs),
    /// Show a find, measure it, describe it, note its flaws and comps
    Find(find::FindOneArgs),
    /// What is on the shelf, where, since when and at what cost
    Stock(stock::StockArgs),
    /// What has waited how long
    Aged(stock::AgedArgs),
    /// What to list next
    Next(next::NextArgs),
    /// List lots for sale, or change what is listed
    ListUp(list_up::ListUpArgs),
    /// Take orders, and what becomes of them
    Order(order::OrderArgs),
    /// What is to pack, the oldest promise first; plans and pull lists
    Bench(bench::BenchArgs),
    /// An order is handed over: weight, size, minutes, postage
    Ship(ship::ShipArgs),
    /// Pieces come back or broke on the way, and money goes back
    Back(back::BackArgs),
    /// Claims with their deadline and evidence
    Claim(claim::ClaimArgs),
    /// Keep receipts, photos and evidence with what they are about
    Attach(attach::AttachArgs),
    /// Cartons, wraps, fill and tape: on hand, bought, counted, used
    Supply(supply::SupplyArgs),
    /// Expenses and fees
    Spend(money::SpendArgs),
    /// What a venue paid out, and other income
    Income(money::IncomeArgs),
    /// Miles driven
    Trip(money::TripArgs),
    /// Own money put into the business
    PutIn(money::PutInArgs),
    /// Money taken out for yourself
    TakeOut(money::TakeOutArgs),
    /// Pieces that broke at home, were given away or kept
    OffShelf(back::OffShelfArgs),
    /// Take back an entry of the books that was wrong
    TakeBack(money::TakeBackArgs),
    /// What parcels came to against their plans: weight, minutes, breakage
    Tune(tune::TuneArgs),
    /// What was earned by order, lot, find, haul, place, month or year
    Books(earned::BooksArgs),
    /// The year on the lines of a sole proprietor's form; not tax advice
    Year(year::YearArgs),
    /// Read a table (CSV or spreadsheet): shown first, stored with --store
    Read(read::ReadArgs),
    /// Write everything as CSV or JSON, or a year as a spreadsheet
    Export(export::ExportArgs),
    /// Your own defaults, by the key of a job sheet
    Setting(setting::SettingArgs),
    /// Where you sell, with its terms
    Venue(venue::VenueArgs),
    /// Rate cards of your own
    RateCard(rate_card::RateCardArgs),
    /// The shop file itself: check, back up, restore, history
    Shop(keep::KeepArgs),
    /// Fill a demo shop with a made-up year, or erase it
    Demo(demo::DemoArgs),
}

/// Does what was asked and gives what is to be written.
pub fn keep(command: &ShopCommand) -> Result<String, Stop> {
    match command {
        ShopCommand::Haul(args) => haul::haul(args),
        ShopCommand::Find(args) => find::find(args),
        ShopCommand::Stock(args) => stock::stock(args),
        ShopCommand::Aged(args) => stock::aged(args),
        ShopCommand::Next(args) => next::next(args),
        ShopCommand::ListUp(args) => list_up::list_up(args),
        ShopCommand::Order(args) => order::order(args),
        ShopCommand::Bench(args) => bench::bench(args),
        ShopCommand::Ship(args) => ship::ship(args),
        ShopCommand::Back(args) => back::back(args),
        ShopCommand::Claim(args) => claim::claim(args),
        ShopCommand::Attach(args) => attach::attach(args),
        ShopCommand::Supply(args) => supply::supply(args),
        ShopCommand::Spend(args) => money::spend(args),
        ShopCommand::Income(args) => money::income(args),
        ShopCommand::Trip(args) => money::trip(args),
        ShopCommand::PutIn(args) => money::put_in(args),
        ShopCommand::TakeOut(args) => money::take_out(args),
        ShopCommand::OffShelf(args) => back::off_shelf(args),
        ShopCommand::TakeBack(args) => money::take_back(args),
        ShopCommand::Tune(args) => tune::tune(args),
        ShopCommand::Books(args) => earned::earned(args),
        ShopCommand::Year(args) => year::year(args),
        ShopCommand::Read(args) => read::read(args),
        ShopCommand::Export(args) => export::export(args),
        ShopCommand::Setting(args) => setting::setting(args),
        ShopCommand::Venue(args) => venue::venue(args),
        ShopCommand::RateCard(args) => rate_card::rate_card(args),
        ShopCommand::Shop(args) => keep::shop(args),
        ShopCommand::Demo(args) => demo::demo(args),
    }
}
