//! `lotwright setting`: your own defaults.

use clap::Args;
use keeping::{Desk, FLOW_CAUTION, fitted, is_own, put_cost_flow, put_setting};
use serde_json::json;
use shop::{COST_FLOW, Setting, Shop};

use super::door::{Answer, Where, demo_line, refused};
use crate::problems::Stop;
use crate::words::{table, wrapped};

/// Options of `setting`.
#[derive(Debug, Args)]
pub struct SettingArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// The key of a job sheet that it is the default of ("post.from", "packing.wage")
    #[arg(long)]
    name: Option<String>,
    /// Its value, as a job sheet writes it
    #[arg(long, requires = "name", conflicts_with = "strike")]
    value: Option<String>,
    /// Where the value comes from
    #[arg(long, default_value = "my own")]
    source: String,
    /// Strike it out
    #[arg(long, requires = "name")]
    strike: bool,
}

/// Shows, sets or strikes a setting.
pub fn setting(args: &SettingArgs) -> Result<String, Stop> {
    let Some(name) = &args.name else {
        let (shop, _) = args.door.open()?;
        return args.door.written(settings(&shop)?);
    };
    if name == COST_FLOW {
        return flow(args);
    }
    if is_own(name) {
        return Err(Stop::Input(format!(
            "--name {name}: it is kept by the program; right would be a key of a job sheet, such as post.from"
        )));
    }
    let (mut shop, when, _) = args.door.open_or_make()?;
    if args.strike {
        let known = shop.noted::<Setting>().map_err(refused)?.into_iter().find(|(_, one)| one.name == *name);
        let Some((number, _)) = known else {
            return Err(Stop::Input(format!("--strike: there is no setting {name}; see: lotwright setting")));
        };
        shop.strike::<Setting>(&when.stamp(), number).map_err(refused)?;
    } else {
        let Some(value) = &args.value else {
            return Err(Stop::Input(format!(
                "--value is missing; right would be: --name {name} --value 45300"
            )));
        };
        let fits = fitted(&shop, &Desk::published(), name, value, when.day);
        let value = fits.map_err(|stop| stop.at(&format!("--name {name} --value \"{value}\"")))?;
        put_setting(&mut shop, &when.stamp(), name, &value, &args.source)?;
    }
    args.door.written(settings(&shop)?)
}

/// The cost flow: which costs go when goods go, and from which day on.
fn flow(args: &SettingArgs) -> Result<String, Stop> {
    let Some(value) = args.value.as_deref().or(args.strike.then_some("specific")) else {
        return Err(Stop::Input(format!(
            "--value is missing; right would be: --name {COST_FLOW} --value \"fifo from 2027-01-01\" (specific, fifo \
             or average)"
        )));
    };
    let (mut shop, when, _) = args.door.open_or_make()?;
    let schedule = put_cost_flow(&mut shop, &when.stamp(), value, &args.source, when.day)?;
    let mut answer = settings(&shop)?;
    answer.text =
        format!("{}\n{}", answer.text, wrapped("", &format!("Cost of goods: {schedule}. {FLOW_CAUTION}")));
    args.door.written(answer)
}

fn settings(shop: &Shop) -> Result<Answer, Stop> {
    let all = shop.noted::<Setting>().map_err(refused)?;
    let rows: Vec<Vec<String>> =
        all.iter().map(|(_, one)| vec![one.name.clone(), one.value.clone(), one.source.clone()]).collect();
    let body = if rows.is_empty() {
        wrapped("", "No settings of your own: a usual job is planned (sent from 453, 15.00 an hour).")
    } else {
        table(&["setting", "value", "from"], &rows)
    };
    let json =
        all.iter().map(|(_, one)| json!({ "name": one.name, "value": one.value, "source": one.source }));
    Ok(Answer { text: format!("{}{body}", demo_line(shop)?), json: json.collect() })
}
