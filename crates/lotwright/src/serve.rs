//! `lotwright serve`: the app in a browser. Clock, disk, secrets and network come together here.

use std::io::{IsTerminal as _, Read as _, Write as _};
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr, TcpListener, UdpSocket};
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::sync::Arc;

use clap::Args;
use jiff::{Timestamp, ZonedDateTime, tz::TimeZone};
use socket2::{Domain, Protocol, Socket, Type};
use web::{Access, App, Hosts, KeptChecks, Moment, Outside, Reach, ShopFiles, Tls};

use crate::offline_module;
use crate::problems::Stop;

/// The port when none is told (judgement: a free one on most machines).
const PORT: u16 = 7364;
/// Threads that answer; what takes long has threads of its own.
const THREADS: usize = 2;
/// The access record's name in the data folder.
const RECORD: &str = "access.toml";
/// The name of the record of checks that phones sent.
const CHECKS: &str = "checks.json";
/// More of a certificate, key or record is never read.
const MOST_BYTES: u64 = 16 << 20; // 500 checks of 24 kB, with room for how they are written
/// Addresses set aside for documents (published: RFC 5737 and 3849) and for networks of one's own (published: RFC
/// 4193): asking the way to them sends nothing.
const ELSEWHERE: [IpAddr; 3] = [
    IpAddr::V4(Ipv4Addr::new(192, 0, 2, 1)),
    IpAddr::V6(Ipv6Addr::new(0xfd00, 0, 0, 0, 0, 0, 0, 1)),
    IpAddr::V6(Ipv6Addr::new(0x2001, 0xdb8, 0, 0, 0, 0, 0, 1)),
];
/// Any port: nothing is sent.
const ANY_PORT: u16 = 9;
/// Connections that may wait to be taken in (judgement: what the standard library asks for).
const WAITING: i32 = 128;

/// Options of `serve`.
#[derive(Debug, Args)]
pub struct ServeArgs {
    /// The port; 0 takes any that is free
    #[arg(long, default_value_t = PORT)]
    pub port: u16,
    /// Let other devices on your own network in, by passphrase or pairing code
    #[arg(long)]
    pub lan: bool,
    /// A further name this machine is reached by ("kitchen.local"); may be given many times
    #[arg(long, value_name = "HOST")]
    pub name: Vec<String>,
    /// Set the passphrase for other devices, read from standard input, and end; all devices sign in anew
    #[arg(long)]
    pub set_passphrase: bool,
    /// Your own certificate with its chain (PEM), for TLS
    #[arg(long, value_name = "FILE", requires = "tls_key")]
    pub tls_cert: Option<PathBuf>,
    /// The certificate's key (PEM)
    #[arg(long, value_name = "FILE", requires = "tls_cert")]
    pub tls_key: Option<PathBuf>,
    /// The folder for what is kept; else the usual place for a program's data
    #[arg(long, value_name = "DIR")]
    pub data: Option<PathBuf>,
    /// Your shop file; left out, the one in the data folder
    #[arg(long, value_name = "FILE")]
    pub shop: Option<PathBuf>,
    /// The module that phones check by without a network, as ./offline builds it, or "none"; else the one beside
    /// this program or in the folder above, where there is one
    #[arg(long, value_name = "FILE")]
    pub offline: Option<PathBuf>,
    /// Do not open the browser
    #[arg(long)]
    pub no_open: bool,
    /// Take this as the present moment ("2026-03-02T09:00:00Z"), for trying things out
    #[arg(long, value_name = "TIME")]
    pub now: Option<String>,
}

/// Serves until it is ended from outside.
pub fn serve(args: &ServeArgs) -> Result<String, Stop> {
    let folder = folder(args.data.as_deref())?;
    let record = folder.join(RECORD);
    let access =
        Access::read(&kept(&record)?).map_err(|e| Stop::Input(format!("{}: {e}", record.display())))?;
    let outside = outside(args.now.as_deref(), record)?;
    if args.set_passphrase {
        return set_passphrase(&access, &outside);
    }
    let tls = tls(args)?;
    let module = offline_module::find(args.offline.as_deref())?;
    let checks = kept_checks(&folder)?;
    let listener = listen(args.lan, args.port).map_err(|e| {
        Stop::Outside(format!(
            "port {} can't be used: {e}; right would be: --port 0 for any that is free",
            args.port
        ))
    })?;
    let port = listener.local_addr().map_err(|e| Stop::Outside(e.to_string()))?.port();
    let here = if args.lan { lan_addresses() } else { Vec::new() };
    let here = here.iter().map(|address| match address {
        IpAddr::V4(address) => address.to_string(),
        IpAddr::V6(address) => format!("[{address}]"),
    });
    let names: Vec<String> = args.name.iter().cloned().chain(here).collect();
    let scheme = if tls.is_some() { "https" } else { "http" };
    let others: Vec<String> = names.iter().map(|host| format!("{scheme}://{host}:{port}")).collect();
    // A certificate is for a name, so the first name goes before the addresses.
    let lan =
        args.lan.then(|| others.first().cloned().unwrap_or_else(|| format!("{scheme}://127.0.0.1:{port}")));
    let reach = Reach { hosts: Hosts::new(port, &names), secure: tls.is_some(), lan: lan.clone() };
    let files = ShopFiles {
        own: args.shop.clone().unwrap_or_else(|| folder.join(crate::shopkeeping::FILE)),
        demo: folder.join(crate::shopkeeping::DEMO_FILE),
    };
    let app = App::new(access, outside, reach, files).map_err(Stop::input)?.with_kept_checks(checks);
    let app = match module {
        Some(module) => app.with_module(module),
        None => app,
    };
    // The books of many years take a moment to read; nothing waits for it that doesn't need them.
    let warmed = app.clone();
    std::thread::spawn(move || warmed.warm_up());
    let key = app.access().first_key(app.outside()).map_err(|e| Stop::Outside(e.to_string()))?;
    let own = match (&tls, args.name.first()) {
        (Some(_), Some(name)) => name.as_str(),
        _ => "127.0.0.1",
    };
    let link = format!("{scheme}://{own}:{port}/enter/{key}");
    tell(&link, if args.lan { &others } else { &[] })?;
    if !args.no_open && std::io::stdout().is_terminal() {
        open(&link);
    }
    tracing_subscriber::fmt().with_max_level(tracing::Level::WARN).with_writer(std::io::stderr).init();
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(THREADS)
        .enable_all()
        .build()
        .map_err(|e| Stop::Outside(e.to_string()))?;
    runtime
        .block_on(web::serve(listener, tls, web::router(app)))
        .map_err(|e| Stop::Outside(format!("the door can't be kept open: {e}")))?;
    Ok(String::new())
}

fn kept_checks(folder: &Path) -> Result<KeptChecks, Stop> {
    let record = folder.join(CHECKS);
    let text = kept(&record)?;
    let wrong = format!("{}: ", record.display());
    let keeper = move |text: &str| keep(&record, text).map_err(|e| format!("{}: {e}", record.display()));
    KeptChecks::read(&text, Arc::new(keeper)).map_err(|e| Stop::Input(format!("{wrong}{e}")))
}

fn tell(link: &str, others: &[String]) -> Result<(), Stop> {
    let others = if others.is_empty() {
        String::new()
    } else {
        format!("Other devices on your network: {}\n", others.join(" or "))
    };
    let text =
        format!("Open this once, in the browser of this machine:\n{link}\n{others}End it with Ctrl-C.\n");
    let mut out = std::io::stdout().lock();
    out.write_all(text.as_bytes())
        .and_then(|()| out.flush())
        .map_err(|e| Stop::Outside(format!("the link can't be written: {e}")))
}

fn set_passphrase(access: &Access, outside: &Outside) -> Result<String, Stop> {
    if std::io::stdin().is_terminal() {
        let _ = writeln!(std::io::stderr(), "Passphrase (it shows as you type):");
    }
    let mut line = String::new();
    std::io::stdin()
        .read_line(&mut line)
        .map_err(|e| Stop::Outside(format!("standard input can't be read: {e}")))?;
    access.set_passphrase(line.trim_end_matches(['\r', '\n']), outside).map_err(Stop::input)?;
    Ok(String::from("The passphrase is set. Start with: lotwright serve --lan\n"))
}

fn outside(now: Option<&str>, record: PathBuf) -> Result<Outside, Stop> {
    let fixed = now
        .map(|text| {
            text.parse::<Timestamp>().map_err(|_| {
                Stop::Input(format!(
                    "--now: \"{text}\" is no moment; right would be: --now 2026-03-02T09:00:00Z"
                ))
            })
        })
        .transpose()?;
    Ok(Outside {
        now: Arc::new(move || match fixed {
            Some(at) => Moment { at, day: at.to_zoned_datetime(TimeZone::UTC).date() },
            None => {
                let now = ZonedDateTime::now();
                Moment { at: now.timestamp(), day: now.date() }
            }
        }),
        secret: Arc::new(|| {
            let mut secret = [0; 32];
            getrandom::fill(&mut secret).map(|()| secret).map_err(|e| e.to_string())
        }),
        keep: Arc::new(move |text| keep(&record, text).map_err(|e| format!("{}: {e}", record.display()))),
    })
}

/// Written beside and then moved into place, so that a record is never half written; for the owner's eyes alone.
fn keep(record: &Path, text: &str) -> std::io::Result<()> {
    let beside = record.with_extension("new");
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(&beside)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()?;
    std::fs::rename(&beside, record)
}

fn kept(record: &Path) -> Result<String, Stop> {
    match bytes_of(record) {
        Ok(bytes) => String::from_utf8(bytes).map_err(|e| Stop::Input(format!("{}: {e}", record.display()))),
        Err(why) if why.kind() == std::io::ErrorKind::NotFound => Ok(String::new()),
        Err(why) => Err(Stop::Outside(format!("{}: {why}", record.display()))),
    }
}

fn bytes_of(path: &Path) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    std::fs::File::open(path)?.take(MOST_BYTES).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// The data folder, made for its owner alone where it isn't there yet.
fn folder(told: Option<&Path>) -> Result<PathBuf, Stop> {
    let folder = told.map(Path::to_path_buf).or_else(usual_folder).ok_or_else(|| {
        Stop::input("there is no usual place for data here; right would be: --data with a folder of your own")
    })?;
    let mut builder = std::fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(&folder).map_err(|e| Stop::Outside(format!("--data {}: {e}", folder.display())))?;
    Ok(folder)
}

fn usual_folder() -> Option<PathBuf> {
    let of = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    let data = if cfg!(windows) {
        of("LOCALAPPDATA")
    } else if cfg!(target_os = "macos") {
        of("HOME").map(|home| home.join("Library/Application Support"))
    } else {
        of("XDG_DATA_HOME").or_else(|| of("HOME").map(|home| home.join(".local/share")))
    };
    data.map(|data| data.join("lotwright"))
}

fn tls(args: &ServeArgs) -> Result<Option<Tls>, Stop> {
    let (Some(certificate), Some(key)) = (&args.tls_cert, &args.tls_key) else { return Ok(None) };
    let read = |option: &str, path: &Path| {
        bytes_of(path).map_err(|e| Stop::Input(format!("{option} {}: {e}", path.display())))
    };
    let tls = Tls::read(&read("--tls-cert", certificate)?, &read("--tls-key", key)?);
    tls.map(Some).map_err(Stop::input)
}

/// The socket that is listened on: this machine alone, or also its network, by both kinds of addresses where it has
/// both.
fn listen(lan: bool, port: u16) -> std::io::Result<TcpListener> {
    if !lan {
        return TcpListener::bind((Ipv4Addr::LOCALHOST, port));
    }
    match both(port) {
        // A port that is taken is taken; anything else says that there is no IPv6 here.
        Err(why) if why.kind() != std::io::ErrorKind::AddrInUse => {
            TcpListener::bind((Ipv4Addr::UNSPECIFIED, port))
        }
        listened => listened,
    }
}

/// One socket for both kinds of addresses, also where the system would give each its own.
fn both(port: u16) -> std::io::Result<TcpListener> {
    let socket = Socket::new(Domain::IPV6, Type::STREAM, Some(Protocol::TCP))?;
    socket.set_only_v6(false)?;
    // As the standard library does: a port is free again as soon as the program that had it has ended.
    #[cfg(unix)]
    socket.set_reuse_address(true)?;
    socket.bind(&SocketAddr::from((Ipv6Addr::UNSPECIFIED, port)).into())?;
    socket.listen(WAITING)?;
    Ok(socket.into())
}

/// This machine's addresses on its network: those it would send from. Nothing is sent.
fn lan_addresses() -> Vec<IpAddr> {
    let from = |to: IpAddr| {
        let any = match to {
            IpAddr::V4(_) => IpAddr::V4(Ipv4Addr::UNSPECIFIED),
            IpAddr::V6(_) => IpAddr::V6(Ipv6Addr::UNSPECIFIED),
        };
        let socket = UdpSocket::bind((any, 0)).ok()?;
        socket.connect((to, ANY_PORT)).ok()?;
        let address = socket.local_addr().ok()?.ip();
        // A browser can't be told by which way an address of one link is reached.
        let of_a_link = matches!(address, IpAddr::V6(address) if address.is_unicast_link_local());
        (!address.is_loopback() && !address.is_unspecified() && !of_a_link).then_some(address)
    };
    let mut found: Vec<IpAddr> = ELSEWHERE.into_iter().filter_map(from).collect();
    found.dedup();
    found
}

/// Opens the person's browser; where that fails the printed link is still there.
fn open(link: &str) {
    let (program, before): (&str, &[&str]) = if cfg!(windows) {
        ("rundll32", &["url.dll,FileProtocolHandler"])
    } else if cfg!(target_os = "macos") {
        ("open", &[])
    } else {
        ("xdg-open", &[])
    };
    let _ = std::process::Command::new(program)
        .args(before)
        .arg(link)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn();
}
