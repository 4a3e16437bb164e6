//! How pieces are protected, and what packing them is worth.

use cushion::Drops;
use measure::{Length, Money};
use protection::Profiles;
use trade::{Decide, DoubleBox, Protecting};

use crate::entry::Entry;
use crate::figure::{self, Bare, Least};
use crate::library::{Library, unknown};
use crate::nearest::{listed, suggestion};
use crate::section::Section;
use crate::told::{Problems, Told, quoted};

/// Greatest wall clearance that makes sense in a carton of the post.
const MOST_CLEARANCE: Length = Length::from_inches(12.0);
/// Least and most factor between what a piece bears and what is designed for.
const SAFETY: std::ops::RangeInclusive<f64> = 1.0..=5.0;
/// What an hour of packing is worth when the sheet doesn't say. Source: judgement.
const USUAL_WAGE: Money = Money::from_cents(15_00);

/// What `[packing]` says.
pub(crate) struct Packing {
    pub(crate) protecting: Protecting,
    pub(crate) wage: Money,
}

/// Reads `[packing]`; what it leaves out is the usual way.
pub(crate) fn packing(
    sheet: &mut Section<'_, '_>,
    bare: Bare,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<Packing, Told> {
    const RIGHT: &str = "[packing] with profile, clearance, fill, drop, decide, safety, double_box and wage, each \
                         of which may be left out";
    let Some(entry) = sheet.take("packing") else {
        let protecting = Protecting {
            profile: Profiles::USUAL.to_owned(),
            clearance: None,
            fill: library.materials.usual_fill().id.clone(),
            drop: Drops::USUAL.to_owned(),
            decide: Decide::default(),
            safety: None,
            double_box: DoubleBox::default(),
        };
        return Ok(Packing { protecting, wage: USUAL_WAGE });
    };
    let mut section = entry.section(RIGHT, problems)?;
    let profile = profile(&mut section, library, problems);
    let fill = fill(&mut section, library, problems);
    let clearance = section.take("clearance").map(|entry| clearance(&entry, bare, problems)).transpose();
    let wage = section
        .take("wage")
        .map_or(Ok(USUAL_WAGE), |entry| figure::money(&entry, Least::Nothing, "wage = 15.00", problems));
    let drop = drop(&mut section, library, problems);
    let decide = choice(&mut section, "decide", &Decide::ALL, Decide::word, problems);
    let double_box = choice(&mut section, "double_box", &DoubleBox::ALL, DoubleBox::word, problems);
    let safety =
        section.take("safety").map(|entry| entry.number(SAFETY, "safety = 1.25", problems)).transpose();
    section.close(problems);
    let protecting = Protecting {
        profile: profile?,
        clearance: clearance?,
        fill: fill?,
        drop: drop?,
        decide: decide?,
        safety: safety?,
        double_box: double_box?,
    };
    Ok(Packing { protecting, wage: wage? })
}

fn profile(
    section: &mut Section<'_, '_>,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<String, Told> {
    let Some(entry) = section.take("profile") else { return Ok(Profiles::USUAL.to_owned()) };
    let name = entry.text("profile = \"rule_of_two\"", problems)?;
    library.profiles.find(name).map(|profile| profile.name.clone()).map_err(|error| {
        let known = library.profiles.iter().map(|profile| profile.name.as_str());
        unknown(&entry, "profile", name, &error, known, problems)
    })
}

/// The name of a profile or schedule of drops.
fn drop(
    section: &mut Section<'_, '_>,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<String, Told> {
    let Some(entry) = section.take("drop") else { return Ok(Drops::USUAL.to_owned()) };
    let name = entry.text("drop = \"usual\"", problems)?;
    let profile = library.drops.profile(name).map(|found| found.key.clone());
    profile.or_else(|_| library.drops.schedule(name).map(|found| found.key.clone())).map_err(|_| {
        let known: Vec<&str> = library
            .drops
            .profiles()
            .map(|profile| profile.key.as_str())
            .chain(library.drops.schedules().map(|schedule| schedule.key.as_str()))
            .collect();
        let message = format!("no drop profile or schedule is called \"{}\"", quoted(name));
        entry.wrong(problems, message, suggestion(name, known))
    })
}

/// One of a few words.
fn choice<T: Copy + Default>(
    section: &mut Section<'_, '_>,
    key: &'static str,
    all: &[T],
    word: fn(T) -> &'static str,
    problems: &mut Problems<'_>,
) -> Result<T, Told> {
    let Some(entry) = section.take(key) else { return Ok(T::default()) };
    let words: Vec<&str> = all.iter().map(|one| word(*one)).collect();
    let written = entry.text(&format!("{key} = \"{}\"", words[0]), problems)?;
    all.iter().copied().find(|one| word(*one) == written.trim()).ok_or_else(|| {
        let message = format!("`{}` is no way for {key}", quoted(written));
        entry.wrong(problems, message, suggestion(written, words.iter().copied()))
    })
}

fn fill(
    section: &mut Section<'_, '_>,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<String, Told> {
    let usual = library.materials.usual_fill();
    let Some(entry) = section.take("fill") else { return Ok(usual.id.clone()) };
    let name = entry.text(&format!("fill = \"{}\"", usual.id), problems)?;
    let fills = || library.materials.fills().map(|fill| fill.id.as_str());
    let found = library.materials.find(name);
    let found = found.map_err(|error| unknown(&entry, "fill", name, &error, fills(), problems))?;
    if library.materials.fills().any(|fill| fill.id == found.id) {
        return Ok(found.id.clone());
    }
    let message = format!("{} is a material, but not a loose fill", found.name);
    Err(entry.wrong(problems, message, format!("one of {}", listed(fills()))))
}

fn clearance(entry: &Entry<'_, '_>, bare: Bare, problems: &mut Problems<'_>) -> Result<Length, Told> {
    const RIGHT: &str = "clearance = \"1 1/2 in\"";
    let clearance = figure::length(entry, bare, RIGHT, problems)?;
    if clearance <= MOST_CLEARANCE {
        return Ok(clearance);
    }
    Err(entry.wrong(
        problems,
        "the clearance is wider than any carton of the post leaves room for",
        format!("at most 12 in, for example {RIGHT}"),
    ))
}
