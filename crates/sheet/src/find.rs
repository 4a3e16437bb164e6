//! The finds of a sheet.

use forms::Field;
use jiff::civil::Date;
use pricing::Grade;
use trade::{Cost, Find, LotsBy, Row};

use crate::comps::{COMP_KEYS, comps, grade};
use crate::entry::Entry;
use crate::figure::{self, Bare, Least};
use crate::library::Library;
use crate::row::{ROW_KEYS, ReadRow, row};
use crate::section::Section;
use crate::told::{Problems, Told, quoted};
use crate::words::words;

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
    let price = section
        .take("price")
        .map(|entry| figure::money(&entry, Least::OneCent, "price = 24.00", problems))
        .transpose();
    let has_comps = COMP_KEYS.iter().any(|key| section.has(key));
    let comps = comps(&mut section, library, today, problems);
    let grade = section.take("grade").map_or(Ok(Grade::C), |entry| grade(&entry, "grade = \"C\"", problems));
    let cost = cost(&mut section, problems);
    let largest_lot = section
        .take("largest_lot")
        .map(|entry| entry.whole(1..=MOST_IN_A_LOT, "largest_lot = 6", problems))
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
    let rows = rows.and_then(|rows| lots(rows, has_comps, &section, problems));
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

/// Settles how many pieces of each row go into a lot or a set, and checks that there is at least one.
fn lots(
    rows: Vec<ReadRow<'_, '_>>,
    has_comps: bool,
    section: &Section<'_, '_>,
    problems: &mut Problems<'_>,
) -> Result<(LotsBy, Vec<Row>), Told> {
    let lots_by = match rows.iter().any(|read| read.per_lot.is_some()) || !has_comps {
        true => LotsBy::Sheet,
        false => LotsBy::Split,
    };
    let (key, right) = match lots_by {
        LotsBy::Sheet => ("per_lot", "per_lot of at most"),
        LotsBy::Split => ("per_set", "per_set of at most"),
    };
    let mut told = None;
    let mut settled = Vec::with_capacity(rows.len());
    for read in rows {
        let stated = match lots_by {
            LotsBy::Sheet => {
                if let Some((_, entry)) = &read.per_set {
                    let message = "`per_set` is read only where the split decides on the lots";
                    told =
                        Some(entry.wrong(problems, message, "comps and no per_lot in any piece of the find"));
                }
                if read.per_lot.is_none() {
                    let field = format!("{}.per_lot", read.place);
                    let right = "per_lot = 2, or comps below [[find]] so that the split decides";
                    told = Some(problems.tell(&field, read.span.clone(), "`per_lot` is missing", right));
                }
                read.per_lot.as_ref().map(|(pieces, _)| *pieces)
            }
            LotsBy::Split => Some(read.per_set.as_ref().map_or(1, |(pieces, _)| *pieces)),
        };
        settled.push((read, stated.unwrap_or(0)));
    }
    if let Some(told) = told {
        return Err(told);
    }
    let in_a_lot: u32 = settled.iter().map(|(_, pieces)| pieces).sum();
    let entry = |read: &ReadRow<'_, '_>| {
        let stated = match lots_by {
            LotsBy::Sheet => read.per_lot.as_ref(),
            LotsBy::Split => read.per_set.as_ref(),
        };
        stated.map_or((read.place.clone(), read.span.clone()), |(_, entry)| {
            (entry.path().to_owned(), entry.span())
        })
    };
    if in_a_lot == 0 {
        let (path, span) =
            settled.first().map_or((section.path().to_owned(), section.span()), |(read, _)| entry(read));
        let right = format!("{key} = 1 or more");
        return Err(problems.tell(&path, span, "no piece of this find goes into a lot", right));
    }
    if in_a_lot > MOST_IN_A_LOT {
        return Err(problems.tell(
            section.path(),
            section.span(),
            format!("a lot of this find has {in_a_lot} pieces"),
            format!("at most {MOST_IN_A_LOT} pieces in a lot over all its rows"),
        ));
    }
    for (read, pieces) in &settled {
        let usable = read.row.usable();
        if *pieces > usable {
            let message = format!(
                "the find makes no lot: a lot takes {pieces}, but only {usable} of the {} are without flaw",
                read.row.count
            );
            let (path, span) = entry(read);
            told = Some(problems.tell(&path, span, message, format!("{right} {usable}")));
        }
    }
    let kinds = settled.iter().filter(|(_, pieces)| *pieces > 0).count();
    match told {
        Some(told) => Err(told),
        None => Ok((
            lots_by,
            settled
                .into_iter()
                .map(|(read, per_lot)| Row {
                    per_lot,
                    alone: read.alone(kinds == 1 && per_lot > 0),
                    ..read.row
                })
                .collect(),
        )),
    }
}
