//! Lumber sections, species, design values, fasteners, hardware, drills, the yard, the rack and the tools of the
//! shop, each figure with its source and how far to trust it.
//!
//! This room must not know geometry, parts, scripts, or where files lie: the program's own data are compiled in, a
//! user's come as text or as plain data.
//!
//! | file | what |
//! |---|---|
//! | `catalogue.rs` | [`Catalogue`]: what is in it and how it is asked |
//! | `section.rs` | [`Section`]: what a board is called and measures |
//! | `species.rs` | [`Species`]: weight, strength, movement, durability |
//! | `design.rs` | [`DesignValues`]: published values by group and grade |
//! | `fastener.rs` | [`Fastener`], [`DrillSizes`] |
//! | `hardware.rs` | [`Hardware`]: eyes, chains, links, with what they may carry |
//! | `body.rs` | [`BodySize`]: body sizes of people, by population |
//! | `yard.rs` | [`Yard`], [`Offcut`]: lengths, prices, the rack |
//! | `tools.rs` | [`Tools`]: kerfs, limits, reaches, tolerances |
//! | `pricing.rs` | [`Pricing`]: what a piece is priced by |
//! | `prices.rs` | [`ItemPrice`], [`Delivery`], [`Pack`]: what hardware costs, and bringing the boards |
//! | `consumable.rs` | [`Consumable`]: finish, sealer, glue, abrasive |
//! | `labour.rs` | [`Operation`], [`Labour`]: the work of the shop, and how long it takes |
//! | `terms.rs` | [`Terms`]: hourly rates, taxes, shares, fees |
//! | `money.rs` | [`Share`], cents, and how they are rounded |
//! | `source.rs` | [`Source`], [`Status`] |
//! | `overlay.rs` | [`Overlay`]: a user's own entries as plain data |
//! | `lay.rs` | laying them over a catalogue |
//! | `read/` | the same from TOML, every trouble at its line |
//! | `built_in.rs` | the data that comes with the program, in `data/*.toml` |

mod body;
mod built_in;
mod catalogue;
mod consumable;
mod design;
mod fastener;
mod hardware;
mod labour;
mod lay;
mod money;
mod overlay;
mod prices;
mod pricing;
mod read;
mod section;
mod source;
mod species;
mod terms;
mod tools;
mod yard;

pub use body::{BODY_MEASURES, BodyMeasure, BodySize, SEXES, Sex};
pub use catalogue::Catalogue;
pub use consumable::{CONSUMABLE_KINDS, Consumable, ConsumableKind, ConsumableUnit, LITRES_PER_FLUID_OUNCE};
pub use design::{DesignValues, NominalRange, SIZE_RULES, SizeRule};
pub use fastener::{DrillSizes, FASTENER_KINDS, Fastener, FastenerKind};
pub use hardware::{ChainSpec, HARDWARE_KINDS, Hardware, HardwareKind, Rating};
pub use labour::{Labour, OPERATIONS, Operation, OperationRow};
pub use money::{MOST_CENTS, ROUNDING_RULE, Share, cents_for, rounded};
pub use overlay::{Item, Measured, Overlay};
pub use prices::{Bought, Delivery, ItemPrice, Load, Pack, SoldBy};
pub use pricing::Pricing;
pub use section::{SECTION_CLASSES, Section, SectionClass};
pub use source::{STATUS_WORDS, Source, Status};
pub use species::{ClearWood, DECAY_CLASSES, Decay, Shrinkage, Species};
pub use terms::{Term, Terms};
pub use tools::{ToolSetting, ToolValue, Tools};
pub use yard::{
    DEFECT_SIDES, Defect, DefectSide, HARDWOOD_LENGTHS, Offcut, Rate, StockItem, StockLength, Volume, Yard,
};
