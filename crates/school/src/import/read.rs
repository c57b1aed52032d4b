//! Understanding a file: with the school's map for its header, where there is one.

use crate::School;
use crate::compute;
use crate::error::{Result, SchoolError};
use crate::maps::KeptMap;
use crate::model::{MapColumn, Reading};
use crate::reading;
use bytes::Bytes;
use recording::{Read, ReadError, ReadOptions, Recording};

/// What was understood of a file.
pub(super) struct Understood {
    /// For people.
    pub reading: Reading,
    /// What the recorder says of the aircraft it sits in.
    pub identity: String,
    /// Flights that are lessons, with their number in the file.
    pub flights: Vec<(u32, Recording)>,
}

impl School {
    /// Reads a file, with the map that the school keeps for its header.
    pub(super) async fn understand(&self, name: &str, bytes: Bytes) -> Result<Understood> {
        let maps = self.maps().await?;
        let name = name.to_owned();
        self.workshop()
            .work("read the recording", move || {
                match with_maps(&name, &bytes, &maps) {
                    Ok((read, map)) => understood(read, map.as_deref()),
                    Err(error) => Understood {
                        reading: reading::unread(&error),
                        identity: String::new(),
                        flights: Vec::new(),
                    },
                }
            })
            .await
    }

    /// Reads a file with these corrections and no others.
    pub(super) async fn understand_as(
        &self,
        name: &str,
        bytes: Bytes,
        map: &str,
        entries: &[MapColumn],
    ) -> Result<Understood> {
        let options = compute::options(entries)?;
        let (name, map) = (name.to_owned(), map.to_owned());
        let read = self
            .workshop()
            .work("read the recording", move || {
                recording::read(&name, &bytes, &options).map(|read| understood(read, Some(&map)))
            })
            .await?;
        read.map_err(|error| {
            let place = match (error.line, error.column) {
                (0, _) => String::new(),
                (line, 0) => format!(" (line {line})"),
                (line, column) => format!(" (line {line}, column {column})"),
            };
            SchoolError::invalid(
                "entries",
                sentence(&format!("{}{place}", error.cause)),
                sentence(&reading::mend(&error)),
            )
        })
    }
}

/// Causes are written to stand within a sentence; a person reads them as one.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters
        .next()
        .map(|letter| letter.to_uppercase().to_string());
    format!("{}{}.", first.unwrap_or_default(), letters.as_str())
}

/// Reads with the map for the header; a file in which the reader finds no table may still be one by a map.
fn with_maps(
    name: &str,
    bytes: &[u8],
    maps: &[KeptMap],
) -> std::result::Result<(Read, Option<String>), ReadError> {
    let plain = recording::read(name, bytes, &ReadOptions::default());
    let with = |map: &KeptMap| {
        let read = recording::read(name, bytes, &compute::options(&map.entries).ok()?).ok()?;
        (read.report.header_signature == map.header_signature)
            .then(|| (read, Some(map.name.clone())))
    };
    match plain {
        Ok(read) => {
            let map = maps
                .iter()
                .find(|map| map.header_signature == read.report.header_signature);
            Ok(map.and_then(with).unwrap_or((read, None)))
        }
        Err(error) => maps.iter().find_map(with).ok_or(error),
    }
}

fn understood(read: Read, map: Option<&str>) -> Understood {
    let identity = reading::identity(&read.report.preamble);
    let several = read.recordings.len() > 1;
    let found = read.recordings.len();
    let mut flights = Vec::new();
    let mut left_out = Vec::new();
    for (index, recording) in read.recordings.into_iter().enumerate() {
        let part = u32::try_from(index).unwrap_or(u32::MAX);
        match reading::no_lesson(&recording) {
            None => flights.push((part, compute::named(recording, part, several))),
            Some(why) if several => left_out.push(format!("part {} of the file: {why}", index + 1)),
            Some(why) => left_out.push(format!("the recording was {why}")),
        }
    }
    let mut reading = reading::understood(&read.report, map, flights.len(), &left_out);
    if map.is_some() {
        // A person looked at it.
        reading.unsure = false;
    }
    debug_assert!(flights.len() + left_out.len() == found);
    Understood {
        reading,
        identity,
        flights,
    }
}
