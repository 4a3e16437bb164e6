//! The shock chart for a terminal: curves as letters over the load, in plain ASCII.

use crate::ascii::{ascii, filled};
use crate::shock_chart::{ShockChart, ShockSound, load_words, shock_words};

/// Narrowest plot, in letters; a narrower terminal breaks the lines.
const NARROWEST: usize = 24;
/// Widest plot, in letters (judgement): beyond, an eye loses the row.
const WIDEST: usize = 120;
/// Rows of the plot between the axis and the top.
const ROWS: usize = 16;
/// Letters between two labels of the load axis at least.
const LABEL_GAP: usize = 2;

/// A field of letters, its first row the top.
struct Field {
    width: usize,
    cells: Vec<Vec<u8>>,
}

impl Field {
    fn blank(width: usize) -> Self {
        Self { width, cells: vec![vec![b' '; width]; ROWS + 1] }
    }

    fn cell(&mut self, row: usize, column: usize) -> Option<&mut u8> {
        self.cells.get_mut(row)?.get_mut(column)
    }

    /// A line gives way to what stands there.
    fn line(&mut self, row: usize, column: usize, letter: u8) {
        if let Some(cell) = self.cell(row, column) {
            *cell = match *cell {
                b' ' => letter,
                there if there == letter => there,
                _ => b'+',
            };
        }
    }

    /// A curve's letter; where another curve runs already the place holds several.
    fn mark(&mut self, row: usize, column: usize, letter: u8) {
        if let Some(cell) = self.cell(row, column) {
            *cell = if cell.is_ascii_uppercase() && *cell != letter || *cell == b'*' { b'*' } else { letter };
        }
    }
}

/// The shock chart as plain text, its lines at most `width` letters long.
///
/// Loads run to the right by ratio, shocks upwards evenly. Each curve is drawn with its letter, `*` where several
/// meet; `=` is what is allowed and `|` the load of the piece. What passes the top is cut off. A legend names the
/// letters with their shock under that load.
///
/// Only ASCII, no title, no blanks at the end of a line; every line ends with a line feed. Lines are longer than
/// `width` only where that leaves the plot less than 24 letters.
#[must_use]
pub fn shock_plot(chart: &ShockChart, width: usize) -> String {
    let Some(sound) = ShockSound::of(chart) else {
        return "Nothing to draw yet: no cushion.\n".to_owned();
    };
    let ticks = sound.shock_ticks();
    let label = |shock: f64| format!("{} G", shock_words(shock));
    let beside = ticks.iter().map(|tick| label(*tick).len()).max().unwrap_or(0) + 1;
    let room = width.saturating_sub(beside).clamp(NARROWEST, WIDEST);
    let mut field = Field::blank(room);
    // All shares lie from 0 to 1, so that every place is inside the field.
    let column = |load: f64| (sound.across(load) * (room - 1) as f64).round() as usize;
    let row = |shock: f64| ROWS - ((shock / sound.top).clamp(0.0, 1.0) * ROWS as f64).round() as usize;
    if let Some(allowed) = sound.allowed {
        (0..room).for_each(|at| field.line(row(allowed), at, b'='));
    }
    if let Some(load) = sound.load {
        (0..ROWS).for_each(|at| field.line(at, column(load), b'|'));
    }
    for curve in &sound.curves {
        let letter = u8::try_from(curve.letter).unwrap_or(b'?');
        let mut last: Option<usize> = None;
        for at in 0..field.width {
            let load = sound.load_at(at as f64 / (room - 1) as f64);
            let shock = match sound.load {
                // The piece's own figure stands where its load does, whatever lies between the points.
                Some(own) if column(own) == at => curve.here.or_else(|| curve.at(load)),
                Some(_) | None => curve.at(load),
            };
            let Some(shock) = shock.filter(|shock| *shock <= sound.top) else {
                last = None;
                continue;
            };
            let here = row(shock);
            // A steep curve is filled from where it was one letter before.
            let from = match last {
                Some(last) if last > here + 1 => here..=last - 1,
                Some(last) if here > last + 1 => last + 1..=here,
                Some(_) | None => here..=here,
            };
            from.for_each(|row| field.mark(row, at, letter));
            last = Some(here);
        }
    }
    let mut lines = vec!["Peak shock over the load on the cushion:".to_owned()];
    for (at, cells) in field.cells.iter().enumerate().take(ROWS) {
        let tick = ticks.iter().find(|tick| row(**tick) == at).map_or_else(String::new, |tick| label(*tick));
        let cells: String = cells.iter().map(|&letter| char::from(letter)).collect();
        lines.push(format!("{tick:>width$} {cells}", width = beside - 1));
    }
    lines.extend(axis(&sound, beside, room, column));
    let has_several = field.cells.iter().flatten().any(|&letter| letter == b'*');
    lines.extend(filled(&legend(chart, &sound, has_several), width.max(beside + NARROWEST)));
    lines.extend(sound.note());
    lines.iter().map(|line| format!("{}\n", line.trim_end())).collect()
}

/// The load axis, and the loads at its ticks.
fn axis(sound: &ShockSound<'_>, beside: usize, room: usize, column: impl Fn(f64) -> usize) -> [String; 2] {
    let (mut line, mut words) = (vec![b'-'; room], vec![b' '; room]);
    let mut free_from = 0;
    for (load, label) in sound.load_ticks() {
        let place = column(load);
        if let Some(cell) = line.get_mut(place) {
            *cell = b'+';
        }
        let from = place.saturating_sub(label.len() / 2).min(room.saturating_sub(label.len()));
        if from >= free_from {
            for (cell, letter) in words.iter_mut().skip(from).zip(label.bytes()) {
                *cell = letter;
            }
            free_from = from + label.len() + LABEL_GAP;
        }
    }
    let text = |cells: Vec<u8>| cells.into_iter().map(char::from).collect::<String>();
    let zero = format!("{:>width$} ", "0 G", width = beside - 1);
    [format!("{zero}{}", text(line)), format!("{}{}", " ".repeat(beside), text(words))]
}

fn legend(chart: &ShockChart, sound: &ShockSound<'_>, has_several: bool) -> Vec<String> {
    let unit = ascii(&chart.load_unit);
    let mut entries = Vec::new();
    entries.extend(sound.allowed.map(|allowed| format!("= allowed, {} G", shock_words(allowed))));
    entries.extend(sound.load.map(|load| format!("| this piece, {} {unit}", load_words(load))));
    for curve in &sound.curves {
        let here = curve.here.map_or_else(|| "hard".to_owned(), |shock| format!("{} G", shock_words(shock)));
        entries.push(format!("{} {} ({here})", curve.letter, ascii(curve.name)));
    }
    entries.extend(has_several.then(|| "* several".to_owned()));
    entries
}
