//! People, sessions, tokens and links, on every database at hand.

mod support;

use school::invites::Accepted;
use school::model::Role;
use school::people::{NewPerson, PersonChange};
use school::{Actor, SchoolError};
use support::{PASSWORD, test_schools};

const DAY_S: i64 = 24 * 3600;

fn code<T>(result: Result<T, SchoolError>) -> &'static str {
    result.err().map_or("done", |error| error.code())
}

#[tokio::test]
async fn prop_a_school_is_founded_once() {
    for case in test_schools().await {
        assert!(case.school.first_run().await.unwrap());
        assert_eq!(code(case.school.settings().await), "not_found");
        let chief = case.chief().await;
        assert_eq!(chief.role, Role::Chief);
        assert!(!case.school.first_run().await.unwrap());
        assert_eq!(
            case.school.settings().await.unwrap().name,
            "Pellwick School of Flying"
        );
        let again = case
            .school
            .found("Another", "Bo Quill", "bo", PASSWORD)
            .await;
        assert_eq!(code(again), "conflict");
        assert_eq!(case.school.people().await.unwrap().len(), 1);
    }
}

#[tokio::test]
async fn prop_two_foundings_at_once_make_one_school() {
    for case in test_schools().await {
        let (one, two) = tokio::join!(
            case.school.found("One", "Ada Thorne", "ada", PASSWORD),
            case.school.found("Two", "Bo Quill", "bo", PASSWORD),
        );
        assert_eq!(u8::from(one.is_ok()) + u8::from(two.is_ok()), 1);
        assert_eq!(case.school.people().await.unwrap().len(), 1);
    }
}

#[tokio::test]
async fn prop_logins_are_unique_whatever_their_case() {
    for case in test_schools().await {
        let chief = case.chief().await;
        case.add(&chief, "marlow", Role::Student).await;
        let new = NewPerson {
            name: "Other Marlow".to_owned(),
            login: " MARLOW ".to_owned(),
            role: Role::Student,
            password: None,
        };
        assert_eq!(code(case.school.add_person(&chief, &new).await), "conflict");
        let signed_in = case
            .school
            .sign_in("Marlow", PASSWORD, "a test")
            .await
            .unwrap();
        assert_eq!(signed_in.person.login, "marlow");
        for bad in ["", "a", "two words", "mаrlow", "x\ny"] {
            let new = NewPerson {
                login: bad.to_owned(),
                ..new.clone()
            };
            assert_eq!(
                code(case.school.add_person(&chief, &new).await),
                "invalid",
                "{bad:?}"
            );
        }
    }
}

#[tokio::test]
async fn prop_only_the_chief_manages_people() {
    for case in test_schools().await {
        let chief = case.chief().await;
        for role in [Role::Instructor, Role::Student, Role::Auditor] {
            let by = Actor::from(&case.add(&chief, role.id(), role).await);
            let new = NewPerson {
                name: "New".to_owned(),
                login: "new".to_owned(),
                role: Role::Chief,
                password: None,
            };
            let up = PersonChange {
                role: Some(Role::Chief),
                ..PersonChange::default()
            };
            assert_eq!(code(case.school.add_person(&by, &new).await), "denied");
            assert_eq!(
                code(case.school.change_person(&by, &by.id, &up).await),
                "denied"
            );
            assert_eq!(
                code(case.school.invite(&by, Role::Chief, "X").await),
                "denied"
            );
            assert_eq!(
                code(case.school.reset_password(&by, &chief.id).await),
                "denied"
            );
            assert_eq!(
                code(case.school.end_sessions(&by, &chief.id).await),
                "denied"
            );
            assert_eq!(code(case.school.invites(&by).await), "denied");
        }
    }
}

#[tokio::test]
async fn prop_the_last_active_chief_stays() {
    for case in test_schools().await {
        let chief = case.chief().await;
        let off = PersonChange {
            active: Some(false),
            ..PersonChange::default()
        };
        let down = PersonChange {
            role: Some(Role::Instructor),
            ..PersonChange::default()
        };
        assert_eq!(
            code(case.school.change_person(&chief, &chief.id, &off).await),
            "conflict"
        );
        assert_eq!(
            code(case.school.change_person(&chief, &chief.id, &down).await),
            "conflict"
        );
        let second = case.add(&chief, "second", Role::Chief).await;
        // Each of the two takes the other's place at the same moment: one must be refused.
        let by_second = Actor::from(&second);
        let (one, two) = tokio::join!(
            case.school.change_person(&chief, &second.id, &down),
            case.school.change_person(&by_second, &chief.id, &off),
        );
        assert_eq!(u8::from(one.is_ok()) + u8::from(two.is_ok()), 1);
        let leads = |person: &school::model::Person| person.active && person.role == Role::Chief;
        assert_eq!(
            case.school
                .people()
                .await
                .unwrap()
                .iter()
                .filter(|p| leads(p))
                .count(),
            1
        );
    }
}

#[tokio::test]
async fn prop_signing_in_needs_the_password_and_an_active_account() {
    for case in test_schools().await {
        let chief = case.chief().await;
        let student = case.add(&chief, "marlow", Role::Student).await;
        let school = &case.school;
        let wrong = school
            .sign_in("marlow", "seven gray geese over ice", "a test")
            .await;
        let nobody = school.sign_in("nobody", PASSWORD, "a test").await;
        let (wrong, nobody) = (wrong.err().unwrap(), nobody.err().unwrap());
        assert_eq!(wrong.to_string(), nobody.to_string());
        assert_eq!((wrong.code(), nobody.code()), ("denied", "denied"));
        let signed_in = school.sign_in("marlow", PASSWORD, "a test").await.unwrap();
        assert_eq!(
            school
                .session_person(&signed_in.secret)
                .await
                .unwrap()
                .unwrap()
                .id,
            student.id
        );
        let off = PersonChange {
            active: Some(false),
            ..PersonChange::default()
        };
        school
            .change_person(&chief, &student.id, &off)
            .await
            .unwrap();
        assert!(
            school
                .session_person(&signed_in.secret)
                .await
                .unwrap()
                .is_none()
        );
        assert_eq!(
            code(school.sign_in("marlow", PASSWORD, "a test").await),
            "denied"
        );
        assert_eq!(
            code(school.check_password(&student.id, PASSWORD).await),
            "denied"
        );
        // A person without a password cannot sign in with an empty one.
        let new = NewPerson {
            name: "Unset".to_owned(),
            login: "unset".to_owned(),
            role: Role::Student,
            password: None,
        };
        school.add_person(&chief, &new).await.unwrap();
        assert_eq!(code(school.sign_in("unset", "", "a test").await), "denied");
    }
}

#[tokio::test]
async fn prop_sessions_end_when_idle_and_in_any_case_after_seven_days() {
    for case in test_schools().await {
        let chief = case.chief().await;
        let school = &case.school;
        let idle = school.start_session(&chief.id, "idle").await.unwrap();
        school.clock().shift(12 * 3600 + 1);
        assert!(
            school.session_person(&idle).await.unwrap().is_none(),
            "twelve hours idle"
        );
        let used = school.start_session(&chief.id, "used").await.unwrap();
        for step in 0..13 {
            school.clock().shift(12 * 3600 - 60);
            assert!(
                school.session_person(&used).await.unwrap().is_some(),
                "step {step}"
            );
        }
        school.clock().shift(12 * 3600 - 60);
        school.clock().shift(13 * 60);
        assert!(
            school.session_person(&used).await.unwrap().is_none(),
            "seven days"
        );
        assert!(school.sessions(&chief.id, None).await.unwrap().is_empty());
    }
}

#[tokio::test]
async fn prop_a_session_ends_alone_or_with_all() {
    for case in test_schools().await {
        let chief = case.chief().await;
        let school = &case.school;
        let mut secrets = Vec::new();
        for device in ["one", "two\n<b>", "three"] {
            secrets.push(school.start_session(&chief.id, device).await.unwrap());
        }
        let listed = school.sessions(&chief.id, Some(&secrets[1])).await.unwrap();
        assert_eq!(listed.len(), 3);
        assert_eq!(listed.iter().filter(|session| session.this).count(), 1);
        assert!(listed.iter().all(|session| !session.device.contains('\n')));
        school.end_session(&secrets[0]).await.unwrap();
        school.end_session(&secrets[0]).await.unwrap();
        assert!(school.session_person(&secrets[0]).await.unwrap().is_none());
        assert!(school.session_person(&secrets[1]).await.unwrap().is_some());
        school.end_sessions(&chief, &chief.id).await.unwrap();
        assert!(school.session_person(&secrets[2]).await.unwrap().is_none());
        let late = school.start_session(&chief.id, "four").await.unwrap();
        let new = "nine brown owls at noon";
        assert_eq!(
            code(school.change_password(&chief, "not the old one", new).await),
            "denied"
        );
        assert_eq!(
            code(school.change_password(&chief, PASSWORD, PASSWORD).await),
            "invalid"
        );
        school.change_password(&chief, PASSWORD, new).await.unwrap();
        assert!(school.session_person(&late).await.unwrap().is_none());
        assert_eq!(code(school.sign_in("ada", PASSWORD, "").await), "denied");
        assert!(school.sign_in("ada", new, "").await.is_ok());
    }
}

#[tokio::test]
async fn prop_secrets_are_kept_only_as_digests() {
    for case in test_schools().await {
        let chief = case.chief().await;
        let school = &case.school;
        let session = school.start_session(&chief.id, "a test").await.unwrap();
        let (_, token) = school.make_token(&chief, "a script", 30).await.unwrap();
        let (_, link) = school
            .invite(&chief, Role::Student, "Marlow Reed")
            .await
            .unwrap();
        let mut tx = school.read().await.unwrap();
        let mut all = String::new();
        for table in school::db::TABLES {
            let sql = format!("SELECT {} FROM {}", table.column_list(), table.name);
            for row in tx.rows(sqlx::AssertSqlSafe(sql), vec![]).await.unwrap() {
                all.push_str(&format!("{:?}\n", table.values(&row).unwrap()));
            }
        }
        for secret in [
            session.as_str(),
            token.as_str(),
            token.trim_start_matches("pw_"),
            &link,
            PASSWORD,
        ] {
            assert!(!all.contains(secret));
        }
        assert!(all.contains("$argon2id$v=19$m=19456,t=2,p=1$"));
    }
}

#[tokio::test]
async fn prop_tokens_work_until_they_expire_or_are_revoked() {
    for case in test_schools().await {
        let chief = case.chief().await;
        let other = Actor::from(&case.add(&chief, "marlow", Role::Instructor).await);
        let school = &case.school;
        assert_eq!(code(school.make_token(&chief, "x", 0).await), "invalid");
        assert_eq!(code(school.make_token(&chief, "x", 367).await), "invalid");
        assert_eq!(code(school.make_token(&chief, " ", 5).await), "invalid");
        let (short, secret) = school.make_token(&other, "short", 1).await.unwrap();
        let (long, second) = school.make_token(&other, "long", 366).await.unwrap();
        assert!(secret.starts_with("pw_") && secret.len() == 46);
        assert_eq!(
            school.token_person(&secret).await.unwrap().unwrap().id,
            other.id
        );
        assert!(school.token_person("pw_nonsense").await.unwrap().is_none());
        let listed = school.tokens(&other.id).await.unwrap();
        assert_eq!(listed.len(), 2);
        assert!(
            listed
                .iter()
                .any(|token| token.id == short.id && token.used_utc.is_some())
        );
        school.clock().shift(DAY_S + 1);
        assert!(school.token_person(&secret).await.unwrap().is_none());
        // Another person's token cannot be revoked, nor even seen to be there; the chief may.
        let third = Actor::from(&case.add(&chief, "third", Role::Student).await);
        assert_eq!(
            code(school.revoke_token(&third, &long.id).await),
            "not_found"
        );
        school.revoke_token(&other, &long.id).await.unwrap();
        assert!(school.token_person(&second).await.unwrap().is_none());
        assert_eq!(
            code(school.revoke_token(&chief, &long.id).await),
            "not_found"
        );
    }
}

#[tokio::test]
async fn prop_an_invitation_lets_in_once_and_for_seven_days() {
    for case in test_schools().await {
        let chief = case.chief().await;
        let school = &case.school;
        let (invite, link) = school
            .invite(&chief, Role::Student, "Marlow Reed")
            .await
            .unwrap();
        assert_eq!(school.invite_by_secret(&link).await.unwrap().id, invite.id);
        let accepted = Accepted {
            login: Some("marlow".to_owned()),
            name: None,
            password: "marlow reed".to_owned(),
        };
        assert_eq!(
            code(school.accept_invite(&link, &accepted).await),
            "invalid"
        );
        let accepted = Accepted {
            password: PASSWORD.to_owned(),
            ..accepted
        };
        // The same link used twice at the same moment makes one account.
        let second = Accepted {
            login: Some("marlow2".to_owned()),
            ..accepted.clone()
        };
        let (one, two) = tokio::join!(
            school.accept_invite(&link, &accepted),
            school.accept_invite(&link, &second)
        );
        assert_eq!(u8::from(one.is_ok()) + u8::from(two.is_ok()), 1);
        assert_eq!(school.people().await.unwrap().len(), 2);
        assert_eq!(code(school.invite_by_secret(&link).await), "not_found");
        let (late, late_link) = school.invite(&chief, Role::Student, "Late").await.unwrap();
        let (gone, gone_link) = school.invite(&chief, Role::Student, "Gone").await.unwrap();
        school.withdraw_invite(&chief, &gone.id).await.unwrap();
        assert_eq!(code(school.invite_by_secret(&gone_link).await), "not_found");
        assert_eq!(
            code(school.withdraw_invite(&chief, &invite.id).await),
            "conflict"
        );
        school.clock().shift(7 * DAY_S - 60);
        assert_eq!(
            school.invite_by_secret(&late_link).await.unwrap().id,
            late.id
        );
        school.clock().shift(120);
        assert_eq!(
            code(school.accept_invite(&late_link, &accepted).await),
            "not_found"
        );
        assert_eq!(school.invites(&chief).await.unwrap().len(), 3);
    }
}

#[tokio::test]
async fn prop_a_reset_sets_the_password_and_ends_what_was_open() {
    for case in test_schools().await {
        let chief = case.chief().await;
        let student = case.add(&chief, "marlow", Role::Student).await;
        let school = &case.school;
        let session = school.start_session(&student.id, "stolen").await.unwrap();
        let (_, token) = school
            .make_token(&Actor::from(&student), "stolen", 30)
            .await
            .unwrap();
        let (_, first) = school.reset_password(&chief, &student.id).await.unwrap();
        let (_, link) = school.reset_password(&chief, &student.id).await.unwrap();
        assert_eq!(code(school.invite_by_secret(&first).await), "not_found");
        assert!(
            school.session_person(&session).await.unwrap().is_some(),
            "not before it is used"
        );
        let new = "nine brown owls at noon";
        let accepted = Accepted {
            password: new.to_owned(),
            ..Accepted::default()
        };
        school.accept_invite(&link, &accepted).await.unwrap();
        assert!(school.session_person(&session).await.unwrap().is_none());
        assert!(school.token_person(&token).await.unwrap().is_none());
        assert_eq!(code(school.sign_in("marlow", PASSWORD, "").await), "denied");
        assert!(school.sign_in("marlow", new, "").await.is_ok());
        assert_eq!(
            code(school.accept_invite(&link, &accepted).await),
            "not_found"
        );
        let (_, late) = school.reset_password(&chief, &student.id).await.unwrap();
        school.clock().shift(DAY_S + 1);
        assert_eq!(
            code(school.accept_invite(&late, &accepted).await),
            "not_found"
        );
    }
}

#[tokio::test]
async fn val_a_password_kept_with_other_parameters_is_kept_anew() {
    // Test vector of the Argon2 reference implementation (phc-winner-argon2, src/test.c): argon2id, v = 19, t = 2,
    // m = 2^16 KiB, p = 1, password "password", salt "somesalt". Other parameters than ours.
    let kept =
        "$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc";
    for case in test_schools().await {
        let chief = case.chief().await;
        let student = case.add(&chief, "marlow", Role::Student).await;
        let school = &case.school;
        let mut tx = school.write().await.unwrap();
        let changed = "UPDATE people SET password = $1 WHERE id = $2";
        tx.execute(changed, school::values![kept, &student.id])
            .await
            .unwrap();
        tx.commit().await.unwrap();
        school.sign_in("marlow", "password", "").await.unwrap();
        let mut tx = school.read().await.unwrap();
        let row = tx
            .one(
                "SELECT password FROM people WHERE id = $1",
                school::values![&student.id],
            )
            .await
            .unwrap();
        assert!(
            row.text("password")
                .unwrap()
                .starts_with("$argon2id$v=19$m=19456,t=2,p=1$")
        );
        drop(tx);
        assert!(school.sign_in("marlow", "password", "").await.is_ok());
    }
}

#[tokio::test]
async fn prop_easily_guessed_passwords_are_refused() {
    for case in test_schools().await {
        let chief = case.chief().await;
        for bad in [
            "short",
            "elevenchars",
            "password1234",
            "Password-2026!",
            "aaaaaaaaaaaa",
            "123412341234",
            "abcdefghijkl",
            "987654321098",
            "qwertyuiop12",
            "marlow-2026-05",
            "Marlow Example 1",
        ] {
            let new = NewPerson {
                name: "Marlow Example".to_owned(),
                login: "marlow".to_owned(),
                role: Role::Student,
                password: Some(bad.to_owned()),
            };
            let refused = case.school.add_person(&chief, &new).await.err().unwrap();
            assert_eq!(
                (refused.code(), refused.field()),
                ("invalid", Some("password")),
                "{bad}"
            );
            assert!(bad.len() < 12 || !refused.for_log().contains(bad));
        }
        // NIST SP 800-63B: no composition rules, spaces and any Unicode taken, 64 characters allowed.
        for good in [
            "seven gray geese",
            "Übergänge über Flüsse",
            &"long and plain ".repeat(5),
        ] {
            let new = NewPerson {
                name: "Marlow Example".to_owned(),
                login: format!("m{}", good.len()),
                role: Role::Student,
                password: Some(good.to_owned()),
            };
            case.school.add_person(&chief, &new).await.unwrap();
        }
        // Typed with combining marks, as some keyboards do, it is the same password.
        let typed = "U\u{308}berga\u{308}nge u\u{308}ber Flu\u{308}sse";
        let login = format!("m{}", "Übergänge über Flüsse".len());
        assert!(case.school.sign_in(&login, typed, "").await.is_ok());
    }
}
