//! What the drop of a parcel does to its pieces, line by line.

use std::fmt::Write as _;

use droptest::{Landed, Landing};
use measure::{Length, Units};
use serde::{Deserialize, Serialize};
use trade::{Guard, Shipped};

/// A margin as a percentage with its sign.
fn percent(margin: f64) -> String {
    if margin > 9.99 { String::from("over +999 %") } else { format!("{:+.0} %", 100.0 * margin) }
}

/// How a line about the drop of a parcel stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DropMark {
    /// It can't be reckoned.
    NotReckoned,
    /// It is as it should be.
    Plain,
    /// A piece is at risk.
    AtRisk,
    /// One of the ways to fall.
    Landing,
}

/// The drop in a few lines; with `faces`, one line for each face, and the least of edges and corners.
#[must_use]
pub fn drop_lines(shipped: &Shipped, units: Units, faces: bool) -> Vec<(DropMark, String)> {
    let mut out = Vec::new();
    let mut put = |mark: DropMark, text: &str| out.push((mark, text.to_owned()));
    let guard = match &shipped.guard {
        Ok(guard) => guard,
        Err(why) => {
            put(DropMark::NotReckoned, &format!("drop not reckoned: {why}"));
            return out;
        }
    };
    let Some(worst) = guard.assessment.worst() else { return out };
    let label = |index: usize| {
        shipped.plan.bundles.get(index).map_or_else(String::new, |bundle| bundle.label.clone())
    };
    let margin = worst.margin();
    let by_shock = guard.walls.iter().any(|wall| wall.bears_g < trade::NOT_BY_SHOCK);
    if !by_shock && margin > 0.0 {
        put(
            DropMark::Plain,
            &format!(
                "dropped {} ({}): {}",
                guard.assessment.height.write(units),
                guard.by,
                felt(worst, &label)
            ),
        );
        return out;
    }
    let lead = if margin < 0.0 { DropMark::AtRisk } else { DropMark::Plain };
    put(
        lead,
        &format!(
            "dropped {} ({}): margin {}, least on the {} ({}); {}; {:.1} % chance of a breakage on a trip",
            guard.assessment.height.write(units),
            guard.by,
            percent(margin),
            Landing::words(worst.strikes),
            felt(worst, &label),
            worst.limit.words(&label),
            100.0 * shipped.chance_of_breakage
        ),
    );
    if faces {
        for landed in guard.assessment.landings.iter().filter(|one| one.landing() == Landing::Face) {
            let line = format!(
                "on the {}: {} ({})",
                Landing::words(landed.strikes),
                percent(landed.margin()),
                felt(landed, &label)
            );
            put(DropMark::Landing, &line);
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
                put(DropMark::Landing, &line);
            }
        }
    }
    put(DropMark::Plain, &walls(guard, units));
    if let Some(mend) = &guard.mend {
        let (postage, zone) = mend.farthest;
        let line = format!(
            "to mend it: {}; {} in all, {postage} of postage to zone {zone}; margin from {} to {}",
            mend.change,
            mend.cost,
            percent(margin),
            percent(mend.margin)
        );
        put(DropMark::Plain, &line);
    }
    out
}

/// "cup: 53 G of 60 G".
fn felt(landed: &Landed, label: &dyn Fn(usize) -> String) -> String {
    let worst = landed.worst();
    landed.felt.get(worst).map_or_else(String::new, |felt| {
        if felt.bears_g >= trade::NOT_BY_SHOCK {
            return format!("{} feels {:.0} G, and shock is not what harms it", label(worst), felt.peak_g);
        }
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
    format!("cushion to the carton: {words}")
}
