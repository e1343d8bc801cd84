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
//! | `source.rs` | [`Source`], [`Status`] |
//! | `overlay.rs` | [`Overlay`]: a user's own entries as plain data |
//! | `lay.rs` | laying them over a catalogue |
//! | `read/` | the same from TOML, every trouble at its line |
//! | `built_in.rs` | the data that comes with the program, in `data/*.toml` |

mod body;
mod built_in;
mod catalogue;
mod design;
mod fastener;
mod hardware;
mod lay;
mod overlay;
mod read;
mod section;
mod source;
mod species;
mod tools;
mod yard;

pub use body::{BODY_MEASURES, BodyMeasure, BodySize, SEXES, Sex};
pub use catalogue::Catalogue;
pub use design::{DesignValues, NominalRange, SIZE_RULES, SizeRule};
pub use fastener::{DrillSizes, FASTENER_KINDS, Fastener, FastenerKind};
pub use hardware::{ChainSpec, HARDWARE_KINDS, Hardware, HardwareKind, Rating};
pub use overlay::{Item, Measured, Overlay};
pub use section::{SECTION_CLASSES, Section, SectionClass};
pub use source::{STATUS_WORDS, Source, Status};
pub use species::{ClearWood, DECAY_CLASSES, Decay, Shrinkage, Species};
pub use tools::{ToolSetting, ToolValue, Tools};
pub use yard::{HARDWOOD_LENGTHS, Offcut, Rate, StockItem, StockLength, Yard};
