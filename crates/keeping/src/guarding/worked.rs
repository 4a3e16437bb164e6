//! The arithmetic of a cushion, line by line, with where each figure comes from.

use cushion::Method;
use measure::{Length, Units};
use protection::{Flag, Origin};
use trade::{NeededThickness, Shock, Way};

use super::answer::{Guarded, Ruled};
use super::figures::{factor, shock, short};

/// Lines of arithmetic under a heading; the first has none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Worked {
    /// The heading; empty for none.
    pub heading: String,
    /// The lines.
    pub lines: Vec<String>,
}

/// "judgement: compact, thick", "your own figure".
fn told(origin: &Origin) -> String {
    match origin.flag {
        Flag::Own => String::from("your own figure"),
        Flag::Published | Flag::CommonPractice | Flag::FromMemory | Flag::Judgement => {
            format!("{}: {}", origin.flag.word(), origin.source)
        }
    }
}

/// The arithmetic: of the material that the answer speaks of, or of every one that was named.
#[must_use]
pub fn worked(answer: &Guarded<'_>) -> Vec<Worked> {
    let is_named = !answer.asked.material.is_empty();
    let mut all = vec![Worked { heading: String::new(), lines: basis(answer) }];
    for (k, one) in answer.materials.iter().enumerate() {
        if is_named || k == answer.lead {
            all.extend(material(answer, one));
        }
    }
    all
}

/// What is allowed, and how far it falls.
fn basis(answer: &Guarded<'_>) -> Vec<String> {
    let (bears, falls, units) = (answer.bears, answer.falls, answer.units);
    let class = bears
        .class
        .as_ref()
        .map_or_else(String::new, |class| format!("{class} ({}), ", bears.words.as_deref().unwrap_or("")));
    let gross = falls.gross.map_or_else(String::new, |gross| format!(" for {} gross", gross.write(units)));
    let note = if falls.note.is_empty() { String::new() } else { format!("; {}", falls.note) };
    let allowed = shock(answer.question.allowed_g);
    [
        format!("bears: {class}{} G ({})", shock(bears.g), told(&bears.origin)),
        format!(
            "allowed: {} G / {} = {allowed} G (safety factor, {})",
            shock(bears.g),
            factor(bears.safety),
            told(&bears.safety_origin)
        ),
        format!(
            "height: {}{gross}, {} ({}{note})",
            falls.height.write(units),
            falls.words,
            told(&falls.origin)
        ),
    ]
    .to_vec()
}

fn material(answer: &Guarded<'_>, one: &Ruled<'_>) -> Vec<Worked> {
    let name = short(&one.row.material.name);
    let mut all = Vec::new();
    for (bearing, needed) in answer.question.bearings.iter().zip(&one.row.needed) {
        let way = match bearing.way {
            Way::Told => String::new(),
            Way::Standing | Way::OnItsSide | Way::OnItsEnd => format!(", {}", bearing.way.words()),
        };
        let lines = match needed {
            Ok(needed) => thickness(needed),
            Err(why) => vec![why.to_string()],
        };
        all.push(Worked { heading: format!("{name}{way}: what it needs"), lines });
    }
    if let Some(shock) = &one.at_use {
        let inches = shock.thickness.write(Units::UsCustomary);
        all.push(Worked { heading: format!("{name}: the shock behind {inches}"), lines: behind(shock) });
    }
    all
}

fn thickness(needed: &NeededThickness) -> Vec<String> {
    let mut lines: Vec<String> = needed.working.steps.iter().map(ToString::to_string).collect();
    if lines.is_empty() && needed.exact > Length::ZERO {
        let found = format!(
            "thickness: the least at which wrap and cushion take up the fall, found by halving = {:.2} in",
            needed.exact.inches()
        );
        lines.push(found);
    }
    let rounded = needed.rounded_up.write(Units::UsCustomary);
    lines.push(if needed.exact > Length::ZERO {
        format!("up to the next quarter inch: {rounded}")
    } else {
        String::from("nothing: the wrap takes up the fall")
    });
    lines
}

fn behind(found: &Shock) -> Vec<String> {
    let mut lines: Vec<String> = found.working.steps.iter().map(ToString::to_string).collect();
    if let (Some((low, high)), Method::CushionFactor) = (found.range_g, found.method) {
        lines.push(format!("over the range of the cushion factor: {} to {} G", shock(low), shock(high)));
    }
    for (what, origin) in &found.rests_on {
        lines.push(format!("{what} ({})", told(origin)));
    }
    lines
}
