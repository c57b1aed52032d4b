//! Whoever changes the record behind the program's back is found.

mod support;

use school::db::{Kind, TABLES, Table, Value};
use school::model::Role;
use school::{School, values};
use sqlx::AssertSqlSafe;
use std::collections::BTreeSet;
use support::outside::Outside;
use support::{sample, test_schools};

async fn problems(school: &School, head: Option<&str>) -> Vec<String> {
    school.verify(head).await.unwrap().problems
}

/// Every row of a table.
async fn rows(school: &School, table: &Table) -> Vec<Vec<Value>> {
    let mut tx = school.read().await.unwrap();
    let sql = format!("SELECT {} FROM {}", table.column_list(), table.name);
    let rows = tx.rows(AssertSqlSafe(sql), values![]).await.unwrap();
    rows.iter().map(|row| table.values(row).unwrap()).collect()
}

/// The same row by its key, which stands at `$2 …`.
fn condition(table: &Table, row: &[Value]) -> (String, Vec<Value>) {
    let (mut words, mut keys) = (Vec::new(), Vec::new());
    for ((name, _), value) in table.columns.iter().zip(row) {
        if table.key.contains(name) {
            keys.push(value.clone());
            words.push(format!("{name} = ${}", keys.len() + 1));
        }
    }
    (words.join(" AND "), keys)
}

/// Another value of the same kind, as small a change as there is.
fn changed(value: &Value) -> Value {
    match value {
        Value::Text(Some(text)) => {
            let mut letters: Vec<char> = text.chars().collect();
            match letters.last_mut() {
                Some(last) => *last = if *last == 'x' { 'y' } else { 'x' },
                None => letters.push('x'),
            }
            Value::from(letters.into_iter().collect::<String>())
        }
        Value::Text(None) => Value::from("x"),
        Value::Int(number) => Value::from(number.unwrap_or(0) + 1),
        Value::Real(number) => Value::from(number.map_or(1.0, f64::next_up)),
        Value::Flag(flag) => Value::from(!flag.unwrap_or(false)),
        Value::Bytes(bytes) => {
            let mut bytes = bytes.clone().unwrap_or_default();
            match bytes.last_mut() {
                Some(last) => *last ^= 1,
                None => bytes.push(1),
            }
            Value::from(bytes)
        }
    }
}

/// Columns whose values PostgreSQL itself limits.
const CHECKED: &[(&str, &str)] = &[
    ("school", "id"),
    ("people", "role"),
    ("invites", "purpose"),
    ("invites", "role"),
    ("recordings", "via"),
];

#[tokio::test]
async fn prop_a_change_of_any_one_field_is_found() {
    for case in test_schools().await {
        sample::fill(&case).await;
        let school = &case.school;
        assert_eq!(problems(school, None).await, Vec::<String>::new());
        let mut outside = Outside::connect(&case.config).await;
        let mut tried = BTreeSet::new();
        for table in TABLES
            .iter()
            .filter(|table| !table.sealed.is_empty() || table.name == "audit")
        {
            for row in rows(school, table).await {
                for (index, (column, _)) in table.columns.iter().enumerate() {
                    if table.name != "audit" && !table.sealed.contains(column) {
                        continue;
                    }
                    // The key finds the row again after the change.
                    let key_changed = table.key.contains(column);
                    let new = changed(&row[index]);
                    let (found, keys) = condition(table, &row);
                    let sql = format!("UPDATE {} SET {column} = $1 WHERE {found}", table.name);
                    let mut bound = vec![new.clone()];
                    bound.extend(keys);
                    // PostgreSQL's CHECK stays even for a superuser: what it refuses cannot be changed.
                    let Ok(count) = outside.run(&sql, &bound).await else {
                        continue;
                    };
                    assert_eq!(count, 1, "{sql}");
                    let found_problems = problems(school, None).await;
                    assert!(
                        !found_problems.is_empty(),
                        "{}.{column} of {row:?}",
                        table.name
                    );
                    let mut there = row.clone();
                    if key_changed {
                        there[index] = new;
                    }
                    let (back, keys) = condition(table, &there);
                    let sql = format!("UPDATE {} SET {column} = $1 WHERE {back}", table.name);
                    let mut bound = vec![row[index].clone()];
                    bound.extend(keys);
                    assert_eq!(outside.run(&sql, &bound).await.unwrap(), 1, "{sql}");
                    tried.insert((table.name, *column));
                }
            }
        }
        for table in TABLES.iter().filter(|table| !table.sealed.is_empty()) {
            for column in table.sealed {
                let refused =
                    case.config.database.is_some() && CHECKED.contains(&(table.name, *column));
                assert!(
                    refused || tried.contains(&(table.name, *column)),
                    "{} {column}",
                    table.name
                );
            }
        }
        assert_eq!(problems(school, None).await, Vec::<String>::new());
    }
}

#[tokio::test]
async fn prop_a_row_taken_away_or_added_is_found() {
    for case in test_schools().await {
        let made = sample::fill(&case).await;
        let school = &case.school;
        for table in TABLES.iter().filter(|table| !table.sealed.is_empty()) {
            let mut outside = Outside::connect(&case.config).await;
            let all = rows(school, table).await;
            for row in &all {
                let (mut found, mut keys) = condition(table, row);
                for place in 1..=keys.len() {
                    found = found.replace(&format!("${}", place + 1), &format!("${place}"));
                }
                let sql = format!("DELETE FROM {} WHERE {found}", table.name);
                assert_eq!(outside.run(&sql, &keys).await.unwrap(), 1);
                assert!(
                    !problems(school, None).await.is_empty(),
                    "{row:?} was deleted"
                );
                let places: Vec<String> =
                    (1..=row.len()).map(|place| format!("${place}")).collect();
                let sql = format!(
                    "INSERT INTO {} ({}) VALUES ({})",
                    table.name,
                    table.column_list(),
                    places.join(", ")
                );
                keys = row.clone();
                assert_eq!(outside.run(&sql, &keys).await.unwrap(), 1);
            }
        }
        assert_eq!(problems(school, None).await, Vec::<String>::new());
        let mut outside = Outside::connect(&case.config).await;
        let forged = "INSERT INTO entries (lesson_id, seq, id, at_utc, by_id, kind, body) \
             SELECT lesson_id, 5, 'forged', at_utc, by_id, kind, body FROM entries WHERE seq = 1 AND lesson_id = $1";
        outside.run(forged, &values![&made.lesson]).await.unwrap();
        outside
            .run(
                "UPDATE lessons SET entry_seq = 5 WHERE id = $1",
                &values![&made.lesson],
            )
            .await
            .unwrap();
        let told = problems(school, None).await;
        assert!(
            told.iter()
                .any(|words| words.contains("not in the audit trail")),
            "{told:?}"
        );
    }
}

#[tokio::test]
async fn prop_a_trail_cut_off_at_its_end_is_found_by_the_hash_that_was_written_down() {
    for case in test_schools().await {
        let made = sample::fill(&case).await;
        let school = &case.school;
        let early = school.audit_head().await.unwrap();
        let person = case.add(&made.chief, "last", Role::Student).await;
        let head = school.audit_head().await.unwrap();
        // A hash that was written down stays good while the record grows.
        assert!(problems(school, Some(&early)).await.is_empty());
        assert!(problems(school, Some(&head)).await.is_empty());
        let mut outside = Outside::connect(&case.config).await;
        outside
            .run("DELETE FROM people WHERE id = $1", &values![&person.id])
            .await
            .unwrap();
        outside
            .run(
                "DELETE FROM audit WHERE seq = (SELECT MAX(seq) FROM audit)",
                &[],
            )
            .await
            .unwrap();
        // Whoever takes away the end and everything that it told of leaves a trail that is whole in itself …
        assert!(problems(school, None).await.is_empty());
        assert!(problems(school, Some(&early)).await.is_empty());
        // … but not for whoever has the hash on paper.
        assert_eq!(problems(school, Some(&head)).await.len(), 1);
    }
}

#[tokio::test]
async fn prop_a_trail_made_anew_is_found_by_the_hash_that_was_written_down() {
    for case in test_schools().await {
        sample::fill(&case).await;
        let school = &case.school;
        let head = school.audit_head().await.unwrap();
        let mut outside = Outside::connect(&case.config).await;
        // A forger who knows how hashes are made changes an early row and makes every later one anew.
        let mut previous = school::audit::BEGINNING.to_owned();
        for mut row in school.audit(None, 1000).await.unwrap().into_iter().rev() {
            if row.seq == 2 {
                row.by_name = "Somebody Else".to_owned();
            }
            row.previous = previous;
            row.hash = school::audit::hash(&row);
            let sql = "UPDATE audit SET by_name = $1, previous = $2, hash = $3 WHERE seq = $4";
            let bound = values![&row.by_name, &row.previous, &row.hash, row.seq];
            outside.run(sql, &bound).await.unwrap();
            previous = row.hash;
        }
        assert!(
            problems(school, None).await.is_empty(),
            "the chain is whole in itself"
        );
        assert_eq!(problems(school, Some(&head)).await.len(), 1);
    }
}

#[tokio::test]
async fn prop_damaged_and_lost_recordings_are_found_and_mended_by_bringing_them_in_again() {
    for case in test_schools().await {
        let made = sample::fill(&case).await;
        let (head, tail) = made.recording.split_at(2);
        let file = case
            .config
            .data_dir
            .join("recordings")
            .join(head)
            .join(tail);
        let bytes = std::fs::read(&file).unwrap();
        assert_eq!(case.school.verify(None).await.unwrap().recordings, 1);
        std::fs::write(&file, b"time,alt\n0,9999\n1,1001\n").unwrap();
        assert_eq!(problems(&case.school, None).await.len(), 1);
        assert!(case.school.objects().get(&made.recording).await.is_err());
        std::fs::remove_file(&file).unwrap();
        assert_eq!(problems(&case.school, None).await.len(), 1);
        case.school.objects().put(bytes.into()).await.unwrap();
        assert!(problems(&case.school, None).await.is_empty());
    }
}

#[tokio::test]
async fn prop_only_old_bytes_without_a_row_are_swept() {
    for case in test_schools().await {
        let school = &case.school;
        // The school was founded three days ago.
        school.clock().shift(-3 * 86_400);
        let made = sample::fill(&case).await;
        school.clock().shift(3 * 86_400);
        let (before, _) = school.objects().put("before, no row".into()).await.unwrap();
        let (young, _) = school.objects().put("young, no row".into()).await.unwrap();
        let (old, _) = school.objects().put("old, no row".into()).await.unwrap();
        let (again, _) = school
            .objects()
            .put("old, no row, brought again".into())
            .await
            .unwrap();
        let file = |sha256: &str| {
            case.config
                .data_dir
                .join("recordings")
                .join(&sha256[..2])
                .join(&sha256[2..])
        };
        let yesterday = std::time::SystemTime::now() - std::time::Duration::from_secs(25 * 3600);
        let half = |number: u32| file(&made.recording).with_extension(format!("half#{number}"));
        for number in [1, 2] {
            std::fs::write(half(number), "cut off").unwrap();
        }
        let file_of_yesterday = std::fs::File::options().write(true).open(half(1)).unwrap();
        file_of_yesterday.set_modified(yesterday).unwrap();
        for sha256 in [&old, &again, &made.recording] {
            let file = std::fs::File::options()
                .write(true)
                .open(file(sha256))
                .unwrap();
            file.set_modified(yesterday).unwrap();
        }
        assert!(
            school
                .objects()
                .put("old, no row, brought again".into())
                .await
                .unwrap()
                .1
        );
        // What lay there before is not the school's to take away, however old.
        let four_days_ago =
            std::time::SystemTime::now() - std::time::Duration::from_secs(4 * 86_400);
        let earlier = std::fs::File::options()
            .write(true)
            .open(file(&before))
            .unwrap();
        earlier.set_modified(four_days_ago).unwrap();
        assert_eq!(school.sweep().await.unwrap(), 2);
        assert!(!file(&old).exists() && !half(1).exists() && half(2).exists());
        for sha256 in [&before, &young, &again, &made.recording] {
            assert!(school.objects().get(sha256).await.is_ok());
        }
    }
}

#[tokio::test]
async fn prop_what_stands_cannot_be_changed_even_by_the_program() {
    for case in test_schools().await {
        let made = sample::fill(&case).await;
        for sql in [
            "UPDATE audit SET by_name = 'x' WHERE seq = 1",
            "DELETE FROM audit",
            "UPDATE entries SET body = '{}'",
            "DELETE FROM entries WHERE seq = 1",
            "UPDATE signed SET at_utc = 'x'",
            "DELETE FROM signed",
            "UPDATE aircraft_files SET toml = ''",
            "DELETE FROM aircraft_files",
            "INSERT INTO audit SELECT 1, at_utc, by_id, by_name, action, subject, detail, previous, 'x' FROM audit \
             WHERE seq = 1",
            "INSERT INTO entries SELECT lesson_id, 9, 'x', at_utc, by_id, kind, body FROM entries WHERE seq = 1",
        ] {
            let mut tx = case.school.write().await.unwrap();
            assert!(tx.execute(sql, values![]).await.is_err(), "{sql}");
        }
        if case.config.database.is_none() {
            let mut tx = case.school.write().await.unwrap();
            let sql = "REPLACE INTO audit SELECT seq, at_utc, by_id, 'x', action, subject, detail, previous, hash \
                 FROM audit WHERE seq = 1";
            assert!(tx.execute(sql, values![]).await.is_err());
        }
        assert!(problems(&case.school, None).await.is_empty());
        assert_eq!(
            sample::keep_entry(&case.school, &made.chief, &made.lesson, "still writes").await,
            5
        );
    }
}

#[tokio::test]
async fn prop_the_list_of_tables_is_the_database() {
    for case in test_schools().await {
        let mut tx = case.school.read().await.unwrap();
        let mut listed = 0;
        for table in TABLES {
            let sql = if tx.is_sqlite() {
                "SELECT name FROM pragma_table_info($1) ORDER BY cid"
            } else {
                "SELECT column_name::text AS name FROM information_schema.columns \
                 WHERE table_schema = current_schema() AND table_name = $1 ORDER BY ordinal_position"
            };
            let found = tx.rows(sql, values![table.name]).await.unwrap();
            let mut found: Vec<String> =
                found.iter().map(|row| row.text("name").unwrap()).collect();
            let mut known: Vec<String> = table
                .columns
                .iter()
                .map(|(name, _)| (*name).to_owned())
                .collect();
            found.sort();
            known.sort();
            assert_eq!(
                found, known,
                "crates/school/src/db/shape.rs, table {}",
                table.name
            );
            assert!(
                table
                    .key
                    .iter()
                    .chain(table.sealed)
                    .all(|name| known.iter().any(|known| known == name))
            );
            assert!(
                table
                    .columns
                    .iter()
                    .all(|(_, kind)| *kind != Kind::Bytes || table.kept)
            );
            listed += 1;
        }
        let sql = if tx.is_sqlite() {
            "SELECT COUNT(*) AS tables FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
        } else {
            "SELECT COUNT(*) AS tables FROM information_schema.tables WHERE table_schema = current_schema()"
        };
        // One more: the list of migrations.
        assert_eq!(
            tx.one(sql, values![]).await.unwrap().int("tables").unwrap(),
            listed + 1
        );
    }
}

#[tokio::test]
async fn val_the_audit_hash_is_the_documented_one() {
    // SHA-256 by coreutils `sha256sum` over the text that the module's documentation describes, written by hand.
    let row = school::model::AuditRow {
        seq: 1,
        at_utc: "2026-05-04T14:31:20.000Z".to_owned(),
        by_id: String::new(),
        by_name: "Proofwing".to_owned(),
        action: "school.founded".to_owned(),
        subject: "school".to_owned(),
        detail: "{\"name\":\"Ö\"}".to_owned(),
        previous: school::audit::BEGINNING.to_owned(),
        hash: String::new(),
    };
    assert_eq!(
        school::audit::hash(&row),
        "555b8763ff9cf0abfe0dc258f55713ba93057e399afb7f560baa8c1cc9db968e"
    );
}
