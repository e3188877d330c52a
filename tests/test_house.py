"""The rules of the house that no other tool looks after."""

import re
from hashlib import sha256
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
SHIPPED = ["geometry", "server", "templates", "static", "demo_rooms"]
SPARED = {"vendor", "fonts", "__pycache__", "bench.json"}

HTMX = sorted((ROOT / "static" / "vendor").glob("htmx-*.js"))
FONTS = sorted((ROOT / "static" / "fonts").glob("*.woff2"))
FONTS_CSS = (ROOT / "static" / "fonts.css").read_text()

# A checker cannot promise any of these. "Approved Document" is the name of a publication.
PROMISES = re.compile(r"\b(complies|compliant|certified|guaranteed|approved(?! documents?\b))\b", re.IGNORECASE)
HOME_FOLDERS = re.compile(r"(?<![\w.>}])/(?:home|root|work|Users)/\w")


def own_text_files() -> list[Path]:
    """Every text file of the project that we wrote ourselves."""
    folders = [ROOT / name for name in (*SHIPPED, "tests", ".ci")]
    files = [path for path in ROOT.iterdir() if path.is_file()]
    files += [path for folder in folders for path in folder.rglob("*") if path.is_file()]
    return sorted(path for path in files if not SPARED & set(path.relative_to(ROOT).parts) and is_text(path))


def is_text(path: Path) -> bool:
    try:
        return "\0" not in path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return False


def lines_that_match(pattern: re.Pattern[str], files: list[Path]) -> list[str]:
    return [
        f"{path.relative_to(ROOT)}:{number}: {line.strip()[:100]}"
        for path in files
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if pattern.search(line)
    ]


def test_the_name_of_the_vendored_htmx_tells_its_version() -> None:
    (vendored,) = HTMX
    version = re.search(r"this\.version = '([\d.]+)'", vendored.read_text())

    assert version is not None
    assert vendored.name == f"htmx-{version[1]}.js"


def test_the_vendored_three_is_the_one_whose_making_is_told() -> None:
    folder = ROOT / "static" / "vendor"
    (vendored,) = folder.glob("three-*.js")
    version = vendored.stem.removeprefix("three-")
    told = (folder / "README.md").read_text()

    assert f"three@{version} esbuild@" in told
    assert f"`{vendored.name}`: `{sha256(vendored.read_bytes()).hexdigest()}`" in told
    assert f'="{version.split(".")[1]}"' in vendored.read_text()


def test_every_vendored_script_has_its_licence_beside_it() -> None:
    licences = {path.name for path in (ROOT / "static" / "vendor").glob("LICENSE-*")}

    assert licences == {
        f"LICENSE-{script.name.split('-')[0]}.txt" for script in (ROOT / "static" / "vendor").glob("*.js")
    }


def test_fonts_css_names_every_font_file_and_no_other() -> None:
    named = set(re.findall(r'url\("fonts/([^"]+)"\)', FONTS_CSS))

    assert named == {font.name for font in FONTS}
    assert len(named) == 9


@pytest.mark.parametrize("family", ["brygada-1918", "ysabeau-office"])
def test_every_font_family_has_its_licence_beside_it(family: str) -> None:
    licence = ROOT / "static" / "fonts" / f"OFL-{family}.txt"

    assert "SIL OPEN FONT LICENSE" in licence.read_text()


def test_nothing_we_print_promises_what_a_checker_cannot() -> None:
    shipped = [path for path in own_text_files() if path.relative_to(ROOT).parts[0] in SHIPPED]

    assert lines_that_match(PROMISES, shipped) == []


def test_no_file_knows_the_folder_it_was_written_in() -> None:
    assert lines_that_match(HOME_FOLDERS, own_text_files()) == []


def test_every_text_file_ends_in_one_newline() -> None:
    texts = {path: path.read_text(encoding="utf-8") for path in own_text_files()}

    assert [str(path) for path, text in texts.items() if text and (text[-1] != "\n" or text.endswith("\n\n"))] == []
