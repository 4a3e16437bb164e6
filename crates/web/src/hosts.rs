//! The names under which this app may be asked for: anything else is a page on another site that had its name
//! pointed here.

use std::collections::BTreeSet;
use std::net::SocketAddr;

use axum::extract::{Request, State};
use axum::http::{StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};

use crate::App;
use crate::door::Reached;

/// Exact `host:port` pairs that are answered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hosts {
    names: BTreeSet<String>,
}

impl Hosts {
    /// The loopback names on this port, and others that the person allows, each with the same port.
    #[must_use]
    pub fn new(port: u16, others: &[String]) -> Self {
        let loopback = ["127.0.0.1", "localhost", "[::1]"].map(String::from);
        let names = loopback.iter().chain(others).map(|name| format!("{}:{port}", name.to_ascii_lowercase()));
        let mut names: BTreeSet<String> = names.collect();
        // A browser leaves the usual ports out.
        if port == 80 || port == 443 {
            names.extend(loopback.iter().chain(others).map(|name| name.to_ascii_lowercase()));
        }
        Self { names }
    }

    /// Whether this is one of them.
    #[must_use]
    pub fn allows(&self, host: &str) -> bool {
        self.names.contains(&host.to_ascii_lowercase())
    }
}

/// Whether a name is the very address that a connection came to. No site elsewhere can have such a name, and an
/// address may change while the program runs.
fn is_the_address(host: &str, reached: SocketAddr) -> bool {
    let usual = reached.port() == 80 || reached.port() == 443;
    host.parse() == Ok(reached)
        || usual && (host.parse() == Ok(reached.ip()) || host == format!("[{}]", reached.ip()))
}

/// Answers 421 to a request under any other name.
pub(crate) async fn check(State(app): State<App>, request: Request, next: Next) -> Response {
    let named = request.headers().get(header::HOST).and_then(|host| host.to_str().ok());
    // An absolute request line counts as well: both must be ours.
    let in_line = request.uri().authority().map(|authority| authority.as_str());
    // Only where other devices may come in: on this machine alone the loopback names are all there is.
    let reached = request.extensions().get::<Reached>().filter(|_| app.reach().lan.is_some());
    let ours = |host: &str| {
        app.hosts().allows(host) || reached.is_some_and(|Reached(reached)| is_the_address(host, *reached))
    };
    if !named.is_some_and(ours) || !in_line.is_none_or(ours) {
        return (StatusCode::MISDIRECTED_REQUEST, "This app is not here under that name.\n").into_response();
    }
    next.run(request).await
}

#[cfg(test)]
mod tests {
    use super::{Hosts, is_the_address};

    #[test]
    fn only_exact_names_with_their_port_are_allowed() {
        let hosts = Hosts::new(8765, &[String::from("Kitchen.local")]);
        for name in ["127.0.0.1:8765", "localhost:8765", "LOCALHOST:8765", "[::1]:8765", "kitchen.local:8765"]
        {
            assert!(hosts.allows(name), "{name}");
        }
        for name in ["127.0.0.1", "127.0.0.1:80", "localhost.example:8765", "example:8765", "", ":8765"] {
            assert!(!hosts.allows(name), "{name}");
        }
        assert!(Hosts::new(443, &[]).allows("localhost"));
    }

    #[test]
    fn the_address_that_was_reached_is_a_name_and_no_other_is() {
        let reached = |text: &str| text.parse().expect("an address");
        assert!(is_the_address("[2001:db8::7]:8765", reached("[2001:db8::7]:8765")));
        assert!(is_the_address("[2001:DB8:0::7]:8765", reached("[2001:db8::7]:8765")));
        assert!(is_the_address("192.0.2.7:8765", reached("192.0.2.7:8765")));
        assert!(is_the_address("[2001:db8::7]", reached("[2001:db8::7]:443")));
        for name in ["192.0.2.7", "192.0.2.7:80", "192.0.2.8:8765", "elsewhere:8765", "", "[::1]:8765"] {
            assert!(!is_the_address(name, reached("192.0.2.7:8765")), "{name}");
        }
    }
}
