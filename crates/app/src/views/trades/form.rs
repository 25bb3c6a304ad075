//! What has been typed on the page Trades.

use session::{Menu, Question};

use crate::question::QuestionKind;

/// An input with its range, as typed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct AxisForm {
    /// Path of the input; empty for none.
    pub path: String,
    /// First value with its unit.
    pub from: String,
    /// Last value with its unit.
    pub to: String,
    /// How many values.
    pub count: String,
}

impl AxisForm {
    /// Takes an input: half to one and a half times its present value, nine values.
    pub fn take(&mut self, path: &str, text: &str, count: usize) {
        let (number, unit) = split(text);
        path.clone_into(&mut self.path);
        self.count = count.to_string();
        (self.from, self.to) = match number {
            Some(number) if number != 0.0 => {
                (format!("{} {unit}", rounded(0.5 * number)), format!("{} {unit}", rounded(1.5 * number)))
            }
            Some(_) => (format!("0 {unit}"), format!("1 {unit}")),
            None => (text.to_owned(), text.to_owned()),
        };
        self.from = self.from.trim_end().to_owned();
        self.to = self.to.trim_end().to_owned();
    }

    /// The form that a sweep reads.
    fn text(&self) -> Option<String> {
        let path = self.path.trim();
        let range = || format!("{path}={}..{}/{}", self.from.trim(), self.to.trim(), self.count.trim());
        (!path.is_empty()).then(range)
    }
}

/// Number and unit of a text such as `12 mOhm`.
fn split(text: &str) -> (Option<f64>, &str) {
    let text = text.trim();
    let end = text.find(|c: char| !(c.is_ascii_digit() || ".+-eE".contains(c))).unwrap_or(text.len());
    (text[..end].parse().ok(), text[end..].trim())
}

/// Four digits are enough for the end of a range.
fn rounded(value: f64) -> f64 {
    let scale = 10_f64.powf(3.0 - value.abs().log10().floor());
    if scale.is_finite() { (value * scale).round() / scale } else { value }
}

/// Values of the first input that the window draws, a curve each.
pub(super) const MAX_CURVES: usize = 12;

/// Points of mass against margin that the window works out at most.
const MAX_ON_FRONT: usize = 12;

/// Everything on the page that is typed or chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TradesForm {
    /// Sort of the question being put together.
    pub sort: QuestionKind,
    /// The input along the abscissa, and the one that each curve has a value of.
    pub axes: [AxisForm; 2],
    /// Name of the result that is watched.
    pub watch: String,
    /// Loop that is sized.
    pub circuit: String,
    /// Number of samples.
    pub samples: String,
    /// Kelvin left over the required margins, with blanks or commas between them.
    pub left_over: String,
    /// Which of several designs is kept, by number.
    pub picked: usize,
    /// Name under which a design is kept.
    pub name: String,
    /// Why it could not be kept.
    pub name_refused: Option<String>,
    /// The question that was asked last.
    pub asked: Question,
}

impl Default for TradesForm {
    fn default() -> Self {
        Self {
            sort: QuestionKind::default(),
            axes: Default::default(),
            watch: "worst".to_owned(),
            circuit: String::new(),
            samples: "4096".to_owned(),
            left_over: "0 3 6 9".to_owned(),
            picked: 0,
            name: String::new(),
            name_refused: None,
            asked: Question::default(),
        }
    }
}

impl TradesForm {
    /// Fills what is still empty with something that can be asked: the cell resistance where there is a pack, else the first input.
    pub fn fill(&mut self, menu: &Menu) {
        if self.axes[0].path.is_empty() {
            let is_cell = |(path, _): &&(String, String)| path.ends_with("cell.resistance");
            if let Some((path, text)) = menu.inputs.iter().find(is_cell).or(menu.inputs.first()) {
                self.axes[0].take(path, text, 9);
            }
        }
        if !menu.loops.contains(&self.circuit) {
            self.circuit = menu.loops.first().cloned().unwrap_or_default();
        }
    }

    /// The question as it stands.
    ///
    /// # Errors
    /// What is missing, in one sentence.
    pub fn question(&self) -> Result<Question, String> {
        match self.sort {
            QuestionKind::Variants => Ok(Question::Variants),
            QuestionKind::Uncooled => Ok(Question::Uncooled),
            QuestionKind::OutsideAir => Ok(Question::OutsideAir),
            QuestionKind::SizeAll => Ok(Question::SizeAll),
            QuestionKind::Architectures => Ok(Question::Architectures),
            QuestionKind::Size if self.circuit.is_empty() => {
                Err("The project has no loop to size.".to_owned())
            }
            QuestionKind::Size => Ok(Question::Size { circuit: self.circuit.clone() }),
            QuestionKind::Inputs => self.over_inputs(),
            QuestionKind::Front => self.front(),
            QuestionKind::Spread => match self.samples.trim().parse::<usize>() {
                Ok(samples) if (64..=65_536).contains(&samples) => Ok(Question::Spread { samples }),
                _ => Err("Samples: a whole number from 64 to 65536.".to_owned()),
            },
        }
    }

    fn front(&self) -> Result<Question, String> {
        let words = self.left_over.split(|c: char| c == ',' || c == ';' || c.is_whitespace());
        let numbers: Result<Vec<f64>, _> =
            words.filter(|word| !word.is_empty()).map(str::parse::<f64>).collect();
        let is_one = |k: &f64| k.is_finite() && (0.0..=100.0).contains(k);
        match numbers {
            Ok(mut all) if all.iter().all(is_one) && (1..=MAX_ON_FRONT).contains(&all.len()) => {
                all.sort_by(f64::total_cmp);
                all.dedup();
                let words: Vec<String> = all.iter().map(f64::to_string).collect();
                Ok(Question::Front { left_over: words.join(" ") })
            }
            _ => Err(format!("Reserve: 1 to {MAX_ON_FRONT} values from 0 to 100 K, such as 0 3 6 9.")),
        }
    }

    fn over_inputs(&self) -> Result<Question, String> {
        let [along, curves] = &self.axes;
        let Some(along) = along.text() else { return Err("Choose an input.".to_owned()) };
        if self.watch.trim().is_empty() {
            return Err("Choose a result to watch.".to_owned());
        }
        let curves = curves.text().map(|text| (text, self.axes[1].count.trim().parse::<usize>()));
        if let Some((_, Ok(count))) = &curves
            && *count > MAX_CURVES
        {
            return Err(format!(
                "At most {MAX_CURVES} values of the second input, one curve each. The command `sweep` has no such limit."
            ));
        }
        // the first axis of a sweep varies slowest: one curve after the other
        let axes = curves.map(|(text, _)| text).into_iter().chain([along]).collect();
        Ok(Question::Inputs { axes, watch: self.watch.trim().to_owned() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_input_becomes_a_range_around_its_value() {
        let mut axis = AxisForm::default();
        axis.take("powertrain.bus.cell.resistance", "12 mOhm", 9);
        assert_eq!((axis.from.as_str(), axis.to.as_str()), ("6 mOhm", "18 mOhm"));
        assert_eq!(axis.text().as_deref(), Some("powertrain.bus.cell.resistance=6 mOhm..18 mOhm/9"));
        axis.take("missions.a.count", "0.333", 3);
        assert_eq!((axis.from.as_str(), axis.to.as_str()), ("0.1665", "0.4995"));
        axis.take("conditions.hot.day", "-20 degC", 3);
        assert_eq!((axis.from.as_str(), axis.to.as_str()), ("-10 degC", "-30 degC"));
    }

    #[test]
    fn what_is_missing_is_said_before_it_is_asked() {
        let mut form = TradesForm { sort: QuestionKind::Inputs, ..TradesForm::default() };
        assert!(form.question().is_err(), "no input is chosen");
        form.axes[0].take("a.b", "2 kW", 5);
        let asked = Question::Inputs { axes: vec!["a.b=1 kW..3 kW/5".into()], watch: "worst".into() };
        assert_eq!(form.question(), Ok(asked));
        form.axes[1].take("c.d", "10", 13);
        assert!(form.question().is_err_and(|reason| reason.contains("At most 12")));
        form.axes[1].count = "3".into();
        let Ok(Question::Inputs { axes, .. }) = form.question() else { panic!("it can be asked") };
        assert_eq!(axes, ["c.d=5..15/3", "a.b=1 kW..3 kW/5"]);
        let mut front =
            TradesForm { sort: QuestionKind::Front, left_over: "6, 0 3;3".into(), ..TradesForm::default() };
        assert_eq!(front.question(), Ok(Question::Front { left_over: "0 3 6".into() }));
        front.left_over = "0 -1".into();
        assert!(front.question().is_err());
        let spread =
            TradesForm { sort: QuestionKind::Spread, samples: "ten".into(), ..TradesForm::default() };
        assert!(spread.question().is_err());
    }
}
