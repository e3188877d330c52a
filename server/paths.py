"""Where the pages, styles and demo rooms lie: beside the packages in a checkout, inside the package when installed."""

from pathlib import Path

_HERE = Path(__file__).resolve().parent
_PACKED = _HERE / "_data"

ROOT = _PACKED if _PACKED.is_dir() else _HERE.parent
TEMPLATES = ROOT / "templates"
STATIC = ROOT / "static"
DEMO_ROOMS = ROOT / "demo_rooms"

for _folder in (TEMPLATES, STATIC, DEMO_ROOMS):
    if not _folder.is_dir():
        raise FileNotFoundError(
            f"Elbowroom is installed without its {_folder.name} folder: {_folder}. Install it again."
        )
