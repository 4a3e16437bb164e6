//! What was seen sold and offered: lines of a list, or a table in a file.

use jiff::civil::Date;
use pricing::{Comp, Grade, MOST_COMPS, read_table};

use crate::entry::Entry;
use crate::library::Library;
use crate::section::Section;
use crate::told::{Problems, Told, quoted};

const RIGHT: &str = "comps = [\"2 for 17.50 + 8.25\", \"unsold 35 for 90d\"]";
const RIGHT_FILE: &str = "comps_file = \"comps.csv\"";

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
        let mut told = None;
        for problem in &found.problems {
            told = Some(entry.wrong(
                problems,
                format!("\"{}\": {problem}", quoted(path)),
                "a table of comps as in docs/comps.md",
            ));
        }
        // A table is never refused without a problem.
        told.unwrap_or_else(|| entry.wrong(problems, found.to_string(), RIGHT_FILE))
    })
}

/// A grade, "A" to "E".
pub(crate) fn grade(entry: &Entry<'_, '_>, right: &str, problems: &mut Problems<'_>) -> Result<Grade, Told> {
    match entry.text(right, problems)?.to_uppercase().as_str() {
        "A" => Ok(Grade::A),
        "B" => Ok(Grade::B),
        "C" => Ok(Grade::C),
        "D" => Ok(Grade::D),
        "E" => Ok(Grade::E),
        other => {
            let message = format!("no grade is called \"{}\"", quoted(other));
            Err(entry.wrong(problems, message, format!("A (as new) to E (damaged), for example {right}")))
        }
    }
}
