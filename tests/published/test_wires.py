"""Wires against IEC 60228, ASTM B258, IACS and 33 CFR 183.425, as public copies print them."""

from __future__ import annotations

import math

import pytest

from catalog.provenance import BasisKind
from catalog.wires import (
    COPPER_RESISTIVITY,
    ampacity,
    awg,
    conductor,
    heat_factor,
    metric,
)
from catalog.wires.ampacity import hot_place_factor
from catalog.wires.copper import PER_KELVIN_BASIS
from retrofit.wiring.wire_size import STRANDS

# IEC 60228:2004 Table 3, class 5 and 6, greatest ohms per kilometre at 20 °C: plain, tinned.
IEC_60228_TABLE_3 = {
    "0.5 mm²": (39.0, 40.1),
    "0.75 mm²": (26.0, 26.7),
    "1 mm²": (19.5, 20.0),
    "1.5 mm²": (13.3, 13.7),
    "2.5 mm²": (7.98, 8.21),
    "4 mm²": (4.95, 5.09),
    "6 mm²": (3.30, 3.39),
    "10 mm²": (1.91, 1.95),
    "16 mm²": (1.21, 1.24),
    "25 mm²": (0.780, 0.795),
}
# IEC 60228:2004 Tables 1 and 2, class 1 and 2, plain.
IEC_60228_TABLES_1_2 = {
    "0.5 mm²": 36.0,
    "0.75 mm²": 24.5,
    "1 mm²": 18.1,
    "1.5 mm²": 12.1,
    "2.5 mm²": 7.41,
    "4 mm²": 4.61,
    "6 mm²": 3.08,
    "10 mm²": 1.83,
    "16 mm²": 1.15,
    "25 mm²": 0.727,
}
# ASTM B258 diameters in thousandths of an inch by d = 5·92^((36−n)/39), and ohms per thousand
# feet of IACS copper; 10.15, 16.14 and 25.67 stand on public pages.
AWG_OHM_PER_KFT = {20: 10.15, 22: 16.14, 24: 25.67}
AWG_MM2 = {10: 5.2612, 12: 3.3088, 14: 2.0809, 16: 1.3087, 18: 0.8230, 20: 0.5176, 26: 0.1288}
# 33 CFR 183.425, Table 5, allowable amperes at 30 °C with insulation for 60, 75, 80, 90, 105,
# 125 and 200 °C.
CFR_183_425 = {
    "AWG 18": (10, 10, 15, 20, 20, 25, 25),
    "AWG 16": (15, 15, 20, 25, 25, 30, 35),
    "AWG 14": (20, 20, 25, 30, 35, 40, 45),
    "AWG 12": (25, 25, 35, 40, 45, 50, 55),
    "AWG 10": (40, 40, 50, 55, 60, 70, 70),
    "AWG 8": (55, 65, 70, 70, 80, 90, 100),
    "AWG 6": (80, 95, 100, 100, 120, 125, 135),
    "AWG 4": (105, 125, 130, 135, 160, 170, 180),
}
RATED = (60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 200.0)


def test_that_flexible_wire_has_the_greatest_ohms_of_iec_60228_table_3() -> None:
    found = {
        one.size: (one.ohm_per_metre * 1e3, (one.tinned_ohm_per_metre or 0.0) * 1e3)
        for one in metric("flexible")
    }
    assert found.keys() == IEC_60228_TABLE_3.keys()
    for size, wanted in IEC_60228_TABLE_3.items():
        assert found[size] == pytest.approx(wanted, rel=1e-12)


def test_that_solid_wire_has_the_greatest_ohms_of_iec_60228_tables_1_and_2() -> None:
    found = {one.size: one.ohm_per_metre * 1e3 for one in metric("solid")}
    assert found == pytest.approx(IEC_60228_TABLES_1_2, rel=1e-12)


@pytest.mark.parametrize("make", ["flexible", "solid", "vehicle"])
def test_that_every_greatest_value_lies_above_the_nominal_area_in_iacs_copper(
    make: str,
) -> None:
    makes = {"flexible": metric("flexible"), "solid": metric("solid"), "vehicle": metric("vehicle")}
    for one in makes[make]:
        assert one.greatest
        assert one.copper_ohm_per_metre == pytest.approx(1e-6 / 58.0 / one.area)
        assert one.copper_ohm_per_metre < one.ohm_per_metre
        assert one.ohm_per_metre < (one.tinned_ohm_per_metre or math.inf)


def test_that_of_iso_6722_1_only_the_row_that_was_seen_is_called_published() -> None:
    vehicle = {one.size: one for one in metric("vehicle")}
    published = [size for size, one in vehicle.items() if one.basis.kind is BasisKind.PUBLISHED]
    assert published == ["1.5 mm²"]
    # ISO 6722-1:2011, 1.5 mm², 12.7 mΩ/m: the value seen on a public page.
    assert vehicle["1.5 mm²"].ohm_per_metre == pytest.approx(12.7e-3, rel=1e-12)
    others = [one for one in vehicle.values() if one.size != "1.5 mm²"]
    assert {one.basis.kind for one in others} == {BasisKind.MEMORY}


def test_that_vehicle_wire_from_memory_lies_below_the_flexible_limits_of_iec_60228() -> None:
    # A plausibility of the rows from memory, no check against the standard.
    flexible = {one.size: one.ohm_per_metre for one in metric("flexible")}
    both = [one for one in metric("vehicle") if one.size in flexible]
    assert len(both) >= 8
    assert all(one.ohm_per_metre < flexible[one.size] for one in both)


@pytest.mark.parametrize("number", range(-3, 31))
def test_that_wire_gauges_follow_the_formula_of_astm_b258(number: int) -> None:
    found = awg(number)
    inches = math.sqrt(4.0 * found.area / math.pi) / 0.0254
    assert inches == pytest.approx(0.005 * 92.0 ** ((36 - number) / 39.0), rel=1e-12)
    assert found.ohm_per_metre == pytest.approx(COPPER_RESISTIVITY / found.area, rel=1e-12)
    assert not found.greatest


def test_that_wire_gauge_sizes_have_the_areas_and_ohms_of_public_tables() -> None:
    assert {n: round(awg(n).area * 1e6, 4) for n in AWG_MM2} == AWG_MM2
    for number, ohm in AWG_OHM_PER_KFT.items():
        assert awg(number).ohm_per_metre * 304.8 == pytest.approx(ohm, abs=0.005)
    # The formula's ends: 0.46 inch of AWG 4/0 and 0.005 inch of AWG 36, 92 times apart.
    assert math.sqrt(4.0 * awg(-3).area / math.pi) == pytest.approx(0.46 * 0.0254, rel=1e-12)


def test_that_copper_has_the_resistivity_of_iacs() -> None:
    # IEC 60028:1925: 0.15328 Ω·g/m², density 8.89 g/cm³, 1/58 Ω·mm²/m.
    assert pytest.approx(0.15328 / 8.89 * 1e-6, rel=1e-4) == COPPER_RESISTIVITY
    assert pytest.approx(1e-6 / 58.0, rel=1e-12) == COPPER_RESISTIVITY


def test_that_copper_grows_with_heat_as_iacs_has_it() -> None:
    assert PER_KELVIN_BASIS.kind is BasisKind.MEMORY
    # 1 + 0.00393·(T − 20), computed: −40, 85, 100, 120 °C.
    wanted = {-40.0: 0.76420, 85.0: 1.25545, 100.0: 1.31440, 120.0: 1.39300}
    assert {at: heat_factor(at) for at in wanted} == pytest.approx(wanted, abs=1e-9)
    # IEC 60228 prints factors to 20 °C, 1.064 at 5 °C and 0.758 at 100 °C; half a per cent.
    assert 1.0 / heat_factor(5.0) == pytest.approx(1.064, rel=5e-3)
    assert 1.0 / heat_factor(100.0) == pytest.approx(0.758, rel=5e-3)


def test_that_five_metres_of_flexible_wire_have_the_ohms_of_the_worked_runs() -> None:
    # R20·ℓ of IEC 60228 class 5, and at 85 °C.
    wanted = {"0.5": 0.1950, "0.75": 0.1300, "1 mm²": 0.0975, "1.5": 0.0665, "2.5": 0.0399}
    found = {size: conductor(size).ohms(5.0) for size in wanted}
    assert found == pytest.approx(wanted, abs=5e-5)
    assert conductor("0.5").ohms(5.0, 85.0) == pytest.approx(0.2448, abs=5e-5)


@pytest.mark.parametrize("size", CFR_183_425)
def test_that_ampacities_are_those_of_33_cfr_183_425(size: str) -> None:
    found = [ampacity(conductor(size), rated) for rated in RATED]
    assert tuple(one.amperes for one in found if one is not None) == CFR_183_425[size]
    assert {one.basis.kind for one in found if one is not None} == {BasisKind.PUBLISHED}


def test_that_engine_spaces_take_from_a_wire_what_note_1_of_33_cfr_183_425_takes() -> None:
    # 0.85 for insulation of 105 °C at 50 °C around it.
    assert hot_place_factor(105.0, 50.0) == pytest.approx(0.85, abs=0.01)


def test_that_rows_of_ampacity_that_the_regulation_lacks_say_so() -> None:
    kinds = {size: ampacity(conductor(size)) for size in ("0.5", "0.75", "1 mm²")}
    assert [one and one.basis.kind for one in kinds.values()] == [
        BasisKind.ASSUMED,
        BasisKind.MEMORY,
        BasisKind.PUBLISHED,
    ]


def test_that_the_addition_for_strands_covers_every_size_of_iec_60228_class_5() -> None:
    for size, (_, tinned) in IEC_60228_TABLE_3.items():
        area = float(size.removesuffix(" mm²"))
        assert tinned <= (1.0 + STRANDS) * 1000.0 / 58.0 / area
