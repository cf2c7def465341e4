//! The site served to browsers on this machine, for a look at it: its files, read only, and an event
//! stream (server-sent events, HTML Living Standard, section 9.2) that says when the site changes.
//!
//! Answers go only to requests that name a loopback host and the server's own port, so that a page
//! of another site whose name leads to this machine reads nothing.

use super::SiteError;
use super::files::{File, Site};
use super::request::{Connection, Refused, Request};
use super::shown::Shown;
use std::io::Write;
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::mpsc::{SyncSender, sync_channel};
use std::time::Duration;

/// The most connections that are served at once.
const MOST_CONNECTIONS: usize = 64;

/// How long a browser may take over a whole request, and again over the answer.
const PATIENCE: Duration = Duration::from_secs(10);

/// How long a browser that is told to wait may take over its request, and any browser over the end
/// of a connection.
const SHORT_PATIENCE: Duration = Duration::from_millis(250);

/// An event stream says at least once in so long that it is still there, and so finds out whether
/// the browser is.
const SIGN_OF_LIFE: Duration = Duration::from_secs(5);

/// Answered where no more connections can be served.
const BUSY: Refused = Refused {
    status: "503 Service Unavailable",
    text: "Too many connections at once: try again in a second.",
    head_only: false,
};

/// A server that has its port and does not serve yet.
#[derive(Debug)]
pub struct Preview {
    listener: TcpListener,
    port: u16,
    patience: Duration,
}

/// What is to be done in a thread of its own.
type Work = Box<dyn FnOnce() + Send>;

impl Preview {
    /// Binds a port of the loopback address; 0 takes any free one.
    ///
    /// # Errors
    ///
    /// If the port is taken.
    pub fn bind(port: u16) -> Result<Self, SiteError> {
        let failed = |error| {
            SiteError(format!(
                "cannot serve on port {port}: {error}; choose another with --port"
            ))
        };
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(failed)?;
        let port = listener.local_addr().map_err(failed)?.port();
        Ok(Self {
            listener,
            port,
            patience: PATIENCE,
        })
    }

    /// The address to open.
    pub fn address(&self) -> String {
        let port = self.port;
        format!("http://{}:{port}/", Ipv4Addr::LOCALHOST)
    }

    /// Serves until the program is ended.
    pub fn serve(self, shown: Arc<Shown>) {
        self.serve_in(shown, &mut |work| {
            std::thread::Builder::new().spawn(work).map(|_| ())
        });
    }

    /// Serves with threads that `spawn` makes. Where it makes none, browsers are told to wait.
    fn serve_in(self, shown: Arc<Shown>, spawn: &mut dyn FnMut(Work) -> std::io::Result<()>) {
        let busy = Self::turning_away(self.port, spawn);
        // Each connection being served holds one clone.
        let served = Arc::new(());
        for stream in self.listener.incoming() {
            let Ok(stream) = stream else {
                // No more files can be opened: connections that end give some back.
                std::thread::sleep(Duration::from_millis(50));
                continue;
            };
            let stream = Arc::new(stream);
            if Arc::strong_count(&served) <= MOST_CONNECTIONS {
                let (one, shown, count) =
                    (Arc::clone(&stream), Arc::clone(&shown), Arc::clone(&served));
                let (port, patience) = (self.port, self.patience);
                let made = spawn(Box::new(move || {
                    let _count = count;
                    // A browser that goes away in the middle is no fault of the server.
                    let _ = answer(&one, &shown, port, patience);
                }));
                if made.is_ok() {
                    continue;
                }
            }
            // If too many are waiting for that answer too, the connection is closed without one.
            if let Some(busy) = &busy {
                let _ = busy.try_send(stream);
            }
        }
    }

    /// Makes the thread that tells browsers to wait, one after the other.
    fn turning_away(
        port: u16,
        spawn: &mut dyn FnMut(Work) -> std::io::Result<()>,
    ) -> Option<SyncSender<Arc<TcpStream>>> {
        let (busy, waiting) = sync_channel::<Arc<TcpStream>>(MOST_CONNECTIONS);
        let made = spawn(Box::new(move || {
            for stream in waiting {
                let mut connection = Connection::new(&stream, SHORT_PATIENCE);
                // The request is read so that the answer arrives, whatever it asks for.
                let head_only = match connection.request(port) {
                    Ok(Ok(request)) => request.head_only,
                    Ok(Err(refused)) => refused.head_only,
                    Err(_) => false,
                };
                let mut connection = Connection::new(&stream, SHORT_PATIENCE);
                let _ = refuse(&mut connection, &Refused { head_only, ..BUSY })
                    .and_then(|()| connection.end());
            }
        }));
        made.is_ok().then_some(busy)
    }
}

fn answer(stream: &TcpStream, shown: &Shown, port: u16, patience: Duration) -> std::io::Result<()> {
    let request = Connection::new(stream, patience).request(port)?;
    let mut connection = Connection::new(stream, patience);
    match &request {
        Ok(request) => match stream_from(shown, request) {
            Some(version) => tell_changes(stream, shown, version)?,
            None => give(&mut connection, &shown.now().site, request)?,
        },
        Err(refused) => refuse(&mut connection, refused)?,
    }
    Connection::new(stream, SHORT_PATIENCE).end()
}

/// The version of the site from which on a request asks for changes, if it asks for that.
fn stream_from(shown: &Shown, request: &Request) -> Option<u64> {
    let version = request.path.strip_prefix("/changes/")?;
    version
        .parse()
        .ok()
        .filter(|_| shown.is_watched() && !request.head_only)
}

/// Tells a page of the given version what keeps a newer one from being made, and ends when there is
/// a newer one.
fn tell_changes(stream: &TcpStream, shown: &Shown, version: u64) -> std::io::Result<()> {
    let send = |text: &str| {
        let mut connection = Connection::new(stream, SIGN_OF_LIFE);
        connection.write_all(text.as_bytes())?;
        connection.flush()
    };
    send(
        "HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\nCache-Control: no-store\r\n\
        Cross-Origin-Resource-Policy: same-origin\r\nX-Content-Type-Options: nosniff\r\n\
        Connection: close\r\n\r\nretry: 1000\n\n",
    )?;
    let mut now = shown.now();
    let mut told = None;
    loop {
        if now.version != version {
            return send("event: page\ndata: newer\n\n");
        }
        match &now.fault {
            Some(fault) if told != Some(now.changes) => send(&event("fault", fault))?,
            // A comment.
            _ => send(":\n\n")?,
        }
        told = Some(now.changes);
        now = shown.after(now.changes, SIGN_OF_LIFE);
    }
}

/// An event with a text of one or more lines.
fn event(name: &str, text: &str) -> String {
    let lines = text.lines().map(|line| format!("data: {line}\n"));
    format!("event: {name}\n{}\n", lines.collect::<String>())
}

fn give(connection: &mut Connection, site: &Site, request: &Request) -> std::io::Result<()> {
    let head_only = request.head_only;
    match find(site, &request.path) {
        Some(file) => respond(
            connection,
            "200 OK",
            file.media_type,
            &file.bytes,
            head_only,
        ),
        // Browsers ask for an icon of their own accord; there is none.
        None if request.path == "/favicon.ico" => {
            respond(connection, "204 No Content", "image/x-icon", b"", head_only)
        }
        None => refuse(
            connection,
            &Refused {
                status: "404 Not Found",
                text: "There is no such file here.",
                head_only,
            },
        ),
    }
}

fn refuse(connection: &mut Connection, refused: &Refused) -> std::io::Result<()> {
    let text = format!("{}\n", refused.text);
    respond(
        connection,
        refused.status,
        "text/plain",
        text.as_bytes(),
        refused.head_only,
    )
}

fn find<'a>(site: &'a Site, path: &str) -> Option<&'a File> {
    match path.strip_prefix('/')? {
        "" => site.files.first(),
        name => site.files.iter().find(|file| file.name == name),
    }
}

fn respond(
    connection: &mut Connection,
    status: &str,
    media_type: &str,
    body: &[u8],
    head_only: bool,
) -> std::io::Result<()> {
    let more = match status.get(..3) {
        Some("405") => "Allow: GET, HEAD\r\n",
        Some("503") => "Retry-After: 1\r\n",
        _ => "",
    };
    let length = body.len();
    let mut answer = format!(
        "HTTP/1.1 {status}\r\nContent-Type: {media_type}\r\nContent-Length: {length}\r\n{more}\
        Cache-Control: no-cache\r\nCross-Origin-Resource-Policy: same-origin\r\n\
        X-Content-Type-Options: nosniff\r\nConnection: close\r\n\r\n"
    )
    .into_bytes();
    if !head_only {
        answer.extend(body);
    }
    connection.write_all(&answer)?;
    connection.flush()
}

#[cfg(test)]
mod tests;
