//! The command line as clap sees it.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use evenhand_measurement::{Force, HoldAngle, SamplePlace};
use evenhand_preview::WidthScale;
use evenhand_workflow::RESAMPLES;

use crate::fraction::Fraction;

const CAUTIONS: &str = "\
Cautions:
  Loose weights fall: guard the lever and your feet. Do not load past the maker's limit for
  nib or glass; from 1 kgf (9.8 N) on stop unless the maker allows it. A map changes what is
  drawn, not what the hand presses: hours of pressing hard can hurt. With pain or numbness
  rest, and ask a clinician. Saturation classes and suggestions are a bench's opinion, not a
  maker's specification.

Exit codes: 0 done, 1 the request cannot be met (the reason is given, with what could be
computed), 2 bad input or usage.";

/// Bench measurements of a drawing stylus in, a response map for its receiver out.
#[derive(Debug, Parser)]
#[command(name = "evenhand", version, after_help = CAUTIONS, max_term_width = 96)]
#[command(subcommand_required = true, arg_required_else_help = true)]
pub(crate) struct Cli {
    #[command(flatten)]
    pub(crate) shown: Shown,
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// How results are shown.
#[derive(Args, Clone, Copy, Debug)]
pub(crate) struct Shown {
    /// Print one JSON object on standard output and nothing else there
    #[arg(long, global = true)]
    pub(crate) json: bool,
    /// Print nothing but what was asked for as data, and errors
    #[arg(long, short, global = true)]
    pub(crate) quiet: bool,
    /// Colour in messages for people (`NO_COLOR` is honoured)
    #[arg(long, global = true, value_enum, default_value_t = ColorChoice::Auto, value_name = "WHEN")]
    pub(crate) color: ColorChoice,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum ColorChoice {
    /// On a terminal, unless `NO_COLOR` is set
    Auto,
    Always,
    Never,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Find onset, saturation and the response between, with their intervals
    Fit(FitArgs),
    /// Compile the response map that a receiver needs for a wanted response
    Map(MapArgs),
    /// Write a map's points in the form a receiver reads or a person types
    Export(ExportArgs),
    /// Draw strokes without and with a map
    Preview(PreviewArgs),
    /// Tune a map in a window: four quadrants and one tracer
    Edit(EditArgs),
    /// Find how hard a hand presses, from strokes it drew
    Hand(HandArgs),
    /// Compare outputs measured again, with the map applied, with what the map promised
    Verify(VerifyArgs),
    /// Compare styluses: spread between units, envelopes, models against each other, a page to publish
    Compare(CompareArgs),
    /// Bench work: from placed masses to forces with their uncertainty, the next force, taking readings
    #[command(subcommand)]
    Bench(BenchCommand),
    /// Name everything suspicious in measurements
    Check(CheckArgs),
    /// List the receivers, show one, or validate a receiver file
    Receivers(ReceiversArgs),
}

/// How a measurement is read.
#[derive(Args, Clone, Debug, Default)]
pub(crate) struct ReadArgs {
    /// Number of levels of raw readings (0 up to LEVELS − 1), where the file does not say
    #[arg(long, value_name = "LEVELS", value_parser = clap::value_parser!(u32).range(2..=16_777_216))]
    pub(crate) levels: Option<u32>,
    /// Leave out the samples in these lines of the file (LINE:N for the Nth sample of a line); the
    /// file itself stays as it is
    #[arg(long, value_name = "LINE,…", value_delimiter = ',')]
    pub(crate) exclude: Vec<SamplePlace>,
    /// Begin a new seating with the sample in this line, where the file does not declare one
    #[arg(long, value_name = "LINE,…", value_delimiter = ',')]
    pub(crate) new_seating: Vec<SamplePlace>,
    #[command(flatten)]
    pub(crate) table: TableArgs,
}

/// What of a table or spreadsheet is read.
#[derive(Args, Clone, Debug, Default)]
pub(crate) struct TableArgs {
    /// Read this column where the table has several of forces or of readings (may be given twice)
    #[arg(long, value_name = "NAME")]
    pub(crate) column: Vec<String>,
    /// Sheet of a spreadsheet [default: the first]
    #[arg(long, value_name = "NAME")]
    pub(crate) sheet: Option<String>,
}

/// How intervals are made.
#[derive(Args, Clone, Copy, Debug)]
pub(crate) struct IntervalArgs {
    /// Resamples behind the intervals
    #[arg(long, value_name = "N", default_value_t = 1000, value_parser = resamples)]
    pub(crate) resamples: usize,
    /// Confidence level of the intervals, such as 95% or 0.95
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "FRACTION",
        default_value = "95%",
        value_parser = Fraction::inside
    )]
    pub(crate) confidence: Fraction,
    /// Seed of the resampling; the same seed gives the same bytes
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub(crate) seed: u64,
}

#[derive(Args, Debug)]
pub(crate) struct FitArgs {
    /// Measurement, CSV or TOML
    pub(crate) file: PathBuf,
    /// Readings to find the force of, such as 1%,50%,99% or 0.5
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "FRACTION,…",
        value_delimiter = ',',
        default_values = ["1%", "99%"],
        value_parser = Fraction::reading
    )]
    pub(crate) at: Vec<Fraction>,
    /// Draw the response to a file, by its ending an SVG or a PNG
    #[arg(long, value_name = "OUT.svg|OUT.png")]
    pub(crate) chart: Option<PathBuf>,
    /// Colours of the chart: for light or for dark pages
    #[arg(long, value_enum, value_name = "THEME", default_value_t = ChartTheme::Light, requires = "chart")]
    pub(crate) theme: ChartTheme,
    /// Replace the file that --chart names if it exists
    #[arg(long, requires = "chart")]
    pub(crate) force: bool,
    #[command(flatten)]
    pub(crate) read: ReadArgs,
    #[command(flatten)]
    pub(crate) intervals: IntervalArgs,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum ChartTheme {
    /// Dark on light, for paper
    Light,
    /// Light on dark
    Dark,
}

#[derive(Args, Debug)]
pub(crate) struct MapArgs {
    /// Measurement, CSV or TOML
    #[arg(required_unless_present = "reproduce", conflicts_with = "reproduce")]
    pub(crate) file: Option<PathBuf>,
    /// Force at which the output should reach full, such as 180gf or 1.8N
    #[arg(
        long,
        value_name = "FORCE",
        required_unless_present_any = ["reproduce", "hand"],
        conflicts_with = "reproduce"
    )]
    pub(crate) full_at: Option<Force>,
    /// Force at which the output should leave 0 [default: upper end of the onset interval]
    #[arg(long, value_name = "FORCE")]
    pub(crate) light_at: Option<Force>,
    /// Take light-at and full-at, where they are not given, from strokes that the hand drew with this
    /// stylus: a recording, `InkML` or a table
    #[arg(long, value_name = "RECORDING", conflicts_with = "reproduce")]
    pub(crate) hand: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) hand_rule: HandRuleArgs,
    /// How the output climbs between: linear, logarithmic, power:E, a name from `evenhand receivers`,
    /// a target file, or like:MEASUREMENT for the climb of another stylus
    #[arg(long, value_name = "SHAPE|FILE", default_value = "linear")]
    pub(crate) target: String,
    /// Least output once the nib touches, at light-at, such as 5%
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "FRACTION",
        default_value = "0%",
        value_parser = Fraction::below_95_percent
    )]
    pub(crate) output_floor: Fraction,
    /// A curve that is applied to the readings before the map: power:E, a map file, or a table with
    /// the columns input,output
    #[arg(long, value_name = "CURVE")]
    pub(crate) before: Option<String>,
    /// A curve that is applied to the outputs after the map, as for --before
    #[arg(long, value_name = "CURVE")]
    pub(crate) after: Option<String>,
    /// Angle between stylus and surface, where the wanted forces are meant at a right angle to the
    /// surface and the measured ones along the stylus
    #[arg(long, value_name = "ANGLE")]
    pub(crate) hold_angle: Option<HoldAngle>,
    /// What takes the map: a name from `evenhand receivers` or a receiver file
    #[arg(long, value_name = "NAME|FILE", default_value = evenhand_receiver::DEFAULT_PROFILE)]
    pub(crate) receiver: String,
    /// Save the map to a file for export, preview and verification
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// Replace the file that --out names if it exists
    #[arg(long)]
    pub(crate) force: bool,
    /// Build a saved map again from its measurement and settings, and compare it bit for bit
    #[arg(
        long,
        value_name = "MAP",
        conflicts_with_all = ["light_at", "target", "output_floor", "before", "after", "hold_angle", "receiver", "out", "force"]
    )]
    pub(crate) reproduce: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) read: ReadArgs,
    #[command(flatten)]
    pub(crate) intervals: IntervalArgs,
}

#[derive(Args, Debug)]
pub(crate) struct ExportArgs {
    /// Map file, as `evenhand map --out` writes it
    pub(crate) map: PathBuf,
    /// Form to write
    #[arg(long = "as", value_enum, value_name = "FORM")]
    pub(crate) form: Form,
    /// File to write; standard output without it
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// Replace the file that --out names if it exists
    #[arg(long)]
    pub(crate) force: bool,
    /// Colours of a card's picture: for light or for dark pages
    #[arg(long, value_enum, value_name = "THEME", default_value_t = ChartTheme::Light)]
    pub(crate) theme: ChartTheme,
    /// For a table: number of entries
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(2..=65536))]
    pub(crate) entries: Option<u32>,
    /// For a table: the whole number that stands for full output
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub(crate) full_scale: Option<u32>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Form {
    /// Columns input,output
    Csv,
    /// One object with the control points
    Json,
    /// Whole numbers, one a line, for evenly spaced readings
    Table,
    /// A page to type the points from: text, or a picture where --out ends in .svg or .png
    Card,
    /// An easing function of CSS Easing
    Css,
    /// A path in the unit square
    Svg,
    /// A mapping of the force channel of `InkML`
    Inkml,
}

/// Which forces of a hand are taken.
#[derive(Args, Clone, Copy, Debug)]
pub(crate) struct HandRuleArgs {
    /// With a recording: light-at is the force that this fraction of the time lies below
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "FRACTION",
        default_value = "5%",
        value_parser = Fraction::inside
    )]
    pub(crate) light_percentile: Fraction,
    /// With a recording: full-at is the force that this fraction of the time lies below
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "FRACTION",
        default_value = "95%",
        value_parser = Fraction::inside
    )]
    pub(crate) full_percentile: Fraction,
}

#[derive(Args, Debug)]
pub(crate) struct HandArgs {
    /// Strokes as the tablet read them, without a map: `InkML` with the channel F, or a table with x, y, `t_s`
    /// and a reading or a force
    pub(crate) recording: PathBuf,
    /// Measurement of the stylus that drew them
    #[arg(long, value_name = "MEASUREMENT")]
    pub(crate) stylus: PathBuf,
    #[command(flatten)]
    pub(crate) rule: HandRuleArgs,
    /// Angle between stylus and surface: forces are then told at a right angle to the surface
    #[arg(long, value_name = "ANGLE")]
    pub(crate) hold_angle: Option<HoldAngle>,
    #[command(flatten)]
    pub(crate) read: ReadArgs,
    #[command(flatten)]
    pub(crate) intervals: IntervalArgs,
}

#[derive(Args, Debug)]
pub(crate) struct PreviewArgs {
    /// Map file, as `evenhand map --out` writes it
    pub(crate) map: PathBuf,
    /// Sheet to draw, by its ending an SVG or a PNG
    #[arg(long, value_name = "SHEET.svg|SHEET.png")]
    pub(crate) out: PathBuf,
    /// Forces of the hand with their names, such as light=60gf,usual=120gf,firm=180gf [default: those
    /// saved with the map, or a third, two thirds and all of full-at]
    #[arg(long, value_name = "NAME=FORCE,…", value_delimiter = ',', value_parser = named_force)]
    pub(crate) hand: Vec<NamedForce>,
    /// Recorded strokes to draw as well: `InkML` with the channel F, or a table with x, y and a reading or a
    /// force
    #[arg(long, value_name = "FILE")]
    pub(crate) strokes: Option<PathBuf>,
    /// Number of levels of the recording's raw readings, where it does not say
    #[arg(long, value_name = "LEVELS", value_parser = clap::value_parser!(u32).range(2..=16_777_216))]
    pub(crate) levels: Option<u32>,
    /// Stroke widths at the least output and at full output [default: those saved with the map, or 1..24]
    #[arg(long, value_name = "LEAST..GREATEST")]
    pub(crate) width: Option<WidthScale>,
    /// What grows in proportion to the output: the width, or its square [default: that saved with the
    /// map, or linear]
    #[arg(long, value_enum, value_name = "LAW")]
    pub(crate) width_law: Option<WidthLawArg>,
    /// Scatter of readings, one standard deviation [default: that of the measurement around its fit]
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "FRACTION",
        value_parser = Fraction::below_95_percent
    )]
    pub(crate) noise: Option<Fraction>,
    /// Scatter of the force that a hand holds, one standard deviation (a few percent are common
    /// practice, no source)
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "FRACTION",
        default_value = "3%",
        value_parser = Fraction::below_95_percent
    )]
    pub(crate) tremor: Fraction,
    /// Colours of the sheet: for light or for dark pages
    #[arg(long, value_enum, value_name = "THEME", default_value_t = ChartTheme::Light)]
    pub(crate) theme: ChartTheme,
    /// Replace the sheet if it exists
    #[arg(long)]
    pub(crate) force: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum WidthLawArg {
    /// The width grows with the output
    Linear,
    /// The square of the width grows with the output
    Area,
}

/// A force with its name.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct NamedForce {
    pub(crate) name: String,
    pub(crate) force: Force,
}

fn named_force(text: &str) -> Result<NamedForce, String> {
    let advice = "write a name and a force, such as usual=120gf";
    let (name, force) = text.split_once('=').ok_or(advice)?;
    let force: Force = force.trim().parse().map_err(|error| format!("{error}"))?;
    let name = name.trim();
    if name.is_empty() || !(0.01..=100_000.0).contains(&force.gf()) {
        return Err(advice.to_owned());
    }
    Ok(NamedForce {
        name: name.to_owned(),
        force,
    })
}

#[derive(Args, Debug)]
pub(crate) struct EditArgs {
    /// Measurement to make a map for, or a saved map; a demo without one
    pub(crate) file: Option<PathBuf>,
}

#[derive(Args, Debug)]
pub(crate) struct VerifyArgs {
    /// Map file, as `evenhand map --out` writes it
    pub(crate) map: PathBuf,
    /// Forces and outputs, in the form of a measurement; the outputs' column may be called
    /// `output_percent`, `output` or `output_raw`
    pub(crate) checks: PathBuf,
    /// Number of levels of raw outputs, where the file does not say
    #[arg(long, value_name = "LEVELS", value_parser = clap::value_parser!(u32).range(2..=16_777_216))]
    pub(crate) levels: Option<u32>,
    #[command(flatten)]
    pub(crate) table: TableArgs,
}

#[derive(Debug, Subcommand)]
pub(crate) enum BenchCommand {
    /// Turn what was placed (masses on a lever, what a scale or gauge showed) into forces with their budget
    Convert(ConvertArgs),
    /// Say which force to place next, what for, and how many readings are left to take
    Plan(PlanArgs),
    /// Take readings force by force from a stream; every sample is on disk before the next is asked for
    Record(RecordArgs),
}

#[derive(Args, Debug)]
pub(crate) struct RecordArgs {
    /// Measurement to write; one that was recorded before is gone on with
    pub(crate) out: PathBuf,
    /// Where readings come from: - for standard input, a file, a serial line, or a device of input events
    #[arg(long, value_name = "SOURCE")]
    pub(crate) from: PathBuf,
    /// What the stream holds [default: events for devices under /dev/input and recorded event bytes, else
    /// percent]
    #[arg(long = "as", value_enum, value_name = "KIND")]
    pub(crate) kind: Option<StreamArg>,
    /// Number of levels of raw counts and of events (0 up to LEVELS − 1)
    #[arg(long, value_name = "LEVELS", value_parser = clap::value_parser!(u32).range(2..=16_777_216))]
    pub(crate) levels: Option<u32>,
    /// Layout of input events [default: told by the stream, or that of this machine]
    #[arg(long, value_enum, value_name = "BITS")]
    pub(crate) layout: Option<LayoutArg>,
    /// Forces to place, in order [default: planned from what has been read]
    #[arg(long, value_name = "FORCE,…", value_delimiter = ',')]
    pub(crate) forces: Vec<Force>,
    /// The bench with the masses at hand; its budget goes into the measurement
    #[arg(long, value_name = "RIG.toml")]
    pub(crate) rig: Option<PathBuf>,
    /// Never ask for more than this force
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "FORCE",
        default_value = "1000gf"
    )]
    pub(crate) limit: Force,
    /// Warn where the pen leans by more than this, in the units of its tilt axes (degrees: common practice, no
    /// source)
    #[arg(long, value_name = "UNITS", default_value_t = 10.0)]
    pub(crate) tilt_limit: f64,
    /// Readings that must lie still, one after the other: 50 are half a second of events
    #[arg(long, value_name = "N", default_value_t = 50, value_parser = clap::value_parser!(u32).range(5..=10_000))]
    pub(crate) settle: u32,
    /// Go on in the seating of the last sample; without it, going on begins a new seating
    #[arg(long)]
    pub(crate) same_seating: bool,
    /// Line by line instead of on the whole screen; so it is where keys do not come from a terminal
    #[arg(long)]
    pub(crate) plain: bool,
    /// Model of the stylus, for a new measurement
    #[arg(long, value_name = "NAME")]
    pub(crate) model: Option<String>,
    /// Which one of its model
    #[arg(long, value_name = "NAME")]
    pub(crate) unit: Option<String>,
    /// Day of the measurement
    #[arg(long, value_name = "DAY")]
    pub(crate) date: Option<String>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum StreamArg {
    /// One reading a line, percent of full scale
    Percent,
    /// One reading a line, 0 to 1
    Fraction,
    /// One count a line
    Raw,
    /// Input events of the Linux kernel
    Events,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum LayoutArg {
    /// Events of 24 bytes
    #[value(name = "64")]
    Bits64,
    /// Events of 16 bytes
    #[value(name = "32")]
    Bits32,
}

#[derive(Args, Debug)]
pub(crate) struct PlanArgs {
    /// What has been measured so far; nothing at first
    pub(crate) measurement: Option<PathBuf>,
    /// The bench with the masses at hand; without it any whole gf can be placed
    #[arg(long, value_name = "RIG.toml")]
    pub(crate) rig: Option<PathBuf>,
    /// Never propose more than this force; more than 1000gf only where the maker allows it
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "FORCE",
        default_value = "1000gf"
    )]
    pub(crate) limit: Force,
    /// Wished half width of the onset's interval
    #[arg(long, value_name = "FORCE", default_value = "3gf")]
    pub(crate) onset_within: Force,
    /// Wished half width of the saturation's interval, as a fraction of the saturation force
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "FRACTION",
        default_value = "1.5%",
        value_parser = Fraction::inside
    )]
    pub(crate) saturation_within: Fraction,
    /// Wished half width of the curve's band, as a fraction of full scale
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "FRACTION",
        default_value = "1.5%",
        value_parser = Fraction::inside
    )]
    pub(crate) curve_within: Fraction,
    #[command(flatten)]
    pub(crate) read: ReadArgs,
    #[command(flatten)]
    pub(crate) intervals: IntervalArgs,
}

#[derive(Args, Debug)]
pub(crate) struct ConvertArgs {
    /// Table with a column `load`: masses in g such as 20+10 or 20@300+5@150 (arm in mm), what a scale or
    /// gauge showed, or lifted; with a column of readings it becomes a measurement
    #[arg(value_name = "LOADS")]
    pub(crate) placed: PathBuf,
    /// The bench, a file such as demo/rig.toml
    #[arg(long, value_name = "RIG.toml")]
    pub(crate) rig: PathBuf,
    /// Number of levels of raw readings (0 up to LEVELS − 1), where the table does not say
    #[arg(long, value_name = "LEVELS", value_parser = clap::value_parser!(u32).range(2..=16_777_216))]
    pub(crate) levels: Option<u32>,
    /// Read this column where the table has several of loads or of readings (may be given twice)
    #[arg(long, value_name = "NAME")]
    pub(crate) column: Vec<String>,
    /// Sheet of a spreadsheet [default: the first]
    #[arg(long, value_name = "NAME")]
    pub(crate) sheet: Option<String>,
    /// Measurement to write
    #[arg(long, value_name = "OUT.csv")]
    pub(crate) out: Option<PathBuf>,
    /// Replace the file that --out names if it exists
    #[arg(long)]
    pub(crate) force: bool,
}

#[derive(Args, Debug)]
pub(crate) struct CompareArgs {
    /// Measurements, and folders that hold them (.csv and .toml; maps and checks are passed over)
    #[arg(required = true, value_name = "FILE|FOLDER")]
    pub(crate) paths: Vec<PathBuf>,
    /// What makes a group
    #[arg(long, value_enum, value_name = "KEY", default_value_t = GroupKey::Model)]
    pub(crate) group: GroupKey,
    /// Leave out a unit ("Dunlin 05", or "Dunlin 05 (attic)" for one bench), a model or a file; every picture names it
    #[arg(long, value_name = "NAME,…", value_delimiter = ',')]
    pub(crate) exclude: Vec<String>,
    /// Put units of different benches into one group; without it benches are kept apart
    #[arg(long)]
    pub(crate) pool_benches: bool,
    /// Units of a group are called consistent up to this standard deviation of their saturation forces,
    /// as a fraction of the mean
    #[arg(
        long,
        allow_hyphen_values = true,
        value_name = "FRACTION",
        default_value = "10%",
        value_parser = Fraction::inside
    )]
    pub(crate) alike: Fraction,
    /// Say which units a map can make feel like this model, unit or measurement, and how near
    #[arg(long, value_name = "MODEL|UNIT|FILE")]
    pub(crate) like: Option<String>,
    /// What takes those maps: a name from `evenhand receivers` or a receiver file
    #[arg(long, value_name = "NAME|FILE", default_value = evenhand_receiver::DEFAULT_PROFILE, requires = "like")]
    pub(crate) receiver: String,
    /// Write everything to one page that needs no network and no script
    #[arg(long, value_name = "OUT.html")]
    pub(crate) report: Option<PathBuf>,
    /// Draw a chart to a file, by its ending an SVG or a PNG
    #[arg(long, value_name = "OUT.svg|OUT.png")]
    pub(crate) chart: Option<PathBuf>,
    /// What the chart shows
    #[arg(long, value_enum, value_name = "WHAT", default_value_t = ChartOf::All, requires = "chart")]
    pub(crate) chart_of: ChartOf,
    /// Colours of the chart: for light or for dark pages (the report follows the reader's screen)
    #[arg(long, value_enum, value_name = "THEME", default_value_t = ChartTheme::Light, requires = "chart")]
    pub(crate) theme: ChartTheme,
    /// Replace the files that --report and --chart name if they exist
    #[arg(long)]
    pub(crate) force: bool,
    /// Number of levels of raw readings (0 up to LEVELS − 1), where a file does not say
    #[arg(long, value_name = "LEVELS", value_parser = clap::value_parser!(u32).range(2..=16_777_216))]
    pub(crate) levels: Option<u32>,
    #[command(flatten)]
    pub(crate) intervals: IntervalArgs,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum GroupKey {
    /// Units of one model
    Model,
    /// Units found in one folder
    Folder,
    /// All units together
    All,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum ChartOf {
    /// All responses with their envelope
    All,
    /// One panel for each group
    Groups,
    /// From where to where each unit responds
    Units,
}

#[derive(Args, Debug)]
pub(crate) struct CheckArgs {
    /// Measurements, CSV or TOML
    #[arg(required = true)]
    pub(crate) files: Vec<PathBuf>,
    #[command(flatten)]
    pub(crate) read: ReadArgs,
    /// Write the one measurement in its plain form: force in gf, reading as a fraction (.csv or .toml)
    #[arg(long, value_name = "OUT")]
    pub(crate) rewrite: Option<PathBuf>,
    /// Overwrite an existing --rewrite file
    #[arg(long, requires = "rewrite")]
    pub(crate) force: bool,
}

#[derive(Args, Debug)]
pub(crate) struct ReceiversArgs {
    /// Name of a receiver, or a receiver file to validate
    pub(crate) receiver: Option<String>,
}

fn resamples(text: &str) -> Result<usize, String> {
    match text.parse::<usize>() {
        Ok(count) if RESAMPLES.contains(&count) => Ok(count),
        _ => Err(format!(
            "write a whole number from {} to {}",
            RESAMPLES.start(),
            RESAMPLES.end()
        )),
    }
}
