//! The work that takes a processor: reading recordings, reconstructing flights, marking them. It runs beside the
//! request threads, on as many threads as there are processors, never inside a transaction; flights and documents
//! that were just made are kept in memory.

use crate::School;
use crate::carried;
use crate::error::{Result, SchoolError};
use crate::inputs::Inputs;
use crate::model::MapColumn;
use crate::signed::Signed;
use aircraft::Aircraft;
use debrief::{Debrief, RecordingHead};
use flight::{Flight, Surroundings};
use maneuver::corrections::Outcome;
use pipeline::{Ready, Reconstructed, Setting};
use quick_cache::sync::Cache;
use quick_cache::{DefaultHashBuilder, OptionsBuilder, Weighter};
use recording::{MapEntry, Read, ReadError, ReadOptions, Recording, Target};
use standard::Pack;
use std::sync::Arc;
use tokio::sync::Semaphore;

/// Memory for reconstructed flights. A two-hour flight at 10 Hz takes some 60 MB.
const FLIGHTS_BYTES: u64 = 512 << 20;
/// Memory for documents.
const DOCUMENTS_BYTES: u64 = 128 << 20;

/// A reconstructed flight with what it takes to mark it again.
#[derive(Debug)]
pub struct Rebuilt {
    /// Flight and found maneuvers.
    pub reconstructed: Reconstructed,
    /// What is kept of the recording.
    pub head: RecordingHead,
    /// The aircraft.
    pub aircraft: Aircraft,
}

/// A document with what became of each correction.
#[derive(Clone, Debug)]
pub struct Marked {
    /// The document.
    pub document: Arc<Debrief>,
    /// What became of each correction, in their order.
    pub outcomes: Vec<Outcome>,
}

type Kept<T, W> = Cache<String, Arc<T>, W, DefaultHashBuilder>;

/// Where the work is done and its products are kept for a while.
#[derive(Debug)]
pub struct Workshop {
    threads: Arc<Semaphore>,
    flights: Kept<Rebuilt, FlightBytes>,
    documents: Kept<Debrief, DocumentBytes>,
    signed: Kept<Signed, Each>,
    ready: Kept<Ready, Each>,
    /// Held by whoever works off the jobs.
    pub(crate) jobs: tokio::sync::Mutex<()>,
}

#[derive(Clone, Debug)]
struct FlightBytes;

impl Weighter<String, Arc<Rebuilt>> for FlightBytes {
    fn weight(&self, _: &String, rebuilt: &Arc<Rebuilt>) -> u64 {
        bytes_of(&rebuilt.reconstructed.flight)
    }
}

#[derive(Clone, Debug)]
struct DocumentBytes;

impl Weighter<String, Arc<Debrief>> for DocumentBytes {
    fn weight(&self, _: &String, document: &Arc<Debrief>) -> u64 {
        // Ribbons and the strip are nearly all of a document: 8 bytes a point, and some words a maneuver.
        let points: usize = document
            .maneuvers
            .iter()
            .flat_map(|maneuver| &maneuver.marks)
            .filter_map(|mark| mark.ribbon.as_ref())
            .map(|ribbon| ribbon.deviation.len())
            .sum();
        let strip = document.flight.strip_altitude_ft.len();
        8 * (points + strip) as u64 + 16_384 * (1 + document.maneuvers.len() as u64)
    }
}

/// So many of them.
#[derive(Clone, Debug)]
struct Each;

impl<T> Weighter<String, Arc<T>> for Each {
    fn weight(&self, _: &String, _: &Arc<T>) -> u64 {
        1
    }
}

/// About what a flight takes in memory: at most 44 series of a value and a σ a sample.
fn bytes_of(flight: &Flight) -> u64 {
    (flight.clock.len as u64) * 44 * 12 + 65_536
}

impl Default for Workshop {
    fn default() -> Workshop {
        let threads = std::thread::available_parallelism().map_or(2, usize::from);
        Workshop {
            threads: Arc::new(Semaphore::new(threads)),
            flights: cache(64, FLIGHTS_BYTES, FlightBytes),
            documents: cache(256, DOCUMENTS_BYTES, DocumentBytes),
            signed: cache(128, 128, Each),
            ready: cache(64, 64, Each),
            jobs: tokio::sync::Mutex::new(()),
        }
    }
}

/// One shard: with several, a long flight could be larger than its share and never be kept.
fn cache<T, W: Weighter<String, Arc<T>> + Clone>(
    count: usize,
    bytes: u64,
    weighter: W,
) -> Kept<T, W> {
    let options = OptionsBuilder::new()
        .estimated_items_capacity(count)
        .weight_capacity(bytes)
        .shards(1)
        .build();
    match options {
        Ok(options) => Cache::with_options(
            options,
            weighter,
            DefaultHashBuilder::default(),
            Default::default(),
        ),
        // The numbers above are constants and complete; a smaller cache would serve as well.
        Err(_) => Cache::with_weighter(count, bytes, weighter),
    }
}

impl Workshop {
    /// Does a piece of work on a thread of its own, when one is free.
    ///
    /// # Errors
    /// When the program is being ended, or the work broke off, which would be our own mistake.
    pub async fn work<T: Send + 'static>(
        &self,
        doing: &'static str,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T> {
        let turn = Arc::clone(&self.threads)
            .acquire_owned()
            .await
            .map_err(|error| SchoolError::store(doing, error))?;
        tokio::task::spawn_blocking(move || {
            let done = work();
            drop(turn);
            done
        })
        .await
        .map_err(|error| SchoolError::store(doing, error))
    }

    /// A signed version, by the digest of its bytes.
    pub(crate) fn signed(&self, sha256: &str) -> Option<Arc<Signed>> {
        self.signed.get(sha256)
    }

    /// Keeps a signed version for a while.
    pub(crate) fn keep_signed(&self, sha256: &str, signed: Arc<Signed>) {
        self.signed.insert(sha256.to_owned(), signed);
    }
}

impl School {
    /// The reconstructed flight of these inputs: from memory, else from the recording's bytes.
    ///
    /// # Errors
    /// When the bytes are gone or damaged, or the file no longer reads.
    pub async fn rebuilt(&self, inputs: &Inputs) -> Result<Arc<Rebuilt>> {
        let key = inputs.rebuilt_key()?;
        self.workshop()
            .flights
            .get_or_insert_async(&key, async {
                let bytes = self.objects().get(&inputs.recording_sha256).await?;
                let (name, map) = (inputs.recording_name.clone(), options(&inputs.map)?);
                let read = self
                    .workshop()
                    .work("read the recording", move || {
                        recording::read(&name, &bytes, &map)
                    })
                    .await?
                    .map_err(|error| unreadable(&error))?;
                let recording = part(read, inputs.part)?;
                self.rebuild(inputs, recording).await
            })
            .await
    }

    /// As [`School::rebuilt`] for a recording that was just read.
    ///
    /// # Errors
    /// When the aircraft file does not read.
    pub(crate) async fn rebuilt_from(
        &self,
        inputs: &Inputs,
        recording: Recording,
    ) -> Result<Arc<Rebuilt>> {
        let key = inputs.rebuilt_key()?;
        self.workshop()
            .flights
            .get_or_insert_async(&key, self.rebuild(inputs, recording))
            .await
    }

    async fn rebuild(&self, inputs: &Inputs, recording: Recording) -> Result<Arc<Rebuilt>> {
        let aircraft = aircraft_of(inputs)?;
        let surroundings = Surroundings {
            terrain_m: inputs.terrain_ft.map(|feet| feet * air::units::M_PER_FT),
        };
        let earlier = if inputs.earlier.is_empty() {
            Vec::new()
        } else {
            carried::read(&mut self.read().await?, &inputs.earlier).await?
        };
        self.workshop()
            .work("reconstruct the flight", move || {
                let reconstructed = pipeline::reconstruct(&recording, &aircraft, surroundings)
                    .drawn_to(&aircraft, earlier);
                let head = RecordingHead::from(&recording);
                Arc::new(Rebuilt {
                    reconstructed,
                    head,
                    aircraft,
                })
            })
            .await
    }

    /// A flight made ready to be flown otherwise, with its reconstruction.
    ///
    /// # Errors
    /// As [`School::rebuilt`].
    pub(crate) async fn ready(&self, inputs: &Inputs) -> Result<(Arc<Rebuilt>, Arc<Ready>)> {
        let rebuilt = self.rebuilt(inputs).await?;
        let key = inputs.ready_key()?;
        let (flight, corrections) = (Arc::clone(&rebuilt), inputs.corrections.clone());
        let ready = self
            .workshop()
            .ready
            .get_or_insert_async(&key, async {
                self.workshop()
                    .work("make the flight ready", move || {
                        let Rebuilt {
                            reconstructed,
                            aircraft,
                            ..
                        } = &*flight;
                        Arc::new(pipeline::ready(reconstructed, aircraft, &corrections))
                    })
                    .await
            })
            .await?;
        Ok((rebuilt, ready))
    }

    /// The document of these inputs with what became of each correction; `rebuilt` is their flight.
    ///
    /// # Errors
    /// When the pack does not read.
    pub(crate) async fn marked(&self, inputs: &Inputs, rebuilt: Arc<Rebuilt>) -> Result<Marked> {
        let key = inputs.sha256()?;
        let pack = pack_of(inputs)?;
        let (briefed, corrections, terrain_ft) = (
            inputs.briefed.clone(),
            inputs.corrections.clone(),
            inputs.terrain_ft,
        );
        let marked = self
            .workshop()
            .work("mark the flight", move || {
                let setting = Setting {
                    aircraft: &rebuilt.aircraft,
                    pack: &pack,
                    briefed: &briefed,
                    surroundings: Surroundings {
                        terrain_m: terrain_ft.map(|feet| feet * air::units::M_PER_FT),
                    },
                };
                let marked = pipeline::mark_telling(
                    &rebuilt.head,
                    &rebuilt.reconstructed,
                    &setting,
                    &corrections,
                );
                Marked {
                    document: Arc::new(marked.document),
                    outcomes: marked.outcomes,
                }
            })
            .await?;
        self.workshop()
            .documents
            .insert(key, Arc::clone(&marked.document));
        Ok(marked)
    }

    /// The document of these inputs: from memory, else computed.
    ///
    /// # Errors
    /// As [`School::rebuilt`].
    pub async fn computed(&self, inputs: &Inputs) -> Result<Arc<Debrief>> {
        if let Some(document) = self.workshop().documents.get(&inputs.sha256()?) {
            return Ok(document);
        }
        let rebuilt = self.rebuilt(inputs).await?;
        Ok(self.marked(inputs, rebuilt).await?.document)
    }

    /// The document of these inputs when it is in memory.
    pub(crate) fn remembered(&self, inputs_sha256: &str) -> Option<Arc<Debrief>> {
        self.workshop().documents.get(inputs_sha256)
    }

    /// Keeps a document that was read from the record.
    pub(crate) fn remember(&self, inputs_sha256: &str, document: Arc<Debrief>) {
        self.workshop()
            .documents
            .insert(inputs_sha256.to_owned(), document);
    }
}

/// The flight of a file that is meant, named as it is when the file holds several.
fn part(read: Read, part: u32) -> Result<Recording> {
    let several = read.recordings.len() > 1;
    let recording = usize::try_from(part)
        .ok()
        .and_then(|part| read.recordings.into_iter().nth(part));
    match recording {
        Some(recording) => Ok(named(recording, part, several)),
        None => Err(SchoolError::conflict(
            format!(
                "As the file is read now it holds no flight number {}.",
                part + 1
            ),
            "Look at how the recording is read, and correct the columns.",
        )),
    }
}

/// A file with several flights is named with the flight's number.
pub(crate) fn named(mut recording: Recording, part: u32, several: bool) -> Recording {
    if several {
        recording.name = format!("{} flight {}", recording.name, part + 1);
    }
    recording
}

/// How a file is read, with a person's corrections.
///
/// # Errors
/// `Invalid` when a correction names no channel.
pub fn options(map: &[MapColumn]) -> Result<ReadOptions> {
    let entry = |column: &MapColumn| {
        let target = Target::from_id(column.channel.trim()).ok_or_else(|| {
            let ids: Vec<&str> = recording::Quantity::all()
                .map(recording::Quantity::id)
                .collect();
            SchoolError::invalid(
                "entries",
                format!("`{}` is no channel.", column.channel),
                format!("Take time, ignore, or one of {}.", ids.join(", ")),
            )
        })?;
        let unit = column
            .unit
            .as_deref()
            .map(str::trim)
            .filter(|unit| !unit.is_empty());
        Ok(MapEntry {
            target,
            column: column.column.trim().to_owned(),
            unit: unit.map(ToOwned::to_owned),
        })
    };
    Ok(ReadOptions {
        map: map.iter().map(entry).collect::<Result<_>>()?,
        ..ReadOptions::default()
    })
}

fn aircraft_of(inputs: &Inputs) -> Result<Aircraft> {
    if inputs.aircraft_sha256.is_empty() {
        return Ok(Aircraft::unknown());
    }
    aircraft::parse(&inputs.aircraft_toml, "aircraft file")
        .map(|(aircraft, _)| aircraft)
        .map_err(|problems| {
            let first = problems
                .first()
                .map_or_else(String::new, ToString::to_string);
            SchoolError::conflict(
                format!("The aircraft file does not read any more: {first}."),
                "The chief instructor can mend it on the aircraft's page.",
            )
        })
}

fn pack_of(inputs: &Inputs) -> Result<Pack> {
    Pack::read(&inputs.standard_toml, "the standard").map_err(|error| {
        SchoolError::conflict(
            format!("The standard does not read any more: {error}."),
            "The chief instructor can mend it on the standards page.",
        )
    })
}

fn unreadable(error: &ReadError) -> SchoolError {
    SchoolError::conflict(
        format!("The recording cannot be read: {error}."),
        "Look at how it is read, and correct the columns.",
    )
}
