//! The keys on every page: Tab comes to everything in the order of reading, what has the keys is seen, and nothing holds them. And the way
//! from nothing to a solved aircraft by keys alone.

use app::files::Origin;
use app::{Opening, Page, Window};
use egui::epaint::ClippedShape;
use egui::{Key, Modifiers, Rect, Role, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use session::Snapshot;

use crate::{Desk, open_on, open_sized, rig, settle, show_mission, tug};

const SIZE: [f32; 2] = [1440.0, 900.0];

/// A stop of Tab.
#[derive(Clone, PartialEq)]
struct Stop {
    name: String,
    place: Rect,
    /// Where the stop before is now: coming here may have scrolled the page.
    before: Option<Rect>,
}

/// What has the keys.
fn focused(harness: &Desk) -> Option<Stop> {
    let node = harness.root().children_recursive().find(|node| node.accesskit_node().is_focused())?;
    let spoken = node.accesskit_node();
    let name = spoken.label().or_else(|| spoken.value()).unwrap_or_default();
    Some(Stop { name: format!("{:?} {name}", spoken.role()), place: node.rect(), before: None })
}

/// Where something of this name is, if there is only one.
fn place_of(harness: &Desk, name: &str) -> Option<Rect> {
    let is_it = |node: &egui_kittest::Node<'_>| {
        let spoken = node.accesskit_node();
        let own = spoken.label().or_else(|| spoken.value()).unwrap_or_default();
        format!("{:?} {own}", spoken.role()) == name
    };
    let mut found = harness.root().children_recursive().filter(is_it).map(|node| node.rect());
    let first = found.next()?;
    found.next().is_none().then_some(first)
}

/// What is painted in a place.
fn painted(shapes: &[ClippedShape], place: Rect) -> Vec<String> {
    let near = shapes.iter().filter(|shape| shape.shape.visual_bounding_rect().intersects(place.expand(3.0)));
    near.map(|shape| format!("{:?}", shape.shape)).collect()
}

/// From the first to the last stop of Tab on a page.
fn walk(page: Page) -> Vec<Stop> {
    // the rig has fewer fields to walk through
    let needs_drive = matches!(page, Page::Turnaround | Page::Machines | Page::Pack);
    let snapshot = if needs_drive { tug() } else { rig() };
    let mut harness = open_on(snapshot, page, egui::Theme::Light, SIZE);
    show_mission(&mut harness);
    harness.key_press(Key::Escape);
    harness.run_steps(2);
    let mut stops: Vec<Stop> = Vec::new();
    for _ in 0..400 {
        let shapes = harness.output().shapes.clone();
        harness.key_press(Key::Tab);
        harness.run_steps(2);
        let Some(mut stop) = focused(&harness) else { continue };
        let (seen, unseen) = (painted(&harness.output().shapes, stop.place), painted(&shapes, stop.place));
        assert!(seen != unseen, "{page:?}: {} has the keys and looks as before", stop.name);
        if stops.first().is_some_and(|first| first.name == stop.name && first.place == stop.place) {
            return stops;
        }
        stop.before = stops.last().and_then(|last| place_of(&harness, &last.name));
        stops.push(stop);
    }
    panic!("{page:?}: Tab never came back to its first stop");
}

/// Header, rail, page, timeline: the order in which they are read.
fn region(place: Rect, timeline_from: f32) -> usize {
    match place.center() {
        at if at.y < 66.0 => 0,
        at if at.x < 132.0 => 1,
        at if at.y < timeline_from => 2,
        _ => 3,
    }
}

fn check(page: Page) {
    let stops = walk(page);
    let window = Rect::from_min_size(egui::Pos2::ZERO, Vec2::from(SIZE));
    let names: Vec<&str> = stops.iter().map(|stop| stop.name.as_str()).collect();
    for Stop { name, place, .. } in &stops {
        let is_inside = window.intersects(*place) && place.is_positive();
        assert!(is_inside, "{page:?}: {name} has the keys outside of the window: {place:?}");
    }
    // Tab begins anywhere; from the first stop of the header on, the parts follow each other
    let regions: Vec<usize> = stops.iter().map(|stop| region(stop.place, SIZE[1] - 50.0)).collect();
    let falls = (0..regions.len()).filter(|&i| regions[(i + 1) % regions.len()] < regions[i]).count();
    let told: Vec<_> = names.iter().zip(&regions).collect();
    assert!(falls <= 1, "{page:?}: the keys jump between parts of the window: {told:?}");
    // inside of the page they go down or to the right
    for (index, stop) in stops.iter().enumerate().skip(1) {
        if regions[index] != 2 || regions[index - 1] != 2 {
            continue;
        }
        let Some(from) = stop.before else { continue };
        let goes_on = stop.place.top() >= from.top() - 6.0 || stop.place.left() >= from.right() - 6.0;
        assert!(
            goes_on,
            "{page:?}: from {} {from:?} back up to {} {:?}",
            names[index - 1],
            stop.name,
            stop.place
        );
    }
    for known in ["Loops", "Pack"] {
        let is_known = names.iter().any(|name| name.ends_with(known));
        assert!(is_known, "{page:?}: Tab never comes to the rail: {names:?}");
    }
    let has_time = names.iter().any(|name| name.contains("Time cursor"));
    assert!(has_time, "{page:?}: Tab never comes to the timeline");
}

#[test]
fn tab_walks_the_pages_of_a_state() {
    for page in [Page::Loops, Page::Temperatures, Page::Ledger, Page::Margins] {
        check(page);
    }
}

#[test]
fn tab_walks_the_pages_over_time() {
    for page in [Page::Mission, Page::Turnaround, Page::Failures] {
        check(page);
    }
}

#[test]
fn tab_walks_the_pages_of_machines() {
    for page in [Page::Machines, Page::Pack, Page::Trades] {
        check(page);
    }
}

/// The least that is a project: a day and a point at which nothing happens.
const NOTHING: &str = r#"Project(format: "heatledger", version: 1, name: "nothing yet",
    conditions: [Condition(name: "day", day: Standard)], points: [Point(name: "rest")],
    cases: [CaseGroup(conditions: ["day"], points: ["rest"])])"#;

fn press(harness: &mut Desk, key: Key) {
    harness.key_press(key);
    harness.run_steps(2);
}

fn tab_to(harness: &mut Desk, role: Role, label: &str) {
    for _ in 0..120 {
        let found = harness.query_by_role_and_label(role, label);
        if found.is_some_and(|node| node.is_focused()) {
            return;
        }
        press(harness, Key::Tab);
    }
    panic!("Tab never came to {label}");
}

fn wait(harness: &mut Desk, until: impl Fn(&Window) -> bool) {
    let start = std::time::Instant::now();
    while !until(harness.state()) {
        harness.run_steps(2);
        assert!(start.elapsed().as_secs() < 120, "it never came");
        std::thread::yield_now();
    }
    harness.run_steps(2);
}

/// Every page of an empty project says what to do next; from there two loops are made, solved, changed and taken back without a pointer.
#[test]
fn from_nothing_to_a_solved_aircraft_of_two_loops_by_keys_alone() {
    let mut harness: Desk = Harness::builder().with_size(Vec2::from(SIZE)).build_eframe(|context| {
        let nothing = Snapshot::from_bytes(NOTHING.as_bytes()).expect("an empty project is a project").0;
        let start = Opening {
            page: Page::Loops,
            origin: Origin::Untitled("nothing".into()),
            ..Opening::new(nothing)
        };
        Window::new(&context.egui_ctx, start).expect("threads can be started")
    });
    wait(&mut harness, Window::is_complete);
    let keys =
        [Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8, Key::Num9, Key::Num1];
    for key in keys {
        harness.key_press_modifiers(Modifiers::COMMAND, key);
        harness.run_steps(2);
        wait(&mut harness, Window::is_complete);
        harness.run_steps(2);
        harness.get_by_role_and_label(Role::Button, "New aircraft…");
    }
    tab_to(&mut harness, Role::Button, "New aircraft…");
    press(&mut harness, Key::Space);
    harness.run_steps(3);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, "Name").type_text("From nothing");
    harness.run_steps(2);
    for (role, label) in [
        (Role::Button, "direct"),
        (Role::RadioButton, "stator: own loop"),
        (Role::RadioButton, "inverter: own loop"),
        (Role::RadioButton, "pack: air"),
    ] {
        tab_to(&mut harness, role, label);
        press(&mut harness, Key::Space);
    }
    tab_to(&mut harness, Role::Button, "Create project");
    press(&mut harness, Key::Space);
    wait(&mut harness, |window| window.snapshot().name() == "From nothing" && window.is_complete());
    let screen = harness.state().screen();
    let loops =
        screen.strips.iter().filter(|page| page.strip.kind == app::views::loops::StripKind::Loop).count();
    assert_eq!(loops, 2);
    assert!(screen.header.outcome.is_none() && screen.header.worst.is_some(), "every case of it is solved");

    let before = harness.state().snapshot().to_bytes().expect("it can be written");
    tab_to(&mut harness, Role::TextInput, "Whole loop, least flow");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, "Whole loop, least flow").type_text("0.3 L/min");
    harness.run_steps(2);
    press(&mut harness, Key::Enter);
    wait(&mut harness, Window::is_complete);
    assert_ne!(harness.state().snapshot().to_bytes().expect("it can be written"), before);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run_steps(2);
    wait(&mut harness, Window::is_complete);
    assert_eq!(harness.state().snapshot().to_bytes().expect("it can be written"), before);
}

/// Tips are there at the first start, go one by one, all at once, and come back.
#[test]
fn tips_are_dismissed_and_brought_back() {
    let folder = tempfile::tempdir().expect("a folder");
    let state = folder.path().join("state");
    let open = || {
        let files =
            app::files::Settings { state_folder: Some(state.clone()), ..app::files::Settings::default() };
        Harness::builder().with_size(Vec2::from(SIZE)).build_eframe(|context| {
            let start = Opening { files, page: Page::Ledger, ..Opening::new(rig()) };
            Window::new(&context.egui_ctx, start).expect("threads can be started")
        })
    };
    let tip = app::views::tips::tip(Page::Ledger);
    let mut harness: Desk = open();
    crate::files::until_shown(&mut harness, tip);
    harness.get_by_role_and_label(Role::Button, "Got it").click();
    harness.run_steps(3);
    assert!(harness.query_by_label(tip).is_none());
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num2);
    harness.run_steps(3);
    harness.get_by_label(app::views::tips::tip(Page::Temperatures));
    harness.get_by_role_and_label(Role::Button, "Hide all tips").click();
    harness.run_steps(3);
    assert!(harness.query_by_label("Tip").is_none());
    drop(harness);

    let mut harness: Desk = open();
    settle(&mut harness);
    harness.run_steps(3);
    assert!(harness.query_by_label("Tip").is_none(), "the next start knows");
    harness.get_by_role_and_label(Role::Button, "Guide").click();
    harness.run_steps(3);
    harness.get_by_role_and_label(Role::Button, "Show tips").click();
    harness.run_steps(3);
    harness.get_by_label(tip);
}

/// What asks something keeps the keys until it is answered or left; what only tells does not. Everything in it is reached from the top
/// down, and Escape leads back to the page.
#[test]
fn tab_walks_what_stands_over_a_page() {
    use app::{Command, Overlay};
    let overlays = [
        (Overlay::Begin, 640, true),
        (Overlay::Find, 560, true),
        (Overlay::Demos, 560, true),
        (Overlay::Guide, 640, false),
        (Overlay::About, 640, false),
        (Overlay::Keys, 640, false),
        (Overlay::Names, 720, false),
    ];
    for (overlay, width, is_question) in overlays {
        let mut harness = open_sized(Page::Loops, egui::Theme::Light, SIZE);
        let context = harness.ctx.clone();
        harness.state_mut().apply(&context, Command::Open(overlay.clone()));
        harness.run_steps(4);
        let id = egui::Id::unique(("overlay", width));
        let place = context.memory(|memory| memory.area_rect(id)).expect("it is over the page").expand(2.0);
        let mut inside: Vec<Stop> = Vec::new();
        for _ in 0..300 {
            harness.key_press(Key::Tab);
            harness.run_steps(2);
            let Some(stop) = focused(&harness) else { continue };
            if !place.contains_rect(stop.place) {
                assert!(!is_question, "{overlay:?}: {} behind it has the keys", stop.name);
                continue;
            }
            if inside.contains(&stop) {
                break;
            }
            inside.push(stop);
        }
        assert!(!inside.is_empty(), "{overlay:?}: Tab never comes to it");
        let names: Vec<&str> = inside.iter().map(|stop| stop.name.as_str()).collect();
        let ups = (1..inside.len()).filter(|&at| {
            let (from, to) = (inside[at - 1].place, inside[at].place);
            to.top() < from.top() - 6.0 && to.left() < from.right() - 6.0
        });
        assert!(ups.count() <= 1, "{overlay:?}: the keys go back up: {names:?}");
        harness.key_press(Key::Escape);
        harness.run_steps(3);
        harness.key_press(Key::Escape);
        harness.run_steps(3);
        let stays = context.memory(|memory| memory.areas().visible_last_frame(&layer(id)));
        assert!(!stays, "{overlay:?} stays");
    }
}

fn layer(id: egui::Id) -> egui::LayerId {
    egui::LayerId::new(egui::Order::Middle, id)
}

/// The ways to help at the top right are reached as they are read.
#[test]
fn the_helps_of_the_header_follow_in_the_order_of_reading() {
    let stops = walk(Page::Ledger);
    let names: Vec<&str> = stops.iter().map(|stop| stop.name.as_str()).collect();
    let at = |name: &str| names.iter().position(|known| known.ends_with(name)).expect("Tab comes to it");
    let order = ["Find", "Guide", "Keys", "About"].map(at);
    assert!(order.windows(2).all(|pair| pair[1] == pair[0] + 1), "{names:?}");
}

/// What no Tab leads to is reached by Page down.
#[test]
fn page_keys_scroll_what_stands_over_the_page() {
    let mut harness = open_sized(Page::Turnaround, egui::Theme::Light, SIZE);
    let context = harness.ctx.clone();
    harness.state_mut().apply(&context, app::Command::Open(app::Overlay::Keys));
    harness.run_steps(4);
    let top = |harness: &Desk| harness.get_by_label("Close the window").rect().top();
    let before = top(&harness);
    harness.key_press(Key::PageDown);
    harness.run_steps(8);
    assert!(top(&harness) < before - 50.0, "{before} to {}", top(&harness));
}
