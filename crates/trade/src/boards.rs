//! What the board of a packed carton bears, and which limit binds.

use measure::{Length, Mass};
use protection::{
    Board, BoardFacts, BoxStyle, Limit, LoadAbove, LoadClass, Mckee, Storage, board_check, mckee, stacking,
};

use crate::{Job, Library, TradeError};

/// How parcels wait, stacked, before they go.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stacked {
    /// Height of the whole stack.
    pub height: Length,
    /// Time under load, days.
    pub days: f64,
    /// Relative humidity, percent.
    pub humidity_percent: f64,
}

/// Every limit of a packed carton, the one that binds first in front.
///
/// # Errors
/// When the grade is not known or a figure can't be used.
pub(crate) fn limits(job: &Job, library: &Library, parcel: &plan::Parcel) -> Result<Vec<Limit>, TradeError> {
    let name = &parcel.carton.name;
    let refused =
        |e: protection::ProtectionError| TradeError::Carton { carton: name.clone(), reason: e.to_string() };
    let Some(stock) = job.cartons.iter().find(|stock| stock.name == *name) else { return Ok(Vec::new()) };
    let grade = library.grades.find(&stock.grade).map_err(refused)?;
    let outside = parcel.carton.outside_mm.map(Length::from_mm);
    let gross = Mass::from_grams(parcel.gross_g);
    let edge_crush: Option<f64> = grade.name.split_whitespace().next().and_then(|word| word.parse().ok());
    let pile = match (job.protecting.stacked, edge_crush) {
        (Some(stacked), Some(edge_crush)) => {
            let caliper = Length::from_inches(grade.caliper_in.value);
            let strength = mckee(Mckee::Simplified, edge_crush, caliper, outside, BoxStyle::RegularSlotted)
                .map_err(refused)?;
            let storage = Storage {
                days: stacked.days,
                humidity_percent: stacked.humidity_percent,
                reused: stock.reused,
                ..Storage::DRY_COLUMN
            };
            let load = LoadAbove::StackHeight { height: stacked.height, gross_each: gross };
            Some(stacking(strength, outside[2], load, &storage, &library.board_rules).map_err(refused)?)
        }
        (Some(_), None) | (None, _) => None,
    };
    let dense = parcel.bundles.iter().any(|bundle| bundle.company == shape::Company::Dense);
    let facts = BoardFacts {
        board: Board::Corrugated(grade),
        inside: parcel.carton.inside_mm.map(Length::from_mm),
        outside,
        gross,
        contents: Mass::from_grams(parcel.bundles.iter().map(|bundle| bundle.mass_g).sum()),
        // Breakables and dense goods are both difficult loads to the postal service.
        load: LoadClass::Difficult,
        dense,
        reused: stock.reused,
        stacking: pile.as_ref(),
    };
    board_check(&facts, &library.board_rules).map_err(refused)
}
