//! Whether cover is worth its premium, and how well to pack.

use axum::extract::State;
use axum::response::Response;
use books::{FindId, OrderId};
use keeping::{InsureAsked, Insured, NO_ADVICE, USUAL_PAYOUT, insured};
use maud::{Markup, html};

use crate::App;
use crate::form::{Field, Filled, Kind, Mistakes, Posted, draw};
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;

/// Most parcels of a record.
const MOST_PARCELS: u32 = 1_000_000;
/// Names of the fields that make a question.
const NAMES: [&str; 13] = [
    "item",
    "shipping",
    "fee-returned",
    "return-cost",
    "breakage",
    "sent",
    "broken",
    "premium",
    "cover",
    "deductible",
    "payout",
    "claim-cost",
    "level",
];

pub(super) async fn ask(State(app): State<App>, Posted(filled): Posted) -> Response {
    let number = |name: &str| filled.text(name).and_then(|text| text.parse::<u64>().ok());
    let (order, find) = (number("order"), number("find"));
    let asks = NAMES.iter().any(|name| filled.has(name));
    let mut filled = filled;
    if !asks {
        let records = app.ask_shop(move |shop, _| {
            Ok(match (order, find) {
                (Some(order), _) => InsureAsked::of_order(shop, OrderId(order))?,
                (None, Some(find)) => InsureAsked::of_find(shop, FindId(find))?,
                (None, None) => InsureAsked::by_record(shop)?,
            })
        });
        match records.await {
            Ok(asked) => filled = of_records(filled, &asked),
            // Without a shop the question stands by itself.
            Err(NoAnswer::NotBegun) if order.is_none() && find.is_none() => {}
            Err(why) => return why.page(),
        }
    }
    let mut mistakes = Mistakes::default();
    // What was filled in from records is answered at once, where the goods have a price.
    let answer = (asks || filled.text("item").is_some()).then(|| answered(&filled, &mut mistakes)).flatten();
    page(&app, &filled, &mistakes, order, find, answer.as_ref())
}

fn of_records(filled: Filled, asked: &InsureAsked) -> Filled {
    let figure = |figure: Option<u32>| figure.map(|figure| figure.to_string()).unwrap_or_default();
    filled
        .with("item", asked.item.as_str())
        .with("shipping", asked.shipping.clone().unwrap_or_default())
        .with("fee-returned", asked.fee_returned.clone().unwrap_or_default())
        .with("sent", figure(asked.sent))
        .with("broken", figure(asked.broken))
}

fn answered(filled: &Filled, mistakes: &mut Mistakes) -> Option<Insured> {
    let one = |name: &str| filled.text(name).map(str::to_owned);
    filled.needed("item", "Say what the goods cost, for example: 40", mistakes);
    let (sent, broken) = (
        filled.whole("sent", 0..=MOST_PARCELS, mistakes),
        filled.whole("broken", 0..=MOST_PARCELS, mistakes),
    );
    if !mistakes.is_empty() {
        return None;
    }
    let asked = InsureAsked {
        item: one("item").unwrap_or_default(),
        shipping: one("shipping"),
        fee_returned: one("fee-returned"),
        return_cost: one("return-cost"),
        breakage: one("breakage"),
        sent,
        broken,
        premium: one("premium"),
        cover: one("cover"),
        deductible: one("deductible"),
        payout: one("payout"),
        claim_cost: one("claim-cost"),
        level: filled.lines("level").into_iter().map(|(_, line)| line.to_owned()).collect(),
        ..InsureAsked::default()
    };
    match insured(&asked) {
        Ok(answer) => Some(answer),
        Err(wrong) => {
            let missing = if wrong.is_missing { "this is missing: " } else { "" };
            mistakes.add(wrong.field, format!("{missing}{}", wrong.message));
            None
        }
    }
}

fn fields() -> (Vec<Field>, Vec<Field>, Vec<Field>) {
    let first = vec![
        Field::needed("item", "Price of the goods", "What the buyer gets back when they break.", Kind::Money),
        Field::optional("shipping", "Shipping charged", "To give back too.", Kind::Money),
        Field::optional("premium", "Price of the cover", "Left out, only the loss is told.", Kind::Money),
        Field::optional("cover", "The most that it pays", "", Kind::Money),
    ];
    let more = vec![
        Field::optional(
            "fee-returned",
            "Part of the fee that comes back",
            "What the venue gives back on a refund.",
            Kind::Money,
        ),
        Field::optional("return-cost", "What the return or the disposal costs", "", Kind::Money),
        Field::optional("deductible", "What the cover keeps of every claim", "", Kind::Money),
        Field::optional(
            "payout",
            "Chance that a claim is paid",
            &format!("Left out, {USUAL_PAYOUT}."),
            Kind::Measure,
        ),
        Field::optional("claim-cost", "What making a claim costs you", "Your time counts.", Kind::Money),
    ];
    let chance = vec![
        Field::optional("sent", "Parcels like it that you have sent", "", Kind::Whole),
        Field::optional("broken", "Of these, broken", "", Kind::Whole),
        Field::optional(
            "breakage",
            "Or the chance that it breaks",
            "2 %. Then the two above don't count.",
            Kind::Measure,
        ),
        Field::optional(
            "level",
            "Ways to pack it",
            "A line each, what it costs and how often it breaks: 1.90, 2.5 %",
            Kind::Lines { rows: 3, sheet: false },
        ),
    ];
    (first, more, chance)
}

fn page(
    app: &App,
    filled: &Filled,
    mistakes: &Mistakes,
    order: Option<u64>,
    find: Option<u64>,
    answer: Option<&Insured>,
) -> Response {
    let (first, more, chance) = fields();
    let is_open = |fields: &[Field]| {
        fields.iter().any(|one| filled.text(&one.name).is_some() || mistakes.of(&one.name).is_some())
    };
    let body = html! {
        @if let Some(order) = order { p { "Of " a href={ "/orders/" (order) } { "order " (order) } "." } }
        @else if let Some(find) = find { p { "Of a lot of " a href={ "/finds/" (find) } { "find " (find) } "." } }
        @match answer {
            Some(answer) => section aria-label="Answer" { (told(answer)) },
            None => p { "Say what is lost when the parcel is destroyed and what cover would cost: the answer is whether to insure it." },
        }
        section aria-labelledby="ask" {
            h2 #ask { "Ask" }
            form method="get" action="/insure" novalidate {
                @if let Some(order) = order { input type="hidden" name="order" value=(order); }
                @if let Some(find) = find { input type="hidden" name="find" value=(find); }
                @for field in &first { (draw(field, filled, mistakes, false)) }
                details open[is_open(&more)] {
                    summary { "Returns, and what the cover leaves to you" }
                    @for field in &more { (draw(field, filled, mistakes, false)) }
                }
                details open[is_open(&chance)] {
                    summary { "How often it breaks, and ways to pack it" }
                    @for (k, field) in chance.iter().enumerate() { (draw(field, filled, mistakes, k + 1 == chance.len())) }
                }
                div.actions { button type="submit" { "Is it worth it" } }
            }
        }
        p { (NO_ADVICE) }
        p { a href="/help#insure" { "How to use this page" } " " a href="/guard" { "How much cushion a piece needs" } }
    };
    checked(&app.page("Is cover worth its premium", "/orders/insure", body).with_mistakes(mistakes))
}

fn told(answer: &Insured) -> Markup {
    html! {
        p.verdict {
            @match (answer.insure, answer.most_premium) {
                (Some(true), _) => "Insure it.",
                (Some(false), Some(most)) => { "Don't insure it: the cover is worth at most " (most) "." },
                (Some(false), None) => "Don't insure it.",
                (None, _) => { "Destroyed, it costs you " (answer.loss) "." }
            }
            @if let Some(level) = answer.packing_level { " Pack it the way of line " (level) "." }
        }
        details open {
            summary { "How this was reckoned" }
            ul { @for reason in &answer.reasons { li { (reason) } } }
        }
    }
}
