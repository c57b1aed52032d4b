//! Recordings in an S3-compatible store. Runs where `PROOFWING_TEST_S3` names a bucket (`s3://bucket/prefix`) and the
//! usual `AWS_…` environment reaches it: `cargo test -p school --features s3 --test s3`.

#![cfg(feature = "s3")]

mod support;

use school::School;
use school::restore::restore;
use support::{sample, test_schools};

#[tokio::test]
async fn prop_recordings_in_an_s3_store_are_kept_checked_backed_up_and_restored() {
    let Ok(url) = std::env::var("PROOFWING_TEST_S3") else {
        return;
    };
    for mut case in test_schools().await {
        let mut config = case.config.clone();
        config.objects = Some(format!("{url}/{}", school::new_id()));
        let school = School::open(config.clone()).await.unwrap();
        (case.school, case.config) = (school.clone(), config);
        let made = sample::fill(&case).await;
        assert_eq!(
            school.objects().list().await.unwrap(),
            [made.recording.clone()]
        );
        assert!(
            school
                .objects()
                .put("time,alt\n0,1000\n1,1001\n".into())
                .await
                .unwrap()
                .1
        );
        assert_eq!(school.verify(None).await.unwrap().recordings, 1);
        assert!(
            !case
                .config
                .data_dir
                .join("recordings")
                .join(&made.recording[..2])
                .exists()
        );
        assert_eq!(school.sweep().await.unwrap(), 0);
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().join("backup.zip");
        school.backup(&out).await.unwrap();
        let (mut into, _folder) = support::on_sqlite();
        into.objects = Some(format!("{url}/{}", school::new_id()));
        let (restored, told) = restore(&out, into, false).await.unwrap();
        assert_eq!(told.verified.problems, Vec::<String>::new());
        assert_eq!(restored.verify(None).await.unwrap().recordings, 1);
        restored.objects().remove(&made.recording).await.unwrap();
        assert_eq!(restored.verify(None).await.unwrap().problems.len(), 1);
    }
}
