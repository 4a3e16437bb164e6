//! A row of a find: like pieces of one form, how many there are and how many go into a lot.

use forms::{Form, FormsError};
use trade::Row;

use crate::entry::Entry;
use crate::figure::Bare;
use crate::library::{Library, any_of, unknown};
use crate::measured::measures;
use crate::section::Section;
use crate::told::{Problems, Told, quoted};

/// Most pieces of one row.
pub(crate) const MOST_PIECES: u32 = 1000;
/// Most pieces of one row in one lot.
pub(crate) const MOST_IN_A_LOT: u32 = 100;

/// Keys of a row that aren't measures.
pub(crate) const ROW_KEYS: [&str; 6] = ["form", "what", "count", "flawed", "per_lot", "recipe"];

/// A row with the places that its find may have to name.
pub(crate) struct ReadRow<'t, 'i> {
    pub(crate) row: Row,
    pub(crate) per_lot: Entry<'t, 'i>,
}

/// Reads the keys of a row from its own table or, in the short form, from its find's.
pub(crate) fn row<'t, 'i>(
    section: &mut Section<'t, 'i>,
    bare: Bare,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<ReadRow<'t, 'i>, Told> {
    let named = section.need("form", "form = \"diner_mug\"", problems);
    let form = named.and_then(|named| Ok((form(&named, library, problems)?, named)));
    let what = section.take("what").map(|entry| entry.text("what = \"cup\"", problems)).transpose();
    let count = section
        .need("count", "count = 14", problems)
        .and_then(|entry| Ok((entry.whole(1..=MOST_PIECES, "count = 14", problems)?, entry)));
    let flawed = flawed(section, &count, problems);
    let per_lot = per_lot(section, &count, problems);
    let recipe = recipe(section, library, problems);
    let known = form.as_ref().ok().map(|(form, named)| (*form, named));
    let measures = measures(section, known, bare, problems);
    let (form, _) = form?;
    let (per_lot, per_lot_entry) = per_lot?;
    let row = Row {
        what: what?.map_or_else(|| form.name.clone(), str::to_owned),
        form: form.clone(),
        measures: measures?,
        count: count?.0,
        flawed: flawed?,
        per_lot,
        recipe: recipe?,
    };
    Ok(ReadRow { row, per_lot: per_lot_entry })
}

fn form<'a>(
    entry: &Entry<'_, '_>,
    library: &Library<'a>,
    problems: &mut Problems<'_>,
) -> Result<&'a Form, Told> {
    let name = entry.text("form = \"diner_mug\"", problems)?;
    library.forms.find(name).map_err(|error| {
        let near = match error {
            FormsError::UnknownForm { nearest, .. } => nearest,
            _ => Vec::new(),
        };
        let right = if near.is_empty() {
            "a form of the list of forms (`lotwright forms`), for example form = \"diner_mug\"".to_owned()
        } else {
            any_of(&near)
        };
        entry.wrong(problems, format!("no form is called \"{}\"", quoted(name)), right)
    })
}

type Counted<'t, 'i> = Result<(u32, Entry<'t, 'i>), Told>;

fn flawed(
    section: &mut Section<'_, '_>,
    count: &Counted<'_, '_>,
    problems: &mut Problems<'_>,
) -> Result<u32, Told> {
    const RIGHT: &str = "flawed = 1";
    let Some(entry) = section.take("flawed") else { return Ok(0) };
    let flawed = entry.whole(0..=MOST_PIECES, RIGHT, problems)?;
    match count {
        Ok((count, _)) if flawed > *count => Err(entry.wrong(
            problems,
            format!("{flawed} of the pieces are flawed, but there are only {count}"),
            format!("at most the count, {count}"),
        )),
        _ => Ok(flawed),
    }
}

fn per_lot<'t, 'i>(
    section: &mut Section<'t, 'i>,
    count: &Counted<'_, '_>,
    problems: &mut Problems<'_>,
) -> Counted<'t, 'i> {
    const RIGHT: &str = "per_lot = 2";
    let entry = section.need("per_lot", RIGHT, problems)?;
    let per_lot = entry.whole(0..=MOST_IN_A_LOT, RIGHT, problems)?;
    match count {
        Ok((count, _)) if per_lot > *count => Err(entry.wrong(
            problems,
            format!("a lot takes {per_lot} pieces, but there are only {count}"),
            format!("at most the count, {count}"),
        )),
        _ => Ok((per_lot, entry)),
    }
}

fn recipe(
    section: &mut Section<'_, '_>,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<Option<String>, Told> {
    let Some(entry) = section.take("recipe") else { return Ok(None) };
    let name = entry.text("recipe = \"cup\"", problems)?;
    let found = library.recipes.find(name).map(|recipe| Some(recipe.name.clone()));
    found.map_err(|error| {
        let known = library.recipes.iter().map(|recipe| recipe.name.as_str());
        unknown(&entry, "recipe", name, &error, known, problems)
    })
}
