//! A box in a box: inner and outer carton chosen together by what they cost.

use measure::{Length, Money};
use packing::{Draft, Finish};
use plan::{Carton, Layer, Parcel, PlacedBundle, PlacedPart, Rest, WallClearance};
use shape::{Bundle, Company, Part, PartKind, Placement, Solid, WayUp};

use crate::cartons::CartonChoice;
use crate::guarding::Ask;
use crate::job::DoubleBox;
use crate::order::{Destination, Shipped, expected};
use crate::planner::{Planner, facts, price};
use crate::single::{Made, Way};
use crate::{Job, TradeError};

/// Share of the single box's wall clearance that is kept inside the inner box (judgement: guidelines ask for 1 in
/// of wrap round a piece that stands snug in its inner box, half of what a single box asks for).
const INSIDE: f64 = 0.5;

/// An outer carton for an inner one.
struct Outer {
    carton: usize,
    finish: Finish,
    /// Expected postage, materials and work of the outer box, cents.
    cost_cents: i64,
}

impl Planner<'_> {
    /// Whether a parcel that one box makes should be tried in two.
    pub(crate) fn wants_two(&self, shipped: &Shipped, value: f64) -> bool {
        match self.job.protecting.double_box {
            DoubleBox::Never => false,
            DoubleBox::Always => true,
            DoubleBox::WhenAdvised => {
                let weakest = shipped.guard.as_ref().ok().and_then(|guard| {
                    let bears = guard.walls.iter().map(|wall| wall.bears_g * guard.safety);
                    bears.reduce(f64::min)
                });
                let worth = Money::from_cents_rounded(value);
                let rules = &self.library.cushion_rules;
                shipped.margin() < 0.0
                    || !protection::double_box_reasons(weakest, Some(worth), false, rules).is_empty()
            }
        }
    }

    /// One parcel of these counts in two boxes, both of them from the shelf.
    pub(crate) fn two_boxes(&mut self, counts: &[u32]) -> Result<Shipped, TradeError> {
        let gap = self.library.cushion_rules.double_box_for(&self.profile).gap();
        let (mut ready, drop) = self.ready(counts, &Way::by(Ask::Rule))?;
        let value = self.value(counts);
        for one in &mut ready {
            one.known.asked.used = one.known.asked.rule * INSIDE;
            one.wrapped.bundle.wall_clearance_mm = one.known.asked.used.mm();
        }
        self.packer.tend(!self.comparing);
        let contents = self.expected_contents(counts);
        let bundles: Vec<&Bundle> = ready.iter().map(|one| &one.wrapped.bundle).collect();
        let wrap_minutes: f64 = ready.iter().map(|one| one.wrapped.minutes).sum();
        let wrap_cents: i64 =
            ready.iter().flat_map(|one| &one.wrapped.uses).map(|used| used.cost_cents).sum();
        let (job, choices, destinations) = (self.job, &self.choices, &self.destinations);
        let finish = |draft: &Draft| -> Result<Finish, String> {
            let mut finish = choices[draft.carton].finish(draft)?;
            finish.minutes.wrapping = wrap_minutes;
            let outer = cheapest_outer(
                job,
                choices,
                destinations,
                &choices[draft.carton].carton,
                finish.gross_g,
                gap,
            )?;
            let materials: i64 = finish.materials.iter().map(|used| used.cost_cents).sum();
            let minutes = finish.minutes.total() * job.learnt.minutes();
            let labour = job.wage.cents() as f64 * minutes / 60.0;
            finish.cost_cents = outer.cost_cents + materials + wrap_cents + labour.round() as i64;
            Ok(finish)
        };
        let prove = |parcel: &Parcel| proof::check(parcel, &contents).is_empty();
        let packed = self
            .packer
            .pack(&bundles, &finish, &prove)
            .map_err(|refused| TradeError::NotPacked(refused.to_string()))?;
        let (cost_cents, bound_cents) = (packed.cost_cents, packed.bound_cents);
        self.lost(cost_cents)?;
        let inner = packed.parcel;
        let outer = cheapest_outer(job, &self.choices, &self.destinations, &inner.carton, inner.gross_g, gap)
            .map_err(TradeError::NotPacked)?;
        let parcel = around(inner, &self.choices[outer.carton].carton, outer.finish, gap);
        if let Some(broken) = proof::check(&parcel, &contents).first() {
            return Err(TradeError::NotPacked(format!("a box in a box did not pass the checker: {broken}")));
        }
        let shipped = self.shipped(parcel, [cost_cents, bound_cents], &ready, drop, value, Made::TwoBoxes)?;
        // A box in a box is chosen for its drop; one whose drop can't be reckoned is not.
        match &shipped.guard {
            Ok(_) => Ok(shipped),
            Err(why) => Err(TradeError::NotPacked(why.clone())),
        }
    }
}

/// The outer carton that costs least round an inner one of this outside and gross mass, with the gap all round.
fn cheapest_outer(
    job: &Job,
    choices: &[CartonChoice],
    destinations: &[Destination],
    inner: &Carton,
    gross_g: f64,
    gap: Length,
) -> Result<Outer, String> {
    let needed = inner.outside_mm.map(|side| side + 2.0 * gap.mm());
    let volume = |sides: [f64; 3]| sides.iter().product::<f64>();
    let mut best: Option<Outer> = None;
    let mut reason = String::from("no listed carton goes round the inner one with the gap that is asked for");
    for (carton, choice) in choices.iter().enumerate() {
        let inside = choice.carton.inside_mm;
        if inside.iter().zip(needed).any(|(has, needs)| *has < needs) {
            continue;
        }
        let draft = Draft {
            carton,
            bundles_g: gross_g,
            void_mm3: volume(inside) - volume(inner.outside_mm),
            bed_mm: gap.mm(),
            pads: 0,
            pads_mm: 0.0,
        };
        let priced = choice.finish(&draft).and_then(|finish| {
            let quotes = price(job, destinations, &facts(job, &choice.carton, finish.gross_g))?;
            let postage = expected(quotes.iter().map(|quote| quote.total), destinations);
            let materials: i64 = finish.materials.iter().map(|used| used.cost_cents).sum();
            let labour = job.wage.cents() as f64 * finish.minutes.total() / 60.0;
            Ok(Outer { carton, cost_cents: postage.cents() + materials + labour.round() as i64, finish })
        });
        match priced {
            Ok(outer) if best.as_ref().is_none_or(|best| outer.cost_cents < best.cost_cents) => {
                best = Some(outer)
            }
            Ok(_) => {}
            Err(why) => reason = why,
        }
    }
    best.ok_or(reason)
}

/// The inner carton in the middle of the outer one, on a bed as deep as the gap.
fn around(inner: Parcel, carton: &Carton, finish: Finish, gap: Length) -> Parcel {
    let [x_mm, y_mm, z_mm] = inner.carton.outside_mm;
    let inside = carton.inside_mm;
    let at = [0.5 * inside[0], 0.5 * inside[1], gap.mm()];
    let placement = Placement::at(at[0], at[1], at[2]);
    let part = Part {
        kind: PartKind::Body,
        solid: Solid::Block { x_mm, y_mm, z_mm },
        placement: Placement::at(0.0, 0.0, 0.5 * z_mm),
        wrap_mm: 0.0,
    };
    let sides = [0.5 * (inside[0] - x_mm), 0.5 * (inside[1] - y_mm)];
    let company = inner.bundles.iter().map(|bundle| bundle.company).find(|one| *one != Company::Neutral);
    let bundle = PlacedBundle {
        number: 1,
        label: format!("inner carton {}", inner.carton.name),
        contents: inner.contents(),
        layer: 1,
        way_up: WayUp::Upright,
        yaw_deg: 0.0,
        placement,
        mass_g: inner.gross_g,
        rests: Rest::Bed,
        walls: WallClearance {
            required_mm: gap.mm(),
            sides_mm: sides[0].min(sides[1]),
            floor_mm: gap.mm(),
            top_mm: inside[2] - gap.mm() - z_mm,
        },
        separation_mm: 0.0,
        bears_load: false,
        company: company.unwrap_or(Company::Neutral),
        parts: vec![PlacedPart::new(&part, placement)],
    };
    let mut materials = finish.materials;
    for used in &inner.materials {
        crate::single::add_use(&mut materials, used);
    }
    let mut minutes = finish.minutes;
    minutes.wrapping += inner.minutes.wrapping;
    minutes.boxing += inner.minutes.boxing;
    Parcel {
        carton: carton.clone(),
        crush: inner.crush,
        layers: vec![Layer { number: 1, bottom_mm: gap.mm(), top_mm: gap.mm() + z_mm, bundles: vec![1] }],
        pads: Vec::new(),
        bundles: vec![bundle],
        clearances: Vec::new(),
        fill: finish.fill,
        materials,
        minutes,
        gross_g: finish.gross_g,
        inner: Some(Box::new(inner)),
    }
}
