//! A supply as it is added: what a plan needs to know of it.

use measure::{Length, LengthUnit};
use protection::Materials;
use serde_json::json;
use shop::Supply;

/// Kinds of supplies; a plan takes cartons by size and the rest by the material they are.
pub const SUPPLY_KINDS: [&str; 6] = ["carton", "wrap", "fill", "tape", "label", "other"];

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
        if let (Err(why), true) = (materials.find(material), told.material.is_some()) {
            return Err(wrong(SupplyPart::Material, why));
        }
        let holds = told.holds.map_or(Ok(1.0), amount)?;
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

fn amount(text: &str) -> Result<f64, SupplyWrong> {
    text.trim().parse::<f64>().ok().filter(|holds| holds.is_finite() && *holds > 0.0).ok_or_else(|| {
        let beginning: String = text.chars().take(40).collect();
        wrong(SupplyPart::Holds, format!("\"{beginning}\" is no amount above 0; right would be: 3.5"))
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
