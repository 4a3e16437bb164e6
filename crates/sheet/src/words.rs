//! The words for a find's listing.

use listing::{Belonging, Maker, Period};
use trade::Words;

use crate::entry::Entry;
use crate::section::Section;
use crate::told::{Problems, Told, quoted};

/// Keys of `words`.
pub(crate) const WORD_KEYS: [&str; 13] = [
    "maker",
    "attributed_to",
    "pattern",
    "size",
    "colour",
    "decoration",
    "material",
    "period",
    "proof",
    "country",
    "synonyms",
    "not_included",
    "sold_as",
];
/// Most words of one kind.
const MOST_WORDS: usize = 20;
/// Most persons of a service: as many as a lot has pieces.
const MOST_PERSONS: u32 = crate::row::MOST_IN_A_LOT;
/// The word for a piece without a mark.
const UNMARKED: &str = "unmarked";
/// The word for an age without a date.
const VINTAGE: &str = "vintage";
const RIGHT: &str = "words = { maker = \"unmarked\", material = \"stoneware\", colour = \"green\" }";

/// Reads `words` of a find; what isn't said stays unsaid.
pub(crate) fn words(find: &mut Section<'_, '_>, problems: &mut Problems<'_>) -> Result<Words, Told> {
    let Some(entry) = find.take("words") else { return Ok(Words::default()) };
    let mut section = entry.section(RIGHT, problems)?;
    let maker = maker(&mut section, problems);
    let period = period(&mut section, problems);
    let mut text = |key, right| match section.take(key) {
        None => Ok(String::new()),
        Some(entry) => entry.text(right, problems).map(str::to_owned),
    };
    let pattern = text("pattern", "pattern = \"Wheat Border\"");
    let size = text("size", "size = \"8 oz\"");
    let colour = text("colour", "colour = \"green\"");
    let decoration = text("decoration", "decoration = \"gilt rim\"");
    let material = text("material", "material = \"stoneware\"");
    let country = text("country", "country = \"England\"");
    let mut texts = |key, right: &str| match section.take(key) {
        None => Ok(Vec::new()),
        Some(entry) => {
            let members = entry.list(MOST_WORDS, right, problems)?;
            let read: Vec<Result<String, Told>> =
                members.iter().map(|member| member.text(right, problems).map(str::to_owned)).collect();
            read.into_iter().collect::<Result<Vec<_>, _>>()
        }
    };
    let synonyms = texts("synonyms", "synonyms = [\"bouillon\"]");
    let not_included = texts("not_included", "not_included = [\"spoons\"]");
    let belonging = section.take("sold_as").map(|entry| belonging(&entry, problems)).transpose();
    section.close(problems);
    Ok(Words {
        maker: maker?,
        pattern: pattern?,
        size: size?,
        colour: colour?,
        decoration: decoration?,
        material: material?,
        period: period?,
        country: country?,
        synonyms: synonyms?,
        belonging: belonging?,
        not_included: not_included?,
    })
}

fn maker(words: &mut Section<'_, '_>, problems: &mut Problems<'_>) -> Result<Maker, Told> {
    const RIGHT: &str = "maker = \"unmarked\"";
    const RIGHT_ATTRIBUTED: &str = "attributed_to = \"a pottery\"";
    match (words.take("maker"), words.take("attributed_to")) {
        (None, None) => Ok(Maker::Unsaid),
        (Some(maker), None) => {
            let name = maker.text(RIGHT, problems)?;
            Ok(if name.eq_ignore_ascii_case(UNMARKED) {
                Maker::Unmarked
            } else {
                Maker::Marked(name.to_owned())
            })
        }
        (None, Some(entry)) => Ok(Maker::AttributedTo(entry.text(RIGHT_ATTRIBUTED, problems)?.to_owned())),
        (Some(_), Some(entry)) => Err(entry.wrong(
            problems,
            "`maker` and `attributed_to` stand together",
            "maker for a marked piece (or \"unmarked\"), or attributed_to for good grounds without a mark",
        )),
    }
}

fn period(words: &mut Section<'_, '_>, problems: &mut Problems<'_>) -> Result<Period, Told> {
    const RIGHT: &str = "period = \"vintage\", or period = \"1950s\" with proof";
    const RIGHT_PROOF: &str = "proof = \"date mark under the foot\"";
    let (period, proof) = (words.take("period"), words.take("proof"));
    let dated = period.as_ref().map(|entry| entry.text(RIGHT, problems)).transpose();
    let proven = proof.as_ref().map(|entry| Ok((entry.text(RIGHT_PROOF, problems)?, entry))).transpose();
    match (dated?, proven?) {
        (Some(words), proven) if !words.eq_ignore_ascii_case(VINTAGE) => {
            let proof = proven.map_or_else(String::new, |(proof, _)| proof.to_owned());
            Ok(Period::Dated { words: words.to_owned(), proof })
        }
        (_, Some((_, entry))) => {
            let message = "there is no date that this would prove";
            Err(entry.wrong(problems, message, "period = \"1950s\" beside it, or no proof"))
        }
        (Some(_), None) => Ok(Period::Vintage),
        (None, None) => Ok(Period::Unsaid),
    }
}

/// Why the pieces are sold together.
fn belonging(entry: &Entry<'_, '_>, problems: &mut Problems<'_>) -> Result<Belonging, Told> {
    const RIGHT: &str = "sold_as = \"alike\", \"set\", \"lot\" or \"service for 4\"";
    let text = entry.text(RIGHT, problems)?;
    let persons = || {
        let persons: u32 = text.strip_prefix("service for ")?.trim().parse().ok()?;
        (1..=MOST_PERSONS).contains(&persons).then_some(persons)
    };
    match text {
        "alike" => Ok(Belonging::Alike),
        "set" => Ok(Belonging::MadeAsSet),
        "lot" => Ok(Belonging::MerelyTogether),
        other => persons().map(Belonging::PlaceSettings).ok_or_else(|| {
            let message = format!("pieces are not sold as \"{}\"", quoted(other));
            entry.wrong(problems, message, RIGHT)
        }),
    }
}
