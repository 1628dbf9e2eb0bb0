"""How fast walls become solids, beside other ways to the same solids.

Run with ``pytest tests/benchmarks --benchmark-only``; groups stand side by side in one table each. Blender's booleans
take part where ``bpy`` can be imported.
"""

import tracemalloc

import pytest

from figure_samples import arched_wall, plain_wall
from halfbat.output.stl import stl_bytes, write_stl
from halfbat.solids.plate import plate
from halfbat.solids.sheet import lay
from halfbat.solids.verify import faults

WALLS = {1_000: (20, 50), 10_000: (100, 100), 100_000: (400, 250)}
KINDS = {"plain": plain_wall, "arched": arched_wall}


def measured(benchmark, group, work, *, bricks, rounds=None):
    """Run work as often as its size allows, and note what it made."""
    benchmark.group = f"{group}, {bricks} bricks"
    made = benchmark.pedantic(work, rounds=rounds or {1_000: 20, 10_000: 10, 100_000: 3}[bricks], warmup_rounds=1)
    benchmark.extra_info["bricks per second"] = round(bricks / benchmark.stats.stats.min)
    return made


@pytest.fixture(params=[(kind, bricks) for kind in KINDS for bricks in WALLS], ids=lambda p: f"{p[0]}-{p[1]}")
def wall(request):
    kind, bricks = request.param
    return kind, bricks, KINDS[kind](*WALLS[bricks])


def test_figure_to_solid(benchmark, wall):
    kind, bricks, reliefs = wall
    solid = measured(benchmark, kind, lambda: plate(*reliefs), bricks=bricks)
    benchmark.extra_info["triangles"] = len(solid.triangles)


def test_figure_to_verified_solid(benchmark, wall):
    kind, bricks, reliefs = wall

    def work():
        solid = plate(*reliefs)
        return solid, faults(solid)

    _, found = measured(benchmark, kind, work, bricks=bricks)
    assert found == ()


def test_figure_to_verified_stl(benchmark, wall):
    kind, bricks, reliefs = wall

    def work():
        solid = plate(*reliefs)
        return faults(solid), stl_bytes(solid)

    assert measured(benchmark, kind, work, bricks=bricks)[0] == ()


def test_bytes_of_its_stl(benchmark, wall):
    kind, bricks, reliefs = wall
    solid = plate(*reliefs)
    measured(benchmark, kind, lambda: stl_bytes(solid), bricks=bricks)


def test_writing_its_stl(benchmark, wall, tmp_path):
    kind, bricks, reliefs = wall
    solid = plate(*reliefs)
    measured(benchmark, kind, lambda: write_stl(solid, tmp_path / "wall.stl"), bricks=bricks)


@pytest.mark.parametrize("way", ["by_sections", "by_cubes"])
def test_manifold3d(benchmark, wall, way):
    import rival_solids

    kind, bricks, reliefs = wall
    if bricks == 100_000 and (way == "by_cubes" or kind == "arched"):
        pytest.skip("takes minutes")
    work = getattr(rival_solids, way)
    count, _ = measured(benchmark, kind, lambda: work(reliefs[0]), bricks=bricks, rounds=max(1, 3_000 // bricks))
    benchmark.extra_info["triangles"] = count


@pytest.mark.parametrize("solver", ["EXACT", "FAST", "FLOAT", "MANIFOLD"])
@pytest.mark.parametrize("bricks", [1_000, 10_000])
def test_blender(benchmark, solver, bricks):
    bpy = pytest.importorskip("bpy")
    import rival_solids

    known = bpy.types.BooleanModifier.bl_rna.properties["solver"].enum_items.keys()
    if solver not in known:
        pytest.skip(f"this Blender has no solver {solver}")
    front, _ = plain_wall(*WALLS[bricks])
    count = measured(benchmark, "plain", lambda: rival_solids.by_blender(bpy, front, solver), bricks=bricks, rounds=1)
    benchmark.extra_info["triangles"] = count


@pytest.mark.parametrize("bricks", [1_000, 10_000])
def test_sheet_beside_a_delaunay_triangulation(benchmark, bricks):
    import rival_solids

    front, _ = arched_wall(*WALLS[bricks])
    sheet = measured(benchmark, "sheet, arched", lambda: lay(front.figure), bricks=bricks)
    needed = rival_solids.delaunay_count(front.figure, sheet)
    benchmark.extra_info["triangles"] = len(sheet.triangles)
    benchmark.extra_info["times Delaunay"] = round(len(sheet.triangles) / needed, 3)
    if bricks == 1_000:
        benchmark.extra_info["ears"] = rival_solids.ears_count(front.figure)


@pytest.mark.parametrize("kind", KINDS)
def test_memory_of_a_hundred_thousand_bricks(benchmark, kind):
    """What counts is the peak of all arrays, under 1 GB with the bytes of the STL; watching them takes time."""
    reliefs = KINDS[kind](*WALLS[100_000])

    def work():
        tracemalloc.start()
        solid = plate(*reliefs)
        assert faults(solid) == ()
        assert len(stl_bytes(solid)) > 50_000_000
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return peak

    peak = benchmark.pedantic(work, rounds=1)
    benchmark.extra_info["peak MB"] = round(peak / 1e6)
    assert 50e6 < peak < 1e9
