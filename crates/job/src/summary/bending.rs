//! How it is bent, as it leaves.

use serde::Serialize;

use super::Num;

/// The plan of the bends, or why there is none.
#[derive(Debug, Clone, Serialize)]
pub struct Bend {
    /// Whose tools: "starter", "own", or "own and starter".
    pub tools: &'static str,
    /// Whether the shop has said that these are its tools.
    pub tools_said: bool,
    /// The steps in their order; empty when there is none.
    pub order: Vec<BendStep>,
    /// What each bend asks for with its tools; empty when there is no order.
    pub asks: Vec<BendAsks>,
    /// The nearest that anything comes to anything but what it lies on; absent when nothing comes near.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least_clearance_mm: Option<Num>,
    /// That the finished part stands in itself, so that nothing bends it; absent where it does not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub in_itself: Option<String>,
    /// Why there is no order.
    pub blocked: Vec<BendBlocked>,
    /// Single changes that give an order, the least first, each planned again.
    pub would_do: Vec<String>,
    /// That not all changes were tried; absent where they were, or were not asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_tried: Option<String>,
    /// Radii that come otherwise than drawn; absent when all come as drawn, or the shop's tools are not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub true_radius: Option<super::TrueRadius>,
    /// What to know of each bend that is made by hand, with a saw kerf or without; absent where none is.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub by_hand: Vec<BendByHand>,
}

/// A bend made by hand.
#[derive(Debug, Clone, Serialize)]
pub struct BendByHand {
    /// The bend; of several made in one stroke, all.
    pub bend: String,
    /// Sentences, the first what to do.
    pub says: Vec<String>,
}

/// One step.
#[derive(Debug, Clone, Serialize)]
pub struct BendStep {
    /// From 1.
    pub number: usize,
    /// The bend; of several made in one stroke, all.
    pub bend: String,
    /// The tools, in words.
    pub tool: String,
    /// Length of tool on the bend.
    pub tool_mm: Num,
    /// Bent through after release.
    pub bent_deg: Num,
    /// Left between the legs after release.
    pub between_legs_deg: Num,
    /// Bent through under load; as after release where it is not known how far it springs back, or it is pressed shut.
    pub loaded_deg: Num,
    /// Whether it is known how far it springs back.
    pub springs_known: bool,
    /// The face that is up.
    pub face_up: &'static str,
    /// The panel that goes to the back.
    pub back: String,
    /// Turned over before this step.
    pub flip: bool,
    /// Turned round before this step.
    pub turn: bool,
    /// Tools are changed before this step.
    pub change: bool,
    /// From the middle of the bend to the edge at the gauge, on the blank.
    pub gauge_to_middle_mm: Num,
    /// From the nearer tangent line to the edge at the gauge.
    pub gauge_to_tangent_mm: Num,
    /// Which of the two the card gives: `middle` or `tangent`.
    pub gauge_to: &'static str,
    /// What stands against the gauge.
    pub gauge: &'static str,
    /// By the rule that asks for most; absent where nobody presses or the strength is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub force_n: Option<Num>,
    /// What the hand holds about the bend; below 0 the part lies by itself.
    pub front_heavy_n_mm: Num,
    /// How far the part reaches toward the person.
    pub front_mm: Num,
    /// And toward the back.
    pub back_mm: Num,
    /// Mass of the part; absent where the metal is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mass_kg: Option<Num>,
    /// Where the free hand is, and is not, in words.
    pub hand: String,
    /// The nearest that anything comes; absent when nothing does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clearance_mm: Option<Num>,
    /// What is nearest, in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nearest: Option<String>,
    /// What this step needs, in words.
    pub needs: Vec<String>,
}

/// A bend that cannot be made.
#[derive(Debug, Clone, Serialize)]
pub struct BendBlocked {
    /// The bend.
    pub bend: String,
    /// Bends that are made before it in this case.
    pub after: Vec<String>,
    /// Why, in words.
    pub says: String,
}

/// What a bend asks for with the tools of its step.
#[derive(Debug, Clone, Serialize)]
pub struct BendAsks {
    /// The bend.
    pub bend: String,
    /// Opening of the V; absent without a die.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub opening_mm: Option<Num>,
    /// Least leg over the die, to the outside of the other leg.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least_leg_mm: Option<Num>,
    /// Inside radius that the blank is developed for: as it comes once the tools are said, else as drawn.
    pub radius_mm: Num,
    /// Inside radius that comes with these tools; absent where it is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub comes_mm: Option<Num>,
    /// By the published rules: the least, one in the middle, the most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub force_n: Option<[Num; 3]>,
    /// Of what the machine has and the tools stand, by the rule that asks for most; 1 is all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub force_used: Option<Num>,
    /// How far it opens when it is let go.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub springs_deg: Option<Num>,
    /// Whether the outside may crack.
    pub crack: BendCrack,
    /// All of it in words.
    pub says: String,
}

/// Whether the outside of a bend may crack.
#[derive(Debug, Clone, Serialize)]
pub struct BendCrack {
    /// The radius that comes, or the one drawn where that is not known.
    pub radius_mm: Num,
    /// The least that the metal takes, with what the grain adds; absent where the handbook has no row.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least_mm: Option<Num>,
    /// How the bend lies to the grain: "across", "slanting", "along", "unknown".
    pub grain: &'static str,
    /// Absent where the least is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub likely: Option<bool>,
}
