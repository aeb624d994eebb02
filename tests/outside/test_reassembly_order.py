"""The order of putting together, compared with networkx's topological sort (published under the BSD licence)."""

import random

import networkx
import pytest

from pipeline.lists.reassembly_order import all_before, in_reassembly_order, without_detours


def _graph(seed: int, *, acyclic: bool) -> networkx.DiGraph:
    draw = random.Random(seed)
    size = draw.randint(1, 25)
    graph = networkx.gnp_random_graph(size, draw.random() / 2, seed=seed, directed=True)
    graph.remove_edges_from([pair for pair in list(graph.edges) if acyclic and pair[0] >= pair[1]])
    names = draw.sample(range(size), size)
    return networkx.relabel_nodes(graph, dict(enumerate(names)))


@pytest.mark.parametrize("seed", range(60))
def test_order_is_networkxs_where_there_is_no_cycle(seed: int) -> None:
    graph = _graph(seed, acyclic=True)
    nodes = sorted(graph.nodes)
    edges = list(graph.edges)
    ordered = in_reassembly_order(nodes, dict.fromkeys(edges, 1))
    assert ordered.broken == ()
    assert list(ordered.nodes) == list(networkx.lexicographical_topological_sort(graph))
    order = list(networkx.topological_sort(graph))
    assert set(without_detours(order, edges)) == set(networkx.transitive_reduction(graph).edges)
    assert all_before(order, edges) == {node: networkx.ancestors(graph, node) for node in nodes}


@pytest.mark.parametrize("seed", range(60))
def test_graph_without_what_was_left_out_has_no_cycle(seed: int) -> None:
    graph = _graph(seed, acyclic=False)
    ordered = in_reassembly_order(sorted(graph.nodes), dict.fromkeys(graph.edges, 1))
    assert bool(ordered.broken) != networkx.is_directed_acyclic_graph(graph)
    for cycle, _ in ordered.broken:
        assert networkx.is_simple_path(graph, [*cycle]) and graph.has_edge(cycle[-1], cycle[0])
    graph.remove_edges_from([one.left_out for one in ordered.broken])
    assert networkx.is_directed_acyclic_graph(graph)
