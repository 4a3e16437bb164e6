//! The table of materials: published defaults and the person's own.

use std::collections::BTreeMap;

use measure::Length;
use toml::Table;

use crate::keys::{Keys, table};
use crate::nearest::{nearest, plain};
use crate::overlay::overlay;
use crate::{Flag, Material, ProtectionError, Stock};

const PUBLISHED: &str = include_str!("../data/materials.toml");
const EXAMPLE: &str = "[materials.my_bubble]";
const FILE_KEYS: &[&str] = &["materials", "roles"];
const ROLE_KEYS: &[&str] = &["pad", "tape", "label", "fill"];
const SHEET_KEYS: &[&str] =
    &["name", "kind", "thickness_in", "sheet_in", "density_oz_ft2", "cost_ft2", "crumpled_lb_ft3"];
const BOARD_KEYS: &[&str] = &["name", "kind", "thickness_in", "density_oz_ft2", "cost_ft2"];
const TUBE_KEYS: &[&str] = &["name", "kind", "thickness_in", "mass_oz_in", "cost_in"];
const FILL_KEYS: &[&str] = &["name", "kind", "density_lb_ft3", "cost_ft3"];
const TAPE_KEYS: &[&str] = &["name", "kind", "mass_oz_yd", "cost_yd"];
const LABEL_KEYS: &[&str] = &["name", "kind", "mass_oz", "cost_each"];
const KINDS: &[&str] = &["sheet", "board", "tube", "fill", "tape", "label"];

/// Thinnest and thickest layer, in: a layer of nothing protects nothing.
const THICKNESS: (f64, f64) = (0.0005, 6.0);
/// Shortest and longest side of a stock sheet, in.
const SIDE: (f64, f64) = (1.0, 1200.0);
/// Lightest and heaviest, in any of the units of mass here.
const MASS: (f64, f64) = (0.0001, 1000.0);
/// Cheapest and dearest, dollars.
const COST: (f64, f64) = (0.0, 1000.0);

/// All materials.
#[derive(Debug, Clone, PartialEq)]
pub struct Materials {
    rows: Table,
    all: BTreeMap<String, Material>,
    pad: String,
    tape: String,
    label: String,
    fill: String,
}

impl Materials {
    /// The materials that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the materials compiled in are read by a test")
    }

    /// Reads a whole materials file.
    ///
    /// # Errors
    /// When it isn't TOML, or a key, figure, kind or role is missing, unknown or out of range.
    pub fn read(text: &str) -> Result<Self, ProtectionError> {
        Self::from_rows(table("materials", text, EXAMPLE)?)
    }

    /// These materials with others laid over them: a known row keeps the keys that aren't restated.
    ///
    /// # Errors
    /// As [`Materials::read`].
    pub fn with_overrides(&self, text: &str) -> Result<Self, ProtectionError> {
        Self::from_rows(overlay(&self.rows, &table("materials", text, EXAMPLE)?, FILE_KEYS))
    }

    fn from_rows(rows: Table) -> Result<Self, ProtectionError> {
        let file = Keys { place: "the materials file".to_owned(), table: &rows };
        file.only(FILE_KEYS)?;
        let mut all = BTreeMap::new();
        for (id, keys) in file.rows("materials", "material")? {
            all.insert(id.to_owned(), material(id, &keys)?);
        }
        let roles = file.inner("roles")?.ok_or_else(|| file.missing("roles", "{ pad = \"pad\" }"))?;
        roles.only(ROLE_KEYS)?;
        let role = |key: &'static str, kind: &'static str| -> Result<String, ProtectionError> {
            let name = roles.need_text(key, &format!("\"{key}\""))?;
            let found = find(&all, name)?;
            if found.stock.kind() != kind {
                return Err(roles.wrong(key, &format!("a {}", found.stock.kind()), &format!("a {kind}")));
            }
            Ok(found.id.clone())
        };
        let (pad, tape) = (role("pad", "board")?, role("tape", "tape")?);
        let (label, fill) = (role("label", "label")?, role("fill", "fill")?);
        Ok(Self { pad, tape, label, fill, all, rows })
    }

    /// The material with this key or name, whatever its case and punctuation.
    ///
    /// # Errors
    /// When there is none, with the nearest names.
    pub fn find(&self, name: &str) -> Result<&Material, ProtectionError> {
        find(&self.all, name)
    }

    /// All of them by their keys.
    pub fn iter(&self) -> impl Iterator<Item = &Material> {
        self.all.values()
    }

    /// The void fills.
    pub fn fills(&self) -> impl Iterator<Item = &Material> {
        self.iter().filter(|material| matches!(material.stock, Stock::Fill { .. }))
    }

    fn role(&self, id: &str) -> &Material {
        self.all.get(id).expect("roles name rows that were found when the file was read")
    }

    /// The board that lies between layers.
    #[must_use]
    pub fn pad(&self) -> &Material {
        self.role(&self.pad)
    }

    /// The tape that closes cartons.
    #[must_use]
    pub fn tape(&self) -> &Material {
        self.role(&self.tape)
    }

    /// The label.
    #[must_use]
    pub fn label(&self) -> &Material {
        self.role(&self.label)
    }

    /// The void fill taken when nothing else is said.
    #[must_use]
    pub fn usual_fill(&self) -> &Material {
        self.role(&self.fill)
    }

    /// Thickness of one pad between layers.
    #[must_use]
    pub fn pad_thickness(&self) -> Length {
        self.pad().layer().expect("the pad is a board, and a board has a thickness")
    }
}

fn find<'a>(all: &'a BTreeMap<String, Material>, name: &str) -> Result<&'a Material, ProtectionError> {
    let wanted = plain(name);
    all.get(name)
        .or_else(|| all.values().find(|one| plain(&one.id) == wanted || plain(&one.name) == wanted))
        .ok_or_else(|| ProtectionError::UnknownName {
            kind: "material",
            name: name.to_owned(),
            nearest: nearest(name, all.keys().map(String::as_str)),
        })
}

fn material(id: &str, keys: &Keys<'_>) -> Result<Material, ProtectionError> {
    let kind = keys.need_text("kind", "\"sheet\"")?;
    let thickness = || keys.need_figure("thickness_in", THICKNESS.0, THICKNESS.1);
    let mass = |key| keys.need_figure(key, MASS.0, MASS.1);
    let cost = |key| keys.need_figure(key, COST.0, COST.1);
    let stock = match kind {
        "sheet" => {
            keys.only(SHEET_KEYS)?;
            let (sides_in, sides_origin) = sides(keys)?;
            Stock::Sheet {
                thickness_in: thickness()?,
                sides_in,
                sides_origin,
                density_oz_ft2: mass("density_oz_ft2")?,
                cost_ft2: cost("cost_ft2")?,
                crumpled_lb_ft3: keys.figure("crumpled_lb_ft3", MASS.0, MASS.1)?,
            }
        }
        "board" => {
            keys.only(BOARD_KEYS)?;
            Stock::Board {
                thickness_in: thickness()?,
                density_oz_ft2: mass("density_oz_ft2")?,
                cost_ft2: cost("cost_ft2")?,
            }
        }
        "tube" => {
            keys.only(TUBE_KEYS)?;
            Stock::Tube {
                thickness_in: thickness()?,
                mass_oz_in: mass("mass_oz_in")?,
                cost_in: cost("cost_in")?,
            }
        }
        "fill" => {
            keys.only(FILL_KEYS)?;
            Stock::Fill { density_lb_ft3: mass("density_lb_ft3")?, cost_ft3: cost("cost_ft3")? }
        }
        "tape" => {
            keys.only(TAPE_KEYS)?;
            Stock::Tape { mass_oz_yd: mass("mass_oz_yd")?, cost_yd: cost("cost_yd")? }
        }
        "label" => {
            keys.only(LABEL_KEYS)?;
            Stock::Label { mass_oz: mass("mass_oz")?, cost_each: cost("cost_each")? }
        }
        other => {
            let right = nearest(other, KINDS.iter().copied()).join(" or ");
            return Err(keys.wrong("kind", &format!("\"{other}\""), &right));
        }
    };
    let name = keys.text("name")?.unwrap_or(id).to_owned();
    Ok(Material { id: id.to_owned(), name, stock })
}

/// `sheet_in = { value = [12, 12], flag = ... }`.
fn sides(keys: &Keys<'_>) -> Result<([f64; 2], crate::Origin), ProtectionError> {
    let example = "{ value = [12, 12], flag = \"own\" }";
    let inner = keys.inner("sheet_in")?.ok_or_else(|| keys.missing("sheet_in", example))?;
    inner.only(&["value", "flag", "source"])?;
    let value = inner.table.get("value").ok_or_else(|| inner.missing("value", "[12, 12]"))?;
    let sides = inner.numbers("value", value, Some(2), SIDE.0, SIDE.1)?;
    Ok(([sides[0], sides[1]], inner.origin(Flag::Own)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_table_reads_and_every_figure_names_its_source() {
        let materials = Materials::read(PUBLISHED).expect("published");
        assert_eq!(materials.iter().count(), 16);
        for figure in materials.iter().filter_map(|one| match &one.stock {
            Stock::Sheet { thickness_in, .. } => Some(thickness_in),
            _ => None,
        }) {
            assert_ne!(figure.origin.flag, Flag::Own);
            assert!(figure.origin.source.len() > 5);
        }
    }

    #[test]
    fn a_material_is_found_by_key_or_name() {
        let materials = Materials::published();
        assert_eq!(materials.find("Bubble 3/16 in").expect("name").id, "bubble_small");
        let error = materials.find("buble_smal").expect_err("unknown");
        assert!(error.to_string().contains("bubble_small"), "{error}");
    }
}
