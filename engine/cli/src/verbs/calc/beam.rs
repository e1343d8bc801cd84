//! `slatwork calc beam`.

use super::Question;
use super::asked::{Asked, File, force, length, number};
use crate::arguments::Common;
use crate::terminal::Stopped;
use clap::Args;

/// What a slat, rail or post carries.
///
/// For example:
/// slatwork calc beam --section 2x6 --flat --wood "western red cedar" --grade No.2 --span 47in --load 180lb --case centre --wet
#[derive(Debug, Args)]
pub(super) struct Beam {
    #[command(flatten)]
    file: File,
    /// A section of the catalogue, on edge unless --flat: 2x6
    #[arg(long, value_name = "SECTION", conflicts_with_all = ["breadth", "depth"])]
    section: Option<String>,
    /// Or its size across the load
    #[arg(long, value_name = "LENGTH", value_parser = length, requires = "depth")]
    breadth: Option<String>,
    /// and along the load
    #[arg(long, value_name = "LENGTH", value_parser = length, requires = "breadth")]
    depth: Option<String>,
    /// Loaded on its wide face
    #[arg(long)]
    flat: bool,
    /// A wood of the catalogue
    #[arg(long, value_name = "WOOD")]
    wood: Option<String>,
    /// A grade with published values: No.2
    #[arg(long, value_name = "GRADE", conflicts_with = "estimate")]
    grade: Option<String>,
    /// Without a grade, how sound it is: select, first, second, third
    #[arg(long, value_name = "WORD")]
    estimate: Option<String>,
    /// Between the supports, or the length of a cantilever
    #[arg(long, value_name = "LENGTH", value_parser = length, required_unless_present = "path")]
    span: Option<String>,
    /// Whole load: 180lb, 800N, 80kg
    #[arg(long, value_name = "FORCE", value_parser = force, required_unless_present = "path")]
    load: Option<f64>,
    /// The part of it that stays
    #[arg(long, value_name = "FORCE", value_parser = force)]
    lasting: Option<f64>,
    /// Where it acts: uniform, centre, third-points, cantilever-uniform, cantilever-end
    #[arg(long, value_name = "WORD")]
    case: Option<String>,
    /// Length of each bearing; 1-1/2in when left out
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    bearing: Option<String>,
    /// Free length of the compression edge; the span when left out
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    unbraced: Option<String>,
    /// Deflection allowed, as the part of the span: 240 for span/240 (when left out)
    #[arg(long, value_name = "NUMBER", value_parser = number, allow_hyphen_values = true)]
    deflection: Option<f64>,
    /// Over 19 % moisture in use: outdoors it is
    #[arg(long)]
    wet: bool,
    /// Green when it is built in
    #[arg(long)]
    green: bool,
    /// One of three or more that share their load
    #[arg(long)]
    repetitive: bool,
    /// How long the load lasts: permanent, ten-years, two-months, seven-days, ten-minutes, impact
    #[arg(long, value_name = "WORD")]
    duration: Option<String>,
    /// Compression along it besides
    #[arg(long, value_name = "FORCE", value_parser = force)]
    compression: Option<f64>,
    /// Tension along it besides
    #[arg(long, value_name = "FORCE", value_parser = force)]
    tension: Option<f64>,
}

impl Question for Beam {
    const NAME: &'static str = "beam";

    fn file(&self) -> &File {
        &self.file
    }

    fn ask(&self, asked: &mut Asked, _: &Common) -> Result<(), Stopped> {
        let texts = [
            ("section", &self.section),
            ("breadth", &self.breadth),
            ("depth", &self.depth),
            ("wood", &self.wood),
            ("grade", &self.grade),
            ("estimate", &self.estimate),
            ("span", &self.span),
            ("case", &self.case),
            ("bearing", &self.bearing),
            ("unbraced", &self.unbraced),
            ("duration", &self.duration),
        ];
        texts.into_iter().for_each(|(key, text)| asked.set(key, text.clone()));
        let numbers = [
            ("load_n", self.load),
            ("lasting_n", self.lasting),
            ("deflection_part", self.deflection),
            ("compression_n", self.compression),
            ("tension_n", self.tension),
        ];
        numbers.into_iter().for_each(|(key, number)| asked.set(key, number));
        let marks =
            [("flat", self.flat), ("wet", self.wet), ("green", self.green), ("repetitive", self.repetitive)];
        marks.into_iter().for_each(|(key, is_there)| asked.mark(key, is_there));
        Ok(())
    }
}
