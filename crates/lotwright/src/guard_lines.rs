//! What the drop of a parcel does to its pieces, in lines.

use std::fmt::Write as _;

use droptest::{Landed, Landing};
use measure::{Length, Units};
use trade::{Guard, Shipped};

use crate::words::wrapped;

/// Indent of what belongs to a parcel.
const INDENT: &str = "    ";

/// A margin as a percentage with its sign.
fn percent(margin: f64) -> String {
    if margin > 9.99 { String::from("over +999 %") } else { format!("{:+.0} %", 100.0 * margin) }
}

/// The drop in a few lines; with `faces`, one line for each face.
pub fn guard(shipped: &Shipped, units: Units, faces: bool) -> String {
    let mut out = String::new();
    let guard = match &shipped.guard {
        Ok(guard) => guard,
        Err(why) => {
            out.push_str(&wrapped("    ~ ", &format!("drop not reckoned: {why}")));
            return out;
        }
    };
    let Some(worst) = guard.assessment.worst() else { return out };
    let label = |index: usize| {
        shipped.plan.bundles.get(index).map_or_else(String::new, |bundle| bundle.label.clone())
    };
    let margin = worst.margin();
    let lead = if margin < 0.0 { "    ! at risk: " } else { INDENT };
    out.push_str(&wrapped(
        lead,
        &format!(
            "dropped {} ({}): margin {}, least on the {} ({}); {}",
            guard.assessment.height.write(units),
            guard.by,
            percent(margin),
            Landing::words(worst.strikes),
            felt(worst, &label),
            worst.limit.words(&label)
        ),
    ));
    if faces {
        for landed in guard.assessment.landings.iter().filter(|one| one.landing() == Landing::Face) {
            let line = format!(
                "on the {}: {} ({})",
                Landing::words(landed.strikes),
                percent(landed.margin()),
                felt(landed, &label)
            );
            out.push_str(&wrapped("      ", &line));
        }
        for (landing, word) in [(Landing::Edge, "edges"), (Landing::Corner, "corners")] {
            let least = guard
                .assessment
                .landings
                .iter()
                .filter(|one| one.landing() == landing)
                .min_by(|a, b| a.margin().total_cmp(&b.margin()));
            if let Some(landed) = least {
                let line = format!(
                    "on {word}: {} at least, on the {} ({})",
                    percent(landed.margin()),
                    Landing::words(landed.strikes),
                    felt(landed, &label)
                );
                out.push_str(&wrapped("      ", &line));
            }
        }
    }
    out.push_str(&walls(guard, units));
    if let Some(mend) = &guard.mend {
        let (postage, zone) = mend.farthest;
        let line = format!(
            "to mend it: {}; {} in all, {postage} of postage to zone {zone}; margin from {} to {}",
            mend.change,
            mend.cost,
            percent(margin),
            percent(mend.margin)
        );
        out.push_str(&wrapped(INDENT, &line));
    }
    out
}

/// "cup: 53 G of 60 G".
fn felt(landed: &Landed, label: &dyn Fn(usize) -> String) -> String {
    let worst = landed.worst();
    landed.felt.get(worst).map_or_else(String::new, |felt| {
        format!("{} feels {:.0} G, designed for {:.0} G", label(worst), felt.peak_g, felt.bears_g)
    })
}

/// What the rule asks beside what is computed, and which decided.
fn walls(guard: &Guard, units: Units) -> String {
    let write = |length: Length| length.write(units);
    let mut words = String::new();
    for wall in &guard.walls {
        let computed = wall.computed.map_or_else(
            || String::from("no thickness of this fill is enough by the closed form"),
            |computed| format!("{} computed", write(computed)),
        );
        let _ = write!(
            words,
            "{}{}: {} by rule, {computed}, {} kept",
            if words.is_empty() { "" } else { "; " },
            wall.label,
            write(wall.rule),
            write(wall.used)
        );
    }
    wrapped(INDENT, &format!("cushion to the carton: {words}"))
}
