//! Over real connections of the loopback address.

use super::*;
use std::io::Read;
use std::net::SocketAddr;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

fn site() -> Site {
    let file = |name: &'static str, media_type, bytes: &[u8]| File {
        name: name.into(),
        media_type,
        bytes: bytes.to_vec(),
    };
    Site {
        files: vec![
            file("index.html", "text/html", b"hello"),
            file("texts.json", "application/json", b"{}"),
        ],
    }
}

fn spawned(work: Work) -> std::io::Result<()> {
    std::thread::Builder::new().spawn(work).map(|_| ())
}

/// A server that runs to the end of the test, and its address.
fn serving(
    patience: Duration,
    mut spawn: impl FnMut(Work) -> std::io::Result<()> + Send + 'static,
) -> SocketAddr {
    let mut preview = Preview::bind(0).unwrap();
    preview.patience = patience;
    let address = preview.listener.local_addr().unwrap();
    std::thread::spawn(move || preview.serve_in(Arc::new(Shown::fixed(site())), &mut spawn));
    address
}

fn served() -> SocketAddr {
    serving(PATIENCE, spawned)
}

/// The whole answer to a request.
fn told(address: SocketAddr, request: &str) -> String {
    let mut stream = TcpStream::connect(address).unwrap();
    stream.write_all(request.as_bytes()).unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    answer
}

/// The answer to a request with a good host.
fn asked(address: SocketAddr, line: &str) -> String {
    told(
        address,
        &format!("{line} HTTP/1.1\r\nHost: {address}\r\n\r\n"),
    )
}

fn status(answer: &str) -> &str {
    answer.split(' ').nth(1).unwrap_or("none")
}

fn body(answer: &str) -> &str {
    answer.split_once("\r\n\r\n").unwrap().1
}

#[test]
fn files_are_served_and_nothing_else() {
    let address = served();
    for (line, code, text) in [
        ("GET /", "200", "hello"),
        ("GET /index.html?x", "200", "hello"),
        ("GET /texts.json", "200", "{}"),
        ("GET /favicon.ico", "204", ""),
        ("GET /gone.html", "404", "There is no such file here.\n"),
        ("GET /../Cargo.toml", "404", "There is no such file here.\n"),
        ("POST /", "405", "Files here are only read.\n"),
        ("OPTIONS /", "405", "Files here are only read.\n"),
    ] {
        let answer = asked(address, line);
        assert_eq!((status(&answer), body(&answer)), (code, text), "{line}");
    }
    assert!(asked(address, "DELETE /").contains("\r\nAllow: GET, HEAD\r\n"));
}

#[test]
fn the_answer_to_head_has_no_body_whatever_it_is() {
    let address = served();
    for (path, code, length) in [("/", "200", 5), ("/gone.html", "404", 28)] {
        let answer = asked(address, &format!("HEAD {path}"));
        assert_eq!((status(&answer), body(&answer)), (code, ""), "{path}");
        assert!(answer.contains(&format!("Content-Length: {length}\r\n")));
    }
    let foreign = told(address, "HEAD / HTTP/1.1\r\nHost: evil.example\r\n\r\n");
    assert_eq!((status(&foreign), body(&foreign)), ("421", ""));
}

#[test]
fn only_the_server_s_own_address_is_answered() {
    let address = served();
    let port = address.port();
    let with = |hosts: &str| told(address, &format!("GET / HTTP/1.1\r\n{hosts}\r\n"));
    for own in ["localhost", "LocalHost", "127.0.0.1", "[::1]"] {
        let answer = with(&format!("host: {own}:{port}\r\n"));
        assert_eq!((status(&answer), body(&answer)), ("200", "hello"), "{own}");
    }
    for foreign in [
        format!("evil.example:{port}"),
        "evil.example".into(),
        "localhost".into(),
        "127.0.0.1".into(),
        format!("127.0.0.1:{}", port ^ 1),
        format!("127.0.0.2:{port}"),
        format!("localhost.evil.example:{port}"),
        format!("localhost:{port}.evil.example"),
        format!("localhost:0{port}"),
        format!("evil.example@localhost:{port}"),
        String::new(),
    ] {
        let answer = with(&format!("Host: {foreign}\r\n"));
        assert_eq!(status(&answer), "421", "{foreign}");
        assert!(!answer.contains("hello"), "{foreign}");
    }
    let twice = format!("Host: localhost:{port}\r\nHost: evil.example\r\n");
    for hosts in ["", &twice] {
        assert_eq!(status(&with(hosts)), "400", "{hosts}");
    }
    let scheme = "http:";
    let elsewhere =
        format!("GET {scheme}//evil.example/ HTTP/1.1\r\nHost: localhost:{port}\r\n\r\n");
    assert_eq!(status(&told(address, &elsewhere)), "400");
}

#[test]
fn what_is_no_request_or_too_long_is_refused() {
    let address = served();
    assert_eq!(status(&told(address, "\x01\x02\r\n\r\n")), "400");
    let long = "x".repeat(super::super::request::MOST_BYTES);
    let long = format!("GET / HTTP/1.1\r\nHost: {address}\r\nCookie: {long}");
    assert_eq!(status(&told(address, &long)), "431");
}

#[test]
fn patience_is_for_the_whole_request_and_not_for_each_byte() {
    let address = serving(Duration::from_millis(600), spawned);
    let begun = Instant::now();
    let mut stream = TcpStream::connect(address).unwrap();
    let limit = Duration::from_secs(20);
    // A byte each 50 ms would never let a limit for each read run out.
    while begun.elapsed() < limit && stream.write_all(b"G").is_ok() {
        std::thread::sleep(Duration::from_millis(50));
    }
    assert!(begun.elapsed() < limit, "served without end");
    assert_eq!(status(&asked(address, "GET /")), "200");
}

#[test]
fn those_beyond_the_most_connections_are_told_to_wait() {
    let address = served();
    let silent = || TcpStream::connect(address).unwrap();
    let held: Vec<TcpStream> = (0..MOST_CONNECTIONS).map(|_| silent()).collect();
    let refused = asked(address, "GET /");
    assert_eq!(status(&refused), "503");
    assert!(refused.contains("\r\nRetry-After: 1\r\n"), "{refused}");
    assert_eq!(body(&asked(address, "HEAD /")), "");
    drop(held);
    let free = (0..200).any(|_| {
        std::thread::sleep(Duration::from_millis(20));
        status(&asked(address, "GET /")) == "200"
    });
    assert!(free, "those that went away count no more");
}

#[test]
fn a_thread_that_cannot_be_made_ends_nothing() {
    let made = AtomicUsize::new(0);
    let address = serving(PATIENCE, move |work| {
        // The first tells browsers to wait; the next three cannot be made.
        match made.fetch_add(1, Ordering::Relaxed) {
            1..=3 => Err(std::io::ErrorKind::WouldBlock.into()),
            _ => spawned(work),
        }
    });
    for code in ["503", "503", "503", "200"] {
        assert_eq!(status(&asked(address, "GET /")), code);
    }
    let none = serving(PATIENCE, |_| Err(std::io::ErrorKind::WouldBlock.into()));
    for _ in 0..3 {
        let mut answer = Vec::new();
        let mut stream = TcpStream::connect(none).unwrap();
        let closed = stream.read_to_end(&mut answer);
        assert!(closed.is_ok() && answer.is_empty(), "closed, and goes on");
    }
}

#[test]
fn a_port_that_is_taken_is_named() {
    let first = Preview::bind(0).unwrap();
    let said = Preview::bind(first.port).unwrap_err().0;
    assert!(said.contains(&format!("port {}", first.port)), "{said}");
    assert!(said.contains("--port"), "{said}");
}

/// A server of a watched site, what it shows, and the version of that.
fn watched() -> (SocketAddr, Arc<Shown>, u64) {
    let mut preview = Preview::bind(0).unwrap();
    preview.patience = PATIENCE;
    let address = preview.listener.local_addr().unwrap();
    let shown = Arc::new(Shown::watched(page()).unwrap());
    let version = shown.now().version;
    let served = Arc::clone(&shown);
    std::thread::spawn(move || preview.serve_in(served, &mut spawned));
    (address, shown, version)
}

/// A site of one page as the program writes it.
fn page() -> Site {
    let text = "<meta content=\"default-src 'none'; script-src 'unsafe-inline'\"><body>x</body>";
    let mut site = site();
    site.files[0].bytes = text.into();
    site
}

/// What an event stream says until a text that begins with `end` has come.
fn streamed(stream: &mut TcpStream, end: &str) -> String {
    let mut said = String::new();
    let mut part = [0; 512];
    // A stream says that it still lives, so that waiting for it never ends by itself.
    let until = Instant::now() + 3 * PATIENCE;
    while !said.contains(end) {
        assert!(Instant::now() < until, "waited in vain for {end:?}: {said}");
        let count = stream.read(&mut part).unwrap();
        assert!(count > 0, "{said}");
        said.push_str(std::str::from_utf8(&part[..count]).unwrap());
    }
    said
}

fn listening_to(address: SocketAddr, version: u64) -> TcpStream {
    let mut stream = TcpStream::connect(address).unwrap();
    stream.set_read_timeout(Some(PATIENCE)).unwrap();
    let request = format!("GET /changes/{version} HTTP/1.1\r\nHost: {address}\r\n\r\n");
    stream.write_all(request.as_bytes()).unwrap();
    stream
}

#[test]
fn a_page_that_is_watched_hears_of_faults_and_of_a_newer_page() {
    let (address, shown, version) = watched();
    let mut stream = listening_to(address, version);
    let head = streamed(&mut stream, "retry: 1000\n\n");
    assert!(
        head.contains("\r\nContent-Type: text/event-stream\r\n"),
        "{head}"
    );
    shown.fail("runs.csv:2:1: wrong\nsecond line");
    let fault = "event: fault\ndata: runs.csv:2:1: wrong\ndata: second line\n\n";
    assert!(streamed(&mut stream, "second line\n\n").contains(fault));
    assert_eq!(shown.now().version, version);
    // Who comes later hears of the fault too.
    assert!(streamed(&mut listening_to(address, version), "second line\n\n").contains(fault));
    shown.show(page()).unwrap();
    assert!(streamed(&mut stream, "event: page\n").contains("event: page\n"));
    let mut rest = String::new();
    stream.read_to_string(&mut rest).unwrap();
    // A page of another version, such as one of a server before, is told at once.
    streamed(&mut listening_to(address, version), "event: page\n");
    assert!(shown.now().fault.is_none());
}

#[test]
fn a_page_that_is_watched_may_listen_to_its_server_and_knows_its_version() {
    let (address, _, version) = watched();
    let served = asked(address, "GET /");
    let page = body(&served);
    let policy = "default-src 'none'; connect-src 'self'; script-src 'unsafe-inline'";
    assert!(page.contains(policy), "{page}");
    let script = format!("<body>x<script data-version=\"{version}\">");
    assert!(page.contains(&script), "{page}");
    assert!(page.ends_with("</script></body>"), "{page}");
    // Other files are served as written.
    assert_eq!(body(&asked(address, "GET /texts.json")), "{}");
}

#[test]
fn a_site_that_is_not_watched_has_no_event_stream() {
    let address = served();
    assert_eq!(status(&asked(address, "GET /changes/1")), "404");
    assert_eq!(body(&asked(address, "GET /")), "hello");
    let (address, _, version) = watched();
    for line in [
        "GET /changes/".to_owned(),
        "GET /changes/x".to_owned(),
        format!("HEAD /changes/{version}"),
    ] {
        assert_eq!(status(&asked(address, &line)), "404", "{line}");
    }
}

#[test]
fn the_page_as_written_is_the_one_that_may_listen_when_served() {
    let written = super::super::code::www("page.html").unwrap();
    for name in ["page.html", "post.html"] {
        let text = super::super::code::www(name).unwrap();
        assert_eq!(text.matches("</body>").count(), 1, "{name}");
        assert!(!text.contains("connect-src"), "{name}");
    }
    assert_eq!(written.matches("default-src 'none';").count(), 1);
}
