import pytest

from halfbat.findings import Severity
from halfbat.settings import ResinProcess
from halfbat.surfaces.roofing import roof_steps
from halfbat.surfaces.roofing.steps import usual_step_mm
from halfbat.units import parse_scale


@pytest.mark.parametrize(("scale", "step"), [("1:148", 0.12), ("1:87", 0.15), ("1:76.2", 0.18), ("7 mm/ft", 0.25)])
def test_usual_steps(scale, step):
    # Common practice, no source: making notes, section 3.
    assert usual_step_mm(parse_scale(scale)) == pytest.approx(step)


@pytest.mark.parametrize("ratio", [300, 220, 160, 120, 100, 80, 64, 48, 32, 16])
@pytest.mark.parametrize("layer", [0.01, 0.03, 0.05])
def test_whole_layers_never_under_the_limits(ratio, layer):
    process = ResinProcess(layer_mm=layer, pixel_x_mm=0.035)
    steps = roof_steps(parse_scale(ratio), process)
    assert steps.step_mm / layer == pytest.approx(round(steps.step_mm / layer))
    assert steps.step_mm >= max(0.10, 2 * layer) - 1e-9
    assert steps.joint_mm / 0.035 == pytest.approx(round(steps.joint_mm / 0.035))
    assert steps.joint_mm >= 0.11
    assert steps.sheet_step_mm <= steps.step_mm


def test_a_step_raised_is_told():
    asked = roof_steps(parse_scale("1:148"), ResinProcess(), lap_step_mm=0.05).findings
    assert [(finding.severity, finding.code) for finding in asked] == [(Severity.WARNING, "lap-step")]
    assert roof_steps(parse_scale("1:148"), ResinProcess()).findings == ()
