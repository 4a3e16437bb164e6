//! How much cushion a piece needs, as JSON. Every key names its unit; shocks are multiples of gravity.

use cushion::CushionError;
use measure::Area;
use protection::{Origin, WallRule};
use serde::Serialize;
use trade::{Shock, Way};

use keeping::guarding::{Guarded, Ruled, without};

/// The whole answer.
#[derive(Debug, Serialize)]
pub struct Report {
    piece: Piece,
    fragility: Fragility,
    drop: Drop,
    wrap: Vec<Layers>,
    materials: Vec<Material>,
    rule: Rule,
    other_rules: Vec<Rule>,
    /// Why the rule's thickness of the first-named material is not enough; absent where it is.
    why_more: Option<WhyMore>,
    second_box_because: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Piece {
    what: String,
    form: Option<String>,
    weight_g: f64,
    bearings: Vec<Bearing>,
    estimated: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Bearing {
    way: &'static str,
    area_mm2: f64,
}

#[derive(Debug, Serialize)]
struct Source {
    flag: &'static str,
    source: String,
}

#[derive(Debug, Serialize)]
struct Fragility {
    class: Option<String>,
    bears_gravities: f64,
    bears_from: Source,
    safety_factor: f64,
    safety_from: Source,
    allowed_gravities: f64,
}

#[derive(Debug, Serialize)]
struct Drop {
    height_mm: f64,
    words: String,
    note: String,
    from: Source,
    gross_g: Option<f64>,
    gross_is_the_piece: bool,
}

#[derive(Debug, Serialize)]
struct Layers {
    material: String,
    layers: u32,
    thickness_mm: f64,
}

#[derive(Debug, Serialize)]
struct Material {
    key: String,
    name: String,
    shocks: Vec<OneShock>,
    needed: Vec<Needed>,
    /// The most of any way; absent where no thickness is enough.
    use_mm: Option<f64>,
    use_layers: Option<u32>,
    cautions: Vec<String>,
}

#[derive(Debug, Serialize)]
struct OneShock {
    thickness_mm: f64,
    /// Absent where hard meets hard.
    peak_gravities: Option<f64>,
    low_gravities: Option<f64>,
    high_gravities: Option<f64>,
    is_enough: bool,
    method: Option<&'static str>,
    is_outside_its_method: bool,
    because: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Needed {
    way: &'static str,
    thickness_mm: Option<f64>,
    rounded_up_mm: Option<f64>,
    /// Whether the rule asks for more.
    rule_binds: Option<bool>,
    /// The stricter of the two, wrap left out.
    use_mm: Option<f64>,
    problem: Option<String>,
}

#[derive(Debug, Serialize)]
struct Rule {
    name: String,
    least_mm: f64,
    most_mm: f64,
    words: String,
    from: Source,
}

#[derive(Debug, Serialize)]
struct WhyMore {
    thickness_mm: f64,
    peak_gravities: f64,
    over_share: f64,
    factor_allowed: f64,
    factor_here: f64,
    factor_best: f64,
}

/// The word for a way in JSON.
const fn way(way: Way) -> &'static str {
    match way {
        Way::Told => "told",
        Way::Standing => "standing",
        Way::OnItsSide => "on_its_side",
        Way::OnItsEnd => "on_its_end",
    }
}

fn from(origin: &Origin) -> Source {
    Source { flag: origin.flag.word(), source: origin.source.clone() }
}

fn rule(rule: &WallRule) -> Rule {
    Rule {
        name: rule.name.clone(),
        least_mm: rule.least.mm(),
        most_mm: rule.most.mm(),
        words: rule.words.clone(),
        from: from(&rule.origin),
    }
}

fn shock(thickness: measure::Length, found: &Result<Shock, CushionError>) -> OneShock {
    let thickness_mm = thickness.mm();
    match found {
        Ok(one) => OneShock {
            thickness_mm,
            peak_gravities: Some(one.peak_g),
            low_gravities: one.range_g.map(|range| range.0),
            high_gravities: one.range_g.map(|range| range.1),
            is_enough: one.is_enough,
            method: Some(one.method.word()),
            is_outside_its_method: one.is_outside_its_method(),
            because: one.outside.iter().map(ToString::to_string).collect(),
        },
        Err(why) => OneShock {
            thickness_mm,
            peak_gravities: None,
            low_gravities: None,
            high_gravities: None,
            is_enough: false,
            method: None,
            is_outside_its_method: false,
            because: vec![why.to_string()],
        },
    }
}

fn material(answer: &Guarded<'_>, one: &Ruled<'_>) -> Material {
    let shocks = answer.question.thicknesses.iter().zip(&one.row.shocks);
    let wrapped = answer.wrapped();
    let ways = answer.question.bearings.iter().zip(&one.beside).zip(&one.row.needed);
    let needed = ways.map(|((bearing, beside), needed)| Needed {
        way: way(bearing.way),
        thickness_mm: needed.as_ref().ok().map(|needed| needed.exact.mm()),
        rounded_up_mm: needed.as_ref().ok().map(|needed| needed.rounded_up.mm()),
        rule_binds: beside.as_ref().map(|beside| beside.rule_binds),
        use_mm: beside.as_ref().map(|beside| without(beside.used, wrapped).mm()),
        problem: needed.as_ref().err().map(ToString::to_string),
    });
    Material {
        key: one.row.material.key.clone(),
        name: one.row.material.name.clone(),
        shocks: shocks.map(|(thickness, found)| shock(*thickness, found)).collect(),
        needed: needed.collect(),
        use_mm: one.used.map(measure::Length::mm),
        use_layers: one.used.and_then(|used| one.row.layers(used)),

        cautions: one.at_use.iter().flat_map(|shock| &shock.cautions).map(ToString::to_string).collect(),
    }
}

/// The answer as a record.
pub fn report(answer: &Guarded<'_>) -> Report {
    let (piece, bears, falls) = (answer.piece, answer.bears, answer.falls);
    let area_mm2 = |area: Area| area.mm2();
    Report {
        piece: Piece {
            what: piece.what.clone(),
            form: piece.form.clone(),
            weight_g: piece.weight.grams(),
            bearings: piece
                .bearings
                .iter()
                .map(|bearing| Bearing { way: way(bearing.way), area_mm2: area_mm2(bearing.area) })
                .collect(),
            estimated: piece.estimated.clone(),
        },
        fragility: Fragility {
            class: bears.class.clone(),
            bears_gravities: bears.g,
            bears_from: from(&bears.origin),
            safety_factor: bears.safety,
            safety_from: from(&bears.safety_origin),
            allowed_gravities: answer.question.allowed_g,
        },
        drop: Drop {
            height_mm: falls.height.mm(),
            words: falls.words.clone(),
            note: falls.note.clone(),
            from: from(&falls.origin),
            gross_g: falls.gross.map(measure::Mass::grams),
            gross_is_the_piece: falls.gross_is_the_piece,
        },
        wrap: answer
            .wraps
            .iter()
            .map(|wrap| Layers {
                material: wrap.material.key.clone(),
                layers: wrap.layers,
                thickness_mm: wrap.thickness.mm(),
            })
            .collect(),
        materials: answer.materials.iter().map(|one| material(answer, one)).collect(),
        rule: rule(&answer.rules.decides),
        other_rules: answer.rules.others.iter().map(rule).collect(),
        why_more: answer.why_more.map(|why| WhyMore {
            thickness_mm: why.thickness.mm(),
            peak_gravities: why.peak_g,
            over_share: why.over,
            factor_allowed: why.factor_allowed,
            factor_here: why.factor_here,
            factor_best: why.factor_best,
        }),
        second_box_because: answer.second_box.iter().map(protection::DoubleBoxReason::text).collect(),
    }
}
