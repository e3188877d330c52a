"""The command line: serve, check, report, pipes, schema, sum. Same input, same bytes."""

import argparse
import gc
import json
import os
import socket
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, TextIO

from geometry.checking import Result, check_scene
from geometry.comparing import compared
from geometry.errors import RoomError, SumError, UnreadableFile
from geometry.reading import read_room
from geometry.remedies import with_remedies
from geometry.room import Room
from geometry.rules import Source, pack_of
from geometry.scene import build
from geometry.schedule import schedule
from geometry.sums import SUMS
from server.printed import comparison_as_text, result_as_text
from server.settings import DATABASE_VARIABLE, EVERY_ADDRESS, Settings, allowed_hosts, sqlite_url, usual_folder
from server.wording import source_line

MOST_AT_ONCE = 200
SECTION_KEYS = ("walls", "kit", "pipes", "order", "builder", "calendar", "card", "records", "checked")
"""The parts of the report that may be left out."""
NOTHING_WRONG, SOMETHING_WRONG, UNUSABLE = 0, 1, 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Do one command and return its exit status."""
    for stream in (sys.stdout, sys.stderr):
        _print_plainly(stream)
    given = list(sys.argv[1:] if arguments is None else arguments)
    options = _parser().parse_args(with_command(given))
    try:
        status: int = options.do(options)
        sys.stdout.flush()
    except (RoomError, SumError) as error:
        print(f"elbowroom: {error}", file=sys.stderr)
        return UNUSABLE
    except BrokenPipeError:  # the reader, such as head, has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    return status


def with_command(given: list[str]) -> list[str]:
    """Options without a command are those of serve: without any argument the app opens too.

    >>> with_command([]), with_command(["--port", "8100"]), with_command(["schema"]), with_command(["--help"])
    (['serve'], ['serve', '--port', '8100'], ['schema'], ['--help'])
    """
    bare = not given or (given[0].startswith("-") and given[0] not in ("-h", "--help"))
    return ["serve", *given] if bare else given


def _print_plainly(stream: TextIO | Any) -> None:
    """The same bytes on every machine."""
    if hasattr(stream, "reconfigure"):
        stream.reconfigure(encoding="utf-8", newline="\n", errors="backslashreplace")


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="elbowroom",
        description="Will the kit fit, can a person still work on it, and can it ever come out again?",
        epilog="Without a command: elbowroom serve, which takes --port and --data as well.",
    )
    commands = parser.add_subparsers(metavar="COMMAND", required=True)
    _add_serve(commands)
    _add_check(commands)
    _add_report(commands)
    pipes = commands.add_parser("pipes", help="print the pipe schedule of a room file")
    pipes.add_argument("file", type=Path, metavar="FILE")
    pipes.add_argument("--csv", action="store_true", help="print comma-separated values")
    pipes.add_argument("--order-csv", action="store_true", help="print what to order as comma-separated values")
    pipes.set_defaults(do=_pipes)
    commands.add_parser("schema", help="print the JSON Schema of a room file").set_defaults(do=_schema)
    _add_sum(commands)
    return parser


def _add_serve(commands: Any) -> None:
    serve = commands.add_parser("serve", help="open the app in the browser")
    serve.add_argument("--host", default="127.0.0.1", help="address to listen on (default: this machine alone)")
    serve.add_argument("--port", type=int, default=8000, help="default: 8000")
    serve.add_argument(
        "--allow-host", action="append", default=[], metavar="NAME",
        help="another name by which browsers may ask for this machine; may be given several times",
    )  # fmt: skip
    kept = serve.add_mutually_exclusive_group()
    kept.add_argument("--data", type=Path, metavar="DIR", help="folder for the rooms (default: your own data folder)")
    kept.add_argument(
        "--database", metavar="URL",
        help=f"keep the rooms in PostgreSQL instead: postgresql://user@host/name (or set {DATABASE_VARIABLE})",
    )  # fmt: skip
    serve.set_defaults(do=_serve)


def _add_check(commands: Any) -> None:
    check = commands.add_parser(
        "check", help="check room files and print what was found",
        description="Exit status: 0 nothing to put right, 1 something to put right, 2 a file could not be used.",
    )  # fmt: skip
    check.add_argument("files", nargs="+", type=Path, metavar="FILE")
    check.add_argument("--json", action="store_true", help="print JSON: one object for one file, else a list of them")
    check.add_argument(
        "--against", type=Path, metavar="OTHER",
        help="print only what is new, gone or changed against this other file; only one FILE then",
    )  # fmt: skip
    check.set_defaults(do=_check)


def _add_report(commands: Any) -> None:
    report = commands.add_parser("report", help="write the printable report of a room file")
    report.add_argument("file", type=Path, metavar="FILE")
    report.add_argument("-o", "--output", type=Path, required=True, metavar="OUT.pdf|OUT.html")
    report.add_argument(
        "--without", action="append", default=[], metavar="PART", choices=SECTION_KEYS,
        help=f"leave a part out; may be given several times: {', '.join(SECTION_KEYS)}",
    )  # fmt: skip
    report.set_defaults(do=_report)


def _add_sum(commands: Any) -> None:
    sums = commands.add_parser("sum", help="do one sum without a room").add_subparsers(metavar="NAME", required=True)
    for name, chosen in SUMS.items():
        one = sums.add_parser(name, help=chosen.title, description=chosen.says)
        for field in chosen.fields:
            unit = f", {field.unit}" if field.unit else ""
            one.add_argument(
                f"--{field.name.replace('_', '-')}", dest=f"figure_{field.name}", default="",
                metavar="|".join(field.choices) or field.kind.upper(),
                help=f"{field.label}{unit}; for example {field.example}",
            )  # fmt: skip
        one.add_argument("--rules", choices=("england", "scotland"), default="england")
        one.add_argument("--json", action="store_true", help="print JSON")
        one.set_defaults(do=_sum, sum=chosen)


def _let_rest() -> None:
    """What was loaded stays for good: looking through it for waste, again and again, would make a drag stutter."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 100)


def _serve(options: argparse.Namespace) -> int:
    import uvicorn

    from server.app import create_app
    from server.store import DatabaseUnusable

    _refuse_address(options.host, options.port)
    url = options.database or (None if options.data else os.environ.get(DATABASE_VARIABLE))
    url = url or sqlite_url(options.data or usual_folder())
    try:
        app = create_app(Settings(url, allowed_hosts(options.host, tuple(options.allow_host))))
    except DatabaseUnusable as error:
        print(f"elbowroom: {error}", file=sys.stderr)
        return UNUSABLE
    if options.host in EVERY_ADDRESS and not options.allow_host:
        print("Others can reach this machine only by a name given with --allow-host.", file=sys.stderr)
    shown = "localhost" if options.host in EVERY_ADDRESS else options.host
    print(f"Elbowroom is open at http://{shown}:{options.port} (Ctrl+C ends it).", flush=True)
    _let_rest()
    uvicorn.run(
        app,
        host=options.host,
        port=options.port,
        log_level="warning",
        server_header=False,
        limit_concurrency=MOST_AT_ONCE,
        timeout_graceful_shutdown=1,
    )
    return 0


def _refuse_address(host: str, port: int) -> None:
    """Refuse an address that cannot be listened on, before anything says that it is open."""
    if not 0 < port < 65536:
        raise RoomError(f"A port is a number from 1 to 65535, and {port} is none. Give another with --port.")
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        with socket.socket(family, kind, protocol) as trial:
            if os.name == "posix":
                trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            trial.bind(address)
    except (OSError, UnicodeError) as error:
        why = (getattr(error, "strerror", None) or str(error)).lower()
        raise RoomError(f"{host}, port {port}, cannot be used: {why}. Give another --host or --port.") from None


def _check(options: argparse.Namespace) -> int:
    if options.against is not None:
        return _check_against(options)
    results: list[Result] = []
    answers: list[Any] = []
    unusable = False
    for path in options.files:
        try:
            result = _checked(_room_in(path))
        except RoomError as error:
            unusable = True
            print(f"elbowroom: {path}: {error}", file=sys.stderr)
            answers.append({"file": str(path), "error": str(error)})
        else:
            results.append(result)
            answers.append(result.as_json() if options.json else result_as_text(result))
    if options.json:
        print(json.dumps(answers[0] if len(answers) == 1 else answers, ensure_ascii=False, indent=2))
    else:
        print("\n".join(answer for answer in answers if isinstance(answer, str)), end="")
    if unusable:
        return UNUSABLE
    return SOMETHING_WRONG if any(result.counts["put-right"] for result in results) else NOTHING_WRONG


def _check_against(options: argparse.Namespace) -> int:
    if len(options.files) != 1:
        raise RoomError(f"--against compares one file with another, and {len(options.files)} were given. Name one.")
    result, other = (_checked(_room_at(path)) for path in (options.files[0], options.against))
    difference = compared(other.findings, result.findings)
    if options.json:
        told = result.as_json()
        head = {"room": told["room"], "against": other.room.name, "rules": told["rules"], "counts": told["counts"]}
        print(json.dumps(head | difference.as_json(), ensure_ascii=False, indent=2))
    else:
        print(comparison_as_text(result, other, difference), end="")
    return SOMETHING_WRONG if result.counts["put-right"] else NOTHING_WRONG


def _room_at(path: Path) -> Room:
    try:
        return _room_in(path)
    except RoomError as error:
        raise RoomError(f"{path}: {error}") from None


def _checked(room: Room) -> Result:
    scene = build(room)
    return Result(room, pack_of(room), with_remedies(scene, check_scene(scene)))


def _room_in(path: Path) -> Room:
    try:
        return read_room(path.read_bytes())
    except OSError as error:
        raise UnreadableFile(f"The file cannot be opened: {(error.strerror or str(error)).lower()}.") from None


def _report(options: argparse.Namespace) -> int:
    from server.pdf import NoEngine
    from server.report import render_pdf, render_report
    from server.report_parts import EVERY_SECTION

    room, shown = _room_in(options.file), EVERY_SECTION - frozenset(options.without)
    try:
        if options.output.suffix.lower() == ".pdf":
            options.output.write_bytes(render_pdf(room, shown))
        else:
            options.output.write_text(render_report(room, shown=shown), encoding="utf-8", newline="\n")
    except NoEngine as error:
        raise RoomError(str(error)) from None
    except OSError as error:
        raise RoomError(f"{options.output} cannot be written: {(error.strerror or str(error)).lower()}.") from None
    return 0


def _pipes(options: argparse.Namespace) -> int:
    found = schedule(build(_room_at(options.file)))
    if options.csv or options.order_csv:
        print(found.order_as_csv() if options.order_csv else found.as_csv(), end="")
    else:
        print(found.as_text())
    return 0


def _schema(_: argparse.Namespace) -> int:
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", **Room.model_json_schema()}
    print(json.dumps(schema, ensure_ascii=False, indent=2))
    return 0


def _sum(options: argparse.Namespace) -> int:
    given = {field.name: getattr(options, f"figure_{field.name}") for field in options.sum.fields}
    report = options.sum.run(given, options.rules)
    if options.json:
        print(json.dumps(report, ensure_ascii=False, indent=2))
    else:
        print(options.sum.title)
        print("\n".join(report["working"]))
        print(f"[{source_line(Source(**report['source']))}]")
    return 0
