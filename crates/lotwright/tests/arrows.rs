//! The map in ARCHITECTURE.md is the map: a room depends on no room that the table does not give it.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Room and the rooms it may use, as in ARCHITECTURE.md.
const MAY_USE: [(&str, &[&str]); 27] = [
    ("measure", &[]),
    ("shape", &["measure"]),
    ("plan", &["measure", "shape"]),
    ("forms", &["measure", "shape"]),
    ("packing", &["measure", "shape", "plan", "loading"]),
    ("proof", &["measure", "shape", "plan"]),
    ("protection", &["measure", "shape", "plan"]),
    ("postage", &["measure"]),
    ("pricing", &["measure"]),
    ("selling", &["measure"]),
    ("listing", &["measure", "forms"]),
    ("safety", &["measure", "forms"]),
    ("cushion", &["measure", "protection"]),
    ("impact", &[]),
    ("droptest", &["measure", "shape", "plan", "cushion", "impact"]),
    ("books", &["measure"]),
    ("papers", &[]),
    ("shop", &["measure", "books", "papers"]),
    ("loading", &[]),
    (
        "trade",
        &[
            "measure",
            "shape",
            "plan",
            "forms",
            "packing",
            "proof",
            "protection",
            "cushion",
            "droptest",
            "postage",
            "pricing",
            "selling",
            "listing",
        ],
    ),
    (
        "sheet",
        &[
            "measure",
            "shape",
            "forms",
            "protection",
            "cushion",
            "postage",
            "pricing",
            "selling",
            "listing",
            "trade",
        ],
    ),
    ("draw", &["measure", "shape", "plan"]),
    (
        "keeping",
        &[
            "measure",
            "plan",
            "shape",
            "forms",
            "protection",
            "cushion",
            "droptest",
            "postage",
            "pricing",
            "selling",
            "listing",
            "trade",
            "sheet",
            "draw",
            "books",
            "shop",
            "shelfcheck",
        ],
    ),
    ("fields", &["measure"]),
    ("shelfcheck", &["measure", "forms", "protection", "pricing", "selling", "trade", "sheet", "fields"]),
    (
        "web",
        &[
            "measure",
            "shape",
            "plan",
            "forms",
            "protection",
            "droptest",
            "pricing",
            "selling",
            "listing",
            "trade",
            "sheet",
            "draw",
            "books",
            "papers",
            "shop",
            "keeping",
            "fields",
            "shelfcheck",
        ],
    ),
    (
        "lotwright",
        &[
            "measure",
            "shape",
            "plan",
            "forms",
            "protection",
            "cushion",
            "postage",
            "pricing",
            "selling",
            "listing",
            "droptest",
            "safety",
            "trade",
            "sheet",
            "draw",
            "web",
            "books",
            "papers",
            "shop",
            "keeping",
        ],
    ),
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

#[test]
fn no_room_uses_a_room_that_the_map_does_not_give_it() {
    let table: BTreeMap<&str, &[&str]> = MAY_USE.into_iter().collect();
    let mut rooms = 0;
    for entry in std::fs::read_dir(root().join("crates")).unwrap() {
        let folder = entry.unwrap().path();
        let room = folder.file_name().unwrap().to_string_lossy().into_owned();
        let manifest = std::fs::read_to_string(folder.join("Cargo.toml")).unwrap();
        let used = manifest.split("[dependencies]").nth(1).unwrap().split("\n[").next().unwrap();
        let allowed = table.get(room.as_str()).unwrap_or_else(|| panic!("room {room} is not on the map"));
        for line in used.lines() {
            let name = line.split(['.', ' ', '=']).next().unwrap_or("");
            if table.contains_key(name) {
                assert!(allowed.contains(&name), "{room} must not use {name}");
            }
        }
        rooms += 1;
    }
    assert_eq!(rooms, MAY_USE.len());
}

#[test]
fn the_architecture_page_names_every_room_and_its_arrows() {
    let page = std::fs::read_to_string(root().join("ARCHITECTURE.md")).unwrap();
    for (room, uses) in MAY_USE {
        let row = page
            .lines()
            .find(|line| line.starts_with(&format!("| `{room}` |")))
            .unwrap_or_else(|| panic!("no row for {room}"));
        for used in uses {
            assert!(row.contains(used), "the row of {room} does not name {used}");
        }
    }
}
