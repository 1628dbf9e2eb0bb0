import pytest

from halfbat.errors import KitError
from halfbat.settings.brickwork import BOND_CHOICES
from halfbat.surfaces.bonds import BONDS, get_bond
from halfbat.surfaces.formats import get_format
from halfbat.surfaces.pieces import Kind

UK = get_format("uk_metric")


def test_every_choice_of_the_settings_exists():
    assert {bond.key for bond in BONDS} == set(BOND_CHOICES)


@pytest.mark.parametrize("bond", BONDS, ids=lambda bond: bond.key)
def test_core_reads_the_same_both_ways(bond):
    for row in bond.courses:
        for face in (row.stretcher_face, row.header_face):
            assert face.core == face.core[::-1]
            assert face.period


@pytest.mark.parametrize("bond", BONDS, ids=lambda bond: bond.key)
def test_quoin_brick_shows_the_aspect_it_should(bond):
    for row in bond.courses:
        stretcher, header = (
            (face.start + face.core + face.period)[0] for face in (row.stretcher_face, row.header_face)
        )
        assert stretcher in (Kind.STRETCHER, Kind.THREE_QUARTER_BAT)
        assert header is Kind.HEADER


def test_number_of_stretcher_courses_is_set_where_a_bond_has_one():
    assert len(get_bond("english_garden_wall").courses) == 4
    assert len(get_bond("common").courses) == 6
    assert len(get_bond("common", 3).courses) == 4
    assert len(get_bond("flemish", 3).courses) == 1


def test_unknown_bond_is_refused_with_the_names_of_all():
    with pytest.raises(KitError, match=r"stretcher, header.*rat_trap"):
        get_bond("herringbone")


def test_no_stretcher_courses_are_refused():
    with pytest.raises(KitError):
        get_bond("common", 0)


def test_header_bonds_refuse_bricks_three_times_as_long_as_wide():
    norman = get_format("us_norman")
    assert get_bond("stretcher").modules(norman).ratio == 3
    with pytest.raises(KitError, match="twice as long as wide"):
        get_bond("english").modules(norman)


def test_rat_trap_refuses_flat_bricks():
    with pytest.raises(KitError, match="as long as high"):
        get_bond("rat_trap").modules(get_format("us_roman"))


def test_rat_trap_courses_are_a_brick_width_high():
    bond = get_bond("rat_trap")
    assert bond.gauge_m(UK) == pytest.approx(0.1125)
    assert bond.bed_joint_m(UK) == pytest.approx(0.010)
    assert bond.modules(UK).ratio == 3
