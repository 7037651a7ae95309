//! Every colour and size of the viewer. Pipes have the colours of their materials; tags are paper.

use bevy::color::Color;
use bevy_egui::egui::{self, Color32};
use truefall_check::Verdict;
use truefall_model::catalog::material::Material;
use truefall_model::framing::member::MemberKind;

/// Behind everything: an overcast sky, easy on a bright site.
pub(crate) const SKY: Color = Color::srgb(0.88, 0.90, 0.91);
/// Bare ground under the house.
pub(crate) const GROUND: Color = Color::srgb(0.74, 0.72, 0.68);
/// Glazed ware of fixtures.
pub(crate) const WARE: Color = Color::srgb(0.95, 0.96, 0.96);
/// Plates and straps.
pub(crate) const STEEL: Color = Color::srgb(0.62, 0.65, 0.69);
/// A part that is picked.
pub(crate) const PICKED: Color = Color::srgb(0.95, 0.55, 0.10);
/// The drawn placement beside the found one.
pub(crate) const GHOST: Color = Color::srgba(0.25, 0.45, 0.75, 0.30);
/// Finishes.
pub(crate) const BOARD: Color = Color::srgb(0.93, 0.91, 0.87);
/// Floors that are laid.
pub(crate) const FLOORING: Color = Color::srgb(0.72, 0.66, 0.58);
/// Keep-outs.
pub(crate) const TAKEN: Color = Color::srgba(0.45, 0.55, 0.62, 0.35);
/// The band no screw may enter.
pub(crate) const BAND: Color = Color::srgba(0.80, 0.15, 0.10, 0.35);

/// Ink on paper.
pub(crate) const INK: Color32 = Color32::from_rgb(32, 30, 28);
/// Ink on a red tag.
pub(crate) const PALE: Color32 = Color32::from_rgb(255, 250, 240);
/// The string a tag hangs on, and dimension lines.
pub(crate) const STRING: Color32 = Color32::from_rgb(70, 60, 50);
/// Paper of notes and captions.
pub(crate) const PAPER: Color32 = Color32::from_rgb(250, 246, 236);
/// What was measured.
pub(crate) const CHALK: Color32 = Color32::from_rgb(20, 70, 150);

/// Paper and ink for all panels: dark on light, which a bright site leaves readable, and rows that a finger can hit.
pub(crate) fn paper_style(ctx: &egui::Context) {
    ctx.set_theme(egui::Theme::Light);
    ctx.all_styles_mut(|style| {
        let visuals = &mut style.visuals;
        visuals.override_text_color = Some(INK);
        visuals.panel_fill = PAPER;
        visuals.window_fill = PAPER;
        visuals.faint_bg_color = Color32::from_rgb(240, 233, 216);
        visuals.extreme_bg_color = Color32::from_rgb(255, 253, 247);
        visuals.selection.bg_fill = Color32::from_rgb(244, 196, 128);
        visuals.selection.stroke.color = INK;
        for widget in
            [&mut visuals.widgets.inactive, &mut visuals.widgets.hovered, &mut visuals.widgets.active]
        {
            widget.weak_bg_fill = Color32::from_rgb(228, 218, 196);
            widget.bg_fill = Color32::from_rgb(214, 201, 172);
            widget.fg_stroke.color = INK;
        }
        visuals.widgets.hovered.weak_bg_fill = Color32::from_rgb(240, 214, 170);
        style.spacing.interact_size.y = 26.0;
        style.spacing.item_spacing = egui::vec2(8.0, 5.0);
        style.spacing.button_padding = egui::vec2(8.0, 3.0);
        for font in style.text_styles.values_mut() {
            font.size += 1.0;
        }
    });
}

/// Paper of a tag.
pub(crate) fn paper(verdict: Verdict) -> Color32 {
    match verdict {
        Verdict::RedTag => Color32::from_rgb(190, 38, 30),
        Verdict::Ask => Color32::from_rgb(236, 201, 120),
        Verdict::Watch => Color32::from_rgb(240, 230, 200),
        Verdict::NotChecked => Color32::from_rgb(205, 205, 200),
        Verdict::Pass => Color32::from_rgb(190, 215, 185),
    }
}

/// Ink that reads on that paper.
pub(crate) fn ink(verdict: Verdict) -> Color32 {
    if verdict == Verdict::RedTag { PALE } else { INK }
}

/// What pipe looks like, its roughness and whether it is metal.
pub(crate) fn pipe(material: Material) -> (Color, f32, f32) {
    match material {
        Material::Pvc | Material::PvcThin => (Color::srgb(0.94, 0.94, 0.92), 0.35, 0.0),
        Material::Abs => (Color::srgb(0.07, 0.07, 0.08), 0.40, 0.0),
        Material::Iron | Material::IronHubless => (Color::srgb(0.16, 0.15, 0.15), 0.75, 0.2),
        Material::CopperDwv | Material::Copper => (Color::srgb(0.72, 0.43, 0.26), 0.35, 0.6),
        Material::Pex => (Color::srgb(0.86, 0.86, 0.82), 0.5, 0.0),
    }
}

/// Sides of lumber; its end grain is lighter.
pub(crate) fn lumber(kind: MemberKind) -> Color {
    match kind {
        MemberKind::Joist | MemberKind::Rim | MemberKind::IJoist | MemberKind::Truss => {
            Color::srgb(0.78, 0.60, 0.38)
        }
        MemberKind::Beam | MemberKind::Post | MemberKind::Header => Color::srgb(0.70, 0.51, 0.31),
        MemberKind::Subfloor => Color::srgb(0.80, 0.68, 0.48),
        MemberKind::BottomPlate | MemberKind::TopPlate | MemberKind::Sill => Color::srgb(0.83, 0.69, 0.47),
        _ => Color::srgb(0.88, 0.75, 0.53),
    }
}

/// A bore's ring by the wood left at its edge, inches: none, little, enough. The limits themselves are the rules'.
pub(crate) fn ring(least_edge_in: f64, told: bool) -> Color {
    if told {
        Color::srgb(0.78, 0.12, 0.10)
    } else if least_edge_in < 0.75 {
        Color::srgb(0.88, 0.62, 0.12)
    } else {
        Color::srgb(0.24, 0.50, 0.28)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance and contrast as WCAG 2.2 defines them.
    fn contrast(a: Color32, b: Color32) -> f64 {
        let luminance = |c: Color32| {
            let linear = |v: u8| {
                let v = f64::from(v) / 255.0;
                if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
            };
            0.2126 * linear(c.r()) + 0.7152 * linear(c.g()) + 0.0722 * linear(c.b())
        };
        let (x, y) = (luminance(a), luminance(b));
        (x.max(y) + 0.05) / (x.min(y) + 0.05)
    }

    // WCAG 2.2, success criterion 1.4.3: at least 4.5 for text; 21 is black on white.
    #[test]
    fn text_is_readable_on_its_paper() {
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
        for (ink, paper) in [(INK, PAPER), (CHALK, PAPER)] {
            assert!(contrast(ink, paper) >= 4.5);
        }
        for verdict in Verdict::ALL {
            assert!(contrast(ink(verdict), paper(verdict)) >= 4.5, "{verdict}");
        }
        assert!(contrast(paper(Verdict::RedTag), PAPER) >= 4.5, "the error over a broken file");
    }
}
