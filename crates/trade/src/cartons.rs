//! The cartons of a job in every height they may be used at, and what closing one of them takes.

use measure::{Length, Volume};
use packing::{Draft, Finish};
use plan::{Carton, Fill, MaterialUse, Minutes};
use protection::{LoadClass, Material, Profile};

use crate::{Destination, Job, Library, TradeError};

/// A carton at one height, with what it uses whatever is in it.
pub(crate) struct CartonChoice {
    pub carton: Carton,
    /// Carton, tape and label.
    fixed: Vec<MaterialUse>,
    /// One pad of its inside length and width.
    pad: MaterialUse,
    /// Thickness of one sheet of it, mm.
    pad_mm: f64,
    minutes: f64,
    fill: Material,
    overfill: f64,
}

/// Every carton at every height, in the sheet's order; those of which there are none are left out.
pub(crate) fn choices(job: &Job, library: &Library) -> Result<Vec<CartonChoice>, TradeError> {
    let mut found = Vec::new();
    let profile = profile(job, library)?;
    for stock in job.cartons.iter().filter(|stock| stock.on_hand != Some(0)) {
        let refused = |e: protection::ProtectionError| TradeError::Carton {
            carton: stock.name.clone(),
            reason: e.to_string(),
        };
        let grade = library.grades.find(&stock.grade).map_err(refused)?;
        let fill = library.materials.find(&job.protecting.fill).map_err(refused)?;
        for cut_to in std::iter::once(None).chain(stock.cut_heights.iter().copied().map(Some)) {
            // Breakables and dense goods are both difficult loads to the postal service.
            let carton = protection::carton(
                &stock.name,
                stock.inside,
                cut_to,
                grade,
                &library.grades,
                LoadClass::Difficult,
            )
            .map_err(refused)?;
            let carton = if stock.reused { reused(carton, library) } else { carton };
            let [length, width, _] = carton.outside_mm.map(Length::from_mm);
            let tape =
                library.materials.tape().tape(protection::tape_h_seal(length, width)).map_err(refused)?;
            let label = library.materials.label().labels(1).map_err(refused)?;
            found.push(CartonChoice {
                fixed: vec![protection::carton_use(&carton, grade, &library.grades, stock.cost), tape, label],
                pad: protection::pad_use(&carton, library.materials.pad()).map_err(refused)?,
                pad_mm: library.materials.pad_thickness().mm(),
                minutes: protection::boxing_minutes(library.grades.rules(), cut_to.is_some()),
                fill: fill.clone(),
                overfill: profile.overfill,
                carton,
            });
        }
    }
    if found.is_empty() {
        return Err(TradeError::Carton {
            carton: String::from("all"),
            reason: String::from("none is on hand; set on_hand to 1 or more for at least one"),
        });
    }
    Ok(found)
}

/// The same carton, used before: it keeps a share of what it may weigh.
fn reused(carton: Carton, library: &Library) -> Carton {
    Carton {
        max_gross_g: carton.max_gross_g * library.board_rules.reused.value,
        board: format!("{}, used before", carton.board),
        ..carton
    }
}

impl CartonChoice {
    /// What a draft in this carton uses and weighs, or why it may not be sent in it; the cost is left
    /// at nothing, for the caller to fill in.
    pub(crate) fn finish(&self, draft: &Draft) -> Result<Finish, String> {
        let volume = Volume::from_mm3(draft.void_mm3 * (1.0 + self.overfill));
        let poured = self.fill.poured(volume).map_err(|e| e.to_string())?;
        let mut materials = self.fixed.clone();
        let fill = Fill {
            material: poured.material.clone(),
            volume_mm3: volume.mm3(),
            mass_g: poured.mass_g,
            bed_mm: draft.bed_mm,
        };
        materials.push(poured);
        if draft.pads > 0 {
            // Where more distance is asked for, several sheets make one pad.
            let sheets = (draft.pads_mm / self.pad_mm).round().max(1.0);
            materials.push(MaterialUse {
                quantity: self.pad.quantity * sheets,
                mass_g: self.pad.mass_g * sheets,
                cost_cents: (self.pad.cost_cents as f64 * sheets).ceil() as i64,
                ..self.pad.clone()
            });
        }
        let gross_g = draft.bundles_g + materials.iter().map(|used| used.mass_g).sum::<f64>();
        if gross_g > self.carton.max_gross_g {
            let pounds = |grams: f64| grams / measure::Mass::from_pounds(1.0).grams();
            return Err(format!(
                "{} packed weighs {:.1} lb, over the {:.1} lb that {} allows; use a stronger board or fewer pieces",
                self.carton.name,
                pounds(gross_g),
                pounds(self.carton.max_gross_g),
                self.carton.board
            ));
        }
        Ok(Finish {
            cost_cents: 0,
            gross_g,
            fill,
            materials,
            minutes: Minutes { wrapping: 0.0, boxing: self.minutes },
        })
    }
}

/// The profile of a job, its clearance replaced by the person's where there is one.
pub(crate) fn profile(job: &Job, library: &Library) -> Result<Profile, TradeError> {
    let refused = |e: protection::ProtectionError| TradeError::Protection {
        find: String::from("every find"),
        reason: e.to_string(),
    };
    let profile = library.profiles.find(&job.protecting.profile).map_err(refused)?;
    match job.protecting.clearance {
        Some(clearance) => profile.with_clearance(clearance).map_err(refused),
        None => Ok(profile.clone()),
    }
}

/// The job's buyers with their zones.
pub(crate) fn destinations(job: &Job) -> Result<Vec<Destination>, TradeError> {
    job.post
        .buyers
        .iter()
        .map(|buyer| {
            let zone = job
                .post
                .zones
                .zone(&job.post.origin, &buyer.zip)
                .map_err(|e| TradeError::Zone(e.to_string()))?;
            Ok(Destination { zip: buyer.zip.clone(), share: buyer.share, zone })
        })
        .collect()
}
