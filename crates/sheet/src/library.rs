//! What a sheet may refer to by name, and where its own files come from.

use cushion::{Drops, Fragilities};
use forms::Catalogue;
use protection::{Grades, Materials, Profiles, ProtectionError, Recipes, StockCartons};

use crate::entry::Entry;
use crate::nearest::listed;
use crate::told::{Problems, Told, quoted};

/// The tables whose names a sheet may use, and the way to the files that it names.
///
/// Reading a sheet touches no disk: `files` is asked for the bytes of a file by the name that stands in
/// the sheet, and answers with a reason where there is none.
pub struct Library<'a> {
    /// The forms.
    pub forms: &'a Catalogue,
    /// The packing recipes.
    pub recipes: &'a Recipes,
    /// The materials, void fills among them.
    pub materials: &'a Materials,
    /// The profiles of protection.
    pub profiles: &'a Profiles,
    /// Drop profiles and schedules.
    pub drops: &'a Drops,
    /// Classes of what pieces bear.
    pub fragilities: &'a Fragilities,
    /// The grades of board.
    pub grades: &'a Grades,
    /// The list of stock cartons.
    pub stock: &'a StockCartons,
    /// The bytes of a file that the sheet names (own rate card, own zone chart), or why there are none.
    pub files: &'a dyn Fn(&str) -> Result<Vec<u8>, String>,
}

impl<'a> Library<'a> {
    /// The tables that a job draws on, as a sheet may name them.
    #[must_use]
    pub fn of(
        tables: &'a trade::Library,
        forms: &'a Catalogue,
        stock: &'a StockCartons,
        files: &'a dyn Fn(&str) -> Result<Vec<u8>, String>,
    ) -> Self {
        Self {
            forms,
            recipes: &tables.recipes,
            materials: &tables.materials,
            profiles: &tables.profiles,
            drops: &tables.drops,
            fragilities: &tables.fragilities,
            grades: &tables.grades,
            stock,
            files,
        }
    }
}

/// Tells that a table has no row of the name that stands in the sheet; `known` are its names.
pub(crate) fn unknown<'a>(
    entry: &Entry<'_, '_>,
    kind: &str,
    name: &str,
    error: &ProtectionError,
    known: impl Iterator<Item = &'a str>,
    problems: &mut Problems<'_>,
) -> Told {
    let right = match error {
        ProtectionError::UnknownName { nearest, .. } if !nearest.is_empty() => any_of(nearest),
        _ => format!("one of {}", listed(known)),
    };
    entry.wrong(problems, format!("no {kind} is called \"{}\"", quoted(name)), right)
}

/// `"this" or "that"`.
pub(crate) fn any_of(names: &[String]) -> String {
    names.iter().map(|name| format!("\"{name}\"")).collect::<Vec<_>>().join(" or ")
}
