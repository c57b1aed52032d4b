//! The packs that come with the program.

use super::{Pack, PackError};

/// Id and text of every pack that comes with the program.
pub const EMBEDDED: [(&str, &str); 4] = [
    (
        "faa-private",
        include_str!("../../../../data/standards/faa-private.toml"),
    ),
    (
        "faa-commercial",
        include_str!("../../../../data/standards/faa-commercial.toml"),
    ),
    (
        "faa-instructor",
        include_str!("../../../../data/standards/faa-instructor.toml"),
    ),
    (
        "easa-ppl",
        include_str!("../../../../data/standards/easa-ppl.toml"),
    ),
];

/// The pack of an id that comes with the program.
///
/// ```
/// let pack = standard::pack("faa-private")?;
/// assert_eq!(pack.edition, "FAA-S-ACS-6C");
/// # Ok::<(), standard::PackError>(())
/// ```
///
/// # Errors
/// When there is no such pack; the message names those there are.
pub fn pack(id: &str) -> Result<Pack, PackError> {
    let Some((_, text)) = EMBEDDED.iter().find(|(known, _)| *known == id) else {
        let known: Vec<&str> = EMBEDDED.iter().map(|(known, _)| *known).collect();
        return Err(PackError {
            name: id.to_owned(),
            line: 0,
            column: 0,
            what: "there is no such standard".to_owned(),
            mend: format!(
                "name one of {}, or the path of a pack file",
                known.join(", ")
            ),
        });
    };
    Pack::read(text, &format!("{id}.toml"))
}
