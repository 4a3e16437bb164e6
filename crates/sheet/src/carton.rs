//! The cartons on the shelf.

use measure::{Length, Units};
use protection::StockCarton;
use trade::CartonStock;

use crate::entry::Entry;
use crate::figure::{self, Bare, Least};
use crate::library::{Library, unknown};
use crate::section::Section;
use crate::told::{Problems, Told, quoted};

/// Most cartons of one sheet.
const MOST_CARTONS: usize = 200;
/// Most cartons of one kind that are counted.
const MOST_ON_HAND: u32 = 10_000;
/// Most heights to which a carton may be cut down.
const MOST_CUTS: usize = 10;

/// Shortest inside side or height of a carton that cartons are made in.
const LEAST_SIDE: Length = Length::from_inches(1.0);

const RIGHT: &str = "[[carton]] with size = \"12 x 12 x 8 in\"";
const RIGHT_STOCK: &str = "cartons = \"stock\" for the whole list of stock sizes";

/// Reads `cartons` and every `[[carton]]`; a sheet with neither takes the stock list.
pub(crate) fn cartons(
    sheet: &mut Section<'_, '_>,
    bare: Bare,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<Vec<CartonStock>, Told> {
    let takes_stock = sheet.take("cartons").map(|entry| stock(&entry, problems)).transpose();
    let Some(entry) = sheet.take("carton") else {
        return takes_stock
            .map(|_| library.stock.iter().map(|carton| stock_carton(carton, library)).collect());
    };
    let sections = entry.sections(MOST_CARTONS, RIGHT, problems)?;
    let mut names = Vec::new();
    let own: Vec<_> =
        sections.into_iter().map(|section| carton(section, bare, library, &mut names, problems)).collect();
    let mut cartons = own.into_iter().collect::<Result<Vec<_>, _>>()?;
    if takes_stock?.is_some() {
        // A size that the sheet states itself is not taken from the stock list as well.
        let further: Vec<_> = library
            .stock
            .iter()
            .map(|carton| stock_carton(carton, library))
            .filter(|stock| !cartons.iter().any(|own| same_size(own, stock) || own.name == stock.name))
            .collect();
        cartons.extend(further);
    }
    Ok(cartons)
}

/// A carton of the stock list as one that isn't counted.
fn stock_carton(carton: &StockCarton, library: &Library<'_>) -> CartonStock {
    CartonStock {
        name: carton.name.clone(),
        inside: carton.inside,
        grade: carton.grade.as_ref().unwrap_or(&library.grades.usual().name).clone(),
        on_hand: None,
        cost: None,
        reused: false,
        cut_heights: carton.scored.clone(),
    }
}

/// Whether two cartons have the same inside to a hundredth of a millimetre.
fn same_size(one: &CartonStock, other: &CartonStock) -> bool {
    one.inside.iter().zip(other.inside).all(|(a, b)| (a.mm() - b.mm()).abs() < 0.01)
}

fn stock(entry: &Entry<'_, '_>, problems: &mut Problems<'_>) -> Result<(), Told> {
    if entry.text(RIGHT_STOCK, problems)? == "stock" {
        return Ok(());
    }
    Err(entry.wrong(problems, "`cartons` can only take the stock list", format!("{RIGHT_STOCK}, or {RIGHT}")))
}

fn carton(
    mut section: Section<'_, '_>,
    bare: Bare,
    library: &Library<'_>,
    names: &mut Vec<String>,
    problems: &mut Problems<'_>,
) -> Result<CartonStock, Told> {
    let size = section
        .need("size", "size = \"12 x 12 x 8 in\"", problems)
        .and_then(|entry| Ok((inside(&entry, bare, problems)?, entry)));
    let named =
        section.take("name").map(|entry| Ok((entry.text("name = \"scored cube\"", problems)?, entry)));
    let named = named.transpose();
    let on_hand = section
        .take("on_hand")
        .map(|entry| entry.whole(0..=MOST_ON_HAND, "on_hand = 3", problems))
        .transpose();
    let cost = section
        .take("cost")
        .map(|entry| figure::money(&entry, Least::Nothing, "cost = 1.10", problems))
        .transpose();
    let grade = grade(&mut section, library, problems);
    let reused = section.take("reused").map_or(Ok(false), |entry| entry.yes_or_no("reused = true", problems));
    let cut_to = section.take("cut_to");
    let cut_heights = match (&size, cut_to) {
        (Ok((inside, _)), Some(entry)) => cut_heights(&entry, inside[2], bare, problems),
        (Err(told), Some(_)) => Err(*told),
        (_, None) => Ok(Vec::new()),
    };
    section.close(problems);
    let (inside, size_entry) = size?;
    let (name, place) = match named? {
        Some((name, entry)) => (name.to_owned(), entry),
        None => (size_name(inside, bare.units()), size_entry),
    };
    if names.contains(&name) {
        let message = format!("two cartons are called \"{}\"", quoted(&name));
        let right =
            "one [[carton]] for each size, or a name of its own for each, for example name = \"scored cube\"";
        return Err(place.wrong(problems, message, right));
    }
    names.push(name.clone());
    Ok(CartonStock {
        name,
        inside,
        grade: grade?,
        on_hand: on_hand?,
        cost: cost?,
        reused: reused?,
        cut_heights: cut_heights?,
    })
}

/// The inside with the longer side of the opening first; turning a carton round changes nothing.
fn inside(entry: &Entry<'_, '_>, bare: Bare, problems: &mut Problems<'_>) -> Result<[Length; 3], Told> {
    let [length, width, height] = figure::size(entry, bare, "size = \"12 x 12 x 8 in\"", problems)?;
    if [length, width, height].iter().any(|&side| side < LEAST_SIDE) {
        return Err(entry.wrong(
            problems,
            "a side of the carton is shorter than 1 in",
            "sides of 1 in or more",
        ));
    }
    Ok([length.max(width), length.min(width), height])
}

/// "12 x 12 x 8", or "30.5 x 30.5 x 20.3 cm".
fn size_name(inside: [Length; 3], units: Units) -> String {
    let figure = |length: Length| match units {
        Units::UsCustomary => decimals(length.inches()),
        Units::Metric => decimals(length.mm() / 10.0),
    };
    let name = inside.map(figure).join(" x ");
    match units {
        Units::UsCustomary => name,
        Units::Metric => format!("{name} cm"),
    }
}

fn decimals(figure: f64) -> String {
    format!("{figure:.3}").trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn grade(
    section: &mut Section<'_, '_>,
    library: &Library<'_>,
    problems: &mut Problems<'_>,
) -> Result<String, Told> {
    let usual = &library.grades.usual().name;
    let Some(entry) = section.take("grade") else { return Ok(usual.clone()) };
    let name = entry.text(&format!("grade = \"{usual}\""), problems)?;
    library.grades.find(name).map(|grade| grade.name.clone()).map_err(|error| {
        let known = library.grades.iter().map(|grade| grade.name.as_str());
        unknown(&entry, "grade of board", name, &error, known, problems)
    })
}

fn cut_heights(
    entry: &Entry<'_, '_>,
    full: Length,
    bare: Bare,
    problems: &mut Problems<'_>,
) -> Result<Vec<Length>, Told> {
    const RIGHT: &str = "cut_to = [\"6 in\", \"4 in\"]";
    let members = entry.list(MOST_CUTS, RIGHT, problems)?;
    let heights: Vec<_> = members
        .iter()
        .map(|member| {
            let height = figure::length(member, bare, "\"6 in\"", problems)?;
            if height < LEAST_SIDE {
                return Err(member.wrong(problems, "the height is less than 1 in", "1 in or more"));
            }
            if height < full {
                return Ok(height);
            }
            Err(member.wrong(
                problems,
                "a carton can't be cut to its own height or more",
                "less than the height of the carton, the last of its three sides",
            ))
        })
        .collect();
    let mut heights = heights.into_iter().collect::<Result<Vec<_>, _>>()?;
    heights.sort_by(|a, b| b.total_cmp(a));
    heights.dedup();
    Ok(heights)
}
