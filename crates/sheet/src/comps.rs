//! What was seen sold and offered: lines of a list, or a table in a file.

use jiff::civil::Date;
use pricing::{Comp, Grade, MOST_COMPS, read_table};

use crate::entry::Entry;
use crate::library::Library;
use crate::section::Section;
use crate::told::{Problems, Told, parted, quoted};

const RIGHT: &str = "comps = [\"2 for 17.50 + 8.25\", \"unsold 35 for 90d\"]";
const RIGHT_FILE: &str = "comps_file = \"comps.csv\"";
const RIGHT_TABLE: &str = "a table of comps as in docs/comps.md";

/// Keys of a find that tell of comps.
pub(crate) const COMP_KEYS: [&str; 2] = ["comps", "comps_file"];

/// Reads the comps of a find.
pub(crate) fn comps(
    section: &mut Section<'_, '_>,
    library: &Library<'_>,
    today: Date,
    problems: &mut Problems<'_>,
) -> Result<Vec<Comp>, Told> {
    let lines = section.take("comps").map(|entry| lines(&entry, today, problems)).transpose();
    let filed = section
        .take("comps_file")
        .map(|entry| file(&entry, library, today, problems).map(|comps| (comps, entry)))
        .transpose();
    let mut comps = lines?.unwrap_or_default();
    if let Some((more, entry)) = filed? {
        comps.extend(more);
        if comps.len() > MOST_COMPS {
            let message = format!("with the file's there are {} comps", comps.len());
            return Err(entry.wrong(
                problems,
                message,
                format!("at most {MOST_COMPS}: keep the most recent"),
            ));
        }
    }
    Ok(comps)
}

fn lines(entry: &Entry<'_, '_>, today: Date, problems: &mut Problems<'_>) -> Result<Vec<Comp>, Told> {
    let members = entry.list(MOST_COMPS, RIGHT, problems)?;
    let read: Vec<Result<Comp, Told>> = members
        .iter()
        .map(|member| {
            let line = member.text("\"2 for 17.50 + 8.25\"", problems)?;
            Comp::read(line, today).map_err(|error| {
                member.wrong_within(problems, line, error.span.clone(), error.fault.to_string(), error.right)
            })
        })
        .collect();
    read.into_iter().collect()
}

fn file(
    entry: &Entry<'_, '_>,
    library: &Library<'_>,
    today: Date,
    problems: &mut Problems<'_>,
) -> Result<Vec<Comp>, Told> {
    let path = entry.text(RIGHT_FILE, problems)?;
    let bytes = (library.files)(path).map_err(|reason| {
        entry.wrong(problems, format!("the file \"{}\" can't be read: {reason}", quoted(path)), RIGHT_FILE)
    })?;
    read_table(&bytes, today).map_err(|found| {
        let mut refused = |message: &str| {
            let (wrong, right) = parted(message, RIGHT_TABLE);
            entry.wrong(problems, format!("\"{}\": {wrong}", quoted(path)), right)
        };
        let told = found.problems.iter().map(|problem| refused(&problem.to_string())).last();
        // A table is never refused without a problem.
        let told = told.unwrap_or_else(|| refused("it can't be read"));
        if found.more == 0 {
            return told;
        }
        refused(&format!("{} more problems are not listed", found.more))
    })
}

/// A grade, "A" to "E".
pub(crate) fn grade(entry: &Entry<'_, '_>, right: &str, problems: &mut Problems<'_>) -> Result<Grade, Told> {
    let written = entry.text(right, problems)?;
    match written.to_uppercase().as_str() {
        "A" => Ok(Grade::A),
        "B" => Ok(Grade::B),
        "C" => Ok(Grade::C),
        "D" => Ok(Grade::D),
        "E" => Ok(Grade::E),
        _ => {
            let message = format!("no grade of pieces is called \"{}\"", quoted(written));
            Err(entry.wrong(problems, message, format!("A (as new) to E (damaged), for example {right}")))
        }
    }
}
