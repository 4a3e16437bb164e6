//! The fields of a listing, and what is read out of them.

use books::FindId;
use measure::Money;
use shop::{ListingPart, Shop, Venue, Which};

use crate::form::{Choice, Field, Filled, Kind, Mistakes, short};
use crate::shopdoor::NoAnswer;

/// Most lots of one listing.
const MOST_LOTS: u32 = 100_000;
/// Most pieces of a find in one lot.
const MOST_PIECES: u32 = 100_000;
/// Most kinds of pieces in one lot.
const MOST_KINDS: usize = 20;
/// Longest title, characters: over any venue's limit (judgement).
const LONGEST_TITLE: usize = 300;
/// Longest name of a venue, characters (judgement).
const LONGEST_VENUE: usize = 100;

/// What a listing is made of, beside its lots' contents.
pub(super) struct Read {
    pub title: Option<String>,
    pub lots: u32,
    pub price: Money,
    pub floor: Option<Money>,
    pub venue: Option<String>,
    /// Its condition, where it was said.
    pub grade: Option<pricing::Grade>,
}

impl Read {
    /// What a listing's card remembers, with the condition as it is said now.
    pub(super) fn card(&self, mut card: serde_json::Value) -> serde_json::Value {
        if !card.is_object() {
            card = serde_json::json!({});
        }
        if let Some(fields) = card.as_object_mut() {
            fields.remove("grade");
            if let Some(grade) = self.grade {
                fields.insert("grade".to_owned(), serde_json::Value::from(format!("{grade:?}")));
            }
        }
        card
    }
}

/// The names of the venues that were noted, and of those that come with the program.
pub(super) fn venues(shop: &Shop) -> Result<Vec<String>, NoAnswer> {
    let mut names: Vec<String> = shop.noted::<Venue>()?.into_iter().map(|(_, one)| one.name).collect();
    let published = listing::Venues::published();
    names.extend(
        published
            .iter()
            .map(|one| one.name.clone())
            .filter(|name| keeping::known_venue(shop, name).is_ok_and(|known| known.is_none())),
    );
    Ok(names)
}

/// What one lot holds: only asked of a new listing, or of one that nobody ordered from.
pub(super) fn contents() -> [Field; 2] {
    [
        Field::needed(
            "holds",
            "What one lot holds",
            "4 of 12 is four pieces of find 12; for mixed lots a line for each find.",
            Kind::Lines { rows: 2, sheet: false },
        ),
        Field::needed(
            "which",
            "Which pieces",
            "",
            Kind::OneOf(vec![
                Choice::new("sound", "sound ones"),
                Choice::new("flawed", "flawed ones"),
                Choice::new("any", "any, the sound ones first"),
            ]),
        ),
    ]
}

/// The rest of its fields.
pub(super) fn offered(venues: &[String], title_needed: bool) -> Vec<Field> {
    let title = Field::optional(
        "title",
        "Title",
        if title_needed {
            ""
        } else {
            "Left out, it is the counts and descriptions. The card writes a better one."
        },
        Kind::Words { known: Vec::new() },
    );
    vec![
        Field { optional: !title_needed, ..title },
        Field::needed("lots", "Lots in all", "Those promised and sold among them.", Kind::Whole),
        Field::needed("price", "Price of one lot", "", Kind::Money),
        Field::optional("floor", "Least that an offer may be", "", Kind::Money),
        Field::optional("venue", "Where it is listed", "", Kind::Words { known: venues.to_vec() }),
        crate::lots::grade_field("grade", "Condition", "C, or E where all are flawed"),
    ]
}

/// Whether it is up or over.
pub(super) fn state() -> Field {
    Field::needed(
        "state",
        "State",
        "",
        Kind::OneOf(vec![Choice::new("up", "up"), Choice::new("over", "over: nothing more can be ordered")]),
    )
}

/// Reads what one lot holds.
pub(super) fn read_contents(filled: &Filled, mistakes: &mut Mistakes) -> Vec<ListingPart> {
    let which = match filled.text("which") {
        Some("flawed") => Which::Flawed,
        Some("any") => Which::Any,
        Some(_) | None => Which::Sound,
    };
    const RIGHT: &str = "right would be: 4 of 12, four pieces of find 12";
    if filled.needed("holds", "Say what one lot holds, for example: 4 of 12", mistakes).is_none() {
        return Vec::new();
    }
    let mut parts: Vec<ListingPart> = Vec::new();
    for (number, line) in filled.lines("holds") {
        let (pieces, find) = line.split_once("of").unwrap_or(("", line));
        let find = find.trim().trim_start_matches("find").trim_start_matches('#').trim();
        let read = pieces.trim().parse::<u32>().ok().zip(find.parse::<u64>().ok());
        match read.filter(|(pieces, _)| (1..=MOST_PIECES).contains(pieces)) {
            Some((_, find)) if parts.iter().any(|part| part.find.0 == find) => {
                mistakes.add(
                    "holds",
                    format!("Line {number}: find {find} is named twice; {RIGHT}, each find once"),
                );
            }
            Some((pieces, find)) => parts.push(ListingPart { find: FindId(find), pieces, which }),
            None => {
                mistakes.add("holds", format!("Line {number}: \"{}\" can't be read; {RIGHT}", short(line)))
            }
        }
    }
    if parts.len() > MOST_KINDS {
        mistakes.add(
            "holds",
            format!("{} finds are too many for one lot; right would be at most {MOST_KINDS}", parts.len()),
        );
    }
    parts
}

/// Reads the rest; `None` leaves at least one mistake.
pub(super) fn read_offered(filled: &Filled, title_needed: bool, mistakes: &mut Mistakes) -> Option<Read> {
    let title = if title_needed {
        filled.needed("title", "Give it a title, for example: Set of 4 diner mugs", mistakes)
    } else {
        filled.text("title")
    };
    let title = title.map(str::to_owned);
    for (name, longest) in [("title", LONGEST_TITLE), ("venue", LONGEST_VENUE)] {
        let length = filled.text(name).unwrap_or("").chars().count();
        if length > longest {
            mistakes.add(name, format!("{length} characters are too many; right would be at most {longest}"));
        }
    }
    filled.needed("lots", "Say how many lots, for example: 2", mistakes);
    let lots = filled.whole("lots", 0..=MOST_LOTS, mistakes);
    filled.needed("price", "Say what one lot costs, for example: 38.00", mistakes);
    let price = filled.money("price", mistakes);
    let floor = filled.money("floor", mistakes);
    if let (Some(price), Some(floor)) = (price, floor)
        && floor > price
    {
        mistakes.add("floor", format!("{floor} is over the price; right would be at most {price}"));
    }
    let venue = filled.text("venue").map(str::to_owned);
    let grade = crate::lots::read_grade(filled, "grade", mistakes);
    Some(Read { title, lots: lots?, price: price?, floor, venue, grade }).filter(|_| mistakes.is_empty())
}

#[cfg(test)]
mod tests {
    use super::{read_contents, read_offered};
    use crate::form::{Filled, Mistakes};
    use books::FindId;

    #[test]
    fn contents_are_read_line_by_line_and_mistakes_say_their_line() {
        let mut mistakes = Mistakes::default();
        let filled = Filled::default().with("holds", "4 of 12\n\n 1 of find 3 ");
        let parts = read_contents(&filled, &mut mistakes);
        let told: Vec<_> = parts.iter().map(|part| (part.pieces, part.find)).collect();
        assert_eq!(told, [(4, FindId(12)), (1, FindId(3))]);
        assert!(mistakes.is_empty());
        for (wrong, line) in [
            ("4 of 1\nfour of 2", "Line 2"),
            ("0 of 1", "Line 1"),
            ("4 of 1\n2 of 1", "Line 2"),
            ("12", "Line 1"),
        ] {
            let mut mistakes = Mistakes::default();
            read_contents(&Filled::default().with("holds", wrong), &mut mistakes);
            assert!(
                mistakes.of("holds").is_some_and(|message| message.starts_with(line)),
                "{wrong}: {mistakes:?}"
            );
        }
    }

    #[test]
    fn a_floor_over_the_price_is_a_mistake_of_the_floor() {
        let mut mistakes = Mistakes::default();
        let filled = Filled::default().with("lots", "2").with("price", "20").with("floor", "20.01");
        assert!(read_offered(&filled, false, &mut mistakes).is_none());
        assert!(mistakes.of("floor").is_some() && mistakes.of("price").is_none());
        let mut mistakes = Mistakes::default();
        assert!(read_offered(&filled.with("floor", "20"), false, &mut mistakes).is_some());
    }
}
