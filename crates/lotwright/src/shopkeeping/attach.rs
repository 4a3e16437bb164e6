//! `lotwright attach`: receipts, photos and evidence are kept beside the shop file.

use std::io::Read;
use std::path::{Path, PathBuf};

use books::FindId;
use clap::{Args, ValueEnum};
use papers::{MOST_BYTES, Paper, Role};
use serde_json::{Value, json};
use shop::{About, Attachment, PieceRef, Record, Shop, files_folder};

use super::door::{Answer, Where, demo_line, refused, refused_at};
use crate::problems::Stop;
use crate::words::{plural, table, wrapped};

/// Options of `attach`.
#[derive(Debug, Args)]
pub struct AttachArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// JPEG, PNG or WebP pictures; receipts and evidence also as PDF
    #[arg(value_name = "FILE", required_unless_present_any = ["list", "remove"])]
    files: Vec<PathBuf>,
    /// What they are about: haul:3, find:5, piece:5:2 (piece 2 of find 5), order:7 or claim:1
    #[arg(long, value_name = "RECORD", required_unless_present_any = ["list", "remove"])]
    to: Option<String>,
    /// What they are for; left out, a receipt to a haul, evidence to a claim, else a photo
    #[arg(long = "as", value_enum, value_name = "ROLE")]
    role: Option<RoleWord>,
    /// Show what is attached, to everything or to one record
    #[arg(long, conflicts_with_all = ["files", "role", "remove"])]
    list: bool,
    /// Strike out an attachment by its number
    #[arg(long, value_name = "NUMBER", conflicts_with_all = ["files", "to", "role"])]
    remove: Option<u64>,
}

/// What a file is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum RoleWord {
    /// A receipt
    Receipt,
    /// A photo
    Photo,
    /// Evidence for a claim
    Evidence,
}

impl RoleWord {
    const fn role(self) -> Role {
        match self {
            Self::Receipt => Role::Receipt,
            Self::Photo => Role::Photo,
            Self::Evidence => Role::Evidence,
        }
    }
}

/// Attaches, shows or strikes out.
pub fn attach(args: &AttachArgs) -> Result<String, Stop> {
    let about = args.to.as_deref().map(about).transpose()?;
    let (mut shop, when) = args.door.open()?;
    let answer = match (about, args.remove) {
        (_, Some(number)) => {
            shop.strike::<Attachment>(&when.stamp(), number).map_err(refused_at("--remove"))?;
            let text = format!(
                "Struck out attachment {number}. If nothing else needs its file, clear it away with: \
                 lotwright shop clear-files"
            );
            Answer {
                text: format!("{}{}", demo_line(&shop)?, wrapped("", &text)),
                json: json!({ "removed": number }),
            }
        }
        (Some((about, usual)), None) if !args.list => {
            let role = args.role.map_or(usual, RoleWord::role);
            let papers = read(&args.files, role)?;
            let numbers = shop.attach(&when.stamp(), about, &papers).map_err(refused_at("--to"))?;
            attached(&shop, about, &args.files, &papers, &numbers)?
        }
        (about, None) => listed(&shop, about.map(|(about, _)| about))?,
    };
    args.door.written(answer)
}

/// What "haul:3" or "piece:5:2" is about, and what a file to it usually is.
fn about(text: &str) -> Result<(About, Role), Stop> {
    let wrong = || {
        Stop::Input(format!(
            "--to: \"{text}\" doesn't say to what; right would be haul:3, find:5, piece:5:2 (piece 2 of find 5), \
             order:7 or claim:1"
        ))
    };
    let (kind, rest) = text.split_once(':').ok_or_else(wrong)?;
    let number = |text: &str| text.trim().parse::<u64>().map_err(|_| wrong());
    let of = |record, role| Ok((About::Record { record, number: number(rest)? }, role));
    match kind.trim().to_lowercase().as_str() {
        "haul" => of(Record::Haul, Role::Receipt),
        "find" => of(Record::Find, Role::Photo),
        "order" => of(Record::Order, Role::Photo),
        "claim" => of(Record::Claim, Role::Evidence),
        "piece" => {
            let (find, piece) = rest.split_once(':').ok_or_else(wrong)?;
            let piece = piece.trim().parse().map_err(|_| wrong())?;
            Ok((About::Piece(PieceRef { find: FindId(number(find)?), number: piece }), Role::Photo))
        }
        _ => Err(wrong()),
    }
}

/// All files, or every reason against them.
fn read(files: &[PathBuf], role: Role) -> Result<Vec<Paper>, Stop> {
    let (mut papers, mut wrong) = (Vec::new(), Vec::new());
    for file in files {
        match bytes(file).and_then(|bytes| Paper::read(&bytes, role).map_err(|e| e.to_string())) {
            Ok(paper) => papers.push(paper),
            Err(reason) => wrong.push(format!("{}: {reason}", file.display())),
        }
    }
    if wrong.is_empty() {
        return Ok(papers);
    }
    if files.len() > 1 {
        wrong.push(String::from("nothing was attached"));
    }
    Err(Stop::Input(wrong.join("\n")))
}

/// The bytes of a file, one more than are taken at most.
fn bytes(file: &Path) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    let most = u64::try_from(MOST_BYTES).unwrap_or(u64::MAX).saturating_add(1);
    std::fs::File::open(file).and_then(|opened| opened.take(most).read_to_end(&mut bytes)).map_err(
        |error| format!("can't be read ({error}); right would be a file that is there and may be read"),
    )?;
    Ok(bytes)
}

/// "piece 2 of find 5".
fn words(about: About) -> String {
    match about {
        About::Record { record, number } => format!("{record} {number}"),
        About::Piece(piece) => format!("piece {} of find {}", piece.number, piece.find),
    }
}

fn line_json(shop: &Shop, number: u64, one: &Attachment) -> Value {
    json!({
        "attachment": number, "record": one.record, "number": one.number, "piece": one.piece, "role": one.role,
        "file": files_folder(shop.path()).join(&one.name).display().to_string(), "sha256": one.sha256,
    })
}

fn attached(
    shop: &Shop,
    about: About,
    files: &[PathBuf],
    papers: &[Paper],
    numbers: &[u64],
) -> Result<Answer, Stop> {
    let known = shop.attached_to(about).map_err(refused)?;
    let mut rows = Vec::new();
    let mut list = Vec::new();
    for ((file, paper), number) in files.iter().zip(papers).zip(numbers) {
        rows.push(vec![
            number.to_string(),
            paper.role().word().to_owned(),
            paper.kind().extension().to_owned(),
            kilobytes(paper.bytes().len()),
            file.file_name().unwrap_or_default().to_string_lossy().into_owned(),
        ]);
        let noted = known.iter().find(|(one, _)| one == number);
        list.extend(noted.map(|(number, one)| line_json(shop, *number, one)));
    }
    let mut text = format!(
        "{}Attached to {}:\n{}\n",
        demo_line(shop)?,
        words(about),
        table(&["attachment", "as", "kind", "KB", "from"], &rows)
    );
    let (pdfs, pictures): (Vec<&Paper>, Vec<&Paper>) =
        papers.iter().partition(|paper| !paper.kind().shows_in_place());
    if !pictures.is_empty() {
        text.push_str(&wrapped("", "Pictures are kept upright, without place, camera or date."));
        text.push('\n');
    }
    if !pdfs.is_empty() {
        text.push_str(&wrapped("", "A PDF is kept as it is; what it says of its maker is still in it."));
        text.push('\n');
    }
    text.push_str(&wrapped("", "Your own files are unchanged."));
    Ok(Answer { text, json: json!({ "to": words(about), "attached": list }) })
}

/// Whole kilobytes of 1024, never fewer than there are.
fn kilobytes(bytes: usize) -> String {
    bytes.div_ceil(1024).to_string()
}

fn listed(shop: &Shop, about: Option<About>) -> Result<Answer, Stop> {
    let all = match about {
        Some(about) => shop.attached_to(about).map_err(refused)?,
        None => shop.noted::<Attachment>().map_err(refused)?,
    };
    let rows: Vec<Vec<String>> = all
        .iter()
        .map(|(number, one)| {
            let kind = papers::Name::read(&one.name).map_or("?", |name| name.kind().extension());
            vec![number.to_string(), words(one.about()), one.role.word().to_owned(), kind.to_owned()]
        })
        .collect();
    let body = if rows.is_empty() {
        String::from("Nothing attached.")
    } else {
        let folder = files_folder(shop.path());
        format!(
            "{}\n{}",
            table(&["attachment", "to", "as", "kind"], &rows),
            wrapped(
                "",
                &format!(
                    "{}, in {}.",
                    plural(u32::try_from(rows.len()).unwrap_or(u32::MAX), "attachment"),
                    folder.display()
                )
            )
        )
    };
    let json = all.iter().map(|(number, one)| line_json(shop, *number, one)).collect();
    Ok(Answer { text: format!("{}{body}", demo_line(shop)?), json })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_files_are_about_is_read_with_its_usual_role() {
        let record = |record, number| About::Record { record, number };
        assert_eq!(about("haul:3").unwrap(), (record(Record::Haul, 3), Role::Receipt));
        assert_eq!(about("Find: 5").unwrap(), (record(Record::Find, 5), Role::Photo));
        assert_eq!(about("order:7").unwrap(), (record(Record::Order, 7), Role::Photo));
        assert_eq!(about("claim:1").unwrap(), (record(Record::Claim, 1), Role::Evidence));
        let piece = About::Piece(PieceRef { find: FindId(5), number: 2 });
        assert_eq!(about("piece:5:2").unwrap(), (piece, Role::Photo));
        assert_eq!(words(piece), "piece 2 of find 5");
        for wrong in
            ["", "haul", "haul:", "haul:x", "haul:-1", "piece:5", "piece:5:", "piece:5:2:1", "place:1", ":"]
        {
            let Err(Stop::Input(message)) = about(wrong) else { panic!("{wrong}") };
            assert!(message.contains("--to") && message.contains("right would be"), "{message}");
        }
    }
}
