//! How much cushion a piece needs, in plain sentences: what it needs, why, the rules beside it, cautions.

use cushion::Caution;
use measure::{Length, Units};
use protection::{AppliesTo, Flag};
use trade::{NeededThickness, OffLoad};

use super::answer::{Guarded, Ruled, without};
use super::figures::{factor, shock, short, spoken, thickness};
use measure::counted as plural;

/// A sentence with the mark that stands before it: "" for none, "~ " for an estimate, "! " for a caution.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sentence {
    /// The mark.
    pub mark: &'static str,
    /// The words.
    pub words: String,
}

fn wrapped(mark: &'static str, words: &str) -> Sentence {
    Sentence { mark, words: words.to_owned() }
}

/// A rule about such goods, beside the computation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RuleLine {
    /// How much it asks for.
    pub asks: String,
    /// What it is, how it stands, and who says so.
    pub words: String,
}

/// How thick under and over the piece, and at its sides, one figure where both are alike.
fn goes(ends: Length, sides: Option<Length>, what: &str, units: Units) -> String {
    let ends_written = thickness(ends, units);
    match sides.map(|sides| thickness(sides, units)) {
        Some(sides) if sides != ends_written => {
            format!("{ends_written}{what} under and over it and {sides} at its sides")
        }
        Some(_) => format!("{ends_written}{what} on all sides"),
        None => format!("{ends_written}{what}"),
    }
}

/// What the first way of bearing has, and the most that the others do; `None` where one has none.
fn ends_and_sides(all: impl Iterator<Item = Option<Length>>) -> Option<(Length, Option<Length>)> {
    let all: Vec<Length> = all.collect::<Option<_>>()?;
    let (first, others) = all.split_first()?;
    Some((*first, others.iter().copied().reduce(Length::max)))
}

/// What the first-named material is needed for, and what decides.
fn needs(answer: &Guarded<'_>, lead: &Ruled<'_>) -> String {
    let units = answer.units;
    let name = short(&lead.row.material.name);
    let from = format!("From {} ({})", answer.falls.height.write(units), answer.falls.words);
    let behind: Vec<String> = answer
        .wraps
        .iter()
        .map(|wrap| format!("{} of {}", plural(wrap.layers, "layer"), short(&wrap.material.name)))
        .collect();
    let behind = if behind.is_empty() { String::new() } else { format!(" behind {}", behind.join(" and ")) };
    let needed = lead.row.needed.iter().map(|needed| needed.as_ref().ok().map(|needed| needed.rounded_up));
    let Some((ends, sides)) = ends_and_sides(needed) else {
        return format!("{from} no thickness of {name}{behind} is enough.");
    };
    let most = ends.max(sides.unwrap_or(ends));
    if most > NeededThickness::ROOM {
        return format!(
            "{from} {name}{behind} is no answer: it would take {}, and a carton of the post leaves room for {} at \
             most.",
            thickness(most, units),
            thickness(NeededThickness::ROOM, units)
        );
    }
    let rule = &answer.rules.decides;
    let asks = format!("the rule asks for {} ({})", rule.least.write(units), rule.origin.source);
    let need = if most > Length::ZERO {
        goes(ends, sides, &format!(" of {name}"), units) + &behind
    } else {
        format!("nothing{behind}, which is enough by itself")
    };
    let wrapped = answer.wrapped();
    let used = lead.beside.iter().map(|beside| beside.as_ref().map(|beside| without(beside.used, wrapped)));
    let used = ends_and_sides(used).map_or_else(String::new, |(ends, sides)| goes(ends, sides, "", units));
    let binds = || lead.beside.iter().flatten().map(|beside| beside.rule_binds);
    match (binds().any(|binds| binds), binds().all(|binds| binds)) {
        (false, _) => format!("{from} it needs {need}. Here the computation decides: {asks}."),
        (true, true) => format!("{from} it needs {need}; {asks}, so the rule decides: {used}."),
        (true, false) => format!("{from} it needs {need}; {asks}, so use {used}."),
    }
}

/// What the piece bears and what it needs.
#[must_use]
pub fn verdict(answer: &Guarded<'_>) -> Vec<Sentence> {
    let (bears, units) = (answer.bears, answer.units);
    let mut lines = vec![wrapped(
        "",
        &format!(
            "{} bears {} G ({}); designed for {} G.",
            answer.piece.subject(units),
            shock(bears.g),
            match bears.origin.flag {
                Flag::Own => "as told",
                Flag::Published | Flag::CommonPractice | Flag::FromMemory | Flag::Judgement => {
                    bears.origin.flag.word()
                }
            },
            shock(answer.question.allowed_g)
        ),
    )];
    lines.extend(answer.lead().map(|lead| wrapped("", &needs(answer, lead))));
    if !answer.piece.estimated.is_empty() {
        let text =
            format!("Not measured, taken from the forms table: {}.", answer.piece.estimated.join(", "));
        lines.push(wrapped("~ ", &text));
    }
    if answer.falls.gross_is_the_piece {
        lines.push(wrapped(
            "~ ",
            &format!(
                "Weight of the parcel not told, taken as the piece's own; {} tells it. A heavier parcel falls less far.",
                answer.asked.called("gross")
            ),
        ));
    }
    lines
}

/// What the rule's thickness gives, and why it isn't enough where it isn't.
#[must_use]
pub fn why_more(answer: &Guarded<'_>) -> Option<Sentence> {
    let (lead, at_rule) = (answer.lead()?, answer.at_rule.as_ref()?);
    let name = short(&lead.row.material.name);
    let (units, allowed_g) = (answer.units, answer.question.allowed_g);
    let rule = spoken(answer.rules.decides.least, units);
    let (give, are) = if rule.ends_with("inches") { ("give", "are") } else { ("gives", "is") };
    let wrap = if answer.wraps.is_empty() { " of it" } else { ", wrap included," };
    let Some(why) = answer.why_more else {
        let margin = 100.0 * (1.0 - at_rule.peak_g / allowed_g);
        let under =
            if margin >= 0.5 { format!(", {margin:.0} % under what is allowed") } else { String::new() };
        return Some(wrapped(
            "",
            &format!("{rule}{wrap} {give} {} G: enough{under}.", shock(at_rule.peak_g)),
        ));
    };
    let off_load = match why.off_load {
        None => String::new(),
        Some(off) => {
            let (too, instead) = match off {
                OffLoad::Light => {
                    ("light", "Several in one bundle, or less area to bear on, would load it better")
                }
                OffLoad::Heavy => {
                    ("heavy", "A pad under it, or a larger area to bear on, would spread the load")
                }
            };
            let with = if answer.wraps.is_empty() { "" } else { " with the wrap" };
            format!(
                ", and {}{with} under this piece, whose load is too {too} for it. {instead}",
                factor(why.factor_here)
            )
        }
    };
    let enough: Vec<&str> = answer
        .materials
        .iter()
        .filter(|one| one.row.most().is_some_and(|most| most <= why.thickness - answer.wrapped()))
        .map(|one| short(&one.row.material.name))
        .collect();
    let others = match (enough.is_empty(), answer.materials.len()) {
        (_, 1) => String::new(),
        (true, _) => String::from(" None of the materials below is enough in that."),
        (false, _) => format!(" Enough in that: {}.", enough.join(", ")),
    };
    Some(wrapped(
        "",
        &format!(
            "{rule}{wrap} {give} {} G, {:.0} % too much. Why {} {are} not enough: {} G x {} / {} leaves room \
             for a cushion factor of at most {} (1 is an ideal cushion); {name} has {} at its best \
             load{off_load}.{others}",
            shock(why.peak_g),
            100.0 * why.over,
            rule.to_lowercase(),
            shock(allowed_g),
            why.thickness.write(units),
            answer.question.height.write(units),
            factor(why.factor_allowed),
            factor(why.factor_best),
        ),
    ))
}

const fn goods(goods: AppliesTo) -> &'static str {
    match goods {
        AppliesTo::Fragile => "fragile goods",
        AppliesTo::NotFragile => "goods that are not fragile",
        AppliesTo::Delicate => "delicate goods",
        AppliesTo::Large => "large pieces",
        AppliesTo::Extremity => "what stands out",
        AppliesTo::Dishes => "dishes",
    }
}

/// The rules about such goods, the one that is taken first, under a heading.
#[must_use]
pub fn rules(answer: &Guarded<'_>) -> (String, Vec<RuleLine>) {
    let decides = &answer.rules.decides;
    let met = answer.lead().and_then(|lead| lead.used).map(|used| used + answer.wrapped());
    let mut lines = Vec::new();
    for rule in std::iter::once(decides).chain(&answer.rules.others) {
        let asks = match answer.units {
            Units::UsCustomary if rule.most > rule.least => {
                format!("{} to {}", rule.least.inches(), rule.most.write(answer.units))
            }
            Units::UsCustomary | Units::Metric => rule.least.write(answer.units),
        };
        let stands = if rule.name == decides.name {
            " (taken)"
        } else if met.is_some_and(|met| rule.least > met) {
            " (asks for more)"
        } else {
            ""
        };
        let text = format!(
            "{}{stands}: {} ({}: {})",
            rule.name.replace('_', " "),
            rule.words,
            rule.origin.flag.word(),
            rule.origin.source
        );
        lines.push(RuleLine { asks, words: text });
    }
    (format!("Rules for {} beside it", goods(answer.rules.goods)), lines)
}

/// What to mind.
#[must_use]
pub fn cautions(answer: &Guarded<'_>) -> Vec<Sentence> {
    let mut lines = Vec::new();
    let mut warn = |text: &str| lines.push(wrapped("! ", text));
    for reason in &answer.second_box {
        warn(&format!("Double-box it: {}.", reason.text()));
    }
    if answer.rules.goods == AppliesTo::NotFragile {
        warn(&format!("Shock does not limit it ({}).", answer.bears.origin.source));
    }
    if !answer.piece.extremities.is_empty() {
        warn(&format!(
            "The {} must touch nothing hard and bear no load: no thickness saves what rests on it.",
            answer.piece.extremities.join(" and the ")
        ));
    }
    // Each warning once, with the materials it is about.
    for (about, words) in KINDS {
        let is_one = |one: &Ruled<'_>| {
            one.at_use
                .as_ref()
                .is_some_and(|shock| shock.cautions.iter().any(|caution| Some(about) == kind(caution)))
        };
        if let Some(names) = those(answer, is_one) {
            warn(&format!("{words}: {names}."));
        }
    }
    let has = |caution: &Caution| matches!(caution, Caution::Buckles { .. });
    if answer.materials.iter().flat_map(|one| &one.at_use).any(|shock| shock.cautions.iter().any(has)) {
        warn(
            "Pads cut to this area would buckle, standing free and so thick; cushion that fills the carton is held by \
             its walls.",
        );
    }
    if let Some((low, high)) = answer.bears.range {
        warn(&format!(
            "What such pieces bear lies anywhere from {} to {} G ({}); a cracked or mended one bears less.",
            shock(low),
            shock(high),
            answer.bears.origin.flag.word()
        ));
    }
    lines
}

/// Names in a row, and "all" and "all but ..." where that is shorter; `None` when there are none.
#[must_use]
pub fn those(answer: &Guarded<'_>, is_one: impl Fn(&Ruled<'_>) -> bool) -> Option<String> {
    let (these, others): (Vec<&Ruled<'_>>, Vec<&Ruled<'_>>) =
        answer.materials.iter().partition(|one| is_one(one));
    let listed = |some: &[&Ruled<'_>]| {
        some.iter().map(|one| short(&one.row.material.name)).collect::<Vec<_>>().join(", ")
    };
    match (these.len(), others.len()) {
        (0, _) => None,
        (1, 0) => Some(listed(&these)),
        (_, 0) => Some(String::from("all")),
        (many, few) if many > 2 * few => Some(format!("all but {}", listed(&others))),
        (_, _) => Some(listed(&these)),
    }
}

/// Kinds of warning that materials share.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    TooStiff,
    Light,
    Heavy,
    BottomsOut,
    Idle,
    LoadUnknown,
    OneDrop,
}

const KINDS: [(Kind, &str); 7] = [
    (Kind::BottomsOut, "Bottoms out, over twice its best load"),
    (Kind::Heavy, "Heavily loaded, a larger bearing area would help"),
    (Kind::Light, "Lightly loaded, a softer cushion would do better"),
    (Kind::TooStiff, "Too stiff, under a tenth of its best load"),
    (Kind::Idle, "Does not give at all under so little"),
    (Kind::OneDrop, "Does not come back after a drop, reckoned for later drops"),
    (Kind::LoadUnknown, "No load range is known, the factor is taken at every load"),
];

const fn kind(caution: &Caution) -> Option<Kind> {
    match caution {
        Caution::TooStiff { .. } => Some(Kind::TooStiff),
        Caution::LightLoad { .. } => Some(Kind::Light),
        Caution::HeavyLoad { .. } => Some(Kind::Heavy),
        Caution::BottomsOut { .. } => Some(Kind::BottomsOut),
        Caution::Buckles { .. } => None,
        Caution::Idle { .. } => Some(Kind::Idle),
        Caution::LoadUnknown => Some(Kind::LoadUnknown),
        Caution::OneDrop { .. } => Some(Kind::OneDrop),
    }
}
