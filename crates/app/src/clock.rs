//! Times of a mission as text.

/// A time as `12:30` (minutes and seconds) below two hours, else as `3 h 05`; a dash when it is not finite.
pub fn clock(time_s: f64) -> String {
    if !time_s.is_finite() {
        return "–".to_owned();
    }
    let sign = if time_s <= -0.5 { "−" } else { "" };
    let whole = time_s.abs().round() as u64;
    if whole < 7200 {
        format!("{sign}{}:{:02}", whole / 60, whole % 60)
    } else {
        format!("{sign}{} h {:02}", whole / 3600, whole % 3600 / 60)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_read_as_on_a_clock() {
        let texts: Vec<String> =
            [0.0, 59.6, 750.0, 7199.4, 7200.0, 11_100.0, -30.0, f64::NAN].map(clock).to_vec();
        assert_eq!(texts, ["0:00", "1:00", "12:30", "119:59", "2 h 00", "3 h 05", "−0:30", "–"]);
    }
}
