//! Power that was asked for and not given during a flight, and the moment from which height cannot be held.

use super::{Flight, TimedMargin};
use crate::height::{self, HeightPower};
use crate::result::{Notice, PowerLost, WORTH_A_WORD_W};
use aircraft::records::project::Project;
use solver::Reading;

impl Flight {
    /// Power that derates and the greatest powers of the motors took, and since when; none where what was asked for was given.
    pub fn power_lost(&self) -> Option<PowerLost> {
        let lost_w =
            self.electric(|network, state| Reading::of(network, state).electric().map(|e| e.lost_power_w));
        let from = lost_w.iter().position(|lost_w| *lost_w > WORTH_A_WORD_W)?;
        let power_w = lost_w.iter().copied().fold(0.0, f64::max);
        Some(PowerLost { power_w, from_s: Some(self.times_s[from]) })
    }

    /// The first sample at which motors are out or power is lost, and the first at which height cannot be held: its time, s, and the powers.
    fn power_there(&self, project: &Project, is_short: bool) -> Option<(f64, HeightPower)> {
        self.samples.iter().find_map(|sample| {
            let there = self.read(project, sample, |at| at.height())?;
            (there.is_short() || !is_short).then_some((sample.time_s, there))
        })
    }

    /// What is to be told about power: what was lost, and from when height cannot be held.
    pub(super) fn power_notices(&self, project: &Project, margins: &[TimedMargin]) -> Vec<Notice> {
        let lost = self.power_lost();
        let lost_notice = lost.map(|lost| Notice {
            about: "",
            kind: "power_lost",
            place: height::PLACE.to_owned(),
            message: format!(
                "from {:.0} s the motors give up to {:.1} kW less than is asked of them: derating, or the greatest power that their control \
                 allows; what is flown is not what the mission asks for",
                lost.from_s.unwrap_or_default(),
                1e-3 * lost.power_w
            ),
        });
        let is_passed = margins.iter().any(|t| t.margin.limit == height::LIMIT && !(t.margin.margin >= 0.0));
        let is_possible =
            lost.is_some() || self.samples.iter().any(|sample| self.instant(sample).failure.is_some());
        // where the basis does not ask for it no margin says whether height is lost
        let looks = is_possible && (is_passed || !height::is_asked(&project.policy));
        let short = looks.then(|| self.power_there(project, true)).flatten();
        let there = short.or_else(|| is_possible.then(|| self.power_there(project, false)).flatten());
        let height = there.map(|(from_s, there)| height::notice(&there, Some(from_s)));
        lost_notice.into_iter().chain(height).collect()
    }
}
