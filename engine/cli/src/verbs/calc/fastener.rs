//! `slatwork calc fastener`.

use super::Question;
use super::asked::{Asked, File, degrees, force, length, number};
use crate::arguments::Common;
use crate::terminal::Stopped;
use clap::Args;
use serde_json::Value;

/// What a screw, lag, nail or bolt carries across it and along it.
///
/// Names the way it gives way, and the value of every way. For example:
/// slatwork calc fastener --screw 8 --side 3/4in --main 1-1/2in --wood southern_pine
#[derive(Debug, Args)]
pub(super) struct Fastener {
    #[command(flatten)]
    file: File,
    /// A wood screw of this gauge: 8
    #[arg(long, value_name = "SIZE", conflicts_with_all = ["lag", "nail", "bolt"])]
    screw: Option<String>,
    /// A lag screw of this size: 3/8
    #[arg(long, value_name = "SIZE", conflicts_with_all = ["nail", "bolt"])]
    lag: Option<String>,
    /// A nail of this size: 16d
    #[arg(long, value_name = "SIZE", conflicts_with = "bolt")]
    nail: Option<String>,
    /// A bolt of this size: 1/2
    #[arg(long, value_name = "SIZE")]
    bolt: Option<String>,
    /// Length of the fastener; the longest that stays in the main member when left out
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    length: Option<String>,
    /// Length of thread
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    thread: Option<String>,
    /// Thickness of the member on the side of the head
    #[arg(long, value_name = "LENGTH", value_parser = length, required_unless_present = "path")]
    side: Option<String>,
    /// Thickness of the member that holds the point
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    main: Option<String>,
    /// Wood of both members, of the catalogue
    #[arg(long, value_name = "WOOD", conflicts_with_all = ["side_wood", "main_wood", "gravity"])]
    wood: Option<String>,
    /// Wood of the side member
    #[arg(long, value_name = "WOOD", conflicts_with_all = ["side_steel", "side_gravity"])]
    side_wood: Option<String>,
    /// Wood of the main member
    #[arg(long, value_name = "WOOD", conflicts_with = "main_gravity")]
    main_wood: Option<String>,
    /// Specific gravity of both members, oven-dry, in place of a wood
    #[arg(long, value_name = "NUMBER", value_parser = number, allow_hyphen_values = true, conflicts_with_all = ["side_gravity", "main_gravity"])]
    gravity: Option<f64>,
    /// Specific gravity of the side member
    #[arg(long, value_name = "NUMBER", value_parser = number, allow_hyphen_values = true, conflicts_with = "side_steel")]
    side_gravity: Option<f64>,
    /// Specific gravity of the main member
    #[arg(long, value_name = "NUMBER", value_parser = number, allow_hyphen_values = true)]
    main_gravity: Option<f64>,
    /// The side member is a steel plate: A36, or "A653 Grade 33"
    #[arg(long, value_name = "STEEL")]
    side_steel: Option<String>,
    /// From the side member's grain to the load
    #[arg(long, value_name = "ANGLE", value_parser = degrees, allow_hyphen_values = true)]
    side_angle: Option<f64>,
    /// From the main member's grain to the load
    #[arg(long, value_name = "ANGLE", value_parser = degrees, allow_hyphen_values = true)]
    main_angle: Option<f64>,
    /// How far it goes into the main member with its tip; by its length when left out
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    penetration: Option<String>,
    /// Gap between the members: washers, spacers
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    gap: Option<String>,
    /// It stands in the end grain of the main member
    #[arg(long)]
    end_grain: bool,
    /// A bolt through two alike side members
    #[arg(long)]
    double_shear: bool,
    /// A nail driven at 30 degrees through the end of the side member
    #[arg(long)]
    toe_nail: bool,
    /// The wood is over 19 % moisture in use: outdoors it is
    #[arg(long)]
    wet: bool,
    /// The wood is over 19 % moisture when it is joined
    #[arg(long)]
    wet_made: bool,
    /// How long the load lasts: permanent, ten-years, two-months, seven-days, ten-minutes, impact
    #[arg(long, value_name = "WORD")]
    duration: Option<String>,
    /// How many fasteners
    #[arg(long, value_name = "COUNT")]
    count: Option<u32>,
    /// Force on all of them across: 250lb, 1.1kN
    #[arg(long, value_name = "FORCE", value_parser = force)]
    shear: Option<f64>,
    /// Force on all of them along
    #[arg(long, value_name = "FORCE", value_parser = force)]
    pull: Option<f64>,
}

impl Fastener {
    fn kind_and_size(&self) -> Option<(&'static str, &String)> {
        let kinds = [
            ("wood screw", &self.screw),
            ("lag screw", &self.lag),
            ("nail", &self.nail),
            ("bolt", &self.bolt),
        ];
        kinds.into_iter().find_map(|(kind, size)| Some((kind, size.as_ref()?)))
    }

    /// Flags of both members: a steel side takes no wood.
    fn ask_members(&self, asked: &mut Asked) {
        let side = self.side_steel.is_none() && self.side_wood.is_none() && self.side_gravity.is_none();
        let main = self.main_wood.is_none() && self.main_gravity.is_none();
        for (member, is_free) in [("side", side), ("main", main)] {
            if is_free {
                asked.set(&format!("{member}.wood"), self.wood.clone());
                asked.set(&format!("{member}.gravity"), self.gravity);
            }
        }
        // Wood of a file gives way to the flag's steel.
        for key in ["side.wood", "side.gravity"] {
            asked.set(key, self.side_steel.as_ref().map(|_| Value::Null));
        }
        asked.set("side.thickness", self.side.clone());
        asked.set("side.wood", self.side_wood.clone());
        asked.set("side.gravity", self.side_gravity);
        asked.set("side.steel", self.side_steel.clone());
        asked.set("side.angle_deg", self.side_angle);
        asked.set("main.thickness", self.main.clone());
        asked.set("main.wood", self.main_wood.clone());
        asked.set("main.gravity", self.main_gravity);
        asked.set("main.angle_deg", self.main_angle);
        asked.mark("main.end_grain", self.end_grain);
    }
}

impl Question for Fastener {
    const NAME: &'static str = "fastener";

    fn file(&self) -> &File {
        &self.file
    }

    fn ask(&self, asked: &mut Asked, _: &Common) -> Result<(), Stopped> {
        if let Some((kind, size)) = self.kind_and_size() {
            asked.set("fastener.kind", Some(kind));
            asked.set("fastener.size", Some(size.clone()));
        }
        asked.set("fastener.length", self.length.clone());
        asked.set("fastener.thread", self.thread.clone());
        self.ask_members(asked);
        asked.set("penetration", self.penetration.clone());
        asked.set("gap", self.gap.clone());
        asked.set("shear", self.double_shear.then_some("double"));
        asked.mark("toe_nail", self.toe_nail);
        asked.mark("wet_used", self.wet);
        asked.mark("wet_made", self.wet_made);
        asked.set("duration", self.duration.clone());
        asked.set("count", self.count);
        asked.set("shear_n", self.shear);
        asked.set("pull_n", self.pull);
        Ok(())
    }
}
