//! A row of a find: like pieces of one form, how many there are and how many go into a lot.

use std::ops::Range;

use forms::{Form, FormsError};
use listing::{Conditions, Flaw, ListingError};
use pricing::Grade;
use trade::Row;

use crate::comps::grade;
use crate::entry::Entry;
use crate::figure::Bare;
use crate::library::{Library, any_of, unknown};
use crate::measured::measures;
use crate::section::Section;
use crate::told::{Problems, Told, parted, quoted};

/// Most pieces of one row.
pub(crate) const MOST_PIECES: u32 = 1000;
/// Most pieces of one row in one lot.
pub(crate) const MOST_IN_A_LOT: u32 = 100;

/// Keys of a row that aren't measures.
pub(crate) const ROW_KEYS: [&str; 10] =
    ["form", "what", "count", "flawed", "per_lot", "per_set", "recipe", "alone", "flawed_grade", "flaws"];
/// Most flaws of one row.
const MOST_FLAWS: usize = 100;
/// What a piece of a set is worth by itself, as a share of the set (judgement).
const USUAL_ALONE: f64 = 0.4;

/// A row with what its find decides on and the places it may have to name.
pub(crate) struct ReadRow<'t, 'i> {
    /// Its `per_lot` is still to be set by the find.
    pub(crate) row: Row,
    /// How many go into a lot, where that is stated.
    pub(crate) per_lot: Option<(u32, Entry<'t, 'i>)>,
    /// How many make a set, where the split decides.
    pub(crate) per_set: Option<(u32, Entry<'t, 'i>)>,
    /// What one is worth by itself, where that is stated.
    pub(crate) alone: Option<f64>,
    /// Where a key of the row would stand.
    pub(crate) place: String,
    /// The row's header or braces.
    pub(crate) span: Range<usize>,
}

impl ReadRow<'_, '_> {
    /// The worth by itself that holds when nothing is stated: all of a set of one piece.
    pub(crate) fn alone(&self, only_piece: bool) -> f64 {
        self.alone.unwrap_or(if only_piece { 1.0 } else { USUAL_ALONE })
    }
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
    let per_lot = share_of_row(section, "per_lot", "per_lot = 2", &count, problems);
    let per_set = share_of_row(section, "per_set", "per_set = 1", &count, problems);
    let alone =
        section.take("alone").map(|entry| entry.percent(0.0..=1.0, "alone = \"40 %\"", problems)).transpose();
    let flawed_grade = section
        .take("flawed_grade")
        .map_or(Ok(Grade::E), |entry| grade(&entry, "flawed_grade = \"E\"", problems));
    let flaws = flaws(section, &count, problems);
    let recipe = recipe(section, library, problems);
    let known = form.as_ref().ok().map(|(form, named)| (*form, named));
    let measures = measures(section, known, bare, problems);
    let (form, _) = form?;
    let row = Row {
        what: what?.map_or_else(|| form.name.clone(), str::to_owned),
        form: form.clone(),
        measures: measures?,
        count: count?.0,
        flawed: flawed?,
        per_lot: 0,
        recipe: recipe?,
        alone: 1.0,
        flawed_grade: flawed_grade?,
        flaws: flaws?,
    };
    Ok(ReadRow {
        row,
        per_lot: per_lot?,
        per_set: per_set?,
        alone: alone?,
        place: section.path().to_owned(),
        span: section.span(),
    })
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

/// How many pieces of the row go into a lot or a set, if that is stated.
fn share_of_row<'t, 'i>(
    section: &mut Section<'t, 'i>,
    key: &'static str,
    right: &str,
    count: &Counted<'_, '_>,
    problems: &mut Problems<'_>,
) -> Result<Option<(u32, Entry<'t, 'i>)>, Told> {
    let Some(entry) = section.take(key) else { return Ok(None) };
    let pieces = entry.whole(0..=MOST_IN_A_LOT, right, problems)?;
    match count {
        Ok((count, _)) if pieces > *count => Err(entry.wrong(
            problems,
            format!("a {} takes {pieces} pieces, but there are only {count}", key.trim_start_matches("per_")),
            format!("at most the count, {count}"),
        )),
        _ => Ok(Some((pieces, entry))),
    }
}

/// The flaws of the row's pieces, one line each.
fn flaws(
    section: &mut Section<'_, '_>,
    count: &Counted<'_, '_>,
    problems: &mut Problems<'_>,
) -> Result<Vec<Flaw>, Told> {
    const RIGHT: &str = "flaws = [\"1 hairline 1 1/2 in rim\"]";
    let Some(entry) = section.take("flaws") else { return Ok(Vec::new()) };
    let vocabulary = Conditions::published();
    let read: Vec<Result<Flaw, Told>> = entry
        .list(MOST_FLAWS, RIGHT, problems)?
        .iter()
        .map(|member| {
            let line = member.text("\"1 hairline 1 1/2 in rim\"", problems)?;
            let pieces = count.as_ref().map_or(MOST_PIECES, |(count, _)| *count);
            vocabulary.read_flaw(line, pieces).map_err(|error| match error {
                ListingError::FlawText { span, problem, right, .. } => {
                    member.wrong_within(problems, line, span, problem, right)
                }
                other => {
                    let (message, right) = parted(&other.to_string(), RIGHT);
                    member.wrong(problems, message, right)
                }
            })
        })
        .collect();
    read.into_iter().collect()
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
