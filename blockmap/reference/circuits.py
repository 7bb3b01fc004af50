"""Lists the usual circuits of a car with legend texts in three lengths.

The texts are common practice, no source. The list helps with typing; it does not say
which circuits a car has or which fuse they are on.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["CIRCUITS", "Circuit", "suggest_circuits"]

_MOST_SUGGESTIONS = 8


@dataclass(frozen=True, slots=True)
class Circuit:
    """A usual circuit: its full name and two shorter legend texts.

    ``also`` holds other words that people use for it.
    """

    long: str
    medium: str
    short: str
    also: tuple[str, ...] = ()


# Full name | medium legend | short legend | other words
_LIST = """
Stop lamps and hazard flashers | STOP-HAZ | STOP | brake lights, warning flashers
Stop lamps | STOP LPS | STOP | brake lights
Hazard flashers | HAZARD | HAZ | four-way flashers, warning flashers
Turn signals | TURN SIG | TURN | indicators, direction, winkers, blinkers
Turn signals and reversing lamps | TURN-B/U | TURN | indicators, back-up lamps
Reversing lamps | BACK-UP | B/U | backup lights
Low beam, left | LOW BM L | LOW L | dipped beam, headlamp
Low beam, right | LOW BM R | LOW R | dipped beam, headlamp
High beam, left | HIGH BM L | HIGH L | main beam, headlamp
High beam, right | HIGH BM R | HIGH R | main beam, headlamp
Headlamps | HEAD LPS | HEAD | headlights
Tail, side and licence lamps | TAIL LPS | TAIL | parking, marker, plate lamp
Tail and side lamps, left | TAIL L | TAIL L | parking, marker
Tail and side lamps, right | TAIL R | TAIL R | parking, marker
Licence plate lamp | LIC LAMP | LIC | number plate
Front fog lamps | FOG FRT | FOG | foglights
Rear fog lamp | FOG RR | FOG R | fog guard
Driving lamps | DRIV LPS | DRIV | spot lamps, auxiliary lamps
Instrument lamps | INST LPS | ILLUM | dash lamps, panel lights, dimmer
Courtesy lamps and clock | CTSY-CLK | CTSY | dome, interior, map, reading lamp
Courtesy lamps | COURTESY | CTSY | dome, interior, door lamp
Boot lamp | BOOT LP | BOOT | trunk, cargo lamp
Glovebox lamp | GLOVE LP | GLOVE | glove compartment
Clock | CLOCK | CLK | time
Gauges and warning lamps | GAUGES | GAUGE | instruments, cluster
Instrument voltage regulator | INST REG | I-REG | stabiliser
Speedometer | SPEEDO | SPD | tachometer, rev counter
Radio | RADIO | RADIO | stereo, cassette, sound
Radio memory | RADIO MEM | MEM | keep-alive, stereo
Power aerial | AERIAL | ANT | antenna
Amplifier | AMPLIF | AMP | booster, sound
Cigarette lighter | LIGHTER | LTR | cigar, power point, accessory outlet
Accessory socket | ACC SOCK | SOCK | power point, outlet
Horn | HORN | HORN | hooter
Windscreen wipers | WIPERS | WIPER | windshield
Wipers and washer | WIP-WASH | WIPER | windshield, screen
Windscreen washer | WASHER | WASH | windshield, screen pump
Rear wiper and washer | RR WIPE | R WIPE | tailgate, hatch
Headlamp washer | HDLP WASH | H WASH | wiper
Blower motor | BLOWER | BLWR | heater fan, ventilation
Heater | HEATER | HTR | blower, ventilation
Air conditioning | AIR COND | A/C | climate, compressor clutch
Rear screen heater | RR DEFOG | DEF | demister, defroster, heated window
Heated mirrors | MIRR HTR | MIRR | demister
Heated seats | SEAT HTR | S HTR | cushion
Power windows | PWR WDO | WDO | window lift, electric
Power windows, left | PWR WDO L | WDO L | window lift
Power windows, right | PWR WDO R | WDO R | window lift
Sunroof | SUNROOF | ROOF | sliding roof
Convertible top | TOP | TOP | hood, soft top
Power seats | PWR SEAT | SEAT | motors
Central locking | DR LOCKS | LOCK | door locks
Power mirrors | PWR MIRR | MIRR | outside mirror
Boot release | BOOT REL | REL | trunk, tailgate, solenoid
Engine control unit | ENG CONT | ECU | engine module, computer
Engine control unit memory | ECU MEM | MEM | keep-alive, computer
Fuel injection | FUEL INJ | INJ | injectors
Ignition coil | IGNITION | IGN | coil, module, distributor
Fuel pump | FUEL PUMP | PUMP | petrol, gas pump
Oxygen sensor heater | O2 HTR | O2 | lambda, exhaust sensor
Choke heater | CHOKE | CHOKE | automatic choke, carburettor
Idle cut-off solenoid | IDLE SOL | IDLE | carburettor, anti-run-on
Glow plugs | GLOW PLG | GLOW | preheat, diesel
Starter solenoid | STARTER | STRT | crank
Crank signal | CRANK | CRK | start signal
Alternator field | ALT FLD | ALT | generator, exciter, regulator
Cooling fan | COOL FAN | FAN | radiator fan, thermo
Cooling fan, second | COOL FAN 2 | FAN 2 | radiator fan
Gearbox solenoids | TRANS | TRANS | transmission, overdrive, lock-up
Overdrive | O/DRIVE | O/D | gearbox solenoid
Cruise control | CRUISE | CRUISE | speed control
Anti-lock brakes | ABS | ABS | brake module, pump
Airbag | AIRBAG | SRS | restraint, pretensioner
Seat-belt warning | BELT WARN | BELT | buzzer, chime
Key warning buzzer | KEY WARN | BUZZ | chime, reminder
Alarm | ALARM | ALARM | theft, immobiliser
Diagnostic socket | DIAG | DIAG | test connector
Trailer lamps | TRAILER | TRLR | tow, hitch
Level control | LEVEL | LVL | suspension, ride height
Electric oil cooler fan | OIL FAN | OIL | cooler
Winch | WINCH | WINCH | recovery
Data logger | LOGGER | LOG | track, telemetry
Master relay | MAIN RLY | MAIN | supply
Spare | SPARE | SPARE | unused, empty
"""


def _parsed() -> tuple[Circuit, ...]:
    circuits = []
    for line in _LIST.strip().splitlines():
        long, medium, short, also = (part.strip() for part in line.split("|"))
        circuits.append(Circuit(long, medium, short, tuple(also.split(", "))))
    return tuple(circuits)


CIRCUITS: tuple[Circuit, ...] = _parsed()
"""The usual circuits, lamps first."""


def _spellings(circuit: Circuit) -> tuple[str, ...]:
    texts = (circuit.long, circuit.medium, circuit.short, *circuit.also)
    return tuple(text.casefold() for text in texts)


def _rank(circuit: Circuit, wanted: str) -> int | None:
    """Return 0 for the exact text, up to 3 for a word within; None when absent."""
    spellings = _spellings(circuit)
    if wanted in spellings:
        return 0
    if any(text.startswith(wanted) for text in spellings[:3]):
        return 1
    words = [word for text in spellings for word in text.replace("-", " ").split()]
    asked = wanted.replace("-", " ").split()
    if all(any(word.startswith(part) for word in words) for part in asked):
        return 2
    return 3 if len(wanted) > 2 and any(wanted in text for text in spellings) else None


def suggest_circuits(text: str) -> tuple[Circuit, ...]:
    """Return up to eight circuits that a few typed letters may mean, best first.

    The start of a text counts more than a word within it; only when neither fits are
    circuits taken that are merely spelt alike. Empty text suggests nothing.
    """
    wanted = " ".join(text.casefold().split())
    if not wanted:
        return ()
    ranked = [(rank, c) for c in CIRCUITS if (rank := _rank(c, wanted)) is not None]
    if ranked:
        ranked.sort(key=lambda pair: pair[0])
        return tuple(circuit for _, circuit in ranked[:_MOST_SUGGESTIONS])
    return _spelt_alike(wanted)


def _spelt_alike(wanted: str) -> tuple[Circuit, ...]:
    from difflib import get_close_matches

    by_spelling: dict[str, Circuit] = {}
    for circuit in CIRCUITS:
        for spelling in _spellings(circuit):
            by_spelling.setdefault(spelling, circuit)
    near = get_close_matches(wanted, by_spelling, n=_MOST_SUGGESTIONS, cutoff=0.6)
    return tuple(dict.fromkeys(by_spelling[spelling] for spelling in near))
