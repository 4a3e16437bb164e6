//! Fields and summaries as markup.

use maud::{Markup, html};

use crate::{Field, Filled, Kind, Mistakes};

/// The summary of what is wrong, first on a page; nothing when nothing is.
///
/// It takes the focus when the page opens, and each mistake leads to its field.
#[must_use]
pub fn summary(mistakes: &Mistakes) -> Markup {
    html! {
        @if !mistakes.is_empty() {
            section.problems role="alert" tabindex="-1" aria-labelledby="problems-title" data-focus {
                h2 #problems-title { "There is a problem" }
                ul {
                    @for (field, message) in mistakes.iter() {
                        li { @if field.is_empty() { (message) } @else { a href={ "#" (field) } { (message) } } }
                    }
                }
            }
        }
    }
}

/// One field with its label, hint, mistake and input; `last` is the last of its form.
#[must_use]
pub fn draw(field: &Field, filled: &Filled, mistakes: &Mistakes, last: bool) -> Markup {
    let name = field.name.as_str();
    let mistake = mistakes.of(name);
    let hint_id = format!("{name}-hint");
    let mistake_id = format!("{name}-mistake");
    let described: Vec<&str> = [(!field.hint.is_empty(), &hint_id), (mistake.is_some(), &mistake_id)]
        .into_iter()
        .filter_map(|(there, id)| there.then_some(id.as_str()))
        .collect();
    let described = (!described.is_empty()).then(|| described.join(" "));
    html! {
        div.field.wrong[mistake.is_some()] {
            label for=(name) { (field.label) @if field.optional { span.optional { " (optional)" } } }
            @if !field.hint.is_empty() { p.hint id=(hint_id) { (field.hint) } }
            @if let Some(message) = mistake {
                p.mistake id=(mistake_id) { span.unseen { "Error: " } (message) }
            }
            (input(field, filled.typed(name), described.as_deref(), mistake.is_some(), last))
        }
    }
}

fn input(field: &Field, typed: &str, described: Option<&str>, wrong: bool, last: bool) -> Markup {
    let name = field.name.as_str();
    let invalid = wrong.then_some("true");
    let next = if last { "done" } else { "next" };
    let list_id = format!("{name}-known");
    html! {
        @match &field.kind {
            Kind::Whole => {
                input type="text" id=(name) name=(name) value=(typed) inputmode="numeric" autocomplete="off"
                    enterkeyhint=(next) aria-describedby=[described] aria-invalid=[invalid];
            }
            Kind::Money => {
                input type="text" id=(name) name=(name) value=(typed) inputmode="decimal" autocomplete="off"
                    enterkeyhint=(next) aria-describedby=[described] aria-invalid=[invalid];
            }
            Kind::Measure => {
                // Fractions and units need the whole keyboard: "3 1/4 in", "1 lb 3.5 oz".
                input type="text" id=(name) name=(name) value=(typed) autocomplete="off" autocapitalize="off"
                    autocorrect="off" spellcheck="false" enterkeyhint=(next) aria-describedby=[described]
                    aria-invalid=[invalid];
            }
            Kind::Code => {
                input type="text" id=(name) name=(name) value=(typed) autocomplete="off"
                    autocapitalize="characters" autocorrect="off" spellcheck="false" enterkeyhint=(next)
                    aria-describedby=[described] aria-invalid=[invalid];
            }
            Kind::Words { known } => {
                input type="text" id=(name) name=(name) value=(typed) autocomplete="off" autocapitalize="off"
                    spellcheck="false" enterkeyhint=(next) aria-describedby=[described] aria-invalid=[invalid]
                    list=[(!known.is_empty()).then_some(&list_id)];
                @if !known.is_empty() {
                    datalist id=(list_id) { @for word in known { option value=(word); } }
                }
            }
            Kind::Lines { rows, sheet } => {
                // A browser drops the first line break of a text area.
                textarea.sheet[*sheet] id=(name) name=(name) rows=(rows) autocomplete="off"
                    autocapitalize="off" autocorrect="off" spellcheck="false" aria-describedby=[described]
                    aria-invalid=[invalid] { @if typed.starts_with('\n') { "\n" } (typed) }
            }
            Kind::OneOf(choices) => {
                select id=(name) name=(name) aria-describedby=[described] aria-invalid=[invalid] {
                    @for choice in choices {
                        option value=(choice.value) selected[choice.value == typed] { (choice.words) }
                    }
                }
            }
            Kind::Secret { stored } => {
                input type="password" id=(name) name=(name) enterkeyhint=(next)
                    autocomplete=(if *stored { "current-password" } else { "off" })
                    aria-describedby=[described] aria-invalid=[invalid];
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{draw, summary};
    use crate::{Choice, Field, Filled, Kind, Mistakes};

    #[test]
    fn a_wrong_field_says_the_same_words_as_the_summary_and_keeps_what_was_typed() {
        let mut mistakes = Mistakes::default();
        mistakes.add("count", "\"a <few>\" is not a whole number");
        let field = Field::needed("count", "How many", "Flawed ones too.", Kind::Whole);
        let html = draw(&field, &Filled::default().with("count", "a <few>"), &mistakes, false).into_string();
        let page = format!("<div>{}{html}</div>", summary(&mistakes).into_string());
        assert_eq!(page.matches("&lt;few&gt;").count(), 3, "summary, field and input: {page}");
        for wanted in [
            r##"<a href="#count">"##,
            r#"aria-describedby="count-hint count-mistake""#,
            r#"aria-invalid="true""#,
            r#"<label for="count">"#,
            r#"role="alert""#,
        ] {
            assert!(page.contains(wanted), "{wanted} in {page}");
        }
    }

    #[test]
    fn a_right_field_has_no_mark_of_a_mistake() {
        let field = Field::optional(
            "grade",
            "Condition",
            "",
            Kind::OneOf(vec![
                Choice { value: "A".into(), words: "as new".into() },
                Choice { value: "C".into(), words: "used".into() },
            ]),
        );
        let html =
            draw(&field, &Filled::default().with("grade", "C"), &Mistakes::default(), true).into_string();
        assert!(!html.contains("aria-invalid") && !html.contains("mistake") && !html.contains("describedby"));
        assert!(html.contains(r#"<option value="C" selected>"#) && html.contains("(optional)"));
    }

    #[test]
    fn a_passphrase_is_never_written_back() {
        let field = Field::needed("passphrase", "Passphrase", "", Kind::Secret { stored: true });
        let filled = Filled::default().with("passphrase", "four plain words");
        assert!(!draw(&field, &filled, &Mistakes::default(), true).into_string().contains("plain"));
    }
}
