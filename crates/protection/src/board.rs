//! Every limit of a carton side by side, the one that binds first in front.

use measure::{Area, Length, Mass, length_plus_girth};

use crate::board_rules::within;
use crate::mckee::more_than_nothing;
use crate::strength::gross_limits;
use crate::{BoardRules, CartonGrade, Figure, Flag, LimitRule, LoadClass, Origin, ProtectionError, Stacking};

/// Slack that keeps a size at its limit from counting as over it, as a share.
const SLACK: f64 = 1e-9;

/// What a box is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Board<'a> {
    /// Corrugated board of a grade.
    Corrugated(&'a CartonGrade),
    /// Plain paperboard.
    Paperboard,
    /// Paperboard with metal stays at its corners.
    MetalStayed,
}

/// A packed carton as its board sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoardFacts<'a> {
    /// What it is made of.
    pub board: Board<'a>,
    /// Inside length, width and height.
    pub inside: [Length; 3],
    /// Outside length, width and height.
    pub outside: [Length; 3],
    /// Mass with everything.
    pub gross: Mass,
    /// Mass of what is in it.
    pub contents: Mass,
    /// How hard the load is on the carton.
    pub load: LoadClass,
    /// Whether the contents are small and heavy for their size (books are not counted as such).
    pub dense: bool,
    /// Whether the carton was used before.
    pub reused: bool,
    /// Whether it bears what stands on it, where that was asked.
    pub stacking: Option<&'a Stacking>,
}

/// How far a limit reaches and where the carton is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reach {
    /// Gross mass.
    Gross {
        /// Where it is.
        at: Mass,
        /// The most.
        most: Mass,
    },
    /// A length: united inches, or length and girth.
    Size {
        /// Where it is.
        at: Length,
        /// The most.
        most: Length,
    },
    /// Mass of contents on a side, lb per ft2.
    Pressure {
        /// Where it is.
        at_psf: f64,
        /// The most.
        most_psf: f64,
    },
    /// Load from above, pounds of force.
    Load {
        /// Where it is.
        at_lbf: f64,
        /// The most.
        most_lbf: f64,
    },
    /// No such load is allowed at all.
    Never,
}

impl Reach {
    /// Share of the limit that is used: over 1 is too much.
    #[must_use]
    pub fn share(self) -> f64 {
        match self {
            Self::Gross { at, most } => at / most,
            Self::Size { at, most } => at / most,
            Self::Pressure { at_psf, most_psf } => at_psf / most_psf,
            Self::Load { at_lbf, most_lbf } => at_lbf / most_lbf,
            Self::Never => f64::INFINITY,
        }
    }
}

/// One limit of a carton.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// The rule.
    pub rule: LimitRule,
    /// How far it reaches and where the carton is.
    pub reach: Reach,
    /// Where its figure comes from.
    pub origin: Origin,
    /// What else is worth knowing, one sentence.
    pub note: Option<String>,
}

impl Limit {
    /// Whether the carton keeps the limit.
    #[must_use]
    pub fn keeps(&self) -> bool {
        within(self.reach.share(), 1.0)
    }

    /// The limit in a line: rule, where the carton is, how far the rule reaches.
    #[must_use]
    pub fn text(&self) -> String {
        let rule = self.rule.words();
        let figures = match self.reach {
            Reach::Gross { at, most } => format!("{:.1} of {:.1} lb", at.pounds(), most.pounds()),
            Reach::Size { at, most } => format!("{:.1} of {:.1} in", at.inches(), most.inches()),
            Reach::Pressure { at_psf, most_psf } => format!("{at_psf:.1} of {most_psf:.1} lb per ft2"),
            Reach::Load { at_lbf, most_lbf } => format!("{at_lbf:.0} of {most_lbf:.0} lb from above"),
            Reach::Never => "no such load is allowed".to_owned(),
        };
        format!("{rule}: {figures} ({}, {})", self.origin.flag.word(), self.origin.source)
    }
}

/// Every limit of a packed carton, the one that binds first in front: the largest share of a limit that is
/// used; where two are used alike the earlier of [`LimitRule`].
///
/// A carton used before keeps a share of the lowest of its gross limits, which is a limit of its own.
///
/// # Errors
/// When a side or a mass isn't more than nothing.
pub fn board_check(facts: &BoardFacts<'_>, rules: &BoardRules) -> Result<Vec<Limit>, ProtectionError> {
    for side in facts.inside.into_iter().chain(facts.outside) {
        more_than_nothing("a side of the carton", side.inches())?;
    }
    more_than_nothing("gross mass", facts.gross.pounds())?;
    more_than_nothing("mass of contents", facts.contents.pounds())?;
    let gross = |rule, figure: &Figure| Limit {
        rule,
        reach: Reach::Gross { at: facts.gross, most: Mass::from_pounds(figure.value) },
        origin: figure.origin.clone(),
        note: None,
    };
    let mut all = match facts.board {
        Board::Corrugated(grade) => corrugated(facts, grade),
        Board::Paperboard => paperboard(facts, &rules.paperboard_lb),
        Board::MetalStayed => paperboard(facts, &rules.metal_stayed_lb),
    };
    if facts.dense {
        all.push(dense_pressure(facts, rules));
        if let Board::Corrugated(grade) = facts.board {
            let burst = f64::from(grade.burst_psi);
            let step =
                [&rules.dense_upper, &rules.dense_lower].into_iter().find(|step| burst >= step.1.value);
            all.push(match step {
                Some((most, _)) => gross(LimitRule::DenseBoard, most),
                None => never(LimitRule::DenseBoard, &rules.dense_lower.1.origin),
            });
        }
    }
    if facts.reused {
        all.extend(reuse(&all, facts, rules));
    }
    if let Some(stacking) = facts.stacking {
        let weakest = stacking.weakest().map(|one| format!("Most strength goes by: {}.", one.what));
        all.push(Limit {
            rule: LimitRule::Stacking,
            reach: Reach::Load { at_lbf: stacking.load_lbf, most_lbf: stacking.bears_lbf },
            origin: Origin {
                flag: Flag::FromMemory,
                source: "McKee formula and Fibre Box Handbook factors".to_owned(),
            },
            note: weakest,
        });
    }
    all.sort_by(|a, b| b.reach.share().total_cmp(&a.reach.share()).then(a.rule.cmp(&b.rule)));
    Ok(all)
}

/// The limit that binds first; `None` without limits.
#[must_use]
pub fn binding(limits: &[Limit]) -> Option<&Limit> {
    limits.iter().max_by(|a, b| a.reach.share().total_cmp(&b.reach.share()).then(b.rule.cmp(&a.rule)))
}

fn corrugated(facts: &BoardFacts<'_>, grade: &CartonGrade) -> Vec<Limit> {
    let mut all = Vec::new();
    match gross_limits(grade, facts.load) {
        Ok(limits) => {
            for (rule, figure) in limits {
                all.push(Limit {
                    rule,
                    reach: Reach::Gross { at: facts.gross, most: Mass::from_pounds(figure.value) },
                    origin: figure.origin.clone(),
                    note: if rule == LimitRule::ParcelPractice { other_source(grade, figure) } else { None },
                });
            }
        }
        Err(_) => {
            let figure = &grade.nmfc_lb;
            all.push(Limit {
                rule: LimitRule::Classification,
                reach: Reach::Gross { at: facts.gross, most: Mass::from_pounds(figure.value) },
                origin: figure.origin.clone(),
                note: None,
            });
            let origin =
                Origin { flag: Flag::Published, source: "USPS Publication 2, Exhibit 2-3.1.3".to_owned() };
            all.push(never(LimitRule::PostalDifficult, &origin));
        }
    }
    let size = |rule, at, figure: &Figure| Limit {
        rule,
        reach: Reach::Size { at, most: Length::from_inches(figure.value) },
        origin: figure.origin.clone(),
        note: None,
    };
    let mut united = size(LimitRule::UnitedInches, facts.outside.into_iter().sum(), &grade.nmfc_united_in);
    if united.reach.share() > 1.0 + SLACK {
        let oversize =
            "A larger box is allowed where its certificate says so and its weight is low in proportion.";
        united.note = Some(oversize.to_owned());
    }
    all.push(united);
    if let Some(figure) = &grade.postal_girth_in {
        all.push(size(LimitRule::PostalGirth, length_plus_girth(facts.outside), figure));
    }
    all
}

/// What the source that wasn't used says.
fn other_source(grade: &CartonGrade, used: &Figure) -> Option<String> {
    let other = grade.parcel_lb.iter().chain(&grade.parcel_also_lb).find(|figure| *figure != used)?;
    let verb = if other.value > used.value { "allows" } else { "says" };
    Some(format!("{} ({}) {verb} {} lb.", other.origin.source, other.origin.flag.word(), other.value))
}

fn paperboard(facts: &BoardFacts<'_>, most: &Figure) -> Vec<Limit> {
    match facts.load {
        LoadClass::Easy | LoadClass::Average => vec![Limit {
            rule: LimitRule::PostalPaperboard,
            reach: Reach::Gross { at: facts.gross, most: Mass::from_pounds(most.value) },
            origin: most.origin.clone(),
            note: None,
        }],
        LoadClass::Difficult => vec![never(LimitRule::PostalPaperboard, &most.origin)],
    }
}

fn never(rule: LimitRule, origin: &Origin) -> Limit {
    Limit { rule, reach: Reach::Never, origin: origin.clone(), note: None }
}

/// Contents over the smallest inside face.
fn dense_pressure(facts: &BoardFacts<'_>, rules: &BoardRules) -> Limit {
    let [length, width, height] = facts.inside;
    let smallest: Area =
        [length * width, length * height, width * height].into_iter().fold(length * width, Area::min);
    Limit {
        rule: LimitRule::DensePressure,
        reach: Reach::Pressure {
            at_psf: facts.contents.pounds() / smallest.square_feet(),
            most_psf: rules.dense_psf.value,
        },
        origin: rules.dense_psf.origin.clone(),
        note: None,
    }
}

/// The lowest gross limit, less what use has taken.
fn reuse(all: &[Limit], facts: &BoardFacts<'_>, rules: &BoardRules) -> Option<Limit> {
    let mut lowest: Option<(Mass, LimitRule)> = None;
    for limit in all {
        match limit.reach {
            Reach::Gross { most, .. } => {
                if lowest.is_none_or(|(least, _)| most < least) {
                    lowest = Some((most, limit.rule));
                }
            }
            Reach::Size { .. } | Reach::Pressure { .. } | Reach::Load { .. } | Reach::Never => {}
        }
    }
    let (most, rule) = lowest?;
    let share = &rules.reused;
    Some(Limit {
        rule: LimitRule::Reuse,
        reach: Reach::Gross { at: facts.gross, most: most * share.value },
        origin: share.origin.clone(),
        note: Some(format!(
            "{:.0} % of the {:.0} lb by {}.",
            share.value * 100.0,
            most.pounds(),
            rule.words()
        )),
    })
}
