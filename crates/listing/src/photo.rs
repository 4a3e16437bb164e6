//! Which pictures a listing needs, within the venue's limit.

use std::collections::{BTreeMap, BTreeSet};

use forms::{Flag, Form, Material};
use toml::Table;

use crate::keys::{Keys, check_id, near_or_all, overlay, parse};
use crate::{ListingError, Noun};

const PUBLISHED: &str = include_str!("../data/photos.toml");
const FILE: &str = "photos file";
const SHOT_KEYS: &[&str] = &["text", "families", "materials", "must", "order", "source", "flag"];
/// Flaws are shown after the shots of an order below this.
const FLAWS_AFTER: u32 = 100;

/// A picture of the table of shots.
#[derive(Debug, Clone, PartialEq)]
pub struct Shot {
    /// Its snake_case id.
    pub id: String,
    /// What it shows; `{lot}` and `{count}` stand for the lot.
    pub text: String,
    /// Families it is for; none means all.
    pub families: Vec<String>,
    /// Materials it is for; none means all.
    pub materials: Vec<Material>,
    /// Whether a listing isn't complete without it.
    pub must: bool,
    /// Where it comes among the others.
    pub order: u32,
    /// Where the advice comes from, in words.
    pub source: String,
    /// How far it can be trusted.
    pub flag: Flag,
}

/// A family of forms that are photographed alike.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Family {
    recipes: Vec<String>,
    stands_up: bool,
}

/// A picture to take.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// What it shows.
    pub text: String,
    /// Whether the listing is complete without it.
    pub optional: bool,
}

/// The pictures of one listing.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PhotoList {
    /// What to take, never more than the venue's limit.
    pub photos: Vec<Photo>,
    /// Optional pictures for which there is no room.
    pub left_out: Vec<String>,
}

/// All shots and the families they are for.
#[derive(Debug, Clone, PartialEq)]
pub struct Shots {
    table: Table,
    families: BTreeMap<String, Family>,
    shots: Vec<Shot>,
}

impl Shots {
    /// The shots that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the compiled-in photo list is read by this room's tests")
    }

    /// Reads a whole photos file (TOML).
    ///
    /// # Errors
    /// Text that isn't TOML, unknown or missing keys, or a family that isn't in the file; the message names
    /// the row, the field and what's right.
    pub fn read(toml_text: &str) -> Result<Self, ListingError> {
        Self::from_table(parse(FILE, toml_text)?)
    }

    /// These shots with a person's own file laid over them, row by row and key by key.
    ///
    /// # Errors
    /// As [`Shots::read`].
    pub fn with(&self, toml_text: &str) -> Result<Self, ListingError> {
        Self::from_table(overlay(&self.table, &parse(FILE, toml_text)?))
    }

    fn from_table(table: Table) -> Result<Self, ListingError> {
        let file = Keys { place: format!("the {FILE}"), table: &table };
        file.only(&["families", "shots"])?;
        let mut families = BTreeMap::new();
        for (id, keys) in file.rows("families", "family")? {
            check_id(FILE, id)?;
            keys.only(&["recipes", "stands_up"])?;
            let stands_up = keys.truth("stands_up")?.unwrap_or(false);
            families.insert(id.to_owned(), Family { recipes: keys.texts("recipes")?, stands_up });
        }
        let mut shots = Vec::new();
        for (id, keys) in file.rows("shots", "shot")? {
            check_id(FILE, id)?;
            shots.push(shot(id, &keys, &families)?);
        }
        shots.sort_by(|a, b| a.order.cmp(&b.order).then_with(|| a.id.cmp(&b.id)));
        Ok(Self { table, families, shots })
    }

    /// All shots in their order.
    pub fn iter(&self) -> impl Iterator<Item = &Shot> {
        self.shots.iter()
    }

    /// The family of a form by its recipe; `None` when no family names it.
    #[must_use]
    pub fn family(&self, form: &Form) -> Option<&str> {
        self.families
            .iter()
            .find(|(_, family)| family.recipes.contains(&form.recipe))
            .map(|(id, _)| id.as_str())
    }

    /// Whether such forms lie flat in the forms table but are looked at upright.
    #[must_use]
    pub fn stands_up(&self, form: &Form) -> bool {
        self.family(form).and_then(|id| self.families.get(id)).is_some_and(|family| family.stands_up)
    }

    /// The pictures of a listing: the whole lot at its exact count, what every form needs, each flaw with
    /// something that points at it, what the forms' families and materials need, and what is worth having.
    ///
    /// `count` is the count the lot goes by; `lot` is each form in it with its name and count; `flaws` are
    /// condition lines.
    /// There are never more than `limit` pictures (a limit of 0 is taken as 1). Where not even the needful
    /// ones fit, the last picture joins what is left.
    #[must_use]
    pub fn list(&self, count: u32, lot: &[(&Form, &Noun, u32)], flaws: &[String], limit: usize) -> PhotoList {
        let families: BTreeSet<&str> = lot.iter().filter_map(|(form, _, _)| self.family(form)).collect();
        let materials: BTreeSet<Material> = lot.iter().map(|(form, _, _)| form.material).collect();
        let called = lot.iter().map(|(_, noun, count)| noun.of(*count)).collect::<Vec<_>>().join(" and ");
        let (mut needful, mut optional) = (Vec::new(), Vec::new());
        let mut flaws_to_come = Some(flaws);
        for shot in &self.shots {
            if shot.order >= FLAWS_AFTER {
                needful.extend(flaws_to_come.take().unwrap_or_default().iter().map(|flaw| pointed_at(flaw)));
            }
            let of_family = shot.families.iter().any(|family| families.contains(family.as_str()));
            let of_material = shot.materials.iter().any(|material| materials.contains(material));
            let of_all = shot.families.is_empty() && shot.materials.is_empty();
            if of_family || of_material || of_all {
                let text = shot.text.replace("{lot}", &called).replace("{count}", &count.to_string());
                if shot.must { needful.push(text) } else { optional.push(text) }
            }
        }
        needful.extend(flaws_to_come.take().unwrap_or_default().iter().map(|flaw| pointed_at(flaw)));
        fitted(needful, optional, limit.max(1))
    }
}

fn pointed_at(flaw: &str) -> String {
    format!("the flaw with something pointing at it ({flaw})")
}

fn fitted(mut needful: Vec<String>, mut optional: Vec<String>, limit: usize) -> PhotoList {
    if needful.len() > limit {
        let joined = needful.split_off(limit - 1);
        needful.push(format!("joined in a single picture: {}", joined.join("; ")));
    }
    let room = limit.saturating_sub(needful.len()).min(optional.len());
    let left_out = optional.split_off(room);
    let photo = |optional| move |text| Photo { text, optional };
    let photos = needful.into_iter().map(photo(false)).chain(optional.into_iter().map(photo(true))).collect();
    PhotoList { photos, left_out }
}

fn shot(id: &str, keys: &Keys<'_>, families: &BTreeMap<String, Family>) -> Result<Shot, ListingError> {
    keys.only(SHOT_KEYS)?;
    let named = keys.texts("families")?;
    if let Some(unknown) = named.iter().find(|name| !families.contains_key(*name)) {
        let right = near_or_all(unknown, families.keys().map(String::as_str)).join(" or ");
        return Err(keys.wrong("families", format!("\"{unknown}\""), &right));
    }
    let (source, flag) = keys.origin()?;
    Ok(Shot {
        id: id.to_owned(),
        text: keys.text("text", "inside, from above")?,
        families: named,
        materials: keys.words("materials", Material::ALL, Material::word)?,
        must: keys.truth("must")?.ok_or_else(|| keys.missing("must", "must = false"))?,
        order: keys.whole("order", 0, 10_000)?.ok_or_else(|| keys.missing("order", "order = 110"))?,
        source,
        flag,
    })
}
