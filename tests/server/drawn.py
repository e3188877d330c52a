"""Rooms to draw, and how to read a drawing back: its elements, points, transforms."""

import re
from collections.abc import Iterator
from functools import cache
from typing import Any
from xml.etree import ElementTree

import pytest

from geometry.reading import read_room
from geometry.samples import box_kit, piece, round_kit, sample_scene
from geometry.scene import Scene, build
from server.paths import DEMO_ROOMS

NAMES = sorted(path.stem for path in DEMO_ROOMS.glob("*.json"))
DOOR = {"id": "d1", "edge": 0, "from_mm": 1000, "clear_mm": 760}
L_SHAPE = [[0, 0], [2600, 0], [2600, 1300], [1400, 1300], [1400, 2600], [0, 2600]]
FIVE = [[0, 0], [3000, 0], [3000, 1500], [2000, 2600], [0, 2200]]
NINE = [
    [0, 0],
    [4000, 0],
    [4000, 1000],
    [3600, 1000],
    [3600, 2000],
    [2000, 2000],
    [2000, 2600],
    [1000, 3000],
    [0, 2600],
]
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")

every_demo_room = pytest.mark.parametrize("name", NAMES)


@cache
def demo(name: str) -> Scene:
    return build(read_room((DEMO_ROOMS / f"{name}.json").read_bytes()))


def room_of(outline: list[list[float]], pieces: Any = (), kinds: Any = (), **more: Any) -> Scene:
    return sample_scene(list(kinds), list(pieces), outline_mm=outline, **more)


def one_tank(x: float = 300, y: float = 1600, turn_deg: float = 0, **more: Any) -> Scene:
    """The sample room, 2,400 by 1,800, with a tank 600 wide, 400 deep and 800 high, its back on the back wall."""
    tank = box_kit("tank", **more.pop("kit", {}))
    return sample_scene([tank], [piece(tank, x, y, turn_deg)], **more)


def tank_and_drum(**more: Any) -> Scene:
    tank, drum = box_kit("tank"), round_kit("drum", 500, 900)
    return sample_scene([tank, drum], [piece(tank, 300, 1600), piece(drum, 1500, 1500)], **more)


def tree(fragment: str) -> ElementTree.Element:
    """A fragment as elements, without the namespace of whole drawings."""
    return ElementTree.fromstring(f"<svg>{fragment}</svg>".replace(' xmlns="http://www.w3.org/2000/svg"', ""))


def by_class(root: ElementTree.Element, cls: str) -> list[ElementTree.Element]:
    return [element for element in root.iter() if cls in element.get("class", "").split()]


def points(data: str) -> list[tuple[float, float]]:
    """The points of path data that has only absolute M, L, A, C and Z with full pairs."""
    found = []
    for step in re.findall(r"[MLAC][^MLACZ]*", data):
        numbers = [float(n) for n in NUMBER.findall(step)]
        pairs = numbers[-2:] if step[0] == "A" else numbers
        found += list(zip(pairs[::2], pairs[1::2], strict=True))
    return found


def moved(element: ElementTree.Element) -> tuple[float, float]:
    """The shift of a group that stands by translate alone."""
    found = re.fullmatch(r"translate\((\S+),(\S+)\)", element.get("transform", ""))
    assert found is not None
    return float(found[1]), float(found[2])


def mapped(matrix: str, x: float, y: float) -> tuple[float, float]:
    """A point put through a matrix as ``data-matrix`` writes it."""
    a, b, c, d, e, f = (float(value) for value in matrix.split())
    return a * x + c * y + e, b * x + d * y + f


def texts(root: ElementTree.Element) -> Iterator[tuple[ElementTree.Element, list[str]]]:
    """Every text with the transforms of everything round it."""

    def walk(element: ElementTree.Element, above: list[str]) -> Iterator[tuple[ElementTree.Element, list[str]]]:
        here = above + ([element.get("transform", "")] if element.get("transform") else [])
        if element.tag == "text":
            yield element, here
        for child in element:
            yield from walk(child, here)

    return walk(root, [])
