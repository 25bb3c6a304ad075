//! Random valid projects: what no demo would think of.
//!
//! A seed gives the text of a project that `check` accepts: 1 to 12 loops with 0 to 3 parallel groups each, up to 4 cores in a
//! duct, every device and law of the file format in a share of the projects, -40 to 55 degC, 0 to 20,000 ft, half of them with
//! failures. Sizes are drawn from the ranges of the trade and a little beyond; nothing is tuned to have an equilibrium.
//!
//! [`WORDS`] lists what has to occur; a test holds the generator to it, so that a project never stops being random unnoticed.

mod air;
mod dice;
mod drive;
mod duty;
mod failures;
mod liquid;
mod stages;
mod words;

use dice::Dice;

pub use words::WORDS;

/// Sets the second stream of a seed apart from the first of any other.
const LATE: u64 = 0x9e37_79b9_7f4a_7c15;

/// Everything of a project while it grows, as text of the file format.
#[derive(Debug, Default)]
struct Growing {
    conditions: Vec<(String, String)>,
    components: Vec<String>,
    links: Vec<String>,
    heats: Vec<(String, String)>,
    loops: Vec<LoopText>,
    cores: Vec<String>,
    exchangers: Vec<String>,
    ducts: Vec<String>,
    points: Vec<(String, String)>,
    missions: Vec<(String, String)>,
    failures: Vec<(String, String)>,
    /// Choices of what came into the file format later: a stream of their own leaves the rest of a seed as it was.
    late: Option<Dice>,
    powertrain: Option<String>,
    carts: Vec<String>,
    /// Cores that still need a duct: name and face area, m2.
    bare_cores: Vec<(String, f64)>,
    /// What stands where, for points and failures.
    parts: Parts,
}

/// Names of what can be set or can fail.
#[derive(Debug, Default)]
struct Parts {
    pumps: Vec<String>,
    fans: Vec<String>,
    shutters: Vec<String>,
    thermostats: Vec<String>,
    controlled: Vec<String>,
    cores: Vec<String>,
    inlets: Vec<String>,
    resistances: Vec<String>,
    reservoirs: Vec<String>,
    loops: Vec<String>,
    motors: Vec<String>,
    two_sets: Vec<String>,
    strings: usize,
    has_pack: bool,
    couplings: Vec<String>,
}

/// A loop while exchangers may still be put into it.
#[derive(Debug)]
struct LoopText {
    name: String,
    fluid: String,
    path: Vec<String>,
    more: String,
}

/// The text of the project of a seed.
pub fn random_project(seed: u64) -> String {
    let mut dice = Dice::new(seed);
    let late = Some(Dice::new(seed ^ LATE));
    let mut growing = Growing { late, ..Growing::default() };
    let missions = dice.chance(0.4);
    let driven = dice.chance(0.3);
    growing.bay(&mut dice);
    if driven {
        growing.drive(&mut dice);
    }
    let loops = *dice.one(&[&1, &1, &1, &2, &2, &2, &3, &3, &4, &5, &7, &9, &12]);
    for number in 0..loops {
        growing.add_loop(&mut dice, number, driven);
    }
    growing.add_ducts(&mut dice);
    growing.surroundings(&mut dice, missions);
    growing.operate(&mut dice, missions);
    if dice.chance(0.5) {
        growing.fail(&mut dice);
    }
    growing.follow_gearbox();
    growing.text(&mut dice, seed)
}

impl Growing {
    /// The space that everything stands in.
    fn bay(&mut self, dice: &mut Dice) {
        let capacity = if dice.chance(0.1) { "\"0 J/K\"".to_owned() } else { dice.log(500.0, 2e4, "J/K") };
        let sunlit = if dice.chance(0.2) {
            format!(
                ", sunlit: Sunlit(area: {}, absorptance: {:.2})",
                dice.even(0.05, 1.5, "m2"),
                dice.between(0.2, 0.9)
            )
        } else {
            String::new()
        };
        self.components.push(format!("Component(name: \"bay\", capacity: {capacity}{sunlit})"));
        let law = match dice.count(0, 3) {
            0 => format!("Conductance({})", dice.log(1.0, 60.0, "W/K")),
            1 => format!(
                "Vent(flow: {}, at_rest: {})",
                dice.log(0.004, 0.1, "kg/s"),
                dice.log(5e-4, 4e-3, "kg/s")
            ),
            2 => format!(
                "MovingAir(shape: {}, size: {}, area: {})",
                dice.one(&["FlatPlate", "Cylinder"]),
                dice.even(0.2, 2.0, "m"),
                dice.even(0.2, 3.0, "m2")
            ),
            _ => format!(
                "StillAir(shape: {}, size: {}, area: {})",
                dice.one(&["VerticalPlate", "HorizontalCylinder"]),
                dice.even(0.1, 1.0, "m"),
                dice.even(0.5, 4.0, "m2")
            ),
        };
        self.links.push(format!("Link(from: \"bay\", to: \"outside air\", law: {law})"));
    }

    /// A way for heat from a component to the bay or to another component.
    fn side_path(&mut self, dice: &mut Dice, from: &str, to: &str) {
        let law = match dice.count(0, 4) {
            0 => format!("Conductance({})", dice.log(0.1, 8.0, "W/K")),
            1 => format!(
                "StillAir(shape: {}, size: {}, area: {})",
                dice.one(&["VerticalPlate", "HorizontalCylinder"]),
                dice.even(0.05, 0.5, "m"),
                dice.even(0.01, 0.5, "m2")
            ),
            2 => format!(
                "Radiation(emissivity: {:.2}, area: {})",
                dice.between(0.1, 0.95),
                dice.even(0.02, 0.6, "m2")
            ),
            3 => format!(
                "Contact(area: {}, coefficient: {})",
                dice.log(1e-3, 1e-1, "m2"),
                dice.log(100.0, 5000.0, "W/(m2 K)")
            ),
            _ => format!(
                "MovingAir(shape: Cylinder, size: {}, area: {}, speed: {})",
                dice.even(0.02, 0.3, "m"),
                dice.even(0.01, 0.5, "m2"),
                dice.even(0.0, 15.0, "m/s")
            ),
        };
        self.links.push(format!("Link(from: \"{from}\", to: \"{to}\", law: {law})"));
    }

    fn text(self, dice: &mut Dice, seed: u64) -> String {
        let refuse = if dice.chance(0.03) { "policy: (outside_range: Refuse),\n " } else { "" };
        let loops: Vec<String> = self
            .loops
            .iter()
            .map(|l| {
                let path = l.path.join(",\n    ");
                format!("Loop(name: \"{}\", fluid: \"{}\", path: [\n    {path}]{})", l.name, l.fluid, l.more)
            })
            .collect();
        let texts = |of: &[(String, String)]| of.iter().map(|(_, text)| text.clone()).collect::<Vec<_>>();
        let keys = |of: &[(String, String)]| of.iter().map(|(name, _)| name.clone()).collect::<Vec<_>>();
        let lists = [
            ("conditions", texts(&self.conditions)),
            ("components", self.components),
            ("links", self.links),
            ("heats", texts(&self.heats)),
            ("loops", loops),
            ("cores", self.cores),
            ("exchangers", self.exchangers),
            ("ducts", self.ducts),
            ("carts", self.carts),
            ("points", texts(&self.points)),
            ("missions", texts(&self.missions)),
            ("failures", texts(&self.failures)),
        ];
        let head = format!(
            "// Random project, invented.\nProject(format: \"heatledger\", version: 1, name: \"random {seed}\",\n {refuse}\
             fluids: [UserFluid(name: \"brine\", freezing: \"-45 degC\", rows: [\
             (temperature: \"-40 degC\", density: \"1110 kg/m3\", specific_heat: \"3000 J/(kg K)\", viscosity: \"60 mPa s\", conductivity: \"0.40 W/(m K)\"), \
             (temperature: \"20 degC\", density: \"1075 kg/m3\", specific_heat: \"3250 J/(kg K)\", viscosity: \"4.5 mPa s\", conductivity: \"0.42 W/(m K)\"), \
             (temperature: \"110 degC\", density: \"1010 kg/m3\", specific_heat: \"3550 J/(kg K)\", viscosity: \"0.7 mPa s\", conductivity: \"0.43 W/(m K)\")])],\n \
             supplies: [Supply(name: \"bus A\"), Supply(name: \"bus B\")],\n"
        );
        let lists = lists.into_iter().filter(|(_, items)| !items.is_empty());
        let lists: Vec<String> =
            lists.map(|(name, items)| format!(" {name}: [\n  {}],\n", items.join(",\n  "))).collect();
        let powertrain = self.powertrain.map(|text| format!(" powertrain: {text},\n")).unwrap_or_default();
        let cases = format!(
            " cases: [CaseGroup(conditions: {}, points: {}, missions: {}, failures: {})],\n)\n",
            dice::names(&keys(&self.conditions)),
            dice::names(&keys(&self.points)),
            dice::names(&keys(&self.missions)),
            dice::names(&keys(&self.failures)),
        );
        [head, lists.concat(), powertrain, cases].concat()
    }
}
