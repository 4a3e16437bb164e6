//! Sets with pieces of other finds, as they are told on the command line.

use books::FindId;
use clap::Args;
use keeping::{SetPart, SetTold};

use crate::problems::Stop;

/// What a set of pieces of several finds holds.
#[derive(Debug, Args, Default, Clone)]
pub struct SetArgs {
    /// Sets with pieces of other finds: what a set holds of one ("1 of 2"); may be given many times. The comps of the
    /// find of --of then count sets
    #[arg(long, value_name = "PIECES of FIND", requires = "of")]
    pub with: Vec<String>,
    /// Pieces of the find of --of in a set; 1 when left out
    #[arg(long, value_name = "PIECES", requires = "with", value_parser = clap::value_parser!(u32).range(1..=100))]
    pub each: Option<u32>,
    /// What a piece is worth by itself, as a share of a set ("2: 55 %"); may be given many times; 40 % when left out
    #[arg(long, value_name = "FIND: SHARE", requires = "with")]
    pub alone: Vec<String>,
}

impl SetArgs {
    /// The set that was told, led by this find; `None` where only one find is asked about.
    ///
    /// # Errors
    /// The option that can't be read, and what would be right.
    pub fn told(&self, lead: FindId) -> Result<Option<SetTold>, Stop> {
        if self.with.is_empty() {
            return Ok(None);
        }
        let mut parts = vec![SetPart { find: lead, each: self.each.unwrap_or(1) }];
        let others = keeping::set_parts_told(&self.with.join("\n"), lead);
        parts.extend(others.map_err(|why| Stop::Input(format!("--with: {why}")))?);
        let alone = keeping::alone_told(&self.alone.join("\n"), &parts);
        let alone = alone.map_err(|why| Stop::Input(format!("--alone: {why}")))?;
        Ok(Some(SetTold { parts, alone }))
    }
}
