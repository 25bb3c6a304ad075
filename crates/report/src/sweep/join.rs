//! Parts of a sweep put together again.

use super::{POINT, POINTS, SWEEP};
use csv::{ReaderBuilder, StringRecord, WriterBuilder};

/// Why parts are not one whole sweep.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum JoinError {
    /// No part is named.
    #[error("no part is named")]
    Nothing,
    /// A file without the columns by which parts are known.
    #[error("{part} is no part of a sweep: it has no column {head}")]
    NotASweep {
        /// The part.
        part: String,
        /// The column that is missing.
        head: &'static str,
    },
    /// A line that cannot be read.
    #[error("{part}, line {line}: {reason}")]
    Broken {
        /// The part.
        part: String,
        /// The line, from 1.
        line: u64,
        /// What is wrong.
        reason: String,
    },
    /// Parts with other columns.
    #[error("{part} has other columns than {first}: other inputs or results were asked for")]
    OtherColumns {
        /// The part.
        part: String,
        /// The part that came first.
        first: String,
    },
    /// Parts of different sweeps.
    #[error(
        "{part} belongs to another sweep than {first}: the project, the variant, the grid, the results or the cases differ; run the older one again"
    )]
    OtherSweep {
        /// The part.
        part: String,
        /// The part that came first.
        first: String,
    },
    /// A point that is there twice.
    #[error("point {point} is in {first} and again in {part}: name each part once")]
    Twice {
        /// The point.
        point: usize,
        /// Where it is first.
        first: String,
        /// Where it is again.
        part: String,
    },
    /// Points that are in no part.
    #[error(
        "{missing} of {points} points are missing, the first is point {point}: a part was not run, broke off or is not named"
    )]
    Missing {
        /// How many are missing.
        missing: usize,
        /// How many there should be.
        points: usize,
        /// The first that is missing.
        point: usize,
    },
}

/// The whole table from its parts in any order, each a name and the bytes of a CSV as [`super::csv()`] writes it: the bytes that one run
/// over the whole grid would have written.
///
/// # Errors
/// [`JoinError`] for parts that are not one whole sweep; it names the part.
pub fn join(parts: &[(String, Vec<u8>)]) -> Result<Vec<u8>, JoinError> {
    let mut whole: Option<Whole> = None;
    for (name, bytes) in parts {
        let mut reader = ReaderBuilder::new().from_reader(bytes.as_slice());
        let heads = reader.headers().map_err(|error| broken(name, 1, &error))?.clone();
        let whole = match &mut whole {
            Some(whole) if whole.heads == heads => whole,
            Some(whole) => {
                return Err(JoinError::OtherColumns { part: name.clone(), first: whole.first.clone() });
            }
            none => none.insert(Whole::new(name, heads)?),
        };
        for record in reader.records() {
            let record = record.map_err(|error| broken(name, 0, &error))?;
            whole.take(name, record)?;
        }
    }
    whole.ok_or(JoinError::Nothing)?.written()
}

fn broken(part: &str, line: u64, error: &csv::Error) -> JoinError {
    let line = error.position().map_or(line, csv::Position::line);
    JoinError::Broken { part: part.to_owned(), line, reason: error.to_string() }
}

/// What has been read so far.
struct Whole {
    first: String,
    heads: StringRecord,
    point_at: usize,
    points_at: usize,
    sweep_at: usize,
    /// Number of points and which sweep, from the first row.
    is: Option<(usize, String)>,
    /// Each point with the part it is in.
    rows: Vec<Option<(StringRecord, String)>>,
}

impl Whole {
    fn new(part: &str, heads: StringRecord) -> Result<Self, JoinError> {
        let at = |head: &'static str| {
            let found = heads.iter().position(|text| text == head);
            found.ok_or_else(|| JoinError::NotASweep { part: part.to_owned(), head })
        };
        let (point_at, points_at, sweep_at) = (at(POINT)?, at(POINTS)?, at(SWEEP)?);
        Ok(Self { first: part.to_owned(), heads, point_at, points_at, sweep_at, is: None, rows: Vec::new() })
    }

    fn take(&mut self, part: &str, record: StringRecord) -> Result<(), JoinError> {
        let line = record.position().map_or(0, csv::Position::line);
        let bad = |reason: String| JoinError::Broken { part: part.to_owned(), line, reason };
        let count = |at: usize| -> Result<usize, JoinError> {
            let text = &record[at];
            // every number of the table is written as one with a point
            let number = text.parse().ok().filter(|n: &f64| *n >= 0.0 && n.fract() == 0.0 && *n < 1e15);
            number.map(|n| n as usize).ok_or_else(|| bad(format!("{text:?} is no whole number")))
        };
        let (point, points, sweep) =
            (count(self.point_at)?, count(self.points_at)?, record[self.sweep_at].to_owned());
        if points > studies::sweep::MAX_POINTS || point >= points {
            return Err(bad(format!("no grid has point {point} of {points}")));
        }
        match &self.is {
            Some(is) if *is == (points, sweep.clone()) => {}
            Some(_) => {
                return Err(JoinError::OtherSweep { part: part.to_owned(), first: self.first.clone() });
            }
            None => {
                self.rows.resize(points, None);
                self.is = Some((points, sweep));
            }
        }
        if let Some((_, first)) = &self.rows[point] {
            return Err(JoinError::Twice { point, first: first.clone(), part: part.to_owned() });
        }
        self.rows[point] = Some((record, part.to_owned()));
        Ok(())
    }

    fn written(self) -> Result<Vec<u8>, JoinError> {
        let points = self.rows.len();
        let missing = self.rows.iter().filter(|row| row.is_none()).count();
        if let Some(point) = self.rows.iter().position(Option::is_none) {
            return Err(JoinError::Missing { missing, points, point });
        }
        let mut bytes = Vec::new();
        let mut writer = WriterBuilder::new().from_writer(&mut bytes);
        let failed = |error: csv::Error| broken(&self.first, 0, &error);
        writer.write_record(&self.heads).map_err(failed)?;
        for (record, _part) in self.rows.iter().flatten() {
            writer.write_record(record).map_err(failed)?;
        }
        writer.flush().map_err(|error| JoinError::Broken {
            part: self.first.clone(),
            line: 0,
            reason: error.to_string(),
        })?;
        drop(writer);
        Ok(bytes)
    }
}
