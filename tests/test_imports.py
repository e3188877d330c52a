"""geometry/ is pure: plain values in, plain values out. These tests read the source, so no import has to run first."""

import ast
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
GEOMETRY = sorted((ROOT / "geometry").rglob("*.py"))
WEB = {"server", "fastapi", "starlette", "uvicorn", "jinja2", "sqlalchemy", "psycopg", "httpx", "httpx2"}
MACHINE = {"os", "pathlib", "io", "shutil", "tempfile", "glob", "socket", "subprocess", "urllib", "http"}
CHANCE_AND_CLOCK = {"random", "secrets", "uuid", "time"}


def name_of(path: Path) -> str:
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


MODULES = {name_of(path): path for path in GEOMETRY}


def imported_modules(path: Path) -> set[str]:
    """Every dotted name that the file imports, with `from a import b` counted as a.b where that is a module of ours."""
    names = set()
    package = name_of(path).split(".") if path.name == "__init__.py" else name_of(path).split(".")[:-1]
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            above = package[: len(package) - node.level + 1] if node.level else []
            base = ".".join(above + ([node.module] if node.module else []))
            names |= {dotted if (dotted := f"{base}.{alias.name}") in MODULES else base for alias in node.names}
    return names


def relative(path: Path) -> str:
    return str(path.relative_to(ROOT))


@pytest.mark.parametrize("path", GEOMETRY, ids=relative)
def test_geometry_imports_no_web_no_disk_no_clock_and_no_chance(path: Path) -> None:
    tops = {name.split(".")[0] for name in imported_modules(path)}

    assert tops & (WEB | MACHINE | CHANCE_AND_CLOCK) == set()


@pytest.mark.parametrize("path", GEOMETRY, ids=relative)
def test_geometry_neither_opens_files_nor_draws_lots(path: Path) -> None:
    nodes = list(ast.walk(ast.parse(path.read_text())))
    opened = [node.lineno for node in nodes if isinstance(node, ast.Name) and node.id == "open"]
    drawn = [node.lineno for node in nodes if isinstance(node, ast.Attribute) and node.attr == "random"]

    assert opened + drawn == []


def test_imports_inside_geometry_go_one_way() -> None:
    imports = {name: (imported_modules(path) & MODULES.keys()) - {name} for name, path in MODULES.items()}

    order = list(TopologicalSorter(imports).static_order())  # a circle raises CycleError and names it

    assert set(order) == set(MODULES)
