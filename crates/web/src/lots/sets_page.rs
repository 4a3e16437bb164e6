//! Sets with pieces of other finds: what a set holds, how sets are best split, and the decision.

use axum::extract::{Path, State};
use axum::response::Response;
use books::FindId;
use keeping::{SetDecision, SetMember, SetQuestion};
use maud::{Markup, html};
use trade::{Job, Worth};

use super::order_ladder::ladder;
use super::sets_asked::{SetsAsked, told_set};
use super::sets_beside::{beside_the_sets, reasons, verdict};
use super::split_ways::ways;
use super::typed_lots::read_lots;
use super::worth_page::prices;
use super::{Answer, Kind, LONGEST_NOTE, Stage, beside, scrolled};
use crate::App;
use crate::form::{Field, Filled, Kind as Typed, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;
use crate::said::{count, not_measured};
use crate::spelled::in_address;

pub(super) async fn show(State(app): State<App>, Path(find): Path<u64>, Posted(filled): Posted) -> Response {
    page(&app, find, &filled, &Mistakes::default()).await
}

pub(super) async fn decide(
    State(app): State<App>,
    Path(find): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let mut mistakes = Mistakes::default();
    let lead = FindId(find);
    filled.needed("with", "Say what else is in a set, for example: 1 of 3", &mut mistakes);
    let set = told_set(&filled, lead, &mut mistakes);
    let missing = "Say which lots of sets, for example: 2 x 4 + 1 x 3";
    let lots = filled.needed("lots", missing, &mut mistakes).map(str::to_owned);
    let lots = lots.and_then(|text| read_lots(&text).map_err(|why| mistakes.add("lots", why)).ok());
    let spare = filled.whole("spare", 0..=1000, &mut mistakes).unwrap_or(0);
    let note = filled.note("note", LONGEST_NOTE, &mut mistakes);
    let said = beside::read(&filled, &mut mistakes);
    if let (Some(set), Some(lots), true) = (set, lots, mistakes.is_empty()) {
        let decision = SetDecision { parts: set.parts, lots, spare, date: app.now().day, note };
        let back = format!("/finds/{find}/sets");
        let alone =
            filled.text("alone").map_or_else(String::new, |text| format!("&alone={}", in_address(text)));
        let said = format!("{alone}{}", beside::query(&said, "&"));
        let stored = app
            .write_shop(&filled, "lots", &back, &mut mistakes, move |shop, _, stamp| {
                let numbers = keeping::keep_sets(shop, stamp, &decision)?;
                let with: String = numbers.iter().skip(1).map(|number| format!("&with={number}")).collect();
                let first = numbers.first().copied().unwrap_or_default();
                Ok(format!("/listings/new?split={first}{with}{said}"))
            })
            .await;
        if let Some(response) = stored {
            return response;
        }
    }
    page(&app, find, &filled, &mistakes).await
}

async fn page(app: &App, find: u64, filled: &Filled, mistakes: &Mistakes) -> Response {
    let mut mistakes = mistakes.clone();
    let asked = match SetsAsked::read(app, FindId(find), filled, &mut mistakes).await {
        Ok(asked) => asked,
        Err(page) => return page,
    };
    let (mistakes, at) = (&mistakes, format!("/finds/{find}/sets"));
    let mut decided = filled.clone();
    let answer = match (&asked.question, &asked.job) {
        (Some(question), Some(Ok(job))) => {
            let back = format!("{at}{}", asked.query("?"));
            let work = app.asks(Kind::Worth, job, &back).await;
            match work.as_ref().map(super::Work::stage) {
                Some(Stage::Done(answer)) => match answer.as_ref() {
                    Answer::Worth(worth) => {
                        decided = with_best(decided, &job.job, worth);
                        let size = filled.text("size").and_then(|text| text.parse().ok());
                        let ladder = ladder(app, job, worth, size, &at, &asked.query("&")).await;
                        html! { (told(&asked, question, &job.job, worth, &at)) (ladder) }
                    }
                    Answer::Ladder(_) | Answer::Whole(_) => app.waits(work.as_ref()),
                },
                Some(Stage::Working | Stage::Refused(_) | Stage::Stopped) | None => app.waits(work.as_ref()),
            }
        }
        (Some(_), Some(Err(why))) => html! { p.caution { (why) "." } },
        (Some(_), None) => html! {
            p {
                "Find " (find) " has no comps, so what sets sell for isn't reckoned: the price is yours, and the listing's page then says what its orders cost to send. "
                a href={ "/finds/" (find) "/worth#add" } { "Add what like sets sold for" }
                ": where a find leads sets, its comps count sets."
            }
        },
        (None, _) => html! {},
    };
    let is_told = asked.question.is_some() || filled.has("lots");
    let body = html! {
        @match &asked.question {
            Some(question) => { (held(question)) }
            None => {
                p { (asked.description) ": " (count(asked.free, "sound piece")) " free. A set is made of them and of pieces of other finds: cups with their saucers." }
            }
        }
        (asked.beside.caution())
        (answer)
        @if asked.question.is_some() {
            @let wrong = ["each", "with", "alone", "venue", "grade", "flawed-grade"].iter().any(|name| mistakes.of(name).is_some());
            details open[wrong] {
                summary { "Another set, where it is sold, and its condition" }
                (what_a_set_is(&asked, &at, filled, mistakes))
            }
        } @else {
            (what_a_set_is(&asked, &at, filled, mistakes))
        }
        @if is_told { (decision(app, &asked, &at, &decided, filled, mistakes)) }
        @else { div.actions { a.quiet href={ "/finds/" (find) "/split" } { "Lots of this find alone" } } }
        p { a href="/help#sets" { "How to use this page" } }
    };
    let title = format!("Sets with find {find}");
    checked(&app.page(&title, "/stock/find", body).with_mistakes(mistakes))
}

/// The form with the best lots, where none were typed.
fn with_best(filled: Filled, job: &Job, worth: &Worth) -> Filled {
    let Some(split) = worth.split.as_ref().filter(|_| !filled.has("lots")) else { return filled };
    let best = &split.choice.best;
    if best.listings.is_empty() {
        return filled;
    }
    let filled = filled.with("lots", keeping::lots_in_words(best));
    match split.spare.as_ref().filter(|spare| spare.pays()) {
        Some(_) => filled.with("spare", job.market.spare.to_string()),
        None => filled,
    }
}

/// What a set holds, and how many of each there are.
fn held(question: &SetQuestion) -> Markup {
    html! {
        p { "The sound pieces that are free make " (count(question.sets(), "set")) ". Cost of all free pieces: " (question.basis()) "." }
        table.figures {
            caption { "What a set holds, of sound pieces" }
            thead {
                tr {
                    th scope="col" { "Find" } th.num scope="col" { "In a set" } th.num scope="col" { "Free" }
                }
            }
            tbody {
                @for member in &question.members {
                    @let find = member.records.find;
                    tr {
                        th scope="row" {
                            a href={ "/finds/" (find) } { (find) ": " (member.records.text.description) }
                            @let beside = not_only_sound(member);
                            @if !beside.is_empty() { " (" (beside) ")" }
                        }
                        td.num { (member.each) }
                        td.num { (member.records.sound.len()) }
                    }
                }
            }
        }
    }
}

/// How many pieces of a find are flawed, and how many of the free ones stand in listings.
fn not_only_sound(member: &SetMember) -> String {
    let flawed = member.records.flawed.len();
    let told = [
        (flawed > 0).then(|| format!("{flawed} more flawed")),
        (member.listed > 0).then(|| format!("{} in listings", member.listed)),
    ];
    told.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn told(asked: &SetsAsked, question: &SetQuestion, job: &Job, worth: &Worth, at: &str) -> Markup {
    let (Some(split), Ok(appraisal)) = (&worth.split, &worth.appraisal) else {
        return html! { p.caution { "Not enough is known from the comps to say what sets sell for." } };
    };
    let (said, reasons) = (asked.query("&"), reasons(job, worth, split));
    html! {
        p.verdict { (verdict(worth, split)) }
        (what_comps_count(question))
        @if split.choice.best.listings.is_empty() { ul { @for line in &reasons { li { (line) } } } }
        @else { (ways(job, worth, split, at, &said, &reasons)) }
        (beside_the_sets(job, worth, split, &question.members, &asked.beside.query("&")))
        details {
            summary { "How this was reckoned" }
            p { "Every number of sets is tried, from none to all; what is in no set is sold by itself. What leaves most in all is best." }
            ul {
                @for priced in worth.pools.iter().skip(1) {
                    li { "A " (priced.pool.one) " counts " (format!("{:.0} %", 100.0 * priced.pool.worth)) " of a set." }
                }
                @if let Some(group) = job.finds.get(worth.find) {
                    @for line in not_measured(group) { li { (line) } }
                }
                li { "Sold at " (job.market.venue.name) ": " (crate::venues::fees(&job.market.venue)) " (" (job.market.venue.source) ")." }
            }
            (scrolled("Worth of sets by lot size", &prices(worth, appraisal)))
        }
    }
}

/// That comps count sets, and what to do about one that doesn't.
fn what_comps_count(question: &SetQuestion) -> Markup {
    let Some(lead) = question.members.first() else { return html! {} };
    let find = lead.records.find;
    let comps = u32::try_from(lead.records.comps.len()).unwrap_or(u32::MAX);
    html! {
        p {
            "Here the " (count(comps, "comp")) " of find " (find)
            " count sets: 2 for 30 is two sets for 30. A comp of single pieces doesn't belong among them; take it off on the page "
            a href={ "/finds/" (find) "/worth" } { "What find " (find) " is worth" } "."
        }
    }
}

/// The form that says what a set holds and what is said beside it.
fn what_a_set_is(asked: &SetsAsked, at: &str, filled: &Filled, mistakes: &Mistakes) -> Markup {
    let flawed = asked
        .question
        .as_ref()
        .is_some_and(|question| question.members.iter().any(|member| !member.records.flawed.is_empty()));
    let other = asked.others.first().map_or(FindId(3), |other| other.find);
    let mut fields = set_fields(other);
    if asked.question.is_some() {
        fields.extend(asked.beside.fields(flawed));
    }
    html! {
        @if asked.others.is_empty() {
            p { "Its haul has no other find; a set may be made with a find of any haul." }
        } @else {
            table.figures {
                caption { "Other finds of the same haul, sound pieces" }
                thead { tr { th scope="col" { "Find" } th scope="col" { span.unseen { "Go on with" } } th.num scope="col" { "Free" } } }
                tbody {
                    @for other in &asked.others {
                        tr {
                            th scope="row" { (other.find) ": " (other.description) }
                            td {
                                @if other.free > 0 {
                                    a href={ (at) "?with=1%20of%20" (other.find) (asked.beside.query("&")) } { "One each" span.unseen { ": find " (other.find) } }
                                }
                            }
                            td.num { (other.free) }
                        }
                    }
                }
            }
        }
        form method="get" action=(at) novalidate {
            @for (k, field) in fields.iter().enumerate() { (draw(field, filled, mistakes, k + 1 == fields.len())) }
            div.actions { button type="submit" { "Work out these sets" } }
        }
    }
}

/// The form that keeps the decision.
fn decision(
    app: &App,
    asked: &SetsAsked,
    at: &str,
    decided: &Filled,
    filled: &Filled,
    mistakes: &Mistakes,
) -> Markup {
    let fields = decision_fields();
    html! {
        section aria-labelledby="decide" {
            h2 #decide { "Decide" }
            form method="post" action=(at) novalidate {
                (once_field(&app.form_key().unwrap_or_default()))
                (asked.hidden(filled))
                @for (k, field) in fields.iter().enumerate() { (draw(field, decided, mistakes, k + 1 == fields.len())) }
                div.actions {
                    button type="submit" { "Keep it, and list these sets" }
                    a.quiet href={ (at.trim_end_matches("/sets")) "/split" } { "Lots of this find alone" }
                }
            }
        }
    }
}

/// The fields of a set; their examples name this find.
fn set_fields(other: FindId) -> Vec<Field> {
    vec![
        Field::optional("each", "Pieces of this find in a set", "Left out, one.", Typed::Whole),
        Field::needed(
            "with",
            "And of other finds",
            &format!("1 of {other} is one piece of find {other} in each set; a line for each find."),
            Typed::Lines { rows: 3, sheet: false },
        ),
        Field::optional(
            "alone",
            "What a piece is worth by itself",
            &format!(
                "{other}: 25 % says that one of find {other} brings a quarter of what a set does; a line for each find. Left out, 40 %."
            ),
            Typed::Lines { rows: 2, sheet: false },
        ),
    ]
}

fn decision_fields() -> [Field; 3] {
    let words = || Typed::Words { known: Vec::new() };
    [
        Field::needed(
            "lots",
            "Lots of sets",
            "2 x 4 + 1 x 3 is two lots of four sets and one of three.",
            words(),
        ),
        Field::optional("spare", "Sets kept back for one that breaks", "", Typed::Whole),
        Field::optional("note", "Why", "For yourself, later.", words()),
    ]
}
