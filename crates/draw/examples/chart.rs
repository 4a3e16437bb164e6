//! Writes a chart of made-up prices to standard output.
//!
//! `cargo run -p draw --example chart -- cups > cups.svg`; the charts are `cups`, `one`, `no-comps`, `crowd`,
//! `heap`, `far-apart` and `splits`. A width in letters after the name writes plain text instead.

#[path = "../tests/made_up_prices/mod.rs"]
mod made_up_prices;
#[path = "../tests/made_up_splits/mod.rs"]
mod made_up_splits;

fn main() -> Result<(), String> {
    let mut words = std::env::args().skip(1);
    let wanted = words.next().unwrap_or_else(|| "cups".to_owned());
    let width = words.next().map(|word| word.parse::<usize>().map_err(|_| format!("no width: {word:?}")));
    let width = width.transpose()?;
    if wanted == "splits" {
        let bars = made_up_splits::splits();
        print!(
            "{}",
            width.map_or_else(|| draw::split_bars_svg(&bars), |width| draw::split_bars(&bars, width))
        );
        return Ok(());
    }
    let found = made_up_prices::all_charts().into_iter().find(|(name, _)| *name == wanted);
    let (_, chart) = found.ok_or_else(|| format!("no chart is called {wanted:?}; try cups or splits"))?;
    print!(
        "{}",
        width.map_or_else(|| draw::price_chart_svg(&chart), |width| draw::price_plot(&chart, width))
    );
    Ok(())
}
