//! `bellhand class`: a class of students sees its own horn parts, live, on pages served from this machine.

mod arguments;
mod desk;
mod http;
mod lessons;
mod marks;
mod names;
mod roll;
mod score;
mod secret;
mod since;
mod state;
mod student;
mod wall;
mod watch;
mod words;

use std::io::Write as _;
use std::net::{IpAddr, Ipv4Addr, UdpSocket};
use std::path::Path;
use std::sync::Arc;

use files::{Outcome, complain};
use tokio::net::TcpListener;

pub use arguments::{ClassArguments, MarksFormat};
pub use desk::Day;

use desk::Desks;
use http::{Door, Peer, Served};
use lessons::Lessons;
use names::Names;
use secret::Secret;
use state::Class;

/// Serves the class until it is stopped, or writes its marks.
pub fn run(arguments: &ClassArguments) -> std::io::Result<Outcome> {
    if let Some((lessons, format)) = arguments.lessons.as_ref().zip(arguments.marks) {
        return match names(arguments) {
            Ok(names) => marks::write(&arguments.folder, &names, lessons, format),
            Err(why) => {
                complain(&why);
                Ok(Outcome::Failed)
            }
        };
    }
    if let Some(day) = arguments.forget {
        return forget(&arguments.folder, day);
    }
    match begin(arguments) {
        Ok((class, watch)) => {
            let outcome = serve(arguments, class);
            drop(watch);
            outcome
        }
        Err(why) => {
            complain(&why);
            Ok(Outcome::Failed)
        }
    }
}

/// Deletes the pieces that were begun at desks on a day.
fn forget(folder: &Path, day: Day) -> std::io::Result<Outcome> {
    match desk::forget(folder, day) {
        Ok(deleted) => {
            let mut out = anstream::stdout();
            for piece in &deleted {
                writeln!(out, "{} is deleted", piece.display())?;
            }
            if deleted.is_empty() {
                writeln!(out, "No piece was begun at a desk on that day.")?;
            }
            out.flush()?;
            Ok(Outcome::Clean)
        }
        Err(why) => {
            complain(&why);
            Ok(Outcome::Failed)
        }
    }
}

/// The class, watched from now on. Fails with what to tell the teacher.
fn begin(arguments: &ClassArguments) -> Result<(Arc<Class>, watch::Watch), String> {
    let names = names(arguments)?;
    let lessons = match &arguments.lessons {
        Some(path) => {
            let (lessons, complaints) = Lessons::read(path)?;
            complaints.iter().for_each(|why| complain(why));
            lessons
        }
        None => Lessons::default(),
    };
    let class = Class::begin(&arguments.folder, names, lessons, arguments.bar)?;
    let class = Arc::new(class);
    let watch = watch::watch(&class)?;
    Ok((class, watch))
}

/// What students are called.
fn names(arguments: &ClassArguments) -> Result<Names, String> {
    let path = arguments.names.as_deref();
    path.map_or_else(|| Ok(Names::default()), read_names)
}

fn read_names(path: &Path) -> Result<Names, String> {
    let shown = path.display();
    let text = std::fs::read_to_string(path)
        .map_err(|error| format!("{shown} cannot be read: {error}"))?;
    Names::read(&text).map_err(|why| format!("{shown}: {why}"))
}

fn serve(arguments: &ClassArguments, class: Arc<Class>) -> std::io::Result<Outcome> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()?;
    let outcome = runtime.block_on(async {
        let address = if arguments.share {
            IpAddr::V4(Ipv4Addr::UNSPECIFIED)
        } else {
            IpAddr::V4(Ipv4Addr::LOCALHOST)
        };
        let listener = match TcpListener::bind((address, arguments.port)).await {
            Ok(listener) => listener,
            Err(error) => {
                complain(&format!(
                    "port {} cannot be served on: {error}; name another with --port",
                    arguments.port
                ));
                return Ok(Outcome::Failed);
            }
        };
        let port = listener.local_addr()?.port();
        let desks_at = address_of_desks(arguments.share, port);
        let desks = match arguments.desks {
            true => Some(Arc::new(Desks::new(Arc::clone(&class), desks_at)?)),
            false => None,
        };
        let served = Arc::new(Served {
            class,
            teacher: Secret::new()?,
            desks,
            port,
            shared: arguments.share,
        });
        greet(&served)?;
        let router = http::router(Arc::clone(&served));
        let service = router.into_make_service_with_connect_info::<Peer>();
        let stopped = async {
            // Where no signal can be waited for, the process is simply ended.
            if tokio::signal::ctrl_c().await.is_err() {
                std::future::pending::<()>().await;
            }
        };
        tokio::select! {
            served = async { axum::serve(Door::new(listener), service).await } => served?,
            () = stopped => {}
        }
        Ok(Outcome::Clean)
    });
    // Pages that are still open are not waited for; everything that was saved is saved.
    runtime.shutdown_background();
    outcome
}

/// Says where the wall and the desks are.
fn greet(served: &Served) -> std::io::Result<()> {
    let mut out = anstream::stdout();
    let key = served.teacher.words();
    writeln!(
        out,
        "The wall, for you alone, on this machine:\n  http://127.0.0.1:{}/open?key={key}",
        served.port
    )?;
    if let Some(desks) = &served.desks {
        let whom = if served.shared {
            "in this network"
        } else {
            "on this machine; --share lets others come"
        };
        writeln!(
            out,
            "The desks, for students {whom}:\n  {}\n  code of the day: {}",
            desks.address(),
            desks.code()
        )?;
    }
    writeln!(
        out,
        "Ctrl+C ends the class; what students have written stays."
    )?;
    out.flush()
}

/// Where students find the desks: this machine's own address in its network, if it is shared and has one.
fn address_of_desks(shared: bool, port: u16) -> String {
    // Nothing is sent: a socket that is told where packets would go knows which way they would leave.
    let own = || {
        let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
        socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
        Some(socket.local_addr().ok()?.ip())
    };
    let address = if shared { own() } else { None };
    let address = address.unwrap_or(IpAddr::V4(Ipv4Addr::LOCALHOST));
    format!("http://{address}:{port}/desk")
}
