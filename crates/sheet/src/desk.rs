//! What every question here is answered with: the published tables, and the reading of job sheets.

use jiff::civil::Date;
use trade::Job;

use crate::Problem;

/// Published tables, read once.
pub struct Desk {
    /// What orders are packed, posted and appraised with.
    pub library: trade::Library,
    /// The forms table.
    pub forms: forms::Catalogue,
    /// Stock sizes of cartons.
    pub stock: protection::StockCartons,
}

impl Desk {
    /// The tables as they are published.
    #[must_use]
    pub fn published() -> Self {
        Self {
            library: trade::Library::published(),
            forms: forms::Catalogue::published(),
            stock: protection::StockCartons::published(),
        }
    }

    /// Reads a job sheet. Files that it names are not looked for: a page has none.
    ///
    /// # Errors
    /// Every problem of the sheet, with its key.
    pub fn read(&self, sheet: &str, today: Date) -> Result<Job, Vec<Problem>> {
        self.read_with(sheet, today, &|_| None)
    }

    /// Reads a job sheet that may name parts of rate cards of the person's own, which `own` gives.
    ///
    /// # Errors
    /// Every problem of the sheet, with its key.
    pub fn read_with(
        &self,
        sheet: &str,
        today: Date,
        own: &dyn Fn(&str) -> Option<Vec<u8>>,
    ) -> Result<Job, Vec<Problem>> {
        let files = |name: &str| {
            own(name).ok_or_else(|| {
                format!(
                    "no files are looked for here: {name} can be named where Lotwright runs in a terminal"
                )
            })
        };
        let shelf = crate::Library::of(&self.library, &self.forms, &self.stock, &files);
        crate::read_bytes(sheet.as_bytes(), &shelf, today)
    }

    /// Names and synonyms of all forms, for suggestions.
    #[must_use]
    pub fn form_names(&self) -> Vec<String> {
        let names = self.forms.forms().flat_map(|form| std::iter::once(&form.name).chain(&form.synonyms));
        let names: std::collections::BTreeSet<&String> = names.collect();
        names.into_iter().cloned().collect()
    }
}
