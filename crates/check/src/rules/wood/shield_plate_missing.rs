//! Pipe in wood so near its edge that a nail finds it, and no plate over it.

use crate::bore::telling::{Told, decimal, short};
use crate::bore::{Bore, Side};
use crate::code::Figure;
use crate::ctx::Ctx;
use crate::cure::{Cure, height_off_floor, provide};
use crate::finding::{Finding, Limit, Verdict};
use crate::rule::rule;
use truefall_model::catalog::material::Material;
use truefall_model::framing::member::MemberKind;
use truefall_model::framing::provided::{MemberFace, Provided};
use truefall_model::tolerance::at_least;
use truefall_model::units::Length;

rule! {
    /// # What it checks
    /// The wood between the edge of a hole or notch and each edge of its stud, plate or joist, and whether a steel plate is
    /// provided on each side where that is less than the code's cover.
    ///
    /// # Why
    /// A screw for the wall board or a cabinet goes that deep, and a hole in a drain shows months later.
    ///
    /// # Source
    /// IRC P2603.2.1. The distance was 1-1/2 in before the 2015 edition and differs in other codes. Only the UPC says how far
    /// along the member a plate reaches past the pipe.
    ///
    /// # Limits
    /// Measured from the edge of the hole, which is the careful reading; the text speaks of the pipe. Iron is exempt. A plate
    /// stated without a height covers every hole of its member; one with a height, those it stands before. Which extent a
    /// plate has is not checked: it covers the pipe, and reaches 2 in above a bottom plate and 2 in below a top plate.
    /// Pipe beside a stud that is not in its wood is not looked at. Of a joist `room` means its top and `back` its bottom.
    ///
    /// # Example
    /// The usual 2-9/16 in hole for a 2 in pipe in the middle of a 2x4 leaves 0.469 on each side.
    "shield-plate-missing", Wood, Code,
    "pipe near the edge of wood has no steel plate",
    figures: ["shield-cover", "shield-past-plate"],
    finds: ["shield-past-pipe"],
    check,
}

fn check(ctx: &Ctx<'_>, out: &mut Vec<Finding>) {
    let figure = ctx.profile.figure("shield-cover");
    let cover = figure.length();
    for told in Told::each(ctx, |m| is_shielded(m.kind)) {
        if told.bore.parts.iter().all(|p| is_iron(ctx.rough_in.part(*p).material)) {
            continue;
        }
        let bare: Vec<(Side, Length)> =
            near_edges(&told, cover).filter(|(side, _)| !is_plated(&told, *side)).collect();
        let Some(least) = bare.iter().map(|(_, left)| *left).reduce(Length::min) else {
            out.extend(deep_enough(&told, figure));
            continue;
        };
        let sides: Vec<&str> = bare.iter().map(|(side, _)| side_word(&told, *side)).collect();
        let sides = sides.join(" and the ");
        let at = if least < Length::ZERO {
            format!("is open to the {sides}")
        } else {
            format!("is {} from the {sides}", decimal(least))
        };
        let what = format!(
            "hole for {} of {} {at} of {}, nearer than {cover} needs a steel plate",
            told.passes(),
            told.run(),
            told.member.label
        );
        let mut finding = told.finding(RULE.id, Verdict::RedTag, what, figure.source()).measured(
            least.to_inches(),
            Limit::AtLeast(cover.to_inches()),
            "in",
        );
        for (side, left) in &bare {
            finding =
                finding.line(format!("wood left to the {} {}", side_word(&told, *side), decimal(*left)));
        }
        let past = ctx.profile.figure("shield-past-plate").length();
        let reach = match told.member.kind {
            MemberKind::BottomPlate => format!(", {past} above the plate"),
            MemberKind::TopPlate => format!(", {past} below the plate"),
            _ => String::new(),
        };
        let along = ctx.profile.find("shield-past-pipe").map(Figure::length);
        let along = along.map_or_else(String::new, |past| format!(", {past} past the pipe each way"));
        out.push(
            finding
                .line(format!("needed {}", decimal(cover)))
                .line(short(cover - least))
                .help(format!("nail a steel plate over it on the {sides}{along}{reach}"))
                .cure([plate(&told, &bare, &sides)]),
        );
    }
}

/// The sides on which a plate is called for, each with whether one is provided.
pub fn shields(told: &Told<'_>) -> Vec<(Side, bool)> {
    let iron = told.bore.parts.iter().all(|p| is_iron(told.ctx.rough_in.part(*p).material));
    if iron || !is_shielded(told.member.kind) {
        return Vec::new();
    }
    let cover = told.ctx.profile.figure("shield-cover").length();
    near_edges(told, cover).map(|(side, _)| (side, is_plated(told, side))).collect()
}

/// The sides with less wood left than the cover asked for.
fn near_edges(told: &Told<'_>, cover: Length) -> impl Iterator<Item = (Side, Length)> + use<> {
    let sides = [(Side::Low, told.bore.cut.low), (Side::High, told.bore.cut.high)];
    sides.into_iter().filter(move |(_, left)| !at_least(*left, cover))
}

/// The pass of a hole that is far enough from both edges; one that a plate covers is a pass without a margin.
fn deep_enough(told: &Told<'_>, figure: &Figure) -> Option<Finding> {
    let (least, cover) = (told.bore.cut.least(), figure.length());
    let limit = Limit::AtLeast(cover.to_inches());
    if !limit.allows(least.to_inches()) {
        return None;
    }
    let verdict = told.ctx.verdict(limit.margin(least.to_inches()), 0.0)?;
    let what = format!(
        "hole for {} of {} is {} from the edge of {}, nearer than {cover} would need a steel plate",
        told.passes(),
        told.run(),
        decimal(least),
        told.member.label
    );
    let finding = told.finding(RULE.id, verdict, what, figure.source());
    Some(finding.measured(least.to_inches(), limit, "in").line(short(cover - least)))
}

fn is_shielded(kind: MemberKind) -> bool {
    !matches!(kind, MemberKind::Subfloor | MemberKind::IJoist | MemberKind::Truss)
}

fn is_iron(material: Material) -> bool {
    matches!(material, Material::Iron | Material::IronHubless)
}

/// What a side of a member is called: its back, the room's side, its bottom or top.
pub fn side_word(told: &Told<'_>, side: Side) -> &'static str {
    match (told.member.wall.is_some() && told.member.kind != MemberKind::Header, side) {
        (true, Side::Low) => "back",
        (true, Side::High) => "room's side",
        (false, Side::Low) => "bottom",
        (false, Side::High) => "top",
    }
}

/// A plate over the hole on its bare sides.
fn plate(told: &Told<'_>, bare: &[(Side, Length)], sides: &str) -> Cure {
    let face = match bare {
        [(Side::Low, _)] => MemberFace::Back,
        [(Side::High, _)] => MemberFace::Room,
        _ => MemberFace::Both,
    };
    let member = &told.member.label;
    // A height says where on a stud; on what lies level it says nothing.
    let upright = told.member.kind.is_upright();
    let at = upright.then(|| height_off_floor(told.ctx, told.member, told.bore.centre.z)).flatten();
    let place = at.as_ref().map_or_else(String::new, |at| format!(", {at}"));
    let words =
        format!("nail a steel plate on the {sides} of {member} over the hole for {}{place}", told.run());
    provide(told.ctx, words, [Provided::Plate { member: member.clone(), at, face }])
}

/// Whether a plate covers a side of a bore. On plies that stand together it may be on any of them.
fn is_plated(told: &Told<'_>, side: Side) -> bool {
    let framed = &told.ctx.rough_in.framed;
    told.ctx.job.provided.iter().any(|item| {
        let Provided::Plate { member, at, face } = item else { return false };
        let covers = matches!(
            (face, side),
            (MemberFace::Both, _) | (MemberFace::Room, Side::High) | (MemberFace::Back, Side::Low)
        );
        let before =
            at.as_ref().is_none_or(|at| framed.height(at).is_some_and(|z| stands_before(told.bore, z)));
        covers && before && told.plies().any(|ply| ply.label == *member)
    })
}

/// A plate at a height stands before a bore when its middle is level with some of the hole.
fn stands_before(bore: &Bore, z: f64) -> bool {
    (bore.centre.z - z).abs() <= bore.drilled.hole.to_inches() / 2.0
}
