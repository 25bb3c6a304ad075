//! What was checked against what, line by line, and how close it came.

use testkit::Row;

/// Where a reference value comes from, as far as a reader must know before trusting it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Origin {
    /// A standard, a publication or a general library.
    Outside,
    /// Calculated for this project, but not by its code: closed forms, numerical solutions, arithmetic by hand.
    Calculated,
    /// The source, its constants or some of the inputs were written down from memory.
    Memory,
}

/// The reference behind values that are written out in the check itself.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cited {
    pub(crate) source: &'static str,
    pub(crate) what: &'static str,
    pub(crate) origin: Origin,
}

/// The largest accepted difference.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Allowed {
    /// Of the expected value.
    Part(f64),
    /// In the unit of the value.
    Within(f64, &'static str),
    /// In the unit of the value, where a line holds values of several units: its error is then shown as a part.
    Digits(f64),
}

/// One line of the validation record.
#[derive(Clone, Debug)]
pub(crate) struct Line {
    /// File of the reference table; none for values that are written out in the check.
    pub(crate) file: Option<String>,
    pub(crate) source: String,
    pub(crate) what: String,
    pub(crate) origin: Origin,
    pub(crate) points: usize,
    /// Largest difference relative to the expected value; the difference itself where zero is expected.
    pub(crate) worst_part: f64,
    /// Largest difference in this unit, where every tolerance of the line is given in one unit.
    pub(crate) worst_within: Option<(f64, String)>,
    /// Largest difference as a part of what is accepted.
    pub(crate) of_tolerance: f64,
    /// Whether the values are limits to be held, which have no error.
    pub(crate) limits: bool,
}

/// The lines of one subject.
#[derive(Clone, Debug)]
pub(crate) struct Record {
    pub(crate) title: &'static str,
    lines: Vec<Line>,
}

/// Sources whose numbers the README of the reference data marks as remembered, beyond what the rows say themselves.
const REMEMBERED: [&str; 1] = ["Dorfman"];

/// How the sources begin that name a definition, a closed form or an own solution, not a publication.
const CALCULATED: [&str; 22] = [
    "own ",
    "definition",
    "exact 48/11",
    "exact Couette",
    "Graetz limit",
    "limit 1 - exp",
    "same closed form",
    "closed form with resistance feedback",
    "first-order linearisation",
    "two-surface enclosure",
    "standard pressure at the altitude",
    "fully turbulent (tripped)",
    "tanh(",
    "Ta = omega^2",
    "Nu k/(2 delta)",
    "Q dp",
    "loss released",
    "I^2 R20",
    "channel conducts",
    "conduction plus",
    "sinusoidal PWM",
    "area mean",
];

impl Record {
    pub(crate) fn new(title: &'static str) -> Self {
        Self { title, lines: Vec::new() }
    }

    pub(crate) fn lines(&self) -> &[Line] {
        &self.lines
    }

    /// Checks a computed value against a row of a reference table; `what` is the line it belongs to.
    #[track_caller]
    pub(crate) fn row(&mut self, what: &str, row: &Row, computed: f64) {
        row.check(computed);
        let unit = row.maybe("abs_tol").map(|_| row.text("unit"));
        let measured = Measured {
            difference: (computed - row.expected()).abs(),
            part: row.relative_error(computed),
            unit,
            of_tolerance: row.error(computed),
        };
        self.line(Some(row.file()), row.source(), what, origin_of(row)).add(&measured);
    }

    /// Checks a computed value against a row whose tolerance is known to be exceeded, up to `widened` times.
    #[track_caller]
    pub(crate) fn row_widened(&mut self, what: &str, row: &Row, computed: f64, widened: f64) {
        let error = row.error(computed);
        assert!(error <= widened, "{}: {error} of the tolerance", row.case_id());
        let measured = Measured {
            difference: (computed - row.expected()).abs(),
            part: row.relative_error(computed),
            unit: None,
            of_tolerance: error,
        };
        self.line(Some(row.file()), row.source(), what, origin_of(row)).add(&measured);
    }

    /// Checks a computed value against one that is printed in the source.
    #[track_caller]
    pub(crate) fn value(&mut self, cited: &Cited, computed: f64, expected: f64, allowed: Allowed) {
        let difference = (computed - expected).abs();
        let (accepted, unit) = match allowed {
            Allowed::Part(part) => (part * expected.abs(), None),
            Allowed::Within(most, unit) => (most, Some(unit)),
            Allowed::Digits(most) => (most, None),
        };
        assert!(
            difference <= accepted,
            "{}, {}: computed {computed}, printed {expected}, accepted {accepted}",
            cited.source,
            cited.what
        );
        let scale = if expected == 0.0 { 1.0 } else { expected.abs() };
        let of_tolerance = difference / accepted;
        let measured = Measured { difference, part: difference / scale, unit, of_tolerance };
        self.line(None, cited.source, cited.what, cited.origin).add(&measured);
    }

    /// Checks that a value holds the limits of a row (`limit_min`, `limit_max`, either may be open).
    #[track_caller]
    pub(crate) fn limits(&mut self, what: &str, row: &Row, computed: f64) {
        let position = position(row, computed);
        assert!(position <= 1.0, "{}: {computed} is outside the limits", row.case_id());
        self.limit_line(what, row, position);
    }

    /// Checks that a value is outside the limits of a row.
    #[track_caller]
    pub(crate) fn beyond_limits(&mut self, what: &str, row: &Row, computed: f64) {
        let position = position(row, computed);
        assert!(position > 1.0, "{}: {computed} is inside the limits", row.case_id());
        self.limit_line(what, row, 1.0 / position);
    }

    fn limit_line(&mut self, what: &str, row: &Row, of_tolerance: f64) {
        let line = self.line(Some(row.file()), row.source(), what, origin_of(row));
        line.limits = true;
        line.points += 1;
        line.of_tolerance = line.of_tolerance.max(of_tolerance);
    }

    fn line(&mut self, file: Option<&str>, source: &str, what: &str, origin: Origin) -> &mut Line {
        let known = self
            .lines
            .iter()
            .position(|line| line.file.as_deref() == file && line.source == source && line.what == what);
        let index = known.unwrap_or_else(|| {
            self.lines.push(Line {
                file: file.map(str::to_owned),
                source: source.to_owned(),
                what: what.to_owned(),
                origin,
                points: 0,
                worst_part: 0.0,
                worst_within: None,
                of_tolerance: 0.0,
                limits: false,
            });
            self.lines.len() - 1
        });
        let line = &mut self.lines[index];
        if origin == Origin::Memory {
            line.origin = origin;
        }
        line
    }
}

/// One comparison.
struct Measured<'a> {
    difference: f64,
    part: f64,
    unit: Option<&'a str>,
    of_tolerance: f64,
}

impl Line {
    fn add(&mut self, measured: &Measured<'_>) {
        self.worst_within = match (measured.unit, self.worst_within.take()) {
            (Some(unit), None) if self.points == 0 => Some((measured.difference, unit.to_owned())),
            (Some(unit), Some((worst, known))) if known == unit => {
                Some((worst.max(measured.difference), known))
            }
            _ => None,
        };
        self.points += 1;
        self.worst_part = self.worst_part.max(measured.part);
        self.of_tolerance = self.of_tolerance.max(measured.of_tolerance);
    }
}

fn origin_of(row: &Row) -> Origin {
    let (source, note) = (row.source(), row.text("note"));
    let remembered = source.contains("from memory") || note.contains("from memory");
    if remembered || REMEMBERED.iter().any(|known| source.contains(known)) {
        Origin::Memory
    } else if source == "exact" || CALCULATED.iter().any(|start| source.starts_with(start)) {
        Origin::Calculated
    } else {
        Origin::Outside
    }
}

/// Where a value lies between the limits of a row: 0 in the middle, 1 at a limit; towards an open side, the ratio to the
/// one limit there is.
fn position(row: &Row, value: f64) -> f64 {
    match (row.maybe("limit_min"), row.maybe("limit_max")) {
        (Some(least), Some(most)) => (value - 0.5 * (least + most)).abs() / (0.5 * (most - least)),
        (Some(least), None) => least / value,
        (None, Some(most)) => value / most,
        (None, None) => panic!("{}: no limit", row.case_id()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use testkit::table;

    const HAND: Cited = Cited { source: "hand", what: "sum", origin: Origin::Calculated };

    #[test]
    fn a_line_keeps_the_worst_of_its_points() {
        let mut record = Record::new("x");
        record.value(&HAND, 1.01, 1.0, Allowed::Part(0.02));
        record.value(&HAND, 2.01, 2.0, Allowed::Part(0.02));
        let line = &record.lines()[0];
        assert_eq!((record.lines().len(), line.points), (1, 2));
        testkit::assert_close("part", line.worst_part, 0.01, 1e-9);
        testkit::assert_close("of tolerance", line.of_tolerance, 0.5, 1e-9);
        assert!(line.worst_within.is_none());
    }

    #[test]
    fn a_unit_is_kept_only_where_all_points_share_it() {
        let mut record = Record::new("x");
        record.value(&HAND, 300.5, 300.0, Allowed::Within(1.0, "K"));
        assert_eq!(record.lines()[0].worst_within, Some((0.5, "K".to_owned())));
        record.value(&HAND, 300.0, 300.0, Allowed::Part(0.1));
        assert_eq!(record.lines()[0].worst_within, None);
        record.value(&HAND, 300.5, 300.0, Allowed::Within(1.0, "K"));
        assert_eq!(record.lines()[0].worst_within, None, "a lost unit stays lost");
    }

    #[test]
    #[should_panic(expected = "printed 1, accepted 0.01")]
    fn a_value_outside_its_tolerance_fails() {
        Record::new("x").value(&HAND, 1.02, 1.0, Allowed::Part(0.01));
    }

    #[test]
    #[should_panic(expected = "computed NaN")]
    fn not_a_number_fails() {
        Record::new("x").value(&HAND, f64::NAN, 1.0, Allowed::Part(0.01));
    }

    #[test]
    #[should_panic(expected = "outside the limits")]
    fn a_value_outside_its_limits_fails() {
        let limits = table("oil_grade_limits.csv");
        Record::new("x").limits("grade", limits.select("grade", "ISO VG 22")[0], 24.3);
    }

    #[test]
    fn remembered_rows_are_marked() {
        let gears = table("gear_loss.csv");
        let churning = gears.select("relation", "changenet_velex_2007_churning")[0];
        assert_eq!(origin_of(churning), Origin::Memory);
        let tubes = table("friction_factor.csv");
        assert_eq!(origin_of(&tubes.rows()[0]), Origin::Outside);
    }
}
