//! Writes the drawing of a made-up parcel to standard output.
//!
//! `cargo run -p draw --example drawing -- cups inches > cups.svg`; the parcels are `cups`, `mugs`,
//! `long` and `small`, the units `inches` and `metric`.

#[path = "../tests/made_up/mod.rs"]
mod made_up;

use measure::Units;

fn main() -> Result<(), String> {
    let mut words = std::env::args().skip(1);
    let wanted = words.next().unwrap_or_else(|| "cups".to_owned());
    let found = made_up::all().into_iter().find(|(name, _)| *name == wanted);
    let (_, parcel) =
        found.ok_or_else(|| format!("no parcel is called {wanted:?}; try cups, mugs, long or small"))?;
    let units = match words.next().as_deref() {
        Some("inches") | None => Units::UsCustomary,
        Some("metric") => Units::Metric,
        Some(other) => return Err(format!("no units are called {other:?}; try inches or metric")),
    };
    print!("{}", draw::parcel_svg(&parcel, "Two lots of the guest house cups", units));
    Ok(())
}
