//! Things in the air path in the real window: marked, measured, moved, deleted, and what the answer says of them.
#![allow(clippy::expect_used, clippy::panic, reason = "a test ends by panicking")]

mod support;

use app::window::{Action, Panel};
use eframe::egui::{Key, Modifiers, Role};
use egui_kittest::kittest::Queryable as _;
use ground::Point;
use measure::ONE_SIDED_95;
use std::path::PathBuf;
use strip::record::{ObstacleKindRecord, ObstacleRecord, PlaceRecord, StripRecord, SurveyedRecord};
use support::window::{
    Window, click_at, copied, ctrl, drag, edition, on_screen, opened, press, says, settle, type_into, usable,
};
use tempfile::TempDir;

/// The field of a sample with one tree beyond its western end, and whatever else stands about it taken away.
fn one_tree() -> (TempDir, PathBuf) {
    let (folder, strip) = copied("bramblewick-flat");
    let bytes = std::fs::read(&strip).expect("the strip");
    let mut record: StripRecord = strip::text::parse("strip", &bytes).expect("a record");
    record.obstacles = vec![ObstacleRecord {
        id: "t1".to_owned(),
        kind: ObstacleKindRecord::Tree,
        at: PlaceRecord::Point(-120.0, 80.0),
        top_m: Some(11.0),
        height_m: None,
        heights_m: Vec::new(),
        sag_m: None,
        radius_m: 4.0,
        how: None,
        pos_sigma_m: None,
        height_sigma_m: None,
        surveyed: "2026-04-11".to_owned(),
    }];
    strip::file::write(&record, &strip).expect("written");
    (folder, strip)
}

fn plan(window: &mut Window) {
    window.get_by(|n| n.label().is_some_and(|l| l.starts_with("Plan of"))).focus();
    window.run_steps(2);
}

fn key(window: &mut Window, key: Key) {
    window.key_press(key);
    window.run_steps(3);
}

fn last(window: &Window) -> ObstacleRecord {
    edition(window).strip.obstacles.last().expect("an obstacle").clone()
}

/// A point on the line of the best lane, metres from its near end: negative before it.
fn on_line(window: &Window, chainage: f64) -> Point {
    let lane = &window.state().answer().expect("an answer").lanes[0];
    let ([x, y], [u, v]) = (lane.near_end, lane.far_end);
    let share = chainage / lane.length_m;
    Point { x: x + (u - x) * share, y: y + (v - y) * share }
}

/// Top of the second tree over the touchdown of the best lane.
fn top_of_tree(window: &Window) -> f64 {
    let lane = &window.state().answer().expect("an answer").lanes[0];
    let over = lane.approach.clearances.iter().find(|c| c.name == "tree t2").expect("told");
    over.top_m.expect("measured")
}

fn earliest(window: &Window) -> f64 {
    window.state().answer().expect("an answer").lanes[0].earliest_touchdown_m
}

/// Whether the plan has a thing of this name.
fn on_plan(window: &Window, name: &str) -> bool {
    window.query_by_role_and_label(Role::GraphicsObject, name).is_some()
}

#[test]
fn a_tree_marked_by_keyboard_closes_the_way_in_until_its_height_is_given_and_the_height_counts() {
    let (_folder, strip) = one_tree();
    let mut window = opened(&strip);
    let (before, whole, first) = (edition(&window), usable(&window), earliest(&window));
    let at = on_line(&window, -200.0);
    plan(&mut window);
    key(&mut window, Key::T);
    let tree = last(&window);
    assert_eq!((tree.id.as_str(), tree.kind), ("t2", ObstacleKindRecord::Tree));
    assert_eq!((tree.height_m, tree.top_m), (None, None), "nobody measured it");
    assert_eq!(tree.surveyed, "2026-04-11", "the date of the survey of the approaches");
    assert_eq!(window.state().panel(), Panel::Things, "its editor is open");
    assert!(on_plan(&window, "tree t2, not measured"));
    assert!(window.query_by_label("list: tree t2, not measured").is_some(), "and in the list");

    type_into(&mut window, "position accuracy", "40 m");
    type_into(&mut window, "easting", &format!("{:.1} m", at.x));
    type_into(&mut window, "northing", &format!("{:.1} m", at.y));
    settle(&mut window);
    let closed = usable(&window);
    assert!(closed < whole - 50.0, "{closed} with a tree of unknown height, {whole} before");

    press(&mut window, "over the datum");
    type_into(&mut window, "top over the datum", "3 m");
    type_into(&mut window, "height accuracy", "0.2 m");
    settle(&mut window);
    assert_eq!(last(&window).top_m, Some(3.0));
    assert!(says(&window, "list: tree t2, top 3 m over the datum"));
    let (low, reached) = (usable(&window), earliest(&window));
    assert!(low > closed + 1.0, "{low} over 3 m, {closed} while nobody had measured it");
    assert!(reached > first + 1.0, "{reached} over the tree, {first} before");
    // Of the height accuracy 1.645 times counts.
    let lane = &window.state().answer().expect("an answer").lanes[0];
    let over = lane.approach.clearances.iter().find(|c| c.name == "tree t2").expect("told");
    assert!((over.accuracy_m - 0.2 * ONE_SIDED_95).abs() < 1e-9, "{}", over.accuracy_m);
    let asked = "m asked (5.0";
    let sets = format!("the earliest touchdown is reached over it, {} m from the near end", reached.ceil());
    for words in [asked, &sets, "t2 rules lane L1: its earliest touchdown is reached over it"] {
        assert!(says(&window, words), "{words}");
    }

    let top = top_of_tree(&window);
    type_into(&mut window, "top over the datum", "5 m");
    settle(&mut window);
    // The best lane may be another, on ground a little higher or lower.
    let higher = top_of_tree(&window);
    assert!((higher - top - 2.0).abs() < 0.5, "{higher} after, {top} before");

    for _ in 0..7 {
        ctrl(&mut window, Key::Z);
    }
    settle(&mut window);
    assert_eq!(edition(&window), before, "every step has a way back");
    assert!((usable(&window) - whole).abs() < 1e-12);
}

#[test]
fn a_tree_moved_or_deleted_by_hand_was_not_looked_at_there_and_undo_brings_it_back() {
    let (_folder, strip) = one_tree();
    let mut window = opened(&strip);
    let before = edition(&window);
    let tree = "tree t1, top 11 m over the datum";
    assert!(
        window.query_by_role_and_label(Role::GraphicsObject, tree).is_some(),
        "shown though off the field"
    );
    window.get_by_role_and_label(Role::GraphicsObject, tree).focus();
    window.run_steps(2);
    assert!(window.query_by_label("list: tree t1, top 11 m over the datum").is_some());
    key(&mut window, Key::ArrowRight);
    assert_eq!(last(&window).at, PlaceRecord::Point(-119.5, 80.0));
    let survey = |w: &Window| edition(w).strip.survey;
    assert_eq!(survey(&window).approaches, SurveyedRecord::NotLooked);
    assert_ne!(survey(&window).wires, SurveyedRecord::NotLooked);
    assert!(window.state().status().starts_with("Changed by hand: trees"), "{}", window.state().status());
    settle(&mut window);
    assert_eq!(window.state().answer().expect("an answer").verdict, strip::Verdict::Unknown);
    key(&mut window, Key::Delete);
    assert!(edition(&window).strip.obstacles.is_empty());
    ctrl(&mut window, Key::Z);
    ctrl(&mut window, Key::Z);
    assert_eq!(edition(&window), before);

    let (from, to) = (on_screen(&window, -120.0, 80.0), on_screen(&window, -60.0, 40.0));
    drag(&mut window, from, to);
    let PlaceRecord::Point(e, n) = last(&window).at else { panic!("it is a point still") };
    assert!((e + 60.0).abs() < 1.0 && (n - 40.0).abs() < 1.0, "{e} {n}");
    ctrl(&mut window, Key::Z);
    assert_eq!(edition(&window), before, "one step back undoes the whole drag");
    settle(&mut window);
}

#[test]
fn a_wire_is_drawn_support_by_support_and_counts_once_every_support_has_a_height() {
    let (_folder, strip) = one_tree();
    let mut window = opened(&strip);
    let before = edition(&window);
    plan(&mut window);
    key(&mut window, Key::W);
    assert!(window.state().status().contains("next support"), "{}", window.state().status());
    assert!(says(&window, "one support only: it is judged as a pole"));
    plan(&mut window);
    for _ in 0..4 {
        window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowUp);
        window.run_steps(2);
    }
    key(&mut window, Key::L);
    let PlaceRecord::Line(line) = last(&window).at else { panic!("a line") };
    assert_eq!(line.len(), 2);
    assert!((line[1].1 - line[0].1 - 40.0).abs() < 0.02, "{line:?}");

    press(&mut window, "over the ground at each support");
    type_into(&mut window, "height at support 1", "8 m");
    settle(&mut window);
    let top = |w: &Window| w.state().document().expect("open").inputs().strip.obstacles[1].top.clone();
    assert_eq!(top(&window), strip::Top::NotMeasured, "one of two says nothing of the wire");
    type_into(&mut window, "height at support 2", "9.5 m");
    settle(&mut window);
    assert!(matches!(top(&window), strip::Top::AlongWire(_)), "{:?}", top(&window));
    assert!(on_plan(&window, "wire w1, 8 m to 9.5 m high at its supports"));

    // A third support has no height yet, and the wire none with it.
    press(&mut window, "Mark the next supports on the plan");
    let third = on_screen(&window, line[1].0 - 60.0, line[1].1 - 10.0);
    click_at(&mut window, third);
    assert_eq!(top(&window), strip::Top::NotMeasured);
    assert_eq!(last(&window).heights_m, [8.0, 9.5], "what was measured is kept");
    assert!(on_plan(&window, "wire w1, measured at 2 of 3 supports: counts as not measured"));
    let shorter = "Take the last support away (can be undone)";
    window.get_by_label(shorter).scroll_to_me();
    window.run_steps(3);
    press(&mut window, shorter);
    assert!(matches!(top(&window), strip::Top::AlongWire(_)));
    assert_eq!(edition(&window).strip.survey.wires, SurveyedRecord::NotLooked);
    for _ in 0..6 {
        ctrl(&mut window, Key::Z);
    }
    assert_eq!(edition(&window), before);
    settle(&mut window);
}

#[test]
fn a_height_that_cannot_be_is_one_message_and_changes_nothing() {
    let (_folder, strip) = one_tree();
    let mut window = opened(&strip);
    press(&mut window, "Things");
    press(&mut window, "list: tree t1, top 11 m over the datum");
    let before = edition(&window);
    type_into(&mut window, "top over the datum", "tall");
    assert_eq!(edition(&window), before);
    assert_eq!(window.query_all_by_label_contains("found \"tall\"").count(), 1, "the reason is on screen");
    type_into(&mut window, "top over the datum", "5000 m");
    assert_eq!(edition(&window), before);
    let status = window.state().status();
    assert!(status.contains("obstacles[1] (t1).top_m") && status.contains("5000"), "{status}");

    // Told over something else, the old number is not taken over.
    press(&mut window, "over its own ground");
    assert_eq!((last(&window).top_m, last(&window).height_m), (None, None));
    type_into(&mut window, "height over its own ground", "36 ft");
    let height = last(&window).height_m.expect("a height");
    // 36 x 0.3048 m, the definition of the foot.
    assert!((height - 10.9728).abs() < 1e-9, "{height}");
}

#[test]
fn the_editor_of_a_thing_off_the_way_in_says_that_nothing_is_told_of_it() {
    let (_folder, strip) = one_tree();
    let mut window = opened(&strip);
    press(&mut window, "Things");
    press(&mut window, "list: rock r1, 0.25 m high");
    assert!(says(&window, "On the way in to lane L1:"));
    assert!(says(&window, "nothing told: it lies off the way in"), "the rock lies beside the lane");
}

#[test]
fn a_click_on_a_wire_anywhere_chooses_it_and_escape_puts_a_tool_away() {
    let (_folder, strip) = copied("greywether-long-field");
    let mut window = opened(&strip);
    let wire = "list: wire w1, top 8 m over the datum";
    assert!(window.query_by_label(wire).is_none(), "the list is not open yet");
    // A quarter along it, away from its handle in the middle.
    let on_wire = on_screen(&window, -55.0, 20.0);
    click_at(&mut window, on_wire);
    window.run_steps(3);
    assert!(window.query_by_label(wire).is_some(), "chosen, and shown where it is edited");

    let before = edition(&window);
    press(&mut window, "Mark the next supports on the plan");
    key(&mut window, Key::Escape);
    let beside = on_screen(&window, 300.0, 260.0);
    click_at(&mut window, beside);
    window.run_steps(3);
    assert_eq!(edition(&window), before, "nothing in hand, nothing marked");
}

#[test]
fn a_field_without_any_date_asks_for_one_before_a_tree_is_marked() {
    let (_folder, strip) = one_tree();
    let mut bare = edition(&opened(&strip));
    bare.day = None;
    let survey = &mut bare.strip.survey;
    for looked in [
        &mut survey.outline,
        &mut survey.hazards,
        &mut survey.ground,
        &mut survey.levels,
        &mut survey.approaches,
        &mut survey.wires,
        &mut survey.drains,
    ] {
        *looked = SurveyedRecord::NotLooked;
    }
    let tree = Action::MarkObstacle(ObstacleKindRecord::Tree, Point { x: 1.0, y: 2.0 });
    assert_eq!(bare.after(&tree), bare, "nobody said when");
    bare.strip.survey.ground = SurveyedRecord::Looked {
        on: "2026-04-09".to_owned(),
        by: "X".to_owned(),
        how: None,
        spacing_m: None,
        grass_m: None,
    };
    let marked = bare.after(&tree);
    assert_eq!(marked.strip.obstacles.last().expect("the tree").surveyed, "2026-04-09");
    marked.inputs().expect("a valid record");
}

#[test]
fn an_action_on_an_obstacle_that_is_gone_changes_nothing() {
    let (_folder, strip) = one_tree();
    let before = edition(&opened(&strip));
    let tree = before.strip.obstacles[0].clone();
    for action in [
        Action::DeleteObstacle(9),
        Action::MoveObstacle(9, Point { x: 0.0, y: 0.0 }),
        Action::MoveObstacle(0, Point { x: -120.0, y: 80.0 }),
        Action::DrawOnObstacle(0, Point { x: 0.0, y: 0.0 }),
        Action::ShortenObstacle(0),
        Action::SetObstacle(9, Box::new(tree)),
    ] {
        assert_eq!(before.after(&action), before, "{action:?}");
    }
}

#[test]
fn a_building_is_chosen_in_the_list_of_kinds_and_marked_with_a_click() {
    let (_folder, strip) = copied("otterhollow-shelf");
    let mut window = opened(&strip);
    let before = edition(&window);
    press(&mut window, "Things");
    window.get_by_role_and_label(Role::ComboBox, "mark something tall").click();
    window.run_steps(3);
    press(&mut window, "building");
    assert!(window.state().status().starts_with("Click on the plan where the building is"));
    let beside = on_screen(&window, -60.0, 150.0);
    click_at(&mut window, beside);
    window.run_steps(3);
    let building = last(&window);
    assert_eq!((building.id.as_str(), building.kind), ("b1", ObstacleKindRecord::Building));
    let PlaceRecord::Point(e, n) = building.at else { panic!("a point") };
    assert!((e + 60.0).abs() < 1.0 && (n - 150.0).abs() < 1.0, "{e} {n}");
    assert!(on_plan(&window, "building b1, not measured"));

    // Its kind is a choice as well, and the height belongs to what it was given over.
    press(&mut window, "over its own ground");
    type_into(&mut window, "height over its own ground", "6 m");
    assert!(on_plan(&window, "building b1, 6 m high"));
    press(&mut window, "not measured");
    assert!(on_plan(&window, "building b1, not measured"), "the height is gone, and can be undone");
    ctrl(&mut window, Key::Z);
    assert!(on_plan(&window, "building b1, 6 m high"));
    ctrl(&mut window, Key::Z);
    ctrl(&mut window, Key::Z);
    assert_eq!(edition(&window), before);
    settle(&mut window);
}
