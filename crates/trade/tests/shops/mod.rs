//! Random shops: pieces of published forms with measures of their own, wrapped by their recipes, cartons
//! on the shelf and orders to be packed. A seed makes the same shop everywhere.
#![allow(dead_code, missing_docs, reason = "each user takes its own part")]

use std::collections::BTreeMap;

use forms::{Catalogue, Field, Form, Measures, Value};
use measure::{Length, Mass};
use packing::{Draft, Finish, Packed, Packer, Refused, Rules};
use plan::{Carton, Fill, Minutes, Parcel};
use protection::{
    Grades, LoadClass, Materials, PieceToWrap, Profile, Profiles, Recipes, StockCartons, protect,
};
use shape::{Bundle, Contents, Piece};

/// Loose fill, g per mm3 (common practice: 0.2 lb/ft3 and a little).
const FILL_G_MM3: f64 = 5e-6;
/// Mass of tape and label, as a share of what is known to be in the parcel.
const CLOSING: f64 = 0.02;
/// Most layers in one carton, as in an order for real.
const MOST_LAYERS: usize = 6;
/// One shop in so many has orders of many pieces.
const LARGE_EVERY: u64 = 25;
/// Most forms are drawn again when they are longer than this: what fits no carton makes no plan.
const HANDY: Length = Length::from_mm(260.0);

/// The published tables, read once.
pub struct Tables {
    forms: Vec<Form>,
    recipes: Recipes,
    materials: Materials,
    profiles: Vec<Profile>,
    grades: Grades,
    stock: StockCartons,
}

impl Tables {
    pub fn published() -> Self {
        Self {
            forms: Catalogue::published().forms().cloned().collect(),
            recipes: Recipes::published(),
            materials: Materials::published(),
            profiles: Profiles::published().iter().cloned().collect(),
            grades: Grades::published(),
            stock: StockCartons::published(),
        }
    }
}

/// SplitMix64 (Steele, Lea and Flood 2014).
pub struct Draws(pub u64);

impl Draws {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A whole number below `end`.
    pub fn below(&mut self, end: u64) -> u64 {
        self.next() % end.max(1)
    }

    /// A number from `low` to `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    fn one_of<'a, T>(&mut self, list: &'a [T]) -> Option<&'a T> {
        let at = self.below(list.len() as u64) as usize;
        list.get(at)
    }
}

/// Like pieces on the shop's table.
struct Kind {
    find: String,
    what: &'static str,
    form: Form,
    piece: Piece,
}

pub struct Shop {
    pub seed: u64,
    kinds: Vec<Kind>,
    profile: Profile,
    pad_mm: f64,
    pub cartons: Vec<Carton>,
    /// Pieces of each kind.
    pub orders: Vec<Vec<u32>>,
}

impl Shop {
    pub fn of(seed: u64, tables: &Tables) -> Self {
        let mut draws = Draws(seed.wrapping_mul(0xD6E8_FEB8_6659_FD93));
        let kinds: Vec<Kind> =
            (0..1 + draws.below(3)).filter_map(|number| kind(number, &mut draws, tables)).collect();
        let profile = profile(&mut draws, tables);
        let cartons =
            (0..2 + draws.below(5)).flat_map(|number| cartons(number, &mut draws, tables)).collect();
        let orders = orders(kinds.len(), seed.is_multiple_of(LARGE_EVERY), &mut draws);
        let pad_mm = tables.materials.pad_thickness().mm();
        Self { seed, kinds, profile, pad_mm, cartons, orders }
    }

    /// A packer that has packed nothing yet.
    pub fn packer(&self) -> Packer {
        let rules = Rules { crush: self.profile.crush, pad_mm: self.pad_mm, most_layers: MOST_LAYERS };
        Packer::new(self.cartons.clone(), rules)
    }

    /// The order's pieces, wrapped; `None` when a piece can't be.
    pub fn bundles(&self, order: &[u32], tables: &Tables) -> Option<Vec<Bundle>> {
        let mut bundles = Vec::new();
        for (kind, &count) in self.kinds.iter().zip(order).filter(|(_, count)| **count > 0) {
            let what = PieceToWrap {
                find: &kind.find,
                what: kind.what,
                piece: &kind.piece,
                company: kind.form.company,
                count,
            };
            let recipe = tables.recipes.find(&kind.form.recipe).ok()?;
            let wrapped = protect(&what, recipe, &tables.materials, &self.profile).ok()?;
            bundles.extend(wrapped.into_iter().map(|wrapped| wrapped.bundle));
        }
        Some(bundles)
    }

    /// What a parcel of the order must hold, worked out apart from the wrapping.
    pub fn contents(&self, order: &[u32]) -> Vec<Contents> {
        let mut rows = Vec::new();
        for (kind, &count) in self.kinds.iter().zip(order).filter(|(_, count)| **count > 0) {
            rows.push(Contents { find: kind.find.clone(), what: kind.what.to_owned(), count });
            let lids = kind.piece.apart.len() as u32 * count;
            if lids > 0 {
                let what = format!("lid of {}", kind.what);
                rows.push(Contents { find: kind.find.clone(), what, count: lids });
            }
        }
        rows
    }

    /// Packs bundles as an order would be, the cheapest parcel by volume and mass.
    pub fn pack(
        &self,
        packer: &mut Packer,
        bundles: &[Bundle],
        prove: &(dyn Fn(&Parcel) -> bool + Sync),
    ) -> Result<Packed, Refused> {
        let bundles: Vec<&Bundle> = bundles.iter().collect();
        let finish = |draft: &Draft| match self.cartons.get(draft.carton) {
            Some(carton) => finish(carton, draft),
            None => Err(String::from("there is no such carton")),
        };
        packer.pack(&bundles, &finish, prove)
    }
}

fn kind(number: u64, draws: &mut Draws, tables: &Tables) -> Option<Kind> {
    let mut form = draws.one_of(&tables.forms)?;
    while !handy(form) && draws.below(8) > 0 {
        form = draws.one_of(&tables.forms)?;
    }
    let form = form.clone();
    let measures = measures(&form, draws);
    // Measures that don't go together fall back on the form's own.
    let built = form.piece(&measures).or_else(|_| form.piece(&Measures::default())).ok()?;
    let what = ["cup", "saucer", "bowl"].get(number as usize).copied().unwrap_or("piece");
    Some(Kind { find: format!("find {number}"), what, form, piece: built.piece })
}

fn handy(form: &Form) -> bool {
    [Field::Diameter, Field::Length, Field::Width, Field::Height].into_iter().all(|field| {
        !matches!(form.fact(field).map(|fact| fact.value), Some(Value::Length(length)) if length > HANDY)
    })
}

/// The form's figures, all a little larger or smaller and each by a little more; some left out.
fn measures(form: &Form, draws: &mut Draws) -> Measures {
    let whole = draws.between(0.8, 1.25);
    let mut known: BTreeMap<Field, f64> = BTreeMap::new();
    for &field in Field::ALL {
        let factor = whole * draws.between(0.9, 1.1);
        let taken = draws.below(4) > 0;
        if !taken || !form.takes(field) {
            continue;
        }
        match form.fact(field).map(|fact| fact.value) {
            Some(Value::Length(length)) => drop(known.insert(field, length.mm() * factor)),
            Some(Value::Mass(mass)) => drop(known.insert(field, mass.grams() * factor.powi(3))),
            Some(Value::Count(_) | Value::Degrees(_) | Value::Volume(_)) | None => {}
        }
    }
    let length = |field| known.get(&field).copied().map(Length::from_mm);
    Measures {
        diameter: length(Field::Diameter),
        length: length(Field::Length),
        width: length(Field::Width),
        height: length(Field::Height),
        handle_reach: length(Field::HandleReach),
        handle_width: length(Field::HandleWidth),
        handle_height: length(Field::HandleHeight),
        spout_reach: length(Field::SpoutReach),
        spout_width: length(Field::SpoutWidth),
        stem_diameter: length(Field::StemDiameter),
        foot_diameter: length(Field::FootDiameter),
        pitch: length(Field::Pitch),
        weight: known.get(&Field::Weight).copied().map(Mass::from_grams),
        ..Measures::default()
    }
}

fn profile(draws: &mut Draws, tables: &Tables) -> Profile {
    let profile = draws.one_of(&tables.profiles).cloned().expect("profiles are published");
    let clearance = Length::from_mm(draws.between(0.0, 40.0));
    if draws.below(2) == 0 { profile.with_clearance(clearance).unwrap_or(profile) } else { profile }
}

/// A stock carton or one of a size of its own, whole and perhaps cut down.
fn cartons(number: u64, draws: &mut Draws, tables: &Tables) -> Vec<Carton> {
    let stock: Vec<[Length; 3]> = tables.stock.iter().map(|carton| carton.inside).collect();
    let mut own = [0; 3].map(|_: u8| Length::from_mm(draws.between(150.0, 500.0)));
    if draws.below(2) == 0 {
        own[1] = own[0];
    }
    let inside = if draws.below(3) == 0 { own } else { draws.one_of(&stock).copied().unwrap_or(own) };
    let cut = (draws.below(3) == 0).then(|| inside[2] * draws.between(0.5, 0.95));
    let name = format!("carton {number}");
    std::iter::once(None)
        .chain(cut.map(Some))
        .filter_map(|cut_to| {
            let grade = tables.grades.usual();
            protection::carton(&name, inside, cut_to, grade, &tables.grades, LoadClass::Difficult).ok()
        })
        .collect()
}

/// Orders of one to a few pieces, alone and mixed; where asked for, of many.
fn orders(kinds: usize, large: bool, draws: &mut Draws) -> Vec<Vec<u32>> {
    let mut orders: Vec<Vec<u32>> = Vec::new();
    let mut add = |order: Vec<u32>| {
        if order.iter().any(|&count| count > 0) && !orders.contains(&order) {
            orders.push(order);
        }
    };
    for kind in 0..kinds {
        for count in 1..=3 {
            add((0..kinds).map(|other| if other == kind { count } else { 0 }).collect());
        }
    }
    for _ in 0..4 {
        add((0..kinds).map(|_| draws.below(3) as u32).collect());
    }
    if large {
        add((0..kinds).map(|_| draws.below(13) as u32).collect());
        add((0..kinds).map(|_| 4 + draws.below(9) as u32).collect());
    }
    orders
}

/// Fill, mass and a cost that rises with volume and mass.
fn finish(carton: &Carton, draft: &Draft) -> Result<Finish, String> {
    let fill_g = draft.void_mm3 * FILL_G_MM3;
    let gross_g = (draft.bundles_g + carton.tare_g + fill_g) * (1.0 + CLOSING);
    if gross_g > carton.max_gross_g {
        return Err(format!("{gross_g:.0} g is over what {} allows", carton.board));
    }
    let outside: f64 = carton.outside_mm.iter().product();
    Ok(Finish {
        // A cent for a cubic inch, a cent for an ounce, a few for a pad.
        cost_cents: (outside / 16_387.0 + gross_g / 28.35).ceil() as i64 + 5 * i64::from(draft.pads),
        gross_g,
        fill: Fill {
            material: String::from("loose fill"),
            volume_mm3: draft.void_mm3,
            mass_g: fill_g,
            bed_mm: draft.bed_mm,
        },
        materials: Vec::new(),
        minutes: Minutes { wrapping: 0.0, boxing: 3.0 },
    })
}
