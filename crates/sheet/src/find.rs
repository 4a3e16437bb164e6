//! The finds of a sheet.

use forms::Field;
use trade::{Find, Row};

use crate::entry::Entry;
use crate::figure::{self, Bare, Least};
use crate::library::Library;
use crate::row::{ROW_KEYS, ReadRow, row};
use crate::section::Section;
use crate::told::{Problems, Told, quoted};

/// Most finds of one sheet.
const MOST_FINDS: usize = 50;
/// Most rows of one find.
const MOST_ROWS: usize = 20;
/// Most pieces in one lot over all rows of its find.
const MOST_IN_A_LOT: u32 = crate::row::MOST_IN_A_LOT;

const RIGHT_FINDS: &str = "[[find]] with name = \"mugs\", form = \"diner_mug\", count = 6 and per_lot = 2";
const RIGHT_PIECES: &str = "[[find.piece]] with form = \"diner_mug\", count = 6 and per_lot = 2";

/// A find as orders may refer to it, whether or not the rest of it could be read.
pub(crate) struct NamedFind {
    /// Its name, unless that is missing, unreadable or taken.
    pub(crate) name: Result<String, Told>,
    /// The find, unless something in it is wrong.
    pub(crate) find: Result<Find, Told>,
}

/// Reads every `[[find]]`.
pub(crate) fn finds(
    sheet: &mut Section<'_, '_>,
    bare: Bare,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<Vec<NamedFind>, Told> {
    let entry = sheet.need("find", RIGHT_FINDS, problems)?;
    let sections = entry.sections(MOST_FINDS, RIGHT_FINDS, problems)?;
    let mut finds: Vec<NamedFind> = Vec::with_capacity(sections.len());
    for section in sections {
        let read = find(section, &finds, bare, library, problems);
        finds.push(read);
    }
    Ok(finds)
}

fn find(
    mut section: Section<'_, '_>,
    before: &[NamedFind],
    bare: Bare,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> NamedFind {
    let name = name(&mut section, before, problems);
    let price = section
        .take("price")
        .map(|entry| figure::money(&entry, Least::OneCent, "price = 24.00", problems))
        .transpose();
    let rows = match section.take("piece") {
        Some(pieces) => {
            for key in ROW_KEYS.into_iter().chain(Field::ALL.iter().map(|field| field.name())) {
                section.belongs_elsewhere(
                    key,
                    "the same line below a [[find.piece]] of this find, or no [[find.piece]] at all",
                );
            }
            rows(&pieces, bare, library, problems)
        }
        None if section.has("form") || ROW_KEYS.iter().any(|key| section.has(key)) => {
            row(&mut section, bare, library, problems).map(|row| vec![row])
        }
        None => {
            // Asked for so that a misspelt key of the short form is told as such below.
            for key in ROW_KEYS {
                section.take(key);
            }
            let message = "the find has no pieces";
            Err(problems.tell(section.path(), section.span(), message, RIGHT_PIECES))
        }
    };
    let rows = rows.and_then(|rows| lots(rows, &section, problems));
    section.close(problems);
    let find = match (&name, rows, price) {
        (Ok(name), Ok(rows), Ok(price)) => Ok(Find { name: name.clone(), rows, price }),
        (Err(told), _, _) => Err(*told),
        (_, Err(told), _) | (_, _, Err(told)) => Err(told),
    };
    NamedFind { name, find }
}

fn name(
    section: &mut Section<'_, '_>,
    before: &[NamedFind],
    problems: &mut Problems<'_>,
) -> Result<String, Told> {
    const RIGHT: &str = "name = \"consomme cups\"";
    let entry = section.need("name", RIGHT, problems)?;
    let name = entry.text(RIGHT, problems)?;
    let lower = name.to_lowercase();
    let taken =
        before.iter().filter_map(|find| find.name.as_ref().ok()).any(|taken| taken.to_lowercase() == lower);
    if taken {
        return Err(entry.wrong(
            problems,
            format!("two finds are called \"{}\"", quoted(name)),
            "a name of its own for each find, since orders refer to finds by name",
        ));
    }
    Ok(name.to_owned())
}

fn rows<'t, 'i>(
    pieces: &Entry<'t, 'i>,
    bare: Bare,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<Vec<ReadRow<'t, 'i>>, Told> {
    let sections = pieces.sections(MOST_ROWS, RIGHT_PIECES, problems)?;
    let rows: Vec<_> = sections
        .into_iter()
        .map(|mut section| {
            let read = row(&mut section, bare, library, problems);
            section.belongs_elsewhere("price", "price = 24.00 below [[find]], for the whole lot");
            section.belongs_elsewhere(
                "name",
                "name below [[find]]; a piece has `what`, for example what = \"cup\"",
            );
            section.close(problems);
            read
        })
        .collect();
    rows.into_iter().collect()
}

/// Checks that the rows make at least one lot.
fn lots(
    rows: Vec<ReadRow<'_, '_>>,
    section: &Section<'_, '_>,
    problems: &mut Problems<'_>,
) -> Result<Vec<Row>, Told> {
    let in_a_lot: u32 = rows.iter().map(|read| read.row.per_lot).sum();
    if in_a_lot == 0 {
        let (path, span) = rows
            .first()
            .map_or((section.path(), section.span()), |read| (read.per_lot.path(), read.per_lot.span()));
        return Err(problems.tell(
            path,
            span,
            "no piece of this find goes into a lot",
            "per_lot = 1 or more",
        ));
    }
    if in_a_lot > MOST_IN_A_LOT {
        return Err(problems.tell(
            section.path(),
            section.span(),
            format!("a lot of this find has {in_a_lot} pieces"),
            format!("at most {MOST_IN_A_LOT} pieces in a lot over all its rows"),
        ));
    }
    let mut told = None;
    for read in &rows {
        let (usable, per_lot) = (read.row.usable(), read.row.per_lot);
        if per_lot > usable {
            let message = format!(
                "the find makes no lot: a lot takes {per_lot}, but only {usable} of the {} are without flaw",
                read.row.count
            );
            told = Some(read.per_lot.wrong(problems, message, format!("per_lot of at most {usable}")));
        }
    }
    match told {
        Some(told) => Err(told),
        None => Ok(rows.into_iter().map(|read| read.row).collect()),
    }
}
