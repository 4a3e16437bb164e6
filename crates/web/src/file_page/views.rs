//! The page of the shop file, drawn.

use jiff::civil::DateTime;
use keeping::{Copy, MOST_SENT};
use maud::{Markup, html};
use shop::{Glance, Record};

use super::{Done, Found};
use crate::form::{Mistakes, once_field};

/// Backups that are listed.
const MOST_LISTED: usize = 100;

pub(super) fn whole(found: &Found, mistakes: &Mistakes, done: Option<Done>, key: &str) -> Markup {
    html! {
        @if let Some(done) = done { p.verdict role="status" { (done_words(done)) } }
        (itself(found, key))
        (backups(found, mistakes))
        (everything_out(found))
        @if found.has_demo {
            section aria-labelledby="demo" {
                h2 #demo { "The demo shop" }
                p { "It lies in a file of its own. " a href="/file/erase-demo" { "Erase the demo" } }
            }
        }
        p { a href="/help#file" { "How to use this page" } }
    }
}

const fn done_words(done: Done) -> &'static str {
    match done {
        Done::BackedUp => "Backed up",
        Done::Restored => "Put back; what was there before is in the list of backups",
        Done::Removed => "The backup is removed",
        Done::Cleared => "Cleared away",
    }
}

fn itself(found: &Found, key: &str) -> Markup {
    html! {
        section aria-labelledby="itself" {
            h2 #itself { "The file" }
            p { "It lies at " code { (found.path.display()) } }
            @match &found.shop {
                None => { p { "It isn't there yet. " a href="/begin" { "Begin your shop" } ", or send in a backup of it below." } }
                Some(Err(why)) => {
                    p.caution { "It can't be used now: " (why) }
                    p { "Put a backup back; what is there now is kept beside it under another name." }
                }
                Some(Ok(glance)) => {
                    table.figures {
                        caption { "What it holds" }
                        tbody {
                            tr { th scope="row" { "Size" } td.num { (bytes(glance.bytes)) } }
                            tr { th scope="row" { "Version" } td.num { (glance.version) } }
                            tr { th scope="row" { "Last entry" } td.num { (day_of(glance)) } }
                            tr { th scope="row" { "Entries" } td.num { (glance.events) } }
                            @for (record, count) in &glance.counts {
                                tr { th scope="row" { (record_word(*record)) } td.num { (count) } }
                            }
                        }
                    }
                    form method="post" action="/file/back-up" {
                        (once_field(key))
                        div.actions {
                            button type="submit" { "Back up now" }
                            a.quiet href="/file/check" { "Look it over" }
                            a.quiet href="/history" { "What happened" }
                        }
                    }
                    p.hint { "The shop can be in use meanwhile. Photos and papers go along. Looking over a large shop takes a minute." }
                }
            }
        }
    }
}

fn backups(found: &Found, mistakes: &Mistakes) -> Markup {
    let mistake = mistakes.of("backup");
    html! {
        section aria-labelledby="backups" {
            h2 #backups { "Backups" }
            @if found.copies.is_empty() { p { "None yet. A backup on this machine helps when something went wrong in the shop; carry one away for when the machine is gone." } }
            @else {
                p.hint { "Carried away, a backup is one zip file with its photos and papers. They lie in " code { (keeping::copies_folder(&found.path).display()) } }
                ul.plain {
                    @for copy in found.copies.iter().take(MOST_LISTED) {
                        li.beside-words {
                            span { @match copy.made { Some(made) => { (moment(made)) " UTC" } None => (copy.name) } ": " (copy.origin.words()) ", " (bytes(copy.bytes)) }
                            span.actions {
                                a.target href=(address(copy, "restore")) { "Put back" span.unseen { " " (copy.name) } }
                                a.target href={ "/file/backups/" (coded(&copy.name)) } download { "Carry away" span.unseen { " " (copy.name) } }
                            }
                        }
                    }
                }
                @if found.copies.len() > MOST_LISTED { p { (found.copies.len() - MOST_LISTED) " older ones lie in the folder." } }
            }
            form method="post" action="/file/send" enctype="multipart/form-data" {
                div.field.wrong[mistake.is_some()] {
                    label for="backup" { "Put back a backup from elsewhere" }
                    p.hint #backup-hint { "A zip file as it was carried away, or a shop file alone; up to " (MOST_SENT >> 20) " MB. You are asked again before anything is replaced." }
                    @if let Some(message) = mistake { p.mistake #backup-mistake { span.unseen { "Error: " } (message) } }
                    input #backup type="file" name="backup" required aria-describedby=(if mistake.is_some() { "backup-hint backup-mistake" } else { "backup-hint" }) aria-invalid=[mistake.map(|_| "true")];
                }
                button.quiet type="submit" { "Send it in" }
            }
        }
    }
}

fn everything_out(found: &Found) -> Markup {
    html! {
        @if let Some(Ok(_)) = &found.shop {
            section aria-labelledby="out" {
                h2 #out { "Everything as tables" }
                ul {
                    li { a href="/books/export/csv" download { "Every table as CSV" } ", in one zip file" }
                    li { a href="/books/export/json" download { "Everything as JSON" } }
                    li { "A year as a spreadsheet: on the page of the year, from " a href="/books" { "the books" } }
                }
            }
        }
    }
}

/// Where something is done with a copy.
pub(super) fn address(copy: &Copy, what: &str) -> String {
    format!("/file/backups/{}/{what}", coded(&copy.name))
}

/// A name as a part of an address.
fn coded(name: &str) -> String {
    let one = |byte: u8| match byte {
        b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => char::from(byte).to_string(),
        other => format!("%{other:02X}"),
    };
    name.bytes().map(one).collect()
}

/// A moment as people read it.
pub(super) fn moment(made: DateTime) -> String {
    made.strftime("%Y-%m-%d %H:%M").to_string()
}

/// The day of the last entry.
pub(super) fn day_of(glance: &Glance) -> String {
    let day = glance.last_at.as_deref().and_then(|at| at.get(..10));
    day.unwrap_or("none").to_owned()
}

/// A size as people read it.
pub(super) fn bytes(bytes: u64) -> String {
    match bytes {
        small if small < 1000 => format!("{small} bytes"),
        small if small < 1_000_000 => format!("{:.0} kB", small as f64 / 1e3),
        large => format!("{:.1} MB", large as f64 / 1e6),
    }
}

/// Records of a kind, as the head of a row.
pub(super) const fn record_word(record: Record) -> &'static str {
    match record {
        Record::Haul => "Hauls",
        Record::Find => "Finds",
        Record::Listing => "Listings",
        Record::Order => "Orders",
        Record::Parcel => "Parcels",
        Record::Attachment => "Photos and papers",
        // A glance counts no others.
        Record::Place
        | Record::Measurement
        | Record::Flaw
        | Record::Comp
        | Record::Split
        | Record::OrderLine
        | Record::Supply
        | Record::ComingBack
        | Record::Swap
        | Record::Claim
        | Record::Venue
        | Record::RateCard
        | Record::Setting
        | Record::Tuning
        | Record::Entry => record.word(),
    }
}

#[cfg(test)]
mod tests {
    use super::{bytes, coded};

    #[test]
    fn a_name_stays_one_part_of_an_address() {
        assert_eq!(coded("shop-1.lotwright"), "shop-1.lotwright");
        assert_eq!(coded("my /shop?é"), "my%20%2Fshop%3F%C3%A9");
    }

    #[test]
    fn sizes_are_told_in_the_unit_that_fits() {
        assert_eq!(
            [999, 1000, 999_499, 1_000_000, 304_349_184].map(bytes),
            ["999 bytes", "1 kB", "999 kB", "1.0 MB", "304.3 MB"]
        );
    }
}
