//! Carts at ground connections, the limiter of a charge, and the hottest cell.

use super::cell_law::aged_cell;
use super::checked::refused;
use super::{Assembler, Situation, laws};
use aircraft::records::charging::{Charge, Charging};
use aircraft::records::ground::{Cart, GroundConnection};
use aircraft::records::powertrain::{Bus, Pack};
use numerics::Curve;
use powertrain::charge::{ChargeData, ChargeLimiter, ChargeWindow, Charger, Stage};
use powertrain::pack::HotCell;
use schema::Problem;
use solver::{Element, ElementId, FlowLaw, Fluid, LinkLaw, Machine, MachinePower, Node, Signal};

/// Pressure rise of a cart over its flow, as shares of the greatest rise and the stated flow: the cart holds its flow within 5 %
/// until it nears its greatest rise.
const CART_CURVE: [(f64, f64); 4] = [(0.0, 1.0), (0.95, 0.9), (1.0, 0.5), (1.05, 0.0)];
/// The same while apart, Pa over the stated flow: a way through without a resistance worth the name.
const APART_CURVE: [(f64, f64); 2] = [(0.0, 1.0), (1.0, 0.0)];
/// Conductance to the supply temperature over the capacity rate of the stated flow: leaves a twentieth of the difference.
const CART_TRANSFER_UNITS: f64 = 20.0;

impl Assembler<'_> {
    fn cart(&self, connection: &GroundConnection, path: &str) -> Result<&Cart, Problem> {
        let carts = &self.situation.project.carts;
        carts.iter().find(|cart| cart.name.as_str() == connection.cart).ok_or_else(|| {
            let message = format!("no cart is called {:?}", connection.cart);
            Problem::error(format!("{path}.cart"), message, "add it to `carts`")
        })
    }

    fn is_connected(&self, connection: &GroundConnection) -> bool {
        self.situation.point.carts.iter().any(|name| name == connection.name.as_str())
    }

    /// Couplings in the loop: with the cart a pump that holds its flow, without it a way through.
    pub(super) fn ground_connection(
        &self,
        connection: &GroundConnection,
        fluid: &Fluid,
        path: &str,
    ) -> Result<Element, Problem> {
        let project = self.situation.project;
        let cart = self.cart(connection, path)?;
        let is_connected = self.is_connected(connection);
        let (field, loss) =
            if is_connected { ("connected", &connection.connected) } else { ("apart", &connection.apart) };
        let loss = laws::resistance(project, loss, fluid, None, &format!("{path}.{field}"))?;
        let (flow, head) = (cart.flow.si(), cart.head.si());
        let shape: Vec<(f64, f64)> = if is_connected {
            CART_CURVE.iter().map(|(x, y)| (x * flow, y * head)).collect()
        } else {
            APART_CURVE.iter().map(|(x, y)| (x * flow, *y)).collect()
        };
        let curve = Curve::new(&shape).map_err(|error| refused(format!("{path}.cart"), &error))?;
        // the cart brings the power of its own pump along: the aircraft does not feed it
        let machine = Machine::new(curve, fluid.density(cart.supply.si()), MachinePower::Fixed(0.0))
            .map_err(|error| refused(format!("{path}.cart"), &error))?;
        let law = FlowLaw::Series(vec![FlowLaw::Machine(machine), loss]);
        let mut element = Element::plain(law, connection.volume.si());
        element.signal = Signal::Fixed(if is_connected { 1.0 } else { 0.0 });
        Ok(element)
    }

    /// Heat between the coolant in the couplings and the supply of the cart; none while apart.
    pub(super) fn cart_heat(
        &mut self,
        connection: &GroundConnection,
        element: ElementId,
        fluid: &Fluid,
        path: &str,
    ) -> Result<(), Problem> {
        let cart = self.cart(connection, path)?;
        let (supply_k, ceiling_w) = (cart.supply.si(), cart.ceiling.si());
        let rate_w_k = cart.flow.si() * fluid.density(supply_k) * fluid.specific_heat(supply_k);
        let conductance_w_k =
            if self.is_connected(connection) { CART_TRANSFER_UNITS * rate_w_k } else { 0.0 };
        let supply = self.builder.boundary(supply_k);
        let link = self.builder.link(
            Node::Cell(element, 0),
            Node::Boundary(supply),
            LinkLaw::Limited { conductance_w_k, ceiling_w },
        );
        self.parts.links.push((format!("cart at {}", connection.name.as_str()), link));
        Ok(())
    }
}

/// Rise of the hottest cell of a group above the mean one, K, once it has settled at a bus current; none without an allowance.
///
/// # Errors
/// A [`Problem`] for numbers that no cell can have.
pub fn hot_cell_rise_k(
    situation: &Situation<'_>,
    bus_current_a: f64,
    cell_k: f64,
) -> Result<Option<f64>, Problem> {
    let bus = situation.project.powertrain.as_ref().map(|powertrain| &powertrain.bus);
    let Some(Bus::Pack(pack)) = bus else { return Ok(None) };
    let Some(hot) = &pack.hot_cell else { return Ok(None) };
    let path = "powertrain.bus.hot_cell";
    let law = HotCell::new(hot.excess.si(), hot.to_coolant.si())
        .map_err(|error| refused(path.to_owned(), &error))?;
    let point = situation.point;
    let cell = aged_cell(pack, point.life_used.as_ref().unwrap_or(&pack.life_used).si(), "powertrain.bus")?;
    let strings = pack.parallel.saturating_sub(situation.strings_out(pack)).max(1);
    let current_a = bus_current_a / strings as f64;
    let joule_w = cell.heat_parts(current_a, cell_k, point.state_of_charge.si()).joule_w;
    Ok(Some(law.allowance(&cell, joule_w).steady_rise_k))
}

/// What decides the current of the charge at a point; none where nothing is charged.
///
/// # Errors
/// A [`Problem`] if there is no pack, it cannot be charged, or its data contradict each other.
pub fn charge_limiter(situation: &Situation<'_>) -> Result<Option<ChargeLimiter>, Problem> {
    let Some(charge) = &situation.point.charge else { return Ok(None) };
    let path = "powertrain.bus.charging";
    let bus = situation.project.powertrain.as_ref().map(|powertrain| &powertrain.bus);
    let Some(Bus::Pack(pack)) = bus else {
        return Err(Problem::error("powertrain.bus", "there is no pack to charge", "add a pack"));
    };
    let Some(charging) = &pack.charging else {
        return Err(Problem::error(
            path,
            "the pack does not say how it is charged",
            "add charging: Charging(..)",
        ));
    };
    let strings = pack.parallel.saturating_sub(situation.strings_out(pack));
    limiter(pack, charging, charge, strings).map(Some)
}

/// The law of a charge with some strings in service.
///
/// # Errors
/// A [`Problem`] for data that contradict each other.
pub fn limiter(
    pack: &Pack,
    charging: &Charging,
    charge: &Charge,
    strings: usize,
) -> Result<ChargeLimiter, Problem> {
    let capacity_ah = aged_cell(pack, 0.0, "powertrain.bus")?.data().capacity_ah;
    let data = charge_data(pack, charging, charge, capacity_ah * strings as f64)?;
    ChargeLimiter::new(data).map_err(|error| refused("powertrain.bus.charging".to_owned(), &error))
}

/// Rise of the hottest cell in a charge, K. It is taken at the constant current and 25 degC, where a warm cell makes no more heat,
/// and counts from the beginning.
///
/// # Errors
/// As [`hot_cell_rise_k`].
pub fn charging_rise_k(situation: &Situation<'_>, limiter: &ChargeLimiter) -> Result<f64, Problem> {
    let data = limiter.data();
    let current_a = data.c_rate * data.rated_capacity_ah;
    Ok(hot_cell_rise_k(situation, current_a, 298.15)?.unwrap_or(0.0))
}

fn charge_data(
    pack: &Pack,
    charging: &Charging,
    charge: &Charge,
    rated_capacity_ah: f64,
) -> Result<ChargeData, Problem> {
    let per_hour = |rate: f64| 3600.0 * rate;
    Ok(ChargeData {
        rated_capacity_ah,
        c_rate: per_hour(charge.rate.as_ref().unwrap_or(&charging.rate).si()),
        constant_voltage_v: pack.series as f64 * charging.end_voltage.si(),
        taper_c_rate: per_hour(charging.taper.si()),
        stop_soc: Some(charge.to.si()),
        charger: Charger {
            bus_power_w: charge.power.as_ref().or(charging.charger.power.as_ref()).map(|power| power.si()),
            supply_power_w: charging.charger.supply_power.as_ref().map(|power| power.si()),
            efficiency: charging.charger.efficiency.si(),
        },
        window: charge_window(charging)?,
    })
}

/// The window of a pack by cell temperature.
///
/// # Errors
/// A [`Problem`] for stages or limits of a start that contradict each other.
pub fn charge_window(charging: &Charging) -> Result<ChargeWindow, Problem> {
    let path = || "powertrain.bus.charging.window".to_owned();
    let stages: Vec<Stage> = charging
        .window
        .si()
        .windows(2)
        .map(|pair| Stage { from_k: pair[0].0, to_k: pair[1].0, c_rate: 3600.0 * pair[0].1 })
        .collect();
    let window = ChargeWindow::new(&stages, ChargeWindow::DEFAULT_BLEND_K, charging.hysteresis.si())
        .map_err(|error| refused(path(), &error))?;
    let (from, to) = window.start_range_k();
    let stated = |value: &Option<schema::Input<schema::kinds::Temperature>>, other: f64| {
        value.as_ref().map_or(other, |temperature| temperature.si())
    };
    window
        .with_start(stated(&charging.start_from, from), stated(&charging.start_to, to))
        .map_err(|error| refused(path(), &error))
}
