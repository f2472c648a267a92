//! Whether the client's process is still there: an editor that was killed leaves nobody to say `exit`.

use std::time::Duration;

use tokio::sync::oneshot;

/// How often the client's process is looked for.
const INTERVAL: Duration = Duration::from_secs(1);

/// Waits for the client to name its process, and then until that process is gone; forever when it names none.
pub(super) async fn departed(named: oneshot::Receiver<i32>) {
    let Ok(process) = named.await else {
        return std::future::pending().await;
    };
    while exists(process) {
        tokio::time::sleep(INTERVAL).await;
    }
}

/// Whether a process exists; one that belongs to somebody else does.
#[cfg(unix)]
fn exists(process: i32) -> bool {
    use rustix::io::Errno;
    use rustix::process::{Pid, test_kill_process};
    Pid::from_raw(process).is_none_or(|pid| test_kill_process(pid) != Err(Errno::SRCH))
}

/// Elsewhere the end of a process closes the pipe, which ends the server too.
#[cfg(not(unix))]
const fn exists(_: i32) -> bool {
    true
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    #[test]
    fn a_process_is_there_until_it_has_ended() {
        let own = i32::try_from(std::process::id()).unwrap();
        assert!(exists(own));
        let mut child = std::process::Command::new("true").spawn().unwrap();
        child.wait().unwrap();
        assert!(!exists(i32::try_from(child.id()).unwrap()));
    }
}
