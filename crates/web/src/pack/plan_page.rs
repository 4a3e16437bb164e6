//! A plan on the screen: what to take, how it lies, the steps, and why.

use droptest::Landing;
use keeping::{DropCheck, FaceDropped};
use maud::{Markup, html};
use measure::{Length, Money};
use trade::Shipped;

use super::drawn;
use super::jobs::Planned;
use crate::layout::Page;
use crate::said::{count, sides};

pub(super) fn page(number: u64, planned: &Planned) -> Markup {
    let plan = &planned.plan;
    let parcels = plan.parcels.len();
    let title = if parcels == 1 {
        String::from("Packed in one parcel")
    } else {
        format!("Packed in {parcels} parcels")
    };
    let body = html! {
        p { (planned.title) "." }
        p.verdict { (takes(planned)) }
        p { (cost_said(planned)) }
        div.actions {
            a.button href={ "/pack/" (number) "/sheet" } { "Pack sheet to print" }
            a.quiet href={ "/pack?again=" (number) } { "Change what is packed" }
        }
        @if !planned.not_measured.is_empty() {
            section.cautions aria-labelledby="guessed" {
                h2 #guessed { "Not measured" }
                ul { @for line in &planned.not_measured { li { (line) } } }
            }
        }
        @for (carton, needed, on_hand) in &plan.short_of {
            p.caution { "It takes " (needed) " cartons " (carton) ", and " (on_hand) " on hand." }
        }
        @for (k, shipped) in plan.parcels.iter().enumerate() {
            (parcel(number, k + 1, parcels, shipped, planned))
        }
        p { a href="/help#pack" { "How to use this page" } }
    };
    Page::new(&title, "/pack", body).draw()
}

/// What to take, in one line.
fn takes(planned: &Planned) -> String {
    let cartons: Vec<String> = planned
        .plan
        .parcels
        .iter()
        .map(|shipped| format!("carton {}, {}", shipped.plan.carton.name, shipped.gross.write(planned.units)))
        .collect();
    capital(&format!("{}.", cartons.join("; ")))
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn cost_said(planned: &Planned) -> String {
    let plan = &planned.plan;
    let cost = planned.cost();
    let bound = match (planned.proved, plan.parcels.as_slice()) {
        (true, _) => String::from("No listed carton can be cheaper in one parcel."),
        (false, [one]) => {
            format!("Cartons that might do for {} or more were tried and not proved too small.", one.bound)
        }
        (false, _) => String::from("Several parcels: other divisions were tried, not proved dearer."),
    };
    let times = if planned.effort == 1 {
        String::new()
    } else {
        format!(" Found at {} times the usual effort.", planned.effort)
    };
    format!(
        "Altogether {cost}: {} of postage on average, {} of materials, {:.0} minutes of packing. {bound}{times}",
        plan.expected_postage, plan.materials, plan.minutes
    )
}

fn parcel(number: u64, k: usize, of: usize, shipped: &Shipped, planned: &Planned) -> Markup {
    let (plan, units) = (&shipped.plan, planned.units);
    let billed: std::collections::BTreeSet<&str> =
        shipped.quotes.iter().map(|quote| quote.billed_row.as_str()).collect();
    let billed: Vec<&str> = billed.into_iter().collect();
    let cautions: std::collections::BTreeSet<&String> =
        shipped.quotes.iter().flat_map(|quote| &quote.cautions).collect();
    let least = |of: fn(&plan::WallClearance) -> f64| {
        Length::from_mm(plan.bundles.iter().map(|bundle| of(&bundle.walls)).fold(f64::INFINITY, f64::min))
            .write(units)
    };
    let base = format!("/pack/{number}/{k}");
    let drop = DropCheck::of(shipped);
    html! {
        section.parcel aria-labelledby={ "parcel-" (k) } {
            h2 id={ "parcel-" (k) } { @if of == 1 { "The parcel" } @else { "Parcel " (k) " of " (of) } }
            table.figures {
                caption { "What it is" }
                tbody {
                    @if of > 1 { tr { th scope="row" { "Holds" } td { (held(plan)) } } }
                    tr {
                        th scope="row" { "Carton" }
                        td {
                            @if let Some(inner) = &plan.inner { (inner.carton.name) " in a " }
                            (plan.carton.name)
                            @if plan.carton.cut_down_from_mm.is_some() {
                                ", cut down to " (Length::from_mm(plan.carton.inside_mm[2]).write(units)) " inside"
                            }
                        }
                    }
                    tr { th scope="row" { "Outside" } td { (sides(shipped.outside, units)) } }
                    tr { th scope="row" { "Weight" } td { (shipped.gross.write(units)) ", bills as " (billed.join(" or ")) } }
                    tr { th scope="row" { "Fill" } td { (measure::Volume::from_mm3(plan.fill.volume_mm3).write(units)) " of " (plan.fill.material) } }
                    tr {
                        th scope="row" { "Clear of the carton" }
                        td {
                            (least(|walls| walls.sides_mm)) " at the sides, " (least(|walls| walls.floor_mm)) " at the floor, "
                            (least(|walls| walls.top_mm)) " at the top"
                        }
                    }
                    tr {
                        th scope="row" { "Dropped on paper" }
                        td {
                            (dropped(&drop))
                            details {
                                summary { "Face by face" }
                                ul { @for line in faces(&drop) { li { (line) } } }
                            }
                        }
                    }
                }
            }
            (drawn::drawings(&base, k, plan, units))
            h3 { "Steps" }
            ol { @for step in draw::steps(plan, units) { li { (step) } } }
            @if !shipped.notes.is_empty() {
                h3 { "What a little would change" }
                ul {
                    @for note in &shipped.notes {
                        li {
                            (note.change)
                            @if note.difference < Money::ZERO { " would save " (-note.difference) } @else { " would cost " (note.difference) }
                            " of postage on average"
                        }
                    }
                }
            }
            @for caution in cautions { p.caution { (caution) } }
        }
    }
}

/// What one parcel holds.
pub(crate) fn held(plan: &plan::Parcel) -> String {
    let held: Vec<String> = plan.contents().iter().map(|row| count(row.count, &row.what)).collect();
    held.join(", ")
}

/// What the drop does, in a line.
pub(crate) fn dropped(drop: &DropCheck) -> String {
    if let Some(why) = &drop.not_reckoned {
        return format!("not reckoned: {why}");
    }
    let risk = if drop.is_at_risk() { "At risk: the" } else { "The" };
    let mend = drop.mend.as_ref().map_or_else(String::new, |mend| {
        let after = margin(mend.margin());
        format!(". To mend it: {}, {} in all, margin {after}", mend.change, mend.cost())
    });
    format!(
        "{risk} least margin of any piece is {} ({}); {:.1} % chance of a breakage on a trip{mend}",
        margin(drop.margin.unwrap_or(f64::INFINITY)),
        drop.by,
        100.0 * drop.chance_of_breakage
    )
}

/// A margin as a percentage with its sign.
fn margin(margin: f64) -> String {
    let percent = 100.0 * margin;
    if percent > 999.0 { String::from("over +999 %") } else { format!("{percent:+.0} %") }
}

/// One line for each face that a parcel may land on.
pub(crate) fn faces(drop: &DropCheck) -> Vec<String> {
    let line = |face: &FaceDropped| {
        format!(
            "{}: {} feels {:.0} G, {}",
            Landing::words(face.strikes),
            face.label,
            face.peak_g,
            margin(face.margin.unwrap_or(f64::INFINITY))
        )
    };
    drop.faces.iter().map(line).collect()
}

/// What a drop does, as a pack sheet has it.
pub(crate) fn on_sheet(drop: &DropCheck) -> Markup {
    html! {
        p { (dropped(drop)) "." }
        ul.faces { @for line in faces(drop) { li { (line) } } }
    }
}

/// Everything cut, counted and poured, the carton and the fill apart.
pub(crate) fn cut_list(plan: &plan::Parcel) -> Vec<String> {
    let used = plan
        .materials
        .iter()
        .filter(|used| !used.material.starts_with("carton ") && used.material != plan.fill.material);
    used.map(|used| match used.unit.as_str() {
        "piece" => format!("{} {}", crate::said::tenth(used.quantity), used.material),
        "sheet" => format!("{} of {}", count(used.quantity.round() as u32, "sheet"), used.material),
        unit => format!("{} {unit} of {}", crate::said::tenth(used.quantity), used.material),
    })
    .collect()
}
