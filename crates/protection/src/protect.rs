//! Wrapping: a recipe grows the shape of a piece and counts what that takes.

use measure::{Length, Volume};
use plan::MaterialUse;
use shape::{Bundle, Company, Contents, Part, Piece, WayUp};

use crate::envelope::{Envelope, guard_size, wrapped_volume_mm3};
use crate::gather::{even_split, gathered, label, most_together, set_down, ways_up};
use crate::recipes::check;
use crate::{Course, Material, Materials, Profile, ProtectionError, Recipe, Stock};

/// Most pieces that are wrapped at once.
const MOST_PIECES: u32 = 10_000;
/// Longest side of a piece, mm: past anything that goes by post.
const LONGEST_MM: f64 = 5_000.0;
/// Heaviest piece, g.
const HEAVIEST_G: f64 = 1e6;

/// Like pieces to be wrapped.
#[derive(Debug, Clone, Copy)]
pub struct PieceToWrap<'a> {
    /// Name of the find they come from.
    pub find: &'a str,
    /// The plain word for one ("cup").
    pub what: &'a str,
    /// One of them.
    pub piece: &'a Piece,
    /// Which goods they may share a carton with.
    pub company: Company,
    /// How many; at least 1.
    pub count: u32,
}

/// A bundle with what went into its wrapping.
#[derive(Debug, Clone, PartialEq)]
pub struct WrappedBundle {
    /// What is placed.
    pub bundle: Bundle,
    /// Wrap, guards, interleaves and stuffing, one row for each material.
    pub uses: Vec<MaterialUse>,
    /// Working time, minutes.
    pub minutes: f64,
    /// Its wrap from the inside out: key of the material and thickness of all its layers. Guards of parts are
    /// left out.
    pub wrap: Vec<(String, Length)>,
    /// Key of the material that guards its parts under the wrap, where any part wears it.
    pub guard: Option<String>,
}

/// Wraps `what.count` pieces by the recipe: bundles of pieces, as even as can be and larger first, then
/// one bundle for each part packed apart.
///
/// Every bundle carries its own uses and minutes, so that bundles may be put into different parcels.
///
/// # Errors
/// When there is no piece, a figure of the piece can't be used, or a material of the recipe is unknown or
/// unfit for its use.
pub fn protect(
    what: &PieceToWrap<'_>,
    recipe: &Recipe,
    materials: &Materials,
    profile: &Profile,
) -> Result<Vec<WrappedBundle>, ProtectionError> {
    check_piece(what)?;
    check(recipe, materials)?;
    let wrapping = Wrapping { what, recipe, materials, profile };
    let mut bundles: Vec<WrappedBundle> = Vec::new();
    for size in even_split(what.count, most_together(&recipe.bundle, what.piece)) {
        // Sizes come in runs, so that the last one made is the only one worth remembering.
        let same = bundles.last().filter(|last| last.bundle.contents.iter().all(|row| row.count == size));
        let next = match same {
            Some(last) => last.clone(),
            None => wrapping.pieces(size)?,
        };
        bundles.push(next);
    }
    for (parts, share) in what.piece.apart.iter().zip(&what.piece.apart_mass_share) {
        let lid = wrapping.lid(parts, *share)?;
        bundles.extend((0..what.count).map(|_| lid.clone()));
    }
    Ok(bundles)
}

struct Wrapping<'a> {
    what: &'a PieceToWrap<'a>,
    recipe: &'a Recipe,
    materials: &'a Materials,
    profile: &'a Profile,
}

/// What tells one kind of bundle from another.
struct Kind<'a> {
    label: String,
    word: String,
    count: u32,
    ways_up: Vec<WayUp>,
    /// Bare parts as placed.
    placed: Vec<Part>,
    /// Bare parts of one piece, which are guarded one by one.
    guarded: &'a [Part],
    bare_g: f64,
    heavy: bool,
    bears_load: bool,
    minutes: f64,
}

impl Wrapping<'_> {
    fn pieces(&self, count: u32) -> Result<WrappedBundle, ProtectionError> {
        let (piece, recipe) = (self.what.piece, self.recipe);
        let between = match recipe.bundle.interleaf() {
            Some(course) if count > 1 => Some((course, self.thickness(course)?)),
            _ => None,
        };
        let each_g = piece.mass_g * (1.0 - piece.apart_mass_share.iter().sum::<f64>());
        let kind = Kind {
            label: label(&recipe.bundle, self.what.what, count),
            word: self.what.what.to_owned(),
            count,
            ways_up: ways_up(&recipe.bundle, &recipe.ways_up, count),
            placed: gathered(piece, count, between.map_or(0.0, |(_, thickness)| thickness)),
            guarded: &piece.parts,
            bare_g: each_g * f64::from(count),
            heavy: self.is_heavy(each_g),
            bears_load: recipe.bears_load,
            minutes: recipe.minutes_piece * f64::from(count) + recipe.minutes_bundle,
        };
        let mut uses = Vec::new();
        if let Some((course, _)) = between {
            let material = self.materials.find(&course.material)?;
            uses.push(
                Envelope::of(&kind.placed, |_| 0.0).interleaves(material, (count - 1) * course.layers)?,
            );
        }
        uses.extend(self.stuffing(count)?);
        self.wrapped(kind, uses)
    }

    fn lid(&self, parts: &[Part], share: f64) -> Result<WrappedBundle, ProtectionError> {
        let word = format!("lid of {}", self.what.what);
        let bare_g = self.what.piece.mass_g * share;
        let kind = Kind {
            label: word.clone(),
            word,
            count: 1,
            ways_up: self.recipe.lid.ways_up.clone(),
            placed: set_down(parts),
            guarded: parts,
            bare_g,
            heavy: self.is_heavy(bare_g),
            bears_load: false,
            minutes: self.recipe.lid.minutes,
        };
        self.wrapped(kind, Vec::new())
    }

    fn is_heavy(&self, bare_g: f64) -> bool {
        self.recipe.heavy.as_ref().is_some_and(|heavy| bare_g > heavy.over.grams())
    }

    /// Thickness of all layers of a course, mm.
    fn thickness(&self, course: &Course) -> Result<f64, ProtectionError> {
        let material = self.materials.find(&course.material)?;
        let layer = material.layer().ok_or_else(|| {
            material.unsuitable("a layer", "a material of kind \"sheet\", \"board\" or \"tube\"")
        })?;
        Ok(layer.mm() * f64::from(course.layers))
    }

    /// Paper in the hollows of a bundle; in a nest only the last piece has a free one.
    fn stuffing(&self, count: u32) -> Result<Option<MaterialUse>, ProtectionError> {
        let Some(name) = &self.recipe.stuff else { return Ok(None) };
        let hollow = self.what.piece.hollow_mm3;
        if hollow <= 0.0 {
            return Ok(None);
        }
        let free = match self.recipe.bundle {
            crate::BundleRule::Nest { .. } => 1,
            _ => count,
        };
        let material = self.materials.find(name)?;
        material.stuffing(Volume::from_mm3(hollow * f64::from(free))).map(Some)
    }

    /// Thickness of all guards on a part, mm.
    fn guard_mm(&self, part: &Part) -> Result<f64, ProtectionError> {
        let guards = self.recipe.guards.iter().filter(|guard| guard.parts.contains(&part.kind));
        guards.map(|guard| self.thickness(&guard.course)).sum()
    }

    /// What the guards of all pieces of a bundle use.
    fn guard_uses(&self, kind: &Kind<'_>) -> Result<Vec<MaterialUse>, ProtectionError> {
        let mut uses = Vec::new();
        for guard in &self.recipe.guards {
            let sizes: Vec<_> =
                kind.guarded.iter().filter(|part| guard.parts.contains(&part.kind)).map(guard_size).collect();
            if sizes.is_empty() {
                continue;
            }
            let times = f64::from(guard.course.layers) * f64::from(kind.count);
            let material = self.materials.find(&guard.course.material)?;
            let length = sizes.iter().map(|size| size.0).sum::<measure::Length>() * times;
            let area = sizes.iter().map(|size| size.1).sum::<measure::Area>() * times;
            uses.push(match &material.stock {
                Stock::Tube { .. } => material.tube(length)?,
                Stock::Sheet { sides_in: [a, b], .. } => {
                    material.sheets(crate::material::whole(area.square_feet() * 144.0 / (a * b)))?
                }
                _ => material.board(area)?,
            });
        }
        Ok(uses)
    }

    fn wrapped(&self, kind: Kind<'_>, mut uses: Vec<MaterialUse>) -> Result<WrappedBundle, ProtectionError> {
        uses.extend(self.guard_uses(&kind)?);
        let mut guard_mm = Vec::new();
        for part in &kind.placed {
            guard_mm.push(self.guard_mm(part)?);
        }
        if kind.count > 1 {
            // Pieces gathered into one solid stand behind the thickest guard that any of them wears.
            let thickest =
                kind.guarded.iter().map(|part| self.guard_mm(part)).collect::<Result<Vec<_>, _>>()?;
            guard_mm = vec![thickest.into_iter().fold(0.0, f64::max)];
        }
        let bare: Vec<Part> =
            kind.placed.iter().zip(&guard_mm).map(|(part, &wrap_mm)| Part { wrap_mm, ..*part }).collect();
        let envelope = Envelope::of(&bare, |part| part.wrap_mm);
        let heavy = self.recipe.heavy.as_ref().filter(|_| kind.heavy).map(|heavy| &heavy.course);
        let mut inner_mm = 0.0;
        let mut wrap = Vec::new();
        for course in self.recipe.wrap.iter().chain(heavy) {
            let material: &Material = self.materials.find(&course.material)?;
            uses.push(envelope.course(material, course.layers, inner_mm)?);
            let thickness_mm = self.thickness(course)?;
            wrap.push((material.id.clone(), Length::from_mm(thickness_mm)));
            inner_mm += thickness_mm;
        }
        let guarded = guard_mm.iter().any(|thickness| *thickness > 0.0);
        let guard = self.recipe.guards.first().filter(|_| guarded).map(|guard| guard.course.material.clone());
        let parts: Vec<Part> =
            bare.iter().map(|part| Part { wrap_mm: part.wrap_mm + inner_mm, ..*part }).collect();
        let uses = added_up(uses);
        let wall = self.recipe.wall_clearance.unwrap_or_else(|| self.profile.wall(self.recipe.cushion));
        let bundle = Bundle {
            label: kind.label,
            contents: vec![Contents { find: self.what.find.to_owned(), what: kind.word, count: kind.count }],
            mass_g: kind.bare_g + uses.iter().map(|used| used.mass_g).sum::<f64>(),
            ways_up: kind.ways_up,
            wall_clearance_mm: wall.mm(),
            separation_mm: self.profile.separation.unwrap_or(self.recipe.separation).mm(),
            bears_load: kind.bears_load,
            company: self.what.company,
            wrapped_volume_mm3: wrapped_volume_mm3(&parts),
            parts,
        };
        Ok(WrappedBundle { bundle, uses, minutes: kind.minutes, wrap, guard })
    }
}

/// One row for each material, in the order they are first used.
fn added_up(uses: Vec<MaterialUse>) -> Vec<MaterialUse> {
    let mut rows: Vec<MaterialUse> = Vec::new();
    for used in uses {
        match rows.iter_mut().find(|row| row.material == used.material && row.unit == used.unit) {
            Some(row) => {
                row.quantity += used.quantity;
                row.mass_g += used.mass_g;
                row.cost_cents += used.cost_cents;
            }
            None => rows.push(used),
        }
    }
    rows
}

fn check_piece(what: &PieceToWrap<'_>) -> Result<(), ProtectionError> {
    let wrong = |reason: &str, right| ProtectionError::Piece {
        what: what.what.to_owned(),
        reason: reason.to_owned(),
        right,
    };
    let piece = what.piece;
    if what.what.trim().is_empty() {
        return Err(ProtectionError::Piece {
            what: format!("a piece of {}", what.find),
            reason: "it has no word for what it is".to_owned(),
            right: "a plain word, for example cup",
        });
    }
    if !(1..=MOST_PIECES).contains(&what.count) {
        return Err(wrong("the count is 0 or very large", "a count from 1 to 10,000"));
    }
    if piece.parts.is_empty() || piece.apart.iter().any(Vec::is_empty) {
        return Err(wrong("it has no hard part", "at least a body"));
    }
    for part in piece.parts.iter().chain(piece.apart.iter().flatten()) {
        let sides = [0, 1, 2].map(|axis| {
            let (from, to) = part.placement.extent_mm(part.solid, axis);
            (to - from, from.abs().max(to.abs()))
        });
        let usable = |(side, far): (f64, f64)| side > 0.0 && side <= LONGEST_MM && far <= LONGEST_MM;
        if !sides.into_iter().all(usable) {
            return Err(wrong("a part has a side of nothing, or one past 5 m", "sides over 0 and up to 5 m"));
        }
    }
    if !(piece.mass_g > 0.0 && piece.mass_g <= HEAVIEST_G) {
        return Err(wrong("the weight is nothing, or past a tonne", "a weight over 0 and up to a tonne"));
    }
    if !(0.0..=LONGEST_MM.powi(3)).contains(&piece.hollow_mm3) {
        return Err(wrong("the hollow is no volume", "a hollow of 0 or more"));
    }
    if piece.pitch_mm.is_some_and(|pitch| !(pitch > 0.0 && pitch <= LONGEST_MM)) {
        return Err(wrong("the nesting pitch is nothing, or past 5 m", "a pitch over 0, or none"));
    }
    let shares = &piece.apart_mass_share;
    let usable = shares.iter().all(|share| (0.0..1.0).contains(share)) && shares.iter().sum::<f64>() < 1.0;
    if shares.len() != piece.apart.len() || !usable {
        return Err(wrong(
            "the parts packed apart have no proper shares of the weight",
            "a share for each, in all below 1",
        ));
    }
    Ok(())
}
