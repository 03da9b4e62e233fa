//! What the tests of the whole program share: the knowledge once, sessions from it, the root.

use std::path::PathBuf;
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
