//! The cells of a table of comps, each of which states one thing.

use jiff::civil::Date;

use super::comp_error::{CompError, CompPart};
use super::figure::AGE;
use super::line::refuse_unreadable;
use super::scan::Scan;
use super::stated::{Facts, OnOffer, Stated, state};
use super::words;

/// What a column of a table states.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Column {
    /// A whole comp, as on a line.
    Comp,
    Kind,
    Price,
    Shipping,
    Pieces,
    Days,
    Age,
    Date,
    Grade,
    Bids,
    Likeness,
}

/// The columns by their heading.
pub(super) const COLUMNS: [(&str, Column); 11] = [
    ("comp", Column::Comp),
    ("kind", Column::Kind),
    ("price", Column::Price),
    ("shipping", Column::Shipping),
    ("pieces", Column::Pieces),
    ("days", Column::Days),
    ("age", Column::Age),
    ("date", Column::Date),
    ("grade", Column::Grade),
    ("bids", Column::Bids),
    ("likeness", Column::Likeness),
];

impl Column {
    /// The heading.
    pub(super) fn name(self) -> &'static str {
        COLUMNS.iter().find(|(_, column)| *column == self).map_or("", |(name, _)| *name)
    }

    /// The column that an error about a part of a comp belongs to.
    pub(super) const fn of(part: CompPart) -> Option<Self> {
        match part {
            CompPart::Line => None,
            CompPart::Kind => Some(Self::Kind),
            CompPart::Price | CompPart::Ask => Some(Self::Price),
            CompPart::Shipping => Some(Self::Shipping),
            CompPart::Pieces => Some(Self::Pieces),
            CompPart::Age => Some(Self::Age),
            CompPart::Days => Some(Self::Days),
            CompPart::Grade => Some(Self::Grade),
            CompPart::Bids => Some(Self::Bids),
            CompPart::Likeness => Some(Self::Likeness),
        }
    }
}

/// Reads a cell that isn't blank into what its row has stated.
pub(super) fn read_cell(column: Column, cell: &str, today: Date, facts: &mut Facts) -> Result<(), CompError> {
    refuse_unreadable(cell)?;
    let mut scan = Scan::new(cell, today);
    scan.cell(column)?;
    if scan.token(0).is_some() {
        return Err(scan.unknown());
    }
    let read = scan.facts;
    let Facts { kind, price, shipping, pieces, age, on_offer, grade, bids, likeness, .. } = read;
    keep(cell, CompPart::Kind, kind, &mut facts.kind)?;
    keep(cell, CompPart::Price, price, &mut facts.price)?;
    keep(cell, CompPart::Shipping, shipping, &mut facts.shipping)?;
    keep(cell, CompPart::Pieces, pieces, &mut facts.pieces)?;
    keep(cell, CompPart::Age, age, &mut facts.age)?;
    keep(cell, CompPart::Days, on_offer, &mut facts.on_offer)?;
    keep(cell, CompPart::Grade, grade, &mut facts.grade)?;
    keep(cell, CompPart::Bids, bids, &mut facts.bids)?;
    keep(cell, CompPart::Likeness, likeness, &mut facts.likeness)
}

fn keep<T>(
    cell: &str,
    part: CompPart,
    read: Option<Stated<T>>,
    slot: &mut Option<Stated<T>>,
) -> Result<(), CompError> {
    match read {
        Some(Stated { value, span, .. }) => state(cell, span, part, value, slot),
        None => Ok(()),
    }
}

impl Scan<'_> {
    fn cell(&mut self, column: Column) -> Result<(), CompError> {
        const ONE_DAY: Option<u32> = Some(1);
        let from = self.place();
        match column {
            // A table reads whole comps as lines, before it comes to cells.
            Column::Comp => Ok(()),
            Column::Kind => self.named_kind(),
            Column::Price => self.state_price(from),
            Column::Shipping => self.shipping_clause(from),
            Column::Pieces => {
                let count = self.count()?;
                self.take_word(words::PIECES);
                self.state_pieces(from, count)
            }
            Column::Days => {
                let days = self.duration(CompPart::Days, ONE_DAY, "90, or 90d")?;
                let value = OnOffer { days, said_for: false };
                state(self.text, self.since(from), CompPart::Days, value, &mut self.facts.on_offer)
            }
            Column::Age if self.figure(0).is_some() => {
                let days = self.duration(CompPart::Age, ONE_DAY, AGE)?;
                self.take_word(&["ago"]);
                self.state_age(from, days)
            }
            Column::Age => self.age_clause(from),
            Column::Date => {
                let days = self.date()?;
                self.state_age(from, days)
            }
            Column::Grade => self.named_grade(from),
            Column::Bids => self.bids_clause(from),
            Column::Likeness => {
                let share = self.share()?;
                self.state_likeness(from, share)
            }
        }
    }

    fn named_kind(&mut self) -> Result<(), CompError> {
        let from = self.place();
        if self.kind_clause(from)? {
            return Ok(());
        }
        let right = "sold, offer, unsold or auction";
        let reason = "it is none of the four kinds of evidence";
        Err(self.unfit(self.here(), CompPart::Kind, reason, right))
    }

    fn named_grade(&mut self, from: usize) -> Result<(), CompError> {
        if let Some(grade) = self.word(0).and_then(words::grade_letter) {
            self.advance(1);
            return state(self.text, self.since(from), CompPart::Grade, grade, &mut self.facts.grade);
        }
        if self.grade_clause(from)? {
            return Ok(());
        }
        let reason = "it is no grade";
        Err(self.unfit(self.here(), CompPart::Grade, reason, "a letter from A to E, or light wear"))
    }
}
