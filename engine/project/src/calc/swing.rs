//! How a swing hangs, or what it asks in motion.
//!
//! Reads one of three layouts, told apart by their keys, all in m, kg, N, s and degrees:
//!
//! - a posture: `chains` (each `id`, `at` on the seat, `hook`, `hook_id`, `length`) and `masses` (each `mass`, `at`);
//! - a pendulum: `mass`, `radius`, `gyration`, `amplitude_deg`;
//! - a seat on a ring a side, from the side: `mass`, `inertia_about_cg`, `attach_front`, `attach_rear`, `ring`, `cg` (each
//!   y, z), `amplitude_deg`.
//!
//! `gravity` may be left out; `id`, `title` and the like are passed over.

use super::json::{Object, PASSED_OVER, read};
use super::{Answered, Calculation, Findings, Setting, told};
use crate::calc;
use serde_json::{Map, Value, json};
use slatwork_base::{Angle, Outcome};
use slatwork_checks::statics::swing::{
    Chain, ChainState, Mass, Pendulum, Posture, Rest, RingSwing, STANDARD_GRAVITY, Split, Suspended,
    Swinging, Taut, TurnsOver, settle,
};
use slatwork_solid::{DVec2, DVec3};

/// The calculation as it is called.
pub(super) const CALCULATION: Calculation = Calculation {
    name: "swing",
    layout: LAYOUT,
    example: EXAMPLE,
    schema: include_str!("../../schemas/calc-swing.json"),
    findings: Findings::Beside,
    answer: answered,
};

const EXAMPLE: &str = r#"{ "mass": 150, "radius": 1.8, "gyration": 0.3, "amplitude_deg": 20 }"#;

const LAYOUT: &str = "\
How a seat hangs:
chains                    a list: .id .at (x, y, z on the seat) .hook (x, y, z) .hook_id .length
masses                    a list: .mass .at
What swinging asks of all chains together:
mass, radius              of all, and from the hooks' line to their centre of gravity
gyration                  radius of gyration about that centre; 0 when left out
amplitude_deg             farthest from rest
How front and rear chain of a ring share it, seen from the side (y, z):
mass, inertia_about_cg    about the axis through the centre of gravity, kg m2
attach_front, attach_rear, ring, cg    each y, z
amplitude_deg
Besides: gravity, 9.80665 when left out. All in m, kg, N, degrees; x to the right, y to
the rear, z up.";

/// Decimals beyond which an answer is rounding.
const DECIMALS: f64 = 1e12;

/// What is asked.
enum Question {
    Posture(Suspended),
    Pendulum(Pendulum),
    Ring(RingSwing),
}

fn answered(asked: &calc::Question, setting: &Setting<'_>) -> Outcome<Answered> {
    let units = setting.units;
    read(asked, question).then(|question| match question {
        Some(Question::Posture(swing)) => settle(&swing).map(|rest| match rest {
            Rest::Hangs(own) => answer(hangs(&own), told::posture(&own, units)),
            Rest::Tips(over) => answer(tips(&swing, &over), told::tips(&over, units)),
        }),
        Some(Question::Pendulum(own)) => {
            own.swing().map(|swinging| answer(motion(&swinging), told::pendulum(&own, &swinging, units)))
        }
        Some(Question::Ring(ring)) => {
            ring.split().map(|split| answer(shares(&split), told::ring(&split, units)))
        }
        None => Outcome { value: None, diagnostics: Vec::new() },
    })
}

fn answer(document: Value, text: String) -> Answered {
    Answered { document: document.as_object().cloned().unwrap_or_default(), text }
}

fn question(file: &Object<'_>) -> Option<Question> {
    file.pass_over(&PASSED_OVER);
    let gravity = file.number("gravity").unwrap_or(STANDARD_GRAVITY);
    if file.has("ring") {
        ring(file, gravity).map(Question::Ring)
    } else if file.has("radius") {
        pendulum(file, gravity).map(Question::Pendulum)
    } else {
        suspended(file, gravity).map(Question::Posture)
    }
}

fn suspended(file: &Object<'_>, gravity: f64) -> Option<Suspended> {
    let chains: Option<Vec<Chain>> = file.each("chains", chain).into_iter().collect();
    let masses: Option<Vec<Mass>> = file.each("masses", mass).into_iter().collect();
    Some(Suspended { gravity, chains: chains?, masses: masses? })
}

fn chain(own: &Object<'_>) -> Option<Chain> {
    let id = own.need("id", own.text("id"));
    let hook_id = own.text("hook_id").or_else(|| id.clone());
    let (eye, hook) = (own.need("at", own.numbers::<3>("at")), own.need("hook", own.numbers::<3>("hook")));
    let length = own.need("length", own.number("length"));
    Some(Chain {
        id: id?,
        eye: DVec3::from_array(eye?),
        hook: DVec3::from_array(hook?),
        hook_id: hook_id?,
        length: length?,
    })
}

fn mass(own: &Object<'_>) -> Option<Mass> {
    let (mass, at) = (own.need("mass", own.number("mass")), own.need("at", own.numbers::<3>("at")));
    Some(Mass { mass: mass?, at: DVec3::from_array(at?) })
}

fn pendulum(file: &Object<'_>, gravity: f64) -> Option<Pendulum> {
    let needed = |key| file.need(key, file.number(key));
    let (mass, radius, amplitude) = (needed("mass"), needed("radius"), needed("amplitude_deg"));
    let gyration = file.number("gyration").unwrap_or(0.0);
    Some(Pendulum { gravity, mass: mass?, radius: radius?, gyration, amplitude: Angle::deg(amplitude?) })
}

fn ring(file: &Object<'_>, gravity: f64) -> Option<RingSwing> {
    let number = |key| file.need(key, file.number(key));
    let point = |key| file.need(key, file.numbers::<2>(key)).map(DVec2::from_array);
    let (mass, inertia, amplitude) = (number("mass"), number("inertia_about_cg"), number("amplitude_deg"));
    let (front, rear) = (point("attach_front"), point("attach_rear"));
    let (ring, centre) = (point("ring"), point("cg"));
    Some(RingSwing {
        gravity,
        mass: mass?,
        inertia: inertia?,
        front: front?,
        rear: rear?,
        ring: ring?,
        centre: centre?,
        amplitude: Angle::deg(amplitude?),
    })
}

/// A number without the noise of rounding; nothing for one without end.
fn number(value: f64) -> Value {
    let scaled = value * DECIMALS;
    let rounded = if scaled.is_finite() { scaled.round() / DECIMALS } else { value };
    // Adding zero takes the sign from a zero.
    json!(rounded + 0.0)
}

fn degrees(angle: Angle) -> Value {
    number(angle.as_deg())
}

fn point(point: DVec3) -> Value {
    point.to_array().map(number).to_vec().into()
}

fn pair(pair: [f64; 2]) -> Value {
    pair.map(number).to_vec().into()
}

fn each_chain(posture: &Posture, of: impl Fn(&ChainState) -> Value) -> Value {
    posture.chains.iter().map(|chain| (chain.id.clone(), of(chain))).collect::<Map<_, _>>().into()
}

fn hangs(posture: &Posture) -> Value {
    let hooks = posture.hooks.iter().map(|own| (own.hook.clone(), point(own.force)));
    let slack: Vec<&str> =
        posture.chains.iter().filter(|chain| chain.is_slack()).map(|chain| chain.id.as_str()).collect();
    json!({
        "status": "ok",
        "tilt_deg": degrees(posture.tilt),
        "roll_deg": degrees(posture.roll),
        "yaw_deg": degrees(posture.yaw),
        "seat_origin": point(posture.origin),
        "cg": point(posture.centre),
        "tensions": each_chain(posture, |chain| number(chain.tension)),
        "slack": slack,
        "hook_forces": hooks.collect::<Map<_, _>>(),
        "posture_freedoms": posture.freedoms,
        "restoring_stiffness_min_N_m": number(posture.stiffness),
        "chain_from_vertical_deg": each_chain(posture, |chain| degrees(chain.from_vertical)),
        "chain_spare": each_chain(posture, |chain| number(chain.spare)),
        "tensions_undetermined": posture.undetermined,
    })
}

fn tips(swing: &Suspended, over: &TurnsOver) -> Value {
    let mut answer = json!({ "status": "tips", "why": over.why });
    if let Some(taut) = &over.taut {
        answer["taut_ring"] = taut_ring(swing, taut);
    }
    answer["hanging_tilt_deg"] = degrees(over.hanging_tilt);
    answer
}

fn taut_ring(swing: &Suspended, taut: &Taut) -> Value {
    let (front, rear) = front_and_rear(swing);
    let least = |side: &[usize]| side.iter().map(|&index| taut.tensions[index]).reduce(f64::min);
    let tensions = swing.chains.iter().zip(&taut.tensions);
    let mut answer = json!({ "tilt_deg": degrees(taut.tilt) });
    for (key, side) in [("T_front", front), ("T_rear", rear)] {
        if let Some(force) = least(&side) {
            answer[key] = number(force);
        }
    }
    answer["tensions"] =
        tensions.map(|(chain, force)| (chain.id.clone(), number(*force))).collect::<Map<_, _>>().into();
    answer
}

/// The chains in front of the middle of all eyes and those behind it.
fn front_and_rear(swing: &Suspended) -> (Vec<usize>, Vec<usize>) {
    let depth = |index: &usize| swing.chains[*index].eye.y;
    let all = || 0..swing.chains.len();
    let middle = all().map(|index| depth(&index)).sum::<f64>() / swing.chains.len() as f64;
    (
        all().filter(|index| depth(index) < middle).collect(),
        all().filter(|index| depth(index) > middle).collect(),
    )
}

fn motion(swinging: &Swinging) -> Value {
    let Swinging { bottom, turning, most_horizontal, .. } = swinging;
    json!({
        "force_at_bottom": number(bottom.normal),
        "dynamic_factor": number(swinging.dynamic_factor),
        "normal_at_amplitude": number(turning.normal),
        "transverse_at_amplitude": number(turning.transverse),
        "small_amplitude_period": number(swinging.small_period),
        "period": number(swinging.period),
        "speed_at_bottom": number(bottom.speed),
        "rise": number(swinging.rise),
        "most_horizontal": number(most_horizontal.horizontal),
        "most_horizontal_at_deg": degrees(most_horizontal.angle),
    })
}

fn shares(split: &Split) -> Value {
    json!({
        "static_pair": pair(split.at_rest),
        "bottom_pair": pair(split.bottom),
        "at_plus_amplitude_pair": pair(split.rearmost),
        "at_minus_amplitude_pair": pair(split.foremost),
        "order": ["front", "rear"],
        "static_tilt_deg": degrees(split.tilt),
        "greatest_pair": pair(split.greatest),
        "least_pair": pair(split.least),
    })
}
