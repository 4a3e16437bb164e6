//! Reading a forms file: every key is checked, so that a slip of the keyboard is never a silent default.

use std::collections::{BTreeMap, BTreeSet};

use shape::Company;
use toml::{Table, Value as Toml};

use crate::keys::{Keys, near_or_all, number, right_words};
use crate::settle::field_line;
use crate::{BodyKind, Catalogue, Caution, Fact, Field, Flag, Form, FormsError, Fragility, Material, Value};

const FILE: &str = "the forms file";
const FILE_KEYS: &[&str] = &["cautions", "forms"];
const CAUTION_KEYS: &[&str] = &["text", "publisher", "flag"];
const FACT_KEYS: &[&str] = &["value", "low", "high", "flag"];
const FORM_KEYS: &[&str] = &[
    "name",
    "like",
    "synonyms",
    "material",
    "company",
    "fragility",
    "recipe",
    "body",
    "hollow",
    "source",
    "flag",
    "cautions",
    "may_have",
    "figures",
];
const COMPANY_WORDS: &[&str] = &["breakable", "dense", "neutral"];

/// Reads `text` over what is already known.
pub(crate) fn forms_file(
    text: &str,
    cautions: BTreeMap<String, Caution>,
    known: BTreeMap<String, Form>,
) -> Result<Catalogue, FormsError> {
    let file: Table = text.parse().map_err(|error: toml::de::Error| FormsError::NotToml {
        reason: error.to_string().trim().to_owned(),
    })?;
    let file = Keys { place: FILE, table: &file };
    file.only(FILE_KEYS)?;
    let mut all_cautions = cautions;
    for (key, table) in file.tables("cautions")? {
        let caution = caution(key, &Keys { place: &format!("caution {key}"), table })?;
        all_cautions.insert(key.clone(), caution);
    }
    let mut forms = known.clone();
    let rows = file.tables("forms")?;
    // Forms that are like another one come second, so that they may be like any form of this file.
    let (likened, plain_rows): (Vec<_>, Vec<_>) =
        rows.into_iter().partition(|(_, table)| table.contains_key("like"));
    let mut complete = known;
    for (id, table) in plain_rows {
        let form = form(id, &Keys { place: id, table }, None, &all_cautions)?;
        complete.entry(id.clone()).or_insert_with(|| form.clone());
        forms.insert(id.clone(), form);
    }
    for (id, table) in likened {
        let keys = Keys { place: id, table };
        let like = keys.text("like")?.unwrap_or_default();
        let base = complete.get(like).ok_or_else(|| FormsError::Wrong {
            place: id.clone(),
            key: "like".to_owned(),
            found: format!("\"{like}\""),
            right: right_words(like, complete.keys().map(String::as_str), "the id of a form"),
        })?;
        let form = form(id, &keys, Some(base), &all_cautions)?;
        forms.insert(id.clone(), form);
    }
    Catalogue::index(all_cautions, forms)
}

fn caution(key: &str, keys: &Keys<'_>) -> Result<Caution, FormsError> {
    keys.only(CAUTION_KEYS)?;
    let text = |name, example| keys.text(name)?.ok_or_else(|| keys.missing(name, example));
    Ok(Caution {
        key: key.to_owned(),
        text: text("text", "text = \"Search the recall lists before you sell it.\"")?.to_owned(),
        publisher: text("publisher", "publisher = \"CPSC\"")?.to_owned(),
        flag: keys.word("flag", Flag::ALL, Flag::word)?.unwrap_or(Flag::Judgement),
    })
}

/// One form: every key it states, and for the rest those of `base`.
fn form(
    id: &str,
    keys: &Keys<'_>,
    base: Option<&Form>,
    cautions: &BTreeMap<String, Caution>,
) -> Result<Form, FormsError> {
    check_id(id)?;
    keys.only(FORM_KEYS)?;
    // A form's names are its own: only a replacement of the same id keeps them.
    let same = base.filter(|base| base.id == id);
    let missing = |key, example| keys.missing(key, example);
    let company = match keys.word("company", COMPANY_WORDS, |word| word)? {
        Some("breakable") => Some(Company::Breakable),
        Some("dense") => Some(Company::Dense),
        Some(_) => Some(Company::Neutral),
        None => base.map(|base| base.company),
    };
    let flag = keys.word("flag", Flag::ALL, Flag::word)?.unwrap_or(Flag::Judgement);
    let mut facts = base.map(|base| base.facts.clone()).unwrap_or_default();
    facts.extend(figures(id, keys, flag)?);
    let form = Form {
        id: id.to_owned(),
        name: match (keys.text("name")?, same) {
            (Some(name), _) => name.to_owned(),
            (None, Some(same)) => same.name.clone(),
            (None, None) => id.replace('_', " "),
        },
        synonyms: match (keys.texts("synonyms")?, same) {
            (Some(synonyms), _) => synonyms,
            (None, Some(same)) => same.synonyms.clone(),
            (None, None) => Vec::new(),
        },
        material: keys
            .word("material", Material::ALL, Material::word)?
            .or(base.map(|base| base.material))
            .ok_or_else(|| missing("material", "material = \"stoneware\""))?,
        company: company.ok_or_else(|| missing("company", "company = \"breakable\""))?,
        fragility: keys
            .word("fragility", Fragility::ALL, Fragility::word)?
            .or(base.map(|base| base.fragility))
            .ok_or_else(|| missing("fragility", "fragility = \"ordinary\""))?,
        recipe: keys
            .text("recipe")?
            .or(base.map(|base| base.recipe.as_str()))
            .ok_or_else(|| missing("recipe", "recipe = \"mug\""))?
            .to_owned(),
        body: keys
            .word("body", BodyKind::ALL, BodyKind::word)?
            .or(base.map(|base| base.body))
            .ok_or_else(|| missing("body", "body = \"cylinder\""))?,
        hollow: keys.truth("hollow")?.or(base.map(|base| base.hollow)).unwrap_or(false),
        source: match (keys.text("source")?, base) {
            (Some(source), _) => source.to_owned(),
            (None, Some(base)) => base.source.clone(),
            (None, None) => String::new(),
        },
        cautions: match (keys.texts("cautions")?, base) {
            (Some(names), _) => named_cautions(id, &names, cautions)?,
            (None, Some(base)) => base.cautions.clone(),
            (None, None) => Vec::new(),
        },
        facts,
        may_have: match (keys.texts("may_have")?, base) {
            (Some(names), _) => may_have(id, &names)?,
            (None, Some(base)) => base.may_have.clone(),
            (None, None) => BTreeSet::new(),
        },
    };
    for (&field, fact) in &form.facts {
        let counts = form.takes(field) || matches!(field, Field::HandleAngle | Field::Hollow);
        if !counts {
            return Err(FormsError::Wrong {
                place: id.to_owned(),
                key: field.key().to_owned(),
                found: fact.value.text(),
                right: format!("left out: this {} body has no part that it belongs to", form.body),
            });
        }
    }
    // Stated as measures, the defaults meet every check that a person's own measures meet.
    form.piece(&form.stated())?;
    Ok(form)
}

fn check_id(id: &str) -> Result<(), FormsError> {
    let snake =
        !id.is_empty() && id.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_');
    if snake && id.chars().any(char::is_alphanumeric) {
        return Ok(());
    }
    Err(FormsError::Wrong {
        place: FILE.to_owned(),
        key: "a form's id".to_owned(),
        found: format!("\"{id}\""),
        right: "small letters, digits and underscores, for example diner_mug".to_owned(),
    })
}

fn named_cautions(
    id: &str,
    names: &[String],
    cautions: &BTreeMap<String, Caution>,
) -> Result<Vec<Caution>, FormsError> {
    let one = |name: &String| {
        cautions.get(name).cloned().ok_or_else(|| FormsError::Wrong {
            place: id.to_owned(),
            key: "cautions".to_owned(),
            found: format!("\"{name}\""),
            right: right_words(name, cautions.keys().map(String::as_str), "a key of the cautions table"),
        })
    };
    names.iter().map(one).collect()
}

fn may_have(id: &str, names: &[String]) -> Result<BTreeSet<Field>, FormsError> {
    let one = |name: &String| {
        Field::ALL.iter().copied().find(|field| field.name() == name).ok_or_else(|| FormsError::Wrong {
            place: id.to_owned(),
            key: "may_have".to_owned(),
            found: format!("\"{name}\""),
            right: right_words(name, Field::ALL.iter().map(|field| field.name()), "the name of a measure"),
        })
    };
    names.iter().map(one).collect()
}

fn figures(id: &str, keys: &Keys<'_>, flag: Flag) -> Result<BTreeMap<Field, Fact>, FormsError> {
    let Some(table) = keys.table("figures")? else {
        return Ok(BTreeMap::new());
    };
    let mut facts = BTreeMap::new();
    for (key, entry) in table {
        let field = Field::from_key(key).ok_or_else(|| FormsError::UnknownKey {
            place: format!("{id}.figures"),
            key: key.clone(),
            nearest: near_or_all(key, Field::ALL.iter().map(|field| field.key())),
        })?;
        facts.insert(field, fact(id, field, entry, flag)?);
    }
    Ok(facts)
}

/// A figure: a bare number with the form's flag, or a table of value, low, high and flag.
fn fact(id: &str, field: Field, entry: &Toml, flag: Flag) -> Result<Fact, FormsError> {
    let wrong = |found: &Toml| FormsError::Wrong {
        place: id.to_owned(),
        key: field.key().to_owned(),
        found: found.to_string(),
        right: format!("a number more than 0, for example {}", field_line(field)),
    };
    let value = |entry: &Toml| {
        let number = number(entry).filter(|number| number.is_finite()).ok_or_else(|| wrong(entry))?;
        let value = field.value(number).ok_or_else(|| wrong(entry))?;
        let least_is_zero = matches!(field, Field::Handles | Field::HandleBottom | Field::HandleAngle);
        if number > 0.0 || (least_is_zero && number == 0.0) { Ok(value) } else { Err(wrong(entry)) }
    };
    let Toml::Table(table) = entry else {
        return Ok(Fact { value: value(entry)?, low: None, high: None, flag });
    };
    let place = format!("{id}.{}", field.key());
    let keys = Keys { place: &place, table };
    keys.only(FACT_KEYS)?;
    let typical =
        table.get("value").ok_or_else(|| keys.missing("value", &format!("value = {}", field.example())))?;
    let fact = Fact {
        value: value(typical)?,
        low: table.get("low").map(value).transpose()?,
        high: table.get("high").map(value).transpose()?,
        flag: keys.word("flag", Flag::ALL, Flag::word)?.unwrap_or(flag),
    };
    let reckoned = Value::reckoned;
    let typical = reckoned(fact.value);
    let ordered = fact.low.is_none_or(|low| reckoned(low) <= typical)
        && fact.high.is_none_or(|high| reckoned(high) >= typical);
    if ordered {
        return Ok(fact);
    }
    Err(FormsError::Wrong {
        place,
        key: "value".to_owned(),
        found: fact.value.text(),
        right: "no less than low and no more than high".to_owned(),
    })
}
