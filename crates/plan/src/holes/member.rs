//! One hole or notch in one member.

use super::order::{Drop, Step};
use super::write;
use crate::site::Site;
use nalgebra::Point3;
use truefall_check::bore::telling::Told;
use truefall_check::bore::{Bit, Bore, Shape, Side};
use truefall_check::rules::wood::{shield_plate_missing, top_plate_cut};
use truefall_check::{Ctx, Verdict};
use truefall_model::framing::member::{Member, MemberId, MemberKind};
use truefall_model::job::Placement;
use truefall_model::label::Label;
use truefall_model::units::Length;

/// What a hole's place is counted from.
#[derive(Debug, Clone, PartialEq)]
pub enum Datum {
    /// Up from the rough surface of a floor.
    Floor(Label),
    /// Along a wall from the end it is drawn from.
    Wall(Label),
    /// Along the member from its first end: the one of least x and y.
    End,
}

/// A plate on one side.
#[derive(Debug, Clone, PartialEq)]
pub struct Needed {
    /// Which side, such as `back`.
    pub side: &'static str,
    /// The job provides it.
    pub provided: bool,
}

/// The same hole in the other placement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Other {
    /// How much farther from the datum.
    pub at: Length,
    /// How much farther from the member's low face.
    pub across: Length,
}

/// One hole or notch in one member.
#[derive(Debug, Clone, PartialEq)]
pub struct MemberHole {
    /// Its number, from 1, in the order to drill.
    pub number: usize,
    /// The member.
    pub member: MemberId,
    /// Its name.
    pub label: Label,
    /// What it is.
    pub kind: MemberKind,
    /// The diameter drilled.
    pub hole: Length,
    /// How that is known.
    pub bit: Bit,
    /// The stack or branch.
    pub run: Label,
    /// What goes through, such as `1-1/2 in pipe`.
    pub passes: String,
    /// Where its axis crosses the middle of the member's thickness, job axes.
    pub centre: Point3<f64>,
    /// What `at` is counted from.
    pub datum: Datum,
    /// The centre's distance from the datum, unrounded.
    pub at: Length,
    /// The centre over the member's low face: a joist's bottom, the back of a stud or plate.
    pub across: Length,
    /// Depth of the member.
    pub depth: Length,
    /// What the low and the high face are called.
    pub sides: [&'static str; 2],
    /// Wood left towards them; below zero by how far the hole breaks through.
    pub left: [Length; 2],
    /// What the cut is: a hole, a notch, or all of the member.
    pub shape: Shape,
    /// Degrees between the hole and the square way through, where it is drilled so.
    pub aslant_degrees: Option<f64>,
    /// When it is drilled.
    pub step: Step,
    /// Where it lies on its length's fall; none for what goes up and down.
    pub drop: Option<Drop>,
    /// What the rules have against it, gravest first.
    pub told: Vec<(Verdict, &'static str)>,
    /// Plates called for.
    pub plates: Vec<Needed>,
    /// A tie across a cut plate: called for, and whether it is provided.
    pub strap: Option<bool>,
    /// Another ply's hole of the same passage stands for its plates and straps.
    pub with_other_ply: bool,
    /// Where the other placement has it; none where it is not drilled there.
    pub other: Option<Other>,
    /// What to pencil on the member.
    pub write: String,
}

impl MemberHole {
    /// What the rules come to: the gravest of what is told against it, a pass where nothing is.
    pub fn verdict(&self) -> Verdict {
        self.told.first().map_or(Verdict::Pass, |(verdict, _)| *verdict)
    }

    /// Of a bore; number, step and drop come with the order.
    pub(super) fn of(site: &Site<'_>, ctx: &Ctx<'_>, bore: &Bore, member: &Member) -> Self {
        let told = Told { ctx, bore, member };
        let (datum, at) = datum(site, member, bore);
        let sides = [Side::Low, Side::High].map(|side| shield_plate_missing::side_word(&told, side));
        let plates = shield_plate_missing::shields(&told)
            .into_iter()
            .map(|(side, provided)| Needed { side: shield_plate_missing::side_word(&told, side), provided })
            .collect();
        let with_other_ply =
            !ctx.facts.passages().iter().any(|kept| kept.member == bore.member && kept.parts == bore.parts);
        let other = twin(site, bore).map(|twin| Other {
            at: self::datum(site, member, twin).1 - at,
            across: twin.across - bore.across,
        });
        let mut hole = Self {
            number: 0,
            member: member.id,
            label: member.label.clone(),
            kind: member.kind,
            hole: bore.drilled.hole,
            bit: bore.drilled.bit,
            run: told.run().clone(),
            passes: told.passes(),
            centre: bore.centre,
            datum,
            at,
            across: bore.across,
            depth: bore.cut.member_depth,
            sides,
            left: [bore.cut.low, bore.cut.high],
            shape: bore.cut.shape,
            aslant_degrees: bore.aslant.then(|| bore.angle.to_degrees()),
            step: Step::Alone,
            drop: None,
            told: told_of(site, bore, member),
            plates,
            strap: top_plate_cut::tie_at(&told),
            with_other_ply,
            other,
            write: String::new(),
        };
        hole.write = write::line(&hole);
        hole
    }
}

/// The same passage through the same member in the placement that is not built to.
pub(super) fn twin<'s>(site: &'s Site<'_>, bore: &Bore) -> Option<&'s Bore> {
    let other = match bore.placement {
        Placement::Drawn => Placement::Found,
        Placement::Found => Placement::Drawn,
    };
    let bores = &site.facts_of(other).bores;
    bores.iter().find(|b| b.member == bore.member && b.parts.iter().any(|p| bore.parts.contains(p)))
}

fn datum(site: &Site<'_>, member: &Member, bore: &Bore) -> (Datum, Length) {
    let framed = &site.rough_in.framed;
    let floor = member.floor.and_then(|id| framed.floor_of(id));
    let wall = member.wall.and_then(|id| framed.wall_of(id));
    match (floor, wall) {
        (Some(floor), _) if member.kind.is_upright() => {
            (Datum::Floor(floor.label.clone()), Length::inches(bore.centre.z - floor.rough_z))
        }
        (_, Some(wall)) => {
            (Datum::Wall(wall.label.clone()), Length::inches(wall.measure(bore.centre.xy()).0))
        }
        _ => (Datum::End, bore.along),
    }
}

/// What the rules tell of a member and a part in the bore, in the placement it is drilled in.
fn told_of(site: &Site<'_>, bore: &Bore, member: &Member) -> Vec<(Verdict, &'static str)> {
    let labels: Vec<&Label> = bore.parts.iter().map(|p| &site.rough_in.part(*p).label).collect();
    let mut told: Vec<(Verdict, &'static str)> = site
        .findings
        .iter()
        .filter(|f| f.in_both || f.placement == bore.placement)
        .filter(|f| f.labels.contains(&member.label) && labels.iter().any(|l| f.labels.contains(l)))
        .map(|f| (f.verdict, f.rule))
        .collect();
    told.sort();
    told.dedup();
    told
}
