//! `lotwright find`: one find, its measures, flaws and comps.

use books::FindId;
use clap::Args;
use measure::Units;
use serde_json::json;
use shop::{Comp, FindText, Flaw, Measured, Measurement, Shop, Split};

use super::door::{Answer, Where, day, demo_line, refused, refused_at};
use super::keep_split::lots_in_words;
use super::typed::{length, mass};
use crate::problems::Stop;
use crate::words::wrapped;

/// Options of `find`.
#[derive(Debug, Args)]
pub struct FindOneArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// Its number
    find: u64,
    /// A measure of one bare piece ("diameter=4", "weight=9.2 oz"); may be given many times
    #[arg(long, value_name = "NAME=FIGURE")]
    measure: Vec<String>,
    /// The piece that is measured or flawed; left out, it holds for all
    #[arg(long, value_parser = clap::value_parser!(u32).range(1..=100_000))]
    piece: Option<u32>,
    /// A flaw ("hairline, inside the rim, 1/2 in"); may be given many times
    #[arg(long, value_name = "FLAW")]
    flaw: Vec<String>,
    /// A comparable sale ("2 for 17.50 + 8.25"); may be given many times
    #[arg(long, value_name = "COMP", allow_hyphen_values = true)]
    comp: Vec<String>,
    /// The day the comps told here were seen; left out, the day it is
    #[arg(long, value_name = "DAY", requires = "comp")]
    seen: Option<String>,
    /// Decide how it is split into lots ("4,4,3" for two lots of four and one of three)
    #[arg(long, value_name = "SIZES")]
    split: Option<String>,
    /// Pieces kept to replace a broken one
    #[arg(long, requires = "split", default_value_t = 0)]
    spare: u32,
    /// Put it elsewhere
    #[arg(long, value_name = "PLACE")]
    shelf: Option<String>,
    /// Describe it anew
    #[arg(long, value_name = "WORDS")]
    describe: Option<String>,
    /// It is of another form
    #[arg(long)]
    form: Option<String>,
}

/// Shows a find; notes what was told of it first.
pub fn find(args: &FindOneArgs) -> Result<String, Stop> {
    let (mut shop, when) = args.door.open()?;
    let (id, stamp) = (FindId(args.find), when.stamp());
    let text = shop.find_text(id).map_err(refused)?;
    let catalogue = forms::Catalogue::published();
    let form = match &args.form {
        Some(name) => catalogue.find(name).map_err(|e| Stop::Input(format!("--form: {e}")))?.id.clone(),
        None => text.form.clone(),
    };
    // Everything is read before anything is stored.
    let measured = args.measure.iter().map(|told| measurement(told, &form, &catalogue));
    let measured = measured.collect::<Result<Vec<_>, _>>()?;
    let flaws = args.flaw.iter().map(|told| flaw(told, id, args.piece)).collect::<Result<Vec<_>, _>>()?;
    for told in &args.comp {
        let (_, errors) = pricing::read_lines(told, when.day);
        if let Some((_, error)) = errors.first() {
            return Err(Stop::Input(format!("--comp \"{told}\": {error}")));
        }
    }
    let seen = args.seen.as_deref().map_or(Ok(when.day), |text| day("--seen", text))?;
    let split =
        args.split.as_deref().map(|text| split_told(&shop, id, text, args.spare, when.day)).transpose()?;
    if args.shelf.is_some() || args.describe.is_some() || args.form.is_some() {
        let anew = FindText {
            form,
            description: args.describe.clone().unwrap_or(text.description),
            shelf: args.shelf.clone().unwrap_or(text.shelf),
        };
        shop.describe_find(&stamp, id, &anew).map_err(refused)?;
    }
    for (name, figure) in measured {
        let anew = Measurement { find: id, piece: args.piece, name, figure, estimated: false };
        let known = shop
            .noted::<Measurement>()
            .map_err(refused)?
            .into_iter()
            .find(|(_, one)| (one.find, one.piece, &one.name) == (anew.find, anew.piece, &anew.name));
        match known {
            Some((number, _)) => shop.amend(&stamp, number, &anew),
            None => shop.note(&stamp, &anew).map(|_| ()),
        }
        .map_err(refused_at("--measure"))?;
    }
    shop.note_all(&stamp, &flaws).map_err(refused_at("--flaw"))?;
    let comps = args.comp.iter().map(|typed| Comp { find: id, typed: typed.clone(), date: seen });
    shop.note_all(&stamp, &comps.collect::<Vec<_>>()).map_err(refused_at("--comp"))?;
    if let Some(split) = &split {
        shop.note(&stamp, split).map_err(refused_at("--split"))?;
    }
    args.door.written(shown(&shop, id)?)
}

/// "4,4,3": a decision on lot sizes that the find has pieces for.
fn split_told(
    shop: &Shop,
    find: FindId,
    text: &str,
    spare: u32,
    date: jiff::civil::Date,
) -> Result<Split, Stop> {
    let wrong =
        |what: String| Stop::Input(format!("--split \"{text}\": {what}; right would be: --split \"4,4,3\""));
    let sizes = text.split(',').map(|part| part.trim().parse::<u32>().ok().filter(|&size| size > 0));
    let lots =
        sizes.collect::<Option<Vec<u32>>>().ok_or_else(|| wrong("a lot holds 1 piece or more".to_owned()))?;
    let wanted = lots.iter().copied().map(u64::from).sum::<u64>() + u64::from(spare);
    let pieces = shop.pieces(find).map_err(refused)?.len();
    if wanted > u64::try_from(pieces).unwrap_or(u64::MAX) {
        return Err(wrong(format!("it takes {wanted} pieces and the find has {pieces}")));
    }
    Ok(Split { find, date, lots, spare, note: String::new() })
}

/// "diameter=4": a measure that the form has.
fn measurement(told: &str, form: &str, catalogue: &forms::Catalogue) -> Result<(String, Measured), Stop> {
    const RIGHT: &str = "--measure \"diameter=4 in\" or --measure \"weight=9.2 oz\"";
    let option = format!("--measure \"{told}\"");
    let wrong = |what: &str| Stop::Input(format!("{option}: {what}; right would be: {RIGHT}"));
    let (name, figure) = told.split_once('=').ok_or_else(|| wrong("there is no = in it"))?;
    let name = name.trim().to_lowercase().replace([' ', '-'], "_");
    if name == "weight" {
        return Ok((name, Measured::Mass(mass(&option, figure)?)));
    }
    let of_form = catalogue.find(form).map_err(Stop::input)?;
    let known = forms::Field::ALL.iter().filter(|field| of_form.takes(**field)).map(|field| field.name());
    let known: Vec<&str> = known.collect();
    if !known.contains(&name.as_str()) {
        return Err(Stop::Input(format!(
            "{option}: {} has no measure called {name}; right would be one of: {}",
            of_form.name,
            known.join(", ")
        )));
    }
    Ok((name, Measured::Length(length(&option, figure)?)))
}

/// "hairline, inside the rim, 1/2 in": what, where and how large, the last two if they are known.
fn flaw(told: &str, find: FindId, piece: Option<u32>) -> Result<Flaw, Stop> {
    let option = format!("--flaw \"{told}\"");
    let parts: Vec<&str> = told.split(',').map(str::trim).collect();
    let (kind, position, size) = match parts.as_slice() {
        [kind] if !kind.is_empty() => (kind, "", None),
        [kind, position] if !kind.is_empty() => (kind, *position, None),
        [kind, position, size] if !kind.is_empty() => (kind, *position, Some(length(&option, size)?)),
        _ => {
            return Err(Stop::Input(format!(
                "{option} can't be read; right would be: --flaw \"hairline, inside the rim, 1/2 in\""
            )));
        }
    };
    Ok(Flaw { find, piece, kind: (*kind).to_owned(), position: position.to_owned(), size })
}

fn shown(shop: &Shop, id: FindId) -> Result<Answer, Stop> {
    let text = shop.find_text(id).map_err(refused)?;
    let pieces = shop.pieces(id).map_err(refused)?;
    let of_find = |find: FindId| find == id;
    let measured = shop.noted::<Measurement>().map_err(refused)?;
    let measured: Vec<Measurement> =
        measured.into_iter().map(|(_, one)| one).filter(|one| of_find(one.find)).collect();
    let flaws: Vec<Flaw> = shop.noted::<Flaw>().map_err(refused)?.into_iter().map(|(_, one)| one).collect();
    let flaws: Vec<Flaw> = flaws.into_iter().filter(|one| of_find(one.find)).collect();
    let comps: Vec<Comp> = shop.noted::<Comp>().map_err(refused)?.into_iter().map(|(_, one)| one).collect();
    let comps: Vec<Comp> = comps.into_iter().filter(|one| of_find(one.find)).collect();
    let splits: Vec<Split> = shop
        .noted::<Split>()
        .map_err(refused)?
        .into_iter()
        .map(|(_, one)| one)
        .filter(|one| of_find(one.find))
        .collect();
    let shelf = if text.shelf.is_empty() { String::from("nowhere yet") } else { text.shelf.clone() };
    let mut lines =
        vec![format!("{}Find {id}: {} ({}), on {shelf}", demo_line(shop)?, text.description, text.form)];
    let mut fates: std::collections::BTreeMap<String, Vec<u32>> = std::collections::BTreeMap::new();
    for piece in &pieces {
        let flawed = if piece.flawed { ", flawed" } else { "" };
        let fate = match (piece.promised_to, piece.sold_in) {
            (Some(order), _) => format!("promised to order {order}{flawed}"),
            (None, Some(order)) => format!("sold with order {order}{flawed}"),
            (None, None) => format!("{}{flawed}", piece.fate),
        };
        fates.entry(fate).or_default().push(piece.number);
    }
    lines.extend(
        fates.iter().map(|(fate, list)| wrapped("  ", &format!("{fate}: piece {}", measure::runs(list)))),
    );
    for one in &measured {
        let figure = match one.figure {
            Measured::Length(length) => length.write(Units::UsCustomary),
            Measured::Mass(mass) => mass.write(Units::UsCustomary),
        };
        let of = one.piece.map_or_else(String::new, |piece| format!(" of piece {piece}"));
        lines.push(format!("  {}{of}: {figure}", one.name.replace('_', " ")));
    }
    if measured.is_empty() {
        lines.push(wrapped("  ~ ", "Not measured: plans take the usual measures of the form and say so."));
    }
    for one in &flaws {
        let of = one.piece.map_or_else(String::new, |piece| format!(" of piece {piece}"));
        let size = one.size.map_or_else(String::new, |size| format!(", {}", size.write(Units::UsCustomary)));
        let position = if one.position.is_empty() { String::new() } else { format!(", {}", one.position) };
        lines.push(wrapped("  ", &format!("flaw{of}: {}{position}{size}", one.kind)));
    }
    lines.extend(comps.iter().map(|one| format!("  comp of {}: {}", one.date, one.typed)));
    lines.extend(splits.iter().map(|one| {
        let spare = if one.spare == 0 { String::new() } else { format!(", {} spare", one.spare) };
        let note = if one.note.is_empty() { String::new() } else { format!(" ({})", one.note) };
        wrapped("  ", &format!("split of {}: {}{spare}{note}", one.date, lots_in_words(&one.lots)))
    }));
    let json = json!({
        "splits": splits.iter().map(|one| json!({
            "date": one.date.to_string(), "lots": one.lots, "spare": one.spare, "note": one.note,
        })).collect::<Vec<_>>(),
        "find": id.0, "form": text.form, "description": text.description, "shelf": text.shelf,
        "pieces": pieces.iter().map(|piece| json!({
            "number": piece.number, "flawed": piece.flawed, "fate": piece.fate,
            "promised_to_order": piece.promised_to.map(|order| order.0),
            "sold_in_order": piece.sold_in.map(|order| order.0),
        })).collect::<Vec<_>>(),
        "measures": measured.iter().map(|one| json!({
            "name": one.name, "piece": one.piece,
            "mm": match one.figure { Measured::Length(length) => Some(length.mm()), Measured::Mass(_) => None },
            "g": match one.figure { Measured::Mass(mass) => Some(mass.grams()), Measured::Length(_) => None },
        })).collect::<Vec<_>>(),
        "flaws": flaws.iter().map(|one| json!({
            "kind": one.kind, "position": one.position, "piece": one.piece,
            "mm": one.size.map(measure::Length::mm),
        })).collect::<Vec<_>>(),
        "comps": comps.iter().map(|one| json!({ "typed": one.typed, "date": one.date.to_string() })).collect::<Vec<_>>(),
    });
    Ok(Answer { text: lines.join("\n"), json })
}
