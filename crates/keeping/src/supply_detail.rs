//! A supply as it is added: what a plan needs to know of it.

use measure::{Length, LengthUnit};
use protection::{Material, Materials, Stock};
use serde_json::json;
use shop::Supply;

/// Kinds of supplies; a plan takes cartons by size and the rest by the material they are.
pub const SUPPLY_KINDS: [&str; 6] = ["carton", "wrap", "fill", "tape", "label", "other"];

/// Characters of what was typed that a message repeats.
const LONGEST_QUOTED: usize = 40;
/// Materials that a message names (judgement: enough to see what is meant).
const SUGGESTED: usize = 3;
/// Inches in a foot and in a yard.
const INCHES_A_FOOT: f64 = 12.0;
const INCHES_A_YARD: f64 = 36.0;

/// A supply as it was told, word for word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SupplyTold<'a> {
    /// Its name; a carton is best called by its inside size.
    pub name: &'a str,
    /// One of [`SUPPLY_KINDS`].
    pub kind: &'a str,
    /// Inside size of a carton; left out, its name.
    pub size: Option<&'a str>,
    /// Heights that a carton may be cut down to.
    pub cut_to: &'a [&'a str],
    /// The material that it is; left out, its name.
    pub material: Option<&'a str>,
    /// How much of the material one unit holds; left out, 1.
    pub holds: Option<&'a str>,
    /// What one unit is called; left out, its kind.
    pub unit: Option<&'a str>,
    /// Days from ordering it to having it.
    pub lead_days: u32,
    /// Days of use kept in store beside that.
    pub safety_days: u32,
}

/// A part of what is told of a supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SupplyPart {
    /// Its name.
    Name,
    /// Its kind.
    Kind,
    /// Its inside size.
    Size,
    /// Heights it may be cut to.
    CutTo,
    /// Its material.
    Material,
    /// What one unit holds.
    Holds,
}

/// What is wrong with a supply as told: the part, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{why}")]
pub struct SupplyWrong {
    /// The part that is wrong.
    pub part: SupplyPart,
    /// What is wrong with it, and what would be right.
    pub why: String,
}

fn wrong(part: SupplyPart, why: impl ToString) -> SupplyWrong {
    SupplyWrong { part, why: why.to_string() }
}

/// Reads a supply as it was told.
///
/// # Errors
/// Which part is wrong, and what would be right.
pub fn supply_told(told: &SupplyTold<'_>, materials: &Materials) -> Result<Supply, SupplyWrong> {
    if !SUPPLY_KINDS.contains(&told.kind) {
        return Err(wrong(
            SupplyPart::Kind,
            format!("\"{}\" is no kind of supply; right would be: {}", told.kind, SUPPLY_KINDS.join(", ")),
        ));
    }
    let detail = if told.kind == "carton" {
        let (part, size) = match told.size {
            Some(size) => (SupplyPart::Size, size),
            None => (SupplyPart::Name, told.name),
        };
        crate::outside_size(size).map_err(|why| wrong(part, why))?;
        for height in told.cut_to {
            Length::read_positive(height, Some(LengthUnit::Inches))
                .map_err(|why| wrong(SupplyPart::CutTo, why))?;
        }
        json!({ "size": size, "cut_to": told.cut_to })
    } else {
        let of_cartons =
            |part| wrong(part, "that is for cartons; right would be the kind carton, or nothing here");
        if told.size.is_some() {
            return Err(of_cartons(SupplyPart::Size));
        }
        if !told.cut_to.is_empty() {
            return Err(of_cartons(SupplyPart::CutTo));
        }
        let material = told.material.unwrap_or(told.name);
        // A supply of another name is kept, and no plan takes of it.
        let found = materials.find(material);
        if let (Err(why), true) = (&found, told.material.is_some()) {
            return Err(wrong(SupplyPart::Material, why));
        }
        let holds = told.holds.map_or(Ok(1.0), |text| amount(text, found.as_ref().ok().copied()))?;
        json!({ "material": material, "holds": holds })
    };
    Ok(Supply {
        name: told.name.to_owned(),
        kind: told.kind.to_owned(),
        unit: told.unit.unwrap_or(told.kind).to_owned(),
        detail,
        lead_days: told.lead_days,
        safety_days: told.safety_days,
    })
}

/// Why no plan would ever take of a supply: it is a wrap, a fill or a tape of a material that isn't known, and none
/// was told. `None` where one may. What is kept for its own sake is of the kind "other".
#[must_use]
pub fn no_plan_takes(told: &SupplyTold<'_>, materials: &Materials) -> Option<String> {
    let is_used = matches!(told.kind, "wrap" | "fill" | "tape");
    let unknown = told.material.is_none() && materials.find(told.name).is_err();
    (is_used && unknown).then(|| {
        let of_kind = materials.iter().filter(|one| kind_of(&one.stock) == told.kind);
        let some: Vec<&str> = of_kind.take(SUGGESTED).map(|one| one.name.as_str()).collect();
        format!(
            "no material is called \"{}\", so no plan would take of it; right would be the material that it is, such as \
             {}, or the kind other",
            told.name.chars().take(LONGEST_QUOTED).collect::<String>(),
            some.join(" or "),
        )
    })
}

/// The kind of supply that a material is bought as.
const fn kind_of(stock: &Stock) -> &'static str {
    match stock {
        Stock::Sheet { .. } | Stock::Tube { .. } => "wrap",
        Stock::Fill { .. } => "fill",
        Stock::Tape { .. } => "tape",
        Stock::Label { .. } => "label",
        Stock::Board { .. } => "other",
    }
}

/// How much one unit holds, in the measure that plans count its material by: cubic feet of a fill, inches of a tape or
/// a tube, else pieces.
fn amount(text: &str, material: Option<&Material>) -> Result<f64, SupplyWrong> {
    let text = text.trim();
    let end = text.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(text.len());
    let (figure, unit) = text.split_at_checked(end).unwrap_or((text, ""));
    let unit = unit.trim().to_ascii_lowercase();
    let (units, right): (&[(&str, f64)], &str) = match material.map(|one| &one.stock) {
        Some(Stock::Fill { .. }) => {
            (&[("cubic feet", 1.0), ("cubic foot", 1.0), ("cu ft", 1.0), ("ft3", 1.0)], "3.5 ft3")
        }
        Some(Stock::Tape { .. } | Stock::Tube { .. }) => {
            (&[("in", 1.0), ("ft", INCHES_A_FOOT), ("yd", INCHES_A_YARD)], "1980 in, or 55 yd")
        }
        Some(Stock::Sheet { .. } | Stock::Board { .. } | Stock::Label { .. }) | None => {
            (&[("sheets", 1.0), ("sheet", 1.0), ("pieces", 1.0)], "100")
        }
    };
    let times = if unit.is_empty() {
        Some(1.0)
    } else {
        units.iter().find(|(known, _)| *known == unit).map(|(_, times)| *times)
    };
    let holds = figure.parse::<f64>().ok().zip(times).map(|(figure, times)| figure * times);
    holds.filter(|holds| holds.is_finite() && *holds > 0.0).ok_or_else(|| {
        let beginning: String = text.chars().take(LONGEST_QUOTED).collect();
        wrong(SupplyPart::Holds, format!("\"{beginning}\" is no amount above 0; right would be: {right}"))
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)] // A test fails by panicking.
mod tests {
    use super::*;

    fn told<'a>(name: &'a str, kind: &'a str) -> SupplyTold<'a> {
        let (lead_days, safety_days) = (7, 3);
        SupplyTold {
            name,
            kind,
            size: None,
            cut_to: &[],
            material: None,
            holds: None,
            unit: None,
            lead_days,
            safety_days,
        }
    }

    #[test]
    fn a_carton_without_a_size_is_called_by_it_and_another_supply_is_its_material() {
        let materials = Materials::published();
        let carton = supply_told(&told("12 x 10 x 8", "carton"), &materials).unwrap();
        assert_eq!(carton.detail, json!({ "size": "12 x 10 x 8", "cut_to": [] }));
        assert_eq!(carton.unit, "carton");
        let fill = SupplyTold {
            holds: Some("3.5"),
            unit: Some("bag"),
            material: Some("eps_fill"),
            ..told("big bag", "fill")
        };
        let fill = supply_told(&fill, &materials).unwrap();
        assert_eq!(
            (fill.detail, fill.unit.as_str()),
            (json!({ "material": "eps_fill", "holds": 3.5 }), "bag")
        );
        // A name that is no material is kept; no plan takes of it.
        assert!(supply_told(&told("string", "other"), &materials).is_ok());
    }

    #[test]
    fn what_a_unit_holds_is_read_in_the_measure_of_its_material() {
        let materials = Materials::published();
        let holds = |kind: &'static str, material: &'static str, text: &'static str| {
            let told = SupplyTold { material: Some(material), holds: Some(text), ..told("it", kind) };
            supply_told(&told, &materials).map(|supply| supply.detail["holds"].as_f64().unwrap())
        };
        let (fill, tape) = (materials.usual_fill().id.clone(), materials.tape().id.clone());
        let (fill, tape): (&'static str, &'static str) = (fill.leak(), tape.leak());
        for text in ["3.5", "3.5 cubic feet", "3.5 ft3", "3.5cu ft"] {
            assert_eq!(holds("fill", fill, text), Ok(3.5), "{text}");
        }
        for (text, inches) in [("1980", 1980.0), ("1980 in", 1980.0), ("55 yd", 1980.0), ("165 ft", 1980.0)] {
            assert_eq!(holds("tape", tape, text), Ok(inches), "{text}");
        }
        for (kind, material, text) in
            [("fill", fill, "3.5 in"), ("tape", tape, "3.5 ft3"), ("fill", fill, "a lot")]
        {
            assert_eq!(holds(kind, material, text).unwrap_err().part, SupplyPart::Holds, "{text}");
        }
    }

    #[test]
    fn a_wrap_fill_or_tape_of_no_known_material_is_told_and_other_things_are_not() {
        let materials = Materials::published();
        let why = no_plan_takes(&told("Peanuts", "fill"), &materials).unwrap();
        assert!(why.contains(&materials.usual_fill().name), "{why}");
        assert!(why.contains("Peanuts"), "{why}");
        let named = SupplyTold { material: Some("eps_fill"), ..told("Peanuts", "fill") };
        for fine in [named, told("string", "other"), told("12 x 12 x 8", "carton"), told("newsprint", "wrap")]
        {
            assert_eq!(no_plan_takes(&fine, &materials), None, "{fine:?}");
        }
    }

    #[test]
    fn each_wrong_part_is_named_with_what_would_be_right() {
        let materials = Materials::published();
        let wrong: [(SupplyTold<'_>, SupplyPart); 8] = [
            (told("box", "carton"), SupplyPart::Name),
            (SupplyTold { size: Some("12 x 12"), ..told("box", "carton") }, SupplyPart::Size),
            (SupplyTold { cut_to: &["0"], ..told("12 x 12 x 8", "carton") }, SupplyPart::CutTo),
            (SupplyTold { cut_to: &["4"], ..told("tape", "tape") }, SupplyPart::CutTo),
            (SupplyTold { size: Some("1 x 1 x 1"), ..told("tape", "tape") }, SupplyPart::Size),
            (SupplyTold { material: Some("moonlight"), ..told("bag", "fill") }, SupplyPart::Material),
            (SupplyTold { holds: Some("NaN"), ..told("bag", "fill") }, SupplyPart::Holds),
            (told("bag", "sack"), SupplyPart::Kind),
        ];
        for (told, part) in wrong {
            let why = supply_told(&told, &materials).unwrap_err();
            assert_eq!(why.part, part, "{why}");
        }
    }
}
