//! The bar at the top: files, steps back and forward, tools, units, light or dark. Each button has a
//! key as well.

use super::below::Picture;
use super::desk::{Command, Tool};
use super::document::Document;
use eframe::egui::text_edit::TextEditState;
use eframe::egui::{Button, Context, Key, KeyboardShortcut, Memory, Modifiers, TextWrapMode, Ui};
use measure::shown::Units;

/// What the bar has to know.
pub struct BarState<'a> {
    /// The open document.
    pub document: Option<&'a Document>,
    /// The tool in hand.
    pub tool: Tool,
    /// The units shown.
    pub units: Units,
    /// Whether the window is dark.
    pub dark: bool,
}

const fn ctrl(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND, key)
}

const fn ctrl_shift(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), key)
}

/// Draws the bar.
pub fn bar_ui(ui: &mut Ui, state: &BarState, out: &mut Vec<Command>) {
    let open = state.document.is_some();
    let button = |ui: &mut Ui, enabled: bool, name: &str, key: &str| {
        ui.add_enabled(enabled, Button::new(name)).on_hover_text(key).clicked()
    };
    ui.horizontal_wrapped(|ui| {
        // A narrow window puts whole buttons on a second row rather than words.
        ui.style_mut().wrap_mode = Some(TextWrapMode::Extend);
        let files: [(bool, &str, &str, Command); 6] = [
            (true, "New", "Ctrl+N", Command::New),
            (true, "Open", "Ctrl+O", Command::Open),
            (open, "Save", "Ctrl+S", Command::Save),
            (open, "Save as", "Ctrl+Shift+S", Command::SaveAs),
            (state.document.is_some_and(Document::can_undo), "Undo", "Ctrl+Z", Command::Undo),
            (state.document.is_some_and(Document::can_redo), "Redo", "Ctrl+Y", Command::Redo),
        ];
        for (enabled, name, key, command) in files {
            if button(ui, enabled, name, key) {
                out.push(command);
            }
        }
        ui.separator();
        let tools = [
            (Tool::Choose, "Choose and move"),
            (Tool::Rock, "Mark a rock here"),
            (Tool::SoftPatch, "Mark soft ground here"),
            (Tool::Corner, "Catch a corner here"),
        ];
        for (tool, name) in tools {
            if ui.add_enabled(open, Button::selectable(state.tool == tool, name)).clicked() {
                out.push(Command::Take(tool));
            }
        }
        ui.separator();
        let metric = state.units == Units::METRIC;
        if ui.button(if metric { "Units: metres" } else { "Units: feet" }).clicked() {
            out.push(Command::Units(if metric { Units::FEET } else { Units::METRIC }));
        }
        if ui.button(if state.dark { "Light" } else { "Dark" }).clicked() {
            out.push(Command::Dark(!state.dark));
        }
    });
}

/// Keys that work everywhere.
pub fn shortcuts(ctx: &Context, open: bool, out: &mut Vec<Command>) {
    let mut on = |shortcut: KeyboardShortcut, command: Command, allowed: bool| {
        if ctx.input_mut(|i| i.consume_shortcut(&shortcut)) && allowed {
            out.push(command);
        }
    };
    // The longer ones first: Ctrl+S is also part of Ctrl+Shift+S.
    on(ctrl_shift(Key::S), Command::SaveAs, open);
    on(ctrl(Key::S), Command::Save, open);
    on(ctrl(Key::O), Command::Open, true);
    on(ctrl(Key::N), Command::New, true);
    on(ctrl(Key::Num1), Command::Below(Picture::Section), open);
    on(ctrl(Key::Num2), Command::Below(Picture::ByHeading), open);
    on(ctrl(Key::Num3), Command::Below(Picture::Slides), open);
    on(ctrl(Key::Num4), Command::Below(Picture::WayIn), open);
    // While words are typed, stepping back is the field's own.
    let typing = ctx.memory(Memory::focused).is_some_and(|id| TextEditState::load(ctx, id).is_some());
    if !typing {
        on(ctrl(Key::Y), Command::Redo, open);
        on(ctrl(Key::Z), Command::Undo, open);
    }
}
