//! A static file server for `dist/`: GET and HEAD, right media types, nothing outside the folder.
//!
//! One thread per connection and one request per connection: enough for one developer and a phone.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Longest request head that is read, in bytes.
const HEAD_LIMIT: u64 = 16 * 1024;

/// Answers requests from the folder until the program ends.
pub fn serve(listener: &TcpListener, root: &'static Path) {
    for stream in listener.incoming().flatten() {
        std::thread::spawn(move || {
            // A visitor who goes away mid-answer is no event.
            let _ = answer(stream, root);
        });
    }
}

fn answer(mut stream: TcpStream, root: &Path) -> std::io::Result<()> {
    stream.set_read_timeout(Some(Duration::from_secs(10)))?;
    let mut reader = BufReader::new((&stream).take(HEAD_LIMIT));
    let mut request = String::new();
    reader.read_line(&mut request)?;
    // The rest of the head is read, so that closing does not reset the connection.
    let mut line = String::new();
    while reader.read_line(&mut line)? > 2 {
        line.clear();
    }
    let mut words = request.split(' ');
    let (method, target) = (words.next().unwrap_or(""), words.next().unwrap_or(""));
    if method != "GET" && method != "HEAD" {
        return reply(
            &mut stream,
            "405 Method Not Allowed",
            "text/plain",
            b"",
            true,
        );
    }
    let found = file_for(root, target).and_then(|path| Some((std::fs::read(&path).ok()?, path)));
    match found {
        Some((body, path)) => reply(
            &mut stream,
            "200 OK",
            media_type(&path),
            &body,
            method == "GET",
        ),
        None => reply(
            &mut stream,
            "404 Not Found",
            "text/plain; charset=utf-8",
            b"There is no such file.\n",
            method == "GET",
        ),
    }
}

fn reply(
    stream: &mut TcpStream,
    status: &str,
    media_type: &str,
    body: &[u8],
    with_body: bool,
) -> std::io::Result<()> {
    // no-cache: a rebuild can keep a file's name, so the browser must always ask.
    let head = format!(
        "HTTP/1.1 {status}\r\nContent-Type: {media_type}\r\nContent-Length: {}\r\n\
         Cache-Control: no-cache\r\nX-Content-Type-Options: nosniff\r\nConnection: close\r\n\r\n",
        body.len()
    );
    stream.write_all(head.as_bytes())?;
    if with_body {
        stream.write_all(body)?;
    }
    stream.flush()
}

/// The file a request target means; `None` for anything that is not a plain path below the root.
fn file_for(root: &Path, target: &str) -> Option<PathBuf> {
    let path = target.split(['?', '#']).next()?.strip_prefix('/')?;
    let mut file = root.to_owned();
    for part in path.split('/').filter(|part| !part.is_empty()) {
        // Names in dist/ are plain; a dot first covers `..`, and a percent or backslash is an escape.
        if part.starts_with('.') || part.contains(['%', '\\', ':', '\0']) {
            return None;
        }
        file.push(part);
    }
    if path.is_empty() || path.ends_with('/') {
        file.push("index.html");
    }
    file.is_file().then_some(file)
}

/// The media type by file ending; wasm needs its own for streaming compilation.
fn media_type(path: &Path) -> &'static str {
    match path.extension().and_then(|e| e.to_str()).unwrap_or("") {
        "html" => "text/html; charset=utf-8",
        "js" | "mjs" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "wasm" => "application/wasm",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        "txt" | "md" => "text/plain; charset=utf-8",
        "csv" => "text/csv; charset=utf-8",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_files_below_the_root_are_found() {
        let root = Path::new("static");
        let file = |target| file_for(root, target);
        assert_eq!(file("/icon.svg?x=1"), Some(root.join("icon.svg")));
        assert_eq!(
            file("/style//tokens.css"),
            Some(root.join("style/tokens.css"))
        );
        for outside in [
            "/../Cargo.toml",
            "/%2e%2e/Cargo.toml",
            "/style",
            "icon.svg",
            "/",
        ] {
            assert_eq!(file(outside), None, "{outside}");
        }
    }

    #[test]
    fn a_request_over_the_wire_gets_head_and_body() {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a loopback port");
        let address = listener.local_addr().expect("its address");
        std::thread::spawn(move || serve(&listener, Path::new("static")));
        let ask = |request: &str| {
            let mut stream = TcpStream::connect(address).expect("a connection");
            stream.write_all(request.as_bytes()).expect("sent");
            let mut text = String::new();
            stream.read_to_string(&mut text).expect("an answer");
            text
        };
        let got = ask("GET /icon.svg HTTP/1.1\r\nHost: x\r\n\r\n");
        assert!(got.starts_with("HTTP/1.1 200 OK\r\nContent-Type: image/svg+xml\r\n"));
        assert!(got.ends_with("</svg>\n"));
        let head = ask("HEAD /icon.svg HTTP/1.1\r\nHost: x\r\n\r\n");
        assert!(head.starts_with("HTTP/1.1 200 OK\r\n") && head.ends_with("\r\n\r\n"));
        assert!(ask("GET /none HTTP/1.1\r\n\r\n").starts_with("HTTP/1.1 404 "));
        assert!(ask("POST / HTTP/1.1\r\n\r\n").starts_with("HTTP/1.1 405 "));
    }
}
