//! How much cushion one piece needs, reckoned: by material and thickness, beside the rules.

use cushion::{CushionError, Cushions, Drops, Fragilities, Hits, Stress};
use draw::{ShockChart, ShockCurve};
use measure::{Length, Units};
use protection::{CushionRules, DoubleBoxReason, RuleBeside, double_box_reasons};
use trade::{GuardQuestion, GuardRow, RulesAbout, Shock, WhyMore};

use super::asked::{self, Bears, Falls, Wrap};
use super::figures::short;
use super::mistake::{GuardAsked, GuardMistake};
use super::piece::{self, AskedPiece};
use crate::Desk;

/// Most curves of a chart when nobody names materials (judgement): more can't be told apart.
const MOST_CURVES: usize = 6;

/// One material beside the rule that is taken.
#[derive(Debug)]
pub struct Ruled<'a> {
    /// What was reckoned of it.
    pub row: GuardRow<'a>,
    /// What each way of bearing needs, wrap included, beside the rule; `None` where no thickness is enough.
    pub beside: Vec<Option<RuleBeside>>,
    /// The most of it to use on any side, wrap left out; `None` where no thickness is enough.
    pub used: Option<Length>,
    /// The shock behind as much as the first way of bearing takes.
    pub at_use: Option<Shock>,
}

/// All that is answered.
#[derive(Debug)]
pub struct Guarded<'a> {
    /// What was asked.
    pub asked: &'a GuardAsked,
    /// The piece.
    pub piece: &'a AskedPiece,
    /// What it bears.
    pub bears: &'a Bears,
    /// How far it falls.
    pub falls: &'a Falls,
    /// Wraps on it.
    pub wraps: &'a [Wrap<'a>],
    /// The question as it was reckoned.
    pub question: &'a GuardQuestion<'a>,
    /// Materials in the order in which they are shown.
    pub materials: Vec<Ruled<'a>>,
    /// Index of the material that the first sentences speak of.
    pub lead: usize,
    /// The rules about such goods.
    pub rules: RulesAbout,
    /// Why the rule's thickness of the lead is not enough; `None` where it is.
    pub why_more: Option<WhyMore>,
    /// The shock behind the rule's thickness of the lead, wrap included.
    pub at_rule: Option<Shock>,
    /// Why a second box is called for.
    pub second_box: Vec<DoubleBoxReason>,
    /// Units to write in.
    pub units: Units,
}

impl Guarded<'_> {
    /// Thickness of all wraps.
    #[must_use]
    pub fn wrapped(&self) -> Length {
        self.wraps.iter().map(|wrap| wrap.thickness).sum()
    }

    /// The material that the first sentences speak of.
    #[must_use]
    pub fn lead(&self) -> Option<&Ruled<'_>> {
        self.materials.get(self.lead)
    }
}

/// Answers, and tells the answer; it borrows from the published tables.
///
/// # Errors
/// Everything that is wrong with what was asked, each at its field.
pub fn guarded<T>(
    args: &GuardAsked,
    desk: &Desk,
    tell: impl FnOnce(&Guarded<'_>) -> T,
) -> Result<T, Vec<GuardMistake>> {
    let (cushions, drops) = (Cushions::published(), Drops::published());
    let (fragilities, rules) = (Fragilities::published(), CushionRules::published());
    let one = |wrong: GuardMistake| vec![wrong];
    let piece = piece::piece(args, desk)?;
    let bears = asked::bears(args, &piece, &fragilities).map_err(one)?;
    let falls = asked::falls(args, &piece, &drops).map_err(one)?;
    let named = asked::materials(args, &cushions).map_err(one)?;
    let wraps = asked::wraps(args, &cushions).map_err(one)?;
    let thicknesses = asked::thicknesses(args).map_err(one)?;
    let layers: Vec<_> = wraps.iter().map(|wrap| (wrap.material, wrap.thickness)).collect();
    let question = GuardQuestion {
        weight: piece.weight,
        bearings: &piece.bearings,
        allowed_g: bears.g / bears.safety,
        height: falls.height,
        wrap: &layers,
        materials: &named,
        thicknesses: &thicknesses,
        hits: Hits::Repeated,
    };
    let rows = trade::guard(&question).map_err(|why| one(told_by(&why, args, &piece)))?;
    let about =
        RulesAbout::of(bears.g, !piece.extremities.is_empty(), &rules, &fragilities, args.rule.as_deref())
            .map_err(|why| one(GuardMistake::at("rule", why.to_string())))?;

    let wrapped: Length = wraps.iter().map(|wrap| wrap.thickness).sum();
    let mut materials: Vec<Ruled<'_>> = rows
        .into_iter()
        .map(|row| {
            let beside: Vec<Option<RuleBeside>> = (row.needed.iter())
                .map(|needed| Some(about.beside(needed.as_ref().ok()?.rounded_up + wrapped)))
                .collect();
            let used: Vec<Option<Length>> =
                beside.iter().map(|one| one.as_ref().map(|one| without(one.used, wrapped))).collect();
            let at_use = used.first().copied().flatten().and_then(|used| shock_at(&question, &row, used));
            let used = used.into_iter().try_fold(Length::ZERO, |most, used| Some(most.max(used?)));
            Ruled { row, beside, used, at_use }
        })
        .collect();
    let lead_key = match named.as_slice() {
        [first, ..] if !args.material.is_empty() => Some(first.key.clone()),
        _ => asked::usual_fill(&cushions).map(|fill| fill.key.clone()),
    };
    if args.material.is_empty() {
        // What needs least stands first, and what never suffices last.
        let need = |one: &Ruled<'_>| one.row.most().map_or(f64::INFINITY, Length::mm);
        materials.sort_by(|a, b| {
            need(a).total_cmp(&need(b)).then_with(|| a.row.material.key.cmp(&b.row.material.key))
        });
    }
    let lead = materials.iter().position(|one| Some(&one.row.material.key) == lead_key.as_ref()).unwrap_or(0);
    let rule_fill = Length::from_mm((about.decides.least.mm() - wrapped.mm()).max(0.0));
    let at_rule = materials.get(lead).and_then(|one| shock_at(&question, &one.row, rule_fill));
    let why_more = at_rule
        .as_ref()
        .zip(materials.get(lead))
        .and_then(|(shock, one)| WhyMore::of(&question, one.row.material, shock));
    let answer = Guarded {
        asked: args,
        piece: &piece,
        bears: &bears,
        falls: &falls,
        wraps: &wraps,
        question: &question,
        materials,
        lead,
        rules: about,
        why_more,
        at_rule,
        second_box: double_box_reasons(Some(bears.g), None, false, &rules),
        units: if args.metric { Units::Metric } else { Units::UsCustomary },
    };
    Ok(tell(&answer))
}

/// What of a distance is left for cushion behind the wrap, up to the next quarter inch.
#[must_use]
pub fn without(distance: Length, wrapped: Length) -> Length {
    trade::up_to_quarter_inch(Length::from_mm((distance.mm() - wrapped.mm()).max(0.0)))
}

/// The shock behind so much of a row's material; `None` where there is none of it, or it bottoms out.
fn shock_at(question: &GuardQuestion<'_>, row: &GuardRow<'_>, thickness: Length) -> Option<Shock> {
    let area = question.bearings.first()?.area;
    if thickness <= Length::ZERO {
        return None;
    }
    question.shock(row.material, thickness, area).ok()
}

/// A figure that can't be reckoned with, at the field that told it.
fn told_by(why: &CushionError, args: &GuardAsked, piece: &AskedPiece) -> GuardMistake {
    let field = match why {
        CushionError::Input { what: "weight", .. } => "weight",
        CushionError::Input { what: "bearing area", .. } => piece.area_field,
        CushionError::Input { what: "drop height", .. } => "height",
        CushionError::Input { what: "thickness", .. } => "thickness",
        CushionError::Input { what: "shock", .. } if args.bears.is_some() => "bears",
        CushionError::Input { what: "shock", .. } => "safety",
        CushionError::Nothing { .. } => piece.area_field,
        // What is left can only be about the rows of a material.
        CushionError::Input { .. }
        | CushionError::NotToml { .. }
        | CushionError::Row { .. }
        | CushionError::Wrong { .. }
        | CushionError::Contradiction { .. }
        | CushionError::UnknownName { .. }
        | CushionError::OverSchedule { .. }
        | CushionError::NoFit { .. }
        | CushionError::Record { .. }
        | CushionError::OutsideMethod { .. }
        | CushionError::TooStiff { .. }
        | CushionError::BottomsOut { .. } => "material",
    };
    GuardMistake::at(field, why.to_string())
}

/// The chart of the shock over the load, for what was named, or for the best few unlike ones.
#[must_use]
pub fn shock_chart(answer: &Guarded<'_>) -> ShockChart {
    let is_named = !answer.asked.material.is_empty();
    let rule_fill = Length::from_mm((answer.rules.decides.least.mm() - answer.wrapped().mm()).max(0.0));
    let thickness = match answer.question.thicknesses {
        [only] => *only,
        _ if rule_fill > Length::ZERO => rule_fill,
        [first, ..] => *first,
        [] => Length::from_inches(1.0),
    };
    let (unit, scale) = match answer.units {
        Units::UsCustomary => ("psi", 1.0),
        Units::Metric => ("kPa", Stress::from_psi(1.0).kpa()),
    };
    let here = |one: &Ruled<'_>| shock_at(answer.question, &one.row, thickness).map(|shock| shock.peak_g);
    let mut shown: Vec<(bool, Option<f64>, &Ruled<'_>)> =
        answer.materials.iter().enumerate().map(|(k, one)| (k == answer.lead, here(one), one)).collect();
    if !is_named {
        // The material that the answer speaks of, then the mildest.
        shown.sort_by(|(a_leads, a, _), (b_leads, b, _)| {
            let shock = |here: &Option<f64>| here.unwrap_or(f64::INFINITY);
            b_leads.cmp(a_leads).then(shock(a).total_cmp(&shock(b)))
        });
    }
    let mut curves: Vec<ShockCurve> = Vec::new();
    for (_, here, one) in shown {
        let points = answer.question.shock_curve(one.row.material, thickness);
        let points: Vec<[f64; 2]> = points.iter().map(|[load, g]| [load * scale, *g]).collect();
        // Sheets of one stuff in several thicknesses are one curve.
        if !is_named && (curves.len() == MOST_CURVES || curves.iter().any(|known| known.points == points)) {
            continue;
        }
        curves.push(ShockCurve { name: short(&one.row.material.name).to_owned(), points, here });
    }
    let behind: String = answer
        .wraps
        .iter()
        .map(|wrap| format!(" behind {} x {}", short(&wrap.material.name), wrap.layers))
        .collect();
    ShockChart {
        title: format!(
            "{} {}: shock behind {} of cushion{behind}",
            answer.piece.weight.write(answer.units),
            answer.piece.what,
            thickness.write(answer.units)
        ),
        load_unit: unit.to_owned(),
        load: answer.question.load_psi().map_or(f64::NAN, |load| load * scale),
        allowed_g: answer.question.allowed_g,
        curves,
    }
}
