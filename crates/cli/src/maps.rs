//! Maps that a person made once for a recorder and that are found again by its header.

use crate::args::MapArgs;
use crate::failure::Failure;
use directories::ProjectDirs;
use recording::{MapEntry, ReadOptions, SavedMap};
use std::path::PathBuf;

/// Folder of the saved maps; `PROOFWING_MAPS` overrides where the system keeps settings.
fn folder() -> Result<PathBuf, Failure> {
    if let Some(folder) = std::env::var_os("PROOFWING_MAPS") {
        return Ok(PathBuf::from(folder));
    }
    ProjectDirs::from("", "", "proofwing")
        .map(|dirs| dirs.config_dir().join("maps"))
        .ok_or_else(|| {
            Failure::Usage("no home folder to keep maps in\nhint: set PROOFWING_MAPS".to_owned())
        })
}

/// Every saved map; a damaged one is told of and passed over.
fn all() -> Vec<(String, SavedMap)> {
    let Ok(entries) = folder().and_then(|folder| {
        std::fs::read_dir(folder).map_err(|error| Failure::Usage(error.to_string()))
    }) else {
        return Vec::new();
    };
    let mut maps = Vec::new();
    for path in entries.flatten().map(|entry| entry.path()) {
        let name = path
            .file_stem()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        if path.extension().is_none_or(|extension| extension != "toml") {
            continue;
        }
        match std::fs::read_to_string(&path)
            .map_err(|error| error.to_string())
            .and_then(|text| SavedMap::from_toml(&text).map_err(|error| error.to_string()))
        {
            Ok(map) => maps.push((name, map)),
            Err(error) => eprintln!("proofwing: map {} is passed over: {error}", path.display()),
        }
    }
    maps.sort_by(|one, other| one.0.cmp(&other.0));
    maps
}

/// The entries given on the command line.
pub fn given(args: &MapArgs) -> Result<Vec<MapEntry>, Failure> {
    args.map
        .iter()
        .map(|text| {
            MapEntry::parse(text).map_err(|error| Failure::Usage(format!("--map {text}: {error}")))
        })
        .collect()
}

/// How to read a file with this header: what was given, else what is remembered for it.
/// The second value names the remembered map.
pub fn options(args: &MapArgs, signature: &str) -> Result<(ReadOptions, Option<String>), Failure> {
    let mut entries = given(args)?;
    let saved = all();
    let wanted = match &args.use_map {
        Some(name) => Some(
            saved
                .iter()
                .find(|(known, _)| known == name)
                .ok_or_else(|| {
                    let known: Vec<&str> = saved.iter().map(|(name, _)| name.as_str()).collect();
                    Failure::Usage(format!(
                        "there is no map \"{name}\"\nhint: saved are: {}",
                        known.join(", ")
                    ))
                })?,
        ),
        None => saved
            .iter()
            .find(|(_, map)| map.header_signature == signature),
    };
    let mut used = None;
    if let Some((name, map)) = wanted {
        used = Some(name.clone());
        // What is said now wins over what is remembered.
        for entry in &map.entries {
            if !entries
                .iter()
                .any(|given| given.target == entry.target || given.column == entry.column)
            {
                entries.push(entry.clone());
            }
        }
    }
    Ok((
        ReadOptions {
            map: entries,
            ..ReadOptions::default()
        },
        used,
    ))
}

/// Remembers entries for a header; returns where.
pub fn save(name: &str, signature: &str, entries: Vec<MapEntry>) -> Result<PathBuf, Failure> {
    if name.is_empty()
        || !name
            .chars()
            .all(|letter| letter.is_alphanumeric() || letter == '-' || letter == '_')
    {
        return Err(Failure::Usage(format!(
            "--save-map {name}: use letters, digits, - and _ only"
        )));
    }
    let path = folder()?.join(format!("{name}.toml"));
    let map = SavedMap {
        name: name.to_owned(),
        header_signature: signature.to_owned(),
        entries,
    };
    crate::output::write(&path, map.to_toml().as_bytes())?;
    Ok(path)
}
