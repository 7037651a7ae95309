//! What the plumber provides so that cut wood and hung pipe pass: part of the job, so that a need that is met is a
//! pass.

use crate::job::height::Height;
use crate::label::Label;
use crate::units::Length;

choice! {
    /// Which face of a member.
    pub enum MemberFace {
        /// Towards the room.
        Room = "room",
        /// Away from the room.
        Back = "back",
        /// Both.
        Both = "both",
    }
}

variants! {
    /// Something provided; members are named by their labels, such as `north stud 3`.
    pub enum Provided {
        /// A steel plate that shields the pipe in a member.
        Plate {
            /// The member.
            member: Label,
            /// Height of the bore it covers; left out, every bore in that member.
            at: Option<Height>,
            /// Which faces it covers.
            face: MemberFace = MemberFace::Both,
        },
        /// The hole bored for a pipe, where it is not the usual one.
        Hole {
            /// The branch, stack or part that goes through.
            of: Label,
            /// The member; left out, every member it goes through.
            member: Option<Label>,
            /// Diameter of the hole.
            size: Length,
        },
        /// A metal tie across a cut plate.
        Strap {
            /// The plate.
            member: Label,
            /// Middle of the cut along the wall from its `from` corner; left out, every cut in that plate.
            at: Option<Length>,
        },
        /// A hanger or clamp that carries a pipe.
        Hanger {
            /// The branch or stack, or a fitting of it.
            on: Label,
            /// Level distance along the run from where it starts; of a stack, up from its base; of one whose base lies, along
            /// its pipe. Left out, it is at the fitting, or of a whole branch or stack all along as the code asks.
            at: Option<Length>,
            /// The member it is fixed to.
            to: Option<Label>,
        },
        /// Blocking or backing for a pipe or fixture.
        Blocking {
            /// What it holds: a fixture, fitting, branch or stack.
            at: Label,
            /// The wall it is in.
            wall: Option<Label>,
            /// Height of its middle.
            height: Option<Height>,
        },
        /// A second ply beside a stud.
        DoubledStud {
            /// The wall.
            wall: Label,
            /// Near edge of the stud that is doubled, along the wall from its `from` corner.
            along: Length,
        },
        /// A cleanout.
        Cleanout {
            /// The fitting, branch or stack it is at.
            at: Label,
        },
        /// A panel or other way to reach something.
        Access {
            /// The fitting or fixture it gives access to.
            to: Label,
            /// How wide it is the smaller way; not held to the code's least when left out.
            wide: Option<Length>,
        },
    }
}
