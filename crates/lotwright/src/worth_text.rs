//! What a find is worth, for a reader at a terminal.

use measure::{Money, Units};
use pricing::{Appraisal, Caution, LotWorth, Shipping};
use trade::{Job, Size, Worth};

use crate::words::{amount, plural, table, wrapped};

/// Days for which the chance of a sale is told.
const DAYS: [f64; 3] = [30.0, 90.0, 180.0];

/// What the pieces are worth: comps as they counted, prices by lot size, time to a sale.
pub fn worth(job: &Job, worth: &Worth, explain: bool) -> String {
    let mut out = Vec::new();
    match &worth.appraisal {
        Ok(appraisal) => {
            out.push(comps(job, worth, appraisal));
            out.push(prices(job, worth, appraisal));
            out.push(plot(worth, appraisal));
            out.push(pace(job, worth, appraisal));
            if explain {
                out.push(model(job, appraisal));
            }
        }
        Err(why) => {
            out.push(wrapped("! ", &format!("What it is worth can't be said: {why}.")));
            out.push(break_even(job, worth));
        }
    }
    out.join("\n\n")
}

fn comps(job: &Job, worth: &Worth, appraisal: &Appraisal) -> String {
    let find = &job.finds[worth.find];
    let mut lines = vec![format!(
        "{} as evidence, weight {:.2} together, {:.1} effective, {} exact:",
        plural(find.comps.len() as u32, "comp"),
        appraisal.weight_sum(),
        appraisal.effective_comps(),
        appraisal.exact()
    )];
    for (counted, comp) in appraisal.counted().iter().zip(&find.comps) {
        // As it was understood, then how it counted: the sentence says both after its colon.
        let how = counted.sentence.split_once(": ").map_or(counted.sentence.as_str(), |(_, how)| how);
        let (least, most) = job.market.assumptions.unstated_shipping;
        let taken = match comp.shipping {
            Shipping::Unknown => format!(", taken as {least} to {most}"),
            Shipping::Free | Shipping::Charged(_) | Shipping::Between(..) => String::new(),
        };
        let text = format!("{}{taken}: {how}", comp.understood());
        lines.push(wrapped(&format!("{:>3}. ", counted.number), &text));
    }
    lines.join("\n")
}

fn prices(job: &Job, worth: &Worth, appraisal: &Appraisal) -> String {
    let lots: Vec<LotWorth> = sizes(worth).filter_map(|size| appraisal.lot(size.pieces).ok()).collect();
    let range = |(low, high): (Money, Money)| format!("{low} to {high}");
    let rows: Vec<Vec<String>> = lots
        .iter()
        .map(|lot| {
            let mark = if lot.cautions.contains(&Caution::Extrapolated) { "~" } else { "" };
            vec![
                format!("{mark}{}", lot.pieces),
                lot.median_price().to_string(),
                lot.per_piece_price().to_string(),
                range(lot.next_sale()),
                range(lot.median_range()),
            ]
        })
        .collect();
    let head = ["lot of", "median", "each", "next sale, 8 of 10", "median itself, 80 %"];
    let title = format!(
        "Worth delivered (shipping included), {}, grade {:?}:",
        worth.pools.first().map_or("pieces", |sets| sets.pool.name.as_str()),
        job.finds[worth.find].grade,
    );
    let mut out = format!("{}\n{}", wrapped("", &title), table(&head, &rows));
    if rows.iter().any(|row| row[0].starts_with('~')) {
        out.push('\n');
        out.push_str(&wrapped("~ ", "no comp of about this lot size: the price leans on what is usual"));
    }
    if lots.iter().any(|lot| lot.cautions.contains(&Caution::PriorDriven)) {
        out.push('\n');
        out.push_str(&wrapped(
            "! ",
            "thin evidence: less than two comps' weight or no exact price, so that what is usual counts as \
             much as what was seen",
        ));
    }
    out
}

fn sizes(worth: &Worth) -> impl Iterator<Item = &Size> {
    worth.pools.first().into_iter().flat_map(|sets| &sets.sizes)
}

fn plot(worth: &Worth, appraisal: &Appraisal) -> String {
    let plot = draw::price_plot(&crate::charts::price_chart("", worth, appraisal), crate::words::WIDTH);
    plot.trim_end().to_owned()
}

fn pace(job: &Job, worth: &Worth, appraisal: &Appraisal) -> String {
    let rate = &worth.pace.rate;
    let from = match (worth.pace.records, worth.pace.counted) {
        (0, false) => String::from("nothing was told of days on offer, so what is usual stands"),
        (0, true) => String::from("from the market's counted sales"),
        (records, false) => format!("from {} that told days on offer", plural(records as u32, "comp")),
        (records, true) => format!(
            "from the market's counted sales and {} that told days on offer",
            plural(records as u32, "comp")
        ),
    };
    let mut out = wrapped(
        "",
        &format!(
            "Time to a sale ({from}): a single piece asked at its median sells within {:.0} days as often as \
             not.",
            rate.median_days(1.0)
        ),
    );
    let rows: Vec<Vec<String>> = [0.8, 1.0, 1.25, 1.5]
        .into_iter()
        .filter_map(|ratio| {
            let one = appraisal.lot(1).ok()?;
            let ask = ratio * one.median;
            let medians: Vec<(f64, f64)> =
                appraisal.medians(1).ok()?.iter().map(|m| (m.weight, m.delivered)).collect();
            let mut row = vec![amount(ask), format!("{ratio} x the median")];
            row.extend(DAYS.iter().map(|&days| {
                format!("{:.0} %", 100.0 * rate.chance_within(days, ask, medians.iter().copied()))
            }));
            Some(row)
        })
        .collect();
    let _ = job;
    out.push('\n');
    out.push_str(&table(&["one asked at", "", "in 30 days", "90 days", "180 days"], &rows));
    out
}

fn model(job: &Job, appraisal: &Appraisal) -> String {
    let (mu, beta, sigma) = (appraisal.mu(), appraisal.beta(), appraisal.sigma());
    let grid = appraisal.grid();
    let assumed = &job.market.assumptions;
    [
        wrapped(
            "",
            "How it is reckoned: ln(delivered price / pieces) = mu + beta ln(pieces) + sigma x error; every \
             comp counts with its weight, bounds as bounds; the answer averages over all mu, beta and sigma on \
             a grid.",
        ),
        format!("  mu     {:.4} +- {:.4}   (a single piece at {})", mu.mean, mu.sd, amount(mu.mean.exp())),
        format!(
            "  beta   {:.4} +- {:.4}   (twice the lot brings {:+.0} % per piece)",
            beta.mean,
            beta.sd,
            100.0 * (2f64.powf(beta.mean) - 1.0)
        ),
        format!("  sigma  {:.4} +- {:.4}", sigma.mean, sigma.sd),
        wrapped(
            "  ",
            &format!(
                "settings: half-life {} days, accepted offers down to {:.0} % of the ask, unsold weigh 1 - \
                 exp(-days/{}), errors {:?}, grid {} cells, mass at its edge {:.0e}",
                assumed.half_life_days,
                100.0 * assumed.offer_floor,
                assumed.mean_days_at_median,
                assumed.error_law,
                grid.cells,
                grid.edge_mass
            ),
        ),
    ]
    .join("\n")
}

/// Without comps: from what price on a lot leaves anything.
fn break_even(job: &Job, worth: &Worth) -> String {
    let rows: Vec<Vec<String>> = sizes(worth)
        .map(|size| {
            let (parcel, weight) = parcel(job.units, size);
            vec![
                size.pieces.to_string(),
                size.break_even.map_or_else(|| String::from("-"), |price| price.to_string()),
                weight,
                parcel,
            ]
        })
        .collect();
    format!(
        "{}\n{}",
        wrapped(
            "",
            "What can be said: a lot leaves nothing below this delivered price, your work at its wage."
        ),
        table(&["lot of", "break-even", "packed", "parcel"], &rows)
    )
}

/// A lot's parcel in short, and its weight.
pub fn parcel(units: Units, size: &Size) -> (String, String) {
    match &size.parcels {
        Ok(parcels) => {
            let weight = parcels.iter().map(|parcel| parcel.gross).sum::<measure::Mass>().write(units);
            let names: Vec<&str> = parcels.iter().map(|parcel| parcel.plan.carton.name.as_str()).collect();
            (names.join(" + "), weight)
        }
        Err(why) => (format!("none: {why}"), String::from("-")),
    }
}
