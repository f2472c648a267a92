//! Long work asks now and then whether its outcome is still wanted.

use std::convert::Infallible;
use std::error::Error;
use std::fmt;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Says whether the outcome of long work is still wanted, to all who are at it.
pub trait Stop: Sync {
    /// What comes of work that is not.
    type Stopped: Send;

    /// Fails when the outcome is wanted no more. Cheap enough to be asked at every bar.
    fn look(&self) -> Result<(), Self::Stopped>;
}

/// The outcome is wanted, however long it takes.
#[derive(Debug, Clone, Copy, Default)]
pub struct ToTheEnd;

impl Stop for ToTheEnd {
    type Stopped = Infallible;

    fn look(&self) -> Result<(), Infallible> {
        Ok(())
    }
}

/// A flag that is set, once and for all, when the outcome is wanted no more. Its clones are the same flag.
#[derive(Debug, Clone, Default)]
pub struct StopFlag(Arc<AtomicBool>);

impl StopFlag {
    /// Says that the outcome is wanted no more.
    pub fn set(&self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

impl Stop for StopFlag {
    type Stopped = Stopped;

    fn look(&self) -> Result<(), Stopped> {
        if self.0.load(Ordering::Relaxed) {
            Err(Stopped)
        } else {
            Ok(())
        }
    }
}

/// The work was given up, since its outcome was wanted no more.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stopped;

impl fmt::Display for Stopped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("given up, since it was wanted no more")
    }
}

impl Error for Stopped {}
