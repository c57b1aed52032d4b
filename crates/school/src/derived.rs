//! What follows from a document and is kept beside it, so that lists need not open documents: the document itself,
//! what was flown, the maneuvers with their marks.

use crate::School;
use crate::carried::Left;
use crate::db::Tx;
use crate::error::{Result, SchoolError};
use crate::inputs::Inputs;
use crate::lessons::LessonRow;
use crate::model::Flown;
use crate::values;
use debrief::{Debrief, ManeuverDebrief};
use flate2::Compression;
use flate2::read::GzDecoder;
use flate2::write::GzEncoder;
use maneuver::Kind;
use std::collections::BTreeMap;
use std::io::{Read as _, Write as _};
use std::sync::Arc;

/// A document made ready to be kept.
#[derive(Clone, Debug)]
pub struct Product {
    /// SHA-256 of the inputs.
    pub inputs_sha256: String,
    /// The document.
    pub document: Arc<Debrief>,
    packed: Vec<u8>,
    left: Left,
}

impl Product {
    /// Packs a document: slow enough to be done before the act begins.
    ///
    /// # Errors
    /// When it cannot be written, which would be our own mistake.
    pub fn pack(inputs: &Inputs, document: Arc<Debrief>) -> Result<Product> {
        let packed = gzip(&serde_json::to_vec(&*document)?)?;
        let fit = document.fit_of_the_day.as_ref();
        let carried = fit.and_then(|fit| fit.carried.as_ref());
        let body = carried.map(serde_json::to_string).transpose()?;
        Ok(Product {
            inputs_sha256: inputs.sha256()?,
            left: Left {
                chosen_for: inputs.choice_key()?,
                aircraft_sha256: inputs.aircraft_sha256.clone(),
                earlier: inputs.earlier.clone(),
                body: body.unwrap_or_default(),
            },
            document,
            packed,
        })
    }

    /// Keeps it: document, what was flown, the proposed title, maneuvers, what the flight leaves for later ones.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn keep(&self, tx: &mut Tx, lesson: &LessonRow) -> Result<()> {
        let now = tx.at_utc().to_owned();
        let id = &lesson.brief.id;
        tx.execute(
            "INSERT INTO debriefs (lesson_id, inputs_sha256, document, program, made_utc) \
             VALUES ($1, $2, $3, $4, $5) ON CONFLICT (lesson_id) DO UPDATE SET inputs_sha256 = $2, document = $3, \
             program = $4, made_utc = $5",
            values![id, &self.inputs_sha256, self.packed.clone(), &self.document.program, now],
        )
        .await?;
        let flown = flown(&self.document);
        let title = if lesson.title_given {
            lesson.brief.title.clone()
        } else {
            title(&flown)
        };
        tx.execute(
            "UPDATE lessons SET flown = $1, title = $2 WHERE id = $3",
            values![serde_json::to_string(&flown)?, title, id],
        )
        .await?;
        self.left.keep(tx, lesson).await?;
        tx.execute("DELETE FROM maneuvers WHERE lesson_id = $1", values![id])
            .await?;
        for maneuver in &self.document.maneuvers {
            tx.execute(
                "INSERT INTO maneuvers (lesson_id, number, kind, title, start_s, end_s, marks, variant) \
                 VALUES ($1, $2, $3, $4, $5, $6, $7, $8)",
                values![
                    id,
                    i64::try_from(maneuver.number).unwrap_or(i64::MAX),
                    &maneuver.kind,
                    &maneuver.title,
                    maneuver.start_s,
                    maneuver.end_s,
                    serde_json::to_string(&counts(maneuver))?,
                    maneuver.task_variant.as_deref().unwrap_or_default()
                ],
            )
            .await?;
        }
        Ok(())
    }
}

/// How many marks of each verdict.
#[must_use]
pub fn counts(maneuver: &ManeuverDebrief) -> BTreeMap<String, u32> {
    let mut counts = BTreeMap::new();
    for mark in &maneuver.marks {
        *counts.entry(verdict_id(mark.mark).to_owned()).or_insert(0) += 1;
    }
    counts
}

/// A verdict's stable id.
#[must_use]
pub fn verdict_id(verdict: standard::Verdict) -> &'static str {
    match verdict {
        standard::Verdict::Met => "met",
        standard::Verdict::NotMet => "not_met",
        standard::Verdict::TooClose => "too_close",
        standard::Verdict::NotRecorded => "not_recorded",
        standard::Verdict::ForInstructor => "for_instructor",
    }
}

/// What was flown, in order of first appearance.
#[must_use]
pub fn flown(document: &Debrief) -> Vec<Flown> {
    let mut flown: Vec<Flown> = Vec::new();
    for maneuver in &document.maneuvers {
        match flown.iter_mut().find(|known| known.kind == maneuver.kind) {
            Some(known) => known.count += 1,
            None => flown.push(Flown {
                kind: maneuver.kind.clone(),
                title: Kind::from_id(&maneuver.kind)
                    .map_or_else(|| plain(&maneuver.kind), |kind| kind.title().to_owned()),
                count: 1,
            }),
        }
    }
    flown
}

/// `School box` for `school_box`: a maneuver of the school's own.
fn plain(id: &str) -> String {
    let words = id.replace('_', " ");
    let mut letters = words.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => words,
    }
}

/// Kinds that stand in a title only where nothing else was flown: every flight has them.
const PLAIN: [&str; 6] = [
    "takeoff",
    "landing",
    "clearing_turns",
    "traffic_pattern",
    "straight_and_level",
    "turn_to_heading",
];

/// Most kinds that a title names.
const NAMED: usize = 3;

/// A title from what was flown: `Steep turns, power-off stalls`.
#[must_use]
pub fn title(flown: &[Flown]) -> String {
    let mut named: Vec<&Flown> = flown
        .iter()
        .filter(|flown| !PLAIN.contains(&flown.kind.as_str()))
        .collect();
    if named.is_empty() {
        named = flown
            .iter()
            .filter(|flown| flown.kind != "clearing_turns")
            .collect();
    }
    let more = named.len() > NAMED;
    let mut words: Vec<String> = named
        .iter()
        .take(NAMED)
        .map(|flown| plural(flown))
        .collect();
    if more {
        words.push("and more".to_owned());
    }
    let text = words.join(", ").replace(", and more", " and more");
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => "Flight".to_owned(),
    }
}

/// `steep turns` for two, `steep turn` for one; names that are plural already stay.
fn plural(flown: &Flown) -> String {
    let mut name = flown.title.clone();
    // "S-turns" keeps its capital.
    let mut letters = name.chars();
    if let (Some(first), Some(second)) = (letters.next(), letters.next())
        && second.is_lowercase()
    {
        name = first.to_lowercase().chain(name.chars().skip(1)).collect();
    }
    let uncounted = [
        "slow_flight",
        "straight_and_level",
        "unusual_attitude_recovery",
    ];
    let already = name.ends_with('s') || name.contains(" around ") || name.contains(" on ");
    if flown.count < 2 || already || uncounted.contains(&flown.kind.as_str()) {
        return name;
    }
    match name.strip_suffix('y') {
        Some(stem) if !stem.ends_with(['a', 'e', 'o', 'u']) => format!("{stem}ies"),
        _ => format!("{name}s"),
    }
}

/// Gzips.
///
/// # Errors
/// When memory runs out.
pub fn gzip(bytes: &[u8]) -> Result<Vec<u8>> {
    let cannot = |error| SchoolError::store("pack a document", error);
    let mut encoder = GzEncoder::new(Vec::with_capacity(bytes.len() / 4), Compression::fast());
    encoder.write_all(bytes).map_err(cannot)?;
    encoder.finish().map_err(cannot)
}

/// Unpacks what [`gzip`] packed.
///
/// # Errors
/// When the bytes are damaged.
pub fn gunzip(packed: &[u8]) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    GzDecoder::new(packed)
        .read_to_end(&mut bytes)
        .map_err(|error| SchoolError::store("read a document", error))?;
    Ok(bytes)
}

impl School {
    /// The document that is kept for a lesson, if it was computed from these inputs.
    ///
    /// # Errors
    /// When the database refuses or the document is damaged.
    pub(crate) async fn kept_document(
        &self,
        tx: &mut Tx,
        lesson_id: &str,
        inputs_sha256: &str,
    ) -> Result<Option<Arc<Debrief>>> {
        if let Some(document) = self.remembered(inputs_sha256) {
            return Ok(Some(document));
        }
        let row = tx
            .row(
                "SELECT document FROM debriefs WHERE lesson_id = $1 AND inputs_sha256 = $2",
                values![lesson_id, inputs_sha256],
            )
            .await?;
        let Some(row) = row else { return Ok(None) };
        let document: Debrief = serde_json::from_slice(&gunzip(&row.bytes("document")?)?)?;
        let document = Arc::new(document);
        self.remember(inputs_sha256, Arc::clone(&document));
        Ok(Some(document))
    }
}
