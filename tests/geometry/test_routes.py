"""The route of a pipe in plan, against a plain search of our own and an independent measure of what it passes."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from heapq import heappop, heappush
from itertools import pairwise, product
from math import cos, pi, sin
from random import Random

import pytest
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from geometry.route_lines import NEAR_WALL_MM, Obstacle, Task
from geometry.routes import Frame, PlanRoute, Stopped, find_route
from geometry.shapes import Footprint, box, disc, hull
from geometry.units import DEPTH_TOLERANCE_MM
from geometry.units import Point as PlanPoint

SEEDS = range(200)
ELL = [(0, 0), (4000, 0), (4000, 1500), (2200, 1500), (2200, 3000), (0, 3000)]
SQUARE = [(0, 0), (4000, 0), (4000, 3000), (0, 3000)]
Walls = tuple[tuple[PlanPoint, PlanPoint], ...]
WAYS = ((1, 0), (0, 1), (-1, 0), (0, -1))


def walls_of(outline: list[tuple[int, int]]) -> Walls:
    return tuple((outline[i - 1], outline[i]) for i in range(len(outline)))


def wall_blocks(outline: list[tuple[int, int]]) -> list[Obstacle]:
    """Everything round a room, as boxes: good for outlines square to the axes."""
    around = Polygon(outline).buffer(400, join_style="mitre").difference(Polygon(outline))
    xs = sorted({x + k for x, _ in outline for k in (-400, 0, 400)})
    ys = sorted({y + k for _, y in outline for k in (-400, 0, 400)})
    cells = [box(a, c, b, d) for (a, b), (c, d) in product(pairwise(xs), pairwise(ys))]
    inside = [cell for cell in cells if around.contains(cell.polygon.representative_point())]
    return [Obstacle("edge:0", cell) for cell in inside]


def thing(draw: Random, x: float, y: float) -> Footprint:
    """A box, a turned box, a disc or a triangle with rounded corners."""
    kind, w, d = draw.randrange(4), draw.uniform(80, 450), draw.uniform(80, 450)
    if kind == 0:
        return box(x - w, y - d, x + w, y + d)
    if kind == 1:
        return disc((x, y), w)
    turn = draw.uniform(0, pi)
    corners = [(w, d), (-w, d), (-w, -d), (w, -d)] if kind == 2 else [(w, 0), (-w, d), (-w, -d)]
    spun = [(x + u * cos(turn) - v * sin(turn), y + u * sin(turn) + v * cos(turn)) for u, v in corners]
    return Footprint(hull(spun), 0.0 if kind == 2 else draw.uniform(10, 90))


def barrier(draw: Random) -> list[Obstacle]:
    """Two boxes across the room, with a gap between them that a pipe may or may not go through."""
    x, y, gap = draw.uniform(600, 1500), draw.uniform(300, 2500), draw.uniform(0, 160)
    return [Obstacle("b1", box(x, 0, x + 200, y)), Obstacle("b2", box(x, y + gap, x + 150, 3000))]


@cache
def random_task(seed: int) -> Task:
    """A room with some things in it and two free points, reach, elbow and ends by chance."""
    draw = Random(seed)
    outline = draw.choice([SQUARE, ELL])
    reach = draw.uniform(11, 45)
    things = [
        Obstacle(f"p{k}", thing(draw, draw.uniform(0, 4000), draw.uniform(0, 3000))) for k in range(draw.randrange(9))
    ]
    if draw.random() < 0.4:
        things += barrier(draw)
    free = Polygon(outline).buffer(-reach)
    for o in things:
        free = free.difference(true_shape(o.plan).buffer(reach + 1))
    points: list[PlanPoint] = []
    while len(points) < 2:
        at = (float(draw.randrange(4000)), float(draw.randrange(3000)))
        if free.contains(Point(at)):
            points.append(at)
    return Task(
        points[0], points[1], walls_of(outline), (*wall_blocks(outline), *things), reach,
        draw.choice([0.0, 400.0, 800.0, 2300.0]), draw.choice([1.0, 1.0, 4.0]),
        draw.choice([None, 0, 1, 2, 3]), draw.choice([None, 0, 1, 2, 3]),
    )  # fmt: skip


def true_shape(plan: Footprint) -> BaseGeometry:
    core = plan.points
    shape = Point(core[0]) if len(core) == 1 else LineString(core) if len(core) == 2 else Polygon(core)
    return shape.buffer(plan.radius_mm, quad_segs=64) if plan.radius_mm else shape


def core(plan: Footprint) -> BaseGeometry:
    return true_shape(Footprint(plan.points))


def plain_lines(task: Task, axis: int) -> list[float]:
    corners = [p[axis] for wall in task.walls for p in wall]
    sides = [c + k for c in corners for k in (-task.reach_mm, task.reach_mm)]
    for o in task.obstacles:
        sides += [o.plan.bounds[axis] - task.reach_mm, o.plan.bounds[axis + 2] + task.reach_mm]
    inside = {c for c in sides if min(corners) < c < max(corners)}
    return sorted(inside | {task.start[axis], task.goal[axis]})


Cost = tuple[int, int, int]
Steps = dict[tuple[int, int, int], Cost]


def plain_steps(task: Task, xs: list[float], ys: list[float]) -> Steps:
    """What it costs to leave every crossing each way, measured by distance; nothing where something is too near."""
    shapes = [(core(o.plan), o.plan.radius_mm) for o in task.obstacles]
    strips = [(wall, LineString(wall).buffer(NEAR_WALL_MM + 1e-6, cap_style="flat")) for wall in task.walls]

    def cost(line: LineString, axis: int) -> Cost | None:
        if any(line.distance(shape) < task.reach_mm + r - DEPTH_TOLERANCE_MM - 1e-3 for shape, r in shapes):
            return None
        beside = [strip for (a, b), strip in strips if a[1 - axis] == b[1 - axis]]
        low, high = (round(p[axis]) for p in line.coords)
        if any(line.within(strip) for strip in beside):
            return high - low, 0, 0
        return round((high - low) * task.away), 0, high - low

    steps: Steps = {}
    for (i, j), axis in product(product(range(len(xs)), range(len(ys))), (0, 1)):
        wx, wy = WAYS[axis]
        if i + wx < len(xs) and j + wy < len(ys):
            line = LineString([(xs[i], ys[j]), (xs[i + wx], ys[j + wy])])
            if found := cost(line, axis):
                steps[i, j, axis] = steps[i + wx, j + wy, axis + 2] = found
    return steps


def turns(way: int, to: int | None) -> int:
    return 0 if to in (None, way) else 1 if (way - (to or 0)) % 2 else 2


def plus(task: Task, cost: Cost, elbows: int, step: Cost = (0, 0, 0)) -> Cost:
    equivalent = cost[0] + step[0] + elbows * round(task.elbow_mm)
    return equivalent, cost[1] + step[1] + elbows, cost[2] + step[2]


def plain_cost(task: Task) -> Cost | None:
    """The least cost, part by part, by an exhaustive search over (crossing, way): E. W. Dijkstra, 1959."""
    xs, ys = plain_lines(task, 0), plain_lines(task, 1)
    steps = plain_steps(task, xs, ys)
    goal = (xs.index(task.goal[0]), ys.index(task.goal[1]))
    start = (xs.index(task.start[0]), ys.index(task.start[1]))
    heap = sorted((plus(task, (0, 0, 0), turns(way, task.heading)), *start, way) for way in range(4))
    done: set[tuple[int, int, int]] = set()
    ends: list[Cost] = []
    while heap:
        cost, i, j, way = heappop(heap)
        if (i, j, way) not in done:
            done.add((i, j, way))
            if (i, j) == goal:
                ends.append(plus(task, cost, turns(way, task.end)))
            for to in (way, (way + 1) % 4, (way - 1) % 4):
                if step := steps.get((i, j, to)):
                    heappush(heap, (plus(task, cost, to != way, step), i + WAYS[to][0], j + WAYS[to][1], to))
    return min(ends, default=None)


@pytest.mark.parametrize("seed", SEEDS)
def test_length_with_elbows_then_elbows_then_distance_from_walls_are_those_of_an_exhaustive_search(seed: int) -> None:
    task = random_task(seed)

    route = find_route(task)

    assert (route.cost if isinstance(route, PlanRoute) else None) == plain_cost(task)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_route_passes_nothing_nearer_than_its_reach(seed: int) -> None:
    task = random_task(seed)

    route = find_route(task)

    if isinstance(route, PlanRoute) and len(route.points) > 1:
        line = LineString(route.points)
        gaps = [line.distance(core(o.plan)) - o.plan.radius_mm for o in task.obstacles]
        assert min(gaps) >= task.reach_mm - DEPTH_TOLERANCE_MM - 0.02


@pytest.mark.parametrize("seed", SEEDS)
def test_length_and_elbows_are_those_of_its_points(seed: int) -> None:
    task = replace(random_task(seed), heading=None, end=None)

    route = find_route(task)

    if isinstance(route, PlanRoute):
        ends = (route.points[0], route.points[-1])
        length = sum(abs(b[0] - a[0]) + abs(b[1] - a[1]) for a, b in pairwise(route.points))
        assert ends == (task.start, task.goal)
        assert (route.length_mm, route.elbows) == (pytest.approx(length), max(0, len(route.points) - 2))


def test_the_random_rooms_hold_both_routes_and_dead_ends() -> None:
    found = [isinstance(find_route(random_task(seed)), PlanRoute) for seed in SEEDS]

    assert 10 <= found.count(False) <= 100


@pytest.mark.parametrize("seed", range(0, 200, 5))
def test_taking_away_the_one_thing_that_stops_a_pipe_opens_a_route(seed: int) -> None:
    task = random_task(seed)
    stopped = find_route(task)

    if isinstance(stopped, Stopped) and len(stopped.refs) == 1:
        rest = tuple(o for o in task.obstacles if o.ref not in stopped.refs)
        assert isinstance(find_route(replace(task, obstacles=rest)), PlanRoute)


def gap_task(gap_mm: float) -> Task:
    """Two boxes from wall to wall with a gap between them, and a pipe of reach 50 that has to go through it."""
    walls = walls_of(SQUARE)
    boxes = (Obstacle("p1", box(1000, 0, 1400, 1500)), Obstacle("p2", box(1000, 1500 + gap_mm, 1400, 3000)))
    return Task((500, 500), (3500, 500), walls, (*wall_blocks(SQUARE), *boxes), 50, 800)


def test_a_pipe_goes_through_a_gap_twice_its_reach_and_not_through_a_millimetre_and_a_half_less() -> None:
    assert isinstance(find_route(gap_task(100)), PlanRoute)
    assert isinstance(find_route(gap_task(98.5)), Stopped)


def test_several_things_that_could_each_be_moved_are_told_by_the_cheapest_way() -> None:
    stopped = find_route(gap_task(60))

    assert isinstance(stopped, Stopped)
    assert stopped.refs == ("p1",)  # the way at y = 500 runs through p1


def test_two_barriers_one_behind_the_other_are_all_named() -> None:
    walls = walls_of(SQUARE)
    bars = (Obstacle("p2", box(1000, 0, 1200, 3000)), Obstacle("p1", box(2000, 0, 2200, 3000)))

    stopped = find_route(Task((500, 500), (3500, 500), walls, (*wall_blocks(SQUARE), *bars), 50, 800))

    assert isinstance(stopped, Stopped)
    assert stopped.refs == ("edge:0", "p2")


def test_of_two_as_long_the_one_with_fewer_elbows_leaves_the_wall() -> None:
    step = (Obstacle("p1", box(1800, 2700, 2200, 3000)),)

    route = find_route(Task((100, 2950), (3900, 2950), walls_of(SQUARE), (*wall_blocks(SQUARE), *step), 50, 0.0))

    assert isinstance(route, PlanRoute)
    assert route.cost == (4400, 2, 4400)  # 100 mm from the side walls is not near


def test_of_two_as_long_with_as_many_elbows_the_one_along_the_wall_is_taken() -> None:
    route = find_route(Task((1000, 1000), (3000, 50), walls_of(SQUARE), tuple(wall_blocks(SQUARE)), 50, 800.0))

    assert isinstance(route, PlanRoute)
    assert route.points == ((1000, 1000), (1000, 50), (3000, 50))


def test_a_dear_elbow_is_spared_by_a_longer_way_and_a_cheap_one_is_not() -> None:
    """A step of 100 mm round a post takes three elbows; a way past everything takes two, and 700 mm more."""
    past = (box(650, 600, 750, 900), box(650, 0, 750, 400), box(1500, 450, 1600, 550))
    things = (*wall_blocks(SQUARE), *(Obstacle(f"p{k}", plan) for k, plan in enumerate(past)))
    task = Task((500, 500), (3000, 500), walls_of(SQUARE), things, 50, 0.0)

    cheap, dear = find_route(replace(task, elbow_mm=699.0)), find_route(replace(task, elbow_mm=700.0))

    assert isinstance(cheap, PlanRoute) and isinstance(dear, PlanRoute)
    assert (cheap.length_mm, cheap.elbows) == (2700, 3)
    assert (dear.length_mm, dear.elbows) == (3400, 2)


@pytest.mark.parametrize("quarter", range(4))
def test_a_frame_takes_a_point_in_and_out_without_rounding_at_quarter_turns(quarter: int) -> None:
    frame = Frame((120.5, 33.25), WAYS[quarter])

    assert frame.out(frame.into((17.125, -3.5))) == (17.125, -3.5)
    assert frame.way(WAYS[quarter]) == 0


def test_a_direction_across_the_axes_is_no_way() -> None:
    assert Frame((0, 0), (1, 0)).way((cos(0.7), sin(0.7))) is None


@pytest.mark.parametrize("turn", [lambda p: (-p[1], p[0]), lambda p: (-p[0], -p[1]), lambda p: (p[1], -p[0])])
@pytest.mark.parametrize("seed", range(0, 200, 7))
def test_a_room_turned_by_quarters_has_the_same_cost(seed: int, turn: Callable[[PlanPoint], PlanPoint]) -> None:
    task = random_task(seed)
    by = next(k for k, way in enumerate(WAYS) if way == turn((1, 0)))
    turned = replace(
        task, start=turn(task.start), goal=turn(task.goal), walls=tuple((turn(a), turn(b)) for a, b in task.walls),
        obstacles=tuple(
            Obstacle(o.ref, Footprint(tuple(turn(p) for p in o.plan.points), o.plan.radius_mm)) for o in task.obstacles
        ),
        heading=None if task.heading is None else (task.heading + by) % 4,
        end=None if task.end is None else (task.end + by) % 4,
    )  # fmt: skip

    here, there = find_route(task), find_route(turned)

    assert isinstance(here, PlanRoute) == isinstance(there, PlanRoute)
    if isinstance(here, PlanRoute) and isinstance(there, PlanRoute):
        assert there.cost == here.cost


@pytest.mark.parametrize("seed", range(0, 200, 7))
def test_the_order_of_the_obstacles_changes_nothing(seed: int) -> None:
    task = random_task(seed)

    here, there = find_route(task), find_route(replace(task, obstacles=task.obstacles[::-1]))

    assert getattr(here, "points", None) == getattr(there, "points", None)
