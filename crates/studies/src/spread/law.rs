//! What is moved, by what law, and the sequence of samples.

use crate::StudyError;
use crate::levers::{LeverInput, TolerancePedigree, list};
use aircraft::records::project::Project;
use schema;
use schema::{Node, Problem};
use statrs::distribution::{ContinuousCDF as _, Normal};

/// How a tolerance is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Distribution {
    /// Every value within the half-width is equally likely.
    Uniform,
    /// Normal; the half-width is two standard deviations, cut at three.
    Normal,
}

impl Distribution {
    /// The word in tables and files.
    pub fn word(self) -> &'static str {
        match self {
            Self::Uniform => "uniform",
            Self::Normal => "normal",
        }
    }
}

/// Half-widths in a standard deviation.
const SIGMA_WIDTH: f64 = 0.5;
/// Standard deviations at which a normal law is cut.
const CUT_SIGMA: f64 = 3.0;
/// Dimensions of one sequence; further inputs begin another one with another scrambling.
const DIMENSIONS: usize = 256;

/// An input that is moved.
#[derive(Clone, Debug, PartialEq)]
pub struct SpreadInput {
    /// Its place in the count of all numbers of the project.
    pub index: usize,
    /// Path.
    pub path: String,
    /// As typed.
    pub text: String,
    /// Value in SI.
    pub si: f64,
    /// Half-width in SI.
    pub half_width_si: f64,
    /// Law.
    pub shape: Distribution,
    /// Where the tolerance comes from.
    pub from: TolerancePedigree,
}

impl SpreadInput {
    /// How far from its value an input is moved at most, SI.
    pub fn reach_si(&self) -> f64 {
        match self.shape {
            Distribution::Uniform => self.half_width_si,
            Distribution::Normal => CUT_SIGMA * SIGMA_WIDTH * self.half_width_si,
        }
    }

    /// The value at a probability from 0 to 1, SI.
    fn value_si(&self, probability: f64, normal: &Normal) -> f64 {
        match self.shape {
            Distribution::Uniform => self.si + self.half_width_si * (2.0 * probability - 1.0),
            Distribution::Normal => {
                let below = normal.cdf(-CUT_SIGMA);
                let score = normal.inverse_cdf(below + probability * (1.0 - 2.0 * below));
                self.si + SIGMA_WIDTH * self.half_width_si * score
            }
        }
    }
}

/// The inputs that are moved, and the sequence.
#[derive(Clone, Debug)]
pub(super) struct Sampler {
    pub(super) inputs: Vec<SpreadInput>,
    seed: u32,
    normal: Normal,
}

impl Sampler {
    /// Every input with a tolerance that `counts`.
    pub(super) fn new(
        node: &Node,
        project: &Project,
        stated: Distribution,
        seed: u32,
        counts: impl Fn(&LeverInput) -> bool,
    ) -> Result<Self, StudyError> {
        let with_tolerance = list(node, project).into_iter().filter(|input| counts(input));
        let inputs: Vec<SpreadInput> =
            with_tolerance.filter_map(|input| spread_input(input, stated)).collect();
        check_ends(node, &inputs)?;
        Ok(Self { inputs, seed, normal: Normal::standard() })
    }

    /// Values of all inputs in one sample, SI.
    pub(super) fn values_si(&self, sample: usize) -> Vec<f64> {
        let value = |(n, input): (usize, &SpreadInput)| {
            let (sequence, dimension) = (n / DIMENSIONS, n % DIMENSIONS);
            let seed = self.seed.wrapping_add((sequence as u32).wrapping_mul(0x9e37_79b9));
            let probability = sobol_burley::sample(sample as u32, dimension as u32, seed);
            input.value_si(f64::from(probability), &self.normal)
        };
        self.inputs.iter().enumerate().map(value).collect()
    }

    /// Moves a project to one sample. Every input is set, so that nothing of an earlier sample is left.
    pub(super) fn move_to(&self, project: &mut Project, values_si: &[f64]) {
        let moves: Vec<(usize, f64)> =
            self.inputs.iter().map(|input| input.index).zip(values_si.iter().copied()).collect();
        let all_moved = schema::move_numbers(project, &moves);
        debug_assert!(all_moved, "the ends of every tolerance were read as a file before");
    }
}

fn spread_input(input: LeverInput, stated: Distribution) -> Option<SpreadInput> {
    let half_width_si = input.tolerance_si.filter(|width| *width > 0.0)?;
    let from = input.tolerance_from?;
    let shape = match from {
        TolerancePedigree::Stated => stated,
        TolerancePedigree::Published => Distribution::Normal,
    };
    let LeverInput { index, path, text, si, .. } = input;
    Some(SpreadInput { index, path, text, si, half_width_si, shape, from })
}

/// A project with numbers moved is one that a file could hold: every tolerance to its ends at once, read as a file is.
fn check_ends(node: &Node, inputs: &[SpreadInput]) -> Result<(), StudyError> {
    for side in [-1.0, 1.0] {
        let mut moved = node.clone();
        let entries = schema::list_inputs(node, aircraft::variant::project_shape());
        for input in inputs {
            let Some(entry) = entries.get(input.index) else { continue };
            let end_si = input.si + side * input.reach_si();
            let set = schema::set_input_si(&mut moved, aircraft::variant::project_shape(), entry, end_si);
            set.map_err(|error| StudyError::Project(Box::new(error.into_problem(&entry.path))))?;
        }
        if let Err(problems) = model::design::decode(&moved) {
            let first = problems.iter().find(|p| p.severity == schema::Severity::Error).cloned();
            let problem = first.unwrap_or_else(|| {
                Problem::error("tolerance", "the ends of the tolerances are refused", "narrow them")
            });
            let message = format!("at the end of the tolerances: {}", problem.message);
            let remedy = format!("narrow the tolerance, or {}", problem.remedy);
            return Err(StudyError::Project(Box::new(Problem { message, remedy, ..problem })));
        }
    }
    Ok(())
}
