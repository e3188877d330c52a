"""Reads a GLB back from its bytes alone, by the published standard: Khronos Group, glTF 2.0 Specification (2.0.1)."""

import json
from collections import Counter
from dataclasses import dataclass
from struct import unpack_from
from typing import Any

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]


@dataclass(frozen=True)
class Solid:
    """One surface: corners and normals (n x 3, metres, y up) and triangles (m x 3)."""

    corners: Numbers
    normals: Numbers
    triangles: NDArray[np.int64]

    @property
    def volume_m3(self) -> float:
        """By the divergence theorem; positive where triangles run anticlockwise as seen from outside."""
        a, b, c = (self.corners[self.triangles[:, i]] for i in range(3))
        return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)

    @property
    def open_edges(self) -> int:
        """Edges that are not run along as often one way as the other, corners of one place taken together."""
        places = [tuple(place) for place in self.corners.tolist()]
        runs = Counter((places[t[i]], places[t[i - 1]]) for t in self.triangles.tolist() for i in range(3))
        return sum(1 for (a, b), times in runs.items() if runs[(b, a)] != times)

    @property
    def facing(self) -> Numbers:
        """For each corner of each triangle, how far its normal goes along with the triangle's own."""
        a, b, c = (self.corners[self.triangles[:, i]] for i in range(3))
        own = np.cross(b - a, c - a)
        own /= np.linalg.norm(own, axis=1)[:, None]
        return np.einsum("ijk,ik->ij", self.normals[self.triangles], own)


@dataclass(frozen=True)
class Thing:
    """One node: name, material, surfaces, and what it says beside."""

    name: str
    material: str
    solids: list[Solid]
    extras: dict[str, Any]

    @property
    def bounds_mm(self) -> list[float]:
        """min x, y, z, max x, y, z in room millimetres, z up."""
        every = np.concatenate([solid.corners for solid in self.solids]) * 1000
        x, up, back = every.T
        return [x.min(), -back.max(), up.min(), x.max(), -back.min(), up.max()]

    @property
    def volume_mm3(self) -> float:
        return sum(solid.volume_m3 for solid in self.solids) * 1e9


def chunks(data: bytes) -> list[tuple[bytes, bytes]]:
    """Kind and content of each chunk (4.4.3)."""
    found, at = [], 12
    while at < len(data):
        (length,) = unpack_from("<I", data, at)
        found.append((data[at + 4 : at + 8], data[at + 8 : at + 8 + length]))
        at += 8 + length
    return found


def described(data: bytes) -> dict[str, Any]:
    """The JSON chunk."""
    found: dict[str, Any] = json.loads(chunks(data)[0][1])
    return found


def accessor(data: bytes, number: int) -> Any:
    """The numbers of an accessor (3.6.2)."""
    told = described(data)
    one = told["accessors"][number]
    view = told["bufferViews"][one["bufferView"]]
    kind = {5123: "<u2", 5125: "<u4", 5126: "<f4"}[one["componentType"]]
    wide = {"SCALAR": 1, "VEC3": 3}[one["type"]]
    start = view["byteOffset"] + one.get("byteOffset", 0)
    flat = np.frombuffer(chunks(data)[1][1], kind, one["count"] * wide, start)
    return flat.reshape(-1, wide) if wide > 1 else flat


def things(data: bytes) -> list[Thing]:
    """Every node of the scene."""
    told = described(data)
    found = []
    for number in told["scenes"][told["scene"]]["nodes"]:
        node = told["nodes"][number]
        parts = told["meshes"][node["mesh"]]["primitives"]
        (material,) = {told["materials"][part["material"]]["name"] for part in parts}
        found.append(Thing(node["name"], material, [_solid(data, part) for part in parts], node["extras"]))
    return found


def _solid(data: bytes, part: dict[str, Any]) -> Solid:
    corners, normals = (accessor(data, part["attributes"][key]).astype(float) for key in ("POSITION", "NORMAL"))
    return Solid(corners, normals, accessor(data, part["indices"]).astype(int).reshape(-1, 3))
