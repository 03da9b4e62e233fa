//! What the tests of the whole program share: the knowledge once, sessions from it, the root,
//! and the program run from outside.

use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};
use std::sync::{Arc, OnceLock};

use swingwhy::conversation::Session;
use swingwhy::knowledge::{KnowledgeBase, builtin};
use swingwhy::wording::problems;

/// The folder of the project.
pub(crate) fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The built-in knowledge.
pub(crate) fn base() -> Arc<KnowledgeBase> {
    static BASE: OnceLock<Arc<KnowledgeBase>> = OnceLock::new();
    Arc::clone(
        BASE.get_or_init(|| {
            Arc::new(builtin().unwrap_or_else(|list| panic!("{}", problems(&list))))
        }),
    )
}

/// A session from nothing. The simulated golfers drawn so far are shared, which changes no reply.
pub(crate) fn session() -> Session {
    static FIRST: OnceLock<Session> = OnceLock::new();
    FIRST
        .get_or_init(|| Session::new(base(), None).unwrap())
        .clone()
}

/// Runs the program with these arguments and this input.
pub(crate) fn swingwhy(args: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_swingwhy"))
        .args(args)
        .env("NO_COLOR", "1")
        .env("XDG_CONFIG_HOME", "/nobody/has/knowledge/here")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let text = input.to_owned();
    let writer = std::thread::spawn(move || {
        let _ = stdin.write_all(text.as_bytes());
    });
    let out = child.wait_with_output().unwrap();
    writer.join().unwrap();
    out
}
