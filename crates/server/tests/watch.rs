//! A watched folder: what a card reader does to it, look by look.

mod support;

use school::Actor;
use school::model::Person;
use school::people::PersonChange;
use server::{Looked, STILL, Watcher};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use support::{Served, empty, people};
use tempfile::TempDir;

struct Card {
    served: Served,
    chief: Person,
    instructor: Person,
    folder: PathBuf,
    watcher: Watcher,
    _root: TempDir,
}

async fn card() -> Card {
    let served = empty().await;
    let (chief, instructor, ..) = people(&served).await;
    let root = tempfile::tempdir().unwrap();
    let folder = root.path().join("card");
    std::fs::create_dir(&folder).unwrap();
    let by = Actor::from(&instructor);
    let watcher = Watcher::new(served.school.clone(), folder.clone(), by);
    Card {
        served,
        chief,
        instructor,
        folder,
        watcher,
        _root: root,
    }
}

impl Card {
    fn put(&self, name: &str, bytes: &[u8]) {
        let path = self.folder.join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    }

    /// Looks until whatever lies there has stood still long enough to be read.
    async fn look_until_still(&mut self) -> Looked {
        for _ in 0..STILL {
            let looked = self.watcher.look().await;
            assert_eq!(
                (looked.brought, looked.known, looked.refused),
                (0, 0, 0),
                "read too early"
            );
        }
        self.watcher.look().await
    }

    async fn arrivals(&self) -> Vec<(String, String)> {
        let by = Actor::from(&self.instructor);
        let recordings = self.served.school.recordings(&by, None, 100).await.unwrap();
        let mut names: Vec<_> = recordings
            .into_iter()
            .map(|one| (one.name, one.via))
            .collect();
        names.sort();
        names
    }
}

/// Four minutes of level flight at 1 Hz; each number gives other bytes.
fn flight(number: u32) -> Vec<u8> {
    let mut text =
        String::from("Time (s),Latitude (deg),Longitude (deg),Altitude (ft),IAS (kt),Roll (deg)\n");
    for second in 0..240 {
        let north = 46.0 + f64::from(second) * 50.0 / 111_200.0;
        writeln!(
            text,
            "{second},{north:.6},7.00000,{},95.0,0.0",
            3000 + number
        )
        .unwrap();
    }
    text.into_bytes()
}

fn waiting(count: u32) -> Looked {
    Looked {
        waiting: count,
        ..Looked::default()
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_file_is_read_when_it_has_stood_still() {
    let mut card = card().await;
    let whole = flight(1);
    // A reader copies in pieces: each look sees it longer.
    for part in 1..=4 {
        card.put("DCIM/log1.csv", &whole[..whole.len() * part / 4]);
        assert_eq!(card.watcher.look().await, waiting(1), "piece {part}");
    }
    for _ in 1..STILL {
        assert_eq!(card.watcher.look().await, waiting(1));
    }
    let looked = card.watcher.look().await;
    assert_eq!(
        looked,
        Looked {
            brought: 1,
            ..Looked::default()
        }
    );
    assert_eq!(
        card.arrivals().await,
        [("log1.csv".to_owned(), "folder".to_owned())]
    );
    let by = Actor::from(&card.instructor);
    let lessons = card
        .served
        .school
        .list(&by, &Default::default())
        .await
        .unwrap();
    assert_eq!(lessons.len(), 1);
    // The whole of it, not a piece, and the file stays where it is.
    let (_, kept) = card
        .served
        .school
        .original(&by, &lessons[0].recording_sha256)
        .await
        .unwrap();
    assert_eq!(kept, whole);
    assert!(card.folder.join("DCIM/log1.csv").exists());
    assert_eq!(card.watcher.look().await, Looked::default(), "done is done");
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_the_same_bytes_come_in_once() {
    let mut card = card().await;
    card.put("a.csv", &flight(1));
    card.put("copy of a.csv", &flight(1));
    card.put("b.csv", &flight(2));
    let looked = card.look_until_still().await;
    assert_eq!((looked.brought, looked.known), (2, 1), "{looked:?}");
    // A program that starts anew knows nothing of the folder, but the record does.
    let by = Actor::from(&card.instructor);
    card.watcher = Watcher::new(card.served.school.clone(), card.folder.clone(), by);
    let looked = card.look_until_still().await;
    assert_eq!((looked.brought, looked.known), (0, 3), "{looked:?}");
    assert_eq!(card.arrivals().await.len(), 2);
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_file_that_goes_on_growing_comes_again() {
    let mut card = card().await;
    let whole = flight(1);
    card.put("log.csv", &whole[..whole.len() / 2]);
    assert_eq!(card.look_until_still().await.brought, 1);
    card.put("log.csv", &whole);
    assert_eq!(card.look_until_still().await.brought, 1);
    assert_eq!(card.arrivals().await.len(), 2);
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_other_things_on_a_card_are_left_alone() {
    let mut card = card().await;
    card.put("photo.jpg", b"\xff\xd8\xff");
    card.put("._log.csv", b"what another system leaves behind");
    card.put(".Trash/log.csv", &flight(1));
    card.put("begun.csv", b"");
    for _ in 0..=STILL {
        assert_eq!(card.watcher.look().await, Looked::default());
    }
    assert!(card.arrivals().await.is_empty());
}

#[cfg(unix)]
#[tokio::test(flavor = "multi_thread")]
async fn prop_links_are_not_followed() {
    let mut card = card().await;
    let outside = tempfile::tempdir().unwrap();
    std::fs::write(outside.path().join("log.csv"), flight(1)).unwrap();
    std::os::unix::fs::symlink(outside.path().join("log.csv"), card.folder.join("log.csv"))
        .unwrap();
    std::os::unix::fs::symlink(outside.path(), card.folder.join("more")).unwrap();
    std::os::unix::fs::symlink(&card.folder, card.folder.join("round")).unwrap();
    for _ in 0..=STILL {
        assert_eq!(card.watcher.look().await, Looked::default());
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_file_too_large_is_refused_once_and_told() {
    let mut card = card().await;
    // A file with a hole: it is as long as it says without taking the room.
    let huge = std::fs::File::create(card.folder.join("day.csv")).unwrap();
    huge.set_len(school::import::LARGEST_BYTES as u64 + 1)
        .unwrap();
    card.put("good.csv", &flight(1));
    let looked = card.look_until_still().await;
    assert_eq!((looked.brought, looked.refused), (1, 1), "{looked:?}");
    assert_eq!(
        card.watcher.look().await,
        Looked::default(),
        "it is not tried for ever"
    );
    let refused = card.served.school.refused(10).await.unwrap();
    assert_eq!(refused.len(), 1);
    assert_eq!(refused[0].name, "day.csv");
    assert!(refused[0].why.contains("512 MB"), "{}", refused[0].why);
    assert!(!refused[0].tried_again);
    assert_eq!(refused[0].by_name, card.instructor.name);
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_card_may_be_pulled_out_and_come_back() {
    let mut card = card().await;
    let away = |folder: &Path| folder.with_extension("away");
    let whole = flight(1);
    card.put("log.csv", &whole[..1000]);
    assert_eq!(card.watcher.look().await, waiting(1));
    // Pulled in the middle of copying.
    std::fs::rename(&card.folder, away(&card.folder)).unwrap();
    for _ in 0..3 {
        assert_eq!(
            card.watcher.look().await,
            Looked {
                away: true,
                ..Looked::default()
            }
        );
    }
    assert!(card.arrivals().await.is_empty(), "half a file came in");
    std::fs::rename(away(&card.folder), &card.folder).unwrap();
    card.put("log.csv", &whole);
    assert_eq!(card.look_until_still().await.brought, 1);
    // The same card once more: nothing is read twice.
    std::fs::rename(&card.folder, away(&card.folder)).unwrap();
    assert!(card.watcher.look().await.away);
    std::fs::rename(away(&card.folder), &card.folder).unwrap();
    assert_eq!(card.watcher.look().await, Looked::default());
    // Another card in the same reader, with a file of the same name.
    card.put("log.csv", &flight(2));
    assert_eq!(card.look_until_still().await.brought, 1);
    assert_eq!(card.arrivals().await.len(), 2);
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_nothing_comes_in_the_name_of_who_has_left() {
    let mut card = card().await;
    let chief = Actor::from(&card.chief);
    let active = async |card: &Card, active: bool| {
        let change = PersonChange {
            active: Some(active),
            ..PersonChange::default()
        };
        card.served
            .school
            .change_person(&chief, &card.instructor.id, &change)
            .await
            .unwrap();
    };
    active(&card, false).await;
    card.put("log.csv", &flight(1));
    let mut failed = card.look_until_still().await.failed;
    let mut looks = 0;
    while failed < 4 && looks < 40 {
        let looked = card.watcher.look().await;
        assert_eq!((looked.brought, looked.waiting), (0, 1));
        failed += looked.failed;
        looks += 1;
    }
    assert_eq!(failed, 4);
    // The pause doubles: 1, 2 and 4 looks lie between four tries.
    assert_eq!(looks, 7);
    let refused = card.served.school.refused(10).await.unwrap();
    assert_eq!(refused.len(), 1, "told once, not at each try");
    assert!(
        refused[0].tried_again && refused[0].why.contains("--watch-as"),
        "{:?}",
        refused[0]
    );
    active(&card, true).await;
    let mut brought = 0;
    for _ in 0..9 {
        brought += card.watcher.look().await.brought;
    }
    assert_eq!(brought, 1);
}
