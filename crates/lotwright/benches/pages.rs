//! How long the pages take with 100,000 orders in the shop, 8 clients at once on loopback: `cargo bench -p lotwright
//! --bench pages`. Prints, never asserts. The shop file is the one that `cargo bench -p shop --bench hundred_thousand`
//! leaves in the target folder; another is taken with `-- --shop FILE`.

use std::collections::BTreeMap;
use std::error::Error;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Time, status and size of each answer, by page.
type Times = BTreeMap<&'static str, Vec<(Duration, u16, usize)>>;
type Done<T> = Result<T, Box<dyn Error + Send + Sync>>;

const CLIENTS: usize = 8;
/// Rounds through all pages of each client.
const ROUNDS: usize = 12;
const NOW: &str = "2026-01-02T09:00:00Z";
const PAGES: [&str; 18] = [
    "/",
    "/shelf",
    "/measure?form=teapot",
    "/hauls",
    "/hauls/19000",
    "/finds/19000",
    "/stock",
    "/listings",
    "/listings/19000",
    "/orders",
    "/orders/99000",
    "/orders/new",
    "/bench",
    "/supplies",
    "/books",
    "/books/year/2025",
    "/settings",
    "/help",
];

struct Answer {
    status: u16,
    bytes: usize,
    cookie: Option<String>,
}

fn asked(stream: &mut BufReader<TcpStream>, request: &str) -> Done<Answer> {
    stream.get_mut().write_all(request.as_bytes())?;
    let mut line = String::new();
    stream.read_line(&mut line)?;
    let status = line.split(' ').nth(1).ok_or("no status")?.parse()?;
    let (mut bytes, mut cookie) = (0, None);
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
            _ => {}
        }
    }
    let mut body = vec![0; bytes];
    stream.read_exact(&mut body)?;
    Ok(Answer { status, bytes, cookie })
}

fn connected(host: &str) -> Done<BufReader<TcpStream>> {
    let stream = TcpStream::connect(host)?;
    stream.set_nodelay(true)?;
    Ok(BufReader::new(stream))
}

fn rounds(host: &str, cookie: &str, begin: usize) -> Done<Times> {
    let mut stream = connected(host)?;
    let mut times = Times::new();
    for round in 0..ROUNDS * PAGES.len() {
        // Each client is on another page at any time.
        let page = PAGES[(begin + round) % PAGES.len()];
        let started = Instant::now();
        let answer =
            asked(&mut stream, &format!("GET {page} HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\n\r\n"))?;
        times.entry(page).or_default().push((started.elapsed(), answer.status, answer.bytes));
    }
    Ok(times)
}

fn main() -> Done<()> {
    let args: Vec<String> = std::env::args().collect();
    let told = args.iter().position(|arg| arg == "--shop").and_then(|at| args.get(at + 1));
    let shop = match told {
        Some(path) => PathBuf::from(path),
        None => PathBuf::from(env!("CARGO_TARGET_TMPDIR"))
            .join(format!("orders-100000-version-{}.shop", shop::VERSION)),
    };
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
    let mut server = Command::new(env!("CARGO_BIN_EXE_lotwright"))
        .args(["serve", "--port", "0", "--no-open", "--now", NOW, "--data"])
        .arg(folder.path())
        .stdout(Stdio::piped())
        .spawn()?;
    let out = BufReader::new(server.stdout.take().ok_or("no output")?);
    let link = out
        .lines()
        .map_while(Result::ok)
        .find(|line| line.starts_with("http"))
        .ok_or("the server printed no link")?;
    let (host, key) = link.trim_start_matches("http://").split_once("/enter/").ok_or("no key in the link")?;
    let body = format!("key={key}");
    let entered = asked(
        &mut connected(host)?,
        &format!(
            "POST /enter HTTP/1.1\r\nHost: {host}\r\nContent-Type: application/x-www-form-urlencoded\r\n\
             Content-Length: {}\r\n\r\n{body}",
            body.len()
        ),
    )?;
    let cookie = entered.cookie.ok_or("not let in")?;
    let started = Instant::now();
    asked(
        &mut connected(host)?,
        &format!("GET /orders HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\n\r\n"),
    )?;
    println!("first page of the shop after the start: {:.0} ms", 1e3 * started.elapsed().as_secs_f64());
    let mut times = Times::new();
    let all: Vec<_> = std::thread::scope(|scope| {
        let cookie = cookie.as_str();
        let clients: Vec<_> =
            (0..CLIENTS).map(|client| scope.spawn(move || rounds(host, cookie, client * 5))).collect();
        clients.into_iter().map(|client| client.join()).collect()
    });
    server.kill()?;
    server.wait()?;
    for found in all {
        for (page, more) in found.map_err(|_| "a client broke")?? {
            times.entry(page).or_default().extend(more);
        }
    }
    println!("{:<22} {:>6} {:>9} {:>10} {:>10}", "page", "status", "kB", "median ms", "99 % ms");
    for page in PAGES {
        let mut rows = times.remove(page).unwrap_or_default();
        rows.sort();
        let ms = |share: f64| {
            let at = ((rows.len() as f64 * share) as usize).min(rows.len().saturating_sub(1));
            rows.get(at).map_or(f64::NAN, |row| 1e3 * row.0.as_secs_f64())
        };
        let (status, bytes) = rows.first().map_or((0, 0), |row| (row.1, row.2));
        println!("{page:<22} {status:>6} {:>9.1} {:>10.1} {:>10.1}", bytes as f64 / 1e3, ms(0.5), ms(0.99));
    }
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let machine = std::fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
    let machine = machine.lines().find_map(|line| line.strip_prefix("model name")?.split(": ").nth(1));
    println!("{CLIENTS} clients, {threads} threads, {}", machine.unwrap_or("machine unknown"));
    Ok(())
}
