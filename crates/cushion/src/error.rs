//! What this room refuses.

use crate::Outside;

/// Everything this room refuses, each with where it was and what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CushionError {
    /// The text isn't TOML.
    #[error("the {file} file can't be read: {reason}; right would be, for example, {example}")]
    NotToml {
        /// What kind of file it is ("cushions").
        file: &'static str,
        /// What the parser says, with the line.
        reason: String,
        /// A right heading.
        example: &'static str,
    },
    /// A row lacks a key, has one that nothing reads, or holds the wrong kind of value.
    #[error("{place}: {reason}")]
    Row {
        /// The row.
        place: String,
        /// What the reader says, with what it expected.
        reason: String,
    },
    /// A key holds something that can't be used.
    #[error("{place}: {key} can't be {found}; right would be {right}")]
    Wrong {
        /// The row or table.
        place: String,
        /// The key.
        key: String,
        /// What was found.
        found: String,
        /// What would be right.
        right: String,
    },
    /// Two figures of a row can't both be so.
    #[error("{place}: {what}; right would be {right}")]
    Contradiction {
        /// The row.
        place: String,
        /// Which figures disagree.
        what: String,
        /// What would be right.
        right: String,
    },
    /// No cushion, schedule, profile or class has this name.
    #[error("no {kind} is called \"{name}\"; {}", did_you_mean(nearest))]
    UnknownName {
        /// What was looked for ("cushion").
        kind: &'static str,
        /// The name as written.
        name: String,
        /// What may have been meant.
        nearest: Vec<String>,
    },
    /// A figure given by the caller can't be reckoned with.
    #[error("{what} can't be {found} {unit}; right would be {least} to {most} {unit}")]
    Input {
        /// Which figure ("drop height").
        what: &'static str,
        /// What was given.
        found: f64,
        /// Its unit in words.
        unit: &'static str,
        /// The least that is taken.
        least: f64,
        /// The most that is taken.
        most: f64,
    },
    /// A parcel is heavier than the schedule knows.
    #[error(
        "{schedule} ends at {heaviest_lb} lb and can't be used for {found_lb:.1} lb; right would be lighter parcels"
    )]
    OverSchedule {
        /// The schedule's name.
        schedule: String,
        /// Where it ends, lb.
        heaviest_lb: f64,
        /// The gross weight, lb.
        found_lb: f64,
    },
    /// Two loads that no stress-energy law goes through.
    #[error(
        "no stress-energy law goes through these two points: {reason}; right would be two loads whose stress rises with their energy"
    )]
    NoFit {
        /// Why not.
        reason: String,
    },
    /// More breakages than parcels.
    #[error("{broken} of {sent} can't be broken; right would be at most {sent}")]
    Record {
        /// Parcels with a breakage.
        broken: u32,
        /// Parcels sent.
        sent: u32,
    },
    /// A method asked for by name is not valid here.
    #[error("the {method} method does not hold for {material}: {}", reasons(outside))]
    OutsideMethod {
        /// The method.
        method: &'static str,
        /// The material.
        material: String,
        /// Each reason.
        outside: Vec<Outside>,
    },
    /// No thickness of this material is soft enough under this load.
    #[error(
        "by its law no thickness of {material} keeps {asked_g:.0} G at {load_psi:.3} psi: even 100 in give {least_g:.0} G; right would be a softer cushion or a smaller bearing area"
    )]
    TooStiff {
        /// The material.
        material: String,
        /// Static stress, psi.
        load_psi: f64,
        /// The least G that any thickness within reach gives.
        least_g: f64,
        /// The G asked for.
        asked_g: f64,
    },
    /// The cushion is used up and hard meets hard.
    #[error(
        "{what} bottoms out: more than {most_g:.0} G, hard against hard; right would be a thicker cushion or a larger bearing area"
    )]
    BottomsOut {
        /// The cushion or the layers.
        what: String,
        /// The G beyond which nothing is reckoned.
        most_g: f64,
    },
    /// No layers, or springs, were given.
    #[error("no {what} given; right would be at least one")]
    Nothing {
        /// What there was none of.
        what: &'static str,
    },
}

fn did_you_mean(nearest: &[String]) -> String {
    match nearest {
        [] => "ask for the list to see all names".to_owned(),
        names => format!("did you mean {}?", names.join(" or ")),
    }
}

fn reasons(outside: &[Outside]) -> String {
    outside.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
}
