//! A find told on the command line: put into a sheet and read like any other, so that one reading serves both.

use std::path::{Path, PathBuf};

use books::FindId;
use clap::Args;
use keeping::{Desk, FindQuestion, SetPart, SetQuestion, literal, set};
use sheet::Problem;
use toml::{Table, Value};
use trade::{Job, Library};

use crate::planning;
use crate::problems::{Stop, caret, render};
use crate::set_args::SetArgs;
use crate::shopkeeping::Where;

/// What may be told of a find on the command line.
#[derive(Debug, Args, Default, Clone)]
#[command(group = clap::ArgGroup::new("records").multiple(true))]
pub struct FindArgs {
    /// A job sheet; with --form, only its post, cartons and market are used
    pub sheet: Option<PathBuf>,
    /// The find of the sheet, where it has several
    #[arg(long, value_name = "NAME")]
    pub find: Option<String>,
    /// A find of the shop file by its number: its pieces on the shelf, measures, comps and cost
    #[arg(long, group = "records", value_name = "NUMBER", conflicts_with_all = ["sheet", "find", "form", "venue", "wage", "from", "to", "card", "set"])]
    pub of: Option<u64>,
    /// Sets of it with pieces of other finds.
    #[command(flatten)]
    pub sets: SetArgs,
    /// The shop file that records are read from or kept in; left out, the one in your data folder
    #[arg(long, value_name = "FILE", requires = "records")]
    pub shop: Option<PathBuf>,
    /// The demo shop for --of
    #[arg(long, requires = "of", conflicts_with = "shop")]
    pub demo: bool,
    /// What the pieces are ("diner mug"); `lotwright forms` lists the forms
    #[arg(long, conflicts_with = "find")]
    pub form: Option<String>,
    /// How many pieces there are
    #[arg(long, requires = "form", value_parser = clap::value_parser!(u32).range(1..=1000))]
    pub count: Option<u32>,
    /// How many of them are flawed and kept out of the lots
    #[arg(long, requires = "form", value_parser = clap::value_parser!(u32).range(0..=1000))]
    pub flawed: Option<u32>,
    /// Pieces in a lot, where that is settled; left out, the split decides
    #[arg(long, requires = "form", value_parser = clap::value_parser!(u32).range(1..=100))]
    pub per_lot: Option<u32>,
    /// A comparable sale ("2 for 17.50 + 8.25", "unsold 35 for 90d"); may be given many times
    #[arg(long, requires = "form", value_name = "COMP", allow_hyphen_values = true)]
    pub comp: Vec<String>,
    /// Comparable sales in a CSV file
    #[arg(long, requires = "form", value_name = "FILE")]
    pub comps: Option<PathBuf>,
    /// Condition of the pieces, A (as new) to E (damaged)
    #[arg(long, requires = "form")]
    pub grade: Option<String>,
    /// A measure of one bare piece ("diameter=5 1/2 in", "height=3 in"); may be given many times
    #[arg(long, requires = "form", value_name = "NAME=FIGURE")]
    pub measure: Vec<String>,
    /// Weight of one bare piece ("14 oz")
    #[arg(long, requires = "form")]
    pub weight: Option<String>,
    /// What the shop asks for all of them
    #[arg(long, requires = "form")]
    pub asking: Option<String>,
    /// What was paid for all of them
    #[arg(long, requires = "form", conflicts_with = "asking")]
    pub paid: Option<String>,
    /// The venue they are sold at
    #[arg(long)]
    pub venue: Option<String>,
    /// What an hour of work is worth
    #[arg(long)]
    pub wage: Option<String>,
    /// Where parcels are handed over: a ZIP Code or its first three digits
    #[arg(long, value_name = "ZIP")]
    pub from: Option<String>,
    /// Where buyers are; may be given several times or with commas
    #[arg(long, value_name = "ZIP", value_delimiter = ',')]
    pub to: Vec<String>,
    /// The rate card
    #[arg(long)]
    pub card: Option<String>,
    /// Any other key of a job sheet ("market.damage=2 %"); may be given many times
    #[arg(long, value_name = "KEY=VALUE")]
    pub set: Vec<String>,
    /// Open every figure to its arithmetic
    #[arg(long)]
    pub explain: bool,
    /// Write the answer as JSON
    #[arg(long)]
    pub json: bool,
    /// Write measures in centimetres and grams
    #[arg(long)]
    pub metric: bool,
}

/// A job and what of it nobody told.
pub struct Asked {
    /// The job.
    pub job: Job,
    /// Index of the find that is asked about; `None` is all of them.
    pub find: Option<usize>,
    /// Settings that were taken as usual, in words.
    pub usual: Vec<String>,
    /// What a set holds where sets of several finds of the shop file are asked about, the leading find first.
    pub set: Vec<SetPart>,
}

impl Asked {
    /// Leaves only the find that is asked about, and no orders over several.
    pub fn only_what_is_asked(&mut self) {
        if let Some(find) = self.find.take() {
            self.job.finds = vec![self.job.finds.swap_remove(find)];
        }
        self.job.orders.clear();
    }
}

/// A find of the shop file; the shop's settings are its own.
fn recorded(args: &FindArgs, find: u64) -> Result<Asked, Stop> {
    let door = Where { shop: args.shop.clone(), demo: args.demo, ..Where::default() };
    let (mut shop, when) = door.open()?;
    let (lead, desk) = (FindId(find), Desk::published());
    let (made, set) = match args.sets.told(lead)? {
        None => (FindQuestion::read(&mut shop, lead, when.day)?.job(&desk)?, Vec::new()),
        Some(set) => (SetQuestion::read(&mut shop, &set, when.day)?.job(&desk)?, set.parts),
    };
    let mut job = made.job;
    if args.metric {
        job.units = measure::Units::Metric;
    }
    Ok(Asked { job, find: None, usual: Vec::new(), set })
}

/// Reads what was asked.
pub fn asked(args: &FindArgs, library: &Library) -> Result<Asked, Stop> {
    if let Some(find) = args.of {
        return recorded(args, find);
    }
    let (name, bytes, folder) = match (&args.sheet, &args.form) {
        (Some(path), _) => planning::read(path)?,
        (None, Some(_)) => {
            (String::from("the usual job"), sheet::usual().as_bytes().to_vec(), PathBuf::from("."))
        }
        (None, None) => (String::from("demo"), sheet::example().as_bytes().to_vec(), PathBuf::from(".")),
    };
    if args.form.is_none() && !args.overrides() {
        let job = planning::job(&name, &bytes, &folder, library)?;
        let find = args.find.as_ref().map(|wanted| named(&job, wanted)).transpose()?;
        return Ok(Asked { job, find, usual: Vec::new(), set: Vec::new() });
    }
    if args.sheet.is_some() {
        // A sheet's own mistakes are shown where they stand; one without finds is a sheet of settings.
        let text = String::from_utf8_lossy(&bytes);
        let table: Table =
            text.parse().map_err(|_| match planning::job(&name, &bytes, &folder, library) {
                Err(stop) => stop,
                Ok(_) => Stop::input(format!("{name} can't be read as TOML")),
            })?;
        if table.contains_key("find") {
            planning::job(&name, &bytes, &folder, library)?;
        }
    }
    let mut table: Table = String::from_utf8_lossy(&bytes)
        .parse()
        .map_err(|e: toml::de::Error| Stop::Input(format!("{name}: {}", e.message())))?;
    args.put_into(&mut table)?;
    let text = toml::to_string(&table).map_err(|e| Stop::Input(e.to_string()))?;
    let job = planning::read_job(text.as_bytes(), &folder, library)
        .map_err(|problems| Stop::Input(as_options(&problems, args.sheet.as_deref(), &text)))?;
    let find = match (&args.form, &args.find) {
        (Some(_), _) => Some(0),
        (None, Some(wanted)) => Some(named(&job, wanted)?),
        (None, None) => None,
    };
    let usual = args.usual(&job);
    Ok(Asked { job, find, usual, set: Vec::new() })
}

fn named(job: &Job, wanted: &str) -> Result<usize, Stop> {
    let names = || job.finds.iter().map(|find| find.name.as_str());
    names().position(|name| measure::plain(name) == measure::plain(wanted)).ok_or_else(|| {
        let near = measure::nearest(wanted, names());
        let right = if near.is_empty() { names().map(String::from).collect() } else { near };
        Stop::Input(format!("--find: no find is called \"{wanted}\"; right would be: {}", right.join(", ")))
    })
}

impl FindArgs {
    fn overrides(&self) -> bool {
        self.venue.is_some()
            || self.wage.is_some()
            || self.from.is_some()
            || !self.to.is_empty()
            || self.card.is_some()
            || !self.set.is_empty()
    }

    /// Puts what was told into a sheet's table.
    fn put_into(&self, table: &mut Table) -> Result<(), Stop> {
        if let Some(form) = &self.form {
            table.remove("order");
            let mut find = Table::new();
            let mut put = |key: &str, value: Value| find.insert(key.to_owned(), value);
            put("name", Value::from(form.as_str()));
            put("form", Value::from(form.as_str()));
            let count = self.count.ok_or_else(|| {
                Stop::input("--count is missing: how many pieces there are; right would be: --count 11")
            })?;
            put("count", Value::from(i64::from(count)));
            // Without comps no split can decide, and single pieces are where every size begins.
            let no_comps = self.comp.is_empty() && self.comps.is_none();
            let per_lot = self.per_lot.or(no_comps.then_some(1));
            for (key, figure) in [("flawed", self.flawed), ("per_lot", per_lot)] {
                if let Some(figure) = figure {
                    put(key, Value::from(i64::from(figure)));
                }
            }
            let texts = [
                ("grade", &self.grade),
                ("weight", &self.weight),
                ("asking", &self.asking),
                ("paid", &self.paid),
            ];
            for (key, text) in texts {
                if let Some(text) = text {
                    put(key, Value::from(text.as_str()));
                }
            }
            if !self.comp.is_empty() {
                put("comps", Value::from(self.comp.clone()));
            }
            if let Some(file) = &self.comps {
                // Files are looked for from where the command is run, not from where a sheet lies.
                let here = std::env::current_dir().map_err(|e| Stop::Outside(format!("--comps: {e}")))?;
                put("comps_file", Value::from(here.join(file).display().to_string()));
            }
            for measure in &self.measure {
                let (key, figure) = pair("--measure", measure, "--measure \"diameter=5 1/2 in\"")?;
                put(key, Value::from(figure));
            }
            table.insert(String::from("find"), Value::Array(vec![Value::Table(find)]));
        }
        let mut set = |path: &str, value: Value| set(table, path, value);
        for (path, text) in [
            ("market.venue", &self.venue),
            ("packing.wage", &self.wage),
            ("post.from", &self.from),
            ("post.card", &self.card),
        ] {
            if let Some(text) = text {
                set(path, Value::from(text.as_str()))?;
            }
        }
        if !self.to.is_empty() {
            set("post.to", Value::from(self.to.clone()))?;
        }
        for text in &self.set {
            let (path, value) = pair("--set", text, "--set \"market.damage=2 %\"")?;
            set(path, literal(value))?;
        }
        Ok(())
    }

    /// What of the usual job stands, in words.
    fn usual(&self, job: &Job) -> Vec<String> {
        if self.sheet.is_some() || self.form.is_none() {
            return Vec::new();
        }
        let told = |key: &str| self.set.iter().any(|text| text.starts_with(key));
        let post = &job.post;
        let buyers: Vec<&str> = post.buyers.iter().map(|buyer| buyer.zip.as_str()).collect();
        let grade = job.finds.first().map_or(pricing::Grade::default(), |find| find.grade);
        [
            (self.from.is_none() && !told("post.from"), format!("sent from {}", post.origin)),
            (self.to.is_empty() && !told("post.to"), format!("buyers in {}", buyers.join(", "))),
            (self.card.is_none() && !told("post.card"), format!("the card {}", post.card.id())),
            (!told("charge"), format!("charged for postage: {}", job.charging.in_words(job.units))),
            (!told("carton"), format!("{} sizes of carton", job.cartons.len())),
            (self.wage.is_none() && !told("packing.wage"), format!("{} an hour", job.wage)),
            (self.grade.is_none(), format!("grade {grade:?}")),
        ]
        .into_iter()
        .filter_map(|(stands, words)| stands.then_some(words))
        .collect()
    }
}

fn pair<'a>(option: &str, text: &'a str, right: &str) -> Result<(&'a str, &'a str), Stop> {
    match text.split_once('=') {
        Some((key, value)) if !key.trim().is_empty() && !value.trim().is_empty() => {
            Ok((key.trim(), value.trim()))
        }
        _ => Err(Stop::Input(format!(
            "{option}: \"{text}\" has no name and figure with = between them; right would be: {right}"
        ))),
    }
}

/// Problems told by the option that was wrong.
fn as_options(problems: &[Problem], sheet: Option<&Path>, text: &str) -> String {
    let mut out = Vec::new();
    for problem in problems {
        let option = option(&problem.field);
        // A comp is shown with a mark under what wasn't understood.
        let marked = problem
            .field
            .contains("comps[")
            .then(|| caret(text, &problem.span))
            .flatten()
            .map_or_else(String::new, |lines| format!("\n{lines}"));
        out.push(format!("{option}: {}{marked}\n  right would be: {}", problem.message, problem.right));
    }
    if let (true, Some(sheet)) = (out.is_empty(), sheet) {
        return render(&sheet.display().to_string(), text, problems);
    }
    out.join("\n")
}

/// The option that a field of the sheet was told by.
fn option(field: &str) -> String {
    if let Some(rest) = field.strip_prefix("find[1].") {
        if let Some(number) = rest.strip_prefix("comps[").and_then(|rest| rest.split(']').next()) {
            return format!("--comp, number {number}");
        }
        return match rest {
            "comps_file" => String::from("--comps"),
            "comps" => String::from("--comp"),
            "form" | "count" | "flawed" | "grade" | "weight" | "asking" | "paid" => format!("--{rest}"),
            "per_lot" => String::from("--per-lot"),
            other => format!("--measure {other}"),
        };
    }
    match field {
        "market.venue" => String::from("--venue"),
        "packing.wage" => String::from("--wage"),
        "post.from" | "post.card" => format!("--{}", field.trim_start_matches("post.")),
        field if field.starts_with("post.to") => String::from("--to"),
        "" => String::from("what was told"),
        field => format!("--set {field}"),
    }
}
