//! The answer about a cushion: plain words, the table of shocks, the chart, rules, cautions, the arithmetic.

use keeping::guarding::{
    Guarded, Ruled, Sentence, cautions, rules, shock, shock_chart, short, thickness, verdict, why_more,
    worked,
};
use maud::{Markup, html};
use measure::{Area, Length};
use trade::NeededThickness;

use crate::lots::{chart, scrolled};

/// The whole answer.
pub(super) fn told(answer: &Guarded<'_>) -> Markup {
    let (first, others) = match verdict(answer).split_first() {
        Some((first, others)) => (first.words.clone(), others.to_vec()),
        None => (String::new(), Vec::new()),
    };
    let (heading, beside) = rules(answer);
    let minds = cautions(answer);
    let drawn = shock_chart(answer);
    html! {
        p.verdict { (first) }
        @for one in &others { (sentence(one)) }
        @if let Some(why) = why_more(answer) { (sentence(&why)) }
        @if !minds.is_empty() {
            section.cautions aria-labelledby="mind" {
                h2 #mind { "Mind" }
                ul { @for one in &minds { li { (one.words) } } }
            }
        }
        section aria-labelledby="shocks" {
            h2 #shocks { "By material and thickness" }
            (scrolled("Shock by material and thickness", &table(answer)))
            p.hint { "Shock in G; " strong { "bold" } " is enough, " (shock(answer.question.allowed_g)) " G or less. ~ by the cushion factor, where the better method does not hold. Hard: pressed flat." }
        }
        (chart(&draw::shock_chart_svg(&drawn), "shock", "Peak shock over the load on the cushion; the upright line is this piece."))
        details {
            summary { "The same as a table" }
            table.figures {
                caption { (drawn.title) }
                thead { tr { th scope="col" { "Cushion" } th.num scope="col" { "Shock, G" } } }
                tbody {
                    @for curve in &drawn.curves {
                        tr {
                            th scope="row" { (curve.name) }
                            td.num { @match curve.here { Some(here) => (shock(here)), None => "hard" } }
                        }
                    }
                    tr.sum { th scope="row" { "Allowed" } td.num { (shock(drawn.allowed_g)) } }
                }
            }
        }
        section aria-labelledby="rules" {
            h2 #rules { (heading) }
            ul { @for rule in &beside { li { strong { (rule.asks) } " " (rule.words) } } }
        }
        details {
            summary { "How this was reckoned" }
            @for part in worked(answer) {
                @if !part.heading.is_empty() { h3 { (part.heading) } }
                ul { @for line in &part.lines { li { (line) } } }
            }
        }
    }
}

fn sentence(one: &Sentence) -> Markup {
    html! { @if one.mark == "! " { p.caution { (one.words) } } @else { p { (one.words) } } }
}

/// Materials by thickness, with what each is needed in.
fn table(answer: &Guarded<'_>) -> Markup {
    let ways = answer.question.bearings.len();
    html! {
        table {
            caption { "Shock behind so much of a material, and how much is needed" }
            thead {
                tr {
                    th scope="col" { "Material" }
                    @for thickness in answer.question.thicknesses { th.num scope="col" { (thickness.write(answer.units)) } }
                    @if ways > 1 { th.num scope="col" { "Needed under" } th.num scope="col" { "At its sides" } }
                    @else { th.num scope="col" { "Needed" } }
                }
            }
            tbody {
                @for one in &answer.materials {
                    tr {
                        th scope="row" { (short(&one.row.material.name)) }
                        @for shocked in &one.row.shocks { (cell(shocked.as_ref().ok())) }
                        td.num { (needed(answer, one, 0..1)) }
                        @if ways > 1 { td.num { (needed(answer, one, 1..ways)) } }
                    }
                }
            }
        }
        @if ways > 1 {
            p.hint {
                "It bears "
                (answer.question.bearings.iter().map(|one| format!("{} on {}", one.way.words(), area(one.area, answer))).collect::<Vec<_>>().join(", "))
                "."
            }
        }
    }
}

fn area(area: Area, answer: &Guarded<'_>) -> String {
    keeping::guarding::area(area, answer.units)
}

fn cell(shocked: Option<&trade::Shock>) -> Markup {
    html! {
        td.num {
            @match shocked {
                None => "hard",
                Some(one) => {
                    @let words = format!("{}{}", if one.is_outside_its_method() { "~" } else { "" }, shock(one.peak_g));
                    @if one.is_enough { strong { (words) span.unseen { " enough" } } } @else { (words) }
                }
            }
        }
    }
}

/// The most that these ways of bearing need.
fn needed(answer: &Guarded<'_>, one: &Ruled<'_>, ways: std::ops::Range<usize>) -> String {
    let needed = one.row.needed.get(ways).unwrap_or(&[]);
    let most = needed.iter().try_fold(Length::ZERO, |most, needed| {
        needed.as_ref().ok().map(|needed| most.max(needed.rounded_up))
    });
    match most {
        None => String::from("none is enough"),
        Some(most) if most > NeededThickness::ROOM => {
            format!("over {}", thickness(NeededThickness::ROOM, answer.units))
        }
        Some(most) => thickness(most, answer.units),
    }
}
