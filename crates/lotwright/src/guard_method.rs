//! The arithmetic of `lotwright guard`, line by line, with where each figure comes from.

use cushion::Method;
use measure::{Length, Units};
use protection::{Flag, Origin};
use trade::{NeededThickness, Shock, Way};

use crate::guard::{Answer, Ruled};
use crate::guard_words::{factor, shock};
use crate::words::{short, wrapped};

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
pub fn method(answer: &Answer<'_>, is_named: bool) -> String {
    let mut lines = vec![String::from("How it is reckoned")];
    lines.extend(basis(answer));
    for (k, one) in answer.materials.iter().enumerate() {
        if is_named || k == answer.lead {
            lines.extend(material(answer, one));
        }
    }
    format!("\n{}\n", lines.join("\n"))
}

/// What is allowed, and how far it falls.
fn basis(answer: &Answer<'_>) -> Vec<String> {
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
    .iter()
    .map(|line| wrapped("  ", line))
    .collect()
}

fn material(answer: &Answer<'_>, one: &Ruled<'_>) -> Vec<String> {
    let name = short(&one.row.material.name);
    let mut lines = Vec::new();
    for (bearing, needed) in answer.question.bearings.iter().zip(&one.row.needed) {
        let way = match bearing.way {
            Way::Told => String::new(),
            Way::Standing | Way::OnItsSide | Way::OnItsEnd => format!(", {}", bearing.way.words()),
        };
        lines.push(format!("\n  {name}{way}: what it needs"));
        match needed {
            Ok(needed) => lines.extend(thickness(needed)),
            Err(why) => lines.push(wrapped("    ", &why.to_string())),
        }
    }
    if let Some(shock) = &one.at_use {
        let inches = shock.thickness.write(Units::UsCustomary);
        lines.push(format!("\n  {name}: the shock behind {inches}"));
        lines.extend(behind(shock));
    }
    lines
}

fn thickness(needed: &NeededThickness) -> Vec<String> {
    let mut lines: Vec<String> =
        needed.working.steps.iter().map(|step| wrapped("    ", &step.to_string())).collect();
    if lines.is_empty() && needed.exact > Length::ZERO {
        let found = format!(
            "thickness: the least at which wrap and cushion take up the fall, found by halving = {:.2} in",
            needed.exact.inches()
        );
        lines.push(wrapped("    ", &found));
    }
    let rounded = needed.rounded_up.write(Units::UsCustomary);
    lines.push(if needed.exact > Length::ZERO {
        format!("    up to the next quarter inch: {rounded}")
    } else {
        String::from("    nothing: the wrap takes up the fall")
    });
    lines
}

fn behind(found: &Shock) -> Vec<String> {
    let mut lines: Vec<String> =
        found.working.steps.iter().map(|step| wrapped("    ", &step.to_string())).collect();
    if let (Some((low, high)), Method::CushionFactor) = (found.range_g, found.method) {
        lines.push(format!("    over the range of the cushion factor: {} to {} G", shock(low), shock(high)));
    }
    for (what, origin) in &found.rests_on {
        lines.push(wrapped("    ", &format!("{what} ({})", told(origin))));
    }
    lines
}
