//! The flight as Apache Parquet: one row a sample, columns named as in the table, null = unknown.
//!
//! Parquet's own key-value metadata has room for one text a key. Two keys are written: `proofwing` (the
//! flight as a whole) and `columns` (JSON: for every column its title, unit, origin, and 1-σ as a number, or
//! the name of the column that holds it where it varies).
//!
//! Floats are split into their bytes (BYTE_STREAM_SPLIT) and deflated (GZIP): of the ways in the Parquet
//! format, the smallest that needs no further library here, since GPX and zip have deflate anyway.
//! Source: Apache Parquet format, `Encodings.md`, `Compression.md`, `LogicalTypes.md`.

mod describe;

use std::sync::Arc;

use ::parquet::basic::{Compression, Encoding, GzipLevel, LogicalType, Repetition, TimeUnit, Type};
use ::parquet::data_type::{ByteArray, ByteArrayType, DoubleType, FloatType, Int32Type, Int64Type};
use ::parquet::errors::ParquetError;
use ::parquet::file::metadata::KeyValue;
use ::parquet::file::properties::WriterProperties;
use ::parquet::file::writer::{SerializedColumnWriter, SerializedFileWriter};
use ::parquet::schema::types::{ColumnPath, Type as SchemaType};
use debrief::Debrief;
use flight::Flight;

use crate::column::{Column, known};
use crate::place::Places;
use crate::{phases, quantities};

/// Deflate's second fastest step: the slower ones take several times as long for a few percent.
const LEVEL: u32 = 2;

/// One column as it is written.
enum Cells {
    Moments(Vec<f64>),
    Instants(Vec<Option<i64>>),
    Places(Vec<Option<f64>>),
    Numbers(Vec<f32>),
    Counts(Vec<Option<i32>>),
    Words(Vec<Option<String>>),
}

/// Name and cells.
type Named = (String, Cells);

pub(crate) fn write(flight: &Flight, debrief: &Debrief) -> Result<Vec<u8>, ParquetError> {
    let columns = quantities::columns(flight);
    let known = known(flight);
    let mut named = times_and_places(flight, &known);
    for column in &columns {
        named.push(numbers(column, &known, false));
        if column.varies() {
            named.push(numbers(column, &known, true));
        }
    }
    named.extend(maneuvers(flight, debrief, known.len()));
    let schema = schema(&named)?;
    let mut properties = WriterProperties::builder()
        .set_created_by("Proofwing".to_owned())
        .set_compression(Compression::GZIP(GzipLevel::try_new(LEVEL)?))
        .set_key_value_metadata(Some(vec![
            KeyValue::new("proofwing".to_owned(), describe::flight(flight, debrief)),
            KeyValue::new("columns".to_owned(), describe::columns(&columns)),
        ]));
    for (name, cells) in &named {
        if matches!(
            cells,
            Cells::Numbers(_) | Cells::Moments(_) | Cells::Places(_)
        ) {
            let path = ColumnPath::from(name.as_str());
            properties = properties
                .set_column_dictionary_enabled(path.clone(), false)
                .set_column_encoding(path, Encoding::BYTE_STREAM_SPLIT);
        }
    }
    let mut writer = SerializedFileWriter::new(Vec::new(), schema, Arc::new(properties.build()))?;
    let mut group = writer.next_row_group()?;
    for (_, cells) in &named {
        let Some(mut column) = group.next_column()? else {
            return Err(ParquetError::General(
                "the schema has fewer columns than the flight".to_owned(),
            ));
        };
        put(&mut column, cells)?;
        column.close()?;
    }
    group.close()?;
    writer.into_inner()
}

fn times_and_places(flight: &Flight, known: &[bool]) -> Vec<Named> {
    let clock = flight.clock;
    let moments = (0..known.len()).map(|index| clock.time_s(index)).collect();
    let instant = |index: usize| {
        let unix_s = flight.start_unix_s? + clock.time_s(index);
        // The time itself is only good to a millisecond; years beyond 9999 are no time of a flight.
        crate::time::utc(unix_s).map(|_| (unix_s * 1e3).round() as i64)
    };
    let places = Places::of(flight);
    let place = |index: usize| {
        let places = places
            .as_ref()
            .filter(|_| known.get(index) == Some(&true))?;
        places.at(index)
    };
    let all: Vec<_> = (0..known.len()).map(place).collect();
    vec![
        ("time_s".to_owned(), Cells::Moments(moments)),
        (
            "utc".to_owned(),
            Cells::Instants((0..known.len()).map(instant).collect()),
        ),
        (
            "latitude_deg".to_owned(),
            Cells::Places(
                all.iter()
                    .map(|place| place.map(|place| place.latitude_deg))
                    .collect(),
            ),
        ),
        (
            "longitude_deg".to_owned(),
            Cells::Places(
                all.iter()
                    .map(|place| place.map(|place| place.longitude_deg))
                    .collect(),
            ),
        ),
    ]
}

fn numbers(column: &Column<'_>, known: &[bool], sigma: bool) -> Named {
    let cell = |(index, known): (usize, &bool)| {
        let value = column.table_value(index);
        match (*known && !value.is_nan(), sigma) {
            (false, _) => f32::NAN,
            (true, false) => value,
            (true, true) => column.sigma(index),
        }
    };
    let name = column.table_id().to_owned();
    let name = if sigma { name + "_sigma" } else { name };
    (
        name,
        Cells::Numbers(known.iter().enumerate().map(cell).collect()),
    )
}

fn maneuvers(flight: &Flight, debrief: &Debrief, len: usize) -> Vec<Named> {
    let mut counts = Vec::with_capacity(len);
    let mut kinds = Vec::with_capacity(len);
    let mut names = Vec::with_capacity(len);
    for index in 0..len {
        let found = phases::at(debrief, flight.clock.time_s(index));
        counts.push(found.and_then(|(maneuver, _)| i32::try_from(maneuver.number).ok()));
        kinds.push(found.map(|(maneuver, _)| maneuver.kind.clone()));
        names.push(
            found
                .map(|(_, phase)| phase.to_owned())
                .filter(|phase| !phase.is_empty()),
        );
    }
    vec![
        ("maneuver".to_owned(), Cells::Counts(counts)),
        ("maneuver_kind".to_owned(), Cells::Words(kinds)),
        ("phase".to_owned(), Cells::Words(names)),
    ]
}

fn schema(named: &[Named]) -> Result<Arc<SchemaType>, ParquetError> {
    let field = |(name, cells): &Named| {
        let (physical, logical, repetition) = match cells {
            Cells::Moments(_) => (Type::DOUBLE, None, Repetition::REQUIRED),
            Cells::Places(_) => (Type::DOUBLE, None, Repetition::OPTIONAL),
            Cells::Numbers(_) => (Type::FLOAT, None, Repetition::OPTIONAL),
            Cells::Counts(_) => (Type::INT32, None, Repetition::OPTIONAL),
            Cells::Words(_) => (
                Type::BYTE_ARRAY,
                Some(LogicalType::String),
                Repetition::OPTIONAL,
            ),
            Cells::Instants(_) => {
                let logical = LogicalType::timestamp(true, TimeUnit::MILLIS);
                (Type::INT64, Some(logical), Repetition::OPTIONAL)
            }
        };
        SchemaType::primitive_type_builder(name, physical)
            .with_logical_type(logical)
            .with_repetition(repetition)
            .build()
            .map(Arc::new)
    };
    let fields = named.iter().map(field).collect::<Result<Vec<_>, _>>()?;
    SchemaType::group_type_builder("flight")
        .with_fields(fields)
        .build()
        .map(Arc::new)
}

fn put(column: &mut SerializedColumnWriter<'_>, cells: &Cells) -> Result<(), ParquetError> {
    match cells {
        Cells::Moments(values) => {
            column
                .typed::<DoubleType>()
                .write_batch(values, None, None)?;
        }
        Cells::Instants(cells) => {
            let (values, levels) = there(cells);
            column
                .typed::<Int64Type>()
                .write_batch(&values, Some(&levels), None)?;
        }
        Cells::Places(cells) => {
            let (values, levels) = there(cells);
            column
                .typed::<DoubleType>()
                .write_batch(&values, Some(&levels), None)?;
        }
        Cells::Numbers(cells) => {
            let levels: Vec<i16> = cells
                .iter()
                .map(|value| i16::from(!value.is_nan()))
                .collect();
            let values: Vec<f32> = cells
                .iter()
                .copied()
                .filter(|value| !value.is_nan())
                .collect();
            column
                .typed::<FloatType>()
                .write_batch(&values, Some(&levels), None)?;
        }
        Cells::Counts(cells) => {
            let (values, levels) = there(cells);
            column
                .typed::<Int32Type>()
                .write_batch(&values, Some(&levels), None)?;
        }
        Cells::Words(cells) => {
            let levels: Vec<i16> = cells.iter().map(|word| i16::from(word.is_some())).collect();
            let values: Vec<ByteArray> = cells
                .iter()
                .flatten()
                .map(|word| ByteArray::from(word.as_str()))
                .collect();
            column
                .typed::<ByteArrayType>()
                .write_batch(&values, Some(&levels), None)?;
        }
    }
    Ok(())
}

/// The values that are there, and for every row whether it has one.
fn there<T: Copy>(cells: &[Option<T>]) -> (Vec<T>, Vec<i16>) {
    let levels = cells.iter().map(|cell| i16::from(cell.is_some())).collect();
    (cells.iter().copied().flatten().collect(), levels)
}
