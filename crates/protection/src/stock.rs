//! The list of stock cartons.

use std::collections::BTreeMap;

use measure::Length;
use toml::Table;

use crate::keys::{Keys, table};
use crate::nearest::{nearest, plain};
use crate::{Flag, Origin, ProtectionError};

const PUBLISHED: &str = include_str!("../data/cartons.toml");
const EXAMPLE: &str = "[[groups]]";
const FILE_KEYS: &[&str] = &["groups", "scored"];
const GROUP_KEYS: &[&str] = &["name", "grade", "flag", "source", "sizes"];
const SCORED_KEYS: &[&str] = &["size", "heights_in"];
/// Shortest and longest inside side, in.
const SIDE: (f64, f64) = (1.0, 120.0);

/// A carton of the stock list.
#[derive(Debug, Clone, PartialEq)]
pub struct StockCarton {
    /// Its name ("12 x 12 x 8", or "16 x 12 x 12, 48 ECT" for a board of its own).
    pub name: String,
    /// The group it is listed in ("cubes").
    pub group: String,
    /// Inside length, width and height, the longer side of the opening first.
    pub inside: [Length; 3],
    /// Name of the grade of board; `None` for the usual one.
    pub grade: Option<String>,
    /// Lower inside heights to which it is creased, tallest first.
    pub scored: Vec<Length>,
    /// Where the size comes from.
    pub origin: Origin,
}

/// All stock cartons, in the order of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct StockCartons {
    all: Vec<StockCarton>,
}

impl StockCartons {
    /// The list that comes with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the cartons compiled in are read by a test")
    }

    /// Reads a list.
    ///
    /// # Errors
    /// When it isn't TOML, a key is missing or unknown, a size is out of range or listed twice, or creased
    /// heights go with no listed size.
    pub fn read(text: &str) -> Result<Self, ProtectionError> {
        Self { all: Vec::new() }.with_overrides(text)
    }

    /// This list with the sizes of another: a size of the same name replaces the one there was.
    ///
    /// # Errors
    /// As [`StockCartons::read`].
    pub fn with_overrides(&self, text: &str) -> Result<Self, ProtectionError> {
        let rows: Table = table("cartons", text, EXAMPLE)?;
        let file = Keys { place: String::new(), table: &rows };
        Keys { place: "the cartons file".to_owned(), table: &rows }.only(FILE_KEYS)?;
        let mut all = self.all.clone();
        let mut places: BTreeMap<String, usize> =
            all.iter().enumerate().map(|(at, carton)| (carton.name.clone(), at)).collect();
        let mut new = std::collections::BTreeSet::new();
        for group in file.list("groups", "group")? {
            for carton in read_group(&group)? {
                if !new.insert(carton.name.clone()) {
                    return Err(group.wrong("sizes", &format!("{} again", carton.name), "each size once"));
                }
                match places.get(&carton.name) {
                    Some(&at) => all[at] = carton,
                    None => {
                        places.insert(carton.name.clone(), all.len());
                        all.push(carton);
                    }
                }
            }
        }
        for keys in file.list("scored", "scored")? {
            keys.only(SCORED_KEYS)?;
            let size = keys.table.get("size").ok_or_else(|| keys.missing("size", "[12, 12, 12]"))?;
            let inside = sides(&keys.numbers("size", size, Some(3), SIDE.0, SIDE.1)?);
            let most = inside[2].inches() - 0.01;
            let heights =
                keys.table.get("heights_in").ok_or_else(|| keys.missing("heights_in", "[10, 8]"))?;
            let mut heights = keys.numbers("heights_in", heights, None, SIDE.0, most)?;
            heights.sort_by(|a, b| b.total_cmp(a));
            let mut known = false;
            for carton in all.iter_mut().filter(|carton| carton.inside == inside) {
                carton.scored = heights.iter().copied().map(Length::from_inches).collect();
                known = true;
            }
            if !known {
                return Err(keys.wrong("size", &size_name(inside), "a size of the list"));
            }
        }
        Ok(Self { all })
    }

    /// The carton with this name, whatever its case and punctuation.
    ///
    /// # Errors
    /// When there is none, with the nearest names.
    pub fn find(&self, name: &str) -> Result<&StockCarton, ProtectionError> {
        let spaced = |name: &str| plain_size(name);
        let wanted = spaced(name);
        self.all.iter().find(|one| spaced(&one.name) == wanted).ok_or_else(|| ProtectionError::UnknownName {
            kind: "stock carton",
            name: name.to_owned(),
            nearest: nearest(name, self.all.iter().map(|one| one.name.as_str())),
        })
    }

    /// All of them, in the order of the list.
    pub fn iter(&self) -> impl Iterator<Item = &StockCarton> {
        self.all.iter()
    }
}

/// A size's name without spaces; the point is kept, since "1.2" and "12" differ.
fn plain_size(name: &str) -> String {
    name.split(|c: char| !c.is_alphanumeric() && c != '.').map(plain_word).collect()
}

fn plain_word(word: &str) -> String {
    if word.contains('.') { word.to_lowercase() } else { plain(word) }
}

fn sides(numbers: &[f64]) -> [Length; 3] {
    let at = |index: usize| Length::from_inches(numbers.get(index).copied().unwrap_or_default());
    [at(0).max(at(1)), at(0).min(at(1)), at(2)]
}

/// "12 x 12 x 8"; sizes are listed to hundredths of an inch.
fn size_name(inside: [Length; 3]) -> String {
    inside
        .map(|side| {
            let text = format!("{:.2}", side.inches());
            text.trim_end_matches('0').trim_end_matches('.').to_owned()
        })
        .join(" x ")
}

fn read_group(keys: &Keys<'_>) -> Result<Vec<StockCarton>, ProtectionError> {
    keys.only(GROUP_KEYS)?;
    let group = keys.text("name")?.unwrap_or("own").to_owned();
    let grade = keys.text("grade")?.map(str::to_owned);
    let origin = keys.origin(Flag::Own)?;
    let right = "a list of sizes, for example [[12, 12, 8]]";
    let sizes = keys.table.get("sizes").ok_or_else(|| keys.missing("sizes", "[[12, 12, 8]]"))?;
    let sizes = sizes.as_array().ok_or_else(|| keys.wrong("sizes", &sizes.to_string(), right))?;
    sizes
        .iter()
        .map(|size| {
            let inside = sides(&keys.numbers("sizes", size, Some(3), SIDE.0, SIDE.1)?);
            let name = match &grade {
                None => size_name(inside),
                Some(grade) => format!("{}, {grade}", size_name(inside)),
            };
            let (group, grade, origin) = (group.clone(), grade.clone(), origin.clone());
            Ok(StockCarton { name, group, inside, grade, scored: Vec::new(), origin })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_list_reads_with_its_creased_heights_and_known_grades() {
        let stock = StockCartons::read(PUBLISHED).expect("published");
        assert!(stock.iter().count() >= 90, "{}", stock.iter().count());
        let cube = stock.find("12x12x12").expect("cube");
        assert_eq!(cube.scored.len(), 3);
        let grades = crate::Grades::published();
        for name in stock.iter().filter_map(|carton| carton.grade.as_deref()) {
            grades.find(name).expect(name);
        }
        assert_eq!(stock.find("11.25 x 8.75 x 4").expect("decimal").inside[0].inches(), 11.25);
    }

    #[test]
    fn a_size_of_ones_own_replaces_or_joins_the_list() {
        let stock = StockCartons::published();
        let own =
            stock.with_overrides("[[groups]]\nsizes = [[12, 12, 8], [13, 10, 5]]\n").expect("own sizes");
        assert_eq!(own.iter().count(), stock.iter().count() + 1);
        assert_eq!(own.find("12 x 12 x 8").expect("own").origin.flag, Flag::Own);
        assert!(stock.with_overrides("[[groups]]\nsizes = [[1, 2]]\n").is_err());
        assert!(stock.with_overrides("[[scored]]\nsize = [13, 13, 13]\nheights_in = [9]\n").is_err());
    }
}
