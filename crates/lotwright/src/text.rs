//! The plan for a reader at a terminal, 80 columns wide and without colour.

use std::fmt::Write as _;

use crate::words::{WIDTH, plural, size, trimmed, wrapped};
use measure::{Length, Money, Units};
use trade::{Destination, Find, Job, Ladder, Listing, LotsBy, OrderPlan, Outcome, Shipped};

/// How much is written.
#[derive(Debug, Clone, Copy)]
pub struct Detail {
    /// Units of measures.
    pub units: Units,
    /// Whether the steps of packing are written.
    pub steps: bool,
    /// The one size of order that is asked for.
    pub only: Option<u32>,
}

/// The whole answer.
pub fn outcome(job: &Job, outcome: &Outcome, detail: Detail) -> String {
    let mut out = String::new();
    let title = &job.title;
    put(&mut out, &format!("{title}\n{}", "=".repeat(title.chars().count().min(WIDTH))));
    put(
        &mut out,
        &wrapped(
            "",
            &format!(
                "Postage: {}, mailed {} from {}. Check against the official list.",
                job.post.card.service(),
                job.post.date,
                job.post.origin
            ),
        ),
    );
    for caution in &outcome.cautions {
        put(&mut out, &wrapped("! ", caution));
    }
    put(&mut out, &wrapped("", &format!("Charged: {}.", job.charging.in_words(detail.units))));
    put(&mut out, &zones(&outcome.destinations));
    for (index, find) in job.finds.iter().enumerate() {
        let ladders: Vec<&Ladder> =
            outcome.ladders.iter().filter(|ladder| ladder.listing.find == index).collect();
        // With only one size of order asked for, finds that have none stay out.
        if ladders.iter().all(|ladder| ladder.rungs.is_empty()) && detail.only.is_some() {
            continue;
        }
        put(&mut out, &find_head(find, &ladders));
        if let Some(Some(worth)) = outcome.worths.get(index) {
            out.push('\n');
            put(&mut out, &crate::worth_text::worth(job, worth, false));
            out.push('\n');
            put(&mut out, &crate::split_text::split(job, worth, false));
        }
        for ladder in ladders {
            put(&mut out, &listed(find, ladder, &outcome.destinations, detail));
        }
        let cautions: std::collections::BTreeSet<String> =
            find.rows.iter().flat_map(|row| &row.form.cautions).map(|caution| caution.full_text()).collect();
        for caution in cautions {
            put(&mut out, &wrapped("! ", &caution));
        }
    }
    if !outcome.orders.is_empty() {
        put(&mut out, &heading("Mixed orders"));
        for (name, plan) in &outcome.orders {
            match plan {
                Ok(plan) => {
                    let lots: Vec<String> = plan
                        .lots
                        .iter()
                        .map(|&(find, lots)| format!("{lots} of {}", job.finds[find].name))
                        .collect();
                    put(
                        &mut out,
                        &order(&format!("{name}: {}", lots.join(", ")), plan, &outcome.destinations, detail),
                    );
                }
                Err(why) => put(&mut out, &wrapped("", &format!("{name}: no plan; {why}."))),
            }
        }
    }
    put(&mut out, "Every plan above was proved by the independent checker before it was written.");
    out
}

fn put(out: &mut String, text: &str) {
    out.push_str(text.trim_end_matches('\n'));
    out.push('\n');
}

fn heading(text: &str) -> String {
    format!("\n{text}\n{}", "-".repeat(text.chars().count().min(WIDTH)))
}

fn zones(destinations: &[Destination]) -> String {
    let mut out = String::new();
    let list: Vec<String> = destinations
        .iter()
        .map(|to| format!("{} is {} ({:.0} % of buyers)", to.zip, to.zone.zone, 100.0 * to.share))
        .collect();
    put(&mut out, &wrapped("", &format!("Buyers: {}.", list.join(", "))));
    for to in destinations {
        if let Some(edge) = to.zone.to_edge_miles {
            put(
                &mut out,
                &wrapped(
                    "! ",
                    &format!(
                        "{} lies {edge:.0} miles from the edge of {}: check it on your official chart.",
                        to.zip, to.zone.zone
                    ),
                ),
            );
        }
    }
    out
}

fn find_head(find: &Find, ladders: &[&Ladder]) -> String {
    let mut out = heading(&find.name);
    out.push('\n');
    let rows: Vec<String> = find
        .rows
        .iter()
        .map(|row| {
            let flawed =
                if row.flawed > 0 { format!(" ({} flawed, set aside)", row.flawed) } else { String::new() };
            format!("{}{flawed}", plural(row.count, &row.what))
        })
        .collect();
    let lots: Vec<String> = ladders.iter().map(|ladder| lots_of(find, &ladder.listing)).collect();
    let over = match find.lots_by {
        LotsBy::Split => String::new(),
        LotsBy::Sheet => {
            let over: Vec<String> = find
                .leftovers()
                .into_iter()
                .filter(|(_, count)| *count > 0)
                .map(|(row, count)| plural(count, &row.what))
                .collect();
            match over.is_empty() {
                true => String::from("; nothing left over"),
                false => format!("; left over: {}", over.join(", ")),
            }
        }
    };
    let lots = if lots.is_empty() { String::from("no lot is worth its parcel") } else { lots.join("; ") };
    let by = match find.lots_by {
        LotsBy::Split => ", by the split",
        LotsBy::Sheet => "",
    };
    put(&mut out, &wrapped("", &format!("{}: {lots}{by}{over}.", rows.join(", "))));
    let guessed = not_measured(find);
    if !guessed.is_empty() {
        put(&mut out, &wrapped("~ ", &guessed));
    }
    out
}

/// "2 lots of 4 cups and 4 saucers".
fn lots_of(find: &Find, listing: &Listing) -> String {
    let lot: Vec<String> = find
        .rows
        .iter()
        .zip(&listing.per_lot)
        .filter(|(_, pieces)| **pieces > 0)
        .map(|(row, pieces)| plural(*pieces, &row.what))
        .collect();
    format!("{} of {}", plural(listing.lots, "lot"), lot.join(" and "))
}

fn listed(find: &Find, ladder: &Ladder, destinations: &[Destination], detail: Detail) -> String {
    let mut out = String::new();
    let price = ladder.listing.price.map_or_else(String::new, |price| {
        if ladder.listing.lots == 1 { format!(" at {price}") } else { format!(" at {price} each") }
    });
    put(&mut out, &format!("\nListed: {}{price}", lots_of(find, &ladder.listing)));
    if let Some(stated) = ladder.stated {
        put(
            &mut out,
            &wrapped(
                "",
                &format!(
                    "Charged lot by lot, {} and {} is the least to state per lot that never loses; it \
             overcharges {} on average and at most {} (on {}).",
                    stated.weight.write(detail.units),
                    size(stated.size, detail.units),
                    stated.expected_over,
                    stated.most_over,
                    plural(stated.most_over_lots, "lot")
                ),
            ),
        );
    }
    for (lots, rung) in &ladder.rungs {
        match rung {
            Ok(plan) => put(&mut out, &order(&plural(*lots, "lot"), plan, destinations, detail)),
            Err(why) => put(&mut out, &wrapped("", &format!("{}: no plan; {why}.", plural(*lots, "lot")))),
        }
    }
    out
}

/// What of a find's measures was taken from the forms table, in words; empty when all was measured.
pub fn not_measured(find: &Find) -> String {
    let guessed = find.not_measured();
    if guessed.is_empty() {
        return String::new();
    }
    format!("Not measured, taken from the forms table: {}.", guessed.join("; "))
}

fn order(name: &str, plan: &OrderPlan, destinations: &[Destination], detail: Detail) -> String {
    let mut out = String::new();
    let parcels =
        if plan.parcels.len() == 1 { String::new() } else { format!(", {} parcels", plan.parcels.len()) };
    put(&mut out, &format!("\n{name}{parcels}"));
    for (k, shipped) in plan.parcels.iter().enumerate() {
        put(&mut out, &parcel(k, plan.parcels.len(), shipped, detail));
    }
    for (carton, needed, on_hand) in &plan.short_of {
        put(
            &mut out,
            &wrapped(
                "  ! ",
                &format!("takes {needed} cartons {carton}, and {on_hand} on hand: buy or substitute"),
            ),
        );
    }
    out.push_str(&money_table(plan, destinations));
    put(
        &mut out,
        &wrapped(
            "  ",
            &format!(
                "expected: postage {}, materials {}, remains {} for {:.0} min of packing",
                plan.expected_postage, plan.materials, plan.expected_remains, plan.minutes
            ),
        ),
    );
    out
}

/// One parcel of an order: carton, layers, clearances and materials.
pub fn parcel(index: usize, of: usize, shipped: &Shipped, detail: Detail) -> String {
    let units = detail.units;
    let plan = &shipped.plan;
    let mut out = String::new();
    let which = if of > 1 { format!("  parcel {}: ", index + 1) } else { String::from("  ") };
    let cut = match plan.carton.cut_down_from_mm {
        Some(_) => format!(" cut down to {} inside", Length::from_mm(plan.carton.inside_mm[2]).write(units)),
        None => String::new(),
    };
    let billed: std::collections::BTreeSet<String> =
        shipped.quotes.iter().map(|quote| quote.billed_row.clone()).collect();
    put(
        &mut out,
        &wrapped(
            &which,
            &format!(
                "{}{} carton{cut}; {} outside, {} packed, bills as {}",
                plan.inner.as_ref().map_or_else(String::new, |inner| format!("{} in a ", inner.carton.name)),
                plan.carton.name,
                size(shipped.outside, units),
                shipped.gross.write(units),
                billed.into_iter().collect::<Vec<_>>().join(" or ")
            ),
        ),
    );
    for line in layer_lines(plan) {
        put(&mut out, &wrapped("    ", &line));
    }
    if let Some(inner) = &plan.inner {
        for line in layer_lines(inner) {
            put(&mut out, &wrapped("      ", &format!("in the inner carton, {line}")));
        }
    }
    let (sides, floor, top) = plan.bundles.iter().fold(
        (f64::INFINITY, f64::INFINITY, f64::INFINITY),
        |(sides, floor, top), bundle| {
            (sides.min(bundle.walls.sides_mm), floor.min(bundle.walls.floor_mm), top.min(bundle.walls.top_mm))
        },
    );
    let length = |mm: f64| Length::from_mm(mm).write(units);
    put(
        &mut out,
        &wrapped(
            "    ",
            &format!(
                "hard parts clear the sides by {}, the floor by {}, the top by {}; {} of {}",
                length(sides),
                length(floor),
                length(top),
                measure::Volume::from_mm3(plan.fill.volume_mm3).write(units),
                plan.fill.material
            ),
        ),
    );
    put(&mut out, &crate::guard_lines::guard(shipped, units, detail.steps));
    let uses: Vec<String> = plan
        .materials
        .iter()
        .filter(|used| !used.material.starts_with("carton ") && used.material != plan.fill.material)
        .map(|used| match used.unit.as_str() {
            "piece" => format!("{} {}", trimmed(used.quantity), used.material),
            "sheet" => format!("{} of {}", plural(used.quantity.round() as u32, "sheet"), used.material),
            unit => format!("{} {unit} of {}", trimmed(used.quantity), used.material),
        })
        .collect();
    put(&mut out, &wrapped("    ", &format!("uses {}", uses.join("; "))));
    for note in &shipped.notes {
        let word = if note.difference < Money::ZERO { "would save" } else { "would cost" };
        let amount = if note.difference < Money::ZERO { -note.difference } else { note.difference };
        put(&mut out, &wrapped("    ", &format!("{} {word} {amount} of postage on average", note.change)));
    }
    let cautions: std::collections::BTreeSet<&String> =
        shipped.quotes.iter().flat_map(|quote| &quote.cautions).collect();
    for caution in cautions {
        put(&mut out, &wrapped("    ! ", caution));
    }
    if let Some(limit) = protection::binding(&shipped.limits) {
        // Named where it is near, and always beside the steps.
        if detail.steps || limit.reach.share() > NEAR_LIMIT {
            put(&mut out, &wrapped("    ", &format!("nearest limit of the carton: {}", limit.text())));
        }
    }
    for caution in crate::safety_words::parcel(shipped) {
        put(&mut out, &wrapped("    ! ", &caution));
    }
    if detail.steps {
        for (k, step) in draw::steps(plan, units).iter().enumerate() {
            put(&mut out, &wrapped(&format!("    {:>2}. ", k + 1), step));
        }
    }
    out
}

/// What lies in each layer, from the top down.
fn layer_lines(plan: &plan::Parcel) -> Vec<String> {
    let mut lines = Vec::new();
    for layer in plan.layers.iter().rev() {
        let mut bundles: Vec<(String, u32)> = Vec::new();
        for bundle in plan.bundles.iter().filter(|bundle| bundle.layer == layer.number) {
            let way = bundle.way_up.words();
            // A bundle made to stand on edge says so in its name; a carton stands as it stands.
            let words = if bundle.label.ends_with(way) || plan.inner.is_some() {
                bundle.label.clone()
            } else {
                format!("{} {way}", bundle.label)
            };
            match bundles.iter_mut().find(|(known, _)| *known == words) {
                Some((_, count)) => *count += 1,
                None => bundles.push((words, 1)),
            }
        }
        let list: Vec<String> = bundles
            .into_iter()
            .map(|(words, count)| if count == 1 { words } else { format!("{count} x {words}") })
            .collect();
        let place = match (layer.number, plan.layers.len()) {
            (_, 1) => String::from("one layer"),
            (1, _) => String::from("bottom layer"),
            (n, all) if n as usize == all => String::from("top layer"),
            (n, _) => format!("layer {n}"),
        };
        lines.push(format!("{place}: {}", list.join(", ")));
    }
    lines
}

/// Share of a limit from which it is named (judgement).
const NEAR_LIMIT: f64 = 0.8;

/// Destinations across, money down; broken into blocks that keep to the width.
fn money_table(plan: &OrderPlan, destinations: &[Destination]) -> String {
    const LABEL: usize = 12;
    const COLUMN: usize = 11;
    let per_block = (WIDTH - LABEL) / COLUMN;
    let mut out = String::new();
    let places: Vec<usize> = (0..destinations.len()).collect();
    for block in places.chunks(per_block) {
        let mut line = |label: &str, cell: &dyn Fn(usize) -> String| {
            let _ = write!(out, "  {label:<w$}", w = LABEL - 2);
            for &k in block {
                let _ = write!(out, "{:>COLUMN$}", cell(k));
            }
            out.push('\n');
        };
        line("to", &|k| format!("{} z{}", destinations[k].zip, destinations[k].zone.zone.number()));
        line("postage", &|k| plan.settled[k].postage.to_string());
        line("charged", &|k| plan.settled[k].charged.to_string());
        line("remains", &|k| {
            let mark = if k == plan.worst && destinations.len() > 1 { "*" } else { "" };
            format!("{mark}{}", plan.settled[k].remains)
        });
    }
    out
}
