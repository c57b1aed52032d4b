//! The zip: names, times, and that the same gives the same.

use std::io::{Cursor, Read};

use zip::{CompressionMethod, ZipArchive};

fn files() -> Vec<(String, Vec<u8>)> {
    vec![
        (
            "lessons/2026-05-08 stalls.pdf".to_owned(),
            b"%PDF-1.7 and so on".repeat(40),
        ),
        ("lessons/debrief.json".to_owned(), b"{\"a\": 1}".repeat(400)),
        ("../debrief.json".to_owned(), b"second".to_vec()),
        ("Debrief.json".to_owned(), b"third".to_vec()),
        ("/etc/passwd".to_owned(), Vec::new()),
        ("C:\\lessons\\com1.txt".to_owned(), b"x".to_vec()),
        ("Zoë's flights.gz".to_owned(), vec![0x1f, 0x8b]),
        ("...".to_owned(), b"nameless".to_vec()),
    ]
}

#[test]
fn prop_the_same_files_give_the_same_bytes() {
    let first = export::zip(files(), 1_746_735_444.0).unwrap();
    assert_eq!(first, export::zip(files(), 1_746_735_444.0).unwrap());
    assert_ne!(first, export::zip(files(), 1_746_735_446.0).unwrap());
}

/// APPNOTE.TXT (zip file format) 4.4.17.1: relative paths with forward slashes, no drive, no leading slash.
#[test]
fn val_names_are_safe_and_nothing_is_lost() {
    let bytes = export::zip(files(), 1_746_735_444.0).unwrap();
    let mut archive = ZipArchive::new(Cursor::new(bytes)).expect("a zip");
    let mut names = Vec::new();
    for (index, (_, want)) in files().into_iter().enumerate() {
        let mut member = archive.by_index(index).unwrap();
        names.push(member.name().unwrap().into_owned());
        let mut got = Vec::new();
        member.read_to_end(&mut got).unwrap();
        assert_eq!(got, want, "{names:?}");
    }
    assert_eq!(
        names,
        [
            "lessons/2026-05-08 stalls.pdf",
            "lessons/debrief.json",
            "debrief.json",
            "Debrief-2.json",
            "etc/passwd",
            "C_/lessons/_com1.txt",
            "Zo__s flights.gz",
            "file",
        ]
    );
}

/// Packed members are stored, text is deflated; the time is the one that was given, in UTC.
#[test]
fn prop_methods_and_time() {
    let bytes = export::zip(files(), 1_746_735_444.0).unwrap();
    let mut archive = ZipArchive::new(Cursor::new(bytes)).expect("a zip");
    let pdf = archive.by_index(0).unwrap();
    assert_eq!(pdf.compression(), CompressionMethod::Stored);
    let at = pdf.last_modified().unwrap();
    assert_eq!(
        (
            at.year(),
            at.month(),
            at.day(),
            at.hour(),
            at.minute(),
            at.second()
        ),
        (2025, 5, 8, 20, 17, 24)
    );
    drop(pdf);
    assert_eq!(
        archive.by_index(1).unwrap().compression(),
        CompressionMethod::Deflated
    );
}

#[test]
fn prop_wild_times_and_no_files() {
    for at in [f64::NAN, f64::INFINITY, -1e300, 0.0, 4e11] {
        let bytes = export::zip(files(), at).unwrap();
        assert_eq!(
            ZipArchive::new(Cursor::new(bytes)).unwrap().len(),
            files().len()
        );
        assert!(
            ZipArchive::new(Cursor::new(export::zip([], at).unwrap()))
                .unwrap()
                .is_empty()
        );
    }
}
