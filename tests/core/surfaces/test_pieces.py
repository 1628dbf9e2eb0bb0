from halfbat.surfaces.pieces import Kind, Modules


def test_quarter_brick_is_the_unit_of_a_brick_twice_as_long_as_wide():
    modules = Modules(2, 0.05625)
    lengths = {kind: modules.units(kind) for kind in Kind}
    assert lengths[Kind.STRETCHER] == 4
    assert lengths[Kind.HEADER] == lengths[Kind.HALF_BAT] == 2
    assert lengths[Kind.QUEEN_CLOSER] == 1
    assert lengths[Kind.THREE_QUARTER_BAT] == 3


def test_total_adds_pieces():
    assert Modules(2, 0.05625).total((Kind.HEADER, Kind.QUEEN_CLOSER, Kind.STRETCHER)) == 7


def test_long_bricks_keep_the_header_over_the_stretcher():
    modules = Modules(3, 0.05)
    header_centre = modules.units(Kind.HEADER) + modules.units(Kind.QUEEN_CLOSER) + modules.units(Kind.STRETCHER) + 1
    module = modules.units(Kind.STRETCHER) + modules.units(Kind.HEADER)
    assert header_centre == module + modules.units(Kind.STRETCHER) / 2


def test_labels_are_trade_words():
    assert [kind.label for kind in Kind if kind is not Kind.VOID] == [
        "stretcher",
        "header",
        "queen closer",
        "king closer",
        "half bat",
        "three-quarter bat",
        "cut bat",
    ]
