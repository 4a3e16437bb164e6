//! The fields of the question about a cushion.

use keeping::Desk;
use keeping::guarding::{GuardAsked, Spell, guard_label};
use protection::CushionRules;

use crate::form::{Choice, Field, Filled, Kind};

/// Names of the fields; with any of them filled, there is a question.
pub(super) const NAMES: [&str; 16] = [
    "form",
    "measure",
    "weight",
    "gross",
    "area",
    "sides",
    "fragility",
    "bears",
    "safety",
    "drop",
    "schedule",
    "height",
    "material",
    "thickness",
    "wrap",
    "rule",
];
/// Most lines of one field (judgement: more can't be read beside each other).
pub(super) const MOST_LINES: usize = 40;

/// The first fields, those of a piece without a form, and the folded ones.
pub(super) fn all(desk: &Desk) -> (Vec<Field>, Vec<Field>, Vec<Field>) {
    let optional = |name: &str, hint: &str, kind: Kind| Field::optional(name, guard_label(name), hint, kind);
    let lines = |rows| Kind::Lines { rows, sheet: false };
    let choose = |usual: &str, all: Vec<Choice>| {
        Kind::OneOf(std::iter::once(Choice::new("", usual)).chain(all).collect())
    };
    let library = &desk.library;
    let classes =
        library.fragilities.iter().map(|one| Choice::new(&one.key, &format!("{} ({})", one.key, one.words)));
    let profiles =
        library.drops.profiles().map(|one| Choice::new(&one.key, &format!("{}: {}", one.key, one.words)));
    let schedules = library.drops.schedules().map(|one| Choice::new(&one.key, &one.name));
    let keys: Vec<String> = library.cushions.iter().map(|one| one.key.clone()).collect();
    let rules = CushionRules::published();
    let rules = rules
        .walls()
        .map(|one| Choice::new(&one.name, &format!("{}: {}", one.name.replace('_', " "), one.words)));
    let first = vec![
        optional("form", "Diner mug, dinner plate, goblet.", Kind::Words { known: desk.form_names() }),
        optional(
            "measure",
            "A line each: diameter = 3 1/2 in. What is left out is taken from the form.",
            lines(3),
        ),
        optional("weight", "Of the bare piece: 14 oz.", Kind::Measure),
        optional(
            "gross",
            "It sets the height of the fall: 5 lb 2 oz. Left out, the piece's own.",
            Kind::Measure,
        ),
    ];
    let bare = vec![
        optional("area", "10 in2, or 65 cm2.", Kind::Measure),
        optional("sides", "4 x 2 1/2 in instead; of a block all three, its height last.", Kind::Measure),
    ];
    let more = vec![
        optional("fragility", "", choose("as its form", classes.collect())),
        optional("bears", "Instead of a class: 60.", Kind::Measure),
        optional("safety", "Left out, 1.25.", Kind::Measure),
        optional("drop", "", choose("as usual", profiles.collect())),
        optional("schedule", "Instead of that.", choose("none", schedules.collect())),
        optional("height", "Instead of both: 30 in.", Kind::Measure),
        optional("material", &format!("A line each; left out, all: {}.", keys.join(", ")), lines(3)),
        optional("thickness", "2 in, 3 in; left out, 1 to 4 in.", Kind::Measure),
        optional("wrap", "A line each, from inside out: bubble_small x 2.", lines(2)),
        Field::optional(
            "rule",
            "The published rule beside it",
            "",
            choose("the one for such goods", rules.collect()),
        ),
    ];
    (first, bare, more)
}

/// Fills in what the records of a find say, where nothing was typed.
pub(super) fn of_records(filled: Filled, asked: &GuardAsked) -> Filled {
    let measures: Vec<String> = asked.measure.iter().map(|one| one.replacen('=', " = ", 1)).collect();
    let mut out = filled.clone();
    for (name, value) in [
        ("form", asked.form.clone().unwrap_or_default()),
        ("measure", measures.join("\n")),
        ("weight", asked.weight.clone().unwrap_or_default()),
    ] {
        if !filled.has(name) {
            out = out.with(name, value);
        }
    }
    out
}

/// What was typed, as it is asked.
pub(super) fn read(filled: &Filled) -> GuardAsked {
    let one = |name: &str| filled.text(name).map(str::to_owned);
    let lines = |name: &str| filled.lines(name).into_iter().map(|(_, line)| line.to_owned()).collect();
    let thickness = filled.text("thickness").unwrap_or("");
    GuardAsked {
        spell: Spell::Fields,
        form: one("form"),
        measure: lines("measure"),
        weight: one("weight"),
        area: one("area"),
        sides: one("sides"),
        fragility: one("fragility"),
        bears: one("bears"),
        drop: one("drop"),
        schedule: one("schedule"),
        height: one("height"),
        gross: one("gross"),
        safety: one("safety"),
        material: lines("material"),
        thickness: thickness
            .split([',', ';'])
            .map(str::trim)
            .filter(|text| !text.is_empty())
            .map(str::to_owned)
            .collect(),
        wrap: lines("wrap"),
        rule: one("rule"),
        metric: false,
    }
}
