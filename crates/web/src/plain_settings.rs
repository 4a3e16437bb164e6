//! What most people set, in plain words: one form over the settings with the keys of a job sheet.

use axum::Router;
use axum::extract::State;
use axum::response::Response;
use axum::routing::post;
use keeping::TypedSetting;
use maud::{Markup, html};
use shop::Setting;
use trade::Job;

use crate::App;
use crate::desk::Desk;
use crate::form::{Choice, Field, Filled, Kind, Mistakes, Posted, draw, once_field};

/// A setting with a field of its own.
struct Plain {
    key: &'static str,
    label: &'static str,
    hint: &'static str,
    kind: fn(&Desk) -> Kind,
    /// What holds where it isn't set.
    usual: fn(&Desk, &Job) -> String,
}

/// The field's name of a key: letters and dashes only.
fn name(key: &str) -> String {
    key.replace(['.', '_'], "-")
}

fn percent(share: f64) -> String {
    format!("{} %", (1000.0 * share).round() / 10.0)
}

const fn words(_: &Desk) -> Kind {
    Kind::Words { known: Vec::new() }
}

fn choices(of: &[(&str, &str)]) -> Kind {
    Kind::OneOf(of.iter().map(|(value, words)| Choice::new(value, words)).collect())
}

const PLAIN: [Plain; 9] = [
    Plain {
        key: "post.from",
        label: "Your ZIP Code",
        hint: "Where your parcels are handed over; the first three digits will do.",
        kind: |_| Kind::Code,
        usual: |_, job| job.post.origin.clone(),
    },
    Plain {
        key: "post.to",
        label: "Where your buyers are",
        hint: "The first three digits of a few typical places, with commas: 100, 606, 981.",
        kind: words,
        usual: |_, job| job.post.buyers.iter().map(|one| one.zip.as_str()).collect::<Vec<_>>().join(", "),
    },
    Plain {
        key: "packing.wage",
        label: "An hour of your work is worth, in dollars",
        hint: "What is left after it is profit.",
        kind: |_| Kind::Money,
        usual: |_, job| job.wage.to_string(),
    },
    Plain {
        key: "buying.return",
        label: "What a purchase must bring on top of its price",
        hint: "A share of the money paid, such as 50 %.",
        kind: words,
        usual: |_, job| percent(job.market.buying.return_wanted),
    },
    Plain {
        key: "buying.least_profit",
        label: "And at least, in dollars",
        hint: "The least profit for which a find is worth the trouble.",
        kind: |_| Kind::Money,
        usual: |_, job| format!("{:.2}", job.market.buying.least_profit),
    },
    Plain {
        key: "buying.shop_tax",
        label: "Sales tax where you buy",
        hint: "Such as 7 %; none where you don't pay it.",
        kind: words,
        usual: |_, job| percent(job.market.buying.shop_tax),
    },
    Plain {
        key: "market.damage",
        label: "Orders that arrive broken",
        hint: "Such as 2 %: what you count on.",
        kind: words,
        usual: |_, job| percent(job.market.damage),
    },
    Plain {
        key: "packing.fill",
        label: "Loose fill",
        hint: "",
        kind: |desk| {
            let fills = desk.library.materials.fills();
            Kind::OneOf(fills.map(|one| Choice::new(&one.id, &one.name)).collect())
        },
        usual: |desk, job| {
            let fill = desk.library.materials.find(&job.protecting.fill);
            fill.map_or_else(|_| job.protecting.fill.clone(), |fill| fill.name.clone())
        },
    },
    Plain {
        key: "units",
        label: "Measures are written in",
        hint: "",
        kind: |_| choices(&[("in", "inches and ounces"), ("cm", "centimetres and grams")]),
        usual: |_, _| String::from("inches and ounces"),
    },
];

pub(crate) fn routes() -> Router<App> {
    Router::new().route("/settings/plain", post(put))
}

fn kept(settings: &[(u64, Setting)], key: &str) -> String {
    let value = settings.iter().find(|(_, one)| one.name == key).map(|(_, one)| one.value.as_str());
    value.map_or_else(String::new, keeping::setting_typed)
}

/// The form, with what is set, or was typed.
pub(crate) fn form(
    app: &App,
    settings: &[(u64, Setting)],
    filled: &Filled,
    mistakes: &Mistakes,
    key: &str,
) -> Markup {
    let usual = keeping::usual_job(app.desk(), app.now().day).ok();
    let sent = filled.has("plain");
    html! {
        form method="post" action="/settings/plain" novalidate {
            (once_field(&format!("{key}-plain")))
            input type="hidden" name="plain" value="yes";
            @for (k, one) in PLAIN.iter().enumerate() {
                @let (shown, usual) = (kept(settings, one.key), usual.as_ref().map(|job| (one.usual)(app.desk(), job)));
                @let field = field(app.desk(), one, &shown, usual.as_deref());
                @let typed = if sent { filled.clone() } else { filled.clone().with(&field.name, shown.as_str()) };
                input type="hidden" name={ (field.name) "-was" } value=(shown);
                (draw(&field, &typed, mistakes, k + 1 == PLAIN.len()))
            }
            button type="submit" { "Keep these" }
        }
    }
}

fn field(desk: &Desk, one: &Plain, shown: &str, usual: Option<&str>) -> Field {
    let usual = usual.unwrap_or("as usual");
    let kind = match (one.kind)(desk) {
        Kind::OneOf(mut choices) => {
            // One that was set in other words stays to be chosen.
            if !shown.is_empty() && choices.iter().all(|choice| choice.value != shown) {
                choices.push(Choice::new(shown, shown));
            }
            choices.insert(0, Choice::new("", &format!("as usual: {usual}")));
            Kind::OneOf(choices)
        }
        other => other,
    };
    let hint = match &kind {
        Kind::OneOf(_) => one.hint.to_owned(),
        _ => format!("{} Left out, {usual}.", one.hint),
    };
    Field::optional(&name(one.key), one.label, hint.trim(), kind)
}

async fn put(State(app): State<App>, Posted(filled): Posted) -> Response {
    let typed: Vec<TypedSetting> = PLAIN
        .iter()
        .map(|one| {
            let field = name(one.key);
            let shown = filled.typed(&format!("{field}-was")).to_owned();
            TypedSetting { key: one.key, shown, typed: filled.typed(&field).to_owned() }
        })
        .collect();
    let today = app.now().day;
    let changed =
        app.read_shop(move |shop, desk| Ok(keeping::settings_changed(shop, desk, &typed, today))).await;
    let mut mistakes = Mistakes::default();
    match changed {
        Err(page) => return page,
        Ok(Err(wrong)) => {
            for one in wrong {
                mistakes.add(&name(one.key), one.why.to_string());
            }
        }
        Ok(Ok(changed)) => {
            let work = move |shop: &mut shop::Shop, _: &Desk, stamp: &shop::Stamp| {
                keeping::put_changed(shop, stamp, &changed)?;
                Ok(String::from("/settings"))
            };
            if let Some(done) = app.write_shop(&filled, "post-from", "/settings", &mut mistakes, work).await {
                return done;
            }
        }
    }
    crate::settings_page::drawn(&app, &filled, &mistakes).await
}
