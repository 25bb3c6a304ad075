//! How far published relations may be from the truth, family by family.

use schema::prelude::*;

record! {
    /// Factors on what the published relations give, one for each family; 1 is the relation as published.
    ///
    /// A factor holds for every device that is given by its dimensions; measured and fixed values have tolerances of their own. State a
    /// factor to correct a family by test. The study of spread moves each factor by its tolerance, or by the published scatter where
    /// no tolerance is stated.
    pub struct RelationFactors {
        /// On the air-side conductance of cores given by their fins.
        pub core_air: Input<Ratio> = 1 where positive at_most(100.0),
        /// On the conductance from tubes or plates of such cores to the liquid.
        pub core_liquid: Input<Ratio> = 1 where positive at_most(100.0),
        /// On the film of plates, jackets and surfaces given by channels or tubes.
        pub wetted_walls: Input<Ratio> = 1 where positive at_most(100.0),
        /// On the air-side pressure loss of cores given by their fins.
        pub fin_friction: Input<Ratio> = 1 where positive at_most(100.0),
        /// On the pressure loss of hoses, channels and tubes.
        pub channel_friction: Input<Ratio> = 1 where positive at_most(100.0),
        /// On natural convection in still air.
        pub still_air: Input<Ratio> = 1 where positive at_most(100.0),
        /// On convection in moving air.
        pub moving_air: Input<Ratio> = 1 where positive at_most(100.0),
        /// On convection at rotors: air gap and turning cylinder.
        pub rotor_air: Input<Ratio> = 1 where positive at_most(100.0),
        /// Not a factor: where all tubes and channels stand between what is published. 0 is Gnielinski 2013, 1 the worst end (the lesser
        /// of it and the line of the Heat Atlas, times the factor of a wall colder than its liquid), -1 the best end.
        pub tube_law: Input<Ratio> = 0 where at_least(-2.0) at_most(2.0),
    }
}

/// Published scatter of a family of relations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scatter {
    /// Field of [`RelationFactors`].
    pub family: &'static str,
    /// Half-width of the band that holds about 95 of 100 measured points (two standard deviations): a share of the factor, for `tube_law`
    /// the distance from one published law to the other.
    pub half_width: f64,
    /// What is published, and where.
    pub source: &'static str,
}

/// Published scatter of every family, in the order of [`RelationFactors`].
pub const PUBLISHED_SCATTER: [Scatter; 9] = [
    Scatter {
        family: "core_air",
        half_width: 0.20,
        source: "89 % of the data within 15 % (Chang & Wang 1997, unconfirmed), which is 2 s = 19 % of a normal law; another model of \
                 offset strips claims 20 % for all its data (Joshi & Webb 1987)",
    },
    Scatter {
        family: "core_liquid",
        half_width: 0.20,
        source: "authors' figure unconfirmed; published smooth-tube forms lie -16 to +14 % about Gnielinski at Re 1e4: widened to 20 %; \
                 the transition is `tube_law`",
    },
    Scatter {
        family: "wetted_walls",
        half_width: 0.20,
        source: "authors' figure unconfirmed; published smooth-tube forms lie -16 to +14 % about Gnielinski at Re 1e4: widened to 20 %; \
                 the transition is `tube_law`",
    },
    Scatter {
        family: "fin_friction",
        half_width: 0.22,
        source: "83 % of the data within 15 % (Chang et al. 2000, unconfirmed), which is 2 s = 22 % of a normal law; another model of \
                 offset strips claims 20 % for all its data (Joshi & Webb 1987)",
    },
    Scatter {
        family: "channel_friction",
        half_width: 0.15,
        source: "10 to 15 %, mostly from the roughness (Colebrook 1939)",
    },
    Scatter {
        family: "still_air",
        half_width: 0.20,
        source: "authors' figure unconfirmed; three forms of the horizontal cylinder lie -16 to +11 % about Churchill & Chu 1975, no other \
                 form of the vertical plate was found: widened to 20 %",
    },
    Scatter {
        family: "moving_air",
        half_width: 0.25,
        source: "authors' figures unconfirmed; three forms of the turbulent plate lie within 12 %, seven of the cylinder -10 to +39 % about \
                 Churchill & Bernstein 1977",
    },
    Scatter {
        family: "rotor_air",
        half_width: 0.20,
        source: "authors' figures unconfirmed; two relations of the turning cylinder differ by 19 %: widened to 20 %",
    },
    Scatter {
        family: "tube_law",
        half_width: 1.0,
        source: "Gnielinski 2013 against the line of the Heat Atlas 2010: 20 % at Re 4000, 11 % at 1e4; cold walls by (Pr/Pr_wall)^0.11",
    },
];

impl Scatter {
    /// Half-width in the unit of the input, about a value.
    pub fn half_width_at(&self, value: f64) -> f64 {
        if self.family == "tube_law" { self.half_width } else { self.half_width * value.abs() }
    }
}

/// Where the factors stand in a project; a family is one step below.
pub const RELATIONS_PATH: &str = "policy.relations";

/// Published scatter of the factor at a path; none for any other input.
pub fn published_scatter(path: &str) -> Option<&'static Scatter> {
    let family = path.strip_prefix(RELATIONS_PATH)?.strip_prefix('.')?;
    PUBLISHED_SCATTER.iter().find(|scatter| scatter.family == family)
}

#[cfg(test)]
mod tests {
    use super::{PUBLISHED_SCATTER, RelationFactors, published_scatter};
    use schema::Record as _;

    #[test]
    fn every_family_has_its_scatter() {
        let fields: Vec<_> = RelationFactors::schema().fields.iter().map(|field| field.name).collect();
        let families: Vec<_> = PUBLISHED_SCATTER.iter().map(|scatter| scatter.family).collect();
        assert_eq!(families, fields);
        assert!(published_scatter("policy.relations.still_air").is_some_and(|s| s.half_width == 0.20));
        assert!(published_scatter("policy.uncorrelated").is_none());
    }

    /// Shares of a normal law within 15 %, from tables of the error function: 89 % is 1.598 s, 83 % is 1.372 s.
    #[test]
    fn two_standard_deviations_follow_from_the_shares() {
        assert!((2.0_f64 * 0.15 / 1.598 - 0.20).abs() < 0.015);
        assert!((2.0_f64 * 0.15 / 1.372 - 0.22).abs() < 0.005);
    }
}
