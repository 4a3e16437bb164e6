//! What is asked at the shelf, put into a job sheet and read like any other, so that one reading serves the
//! terminal and the page.

use fields::{Choice, Field, Filled, Kind, Mistakes};
use jiff::civil::Date;
use measure::Money;
use sheet::Problem;
use toml::{Table, Value};

use crate::{Desk, Usual, told, whole};

/// Fields before the folded ones.
pub(crate) const FIRST: usize = 5;
/// Most pieces of one pile.
const MOST_PIECES: u32 = 1000;
/// Most lines of comps.
const MOST_COMPS: usize = 100;

/// All fields of the page.
pub(crate) fn fields(desk: &Desk) -> Vec<Field> {
    let grades = [
        ("", "ordinary used (C)"),
        ("A", "as new (A)"),
        ("B", "light wear (B)"),
        ("D", "small flaws (D)"),
        ("E", "damaged (E)"),
    ];
    let grades = grades.map(|(value, words)| Choice { value: value.to_owned(), words: words.to_owned() });
    vec![
        Field::needed(
            "form",
            "What they are",
            "Diner mug, dinner plate, goblet, skillet …",
            Kind::Words { known: desk.form_names() },
        ),
        Field::needed("count", "How many", "All of them, flawed ones too.", Kind::Whole),
        Field::optional("flawed", "Of these, flawed", "", Kind::Whole),
        Field::optional("asking", "Price asked for all, in dollars", "Before tax.", Kind::Money),
        Field::optional(
            "comps",
            "What like ones sold for",
            "One line each: 2 for 17.50 + 8 · offer <24 · unsold 35 90d. The part after + is the shipping.",
            Kind::Lines { rows: 4, sheet: false },
        ),
        Field::optional("grade", "Condition", "", Kind::OneOf(grades.to_vec())),
        Field::optional(
            "wage",
            "An hour of your work is worth, in dollars",
            "Left out, that of your settings, or 15.00.",
            Kind::Money,
        ),
        Field::optional(
            "from",
            "Your ZIP Code",
            "The first three digits are enough. Left out, that of your settings.",
            Kind::Code,
        ),
    ]
}

/// The field for the venue, where there are some to choose from: a phone without a network has none.
pub(crate) fn venue_field(venues: &[Choice]) -> Option<Field> {
    let choices = Kind::OneOf(venues.to_vec());
    let hint = "Its fees are reckoned with.";
    (!venues.is_empty()).then(|| Field::optional("venue", "To be sold at", hint, choices))
}

/// A question that can be put into a sheet.
#[derive(Debug, Clone)]
pub struct Question {
    sheet: String,
    asking: Option<Money>,
    /// Line of each comp in its field, from 1.
    comp_lines: Vec<usize>,
    /// What was told and need not be said to be taken as usual.
    told: Vec<&'static str>,
}

impl Question {
    /// Reads what was typed as far as the form itself can tell, over what is usual on a day; the sheet's reader does
    /// the rest.
    pub(crate) fn over(usual: &Usual, filled: &Filled, day: Date) -> Result<Self, Mistakes> {
        let mut mistakes = Mistakes::default();
        let form = filled.needed("form", "Say what they are, for example: diner mug", &mut mistakes);
        filled.needed("count", "Say how many there are, for example: 6", &mut mistakes);
        let count = filled.whole("count", 1..=MOST_PIECES, &mut mistakes);
        let flawed = filled.whole("flawed", 0..=count.unwrap_or(MOST_PIECES), &mut mistakes);
        let asking = filled.money("asking", &mut mistakes);
        filled.money("wage", &mut mistakes);
        let comps = filled.lines("comps");
        if comps.len() > MOST_COMPS {
            mistakes.add("comps", format!("{} lines are too many; {MOST_COMPS} are read", comps.len()));
        }
        let (Some(form), Some(count), true) = (form, count, mistakes.is_empty()) else {
            return Err(mistakes);
        };
        let mut find = Table::new();
        find.insert(String::from("name"), Value::from(form));
        find.insert(String::from("form"), Value::from(form));
        find.insert(String::from("count"), Value::from(i64::from(count)));
        if let Some(flawed) = flawed {
            find.insert(String::from("flawed"), Value::from(i64::from(flawed)));
        }
        for key in ["grade", "asking"] {
            if let Some(text) = filled.text(key) {
                find.insert(key.to_owned(), Value::from(text));
            }
        }
        if comps.is_empty() {
            // Without comps no split can decide, and single pieces are where every size begins.
            find.insert(String::from("per_lot"), Value::from(1_i64));
        } else {
            let lines: Vec<&str> = comps.iter().map(|(_, line)| *line).collect();
            find.insert(String::from("comps"), Value::from(lines));
        }
        let wrong = |e: &dyn std::fmt::Display| whole(&e.to_string());
        let mut table = usual.sheet(day)?;
        let mut told = Vec::new();
        for (field, section, key) in [("wage", "packing", "wage"), ("from", "post", "from")] {
            if let Some(text) = filled.text(field) {
                let section = table.entry(section).or_insert_with(|| Value::Table(Table::new()));
                if let Some(section) = section.as_table_mut() {
                    section.insert(key.to_owned(), Value::from(text));
                }
                told.push(field);
            }
        }
        if filled.text("grade").is_some() {
            told.push("grade");
        }
        if let Some(venue) = filled.text("venue") {
            usual.choose(&mut table, venue);
        }
        table.insert(String::from("find"), Value::Array(vec![Value::Table(find)]));
        let sheet = toml::to_string(&table).map_err(|e| wrong(&e))?;
        let comp_lines = comps.iter().map(|(line, _)| *line).collect();
        Ok(Self { sheet, asking, comp_lines, told })
    }

    /// The job sheet.
    #[must_use]
    pub fn sheet(&self) -> &str {
        &self.sheet
    }

    /// The price on the shelf.
    #[must_use]
    pub fn asking(&self) -> Option<Money> {
        self.asking
    }

    /// Whether a field was filled.
    pub(crate) fn tells(&self, field: &str) -> bool {
        self.told.contains(&field)
    }

    /// The reader's problems at the fields they came from.
    #[must_use]
    pub fn told(&self, problems: &[Problem]) -> Mistakes {
        let mut mistakes = Mistakes::default();
        let mut lines = Vec::new();
        for problem in problems {
            if let Some(number) = told::item(&problem.field, "comps") {
                let line = self.comp_lines.get(number.saturating_sub(1)).copied().unwrap_or(number);
                lines.push((line, problem));
            }
        }
        if let Some((line, problem)) = lines.first() {
            let more =
                if lines.len() > 1 { format!(" ({} lines are wrong)", lines.len()) } else { String::new() };
            mistakes.add(
                "comps",
                format!(
                    "Line {line}: {}{more}. Right would be, for example: {}",
                    problem.message, problem.right
                ),
            );
        }
        let rest: Vec<Problem> = problems
            .iter()
            .filter(|problem| told::item(&problem.field, "comps").is_none())
            .cloned()
            .collect();
        told::told(&rest, |problem| field(&problem.field), &mut mistakes);
        mistakes
    }
}

/// The field of the page that a key of the sheet was filled from.
fn field(key: &str) -> Option<String> {
    let name = match key.strip_prefix("find[1].") {
        Some("name" | "form") => "form",
        Some(known @ ("count" | "flawed" | "grade" | "asking" | "comps")) => known,
        Some(_) => return None,
        None => match key {
            "packing.wage" => "wage",
            "post.from" => "from",
            "market.venue" => "venue",
            _ => return None,
        },
    };
    Some(name.to_owned())
}

#[cfg(test)]
mod tests {
    use super::Question;
    use crate::Desk;
    use crate::Usual;
    use fields::Filled;
    use fields::Mistakes;
    use jiff::civil::date;

    fn filled(pairs: &[(&str, &str)]) -> Filled {
        Filled::from_pairs(pairs.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())))
    }

    fn read(filled: &Filled) -> Result<Question, Mistakes> {
        Usual::default().asks(filled, jiff::civil::date(2026, 11, 25))
    }

    #[test]
    fn a_question_is_a_sheet_that_the_sheets_reader_reads() {
        let question = read(&filled(&[
            ("form", "cereal bowl"),
            ("count", "11"),
            ("flawed", "1"),
            ("asking", "6"),
            ("comps", "2 for 31 + 8\n\nunsold 35 x2 for 90d\n"),
            ("wage", "18"),
            ("from", "606"),
        ]))
        .expect("all there");
        let job = Desk::published().read(question.sheet(), date(2026, 3, 2)).expect("a right sheet");
        assert_eq!((job.finds[0].rows[0].count, job.finds[0].comps.len()), (11, 2));
        assert_eq!((job.post.origin.as_str(), job.wage.cents()), ("606", 1800));
    }

    #[test]
    fn what_the_reader_refuses_is_told_at_its_field_with_the_line_as_typed() {
        let question = read(&filled(&[
            ("form", "diner mugg"),
            ("count", "6"),
            ("comps", "2 for 31 + 8\n\nsome money"),
            ("from", "north"),
        ]))
        .expect("the form itself can't tell");
        let problems =
            Desk::published().read(question.sheet(), date(2026, 3, 2)).expect_err("three mistakes");
        let mistakes = question.told(&problems);
        assert!(mistakes.of("comps").is_some_and(|message| message.starts_with("Line 3: ")), "{mistakes:?}");
        assert!(mistakes.of("form").is_some_and(|message| message.contains("diner mug")), "{mistakes:?}");
        assert!(mistakes.of("from").is_some(), "{mistakes:?}");
    }

    #[test]
    fn an_empty_form_asks_for_what_and_how_many_alone() {
        let mistakes = read(&Filled::default()).expect_err("nothing typed");
        let fields: Vec<&str> = mistakes.iter().map(|(field, _)| field).collect();
        assert_eq!(fields, ["form", "count"]);
    }

    #[test]
    fn no_text_can_add_keys_to_the_sheet() {
        let sly = "mug\"\n[post]\nfrom = \"100\"\n[[find]]\nname = \"x";
        let question = read(&filled(&[("form", sly), ("count", "2")])).expect("text is text");
        let problems = Desk::published().read(question.sheet(), date(2026, 3, 2)).expect_err("no such form");
        assert!(question.told(&problems).of("form").is_some());
    }
}
