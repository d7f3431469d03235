//! What the form starts with: the defaults of the trade, a usable plan without a single answer.

use super::{
    Across, Brief, Charging, ControlAnswer, End, Fitting, Lamps, Return, Signal, Size, System,
    TurnPriority,
};
use crate::plan::{Chemistry, FlasherAction, Light};
use crate::text::say;
use crate::units::{AmpHours, Millimetres};

impl Default for Brief {
    /// A usable plan without a single answer: shared rear lamps, turn and running lamps in front.
    fn default() -> Self {
        let pair = |end, fitting, light, strong: &[Signal], weak: &[Signal]| Lamps {
            end,
            across: Across::Pair,
            fitting,
            light,
            strong: strong.into(),
            weak: weak.into(),
            model: None,
        };
        Self {
            title: say!("My lamps").into(),
            notes: String::new(),
            system: System::V12,
            chemistry: Chemistry::Agm,
            capacity_ah: AmpHours::of(33.0),
            charging: Charging::Elsewhere,
            lamps: vec![
                pair(
                    End::Front,
                    Fitting::TwoFilaments,
                    Light::Amber,
                    &[Signal::Turn],
                    &[Signal::Running],
                ),
                pair(
                    End::Rear,
                    Fitting::TwoFilaments,
                    Light::Red,
                    &[Signal::Stop, Signal::Turn],
                    &[Signal::Tail],
                ),
            ],
            controls: vec![
                ControlAnswer::Switch {
                    signals: vec![Signal::Tail, Signal::Running],
                },
                ControlAnswer::Pedal {
                    signals: vec![Signal::Stop],
                },
                ControlAnswer::Turn,
                ControlAnswer::Hazard,
            ],
            flasher: FlasherAction::Electronic,
            priority: TurnPriority::Contacts,
            wiring: Return::Chassis,
            size: Size::default(),
            socket: None,
            least_size: None,
        }
    }
}

impl Default for Size {
    /// A small cart.
    fn default() -> Self {
        Self {
            length_mm: Millimetres::of(2500.0),
            width_mm: Millimetres::of(1200.0),
            trailer_mm: Millimetres::of(2500.0),
            battery_to_dash_mm: None,
            dash_to_front_mm: None,
            dash_to_rear_mm: None,
        }
    }
}
