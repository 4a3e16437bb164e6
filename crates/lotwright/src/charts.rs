//! Charts of prices and of splits, from what the rooms worked out.

use std::path::Path;

use trade::{Job, Worth};

use crate::problems::Stop;

pub use keeping::{price_chart, split_bars};

/// Writes a chart of prices and one of splits for every find into a folder.
pub fn write(folder: &Path, job: &Job, worths: &[Worth]) -> Result<(), Stop> {
    let failed = |e: std::io::Error| Stop::Outside(format!("--svg {}: {e}", folder.display()));
    std::fs::create_dir_all(folder).map_err(failed)?;
    for worth in worths {
        let name = &job.finds[worth.find].name;
        let stem: String =
            name.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
        if let Ok(appraisal) = &worth.appraisal {
            let chart = price_chart(&format!("What {name} are worth"), worth, appraisal);
            std::fs::write(folder.join(format!("{stem}-prices.svg")), draw::price_chart_svg(&chart))
                .map_err(failed)?;
        }
        if let Some(bars) = split_bars(job, worth) {
            std::fs::write(folder.join(format!("{stem}-splits.svg")), draw::split_bars_svg(&bars))
                .map_err(failed)?;
        }
    }
    Ok(())
}
