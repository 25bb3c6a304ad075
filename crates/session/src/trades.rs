//! Questions about a design and their answers: the studies that are asked for one by one.

use std::sync::atomic::AtomicBool;
use std::sync::{Arc, Mutex, PoisonError};

use aircraft::variant::Varied;
use schema::{Change, Node};
use studies::StudyError;
use studies::oat_limit::{OatOptions, OatStudy, oat_limit};
use studies::optimum::{
    Comparison, FrontPoint, OptimumOptions, OptimumStudy, compare as compare_architectures, front, size_all,
};
use studies::size::{SizeOptions, SizeResult, size};
use studies::spread::{Spread, SpreadOptions, spread};
use studies::sweep::{Axis, Shard, Sweep, SweepError, Watch, points, sweep, watches};
use studies::uncooled::{Uncooled, UncooledOptions, uncooled, ways};
use studies::variants::{CompareOptions, VariantResult, compare};

use crate::choice::Choice;
use crate::found::{Extent, Found, Studied, Work};
use crate::snapshot::Snapshot;
use crate::solve::Asker;

/// Points of a sweep that are worked out at most while somebody waits; the command line has no such bound.
const MAX_POINTS: usize = 2000;

/// A question in full.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Question {
    /// All variants side by side.
    #[default]
    Variants,
    /// A result over one or two inputs, each as `PATH=FROM..TO/N`.
    Inputs {
        /// The inputs.
        axes: Vec<String>,
        /// Name of the result.
        watch: String,
    },
    /// The largest cell resistance that lets the pack fly uncooled.
    Uncooled,
    /// The highest outside air at which every required margin holds.
    OutsideAir,
    /// The lightest core, pump and fan of a loop.
    Size {
        /// Its name.
        circuit: String,
    },
    /// The lightest cooling of the whole aircraft.
    SizeAll,
    /// The lightest cooling for more and more left over the required margins.
    Front {
        /// Kelvin left over, as numbers with a blank between them.
        left_over: String,
    },
    /// Every variant at its lightest.
    Architectures,
    /// How sure the margins are.
    Spread {
        /// Number of samples.
        samples: usize,
    },
}

/// What can be asked about.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Menu {
    /// Path and text of every input.
    pub inputs: Vec<(String, String)>,
    /// Names of the results that can be watched.
    pub results: Vec<String>,
    /// Names of the loops.
    pub loops: Vec<String>,
}

/// A design that an answer found, which can be kept as a variant.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// Variant whose changes come first.
    pub from: String,
    /// What it is for.
    pub note: String,
    /// Further changes.
    pub changes: Arc<Vec<Change>>,
}

/// The answer to a question, as its study gives it.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// To [`Question::Variants`].
    Variants(Vec<VariantResult>),
    /// To [`Question::Inputs`].
    Inputs(Box<Sweep>),
    /// To [`Question::Uncooled`].
    Uncooled(Uncooled),
    /// To [`Question::OutsideAir`].
    OutsideAir(OatStudy),
    /// To [`Question::Size`].
    Size(Box<SizeResult>),
    /// To [`Question::SizeAll`].
    SizeAll(Box<OptimumStudy>),
    /// To [`Question::Front`].
    Front(Vec<FrontPoint>),
    /// To [`Question::Architectures`].
    Architectures(Comparison),
    /// To [`Question::Spread`].
    Spread(Box<Spread>),
}

impl Answer {
    /// What is missing because the work was stopped, in words; empty if nothing is.
    pub fn missing(&self) -> &str {
        match self {
            Self::OutsideAir(found) => &found.missing,
            Self::Size(found) => &found.missing,
            Self::SizeAll(found) => &found.missing,
            Self::Variants(_)
            | Self::Inputs(_)
            | Self::Uncooled(_)
            | Self::Front(_)
            | Self::Architectures(_)
            | Self::Spread(_) => "",
        }
    }
}

/// A question, what else could be asked, and the answer once it is there: or the reason for which there is none.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The question.
    pub question: Question,
    /// What can be asked about.
    pub menu: Arc<Menu>,
    /// The answer.
    pub answer: Option<Result<Answer, String>>,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq)]
pub enum NoAnswer {
    /// It is not wanted any more.
    Cancelled,
    /// What stands in the way.
    Because(String),
}

impl From<StudyError> for NoAnswer {
    fn from(error: StudyError) -> Self {
        match error {
            StudyError::Cancelled => Self::Cancelled,
            other => Self::Because(other.to_string()),
        }
    }
}

impl From<SweepError> for NoAnswer {
    fn from(error: SweepError) -> Self {
        match error {
            SweepError::Study(error) => error.into(),
            other => Self::Because(other.to_string()),
        }
    }
}

/// What can be asked about a variant.
pub fn menu(varied: &Varied, cancelled: &AtomicBool) -> Menu {
    let inputs = &varied.listing().inputs;
    // without a case that can be solved there are no results, and the question says so when it is asked
    let results = watches(&varied.project, cancelled).unwrap_or_default();
    Menu {
        inputs: inputs.iter().map(|entry| (entry.address.clone(), entry.text.clone())).collect(),
        results: results.iter().map(Watch::name).collect(),
        loops: varied.project.loops.iter().map(|known| known.name.as_str().to_owned()).collect(),
    }
}

/// What a question is about.
#[derive(Debug, Clone, Copy)]
pub struct About<'a> {
    /// Tree of the project.
    pub node: &'a Node,
    /// The variant that is shown.
    pub varied: &'a Varied,
    /// Every design of the project, the base design first.
    pub all: &'a [Varied],
    /// The condition that is shown.
    pub condition: &'a str,
}

/// Answers a question; `tell` is told how many of how many steps are done, from several threads.
///
/// # Errors
/// [`NoAnswer`].
pub fn answer(
    about: About<'_>,
    question: &Question,
    cancelled: &AtomicBool,
    tell: &(dyn Fn(usize, usize) + Sync),
) -> Result<Answer, NoAnswer> {
    let About { node, varied, all, condition } = about;
    let project = &varied.project;
    Ok(match question {
        Question::Variants => {
            let condition = Some(condition.to_owned());
            let options = CompareOptions { condition, ..CompareOptions::default() };
            Answer::Variants(compare(all, &options, cancelled, tell)?)
        }
        Question::Inputs { axes, watch } => over_inputs(varied, axes, watch, cancelled, tell)?,
        Question::Uncooled => {
            let options = UncooledOptions::default();
            let ways = ways(&varied.node, project)?;
            let of = ways.len() * options.oat_k.len() * options.life_used.len();
            let told = |done| tell(done, of);
            Answer::Uncooled(uncooled(&varied.node, project, &ways, &options, cancelled, told)?)
        }
        Question::OutsideAir => {
            Answer::OutsideAir(oat_limit(project, &OatOptions::default(), cancelled, tell)?)
        }
        Question::Size { circuit } => {
            Answer::Size(Box::new(size(project, circuit, &SizeOptions::default(), cancelled, tell)?))
        }
        Question::SizeAll => {
            let found = size_all(project, &OptimumOptions::default(), cancelled, |how_far| {
                tell(how_far.done, how_far.of);
            })?;
            Answer::SizeAll(Box::new(found))
        }
        Question::Front { left_over } => {
            let wanted: Vec<f64> = left_over.split(' ').filter_map(|word| word.parse().ok()).collect();
            tell(0, wanted.len());
            Answer::Front(front(project, &wanted, &OptimumOptions::default(), cancelled, |number, _| {
                tell(number, wanted.len());
            })?)
        }
        Question::Architectures => {
            let names: Vec<String> = all.iter().map(|varied| varied.name.clone()).collect();
            tell(0, names.len());
            let options = OptimumOptions::default();
            Answer::Architectures(compare_architectures(node, &names, &options, cancelled, |number, _| {
                tell(number, names.len());
            })?)
        }
        Question::Spread { samples } => {
            let options = SpreadOptions { samples: *samples, ..SpreadOptions::default() };
            let told = |done| tell(done, *samples);
            Answer::Spread(Box::new(spread(&varied.node, project, &options, cancelled, told)?))
        }
    })
}

fn over_inputs(
    varied: &Varied,
    axes: &[String],
    watch: &str,
    cancelled: &AtomicBool,
    tell: &(dyn Fn(usize, usize) + Sync),
) -> Result<Answer, NoAnswer> {
    let axes: Vec<Axis> =
        axes.iter().map(|text| Axis::parse(&varied.node, text)).collect::<Result<_, _>>()?;
    let of = points(&axes)?;
    if of > MAX_POINTS {
        let reason = format!(
            "{of} points: the window calculates {MAX_POINTS} at most; take fewer values, or the command `sweep`."
        );
        return Err(NoAnswer::Because(reason));
    }
    let all = watches(&varied.project, cancelled)?;
    let watched = vec![Watch::parse(&all, watch)?];
    let found = sweep(&varied.node, &axes, &watched, &[], Shard::WHOLE, cancelled, |done| tell(done, of))?;
    Ok(Answer::Inputs(Box::new(found)))
}

impl Snapshot {
    pub(crate) fn with_trades(
        &self,
        mut found: Found,
        varied: &Varied,
        choice: &Choice,
        question: &Question,
        asker: Asker<'_>,
    ) -> Found {
        let key = (varied.name.clone(), choice.case.condition.clone(), question.clone());
        let known = self.solved().trades.get(&key).cloned();
        if let Some(known) = known {
            found.studied = Studied::Trades(known);
            return found;
        }
        let menu = self.menu(varied, asker.cancelled);
        let asked = Asked { question: question.clone(), menu, answer: None };
        found.studied = Studied::Trades(Arc::new(asked.clone()));
        let work = |done, of| Extent::Partial(Work::counted(done, of, "steps"));
        found.extent = work(0, 1);
        if choice.is_stopped || asker.is_cancelled() {
            // what it had found when it was stopped
            if let Some((part, extent)) = self.solved().stopped_trades.get(&key).cloned() {
                (found.studied, found.extent) = (Studied::Trades(part), extent);
            }
            return found;
        }
        asker.hand_out(&found);
        let shown = &found;
        let told = Mutex::new((0, 1));
        let tell = |done, of| {
            if !asker.is_cancelled() {
                *told.lock().unwrap_or_else(PoisonError::into_inner) = (done, of);
                asker.hand_out(&Found { extent: work(done, of), ..shown.clone() });
            }
        };
        let all = self.designs.all();
        let condition = choice.case.condition.as_str();
        let about = About { node: self.node(), varied, all: all.as_slice(), condition };
        let answer = match answer(about, question, asker.cancelled, &tell) {
            Ok(answer) => Ok(answer),
            Err(NoAnswer::Because(reason)) => Err(reason),
            Err(NoAnswer::Cancelled) => return found,
        };
        let is_part = matches!(&answer, Ok(answer) if !answer.missing().is_empty());
        let answered = Arc::new(Asked { answer: Some(answer), ..asked });
        if is_part {
            let (done, of) = told.into_inner().unwrap_or_else(PoisonError::into_inner);
            found.extent = work(done, of);
            self.solved().stopped_trades.insert(key, (Arc::clone(&answered), found.extent.clone()));
            found.studied = Studied::Trades(answered);
            return found;
        }
        self.solved().trades.insert(key, Arc::clone(&answered));
        found.studied = Studied::Trades(answered);
        found.extent = Extent::Whole;
        found
    }

    fn menu(&self, varied: &Varied, cancelled: &AtomicBool) -> Arc<Menu> {
        if let Some(known) = self.solved().menus.get(&varied.name) {
            return Arc::clone(known);
        }
        let menu = Arc::new(menu(varied, cancelled));
        if !cancelled.load(std::sync::atomic::Ordering::Relaxed) {
            self.solved().menus.insert(varied.name.clone(), Arc::clone(&menu));
        }
        menu
    }
}
