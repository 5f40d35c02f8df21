//! Colours and sizes, from one file; the only place that makes a colour.
#![allow(clippy::disallowed_methods, reason = "this is where colours are made")]

use eframe::egui::{self, Color32, Visuals};
use serde::Deserialize;
use strip::Verdict;

/// The file, as built in.
const FILE: &str = include_str!("../../../../assets/tokens.ron");

/// Red, green, blue, alpha.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Deserialize)]
pub struct Colour(u8, u8, u8, u8);

impl Colour {
    /// As the toolkit has it.
    pub fn get(self) -> Color32 {
        Color32::from_rgba_unmultiplied(self.0, self.1, self.2, self.3)
    }
}

/// Everything that gives the window its looks.
#[derive(Clone, PartialEq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tokens {
    /// Least size of what is touched, points.
    pub target: f32,
    /// Size of text.
    pub text: f32,
    /// Size of small text.
    pub small: f32,
    /// Size of headings.
    pub heading: f32,
    /// Width of lines.
    pub line: f32,
    light: Palette,
    dark: Palette,
}

/// One set of colours.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Palette {
    pub paper: Colour,
    pub panel: Colour,
    pub ink: Colour,
    pub faint: Colour,
    pub ground: Colour,
    pub edge: Colour,
    pub edge_hard: Colour,
    pub lane: Colour,
    pub lane_band: Colour,
    pub lane_other: Colour,
    pub slide: Colour,
    pub rock: Colour,
    pub sunk: Colour,
    pub patch: Colour,
    pub tree: Colour,
    pub crown: Colour,
    pub built: Colour,
    pub wire: Colour,
    pub high_ground: Colour,
    pub selected: Colour,
    pub fits: Colour,
    pub tight: Colour,
    pub unknown: Colour,
    pub does_not_fit: Colour,
}

impl Palette {
    /// Colour of a verdict; its word and shape say the same.
    pub fn verdict(&self, verdict: Verdict) -> Color32 {
        match verdict {
            Verdict::Fits => self.fits,
            Verdict::Tight => self.tight,
            Verdict::Unknown => self.unknown,
            Verdict::DoesNotFit => self.does_not_fit,
        }
        .get()
    }
}

impl Tokens {
    /// Reads the built-in file.
    ///
    /// # Errors
    /// The reader's message, were the file damaged when the program was built.
    pub fn load() -> Result<Self, String> {
        ron::from_str(FILE).map_err(|e| format!("tokens: {e}"))
    }

    /// The set for a light or dark window.
    pub fn palette(&self, dark: bool) -> &Palette {
        if dark { &self.dark } else { &self.light }
    }

    /// Gives a whole context these looks.
    pub fn apply(&self, ctx: &egui::Context, dark: bool) {
        let palette = self.palette(dark);
        let mut visuals = if dark { Visuals::dark() } else { Visuals::light() };
        visuals.override_text_color = Some(palette.ink.get());
        visuals.panel_fill = palette.panel.get();
        visuals.window_fill = palette.panel.get();
        visuals.extreme_bg_color = palette.paper.get();
        visuals.selection.stroke.color = palette.selected.get();
        let theme = if dark { egui::Theme::Dark } else { egui::Theme::Light };
        ctx.set_theme(theme);
        ctx.set_visuals_of(theme, visuals);
        ctx.style_mut_of(theme, |style| {
            for (kind, font) in &mut style.text_styles {
                font.size = match kind {
                    egui::TextStyle::Small => self.small,
                    egui::TextStyle::Heading => self.heading,
                    _ => self.text,
                };
            }
            style.spacing.interact_size.y = self.target;
            style.spacing.button_padding = egui::vec2(self.target / 4.0, self.target / 8.0);
            style.spacing.item_spacing = egui::vec2(8.0, 6.0);
            // The longest choice is whole on screen, without scrolling.
            style.spacing.combo_height = 10.0 * self.target;
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance, WCAG 2.2, "relative luminance" definition (from memory).
    fn luminance(c: Colour) -> f64 {
        let part = |v: u8| {
            let v = f64::from(v) / 255.0;
            if v <= 0.040_45 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * part(c.0) + 0.7152 * part(c.1) + 0.0722 * part(c.2)
    }

    #[test]
    fn words_stand_out_from_what_is_behind_them() {
        let tokens = Tokens::load().expect("the built-in file");
        for p in [&tokens.light, &tokens.dark] {
            let words = [p.ink, p.faint, p.fits, p.tight, p.unknown, p.does_not_fit, p.edge, p.edge_hard];
            let things = [p.tree, p.built, p.wire, p.high_ground];
            for word in words.into_iter().chain(things) {
                for behind in [p.paper, p.panel] {
                    let (a, b) = (luminance(word), luminance(behind));
                    let contrast = (a.max(b) + 0.05) / (a.min(b) + 0.05);
                    assert!(contrast >= 4.5, "{word:?} on {behind:?}: {contrast}");
                }
            }
        }
    }
}
