//! What is asked about a cushion beside the piece: fragility, fall, materials, thicknesses, wrap.

use cushion::{CushionError, Cushions, Drops, Fragilities, Material};
use measure::{Length, Mass};
use protection::{Flag, Materials, Origin};

use super::figures::{names, short};
use super::mistake::{GuardAsked, GuardMistake};
use super::piece::AskedPiece;

/// Thicknesses that are compared when none is told, in and cm.
const USUAL_IN: [f64; 4] = [1.0, 2.0, 3.0, 4.0];
const USUAL_CM: [f64; 4] = [2.5, 5.0, 7.5, 10.0];
/// Most thicknesses that are compared.
const MOST_THICKNESSES: usize = 12;
/// Most layers of one wrap.
const MOST_LAYERS: u32 = 100;

/// What a piece bears.
#[derive(Debug)]
pub struct Bears {
    /// Key of the class, where it is one.
    pub class: Option<String>,
    /// Goods of the class, in words.
    pub words: Option<String>,
    /// In multiples of gravity.
    pub g: f64,
    /// Low and high end, where they are known.
    pub range: Option<(f64, f64)>,
    /// Where it comes from.
    pub origin: Origin,
    /// Factor between this and what is allowed.
    pub safety: f64,
    /// Where the factor comes from.
    pub safety_origin: Origin,
}

/// How far the parcel falls.
#[derive(Debug)]
pub struct Falls {
    /// The height to design for.
    pub height: Length,
    /// What says so ("ISTA 1A integrity test, under 21 lb").
    pub words: String,
    /// What to know about it.
    pub note: String,
    /// Where it comes from.
    pub origin: Origin,
    /// Weight of the parcel; `None` where the height was told.
    pub gross: Option<Mass>,
    /// Whether the piece's own weight stands for it.
    pub gross_is_the_piece: bool,
}

/// A wrap on the piece.
#[derive(Debug)]
pub struct Wrap<'a> {
    /// Its material.
    pub material: &'a Material,
    /// How many layers.
    pub layers: u32,
    /// How thick they are together.
    pub thickness: Length,
}

/// A wrong figure of an option, as the cushion room says it.
fn refused(field: &'static str, why: &CushionError) -> GuardMistake {
    GuardMistake::at(field, why.to_string())
}

/// A name that nothing has: the nearest ones, or all.
fn unknown<'a>(
    option: &'static str,
    what: &str,
    why: &CushionError,
    known: impl Iterator<Item = &'a str>,
) -> GuardMistake {
    match why {
        CushionError::UnknownName { name, nearest, .. } => {
            let right = if nearest.is_empty() {
                format!("one of {}", names(known))
            } else {
                names(nearest.iter().map(String::as_str))
            };
            GuardMistake::at(option, format!("no {what} is called \"{name}\"; right would be {right}"))
        }
        other => refused(option, other),
    }
}

fn own() -> Origin {
    Origin { flag: Flag::Own, source: Flag::Own.word().to_owned() }
}

/// A plain number above zero.
fn number(args: &GuardAsked, option: &'static str, text: &str, right: &str) -> Result<f64, GuardMistake> {
    let plain = text.trim().trim_end_matches(['G', 'g']).trim();
    plain.parse::<f64>().ok().filter(|figure| figure.is_finite() && *figure > 0.0).ok_or_else(|| {
        let right = args.example(option, right);
        GuardMistake::at(
            option,
            format!("\"{text}\" is not a number above zero; right would be, for example, {right}"),
        )
    })
}

/// Reads what the piece bears.
pub fn bears(
    args: &GuardAsked,
    piece: &AskedPiece,
    fragilities: &Fragilities,
) -> Result<Bears, GuardMistake> {
    if args.fragility.is_some() && args.bears.is_some() {
        return Err(GuardMistake::at(
            "bears",
            format!(
                "{} is given too, and both tell what the piece bears; right would be one of them",
                args.called("fragility")
            ),
        ));
    }
    let (safety, safety_origin) = match &args.safety {
        None => (fragilities.safety().value, fragilities.safety().origin.clone()),
        Some(text) => (number(args, "safety", text, "1.25")?, own()),
    };
    // Every class takes the same factors.
    if let Some(any) = fragilities.iter().next() {
        any.design_g(safety).map_err(|why| refused("safety", &why))?;
    }
    let class = match (&args.bears, &args.fragility, &piece.class) {
        (Some(text), _, _) => {
            let g = number(args, "bears", text, "60")?;
            return Ok(Bears {
                class: None,
                words: None,
                g,
                range: None,
                origin: own(),
                safety,
                safety_origin,
            });
        }
        (None, Some(name), _) => fragilities.find(name).map_err(|why| {
            let known = fragilities.iter().map(|class| class.key.as_str());
            unknown("fragility", "class of fragility", &why, known)
        })?,
        (None, None, Some(class)) => fragilities.find(class).map_err(|why| refused("form", &why))?,
        (None, None, None) => {
            return Err(GuardMistake::missing(
                "fragility",
                format!(
                    "how fragile the piece is; right would be one of {}, or what it bears: {}",
                    names(fragilities.iter().map(|class| class.key.as_str())),
                    args.example("bears", "60")
                ),
            ));
        }
    };
    Ok(Bears {
        class: Some(class.key.clone()),
        words: Some(class.words.clone()),
        g: class.g.value,
        range: class.g.low.zip(class.g.high),
        origin: class.g.origin.clone(),
        safety,
        safety_origin,
    })
}

/// Reads how far it falls.
pub fn falls(args: &GuardAsked, piece: &AskedPiece, drops: &Drops) -> Result<Falls, GuardMistake> {
    let given = [("drop", &args.drop), ("schedule", &args.schedule), ("height", &args.height)];
    let told: Vec<&'static str> =
        given.iter().filter(|(_, text)| text.is_some()).map(|(option, _)| *option).collect();
    if let [first, second, ..] = told[..] {
        return Err(GuardMistake::at(
            second,
            format!(
                "{} is given too, and both tell how far it falls; right would be one of them",
                args.called(first)
            ),
        ));
    }
    if let Some(text) = &args.height {
        if args.gross.is_some() {
            return Err(GuardMistake::at(
                "gross",
                format!(
                    "the parcel's weight sets the height, and {} tells it; right would be one of them",
                    args.called("height")
                ),
            ));
        }
        let height =
            Length::read_positive(text, None).map_err(|e| GuardMistake::at("height", e.to_string()))?;
        return Ok(Falls {
            height,
            words: String::from("a height of your own"),
            note: String::new(),
            origin: own(),
            gross: None,
            gross_is_the_piece: false,
        });
    }
    let gross = match &args.gross {
        None => piece.weight,
        Some(text) => {
            let gross =
                Mass::read_positive(text, None).map_err(|e| GuardMistake::at("gross", e.to_string()))?;
            if gross < piece.weight {
                let units = measure::Units::UsCustomary;
                return Err(GuardMistake::at(
                    "gross",
                    format!(
                        "a parcel of {} can't hold a piece of {}; right would be at least the piece",
                        gross.write(units),
                        piece.weight.write(units)
                    ),
                ));
            }
            gross
        }
    };
    let option = if args.gross.is_some() { "gross" } else { "weight" };
    let (drop, words) = if let Some(name) = &args.schedule {
        let known = drops.schedules().map(|schedule| schedule.key.as_str());
        let schedule =
            drops.schedule(name).map_err(|why| unknown("schedule", "schedule of drops", &why, known))?;
        let drop = schedule.drop(gross, None).map_err(|why| refused(option, &why))?;
        let once = if drop.flat_once.is_some() { ", its one high flat drop" } else { "" };
        let words = format!("{}, {}{once}", schedule.name, drop.weights);
        (drop, words)
    } else {
        let name = args.drop.as_deref().unwrap_or(Drops::USUAL);
        let known = drops.profiles().map(|profile| profile.key.as_str());
        let profile = drops.profile(name).map_err(|why| unknown("drop", "drop profile", &why, known))?;
        let drop = drops.design(profile, gross, None).map_err(|why| refused(option, &why))?;
        let words = if profile.least.is_none() && profile.most.is_none() {
            let schedule = drops.schedule(&profile.schedule).map_err(|why| refused("drop", &why))?;
            format!("{}, {}", schedule.name, drop.weights)
        } else {
            format!("{}: {}", profile.key, profile.words)
        };
        (drop, words)
    };
    Ok(Falls {
        height: drop.design_height(),
        words,
        note: drop.note,
        origin: drop.origin,
        gross: Some(gross),
        gross_is_the_piece: args.gross.is_none(),
    })
}

/// Reads the materials: those named, each once, in that order; all when none is.
pub fn materials<'a>(args: &GuardAsked, cushions: &'a Cushions) -> Result<Vec<&'a Material>, GuardMistake> {
    if args.material.is_empty() {
        return Ok(cushions.iter().collect());
    }
    let mut found: Vec<&Material> = Vec::new();
    for name in &args.material {
        let material = material("material", name, cushions)?;
        if found.iter().all(|known| known.key != material.key) {
            found.push(material);
        }
    }
    Ok(found)
}

/// The material with this key or name, or with this name as it is shown, up to its comma.
fn material<'a>(
    option: &'static str,
    name: &str,
    cushions: &'a Cushions,
) -> Result<&'a Material, GuardMistake> {
    let wanted = measure::plain(name);
    let shown = || cushions.iter().find(|material| measure::plain(short(&material.name)) == wanted);
    match cushions.find(name) {
        Ok(material) => Ok(material),
        Err(why) => shown().ok_or_else(|| {
            unknown(option, "material", &why, cushions.iter().map(|material| material.key.as_str()))
        }),
    }
}

/// The material that fills boxes when nothing else is said.
pub fn usual_fill(cushions: &Cushions) -> Option<&Material> {
    cushions.find(&Materials::published().usual_fill().id).ok()
}

/// Reads the thicknesses, thinnest first, each once.
pub fn thicknesses(args: &GuardAsked) -> Result<Vec<Length>, GuardMistake> {
    if args.thickness.is_empty() {
        return Ok(if args.metric {
            USUAL_CM.map(|cm| Length::from_mm(10.0 * cm)).to_vec()
        } else {
            USUAL_IN.map(Length::from_inches).to_vec()
        });
    }
    let mut read = args
        .thickness
        .iter()
        .map(|text| {
            Length::read_positive(text, None).map_err(|e| GuardMistake::at("thickness", e.to_string()))
        })
        .collect::<Result<Vec<Length>, GuardMistake>>()?;
    read.sort_by(Length::total_cmp);
    read.dedup_by(|a, b| a.total_cmp(b).is_eq());
    if read.len() > MOST_THICKNESSES {
        return Err(GuardMistake::at(
            "thickness",
            format!(
                "{} thicknesses are more than can be read beside each other; right would be at most \
                 {MOST_THICKNESSES}",
                read.len()
            ),
        ));
    }
    Ok(read)
}

/// Reads the wraps, from the piece outwards.
pub fn wraps<'a>(args: &GuardAsked, cushions: &'a Cushions) -> Result<Vec<Wrap<'a>>, GuardMistake> {
    args.wrap.iter().map(|text| wrap(args, text, cushions)).collect()
}

/// "bubble_small x 2"; one layer where no number is told.
fn wrap<'a>(args: &GuardAsked, text: &str, cushions: &'a Cushions) -> Result<Wrap<'a>, GuardMistake> {
    let counted =
        text.rsplit_once(['x', 'X', '\u{d7}']).map(|(name, layers)| (name.trim(), layers.trim())).filter(
            |(name, layers)| !name.is_empty() && layers.starts_with(|c: char| c.is_ascii_digit() || c == '-'),
        );
    let (name, layers) = match counted {
        None => (text.trim(), 1),
        Some((name, layers)) => {
            let count = layers.parse::<u32>().ok().filter(|count| (1..=MOST_LAYERS).contains(count));
            let count = count.ok_or_else(|| {
                GuardMistake::at(
                    "wrap",
                    format!(
                        "\"{layers}\" can't be a number of layers; right would be 1 to {MOST_LAYERS}, for \
                         example \"bubble_small x 2\""
                    ),
                )
            })?;
            (name, count)
        }
    };
    let material = material("wrap", name, cushions)?;
    let thickness = material.layers(layers).ok_or_else(|| {
        GuardMistake::at(
            "wrap",
            format!(
                "{} has no layers, it is poured or crumpled; right would be a sheet (\"bubble_small x 2\"), or {}",
                short(&material.name),
                args.example("material", &material.key)
            ),
        )
    })?;
    Ok(Wrap { material, layers, thickness })
}
