//! `proofwing backup`, `restore` and `verify`.

use super::args::{BackupArgs, RestoreArgs, VerifyArgs};
use super::{block_on, refused};
use crate::failure::Failure;
use crate::output;
use school::model::Verified;

/// Runs `proofwing backup`.
pub fn backup(args: &BackupArgs) -> Result<(), Failure> {
    block_on(async {
        let school = args.place.open_existing().await?;
        let made = school
            .backup(&args.out)
            .await
            .map_err(|error| refused(&error))?;
        let manifest = &made.manifest;
        output::print(&format!(
            "{}: a backup of {}\n  trail of {} rows, head {}\n",
            made.path.display(),
            manifest.made_utc,
            manifest.audit_rows,
            manifest.audit_head
        ))?;
        for missing in &manifest.missing {
            eprintln!("proofwing: not in the backup: {missing:?}");
        }
        Ok(())
    })
}

/// Runs `proofwing restore`.
pub fn restore(args: &RestoreArgs) -> Result<(), Failure> {
    block_on(async {
        let restored =
            school::restore::restore(&args.backup, args.place.config(), args.accept_problems).await;
        let (_, restored) = restored.map_err(|error| refused(&error))?;
        output::print(&format!(
            "Restored {} rows of the backup of {}.\n{}",
            restored.rows,
            restored.manifest.made_utc,
            words(&restored.verified)
        ))
    })
}

/// Runs `proofwing verify`.
pub fn verify(args: &VerifyArgs) -> Result<(), Failure> {
    block_on(async {
        let school = args.place.open_existing().await?;
        let verified = school
            .verify(args.head.as_deref())
            .await
            .map_err(|error| refused(&error))?;
        output::print(&words(&verified))?;
        match verified.problems.len() {
            0 => Ok(()),
            1 => Err(Failure::Output(
                "the record does not hold: 1 problem".to_owned(),
            )),
            count => Err(Failure::Output(format!(
                "the record does not hold: {count} problems"
            ))),
        }
    })
}

fn words(verified: &Verified) -> String {
    let mut words = format!(
        "Checked: {} rows of the trail, {} signed versions, {} recordings.\nHead of the trail (write it down elsewhere):\n  {}\n",
        verified.audit_rows, verified.signed_versions, verified.recordings, verified.audit_head
    );
    if verified.problems.is_empty() {
        words.push_str("The record holds.\n");
    }
    for problem in &verified.problems {
        words.push_str(&format!("- {problem}\n"));
    }
    words
}
