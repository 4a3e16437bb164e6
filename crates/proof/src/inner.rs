//! A box in a box: the inner carton is what the outer one holds.

use plan::Parcel;
use shape::{Contents, Solid};

use crate::violation::Violation;

/// What the block may miss the carton's outside by, mm.
const SIZE_SLACK_MM: f64 = 0.01;
/// What the masses may differ by, g.
const MASS_SLACK_G: f64 = 0.5;

/// The outer carton's only bundle is the inner carton: its size, its mass, its contents.
pub(crate) fn check(outer: &Parcel, inner: &Parcel, broken: &mut Vec<Violation>) {
    if inner.inner.is_some() {
        broken.push(Violation::InnerTooDeep);
    }
    let [bundle] = outer.bundles.as_slice() else {
        broken.push(Violation::InnerNotAlone { found: format!("{} bundles", outer.bundles.len()) });
        return;
    };
    let [part] = bundle.parts.as_slice() else {
        broken.push(Violation::InnerNotAlone { found: format!("a bundle of {} parts", bundle.parts.len()) });
        return;
    };
    match part.bare {
        Solid::Block { x_mm, y_mm, z_mm } => {
            let placed_mm = [x_mm, y_mm, z_mm];
            let stated_mm = inner.carton.outside_mm;
            // Written so that a size that is no number is refused too.
            let same = placed_mm.iter().zip(stated_mm).all(|(a, b)| (a - b).abs() <= SIZE_SLACK_MM);
            if !same {
                broken.push(Violation::InnerSize { stated_mm, placed_mm });
            }
        }
        Solid::Cylinder { .. } | Solid::Frustum { .. } => {
            broken.push(Violation::InnerNotAlone { found: String::from("a round bundle") });
        }
    }
    let masses_agree = (bundle.mass_g - inner.gross_g).abs() <= MASS_SLACK_G;
    if !masses_agree {
        broken.push(Violation::InnerMass { inner_g: inner.gross_g, placed_g: bundle.mass_g });
    }
    let mut said: Vec<&Contents> = bundle.contents.iter().collect();
    said.sort();
    let held = inner.contents();
    let mut held: Vec<&Contents> = held.iter().collect();
    held.sort();
    if said != held {
        broken.push(Violation::InnerContents);
    }
}
