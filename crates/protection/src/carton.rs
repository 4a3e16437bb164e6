//! Regular slotted cartons: outside from inside, blank, tare, tape, cost.

use measure::{Area, Length, Mass, Money};
use plan::MaterialUse;

use crate::{CartonGrade, CartonRules, Grades, LoadClass, Material, ProtectionError, max_gross};

/// Longest and shortest inside of a carton, in.
const INSIDE_IN: (f64, f64) = (1.0, 120.0);
/// One leg of tape over an edge (tape maker's rule: four legs make 11 in).
const TAPE_LEG: Length = Length::from_inches(2.75);
/// Least that a carton may be cut down by, in: less is no cut.
const LEAST_CUT_IN: f64 = 0.01;

/// Outside length, width and height of a filled, closed carton.
///
/// Two thicknesses of board on length and width, four on the height (two flap layers above and below), a
/// bulge and the closing; a carton cut down has further layers on top where its flaps lap.
///
/// Source: Fibre Box Handbook, from memory; the allowances are those of [`CartonRules`].
#[must_use]
pub fn outside(inside: [Length; 3], grade: &CartonGrade, rules: &CartonRules, cut_down: bool) -> [Length; 3] {
    let board = grade.caliper();
    let side = board * 2.0 + Length::from_inches(rules.bulge_in.value);
    let lapped = if cut_down { rules.cut_layers.value } else { 0.0 };
    let height = board * (4.0 + lapped) + Length::from_inches(rules.closing_in.value);
    [inside[0] + side, inside[1] + side, inside[2] + height]
}

/// Area of the blank of a regular slotted carton without score allowances: (2 L + 2 W + joint) by (D + W).
///
/// Source: Fibre Box Handbook, from memory.
#[must_use]
pub fn blank_area(length: Length, width: Length, depth: Length, joint: Length) -> Area {
    (length * 2.0 + width * 2.0 + joint) * (depth + width)
}

/// Area of the blank with joint and score allowances, which tare and cost go by.
#[must_use]
pub fn blank_with_allowances(inside: [Length; 3], rules: &CartonRules) -> Area {
    let [length, width, depth] = inside;
    let allowance = |figure: &crate::Figure| Length::from_inches(figure.value);
    ((length + width) * 2.0 + allowance(&rules.blank_length_in))
        * (depth + width + allowance(&rules.blank_height_in))
}

/// Mass of the empty carton, by the area of its blank.
#[must_use]
pub fn tare(inside: [Length; 3], grade: &CartonGrade, rules: &CartonRules) -> Mass {
    grade.board(blank_with_allowances(inside, rules))
}

/// Cost of a carton by the area of its blank, rounded up to the cent.
#[must_use]
pub fn cost(inside: [Length; 3], grade: &CartonGrade, rules: &CartonRules) -> Money {
    let area = blank_with_allowances(inside, rules).square_feet();
    let dollars = rules.cost_each.value + area * grade.cost_ft2.value;
    // Bounded by the largest inside and the dearest board that is read.
    Money::from_cents((dollars * 100.0 - 1e-6).ceil() as i64)
}

/// Tape that closes a carton with one strip above and one below: twice the length and four legs.
///
/// Source: a tape maker's rule, published.
#[must_use]
pub fn tape_one_strip(length: Length) -> Length {
    length * 2.0 + TAPE_LEG * 4.0
}

/// Tape that seals seam and both end edges, above and below: 2 L + 4 W and twelve legs.
///
/// Source: worked out from the tape maker's legs.
#[must_use]
pub fn tape_h_seal(length: Length, width: Length) -> Length {
    length * 2.0 + width * 4.0 + TAPE_LEG * 12.0
}

/// Working time to make up, fill, close and label a carton, minutes; longer where it is cut down.
#[must_use]
pub fn boxing_minutes(rules: &CartonRules, cut_down: bool) -> f64 {
    rules.boxing_minutes.value + if cut_down { rules.cut_minutes.value } else { 0.0 }
}

/// A carton of this inside size as it is used: whole, or cut down to the inside height `cut_to`.
///
/// The longer side of the opening comes first, whichever way round it was given. Cutting down refolds the
/// same blank, so that the tare is that of the whole carton.
///
/// # Errors
/// When a side is out of range, `cut_to` isn't lower than the carton, or the board may not carry such a
/// load in a carton of this size.
pub fn carton(
    name: &str,
    inside: [Length; 3],
    cut_to: Option<Length>,
    grade: &CartonGrade,
    grades: &Grades,
    load: LoadClass,
) -> Result<plan::Carton, ProtectionError> {
    let wrong = |reason: String, right: &str| ProtectionError::Carton {
        carton: name.to_owned(),
        reason,
        right: right.to_owned(),
    };
    let usable = |side: Length| (INSIDE_IN.0..=INSIDE_IN.1).contains(&side.inches());
    if !inside.into_iter().all(usable) {
        return Err(wrong("an inside side is under 1 in or over 120 in".to_owned(), "sides of 1 to 120 in"));
    }
    let [a, b, height] = inside;
    let whole = [a.max(b), a.min(b), height];
    let used_height = match cut_to {
        None => height,
        Some(cut) if usable(cut) && cut.inches() <= height.inches() - LEAST_CUT_IN => cut,
        Some(cut) => {
            let reason =
                format!("it can't be cut down to {:.2} in from {:.2} in", cut.inches(), height.inches());
            return Err(wrong(reason, "a height of 1 in or more that is lower than the carton"));
        }
    };
    let used = [whole[0], whole[1], used_height];
    let rules = grades.rules();
    let outside = outside(used, grade, rules, cut_to.is_some());
    let limit = max_gross(grade, outside, load)
        .map_err(|refusal| wrong(refusal.to_string(), "a smaller carton or stronger board"))?;
    Ok(plan::Carton {
        name: name.to_owned(),
        inside_mm: used.map(Length::mm),
        outside_mm: outside.map(Length::mm),
        cut_down_from_mm: cut_to.map(|_| height.mm()),
        tare_g: tare(whole, grade, rules).grams(),
        max_gross_g: limit.mass.grams(),
        board: format!(
            "{} {} wall, {} lb at most by {}",
            grade.name,
            grade.wall.word(),
            limit.mass.pounds().round(),
            limit.rule.words()
        ),
    })
}

/// One carton as a counted material; `cost` is the person's own, else the rule by area.
#[must_use]
pub fn carton_use(
    carton: &plan::Carton,
    grade: &CartonGrade,
    grades: &Grades,
    own: Option<Money>,
) -> MaterialUse {
    let [length, width, used] = carton.inside_mm;
    let whole = [length, width, carton.cut_down_from_mm.unwrap_or(used)].map(Length::from_mm);
    MaterialUse {
        material: format!("carton {}", carton.name),
        quantity: 1.0,
        unit: "piece".to_owned(),
        mass_g: carton.tare_g,
        cost_cents: own.unwrap_or_else(|| cost(whole, grade, grades.rules())).cents(),
    }
}

/// A pad that covers the inside of a carton.
///
/// # Errors
/// When the material isn't a board.
pub fn pad_use(carton: &plan::Carton, board: &Material) -> Result<MaterialUse, ProtectionError> {
    let [length, width, _] = carton.inside_mm;
    board.board(Area::from_mm2(length * width))
}
