//! The piece that a cushion is asked for: from a form, or from bare figures.

use measure::{Area, Length, LengthUnit, Mass, Units};
use shape::PartKind;
use toml::{Table, Value};
use trade::{Bearing, Way, bearings, bearings_of_block};

use super::figures::{area, short};
use super::mistake::{GuardAsked, GuardMistake};
use crate::Desk;

/// A piece and what is known of it.
#[derive(Debug)]
pub struct AskedPiece {
    /// What it is ("stoneware mug"); "piece" where no form says.
    pub what: String,
    /// Key of its form, where one was named.
    pub form: Option<String>,
    /// Fragility class of the form.
    pub class: Option<String>,
    /// Its weight.
    pub weight: Mass,
    /// The ways it bears, at least one.
    pub bearings: Vec<Bearing>,
    /// Parts that stand out of it ("handle").
    pub extremities: Vec<&'static str>,
    /// Measures taken from the form's table.
    pub estimated: Vec<String>,
    /// The field that told the area, for messages.
    pub area_field: &'static str,
}

/// Reads the piece.
pub fn piece(args: &GuardAsked, desk: &Desk) -> Result<AskedPiece, Vec<GuardMistake>> {
    match &args.form {
        Some(form) => of_form(args, form, desk),
        None => bare(args).map_err(|wrong| vec![wrong]),
    }
}

fn of_form(args: &GuardAsked, form: &str, desk: &Desk) -> Result<AskedPiece, Vec<GuardMistake>> {
    for (field, given) in [("area", &args.area), ("sides", &args.sides)] {
        if given.is_some() {
            let message = format!(
                "the form \"{form}\" gives the area already; right would be {} for a measure of the piece, or {} and \
                 {} without {}",
                args.called("measure"),
                args.called(field),
                args.called("weight"),
                args.called("form")
            );
            return Err(vec![GuardMistake::at(field, message)]);
        }
    }
    let mut find = Table::new();
    for measure in &args.measure {
        let (key, figure) = pair(args, measure).map_err(|wrong| vec![wrong])?;
        find.insert(key.to_owned(), Value::from(figure));
    }
    for (key, text) in [("name", Some(form)), ("form", Some(form)), ("weight", args.weight.as_deref())] {
        if let Some(text) = text {
            find.insert(key.to_owned(), Value::from(text));
        }
    }
    for key in ["count", "per_lot"] {
        find.insert(key.to_owned(), Value::from(1_i64));
    }
    let broken = |why: String| vec![GuardMistake::at("form", why)];
    let mut table: Table = sheet::usual().parse().map_err(|e: toml::de::Error| broken(e.to_string()))?;
    table.insert(String::from("find"), Value::Array(vec![Value::Table(find)]));
    let text = toml::to_string(&table).map_err(|e| broken(e.to_string()))?;
    // The day is that of no question: nothing of a bare piece depends on it.
    let job = desk
        .read(&text, jiff::civil::Date::constant(2026, 1, 1))
        .map_err(|problems| problems.iter().map(told).collect::<Vec<_>>())?;
    let row = job
        .finds
        .first()
        .and_then(|find| find.rows.first())
        .ok_or_else(|| broken(String::from("the form gives no piece; right would be another form")))?;
    let built = row.form.piece(&row.measures).map_err(|why| broken(why.to_string()))?;
    let stands_out = |kind: PartKind| match kind {
        PartKind::Handle | PartKind::Spout | PartKind::Stem | PartKind::Knob => true,
        PartKind::Body | PartKind::Foot | PartKind::Lid => false,
    };
    let mut extremities: Vec<&'static str> = Vec::new();
    for part in built.piece.parts.iter().chain(built.piece.apart.iter().flatten()) {
        if stands_out(part.kind) && !extremities.contains(&part.kind.word()) {
            extremities.push(part.kind.word());
        }
    }
    // A lid is packed apart and falls by itself.
    let apart: f64 = built.piece.apart_mass_share.iter().sum();
    let name = short(&row.form.name);
    Ok(AskedPiece {
        what: if built.piece.apart.is_empty() { name.to_owned() } else { format!("{name} without its lid") },
        form: Some(row.form.id.clone()),
        class: Some(row.form.fragility.word().to_owned()),
        weight: Mass::from_grams(built.piece.mass_g * (1.0 - apart)),
        bearings: bearings(&built.piece.parts),
        extremities,
        estimated: built
            .used
            .iter()
            .filter(|figure| !figure.measured)
            .map(|figure| figure.name.replace('_', " "))
            .collect(),
        area_field: "measure",
    })
}

/// A problem of the sheet, at the field that it was told by.
fn told(problem: &sheet::Problem) -> GuardMistake {
    let message = problem.message.clone();
    let right = problem.right.clone();
    match problem.field.strip_prefix("find[1].") {
        Some("form" | "name") => GuardMistake::with_right("form", String::from("form"), message, right),
        Some("weight") => GuardMistake::with_right("weight", String::from("weight"), message, right),
        Some(measure) => GuardMistake::with_right("measure", format!("measure {measure}"), message, right),
        None => GuardMistake::with_right("form", String::from("form"), message, right),
    }
}

/// The name and the figure of a measure.
fn pair<'a>(args: &GuardAsked, text: &'a str) -> Result<(&'a str, &'a str), GuardMistake> {
    match text.split_once('=') {
        Some((key, value)) if !key.trim().is_empty() && !value.trim().is_empty() => {
            Ok((key.trim(), value.trim()))
        }
        Some(_) | None => Err(GuardMistake::at(
            "measure",
            format!(
                "\"{text}\" has no name and figure with = between them; right would be: {}",
                args.example("measure", "diameter=5 1/2 in")
            ),
        )),
    }
}

fn bare(args: &GuardAsked) -> Result<AskedPiece, GuardMistake> {
    if let Some(measure) = args.measure.first() {
        return Err(GuardMistake::at(
            "measure",
            format!(
                "\"{measure}\" is a measure of a form, and none is named; right would be, for example, {}, or {} \
                 without {}",
                args.example("form", "diner mug"),
                args.called("area"),
                args.called("measure")
            ),
        ));
    }
    let weight = args.weight.as_deref().ok_or_else(|| {
        GuardMistake::missing(
            "weight",
            format!(
                "what the piece weighs; right would be, for example, {}, or a form: {}",
                args.example("weight", "12 oz"),
                args.example("form", "diner mug")
            ),
        )
    })?;
    let weight = Mass::read_positive(weight, None).map_err(|e| GuardMistake::at("weight", e.to_string()))?;
    let (bearings, area_field) = match (&args.area, &args.sides) {
        (Some(_), Some(_)) => {
            return Err(GuardMistake::at(
                "sides",
                format!(
                    "{} is given too, and both tell the bearing area; right would be one of them",
                    args.called("area")
                ),
            ));
        }
        (Some(text), None) => {
            let area = read_area(args, text)?;
            (vec![Bearing { way: Way::Told, area }], "area")
        }
        (None, Some(text)) => (read_sides(args, text)?, "sides"),
        (None, None) => {
            return Err(GuardMistake::missing(
                "area",
                format!(
                    "the area that bears on the cushion; right would be, for example, {}, {} or {}",
                    args.example("area", "10 in2"),
                    args.example("sides", "4 x 2 1/2 in"),
                    args.example("form", "diner mug")
                ),
            ));
        }
    };
    Ok(AskedPiece {
        what: String::from("piece"),
        form: None,
        class: None,
        weight,
        bearings,
        extremities: Vec::new(),
        estimated: Vec::new(),
        area_field,
    })
}

/// Endings of an area, each with the length whose square it is.
const AREA_UNITS: [(&str, LengthUnit); 8] = [
    ("sq in", LengthUnit::Inches),
    ("in^2", LengthUnit::Inches),
    ("in2", LengthUnit::Inches),
    ("in\u{b2}", LengthUnit::Inches),
    ("cm^2", LengthUnit::Centimetres),
    ("cm2", LengthUnit::Centimetres),
    ("cm\u{b2}", LengthUnit::Centimetres),
    ("mm2", LengthUnit::Millimetres),
];

/// "10 in2", "10 1/2 sq in", "65 cm2".
fn read_area(args: &GuardAsked, text: &str) -> Result<Area, GuardMistake> {
    let wrong = |why: &str| {
        let right = args.example("area", "10 in2");
        GuardMistake::at("area", format!("\"{text}\" {why}; right would be, for example, {right}"))
    };
    let plain = text.trim();
    let (figure, unit) = AREA_UNITS
        .iter()
        .find_map(|(ending, unit)| Some((plain.strip_suffix(ending)?, *unit)))
        .ok_or_else(|| wrong("has no unit of area (in2, cm2 or mm2)"))?;
    if figure.contains(|c: char| c.is_alphabetic() || matches!(c, '"' | '\'')) {
        return Err(wrong("is not an amount and a unit"));
    }
    // The amount is written as that of a length, and is then so many squares of its unit.
    let amount = Length::read_positive(figure, Some(unit)).map_err(|_| wrong("is not an area above zero"))?;
    Ok(Area::from_mm2(amount.mm() * unit.of(1.0).mm()))
}

/// "4 x 2 1/2 in" is a face, "6 x 4 x 3 in" a block; a unit after the last side serves all.
fn read_sides(args: &GuardAsked, text: &str) -> Result<Vec<Bearing>, GuardMistake> {
    let wrong = |why: &str| {
        let right = args.example("sides", "4 x 2 1/2 in");
        GuardMistake::at("sides", format!("\"{text}\" {why}; right would be, for example, {right}"))
    };
    let parts: Vec<&str> = text.split(['x', 'X', '\u{d7}']).map(str::trim).collect();
    let unit =
        parts.last().map_or("", |last| last.trim_start_matches(|c: char| !c.is_alphabetic() && c != '"'));
    let bare = LengthUnit::from_word(unit.trim());
    let sides: Vec<Length> = parts
        .iter()
        .map(|part| Length::read_positive(part, bare))
        .collect::<Result<_, _>>()
        .map_err(|e| wrong(&format!("can't be read ({e})")))?;
    match sides[..] {
        [one, other] => Ok(vec![Bearing { way: Way::Told, area: Area::from_mm2(one.mm() * other.mm()) }]),
        [one, two, three] => Ok(bearings_of_block([one, two, three]).to_vec()),
        _ => Err(wrong("is neither two sides nor three")),
    }
}

impl AskedPiece {
    /// "A 12 oz stoneware mug, standing on 8 in2,".
    pub fn subject(&self, units: Units) -> String {
        let weight = self.weight.write(units);
        let bearing = self.bearings.first();
        let on = bearing.map_or_else(String::new, |bearing| match bearing.way {
            Way::Told => format!(" on {}", area(bearing.area, units)),
            Way::Standing | Way::OnItsSide | Way::OnItsEnd => {
                format!(", {} on {},", bearing.way.words(), area(bearing.area, units))
            }
        });
        format!("{} {weight} {}{on}", article(&weight), self.what)
    }
}

/// "An" before eight, eleven and eighteen.
fn article(figure: &str) -> &'static str {
    let number: String = figure.chars().take_while(char::is_ascii_digit).collect();
    if number.starts_with('8') || number == "11" || number == "18" { "An" } else { "A" }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn in2(area: Area) -> f64 {
        area.square_feet() * 144.0
    }

    #[test]
    fn areas_are_read_in_every_unit_and_nothing_else_is_one() {
        for (text, expected) in [
            ("10 in2", 10.0),
            ("10 1/2 sq in", 10.5),
            ("6.4516 cm2", 1.0),
            ("645.16 mm2", 1.0),
            ("2in^2", 2.0),
        ] {
            assert!(
                (in2(read_area(&GuardAsked::default(), text).expect(text)) - expected).abs() < 1e-9,
                "{text}"
            );
        }
        for text in ["", "10", "in2", "0 in2", "-3 in2", "NaN in2", "ten in2", "10 in", "1e999 in2"] {
            let Err(why) = read_area(&GuardAsked::default(), text) else { panic!("{text}") };
            assert!(why.field == "area" && why.in_words().contains("right would be"), "{why:?}");
        }
    }

    #[test]
    fn two_sides_are_a_face_and_three_a_block() {
        let face = read_sides(&GuardAsked::default(), "4 x 2 1/2 in").expect("a face");
        assert!(face.len() == 1 && (in2(face[0].area) - 10.0).abs() < 1e-9);
        let block = read_sides(&GuardAsked::default(), "6 x 4 x 3 in").expect("a block");
        let areas: Vec<f64> = block.iter().map(|bearing| in2(bearing.area).round()).collect();
        assert_eq!(areas, [24.0, 18.0, 12.0]);
        for text in ["4 in", "4 x 2", "4 x 0 in", "1 x 2 x 3 x 4 in", "a x b in", ""] {
            assert!(read_sides(&GuardAsked::default(), text).is_err(), "{text}");
        }
    }

    #[test]
    fn the_article_goes_with_the_figure() {
        let written = ["8 oz", "11 oz", "18 lb", "12 oz", "1 lb 2 oz", "110 g", "80 g"].map(article);
        assert_eq!(written, ["An", "An", "An", "A", "A", "A", "An"]);
    }
}
