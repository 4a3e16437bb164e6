//! The finds of a sheet.

use forms::Field;
use jiff::civil::Date;
use measure::Money;
use pricing::Grade;
use trade::{Cost, Find, LotsBy};

use crate::comps::{COMP_KEYS, comps, grade};
use crate::entry::Entry;
use crate::figure::{self, Bare, Least};
use crate::library::Library;
use crate::lots::Deciding;
use crate::row::{ROW_KEYS, ReadRow, row};
use crate::section::Section;
use crate::told::{Problems, Told, quoted};
use crate::words::words;

/// Most finds of one sheet.
const MOST_FINDS: usize = 50;
/// Most rows of one find.
const MOST_ROWS: usize = 20;
/// Keys of a find that aren't its piece's.
const FIND_KEYS: [&str; 10] =
    ["name", "price", "comps", "comps_file", "grade", "asking", "paid", "largest_lot", "words", "piece"];

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
    today: Date,
    problems: &mut Problems<'_>,
) -> Result<Vec<NamedFind>, Told> {
    let entry = sheet.need("find", RIGHT_FINDS, problems)?;
    let sections = entry.sections(MOST_FINDS, RIGHT_FINDS, problems)?;
    let mut finds: Vec<NamedFind> = Vec::with_capacity(sections.len());
    for section in sections {
        let read = find(section, &finds, bare, library, today, problems);
        finds.push(read);
    }
    Ok(finds)
}

fn find(
    mut section: Section<'_, '_>,
    before: &[NamedFind],
    bare: Bare,
    library: &Library<'_>,
    today: Date,
    problems: &mut Problems<'_>,
) -> NamedFind {
    let name = name(&mut section, before, problems);
    let price = section.take("price");
    let known = known();
    let has_comps = COMP_KEYS.iter().any(|key| section.means(key, &known));
    let comps = comps(&mut section, library, today, problems);
    let grade = section.take("grade").map_or(Ok(Grade::C), |entry| grade(&entry, "grade = \"C\"", problems));
    let cost = cost(&mut section, problems);
    let largest_lot = section
        .take("largest_lot")
        .map(|entry| entry.whole(1..=crate::row::MOST_IN_A_LOT, "largest_lot = 6", problems))
        .transpose();
    let words = words(&mut section, problems);
    let rows = match section.take("piece") {
        Some(pieces) => {
            for key in ROW_KEYS.into_iter().chain(Field::ALL.iter().map(|field| field.name())) {
                section.belongs_elsewhere(
                    key,
                    "the same line below a [[find.piece]] of this find, or no [[find.piece]] at all",
                );
            }
            rows(&pieces, has_comps, bare, library, problems)
        }
        None if section.has("form") || ROW_KEYS.iter().any(|key| section.has(key)) => {
            let deciding = deciding(has_comps, [&section]);
            row(&mut section, deciding, bare, library, problems).map(|row| (deciding, vec![row]))
        }
        None => {
            // Asked for so that a misspelt key of the short form is told as such below.
            for key in ROW_KEYS {
                section.take(key);
            }
            Err(section.misses("piece", "the find has no pieces", RIGHT_PIECES, problems))
        }
    };
    let price = price.map(|entry| one_price(&entry, &rows, problems)).transpose();
    let rows =
        rows.and_then(|(deciding, rows)| Ok((deciding.by, deciding.settle(rows, &section, problems)?)));
    section.close(problems);
    let find = (|| {
        let (lots_by, rows) = rows?;
        Ok(Find {
            name: name.clone()?,
            rows,
            price: price?,
            lots_by,
            comps: comps?,
            grade: grade?,
            cost: cost?,
            largest_lot: largest_lot?,
            words: words?,
        })
    })();
    NamedFind { name, find }
}

/// Every key that a find or its pieces read.
fn known() -> Vec<&'static str> {
    FIND_KEYS.into_iter().chain(ROW_KEYS).chain(Field::ALL.iter().map(|field| field.name())).collect()
}

/// Who decides on a find's lots. Comps or `per_lot` under a misspelt key count: that key is told, and nothing
/// else is blamed for it.
fn deciding<'s, 't: 's, 'i: 't>(
    has_comps: bool,
    rows: impl IntoIterator<Item = &'s Section<'t, 'i>>,
) -> Deciding {
    let known = known();
    Deciding::new(has_comps, rows.into_iter().any(|row| row.means("per_lot", &known)))
}

/// The rows of a find and who decides on its lots.
type ReadRows<'t, 'i> = Result<(Deciding, Vec<ReadRow<'t, 'i>>), Told>;

/// The price of one lot.
fn one_price(
    entry: &Entry<'_, '_>,
    rows: &ReadRows<'_, '_>,
    problems: &mut Problems<'_>,
) -> Result<Money, Told> {
    const RIGHT: &str = "price = 24.00";
    match rows {
        Ok((Deciding { by: LotsBy::Split, .. }, _)) => Err(entry.wrong(
            problems,
            "`price` is of one lot, and here the split decides on the lots and their prices",
            "per_lot beside it, or no price; what all of it costs is `asking` or `paid`",
        )),
        Ok((Deciding { by: LotsBy::Sheet, .. }, _)) | Err(_) => {
            figure::money(entry, Least::OneCent, RIGHT, problems)
        }
    }
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
    has_comps: bool,
    bare: Bare,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> ReadRows<'t, 'i> {
    let sections = pieces.sections(MOST_ROWS, RIGHT_PIECES, problems)?;
    let deciding = deciding(has_comps, &sections);
    let rows: Vec<_> = sections
        .into_iter()
        .map(|mut section| {
            let read = row(&mut section, deciding, bare, library, problems);
            section.belongs_elsewhere("price", "price = 24.00 below [[find]], for the whole lot");
            section.belongs_elsewhere(
                "name",
                "name below [[find]]; a piece has `what`, for example what = \"cup\"",
            );
            section.belongs_elsewhere(
                "grade",
                "grade below [[find]], for all its pieces; flawed ones have `flawed_grade`",
            );
            section.close(problems);
            read
        })
        .collect();
    Ok((deciding, rows.into_iter().collect::<Result<_, _>>()?))
}

/// What all of it costs: asked, or paid already.
fn cost(section: &mut Section<'_, '_>, problems: &mut Problems<'_>) -> Result<Cost, Told> {
    let asking = section.take("asking");
    let paid = section.take("paid");
    match (asking, paid) {
        (Some(_), Some(paid)) => Err(paid.wrong(
            problems,
            "`asking` and `paid` stand together",
            "asking = 7.00 before it is bought, paid = 7.00 afterwards",
        )),
        (Some(entry), None) => {
            figure::money(&entry, Least::Nothing, "asking = 7.00", problems).map(Cost::Asked)
        }
        (None, Some(entry)) => figure::money(&entry, Least::Nothing, "paid = 7.00", problems).map(Cost::Paid),
        (None, None) => Ok(Cost::Unknown),
    }
}
