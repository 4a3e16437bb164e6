//! A find in one line: "14 consomme_cup 'cups' worth 60 at shelf B2, 1 flawed".

use measure::Money;
use shop::{FindText, NewFind};

use super::typed::money;
use crate::problems::Stop;

const RIGHT: &str = "\"14 consomme_cup 'cups' worth 60 at shelf B2, 1 flawed\"";

/// Words that end what stands before them.
const KEYS: [&str; 2] = ["worth", "at"];

/// Reads a find. The form must be one that is known; flawed pieces are among the count.
pub fn find_told(option: &str, text: &str, forms: &forms::Catalogue) -> Result<NewFind, Stop> {
    let wrong =
        |what: &str| Stop::Input(format!("{option}: in \"{text}\" {what}; right would be: {option} {RIGHT}"));
    let words = split(text).ok_or_else(|| wrong("a quote isn't closed"))?;
    let mut words = words.into_iter().peekable();
    let count = words.next().and_then(|word| word.plain()?.parse::<u32>().ok());
    let count = count.ok_or_else(|| wrong("the count that it begins with is missing"))?;
    if count == 0 {
        return Err(wrong("the count is 0, and a find has at least one piece"));
    }
    let (mut form, mut quoted, mut value, mut shelf, mut flawed) = (Vec::new(), None, None, None, 0);
    while let Some(word) = words.next() {
        let Word::Plain(plain) = word else {
            quoted = Some(word.text().to_owned());
            continue;
        };
        match plain.as_str() {
            "worth" => {
                let amount = words.next().ok_or_else(|| wrong("no amount follows \"worth\""))?;
                value = Some(money(&format!("{option}, worth"), amount.text())?);
            }
            "at" => {
                let _ = words.next_if(|word| word.plain() == Some("shelf"));
                let mut place: Vec<String> = Vec::new();
                while let Some(word) = words.next_if(|word| word.plain().is_none_or(|w| !KEYS.contains(&w))) {
                    if word.plain() == Some("flawed")
                        && let Some(figure) = place.pop()
                    {
                        flawed = whole(&figure).ok_or_else(|| wrong("no count stands before \"flawed\""))?;
                    } else {
                        place.push(word.text().to_owned());
                    }
                }
                shelf = Some(place.join(" ")).filter(|place| !place.is_empty());
                if shelf.is_none() {
                    return Err(wrong("no place follows \"at\""));
                }
            }
            "flawed" => {
                let figure = form.pop().and_then(|figure: String| whole(&figure));
                flawed = figure.ok_or_else(|| wrong("no count stands before \"flawed\""))?;
            }
            _ => form.push(plain),
        }
    }
    if flawed > count {
        return Err(wrong("more pieces are flawed than there are"));
    }
    let named = form.join(" ");
    if named.is_empty() {
        return Err(wrong("no form is named; `lotwright forms` lists them"));
    }
    let form = forms.find(&named).map_err(|e| Stop::Input(format!("{option}: {e}")))?;
    let text = FindText {
        form: form.id.clone(),
        description: quoted
            .unwrap_or_else(|| if count == 1 { form.name.clone() } else { measure::plural(&form.name) }),
        shelf: shelf.unwrap_or_default(),
    };
    Ok(NewFind { text, sound: count - flawed, flawed, value: value.unwrap_or(Money::ZERO) })
}

fn whole(figure: &str) -> Option<u32> {
    figure.parse().ok()
}

/// A word, or what stood between quotes.
enum Word {
    Plain(String),
    Quoted(String),
}

impl Word {
    fn text(&self) -> &str {
        match self {
            Self::Plain(text) | Self::Quoted(text) => text,
        }
    }

    fn plain(&self) -> Option<&str> {
        match self {
            Self::Plain(text) => Some(text),
            Self::Quoted(_) => None,
        }
    }
}

/// Words, with what stands in quotes as one; nothing where a quote isn't closed.
fn split(text: &str) -> Option<Vec<Word>> {
    let mut words = Vec::new();
    let mut rest = text;
    loop {
        rest = rest.trim_start_matches(|c: char| c.is_whitespace() || c == ',');
        let Some(first) = rest.chars().next() else { return Some(words) };
        if matches!(first, '\'' | '"') {
            let (inside, after) = rest.strip_prefix(first)?.split_once(first)?;
            words.push(Word::Quoted(inside.trim().to_owned()));
            rest = after;
        } else {
            let end = rest.find(|c: char| c.is_whitespace() || c == ',').unwrap_or(rest.len());
            let (word, after) = rest.split_at(end);
            words.push(Word::Plain(word.to_owned()));
            rest = after;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> Result<NewFind, Stop> {
        find_told("--find", text, &forms::Catalogue::published())
    }

    #[test]
    fn a_find_is_read_in_any_order_of_its_parts() {
        for text in [
            "14 consomme_cup 'brown cups' worth 60 at shelf B2, 1 flawed",
            "14 consomme cup, 1 flawed, 'brown cups' at B2 worth 60.00",
            "14 consomme_cup at shelf B2 1 flawed 'brown cups' worth $60",
        ] {
            let find = told(text).unwrap_or_else(|e| panic!("{text}: {e:?}"));
            assert_eq!((find.sound, find.flawed), (13, 1), "{text}");
            assert_eq!(find.value, Money::from_cents(6000), "{text}");
            assert_eq!(find.text.form, "consomme_cup", "{text}");
        }
        let plain = told("6 diner mug").unwrap();
        assert_eq!((plain.sound, plain.text.form.as_str(), plain.text.shelf.as_str()), (6, "diner_mug", ""));
    }

    #[test]
    fn what_cant_be_read_is_told_with_an_example() {
        for text in [
            "",
            "cups",
            "0 diner_mug",
            "3",
            "3 diner_mug worth",
            "3 diner_mug at",
            "3 diner_mug 'mugs",
            "3 diner_mug worth -4",
            "3 diner_mug 4 flawed",
            "3 flawed",
            "99999999999 diner_mug",
            "3 dinner_mugg",
        ] {
            let Err(Stop::Input(message)) = told(text) else { panic!("{text}") };
            assert!(message.starts_with("--find"), "{text}: {message}");
        }
    }
}
