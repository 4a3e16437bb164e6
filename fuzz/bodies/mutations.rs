//! Seeded mutations of a few seeds, so that an ordinary test sends strange input through a body.
#![allow(dead_code, missing_docs, reason = "each test uses its own part")]

use std::path::PathBuf;

/// Mutants that a test makes.
pub const MUTANTS: u64 = 2_000;
/// Longest input, bytes.
const LONGEST: usize = 40_000;

/// Seeds of a target, by name: what lies in its folder and, where told, in another of the repository.
pub fn seeds(target: &str, also: Option<&str>) -> Vec<Vec<u8>> {
    let root = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../.."));
    let mut paths: Vec<PathBuf> = std::iter::once(format!("fuzz/seeds/{target}"))
        .chain(also.map(str::to_owned))
        .flat_map(|folder| std::fs::read_dir(root.join(folder)).expect("a folder of seeds"))
        .map(|entry| entry.expect("a seed").path())
        .filter(|path| path.is_file())
        .collect();
    paths.sort();
    assert!(!paths.is_empty(), "no seeds for {target}");
    paths.iter().map(|path| std::fs::read(path).expect("a seed")).collect()
}

/// Runs every seed, and mutants of them made from a fixed seed.
pub fn run(seeds: &[Vec<u8>], tokens: &[&str], body: impl Fn(&[u8])) {
    body(&[]);
    seeds.iter().for_each(|seed| body(seed));
    let mut draws = Draws(0);
    for _ in 0..MUTANTS {
        let mut bytes = draws.one_of(seeds).clone();
        for _ in 0..1 + draws.below(4) {
            mutate(&mut bytes, seeds, tokens, &mut draws);
        }
        bytes.truncate(LONGEST);
        body(&bytes);
    }
}

fn mutate(bytes: &mut Vec<u8>, seeds: &[Vec<u8>], tokens: &[&str], draws: &mut Draws) {
    let from = draws.below(bytes.len() + 1);
    let to = (from + draws.below(24)).min(bytes.len());
    match draws.below(8) {
        0 => drop(bytes.splice(from..to, [])),
        1 => {
            let range = bytes[from..to].to_vec();
            drop(bytes.splice(from..from, range));
        }
        2 => {
            let byte = draws.next() as u8;
            drop(bytes.splice(from..(from + 1).min(bytes.len()), [byte]));
        }
        3 => drop(bytes.splice(from..to, draws.one_of(tokens).bytes())),
        4 => drop(bytes.splice(from..from, draws.one_of(tokens).bytes())),
        5 => number(bytes, from, draws.one_of::<&str>(tokens)),
        6 => bytes.truncate(from),
        _ => {
            // The rest of another seed.
            let other = draws.one_of(seeds);
            let begin = draws.below(other.len() + 1);
            bytes.truncate(from);
            bytes.extend_from_slice(&other[begin..]);
        }
    }
}

/// Puts a token in the place of the next number.
fn number(bytes: &mut Vec<u8>, from: usize, token: &str) {
    let digit = |byte: &u8| byte.is_ascii_digit() || *byte == b'.' || *byte == b'-';
    let Some(begin) = bytes.iter().skip(from).position(digit).map(|at| at + from) else { return };
    let length = bytes.iter().skip(begin).take_while(|byte| digit(byte)).count();
    drop(bytes.splice(begin..begin + length, token.bytes()));
}

/// SplitMix64 (Steele, Lea and Flood 2014).
struct Draws(u64);

impl Draws {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn below(&mut self, end: usize) -> usize {
        (self.next() % end.max(1) as u64) as usize
    }

    fn one_of<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[self.below(list.len())]
    }
}
