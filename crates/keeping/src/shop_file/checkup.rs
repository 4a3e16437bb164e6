//! Whether the shop file and the files beside it are sound, in words.

use shop::{KeptFiles, Shop};

use crate::Stop;

/// What a look over the whole file found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Checkup {
    /// Everything that doesn't fit, a sentence each; none when the file is sound.
    pub flaws: Vec<String>,
    /// The receipts, photos and evidence beside it.
    pub files: KeptFiles,
}

impl Checkup {
    /// Whether nothing was found.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        self.flaws.is_empty()
    }
}

/// Looks over the file: its pages and references, books, stock and promises, whether all tables are what the events
/// add up to, and whether every attached file is as it was stored.
///
/// # Errors
/// When the file can't be read at all.
pub fn checkup(shop: &Shop) -> Result<Checkup, Stop> {
    let mut flaws: Vec<String> = shop.check()?.found.iter().map(ToString::to_string).collect();
    match shop.rebuild_agrees() {
        Ok(differ) => flaws
            .extend(differ.into_iter().map(|table| format!("table {table} isn't what the events add up to"))),
        // A log that can't be folded is a finding like the others.
        Err(why) => flaws.push(why.to_string()),
    }
    let files = shop.kept_files()?;
    flaws.extend(files.flawed.iter().map(ToString::to_string));
    Ok(Checkup { flaws, files })
}
