//! What every request needs at hand.

use crate::devices::Devices;
use crate::error::{ApiError, ApiResult};
use crate::options::{DemoLogins, Options};
use crate::throttle::Throttle;
use school::School;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

/// What every request needs at hand; cheap to clone.
#[derive(Clone)]
pub struct App {
    inner: Arc<Inner>,
}

/// The parts of [`App`].
pub struct Inner {
    /// The record.
    pub school: School,
    /// TLS is on: cookies are `Secure`, HSTS is sent.
    pub secure: bool,
    /// Hosts by which this server may be asked, lower case, without port.
    pub hosts: Vec<String>,
    /// Logins of a demo school.
    pub demo: Option<DemoLogins>,
    /// The code that the first account needs; none = not needed.
    pub first_run_code: Option<String>,
    /// Sign-in attempts.
    pub throttle: Throttle,
    /// Devices that signed in before.
    pub devices: Devices,
    /// Turns for work that fills a core.
    pub heavy: Arc<Semaphore>,
    /// Places in the line for such work.
    pub waiting: Arc<Semaphore>,
    /// Places for uploads under way.
    pub uploads: Arc<Semaphore>,
    /// Memory for recordings that are being read, MiB.
    pub room: Arc<Semaphore>,
}

impl std::ops::Deref for App {
    type Target = Inner;

    fn deref(&self) -> &Inner {
        &self.inner
    }
}

impl App {
    /// Makes it ready.
    ///
    /// # Errors
    /// When the operating system gives no randomness or the key file cannot be kept.
    pub fn new(school: School, options: &Options) -> std::io::Result<App> {
        let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
        let at_once = if options.heavy_at_once == 0 {
            cores
        } else {
            options.heavy_at_once
        };
        let open_to_network = !options.address.ip().is_loopback();
        let first_run_code = if open_to_network { Some(code()?) } else { None };
        Ok(App {
            inner: Arc::new(Inner {
                school,
                secure: options.tls.is_some(),
                hosts: crate::host::hosts(options),
                demo: options.demo.clone(),
                first_run_code,
                throttle: Throttle::default(),
                devices: Devices::open(options.state_dir.as_deref())?,
                heavy: Arc::new(Semaphore::new(at_once)),
                // Sixteen to a core: with the usual tenth of a second each, the last one waits some two seconds.
                waiting: Arc::new(Semaphore::new(at_once * 16)),
                uploads: Arc::new(Semaphore::new(crate::upload::AT_ONCE)),
                room: Arc::new(Semaphore::new(crate::upload::ROOM_MIB)),
            }),
        })
    }
}

impl App {
    /// Waits for a turn at work that fills a core.
    ///
    /// # Errors
    /// 503 when the line is full or the turn does not come in `LINE_S`.
    pub async fn turn(&self) -> ApiResult<Turn> {
        let place = Arc::clone(&self.waiting)
            .try_acquire_owned()
            .map_err(|_| ApiError::busy())?;
        let turn = tokio::time::timeout(
            Duration::from_secs(LINE_S),
            Arc::clone(&self.heavy).acquire_owned(),
        )
        .await;
        match turn {
            Ok(Ok(turn)) => Ok(Turn {
                _turn: turn,
                _place: place,
            }),
            _ => Err(ApiError::busy()),
        }
    }
}

/// Longest wait for a turn, s.
const LINE_S: u64 = 20;

/// A turn at work that fills a core; over when dropped.
pub struct Turn {
    _turn: OwnedSemaphorePermit,
    _place: OwnedSemaphorePermit,
}

/// A code to type from one screen into another: 40 bits, in groups.
fn code() -> std::io::Result<String> {
    let mut bytes = [0u8; 5];
    getrandom::fill(&mut bytes).map_err(std::io::Error::other)?;
    let hex = school::secret::hex(&bytes);
    let (one, two) = hex.split_at(5);
    Ok(format!("{one}-{two}"))
}
