//! How it is cut, as it leaves.

use serde::Serialize;

use super::Num;

/// The plan of the cut.
#[derive(Debug, Clone, Serialize)]
pub struct Cut {
    /// The way of cutting.
    pub process: &'static str,
    /// The sheet that it is cut from.
    pub sheet: CutSheetRow,
    /// How many parts.
    pub parts: usize,
    /// Where each lies.
    pub placed: Vec<CutPlaced>,
    /// Material of the parts over material of the sheet.
    pub of_sheet: Num,
    /// Width of the cut.
    pub kerf_mm: Num,
    /// Its standard uncertainty.
    pub kerf_sd_mm: Num,
    /// How it is known.
    pub kerf_from: String,
    /// Feed.
    pub feed_mm_min: Num,
    /// Where the feed stands.
    pub feed_from: String,
    /// Class of ISO 9013 that sizes come out in.
    pub size_class: u8,
    /// Where the machine's zero is, in the words of the sheet.
    pub zero: String,
    /// The same place on the table.
    pub zero_mm: [Num; 2],
    /// How often the torch is lit.
    pub pierces: usize,
    /// Length of all cuts.
    pub cut_length_mm: Num,
    /// Length of all travels.
    pub travel_length_mm: Num,
    /// From the first mark or travel to the last cut with handling, least and most.
    pub time_s: [Num; 2],
    /// The torch burns so long, least and most.
    pub burning_s: [Num; 2],
    /// What it costs; absent without rates.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bill: Option<CutBill>,
    /// No order travels less; otherwise the best that was found.
    pub proven: bool,
    /// The cuts in their order.
    pub order: Vec<CutRow>,
    /// Round holes, each with how it is made.
    pub holes: Vec<CutHole>,
    /// Largest upright rectangle that is left: lower left corner, and size.
    pub left_mm: Option<[Num; 4]>,
    /// Whether the program was written, read back and found to do what was asked.
    pub program: bool,
    /// What the machine marks before it cuts; absent where it marks nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub marks: Option<CutMarks>,
}

/// What the machine marks.
#[derive(Debug, Clone, Serialize)]
pub struct CutMarks {
    /// Ends of bends.
    pub bend_ends: usize,
    /// Centres of holes to be drilled.
    pub centres: usize,
    /// The marking takes so long, least and most, and is in the time of the whole; absent where its program is not given out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub time_s: Option<[Num; 2]>,
    /// What is wrong with the program that marks, so that it is not given out; absent where it is right.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wrong: Option<String>,
}

/// The sheet.
#[derive(Debug, Clone, Serialize)]
pub struct CutSheetRow {
    /// Its number in shop.toml, from 1.
    pub number: usize,
    /// What it is called.
    pub name: String,
    /// Its size.
    pub size_mm: [Num; 2],
}

/// A part as it lies.
#[derive(Debug, Clone, Serialize)]
pub struct CutPlaced {
    /// What it is called.
    pub name: String,
    /// Where the blank's origin comes to, on the table.
    pub at_mm: [Num; 2],
    /// How it is turned.
    pub turn_deg: Num,
    /// Tabs: place on the table, and width.
    pub tabs_mm: Vec<[Num; 3]>,
}

/// One cut.
#[derive(Debug, Clone, Serialize)]
pub struct CutRow {
    /// Its place in the order, from 1.
    pub number: usize,
    /// What is cut.
    pub name: String,
    /// "outside" or "opening".
    pub of: &'static str,
    /// Where it is pierced, from the machine's zero.
    pub pierce_mm: [Num; 2],
    /// Length with its leads.
    pub length_mm: Num,
    /// Feed.
    pub feed_mm_min: Num,
    /// Wait before it.
    pub waits_s: Num,
    /// The torch is lifted over what may have tipped.
    pub lifted: bool,
}

/// One round hole.
#[derive(Debug, Clone, Serialize)]
pub struct CutHole {
    /// Which part, by its name on the sheet.
    pub part: String,
    /// Which hole.
    pub name: String,
    /// Diameter when done, before any tap.
    pub dia_mm: Num,
    /// "cut", "drill", "cut and drill".
    pub way: &'static str,
    /// It is cut to this first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cut_to_mm: Option<Num>,
    /// The drill of a metric set.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drill: Option<String>,
    /// The drill of an inch set.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drill_in: Option<String>,
    /// Reamed to this.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ream_to_mm: Option<Num>,
    /// How far the size may be off either way as it leaves the table, by ISO 9013.
    pub may_be_off_mm: Option<Num>,
    /// The same, by what is not known of the kerf.
    pub by_kerf_mm: Num,
    /// The drill meets a hard edge.
    pub hard_edge: bool,
    /// All of it in words.
    pub says: String,
}

/// What it costs, each the least and the most.
#[derive(Debug, Clone, Serialize)]
pub struct CutBill {
    /// What the money is called.
    pub money: String,
    /// Share of a set of consumables that is worn.
    pub sets_worn: [Num; 2],
    /// Consumables.
    pub wear: [Num; 2],
    /// Gas and power.
    pub burning: [Num; 2],
    /// Shop time.
    pub time: [Num; 2],
    /// Plate.
    pub plate: [Num; 2],
    /// All of it.
    pub total: [Num; 2],
}
