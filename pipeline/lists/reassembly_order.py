"""A graph of what comes before what, put in an order: cycles found and broken at their weakest, the rest kept."""

import heapq
from collections.abc import Hashable, Iterable, Mapping, Sequence
from typing import Generic, NamedTuple, TypeVar

Node = TypeVar("Node", bound=Hashable)


class Broken(NamedTuple, Generic[Node]):
    """A cycle as its nodes, each before the next and the last before the first, and the edge that was left out."""

    cycle: tuple[Node, ...]
    left_out: tuple[Node, Node]


class Ordered(NamedTuple, Generic[Node]):
    """The nodes in order, and the cycles that had to be broken to get one."""

    nodes: tuple[Node, ...]
    broken: tuple[Broken[Node], ...]


def in_reassembly_order(nodes: Sequence[Node], edges: Mapping[tuple[Node, Node], int]) -> Ordered[Node]:
    """Return the nodes so that every edge leads onwards, but for the edges that are left out of cycles.

    Of the nodes that are ready, the one that stands first in ``nodes`` comes next, so that the same graph always
    gives the same order.

    Args:
        nodes: in the order that is liked best.
        edges: (before, after), with how strong each is. Of a cycle, the weakest edge is left out; of several that
            are as weak, the one that goes furthest against the order of ``nodes``.
    """
    rank = {node: at for at, node in enumerate(nodes)}
    kept = {(rank[before], rank[after]): strong for (before, after), strong in edges.items()}
    core = _core(kept)
    broken: list[Broken[Node]] = []
    while core:
        cycle = _cycle_in(core)
        around = list(zip(cycle, [*cycle[1:], cycle[0]], strict=True))
        weakest = min(around, key=lambda edge: (core[edge], edge[1] - edge[0], edge[0]))
        broken.append(Broken(tuple(nodes[at] for at in cycle), (nodes[weakest[0]], nodes[weakest[1]])))
        del kept[weakest]
        del core[weakest]
        core = _core(core)
    return Ordered(tuple(nodes[at] for at in _laid(len(nodes), kept)), tuple(broken))


def _core(edges: Mapping[tuple[int, int], int]) -> dict[tuple[int, int], int]:
    """Return the edges without those that lead to or from a node that no cycle can go through."""
    core = dict(edges)
    while True:
        starts, ends = {before for before, _ in core}, {after for _, after in core}
        both = starts & ends
        if len(both) == len(starts) == len(ends):
            return core
        core = {edge: strong for edge, strong in core.items() if edge[0] in both and edge[1] in both}


def _cycle_in(core: Iterable[tuple[int, int]]) -> list[int]:
    """Return one cycle of a core: every node has one before it, so going back must come round."""
    backwards: dict[int, int] = {}
    for before, after in core:
        backwards[after] = min(before, backwards.get(after, before))
    path: list[int] = []
    at: dict[int, int] = {}
    node = min(backwards)
    while node not in at:
        at[node] = len(path)
        path.append(node)
        node = backwards[node]
    cycle = path[at[node] :][::-1]
    first = cycle.index(min(cycle))
    return cycle[first:] + cycle[:first]


def _laid(size: int, edges: Iterable[tuple[int, int]]) -> list[int]:
    """Return the nodes of a graph without cycles in order, the lowest of those that are ready first."""
    waits = [0] * size
    onwards: list[list[int]] = [[] for _ in range(size)]
    for before, after in edges:
        waits[after] += 1
        onwards[before].append(after)
    ready = [node for node in range(size) if not waits[node]]
    order: list[int] = []
    while ready:
        node = heapq.heappop(ready)
        order.append(node)
        for after in onwards[node]:
            waits[after] -= 1
            if not waits[after]:
                heapq.heappush(ready, after)
    return order


def all_before(order: Sequence[Node], edges: Iterable[tuple[Node, Node]]) -> dict[Node, set[Node]]:
    """Return for each node every node that must come before it, step by step.

    Args:
        order: an order that respects the edges.
        edges: (before, after).
    """
    just_before: dict[Node, list[Node]] = {node: [] for node in order}
    for before, after in edges:
        just_before[after].append(before)
    found: dict[Node, set[Node]] = {}
    for node in order:
        found[node] = set(just_before[node]).union(*(found[one] for one in just_before[node]))
    return found


def without_detours(order: Sequence[Node], edges: Iterable[tuple[Node, Node]]) -> tuple[tuple[Node, Node], ...]:
    """Return the edges without those that a longer way already says: what a drawing needs."""
    rank = {node: at for at, node in enumerate(order)}
    kept = sorted(set(edges), key=lambda edge: (rank[edge[0]], rank[edge[1]]))
    before = all_before(order, kept)
    just_before: dict[Node, list[Node]] = {node: [] for node in order}
    for first, after in kept:
        just_before[after].append(first)
    return tuple(
        (first, after) for first, after in kept if not any(first in before[other] for other in just_before[after])
    )
