//! The verbs and their options.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

/// From a card mock-up and a few readings to a bent plate that fits, can be cut, can be bent, and holds.
#[derive(Debug, Parser)]
#[command(
    name = "gusset",
    version,
    before_help = "Example: gusset make examples/push-hoe",
    after_help = "Exit codes: 0 done; 1 done, and a question is answered no; 2 wrong use; 3 a job file is wrong; \
                  4 refused; 5 our fault; 130 interrupted."
)]
pub struct Gusset {
    /// What to do.
    #[command(subcommand)]
    pub verb: Verb,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Verb {
    /// Start a job by answering questions in plain words.
    #[command(
        before_help = "Example: gusset new my-bracket\n         gusset new my-hoe --from push-hoe\n         gusset new old-part --drawing old-part.dxf"
    )]
    New(New),
    /// Work the job out, and say what fits, what can be cut, what can be bent, what holds.
    #[command(before_help = "Example: gusset check examples/push-hoe --fit left-arm")]
    Check(Check),
    /// Say in full whether it holds: stress, movement, bolts, welds, life, and a test for the bench.
    #[command(before_help = "Example: gusset hold examples/push-hoe")]
    Hold(Hold),
    /// Say how it is cut, and write the set for the table: program, dry run, drawing of the tracks.
    #[command(before_help = "Example: gusset cut examples/push-hoe --copies 2")]
    Cut(Cut),
    /// Check, and write the drawings, the cut file, the 1:1 template and the solid.
    #[command(
        before_help = "Example: gusset make examples/push-hoe\n         gusset make my-hoe --measured \"99.2 mm x 99.6 mm\""
    )]
    Make(Make),
    /// Say in which order it is bent, on which tools, and what comes near; or why there is no order, and what would do.
    #[command(
        before_help = "Example: gusset bend examples/push-hoe\n         gusset bend my-hoe --measured b2=44deg,leg=160.4mm"
    )]
    Bend(Bend),
    /// Make a test strip, or put its readings into shop.toml.
    #[command(
        before_help = "Example: gusset strip kerf examples/push-hoe\n         gusset strip bend examples/push-hoe"
    )]
    Strip(Strip),
    /// Open the job sheet in a browser, on this machine alone.
    #[command(before_help = "Example: gusset bench examples/push-hoe\n         gusset bench my-bracket")]
    Bench(Bench),
    /// Print one thing of a job as a table.
    #[command(before_help = "Example: gusset show examples/push-hoe bends")]
    Show(Show),
    /// Print the JSON Schema of one of the three files, for an editor.
    #[command(before_help = "Example: gusset schema design > design.schema.json")]
    Schema(SchemaOf),
    /// Print the completions for a shell.
    #[command(
        before_help = "Example: gusset completions bash > ~/.local/share/bash-completion/completions/gusset"
    )]
    Completions(Completions),
}

/// Which job, which of its fits, and how to tell it.
#[derive(Debug, Args)]
pub struct JobArgs {
    /// The folder that holds design.toml.
    pub job: PathBuf,
    /// Which fit of the folder fits/; "own" or else the first when not said.
    #[arg(long, value_name = "NAME")]
    pub fit: Option<String>,
    /// Print JSON for programs.
    #[arg(long)]
    pub json: bool,
}

/// `gusset new`
#[derive(Debug, Args)]
pub struct New {
    /// The folder to make.
    pub folder: PathBuf,
    /// Start from one of the demo jobs instead of from questions.
    #[arg(long, value_name = "DEMO", conflicts_with = "drawing")]
    pub from: Option<String>,
    /// Start from a DXF drawing instead: its outside edge, holes, slots and windows.
    #[arg(long, value_name = "FILE")]
    pub drawing: Option<PathBuf>,
    /// Unit of the drawing, when it does not say its own.
    #[arg(long, value_enum, requires = "drawing")]
    pub drawing_units: Option<DxfUnits>,
    /// Which piece of the drawing, the largest being 1.
    #[arg(long, value_name = "N", default_value_t = 1, requires = "drawing")]
    pub piece: usize,
    /// Metal and thickness of a part from a drawing.
    #[arg(
        long,
        value_name = "STOCK",
        default_value = "5052-H32 3 mm",
        requires = "drawing"
    )]
    pub plate: String,
    /// Print JSON for programs.
    #[arg(long)]
    pub json: bool,
}

/// `gusset check`
#[derive(Debug, Args)]
pub struct Check {
    /// The job.
    #[command(flatten)]
    pub job: JobArgs,
}

/// `gusset hold`
#[derive(Debug, Args)]
pub struct Hold {
    /// The job.
    #[command(flatten)]
    pub job: JobArgs,
}

/// `gusset cut`
#[derive(Debug, Args)]
pub struct Cut {
    /// The job.
    #[command(flatten)]
    pub job: JobArgs,
    /// Where to write; the folder out/ of the job when not said.
    #[arg(short, long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// How many of the part.
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=200))]
    pub copies: u16,
    /// The sheet, by its name or its number in shop.toml; the smallest that holds them when not said.
    #[arg(long, value_name = "SHEET")]
    pub sheet: Option<String>,
    /// It was cut: take what is gone off the sheet in shop.toml. Writes nothing else.
    #[arg(long)]
    pub was_cut: bool,
    /// Form of the drawing of the tracks: r2000 for most programs, r12 for old controllers.
    #[arg(long, value_enum, default_value = "r2000")]
    pub dxf: Dxf,
    /// Unit of the drawing of the tracks.
    #[arg(long, value_enum, default_value = "mm")]
    pub dxf_units: DxfUnits,
}

/// `gusset bend`
#[derive(Debug, Args)]
pub struct Bend {
    /// The job.
    #[command(flatten)]
    pub job: JobArgs,
    /// Where to write the cards; the folder out/ of the job when not said.
    #[arg(short, long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Paper of the cards.
    #[arg(long, value_enum, default_value = "a4")]
    pub paper: Paper,
    /// What a finished bend measured, as b1=88.5deg,leg=41.2mm or b1=drawn, once for each: solves the rest around the real part, and
    /// writes nothing.
    #[arg(long, value_name = "BEND=ANGLE,leg=LENGTH")]
    pub measured: Vec<String>,
}

/// `gusset strip`
#[derive(Debug, Args)]
pub struct Strip {
    /// Which test.
    #[command(subcommand)]
    pub of: StripOf,
}

/// The tests.
#[derive(Debug, Subcommand)]
pub enum StripOf {
    /// How wide the cut is: a comb whose three teeth are measured with a caliper.
    #[command(
        before_help = "Example: gusset strip kerf examples/push-hoe\n         gusset strip kerf my-hoe --read \"10.42 mm, 10.40 mm, 10.45 mm\""
    )]
    Kerf(KerfStrip),
    /// What a bend takes, leaves and springs by: a strip whose legs, thickness and angle are measured.
    #[command(
        before_help = "Example: gusset strip bend examples/push-hoe\n         gusset strip bend my-hoe --read \"flat = 120.1 mm; thickness = 4.75 mm; legs = 64.9 mm, 65.1 mm; angle = 90.5 deg between legs\""
    )]
    Bend(BendStrip),
}

/// `gusset strip bend`
#[derive(Debug, Args)]
pub struct BendStrip {
    /// The job whose plate and shop it is for.
    #[command(flatten)]
    pub job: JobArgs,
    /// The bend of the job that it is for; the first that is bent when not said.
    #[arg(long, value_name = "BEND")]
    pub bend: Option<String>,
    /// The tool, by its name, as "V 24 die".
    #[arg(long, value_name = "TOOL")]
    pub tool: Option<String>,
    /// The angle bent through; 90 deg when not said.
    #[arg(long, value_name = "ANGLE")]
    pub angle: Option<String>,
    /// The inside radius that the tool should leave; by V and metal or by its nose when not said.
    #[arg(long, value_name = "LENGTH")]
    pub radius: Option<String>,
    /// How the line of the bend runs to the way the sheet was rolled.
    #[arg(long, value_enum)]
    pub grain: Option<Grain>,
    /// The readings, by name: flat, thickness, legs, angle, and loaded, radius, tool, grain, date. Puts them into shop.toml.
    #[arg(long, value_name = "READINGS")]
    pub read: Option<String>,
    /// Paper of the card.
    #[arg(long, value_enum, default_value = "a4")]
    pub paper: Paper,
    /// Where to write; the folder out/ of the job when not said.
    #[arg(short, long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

/// The line of a bend and the way of rolling.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum Grain {
    /// It runs along it.
    Along,
    /// It crosses it.
    Across,
}

/// `gusset strip kerf`
#[derive(Debug, Args)]
pub struct KerfStrip {
    /// The job whose plate and shop it is for.
    #[command(flatten)]
    pub job: JobArgs,
    /// The three teeth by caliper, with commas: puts the kerf into shop.toml.
    #[arg(long, value_name = "THREE LENGTHS")]
    pub read: Option<String>,
    /// From slot to slot of the comb that was cut, when it is not the one made now.
    #[arg(long, value_name = "LENGTH", requires = "read")]
    pub pitch: Option<String>,
    /// When it was cut; today when not said.
    #[arg(long, value_name = "DATE", requires = "read")]
    pub date: Option<String>,
    /// Paper of the card.
    #[arg(long, value_enum, default_value = "a4")]
    pub paper: Paper,
    /// Where to write; the folder out/ of the job when not said.
    #[arg(short, long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

/// `gusset make`
#[derive(Debug, Args)]
pub struct Make {
    /// The job.
    #[command(flatten)]
    pub job: JobArgs,
    /// Where to write; the folder out/ of the job when not said.
    #[arg(short, long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// What the check square of the last template measured, across x up: makes the template for that printer.
    #[arg(long, value_name = "ACROSS x UP")]
    pub measured: Option<String>,
    /// Paper of the template.
    #[arg(long, value_enum, default_value = "a4")]
    pub paper: Paper,
    /// Form of the cut file: r2000 for most programs, r12 for old controllers.
    #[arg(long, value_enum, default_value = "r2000")]
    pub dxf: Dxf,
    /// Unit of the cut file.
    #[arg(long, value_enum, default_value = "mm")]
    pub dxf_units: DxfUnits,
}

/// `gusset bench`
#[derive(Debug, Args)]
pub struct Bench {
    /// The folder that holds design.toml, or one that is not there yet, to start a job in; the folder that the program runs in, or
    /// a new one in it, when not said.
    pub job: Option<PathBuf>,
    /// Which fit of the folder fits/; "own" or else the first when not said.
    #[arg(long, value_name = "NAME")]
    pub fit: Option<String>,
    /// Print JSON for programs.
    #[arg(long)]
    pub json: bool,
    /// Where to listen on this machine; any port that is free when not said.
    #[arg(long, value_name = "PORT", default_value_t = 0)]
    pub port: u16,
    /// Print the address and open no browser.
    #[arg(long)]
    pub no_browser: bool,
}

/// `gusset show`
#[derive(Debug, Args)]
pub struct Show {
    /// The job.
    #[command(flatten)]
    pub job: JobArgs,
    /// What to print.
    #[arg(value_enum)]
    pub what: What,
}

/// `gusset schema`
#[derive(Debug, Args)]
pub struct SchemaOf {
    /// Which file.
    #[arg(value_enum)]
    pub file: SchemaFile,
    /// The schema is JSON with or without this.
    #[arg(long)]
    pub json: bool,
}

/// `gusset completions`
#[derive(Debug, Args)]
pub struct Completions {
    /// The shell.
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
    /// Print the script as a JSON string.
    #[arg(long)]
    pub json: bool,
}

/// Paper sizes.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum Paper {
    /// 210 x 297 mm
    A4,
    /// 8-1/2 x 11 in
    Letter,
}

/// Forms of DXF.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum Dxf {
    /// AC1015
    R2000,
    /// AC1009
    R12,
}

/// Units of DXF.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum DxfUnits {
    /// Millimetres.
    Mm,
    /// Inches.
    In,
}

/// What `show` prints.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum What {
    /// Points after adjustment, with their standard deviations.
    Points,
    /// Readings with residuals and what checks them.
    Readings,
    /// The flat plate.
    Blank,
    /// Holes on the blank and in space.
    Holes,
    /// Bends.
    Bends,
    /// Measures as worked out.
    Measures,
    /// Mounts, support and keep-outs.
    Fit,
    /// Loads as understood, with what each does to the part.
    Loads,
    /// Bolts under each load.
    Bolts,
    /// Findings.
    Findings,
}

/// The three files.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum SchemaFile {
    /// design.toml
    Design,
    /// fits/NAME.toml
    Fit,
    /// shop.toml
    Shop,
}
