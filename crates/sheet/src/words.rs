//! The words for a find's listing.

use listing::{Belonging, Maker, Period};
use trade::Words;

use crate::entry::Entry;
use crate::section::Section;
use crate::told::{Problems, Told, quoted};

/// Most words of one kind.
const MOST_WORDS: usize = 20;
const RIGHT: &str = "words = { maker = \"unmarked\", material = \"stoneware\", colour = \"green\" }";

/// Reads `words` of a find; what isn't said stays unsaid.
pub(crate) fn words(find: &mut Section<'_, '_>, problems: &mut Problems<'_>) -> Result<Words, Told> {
    let Some(entry) = find.take("words") else { return Ok(Words::default()) };
    let mut section = entry.section(RIGHT, problems)?;
    let mut text = |key, right| match section.take(key) {
        None => Ok(String::new()),
        Some(entry) => entry.text(right, problems).map(str::to_owned),
    };
    let maker = text("maker", "maker = \"unmarked\"");
    let attributed = text("attributed_to", "attributed_to = \"a pottery\"");
    let pattern = text("pattern", "pattern = \"Wheat Border\"");
    let size = text("size", "size = \"8 oz\"");
    let colour = text("colour", "colour = \"green\"");
    let decoration = text("decoration", "decoration = \"gilt rim\"");
    let material = text("material", "material = \"stoneware\"");
    let period = text("period", "period = \"vintage\"");
    let proof = text("proof", "proof = \"date mark under the foot\"");
    let country = text("country", "country = \"England\"");
    let mut texts = |key, right: &str| match section.take(key) {
        None => Ok(Vec::new()),
        Some(entry) => {
            let members = entry.list(MOST_WORDS, right, problems)?;
            members
                .iter()
                .map(|member| member.text(right, problems).map(str::to_owned))
                .collect::<Result<Vec<_>, _>>()
        }
    };
    let synonyms = texts("synonyms", "synonyms = [\"bouillon\"]");
    let not_included = texts("not_included", "not_included = [\"spoons\"]");
    let belonging = section.take("sold_as").map(|entry| belonging(&entry, problems)).transpose();
    section.close(problems);
    let (maker, attributed) = (maker?, attributed?);
    let maker = match (maker.as_str(), attributed.is_empty()) {
        ("", true) => Maker::Unsaid,
        ("", false) => Maker::AttributedTo(attributed),
        ("unmarked", true) => Maker::Unmarked,
        (_, true) => Maker::Marked(maker),
        (_, false) => {
            let message = "`maker` and `attributed_to` stand together";
            let right =
                "maker for a marked piece (or \"unmarked\"), attributed_to for good grounds without a mark";
            return Err(entry.wrong(problems, message, right));
        }
    };
    let (period, proof) = (period?, proof?);
    let period = match period.as_str() {
        "" => Period::Unsaid,
        "vintage" => Period::Vintage,
        _ => Period::Dated { words: period, proof },
    };
    Ok(Words {
        maker,
        pattern: pattern?,
        size: size?,
        colour: colour?,
        decoration: decoration?,
        material: material?,
        period,
        country: country?,
        synonyms: synonyms?,
        belonging: belonging?,
        not_included: not_included?,
    })
}

/// Why the pieces are sold together.
fn belonging(entry: &Entry<'_, '_>, problems: &mut Problems<'_>) -> Result<Belonging, Told> {
    const RIGHT: &str = "sold_as = \"alike\", \"set\", \"lot\" or \"service for 4\"";
    let text = entry.text(RIGHT, problems)?;
    match text {
        "alike" => Ok(Belonging::Alike),
        "set" => Ok(Belonging::MadeAsSet),
        "lot" => Ok(Belonging::MerelyTogether),
        other => {
            let persons = other.strip_prefix("service for ").and_then(|persons| persons.trim().parse().ok());
            match persons {
                Some(persons) if persons > 0 => Ok(Belonging::PlaceSettings(persons)),
                _ => {
                    let message = format!("pieces are not sold as \"{}\"", quoted(other));
                    Err(entry.wrong(problems, message, RIGHT))
                }
            }
        }
    }
}
