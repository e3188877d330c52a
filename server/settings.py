"""What one running Elbowroom is told at its start."""

import os
import sys
from dataclasses import dataclass
from pathlib import Path

LOCAL_HOSTS = ("localhost", "127.0.0.1", "[::1]")
EVERY_ADDRESS = ("0.0.0.0", "::")
DATABASE_VARIABLE = "ELBOWROOM_DATABASE"


@dataclass(frozen=True)
class Settings:
    """Where the rooms are kept, and by which names of this machine the app may be asked."""

    database_url: str
    hosts: tuple[str, ...] = LOCAL_HOSTS


def usual_folder() -> Path:
    """The folder for data that the operating system gives to each user."""
    home = Path.home()
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA", home)) / "Elbowroom"
    if sys.platform == "darwin":
        return home / "Library" / "Application Support" / "Elbowroom"
    return Path(os.environ.get("XDG_DATA_HOME") or home / ".local" / "share") / "elbowroom"


def sqlite_url(folder: Path) -> str:
    """The address of the SQLite file in a folder.

    >>> sqlite_url(Path("rooms"))
    'sqlite:///rooms/elbowroom.sqlite'
    """
    return f"sqlite:///{(folder / 'elbowroom.sqlite').as_posix()}"


def allowed_hosts(listening_on: str, also: tuple[str, ...] = ()) -> tuple[str, ...]:
    """The names that a request may ask for: this machine's own, the address listened on, and those given.

    >>> allowed_hosts("192.0.2.7", ("plant.example",))
    ('localhost', '127.0.0.1', '[::1]', '192.0.2.7', 'plant.example')
    >>> allowed_hosts("0.0.0.0")
    ('localhost', '127.0.0.1', '[::1]')
    """
    named = () if listening_on in EVERY_ADDRESS else (f"[{listening_on}]" if ":" in listening_on else listening_on,)
    return tuple(dict.fromkeys((*LOCAL_HOSTS, *named, *also)))
