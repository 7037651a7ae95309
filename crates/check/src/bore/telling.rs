//! How a bore is told in a finding: names, the first lines of the sum, and whether its member counts as bearing.

use super::hole::{Bit, Bore};
use crate::ctx::Ctx;
use crate::finding::{Finding, Verdict};
use crate::number::thousandths;
use crate::source::Source;
use truefall_model::framing::member::{Bearing, Member, MemberKind};
use truefall_model::framing::space::WallSpace;
use truefall_model::label::Label;
use truefall_model::place::PartId;
use truefall_model::tolerance::{SLACK, near};
use truefall_model::units::Length;

/// A bore with what its finding needs.
#[derive(Clone, Copy)]
pub struct Told<'a> {
    /// Where it was found.
    pub ctx: &'a Ctx<'a>,
    /// The bore.
    pub bore: &'a Bore,
    /// Its member.
    pub member: &'a Member,
}

impl<'a> Told<'a> {
    /// Each passage once, for the members that `of` wants.
    pub fn each(ctx: &'a Ctx<'a>, of: impl Fn(&Member) -> bool) -> Vec<Self> {
        let passages = ctx.facts.passages().into_iter();
        passages
            .filter_map(|bore| Some(Self { ctx, bore, member: ctx.rough_in.framed.member_of(bore.member)? }))
            .filter(|told| of(told.member))
            .collect()
    }

    /// The members that lie face to face with it, itself among them, by number.
    pub fn plies(&self) -> impl Iterator<Item = &'a Member> + use<'a> {
        let (facts, lead) = (self.ctx.facts, self.bore.lead);
        self.ctx.rough_in.framed.members.iter().filter(move |m| facts.plies.lead(m.id) == lead)
    }

    /// The wall it is in.
    pub fn wall(&self) -> Option<&'a WallSpace> {
        self.ctx.rough_in.framed.wall_of(self.member.wall?)
    }

    /// Whether the member must be taken as bearing: it carries load, its wall is an outside one, or nobody said.
    pub fn bears(&self) -> bool {
        self.member.bearing.counts() || self.wall().is_some_and(|w| w.exterior)
    }

    /// Whether it stands doubled.
    pub fn is_doubled(&self) -> bool {
        self.member.plies > 1
    }

    /// Whether bearing was only assumed.
    pub fn bearing_assumed(&self) -> bool {
        self.member.bearing == Bearing::Assumed && !self.wall().is_some_and(|w| w.exterior)
    }

    /// What the hole is for, such as `1-1/2 in pipe`.
    pub fn passes(&self) -> String {
        let part = self.ctx.rough_in.part(self.bore.part);
        let hub = part.pattern().and_then(|pattern| {
            let wide = |i: &usize| pattern.hub_outside(*i).is_some_and(|o| near(o, self.bore.outside));
            (0..pattern.ports.len()).find(wide).map(|i| pattern.ports[i].size)
        });
        format!("{} in {}", hub.unwrap_or_else(|| part.size()), self.bore.through)
    }

    /// The stack or branch.
    pub fn run(&self) -> &'a Label {
        &self.ctx.rough_in.run(self.ctx.rough_in.part(self.bore.part).run).label
    }

    /// The member's kind in a word.
    pub fn kind(&self) -> &'static str {
        kind_word(self.member.kind)
    }

    /// The sum's first lines: depth, hole and what was assumed.
    pub fn lines(&self) -> Vec<String> {
        let Bore { drilled, outside, cut, .. } = self.bore;
        let mut lines = vec![
            format!("{} depth {}", self.kind(), self.member.depth()),
            format!("outside of the {} {}", self.passes(), decimal(*outside)),
        ];
        let how = match drilled.bit {
            Bit::Stated => "as stated in the job",
            Bit::Customary => "the usual bit",
            Bit::Stocked => "the smallest stocked bit it passes",
            Bit::Bare => "no bit is known for it: its bare outside",
        };
        lines.push(format!("hole for {}: {} ({how})", self.passes(), drilled.hole));
        if let Some(refused) = drilled.refused {
            lines.push(format!("the hole of {refused} stated in the job does not pass it"));
        }
        if self.bore.aslant {
            let angle = self.bore.angle.to_degrees();
            lines.push(format!(
                "drilled {angle:.1} degrees out of square, it takes {} of the depth",
                decimal(cut.width)
            ));
        }
        lines
    }

    /// A hole against the most that is allowed, in one line.
    pub fn hole_against(&self, most: Length) -> String {
        let (hole, name) = (self.bore.drilled.hole, &self.member.label);
        let hole = format!("hole of {hole} for {} of {} in {name}", self.passes(), self.run());
        let by = self.bore.cut.width - most;
        if by.to_inches() > SLACK {
            format!("{hole} is over the {} allowed by {}", decimal(most), decimal(by))
        } else {
            format!("{hole} is within the {} allowed", decimal(most))
        }
    }

    /// The lines on what the member carries.
    pub fn bearing_lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        if self.wall().is_some_and(|w| w.exterior) {
            lines.push("exterior wall: counts as bearing".to_owned());
        } else {
            lines.push(match self.member.bearing {
                Bearing::Yes => "bearing".to_owned(),
                Bearing::No => "not bearing".to_owned(),
                Bearing::Assumed => "nobody said whether it bears: assumed bearing".to_owned(),
            });
        }
        if self.is_doubled() {
            lines.push("doubled".to_owned());
        }
        lines
    }

    /// The plies the passage goes through, by number.
    pub fn cut_plies(&self) -> impl Iterator<Item = &'a Member> {
        self.plies().filter(|ply| self.is_cut(ply))
    }

    /// Whether the passage goes through another ply too.
    fn is_cut(&self, ply: &Member) -> bool {
        let shares = |b: &Bore| b.parts.iter().any(|p| self.bore.parts.contains(p));
        self.ctx.facts.bores.iter().any(|b| b.member == ply.id && shares(b))
    }

    /// A finding about the bore, with its place, names and first lines.
    pub fn finding(&self, rule: &'static str, verdict: Verdict, what: String, source: Source) -> Finding {
        Finding::new(rule, verdict, self.bore.placement, what, source)
            .on([&self.member.label, self.run(), self.ctx.label(self.bore.part)])
            .on(self.plies().filter(|ply| ply.id != self.member.id && self.is_cut(ply)).map(|ply| &ply.label))
            .at(self.bore.centre)
            .lines(self.lines())
    }
}

/// How much of a most is over, or left: `over by 0.025`, `under by 0.375`.
pub fn over(by: Length) -> String {
    format!("{} by {}", if by.to_inches() > SLACK { "over" } else { "under" }, decimal(by.abs()))
}

/// How much of a least is missing, or to spare: `short by 0.250`, `to spare 0.375`.
pub fn short(by: Length) -> String {
    if by.to_inches() > SLACK {
        format!("short by {}", decimal(by))
    } else {
        format!("to spare {}", decimal(by.abs()))
    }
}

/// A length in inches to three decimals, for sums that a fraction would round.
pub fn decimal(length: Length) -> String {
    thousandths(length.to_inches())
}

/// The kind of a member in a plain word.
pub fn kind_word(kind: MemberKind) -> &'static str {
    match kind {
        MemberKind::Stud => "stud",
        MemberKind::King => "king stud",
        MemberKind::Jack => "jack stud",
        MemberKind::Cripple => "cripple",
        MemberKind::BottomPlate => "bottom plate",
        MemberKind::TopPlate => "top plate",
        MemberKind::Header => "header",
        MemberKind::Sill => "sill",
        MemberKind::Blocking => "blocking",
        MemberKind::Joist => "joist",
        MemberKind::Rim => "rim",
        MemberKind::IJoist => "I-joist",
        MemberKind::Truss => "truss",
        MemberKind::Beam => "beam",
        MemberKind::Post => "post",
        MemberKind::Brace => "brace",
        MemberKind::Rafter => "rafter",
        MemberKind::Subfloor => "subfloor",
    }
}

/// Whether the rules for studs hold for a member: uprights of a wall, posts excepted.
pub fn is_stud(member: &Member) -> bool {
    member.kind.is_upright() && member.kind != MemberKind::Post
}

/// Whether the rules for solid joists hold for a member; the code holds rafters, beams and headers to the same.
pub fn is_solid_joist(member: &Member) -> bool {
    use MemberKind::{Beam, Header, Joist, Rafter, Rim};
    matches!(member.kind, Joist | Rim | Beam | Header | Rafter)
}

/// What a part is called with its run, such as `T1 of main stack`.
pub fn part_name(ctx: &Ctx<'_>, part: PartId) -> String {
    let run = &ctx.rough_in.run(ctx.rough_in.part(part).run).label;
    format!("{} of {run}", ctx.label(part))
}

/// A share of a whole in percent, such as `40` or `16.67`.
pub fn percent(share: f64) -> String {
    let hundredths = (share * 1e4).round() / 100.0;
    format!("{hundredths}")
}
