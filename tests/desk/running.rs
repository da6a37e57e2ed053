//! A desk that runs, and asking it.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// `callover desk` on a job, ended with the value.
pub(crate) struct Running {
    child: Child,
    pub(crate) host: String,
    pub(crate) secret: String,
}

/// An answer, taken apart.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: Vec<u8>,
}

impl Running {
    pub(crate) fn start(job: &Path) -> Running {
        let mut child = Command::new(env!("CARGO_BIN_EXE_callover"))
            .arg("desk")
            .arg(job)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap())
            .read_line(&mut line)
            .unwrap();
        let (host, secret) = line
            .trim()
            .strip_prefix("http://")
            .and_then(|rest| rest.split_once("/#"))
            .unwrap_or_else(|| panic!("no address: {line:?}"));
        Running {
            host: host.into(),
            secret: secret.into(),
            child,
        }
    }

    pub(crate) fn pid(&self) -> u32 {
        self.child.id()
    }

    /// Sends a request as it stands, with `\n` for line ends in its head, and reads the answer.
    pub(crate) fn raw(&self, head: &str, body: &[u8]) -> Answer {
        let mut stream = TcpStream::connect(&self.host).unwrap();
        stream
            .set_read_timeout(Some(Duration::from_secs(30)))
            .unwrap();
        let head = format!(
            "{}\r\nConnection: close\r\n\r\n",
            head.trim().replace('\n', "\r\n")
        );
        stream.write_all(head.as_bytes()).unwrap();
        // The other side may answer and close before it has read everything.
        let _ = stream.write_all(body);
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        let end = bytes
            .windows(4)
            .position(|part| part == b"\r\n\r\n")
            .unwrap_or_else(|| panic!("no answer: {bytes:?}"));
        let head = String::from_utf8(bytes[..end].to_vec())
            .unwrap()
            .to_lowercase();
        let status = head.split(' ').nth(1).unwrap().parse().unwrap();
        Answer {
            status,
            head,
            body: bytes[end + 4..].to_vec(),
        }
    }

    /// Sends a request as the page would: own Host, own Origin, the cookie.
    pub(crate) fn ask(&self, method: &str, path: &str, more: &str, body: &[u8]) -> Answer {
        let host = &self.host;
        let cookie = self.cookie();
        let length = body.len();
        self.raw(
            &format!(
                "{method} {path} HTTP/1.1\nHost: {host}\nOrigin: http://{host}\n\
                 Sec-Fetch-Site: same-origin\nCookie: {cookie}\nContent-Length: {length}\n{more}"
            ),
            body,
        )
    }

    pub(crate) fn get(&self, path: &str) -> Answer {
        self.ask("GET", path, "", b"")
    }

    pub(crate) fn json(&self, path: &str) -> serde_json::Value {
        let answer = self.get(path);
        assert_eq!(answer.status, 200, "{path}");
        serde_json::from_slice(&answer.body).unwrap()
    }

    pub(crate) fn act(&self, asked: &serde_json::Value) -> Answer {
        let body = asked.to_string();
        self.ask(
            "POST",
            "/act",
            "Content-Type: application/json",
            body.as_bytes(),
        )
    }

    /// Exchanges the secret for the cookie.
    pub(crate) fn cookie(&self) -> String {
        let body = format!("{{\"key\":\"{}\"}}", self.secret);
        let host = &self.host;
        let length = body.len();
        let answer = self.raw(
            &format!(
                "POST /enter HTTP/1.1\nHost: {host}\nContent-Type: application/json\n\
                 Content-Length: {length}"
            ),
            body.as_bytes(),
        );
        assert_eq!(answer.status, 204, "{}", answer.head);
        answer
            .header("set-cookie")
            .split(';')
            .next()
            .unwrap()
            .into()
    }
}

impl Answer {
    pub(crate) fn header(&self, name: &str) -> &str {
        self.head
            .lines()
            .find_map(|line| line.strip_prefix(name)?.strip_prefix(": "))
            .unwrap_or("")
    }

    pub(crate) fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
