"""The core needs the standard library and numpy alone, and imports point one way."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import halfbat

PACKAGE = Path(halfbat.__file__).parent
ALLOWED_OUTSIDE = {"numpy"}
# Each may import those before it, and itself.
LAYERS = (
    "errors",
    "optional",
    "console",
    "findings",
    "units",
    "shelf",
    "settings",
    "building",
    "surfaces",
    "solids",
    "parts",
    "printing",
    "sites",
    "output",
    "drawings",
    "booklet",
    "kitfile",
    "kit",
    "rendering",
    "summary",
    "progress",
    "commands",
    "cli",
    "__main__",
)
FILES = sorted(PACKAGE.rglob("*.py"))
IDS = [path.relative_to(PACKAGE).as_posix() for path in FILES]
LOAD_EVERYTHING = """
import importlib, pkgutil, sys
before = set(sys.modules)
import halfbat
for module in pkgutil.walk_packages(halfbat.__path__, "halfbat."):
    if not module.name.endswith("__main__"):
        importlib.import_module(module.name)
print("\\n".join(sorted({name.partition(".")[0] for name in set(sys.modules) - before})))
"""


def imports(path):
    """Yield line and full name of everything a file imports, wherever in it."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno} imports from a relative place"
            yield node.lineno, node.module
            yield from (
                (node.lineno, f"{node.module}.{alias.name}") for alias in node.names if node.module == "halfbat"
            )


def layer_of(name):
    """Layer of a module's dotted name, or None for the package itself."""
    return name.split(".")[1] if name.startswith("halfbat.") and name.split(".")[1] in LAYERS else None


def test_everything_loaded_is_the_standard_library_or_numpy():
    command = [sys.executable, "-c", LOAD_EVERYTHING]
    done = subprocess.run(
        command, capture_output=True, text=True, env={"PYTHONPATH": str(PACKAGE.parent)}, check=True, timeout=120
    )
    loaded = set(done.stdout.split())
    assert "halfbat" in loaded and "numpy" in loaded
    assert loaded - set(sys.stdlib_module_names) - ALLOWED_OUTSIDE - {"halfbat"} == set()


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_a_file_imports_nothing_else_even_inside_functions(path):
    known = set(sys.stdlib_module_names) | ALLOWED_OUTSIDE | {"halfbat"}
    strange = [f"line {line}: {name}" for line, name in imports(path) if name.partition(".")[0] not in known]
    assert strange == []


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_imports_point_one_way(path):
    own = path.relative_to(PACKAGE).parts[0].removesuffix(".py")
    if own == "__init__":
        assert {layer_of(name) for _, name in imports(path)} <= {None, "errors", "findings"}
        return
    assert own in LAYERS, f"{own} has no place in the order of layers"
    backward = [
        f"line {line}: {name}"
        for line, name in imports(path)
        if (layer := layer_of(name)) is not None and LAYERS.index(layer) > LAYERS.index(own)
    ]
    assert backward == []


def test_no_module_is_imported_inside_a_function():
    # An indented import most often hides a circle.
    found = []
    for path in FILES:
        tree = ast.parse(path.read_text("utf-8"))
        for function in ast.walk(tree):
            if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef):
                inner = [node for node in ast.walk(function) if isinstance(node, ast.Import | ast.ImportFrom)]
                found += [f"{path.name}:{node.lineno}" for node in inner]
    assert found == []
