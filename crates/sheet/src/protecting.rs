//! How pieces are protected, and what packing them is worth.

use measure::{Length, Money};
use trade::Protecting;

use crate::entry::Entry;
use crate::figure::{self, Bare, Least};
use crate::library::Library;
use crate::nearest::{known, suggestion};
use crate::section::Section;
use crate::told::{Problems, Told, quoted};

/// Greatest wall clearance that makes sense in a carton of the post.
const MOST_CLEARANCE: Length = Length::from_inches(12.0);
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
    const RIGHT: &str = "[packing] with profile, clearance, fill and wage, each of which may be left out";
    let Some(entry) = sheet.take("packing") else {
        let protecting =
            Protecting { profile: library.usual_profile.clone(), clearance: None, fill: library.usual_fill.clone() };
        return Ok(Packing { protecting, wage: USUAL_WAGE });
    };
    let mut section = entry.section(RIGHT, problems)?;
    let profile =
        named(&mut section, "profile", &library.profiles, &library.usual_profile, problems);
    let fill = named(&mut section, "fill", &library.fills, &library.usual_fill, problems);
    let clearance = section.take("clearance").map(|entry| clearance(&entry, bare, problems)).transpose();
    let wage = section.take("wage").map_or(Ok(USUAL_WAGE), |entry| {
        figure::money(&entry, Least::Nothing, "wage = 15.00", problems)
    });
    section.close(problems);
    let protecting = Protecting { profile: profile?, clearance: clearance?, fill: fill? };
    Ok(Packing { protecting, wage: wage? })
}

fn named(
    section: &mut Section<'_, '_>,
    key: &'static str,
    names: &[String],
    usual: &str,
    problems: &mut Problems<'_>,
) -> Result<String, Told> {
    let Some(entry) = section.take(key) else { return Ok(usual.to_owned()) };
    let name = entry.text(&format!("{key} = \"{usual}\""), problems)?;
    if let Some(known) = known(name, names) {
        return Ok(known.to_owned());
    }
    let right = suggestion(name, names.iter().map(String::as_str));
    Err(entry.wrong(problems, format!("no {key} is called \"{}\"", quoted(name)), right))
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
