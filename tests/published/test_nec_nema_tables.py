"""Motor and electrical-code tables of the USA, cell by cell, through the functions that use them."""

import numpy as np
import pytest

from airfettle import tables
from airfettle.parts import conductor, drive, motor, motor_class, motor_limits, overcurrent

SOURCE = "nec"
SURE = "A"

HP = 745.7
LB_FT = 1.3558179
LB_FT2 = 0.0421401101


def check_row(published, row, columns, printed, unit, compute, **more):
    for column, value in zip(columns, printed, strict=True):
        published(f"{row} {column}", printed=value, computed=compute(column), unit=unit, abs=0.0, **more)


THREE_PHASE = {
    "E01": (0.5, (2.5, 2.4, 2.2, 1.1, 0.9)),
    "E02": (0.75, (3.7, 3.5, 3.2, 1.6, 1.3)),
    "E03": (1, (4.8, 4.6, 4.2, 2.1, 1.7)),
    "E04": (1.5, (6.9, 6.6, 6.0, 3.0, 2.4)),
    "E05": (2, (7.8, 7.5, 6.8, 3.4, 2.7)),
    "E06": (3, (11.0, 10.6, 9.6, 4.8, 3.9)),
    "E07": (5, (17.5, 16.7, 15.2, 7.6, 6.1)),
    "E08": (7.5, (25.3, 24.2, 22, 11, 9)),
    "E09": (10, (32.2, 30.8, 28, 14, 11)),
    "E10": (15, (48.3, 46.2, 42, 21, 17)),
    "E11": (20, (62.1, 59.4, 54, 27, 22)),
    "E12": (25, (78.2, 74.8, 68, 34, 27)),
}


@pytest.mark.parametrize("row", THREE_PHASE)
def test_table_430_250(published, row):
    hp, printed = THREE_PHASE[row]
    for volts, amps in zip((200, 208, 230, 460, 575), printed, strict=True):
        computed = motor_class.table_current(hp * HP, voltage=volts)
        published(f"{row} {volts} V", printed=amps, computed=computed, unit="A", abs=0.0)


SINGLE_PHASE = [
    ("E13", 0.5, (9.8, 5.6, 5.4, 4.9)),
    ("E14", 0.75, (13.8, 7.9, 7.6, 6.9)),
    ("E14", 1, (16, 9.2, 8.8, 8.0)),
    ("E15", 1.5, (20, 11.5, 11, 10)),
    ("E15", 2, (24, 13.8, 13.2, 12)),
    ("E16", 3, (34, 19.6, 18.7, 17)),
    ("E16", 5, (56, 32.2, 30.8, 28)),
    ("E17", 7.5, (80, 46, 44, 40)),
    ("E17", 10, (100, 57.5, 55, 50)),
]


@pytest.mark.parametrize(("row", "hp", "printed"), SINGLE_PHASE, ids=[f"{r} {h:g} hp" for r, h, _ in SINGLE_PHASE])
def test_table_430_248(published, row, hp, printed):
    for volts, amps in zip((115, 200, 208, 230), printed, strict=True):
        computed = motor_class.table_current(hp * HP, voltage=volts, phases=1)
        published(f"{row} {hp:g} hp {volts} V", printed=amps, computed=computed, unit="A", abs=0.0, sure="B")


@pytest.mark.parametrize(("hp", "phases", "printed"), [(5, 3, 19.0), (10, 3, 35.0), (7.5, 1, 50.0)])
def test_conductor_ampacity_of_a_motor(published, hp, phases, printed):
    current = motor_class.table_current(hp * HP, voltage=230, phases=phases)
    computed = conductor.required_ampacity(current)
    published(f"E18 {hp:g} hp {phases}-phase", printed=printed, computed=computed, unit="A", abs=0.0)


def test_device_maxima(published):
    printed = {"non-time-delay fuse": 300, "dual-element fuse": 175, "instantaneous breaker": 800,
               "inverse-time breaker": 250}  # fmt: skip
    for device, share in printed.items():
        computed = 100 * overcurrent.device_share(device)
        published(f"E19 {device}", printed=share, computed=computed, unit="%", abs=0.0)
    computed = 100 * overcurrent.device_share("instantaneous breaker", energy_efficient=True)
    published("E19 instantaneous breaker, design B", printed=1100, computed=computed, unit="%", abs=0.0)


@pytest.mark.parametrize(
    ("device", "before", "rating"), [("inverse-time breaker", 70.0, 70.0), ("dual-element fuse", 49.0, 50.0)]
)
def test_devices_of_a_ten_horsepower_motor(published, device, before, rating):
    current = motor_class.table_current(10 * HP, voltage=230)
    computed = current * overcurrent.device_share(device)
    published(f"E20 {device}", printed=before, computed=computed, unit="A", abs=0.0, sure="C")
    computed = overcurrent.device_maximum(current, device=device)
    published(f"E20 {device}, standard size", printed=rating, computed=computed, unit="A", abs=0.0, sure="C")


def test_drive_conductors(published):
    supply_side = conductor.required_ampacity(24.0) / 24.0
    published("E21 supply side, of rated input current", printed=1.25, computed=supply_side, unit="-", abs=0.0)
    current = motor_class.table_current(5 * HP, voltage=230)
    motor_side = conductor.required_ampacity(current) / current
    published("E21 motor side, of table current", printed=1.25, computed=motor_side, unit="-", abs=0.0)


AWG = ("14", "12", "10", "8", "6", "4", "3", "2")


def test_ampacity(published):
    def at(system):
        return lambda size: conductor.ampacities(system)[conductor.size_names(system).index(size)]

    check_row(published, "E23 75 degC", AWG, (20, 25, 35, 50, 65, 85, 100, 115), "A", at("nec-75"))
    check_row(published, "E24 60 degC", AWG, (15, 20, 30, 40, 55, 70, 85, 95), "A", at("nec-60"), sure="B")
    check_row(published, "E24 before 2011", AWG[:2], (20, 25), "A", at("nec-60-before-2011"), sure="B")


@pytest.mark.parametrize(("required", "size"), [(20.0, "14"), (20.1, "12"), (35.0, "10"), (50.0, "8"), (115.0, "2")])
def test_the_smallest_conductor_of_a_cell_is_that_cell(published, required, size):
    chosen = conductor.smallest_conductor(required, system="nec-75")
    row = conductor.size_names("nec-75").index(size)
    published(f"E23 smallest for {required:g} A", printed=row, computed=chosen.index, unit="row", abs=0.0)


def test_small_conductors(published):
    check_row(published, "E25", AWG[:3], (15, 20, 30), "A", overcurrent.small_conductor_limit)


def test_ambient_correction(published):
    printed = {31: 0.94, 35: 0.94, 36: 0.88, 40: 0.88, 41: 0.82, 45: 0.82, 46: 0.75, 50: 0.75}
    for degrees, factor in printed.items():
        computed = conductor.ambient_factor(degrees + 273.15, system="nec-75")
        published(f"E26 {degrees} degC", printed=factor, computed=computed, unit="-", abs=0.0, sure="B")


def test_earth_conductor(published):
    sizes = overcurrent.earth_conductor_sizes()
    for amps, size in {15: 14, 20: 12, 60: 10, 100: 8, 200: 6, 300: 4}.items():
        computed = int(sizes[int(overcurrent.earth_conductor_row(amps))])
        published(f"E27 {amps} A", printed=size, computed=computed, unit="AWG", abs=0.0)


def test_resistance(published):
    def kilofoot(strand):
        return lambda size: conductor.resistances("nec-75", strand=strand)[AWG.index(size)] * 304.8

    printed = (3.14, 1.98, 1.24, 0.778, 0.491, 0.308, 0.245, 0.194)
    check_row(published, "E28", AWG, printed, "ohm/kft", kilofoot("stranded"))
    check_row(published, "E29", AWG[:4], (3.07, 1.93, 1.21, 0.764), "ohm/kft", kilofoot("solid"))


def test_voltage_drop(published):
    ohms = conductor.resistances("nec-75")[AWG.index("8")]
    drop = conductor.voltage_drop(28.0, resistance=ohms, length=100 * 0.3048, phases=3)
    published("E30", printed=3.77, computed=drop, unit="V", rel=0.005, sure="C")
    published("E30 share", printed=1.64, computed=100 * drop / 230, unit="%", rel=0.005, sure="C")


SIZES = (1, 1.5, 2, 3, 5, 7.5, 10, 15, 20, 25)
EFFICIENCIES = {
    "E32": (4, "enclosed", (85.5, 86.5, 86.5, 89.5, 89.5, 91.7, 91.7, 92.4, 93.0, 93.6)),
    "E33": (4, "open", (85.5, 86.5, 86.5, 89.5, 89.5, 91.0, 91.7, 93.0, 93.0, 93.6)),
    "E34": (2, "enclosed", (77.0, 84.0, 85.5, 86.5, 88.5, 89.5, 90.2, 91.0, 91.0, 91.7)),
    "E35": (6, "enclosed", (82.5, 87.5, 88.5, 89.5, 89.5, 91.0, 91.0, 91.7, 91.7, 93.0)),
}


@pytest.mark.parametrize("row", EFFICIENCIES)
def test_premium_efficiency(published, row):
    poles, enclosure, printed = EFFICIENCIES[row]
    for hp, value in zip(SIZES, printed, strict=True):
        computed = 100 * motor_class.full_load_efficiency(hp * HP, poles=poles, enclosure=enclosure)
        published(f"{row} {hp:g} hp", printed=value, computed=computed, unit="%", abs=0.0, source="wac-51-11c")


def test_efficiency_of_1997(published):
    printed = (82.5, 84.0, 84.0, 87.5, 87.5, 89.5, 89.5, 91.0, 91.0, 92.4)
    for hp, value in zip(SIZES, printed, strict=True):
        computed = 100 * motor_class.full_load_efficiency(hp * HP, standard="1997")
        published(f"1997 4-pole enclosed {hp:g} hp", printed=value, computed=computed, unit="%", abs=0.0,
                  source="cfr-431-25")  # fmt: skip


def test_locked_rotor_current(published):
    printed = (30, 40, 50, 64, 92, 127, 162, 232, 290, 365)
    for hp, amps in zip(SIZES, printed, strict=True):
        computed = motor_class.locked_rotor_current(hp * HP, voltage=230)
        published(f"E36 {hp:g} hp 230 V", printed=amps, computed=computed, unit="A", abs=0.0, source="nema-mg1")
    computed = motor_class.locked_rotor_current(5 * HP, voltage=460)
    published("E36 5 hp 460 V", printed=46, computed=computed, unit="A", abs=0.0, source="nema-mg1")


@pytest.mark.parametrize(("hp", "ratio"), [(5, 6.05), (10, 5.79)])
def test_locked_over_full_load(published, hp, ratio):
    locked = motor_class.locked_rotor_current(hp * HP, voltage=230)
    computed = locked / motor_class.table_current(hp * HP, voltage=230)
    published(f"E37 {hp} hp", printed=ratio, computed=computed, unit="-", rel=0.01, sure="C")


def test_code_letters(published):
    printed = {"F": (5.0, 5.59), "G": (5.6, 6.29), "H": (6.3, 7.09), "J": (7.1, 7.99), "K": (8.0, 8.99)}
    for letter, (low, high) in printed.items():
        span = motor_class.locked_rotor_current_by_letter(letter, power=HP, voltage=230)
        for end, value, amps in (("low", low, span.low), ("high", high, span.high)):
            computed = amps * np.sqrt(3) * 230 / 1000
            published(f"E38 {letter} {end}", printed=value, computed=computed, unit="kVA/hp", abs=0.0)


def test_torques(published):
    seen = (3, 5, 7.5, 10)
    for hp, percent in zip(seen, (215, 185, 175, 165), strict=True):
        computed = 100 * motor_class.locked_rotor_torque_ratio(hp * HP)
        published(f"E40 {hp:g} hp", printed=percent, computed=computed, unit="%", abs=0.0, source="nema-mg1")
    for hp, percent in zip(seen, (250, 225, 215, 200), strict=True):
        computed = 100 * motor_class.breakdown_torque_ratio(hp * HP)
        published(f"E41 {hp:g} hp", printed=percent, computed=computed, unit="%", abs=0.0, source="nema-mg1")


def test_torques_from_memory(published):
    for hp, percent in zip((1, 1.5, 2, 15, 20, 25), (275, 250, 235, 160, 150, 150), strict=True):
        computed = 100 * motor_class.locked_rotor_torque_ratio(hp * HP)
        published(f"E42 {hp:g} hp", printed=percent, computed=computed, unit="%", abs=0.0, source="nema-mg1", sure="M")
    for hp, percent in zip((1, 1.5, 2), (300, 280, 270), strict=True):
        computed = 100 * motor_class.breakdown_torque_ratio(hp * HP)
        published(f"E43 {hp:g} hp", printed=percent, computed=computed, unit="%", abs=0.0, source="nema-mg1", sure="M")


def test_design_envelope(published):
    table = tables.load("nema_designs")
    printed = {
        "locked torque": ((70, 275), (200, 250)),
        "breakdown": ((175, 300), (190, 225)),
        "locked current": ((600, 700), (600, 700)),
    }
    for what, rows in printed.items():
        for i, design in enumerate(table.words("design")):
            for end, value in zip(("low", "high"), rows[i], strict=True):
                computed = table.numbers(f"{what} {end}")[i]
                published(f"E44 {design} {what} {end}", printed=value, computed=computed, unit="%", abs=0.0,
                          source="nema-mg10")  # fmt: skip
    computed = table.numbers("slip high")[0]
    published("E44 B slip high", printed=5, computed=computed, unit="%", abs=0.0, source="nema-mg10")


@pytest.mark.parametrize("poles", [2, 4, 6])
@pytest.mark.parametrize("hp", SIZES)
def test_design_b_torques_lie_in_the_envelope(published, hp, poles):
    locked = 100 * motor_class.locked_rotor_torque_ratio(hp * HP, poles=poles)
    published.band(f"E44 locked {hp:g} hp {poles}-pole", low=70, high=275, computed=locked, unit="%",
                   source="nema-mg10", sure="M")  # fmt: skip
    most = 100 * motor_class.breakdown_torque_ratio(hp * HP, poles=poles)
    published.band(f"E44 breakdown {hp:g} hp {poles}-pole", low=175, high=300, computed=most, unit="%",
                   source="nema-mg10", sure="M")  # fmt: skip


def test_torque_formula(published):
    torque = motor.rated_torque(5 * HP, speed=1750 / 60)
    published("E45 lb ft", printed=15.01, computed=torque / LB_FT, unit="lb ft", rel=0.001, sure="A*",
              source="torque-formula")  # fmt: skip
    published("E45 N m", printed=20.35, computed=torque, unit="N m", rel=0.001, sure="A*", source="torque-formula")


@pytest.mark.parametrize(("hp", "low", "high"), [(1, 1725, 1750), (2, 1725, 1750), (3, 1740, 1760), (5, 1740, 1760),
                                                 (7.5, 1760, 1775), (25, 1760, 1775)])  # fmt: skip
def test_typical_speed(published, hp, low, high):
    slip = motor_class.typical_slip(hp * HP)
    for end, printed, value in (("low", low, slip.high), ("high", high, slip.low)):
        published(f"E46 {hp:g} hp {end}", printed=printed, computed=1800 * (1 - value), unit="rpm", rel=0.01,
                  sure="CP", source="practice")  # fmt: skip


def test_supply_variation(published):
    shares = 1 + np.arange(0, 2001) / 10_000

    def edge(**fixed):
        inside = motor_limits.supply_variation_margin(**fixed) >= -1e-12
        return 100 * (shares[inside].max() - 1)

    more = {"unit": "%", "abs": 1e-9, "source": "nema-mg1"}
    published("E47 voltage", printed=10, computed=edge(voltage_share=shares, frequency_share=1.0), **more)
    published("E47 frequency", printed=5, computed=edge(voltage_share=1.0, frequency_share=shares), **more)
    published("E47 combined, with 4 % frequency", printed=6, computed=edge(voltage_share=shares, frequency_share=1.04),
              **more)  # fmt: skip


def test_three_phase_drive_on_one_phase(published):
    legs = [drive.input_current(4000.0, voltage=230.0, phases=n, true_power_factor=0.75) for n in (1, 3)]
    more = {"source": "drive-manual", "sure": "B"}
    published.band("E49 live-leg current, equal power factor", low=1.73, high=2.0, computed=legs[0] / legs[1],
                   unit="-", **more)  # fmt: skip
    published("E49 output share", printed=50, unit="%", abs=0.0,
              computed=100 * drive.output_current_limit(1.0, input_phases=1), **more)  # fmt: skip
    for phases, hertz in ((1, 120), (3, 360)):
        published(f"E49 bus ripple, {phases}-phase", printed=hertz, unit="Hz", abs=0.0,
                  computed=drive.bus_ripple_frequency(60.0, phases=phases), **more)  # fmt: skip
    bare, fitted = (drive.power_factor_span(phases=1, reactor=has).likely for has in (False, True))
    fall = drive.input_current(4000.0, voltage=230.0, phases=1, true_power_factor=fitted)
    fall /= drive.input_current(4000.0, voltage=230.0, phases=1, true_power_factor=bare)
    published.band("E49 current with a reactor over that without", low=0.6, high=0.99, computed=fall, unit="-", **more)


@pytest.mark.parametrize(("factor", "amps"), [(0.65, 28.7), (0.95, 19.7)])
def test_single_phase_input_amps(published, factor, amps):
    taken = 5 * HP / 0.895 / 0.97
    computed = drive.input_current(taken, voltage=230.0, phases=1, true_power_factor=factor)
    published(f"E50 pf {factor}", printed=amps, computed=computed, unit="A", rel=0.01, sure="C", source="physics")


STARTS = {
    "R09": (4, "A", (30, 25.7, 23, 19.8, 16.3, 13.9, 12.5, 10.7, 9.6, 8.8)),
    "R10": (2, "A", (15, 12.9, 11.5, 9.9, 8.1, 7.0, 6.2, 5.4, 4.8, 4.4)),
    "R11": (6, "A", (34, 29.1, 26.1, 22.4, 18.4, 15.8, 14.2, 12.1, 10.9, 10.0)),
    "R12": (4, "B", (5.8, 8.6, 11, 17, 27, 39, 51, 75, 99, 122)),
    "R13": (4, "C", (38, 38, 39, 40, 42, 44, 46, 50, 55, 58)),
}


@pytest.mark.parametrize("row", STARTS)
def test_starts(published, row):
    poles, column, printed = STARTS[row]
    units = {"A": "1/h", "B": "lb ft2/h", "C": "s"}
    for hp, value in zip(SIZES, printed, strict=True):
        allowed = motor_class.allowable_starts(hp * HP, poles=poles)
        computed = {"A": allowed.rate * 3600, "B": allowed.inertia_rate * 3600 / LB_FT2, "C": allowed.rest}[column]
        published(f"{row} {hp:g} hp", printed=value, computed=computed, unit=units[column], abs=0.0,
                  source="nema-mg10")  # fmt: skip


def test_starts_with_a_heavy_load(published):
    allowed = motor_class.allowable_starts(25 * HP)
    computed = 3600 * motor_class.start_rate_limit(allowed, load_inertia=50 * LB_FT2)
    published("starts, 25 hp 4 pole, load 50 lb ft2 (the copy's own example)", printed=2.44, computed=computed,
              unit="1/h", abs=0.005, source="nema-mg10")  # fmt: skip
