//! Directions as a clock face laid in the carton: 12 o'clock is away from the front.

use plan::{PlacedBundle, PlacedPart};
use shape::{PartKind, Solid};

use crate::outline::main_parts;

/// Within this many degrees of an hour the hour alone is said; beyond, the two it lies between.
const NEAR_HOUR_DEG: f64 = 9.0;
/// Shortest step out from the body's middle that has a direction, mm.
const LEAST_REACH_MM: f64 = 1.0;
/// A part points up or down when it climbs this many times as far as it reaches out; a spout near the
/// rim still points where it pours.
const STEEP: f64 = 2.5;
/// A round part is a plate rather than a roll when it is this many times wider than deep.
const FLAT_RATIO: f64 = 2.0;
/// Share of a direction along the vertical below which a thing lies level.
const LEVEL: f64 = 0.3;

/// Where something points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Pointer {
    /// To an hour, 1 to 12.
    At(u8),
    /// Between this hour and the next.
    After(u8),
    /// Straight up.
    Up,
    /// Straight down.
    Down,
}

/// The hour `count` steps of 30 degrees clockwise from 12, as 1 to 12.
fn hour(count: f64) -> u8 {
    // In 0..12 by the remainder.
    match count.rem_euclid(12.0) as u8 {
        0 => 12,
        other => other,
    }
}

impl Pointer {
    /// Where a step in space points; `None` when it is too short to say.
    fn of([x, y, z]: [f64; 3]) -> Option<Self> {
        let level = x.hypot(y);
        if level.max(z.abs()) < LEAST_REACH_MM || !(level + z).is_finite() {
            return None;
        }
        if z.abs() > STEEP * level {
            return Some(if z > 0.0 { Self::Up } else { Self::Down });
        }
        let hours = (90.0 - y.atan2(x).to_degrees()) / 30.0;
        let near = hours.round();
        Some(if (hours - near).abs() * 30.0 <= NEAR_HOUR_DEG {
            Self::At(hour(near))
        } else {
            Self::After(hour(hours.floor()))
        })
    }

    fn on_clock(self) -> bool {
        matches!(self, Self::At(_) | Self::After(_))
    }

    /// The hour in words, without "o'clock".
    fn words(self) -> String {
        match self {
            Self::At(hour) => hour.to_string(),
            Self::After(hour) => format!("between {hour} and {}", hour % 12 + 1),
            Self::Up => "up".to_owned(),
            Self::Down => "down".to_owned(),
        }
    }

    fn short(self) -> String {
        match self {
            Self::After(hour) => format!("{hour}-{}", hour % 12 + 1),
            Self::At(_) | Self::Up | Self::Down => self.words(),
        }
    }
}

/// How the main mass of a bundle lies, where that needs saying.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Lie {
    /// A plate or bundle of plates on edge: where its faces look, as an hour from 1 to 6.
    Faces(u8),
    /// A round piece on its side: where its top points.
    OnSide(Pointer),
    /// A block: where its longest level side runs, as an hour from 1 to 6.
    Along(u8),
    /// It stands, and is alike all round.
    Round,
}

/// How a bundle is turned, in the words of a packer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Turn {
    /// How its main mass lies.
    pub lie: Lie,
    /// Parts that stick out, and where to, each kind sorted by the hour.
    pointing: Vec<(PartKind, Vec<Pointer>)>,
}

/// The hour from 1 to 6 at one end of a level line.
fn line_hour([x, y]: [f64; 2]) -> u8 {
    match hour(((90.0 - y.atan2(x).to_degrees()) / 30.0).round()) {
        late @ 7.. => late - 6,
        early => early,
    }
}

impl Lie {
    fn of(bundle: &PlacedBundle, part: &PlacedPart) -> Self {
        let level = |[x, y, z]: [f64; 3]| (z.abs() < LEVEL).then_some([x, y]);
        let lies = |own: [f64; 3]| level(part.placement.direction(own));
        let round = |diameter: f64, height: f64| match lies([0.0, 0.0, 1.0]) {
            Some(axis) if diameter >= FLAT_RATIO * height => Self::Faces(line_hour(axis)),
            // A long step, because only its direction counts.
            Some(_) => Pointer::of(bundle.placement.direction([0.0, 0.0, 1.0]).map(|side| 1e3 * side))
                .map_or(Self::Round, Self::OnSide),
            None => Self::Round,
        };
        match part.bare {
            Solid::Cylinder { radius_mm, height_mm } => round(2.0 * radius_mm, height_mm),
            Solid::Frustum { bottom_radius_mm, top_radius_mm, height_mm } => {
                round(2.0 * bottom_radius_mm.max(top_radius_mm), height_mm)
            }
            Solid::Block { x_mm, y_mm, z_mm } => {
                let sides = [(x_mm, [1.0, 0.0, 0.0]), (y_mm, [0.0, 1.0, 0.0]), (z_mm, [0.0, 0.0, 1.0])];
                let level = sides.into_iter().filter_map(|(side, own)| Some((side, lies(own)?)));
                let longest = level.reduce(|a, b| if b.0 > a.0 { b } else { a });
                longest.map_or(Self::Round, |(_, way)| Self::Along(line_hour(way)))
            }
        }
    }

    fn words(self) -> Option<String> {
        Some(match self {
            Self::Faces(3) => "faces to left and right".to_owned(),
            Self::Faces(6) => "faces to front and back".to_owned(),
            Self::Faces(hour) => format!("faces to {hour} and {} o'clock", hour + 6),
            Self::OnSide(top) => one_phrase("top", top),
            Self::Along(3) => "long way left to right".to_owned(),
            Self::Along(6) => "long way front to back".to_owned(),
            Self::Along(hour) => format!("long way from {hour} to {} o'clock", hour + 6),
            Self::Round => return None,
        })
    }
}

impl Turn {
    /// The turn of a bundle where it lies.
    pub(crate) fn of(bundle: &PlacedBundle) -> Self {
        let ways_of = |kind: PartKind| {
            let parts = bundle.parts.iter().filter(|part| part.kind == kind);
            let mut ways: Vec<Pointer> = parts.filter_map(|part| way_of(bundle, part)).collect();
            ways.sort_unstable();
            ways.dedup();
            ways
        };
        let kinds = [PartKind::Handle, PartKind::Spout].map(|kind| (kind, ways_of(kind)));
        let pointing: Vec<_> = kinds.into_iter().filter(|(_, ways)| !ways.is_empty()).collect();
        let lie = main_parts(bundle).first().map_or(Lie::Round, |part| Lie::of(bundle, part));
        Self { lie, pointing }
    }

    /// The turn as a phrase ("handles to 2 and 8 o'clock"); `None` when it is alike all round.
    pub(crate) fn words(&self) -> Option<String> {
        // Handles say how a standing block is turned; its long side need not.
        let told = matches!(self.lie, Lie::Along(_)) && !self.pointing.is_empty();
        let lie = self.lie.words().filter(|_| !told);
        let phrases = lie.into_iter().chain(self.pointing.iter().map(|(kind, ways)| phrase(*kind, ways)));
        let phrases: Vec<String> = phrases.collect();
        (!phrases.is_empty()).then(|| phrases.join(", "))
    }

    /// Short forms for use inside a drawn piece, each as lines, the clearest first; empty when the
    /// drawing says it all.
    pub(crate) fn hints(&self) -> Vec<Vec<String>> {
        let Some((_, ways)) = self.pointing.first() else { return Vec::new() };
        let hours: Vec<String> = ways.iter().filter(|way| way.on_clock()).map(|way| way.short()).collect();
        // "to" keeps the short forms from being read as another number of the piece.
        match hours.as_slice() {
            [] => Vec::new(),
            [one, other] => vec![
                vec![format!("{one} and {other} o'clock")],
                vec![format!("to {one}, {other}")],
                vec![format!("to {one},"), other.clone()],
            ],
            hours => {
                vec![vec![format!("{} o'clock", hours.join(", "))], vec![format!("to {}", hours.join(", "))]]
            }
        }
    }
}

/// Where a part points, seen from the middle of the body it sits on.
fn way_of(bundle: &PlacedBundle, part: &PlacedPart) -> Option<Pointer> {
    let there = part.placement.at_mm;
    let step = |from: [f64; 3]| [there[0] - from[0], there[1] - from[1], there[2] - from[2]];
    let length = |step: &[f64; 3]| step.iter().map(|side| side * side).sum::<f64>();
    let bodies = bundle.parts.iter().filter(|other| other.kind == PartKind::Body);
    let steps = bodies.map(|body| step(body.placement.at_mm));
    let shortest = steps.min_by(|a, b| length(a).total_cmp(&length(b)));
    Pointer::of(shortest.unwrap_or_else(|| step(bundle.placement.at_mm)))
}

/// Where one thing points ("handle to 4 o'clock", "top up").
fn one_phrase(name: &str, way: Pointer) -> String {
    match way {
        Pointer::At(_) => format!("{name} to {} o'clock", way.words()),
        Pointer::After(_) => format!("{name} {} o'clock", way.words()),
        Pointer::Up | Pointer::Down => format!("{name} {}", way.words()),
    }
}

fn phrase(kind: PartKind, ways: &[Pointer]) -> String {
    let name = kind.word();
    if let [way] = ways {
        return one_phrase(name, *way);
    }
    let listed = |on_clock: bool| {
        let some = ways.iter().filter(|way| way.on_clock() == on_clock);
        let words: Vec<String> = some.map(|way| way.words()).collect();
        match words.as_slice() {
            [rest @ .., last] if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
            _ => words.concat(),
        }
    };
    match (listed(true), listed(false)) {
        (hours, upright) if upright.is_empty() => format!("{name}s to {hours} o'clock"),
        (hours, upright) if hours.is_empty() => format!("{name}s {upright}"),
        (hours, upright) => format!("{name}s to {hours} o'clock and {upright}"),
    }
}

#[cfg(test)]
mod tests {
    use super::{Lie, Pointer, phrase};
    use shape::PartKind;

    #[test]
    fn twelve_is_away_from_the_front_and_three_is_right() {
        for (step, pointer) in [
            ([0.0, 50.0, 0.0], Pointer::At(12)),
            ([50.0, 0.0, 10.0], Pointer::At(3)),
            ([0.0, -50.0, 0.0], Pointer::At(6)),
            ([-50.0, 0.0, 0.0], Pointer::At(9)),
            ([0.0, 0.0, 50.0], Pointer::Up),
            ([0.0, 0.0, -50.0], Pointer::Down),
            ([50.0, 50.0, 0.0], Pointer::After(1)),
            ([-13.0, 50.0, 0.0], Pointer::After(11)),
            ([-58.0, 0.0, 65.0], Pointer::At(9)),
            ([-0.1, 50.0, 0.0], Pointer::At(12)),
        ] {
            assert_eq!(Pointer::of(step), Some(pointer), "{step:?}");
        }
        assert_eq!(Pointer::of([0.1, 0.1, 0.1]), None);
        assert_eq!(Pointer::of([f64::NAN, 5.0, 0.0]), None);
    }

    #[test]
    fn phrases_read_as_a_packer_speaks() {
        let handle = PartKind::Handle;
        assert_eq!(phrase(handle, &[Pointer::At(4)]), "handle to 4 o'clock");
        assert_eq!(phrase(handle, &[Pointer::At(2), Pointer::At(8)]), "handles to 2 and 8 o'clock");
        assert_eq!(phrase(handle, &[Pointer::After(12)]), "handle between 12 and 1 o'clock");
        assert_eq!(phrase(handle, &[Pointer::Up]), "handle up");
        assert_eq!(phrase(handle, &[Pointer::At(2), Pointer::Up]), "handles to 2 o'clock and up");
        assert_eq!(Lie::Faces(3).words().as_deref(), Some("faces to left and right"));
        assert_eq!(Lie::Along(2).words().as_deref(), Some("long way from 2 to 8 o'clock"));
        assert_eq!(Lie::OnSide(Pointer::At(9)).words().as_deref(), Some("top to 9 o'clock"));
        assert_eq!(Lie::Round.words(), None);
    }
}
