"""Circles among statements: the strongly connected parts of a directed graph."""

from __future__ import annotations

from collections.abc import Iterable


def loops(edges: Iterable[tuple[str, str]]) -> list[list[str]]:
    """Return the groups of two or more numbers that lead to each other, sorted.

    Tarjan's algorithm (R. Tarjan, SIAM J. Comput. 1, 1972), with its own stack so that a chain of
    a hundred thousand numbers does not exhaust Python's.
    """
    after: dict[str, list[str]] = {}
    for one, other in edges:
        after.setdefault(one, []).append(other)
        after.setdefault(other, [])
    index: dict[str, int] = {}
    lowest: dict[str, int] = {}
    stack: list[str] = []
    on_stack: set[str] = set()
    found: list[list[str]] = []
    for root in after:
        if root in index:
            continue
        index[root] = lowest[root] = len(index)
        stack.append(root)
        on_stack.add(root)
        work = [(root, iter(after[root]))]
        while work:
            node, following = work[-1]
            for other in following:
                if other not in index:
                    index[other] = lowest[other] = len(index)
                    stack.append(other)
                    on_stack.add(other)
                    work.append((other, iter(after[other])))
                    break
                if other in on_stack:
                    lowest[node] = min(lowest[node], index[other])
            else:
                work.pop()
                if work:
                    above = work[-1][0]
                    lowest[above] = min(lowest[above], lowest[node])
                if lowest[node] == index[node]:
                    group = []
                    while True:
                        member = stack.pop()
                        on_stack.discard(member)
                        group.append(member)
                        if member == node:
                            break
                    if len(group) > 1:
                        found.append(sorted(group))
    return sorted(found)
