//! A request to the preview server, read within one deadline and a limit of size.

use std::io::{ErrorKind, Read, Result, Write};
use std::net::TcpStream;
use std::time::{Duration, Instant};

/// The most bytes of a request that are read.
pub const MOST_BYTES: usize = 16_384;

/// The most header lines of a request.
const MOST_HEADERS: usize = 100;

/// A request that can be answered.
#[derive(Debug, PartialEq, Eq)]
pub struct Request {
    /// Whether only the head of the answer is wanted.
    pub head_only: bool,
    /// The path, without query.
    pub path: String,
}

/// A request that is not answered with a file.
#[derive(Debug, PartialEq, Eq)]
pub struct Refused {
    /// Status code and reason.
    pub status: &'static str,
    /// What to do, a line for people.
    pub text: &'static str,
    /// Whether only the head of the answer is wanted.
    pub head_only: bool,
}

/// A connection with the time until which it is served.
pub struct Connection<'a> {
    stream: &'a TcpStream,
    until: Instant,
}

impl<'a> Connection<'a> {
    /// Serves `stream` for so long.
    pub fn new(stream: &'a TcpStream, patience: Duration) -> Self {
        Self {
            stream,
            until: Instant::now() + patience,
        }
    }

    fn left(&self) -> Result<Duration> {
        let left = self.until.saturating_duration_since(Instant::now());
        if left.is_zero() {
            return Err(ErrorKind::TimedOut.into());
        }
        Ok(left)
    }

    /// Reads the head of a request for the server at `port`; a body is not read.
    ///
    /// # Errors
    ///
    /// If the connection ends or the time is over before the head does.
    pub fn request(&mut self, port: u16) -> Result<std::result::Result<Request, Refused>> {
        let mut head = Vec::new();
        loop {
            if let Some(read) = parsed(&head, port) {
                return Ok(read);
            }
            if head.len() >= MOST_BYTES {
                return Ok(Err(Refused {
                    status: "431 Request Header Fields Too Large",
                    text: "That request is too long.",
                    head_only: false,
                }));
            }
            let mut part = [0; 2048];
            let count = self.read(&mut part)?;
            if count == 0 {
                return Err(ErrorKind::UnexpectedEof.into());
            }
            head.extend(part.iter().take(count));
        }
    }

    /// Ends the answer and reads what the other side still sends, so that closing does not cut the
    /// answer off.
    pub fn end(&mut self) -> Result<()> {
        self.stream.shutdown(std::net::Shutdown::Write)?;
        let mut part = [0; 2048];
        let mut count = 0;
        while count < MOST_BYTES {
            match self.read(&mut part)? {
                0 => break,
                read => count += read,
            }
        }
        Ok(())
    }
}

impl Read for Connection<'_> {
    fn read(&mut self, part: &mut [u8]) -> Result<usize> {
        self.stream.set_read_timeout(Some(self.left()?))?;
        self.stream.read(part)
    }
}

impl Write for Connection<'_> {
    fn write(&mut self, part: &[u8]) -> Result<usize> {
        self.stream.set_write_timeout(Some(self.left()?))?;
        self.stream.write(part)
    }

    fn flush(&mut self) -> Result<()> {
        self.stream.flush()
    }
}

/// What the head of a request asks for; nothing while it is not complete.
fn parsed(head: &[u8], port: u16) -> Option<std::result::Result<Request, Refused>> {
    let mut headers = [httparse::EMPTY_HEADER; MOST_HEADERS];
    let mut request = httparse::Request::new(&mut headers);
    let read = request.parse(head);
    let head_only = request.method == Some("HEAD");
    let refused = |status, text| {
        Some(Err(Refused {
            status,
            text,
            head_only,
        }))
    };
    match read {
        Ok(httparse::Status::Partial) => return None,
        Ok(httparse::Status::Complete(_)) => {}
        Err(_) => return refused("400 Bad Request", "That is no request."),
    }
    let mut hosts = request
        .headers
        .iter()
        .filter(|header| header.name.eq_ignore_ascii_case("host"));
    let (Some(host), None) = (hosts.next(), hosts.next()) else {
        return refused("400 Bad Request", "A request names its host once.");
    };
    if !is_own(host.value, port) {
        return refused(
            "421 Misdirected Request",
            "This server answers by its own address alone.",
        );
    }
    if !matches!(request.method, Some("GET" | "HEAD")) {
        return refused("405 Method Not Allowed", "Files here are only read.");
    }
    let path = request.path.unwrap_or_default();
    if !path.starts_with('/') {
        return refused("400 Bad Request", "That is no path of this server.");
    }
    let path = path.split(['?', '#']).next().unwrap_or_default();
    Some(Ok(Request {
        head_only,
        path: path.to_owned(),
    }))
}

/// Whether a host is a name of this machine to itself, with the port of the server. A page of
/// another site that got its name to lead here names itself.
fn is_own(host: &[u8], port: u16) -> bool {
    const NAMES: [&str; 3] = ["localhost", "127.0.0.1", "[::1]"];
    let Ok(host) = std::str::from_utf8(host) else {
        return false;
    };
    let host = host.to_ascii_lowercase();
    NAMES.iter().any(|name| match host.strip_prefix(name) {
        Some("") => port == 80,
        Some(rest) => rest.strip_prefix(':') == Some(&port.to_string()),
        None => false,
    })
}
