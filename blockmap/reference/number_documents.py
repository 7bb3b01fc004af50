"""Names the documents behind the electrical numbers.

Documents are described, not advertised: where a title or an address would carry a
maker's name the description stands alone. Laws keep their address.
"""

from __future__ import annotations

from blockmap.reference.sources import Source

# Fuses.
MEDIUM_TIMES = Source("Maker datasheet, medium blade fuse, opening times")
MEDIUM_TIMES_OLDER = Source("Maker datasheet, medium blade fuse, current and older")
MEDIUM_TIMES_EXCERPT = Source("Excerpt of a medium blade datasheet, 160 % and 200 %")
MINI_TIMES = Source("Maker datasheet of 2024, mini blade fuse, 32 V, opening times")
MINI_TIMES_15 = Source("Maker datasheet, mini blade fuse, row of 15 A")
MINI_TIMES_3 = Source("Maker datasheet, mini blade fuse, row of 3 A and slowest times")
MINI_TIMES_EXCERPT = Source("Excerpt of a mini blade datasheet, opening times")
MAXI_DATASHEET = Source("Maker datasheet, maxi blade fuse, 32 V")
MINI_RESISTANCE = Source("Maker datasheet, mini blade fuse, ten ratings, resistance")
MEDIUM_RESISTANCE = Source("Maker datasheet, medium blade fuse, rows of resistance")
MEDIUM_10_READING = Source("Training page, millivolts across a medium blade of 10 A")
READINGS_JOURNAL = Source("Trade journal of June 2017, readings across mini blades")
GLASS_25_DATASHEET = Source("Maker datasheet, glass fuse 6.3 x 25 mm (UL 248-14)")
GLASS_DELAY_DATASHEET = Source("Maker datasheet, time-delay glass fuse 6.3 x 32 mm")
UL_248_14 = Source("Maker guide stating the test points of UL/CSA 248-14")
SHARE_GUIDE = Source("Maker guide on choosing fuses: 75 % of the rating at 25 °C")
SELECTION_GUIDE = Source("Selection guide, fuse of 125 % of the load")
AMBIENT_CURVE = Source("Re-rating curve of a mini blade of 25 A, read off a drawing")
SPACE_DERATING = Source("ECSS-Q-ST-30-11C Rev. 2, table 6-17, as quoted in records")
BRITISH_GLASS_LIST = Source("Owners' mailing list, table of British glass fuses")
BRITISH_GLASS_CLUB = Source("Club article, 35 A printed is 17.5 A continuous")
BRITISH_GLASS_READ = Source("Owner's readings of original British fuse labels")

# Wires.
AWG_FORMULA = Source(
    "Reference page, diameter of the American wire gauge (formula of ASTM B258)"
)
IEC_60028 = Source("Summary of IEC 60028, resistance of annealed copper")
IACS_HISTORY = Source("Encyclopedia, history of the copper conductivity standard")
TEMPERATURE_HANDBOOK = Source("Industrial power engineering handbook, copper by °C")
STRANDING_SUMMARY = Source("Summary of IEC 60228 with factors of stranding")
IEC_60228_MAKER = Source("Cable maker's page, conductor resistance by EN 60228")
IEC_60228_PAGE = Source("Engineering page, conductor resistance by IEC 60228")
VDE_0295_SHEET = Source("Cable maker's sheet, conductor resistance by VDE 0295")
ISO_6722_NOTE = Source("Engineering note, thin-wall car wire of 1.0 mm²")
SAE_CATALOGUE = Source("Marine cable catalogue 2023, AWG and SAE areas")
SAE_PAGE = Source("Marine supplier's table of AWG and SAE areas")
SAE_STRANDINGS = Source("Wire primer, strands of primary wire by gauge")
METRIC_NAMES_SAE = Source("Wire tables, metric sizes by gauge number")
METRIC_NAMES_ISO = Source("German service manual of 1998, mm² by gauge number")
AUSTRALIAN_SIZES = Source("Australian page, trade millimetres against real area")
BOAT_FUSES = Source(
    "33 CFR 183.455, overcurrent protection under 50 V",
    "https://self-law.org/code/us/cfr/t33/s%C2%A7%20183.455",
)
SHIP_FUSES = Source("46 CFR 111.50-3, overcurrent protection of conductors")
ENGINE_SPACE = Source("Marine supplier's page, 33 CFR values and engine spaces")
BUNDLES = Source("Cable maker's table, boat cable by UL 1426, bundled conductors")
BUNDLES_25 = Source("Marine catalogue, bundles of 25 and more (said to be for 50 V)")
INSULATION_SUMMARY = Source("Summary of SAE J1128-2020, insulation of primary wire")
AREA_AMPS_50C = Source("Club page, longest-lasting current by mm² at 50 °C")
AREA_AMPS_CLUB = Source("Club page, load by mm² and fuse by wire")
AREA_RULES_A = Source("Club page, wire section by use")
AREA_RULES_B = Source("Second club page, 5 A and 10 A per mm²")
CHASSIS_LIST = Source("Handbook list that circulates, amps for chassis wiring")
FUSE_BY_GAUGE = Source("Fuse seller's list, largest fuse by gauge")
FUSE_BY_GAUGE_CLUB = Source("Club page, 10, 12 and 14 AWG for 30, 20 and 15 A")

# Lamps, flashers, batteries, drops.
LAMP_DIRECTIVE = Source("Directive 97/24/EC, annex 15, sheet of P21/5W")
LAMP_UNECE = Source("UNECE GRE/2012/34, sheet of PY21/5W for Regulation 37")
LAMP_COMPARISON = Source("Comparison table of two-filament bulbs")
LAMP_TRADE = Source("Trade article on wedge bulbs")
LAMP_TRADE_B = Source("Second trade article on wedge bulbs")
LAMP_TOLERANCE = Source("Lamp maker's terms: design amps within 10 %")
SAE_J573D = Source(
    "SAE J573d (1968), head of table 1",
    "https://law.resource.org/pub/us/cfr/ibr/005/sae.j573d.1968.html",
)
FLASH_INTERPRETATION = Source(
    "Interpretation on SAE J945 (February 1966), flash rates and averages",
    "https://www.nhtsa.gov/interpretations/01931ztv",
)
FLASH_INTERPRETATION_B = Source("Interpretation 006498, second flash pattern")
FLASH_ADR = Source("Australian Design Rule 19/00, clause 6.3.11.1.1, as quoted")
FLASH_UN = Source("UN Regulation 53, clause 6.3.8.1, as quoted")
BATTERY_TABLE = Source("Battery maker's table at 26.7 °C with temperature correction")
BATTERY_MAGAZINE = Source("Magazine table of resting volts")
BATTERY_LIST = Source("Mailing list, rule of thumb of resting volts")
BATTERY_HOBBY = Source("Hobby page, resting volts")
CHARGING_A = Source("Trade table, volts with the engine running")
CHARGING_B = Source("Trade article, charging volts")
DROPS_MANUAL_1999 = Source("German service manual of 1999, SAE drop limits")
DROPS_SELLER = Source("Battery seller's page, SAE drop limits")
DROPS_MANUAL_2001 = Source("Japanese service manual of 2001, voltage drop")
DROPS_MANUAL_1997 = Source("Korean service manual of 1997, voltage drop")
DROPS_TESTER = Source("Test tool maker's page, 5 % of 12.6 V")
DROPS_WEAK = Source("Machine-written encyclopedia, voltage drop test (weak source)")
DROPS_BOATS = Source("Marine maker quoting 3 % and 10 % rules for boats")

# Terminals and relays.
TERMINALS_A = Source("Encyclopedia copy, terminal numbers of DIN 72552")
TERMINALS_B = Source("Workshop page, extract of DIN 72552")
TERMINALS_C = Source("Handbook-style list of DIN 72552 terminal numbers")
TERMINALS_OLD = Source("German page for old cars, old and present terminal names")
WIPER_A = Source("German repair text, wiper motor terminals")
WIPER_B = Source("Second German repair text, wiper motor terminals")
TRAILER_PAGE = Source("Workshop page, 7-pole trailer socket and its wires")
RELAY_LAYOUTS = Source("Trade article on relay terminals, layouts and tab widths")
RELAY_RATINGS = Source("Trade article on relay ratings and coil current")
