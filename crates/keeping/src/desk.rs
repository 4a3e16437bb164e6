//! The published tables, and the reading of job sheets over them.

use jiff::civil::Date;
use protection::StockCartons;
use sheet::Problem;
use trade::{Job, Library};

use crate::OwnCards;

/// Published tables, read once.
pub struct Desk {
    /// What a job draws on.
    pub library: Library,
    /// The forms.
    pub forms: forms::Catalogue,
    /// Stock sizes of cartons.
    pub stock: StockCartons,
}

impl Desk {
    /// The tables of this edition.
    #[must_use]
    pub fn published() -> Self {
        Self {
            library: Library::published(),
            forms: forms::Catalogue::published(),
            stock: StockCartons::published(),
        }
    }

    /// Reads a job sheet. Files that it names are not looked for.
    ///
    /// # Errors
    /// Every mistake in it.
    pub fn read(&self, sheet: &str, today: Date) -> Result<Job, Vec<Problem>> {
        self.read_with(sheet, today, &OwnCards::default())
    }

    /// Reads a job sheet that may name rate cards of the person's own.
    ///
    /// # Errors
    /// Every mistake in it.
    pub fn read_with(&self, sheet: &str, today: Date, cards: &OwnCards) -> Result<Job, Vec<Problem>> {
        let files = |name: &str| {
            cards.file(name).ok_or_else(|| {
                format!(
                    "no files are looked for here: {name} can be named where Lotwright runs in a terminal"
                )
            })
        };
        let shelf = sheet::Library::of(&self.library, &self.forms, &self.stock, &files);
        sheet::read_bytes(sheet.as_bytes(), &shelf, today)
    }
}
