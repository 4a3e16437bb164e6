//! The table of recipes: published defaults and the person's own.

use std::collections::BTreeMap;

use measure::{Length, Mass};
use shape::{PartKind, WayUp};
use toml::Table;

use crate::keys::{Keys, table};
use crate::nearest::{nearest, plain};
use crate::overlay::overlay;
use crate::profile::WIDEST_IN;
use crate::{
    BundleRule, Course, Cushion, Flag, Guard, Heavy, LidRule, Materials, ProtectionError, Recipe, Stock,
};

const PUBLISHED: &str = include_str!("../data/recipes.toml");
const EXAMPLE: &str = "[recipes.my_mug]";
const FILE_KEYS: &[&str] = &["recipes"];
const KEYS: &[&str] = &[
    "wrap",
    "heavy",
    "guards",
    "stuff",
    "ways_up",
    "bundle",
    "lid",
    "cushion",
    "wall_clearance_in",
    "separation_in",
    "bears_load",
    "minutes_piece",
    "minutes_bundle",
    "flag",
    "source",
];
const PARTS: &[PartKind] = &[
    PartKind::Body,
    PartKind::Handle,
    PartKind::Spout,
    PartKind::Stem,
    PartKind::Foot,
    PartKind::Knob,
    PartKind::Lid,
];
const WAYS: &[WayUp] = &[WayUp::Upright, WayUp::Inverted, WayUp::OnEdge, WayUp::OnEnd];
const RULES: &[&str] = &["single", "on_edge", "nest", "flat_stack"];
/// Most layers of one course.
const MOST_LAYERS: u32 = 40;
/// Most pieces of one bundle.
const MOST_PIECES: u32 = 50;
/// Longest working time of one piece or bundle, minutes.
const LONGEST: f64 = 240.0;
/// Least layers between two nested pieces (a porcelain collectors' foundation: two layers of bubble).
const LEAST_NEST_LAYERS: u32 = 2;

/// The word for a way up in data files.
const fn way_word(way: WayUp) -> &'static str {
    match way {
        WayUp::Upright => "upright",
        WayUp::Inverted => "inverted",
        WayUp::OnEdge => "on_edge",
        WayUp::OnEnd => "on_end",
    }
}

/// All recipes.
#[derive(Debug, Clone, PartialEq)]
pub struct Recipes {
    rows: Table,
    all: BTreeMap<String, Recipe>,
}

impl Recipes {
    /// The recipes that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the recipes compiled in are read by a test")
    }

    /// Reads a whole recipes file.
    ///
    /// # Errors
    /// When it isn't TOML, or a key or figure is missing, unknown or out of range. Names of materials are
    /// checked by [`Recipes::check`] and when a piece is protected.
    pub fn read(text: &str) -> Result<Self, ProtectionError> {
        Self::from_rows(table("recipes", text, EXAMPLE)?)
    }

    /// These recipes with others laid over them: a known row keeps the keys that aren't restated.
    ///
    /// # Errors
    /// As [`Recipes::read`].
    pub fn with_overrides(&self, text: &str) -> Result<Self, ProtectionError> {
        Self::from_rows(overlay(&self.rows, &table("recipes", text, EXAMPLE)?, FILE_KEYS))
    }

    fn from_rows(rows: Table) -> Result<Self, ProtectionError> {
        let file = Keys { place: "the recipes file".to_owned(), table: &rows };
        file.only(FILE_KEYS)?;
        let mut all = BTreeMap::new();
        for (name, keys) in file.rows("recipes", "recipe")? {
            all.insert(name.to_owned(), recipe(name, &keys)?);
        }
        Ok(Self { all, rows })
    }

    /// The recipe with this name, whatever its case and punctuation.
    ///
    /// # Errors
    /// When there is none, with the nearest names.
    pub fn find(&self, name: &str) -> Result<&Recipe, ProtectionError> {
        let wanted = plain(name);
        self.all.values().find(|one| plain(&one.name) == wanted).ok_or_else(|| ProtectionError::UnknownName {
            kind: "recipe",
            name: name.to_owned(),
            nearest: nearest(name, self.all.keys().map(String::as_str)),
        })
    }

    /// All of them by name.
    pub fn iter(&self) -> impl Iterator<Item = &Recipe> {
        self.all.values()
    }

    /// Checks that every material a recipe names is there and fit for its use.
    ///
    /// # Errors
    /// At the first that is not.
    pub fn check(&self, materials: &Materials) -> Result<(), ProtectionError> {
        self.iter().try_for_each(|recipe| check(recipe, materials))
    }
}

/// Checks the materials of one recipe.
pub(crate) fn check(recipe: &Recipe, materials: &Materials) -> Result<(), ProtectionError> {
    let unsuitable = |name: &str, used_as, right| ProtectionError::Unsuitable {
        place: format!("recipe {}", recipe.name),
        material: name.to_owned(),
        used_as,
        right,
    };
    let wraps = recipe.wrap.iter().chain(recipe.heavy.iter().map(|heavy| &heavy.course));
    for course in wraps.chain(recipe.bundle.interleaf()) {
        let found = materials.find(&course.material)?;
        if !matches!(found.stock, Stock::Sheet { .. } | Stock::Board { .. }) {
            return Err(unsuitable(&course.material, "wrap", "a material of kind \"sheet\" or \"board\""));
        }
    }
    for guard in &recipe.guards {
        let found = materials.find(&guard.course.material)?;
        if found.layer().is_none() {
            let right = "a material of kind \"sheet\", \"board\" or \"tube\"";
            return Err(unsuitable(&guard.course.material, "a guard", right));
        }
    }
    if let Some(name) = &recipe.stuff {
        let found = materials.find(name)?;
        if !matches!(found.stock, Stock::Sheet { crumpled_lb_ft3: Some(_), .. }) {
            return Err(unsuitable(name, "stuffing", "a sheet with crumpled_lb_ft3"));
        }
    }
    Ok(())
}

fn recipe(name: &str, keys: &Keys<'_>) -> Result<Recipe, ProtectionError> {
    keys.only(KEYS)?;
    let wrap = keys
        .list("wrap", "wrap")?
        .iter()
        .map(|one| {
            one.only(&["material", "layers", "turns"])?;
            course(one, 1)
        })
        .collect::<Result<Vec<_>, _>>()?;
    if wrap.is_empty() {
        return Err(keys.missing("wrap", "[{ material = \"bubble_small\", layers = 2 }]"));
    }
    let heavy = keys
        .inner("heavy")?
        .map(|one| {
            one.only(&["over_lb", "material", "layers", "turns"])?;
            let over = Mass::from_pounds(one.need_number("over_lb", 0.0, 1000.0)?);
            Ok::<_, ProtectionError>(Heavy { over, course: course(&one, 1)? })
        })
        .transpose()?;
    let guards = keys
        .list("guards", "guard")?
        .iter()
        .map(|one| {
            one.only(&["parts", "material", "layers", "turns"])?;
            let parts = one
                .words("parts", PARTS, PartKind::word)?
                .ok_or_else(|| one.missing("parts", "[\"handle\"]"))?;
            Ok(Guard { parts, course: course(one, 1)? })
        })
        .collect::<Result<Vec<_>, ProtectionError>>()?;
    let ways_up =
        keys.words("ways_up", WAYS, way_word)?.ok_or_else(|| keys.missing("ways_up", "[\"upright\"]"))?;
    let cushion = keys
        .word("cushion", &Cushion::ALL, Cushion::word)?
        .ok_or_else(|| keys.missing("cushion", "\"fragile\""))?;
    Ok(Recipe {
        name: name.to_owned(),
        wrap,
        heavy,
        guards,
        stuff: keys.text("stuff")?.map(str::to_owned),
        ways_up,
        bundle: bundle(keys)?,
        lid: keys.inner("lid")?.map_or_else(|| Ok(LidRule::default()), |one| lid(&one))?,
        cushion,
        wall_clearance: keys.number("wall_clearance_in", 0.0, WIDEST_IN)?.map(Length::from_inches),
        separation: Length::from_inches(keys.need_number("separation_in", 0.0, WIDEST_IN)?),
        bears_load: keys.truth("bears_load")?.ok_or_else(|| keys.missing("bears_load", "false"))?,
        minutes_piece: keys.need_number("minutes_piece", 0.0, LONGEST)?,
        minutes_bundle: keys.need_number("minutes_bundle", 0.0, LONGEST)?,
        origin: keys.origin(Flag::Own)?,
    })
}

fn course(keys: &Keys<'_>, least: u32) -> Result<Course, ProtectionError> {
    let material = keys.need_text("material", "\"bubble_small\"")?.to_owned();
    let layers = match (keys.whole("layers", least, MOST_LAYERS)?, keys.whole("turns", least, MOST_LAYERS)?) {
        (Some(_), Some(_)) => {
            return Err(keys.wrong(
                "turns",
                "given beside layers",
                "one of the two, since a turn is a layer",
            ));
        }
        (Some(count), None) | (None, Some(count)) => count,
        (None, None) => return Err(keys.missing("layers", "2")),
    };
    Ok(Course { material, layers })
}

fn bundle(keys: &Keys<'_>) -> Result<BundleRule, ProtectionError> {
    let inner = keys.inner("bundle")?.ok_or_else(|| keys.missing("bundle", "{ rule = \"single\" }"))?;
    let rule = inner.need_text("rule", "\"single\"")?;
    if rule == "single" {
        inner.only(&["rule"])?;
        return Ok(BundleRule::Single);
    }
    inner.only(&["rule", "most", "interleaf"])?;
    let least = if rule == "nest" { LEAST_NEST_LAYERS } else { 1 };
    let interleaf = inner
        .inner("interleaf")?
        .map(|one| {
            one.only(&["material", "layers"])?;
            course(&one, least)
        })
        .transpose()?;
    let most = || inner.whole("most", 1, MOST_PIECES)?.ok_or_else(|| inner.missing("most", "4"));
    let between = |interleaf: Option<Course>| {
        interleaf.ok_or_else(|| inner.missing("interleaf", "{ material = \"foam_8\", layers = 2 }"))
    };
    match rule {
        "on_edge" => Ok(BundleRule::OnEdge { most: most()?, interleaf: between(interleaf)? }),
        "nest" => Ok(BundleRule::Nest { most: most()?, interleaf: between(interleaf)? }),
        "flat_stack" => Ok(BundleRule::FlatStack { most: most()?, interleaf }),
        other => {
            let right = nearest(other, RULES.iter().copied()).join(" or ");
            Err(inner.wrong("rule", &format!("\"{other}\""), &right))
        }
    }
}

fn lid(keys: &Keys<'_>) -> Result<LidRule, ProtectionError> {
    keys.only(&["ways_up", "minutes"])?;
    let usual = LidRule::default();
    Ok(LidRule {
        ways_up: keys.words("ways_up", WAYS, way_word)?.unwrap_or(usual.ways_up),
        minutes: keys.number("minutes", 0.0, LONGEST)?.unwrap_or(usual.minutes),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_recipes_read_and_their_materials_are_there() {
        let recipes = Recipes::read(PUBLISHED).expect("published");
        assert_eq!(recipes.iter().count(), 33);
        recipes.check(&Materials::published()).expect("materials");
        assert!(recipes.iter().all(|recipe| recipe.origin.flag != Flag::Own));
    }
}
