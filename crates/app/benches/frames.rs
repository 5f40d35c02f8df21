//! Times of frames while one of 500 hazards is dragged: the window run and its shapes cut into triangles,
//! without a renderer. Percentiles, not means: what a person feels is the slow frame.
//!
//! Run: `cargo bench -p app`

#![allow(missing_docs, clippy::expect_used, clippy::print_stdout, reason = "a bench, not a library")]

#[path = "../../../tests/src/rocks.rs"]
#[allow(dead_code, reason = "records are made here, not what is searched")]
mod rocks;

use app::inputs::{Records, Sources};
use app::window::App;
use eframe::egui::{Context, Event, Modifiers, PointerButton, Pos2, RawInput, Rect, vec2};
use ground::Point;
use measure::shown::Units;
use rocks::{CORNER_SIGMA, HEIGHT_SIGMA, ROCK_SIGMA, SIZE, rocks as strewn};
use std::path::Path;
use std::time::{Duration, Instant};
use strip::record::{
    CornerRecord, EdgeRecord, HazardKindRecord, HazardRecord, HazardStateRecord, OutlineRecord, PlaceRecord,
};

const HAZARDS: usize = 500;
const FRAMES: usize = 600;

/// Which of them is dragged.
const DRAGGED: usize = HAZARDS / 2;

/// Sixty frames a second, as a screen draws them.
const BETWEEN: Duration = Duration::from_millis(16);

fn main() {
    // Asked only whether it can be built and run.
    if std::env::args().any(|a| a == "--test") {
        return;
    }
    let records = field_of_rocks();
    let PlaceRecord::Point(x, y) = records.strip.record.hazards[DRAGGED].at else { return };
    let mut screen = Screen::new(records);
    let began = Instant::now();
    while screen.app.answer().is_none() {
        screen.frame(Vec::new());
        std::thread::sleep(BETWEEN);
    }
    println!("{HAZARDS} hazards: first full answer after {:.2} s", began.elapsed().as_secs_f64());
    let from = screen.app.screen_from_field(Point { x, y }).expect("the rock was drawn");
    let press = Event::PointerButton {
        pos: from,
        button: PointerButton::Primary,
        pressed: true,
        modifiers: Modifiers::default(),
    };
    screen.frame(vec![Event::PointerMoved(from)]);
    screen.frame(vec![press]);
    let revision = |screen: &Screen| screen.app.document().map_or(0, app::window::Document::revision);
    let before = revision(&screen);
    let mut times: Vec<f64> = (0..FRAMES).map(|i| screen.dragged_to(from, i)).collect();
    let edits = revision(&screen) - before;
    times.sort_by(f64::total_cmp);
    let at = |share: f64| times[(share * (FRAMES - 1) as f64) as usize];
    println!(
        "{FRAMES} frames, {edits} of them moved the rock: median {:.2} ms, 90 % {:.2} ms, 99 % {:.2} ms, slowest {:.2} ms",
        at(0.5),
        at(0.9),
        at(0.99),
        at(1.0)
    );
}

struct Screen {
    ctx: Context,
    app: App,
    began: Instant,
}

impl Screen {
    fn new(records: Records) -> Self {
        let ctx = Context::default();
        let app = App::new(&ctx, Some(records), Units::METRIC).expect("a window");
        Self { ctx, app, began: Instant::now() }
    }

    /// Runs a frame and says how long it took, milliseconds.
    fn frame(&mut self, events: Vec<Event>) -> f64 {
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(1280.0, 860.0))),
            time: Some(self.began.elapsed().as_secs_f64()),
            events,
            ..RawInput::default()
        };
        let start = Instant::now();
        let out = self.ctx.run_ui(input, |ui| {
            self.app.before_frame(ui.ctx());
            self.app.frame_ui(ui);
        });
        let _ = std::hint::black_box(self.ctx.tessellate(out.shapes, out.pixels_per_point));
        start.elapsed().as_secs_f64() * 1e3
    }

    /// The rock carried round a circle, a little each frame.
    fn dragged_to(&mut self, from: Pos2, i: usize) -> f64 {
        let (sin, cos) = (i as f32 * 0.05).sin_cos();
        let began = Instant::now();
        let time = self.frame(vec![Event::PointerMoved(from + vec2(30.0 * cos - 30.0, 30.0 * sin))]);
        std::thread::sleep(BETWEEN.saturating_sub(began.elapsed()));
        time
    }
}

fn field_of_rocks() -> Records {
    let strip = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sample-strips/cobblesea-moor.strip.ron");
    let mut records = Records::read(&Sources { strip, ..Sources::default() }).expect("a sample");
    let record = &mut records.strip.record;
    let corner = |e, n| CornerRecord { e, n, sigma_m: Some(CORNER_SIGMA) };
    let (east, north) = SIZE;
    record.outline = OutlineRecord {
        corners: vec![corner(0.0, 0.0), corner(east, 0.0), corner(east, north), corner(0.0, north)],
        edges: vec![EdgeRecord::Open; 4],
        islands: Vec::new(),
    };
    record.patches.clear();
    let hazard = |(i, ((x, y), radius, height)): (usize, rocks::Rock)| HazardRecord {
        id: format!("r{}", i + 1),
        kind: HazardKindRecord::Rock,
        at: PlaceRecord::Point(x, y),
        radius_m: radius,
        height_m: Some(height),
        depth_m: None,
        pos_sigma_m: Some(ROCK_SIGMA),
        height_sigma_m: Some(HEIGHT_SIGMA),
        state: HazardStateRecord::Present,
    };
    record.hazards = strewn(HAZARDS).into_iter().enumerate().map(hazard).collect();
    records
}
