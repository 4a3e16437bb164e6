//! What is said of a find's lots beside its records: where they are sold, and in which condition they are.

use keeping::{LotsAsked, TermsOf, grade_named, grade_words};
use listing::Venues;
use maud::{Markup, html};
use shop::{Shop, Venue};

use crate::form::{Choice, Field, Filled, Kind, Mistakes, draw, short};
use crate::shopdoor::NoAnswer;

/// What was said, with the venues that there are to choose from.
pub(crate) struct Beside {
    pub asked: LotsAsked,
    pub terms: TermsOf,
    venues: Vec<Choice>,
}

impl Beside {
    pub(super) fn new(shop: &Shop, asked: LotsAsked, terms: TermsOf) -> Result<Self, NoAnswer> {
        Ok(Self { asked, terms, venues: venue_choices(shop)? })
    }

    /// What was said as part of an address, with what stands before it; empty where nothing was.
    pub(crate) fn query(&self, before: &str) -> String {
        query(&self.asked, before)
    }

    /// What was said as hidden fields of a form.
    pub(super) fn hidden(&self) -> Markup {
        html! { @for (name, value) in said(&self.asked) { input type="hidden" name=(name) value=(value); } }
    }

    /// The question about it, folded until something is said.
    pub(super) fn form(&self, at: &str, filled: &Filled, mistakes: &Mistakes, flawed: bool) -> Markup {
        let fields = self.fields(flawed);
        let open =
            self.asked != LotsAsked::default() || fields.iter().any(|one| mistakes.of(&one.name).is_some());
        html! {
            details open[open] {
                summary { "Where it is sold, and its condition" }
                form method="get" action=(at) novalidate {
                    @for (k, field) in fields.iter().enumerate() { (draw(field, filled, mistakes, k + 1 == fields.len())) }
                    div.actions { button.quiet type="submit" { "Reckon with this" } }
                }
                p.hint { "A listing keeps both. The venues and their fees are on the page " a href="/venues" { "Venues" } "." }
            }
        }
    }

    /// The fields of that question; one for flawed pieces where there are any.
    pub(super) fn fields(&self, flawed: bool) -> Vec<Field> {
        let mut fields = vec![
            Field::optional(
                "venue",
                "Sold at",
                "Its fees and limits are reckoned with.",
                Kind::OneOf(self.venues.clone()),
            ),
            grade_field("grade", "Condition of the sound pieces", "ordinary used (C)"),
        ];
        if flawed {
            fields.push(grade_field("flawed-grade", "Condition of the flawed pieces", "damaged (E)"));
        }
        fields
    }

    /// What is to be said when the terms of the venue aren't known.
    pub(super) fn caution(&self) -> Markup {
        not_known(&self.terms)
    }
}

/// What is to be said when the terms of a venue aren't known.
pub(crate) fn not_known(terms: &TermsOf) -> Markup {
    match terms {
        TermsOf::NotKnown(name) => html! {
            p.caution {
                "The terms of " (name) " aren't known, so the usual venue's are reckoned with. "
                a href="/venues" { "Say its terms" }
            }
        },
        TermsOf::Usual | TermsOf::Named(_) => html! {},
    }
}

/// The venues that there are to choose from, after none.
pub(crate) fn venue_choices(shop: &Shop) -> Result<Vec<Choice>, NoAnswer> {
    let own = shop.noted::<Venue>()?;
    let ids: Vec<String> = own.iter().map(|(_, one)| keeping::venue_id(&one.name)).collect();
    let usual = keeping::usual_venue(shop)?;
    let published = Venues::published();
    let mut out = vec![Choice::new("", &format!("as usual ({})", usual.replace('_', " ")))];
    let known = own.iter().filter(|(_, one)| keeping::venue_terms(one).is_some());
    out.extend(known.map(|(_, one)| Choice::new(&one.name, &one.name)));
    out.extend(
        published.iter().filter(|one| !ids.contains(&one.id)).map(|one| Choice::new(&one.id, &one.name)),
    );
    Ok(out)
}

/// A field for a condition; `usual` is what stands where none is chosen.
pub(crate) fn grade_field(name: &str, label: &str, usual: &str) -> Field {
    let mut choices = vec![Choice::new("", &format!("as usual: {usual}"))];
    choices.extend(grade_words().map(|(letter, words)| Choice::new(letter, &format!("{words} ({letter})"))));
    Field::optional(name, label, "", Kind::OneOf(choices))
}

/// The letter of a condition that was chosen; `None` where none was, or it is wrong.
pub(crate) fn read_grade(filled: &Filled, name: &str, mistakes: &mut Mistakes) -> Option<pricing::Grade> {
    let text = filled.text(name)?;
    let grade = grade_named(text);
    if grade.is_none() {
        mistakes.add(
            name,
            format!("\"{}\" is no condition; right would be A (as new) to E (damaged)", short(text)),
        );
    }
    grade
}

/// Reads what was said.
pub(super) fn read(filled: &Filled, mistakes: &mut Mistakes) -> LotsAsked {
    LotsAsked {
        venue: filled.text("venue").map(str::to_owned),
        grade: read_grade(filled, "grade", mistakes),
        flawed_grade: read_grade(filled, "flawed-grade", mistakes),
    }
}

/// What was said as part of an address, with what stands before it; empty where nothing was.
pub(super) fn query(asked: &LotsAsked, before: &str) -> String {
    let pairs: Vec<String> = said(asked)
        .into_iter()
        .map(|(name, value)| format!("{name}={}", crate::spelled::in_address(&value)))
        .collect();
    if pairs.is_empty() { String::new() } else { format!("{before}{}", pairs.join("&")) }
}

fn said(asked: &LotsAsked) -> Vec<(&'static str, String)> {
    [
        ("venue", asked.venue.clone()),
        ("grade", asked.grade.map(|grade| format!("{grade:?}"))),
        ("flawed-grade", asked.flawed_grade.map(|grade| format!("{grade:?}"))),
    ]
    .into_iter()
    .filter_map(|(name, value)| Some((name, value?)))
    .collect()
}
