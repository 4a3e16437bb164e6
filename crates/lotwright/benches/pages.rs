//! How long the pages take with 100,000 orders in the shop, and how much of a processor they take: one client by
//! itself, 8 clients at once, and 8 clients while a ninth enters an expense, a listing and an order by turns. `cargo
//! bench -p lotwright --bench pages`. Prints, never asserts. The shop file is the one that `cargo bench -p shop --bench
//! hundred_thousand` leaves in the target folder; another is taken with `-- --shop FILE`. `--rounds N` asks each page so
//! often of each client.

use std::collections::BTreeMap;
use std::error::Error;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// Time, status and size of each answer, by page.
type Times = BTreeMap<&'static str, Vec<(Duration, u16, usize)>>;
type Done<T> = Result<T, Box<dyn Error + Send + Sync>>;

const CLIENTS: usize = 8;
/// Rounds through all pages of each client.
const ROUNDS: usize = 12;
/// How long the client that writes waits between two writes: a busy person enters nothing like as much.
const BETWEEN_WRITES: Duration = Duration::from_millis(400);
const NOW: &str = "2026-01-02T09:00:00Z";
const PAGES: [&str; 37] = [
    "/",
    "/shelf",
    "/measure?form=teapot",
    "/hauls",
    "/hauls?before=900",
    "/hauls/new",
    "/hauls/19000",
    "/hauls/19000/anew",
    "/finds/19000",
    "/finds/19000/measure",
    "/finds/19000/worth",
    "/tags?haul=19000",
    "/stock",
    "/stock?show=free&from=9900",
    "/listings",
    "/listings?show=over&from=19900",
    "/listings/new",
    "/listings/19000",
    "/orders",
    "/orders?page=1000",
    "/orders/99000",
    "/orders/99000/back",
    "/orders/99990/price",
    "/orders/new",
    "/bench",
    "/bench?page=2",
    "/bench/99990",
    "/bench/99990/ship",
    "/supplies",
    "/books",
    "/books?by=year&from=2021-01-01&to=2025-12-31",
    "/books/entries",
    "/books/moves",
    "/books/year/2025",
    "/settings",
    "/read",
    "/help",
];
/// What a person asks now and then and waits for: reports of a whole year, one row an order, a find or a haul.
const REPORTS: [&str; 4] = [
    "/books?by=order&from=2025-01-01&to=2025-12-31",
    "/books?by=find&from=2025-01-01&to=2025-12-31",
    "/books?by=haul&from=2025-01-01&to=2025-12-31",
    "/books/year/2025/workbook",
];

struct Answer {
    status: u16,
    bytes: usize,
    cookie: Option<String>,
    location: Option<String>,
}

fn asked(stream: &mut BufReader<TcpStream>, request: &str) -> Done<Answer> {
    stream.get_mut().write_all(request.as_bytes())?;
    let mut line = String::new();
    stream.read_line(&mut line)?;
    let status = line.split(' ').nth(1).ok_or("no status")?.parse()?;
    let (mut bytes, mut cookie, mut location) = (0, None, None);
    loop {
        line.clear();
        stream.read_line(&mut line)?;
        if line == "\r\n" {
            break;
        }
        let (name, value) = line.split_once(": ").ok_or("no header")?;
        match name.to_ascii_lowercase().as_str() {
            "content-length" => bytes = value.trim().parse()?,
            "set-cookie" => cookie = value.split(';').next().map(ToOwned::to_owned),
            "location" => location = Some(value.trim().to_owned()),
            _ => {}
        }
    }
    let mut body = vec![0; bytes];
    stream.read_exact(&mut body)?;
    Ok(Answer { status, bytes, cookie, location })
}

fn connected(host: &str) -> Done<BufReader<TcpStream>> {
    let stream = TcpStream::connect(host)?;
    stream.set_nodelay(true)?;
    Ok(BufReader::new(stream))
}

/// Where the server is and who asks.
#[derive(Clone, Copy)]
struct At<'a> {
    host: &'a str,
    cookie: &'a str,
}

impl At<'_> {
    fn get(self, stream: &mut BufReader<TcpStream>, page: &str) -> Done<(Duration, u16, usize)> {
        let At { host, cookie } = self;
        let started = Instant::now();
        let answer =
            asked(stream, &format!("GET {page} HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\n\r\n"))?;
        Ok((started.elapsed(), answer.status, answer.bytes))
    }

    fn post(self, stream: &mut BufReader<TcpStream>, page: &str, form: &str) -> Done<(Duration, Answer)> {
        let At { host, cookie } = self;
        let started = Instant::now();
        let answer = asked(
            stream,
            &format!(
                "POST {page} HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nCookie: {cookie}\r\n\
                 Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{form}",
                form.len()
            ),
        )?;
        Ok((started.elapsed(), answer))
    }
}

fn rounds(at: At<'_>, begin: usize, rounds: usize) -> Done<Times> {
    let mut stream = connected(at.host)?;
    let mut times = Times::new();
    for round in 0..rounds * PAGES.len() {
        // Each client is on another page at any time.
        let page = PAGES[(begin + round) % PAGES.len()];
        times.entry(page).or_default().push(at.get(&mut stream, page)?);
    }
    Ok(times)
}

/// Enters an expense, a listing of one piece and an order of it by turns, until it is told to stop.
fn writes(at: At<'_>, stop: &AtomicBool) -> Done<Times> {
    let mut stream = connected(at.host)?;
    let mut times = Times::new();
    let mut listing = String::new();
    let mut note = |what: &'static str, (time, answer): (Duration, Answer)| {
        times.entry(what).or_default().push((time, answer.status, answer.bytes));
        answer.location.filter(|_| answer.status == 303).ok_or_else(|| format!("{what} was refused"))
    };
    for turn in 0_u64.. {
        if stop.load(Ordering::Relaxed) {
            break;
        }
        std::thread::sleep(BETWEEN_WRITES);
        let once = format!("once=bench{turn}");
        match turn % 3 {
            0 => {
                let form = format!("{once}&what=other&amount=3.50&purse=cash&note=tape");
                note("an expense", at.post(&mut stream, "/books/moves", &form)?)?;
            }
            1 => {
                let find = 18_000 + turn / 3;
                let form = format!("{once}&holds=1+of+{find}&which=any&title=one+plate&lots=1&price=12.00");
                let to = note("a listing", at.post(&mut stream, "/listings/new", &form)?)?;
                listing = to.trim_start_matches("/listings/").to_owned();
            }
            _ => {
                let form = format!(
                    "{once}&listing-1={listing}&lots-1=1&price-1=12.00&to=606&shipping=5.00&paid=yes&into=balance"
                );
                note("an order", at.post(&mut stream, "/orders/new", &form)?)?;
            }
        }
    }
    Ok(times)
}

/// Seconds of a processor that a program has used so far, as far as the system tells (Linux).
fn used(server: &Child) -> Option<f64> {
    // Published: proc(5), /proc/PID/stat, fields 14 and 15, in ticks of which a second has 100.
    let stat = std::fs::read_to_string(format!("/proc/{}/stat", server.id())).ok()?;
    let mut fields = stat.rsplit(')').next()?.split_whitespace().skip(11);
    let (user, system): (f64, f64) = (fields.next()?.parse().ok()?, fields.next()?.parse().ok()?);
    Some((user + system) / 100.0)
}

fn memory(server: &Child) -> String {
    let status = std::fs::read_to_string(format!("/proc/{}/status", server.id())).unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    line.map_or_else(|| String::from("unknown"), |size| size.trim().to_owned())
}

fn print(heading: &str, pages: &[&'static str], times: &Times) {
    println!("\n{heading}");
    println!("{:<46} {:>6} {:>7} {:>9} {:>9}", "page", "status", "kB", "median ms", "99 % ms");
    for &page in pages {
        let mut rows = times.get(page).cloned().unwrap_or_default();
        rows.sort();
        let (status, bytes) = rows.first().map_or((0, 0), |row| (row.1, row.2));
        let (median, late) = (at_share(&rows, 0.5), at_share(&rows, 0.99));
        println!("{page:<46} {status:>6} {:>7.1} {median:>9.1} {late:>9.1}", bytes as f64 / 1e3);
    }
    let mut all: Vec<_> = times.values().flatten().copied().collect();
    all.sort();
    println!(
        "{:<46} {:>6} {:>7} {:>9.1} {:>9.1}",
        "all of them",
        all.len(),
        "",
        at_share(&all, 0.5),
        at_share(&all, 0.99)
    );
}

fn at_share(sorted: &[(Duration, u16, usize)], share: f64) -> f64 {
    let at = ((sorted.len() as f64 * share) as usize).min(sorted.len().saturating_sub(1));
    sorted.get(at).map_or(f64::NAN, |row| 1e3 * row.0.as_secs_f64())
}

/// All clients at once; with one more that writes where that is told.
fn at_once(at: At<'_>, count: usize, writing: bool) -> Done<(Times, Times)> {
    let stop = AtomicBool::new(false);
    let (read, wrote) = std::thread::scope(|scope| {
        let stop = &stop;
        let writer = writing.then(|| scope.spawn(move || writes(at, stop)));
        let clients: Vec<_> =
            (0..CLIENTS).map(|client| scope.spawn(move || rounds(at, client * 5, count))).collect();
        let read: Vec<_> = clients.into_iter().map(|client| client.join()).collect();
        stop.store(true, Ordering::Relaxed);
        (read, writer.map(|writer| writer.join()))
    });
    let mut times = Times::new();
    for found in read {
        for (page, more) in found.map_err(|_| "a client broke")?? {
            times.entry(page).or_default().extend(more);
        }
    }
    let wrote =
        wrote.map(|wrote| wrote.map_err(|_| "the client that writes broke")).transpose()?.transpose()?;
    Ok((times, wrote.unwrap_or_default()))
}

fn main() -> Done<()> {
    let args: Vec<String> = std::env::args().collect();
    let value = |name: &str| args.iter().position(|arg| arg == name).and_then(|at| args.get(at + 1));
    let shop = match value("--shop") {
        Some(path) => PathBuf::from(path),
        None => PathBuf::from(env!("CARGO_TARGET_TMPDIR"))
            .join(format!("orders-100000-version-{}.shop", shop::VERSION)),
    };
    let count = value("--rounds").map_or(Ok(ROUNDS), |text| text.parse())?;
    if !shop.exists() {
        println!(
            "{} isn't there; make it with: cargo bench -p shop --bench hundred_thousand",
            shop.display()
        );
        return Ok(());
    }
    let folder = tempfile::tempdir()?;
    let copy = folder.path().join("shop.lotwright");
    std::fs::copy(&shop, &copy)?;
    // Else the first write of the server waits until the copy is on the disk.
    std::fs::File::open(&copy)?.sync_all()?;
    drop(shop::Shop::open(&copy, NOW.parse()?)?);
    let mut server = Command::new(env!("CARGO_BIN_EXE_lotwright"))
        .args(["serve", "--port", "0", "--no-open", "--now", NOW, "--data"])
        .arg(folder.path())
        .stdout(Stdio::piped())
        .spawn()?;
    let done = measured(&mut server, count);
    server.kill()?;
    server.wait()?;
    done
}

fn measured(server: &mut Child, count: usize) -> Done<()> {
    let out = BufReader::new(server.stdout.take().ok_or("no output")?);
    let link = out
        .lines()
        .map_while(Result::ok)
        .find(|line| line.starts_with("http"))
        .ok_or("the server printed no link")?;
    let (host, key) = link.trim_start_matches("http://").split_once("/enter/").ok_or("no key in the link")?;
    let key = format!("key={key}");
    let (_, entered) = At { host, cookie: "" }.post(&mut connected(host)?, "/enter", &key)?;
    let cookie = entered.cookie.ok_or("not let in")?;
    let at = At { host, cookie: &cookie };
    let mut stream = connected(host)?;
    for page in ["/orders", "/"] {
        let (time, ..) = at.get(&mut stream, page)?;
        println!("{page} right after the start: {:.0} ms", 1e3 * time.as_secs_f64());
    }
    let mut alone = Times::new();
    println!("\nOne client: processor time of each page, first where it is asked anew, then on average");
    for page in PAGES.into_iter().chain(REPORTS) {
        let begun = used(server);
        let first = at.get(&mut stream, page)?;
        let (often, mut more) = (40, Vec::new());
        let then = used(server);
        for _ in 0..often {
            more.push(at.get(&mut stream, page)?);
        }
        let took = |from: Option<f64>, to: Option<f64>| {
            from.zip(to).map_or(f64::NAN, |(from, to)| 1e3 * (to - from))
        };
        println!(
            "{page:<46} first {:>7.1} ms, processor {:>5.0} ms; then {:>6.2} ms",
            1e3 * first.0.as_secs_f64(),
            took(begun, then),
            took(then, used(server)) / f64::from(often)
        );
        alone.insert(page, more);
    }
    print("One client", &PAGES, &alone);
    let (begun, started) = (used(server), Instant::now());
    let (times, _) = at_once(at, count, false)?;
    print("8 clients at once", &PAGES, &times);
    tell_used(server, begun, started, &times);
    let (begun, started) = (used(server), Instant::now());
    let (times, wrote) = at_once(at, count, true)?;
    print("8 clients at once while a ninth writes", &PAGES, &times);
    print("the ninth", &["an expense", "a listing", "an order"], &wrote);
    tell_used(server, begun, started, &times);
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let machine = std::fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
    let machine = machine.lines().find_map(|line| line.strip_prefix("model name")?.split(": ").nth(1));
    let load = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    println!(
        "\n{CLIENTS} clients, {threads} threads, {}, server's memory {}, load {}",
        machine.unwrap_or("machine unknown"),
        memory(server),
        load.trim()
    );
    Ok(())
}

fn tell_used(server: &Child, begun: Option<f64>, started: Instant, times: &Times) {
    let pages: usize = times.values().map(Vec::len).sum();
    if let Some(took) = begun.zip(used(server)).map(|(from, to)| to - from) {
        println!(
            "{pages} pages in {:.1} s; {:.1} ms of a processor each",
            started.elapsed().as_secs_f64(),
            1e3 * took / pages as f64
        );
    }
}
