//! The table of shocks and of what is needed, material by material, with its marks explained.

use cushion::Stress;
use measure::{Length, Units};
use trade::{NeededThickness, Shock, Way};

use keeping::guarding::{Guarded, Ruled, area, shock, thickness, those};

use crate::words::{WIDTH, short, wrapped};

/// Blanks before every column.
const GAP: usize = 2;
/// Least width of a shock, before its mark.
const FIGURE: usize = 5;
/// Width of a needed thickness, before its mark.
const NEED: usize = 7;

/// A column: its head and its cells, all of one width.
type Column = Vec<String>;

/// The table with its introduction and its notes.
pub fn shocks(answer: &Guarded<'_>) -> String {
    let names: Column = std::iter::once(String::new()).chain(answer.materials.iter().map(name)).collect();
    let thicknesses = answer.question.thicknesses.iter().enumerate();
    let mut columns: Vec<Column> = thicknesses.map(|(k, thickness)| figures(answer, k, *thickness)).collect();
    columns.extend(needs(answer));
    // A column that has no room left begins a table of its own.
    let mut blocks: Vec<Vec<Column>> = Vec::new();
    for column in columns {
        let across = |block: &[Column]| block.iter().map(|column| GAP + width(column)).sum::<usize>();
        match blocks.last_mut() {
            Some(block) if across(block) + GAP + width(&column) <= WIDTH => block.push(column),
            Some(_) | None => blocks.push(vec![names.clone(), column]),
        }
    }
    let blocks: Vec<String> = blocks.iter().map(|block| laid_out(block)).collect();
    [wrapped("", &introduction(answer)), blocks.join("\n\n"), notes(answer)].join("\n")
}

fn width(column: &[String]) -> usize {
    column.iter().map(|cell| cell.chars().count()).max().unwrap_or(0)
}

fn introduction(answer: &Guarded<'_>) -> String {
    let load = answer.question.load_psi().unwrap_or(f64::NAN);
    let load = match answer.units {
        Units::UsCustomary => format!("{load:.3} psi"),
        Units::Metric => format!("{:.2} kPa", Stress::from_psi(load).kpa()),
    };
    let standing = match answer.question.bearings.first().map(|bearing| bearing.way) {
        None | Some(Way::Told) => String::new(),
        Some(way) => format!(", {},", way.words()),
    };
    let behind = if answer.wraps.is_empty() { "" } else { " behind the wrap" };
    format!("Shock in G by thickness{behind}; the piece{standing} loads it with {load}:")
}

fn name(one: &Ruled<'_>) -> String {
    short(&one.row.material.name).to_owned()
}

/// The shocks behind one thickness; the last letter of a cell is the mark behind its figure.
fn figures(answer: &Guarded<'_>, at: usize, thickness: Length) -> Column {
    let head = thickness.write(answer.units);
    let room = head.chars().count().max(FIGURE);
    let cell = |one: &Ruled<'_>| match one.row.shocks.get(at) {
        Some(Ok(one)) => {
            let outside = if one.is_outside_its_method() { "~" } else { "" };
            let enough = if one.is_enough { "*" } else { " " };
            format!("{:>room$}{enough}", format!("{outside}{}", shock(one.peak_g)))
        }
        Some(Err(_)) | None => format!("{:>room$} ", "hard"),
    };
    std::iter::once(format!("{head:>room$} ")).chain(answer.materials.iter().map(cell)).collect()
}

/// What is needed under the piece and at its sides, or on the one area told.
fn needs(answer: &Guarded<'_>) -> Vec<Column> {
    let unit = match answer.units {
        Units::UsCustomary => "in",
        Units::Metric => "cm",
    };
    let ways = answer.question.bearings.len();
    let columns = if ways > 1 { vec![("under", 0..1), ("sides", 1..ways)] } else { vec![("needs", 0..ways)] };
    columns
        .into_iter()
        .map(|(word, ways)| {
            let head = format!("{:>width$}", format!("{word}, {unit}"), width = NEED + 2);
            let cells = answer.materials.iter().map(|one| need(answer, one, ways.clone()));
            std::iter::once(head).chain(cells).collect()
        })
        .collect()
}

/// The most that these ways of bearing need, marked where the rule asks for more.
fn need(answer: &Guarded<'_>, one: &Ruled<'_>, ways: std::ops::Range<usize>) -> String {
    let needed = one.row.needed.get(ways.clone()).unwrap_or(&[]);
    let most = needed.iter().try_fold(Length::ZERO, |most, needed| {
        needed.as_ref().ok().map(|needed| most.max(needed.rounded_up))
    });
    let binds = one.beside.get(ways).unwrap_or(&[]).iter().flatten().all(|beside| beside.rule_binds);
    let (figure, mark) = match most {
        None => (String::from("none"), ""),
        Some(most) if most > NeededThickness::ROOM => {
            (format!("over {}", bare(NeededThickness::ROOM, answer)), "")
        }
        Some(most) => (bare(most, answer), if binds { "r" } else { "" }),
    };
    format!("{figure:>NEED$} {mark:<1}")
}

/// A thickness without its unit, which the head of the column has.
fn bare(length: Length, answer: &Guarded<'_>) -> String {
    let written = thickness(length, answer.units);
    written.trim_end_matches(" in").trim_end_matches(" cm").to_owned()
}

/// Columns side by side: the first to the left, the others as they are.
fn laid_out(columns: &[Column]) -> String {
    let rows = columns.iter().map(Vec::len).max().unwrap_or(0);
    let line = |row: usize| {
        let cells = columns.iter().map(|column| {
            let cell = column.get(row).map_or("", String::as_str);
            format!("{:GAP$}{cell:<width$}", "", width = width(column))
        });
        cells.collect::<String>().trim_end().to_owned()
    };
    (0..rows).map(line).collect::<Vec<_>>().join("\n")
}

fn notes(answer: &Guarded<'_>) -> String {
    let mut lines = Vec::new();
    let mut note = |lead: &str, text: &str| lines.push(wrapped(lead, text));
    let shocks = || answer.materials.iter().flat_map(|one| &one.row.shocks);
    if shocks().flatten().any(|shock| shock.is_enough) {
        note("  * ", &format!("enough: {} G or less", shock(answer.question.allowed_g)));
    }
    if shocks().flatten().any(Shock::is_outside_its_method) {
        note(
            "  ~ ",
            "load or thickness outside the range of the stress-energy method; the cushion factor is taken instead",
        );
    }
    if shocks().any(Result::is_err) {
        note("  - ", "hard: pressed flat, hard meets hard at over 10 000 G");
    }
    let rule = &answer.rules.decides;
    if answer.materials.iter().flat_map(|one| &one.beside).flatten().any(|beside| beside.rule_binds) {
        let wrap = if answer.wraps.is_empty() { "" } else { ", wrap included" };
        note("  r ", &format!("the rule asks for more: use its {}{wrap}", rule.least.write(answer.units)));
    }
    if answer.question.bearings.len() > 1 {
        let ways: Vec<String> = answer
            .question
            .bearings
            .iter()
            .map(|bearing| format!("{} on {}", bearing.way.words(), area(bearing.area, answer.units)))
            .collect();
        note("  - ", &format!("under: under and over it; it bears {}", ways.join(", ")));
    }
    if answer.materials.iter().any(|one| one.row.most().is_some_and(|most| most > NeededThickness::ROOM)) {
        let room = thickness(NeededThickness::ROOM, answer.units);
        note("  - ", &format!("over {room}: more than a carton of the post leaves room for"));
    }
    if let Some(names) = those(answer, |one| one.row.most().is_none()) {
        note("  - ", &format!("none: too stiff for so light a load however thick: {names}"));
    }
    if let Some(names) = those(answer, |one| one.row.material.stress_energy().is_none()) {
        note("  - ", &format!("no stress-energy figures are known, so by the cushion factor: {names}"));
    }
    let layers: Vec<String> = answer
        .materials
        .iter()
        .filter_map(|one| {
            let used = one.used.filter(|used| *used <= NeededThickness::ROOM)?;
            let count = one.row.layers(used).filter(|count| *count > 0)?;
            Some(format!("{count} of {}", short(&one.row.material.name)))
        })
        .collect();
    if !layers.is_empty() {
        note("  - ", &format!("layers for the thickest side: {}", layers.join(", ")));
    }
    lines.join("\n")
}
