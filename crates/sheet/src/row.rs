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
use crate::lots::Deciding;
use crate::measured::measures;
use crate::section::Section;
use crate::told::{Problems, Told, parted, quoted};

/// Most pieces of one row.
pub(crate) const MOST_PIECES: u32 = 1000;
/// Most pieces of one row in one lot.
pub(crate) const MOST_IN_A_LOT: u32 = 100;

/// Keys of a row that aren't measures.
pub(crate) const ROW_KEYS: [&str; 12] = [
    "form",
    "what",
    "count",
    "flawed",
    "per_lot",
    "per_set",
    "recipe",
    "alone",
    "flawed_grade",
    "flaws",
    "fragility",
    "bears_g",
];
/// Most flaws of one row.
const MOST_FLAWS: usize = 100;
/// What a piece of a set is worth by itself, as a share of the set (judgement).
const USUAL_ALONE: f64 = 0.4;

/// A row with what its find decides on and the places it may have to name.
pub(crate) struct ReadRow<'t, 'i> {
    /// Its `per_lot` and `alone` are still to be settled by the find.
    pub(crate) row: Row,
    /// How many go into a lot or a set, where that is stated.
    pub(crate) stated: Option<(u32, Entry<'t, 'i>)>,
    /// What one is worth by itself, where that is stated.
    pub(crate) alone: Option<(f64, Entry<'t, 'i>)>,
    /// The row's own place.
    path: String,
    /// The row's header or braces.
    pub(crate) span: Range<usize>,
}

impl ReadRow<'_, '_> {
    /// Pieces of the row in a lot or a set; one of each makes a set where nothing is said.
    pub(crate) fn together(&self) -> u32 {
        self.stated.as_ref().map_or(1, |(pieces, _)| *pieces)
    }

    /// What a piece is worth by itself: all of a set of one piece.
    pub(crate) fn worth_alone(&self, set_is_one_piece: bool) -> f64 {
        let usual = if set_is_one_piece { 1.0 } else { USUAL_ALONE };
        self.alone.as_ref().map_or(usual, |(share, _)| *share)
    }

    /// Where it says how many go together, or the row where nothing says so.
    pub(crate) fn place_of_stated(&self) -> (String, Range<usize>) {
        match &self.stated {
            Some((_, entry)) => (entry.path().to_owned(), entry.span()),
            None => (self.path.clone(), self.span.clone()),
        }
    }
}

/// Reads the keys of a row from its own table or, in the short form, from its find's.
pub(crate) fn row<'t, 'i>(
    section: &mut Section<'t, 'i>,
    deciding: Deciding,
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
    let stated = deciding.stated(section, &count, problems);
    let alone = section
        .take("alone")
        .map(|entry| Ok((entry.percent(0.0..=1.0, "alone = \"40 %\"", problems)?, entry)))
        .transpose();
    let flawed_grade = section
        .take("flawed_grade")
        .map_or(Ok(Grade::E), |entry| grade(&entry, "flawed_grade = \"E\"", problems));
    let flaws = flaws(section, &count, problems);
    let recipe = recipe(section, library, problems);
    let bears = crate::fragility::bears(section, library, problems);
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
        bears: bears?,
    };
    Ok(ReadRow { row, stated: stated?, alone: alone?, path: section.path().to_owned(), span: section.span() })
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

/// The count of a row and where it stands.
pub(crate) type Counted<'t, 'i> = Result<(u32, Entry<'t, 'i>), Told>;

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

/// The flaws of the row's pieces, one line each.
fn flaws(
    section: &mut Section<'_, '_>,
    count: &Counted<'_, '_>,
    problems: &mut Problems<'_>,
) -> Result<Vec<Flaw>, Told> {
    const RIGHT: &str = "flaws = [\"1 hairline 1 1/2 in rim\"]";
    let Some(entry) = section.take("flaws") else { return Ok(Vec::new()) };
    // "1 of 4" and "all" hang on the count; one that can't be read is told already.
    let (count, _) = count.as_ref().map_err(|told| *told)?;
    let vocabulary = Conditions::published();
    let read: Vec<Result<Flaw, Told>> = entry
        .list(MOST_FLAWS, RIGHT, problems)?
        .iter()
        .map(|member| {
            let line = member.text("\"1 hairline 1 1/2 in rim\"", problems)?;
            vocabulary.read_flaw(line, *count).map_err(|error| match error {
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
