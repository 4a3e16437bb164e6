//! How the app is opened, and what is refused before it is.

#![allow(clippy::unwrap_used)] // A test that cannot run its command has failed.

use std::io::{BufRead as _, BufReader, Write as _};
use std::path::PathBuf;
use std::process::{Child, Command, Output, Stdio};

/// A data folder of a test's own, removed at the end.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("lotwright-serve-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        Self(path)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn serve(folder: &Folder, more: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lotwright"));
    command.args(["serve", "--no-open", "--data"]).arg(&folder.0).args(more);
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

fn ended(mut child: Child, typed: &str) -> Output {
    child.stdin.take().unwrap().write_all(typed.as_bytes()).unwrap();
    child.wait_with_output().unwrap()
}

fn refused(folder: &Folder, more: &[&str], typed: &str) -> String {
    let output = ended(serve(folder, more).spawn().unwrap(), typed);
    assert_eq!(output.status.code(), Some(2), "{output:?}");
    String::from_utf8(output.stderr).unwrap()
}

#[test]
fn other_devices_are_let_in_only_after_a_passphrase_was_set_and_only_its_hash_is_kept() {
    let folder = Folder::new("lan");
    assert!(refused(&folder, &["--lan", "--port", "0"], "").contains("serve --set-passphrase"));
    assert!(refused(&folder, &["--set-passphrase"], "teacup\n").contains("12 or more"));
    let set = ended(serve(&folder, &["--set-passphrase"]).spawn().unwrap(), "four plain words here\n");
    assert!(set.status.success());
    let kept = std::fs::read_to_string(folder.0.join("access.toml")).unwrap();
    assert!(kept.contains("$argon2id$") && !kept.contains("plain words"));
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let mode = |path: &std::path::Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!((mode(&folder.0), mode(&folder.0.join("access.toml"))), (0o700, 0o600));
    }
}

#[test]
fn the_link_that_is_printed_is_on_this_machine_and_of_the_port_it_listens_on() {
    let folder = Folder::new("link");
    let mut child = serve(&folder, &["--port", "0", "--now", "2026-03-02T09:00:00Z"]).spawn().unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let link = lines.nth(1).unwrap().unwrap();
    let address = link.strip_prefix("http://").unwrap().split('/').next().unwrap().to_owned();
    let reached = std::net::TcpStream::connect(&address).is_ok();
    child.kill().unwrap();
    child.wait().unwrap();
    assert!(address.starts_with("127.0.0.1:") && link.contains("/enter/") && reached, "{link}");
}

/// What the door answers under a name, on a connection to an address.
fn asked(address: std::net::SocketAddr, host: &str) -> String {
    use std::io::Read as _;
    let mut stream = std::net::TcpStream::connect(address).unwrap();
    stream.set_read_timeout(Some(std::time::Duration::from_secs(20))).unwrap();
    write!(stream, "GET /enter HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n").unwrap();
    let mut text = String::new();
    let _ = stream.read_to_string(&mut text);
    text
}

#[test]
fn other_devices_reach_it_by_both_kinds_of_addresses_and_by_no_other_name() {
    let folder = Folder::new("both");
    assert!(
        ended(serve(&folder, &["--set-passphrase"]).spawn().unwrap(), "four plain words here\n")
            .status
            .success()
    );
    let mut child = serve(&folder, &["--lan", "--port", "0"]).spawn().unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let link = lines.nth(1).unwrap().unwrap();
    let others = lines.next().unwrap().unwrap();
    let port: u16 = link.split([':', '/']).nth(4).unwrap().parse().unwrap();
    let mut answers = vec![asked(([127, 0, 0, 1], port).into(), &format!("127.0.0.1:{port}"))];
    // Where the machine has no IPv6 there is nothing more to reach.
    let has_v6 = std::net::UdpSocket::bind("[::1]:0").is_ok();
    if has_v6 {
        answers.push(asked((std::net::Ipv6Addr::LOCALHOST, port).into(), &format!("[::1]:{port}")));
    }
    let told = others.split(['/', ' ']).filter(|part| part.ends_with(&format!(":{port}")));
    for host in told {
        answers.push(asked(host.parse().unwrap(), host));
    }
    let elsewhere = asked(([127, 0, 0, 1], port).into(), &format!("[2001:db8::7]:{port}"));
    child.kill().unwrap();
    child.wait().unwrap();
    for answer in answers {
        assert!(answer.starts_with("HTTP/1.1 200") && answer.contains("Come in"), "{others}: {answer}");
    }
    assert!(elsewhere.starts_with("HTTP/1.1 421"), "{elsewhere}");
}

#[test]
fn what_cannot_be_used_is_said_before_anything_opens() {
    let folder = Folder::new("wrong");
    assert!(refused(&folder, &["--now", "yesterday"], "").contains("2026-03-02T09:00:00Z"));
    assert!(refused(&folder, &["--tls-cert", "no-such-file"], "").contains("--tls-key"));
    let both = ["--port", "0", "--tls-cert", "no-such-file", "--tls-key", "no-such-file"];
    assert!(refused(&folder, &both, "").contains("no-such-file"));
    std::fs::write(folder.0.join("access.toml"), "passphrase = 3").unwrap();
    assert!(refused(&folder, &["--port", "0"], "").contains("access record"));
}

#[test]
fn a_module_that_was_told_must_be_one_and_none_is_none() {
    let folder = Folder::new("module");
    assert!(refused(&folder, &["--port", "0", "--offline", "no-such.wasm"], "").contains("no-such.wasm"));
    let other = folder.0.join("other.wasm");
    std::fs::write(&other, "not a module").unwrap();
    let said = refused(&folder, &["--port", "0", "--offline", other.to_str().unwrap()], "");
    assert!(said.contains("no WebAssembly module") && said.contains("./offline"), "{said}");
    std::fs::write(folder.0.join("checks.json"), "{").unwrap();
    assert!(refused(&folder, &["--port", "0", "--offline", "none"], "").contains("checks.json"));
}
