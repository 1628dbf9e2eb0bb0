"""What a mesh holds, told in lines of text."""

from __future__ import annotations

from halfbat.building.inspect import DEFECT_NAMES, MeshReport, PlaneReport, SlopeReport


def report_lines(report: MeshReport) -> list[str]:
    """Tell a report in lines of text.

    Parameters
    ----------
    report : MeshReport
        As returned by `inspect_mesh`.

    Returns
    -------
    list of str
        Without line ends.
    """
    x, y, z = report.size_m
    name = report.source or "mesh"
    lines = [f"{name}: {report.vertices} vertices, {report.faces} faces, {x:.2f} x {y:.2f} x {z:.2f} m"]
    lines += _defect_lines(report)
    if report.planes:
        lines.append(f"planes: {_counted(report)}")
        lines += [_plane_line(plane) for plane in report.planes[:30]]
        if len(report.planes) > 30:
            lines.append(f"  and {len(report.planes) - 30} smaller ones")
    if report.walls:
        lines.append(
            f"walls: {len(report.walls)}, foot at {report.base_m:.3f} m, {report.height_m:.3f} m high, "
            f"plan {report.plan_area_m2:.2f} m2 (north is +y)"
        )
        lines += [
            f"  {wall.letter:<2} {wall.length_m:8.3f} m long, {wall.height_m:.3f} m high, looks {wall.compass:<2} "
            f"({wall.bearing_deg:.0f} degrees), corner to the next {wall.corner_deg:.1f} degrees"
            for wall in report.walls
        ]
    if report.slopes:
        lines.append(f"slopes: {len(report.slopes)}")
        lines += [_slope_line(slope) for slope in report.slopes]
    for finding in report.findings:
        part = f"{finding.part}: " if finding.part else ""
        lines.append(f"{finding.severity.value}: {part}{finding.text}")
    lines.append("a kit can be made" if report.can_be_made else f"no kit can be made: {report.refusal}")
    return lines


def _defect_lines(report: MeshReport) -> list[str]:
    found = [
        f"{report.defects[key]} {one if report.defects[key] == 1 else many}"
        for key, (one, many) in DEFECT_NAMES.items()
        if report.defects.get(key)
    ]
    return ["defects: " + (", ".join(found) if found else "none")]


def _counted(report: MeshReport) -> str:
    parts = []
    for kind, one, many in (("wall", "wall", "walls"), ("slope", "slope", "slopes"), ("level", "level", "level")):
        planes = [plane for plane in report.planes if plane.kind == kind]
        if planes:
            area = sum(plane.area_m2 for plane in planes)
            parts.append(f"{len(planes)} {one if len(planes) == 1 else many} ({area:.2f} m2)")
    return ", ".join(parts)


def _slope_line(slope: SlopeReport) -> str:
    eaves = f", eaves on wall{'s' if len(slope.eaves) > 1 else ''} {' and '.join(slope.eaves)}" if slope.eaves else ""
    return (
        f"  {slope.letter:<2} {slope.along_m:8.3f} m along the eaves, {slope.up_m:.3f} m up, "
        f"{slope.pitch_deg:.1f} degrees{eaves}"
    )


def _plane_line(plane: PlaneReport) -> str:
    holes = "" if plane.holes == 0 else f", {plane.holes} hole" + ("s" if plane.holes > 1 else "")
    return (
        f"  {plane.kind:<5} looks {plane.looks:<4} {plane.area_m2:9.2f} m2, slope {plane.slope_deg:5.1f} degrees, "
        f"{plane.corners} corners{holes} ({plane.faces})"
    )
