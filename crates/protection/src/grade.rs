//! Grades of corrugated board and the rules that go with all of them.

use std::collections::BTreeMap;

use measure::{Length, Mass};
use toml::Table;

use crate::keys::{Keys, table};
use crate::nearest::{nearest, plain};
use crate::overlay::overlay;
use crate::{Figure, Flag, ProtectionError};

const PUBLISHED: &str = include_str!("../data/grades.toml");
const EXAMPLE: &str = "[grades.\"32 ECT\"]";
const FILE_KEYS: &[&str] = &["grades", "rules"];
const RULE_KEYS: &[&str] = &[
    "usual",
    "bulge_in",
    "closing_in",
    "cut_layers",
    "blank_length_in",
    "blank_height_in",
    "cost_each",
    "boxing_minutes",
    "cut_minutes",
];
const GRADE_KEYS: &[&str] = &[
    "wall",
    "burst_psi",
    "caliper_in",
    "board_oz_ft2",
    "cost_ft2",
    "nmfc_lb",
    "nmfc_united_in",
    "parcel_lb",
    "parcel_also_lb",
    "postal_easy_lb",
    "postal_difficult_lb",
    "postal_girth_in",
];
/// Heaviest gross weight of any grade, lb, and largest of its other figures.
const MOST: f64 = 2000.0;

/// Walls of corrugated board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Wall {
    /// One medium between two liners.
    Single,
    /// Two mediums.
    Double,
    /// Three mediums.
    Triple,
}

impl Wall {
    /// Every wall.
    pub const ALL: [Self; 3] = [Self::Single, Self::Double, Self::Triple];

    /// The word in data files.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Single => "single",
            Self::Double => "double",
            Self::Triple => "triple",
        }
    }
}

/// A grade of board.
#[derive(Debug, Clone, PartialEq)]
pub struct CartonGrade {
    /// Its name ("32 ECT").
    pub name: String,
    /// Its wall.
    pub wall: Wall,
    /// Bursting or puncture test that goes with it, psi.
    pub burst_psi: u32,
    /// Thickness of the board, in.
    pub caliper_in: Figure,
    /// Mass of the board, oz per ft2.
    pub board_oz_ft2: Figure,
    /// Cost of the board, dollars per ft2 of blank.
    pub cost_ft2: Figure,
    /// Largest gross weight by the freight classification, lb.
    pub nmfc_lb: Figure,
    /// Largest sum of outside length, width and height by the freight classification, in.
    pub nmfc_united_in: Figure,
    /// Largest gross weight in parcel practice, lb; `None` when it isn't derated. Of two sources the limit
    /// is [`CartonGrade::parcel_limit`].
    pub parcel_lb: Option<Figure>,
    /// The same by a second source, lb.
    pub parcel_also_lb: Option<Figure>,
    /// Postal limit for easy and average loads, lb.
    pub postal_easy_lb: Figure,
    /// Postal limit for fragile or dense loads, lb; `None` when it takes none.
    pub postal_difficult_lb: Option<Figure>,
    /// Postal limit on length and girth, in; `None` when nothing is said.
    pub postal_girth_in: Option<Figure>,
}

impl CartonGrade {
    /// Thickness of the board.
    #[must_use]
    pub fn caliper(&self) -> Length {
        Length::from_inches(self.caliper_in.value)
    }

    /// Largest gross weight in parcel practice, lb, by the stricter of its sources; a figure of the person's
    /// own goes before any source. `None` when the grade isn't derated.
    #[must_use]
    pub fn parcel_limit(&self) -> Option<&Figure> {
        let by = |figure: &&Figure| (figure.origin.flag != Flag::Own, figure.value);
        self.parcel_lb
            .iter()
            .chain(&self.parcel_also_lb)
            .min_by(|a, b| by(a).0.cmp(&by(b).0).then(by(a).1.total_cmp(&by(b).1)))
    }

    /// Mass of so much board.
    #[must_use]
    pub fn board(&self, area: measure::Area) -> Mass {
        Mass::from_ounces(area.square_feet() * self.board_oz_ft2.value)
    }
}

/// What goes for cartons of every grade.
#[derive(Debug, Clone, PartialEq)]
pub struct CartonRules {
    /// Further outside length and width of a filled carton, in.
    pub bulge_in: Figure,
    /// Further outside height of a closed and taped carton, in.
    pub closing_in: Figure,
    /// Further layers of board on top of a carton that was cut down.
    pub cut_layers: Figure,
    /// What joint and scores add to the length of the blank, in.
    pub blank_length_in: Figure,
    /// What scores add to the height of the blank, in.
    pub blank_height_in: Figure,
    /// Cost of a carton beside its board, dollars.
    pub cost_each: Figure,
    /// Time to make up, fill, close and label a carton, minutes.
    pub boxing_minutes: Figure,
    /// Time to cut a carton down, minutes.
    pub cut_minutes: Figure,
}

/// All grades with the rules for cartons.
#[derive(Debug, Clone, PartialEq)]
pub struct Grades {
    rows: Table,
    all: BTreeMap<String, CartonGrade>,
    usual: String,
    rules: CartonRules,
}

impl Grades {
    /// The grades that come with the program.
    #[must_use]
    pub fn published() -> Self {
        Self::read(PUBLISHED).expect("the grades compiled in are read by a test")
    }

    /// Reads a whole grades file.
    ///
    /// # Errors
    /// When it isn't TOML, or a key or figure is missing, unknown or out of range.
    pub fn read(text: &str) -> Result<Self, ProtectionError> {
        Self::from_rows(table("grades", text, EXAMPLE)?)
    }

    /// These grades with others laid over them: a known row keeps the keys that aren't restated.
    ///
    /// # Errors
    /// As [`Grades::read`].
    pub fn with_overrides(&self, text: &str) -> Result<Self, ProtectionError> {
        Self::from_rows(overlay(&self.rows, &table("grades", text, EXAMPLE)?, FILE_KEYS))
    }

    fn from_rows(rows: Table) -> Result<Self, ProtectionError> {
        let file = Keys { place: "the grades file".to_owned(), table: &rows };
        file.only(FILE_KEYS)?;
        let mut all = BTreeMap::new();
        for (name, keys) in file.rows("grades", "grade")? {
            all.insert(name.to_owned(), grade(name, &keys)?);
        }
        let keys = file.inner("rules")?.ok_or_else(|| file.missing("rules", "{ usual = \"32 ECT\" }"))?;
        keys.only(RULE_KEYS)?;
        let figure = |key, most| keys.need_figure(key, 0.0, most);
        let rules = CartonRules {
            bulge_in: figure("bulge_in", 2.0)?,
            closing_in: figure("closing_in", 2.0)?,
            cut_layers: figure("cut_layers", 4.0)?,
            blank_length_in: figure("blank_length_in", 12.0)?,
            blank_height_in: figure("blank_height_in", 12.0)?,
            cost_each: figure("cost_each", MOST)?,
            boxing_minutes: figure("boxing_minutes", MOST)?,
            cut_minutes: figure("cut_minutes", MOST)?,
        };
        let usual = find(&all, keys.need_text("usual", "\"32 ECT\"")?)?.name.clone();
        Ok(Self { all, usual, rules, rows })
    }

    /// The grade with this name, whatever its case and punctuation.
    ///
    /// # Errors
    /// When there is none, with the nearest names.
    pub fn find(&self, name: &str) -> Result<&CartonGrade, ProtectionError> {
        find(&self.all, name)
    }

    /// The grade taken when nothing else is said.
    #[must_use]
    pub fn usual(&self) -> &CartonGrade {
        self.all.get(&self.usual).expect("the usual grade was found when the file was read")
    }

    /// All of them by name.
    pub fn iter(&self) -> impl Iterator<Item = &CartonGrade> {
        self.all.values()
    }

    /// What goes for cartons of every grade.
    #[must_use]
    pub fn rules(&self) -> &CartonRules {
        &self.rules
    }
}

fn find<'a>(all: &'a BTreeMap<String, CartonGrade>, name: &str) -> Result<&'a CartonGrade, ProtectionError> {
    let wanted = plain(name);
    all.values().find(|one| plain(&one.name) == wanted).ok_or_else(|| ProtectionError::UnknownName {
        kind: "grade of board",
        name: name.to_owned(),
        nearest: nearest(name, all.keys().map(String::as_str)),
    })
}

fn grade(name: &str, keys: &Keys<'_>) -> Result<CartonGrade, ProtectionError> {
    keys.only(GRADE_KEYS)?;
    let wall =
        keys.word("wall", &Wall::ALL, Wall::word)?.ok_or_else(|| keys.missing("wall", "\"single\""))?;
    Ok(CartonGrade {
        name: name.to_owned(),
        wall,
        burst_psi: keys.whole("burst_psi", 1, 5000)?.ok_or_else(|| keys.missing("burst_psi", "200"))?,
        caliper_in: keys.need_figure("caliper_in", 0.01, 2.0)?,
        board_oz_ft2: keys.need_figure("board_oz_ft2", 0.1, 100.0)?,
        cost_ft2: keys.need_figure("cost_ft2", 0.0, 100.0)?,
        nmfc_lb: keys.need_figure("nmfc_lb", 0.1, MOST)?,
        nmfc_united_in: keys.need_figure("nmfc_united_in", 1.0, MOST)?,
        parcel_lb: keys.figure("parcel_lb", 0.1, MOST)?,
        parcel_also_lb: keys.figure("parcel_also_lb", 0.1, MOST)?,
        postal_easy_lb: keys.need_figure("postal_easy_lb", 0.1, MOST)?,
        postal_difficult_lb: keys.figure("postal_difficult_lb", 0.1, MOST)?,
        postal_girth_in: keys.figure("postal_girth_in", 1.0, MOST)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_grades_read_and_limits_never_fall_within_a_wall() {
        let grades = Grades::read(PUBLISHED).expect("published");
        assert_eq!(grades.usual().name, "32 ECT");
        for wall in Wall::ALL {
            let mut rows: Vec<_> = grades.iter().filter(|grade| grade.wall == wall).collect();
            rows.sort_by_key(|grade| grade.burst_psi);
            for pair in rows.windows(2) {
                let limits = |grade: &CartonGrade| {
                    let least = |figure: &Option<Figure>| figure.as_ref().map_or(0.0, |figure| figure.value);
                    [
                        grade.nmfc_lb.value,
                        grade.nmfc_united_in.value,
                        grade.postal_easy_lb.value,
                        least(&grade.postal_difficult_lb),
                        grade.parcel_limit().map_or(0.0, |figure| figure.value),
                        least(&grade.postal_girth_in),
                    ]
                };
                let (low, high) = (limits(pair[0]), limits(pair[1]));
                assert!(low.iter().zip(high).all(|(a, b)| *a <= b), "{} {}", pair[0].name, pair[1].name);
            }
        }
    }
}
