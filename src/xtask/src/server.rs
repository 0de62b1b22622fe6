//! A small static file server for this machine only: it serves the built page to people and to the browser tests.

use std::fs;
use std::io::{self, BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::{self, JoinHandle};
use std::time::Duration;

use crate::offline;

/// A server that runs until it is stopped or dropped.
#[derive(Debug)]
pub struct Server {
    address: SocketAddr,
    shared: Arc<Shared>,
    accepting: Option<JoinHandle<()>>,
}

#[derive(Debug)]
struct Shared {
    root: PathBuf,
    stopped: AtomicBool,
    log: Mutex<Vec<String>>,
}

/// A browser opens connections ahead of need; one that stays silent this long is closed.
const SILENCE: Duration = Duration::from_secs(10);
/// More than any browser sends as the head of a request for a file.
const LONGEST_HEAD: u64 = 32 * 1024;

impl Server {
    /// Serves the files of a folder on the loopback address at this port; port 0 takes any free one.
    ///
    /// # Errors
    /// When the folder does not exist or the port is taken.
    pub fn start(folder: &Path, port: u16) -> io::Result<Self> {
        let shared = Arc::new(Shared {
            root: folder.canonicalize()?,
            stopped: AtomicBool::new(false),
            log: Mutex::new(Vec::new()),
        });
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
        let address = listener.local_addr()?;
        let accepting = thread::spawn({
            let shared = Arc::clone(&shared);
            move || accept(&listener, &shared)
        });
        Ok(Self {
            address,
            shared,
            accepting: Some(accepting),
        })
    }

    /// The port it listens on.
    #[must_use]
    pub fn port(&self) -> u16 {
        self.address.port()
    }

    /// The page's address.
    #[must_use]
    pub fn url(&self) -> String {
        format!("http://{}/", self.address)
    }

    /// Every request so far as "METHOD path status", in the order they were answered.
    #[must_use]
    pub fn log(&self) -> Vec<String> {
        self.shared
            .log
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }

    /// Stops answering and frees the port. Connections that are still open get no more answers.
    pub fn stop(&mut self) {
        let Some(accepting) = self.accepting.take() else {
            return;
        };
        self.shared.stopped.store(true, Ordering::SeqCst);
        // Wakes the accepting thread, which then sees that it should end. Where no connection can be made it has
        // ended already or never will; waiting for it would help in neither case.
        if TcpStream::connect(self.address).is_ok() {
            let _ = accepting.join();
        }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.stop();
    }
}

fn accept(listener: &TcpListener, shared: &Arc<Shared>) {
    for stream in listener.incoming() {
        if shared.stopped.load(Ordering::SeqCst) {
            return;
        }
        let Ok(stream) = stream else { continue };
        let shared = Arc::clone(shared);
        // An error here means that the browser closed the connection: there is nobody left to tell.
        thread::spawn(move || answer(&stream, &shared));
    }
}

fn answer(mut stream: &TcpStream, shared: &Shared) -> io::Result<()> {
    stream.set_read_timeout(Some(SILENCE))?;
    stream.set_write_timeout(Some(SILENCE))?;
    let mut head = BufReader::new(stream.take(LONGEST_HEAD));
    let mut request = String::new();
    head.read_line(&mut request)?;
    // The rest of the head is read to its empty line and not used: closing with unread bytes would cut the answer.
    let mut line = String::new();
    while head.read_line(&mut line)? > 2 {
        line.clear();
    }
    if shared.stopped.load(Ordering::SeqCst) || request.is_empty() {
        return Ok(());
    }

    let mut words = request.split_ascii_whitespace();
    let method = words.next().unwrap_or_default();
    let target = words.next().unwrap_or_default();
    let path = target.split(['?', '#']).next().unwrap_or_default();
    let reply = Reply::to(method, path, &shared.root);
    shared
        .log
        .lock()
        .unwrap_or_else(PoisonError::into_inner)
        .push(format!("{method} {path} {}", reply.code()));
    stream.write_all(reply.head(&policy(&shared.root)).as_bytes())?;
    if method != "HEAD" {
        stream.write_all(&reply.body)?;
    }
    stream.flush()
}

struct Reply {
    status: &'static str,
    kind: &'static str,
    body: Vec<u8>,
}

impl Reply {
    fn to(method: &str, path: &str, root: &Path) -> Self {
        if !matches!(method, "GET" | "HEAD") {
            return Self::text(
                "405 Method Not Allowed",
                "Only GET and HEAD are answered.\n",
            );
        }
        match file(root, path).and_then(|file| Some((media_type(&file), fs::read(&file).ok()?))) {
            Some((kind, body)) => Self {
                status: "200 OK",
                kind,
                body,
            },
            None => Self::text("404 Not Found", "There is no such file.\n"),
        }
    }

    fn text(status: &'static str, sentence: &str) -> Self {
        Self {
            status,
            kind: "text/plain; charset=utf-8",
            body: sentence.into(),
        }
    }

    fn code(&self) -> &str {
        self.status.split(' ').next().unwrap_or_default()
    }

    fn head(&self, policy: &str) -> String {
        format!(
            "HTTP/1.1 {}\r\n\
             Content-Type: {}\r\n\
             Content-Length: {}\r\n\
             Cache-Control: no-cache\r\n\
             Content-Security-Policy: {policy}\r\n\
             X-Content-Type-Options: nosniff\r\n\
             Allow: GET, HEAD\r\n\
             Connection: close\r\n\r\n",
            self.status,
            self.kind,
            self.body.len()
        )
    }
}

/// The policy of the page that is served. As a header it reaches worker scripts as well.
fn policy(root: &Path) -> String {
    let index = fs::read_to_string(root.join("index.html")).unwrap_or_default();
    offline::policy(&index).unwrap_or_else(|| "frame-ancestors 'none'".to_owned())
}

/// The file under `root` that a request's path names. Nothing outside of it, and nothing hidden, has a name here.
fn file(root: &Path, path: &str) -> Option<PathBuf> {
    let path = decode(path.strip_prefix('/')?)?;
    let mut file = root.to_owned();
    let name = match path.rsplit_once('/') {
        Some((folders, name)) => {
            for folder in folders.split('/') {
                file.push(plain(folder)?);
            }
            name
        }
        None => &path,
    };
    file.push(if name.is_empty() {
        "index.html"
    } else {
        plain(name)?
    });
    // A symbolic link may still lead out.
    let file = file.canonicalize().ok()?;
    (file.starts_with(root) && file.is_file()).then_some(file)
}

fn plain(name: &str) -> Option<&str> {
    let odd = name.is_empty() || name.starts_with('.') || name.contains(['\\', ':', '\0']);
    (!odd).then_some(name)
}

/// Undoes percent-encoding; `None` where that is not well formed.
fn decode(path: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(path.len());
    let mut rest = path.bytes();
    while let Some(byte) = rest.next() {
        if byte == b'%' {
            let high = char::from(rest.next()?).to_digit(16)?;
            let low = char::from(rest.next()?).to_digit(16)?;
            bytes.push(u8::try_from(high * 16 + low).ok()?);
        } else {
            bytes.push(byte);
        }
    }
    String::from_utf8(bytes).ok()
}

/// A file's media type, by the end of its name.
pub(crate) fn media_type(file: &Path) -> &'static str {
    match file
        .extension()
        .and_then(|extension| extension.to_str())
        .unwrap_or_default()
    {
        "html" => "text/html; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "wasm" => "application/wasm",
        "css" => "text/css; charset=utf-8",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "ico" => "image/x-icon",
        "woff2" => "font/woff2",
        "csv" => "text/csv; charset=utf-8",
        "txt" | "md" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAGE: &str =
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'\"><p>page";

    /// A folder with a page in it and a secret beside it; removed when dropped.
    struct Folder(PathBuf);

    impl Folder {
        fn new(name: &str) -> Self {
            let top = std::env::temp_dir().join(format!("glasswick-{name}-{}", std::process::id()));
            fs::create_dir_all(top.join("page/deep")).unwrap();
            fs::write(top.join("secret.txt"), "secret").unwrap();
            fs::write(top.join("page/index.html"), PAGE).unwrap();
            fs::write(top.join("page/.hidden"), "hidden").unwrap();
            fs::write(top.join("page/a b.wasm"), [0, 97, 115, 109]).unwrap();
            fs::write(top.join("page/deep/index.html"), "<p>deep").unwrap();
            fs::write(top.join("page/deep/start.js"), "start()").unwrap();
            fs::write(top.join("page/app.webmanifest"), "{}").unwrap();
            Self(top)
        }

        fn page(&self) -> PathBuf {
            self.0.join("page")
        }
    }

    impl Drop for Folder {
        fn drop(&mut self) {
            let _ = fs::remove_dir_all(&self.0);
        }
    }

    fn ask(server: &Server, request: &str) -> String {
        let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, server.port())).unwrap();
        write!(stream, "{request} HTTP/1.1\r\nHost: x\r\n\r\n").unwrap();
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).unwrap();
        String::from_utf8_lossy(&answer).into_owned()
    }

    #[test]
    fn serves_files_with_their_media_types_and_logs_each_request() {
        let folder = Folder::new("serves");
        let server = Server::start(&folder.page(), 0).unwrap();
        for (request, status, kind, body) in [
            ("GET /", "200", "text/html; charset=utf-8", PAGE),
            ("GET /?v=1", "200", "text/html; charset=utf-8", PAGE),
            ("GET /deep/", "200", "text/html; charset=utf-8", "<p>deep"),
            (
                "GET /deep/start.js",
                "200",
                "text/javascript; charset=utf-8",
                "start()",
            ),
            ("GET /a%20b.wasm", "200", "application/wasm", "\0asm"),
            (
                "GET /app.webmanifest",
                "200",
                "application/manifest+json",
                "{}",
            ),
            ("HEAD /", "200", "text/html; charset=utf-8", ""),
        ] {
            let answer = ask(&server, request);
            let (head, found) = answer.split_once("\r\n\r\n").unwrap();
            assert!(
                head.starts_with(&format!("HTTP/1.1 {status} ")),
                "{request}: {head}"
            );
            assert!(
                head.contains(&format!("Content-Type: {kind}\r\n")),
                "{request}: {head}"
            );
            for line in [
                "Cache-Control: no-cache",
                "Content-Security-Policy: default-src 'none'; frame-ancestors 'none'\r\n",
                "X-Content-Type-Options: nosniff",
            ] {
                assert!(head.contains(line), "{request} lacks {line}: {head}");
            }
            assert_eq!(found, body, "{request}");
        }
        let log = server.log();
        assert_eq!(log.len(), 7, "{log:?}");
        assert_eq!(log[0], "GET / 200");
        assert_eq!(log[4], "GET /a%20b.wasm 200");
    }

    #[test]
    fn nothing_outside_the_folder_and_nothing_hidden_is_served() {
        let folder = Folder::new("outside");
        let page = folder.page();
        #[cfg(unix)]
        std::os::unix::fs::symlink(folder.0.join("secret.txt"), page.join("link.txt")).unwrap();
        let server = Server::start(&page, 0).unwrap();
        for path in [
            "/../secret.txt",
            "/deep/../../secret.txt",
            "/%2e%2e/secret.txt",
            "/..%2fsecret.txt",
            "/deep/..%5c..%5csecret.txt",
            "//secret.txt",
            "/link.txt",
            "/.hidden",
            "/deep",
            "/missing",
            "/%zz",
            "/%",
            "/%ff",
            "/a%00b",
            "http://127.0.0.1/",
            "",
        ] {
            let answer = ask(&server, &format!("GET {path}"));
            assert!(answer.starts_with("HTTP/1.1 404 "), "{path}: {answer}");
        }
        assert!(ask(&server, "POST /").starts_with("HTTP/1.1 405 "));
    }

    #[test]
    fn stopping_frees_the_port_and_silences_open_connections() {
        let folder = Folder::new("stops");
        let mut server = Server::start(&folder.page(), 0).unwrap();
        let port = server.port();
        assert!(ask(&server, "GET /").starts_with("HTTP/1.1 200 "));
        let mut waiting = TcpStream::connect((Ipv4Addr::LOCALHOST, port)).unwrap();
        server.stop();
        server.stop();

        // The connection may be gone already, and then writing to it fails, which is silence too.
        let _ = write!(waiting, "GET / HTTP/1.1\r\n\r\n");
        let mut answer = Vec::new();
        let _ = waiting.read_to_end(&mut answer);
        assert!(answer.is_empty(), "{}", String::from_utf8_lossy(&answer));

        assert!(TcpStream::connect((Ipv4Addr::LOCALHOST, port)).is_err());
        let again = Server::start(&folder.page(), port).unwrap();
        assert!(ask(&again, "GET /").starts_with("HTTP/1.1 200 "));
    }
}
