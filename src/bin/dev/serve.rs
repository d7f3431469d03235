//! `cargo dev serve`: builds the page, serves it, builds it again when a source file changes.

use crate::{files, http, tools};
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpListener, UdpSocket};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Where to look first for a free port.
const PORT: u16 = 8080;
/// How many ports are tried.
const TRIES: u16 = 50;
/// How often the source files are looked at.
const LOOK_EVERY: Duration = Duration::from_millis(700);

/// What the words asked for.
#[derive(Debug, PartialEq, Eq)]
struct Options {
    address: IpAddr,
    port: u16,
    release: bool,
}

fn options(words: &[String]) -> Result<Options, String> {
    let mut options = Options {
        address: Ipv4Addr::LOCALHOST.into(),
        port: PORT,
        release: true,
    };
    let mut words = words.iter();
    while let Some(word) = words.next() {
        match word.as_str() {
            "--port" => {
                options.port = words
                    .next()
                    .and_then(|n| n.parse().ok())
                    .ok_or("`--port` needs a number from 0 to 65535.")?;
            }
            "--address" => {
                options.address = words
                    .next()
                    .and_then(|a| a.parse().ok())
                    .ok_or("`--address` needs an address, such as 127.0.0.1 or 0.0.0.0.")?;
            }
            "--debug" => options.release = false,
            other => return Err(format!("`serve` does not know `{other}`.")),
        }
    }
    Ok(options)
}

/// Builds and serves until it is stopped with Ctrl-C.
pub fn run(words: &[String]) -> Result<(), String> {
    let options = options(words)?;
    let folders = tools::for_page()?;
    let before = files::sources_state();
    tools::build_page(options.release, &folders)?;
    let listener = listen(&options)?;
    let port = listener
        .local_addr()
        .map_err(|e| format!("The server has no address: {e}."))?
        .port();
    announce(options.address, port);
    std::thread::spawn(move || rebuild_on_change(before, options.release, &folders));
    http::serve(&listener, Path::new("dist"));
    Ok(())
}

/// Takes the port, or the next free one above it.
fn listen(options: &Options) -> Result<TcpListener, String> {
    let last = options.port.saturating_add(TRIES);
    let mut trouble = String::new();
    for port in options.port..=last {
        match TcpListener::bind(SocketAddr::new(options.address, port)) {
            Ok(listener) => return Ok(listener),
            Err(e) => trouble = e.to_string(),
        }
    }
    Err(format!(
        "No port from {} to {last} can be used on {}: {trouble}.",
        options.port, options.address
    ))
}

fn announce(address: IpAddr, port: u16) {
    let shown = if address.is_unspecified() {
        Ipv4Addr::LOCALHOST.into()
    } else {
        address
    };
    println!(
        "\nLoomwright is at http://{}/",
        SocketAddr::new(shown, port)
    );
    if address.is_unspecified() {
        match own_address() {
            Some(own) => println!(
                "On a phone in the same network: http://{}/",
                SocketAddr::new(own, port)
            ),
            None => {
                println!("On a phone in the same network: this computer's address, then :{port}/")
            }
        }
        println!("Anyone in that network can open it. Offline use needs https or this computer.");
    }
    println!("Ctrl-C stops it.\n");
}

/// This computer's address in its network. Connecting a datagram socket sends nothing; it only
/// makes the system choose the interface. The target is an address reserved for documentation.
fn own_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind("0.0.0.0:0").ok()?;
    socket.connect("192.0.2.1:9").ok()?;
    Some(socket.local_addr().ok()?.ip())
}

fn rebuild_on_change(
    mut before: (Option<std::time::SystemTime>, usize),
    release: bool,
    folders: &[PathBuf],
) {
    loop {
        std::thread::sleep(LOOK_EVERY);
        let now = files::sources_state();
        if now != before {
            before = now;
            match tools::build_page(release, folders) {
                Ok(()) => println!("Load the page again and tap “Update now” to see the change."),
                Err(sentence) => println!("{sentence} The page before it is still served."),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Options, String> {
        let words: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
        options(&words)
    }

    #[test]
    fn options_are_read_and_wrong_ones_refused() {
        let all = read("--port 9000 --address 0.0.0.0 --debug").expect("options");
        assert_eq!(all.port, 9000);
        assert!(all.address.is_unspecified() && !all.release);
        for wrong in [
            "--port",
            "--port x",
            "--port 70000",
            "--address here",
            "--fast",
        ] {
            assert!(read(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_taken_port_is_passed_over() {
        let first = listen(&read("--port 0").expect("options")).expect("a port");
        let port = first.local_addr().expect("its address").port();
        let second = listen(&read(&format!("--port {port}")).expect("options")).expect("another");
        assert!(second.local_addr().expect("its address").port() > port);
    }
}
