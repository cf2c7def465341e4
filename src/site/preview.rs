//! The site served to browsers on this machine, for a look at it: a fixed set of files, read only.

use super::SiteError;
use super::files::{File, Site};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::sync::Arc;
use std::time::Duration;

/// The most bytes of a request that are read.
const MOST_REQUEST_BYTES: u64 = 16_384;

/// How long a browser may take over a request or an answer.
const PATIENCE: Duration = Duration::from_secs(10);

/// A server that has its address and does not serve yet.
#[derive(Debug)]
pub struct Preview {
    listener: TcpListener,
    site: Arc<Site>,
}

impl Preview {
    /// Binds a port of the loopback address; 0 takes any free one.
    ///
    /// # Errors
    ///
    /// If the port is taken.
    pub fn bind(site: Site, port: u16) -> Result<Self, SiteError> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(|error| {
            SiteError(format!(
                "cannot serve on port {port}: {error}; choose another with --port"
            ))
        })?;
        Ok(Self {
            listener,
            site: Arc::new(site),
        })
    }

    /// The address to open.
    pub fn address(&self) -> String {
        let port = self
            .listener
            .local_addr()
            .map_or(0, |address| address.port());
        format!("http://{}:{port}/", Ipv4Addr::LOCALHOST)
    }

    /// Serves until the program is ended.
    pub fn serve(self) {
        for stream in self.listener.incoming().flatten() {
            let site = Arc::clone(&self.site);
            // A browser that goes away in the middle is no fault of ours.
            std::thread::spawn(move || answer(stream, &site).ok());
        }
    }
}

fn answer(mut stream: TcpStream, site: &Site) -> std::io::Result<()> {
    stream.set_read_timeout(Some(PATIENCE))?;
    stream.set_write_timeout(Some(PATIENCE))?;
    let mut lines = BufReader::new(stream.try_clone()?.take(MOST_REQUEST_BYTES)).lines();
    let request = lines.next().transpose()?.unwrap_or_default();
    // The rest of the head is read, so that closing does not cut the answer off.
    for line in lines {
        if line?.is_empty() {
            break;
        }
    }
    let mut parts = request.split(' ');
    let (method, path) = (
        parts.next().unwrap_or_default(),
        parts.next().unwrap_or_default(),
    );
    let path = path.split(['?', '#']).next().unwrap_or_default();
    match (method, find(site, path)) {
        // Browsers ask for an icon of their own accord; there is none.
        ("GET" | "HEAD", None) if path == "/favicon.ico" => {
            respond(&mut stream, "204 No Content", "image/x-icon", b"", true)
        }
        ("GET" | "HEAD", Some(file)) => respond(
            &mut stream,
            "200 OK",
            file.media_type,
            &file.bytes,
            method == "HEAD",
        ),
        ("GET" | "HEAD", None) => respond(
            &mut stream,
            "404 Not Found",
            "text/plain",
            b"There is no such file here.\n",
            false,
        ),
        _ => respond(
            &mut stream,
            "405 Method Not Allowed",
            "text/plain",
            b"Files here are only read.\n",
            false,
        ),
    }
}

fn find<'a>(site: &'a Site, path: &str) -> Option<&'a File> {
    match path.strip_prefix('/')? {
        "" => site.files.first(),
        name => site.files.iter().find(|file| file.name == name),
    }
}

fn respond(
    stream: &mut TcpStream,
    status: &str,
    media_type: &str,
    body: &[u8],
    head_only: bool,
) -> std::io::Result<()> {
    let length = body.len();
    write!(
        stream,
        "HTTP/1.1 {status}\r\nContent-Type: {media_type}\r\nContent-Length: {length}\r\nCache-Control: no-cache\r\nConnection: close\r\n\r\n"
    )?;
    if !head_only {
        stream.write_all(body)?;
    }
    stream.flush()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(request: &str) -> String {
        let file = File {
            name: "index.html",
            media_type: "text/html",
            bytes: b"hello".to_vec(),
        };
        let preview = Preview::bind(
            Site {
                files: vec![file],
                optimised: false,
            },
            0,
        )
        .unwrap();
        let address = preview.listener.local_addr().unwrap();
        let site = Arc::clone(&preview.site);
        let server =
            std::thread::spawn(move || answer(preview.listener.accept().unwrap().0, &site));
        let mut stream = TcpStream::connect(address).unwrap();
        stream.write_all(request.as_bytes()).unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        server.join().unwrap().unwrap();
        answer
    }

    #[test]
    fn files_are_served_and_nothing_else() {
        assert!(asked("GET / HTTP/1.1\r\n\r\n").ends_with("\r\n\r\nhello"));
        assert!(asked("GET /index.html?x#y HTTP/1.1\r\n\r\n").starts_with("HTTP/1.1 200"));
        assert!(asked("HEAD / HTTP/1.1\r\n\r\n").ends_with("\r\n\r\n"));
        assert!(asked("GET /favicon.ico HTTP/1.1\r\n\r\n").starts_with("HTTP/1.1 204"));
        assert!(asked("GET /../Cargo.toml HTTP/1.1\r\n\r\n").starts_with("HTTP/1.1 404"));
        assert!(asked("POST / HTTP/1.1\r\n\r\n").starts_with("HTTP/1.1 405"));
        assert!(asked("\r\n\r\n").starts_with("HTTP/1.1 405"));
    }
}
