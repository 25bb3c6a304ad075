//! Where the parts of a flow strip lie: columns along the flow, lanes for branches, scales for temperature and pressure.

use egui::{Rect, pos2, vec2};

use super::data::{FlowStripData, StripDevice, StripEntry};

/// Sizes in points.
pub(super) const GUTTER: f32 = 48.0;
pub(super) const END: f32 = 74.0;
const COLUMN: f32 = 96.0;
/// One line of a device name.
const NAME_LINE: f32 = 16.0;
pub(super) const HEAT: f32 = 20.0;
/// The lowest and the highest plot.
const PLOT: (f32, f32) = (44.0, 130.0);
/// Room for the name of a branch above its devices.
pub(super) const BRANCH: f32 = 15.0;
const LANE_GAP: f32 = 6.0;
const PRESSURE: f32 = 42.0;
const PRESSURE_GAP: f32 = 24.0;

/// The smallest range of temperatures that fills a plot.
const MIN_SPAN_K: f64 = 4.0;

/// A linear scale between values and vertical positions, larger values higher.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    low: f64,
    high: f64,
}

impl Scale {
    /// A scale that holds all values with some room around them.
    fn around(values: impl Iterator<Item = f64>, min_span: f64) -> Self {
        let (low, high) = values
            .filter(|value| value.is_finite())
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
        if low > high {
            return Self { low: 0.0, high: min_span };
        }
        let span = (high - low).max(min_span);
        let middle = 0.5 * (low + high);
        Self { low: middle - 0.58 * span, high: middle + 0.58 * span }
    }

    /// A scale that holds the medium, and the walls as far as they leave the medium a third of the height. Walls
    /// beyond it are marked at the edge.
    fn of_medium(medium: impl Iterator<Item = f64> + Clone, walls: impl Iterator<Item = f64>) -> Self {
        let bounds = |values: &mut dyn Iterator<Item = f64>| {
            values
                .filter(|v| v.is_finite())
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
        };
        let (low, high) = bounds(&mut medium.clone());
        let reach = (high - low).max(MIN_SPAN_K);
        let near = walls.filter(|wall| (low - reach..=high + reach).contains(wall));
        Self::around(medium.chain(near), MIN_SPAN_K)
    }

    /// Whether the scale holds a value.
    pub fn holds(self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }

    /// The height of a value between the bottom and the top of a band; held inside it.
    pub fn y(self, value: f64, band: Rect) -> f32 {
        let part = ((value - self.low) / (self.high - self.low)).clamp(0.0, 1.0);
        band.bottom() - band.height() * part as f32
    }

    /// Round values inside the scale, about as many as asked for.
    pub fn ticks(self, about: usize) -> Vec<f64> {
        ticks(self.low, self.high, about)
    }
}

/// Multiples of 1, 2 or 5 times a power of ten between two values, about as many as asked for; two at least where more
/// than one is asked for, because one alone is no scale.
pub fn ticks(low: f64, high: f64, about: usize) -> Vec<f64> {
    let raw = (high - low) / about.max(1) as f64;
    if !(raw > 0.0 && raw.is_finite()) {
        return Vec::new();
    }
    let power = 10_f64.powf(raw.log10().floor());
    let coarse = [1.0, 2.0, 5.0, 10.0].into_iter().find(|m| m * power >= raw).unwrap_or(10.0);
    let multiples = |step: f64| {
        let (first, last) = ((low / step).ceil() as i64, (high / step).floor() as i64);
        (first..=last).map(|i| i as f64 * step).collect::<Vec<f64>>()
    };
    let steps = [10.0, 5.0, 2.0, 1.0, 0.5, 0.2].into_iter().filter(|m| *m <= coarse);
    let mut found = Vec::new();
    for step in steps {
        found = multiples(step * power);
        if found.len() >= about.min(2) {
            break;
        }
    }
    found
}

/// A device and where it lies.
#[derive(Debug, Clone, Copy)]
pub struct Column<'a> {
    /// The device.
    pub device: &'a StripDevice,
    /// From its name down to the end of its heat labels.
    pub rect: Rect,
    /// Where its temperatures are plotted.
    pub plot: Rect,
}

/// The mouth or the end of a parallel section.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Junction {
    /// Left and right end of the section.
    pub x: (f32, f32),
    /// One plot area for each branch.
    pub lanes: Vec<Rect>,
    /// Name and share of each branch.
    pub labels: Vec<String>,
    /// The temperature with which each branch begins and ends.
    pub temperatures: Vec<(f64, f64)>,
    /// The temperature behind the section, where the branches have mixed.
    pub mixed: Option<f64>,
    /// Branches without a device, by number.
    pub empty: Vec<usize>,
}

/// The parts of a strip and where they lie, in points from the left top corner.
#[derive(Debug, Clone)]
pub struct StripLayout<'a> {
    /// The size of the whole strip.
    pub size: egui::Vec2,
    /// Devices in flow order, branch by branch.
    pub columns: Vec<Column<'a>>,
    /// Parallel sections.
    pub junctions: Vec<Junction>,
    /// The scale of temperatures.
    pub temperature: Scale,
    /// The band of the pressure line.
    pub pressure_band: Rect,
    /// The scale of pressures.
    pub pressure: Scale,
    /// Lines that the names of the devices take.
    pub name_lines: usize,
    /// The largest heat of a device, in kW.
    pub largest_heat_kw: f64,
}

/// How many columns a path needs.
fn columns(entries: &[StripEntry]) -> usize {
    let of_entry = |entry: &StripEntry| match entry {
        StripEntry::Device(_) => 1,
        StripEntry::Parallel(branches) => {
            branches.iter().map(|b| columns(&b.entries)).max().unwrap_or(0).max(1)
        }
    };
    entries.iter().map(of_entry).sum()
}

/// The medium temperature at the beginning and at the end of a path; nothing without a device.
fn ends(entries: &[StripEntry]) -> Option<(f64, f64)> {
    let of_entry = |entry: &StripEntry| match entry {
        StripEntry::Device(device) => Some((device.temperature_in, device.temperature_out)),
        StripEntry::Parallel(branches) => branches.iter().find_map(|branch| ends(&branch.entries)),
    };
    let first = entries.iter().find_map(of_entry)?.0;
    let last = entries.iter().rev().find_map(of_entry)?.1;
    Some((first, last))
}

/// How many lanes a path needs.
fn lanes(entries: &[StripEntry]) -> usize {
    let of_entry = |entry: &StripEntry| match entry {
        StripEntry::Device(_) => 1,
        StripEntry::Parallel(branches) => branches.iter().map(|b| lanes(&b.entries)).sum(),
    };
    entries.iter().map(of_entry).max().unwrap_or(0).max(1)
}

impl<'a> StripLayout<'a> {
    /// Lays a strip out. It is wider than `width` when the columns would become too narrow, and higher than `height`
    /// when the plots would become too low.
    pub fn new(strip: &'a FlowStripData, width: f32, height: f32) -> Self {
        let devices = strip.devices();
        let (columns, lanes) = (columns(&strip.entries).max(1), lanes(&strip.entries));
        let width = width.max(GUTTER + END + COLUMN * columns as f32);
        let column_width = (width - GUTTER - END) / columns as f32;
        let fits = |device: &&StripDevice| 5.6 * device.name.chars().count() as f32 <= column_width - 8.0;
        let name_lines = if devices.iter().all(fits) { 1 } else { 2 };
        let head = NAME_LINE * name_lines as f32 + if lanes > 1 { BRANCH } else { 2.0 };
        let fixed = lanes as f32 * (head + 2.0 * HEAT + LANE_GAP) + PRESSURE_GAP + PRESSURE;
        let plot_height = ((height - fixed) / lanes as f32).clamp(PLOT.0, PLOT.1);
        let lane_height = head + HEAT + plot_height + HEAT;
        let lanes_bottom = lanes as f32 * (lane_height + LANE_GAP) - LANE_GAP;
        let pressure_top = lanes_bottom + PRESSURE_GAP;
        let band = Rect::from_min_max(pos2(GUTTER, pressure_top), pos2(width - END, pressure_top + PRESSURE));
        let walls = devices.iter().flat_map(|d| d.walls.iter().map(|wall| wall.temperature));
        let medium = devices.iter().flat_map(|d| [d.temperature_in, d.temperature_out]);
        let pressures = devices.iter().flat_map(|d| [d.pressure_in, d.pressure_out]);
        let mut layout = Self {
            size: vec2(width, band.bottom() + 6.0),
            columns: Vec::with_capacity(devices.len()),
            junctions: Vec::new(),
            temperature: Scale::of_medium(medium, walls),
            pressure_band: band,
            pressure: Scale::around(pressures, 0.1),
            name_lines,
            largest_heat_kw: devices.iter().map(|d| d.heat_kw.abs()).fold(0.0, f64::max),
        };
        let placing = Placing { lane_height, head, plot_height };
        placing.place(&mut layout, &strip.entries, (GUTTER, width - END), 0);
        layout
    }
}

struct Placing {
    lane_height: f32,
    head: f32,
    plot_height: f32,
}

impl Placing {
    fn lane(&self, (left, right): (f32, f32), lane: usize) -> (Rect, Rect) {
        let top = lane as f32 * (self.lane_height + LANE_GAP);
        let rect = Rect::from_min_max(pos2(left, top), pos2(right, top + self.lane_height));
        let plot_top = top + self.head + HEAT;
        let plot = Rect::from_min_max(pos2(left, plot_top), pos2(right, plot_top + self.plot_height));
        (rect, plot)
    }

    fn place<'a>(
        &self,
        layout: &mut StripLayout<'a>,
        entries: &'a [StripEntry],
        (left, right): (f32, f32),
        lane: usize,
    ) {
        let step = (right - left) / columns(entries).max(1) as f32;
        let mut x = left;
        for (index, entry) in entries.iter().enumerate() {
            let end = x + step * columns(std::slice::from_ref(entry)) as f32;
            match entry {
                StripEntry::Device(device) => {
                    let (rect, plot) = self.lane((x, end), lane);
                    layout.columns.push(Column { device, rect, plot });
                }
                StripEntry::Parallel(branches) => {
                    let mixed = ends(&entries[index + 1..]).map(|(first, _)| first);
                    let mut junction = Junction { x: (x, end), mixed, ..Junction::default() };
                    let entry =
                        branches.iter().find_map(|branch| ends(&branch.entries)).map(|(first, _)| first);
                    let mut branch_lane = lane;
                    for branch in branches {
                        let (_, plot) = self.lane((x, end), branch_lane);
                        junction.lanes.push(plot);
                        junction.labels.push(format!("{} · {:.0} %", branch.name, 100.0 * branch.share));
                        if branch.entries.is_empty() {
                            junction.empty.push(junction.lanes.len() - 1);
                        }
                        let straight = entry.map(|entry| (entry, entry));
                        junction.temperatures.extend(ends(&branch.entries).or(straight));
                        self.place(layout, &branch.entries, (x, end), branch_lane);
                        branch_lane += lanes(&branch.entries);
                    }
                    layout.junctions.push(junction);
                }
            }
            x = end;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::views::loops::data::Branch;

    fn device(name: &str, temperature: f64) -> StripEntry {
        StripEntry::Device(StripDevice {
            name: name.to_owned(),
            temperature_in: temperature,
            temperature_out: temperature + 1.0,
            ..StripDevice::default()
        })
    }

    fn branch(name: &str, entries: Vec<StripEntry>) -> Branch {
        Branch { name: name.to_owned(), share: 0.5, entries }
    }

    fn strip(entries: Vec<StripEntry>) -> FlowStripData {
        FlowStripData { entries, ..FlowStripData::default() }
    }

    #[test]
    fn devices_in_series_share_the_width_in_flow_order() {
        let strip = strip(vec![device("a", 20.0), device("b", 21.0), device("c", 22.0)]);
        let layout = StripLayout::new(&strip, 900.0, 400.0);
        let names: Vec<&str> = layout.columns.iter().map(|column| column.device.name.as_str()).collect();
        assert_eq!(names, ["a", "b", "c"]);
        for pair in layout.columns.windows(2) {
            assert!((pair[0].rect.right() - pair[1].rect.left()).abs() < 1e-3);
        }
        assert!((layout.columns[2].rect.right() - (900.0 - END)).abs() < 1e-2);
        assert_eq!(layout.size.x, 900.0);
    }

    #[test]
    fn branches_stack_without_overlap_and_fill_their_section() {
        let parallel = StripEntry::Parallel(vec![
            branch("left", vec![device("a", 20.0), device("b", 21.0)]),
            branch("right", vec![device("c", 20.0)]),
            branch("bypass", Vec::new()),
        ]);
        let strip = strip(vec![device("pump", 19.0), parallel]);
        let layout = StripLayout::new(&strip, 900.0, 400.0);
        assert_eq!(layout.columns.len(), 4);
        for (i, first) in layout.columns.iter().enumerate() {
            for second in &layout.columns[i + 1..] {
                let common = first.rect.intersect(second.rect);
                assert!(
                    common.width() < 0.01 || common.height() < 0.01,
                    "{} and {}",
                    first.device.name,
                    second.device.name
                );
            }
        }
        let junction = &layout.junctions[0];
        assert_eq!((junction.lanes.len(), junction.empty.as_slice()), (3, [2].as_slice()));
        assert_eq!(junction.temperatures, [(20.0, 22.0), (20.0, 21.0), (20.0, 20.0)]);
        let alone = &layout.columns[3].rect;
        assert!((alone.left() - junction.x.0).abs() < 1e-3 && (alone.right() - junction.x.1).abs() < 1e-3);
        let lowest = layout.columns.iter().map(|column| column.rect.bottom()).fold(0.0, f32::max);
        assert!(lowest < layout.pressure_band.top() && layout.pressure_band.bottom() <= layout.size.y);
    }

    #[test]
    fn a_long_loop_becomes_wider_than_the_page() {
        let strip = strip((0..20).map(|i| device("x", f64::from(i))).collect());
        assert!(StripLayout::new(&strip, 800.0, 400.0).size.x > 1900.0);
    }

    #[test]
    fn nothing_and_not_a_number_can_be_laid_out() {
        let empty = strip(Vec::new());
        assert!(StripLayout::new(&empty, 800.0, 400.0).columns.is_empty());
        let unsolved = strip(vec![device("a", f64::NAN)]);
        let layout = StripLayout::new(&unsolved, 800.0, 400.0);
        assert!(!layout.temperature.ticks(5).is_empty());
    }

    #[test]
    fn ticks_are_round_and_inside() {
        assert_eq!(ticks(41.3, 68.9, 5), [50.0, 60.0]);
        assert_eq!(ticks(-37.0, 187.0, 2), [0.0, 100.0], "one alone is no scale");
        assert_eq!(ticks(0.0, 1.0, 5), [0.0, 0.2, 0.4, 0.6000000000000001, 0.8, 1.0]);
        assert!(ticks(1.0, 1.0, 5).is_empty() && ticks(0.0, f64::NAN, 5).is_empty());
    }

    #[test]
    fn a_hot_wall_does_not_flatten_the_medium() {
        let scale = Scale::of_medium([56.0, 68.0].into_iter(), [64.0, 79.0, 121.0].into_iter());
        assert!(scale.holds(79.0) && !scale.holds(121.0));
        let band = Rect::from_min_max(pos2(0.0, 0.0), pos2(10.0, 90.0));
        assert!(scale.y(56.0, band) - scale.y(68.0, band) > 28.0, "the medium keeps a third of the height");
    }

    #[test]
    fn values_rise_upwards_and_stay_in_their_band() {
        let scale = Scale::around([20.0, 80.0].into_iter(), 1.0);
        let band = Rect::from_min_max(pos2(0.0, 100.0), pos2(10.0, 200.0));
        assert!(scale.y(80.0, band) < scale.y(20.0, band));
        assert_eq!(scale.y(1e9, band), 100.0);
        assert_eq!(scale.y(-1e9, band), 200.0);
    }
}
