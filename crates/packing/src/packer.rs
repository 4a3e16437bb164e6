//! The door of the room: bundles in, the cheapest parcel out.

use plan::{Carton, Crush, Parcel};
use shape::{Bundle, WayUp};

use crate::Standing;
use crate::candidate::{Draft, Finish};
use crate::layers::Layers;
use crate::question::Question;
use crate::tally::Decision;
use crate::watch::Watch;

/// Rules every plan keeps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rules {
    /// How far wrap may be pressed.
    pub crush: Crush,
    /// Thickness of one pad between layers, mm.
    pub pad_mm: f64,
    /// Most layers in one carton.
    pub most_layers: usize,
}

/// A parcel, laid out, with what the caller said it costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Packed {
    /// The plan, in the record that is shown and checked.
    pub parcel: Parcel,
    /// The caller's cost, whole cents.
    pub cost_cents: i64,
    /// Index of the carton in the packer's list.
    pub carton: usize,
    /// A cost that no listed carton goes below for these bundles, whole cents: the parcel's own where all
    /// cheaper cartons were proved too small.
    pub bound_cents: i64,
}

/// Why no single parcel could be planned.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refused {
    /// There is nothing to pack.
    #[error("there is nothing to pack")]
    Nothing,
    /// Two goods that may not share a carton.
    #[error("{one} and {other} may not share a carton: dense hard goods break glass and china")]
    Company {
        /// The one.
        one: String,
        /// The other.
        other: String,
    },
    /// A bundle that goes into none of the cartons.
    #[error(
        "{label} needs about {inside} in inside with its cushion and no listed carton has that; list a larger carton"
    )]
    TooLarge {
        /// The bundle.
        label: String,
        /// Inside length, width and height needed, inches, as text.
        inside: String,
    },
    /// It was told to stop before there was an answer.
    #[error("it was stopped")]
    Stopped,
    /// Everything fits alone but not together, or only in parcels that cannot be sent.
    #[error("no single listed carton takes these {bundles} bundles: {reason}")]
    NoCarton {
        /// Number of bundles.
        bundles: usize,
        /// The last reason met.
        reason: String,
    },
}

/// Packs bundles into one carton out of a list, remembering every layer it has solved.
pub struct Packer {
    cartons: Vec<Carton>,
    rules: Rules,
    kinds: Vec<(Bundle, WayUp, Standing)>,
    layers: Layers,
    effort: u32,
    tending: bool,
    watch: Watch,
}

impl Packer {
    /// A packer for these cartons (inside length at least inside width) under these rules.
    #[must_use]
    pub fn new(cartons: Vec<Carton>, rules: Rules) -> Self {
        Self {
            cartons,
            rules,
            kinds: Vec::new(),
            layers: Layers::new(rules.crush, 1, Watch::default()),
            effort: 1,
            tending: true,
            watch: Watch::default(),
        }
    }

    /// The same packer, which searches `times` as long: each layer, and as many more ways up. 0 asks for
    /// the first plan only, by cheap layouts and without the search. What it had packed is forgotten.
    #[must_use]
    pub fn with_effort(self, times: u32) -> Self {
        let layers = Layers::new(self.rules.crush, times, self.watch.clone());
        Self { layers, kinds: Vec::new(), effort: times, ..self }
    }

    /// The same packer with somebody looking on; what it had packed is forgotten.
    #[must_use]
    pub fn watched(self, watch: Watch) -> Self {
        let layers = Layers::new(self.rules.crush, self.effort, watch.clone());
        Self { layers, kinds: Vec::new(), watch, ..self }
    }

    /// Whether the chosen parcel is turned and moved as hands like it, which costs no money but time: left out
    /// where parcels are only compared.
    pub fn tend(&mut self, tending: bool) {
        self.tending = tending;
    }

    /// The cartons it chooses from.
    #[must_use]
    pub fn cartons(&self) -> &[Carton] {
        &self.cartons
    }

    /// The cheapest parcel that takes all of `bundles`.
    ///
    /// `finish` prices a draft or says why it cannot be sent; `prove` has the last word on a plan.
    ///
    /// # Errors
    /// [`Refused`] with the reason when no carton takes them, or when it was told to stop.
    pub fn pack(
        &mut self,
        bundles: &[&Bundle],
        finish: &(dyn Fn(&Draft) -> Result<Finish, String> + Sync),
        prove: &(dyn Fn(&Parcel) -> bool + Sync),
    ) -> Result<Packed, Refused> {
        let (tending, watch) = (self.tending, self.watch.clone());
        if watch.is_stopped() {
            return Err(Refused::Stopped);
        }
        watch.tick();
        let packed = self.question(bundles)?.pack(finish, prove, tending);
        // What was found in a hurry is no answer.
        if watch.is_stopped() { Err(Refused::Stopped) } else { packed }
    }

    /// Which of the cartons take all of `bundles`, whatever that costs: one decision for each carton, in
    /// the packer's order.
    ///
    /// # Errors
    /// [`Refused`] when there is nothing to pack, or goods that may not share a carton.
    pub fn decide(&mut self, bundles: &[&Bundle]) -> Result<Vec<Decision>, Refused> {
        Ok(self.question(bundles)?.decide())
    }

    fn question<'a>(&'a mut self, bundles: &'a [&'a Bundle]) -> Result<Question<'a>, Refused> {
        if bundles.is_empty() {
            return Err(Refused::Nothing);
        }
        for (i, a) in bundles.iter().enumerate() {
            if let Some(b) = bundles[..i].iter().find(|b| !a.company.may_join(b.company)) {
                return Err(Refused::Company { one: b.label.clone(), other: a.label.clone() });
            }
        }
        let ways = self.learn(bundles);
        Ok(Question::new(
            &self.cartons,
            self.rules,
            &self.kinds,
            &mut self.layers,
            self.effort,
            bundles,
            ways,
        ))
    }

    /// Gives every bundle in every way up its number; equal ones share it, and a way up that looks like
    /// a preferred one from every side is left out.
    fn learn(&mut self, bundles: &[&Bundle]) -> Vec<Vec<u32>> {
        let mut learnt: Vec<Vec<u32>> = Vec::with_capacity(bundles.len());
        for (k, bundle) in bundles.iter().enumerate() {
            // Equal bundles mostly come side by side.
            if let Some((before, known)) =
                k.checked_sub(1).and_then(|b| Some((bundles.get(b)?, learnt.get(b)?)))
                && alike(before, bundle)
            {
                learnt.push(known.clone());
                continue;
            }
            let mut numbers: Vec<u32> = Vec::new();
            for &way in &bundle.ways_up {
                let number = self.number(bundle, way);
                let alike = |&known: &u32| {
                    let (a, b) = (&self.kinds[known as usize].2, &self.kinds[number as usize].2);
                    a.looks_alike(b)
                };
                if !numbers.iter().any(alike) {
                    numbers.push(number);
                }
            }
            learnt.push(numbers);
        }
        learnt
    }

    fn number(&mut self, bundle: &Bundle, way: WayUp) -> u32 {
        let same = self.kinds.iter().position(|(known, up, _)| {
            *up == way
                && known.parts == bundle.parts
                && known.wall_clearance_mm == bundle.wall_clearance_mm
                && known.separation_mm == bundle.separation_mm
        });
        let number = same.unwrap_or_else(|| {
            self.kinds.push((bundle.clone(), way, Standing::new(bundle, way, self.rules.crush)));
            self.kinds.len() - 1
        });
        number as u32
    }
}

/// Whether two bundles take the same room in the same ways up.
fn alike(a: &Bundle, b: &Bundle) -> bool {
    std::ptr::eq(a, b)
        || (a.ways_up == b.ways_up
            && a.parts == b.parts
            && a.wall_clearance_mm == b.wall_clearance_mm
            && a.separation_mm == b.separation_mm)
}
