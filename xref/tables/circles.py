"""Circles in a list of replacements: reported, so that nobody follows them without end."""

from __future__ import annotations

from collections.abc import Mapping, Sequence


def circles(edges: Mapping[str, Sequence[str]]) -> list[list[str]]:
    """Return the groups of numbers that replace each other in a circle.

    `edges` maps a number to those said to replace it. Groups are the strongly connected
    components of more than one number (Tarjan 1972), found without recursion so that a chain of
    a million numbers is no danger. A number that replaces itself is not a circle here.
    """
    index: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    on_stack: set[str] = set()
    found: list[list[str]] = []
    for root in edges:
        if root in index:
            continue
        work = [(root, iter(edges.get(root, ())))]
        index[root] = low[root] = len(index)
        stack.append(root)
        on_stack.add(root)
        while work:
            node, following = work[-1]
            for other in following:
                if other not in index:
                    index[other] = low[other] = len(index)
                    stack.append(other)
                    on_stack.add(other)
                    work.append((other, iter(edges.get(other, ()))))
                    break
                if other in on_stack:
                    low[node] = min(low[node], index[other])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[node])
                if low[node] == index[node]:
                    group = []
                    while True:
                        member = stack.pop()
                        on_stack.discard(member)
                        group.append(member)
                        if member == node:
                            break
                    if len(group) > 1:
                        found.append(sorted(group))
    return found
