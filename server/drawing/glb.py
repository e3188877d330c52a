"""Solids as one GLB file: metres, y up, the same bytes for the same room.

References
----------
Khronos Group, glTF 2.0 Specification (2.0.1): 3.6 (buffers, accessors, alignment), 3.9.2 (materials), 4.4 (GLB).
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from struct import pack, unpack
from typing import Any

from geometry.units import Point3
from server.drawing.solid_mesh import Mesh

MEDIA_TYPE = "model/gltf-binary"
_FLOAT, _SHORT, _INT = 5126, 5123, 5125
_CORNERS, _TRIANGLES = 34962, 34963
_MOST_SHORT = 65_535


@dataclass(frozen=True)
class Thing:
    """One thing in the file: its name, the material it is made of, its closed surfaces, and what a reader may ask."""

    name: str
    material: str
    solids: tuple[Mesh, ...]
    extras: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Material:
    """A flat colour, as in a stylesheet, and how much of it covers what lies behind."""

    colour: str
    cover: float = 1.0


def glb(things: Sequence[Thing], materials: Mapping[str, Material], extras: Mapping[str, Any]) -> bytes:
    """The file. ``extras`` is what a reader may ask about the whole scene."""
    store, numbers = _Store(), {name: i for i, name in enumerate(materials)}
    meshes = [
        {"primitives": [store.put(solid, numbers[thing.material]) for solid in thing.solids]} for thing in things
    ]  # fmt: skip
    nodes = [{"name": thing.name, "mesh": i, "extras": dict(thing.extras)} for i, thing in enumerate(things)]
    described = {
        "asset": {"version": "2.0", "generator": "Elbowroom"}, "scene": 0,
        "scenes": [{"nodes": list(range(len(nodes))), "extras": dict(extras)}], "nodes": nodes, "meshes": meshes,
        "materials": [_material(name, material) for name, material in materials.items()],
        "accessors": store.accessors, "bufferViews": store.views, "buffers": [{"byteLength": len(store.data)}],
    }  # fmt: skip
    text = json.dumps(described, sort_keys=True, separators=(",", ":")).encode()
    chunks = _chunk(b"JSON", text, b" ") + _chunk(b"BIN\0", bytes(store.data), b"\0")
    return b"glTF" + pack("<II", 2, 12 + len(chunks)) + chunks


def _chunk(kind: bytes, data: bytes, fill: bytes) -> bytes:
    padded = data + fill * (-len(data) % 4)
    return pack("<I", len(padded)) + kind + padded


def _material(name: str, material: Material) -> dict[str, Any]:
    *rgb, alpha = (*(_linear(material.colour[i : i + 2]) for i in (1, 3, 5)), material.cover)
    plain = {"baseColorFactor": [*rgb, alpha], "metallicFactor": 0.0, "roughnessFactor": 1.0}
    blend = {} if material.cover == 1.0 else {"alphaMode": "BLEND"}
    return {"name": name, "pbrMetallicRoughness": plain, **blend}


def _linear(pair: str) -> float:
    """Two digits of a colour as light (IEC 61966-2-1).

    >>> _linear("00"), _linear("ff"), _linear("80")
    (0.0, 1.0, 0.21586)
    """
    value = int(pair, 16) / 255
    return round(value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4, 5)


class _Store:
    """The numbers of all surfaces in one buffer, with the views and accessors that find them again."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: list[dict[str, Any]] = []
        self.accessors: list[dict[str, Any]] = []

    def put(self, mesh: Mesh, material: int) -> dict[str, Any]:
        """Keep a surface; what describes it."""
        places = [_rounded(_to_metres(at)) for at, _ in mesh.corners]
        normals = [_rounded(_y_up(normal)) for _, normal in mesh.corners]
        numbers = [number for triangle in mesh.triangles for number in triangle]
        return {
            "attributes": {"POSITION": self._triples(places, ends=True), "NORMAL": self._triples(normals)},
            "indices": self._numbers(numbers, len(places)), "material": material,
        }  # fmt: skip

    def _triples(self, triples: Sequence[Point3], ends: bool = False) -> int:
        data = pack(f"<{3 * len(triples)}f", *(v for triple in triples for v in triple))
        axes = list(zip(*triples, strict=True))
        more = {"min": [min(axis) for axis in axes], "max": [max(axis) for axis in axes]} if ends else {}
        return self._keep(data, _CORNERS, {"componentType": _FLOAT, "count": len(triples), "type": "VEC3", **more})

    def _numbers(self, numbers: Sequence[int], corners: int) -> int:
        letter, kind = ("H", _SHORT) if corners <= _MOST_SHORT else ("I", _INT)
        data = pack(f"<{len(numbers)}{letter}", *numbers)
        return self._keep(data, _TRIANGLES, {"componentType": kind, "count": len(numbers), "type": "SCALAR"})

    def _keep(self, data: bytes, target: int, accessor: dict[str, Any]) -> int:
        self.views.append({"buffer": 0, "byteOffset": len(self.data), "byteLength": len(data), "target": target})
        self.data += data + b"\0" * (-len(data) % 4)
        self.accessors.append({"bufferView": len(self.views) - 1, **accessor})
        return len(self.accessors) - 1


def _to_metres(at_mm: Point3) -> Point3:
    x, y, z = _y_up(at_mm)
    return (x / 1000, y / 1000, z / 1000)


def _y_up(of: Iterable[float]) -> Point3:
    """Room axes (x right, y away, z up) as the file's (x right, y up, z towards the reader): a turn, no mirror."""
    x, y, z = of
    return (x, z, 0.0 - y)


def _rounded(triple: Point3) -> Point3:
    """As the file holds it, in single precision."""
    x, y, z = unpack("<3f", pack("<3f", *triple))
    return (x, y, z)
