import numpy as np

from halfbat.surfaces.bonds import get_bond
from halfbat.surfaces.coursing import set_courses
from halfbat.surfaces.formats import get_format
from halfbat.surfaces.laying import End, lay_wall
from halfbat.surfaces.pieces import Kind
from halfbat.surfaces.stretches import Stretch, lay_stretches, whole_stretch
from halfbat.units import parse_scale

UK, SCALE, FLEMISH = get_format("uk_imperial"), parse_scale("1:76.2"), get_bond("flemish")
QUOINS = (End.QUOIN, End.QUOIN)
COURSING = set_courses(40.0, FLEMISH, UK, SCALE)


def lay(stretch):
    size = COURSING, FLEMISH, UK, SCALE
    return lay_wall(stretch.length_mm, *size, stretch.phases[0], end_phase=stretch.phases[1], ends=stretch.ends)


def test_a_plain_wall_is_laid_as_ever():
    courses = [whole_stretch(60.0, (0, 1), QUOINS)] * COURSING.courses
    made, plain = lay_stretches(60.0, courses, lay), lay(courses[0][0])
    assert [one.bounds_mm.tolist() for one in made.patterns] == [one.bounds_mm.tolist() for one in plain.patterns]
    assert made.course_pattern.tolist() == plain.course_pattern.tolist()


def test_upper_courses_end_at_the_corner_of_the_higher_part():
    low, high = whole_stretch(60.0, (0, 1), QUOINS), (Stretch(0.0, 30.0, (0, 1), QUOINS),)
    made = lay_stretches(60.0, [low] * 10 + [high] * (COURSING.courses - 10), lay)
    assert made.courses == COURSING.courses and made.length_mm == 60.0
    last = [made.patterns[index].kinds[-1] for index in made.course_pattern]
    assert Kind.VOID not in last[:10] and set(last[10:]) == {Kind.VOID}
    short = lay(high[0])
    for course in range(10, made.courses):
        pattern, own = made.patterns[made.course_pattern[course]], short.patterns[short.course_pattern[course]]
        assert pattern.kinds[:-1].tolist() == own.kinds.tolist()
        assert np.allclose(pattern.bounds_mm[:-1], own.bounds_mm)
    # The quoin turns as everywhere: stretcher, then header with a closer.
    ends = [made.patterns[index].kinds[-3:-1].tolist() for index in made.course_pattern[10:]]
    assert {tuple(pair) for pair in ends[::2]} != {tuple(pair) for pair in ends[1::2]}
    assert [Kind.QUEEN_CLOSER, Kind.HEADER] in ends


def test_two_towers_on_one_wall():
    towers = (Stretch(0.0, 20.0, (0, 0), QUOINS), Stretch(45.0, 60.0, (1, 0), QUOINS))
    made = lay_stretches(60.0, [towers] * COURSING.courses, lay)
    for pattern in made.patterns:
        assert pattern.kinds.tolist().count(Kind.VOID) == 1
        at = pattern.kinds.tolist().index(Kind.VOID)
        assert 20.0 < pattern.bounds_mm[at] < 20.2 and 44.8 < pattern.bounds_mm[at + 1] < 45.0
        assert (np.diff(pattern.bounds_mm) > 0).all()
